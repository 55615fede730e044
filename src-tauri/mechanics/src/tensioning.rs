//! Tensioning a run: how the wires pull on each other through the posts that hold them.
//!
//! C = diag(Lw/EA) + F, F the influence of both end posts along the wires; turn-in t = C·T. The
//! final tensions follow from the turn-ins alone, in whatever order; the gauge's readings on the
//! way do not. Invariant: the default is even passes; exact one-pass targets are offered only
//! where none exceeds the upper tension. Does not know gauges, hands or who turns.

mod again;
mod begun;
mod now;
mod order;
mod passes;
mod standing;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive, within};
use crate::posts::{EndPosts, influence_matrix};
use crate::spd;
use crate::thread::{Thread, take_up_per_flat, take_up_per_turn};
use crate::units::{Millimetres, Newtons};

pub use again::{Replan, ReplanWire, one_pass_on, replan};
pub use now::{Brought, brought, brought_on, turn_alone, turn_together};
pub use order::{OnePass, one_pass};
pub use passes::{
    Pass, PassStep, PassWire, default_steps, even_passes, even_passes_on, left_short, pass_order,
};
pub(crate) use standing::tight;

/// The wires of a run and how they give.
#[derive(Clone, Debug, PartialEq)]
pub struct Frame {
    pub(crate) lengths: Vec<f64>,
    pub(crate) axial: Vec<f64>,
    pub(crate) influence: spd::Matrix,
    pub(crate) flexibility: spd::Matrix,
    factor: spd::Matrix,
}

/// Turns of a wire that has a left-hand and a right-hand end.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Turns {
    /// Whether the wire is let out.
    pub back: bool,
    /// Whole turns.
    pub turns: u32,
    /// Sixths of a turn.
    pub flats: u32,
}

impl Frame {
    /// The frame of a run; `lengths` are the free lengths of its wires, from the bottom.
    ///
    /// F by the Euler–Bernoulli cantilever of `posts`, Lw/EA by Hooke: influence (flexibility) coefficients
    /// of linear elasticity.
    ///
    /// # Errors
    /// When the numbers of wires differ, a length, stiffness or post cannot be.
    pub fn of(
        ends: &EndPosts,
        lengths: &[Millimetres],
        axial_stiffness: Newtons,
    ) -> Result<Self, MechanicsError> {
        let stiffness = positive("the strand's stiffness EA", axial_stiffness)?;
        let influence = influence_matrix(ends)?;
        let wires = count(influence.len());
        within(
            "the number of wire lengths",
            count(lengths.len()),
            wires,
            wires,
        )?;
        let mut axial = Vec::with_capacity(lengths.len());
        for length in lengths {
            axial.push(positive("a wire's length", *length)? / stiffness);
        }
        let flexibility = with_diagonal(&influence, &axial, 1.0);
        let factor = factored(&flexibility)?;
        Ok(Self {
            lengths: lengths.iter().map(|length| length.value()).collect(),
            axial,
            influence,
            flexibility,
            factor,
        })
    }

    /// Number of wires.
    #[must_use]
    pub fn wires(&self) -> usize {
        self.axial.len()
    }

    /// Turn-in of each wire that leaves all at these tensions: t = C·T.
    ///
    /// Linear elasticity; holds while no wire is slack.
    ///
    /// # Errors
    /// When there is not one tension for each wire, or one is below zero.
    pub fn turn_in(&self, tensions: &[Newtons]) -> Result<Vec<Millimetres>, MechanicsError> {
        let tensions = self.numbers(tensions)?;
        let turned = spd::times(&self.flexibility, &tensions);
        Ok(turned.into_iter().map(Millimetres).collect())
    }

    /// Newtons that one millimetre more of turn-in adds to a wire, all others left as they are.
    ///
    /// The diagonal of C⁻¹: linear, while no wire is slack.
    #[must_use]
    pub fn newtons_per_millimetre(&self, wire: usize) -> Option<f64> {
        let mut unit = vec![0.0; self.wires()];
        *unit.get_mut(wire)? = 1.0;
        spd::solve(&self.factor, &unit).get(wire).copied()
    }

    pub(crate) fn numbers(&self, tensions: &[Newtons]) -> Result<Vec<f64>, MechanicsError> {
        let wires = count(self.wires());
        within(
            "the number of tensions",
            count(tensions.len()),
            wires,
            wires,
        )?;
        let number = |tension: &Newtons| not_negative("a wire's tension", *tension);
        tensions.iter().map(number).collect()
    }
}

/// A turn-in as turns and flats of the threads that are turned, to the nearest flat; none where no
/// thread is.
///
/// 2·P for a turn holds where the whole wire turns, both ends alike; turned at one end only, a
/// long wire twists and its far end lags.
///
/// A take-up of one pitch a turn and thread, ISO 261 coarse.
#[must_use]
pub fn turns(turn_in: Millimetres, turned: &[Thread]) -> Turns {
    let per_flat = take_up_per_flat(turned);
    if per_flat.value() <= 0.0 {
        return Turns::default();
    }
    let flats = (turn_in.abs() / per_flat).round();
    let per_turn = (take_up_per_turn(turned) / per_flat).round();
    let whole = (flats / per_turn).floor();
    Turns {
        back: turn_in.value() < 0.0 && flats > 0.0,
        turns: small(whole),
        flats: small(flats - whole * per_turn),
    }
}

pub(crate) fn with_diagonal(influence: &spd::Matrix, axial: &[f64], factor: f64) -> spd::Matrix {
    let mut matrix: spd::Matrix = influence
        .iter()
        .map(|row| row.iter().map(|value| value * factor).collect())
        .collect();
    for (i, (row, axial)) in matrix.iter_mut().zip(axial).enumerate() {
        if let Some(own) = row.get_mut(i) {
            *own += axial;
        }
    }
    matrix
}

pub(crate) fn factored(matrix: &spd::Matrix) -> Result<spd::Matrix, MechanicsError> {
    spd::factor(matrix).ok_or(MechanicsError::NotFinite {
        what: "the posts' influence on the wires",
    })
}

#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a whole number that is not negative; casts of f64 saturate"
)]
const fn small(whole: f64) -> u32 {
    whole as u32
}

#[expect(
    clippy::cast_precision_loss,
    reason = "wire counts are far below the integers that f64 holds exactly"
)]
pub(crate) const fn count(wires: usize) -> f64 {
    wires as f64
}
