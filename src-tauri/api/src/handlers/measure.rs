//! Reading lengths: wires inside to inside, and bays.

use records::ids::ItemId;
use records::job::{Job, Run};
use records::model::context::{BayRead, LengthRead};
use records::model::entered::{self, LengthUnit};
use records::model::fields;
use records::model::values::{Along, Faces, Instrument, Length, PostState, Purpose};
use records::subject::Subject;
use records::work;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Recorded, hashes, item, job_id};
use crate::claim::{Act, Earlier};
use crate::{ApiError, App, ErrorCode};

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
    /// Reads the length: more than nothing, at most 1 km.
    pub(crate) fn length(&self) -> Result<Length, ApiError> {
        let unit = match self.unit {
            Unit::Mm => LengthUnit::Millimetres,
            Unit::In => LengthUnit::Inches,
        };
        let length = entered::length(&self.text, unit)?;
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

    /// Reads what is left showing: nothing or more.
    pub(crate) fn left(&self) -> Result<Length, ApiError> {
        let unit = match self.unit {
            Unit::Mm => LengthUnit::Millimetres,
            Unit::In => LengthUnit::Inches,
        };
        let length = entered::length(&self.text, unit)?;
        if length.nm < 0 {
            return Err(ApiError::invalid(format!(
                "{} can't be left showing. Type 0 where nothing shows.",
                self.entered()
            )));
        }
        Ok(length)
    }

    /// Reads how far something stands out: zero, above or below it, at most half a metre.
    pub(crate) fn stands_out(&self) -> Result<Length, ApiError> {
        let unit = match self.unit {
            Unit::Mm => LengthUnit::Millimetres,
            Unit::In => LengthUnit::Inches,
        };
        let length = entered::length(&self.text, unit)?;
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
        let unit = match self.unit {
            Unit::Mm => "mm",
            Unit::In => "in",
        };
        let text: String = self.text.trim().chars().take(40).collect();
        format!("{text} {unit}")
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

/// Records an inside-to-inside length; an odd one is questioned once.
pub fn measure(app: &App, request: Measure) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let length = request.length.length()?;
    let proud = request.proud.as_ref().map(Typed::stands_out).transpose()?;
    if proud.is_some() && request.faces == Faces::InsertFaces {
        return Err(ApiError::invalid(
            "A length between insert faces counts what the inserts stand out already. Leave that \
             out, or say that it was read between post faces.",
        ));
    }
    let tool = request.tool.as_deref().map(item).transpose()?;
    let spread = request.spread.as_ref().map(Typed::left).transpose()?;
    let mut record = app.record();
    let view = record.job(job)?;
    question(&view, run, request.wire, length, request.confirmed)?;
    let with = LengthRead {
        entered: Some(request.length.entered()),
        purpose: request.purpose,
        posts: request.posts,
        faces: request.faces,
        proud_nm: proud.map(|length| length.nm),
        instrument: request.instrument,
        tool,
        spread_nm: spread.map(|length| length.nm),
        reason: request.reason,
    };
    let subject = Subject::Wire(run, request.wire);
    let mut act = Act::default();
    let over = hashes(&request.over)?;
    act.claim(
        fields::WIRE_LENGTH,
        subject,
        "",
        Some(&length),
        &with,
        Earlier::over(over),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// Refuses a wire that the layout does not have, and asks about a length that is most likely a slip.
fn question(
    job: &Job<'_>,
    run: ItemId,
    wire: u32,
    length: Length,
    confirmed: bool,
) -> Result<(), ApiError> {
    let Some(run) = job.run(run) else {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            "This run is not in the job.",
        ));
    };
    if run.wire(wire).is_none() {
        return Err(ApiError::invalid(format!(
            "Run {} has {} wires; there is no wire {wire}.",
            run.name,
            run.wires.len()
        )));
    }
    if confirmed {
        return Ok(());
    }
    ask(work::odd_length(job, run, wire, length)?)
}

/// All questions go back to the person at once, since one yes answers them all; without any the
/// length is taken.
pub(super) fn ask(questions: impl IntoIterator<Item = String>) -> Result<(), ApiError> {
    let all: Vec<String> = questions.into_iter().collect();
    if all.is_empty() {
        return Ok(());
    }
    Err(ApiError::new(ErrorCode::Questioned, all.join(" ")))
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
    /// Entries that it corrects or settles.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<String>>")]
    pub over: Vec<String>,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Records the clear distance between two posts, face to face.
pub fn measure_bay(app: &App, request: MeasureBay) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let subject: Subject = request.bay.parse()?;
    let length = request.length.length()?;
    if !matches!(subject, Subject::Bay(..)) {
        return Err(ApiError::invalid("That is not a bay."));
    }
    let mut record = app.record();
    question_bay(&record.job(job)?, &subject, length, request.confirmed)?;
    let with = BayRead {
        entered: Some(request.length.entered()),
        along: request.along,
        instrument: request.instrument,
        reason: None,
    };
    let mut act = Act::default();
    let over = hashes(&request.over)?;
    act.claim(
        fields::BAY_CLEAR,
        subject,
        "",
        Some(&length),
        &with,
        Earlier::over(over),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// Refuses a bay that the layout does not have, and asks about a clear distance that is most likely
/// in another unit.
fn question_bay(
    job: &Job<'_>,
    bay: &Subject,
    length: Length,
    confirmed: bool,
) -> Result<(), ApiError> {
    let of_bay = |run: &&Run| run.bays.iter().any(|b| b.subject == *bay);
    let Some(run) = job.runs.iter().find(of_bay) else {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            "This bay is not in the layout: its two posts do not stand side by side in a run. \
             Nothing was saved.",
        ));
    };
    if confirmed {
        return Ok(());
    }
    ask(work::odd_bay(run, bay, length)?)
}
