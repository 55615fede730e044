//! The frequency of a swing from the samples of a motion sensor, with their own times and gaps.
//!
//! Least squares of a sine with a floating mean, frequency by frequency (the
//! generalised periodogram of Lomb 1976, Scargle 1982 and Zechmeister, Kürster 2009), which needs
//! no even times. Invariant: gaps are counted before a frequency is told, and one swing must
//! explain most of the motion. Does not know what swings.

use serde::{Deserialize, Serialize};

use super::refusal::Refusal;
use crate::units::{Hertz, Seconds};

/// One sample of a motion sensor.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct MotionSample {
    /// Time since any start.
    pub at: Seconds,
    /// Acceleration along one axis, m/s² or any other even scale.
    pub acceleration: f64,
}

/// A swing found in motion samples.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Swing {
    /// Its frequency.
    pub frequency: Hertz,
    /// Share of the motion that it explains, 0 to 1.
    pub share: f64,
    /// Samples per second, by the usual distance of two.
    pub rate: Hertz,
    /// Time that was read.
    pub covered: Seconds,
    /// Longest gap in it; nothing where no sample is missing.
    pub longest_gap: Seconds,
    /// Share of the time without samples.
    pub missing: f64,
}

/// Time needed, and read at most.
const SHORTEST: Seconds = Seconds(2.0);
const LONGEST: Seconds = Seconds(8.0);
/// Fewest samples.
const FEWEST: usize = 60;
/// Dropped after the hardest jolt, which is the push.
const DROPPED: Seconds = Seconds(0.3);
/// A distance of two samples above this many usual ones is a gap.
const GAP: f64 = 1.8;
const LONGEST_GAP: Seconds = Seconds(0.5);
const MOST_MISSING: f64 = 0.3;
/// Swings looked for; below is the hand and the building.
const SLOWEST: f64 = 2.5;
const FASTEST: f64 = 60.0;
/// Share that the swing must explain, and the next other one over it at most.
const LEAST_SHARE: f64 = 0.25;
const OTHER_LIMIT: f64 = 0.6;

/// Finds the one swing in motion samples.
///
/// # Errors
/// The reason why there is none.
pub fn swing(samples: &[MotionSample]) -> Result<Swing, Refusal> {
    if samples.is_empty() {
        return Err(Refusal::Empty);
    }
    if samples.iter().any(|s| {
        !s.at.value().is_finite() || !s.acceleration.is_finite() || s.acceleration.abs() > 1.0e9
    }) {
        return Err(Refusal::Damaged);
    }
    if samples
        .iter()
        .zip(samples.iter().skip(1))
        .any(|(a, b)| b.at <= a.at)
    {
        return Err(Refusal::TimesNotRising);
    }
    let kept = after_push(samples);
    let covered = span(kept);
    if kept.len() < FEWEST {
        return Err(Refusal::TooFewSamples {
            samples: samples.len(),
            covered: span(samples),
            longest: longest_between(samples),
            needed: FEWEST,
        });
    }
    if covered < SHORTEST {
        return Err(Refusal::TooLittleMotion {
            covered,
            needed: SHORTEST,
        });
    }
    let mut distances: Vec<f64> = kept
        .iter()
        .zip(kept.iter().skip(1))
        .map(|(a, b)| (b.at - a.at).value())
        .collect();
    let gaps: Vec<f64> = {
        let mut sorted = distances.clone();
        sorted.sort_by(f64::total_cmp);
        let usual = sorted.get(sorted.len() / 2).copied().unwrap_or(0.0);
        distances.retain(|distance| *distance > GAP * usual);
        distances.push(usual);
        distances
    };
    let (usual, gaps) = gaps
        .split_last()
        .map_or((0.0, &[][..]), |(usual, gaps)| (*usual, gaps));
    if usual <= 0.0 || !(1.0 / usual).is_finite() {
        return Err(Refusal::TimesNotRising);
    }
    let longest = Seconds(gaps.iter().copied().fold(0.0, f64::max));
    // From zero on: a sum of nothing is minus zero.
    let missing = gaps.iter().fold(0.0, |sum, gap| sum + (gap - usual)) / covered.value();
    if longest > LONGEST_GAP || missing > MOST_MISSING {
        return Err(Refusal::MotionGaps { longest, missing });
    }
    let rate = 1.0 / usual;
    let (frequency, share) = strongest(kept, covered.value(), rate).ok_or(Refusal::NoSwing)?;
    Ok(Swing {
        frequency: Hertz(frequency),
        share,
        rate: Hertz(rate),
        covered,
        longest_gap: longest,
        missing,
    })
}

/// The samples from a little after the hardest jolt, where enough follow; eight seconds at most.
fn after_push(samples: &[MotionSample]) -> &[MotionSample] {
    let mean = samples.iter().map(|s| s.acceleration).sum::<f64>() / samples.len() as f64;
    let push = samples
        .iter()
        .max_by(|a, b| {
            let size = |s: &MotionSample| (s.acceleration - mean).abs();
            size(a).total_cmp(&size(b))
        })
        .map_or(Seconds(0.0), |s| s.at);
    let from = samples.partition_point(|s| s.at < push + DROPPED);
    let later = samples.get(from..).unwrap_or(&[]);
    let kept = if span(later) >= SHORTEST && later.len() >= FEWEST {
        later
    } else {
        samples
    };
    let end = kept.first().map_or(Seconds(0.0), |s| s.at) + LONGEST;
    let to = kept.partition_point(|s| s.at <= end);
    kept.get(..to).unwrap_or(kept)
}

fn longest_between(samples: &[MotionSample]) -> Seconds {
    let pairs = samples.iter().zip(samples.iter().skip(1));
    pairs.fold(Seconds(0.0), |longest, (a, b)| longest.max(b.at - a.at))
}

fn span(samples: &[MotionSample]) -> Seconds {
    match (samples.first(), samples.last()) {
        (Some(first), Some(last)) => last.at - first.at,
        _ => Seconds(0.0),
    }
}

/// The frequency that explains most, and its share; nothing where another does nearly as well.
fn strongest(samples: &[MotionSample], covered: f64, rate: f64) -> Option<(f64, f64)> {
    let start = samples.first()?.at.value();
    let points: Vec<(f64, f64)> = samples
        .iter()
        .map(|s| (s.at.value() - start, s.acceleration))
        .collect();
    let step = 1.0 / (8.0 * covered);
    let top = FASTEST.min(0.475 * rate);
    let count = ((top - SLOWEST) / step).max(0.0) as usize;
    let shares: Vec<f64> = (0..count)
        .map(|index| explained(&points, SLOWEST + index as f64 * step).unwrap_or(0.0))
        .collect();
    let (best, share) = shares
        .iter()
        .copied()
        .enumerate()
        .max_by(|a, b| a.1.total_cmp(&b.1))?;
    let frequency = SLOWEST + best as f64 * step;
    let apart = f64::max(0.1 * frequency, 2.0 / covered);
    let other = shares
        .iter()
        .enumerate()
        .filter(|(index, _)| (*index as f64 - best as f64).abs() * step > apart)
        .map(|(_, share)| *share)
        .fold(0.0, f64::max);
    if share < LEAST_SHARE || other > OTHER_LIMIT * share {
        return None;
    }
    let (left, right) = (*shares.get(best.checked_sub(1)?)?, *shares.get(best + 1)?);
    let bend = left - 2.0 * share + right;
    let shift = if bend < 0.0 {
        0.5 * (left - right) / bend
    } else {
        0.0
    };
    Some((frequency + shift.clamp(-0.5, 0.5) * step, share))
}

/// Share of the weighted scatter that a sine of one frequency takes away, with a floating mean.
fn explained(points: &[(f64, f64)], frequency: f64) -> Option<f64> {
    let turn = std::f64::consts::TAU * frequency;
    let count = points.len() as f64;
    let (mut y, mut c, mut s) = (0.0, 0.0, 0.0);
    let (mut yy, mut yc, mut ys, mut cc, mut ss, mut cs) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
    for (at, value) in points {
        let (sin, cos) = (turn * at).sin_cos();
        y += value;
        c += cos;
        s += sin;
        yy += value * value;
        yc += value * cos;
        ys += value * sin;
        cc += cos * cos;
        ss += sin * sin;
        cs += cos * sin;
    }
    let about = |product: f64, a: f64, b: f64| product / count - (a / count) * (b / count);
    let (yy, yc, ys) = (about(yy, y, y), about(yc, y, c), about(ys, y, s));
    let (cc, ss, cs) = (about(cc, c, c), about(ss, s, s), about(cs, c, s));
    let determinant = cc * ss - cs * cs;
    // Relative to the mean's own rounding, a still sensor has no scatter to explain.
    if yy <= 1.0e-18 * (1.0 + (y / count).powi(2)) || determinant <= 1.0e-9 {
        return None;
    }
    Some((ss * yc * yc + cc * ys * ys - 2.0 * cs * yc * ys) / (yy * determinant))
}
