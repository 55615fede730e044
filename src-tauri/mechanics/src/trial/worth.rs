//! Whether another trial wire is worth its cost.
//!
//! What it saves is the fall in the number of wires expected to miss their window; what it costs
//! is the wait until it is fitted. Invariant: both numbers are given, the advice follows from them.

use serde::{Deserialize, Serialize};

use super::{Expected, Fitted, learn, next_deduction};
use crate::cutting::{CutWindow, straight_chance};
use crate::error::MechanicsError;
use crate::units::Millimetres;

/// Wires fewer to miss their window that make a further trial worth the wait: one in twenty
/// wires saved outweighs half an hour (an assumption of the project).
const WORTH_WIRES: f64 = 0.05;

/// A wire that is not cut yet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Remaining {
    /// D.
    pub inside_to_inside: Millimetres,
    /// Its window.
    pub window: CutWindow,
}

/// What one more trial wire would bring.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Worth {
    /// Remaining wires expected to miss their window when cut now.
    pub misses_now: f64,
    /// The same after one more trial wire.
    pub misses_then: f64,
    /// Widest spread of a remaining wire now.
    pub spread_now: Millimetres,
    /// The same after one more trial wire.
    pub spread_then: Millimetres,
    /// Narrowest half window among them.
    pub narrowest_half: Millimetres,
    /// Whether a further trial is advised.
    pub worth: bool,
}

/// Compares cutting the remaining wires now with fitting one more trial wire first.
///
/// The further trial is taken at the length of the first remaining wire and to read as expected:
/// the spread does not depend on what it reads. Advised where it saves [`WORTH_WIRES`] of a wire,
/// and after one trial also where a half window is under 2.5·s_e (engineering basis).
///
/// # Errors
/// When a figure cannot be.
pub fn second_trial(
    expected: &Expected,
    fitted: &[Fitted],
    remaining: &[Remaining],
) -> Result<Option<Worth>, MechanicsError> {
    let Some(next) = remaining.first() else {
        return Ok(None);
    };
    let now = learn(expected, fitted)?;
    let offset = next_deduction(
        &now,
        next.inside_to_inside,
        Millimetres(0.0),
        Millimetres(0.0),
    )?;
    let mut more = fitted.to_vec();
    more.push(Fitted {
        wire: 0,
        inside_to_inside: next.inside_to_inside,
        cut: next.inside_to_inside,
        usable_thread: Millimetres(1.0),
        showing: Millimetres(1.0) - offset.deduction,
        inward: Millimetres(0.0),
        still_to_come: Millimetres(0.0),
    });
    let then = learn(expected, &more)?;
    let mut worth = Worth {
        misses_now: 0.0,
        misses_then: 0.0,
        spread_now: Millimetres(0.0),
        spread_then: Millimetres(0.0),
        narrowest_half: next.window.width / 2.0,
        worth: false,
    };
    for wire in remaining {
        let spread = |learned| {
            let zero = Millimetres(0.0);
            next_deduction(learned, wire.inside_to_inside, zero, zero).map(|d| d.spread)
        };
        let (a, b) = (spread(&now)?, spread(&then)?);
        worth.misses_now += 1.0 - straight_chance(&wire.window, wire.window.aim, a);
        worth.misses_then += 1.0 - straight_chance(&wire.window, wire.window.aim, b);
        worth.spread_now = worth.spread_now.max(a);
        worth.spread_then = worth.spread_then.max(b);
        worth.narrowest_half = worth.narrowest_half.min(wire.window.width / 2.0);
    }
    let narrow = worth.narrowest_half < expected.fitted_spread * 2.5;
    worth.worth =
        worth.misses_now - worth.misses_then >= WORTH_WIRES || (fitted.len() < 2 && narrow);
    Ok(Some(worth))
}
