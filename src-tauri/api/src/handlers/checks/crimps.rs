//! Crimps: the day's samples that were pulled, and the terminals compared with them.
//!
//! A reject always says why.

use records::model::context::CrimpRead;
use records::model::values::{Crimp, CrimpResult, SampleCrimp};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use crate::acts::checks::crimps;
use crate::handlers::{Recorded, item, job_id, some_text};
use crate::{ApiError, App};

/// Records a sample crimp.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct AddSampleCrimp {
    /// The job.
    pub job: String,
    /// Its figures.
    pub sample: SampleCrimp,
    /// Press, die and batch.
    #[serde(default)]
    #[ts(optional, as = "Option<CrimpRead>")]
    pub with: CrimpRead,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Records a sample crimp that was pulled; one called good whose mark moved, or that was pulled too
/// little or too shortly, is questioned.
pub fn add_sample_crimp(app: &App, request: AddSampleCrimp) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let acted = crimps::add_sample(&mut app.record(), job, &request)?;
    Ok(Recorded::of(&acted))
}

/// Checks crimps of wires at one end.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct CheckCrimps {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Wires, like `1-12`.
    pub wires: String,
    /// The end's post.
    pub post: String,
    /// Good or reject.
    pub result: CrimpResult,
    /// Why it was rejected.
    #[serde(default)]
    #[ts(optional)]
    pub reason: Option<String>,
    /// The day's sample that they refer to.
    #[serde(default)]
    #[ts(optional)]
    pub sample: Option<String>,
    /// The press; without it the sample's.
    #[serde(default)]
    #[ts(optional)]
    pub press: Option<String>,
    /// The die; without it the sample's.
    #[serde(default)]
    #[ts(optional)]
    pub die: Option<String>,
    /// Batch of the terminals.
    #[serde(default)]
    #[ts(optional)]
    pub batch: Option<String>,
    /// Set when the person was asked about wires that are not cut and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

impl CheckCrimps {
    fn crimp(&self) -> Result<Crimp, ApiError> {
        let reason = match self.result {
            CrimpResult::Good => None,
            CrimpResult::Reject => Some(some_text(
                "Why it was rejected",
                self.reason.as_deref().unwrap_or(""),
            )?),
        };
        let result = self.result;
        Ok(Crimp { result, reason })
    }

    /// What the crimps were made with, as far as it was said.
    fn said(&self) -> Result<CrimpRead, ApiError> {
        let told = |id: &Option<String>| id.as_deref().map(item).transpose();
        Ok(CrimpRead {
            sample: self.sample.as_deref().map(str::parse).transpose()?,
            press: told(&self.press)?,
            die: told(&self.die)?,
            batch: told(&self.batch)?,
            ..CrimpRead::default()
        })
    }
}

/// Records crimps as checked; a reject says why, and the wire waits for a remake.
pub fn check_crimps(app: &App, request: CheckCrimps) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let (crimp, said) = (request.crimp()?, request.said()?);
    let acted = crimps::check(&mut app.record(), job, run, &request, &crimp, said)?;
    Ok(Recorded::of(&acted))
}
