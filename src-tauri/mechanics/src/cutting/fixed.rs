//! The common-practice rule "inside to inside minus a fixed length", held against the window.
//!
//! Invariant: the rule is only ever compared, never used as an aim: it belongs to one fitting
//! pair at zero stretch and says nothing of another. Does not choose a deduction.

use serde::{Deserialize, Serialize};

use super::CutWindow;
use crate::error::{MechanicsError, positive};
use crate::units::Millimetres;

/// Where the fixed rule's cut lies.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum FixedPlace {
    /// Inside the window.
    #[serde(rename_all = "camelCase")]
    Inside {
        /// Distance to the nearer end of the window.
        in_hand: Millimetres,
    },
    /// Longer than the longest cut.
    #[serde(rename_all = "camelCase")]
    TooLong {
        /// By how much.
        by: Millimetres,
    },
    /// Shorter than the shortest cut.
    #[serde(rename_all = "camelCase")]
    TooShort {
        /// By how much.
        by: Millimetres,
    },
}

/// A fixed deduction beside the window.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FixedDeduction {
    /// The fixed deduction.
    pub deduction: Millimetres,
    /// The cut it gives.
    pub cut: Millimetres,
    /// Where that cut lies.
    pub place: FixedPlace,
}

/// Holds the cut of a fixed deduction against the window.
///
/// The rule is common practice, without a source.
///
/// # Errors
/// When the length or the cut is not above zero.
pub fn compare_fixed_deduction(
    window: &CutWindow,
    inside_to_inside: Millimetres,
    deduction: Millimetres,
) -> Result<FixedDeduction, MechanicsError> {
    positive("the inside-to-inside length", inside_to_inside)?;
    let cut = Millimetres(positive(
        "the cut of the fixed deduction",
        inside_to_inside - deduction,
    )?);
    let place = if cut > window.longest {
        FixedPlace::TooLong {
            by: cut - window.longest,
        }
    } else if cut < window.shortest {
        FixedPlace::TooShort {
            by: window.shortest - cut,
        }
    } else {
        FixedPlace::Inside {
            in_hand: (window.longest - cut).min(cut - window.shortest),
        }
    };
    Ok(FixedDeduction {
        deduction,
        cut,
        place,
    })
}
