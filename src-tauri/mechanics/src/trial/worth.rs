//! Whether another trial wire is worth its cost.
//!
//! What it saves is the fall in the number of wires expected to miss their window; what it costs
//! is the wait until it is fitted. Invariant: both numbers are given and the advice follows from
//! them, or from a reading that is questioned: one reading can't show itself bad, a second can. More
//! readings never widen the spread that is told.

use serde::{Deserialize, Serialize};

use super::{Expected, Fitted, Learned, Row, learn, next_deduction, posterior};
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
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
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
    /// Wires whose readings are questioned.
    pub questioned: Vec<u32>,
    /// Whether a further trial is advised.
    pub worth: bool,
}

/// Compares cutting the remaining wires now with fitting one more trial wire first.
///
/// The further trial is taken at the length of the first remaining wire and as a plain reading
/// beside those that are there as they count now: what it reads plays no part. Advised where a
/// reading is questioned, where it saves [`WORTH_WIRES`] of a wire, and after one trial also where a
/// half window is under 2.5·s_e (engineering basis).
///
/// Predictive law of the regression (Gelman et al., Bayesian Data Analysis), its tails summed over the wires;
/// what a wire and a trial are worth is assumed.
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
    let then = with_one_more(expected, fitted, &now, next.inside_to_inside);
    let mut worth = Worth {
        misses_now: 0.0,
        misses_then: 0.0,
        spread_now: Millimetres(0.0),
        spread_then: Millimetres(0.0),
        narrowest_half: next.window.width / 2.0,
        questioned: now.questioned(),
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
    worth.worth = !worth.questioned.is_empty()
        || worth.misses_now - worth.misses_then >= WORTH_WIRES
        || (fitted.len() < 2 && narrow);
    Ok(Some(worth))
}

/// What is known with one plain reading more at a length, the others counting as they do now.
fn with_one_more(
    expected: &Expected,
    fitted: &[Fitted],
    now: &Learned,
    at: Millimetres,
) -> Learned {
    // The variance rests on lengths and weights alone.
    let row = |wire: u32, length: Millimetres| Row {
        wire,
        metres: length.value() / 1000.0,
        z: 0.0,
    };
    let mut rows: Vec<Row> = fitted
        .iter()
        .map(|one| row(one.wire, one.inside_to_inside))
        .collect();
    rows.push(row(0, at));
    let mut weights = now.weights.clone();
    weights.push(1.0);
    Learned {
        variance: posterior(expected, &rows, &weights).variance,
        weights,
        ..now.clone()
    }
}
