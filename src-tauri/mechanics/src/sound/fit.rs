//! The tension that a set of partials tells: (f_n/n)² = a + b·n².
//!
//! a = (f0·(1 + 2ε + 4ε²))², b = π²ε²·a; so ε = √(b/a)/π and, with the ends clamped,
//! T = 4mL²·(√a/(1 + 2ε + 4ε²))², with the ends pinned T = 4mL²·a. The real ends lie between:
//! both are given. Weights n², because an error of f_n enters (f_n/n)² by 1/n; partials that do
//! not fit lose their weight (bisquare). Invariant: where the strand's bounds of EI are given,
//! the answer stays within them. Does not pick the partials.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::stiff::{BendingBounds, SoundingLength, clamping};
use crate::error::{MechanicsError, positive};
use crate::units::{Hertz, NewtonSquareMetres, Newtons};

/// One partial read from a sound.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Partial {
    /// n, 1 for the lowest.
    pub number: u32,
    /// f_n.
    pub frequency: Hertz,
}

/// Tension and bending stiffness from partials.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct StringFit {
    /// √a: the lowest partial without what stiffness adds along the series.
    pub base: Hertz,
    /// ε = √(EI/T)/L.
    pub slenderness: f64,
    /// T with both ends clamped, the lower of the two.
    pub clamped: Newtons,
    /// T with both ends pinned.
    pub pinned: Newtons,
    /// EI = ε²·T·L² with the clamped tension.
    pub bending: NewtonSquareMetres,
    /// EI as the partials alone tell it, before the strand's bounds; below zero where they crowd.
    pub free_bending: NewtonSquareMetres,
    /// Standard error of `free_bending` from the scatter of the partials.
    pub free_bending_error: NewtonSquareMetres,
    /// Root mean square of the partials less the fit, each by the weight that it kept.
    pub residual: Hertz,
    /// Partials that kept some weight.
    pub used: usize,
}

/// Fits partials, robustly; needs three different ones.
///
/// # Errors
/// [`MechanicsError::TooFewPartials`] below three; else when an input cannot be.
pub fn fit_partials(
    wire: &SoundingLength,
    partials: &[Partial],
    bounds: Option<&BendingBounds>,
) -> Result<StringFit, MechanicsError> {
    let length = positive("the sounding length", wire.length)? * 1.0e-3;
    let mass = positive("the mass per metre", wire.mass)?;
    let mut points = Vec::with_capacity(partials.len());
    for partial in partials {
        let n = positive("the number of the partial", f64::from(partial.number))?;
        let f = positive("the frequency of the partial", partial.frequency)?;
        points.push((n, (f / n) * (f / n)));
    }
    let mut numbers: Vec<u32> = partials.iter().map(|partial| partial.number).collect();
    numbers.sort_unstable();
    numbers.dedup();
    if numbers.len() < 3 {
        return Err(MechanicsError::TooFewPartials {
            got: numbers.len(),
            needed: 3,
        });
    }
    let line = robust_line(&points);
    let scale = Scale { length, mass };
    let (a, slenderness) = match bounds {
        Some(bounds) => scale.within_bounds(&line, bounds),
        None => (line.base, scale.slenderness(line.base, line.slope.max(0.0))),
    };
    let a = positive("the base of the partials", a)?;
    let held = clamping(slenderness);
    let clamped = scale.tension(a / (held * held));
    // EI = ε²·T·L² with T = 4mL²·a/held², so EI = b·(4mL⁴/π²)/held².
    let bending_per_slope = scale.bending_per_slope() / (held * held);
    let model = |n: f64| n * (a * (1.0 + (PI * slenderness * n).powi(2))).sqrt();
    let (mut square, mut used) = (0.0, 0.0);
    let mut count = 0;
    for ((n, y), weight) in points.iter().zip(&line.weights) {
        if *weight > 0.0 {
            square += weight * (n * y.sqrt() - model(*n)).powi(2);
            used += weight;
            count += 1;
        }
    }
    Ok(StringFit {
        base: Hertz(a.sqrt()),
        slenderness,
        clamped: Newtons(clamped),
        pinned: Newtons(scale.tension(a)),
        bending: NewtonSquareMetres((slenderness * length).powi(2) * clamped),
        free_bending: NewtonSquareMetres(line.slope * bending_per_slope),
        free_bending_error: NewtonSquareMetres(line.slope_error * bending_per_slope),
        residual: Hertz((square / f64::max(used, 1.0e-9)).sqrt()),
        used: count,
    })
}

struct Scale {
    length: f64,
    mass: f64,
}

impl Scale {
    fn tension(&self, a: f64) -> f64 {
        4.0 * self.mass * self.length * self.length * a
    }

    /// EI/b to first order: b = π²ε²a and ε²·T·L² = EI give EI = b·4mL⁴/π².
    fn bending_per_slope(&self) -> f64 {
        4.0 * self.mass * self.length.powi(4) / (PI * PI)
    }

    fn slenderness(&self, a: f64, b: f64) -> f64 {
        if a > 0.0 { (b / a).sqrt() / PI } else { 0.0 }
    }

    /// The line's own ε where its EI lies within the bounds, else the line refitted on a bound.
    fn within_bounds(&self, line: &Line, bounds: &BendingBounds) -> (f64, f64) {
        let own = self.slenderness(line.base, line.slope.max(0.0));
        let held = clamping(own);
        let bending =
            (own * self.length).powi(2) * self.tension(line.base.max(0.0)) / (held * held);
        let bound = if bending < bounds.slipping.value() {
            bounds.slipping.value()
        } else if bending > bounds.solid.value() {
            bounds.solid.value()
        } else {
            return (line.base, own);
        };
        let (mut slope, mut slenderness) = (bound / self.bending_per_slope(), own);
        let mut base = line.base_with(slope);
        for _ in 0..8 {
            slenderness = self.slenderness(base, slope);
            // EI = ε²L²·T with T = 4mL²a/held², so b = EI·held²/(4mL⁴/π²).
            slope = bound * clamping(slenderness).powi(2) / self.bending_per_slope();
            base = line.base_with(slope);
        }
        (base, slenderness)
    }
}

struct Line {
    base: f64,
    slope: f64,
    slope_error: f64,
    weights: Vec<f64>,
    /// Σw, Σw·n², Σw·y of the last round.
    sums: (f64, f64, f64),
}

impl Line {
    /// The base that goes best with a given slope.
    fn base_with(&self, slope: f64) -> f64 {
        let (weight, x, y) = self.sums;
        (y - slope * x) / weight
    }
}

/// Weighted least squares of y on x = n², with bisquare weights on the residual in frequency.
fn robust_line(points: &[(f64, f64)]) -> Line {
    let mut weights = vec![1.0; points.len()];
    let mut line = solve(points, &weights);
    for _ in 0..12 {
        // A residual of y in units of frequency is about n·r/(2f0): scale by n alone.
        let off: Vec<f64> = points
            .iter()
            .map(|(n, y)| (y - line.base - line.slope * n * n) * n)
            .collect();
        let mut sizes: Vec<f64> = off.iter().map(|r| r.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let median = sizes.get(sizes.len() / 2).copied().unwrap_or(0.0);
        // 1.4826·median is the standard deviation of a normal scatter; 4.685 is bisquare's usual.
        let reach = 4.685 * 1.4826 * median;
        // Below this the scatter is rounding: all points lie on the line.
        if reach <= 1.0e-9 * line.base.abs() {
            break;
        }
        for (weight, r) in weights.iter_mut().zip(&off) {
            let u = r / reach;
            *weight = if u.abs() < 1.0 {
                (1.0 - u * u).powi(2)
            } else {
                0.0
            };
        }
        line = solve(points, &weights);
    }
    line
}

fn solve(points: &[(f64, f64)], weights: &[f64]) -> Line {
    let (mut s, mut sx, mut sy, mut sxx, mut sxy) = (0.0, 0.0, 0.0, 0.0, 0.0);
    for ((n, y), weight) in points.iter().zip(weights) {
        let x = n * n;
        let w = weight * x;
        s += w;
        sx += w * x;
        sy += w * y;
        sxx += w * x * x;
        sxy += w * x * y;
    }
    let determinant = s * sxx - sx * sx;
    let slope = if determinant > 1.0e-12 * s * sxx {
        (s * sxy - sx * sy) / determinant
    } else {
        0.0
    };
    let base = (sy - slope * sx) / s;
    let (mut square, mut count) = (0.0, 0.0);
    for ((n, y), weight) in points.iter().zip(weights) {
        square += weight * n * n * (y - base - slope * n * n).powi(2);
        count += weight;
    }
    let variance = square / f64::max(count - 2.0, 1.0);
    let slope_error = if determinant > 0.0 {
        (variance * s / determinant).sqrt()
    } else {
        f64::INFINITY
    };
    Line {
        base,
        slope,
        slope_error,
        weights: weights.to_vec(),
        sums: (s, sx, sy),
    }
}
