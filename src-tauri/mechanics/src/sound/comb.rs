//! The comb: which tension and bending stiffness put the partials where the spectrum is high.
//!
//! Score = mean height at f_2 … f_20 less the mean height half way between, over a grid of
//! tensions and of EI within the strand's bounds: first with broad teeth over the whole grid,
//! then with narrow ones about the best few. The half-way comb takes away the answer of an
//! octave too high, the mean over all partials that of an octave too low. Invariant: blanked
//! bins count for nothing on either side. Does not measure: the peaks are fitted afterwards.

use super::spectrum::Spectrum;
use super::stiff::{BendingBounds, EndHold, SoundingLength, Stiff};
use crate::units::{NewtonSquareMetres, Newtons};

/// First and last partial of the comb.
pub(crate) const FIRST: u32 = 2;
pub(crate) const LAST: u32 = 20;
/// Below this a phone's microphone hears little and rooms and wind much.
pub(crate) const LOWEST_HZ: f64 = 70.0;
/// Half a narrow tooth.
const NARROW_HZ: f64 = 1.2;
/// Half a broad tooth, and what it grows by per hertz.
const BROAD_HZ: f64 = 1.2;
const BROAD_SHARE: f64 = 0.003;
/// Step of the broad grid in tension, as a ratio.
const TENSION_STEP: f64 = 1.006;
/// Steps of the broad grid in EI, even from bound to bound.
const BENDING_STEPS: u32 = 32;
/// Tensions further apart than this are different answers.
const DIFFERENT: f64 = 1.06;
/// Candidates looked at closely.
const CANDIDATES: usize = 8;
/// Fewest teeth that make a comb.
const FEWEST_TEETH: u32 = 6;

/// The best tooth positions, and how alone they stand.
pub(crate) struct CombFit {
    pub(crate) tension: Newtons,
    pub(crate) bending: NewtonSquareMetres,
    pub(crate) score: f64,
    /// Score of the best other tension over the best.
    pub(crate) runner_up: f64,
}

#[derive(Clone, Copy)]
struct Cell {
    tension: f64,
    bending: f64,
    score: f64,
}

/// Searches the grid; nothing where no tension leaves enough teeth.
pub(crate) fn search(
    spectrum: &Spectrum,
    wire: &SoundingLength,
    bounds: &BendingBounds,
    tensions: (Newtons, Newtons),
) -> Option<CombFit> {
    let broad = Comb::new(wire, spectrum, BROAD_HZ, BROAD_SHARE);
    let bending_step = (bounds.solid - bounds.slipping).value() / f64::from(BENDING_STEPS);
    let steps = ((tensions.1 / tensions.0).ln() / TENSION_STEP.ln()).ceil() as u32;
    let row: Vec<Cell> = (0..=steps)
        .filter_map(|step| {
            let tension = tensions.0.value() * TENSION_STEP.powf(f64::from(step));
            (0..=BENDING_STEPS)
                .map(|part| bounds.slipping.value() + f64::from(part) * bending_step)
                .filter_map(|bending| broad.cell(tension, bending))
                .max_by(|a, b| a.score.total_cmp(&b.score))
        })
        .collect();
    let narrow = Comb::new(wire, spectrum, NARROW_HZ, 0.0);
    let close: Vec<Cell> = candidates(row)
        .into_iter()
        .filter_map(|cell| narrow.closer(cell, bounds, bending_step))
        .collect();
    let top = *close.iter().max_by(|a, b| a.score.total_cmp(&b.score))?;
    let other = close
        .iter()
        .filter(|at| at.tension > top.tension * DIFFERENT || at.tension < top.tension / DIFFERENT)
        .map(|at| at.score)
        .fold(0.0, f64::max);
    Some(CombFit {
        tension: Newtons(top.tension),
        bending: NewtonSquareMetres(top.bending),
        score: top.score,
        runner_up: if top.score > 0.0 {
            other / top.score
        } else {
            1.0
        },
    })
}

/// The best cells, no two of them within a third of what makes a different answer.
fn candidates(mut row: Vec<Cell>) -> Vec<Cell> {
    row.sort_by(|a, b| b.score.total_cmp(&a.score));
    let apart = 1.0 + (DIFFERENT - 1.0) / 3.0;
    let mut best: Vec<Cell> = Vec::with_capacity(CANDIDATES);
    for cell in row {
        let near = |other: &Cell| {
            let ratio = cell.tension / other.tension;
            ratio < apart && ratio > 1.0 / apart
        };
        if !best.iter().any(near) {
            best.push(cell);
            if best.len() == CANDIDATES {
                break;
            }
        }
    }
    best
}

struct Comb<'a> {
    wire: &'a SoundingLength,
    teeth: Vec<f32>,
    step: f64,
    /// n and its weight, 1/√n: the higher, the weaker in any pluck.
    numbers: Vec<(f64, f64)>,
}

impl<'a> Comb<'a> {
    fn new(wire: &'a SoundingLength, spectrum: &Spectrum, reach: f64, share: f64) -> Self {
        Self {
            wire,
            teeth: spectrum.spread(reach, share),
            step: spectrum.step,
            numbers: (FIRST..=LAST)
                .map(|number| (f64::from(number), 1.0 / f64::from(number).sqrt()))
                .collect(),
        }
    }

    fn cell(&self, tension: f64, bending: f64) -> Option<Cell> {
        let string = Stiff::of(self.wire, Newtons(tension), NewtonSquareMetres(bending)).ok()?;
        let height = |n: f64| {
            let frequency = string.at(n, EndHold::Clamped);
            if frequency < LOWEST_HZ {
                return None;
            }
            let at = *self.teeth.get((frequency / self.step + 0.5) as usize)?;
            (!at.is_nan()).then(|| f64::from(at))
        };
        let (mut on, mut on_weight, mut between, mut between_weight) = (0.0, 0.0, 0.0, 0.0);
        let mut count = 0;
        for &(n, weight) in &self.numbers {
            if let Some(at) = height(n) {
                on += weight * at;
                on_weight += weight;
                count += 1;
            }
            if let Some(at) = height(n - 0.5) {
                between += weight * at;
                between_weight += weight;
            }
        }
        (count >= FEWEST_TEETH && between_weight > 0.0).then(|| Cell {
            tension,
            bending,
            score: on / on_weight - between / between_weight,
        })
    }

    /// The best cell close to one: steps halved from round to round.
    fn closer(&self, from: Cell, bounds: &BendingBounds, bending_step: f64) -> Option<Cell> {
        let mut best: Option<Cell> = None;
        let (mut ratio, mut bending_step) = (0.003, bending_step);
        for _ in 0..3 {
            let centre = best.unwrap_or(from);
            for tension_part in -4..=4 {
                let tension = centre.tension * (1.0 + ratio * f64::from(tension_part));
                for bending_part in -4..=4 {
                    let bending = (centre.bending + bending_step * 0.5 * f64::from(bending_part))
                        .clamp(bounds.slipping.value(), bounds.solid.value());
                    if let Some(cell) = self.cell(tension, bending)
                        && best.is_none_or(|best| cell.score > best.score)
                    {
                        best = Some(cell);
                    }
                }
            }
            ratio *= 0.5;
            bending_step *= 0.35;
        }
        best
    }
}
