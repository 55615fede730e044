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
    /// Share of what stands out of the sound that is the wire's, 0 to 1.
    pub own_share: f64,
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

/// Heights from which something stands out of the sound: twelve times the median.
const OUTSTANDING: f32 = 2.5;

/// The gate.
pub(crate) const LEAST_SCORE: f64 = 1.9;
pub(crate) const RUNNER_UP_LIMIT: f64 = 0.85;
pub(crate) const LEAST_HARMONICS: usize = 4;
pub(crate) const SCATTER_LIMIT: f64 = 0.008;
pub(crate) const LEAST_COVERAGE: f64 = 0.30;
/// Share of what stands out that must be the wire's own.
const LEAST_OWN_SHARE: f64 = 0.8;
/// Amplitude that the partials must lose from the first to the last third, in natural logs.
const LEAST_LOSS: f64 = 0.25;

/// Reads one pluck of a wire, whose figures were checked, within a range of tensions.
pub(crate) fn read(
    samples: &[f32],
    rate: f64,
    wire: &SoundingLength,
    bounds: &BendingBounds,
    tensions: (Newtons, Newtons),
) -> Result<PluckReading, Refusal> {
    let sound = piece(samples, rate)?;
    match heard(sound, rate, wire, bounds, tensions) {
        // Whatever else is wrong with it, hum is what to see to first.
        Err(_) if screen::is_hum(sound, rate) => Err(Refusal::Hum),
        other => other,
    }
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
) -> Result<PluckReading, Refusal> {
    let spectrum = Spectrum::of(sound, rate).ok_or(Refusal::Silent)?;
    let no_harmonics = |score| Refusal::NoHarmonics {
        score,
        needed: LEAST_SCORE,
    };
    let comb = comb::search(&spectrum, wire, bounds, tensions).ok_or(no_harmonics(0.0))?;
    if comb.score <= LEAST_SCORE {
        return Err(no_harmonics(comb.score));
    }
    if comb.runner_up >= RUNNER_UP_LIMIT {
        return Err(Refusal::Ambiguous {
            runner_up: comb.runner_up,
            limit: RUNNER_UP_LIMIT,
        });
    }
    let mut series = Series::of(&comb, wire);
    for reach in [(2.0, 0.005), (1.5, 0.003)] {
        let (found, _) = partials(&spectrum, series, reach);
        series = Series::from(&fitted(wire, &found, bounds)?);
    }
    let (found, within_reach) = partials(&spectrum, series, (1.5, 0.003));
    let fit = fitted(wire, &found, bounds)?;
    let reading = PluckReading {
        fit,
        score: comb.score,
        runner_up: comb.runner_up,
        coverage: fit.used as f64 / f64::max(f64::from(within_reach), 1.0),
        own_share: own_share(&spectrum, Series::from(&fit)),
        partials: found,
    };
    gate(&reading, bounds, sound, rate)?;
    Ok(reading)
}

/// Where the partials of a stiff string lie: n·√a·√(1 + π²ε²n²).
#[derive(Clone, Copy)]
struct Series {
    base: f64,
    slenderness: f64,
}

impl Series {
    fn of(comb: &comb::CombFit, wire: &SoundingLength) -> Self {
        let length = wire.length.value() * 1.0e-3;
        let slenderness = (comb.bending.value() / comb.tension.value()).sqrt() / length;
        let bare = (comb.tension.value() / wire.mass.value()).sqrt() / (2.0 * length);
        Self {
            base: bare * clamping(slenderness),
            slenderness,
        }
    }

    fn from(fit: &StringFit) -> Self {
        Self {
            base: fit.base.value(),
            slenderness: fit.slenderness,
        }
    }

    fn at(self, n: f64) -> f64 {
        n * self.base * (1.0 + (std::f64::consts::PI * self.slenderness * n).powi(2)).sqrt()
    }
}

/// Fits partials that were found; too few or unfit for any string is a refusal.
fn fitted(
    wire: &SoundingLength,
    found: &[Partial],
    bounds: &BendingBounds,
) -> Result<StringFit, Refusal> {
    if found.len() < LEAST_HARMONICS {
        return Err(Refusal::TooFewHarmonics {
            found: found.len(),
            needed: LEAST_HARMONICS,
        });
    }
    // The wire's figures were checked, so only partials that no string has are left to fail.
    fit_partials(wire, found, Some(bounds)).map_err(|_| Refusal::HarmonicsScatter {
        scatter: 1.0,
        limit: SCATTER_LIMIT,
    })
}

/// The peaks near where the partials should be, and how many could have been found.
///
/// `reach` is how far to look, in hertz and besides as a share of the frequency.
fn partials(spectrum: &Spectrum, series: Series, reach: (f64, f64)) -> (Vec<Partial>, u32) {
    let mut found = Vec::new();
    let mut within_reach = 0;
    for number in FIRST..=LAST {
        let frequency = series.at(f64::from(number));
        let reach = (reach.0 + reach.1 * frequency).min(0.3 * series.base);
        if frequency < LOWEST_HZ || frequency + reach > spectrum.top || spectrum.is_blank(frequency)
        {
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

/// Share of all that stands out of the spectrum, by height, that lies about the string's partials.
///
/// A chord or a neighbour left ringing stands out elsewhere too.
fn own_share(spectrum: &Spectrum, series: Series) -> f64 {
    let (mut own, mut all) = (0.0, 0.0);
    let mut number = 1.0;
    for (frequency, height) in spectrum.outstanding(OUTSTANDING, LOWEST_HZ, series.at(20.5)) {
        while series.at(number + 0.5) < frequency {
            number += 1.0;
        }
        // The foot of a strong partial stands out for some hertz about it.
        let about = f64::min(8.0 + 0.003 * frequency, 0.25 * series.base);
        if (frequency - series.at(number)).abs() <= about {
            own += f64::from(height);
        }
        all += f64::from(height);
    }
    if all > 0.0 { own / all } else { 0.0 }
}

fn gate(
    reading: &PluckReading,
    bounds: &BendingBounds,
    sound: &[f32],
    rate: f64,
) -> Result<(), Refusal> {
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
    if reading.own_share < LEAST_OWN_SHARE {
        return Err(Refusal::OtherSounds {
            own: reading.own_share,
            needed: LEAST_OWN_SHARE,
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
    Ok(())
}
