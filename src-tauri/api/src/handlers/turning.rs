//! Bringing a run to its tension, and what it loses later.

use records::model::values::Turns;
use records::work::{self, Corners, Recheck, Tensioning};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::work::{OfRun, of_run};
use super::{Recorded, item, job_id};
use crate::acts;
use crate::{ApiError, App};

/// Tells how a run is brought to its set tension, and what is left to turn.
pub fn tensioning(app: &App, request: OfRun) -> Result<Tensioning, ApiError> {
    of_run(app, &request, work::tensioning)
}

/// Tells what a run is expected to lose later, and how it stands when it is looked at again.
pub fn recheck(app: &App, request: OfRun) -> Result<Recheck, ApiError> {
    of_run(app, &request, work::recheck)
}

/// Tells what friction leaves of a run's tension behind its corners, and where to tension from.
pub fn corners(app: &App, request: OfRun) -> Result<Corners, ApiError> {
    of_run(app, &request, work::corners)
}

/// Tells that a wire was turned in.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct TurnWire {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// Turns and flats at the run's first post.
    pub turns: Turns,
    /// Those at its last post, where they are others than at the first.
    #[serde(default)]
    #[ts(optional)]
    pub last: Option<Turns>,
    /// The tension towards which it was turned, in millinewtons: that of the pass, or the set one.
    pub to_mn: i64,
}

/// Records that a wire was turned in at both ends, in one act.
pub fn turn_wire(app: &App, request: TurnWire) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let acted = acts::turning::turned(&mut app.record(), job, run, &request)?;
    Ok(Recorded::of(&acted))
}
