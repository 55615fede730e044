//! What is looked at before and beside the partials: is it sound, where does it begin, does it end.
//!
//! Invariant: every sample is looked at before a transform is. Does not estimate a tension.

use super::fit::Partial;
use super::refusal::Refusal;
use crate::units::{Hertz, Seconds};

/// Least samples per second: the comb's partials reach 2 kHz on a short tight wire.
const LEAST_RATE: Hertz = Hertz(4000.0);
/// Least sound before anything else is looked at.
const LEAST_SOUND: Seconds = Seconds(0.5);
/// Root mean square below which nothing is heard: 90 dB below full scale.
const SILENCE: f64 = 3.0e-5;
/// Tops within this share of full scale may be cut ones.
const FULL_SCALE: f32 = 0.985;

/// Refuses what cannot be read at all.
pub(crate) fn usable(samples: &[f32], rate: f64) -> Result<(), Refusal> {
    if samples.is_empty() {
        return Err(Refusal::Empty);
    }
    if samples
        .iter()
        .any(|sample| !sample.is_finite() || sample.abs() > 1.0e6)
    {
        return Err(Refusal::Damaged);
    }
    if rate < LEAST_RATE.value() {
        return Err(Refusal::SampledTooSlowly {
            rate: Hertz(rate),
            needed: LEAST_RATE,
        });
    }
    let heard = samples.len() as f64 / rate;
    if heard < LEAST_SOUND.value() {
        return Err(Refusal::TooShort {
            heard: Seconds(heard),
            needed: LEAST_SOUND,
        });
    }
    let count = samples.len() as f64;
    let mean = samples.iter().map(|x| f64::from(*x)).sum::<f64>() / count;
    let power = samples
        .iter()
        .map(|x| (f64::from(*x) - mean).powi(2))
        .sum::<f64>()
        / count;
    if power.sqrt() < SILENCE {
        return Err(Refusal::Silent);
    }
    if is_clipped(samples) {
        return Err(Refusal::Clipped);
    }
    if is_interleaved(samples) {
        return Err(Refusal::ChannelsMixed);
    }
    Ok(())
}

/// Flat tops: three or more samples in a row at the very highest or lowest value, again and again.
///
/// At full scale three such rows are enough; below it, where few steps of a coarse recording can
/// do the same by chance, sixty.
fn is_clipped(samples: &[f32]) -> bool {
    let high = samples.iter().copied().fold(f32::NEG_INFINITY, f32::max);
    let low = samples.iter().copied().fold(f32::INFINITY, f32::min);
    let (mut rows, mut length) = (0_u32, 0_u32);
    let mut last = f32::NAN;
    for sample in samples {
        let at_edge = *sample >= high || *sample <= low;
        length = match at_edge {
            true if *sample == last => length + 1,
            true => 1,
            false => 0,
        };
        if length == 3 {
            rows += 1;
        }
        last = *sample;
    }
    let needed = if high.max(-low) >= FULL_SCALE { 3 } else { 60 };
    rows >= needed
}

/// Left and right one after the other: neighbours then differ far less in every second pair.
fn is_interleaved(samples: &[f32]) -> bool {
    let mut sums = [0.0_f64; 2];
    for (index, pair) in samples.windows(2).enumerate() {
        if let (Some(a), Some(b), Some(sum)) = (pair.first(), pair.get(1), sums.get_mut(index % 2))
        {
            *sum += f64::from(b - a).powi(2);
        }
    }
    let [even, odd] = sums;
    even.min(odd) < 0.5 * even.max(odd)
}

/// Sample at which the sound begins: the first 10 ms that hold a third of the loudest 10 ms.
pub(crate) fn onset(samples: &[f32], rate: f64) -> usize {
    let frame = ((0.010 * rate) as usize).max(1);
    let energies: Vec<f64> = samples
        .chunks(frame)
        .map(|chunk| chunk.iter().map(|x| f64::from(*x).powi(2)).sum())
        .collect();
    let most = energies.iter().copied().fold(0.0, f64::max);
    energies
        .iter()
        .position(|energy| *energy >= most / 3.0)
        .unwrap_or(0)
        * frame
}

/// Cuts one recording into its plucks: each from a little before a sudden rise to the next one.
///
/// A rise is ten milliseconds that hold a tenth of the loudest ten and four times the mean of the
/// tenth of a second before, half a second or more after the rise before it.
pub(crate) fn cut(samples: &[f32], rate: f64) -> Vec<&[f32]> {
    let frame = ((0.010 * rate) as usize).max(1);
    let energies: Vec<f64> = samples
        .chunks(frame)
        .map(|chunk| chunk.iter().map(|x| f64::from(*x).powi(2)).sum())
        .collect();
    let most = energies.iter().copied().fold(0.0, f64::max);
    let mut rises: Vec<usize> = Vec::new();
    for (index, energy) in energies.iter().enumerate() {
        let before = energies.get(index.saturating_sub(10)..index).unwrap_or(&[]);
        let mean = before.iter().sum::<f64>() / before.len().max(1) as f64;
        let far = rises.last().is_none_or(|last| index - last >= 50);
        if far && *energy > 0.0 && *energy >= most / 10.0 && *energy > 4.0 * mean {
            rises.push(index);
        }
    }
    let starts: Vec<usize> = rises
        .iter()
        .map(|rise| rise.saturating_sub(5) * frame)
        .collect();
    let ends = starts.iter().skip(1).copied().chain([samples.len()]);
    starts
        .iter()
        .zip(ends)
        .filter_map(|(start, end)| samples.get(*start..end))
        .collect()
}

/// True where most of what is heard lies at multiples of 50 or of 60 Hz.
pub(crate) fn is_hum(sound: &[f32], rate: f64) -> bool {
    let total: f64 = sound.iter().map(|x| f64::from(*x).powi(2)).sum();
    [50.0, 60.0].iter().any(|mains| {
        let hum: f64 = (1..=20)
            .map(|multiple| f64::from(multiple) * mains)
            .filter(|frequency| *frequency < 0.45 * rate)
            .map(|frequency| {
                let amplitude = amplitude(sound, rate, frequency);
                0.5 * amplitude * amplitude * sound.len() as f64
            })
            .sum();
        hum > 0.5 * total
    })
}

/// Natural log of how much the partials lose from the first to the last third, their mean.
pub(crate) fn loss(sound: &[f32], rate: f64, partials: &[Partial]) -> f64 {
    let third = sound.len() / 3;
    let (Some(early), Some(late)) = (sound.get(..third), sound.get(sound.len() - third..)) else {
        return 0.0;
    };
    let mut losses: Vec<f64> = partials
        .iter()
        .map(|partial| {
            let f = partial.frequency.value();
            (amplitude(early, rate, f).max(1.0e-12) / amplitude(late, rate, f).max(1.0e-12)).ln()
        })
        .collect();
    losses.sort_by(f64::total_cmp);
    losses.get(losses.len() / 2).copied().unwrap_or(0.0)
}

/// Amplitude of one frequency in a piece of sound, Hann weighted, by turning a pointer.
fn amplitude(sound: &[f32], rate: f64, frequency: f64) -> f64 {
    let count = sound.len() as f64;
    let (tone, hann) = (Turn::by(frequency / rate), Turn::by(1.0 / count));
    let (mut at, mut window) = ((1.0, 0.0), (1.0, 0.0));
    let (mut re, mut im) = (0.0, 0.0);
    for sample in sound {
        let weighted = 0.5 * (1.0 - window.0) * f64::from(*sample);
        re += weighted * at.0;
        im += weighted * at.1;
        at = tone.on(at);
        window = hann.on(window);
    }
    4.0 * f64::hypot(re, im) / count
}

/// A step of an angle, as cosine and sine.
struct Turn(f64, f64);

impl Turn {
    fn by(turns: f64) -> Self {
        let (sin, cos) = (std::f64::consts::TAU * turns).sin_cos();
        Self(cos, sin)
    }

    fn on(&self, (cos, sin): (f64, f64)) -> (f64, f64) {
        (cos * self.0 - sin * self.1, sin * self.0 + cos * self.1)
    }
}
