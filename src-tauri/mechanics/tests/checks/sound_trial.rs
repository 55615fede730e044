//! Simulated wires put to the reader of sounds, beside a plain rival: what came of them, and what
//! must always hold of it.
//!
//! Shared by the tests, which play some seeds, and the bench, which plays all of the guide's table.

use std::collections::BTreeMap;
use std::ops::Range;

use mechanics::Millimetres;
use mechanics::sound::{FreeSpan, PluckAnswer, Refusal, SoundAnswer, SoundReading, read_plucks};

use crate::plucks::{Dice, Taking, TrueWire, USUAL, any_wire, pluck, recording};

/// What a number of wires came to.
#[derive(Default)]
struct Count {
    wires: usize,
    /// Relative errors of the accepted ones.
    errors: Vec<f64>,
    /// True tension outside the band told.
    outside: usize,
    /// Relative errors of the rival on the first pluck of each.
    rival: Vec<f64>,
    refused: BTreeMap<String, usize>,
}

impl Count {
    fn off(errors: &[f64]) -> usize {
        errors.iter().filter(|error| error.abs() > 0.10).count()
    }

    fn at(errors: &[f64], share: f64) -> f64 {
        let mut sizes: Vec<f64> = errors.iter().map(|error| error.abs()).collect();
        sizes.sort_by(f64::total_cmp);
        let last = sizes.len().saturating_sub(1);
        sizes
            .get((last as f64 * share) as usize)
            .copied()
            .unwrap_or(0.0)
            * 100.0
    }

    fn row(&self, what: &str) {
        println!(
            "| {what} | {} | {} | {} | {:.1} | {:.1} | {:.1} | {} | {:.0} % |",
            self.wires,
            self.errors.len(),
            Self::off(&self.errors),
            Self::at(&self.errors, 0.5),
            Self::at(&self.errors, 0.95),
            Self::at(&self.errors, 1.0),
            self.outside,
            100.0 * Self::off(&self.rival) as f64 / self.rival.len() as f64,
        );
        println!("  plucks refused: {:?}", self.refused);
    }
}

fn named(refusal: &Refusal) -> String {
    serde_json::to_value(refusal).unwrap()["kind"]
        .as_str()
        .unwrap()
        .to_owned()
}

/// Plays three plucks of each seed's wire; `told` changes what the reader is told of the wire.
fn play(seeds: Range<u64>, taking: Taking, told: fn(&TrueWire, &mut Dice) -> FreeSpan) -> Count {
    let mut count = Count::default();
    for seed in seeds {
        let mut dice = Dice::new(seed);
        let truth = any_wire(&mut dice);
        let sounds: Vec<Vec<f32>> = (0..3).map(|_| pluck(&truth, &taking, &mut dice)).collect();
        let recordings: Vec<_> = sounds.iter().map(|s| recording(s, taking.rate)).collect();
        let span = told(&truth, &mut dice);
        count
            .rival
            .push(plain(&span, &sounds[0], taking.rate) / truth.tension - 1.0);
        count.wires += 1;
        match read_plucks(&span, &recordings).unwrap() {
            SoundAnswer::Guide { reading } => count.accept(&truth, &reading),
            SoundAnswer::Refused { plucks, .. } => {
                count.refuse(&plucks);
            }
        }
    }
    count
}

impl Count {
    fn accept(&mut self, truth: &TrueWire, reading: &SoundReading) {
        self.errors
            .push(reading.tension.value() / truth.tension - 1.0);
        let band = reading.least.value()..=reading.most.value();
        self.outside += usize::from(!band.contains(&truth.tension));
        self.refuse(&reading.plucks);
    }

    fn refuse(&mut self, plucks: &[PluckAnswer]) {
        for pluck in plucks {
            if let PluckAnswer::Refused { refusal } = pluck {
                *self.refused.entry(named(refusal)).or_default() += 1;
            }
        }
    }
}

/// A plain pitch: the highest autocorrelation of the same piece, taken for a bare string's f1.
fn plain(span: &FreeSpan, samples: &[f32], rate: f64) -> f64 {
    let frame = (0.010 * rate) as usize;
    let energy = |chunk: &[f32]| chunk.iter().map(|x| f64::from(*x).powi(2)).sum::<f64>();
    let most = samples.chunks(frame).map(energy).fold(0.0, f64::max);
    let onset = samples
        .chunks(frame)
        .position(|c| energy(c) >= most / 3.0)
        .unwrap()
        * frame;
    let start = onset + (0.030 * rate) as usize;
    let piece = &samples[start..(start + (0.8 * rate) as usize).min(samples.len())];
    let metres = span.length.value() * 1e-3;
    let pitch = |tension: f64| (tension / span.mass.value()).sqrt() / (2.0 * metres);
    let lags = (rate / pitch(4000.0)) as usize..=(rate / pitch(100.0)) as usize;
    let best = lags
        .map(|lag| {
            let pairs = piece.iter().zip(&piece[lag..]);
            (lag, pairs.map(|(a, b)| f64::from(a * b)).sum::<f64>())
        })
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .unwrap();
    4.0 * span.mass.value() * (metres * rate / best.0 as f64).powi(2)
}

const HEAD: &str = "| sound over noise, seeds | wires | accepted | off by > 10 % | median % | \
                    95th % | worst % | true outside band | plain pitch off by > 10 % |";

/// Both cores, half of the seeds each.
fn played(seeds: Range<u64>, taking: Taking, told: fn(&TrueWire, &mut Dice) -> FreeSpan) -> Count {
    let middle = u64::midpoint(seeds.start, seeds.end);
    let (mut one, two) = std::thread::scope(|scope| {
        let other = scope.spawn(move || play(middle..seeds.end, taking, told));
        (
            play(seeds.start..middle, taking, told),
            other.join().unwrap(),
        )
    });
    one.wires += two.wires;
    one.outside += two.outside;
    one.errors.extend(two.errors);
    one.rival.extend(two.rival);
    for (name, times) in two.refused {
        *one.refused.entry(name).or_default() += times;
    }
    one
}

fn as_it_is(truth: &TrueWire, _: &mut Dice) -> FreeSpan {
    truth.wire
}

/// Mass up to 4 % and length up to 5 mm wrong, as on site.
fn as_on_site(truth: &TrueWire, dice: &mut Dice) -> FreeSpan {
    FreeSpan {
        mass: truth.wire.mass * (1.0 + dice.between(-0.04, 0.04)),
        length: truth.wire.length + Millimetres(dice.between(-5.0, 5.0)),
        ..truth.wire
    }
}

/// Plays the seeds at each level, in decibels of sound over noise: none accepted may be off by a tenth
/// or outside its band, and at least so many must be accepted.
pub(crate) fn trial(what: &str, seeds: Range<u64>, least_accepted: &[(f64, usize)]) {
    println!("{HEAD}");
    for &(snr, least) in least_accepted {
        let count = played(seeds.clone(), Taking { snr, ..USUAL }, as_it_is);
        count.row(&format!("{snr:.0} dB, {what}"));
        assert_eq!(
            Count::off(&count.errors),
            0,
            "accepted and off: {:?}",
            count.errors
        );
        assert_eq!(count.outside, 0);
        assert!(
            count.errors.len() >= least,
            "{} accepted",
            count.errors.len()
        );
        // The plain pitch answers always, and often wrong: what the gate is for.
        assert!(Count::off(&count.rival) * 100 >= 10 * count.wires);
    }
}

/// The same with mass and length told wrongly, at 20 dB: the band holds the truth all the same.
pub(crate) fn trial_on_site(seeds: Range<u64>, least_accepted: usize) {
    let count = played(seeds, USUAL, as_on_site);
    println!("{HEAD}");
    count.row("20 dB, mass ±4 %, length ±5 mm");
    assert!(
        count.errors.len() >= least_accepted,
        "{} accepted",
        count.errors.len()
    );
    assert_eq!(count.outside, 0, "{:?}", count.errors);
}
