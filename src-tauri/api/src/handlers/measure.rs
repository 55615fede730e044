//! Reading lengths: wires inside to inside, and bays.

use records::model::context::{BayRead, LengthRead};
use records::model::entered::{self, LengthUnit};
use records::model::values::{Along, Faces, Instrument, Length, PostState, Purpose};
use records::subject::Subject;
use records::work;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Recorded, item, job_id};
use crate::acts;
use crate::{ApiError, App};

/// Unit in which a length is typed.
#[derive(Clone, Copy, Debug, Default, Deserialize, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum Unit {
    /// Millimetres.
    #[default]
    Mm,
    /// Feet, inches and fractions.
    In,
}

/// A length as it was typed.
#[derive(Clone, Debug, Deserialize, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Typed {
    /// The text.
    pub text: String,
    /// Its unit.
    #[serde(default)]
    #[ts(optional, as = "Option<Unit>")]
    pub unit: Unit,
}

impl Typed {
    const fn told_in(&self) -> LengthUnit {
        match self.unit {
            Unit::Mm => LengthUnit::Millimetres,
            Unit::In => LengthUnit::Inches,
        }
    }

    fn read(&self) -> Result<Length, ApiError> {
        Ok(entered::length(&self.text, self.told_in())?)
    }

    /// Whether it reads as no length at all.
    pub(crate) fn is_nothing(&self) -> bool {
        self.read().is_ok_and(|length| length.nm == 0)
    }

    /// Reads the length: more than nothing, at most 1 km.
    pub(crate) fn length(&self) -> Result<Length, ApiError> {
        let length = self.read()?;
        if length.nm <= 0 {
            return Err(ApiError::invalid(format!(
                "{} is no length. Type more than 0.",
                self.entered()
            )));
        }
        if length.as_mm() > work::LONGEST_MM {
            return Err(ApiError::invalid(format!(
                "{} is over 1 km. Is the unit right? Nothing was saved.",
                self.entered()
            )));
        }
        Ok(length)
    }

    /// Reads a length that may be nothing: what is left showing, how far a reading may be off.
    pub(crate) fn left(&self) -> Result<Length, ApiError> {
        let length = self.read()?;
        if length.nm < 0 {
            return Err(ApiError::invalid(format!(
                "{} is less than nothing. Type 0 where there is none. Nothing was saved.",
                self.entered()
            )));
        }
        Ok(length)
    }

    /// Reads how far something stands out: zero, above or below it, at most half a metre.
    pub(crate) fn stands_out(&self) -> Result<Length, ApiError> {
        let length = self.read()?;
        if length.nm.abs() > Length::mm(500).nm {
            return Err(ApiError::invalid(format!(
                "An insert does not stand {} out of its post. Is the unit right? Nothing was saved.",
                self.entered()
            )));
        }
        Ok(length)
    }

    /// The text with its unit.
    pub(crate) fn entered(&self) -> String {
        entered::said(&self.text, self.told_in())
    }
}

/// Reads an inside-to-inside length of a wire.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Measure {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Number of the wire from the bottom.
    pub wire: u32,
    /// What was read.
    pub length: Typed,
    /// What it is for.
    pub purpose: Purpose,
    /// State of the posts.
    pub posts: PostState,
    /// From which faces.
    pub faces: Faces,
    /// Read between post faces: how far the inserts of both ends together stand proud of them;
    /// below zero when recessed.
    #[serde(default)]
    #[ts(optional)]
    pub proud: Option<Typed>,
    /// With what.
    pub instrument: Instrument,
    /// Which of the job's tools, where it is one.
    #[serde(default)]
    #[ts(optional)]
    pub tool: Option<String>,
    /// One standard deviation of the reading, where it is known.
    #[serde(default)]
    #[ts(optional)]
    pub spread: Option<Typed>,
    /// Entries that it corrects or settles; none for a repeat.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<String>>")]
    pub over: Vec<String>,
    /// Why it is corrected.
    #[serde(default)]
    #[ts(optional)]
    pub reason: Option<String>,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

impl Measure {
    /// Length, inserts and spread as they were typed.
    fn entered(&self) -> String {
        let mut typed = self.length.entered();
        if let Some(proud) = &self.proud {
            typed.push_str(&format!(", inserts {} proud", proud.entered()));
        }
        if let Some(spread) = &self.spread {
            typed.push_str(&format!(", spread {}", spread.entered()));
        }
        typed
    }

    /// The length and what stands beside it.
    fn read(&self) -> Result<(Length, LengthRead), ApiError> {
        let length = self.length.length()?;
        let proud = self.proud.as_ref().map(Typed::stands_out).transpose()?;
        if proud.is_some() && self.faces == Faces::InsertFaces {
            return Err(ApiError::invalid(
                "A length between insert faces counts what the inserts stand out already. Leave \
                 that out, or say that it was read between post faces.",
            ));
        }
        let tool = self.tool.as_deref().map(item).transpose()?;
        let spread = self.spread.as_ref().map(Typed::left).transpose()?;
        let with = LengthRead {
            entered: Some(self.entered()),
            purpose: self.purpose,
            posts: self.posts,
            faces: self.faces,
            proud_nm: proud.map(|length| length.nm),
            instrument: self.instrument,
            tool,
            spread_nm: spread.map(|length| length.nm),
            reason: self.reason.clone(),
        };
        Ok((length, with))
    }
}

/// Records an inside-to-inside length; an odd one is questioned once.
pub fn measure(app: &App, request: Measure) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let (length, with) = request.read()?;
    let acted = acts::measure::wire(&mut app.record(), job, run, &request, length, &with)?;
    Ok(Recorded::of(&acted))
}

/// Reads the clear distance of a bay.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct MeasureBay {
    /// The job.
    pub job: String,
    /// The bay as a subject.
    pub bay: String,
    /// What was read.
    pub length: Typed,
    /// Level or along the slope.
    pub along: Along,
    /// With what.
    pub instrument: Instrument,
    /// Which of the job's tools, where it is one.
    #[serde(default)]
    #[ts(optional)]
    pub tool: Option<String>,
    /// Entries that it corrects or settles.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<String>>")]
    pub over: Vec<String>,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

impl MeasureBay {
    /// The clear distance and what stands beside it.
    fn read(&self) -> Result<(Length, BayRead), ApiError> {
        let with = BayRead {
            entered: Some(self.length.entered()),
            along: self.along,
            instrument: self.instrument,
            tool: self.tool.as_deref().map(item).transpose()?,
            reason: None,
        };
        Ok((self.length.length()?, with))
    }
}

/// Records the clear distance between two posts, face to face.
pub fn measure_bay(app: &App, request: MeasureBay) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let bay: Subject = request.bay.parse()?;
    let (length, with) = request.read()?;
    let read = (length, &with);
    let acted = acts::measure::bay(&mut app.record(), job, bay, &request, read)?;
    Ok(Recorded::of(&acted))
}
