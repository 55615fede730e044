//! How one reading stands against what is asked.

use mechanics::Newtons;
use mechanics::tension::{self, reading_state};

use super::ReadingState;
use crate::job::things::Tool;
use crate::model::values::{Method, ToolKind};
use crate::work::WorkError;

/// Only a strain gauge tells that a tension is there; what is below is below whatever told it.
pub(super) fn told_by(tool: Option<&Tool>, method: Method, state: ReadingState) -> ReadingState {
    let gauge = tool.is_some_and(|t| t.kind == Some(ToolKind::TensionGauge));
    if method == Method::Gauge && !gauge && state != ReadingState::Below {
        ReadingState::Open
    } else {
        state
    }
}

/// Without a known error nothing is clear: what reaches the required tension is at the mark.
pub(super) fn state(
    read: Newtons,
    required: Newtons,
    error: Option<f64>,
) -> Result<ReadingState, WorkError> {
    let found = reading_state(read, required, error.unwrap_or(0.0))?;
    Ok(match (found, error) {
        (tension::ReadingState::Below, _) => ReadingState::Below,
        (tension::ReadingState::Clear, Some(_)) => ReadingState::Clear,
        (tension::ReadingState::AtTheMark | tension::ReadingState::Clear, _) => {
            ReadingState::AtTheMark
        }
    })
}
