//! Cutting: releases of wires for cutting; ticks of acts stand in `ticks`.

mod ticks;

use records::model::entered;
use records::model::values::DeductionBy;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Recorded, item, job_id};
use crate::acts::cutting;
use crate::{ApiError, App};

pub use ticks::{TickWires, tick_wires};

/// Releases wires for cutting.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct IssueCuts {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Wires, like `1-12`.
    pub wires: String,
    /// Release other wires than the trial wire before it was fitted and read, and why.
    #[serde(default)]
    #[ts(optional)]
    pub before_trial: Option<String>,
    /// Which deduction to cut by: a choice that is asked for once a trial wire was read.
    #[serde(default)]
    #[ts(optional)]
    pub deduction: Option<DeductionBy>,
    /// Set when the person was asked and said yes: about a trial reading that can hardly be right,
    /// lengths that contradict the bays, a bay that the table has no figure for.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
    /// The lengths that the person saw, wire by wire. Where one of them is no longer what the
    /// sheet says, nothing is released.
    #[serde(default)]
    #[ts(optional)]
    pub seen: Option<Vec<SeenCut>>,
}

/// A length to cut as a person saw it.
#[derive(Clone, Copy, Debug, Deserialize, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SeenCut {
    /// Number of the wire.
    pub wire: u32,
    /// What the sheet said to cut, in mm.
    pub aim_mm: f64,
}

/// Releases wires for cutting with the figures of the cut sheet as told; all or none.
pub fn issue_cuts(app: &App, request: IssueCuts) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let wires = entered::wires(&request.wires)?;
    let acted = cutting::issue(&mut app.record(), job, run, &wires, &request)?;
    Ok(Recorded::of(&acted))
}
