//! Even passes in steps, and planning again after what was read or skipped.
//!
//! In a pass each wire in turn is brought to the pass's tension; those tightened before fall as
//! the posts give. The last step is gone over again until no wire is expected to differ by more
//! than the gauge can tell. Invariant: no wire is asked for more than the set tension.

use serde::{Deserialize, Serialize};

use super::Frame;
use crate::error::{MechanicsError, positive};
use crate::tension::{gauge_step, shown};
use crate::units::{Millimetres, Newtons};

/// Times that the last step is gone over again at most.
const MOST_REPEATS: usize = 4;

/// One step of even passes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PassStep {
    /// What every wire is brought to.
    pub tension: Newtons,
}

/// A pass over all wires.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Pass {
    /// What every wire is brought to.
    pub tension: Newtons,
    /// The wires in the order in which they are tightened.
    pub wires: Vec<PassWire>,
    /// Lowest tension expected when the pass is done.
    pub lowest: Newtons,
    /// Highest.
    pub highest: Newtons,
}

/// A wire in a pass.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PassWire {
    /// The wire, from 0 at the bottom.
    pub wire: usize,
    /// Turn-in of both ends together in this pass.
    pub turn_in: Millimetres,
    /// Tension expected when the whole pass is done.
    pub after: Newtons,
}

/// What is left to do, from the tensions as they are.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Replan {
    /// The wires that need turning, in the order in which they are turned.
    pub wires: Vec<ReplanWire>,
    /// The most that any wire shows on the way.
    pub largest: Newtons,
}

/// A wire that needs turning.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ReplanWire {
    /// The wire, from 0 at the bottom.
    pub wire: usize,
    /// Turn-in of both ends together; below zero: let out.
    pub turn_in: Millimetres,
    /// What it shows when it has just been turned.
    pub shows: Newtons,
}

/// The usual steps: two fifths, nearly three quarters, all of the set tension, each as the gauge
/// can show it (600, 1100, 1500). Common practice.
///
/// # Errors
/// When the set tension is not above zero or the error is out of range.
pub fn default_steps(set: Newtons, gauge_error: f64) -> Result<Vec<PassStep>, MechanicsError> {
    let mut steps = Vec::new();
    for share in [0.4, 0.733] {
        let tension = shown(set * share, gauge_error)?;
        steps.push(PassStep { tension });
    }
    steps.push(PassStep { tension: set });
    Ok(steps)
}

/// Even passes through the steps, from slack wires, with what is expected on the way.
///
/// # Errors
/// When there is no step, one is not above zero, or the error is out of range.
pub fn even_passes(
    frame: &Frame,
    steps: &[PassStep],
    gauge_error: f64,
) -> Result<Vec<Pass>, MechanicsError> {
    let Some(last) = steps.last() else {
        return Err(MechanicsError::NotPositive {
            what: "the number of passes",
            value: 0.0,
        });
    };
    let near = gauge_step(last.tension, gauge_error)?;
    let mut turned = vec![0.0; frame.wires()];
    let mut passes = Vec::new();
    let repeats = std::iter::repeat_n(last, MOST_REPEATS);
    for (number, step) in steps.iter().chain(repeats).enumerate() {
        let enough = passes
            .last()
            .is_some_and(|pass: &Pass| number >= steps.len() && step.tension - pass.lowest <= near);
        if enough {
            break;
        }
        positive("a pass's tension", step.tension.value())?;
        let order = pass_order(frame.wires(), number);
        passes.push(pass(frame, &mut turned, step.tension, &order));
    }
    Ok(passes)
}

fn pass(frame: &Frame, turned: &mut [f64], to: Newtons, order: &[usize]) -> Pass {
    let steps: Vec<(usize, f64)> = order
        .iter()
        .map(|wire| (*wire, bring(frame, turned, *wire, to.value())))
        .collect();
    let tensions: Vec<Newtons> = frame.tensions(turned).into_iter().map(Newtons).collect();
    Pass {
        tension: to,
        wires: steps
            .into_iter()
            .map(|(wire, turn_in)| PassWire {
                wire,
                turn_in: Millimetres(turn_in),
                after: tensions.get(wire).copied().unwrap_or_default(),
            })
            .collect(),
        lowest: tensions.iter().copied().fold(to, Newtons::min),
        highest: tensions.iter().copied().fold(Newtons(0.0), Newtons::max),
    }
}

/// Turns one wire alone until it shows this tension, and tells by how much it was turned. What
/// one millimetre adds is that of the wires that are tight, so it is asked again until it fits.
pub(super) fn bring(frame: &Frame, turned: &mut [f64], wire: usize, to: f64) -> f64 {
    let at = |turned: &[f64]| frame.tensions(turned).get(wire).copied().unwrap_or(to);
    let alone = frame.axial.get(wire).copied().unwrap_or(1.0);
    let before = turned.get(wire).copied().unwrap_or(0.0);
    for _ in 0..60 {
        let missing = to - at(turned);
        if missing.abs() < 1.0e-9 {
            break;
        }
        let more = match frame.newtons_per_millimetre(wire) {
            // A slack wire is first turned until it is tight: never by more than it needs alone.
            Some(own) if at(turned) > 0.0 && own > 0.0 => missing / own,
            _ => missing * alone,
        };
        if let Some(own) = turned.get_mut(wire) {
            *own += more;
        }
    }
    turned.get(wire).copied().unwrap_or(0.0) - before
}

/// The order of a pass: outer wires first, low and high in turn; every second pass the other way.
#[must_use]
pub fn pass_order(wires: usize, pass: usize) -> Vec<usize> {
    let mut order = from_the_edges(wires);
    if pass % 2 == 1 {
        order.reverse();
    }
    order
}

/// Lowest, highest, second lowest, second highest …
pub(super) fn from_the_edges(wires: usize) -> Vec<usize> {
    (0..wires)
        .map(|n| if n % 2 == 0 { n / 2 } else { wires - 1 - n / 2 })
        .collect()
}

/// What is left to turn, from the tensions as they are now to those wanted.
///
/// A slack wire is taken as just not tight. The turn-ins are exact whatever the order, since tensions follow from turn-ins alone; wires
/// that need less than half a flat (`smallest`) are left. Wires are turned in the order given by
/// the need: the largest first.
///
/// # Errors
/// When there is not one tension for each wire, or one is below zero.
pub fn replan(
    frame: &Frame,
    now: &[Newtons],
    wanted: &[Newtons],
    smallest: Millimetres,
) -> Result<Replan, MechanicsError> {
    let have = frame.turn_in(now)?;
    let need = frame.turn_in(wanted)?;
    let mut left: Vec<(usize, f64)> = have
        .iter()
        .zip(&need)
        .map(|(have, need)| (*need - *have).value())
        .enumerate()
        .filter(|(_, turn)| turn.abs() >= smallest.value())
        .collect();
    left.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    let mut turned: Vec<f64> = have.iter().map(|turn| turn.value()).collect();
    let mut wires = Vec::new();
    let mut largest = Newtons(0.0);
    for (wire, turn) in left {
        if let Some(own) = turned.get_mut(wire) {
            *own += turn;
        }
        let shows = frame.tensions(&turned).get(wire).copied();
        let shows = Newtons(shows.unwrap_or(0.0));
        largest = largest.max(shows);
        wires.push(ReplanWire {
            wire,
            turn_in: Millimetres(turn),
            shows,
        });
    }
    Ok(Replan { wires, largest })
}
