//! The phone at mid span: worked vector, finite elements, slack wires, motion samples.
//! One file past 400 lines, since each limit of the swing stands beside what is told within it.

use std::f64::consts::TAU;

use mechanics::deflection::{Held, deflection_under_load, load_for_deflection, span};
use mechanics::sound::{
    FreeSpan, GUIDE, HungMass, MotionSample, Refusal, Supports, SwingAnswer, SwingReading,
    bending_bounds, read_axes, read_motion, read_swing, swing, swing_tension,
};
use mechanics::{
    Hertz, Kilograms, KilogramsPerMetre, Millimetres, NewtonSquareMetres, Newtons, Seconds,
};
use proptest::prelude::*;

use crate::beam::Beam;
use crate::near;
use crate::plucks::second::swing_frequency;
use crate::plucks::{Dice, plucked};

const NONE: NewtonSquareMetres = NewtonSquareMetres(0.0);

fn hung(length: f64, mass: f64) -> HungMass {
    HungMass {
        span: FreeSpan {
            mass: KilogramsPerMetre(0.05005),
            ..plucked(3.2, length)
        },
        axial_stiffness: Newtons(794_597.0),
        mass: Kilograms(mass),
    }
}

fn told(answer: SwingAnswer) -> SwingReading {
    match answer {
        SwingAnswer::Guide { reading } => reading,
        SwingAnswer::Refused { refusal } => panic!("{refusal:?}"),
    }
}

fn refused(answer: SwingAnswer) -> Refusal {
    match answer {
        SwingAnswer::Refused { refusal } => refusal,
        SwingAnswer::Guide { reading } => panic!("{reading:?}"),
    }
}

#[test]
fn worked_swing_of_a_bare_string() {
    // Exact for a string with a mass at its middle: x·tan x = mL/M, f = x·√(T/m)/(π·L).
    let (mut low, mut high) = (0.0, 1.5);
    for _ in 0..100 {
        let x = f64::midpoint(low, high);
        if x * f64::tan(x) < 0.05005 * 1.5 / 0.2 {
            low = x;
        } else {
            high = x;
        }
    }
    let f = low * (1000.0_f64 / 0.05005).sqrt() / (std::f64::consts::PI * 1.5);
    near(f, 17.30, 0.005);
    // 17.30 is rounded: half its last digit is 0.6 N.
    let read = swing_tension(&hung(1500.0, 0.2), Hertz(f), NONE).unwrap();
    near(read.value(), 997.5, 0.6);
}

#[test]
fn swing_beside_finite_elements() {
    for (length, tension, bending, mass) in [
        (1500.0, 1000.0, 0.15, 0.2),
        (1500.0, 400.0, 0.7168, 0.2),
        (900.0, 1500.0, 0.0302, 0.25),
        (2400.0, 800.0, 0.3, 0.18),
    ] {
        let hung = hung(length, mass);
        let beam =
            Beam::clamped(length * 1e-3, 0.05005, tension, bending, 400).with_mass_at_middle(mass);
        let read = swing_tension(&hung, Hertz(beam.frequency(1)), NewtonSquareMetres(bending));
        // The static shape stands for the true one: within one per cent while the wire is lighter.
        near(read.unwrap().value(), tension, tension * 0.01);
    }
}

#[test]
fn swing_and_tension_invert_one_another() {
    for bending in [0.0, 0.03, 0.7] {
        let bending = NewtonSquareMetres(bending);
        let hung = hung(1500.0, 0.2);
        let f = swing_frequency(&hung, Newtons(1000.0), bending);
        let back = swing_tension(&hung, f, bending).unwrap();
        near(back.value(), 1000.0, 1e-6);
    }
}

#[test]
fn the_band_holds_both_bounds_of_bending() {
    let hung = hung(1500.0, 0.2);
    let bounds = bending_bounds(Millimetres(3.2), hung.span.construction).unwrap();
    for bending in [bounds.slipping, bounds.solid] {
        let f = swing_frequency(&hung, Newtons(1000.0), bending);
        let reading = told(read_swing(&hung, f).unwrap());
        assert!(reading.least < Newtons(1000.0) && Newtons(1000.0) < reading.most);
        assert!(reading.solid < reading.slipping);
        assert!(reading.least <= reading.tension * 0.9 && reading.most >= reading.tension * 1.1);
        assert_eq!(reading.standing, GUIDE);
    }
}

#[test]
fn a_slack_wire_pulled_tight_by_the_phone_is_not_read_high() {
    // The true up-and-down stiffness of a gripped wire under the mass, by the deflection's own
    // exact form: it swings faster than its tension alone would make it.
    let ea = Newtons(794_597.0);
    let hung = hung(1500.0, 0.2);
    let wire = span(Millimetres(1500.0), Millimetres(1500.0), ea, Held::Gripped);
    let mut told_once = false;
    for tension in [0.0, 20.0, 60.0, 100.0, 150.0, 200.0, 300.0, 500.0, 1000.0] {
        let start = Newtons(tension);
        let weight = hung.mass.weight();
        let sag = deflection_under_load(&wire, start, weight).unwrap();
        let load = |d: f64| {
            load_for_deflection(&wire, start, Millimetres(sag.value() + d))
                .unwrap()
                .value()
        };
        let stiffness = (load(0.01) - load(-0.01)) / 0.02e-3;
        let moving = 0.2 + 0.05005 * 1.5 / 3.0;
        let bending = bending_bounds(Millimetres(3.2), hung.span.construction)
            .unwrap()
            .solid;
        // A solid strand adds what it adds to a bare string of the tension under the mass.
        let pulled = weight.value() * 1.5 / (4.0 * sag.value() * 1e-3);
        let f = swing_frequency(&hung, Newtons(pulled), bending);
        let bare = swing_frequency(&hung, Newtons(pulled), NONE);
        let bent = 4.0 * pulled / 1.5 * ((f / bare).powi(2) - 1.0);
        let f = ((stiffness + bent) / moving).sqrt() / TAU;
        match read_swing(&hung, Hertz(f)).unwrap() {
            SwingAnswer::Guide { reading } => {
                told_once = true;
                assert!(
                    reading.least.value() <= tension * 1.001,
                    "true {tension}: {reading:?}"
                );
            }
            SwingAnswer::Refused { refusal } => {
                assert!(tension <= 250.0, "{tension}: {refusal:?}");
            }
        }
    }
    assert!(told_once);
}

#[test]
fn limits_of_the_swing() {
    let usual = hung(1500.0, 0.2);
    let at = |hung: &HungMass, f: f64| refused(read_swing(hung, Hertz(f)).unwrap());
    assert!(matches!(at(&usual, 42.0), Refusal::SwingTooFast { .. }));
    assert!(matches!(at(&usual, 41.9), Refusal::OutsideRange { .. }));
    assert!(matches!(at(&usual, 1.0), Refusal::TooStiff { .. }));
    assert!(matches!(at(&usual, 7.0), Refusal::TooSlackForMass { .. }));
    assert!(matches!(
        at(&hung(1500.0, 0.03), 30.0),
        Refusal::PhoneTooLight { .. }
    ));
    assert!(matches!(
        at(&hung(700.0, 0.2), 20.0),
        Refusal::SpanTooShort { .. }
    ));
    for (supports, refusal) in [
        (Supports::Sleeved, Refusal::Sleeved),
        (Supports::Loose, Refusal::LooseSupports),
        (Supports::NotSaid, Refusal::SupportsNotSaid),
    ] {
        let mut held = usual;
        held.span.supports = supports;
        assert_eq!(at(&held, 17.3), refusal);
    }
    for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
        assert!(read_swing(&usual, Hertz(bad)).is_err());
        assert!(read_swing(&hung(bad, 0.2), Hertz(17.3)).is_err());
        assert!(read_swing(&hung(1500.0, bad), Hertz(17.3)).is_err());
        let mut slack = usual;
        slack.axial_stiffness = Newtons(bad);
        assert!(read_swing(&slack, Hertz(17.3)).is_err());
    }
}

#[test]
fn below_fifteen_nothing_is_told_and_below_thirty_the_guide_is_wide() {
    // On the solid bar's side, which decides: L·√(T/EI) at its tension.
    let hung = hung(1500.0, 0.06);
    let solid = bending_bounds(Millimetres(3.2), hung.span.construction)
        .unwrap()
        .solid;
    let at = |slender: f64| {
        let tension = Newtons(solid.value() * (slender / 1.5).powi(2));
        read_swing(&hung, swing_frequency(&hung, tension, solid)).unwrap()
    };
    assert!(matches!(
        refused(at(14.99)),
        Refusal::TooStiff { slenderness, least } if (slenderness - 14.99).abs() < 1e-6 && least == 15.0
    ));
    // Not too stiff, and too slack for the mass all the same.
    assert!(matches!(
        refused(at(15.01)),
        Refusal::TooSlackForMass { .. }
    ));
    for (slender, wide) in [(29.99, true), (30.01, false)] {
        let reading = told(at(slender));
        near(reading.slenderness, slender, 1e-6);
        assert_eq!(reading.wide, wide, "{slender}");
    }
}

#[test]
fn a_span_too_short_is_told_before_what_its_motion_would_mirror() {
    // At 50 mm every swing that the strand bears lies beyond half of any sampling.
    for (length, rate) in [(50.0, 100.0), (100.0, 100.0), (799.0, 30.0)] {
        let samples = motion(17.3, rate, 5.0, &mut Dice::new(3));
        let short = Refusal::SpanTooShort {
            length: Millimetres(length),
            least: Millimetres(800.0),
        };
        let hung = hung(length, 0.2);
        assert_eq!(refused(read_motion(&hung, &samples).unwrap()), short);
        assert_eq!(refused(read_axes(&hung, &[samples]).unwrap()), short);
    }
    let mut loose = hung(50.0, 0.2);
    loose.span.supports = Supports::Loose;
    let samples = motion(17.3, 100.0, 5.0, &mut Dice::new(3));
    let told = read_motion(&loose, &samples).unwrap();
    assert_eq!(refused(told), Refusal::LooseSupports);
    // Nor is a slow sensor blamed for a mass that is too light beside its wire.
    let samples = motion(17.3, 30.0, 5.0, &mut Dice::new(3));
    let told = read_motion(&hung(1500.0, 0.03), &samples).unwrap();
    assert!(matches!(refused(told), Refusal::PhoneTooLight { .. }));
}

/// Acceleration of a swing that is pushed after half a second: decaying, noisy, on gravity.
fn motion(f: f64, rate: f64, seconds: f64, dice: &mut Dice) -> Vec<MotionSample> {
    let count = (rate * seconds) as usize;
    (0..count)
        .map(|index| {
            let at = (index as f64 + dice.between(-0.2, 0.2)) / rate;
            let since = at - 0.5;
            let swing = if since > 0.0 {
                3.0 * (-since / 1.2).exp() * (TAU * f * since).sin()
            } else {
                0.0
            };
            let sway = 0.3 * (TAU * 0.8 * at).sin();
            MotionSample {
                at: Seconds(at),
                acceleration: 9.81 + swing + sway + 0.2 * dice.normal(),
            }
        })
        .collect()
}

#[test]
fn motion_samples_tell_the_swing() {
    for (seed, f) in [8.0, 12.5, 17.3, 24.0, 33.3, 41.0].into_iter().enumerate() {
        let mut dice = Dice::new(seed as u64);
        let found = swing(&motion(f, 100.0, 4.5, &mut dice)).unwrap();
        // Half a per cent of frequency is one of tension.
        near(found.frequency.value(), f, f * 0.005);
        // Times jitter by a fifth of a sample at both ends of a gap: of a middle one 4 % at most.
        near(found.rate.value(), 100.0, 4.0);
        // Nothing is missing, and that is no "-0 %".
        assert!(found.missing.abs() < 1e-12 && found.missing.is_sign_positive());
    }
    let answer = read_motion(
        &hung(1500.0, 0.2),
        &motion(17.3, 100.0, 4.5, &mut Dice::new(9)),
    );
    let reading = told(answer.unwrap());
    assert!(reading.swing.is_some());
    // 982.6 N at 17.30 Hz sharp; half a per cent of frequency is one of tension, and half of that again.
    near(reading.slipping.value(), 983.0, 15.0);
}

#[test]
fn small_gaps_are_bridged_and_large_ones_refused() {
    let full = motion(17.3, 100.0, 5.0, &mut Dice::new(3));
    // Every eleventh sample, and a fifth of a second in one piece.
    let holey: Vec<MotionSample> = full
        .iter()
        .enumerate()
        .filter(|(index, s)| index % 11 != 0 && !(2.0..2.2).contains(&s.at.value()))
        .map(|(_, s)| *s)
        .collect();
    let found = swing(&holey).unwrap();
    // Half a per cent of frequency is one of tension.
    near(found.frequency.value(), 17.3, 0.09);
    assert!(found.longest_gap > Seconds(0.15) && found.missing > 0.05);
    let torn: Vec<MotionSample> = full
        .iter()
        .filter(|s| !(1.5..2.3).contains(&s.at.value()))
        .copied()
        .collect();
    assert!(matches!(swing(&torn), Err(Refusal::MotionGaps { .. })));
    // Bursts: a third of the time is missing, no gap is long.
    let bursts: Vec<MotionSample> = full
        .iter()
        .filter(|s| (s.at.value() * 2.5).fract() > 0.4)
        .copied()
        .collect();
    assert!(matches!(swing(&bursts), Err(Refusal::MotionGaps { .. })));
}

#[test]
fn motion_that_tells_nothing_is_refused() {
    assert_eq!(swing(&[]), Err(Refusal::Empty));
    let mut dice = Dice::new(5);
    let full = motion(17.3, 100.0, 5.0, &mut dice);
    assert!(matches!(
        swing(&full[..100]),
        Err(Refusal::TooLittleMotion { .. })
    ));
    // Two samples cover no swing, however far apart they are.
    let at = |seconds: f64| MotionSample {
        at: Seconds(seconds),
        acceleration: 0.1,
    };
    for (few, told) in [
        (
            vec![at(0.0), at(12.5)],
            "the motion has 2 samples over 12.5 s, up to 12.5 s apart, and 60 within 8 s are needed",
        ),
        (
            vec![at(0.0), at(1.0), at(3.5)],
            "the motion has 3 samples over 3.5 s, up to 2.5 s apart, and 60 within 8 s are needed",
        ),
        (vec![at(4.0)], "the motion has 1 sample, and 60 are needed"),
    ] {
        assert_eq!(swing(&few).unwrap_err().reason(), told);
    }
    for bad in [f64::NAN, f64::INFINITY] {
        let mut damaged = full.clone();
        damaged[7].acceleration = bad;
        assert_eq!(swing(&damaged), Err(Refusal::Damaged));
        let mut damaged = full.clone();
        damaged[7].at = Seconds(bad);
        assert_eq!(swing(&damaged), Err(Refusal::Damaged));
    }
    let mut mixed = full.clone();
    mixed.swap(10, 20);
    assert_eq!(swing(&mixed), Err(Refusal::TimesNotRising));
    let still: Vec<MotionSample> = full
        .iter()
        .map(|s| MotionSample {
            acceleration: 9.81,
            ..*s
        })
        .collect();
    assert_eq!(swing(&still), Err(Refusal::NoSwing));
    let noisy: Vec<MotionSample> = full
        .iter()
        .map(|s| MotionSample {
            acceleration: dice.normal(),
            ..*s
        })
        .collect();
    assert_eq!(swing(&noisy), Err(Refusal::NoSwing));
    let two: Vec<MotionSample> = full
        .iter()
        .map(|s| MotionSample {
            acceleration: (TAU * 9.0 * s.at.value()).sin() + (TAU * 17.0 * s.at.value()).sin(),
            ..*s
        })
        .collect();
    assert_eq!(swing(&two), Err(Refusal::NoSwing));
}

#[test]
fn the_axis_that_swings_is_read_and_two_swings_are_none() {
    let hung = hung(1500.0, 0.2);
    let still = |seed| -> Vec<MotionSample> {
        let mut dice = Dice::new(seed);
        let even = motion(17.3, 100.0, 5.0, &mut Dice::new(3));
        let noise = |s: MotionSample| MotionSample {
            acceleration: 0.1 * dice.normal(),
            ..s
        };
        even.into_iter().map(noise).collect()
    };
    let along = motion(17.3, 100.0, 5.0, &mut Dice::new(3));
    let reading = told(read_axes(&hung, &[still(1), along.clone(), still(2)]).unwrap());
    near(reading.frequency.value(), 17.3, 0.09);
    // The same swing seen slantwise on two axes is one swing; another beside it is none.
    let slant: Vec<MotionSample> = along
        .iter()
        .map(|s| MotionSample {
            acceleration: 0.4 * s.acceleration,
            ..*s
        })
        .collect();
    told(read_axes(&hung, &[slant, along.clone()]).unwrap());
    let other = motion(24.0, 100.0, 5.0, &mut Dice::new(4));
    let two = read_axes(&hung, &[along.clone(), other]).unwrap();
    assert_eq!(refused(two), Refusal::NoSwing);
    assert_eq!(refused(read_axes(&hung, &[]).unwrap()), Refusal::Empty);
    let mut damaged = along;
    damaged[9].acceleration = f64::NAN;
    let told = read_axes(&hung, &[still(1), damaged]).unwrap();
    assert_eq!(refused(told), Refusal::Damaged);
}

#[test]
fn a_slow_sensor_is_refused_where_a_faster_swing_looks_the_same() {
    let hung = hung(1500.0, 0.2);
    // 35 Hz at 60 samples per second shows as 25 Hz, half the tension.
    let seen = read_motion(&hung, &motion(35.0, 60.0, 5.0, &mut Dice::new(1))).unwrap();
    assert!(matches!(refused(seen), Refusal::SensorTooSlow { .. }));
    // 17.3 Hz at 22 samples per second shows as 4.7 Hz: too few samples, and not a slack wire.
    let few = read_motion(&hung, &motion(17.3, 22.0, 5.0, &mut Dice::new(3))).unwrap();
    let few = refused(few);
    assert!(matches!(few, Refusal::SensorTooSlow { .. }), "{few:?}");
    // Nothing that this strand bears swings at 60 − 17.3 Hz.
    told(read_motion(&hung, &motion(17.3, 60.0, 5.0, &mut Dice::new(2))).unwrap());
}

proptest! {
    #[test]
    fn tension_rises_with_the_swing(
        length in 800.0..3000.0_f64,
        mass in 0.1..1.0_f64,
        f in 3.0..41.0_f64,
        bending in 0.0..5.0_f64,
    ) {
        let hung = hung(length, mass);
        let bending = NewtonSquareMetres(bending);
        let low = swing_tension(&hung, Hertz(f), bending).unwrap();
        let high = swing_tension(&hung, Hertz(f * 1.01), bending).unwrap();
        prop_assert!(low.value().is_finite() && low >= Newtons(0.0));
        prop_assert!(high >= low);
        if let SwingAnswer::Guide { reading } = read_swing(&hung, Hertz(f)).unwrap() {
            prop_assert!(reading.least > Newtons(0.0) && reading.least < reading.tension);
            prop_assert!(reading.tension < reading.most && reading.most.value().is_finite());
        }
    }

    #[test]
    fn any_motion_is_answered(
        samples in proptest::collection::vec((any::<f64>(), any::<f64>()), 0..200),
        even in any::<bool>(),
    ) {
        let samples: Vec<MotionSample> = samples
            .iter()
            .enumerate()
            .map(|(index, (at, acceleration))| MotionSample {
                at: Seconds(if even { index as f64 * 0.02 } else { *at }),
                acceleration: *acceleration,
            })
            .collect();
        if let Ok(found) = swing(&samples) {
            prop_assert!(found.frequency.value().is_finite());
        }
    }
}
