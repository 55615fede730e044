//! What each gauge of a job must show to be clear of the required tension.
//!
//! Invariant: a gauge's error is its own and no other's; what one reads that states none is clear of
//! nothing.

use mechanics::Newtons;
use mechanics::tension::{self, held_upper};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::Against;
use crate::ids::ItemId;
use crate::job::Job;
use crate::job::things::Tool;
use crate::model::values::ToolKind;
use crate::work::WorkError;
use crate::work::tension::{most_shown, share};

/// What a gauge must show to be clear of the required tension.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct GaugeClear {
    /// The gauge.
    pub tool: ItemId,
    /// Least reading on it that is clear, in newtons; none where it states no error or nothing is
    /// required.
    pub clear_from_n: Option<f64>,
    /// The most that it may show without its wire being over what nothing may exceed, in newtons; none where nothing
    /// is known.
    pub most_shown_n: Option<f64>,
}

/// Each tension gauge of the job.
pub(super) fn gauges(job: &Job<'_>, against: &Against) -> Result<Vec<GaugeClear>, WorkError> {
    job.tools
        .iter()
        .filter(|t| t.kind == Some(ToolKind::TensionGauge))
        .map(|tool| {
            let error = error_on(Some(tool));
            Ok(GaugeClear {
                tool: tool.id,
                clear_from_n: clear_from(against.required, error)?,
                most_shown_n: most_shown_n(against, error)?,
            })
        })
        .collect()
}

/// The most that a gauge may show without its wire being over what nothing may exceed, in whole newtons.
pub(super) fn most_shown_n(
    against: &Against,
    error: Option<f64>,
) -> Result<Option<f64>, WorkError> {
    let most = against
        .upper
        .map(|upper| most_shown(upper, against.set, error));
    Ok(most.transpose()?.map(|most| held_upper(most).value()))
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
                "{} states no error: what it reads is at the mark at best, and near below the upper tension it may be \
                 over. Enter the gauge's error.",
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
