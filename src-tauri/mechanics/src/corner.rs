//! A wire that runs on round a corner post.
//!
//! Invariant: friction is a range, and of a tension behind bends both its ends are told, the lower one first.
//! Does not say whether a wire may run on round a corner: many rules and makers forbid it. Computes no
//! length round it: such a wire is cut at its length on site.

use crate::error::{MechanicsError, not_negative, within};
use crate::units::{Degrees, Newtons};

/// Tension left behind a bend with friction: T·e^(−μ·φ) (Euler–Eytelwein).
///
/// # Errors
/// When the tension or the friction is below zero, or the bend is not within 0° to 180°.
pub fn tension_behind(
    tension: Newtons,
    friction: f64,
    bend: Degrees,
) -> Result<Newtons, MechanicsError> {
    let tension = not_negative("the tension", tension)?;
    let friction = not_negative("the friction", friction)?;
    let angle = within("the bend", bend, 0.0, 180.0)?.to_radians();
    Ok(Newtons(tension * (-friction * angle).exp()))
}

/// A bend of a run with the least and the most that it may turn and that friction may be there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RubbingBend {
    /// By how much the wire turns, least and most, in either order; none straight on. Alike where the
    /// angle is known.
    pub bend: (Degrees, Degrees),
    /// μ, least and most, in either order.
    pub friction: (f64, f64),
}

/// At which ends a run is brought to its tension.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PulledAt {
    /// At its start alone.
    Start,
    /// At its end alone.
    End,
    /// At both, one after the other, to the same tension.
    Both,
}

/// Least and most tension in each straight leg, from the start of the run, while its tensioned ends
/// show a tension: what every bend between leaves of it. Tensioned at both ends a leg has the greater
/// of what either end leaves.
///
/// # Errors
/// As [`tension_behind`].
pub fn in_legs(
    tension: Newtons,
    bends: &[RubbingBend],
    at: PulledAt,
) -> Result<Vec<(Newtons, Newtons)>, MechanicsError> {
    let from = |order: &mut dyn Iterator<Item = &RubbingBend>| {
        let mut legs = vec![(tension, tension)];
        let (mut least, mut most) = (tension, tension);
        for of in order {
            let ((a, b), (one, other)) = (of.friction, of.bend);
            least = tension_behind(least, a.max(b), one.max(other))?;
            most = tension_behind(most, a.min(b), one.min(other))?;
            legs.push((least, most));
        }
        Ok::<_, MechanicsError>(legs)
    };
    let from_start = from(&mut bends.iter())?;
    let mut from_end = from(&mut bends.iter().rev())?;
    from_end.reverse();
    Ok(match at {
        PulledAt::Start => from_start,
        PulledAt::End => from_end,
        PulledAt::Both => from_start
            .into_iter()
            .zip(from_end)
            .map(|(a, b)| (a.0.max(b.0), a.1.max(b.1)))
            .collect(),
    })
}
