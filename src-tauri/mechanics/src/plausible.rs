//! Lengths as they come in: refused, questioned, or taken.
//!
//! Invariant: a questioned length is never changed, only asked about. Does not know units typed.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, positive, within};
use crate::units::Millimetres;

/// Why a length is asked about before it is kept.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum LengthQuestion {
    /// Longer than a hundred metres.
    #[serde(rename_all = "camelCase")]
    VeryLong {
        /// The length.
        length: Millimetres,
        /// One sentence.
        sentence: String,
    },
    /// About 25.4 times off its neighbours: inches and millimetres mixed up.
    #[serde(rename_all = "camelCase")]
    InchesOrMillimetres {
        /// The length.
        length: Millimetres,
        /// What it would be in the other unit.
        perhaps: Millimetres,
        /// One sentence.
        sentence: String,
    },
    /// More than twice or less than half of its neighbours.
    #[serde(rename_all = "camelCase")]
    FarFromNeighbours {
        /// The length.
        length: Millimetres,
        /// Middle one of its neighbours.
        neighbours: Millimetres,
        /// One sentence.
        sentence: String,
    },
}

/// Longest length that is taken without a question.
pub const QUESTION_FROM: Millimetres = Millimetres(100_000.0);

/// Longest length that is taken at all.
pub const REFUSE_FROM: Millimetres = Millimetres(1_000_000.0);

const MM_PER_INCH: f64 = 25.4;

/// Refuses a length that cannot be and asks about one that is unlikely.
///
/// `alike` are lengths that should be about as long: other wires of the run, other bays.
///
/// # Errors
/// When the length is not a number, not above zero, or over a kilometre.
pub fn question_length(
    length: Millimetres,
    alike: &[Millimetres],
) -> Result<Option<LengthQuestion>, MechanicsError> {
    let value = positive("a length", length.value())?;
    within("a length in mm", value, 0.0, REFUSE_FROM.value())?;
    if let Some(neighbours) = middle(alike) {
        let ratio = length / neighbours;
        // A fifth either way: neighbours differ, but not by 25.
        let about = |factor: f64| ratio > factor * 0.8 && ratio < factor * 1.25;
        let perhaps = if about(1.0 / MM_PER_INCH) {
            Some(length * MM_PER_INCH)
        } else if about(MM_PER_INCH) {
            Some(length / MM_PER_INCH)
        } else {
            None
        };
        if let Some(perhaps) = perhaps {
            return Ok(Some(LengthQuestion::InchesOrMillimetres {
                length,
                perhaps,
                sentence: format!(
                    "{length} beside {neighbours}: inches typed for millimetres, or the other \
                     way round? It would be {perhaps}."
                ),
            }));
        }
        if !(0.5..=2.0).contains(&ratio) {
            return Ok(Some(LengthQuestion::FarFromNeighbours {
                length,
                neighbours,
                sentence: format!("{length} beside {neighbours}: is that right?"),
            }));
        }
    }
    if length > QUESTION_FROM {
        return Ok(Some(LengthQuestion::VeryLong {
            length,
            sentence: format!("{length} is more than {QUESTION_FROM}: is that right?"),
        }));
    }
    Ok(None)
}

fn middle(alike: &[Millimetres]) -> Option<Millimetres> {
    let mut sorted: Vec<_> = alike
        .iter()
        .copied()
        .filter(|length| length.value().is_finite() && length.value() > 0.0)
        .collect();
    sorted.sort_by(|a, b| a.value().total_cmp(&b.value()));
    sorted.get(sorted.len() / 2).copied()
}
