//! Tensions read on wires: with a gauge, or from the deflection under a hung mass.

use records::model::context::TensionRead;
use records::model::entered;
use records::model::values::{Deflection, Method, Stage, Sun};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{milligrams, positive_force};
use crate::acts::checks::tensions;
use crate::handlers::measure::Typed;
use crate::handlers::{Recorded, item, job_id};
use crate::{ApiError, App};

/// More passes than anybody goes over a run.
const MOST_PASSES: u32 = 50;

/// What a round sets once: gauge, bay, temperatures, pass.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Round {
    /// The bay as a place: `<post>:<post>`.
    pub bay: String,
    /// Pass, final or recheck.
    pub stage: Stage,
    /// Number of the pass.
    #[serde(default)]
    #[ts(optional)]
    pub pass: Option<u32>,
    /// The gauge's id.
    #[serde(default)]
    #[ts(optional)]
    pub gauge: Option<String>,
    /// Chart that turned the scale into newtons.
    #[serde(default)]
    #[ts(optional)]
    pub chart: Option<String>,
    /// Air temperature in degrees Celsius, as typed.
    #[serde(default)]
    #[ts(optional)]
    pub air: Option<String>,
    /// Wire temperature in degrees Celsius, as typed.
    #[serde(default)]
    #[ts(optional)]
    pub wire_temperature: Option<String>,
    /// Sun or shade on the wire.
    #[serde(default)]
    #[ts(optional)]
    pub sun: Option<Sun>,
}

impl Round {
    /// What the round says of one reading of a piece; gauge and temperatures are looked at here.
    pub(crate) fn context(
        &self,
        method: Method,
        entered: String,
        piece: u32,
    ) -> Result<TensionRead, ApiError> {
        let degrees = |text: &Option<String>| -> Result<Option<i64>, ApiError> {
            match text.as_deref().map(str::trim).filter(|t| !t.is_empty()) {
                None => Ok(None),
                Some(t) => match entered::decimal(t, 2) {
                    Some(c) if (-6000..=9000).contains(&c) => Ok(Some(c)),
                    _ => Err(ApiError::invalid(format!(
                        "{:?} is no temperature between −60 and 90 °C.",
                        t.chars().take(20).collect::<String>()
                    ))),
                },
            }
        };
        if self
            .pass
            .is_some_and(|pass| !(1..=MOST_PASSES).contains(&pass))
        {
            return Err(ApiError::invalid(format!(
                "Passes are counted from 1, and at most {MOST_PASSES}. Nothing was saved."
            )));
        }
        Ok(TensionRead {
            entered: Some(entered),
            method,
            stage: self.stage,
            pass: self.pass,
            piece,
            gauge: self.gauge.as_deref().map(item).transpose()?,
            raw: None,
            chart: self.chart.clone(),
            repeat: None,
            air_cdeg: degrees(&self.air)?,
            wire_cdeg: degrees(&self.wire_temperature)?,
            sun: self.sun,
            reason: None,
            told: None,
        })
    }
}

/// Reads a tension.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ReadTension {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// Newtons as typed.
    pub newtons: String,
    /// What the scale showed, where a chart was used.
    #[serde(default)]
    #[ts(optional)]
    pub raw: Option<String>,
    /// Set once for a round.
    pub round: Round,
    /// Which repeat of the reading, where a wire is read several times in one round.
    #[serde(default)]
    #[ts(optional)]
    pub repeat: Option<u32>,
    /// What was found or done about it.
    #[serde(default)]
    #[ts(optional)]
    pub remark: Option<String>,
    /// Entries that it corrects.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<String>>")]
    pub over: Vec<String>,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Records a tension taken with a gauge; one above the upper tension is questioned, and a tool that
/// is no tension gauge refused. Without a gauge the reading stays open.
pub fn read_tension(app: &App, request: ReadTension) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let force = positive_force(&request.newtons)?;
    let acted = tensions::read_gauge(&mut app.record(), job, run, &request, force)?;
    Ok(Recorded::of(&acted))
}

/// Reads a deflection under a hung mass.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ReadDeflection {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// How far the wire went down.
    pub deflection: Typed,
    /// The mass as weighed, as typed: grams, or kilograms with their unit.
    pub grams: String,
    /// Set once for a round.
    pub round: Round,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

impl ReadDeflection {
    fn read(&self) -> Result<Deflection, ApiError> {
        let nm = self.deflection.length()?.nm;
        let mass_mg = milligrams(&self.grams, "mass", "1998")?;
        Ok(Deflection { nm, mass_mg })
    }
}

/// Records the deflection of a wire under a hung mass at mid span; one that tells more than a wire may
/// have, less than a ruler can, or a slack wire is questioned.
pub fn read_deflection(app: &App, request: ReadDeflection) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let read = request.read()?;
    let acted = tensions::read_deflection(&mut app.record(), job, run, &request, read)?;
    Ok(Recorded::of(&acted))
}
