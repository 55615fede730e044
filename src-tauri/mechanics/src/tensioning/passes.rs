//! Even passes in steps.
//!
//! In a pass each wire in turn is brought to the pass's tension; those tightened before fall as
//! the posts give. The last step is gone over again until no wire is expected to differ by more
//! than the gauge can tell. Invariant: no wire is asked for more than the set tension.

use serde::{Deserialize, Serialize};

use super::Frame;
use super::standing::{Standing, bare, shown_tight};
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

/// The usual steps: two fifths, nearly three quarters, all of the set tension, those on the way as
/// the gauge can show them (600, 1100, 1500); each above the one before. Common practice.
///
/// # Errors
/// When the set tension is not above zero or the error is out of range.
pub fn default_steps(set: Newtons, gauge_error: f64) -> Result<Vec<PassStep>, MechanicsError> {
    let mut steps: Vec<PassStep> = Vec::new();
    for share in [0.4, 0.733] {
        let tension = shown(set * share, gauge_error)?;
        let before = steps.last().map_or(Newtons(0.0), |step| step.tension);
        if tension > before && tension < set {
            steps.push(PassStep { tension });
        }
    }
    steps.push(PassStep { tension: set });
    Ok(steps)
}

/// Even passes through the steps, from slack wires, with what is expected on the way; the last step is
/// not gone over again where every turn would be less than half a flat (`smallest`).
///
/// Linear elasticity of [`Frame`]; that passes are even and corners alternate is common practice.
///
/// # Errors
/// When there is no step, one is not above zero, the error is out of range, or a wire can't be
/// brought to a step.
pub fn even_passes(
    frame: &Frame,
    steps: &[PassStep],
    gauge_error: f64,
    smallest: Millimetres,
) -> Result<Vec<Pass>, MechanicsError> {
    let slack = vec![Newtons(0.0); frame.wires()];
    let none = vec![0; frame.wires()];
    even_passes_on(frame, &slack, &none, steps, gauge_error, smallest)
}

/// The same from the tensions as they are now, where each wire went through so many of the passes (`gone`)
/// already: it stays where it is in those, though it fell since, and in any whose tension it shows.
///
/// # Errors
/// As [`even_passes`], and when there is not one tension for each wire; a wire that `gone` does not name went
/// through none.
pub fn even_passes_on(
    frame: &Frame,
    now: &[Newtons],
    gone: &[usize],
    steps: &[PassStep],
    gauge_error: f64,
    smallest: Millimetres,
) -> Result<Vec<Pass>, MechanicsError> {
    let Some(last) = steps.last() else {
        return Err(MechanicsError::NotPositive {
            what: "the number of passes",
            value: 0.0,
            unit: "",
        });
    };
    let near = gauge_step(last.tension, gauge_error)?;
    let have = bare(&frame.turn_in(now)?);
    let mut standing = Standing::of(&frame.flexibility, have, shown_tight(now))?;
    let mut passes = Vec::new();
    let repeats = std::iter::repeat_n(last, MOST_REPEATS);
    for (number, step) in steps.iter().chain(repeats).enumerate() {
        let enough = passes
            .last()
            .is_some_and(|pass: &Pass| number >= steps.len() && step.tension - pass.lowest <= near);
        if enough {
            break;
        }
        positive("a pass's tension", step.tension)?;
        let order = pass_order(frame.wires(), number);
        let through = |wire: usize| gone.get(wire).is_some_and(|passes| *passes > number);
        let next = pass(&mut standing, step.tension, &order, through)?;
        // A repeat in which nobody would turn by half a flat is none, but for one that is gone through.
        let turns = |wire: &PassWire| wire.turn_in.abs() >= smallest || through(wire.wire);
        if number >= steps.len() && !next.wires.iter().any(turns) {
            break;
        }
        passes.push(next);
    }
    Ok(passes)
}

fn pass(
    standing: &mut Standing<'_>,
    to: Newtons,
    order: &[usize],
    through: impl Fn(usize) -> bool,
) -> Result<Pass, MechanicsError> {
    let mut steps = Vec::with_capacity(order.len());
    for wire in order {
        let there = through(*wire) || standing.shows(*wire) >= to.value();
        let turned = if there {
            0.0
        } else {
            standing.bring(*wire, to.value())?
        };
        steps.push((*wire, turned));
    }
    let tensions = || standing.tensions().iter().copied().map(Newtons);
    Ok(Pass {
        tension: to,
        wires: steps
            .into_iter()
            .map(|(wire, turn_in)| PassWire {
                wire,
                turn_in: Millimetres(turn_in),
                after: Newtons(standing.shows(wire)),
            })
            .collect(),
        lowest: tensions().fold(to, Newtons::min),
        highest: tensions().fold(Newtons(0.0), Newtons::max),
    })
}

/// The wires, from the bottom, that the last of the passes is expected to leave further below its
/// tension than the gauge can tell: the passes do not arrive. What less than half a flat (`smallest`)
/// would more than make up is no turn that anybody can make, and is not counted.
///
/// # Errors
/// When the error is out of range.
pub fn left_short(
    frame: &Frame,
    passes: &[Pass],
    gauge_error: f64,
    smallest: Millimetres,
) -> Result<Vec<usize>, MechanicsError> {
    let Some(last) = passes.last() else {
        return Ok(Vec::new());
    };
    let near = gauge_step(last.tension, gauge_error)?;
    let turned =
        |wire: usize| frame.newtons_per_millimetre(wire).unwrap_or_default() * smallest.value();
    let short = |wire: &&PassWire| {
        let below = last.tension - wire.after;
        below > near && below.value() >= turned(wire.wire)
    };
    let mut wires: Vec<usize> = last.wires.iter().filter(short).map(|w| w.wire).collect();
    wires.sort_unstable();
    Ok(wires)
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
