//! Bays beside the columns of the table: what is in hand, and what a few millimetres cost.
//!
//! Invariant: the figures are the lookup's own; nothing is interpolated.

use serde::{Deserialize, Serialize};

use crate::error::MechanicsError;
use crate::rules::{Outcome, Outside, RuleSet, TensionRow, look_up_tension};
use crate::strand::Construction;
use crate::units::{Millimetres, Newtons};

/// A bay of a layout.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct BayToRead {
    /// Name ("A2–A3").
    pub label: String,
    /// Clear, along the wire.
    pub clear: Millimetres,
}

/// A bay beside the columns of the table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct BayMargin {
    /// Name of the bay.
    pub label: String,
    /// What the table says.
    pub row: TensionRow,
    /// In hand before the next longer column.
    pub in_hand: Option<Millimetres>,
    /// Over the next shorter column: closing the bay by this reads that column.
    pub over: Option<Millimetres>,
    /// What being over costs.
    pub costs: Option<Newtons>,
    /// One sentence: what being over the row before costs, and what the row after would.
    pub sentence: String,
}

/// Every bay beside the columns of the table; `spacing` is square to the wires.
///
/// # Errors
/// When a length is not above zero.
pub fn bay_margins(
    set: &RuleSet,
    diameter: Millimetres,
    lay: Construction,
    spacing: Millimetres,
    bays: &[BayToRead],
) -> Result<Vec<BayMargin>, MechanicsError> {
    bays.iter()
        .map(|bay| {
            let row = look_up_tension(set, diameter, lay, spacing, bay.clear)?;
            let in_hand = row.longer_bay.as_ref().map(|next| next.distance);
            let over = row.shorter_bay.as_ref().map(|next| next.distance);
            let less = row.shorter_bay.as_ref().and_then(|next| next.difference);
            let costs = less.map(|less| -less);
            Ok(BayMargin {
                label: bay.label.clone(),
                sentence: sentence(bay, &row, costs),
                row,
                in_hand,
                over,
                costs,
            })
        })
        .collect()
}

fn sentence(bay: &BayToRead, row: &TensionRow, costs: Option<Newtons>) -> String {
    let Some(read) = row.read_as else {
        return match row.outcome {
            Outcome::Outside {
                why: Outside::NoTable,
            } => {
                format!(
                    "{}: the rule set has no table for {}.",
                    bay.label, bay.clear
                )
            }
            _ => format!("{}: the table does not reach {}.", bay.label, bay.clear),
        };
    };
    let asks = match &row.outcome {
        Outcome::Figure { limit } => limit.to_string(),
        Outcome::NotAllowed => "not allowed".to_owned(),
        Outcome::Outside { .. } => "no figure".to_owned(),
    };
    let over = match (&row.shorter_bay, costs) {
        (Some(next), Some(costs)) => {
            format!(
                "; {} over the {} row, which asks {costs} less",
                next.distance, next.at
            )
        }
        (Some(next), None) => format!("; {} over {}", next.distance, next.at),
        (None, _) => String::new(),
    };
    let hand = match &row.longer_bay {
        Some(next) => {
            let more = next
                .difference
                .map_or_else(String::new, |more| format!(", which asks {more} more"));
            format!(
                "; {} in hand before the {} row{more}",
                next.distance, next.at
            )
        }
        None => "; no longer column".to_owned(),
    };
    format!(
        "{}: reads {}, {asks}{over}{hand}.",
        bay.label, read.post_clear
    )
}
