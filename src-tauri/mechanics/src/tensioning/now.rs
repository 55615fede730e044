//! From the tensions as they are: what was reached on the way, and by how much to turn one wire
//! alone or some together.
//!
//! Invariant: a wire that is not named keeps its turn-in. Does not know who read what.

use super::Frame;
use super::standing::{Standing, bare, shown_tight};
use crate::error::{MechanicsError, not_negative, within};
use crate::spd;
use crate::units::{Millimetres, Newtons};

/// Wires that are brought to a tension, read and let go, one after the other.
pub struct Brought<'f> {
    frame: &'f Frame,
    standing: Standing<'f>,
}

impl<'f> Brought<'f> {
    /// Of wires that all are slack.
    ///
    /// # Errors
    /// When no tensions can be told.
    pub fn from_slack(frame: &'f Frame) -> Result<Self, MechanicsError> {
        let standing = Standing::of(&frame.flexibility, vec![0.0; frame.wires()], Vec::new())?;
        Ok(Self { frame, standing })
    }

    /// From the tensions as they are; wires that show nothing hang loose.
    ///
    /// # Errors
    /// When there is not one tension for each wire, or one can't be.
    pub fn from_now(frame: &'f Frame, now: &[Newtons]) -> Result<Self, MechanicsError> {
        let turned = bare(&frame.turn_in(now)?);
        let mut standing = Standing::of(&frame.flexibility, turned, shown_tight(now))?;
        for (wire, tension) in now.iter().enumerate() {
            if tension.value() <= 0.0 {
                standing.let_go(wire)?;
            }
        }
        Ok(Self { frame, standing })
    }

    /// One wire is turned alone until it shows this tension, and the others give way; one that is brought to
    /// nothing is taken out, and hangs loose whatever the others do.
    ///
    /// # Errors
    /// When the wire is not in the frame, the tension cannot be, or no turn leads to it.
    pub fn bring(&mut self, wire: usize, to: Newtons) -> Result<(), MechanicsError> {
        known(self.frame, wire)?;
        let to = not_negative("a wire's tension", to)?;
        if to > 0.0 {
            self.standing.bring(wire, to).map(drop)
        } else {
            self.standing.let_go(wire)
        }
    }

    /// One wire is found at this tension, whatever was computed: nothing was turned, so the others stand as
    /// they did.
    ///
    /// # Errors
    /// As [`Brought::from_now`].
    pub fn found(&mut self, wire: usize, at: Newtons) -> Result<(), MechanicsError> {
        let mut now = self.tensions();
        if let Some(own) = now.get_mut(wire) {
            *own = at;
        }
        *self = Self::from_now(self.frame, &now)?;
        Ok(())
    }

    /// What all wires show.
    #[must_use]
    pub fn tensions(&self) -> Vec<Newtons> {
        let shown = self.standing.tensions().iter().copied();
        shown.map(Newtons).collect()
    }
}

/// Tensions of all wires after some were brought to what the gauge showed, one after the other;
/// a wire that was never brought to anything is slack. By [`Brought::bring`].
///
/// # Errors
/// When a wire is not in the frame, a tension cannot be, or no turn leads to it.
pub fn brought(
    frame: &Frame,
    readings: &[(usize, Newtons)],
) -> Result<Vec<Newtons>, MechanicsError> {
    bring(Brought::from_slack(frame)?, readings)
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
    bring(Brought::from_now(frame, now)?, readings)
}

fn bring(
    mut wires: Brought<'_>,
    readings: &[(usize, Newtons)],
) -> Result<Vec<Newtons>, MechanicsError> {
    for (wire, tension) in readings {
        wires.bring(*wire, *tension)?;
    }
    Ok(wires.tensions())
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
