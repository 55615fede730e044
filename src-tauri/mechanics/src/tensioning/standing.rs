//! What wires show that were turned in by so much, and how far one has to be turned alone.
//!
//! No wire can push: C_S·T_S = t_S over the tight wires S, and a slack one hangs no shorter than its
//! way, t_i ≤ Σ C_ij·T_j. Both hold for one set of wires alone, and turning the first wire that breaks
//! one of them over, again and again, ends there from whatever set it began (Murty, Linear Algebra
//! and its Applications 7, 1974). Invariant: what is told follows from the turn-ins alone; the set
//! that was tight before is only where the search begins.

use super::order::part;
use crate::error::MechanicsError;
use crate::spd;
use crate::units::{Millimetres, Newtons};

/// How near to its tension a wire is brought, newtons.
const NEAR: f64 = 1.0e-9;
/// The same where rounding allows no more, as a share of the tension.
const NEAR_ENOUGH: f64 = 1.0e-9;

/// How far out a wire is that was taken out, millimetres: more than posts move.
const LOOSE: f64 = 1.0e4;

/// Wires with their turn-ins and tensions.
pub(crate) struct Standing<'a> {
    takes: &'a spd::Matrix,
    turned: Vec<f64>,
    /// The tight wires, from the bottom.
    set: Vec<usize>,
    /// Factor of their part of C.
    lower: spd::Matrix,
    tensions: Vec<f64>,
}

impl<'a> Standing<'a> {
    /// Wires that were turned in by so much; `tight` is where the search for the tight ones begins.
    pub(crate) fn of(
        takes: &'a spd::Matrix,
        turned: Vec<f64>,
        tight: Vec<usize>,
    ) -> Result<Self, MechanicsError> {
        let mut standing = Self {
            takes,
            tensions: vec![0.0; turned.len()],
            turned,
            set: tight,
            lower: Vec::new(),
        };
        standing.factor()?;
        standing.settle()?;
        Ok(standing)
    }

    pub(crate) fn tensions(&self) -> &[f64] {
        &self.tensions
    }

    pub(crate) fn shows(&self, wire: usize) -> f64 {
        self.tensions.get(wire).copied().unwrap_or(0.0)
    }

    /// Turns one wire, the others left as they are.
    pub(crate) fn turn(&mut self, wire: usize, by: f64) -> Result<(), MechanicsError> {
        if let Some(own) = self.turned.get_mut(wire) {
            *own += by;
        }
        self.settle()
    }

    /// Turns one wire so far out that nothing makes it tight again.
    pub(crate) fn let_go(&mut self, wire: usize) -> Result<(), MechanicsError> {
        if let Some(own) = self.turned.get_mut(wire) {
            *own -= LOOSE;
        }
        self.settle()
    }

    /// Turns one wire alone until it shows this tension, and tells by how much it was turned.
    ///
    /// What a wire shows over its turn-in is straight between the turn-ins at which another one goes
    /// slack, and bends down there: Newton's steps stay below and end within as many as there are
    /// wires, after one step more from above.
    ///
    /// # Errors
    /// When it does not arrive.
    pub(crate) fn bring(&mut self, wire: usize, to: f64) -> Result<f64, MechanicsError> {
        let before = self.turned.get(wire).copied().unwrap_or(0.0);
        for _ in 0..self.turned.len() + 10 {
            let missing = to - self.shows(wire);
            if missing.abs() < NEAR {
                break;
            }
            let more = if self.set.contains(&wire) {
                missing * self.gives(wire)
            } else {
                self.hangs(wire) + to * self.gives(wire)
            };
            self.turn(wire, more)?;
        }
        if (to - self.shows(wire)).abs() > NEAR_ENOUGH * to.max(1.0) {
            return Err(MechanicsError::NoTurn {
                wire: u32::try_from(wire + 1).unwrap_or(u32::MAX),
                tension: Newtons(to),
            });
        }
        Ok(self.turned.get(wire).copied().unwrap_or(0.0) - before)
    }

    /// Millimetres that a newton more takes of a wire, with the others that are tight now.
    fn gives(&self, wire: usize) -> f64 {
        if let Some(place) = self.set.iter().position(|tight| *tight == wire) {
            let mut unit = vec![0.0; self.set.len()];
            if let Some(own) = unit.get_mut(place) {
                *own = 1.0;
            }
            let own = spd::solve(&self.lower, &unit).get(place).copied();
            return own.map_or(0.0, |own| 1.0 / own);
        }
        let row = self.takes.get(wire).map_or(&[][..], Vec::as_slice);
        let of = |wire: &usize| row.get(*wire).copied().unwrap_or(0.0);
        let beside: Vec<f64> = self.set.iter().map(of).collect();
        let yields = spd::solve(&self.lower, &beside);
        of(&wire) - beside.iter().zip(&yields).map(|(c, t)| c * t).sum::<f64>()
    }

    /// How much a slack wire has to be turned in until it is just tight.
    fn hangs(&self, wire: usize) -> f64 {
        let row = self.takes.get(wire).map_or(&[][..], Vec::as_slice);
        let way: f64 = row.iter().zip(&self.tensions).map(|(c, t)| c * t).sum();
        way - self.turned.get(wire).copied().unwrap_or(0.0)
    }

    fn factor(&mut self) -> Result<(), MechanicsError> {
        self.lower = factored(self.takes, &self.set)?;
        Ok(())
    }

    fn settle(&mut self) -> Result<(), MechanicsError> {
        let least = 1.0e-12
            * self
                .turned
                .iter()
                .fold(0.0, |most: f64, t| most.max(t.abs()));
        let wires = self.turned.len();
        for _ in 0..100 + 20 * wires * wires {
            let right: Vec<f64> = self
                .set
                .iter()
                .filter_map(|wire| self.turned.get(*wire).copied())
                .collect();
            self.tensions = vec![0.0; wires];
            for (wire, tension) in self.set.iter().zip(spd::solve(&self.lower, &right)) {
                if let Some(place) = self.tensions.get_mut(*wire) {
                    *place = tension;
                }
            }
            let wrong = (0..wires).find(|wire| {
                if self.set.contains(wire) {
                    self.shows(*wire) < 0.0
                } else {
                    self.hangs(*wire) < -least
                }
            });
            let Some(wrong) = wrong else {
                return Ok(());
            };
            if self.set.contains(&wrong) {
                self.set.retain(|wire| *wire != wrong);
            } else {
                self.set.push(wrong);
                self.set.sort_unstable();
            }
            self.factor()?;
        }
        Err(NO_TENSIONS)
    }
}

const NO_TENSIONS: MechanicsError = MechanicsError::NotFinite {
    what: "the wires' tension",
};

fn factored(takes: &spd::Matrix, wires: &[usize]) -> Result<spd::Matrix, MechanicsError> {
    // A part of a positive definite matrix is one itself.
    spd::factor(&part(takes, wires)).ok_or(NO_TENSIONS)
}

/// Tensions of all wires that were turned in by so much.
pub(crate) fn tight(takes: &spd::Matrix, turned: Vec<f64>) -> Result<Vec<f64>, MechanicsError> {
    let all = (0..turned.len()).collect();
    Ok(Standing::of(takes, turned, all)?.tensions)
}

/// The wires that show something.
pub(crate) fn shown_tight(tensions: &[Newtons]) -> Vec<usize> {
    let tight = |(_, tension): &(usize, &Newtons)| tension.value() > 0.0;
    let wires = tensions.iter().enumerate().filter(tight);
    wires.map(|(wire, _)| wire).collect()
}

/// Bare numbers of turn-ins.
pub(crate) fn bare(turned: &[Millimetres]) -> Vec<f64> {
    turned.iter().map(|turn| turn.value()).collect()
}
