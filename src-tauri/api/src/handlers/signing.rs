//! Decisions that a person stands for: sign-offs, evidence that stays away.

use records::model::values::SignStage;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{Recorded, job_id, some_text};
use crate::acts::signing as acts;
use crate::{ApiError, App};

/// Signs a stage off.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SignStageOff {
    /// The job.
    pub job: String,
    /// The stage.
    pub stage: SignStage,
    /// What the person states.
    pub statement: String,
}

/// Records a person's statement on a stage, with the heads that it covers.
pub fn sign_off(app: &App, request: SignStageOff) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let statement = some_text("The statement", &request.statement)?;
    let (acted, remarks) = acts::sign_off(&mut app.record(), job, request.stage, statement)?;
    Ok(Recorded::of(&acted).with(remarks))
}

/// Says why pieces of evidence stay away.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct WaiveEvidence {
    /// The job.
    pub job: String,
    /// Keys of the items, as the list of evidence gives them.
    pub keys: Vec<String>,
    /// Why; empty asks for it again.
    pub reason: String,
}

/// Says why pieces of evidence stay away, all in one act; documents print the reason.
pub fn waive_evidence(app: &App, request: WaiveEvidence) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let acted = acts::waive(&mut app.record(), job, &request.keys, &request.reason)?;
    Ok(Recorded::of(&acted))
}
