//! Plucks of a strand of 3.2 mm as files, made by formula: no recording of a real wire is among them.
//!
//! Partials of a clamped stiff string (the exact equation of the basis), plucked at a fifth, each
//! dying away, a knock at the start, a little noise.

use std::f64::consts::{PI, TAU};
use std::io::Cursor;

use hound::{SampleFormat, WavSpec, WavWriter};
use mechanics::sound::SoundingLength;
use mechanics::{KilogramsPerMetre, Millimetres, NewtonSquareMetres, Newtons};

#[path = "../../../mechanics/tests/common/second.rs"]
mod second;

/// Mass of a metre of 1x19 of 3.2 mm.
pub(crate) const MASS: f64 = 0.05005;
const SECONDS: f64 = 2.2;

/// SplitMix64: small, seeded, the same everywhere.
pub(crate) struct Dice(pub u64);

impl Dice {
    /// Even between -1 and 1.
    pub(crate) fn even(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        ((z ^ (z >> 31)) >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

/// One pluck at full scale 0.7.
pub(crate) fn pluck(length_mm: f64, tension: f64, rate: u32, seed: u64) -> Vec<f64> {
    let wire = SoundingLength {
        length: Millimetres(length_mm),
        mass: KilogramsPerMetre(MASS),
    };
    let rate = f64::from(rate);
    let count = (SECONDS * rate) as usize;
    let start = (0.15 * rate) as usize;
    let mut dice = Dice(seed);
    let mut sound = vec![0.0; count];
    for number in 1..60_u32 {
        let f = second::exact_clamped_frequency(
            &wire,
            Newtons(tension),
            NewtonSquareMetres(0.15),
            number,
        );
        let f = f.value();
        if f > f64::min(4000.0, 0.45 * rate) {
            break;
        }
        let n = f64::from(number);
        let amplitude = (n * PI * 0.2).sin() / n * (1.0 + 0.2 * dice.even());
        let (decay, phase) = (0.7 / (1.0 + f / 600.0), dice.even() * PI);
        for (at, sample) in sound.iter_mut().skip(start).enumerate() {
            let t = at as f64 / rate;
            *sample += amplitude * (-t / decay).exp() * (TAU * f * t + phase).sin();
        }
    }
    for (at, sample) in sound.iter_mut().enumerate() {
        if (start..start + (0.008 * rate) as usize).contains(&at) {
            *sample += 0.6 * dice.even();
        }
        *sample += 0.004 * dice.even();
    }
    scaled(sound, 0.7)
}

pub(crate) fn scaled(sound: Vec<f64>, peak: f64) -> Vec<f64> {
    let most = sound.iter().fold(0.0_f64, |most, x| most.max(x.abs()));
    sound.iter().map(|x| x * peak / most.max(1e-12)).collect()
}

/// How a file holds the sound.
#[derive(Clone, Copy)]
pub(crate) struct Form {
    pub rate: u32,
    pub bits: u16,
    pub float: bool,
    pub channels: u16,
}

pub(crate) const PLAIN: Form = Form {
    rate: 16_000,
    bits: 16,
    float: false,
    channels: 1,
};

/// A WAV file; of several channels the last holds the sound, the others a tenth of it.
pub(crate) fn file(sound: &[f64], form: Form) -> Vec<u8> {
    let spec = WavSpec {
        channels: form.channels,
        sample_rate: form.rate,
        bits_per_sample: form.bits,
        sample_format: if form.float {
            SampleFormat::Float
        } else {
            SampleFormat::Int
        },
    };
    let mut bytes = Cursor::new(Vec::new());
    let mut writer = WavWriter::new(&mut bytes, spec).unwrap();
    let full = 2.0_f64.powi(i32::from(form.bits) - 1) - 1.0;
    for sample in sound {
        for channel in 1..=form.channels {
            let sample = if channel == form.channels {
                *sample
            } else {
                sample * 0.1
            };
            match form.float {
                true => writer.write_sample(sample as f32).unwrap(),
                false => writer
                    .write_sample((sample.clamp(-1.0, 1.0) * full).round() as i32)
                    .unwrap(),
            }
        }
    }
    writer.finalize().unwrap();
    bytes.into_inner()
}

/// The swing of a phone at mid span, pushed after half a second, as a table of motion.
pub(crate) fn swing(frequency: f64, rate: f64, seconds: f64, seed: u64) -> Vec<(f64, f64)> {
    let mut dice = Dice(seed);
    (0..(rate * seconds) as usize)
        .map(|index| {
            let at = (index as f64 + 0.2 * dice.even()) / rate;
            let since = (at - 0.5).max(0.0);
            let swing = 3.0 * (-since / 1.2).exp() * (TAU * frequency * since).sin();
            (at, 9.81 + swing + 0.2 * dice.even())
        })
        .collect()
}

/// Three axes, the second of which swings.
pub(crate) fn table(swing: &[(f64, f64)], seed: u64) -> String {
    let mut dice = Dice(seed);
    let mut text = "ms;x;y;z\n".to_owned();
    for (at, a) in swing {
        let (x, z) = (0.1 * dice.even(), 0.1 * dice.even());
        text.push_str(&format!("{:.2};{x:.4};{a:.4};{z:.4}\n", at * 1000.0));
    }
    text
}
