//! From the tensions as they are: what was reached on the way, and by how much to turn one wire
//! alone or some together.
//!
//! Invariant: a wire that is not named keeps its turn-in. Does not know who read what.

use super::Frame;
use super::standing::{Standing, bare, shown_tight};
use crate::error::{MechanicsError, not_negative, within};
use crate::spd;
use crate::units::{Millimetres, Newtons};

/// Tensions of all wires after some were brought to what the gauge showed, one after the other;
/// a wire that was never brought to anything is slack.
///
/// By [`turn_alone`], one after the other; a wire brought to nothing is one that was taken out, and hangs
/// loose whatever the others do.
///
/// # Errors
/// When a wire is not in the frame, a tension cannot be, or no turn leads to it.
pub fn brought(
    frame: &Frame,
    readings: &[(usize, Newtons)],
) -> Result<Vec<Newtons>, MechanicsError> {
    let slack = Standing::of(&frame.flexibility, vec![0.0; frame.wires()], Vec::new())?;
    bring(frame, slack, readings)
}

/// The same from the tensions as they are; wires that show nothing hang loose.
///
/// # Errors
/// As [`brought`], and when there is not one tension for each wire.
pub fn brought_on(
    frame: &Frame,
    now: &[Newtons],
    readings: &[(usize, Newtons)],
) -> Result<Vec<Newtons>, MechanicsError> {
    let turned = bare(&frame.turn_in(now)?);
    let mut standing = Standing::of(&frame.flexibility, turned, shown_tight(now))?;
    for (wire, tension) in now.iter().enumerate() {
        if tension.value() <= 0.0 {
            standing.let_go(wire)?;
        }
    }
    bring(frame, standing, readings)
}

fn bring(
    frame: &Frame,
    mut standing: Standing<'_>,
    readings: &[(usize, Newtons)],
) -> Result<Vec<Newtons>, MechanicsError> {
    for (wire, tension) in readings {
        known(frame, *wire)?;
        let to = not_negative("a wire's tension", *tension)?;
        if to > 0.0 {
            standing.bring(*wire, to)?;
        } else {
            standing.let_go(*wire)?;
        }
    }
    Ok(standing.tensions().iter().copied().map(Newtons).collect())
}

/// Turn-in that brings one wire alone from the tensions as they are to one of its own; below zero:
/// let out.
///
/// Linear elasticity of [`Frame`], slack wires let go (see `standing`).
///
/// # Errors
/// When there is not one tension for each wire, the wire is not in the frame, a tension cannot be,
/// or no turn leads to it.
pub fn turn_alone(
    frame: &Frame,
    now: &[Newtons],
    wire: usize,
    to: Newtons,
) -> Result<Millimetres, MechanicsError> {
    known(frame, wire)?;
    let to = not_negative("a wire's tension", to)?;
    let turned = bare(&frame.turn_in(now)?);
    let mut standing = Standing::of(&frame.flexibility, turned, shown_tight(now))?;
    Ok(Millimetres(standing.bring(wire, to)?))
}

/// Turn-ins that bring the named wires together to their tensions while the others, left as they
/// are, give way: Δt = (K_SS)⁻¹·ΔT with K = C⁻¹ and S the wires named.
///
/// Holds while no wire goes slack.
///
/// # Errors
/// As [`turn_alone`].
pub fn turn_together(
    frame: &Frame,
    now: &[Newtons],
    wanted: &[(usize, Newtons)],
) -> Result<Vec<Millimetres>, MechanicsError> {
    let have = frame.numbers(now)?;
    let mut missing = Vec::with_capacity(wanted.len());
    let mut stiffness: spd::Matrix = Vec::with_capacity(wanted.len());
    for (wire, tension) in wanted {
        known(frame, *wire)?;
        let to = not_negative("a wire's tension", *tension)?;
        missing.push(to - have.get(*wire).copied().unwrap_or(to));
        let mut unit = vec![0.0; frame.wires()];
        if let Some(own) = unit.get_mut(*wire) {
            *own = 1.0;
        }
        let column = spd::solve(&frame.factor, &unit);
        let of = |(other, _): &(usize, Newtons)| column.get(*other).copied().unwrap_or(0.0);
        stiffness.push(wanted.iter().map(of).collect());
    }
    let lower = spd::factor(&stiffness).ok_or(MechanicsError::NotFinite {
        what: "the wires' stiffness against each other",
    })?;
    let turned = spd::solve(&lower, &missing);
    Ok(turned.into_iter().map(Millimetres).collect())
}

fn known(frame: &Frame, wire: usize) -> Result<(), MechanicsError> {
    let last = super::count(frame.wires().saturating_sub(1));
    within("a wire's place in the run", super::count(wire), 0.0, last).map(drop)
}
