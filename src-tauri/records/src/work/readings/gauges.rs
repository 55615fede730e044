//! What each gauge of a job must show to be clear of the required tension.
//!
//! Invariant: a gauge that states no error of its own is held to that of the gauge that is counted.

use mechanics::{Newtons, tension};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::Against;
use crate::ids::ItemId;
use crate::job::Job;
use crate::job::things::Tool;
use crate::model::values::ToolKind;
use crate::work::WorkError;
use crate::work::tension::share;

/// What a gauge must show to be clear of the required tension.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct GaugeClear {
    /// The gauge.
    pub tool: ItemId,
    /// Least reading on it that is clear, in newtons; none where no error is known or nothing is
    /// required.
    pub clear_from_n: Option<f64>,
}

/// Each tension gauge of the job.
pub(super) fn gauges(job: &Job<'_>, against: &Against<'_>) -> Result<Vec<GaugeClear>, WorkError> {
    job.tools
        .iter()
        .filter(|t| t.kind == Some(ToolKind::TensionGauge))
        .map(|tool| {
            Ok(GaugeClear {
                tool: tool.id,
                clear_from_n: clear_from(against.required, error_on(Some(tool), against))?,
            })
        })
        .collect()
}

/// A gauge's error as a share: its own, else that of the gauge that is counted.
pub(super) fn error_on(gauge: Option<&Tool>, against: &Against<'_>) -> Option<f64> {
    let own = gauge.and_then(|t| t.error_per_10000).map(share);
    own.or_else(|| against.gauge.and_then(|g| g.error))
}

/// Least reading in newtons that is clear of the required tension.
pub(super) fn clear_from(
    required: Option<Newtons>,
    error: Option<f64>,
) -> Result<Option<f64>, WorkError> {
    Ok(match (required, error) {
        (Some(required), Some(error)) => Some(tension::clear_from(required, error)?.value()),
        _ => None,
    })
}
