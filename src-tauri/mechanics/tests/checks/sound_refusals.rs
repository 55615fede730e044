//! Sounds and wires that tell no tension: each is refused with a reason and a remedy.
//!
//! One file past 400 lines, since every sound that is refused stands beside the others.

use std::f64::consts::TAU;

use mechanics::sound::{
    FreeSpan, GUIDE, PluckReading, Recording, Refusal, SoundAnswer, Supports, bending_bounds,
    read_pluck, read_plucks, refused_before, split_plucks,
};
use mechanics::{Hertz, Millimetres, Newtons};
use proptest::prelude::*;

use crate::plucks::{
    Dice, Taking, TrueWire, USUAL, noise, pluck, plucked, recording, to_full_scale,
};

const RATE: f64 = 16_000.0;
const CLEAR: Taking = Taking {
    rate: RATE,
    seconds: 2.2,
    snr: 40.0,
    hum: false,
};

fn usual() -> TrueWire {
    TrueWire {
        wire: plucked(3.2, 1500.0),
        tension: 1000.0,
        bending: 0.15,
        held: 1.0,
    }
}

fn read(wire: &FreeSpan, samples: &[f32], rate: f64) -> Result<PluckReading, Refusal> {
    read_pluck(wire, &recording(samples, rate)).unwrap()
}

fn heard(samples: &[f32]) -> Refusal {
    read(&usual().wire, samples, RATE).unwrap_err()
}

/// Seconds of a sound given by its value at each time.
fn sound(seconds: f64, mut at: impl FnMut(f64) -> f64) -> Vec<f64> {
    (0..(seconds * RATE) as usize)
        .map(|index| at(index as f64 / RATE))
        .collect()
}

/// The first clear pluck of a wire that is read.
fn good_of(wire: &TrueWire, rate: f64) -> Vec<f32> {
    (0..40)
        .map(|seed| {
            pluck(
                wire,
                &Taking { rate, ..CLEAR },
                &mut Dice::new(90_000 + seed),
            )
        })
        .find(|samples| read(&wire.wire, samples, rate).is_ok())
        .unwrap()
}

fn good(rate: f64) -> Vec<f32> {
    good_of(&usual(), rate)
}

#[test]
fn a_clear_pluck_is_read_at_every_usual_rate() {
    for rate in [8_000.0, 16_000.0, 22_050.0, 44_100.0, 48_000.0, 96_000.0] {
        let samples = good(rate);
        let reading = read(&usual().wire, &samples, rate).unwrap();
        assert!(
            (reading.fit.clamped.value() / 1000.0 - 1.0).abs() < 0.03,
            "{rate}"
        );
        assert!(reading.fit.pinned > reading.fit.clamped);
    }
}

#[test]
fn eight_bits_are_enough_for_a_loud_pluck() {
    let samples: Vec<f32> = good(RATE)
        .iter()
        .map(|x| (x * 127.0).round() / 127.0)
        .collect();
    // Coarse steps add noise, far below the pluck's own: it is read, and as rightly as three must agree.
    let reading = read(&usual().wire, &samples, RATE).unwrap();
    assert!((reading.fit.clamped.value() / 1000.0 - 1.0).abs() < 0.03);
}

#[test]
fn an_answer_is_a_guide_with_method_inputs_and_band() {
    let samples = good(RATE);
    let plucks = [recording(&samples, RATE); 3];
    let SoundAnswer::Guide { reading } = read_plucks(&usual().wire, &plucks).unwrap() else {
        panic!("refused");
    };
    assert_eq!(reading.standing, GUIDE);
    assert_eq!(reading.wire, usual().wire);
    assert_eq!(reading.agreeing, 3);
    assert!(reading.least <= reading.tension * 0.9 && reading.most >= reading.tension * 1.1);
    assert!(reading.most >= reading.pinned);
    let text = serde_json::to_string(&SoundAnswer::Guide { reading }).unwrap();
    assert!(
        text.contains("\"kind\":\"guide\"") && !text.contains("null"),
        "{text}"
    );
    for word in ["comply", "complies", "safe", "pass"] {
        assert!(!text.contains(word));
    }
}

#[test]
fn recordings_that_hold_nothing() {
    assert_eq!(heard(&[]), Refusal::Empty);
    assert_eq!(heard(&vec![0.0; 32_000]), Refusal::Silent);
    assert_eq!(heard(&vec![0.3; 32_000]), Refusal::Silent);
    assert!(matches!(
        heard(&good(RATE)[..4000]),
        Refusal::TooShort { .. }
    ));
    // The pluck at the very end.
    let mut late = vec![0.0; 32_000];
    late.extend(&good(RATE)[..8000]);
    assert!(matches!(heard(&late), Refusal::TooShort { .. }));
    for bad in [f32::NAN, f32::INFINITY, 1e30] {
        let mut damaged = good(RATE);
        damaged[77] = bad;
        assert_eq!(heard(&damaged), Refusal::Damaged);
    }
    let slow = read(&usual().wire, &good(RATE), 2_000.0);
    assert!(matches!(slow, Err(Refusal::SampledTooSlowly { .. })));
    for bad in [0.0, -1.0, f64::NAN, f64::INFINITY] {
        assert!(read_pluck(&usual().wire, &recording(&good(RATE), bad)).is_err());
        assert!(split_plucks(&recording(&good(RATE), bad)).is_err());
    }
    assert!(split_plucks(&recording(&[], RATE)).unwrap().is_empty());
}

#[test]
fn cut_tops_are_refused() {
    for gain in [3.0, 10.0, 100.0] {
        let peak = good(RATE).iter().fold(0.0_f32, |most, x| most.max(x.abs()));
        let cut: Vec<f32> = good(RATE)
            .iter()
            .map(|x| (x / peak * gain).clamp(-1.0, 1.0))
            .collect();
        assert_eq!(heard(&cut), Refusal::Clipped, "gain {gain}");
    }
}

#[test]
fn left_and_right_in_one_row_are_refused() {
    // Taken as one channel they would sound an octave low: a quarter of the tension.
    let one = good(RATE);
    let same: Vec<f32> = one.iter().flat_map(|x| [*x, *x]).collect();
    assert_eq!(heard(&same), Refusal::ChannelsMixed);
    let mut dice = Dice::new(4);
    let alike: Vec<f32> = one
        .iter()
        .flat_map(|x| [*x, 0.8 * x + 0.001 * dice.normal() as f32])
        .collect();
    let quarter = read(&usual().wire, &alike, RATE);
    assert!(quarter.is_err(), "{quarter:?}");
}

#[test]
fn mains_hum_is_refused() {
    for mains in [50.0, 60.0] {
        let mut dice = Dice::new(mains as u64);
        let mut hum = sound(2.0, |t| {
            (1..=12)
                .map(|k| (TAU * mains * f64::from(k) * t).sin() / f64::from(k))
                .sum()
        });
        noise(&mut hum, 0.02, &mut dice);
        assert_eq!(heard(&to_full_scale(&hum, 0.5)), Refusal::Hum);
    }
}

#[test]
fn noise_and_a_knock_are_refused() {
    for seed in 0..20 {
        let mut dice = Dice::new(seed);
        let mut hiss = sound(2.0, |_| 0.0);
        noise(&mut hiss, 0.1, &mut dice);
        assert!(matches!(
            heard(&to_full_scale(&hiss, 0.5)),
            Refusal::NoHarmonics { .. }
        ));
        let mut knock = sound(2.0, |t| 10.0 * (-t / 0.01).exp() * (TAU * 180.0 * t).sin());
        noise(&mut knock, 0.01, &mut dice);
        assert!(read(&usual().wire, &to_full_scale(&knock, 0.5), RATE).is_err());
    }
}

/// A voice: many tones of a gliding pitch, shaped by two formants, in syllables.
fn voice(dice: &mut Dice) -> Vec<f64> {
    let (pitch, glide) = (dice.between(75.0, 260.0), dice.between(0.02, 0.15));
    let (formants, pace) = (
        [dice.between(300.0, 800.0), dice.between(900.0, 2300.0)],
        dice.between(2.0, 5.0),
    );
    let mut phase = 0.0;
    let mut voice = sound(2.2, |t| {
        phase += TAU * pitch * (1.0 + glide * (TAU * 1.3 * t).sin()) / RATE;
        let syllable = (TAU * pace * t).sin().max(0.0);
        let tone = |k: f64| {
            let shape: f64 = formants
                .iter()
                .map(|f| 1.0 / (1.0 + ((k * pitch - f) / 120.0).powi(2)))
                .sum();
            (k * phase).sin() * (shape + 0.05)
        };
        syllable * (1..=25).map(|k| tone(f64::from(k))).sum::<f64>()
    });
    noise(&mut voice, 0.02, dice);
    voice
}

/// A held note or a struck chord of an instrument: tones in whole ratios, or nearly.
fn notes(pitches: &[f64], stiffness: f64, decay: f64, dice: &mut Dice) -> Vec<f64> {
    let mut music = sound(2.2, |t| {
        pitches
            .iter()
            .map(|pitch| {
                (1..=20)
                    .map(f64::from)
                    .map(|k| (TAU * k * pitch * (1.0 + stiffness * k * k).sqrt() * t).sin() / k)
                    .sum::<f64>()
            })
            .sum::<f64>()
            * (-t / decay).exp()
    });
    noise(&mut music, 0.02, dice);
    music
}

/// Counts refusals of a kind of sound over seeds and wires; nothing may be accepted.
fn none_accepted(what: &str, make: impl Fn(&mut Dice) -> Vec<f64>) {
    let mut kinds = std::collections::BTreeMap::<String, u32>::new();
    for seed in 0..40 {
        let mut dice = Dice::new(40_000 + seed);
        let samples = to_full_scale(&make(&mut dice), 0.5);
        let wire = plucked(
            dice.pick(&[2.5, 3.2, 3.2, 4.0]),
            dice.between(1200.0, 2000.0),
        );
        let refusal = read(&wire, &samples, RATE).expect_err(what);
        let name = serde_json::to_value(refusal).unwrap()["kind"].to_string();
        *kinds.entry(name).or_default() += 1;
    }
    println!("{what}: {kinds:?}");
}

#[test]
fn speech_is_refused() {
    none_accepted("speech", voice);
}

#[test]
fn a_held_tone_and_a_sung_vowel_are_refused() {
    none_accepted("held tone", |dice| {
        let pitch = dice.between(40.0, 200.0);
        notes(&[pitch], 0.0, 1e9, dice)
    });
}

#[test]
fn a_dying_note_without_stiffness_is_refused() {
    none_accepted("flute or voice dying away", |dice| {
        let pitch = dice.between(40.0, 200.0);
        notes(&[pitch], 0.0, 0.6, dice)
    });
}

#[test]
fn a_chord_is_refused() {
    none_accepted("chord", |dice| {
        let root = dice.between(60.0, 220.0);
        // A major triad in even temperament: 0, 4 and 7 semitones.
        let pitches = [0.0, 4.0, 7.0].map(|step| root * 2.0_f64.powf(step / 12.0));
        notes(&pitches, 4e-5, 1.5, dice)
    });
}

#[test]
fn wires_that_cannot_be_read_are_refused_before_listening() {
    let before = |wire: &FreeSpan| refused_before(wire).unwrap();
    assert_eq!(before(&usual().wire), None);
    for (diameter, length, least) in [
        (2.5, 799.0, 800.0),
        (3.2, 799.0, 800.0),
        (4.0, 1199.0, 1200.0),
        (5.0, 1199.0, 1200.0),
    ] {
        let refusal = Refusal::SpanTooShort {
            length: Millimetres(length),
            least: Millimetres(least),
        };
        assert_eq!(before(&plucked(diameter, length)), Some(refusal));
        assert_eq!(before(&plucked(diameter, least)), None);
    }
    assert!(matches!(
        before(&plucked(3.2, 50.0)),
        Some(Refusal::SpanTooShort { .. })
    ));
    assert!(matches!(
        before(&plucked(6.0, 2000.0)),
        Some(Refusal::StrandTooThick { .. })
    ));
    for (supports, refusal) in [
        (Supports::Sleeved, Refusal::Sleeved),
        (Supports::Loose, Refusal::LooseSupports),
        (Supports::NotSaid, Refusal::SupportsNotSaid),
    ] {
        let wire = FreeSpan {
            supports,
            ..usual().wire
        };
        assert_eq!(before(&wire), Some(refusal));
        let samples = good(RATE);
        let answer = read_plucks(&wire, &[recording(&samples, RATE); 3]).unwrap();
        assert_eq!(
            answer,
            SoundAnswer::Refused {
                refusal,
                plucks: Vec::new()
            }
        );
    }
    // Fifty metres: every tone lies far below what a phone hears.
    assert!(read(&plucked(3.2, 50_000.0), &good(RATE), RATE).is_err());
    for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
        assert!(
            refused_before(&FreeSpan {
                length: Millimetres(bad),
                ..usual().wire
            })
            .is_err()
        );
        assert!(
            refused_before(&FreeSpan {
                diameter: Millimetres(bad),
                ..usual().wire
            })
            .is_err()
        );
    }
}

#[test]
fn a_wire_too_slack_for_its_stiffness_is_refused() {
    // Shorter than what it stands stiff over, and all but slack: no row, or one as good as another.
    for (length, tension, bending, row) in [(800.0, 150.0, 0.7, false), (1380.0, 25.0, 0.2, true)] {
        let slack = TrueWire {
            wire: plucked(3.2, length),
            tension,
            bending,
            held: 1.0,
        };
        for seed in 0..10 {
            let samples = pluck(&slack, &CLEAR, &mut Dice::new(seed));
            let refusal = read(&slack.wire, &samples, RATE).unwrap_err();
            match (row, refusal) {
                (false, Refusal::NoHarmonics { .. }) | (true, Refusal::Ambiguous { .. }) => {}
                other => panic!("{tension} N, seed {seed}: {other:?}"),
            }
            assert!(refusal.remedy().contains("A slack wire sounds so too"));
        }
    }
}

#[test]
fn below_fifteen_nothing_is_told_and_below_thirty_the_guide_is_wide() {
    // By the largest EI that a strand of the size has, whatever this one has.
    let wire = plucked(3.2, 800.0);
    let bounds = bending_bounds(wire.diameter, wire.construction).unwrap();
    let heard = |slender: f64| {
        let wire = TrueWire {
            wire,
            tension: bounds.solid.value() * (slender / 0.8).powi(2),
            bending: bounds.slipping.value(),
            held: 1.0,
        };
        (0..40).map(move |seed| {
            let samples = pluck(&wire, &CLEAR, &mut Dice::new(seed));
            let told = read(&wire.wire, &samples, RATE);
            (samples, told)
        })
    };
    let mut too_stiff = 0;
    for (_, told) in heard(14.4) {
        match told {
            Err(Refusal::TooStiff { slenderness, least }) => {
                assert!((14.0..15.0).contains(&slenderness) && least == 15.0);
                too_stiff += 1;
            }
            Err(_) => {}
            Ok(reading) => panic!("{reading:?}"),
        }
    }
    assert!(too_stiff > 0);
    for (slender, wide) in [(15.6, true), (29.5, true), (30.5, false)] {
        let (samples, _) = heard(slender).find(|(_, told)| told.is_ok()).unwrap();
        let told = read_plucks(&wire, &[recording(&samples, RATE); 3]).unwrap();
        let SoundAnswer::Guide { reading } = told else {
            panic!("{told:?}");
        };
        // Read to half a per cent, of which the slenderness keeps half.
        assert!((reading.slenderness - slender).abs() < 0.1, "{slender}");
        assert_eq!(reading.wide, wide, "{slender}");
    }
}

#[test]
fn two_of_three_must_agree() {
    let samples = good(RATE);
    let one = recording(&samples, RATE);
    let wire = usual().wire;
    let refusal = |plucks: &[Recording<'_>]| match read_plucks(&wire, plucks).unwrap() {
        SoundAnswer::Refused { refusal, .. } => refusal,
        SoundAnswer::Guide { reading } => panic!("{reading:?}"),
    };
    assert_eq!(
        refusal(&[]),
        Refusal::TooFewPlucks {
            taken: 0,
            needed: 3
        }
    );
    assert_eq!(
        refusal(&[one, one]),
        Refusal::TooFewPlucks {
            taken: 2,
            needed: 3
        }
    );
    let silent = recording(&[], RATE);
    assert_eq!(
        refusal(&[one, silent, silent]),
        Refusal::TooFewRead { read: 1, needed: 2 }
    );
    let tighter = TrueWire {
        tension: 1080.0,
        ..usual()
    };
    let higher = good_of(&tighter, RATE);
    let faster = recording(&higher, RATE);
    let disagree = refusal(&[one, faster, silent]);
    assert!(matches!(disagree, Refusal::PlucksDisagree { apart, .. } if apart > 0.03));
    let SoundAnswer::Guide { reading } = read_plucks(&wire, &[one, faster, one]).unwrap() else {
        panic!("two agree");
    };
    assert_eq!(reading.agreeing, 2);
    assert!((reading.tension.value() / 1000.0 - 1.0).abs() < 0.03);
}

#[test]
fn every_refusal_has_a_reason_and_a_remedy_in_plain_words() {
    let (f, n, s) = (Hertz(16.6), Newtons(100.0), mechanics::Seconds(0.5));
    let mm = Millimetres(800.0);
    let all = [
        Refusal::Empty,
        Refusal::Damaged,
        Refusal::SampledTooSlowly { rate: f, needed: f },
        Refusal::TooShort {
            heard: s,
            needed: s,
        },
        Refusal::Silent,
        Refusal::Clipped,
        Refusal::ChannelsMixed,
        Refusal::Hum,
        Refusal::NoHarmonics {
            score: 1.0,
            needed: 1.9,
        },
        Refusal::TooFewHarmonics {
            found: 2,
            needed: 4,
        },
        Refusal::HarmonicsMissing {
            found: 0.2,
            needed: 0.3,
        },
        Refusal::Ambiguous {
            runner_up: 0.9,
            limit: 0.85,
        },
        Refusal::HarmonicsScatter {
            scatter: 0.01,
            limit: 0.008,
        },
        Refusal::OtherSounds {
            own: 0.4,
            needed: 0.6,
        },
        Refusal::NotThisStrand,
        Refusal::DoesNotDieAway,
        Refusal::OutsideRange {
            tension: n,
            least: n,
            most: n,
        },
        Refusal::TooFewPlucks {
            taken: 1,
            needed: 3,
        },
        Refusal::TooFewRead { read: 1, needed: 2 },
        Refusal::PlucksDisagree {
            apart: 0.08,
            limit: 0.03,
        },
        Refusal::SpanTooShort {
            length: mm,
            least: mm,
        },
        Refusal::TooStiff {
            slenderness: 10.0,
            least: 15.0,
        },
        Refusal::StrandTooThick {
            diameter: mm,
            most: mm,
        },
        Refusal::Sleeved,
        Refusal::LooseSupports,
        Refusal::SupportsNotSaid,
        Refusal::TooFewSamples {
            samples: 2,
            covered: s,
            longest: s,
            needed: 60,
        },
        Refusal::TooLittleMotion {
            covered: s,
            needed: s,
        },
        Refusal::TimesNotRising,
        Refusal::MotionGaps {
            longest: s,
            missing: 0.4,
        },
        Refusal::NoSwing,
        Refusal::SensorTooSlow { rate: f, other: f },
        Refusal::SwingTooFast {
            frequency: f,
            limit: f,
        },
        Refusal::PhoneTooLight {
            ratio: 2.0,
            limit: 1.5,
        },
        Refusal::TooSlackForMass {
            tension: n,
            least: n,
        },
    ];
    for refusal in all {
        let (reason, remedy) = (refusal.reason(), refusal.remedy());
        assert!(reason.len() > 10 && !reason.ends_with('.'), "{reason}");
        assert!(remedy.ends_with('.') && remedy.contains(' '), "{remedy}");
        assert!(!reason.contains("NaN"));
        let text = serde_json::to_string(&refusal).unwrap();
        assert_eq!(serde_json::from_str::<Refusal>(&text).unwrap(), refusal);
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]
    #[test]
    fn any_samples_are_answered(
        samples in proptest::collection::vec(-1.0_f32..1.0, 0..9000),
        rate in 4000.0..20_000.0_f64,
        length in 50.0..50_000.0_f64,
        diameter in 0.5..8.0_f64,
    ) {
        let wire = plucked(diameter, length);
        let answer = read_plucks(&wire, &[recording(&samples, rate); 3]).unwrap();
        let refused = matches!(answer, SoundAnswer::Refused { .. });
        prop_assert!(refused, "noise was read: {answer:?}");
    }

    #[test]
    fn loudness_plays_no_part(gain in 0.001_f32..1.0) {
        let samples = pluck(&usual(), &USUAL, &mut Dice::new(90_001));
        let quieter: Vec<f32> = samples.iter().map(|x| x * gain).collect();
        let (one, two) = (read(&usual().wire, &samples, RATE), read(&usual().wire, &quieter, RATE));
        match (one, two) {
            (Ok(one), Ok(two)) => {
                let ratio = one.fit.clamped / two.fit.clamped;
                prop_assert!((ratio - 1.0).abs() < 1e-3);
            }
            (one, two) => prop_assert_eq!(one.is_ok(), two.is_ok()),
        }
    }
}
