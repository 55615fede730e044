//! Ticks of acts on wires, one or many at a time.

use records::model::entered;
use records::model::values::Act as Tick;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use crate::acts::cutting;
use crate::handlers::measure::Typed;
use crate::handlers::{Recorded, item, job_id};
use crate::{ApiError, App};

/// Ticks an act off for wires of a run.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct TickWires {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Wires, like `1-12`.
    pub wires: String,
    /// The act.
    pub act: Tick,
    /// False takes the tick back.
    pub done: bool,
    /// For cutting: the batch that the strand came from.
    #[serde(default)]
    #[ts(optional)]
    pub batch: Option<String>,
    /// For cutting wires of a run that no cut is computed for: the length at which each was cut on site.
    #[serde(default)]
    #[ts(optional)]
    pub on_site: Option<Typed>,
    /// Set when the person was asked about a release whose ground moved, or a tick that contradicts
    /// what is known, and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Ticks an act off for wires, in any order; a tick of cutting needs a release of each wire.
pub fn tick_wires(app: &App, request: TickWires) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let batch = request.batch.as_deref().map(item).transpose()?;
    let wires = entered::wires(&request.wires)?;
    let acted = cutting::tick(&mut app.record(), job, run, &wires, batch, &request)?;
    Ok(Recorded::of(&acted))
}
