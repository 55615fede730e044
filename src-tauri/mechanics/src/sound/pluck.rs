//! One pluck: from samples to a tension, or to the reason why there is none.
//!
//! The first 30 ms after the pluck are dropped, the spectrum of the next second or so is read
//! with the comb, its peaks are fitted as partials of a stiff string, and a gate decides.
//! Invariant: nothing passes the gate that is not a dying row of partials with the strand's own
//! stiffness, alone in its place. Does not compare plucks.

use serde::{Deserialize, Serialize};

use super::comb::{self, FIRST, LAST, LOWEST_HZ};
use super::fit::{Partial, StringFit, fit_partials};
use super::refusal::Refusal;
use super::screen;
use super::spectrum::Spectrum;
use super::stiff::{BendingBounds, SoundingLength, clamping};
use crate::error::MechanicsError;
use crate::units::{Hertz, Newtons, Seconds};

/// One channel of sound.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Recording<'a> {
    /// Samples, full scale ±1.
    pub samples: &'a [f32],
    /// Samples per second.
    pub rate: Hertz,
}

/// What one pluck tells.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PluckReading {
    /// Tension and stiffness.
    pub fit: StringFit,
    /// Mean height of the partials over what lies between them.
    pub score: f64,
    /// Score of the best other tension over this one's.
    pub runner_up: f64,
    /// Partials found over those within reach.
    pub coverage: f64,
    /// The partials found.
    pub partials: Vec<Partial>,
}

/// What is dropped after the pluck: the finger and the posts' knock.
const DROPPED: Seconds = Seconds(0.030);
/// Sound that is read after that, at most and at least.
const LONGEST: Seconds = Seconds(0.8);
const SHORTEST: Seconds = Seconds(0.5);
/// Heights from which a peak counts as a partial.
const PEAK_HEIGHT: f32 = 1.5;

/// The gate.
pub(crate) const LEAST_SCORE: f64 = 1.9;
pub(crate) const RUNNER_UP_LIMIT: f64 = 0.85;
pub(crate) const LEAST_HARMONICS: usize = 4;
pub(crate) const SCATTER_LIMIT: f64 = 0.008;
pub(crate) const LEAST_COVERAGE: f64 = 0.30;
/// Amplitude that the partials must lose from the first to the last third, in natural logs.
const LEAST_LOSS: f64 = 0.25;

/// Reads one pluck of a wire within a range of tensions.
///
/// # Errors
/// When length, mass or the sampling rate cannot be; what is wrong with the sound is the inner
/// result.
pub(crate) fn read(
    recording: &Recording<'_>,
    wire: &SoundingLength,
    bounds: &BendingBounds,
    tensions: (Newtons, Newtons),
) -> Result<Result<PluckReading, Refusal>, MechanicsError> {
    let rate = crate::error::positive("the sampling rate", recording.rate.value())?;
    let sound = match piece(recording.samples, rate) {
        Ok(sound) => sound,
        Err(refusal) => return Ok(Err(refusal)),
    };
    heard(sound, rate, wire, bounds, tensions)
}

/// The piece of the recording that is read.
fn piece(samples: &[f32], rate: f64) -> Result<&[f32], Refusal> {
    screen::usable(samples, rate)?;
    let start = screen::onset(samples, rate) + (DROPPED.value() * rate) as usize;
    let rest = samples.get(start..).unwrap_or(&[]);
    if (rest.len() as f64) < SHORTEST.value() * rate {
        return Err(Refusal::TooShort {
            heard: Seconds(rest.len() as f64 / rate),
            needed: SHORTEST,
        });
    }
    let longest = ((LONGEST.value() * rate) as usize).min(rest.len());
    Ok(rest.get(..longest).unwrap_or(rest))
}

fn heard(
    sound: &[f32],
    rate: f64,
    wire: &SoundingLength,
    bounds: &BendingBounds,
    tensions: (Newtons, Newtons),
) -> Result<Result<PluckReading, Refusal>, MechanicsError> {
    let Some(spectrum) = Spectrum::of(sound, rate) else {
        return Ok(Err(Refusal::Silent));
    };
    let none = Refusal::NoHarmonics {
        score: 0.0,
        needed: LEAST_SCORE,
    };
    let Some(comb) = comb::search(&spectrum, wire, bounds, tensions) else {
        return Ok(Err(none));
    };
    if comb.score <= LEAST_SCORE {
        return Ok(Err(if screen::is_hum(sound, rate) {
            Refusal::Hum
        } else {
            Refusal::NoHarmonics {
                score: comb.score,
                needed: LEAST_SCORE,
            }
        }));
    }
    if comb.runner_up >= RUNNER_UP_LIMIT {
        return Ok(Err(Refusal::Ambiguous {
            runner_up: comb.runner_up,
            limit: RUNNER_UP_LIMIT,
        }));
    }
    let slenderness =
        (comb.bending.value() / comb.tension.value()).sqrt() / (wire.length.value() * 1.0e-3);
    let base = (comb.tension / wire.mass.value()).value().sqrt()
        / (2.0 * wire.length.value() * 1.0e-3)
        * clamping(slenderness);
    let (mut base, mut slenderness) = (base, slenderness);
    let mut found = Vec::new();
    let mut within_reach = 0;
    let mut fit = None;
    for round in 0..3 {
        let reach = |frequency: f64| match round {
            0 => 2.0 + 0.005 * frequency,
            _ => 1.5 + 0.003 * frequency,
        };
        (found, within_reach) = partials(&spectrum, base, slenderness, reach);
        if found.len() < LEAST_HARMONICS {
            return Ok(Err(Refusal::TooFewHarmonics {
                found: found.len(),
                needed: LEAST_HARMONICS,
            }));
        }
        let at = fit_partials(wire, &found, Some(bounds))?;
        base = at.base.value();
        slenderness = at.slenderness;
        fit = Some(at);
    }
    let Some(fit) = fit else {
        return Ok(Err(none));
    };
    Ok(gate(
        PluckReading {
            fit,
            score: comb.score,
            runner_up: comb.runner_up,
            coverage: fit.used as f64 / f64::max(f64::from(within_reach), 1.0),
            partials: found,
        },
        bounds,
        sound,
        rate,
    ))
}

/// The peaks near where the partials should be, and how many could have been found.
fn partials(
    spectrum: &Spectrum,
    base: f64,
    slenderness: f64,
    reach: impl Fn(f64) -> f64,
) -> (Vec<Partial>, u32) {
    let mut found = Vec::new();
    let mut within_reach = 0;
    for number in FIRST..=LAST {
        let n = f64::from(number);
        let frequency = n * base * (1.0 + (std::f64::consts::PI * slenderness * n).powi(2)).sqrt();
        let reach = reach(frequency).min(0.3 * base);
        if frequency < LOWEST_HZ || frequency + reach > spectrum.top {
            continue;
        }
        if spectrum.height(frequency, reach).is_none() {
            continue;
        }
        within_reach += 1;
        if let Some((peak, height)) = spectrum.peak(frequency, reach)
            && height >= PEAK_HEIGHT
        {
            found.push(Partial {
                number,
                frequency: Hertz(peak),
            });
        }
    }
    (found, within_reach)
}

fn gate(
    reading: PluckReading,
    bounds: &BendingBounds,
    sound: &[f32],
    rate: f64,
) -> Result<PluckReading, Refusal> {
    let fit = &reading.fit;
    if fit.used < LEAST_HARMONICS {
        return Err(Refusal::TooFewHarmonics {
            found: fit.used,
            needed: LEAST_HARMONICS,
        });
    }
    if reading.coverage <= LEAST_COVERAGE {
        return Err(Refusal::HarmonicsMissing {
            found: reading.coverage,
            needed: LEAST_COVERAGE,
        });
    }
    let scatter = fit.residual / fit.base;
    if scatter.is_nan() || scatter >= SCATTER_LIMIT {
        return Err(Refusal::HarmonicsScatter {
            scatter,
            limit: SCATTER_LIMIT,
        });
    }
    let allowed = fit.free_bending_error * 3.0;
    if fit.free_bending + allowed < bounds.slipping * 0.5
        || fit.free_bending - allowed > bounds.solid * 2.0
    {
        return Err(Refusal::NotThisStrand);
    }
    if screen::loss(sound, rate, &reading.partials) < LEAST_LOSS {
        return Err(Refusal::DoesNotDieAway);
    }
    Ok(reading)
}
