//! A simulator of plucked wires as a phone would hear them, seeded and independent of the reader.
//!
//! A strand clamped somewhere between pinned and held straight, plucked at about a fifth, two
//! planes of swing slightly apart, faster decay higher up, uneven radiation, the microphone's
//! weak bass, the knock on the posts, mains hum, and noise.

use std::f64::consts::{PI, TAU};

use mechanics::sound::{
    EndHold, FreeSpan, Recording, SoundingLength, Supports, bending_bounds, frequency,
};
use mechanics::strand::{Construction, mass_per_metre, metallic_area};
use mechanics::{Hertz, Millimetres, NewtonSquareMetres, Newtons};

#[path = "../common/second.rs"]
pub(crate) mod second;

use second::exact_clamped_frequency;

/// SplitMix64 (Steele, Lea, Flood 2014): small, seeded, the same everywhere.
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0xD1B5_4A32_D192_ED03)
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// Even between two values.
    pub(crate) fn between(&mut self, least: f64, most: f64) -> f64 {
        least + (most - least) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Nearly normal, mean 0 and standard deviation 1: eight even 16-bit draws, variance 8/12.
    pub(crate) fn normal(&mut self) -> f64 {
        let sum: u64 = [self.next(), self.next()]
            .iter()
            .map(|draw| {
                (0..4)
                    .map(|part| (draw >> (16 * part)) & 0xFFFF)
                    .sum::<u64>()
            })
            .sum();
        (sum as f64 / 65_535.0 - 4.0) * 1.5_f64.sqrt()
    }

    pub(crate) fn pick<T: Copy>(&mut self, from: &[T]) -> T {
        from[(self.next() % from.len() as u64) as usize]
    }
}

/// A wire in its true state.
#[derive(Clone, Copy, Debug)]
pub(crate) struct TrueWire {
    pub(crate) wire: FreeSpan,
    pub(crate) tension: f64,
    pub(crate) bending: f64,
    /// 0 pinned, 1 held straight.
    pub(crate) held: f64,
}

pub(crate) fn plucked(diameter: f64, length: f64) -> FreeSpan {
    let construction = Construction::OneByNineteen;
    FreeSpan {
        length: Millimetres(length),
        mass: mass_per_metre(Millimetres(diameter), construction)
            .unwrap()
            .value,
        diameter: Millimetres(diameter),
        construction,
        supports: Supports::Pinched,
    }
}

/// Any wire that the reader answers: 2.5 to 5 mm, its least span to 2.4 m, 250 N upwards.
pub(crate) fn any_wire(dice: &mut Dice) -> TrueWire {
    let diameter = dice.pick(&[2.5, 3.0, 3.2, 3.2, 4.0, 5.0]);
    let least = if diameter <= 3.2 { 800.0 } else { 1200.0 };
    let wire = plucked(diameter, dice.between(least, 2400.0));
    let bounds = bending_bounds(wire.diameter, wire.construction).unwrap();
    let area = metallic_area(wire.diameter, wire.construction)
        .unwrap()
        .value();
    let stiffness = bounds.solid / bounds.slipping;
    let metres = wire.length.value() * 1e-3;
    // Slender enough to be answered, and up to 400 MPa.
    let slack = f64::max(250.0, 260.0 * bounds.solid.value() / (metres * metres));
    TrueWire {
        wire,
        tension: dice.between(slack, f64::min(400.0 * area, 3000.0)),
        bending: bounds.slipping.value() * stiffness.powf(dice.between(0.0, 1.0)),
        held: dice.between(0.5, 1.0),
    }
}

/// How the recording is made.
#[derive(Clone, Copy)]
pub(crate) struct Taking {
    pub(crate) rate: f64,
    pub(crate) seconds: f64,
    /// Sound over noise, decibels, over the whole time after the pluck.
    pub(crate) snr: f64,
    pub(crate) hum: bool,
}

pub(crate) const USUAL: Taking = Taking {
    rate: 16_000.0,
    seconds: 2.2,
    snr: 20.0,
    hum: true,
};

/// Frequencies of the partials below a limit.
pub(crate) fn partials(of: &TrueWire, below: f64) -> Vec<f64> {
    let wire = SoundingLength {
        length: of.wire.length,
        mass: of.wire.mass,
    };
    let (tension, bending) = (Newtons(of.tension), NewtonSquareMetres(of.bending));
    (1..)
        .map(|n| {
            let free = frequency(&wire, tension, bending, EndHold::Pinned, n)
                .unwrap()
                .value();
            let straight = exact_clamped_frequency(&wire, tension, bending, n).value();
            free + of.held * (straight - free)
        })
        .take_while(|f| *f < below)
        .take(80)
        .collect()
}

/// Adds a decaying sine from `start` on, by rotation instead of a sine per sample, until it has
/// fallen by 70 dB.
fn ring(
    samples: &mut [f64],
    rate: f64,
    start: usize,
    f: f64,
    decay: f64,
    amplitude: f64,
    phase: f64,
) {
    let turn = TAU * f / rate;
    let shrink = (-1.0 / (decay * rate)).exp();
    let (step_sin, step_cos) = (turn.sin() * shrink, turn.cos() * shrink);
    let (mut sin, mut cos) = (phase.sin() * amplitude, phase.cos() * amplitude);
    let count = (8.0 * decay * rate) as usize;
    for sample in samples.iter_mut().skip(start).take(count) {
        *sample += sin;
        (sin, cos) = (
            sin * step_cos + cos * step_sin,
            cos * step_cos - sin * step_sin,
        );
    }
}

/// One pluck of a wire.
pub(crate) fn pluck(of: &TrueWire, taking: &Taking, dice: &mut Dice) -> Vec<f32> {
    let count = (taking.seconds * taking.rate) as usize;
    let mut sound = vec![0.0; count];
    let start = (dice.between(0.05, 0.25) * taking.rate) as usize;
    let place = dice.between(0.15, 0.25);
    let longest = dice.between(0.3, 1.2);
    let mut strongest = 0.0_f64;
    for (index, f) in partials(of, f64::min(0.45 * taking.rate, 5000.0))
        .iter()
        .enumerate()
    {
        let n = (index + 1) as f64;
        // Pluck at one place, 1/n² in displacement, heard as velocity; a finger rounds it off.
        let shape = (n * PI * place).sin() / n * (-(n / 25.0).powi(2)).exp();
        let bass = 1.0 / (1.0 + (120.0 / f).powi(4)).sqrt();
        let amplitude = shape * bass * (0.5 * dice.normal()).exp();
        let decay = longest / (1.0 + f / 600.0) * (0.2 * dice.normal()).exp();
        let split = 0.0015 * dice.normal();
        let second = dice.between(0.2, 0.8);
        // A support gives a little and differently at each frequency.
        let detuned = f * (1.0 + 0.0008 * dice.normal());
        for (f, share) in [(detuned, 1.0), (detuned * (1.0 + split), second)] {
            let phase = dice.between(0.0, TAU);
            ring(
                &mut sound,
                taking.rate,
                start,
                f,
                decay,
                amplitude * share,
                phase,
            );
        }
        strongest = strongest.max(amplitude.abs());
    }
    for _ in 0..4 {
        let f = dice.between(80.0, 500.0);
        let (decay, phase) = (dice.between(0.02, 0.08), dice.between(0.0, TAU));
        let amplitude = strongest * dice.between(0.3, 1.5);
        ring(&mut sound, taking.rate, start, f, decay, amplitude, phase);
    }
    let knock = (0.010 * taking.rate) as usize;
    for sample in sound.iter_mut().skip(start).take(knock) {
        *sample += strongest * dice.normal();
    }
    let power = sound.iter().skip(start).map(|x| x * x).sum::<f64>() / (count - start) as f64;
    if taking.hum {
        let mains = dice.pick(&[50.0, 60.0]) * (1.0 + 0.001 * dice.normal());
        let level = power.sqrt() * dice.between(0.0, 0.5);
        for multiple in 1..=8 {
            let (m, phase) = (f64::from(multiple), dice.between(0.0, TAU));
            ring(&mut sound, taking.rate, 0, m * mains, 1e9, level / m, phase);
        }
    }
    noise(
        &mut sound,
        power.sqrt() * 10.0_f64.powf(-taking.snr / 20.0),
        dice,
    );
    to_full_scale(&sound, dice.between(0.05, 0.9))
}

/// Noise of a given root mean square, half of its power white and half tilted to the bass.
pub(crate) fn noise(samples: &mut [f64], rms: f64, dice: &mut Dice) {
    let mut slow = 0.0;
    for sample in samples.iter_mut() {
        // One-pole low-pass of unit variance: 1 − 0.95² = 0.0975.
        slow = 0.95 * slow + 0.0975_f64.sqrt() * dice.normal();
        *sample += rms * std::f64::consts::FRAC_1_SQRT_2 * (slow + dice.normal());
    }
}

pub(crate) fn to_full_scale(samples: &[f64], peak: f64) -> Vec<f32> {
    let most = samples.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
    samples.iter().map(|x| (x * peak / most) as f32).collect()
}

pub(crate) fn recording(samples: &[f32], rate: f64) -> Recording<'_> {
    Recording {
        samples,
        rate: Hertz(rate),
    }
}
