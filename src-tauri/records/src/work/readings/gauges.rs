//! What each gauge of a job must show to be clear of the required tension.
//!
//! Invariant: a gauge's error is its own and no other's; what one reads that states none is clear of
//! nothing.

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
    /// Least reading on it that is clear, in newtons; none where it states no error or nothing is
    /// required.
    pub clear_from_n: Option<f64>,
}

/// Each tension gauge of the job.
pub(super) fn gauges(job: &Job<'_>, against: &Against) -> Result<Vec<GaugeClear>, WorkError> {
    job.tools
        .iter()
        .filter(|t| t.kind == Some(ToolKind::TensionGauge))
        .map(|tool| {
            Ok(GaugeClear {
                tool: tool.id,
                clear_from_n: clear_from(against.required, error_on(Some(tool)))?,
            })
        })
        .collect()
}

/// A gauge's error as a share; none where it states none.
pub(super) fn error_on(gauge: Option<&Tool>) -> Option<f64> {
    gauge.and_then(|t| t.error_per_10000).map(share)
}

/// Each tension gauge that states no error, and what to do about it.
pub(super) fn without_error(job: &Job<'_>) -> Vec<String> {
    job.tools
        .iter()
        .filter(|t| t.kind == Some(ToolKind::TensionGauge) && t.error_per_10000.is_none())
        .map(|t| {
            format!(
                "{} states no error: what it reads is at the mark at best. Enter the gauge's error.",
                t.name
            )
        })
        .collect()
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
