//! Wires of a run beside one another: which is tighter or slacker than the middle one.
//!
//! Invariant: it compares readings taken alike and says nothing of what a wire needs. What all of
//! them share, such as a mass per metre told wrongly, cancels; so much less than the band of a
//! single reading counts as a difference.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, positive};
use crate::units::Newtons;

/// Wires within this share of the middle one count as alike (an assumption: three plucks agree
/// within 3 %, and of simulated wires 95 of 100 were read within 2.1 %).
pub const ALIKE: f64 = 0.05;
/// Fewest wires that have a middle.
pub const FEWEST: usize = 3;

/// How a wire stands beside the others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Evenness {
    /// Above the middle one by more than [`ALIKE`].
    Tighter,
    /// Below it by more than [`ALIKE`].
    Slacker,
    /// Within it.
    Alike,
}

/// Wires beside their middle.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Compared {
    /// Median of all.
    pub median: Newtons,
    /// Share over the median and what that means, in the order given; -0.1 is a tenth below.
    pub wires: Vec<(f64, Evenness)>,
}

/// Compares wires with their median; nothing where there are fewer than [`FEWEST`].
///
/// # Errors
/// When a tension is not above zero.
pub fn even_up(tensions: &[Newtons]) -> Result<Option<Compared>, MechanicsError> {
    for tension in tensions {
        positive("the tension", *tension)?;
    }
    if tensions.len() < FEWEST {
        return Ok(None);
    }
    let mut sorted = tensions.to_vec();
    sorted.sort_by(|a, b| a.value().total_cmp(&b.value()));
    let at = |place: usize| sorted.get(place).copied().unwrap_or_default();
    let middle = sorted.len() / 2;
    let median = if sorted.len().is_multiple_of(2) {
        (at(middle - 1) + at(middle)) / 2.0
    } else {
        at(middle)
    };
    let stands = |tension: &Newtons| {
        let over = *tension / median - 1.0;
        let evenness = if over > ALIKE {
            Evenness::Tighter
        } else if over < -ALIKE {
            Evenness::Slacker
        } else {
            Evenness::Alike
        };
        (over, evenness)
    };
    Ok(Some(Compared {
        median,
        wires: tensions.iter().map(stands).collect(),
    }))
}
