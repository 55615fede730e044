//! The stiff string: published examples, worked vectors, a finite-element check, laws.

use std::f64::consts::PI;

use mechanics::sound::{EndHold, Partial, SoundingLength, bending_bounds, fit_partials, frequency};
use mechanics::strand::Construction;
use mechanics::{
    Hertz, Kilograms, KilogramsPerMetre, MechanicsError, Millimetres, NewtonSquareMetres, Newtons,
};
use proptest::prelude::*;

use crate::beam::Beam;
use crate::near;
use crate::plucks::second::exact_clamped_frequency;

fn wire(length: f64, mass: f64) -> SoundingLength {
    SoundingLength {
        length: Millimetres(length),
        mass: KilogramsPerMetre(mass),
    }
}

/// The wire of the worked vector: L 1.5 m, m 0.05005 kg/m.
const WORKED: SoundingLength = SoundingLength {
    length: Millimetres(1500.0),
    mass: KilogramsPerMetre(0.05005),
};
const WORKED_BENDING: NewtonSquareMetres = NewtonSquareMetres(0.15);
/// f2 … f10 of the worked vector at 1000 N.
const WORKED_PARTIALS: [f64; 9] = [
    95.924, 144.124, 192.606, 241.465, 290.792, 340.677, 391.208, 442.472, 494.552,
];

fn worked_partials() -> Vec<Partial> {
    (2..)
        .zip(WORKED_PARTIALS)
        .map(|(number, f)| Partial {
            number,
            frequency: Hertz(f),
        })
        .collect()
}

/// Speed of a wave along a string that does not resist bending, by its first partial: 2·L·f1, m/s.
fn speed(string: &SoundingLength, tension: Newtons) -> f64 {
    let bare = NewtonSquareMetres(0.0);
    let first = frequency(string, tension, bare, EndHold::Pinned, 1).unwrap();
    2.0 * string.length.value() * 1.0e-3 * first.value()
}

#[test]
fn standing_waves_of_the_textbook() {
    // OpenStax, University Physics volume 1, standing waves on a string: 2.00 m, 0.006 kg/m,
    // pulled by 2.00 kg (g = 9.8 m/s²) → 57.15 m/s; 14.29, 28.58, 42.87 Hz.
    let string = wire(2000.0, 0.006);
    let tension = Newtons(2.00 * 9.8);
    // Printed with the speed cut after 57.15, not rounded: 2·L·f1.
    near(speed(&string, tension), 57.15, 0.01);
    for (n, printed) in [(1, 14.29), (2, 28.58), (3, 42.87)] {
        let f = frequency(
            &string,
            tension,
            NewtonSquareMetres(0.0),
            EndHold::Pinned,
            n,
        )
        .unwrap();
        near(f.value(), printed, 0.005);
    }
}

#[test]
fn guitar_string_of_the_textbook() {
    // OpenStax, University Physics volume 1, wave speed on a stretched string: high E,
    // 3.09e-4 kg/m, 56.40 N → 427.23 m/s.
    near(speed(&wire(1000.0, 3.09e-4), Newtons(56.40)), 427.23, 0.005);
}

#[test]
fn bending_bounds_of_the_strands() {
    for (d, slipping, solid) in [
        (2.5, 0.01125, 0.2670),
        (3.0, 0.02333, 0.5537),
        (3.2, 0.03020, 0.7168),
        (4.0, 0.07373, 1.750),
        (5.0, 0.1800, 4.273),
    ] {
        let found = bending_bounds(Millimetres(d), Construction::OneByNineteen).unwrap();
        near(found.slipping.value(), slipping, slipping * 5e-4);
        near(found.solid.value(), solid, solid * 5e-4);
    }
}

#[test]
fn stranded_ropes_bend_more_easily_than_one_strand_and_less_than_a_bar() {
    for d in [2.5, 4.0, 5.0] {
        let of = |construction| bending_bounds(Millimetres(d), construction).unwrap();
        let single = of(Construction::OneByNineteen);
        for other in [
            of(Construction::SevenBySeven),
            of(Construction::SevenByNineteen),
        ] {
            assert!(other.slipping < single.slipping);
            assert!(other.slipping < other.solid);
            // A full bar of the same outside: E·π·d⁴/64.
            assert!(other.solid.value() < 193e9 * PI * (d * 1e-3).powi(4) / 64.0);
        }
    }
}

#[test]
fn worked_partials_of_a_stiff_wire() {
    for (n, f) in (2..).zip(WORKED_PARTIALS) {
        let exact = exact_clamped_frequency(&WORKED, Newtons(1000.0), WORKED_BENDING, n);
        // The vector's mass is printed to four digits; half of the last is 5e-5 of a frequency.
        near(exact.value(), f, f * 1e-5);
        // Fletcher's form leaves out the next order: a few parts in ten thousand here.
        let tension = Newtons(1000.0);
        let form = frequency(&WORKED, tension, WORKED_BENDING, EndHold::Clamped, n).unwrap();
        near(form.value(), f, f * 4e-4);
    }
    let fit = fit_partials(&WORKED, &worked_partials(), None).unwrap();
    near(fit.clamped.value(), 1000.0, 0.05);
    near(fit.pinned.value(), 1033.0, 0.5);
    near(fit.bending.value(), 0.15, 1e-3);
    near(fit.free_bending.value(), 0.15, 1e-3);
}

#[test]
fn the_bare_string_reads_too_high() {
    // A stiff wire's lowest partial taken for a bare string's: T = 4mL²·f1².
    let bounds = bending_bounds(Millimetres(3.2), Construction::OneByNineteen).unwrap();
    for (length, least, most) in [(500.0, 5.0, 29.0), (900.0, 2.5, 14.0), (1500.0, 1.5, 8.0)] {
        let string = wire(length, 0.05005);
        for (bending, percent) in [(bounds.slipping, least), (bounds.solid, most)] {
            let f = frequency(&string, Newtons(1000.0), bending, EndHold::Clamped, 1).unwrap();
            let read = 4.0 * 0.05005 * (length * 1e-3 * f.value()).powi(2);
            // Printed to the per cent, and the smallest to a half.
            near(
                (read / 1000.0 - 1.0) * 100.0,
                percent,
                if percent < 5.0 { 0.25 } else { 0.5 },
            );
        }
    }
}

#[test]
fn exact_equation_beside_finite_elements() {
    for (length, tension, bending) in [
        (1500.0, 1000.0, 0.15),
        (800.0, 400.0, 0.7168),
        (1200.0, 2500.0, 4.273),
        (2400.0, 300.0, 0.0302),
    ] {
        let string = wire(length, 0.05005);
        let beam = Beam::clamped(length * 1e-3, 0.05005, tension, bending, 400);
        for n in [1, 2, 5, 10, 20] {
            let exact =
                exact_clamped_frequency(&string, Newtons(tension), NewtonSquareMetres(bending), n);
            let exact = exact.value();
            // Four hundred cubic elements are good to about a millionth at the twentieth.
            near(beam.frequency(n as usize), exact, exact * 1e-5);
        }
    }
}

#[test]
fn exact_equation_without_tension_is_the_clamped_bar() {
    // The clamped bar: cos x·cosh x = 1 with x = √(ω·L²·√(m/EI)).
    let string = wire(1000.0, 0.05);
    for n in 1..=5 {
        let f = exact_clamped_frequency(&string, Newtons(1e-9), NewtonSquareMetres(4.0), n);
        let x = (2.0 * PI * f.value() * (0.05_f64 / 4.0).sqrt()).sqrt();
        near(x.cos() - 1.0 / x.cosh(), 0.0, 1e-6);
    }
}

#[test]
fn fletchers_form_is_close_where_it_is_used() {
    // At the partials that are listened to; the order left out grows with n and ε.
    for (slenderness, most, off_tension) in [(30.0, 0.009, 0.015), (45.0, 0.003, 0.005)] {
        let bending = NewtonSquareMetres(1000.0 * (1.5_f64 / slenderness).powi(2));
        let mut partials = Vec::new();
        for number in 2..=10 {
            let tension = Newtons(1000.0);
            let form = frequency(&WORKED, tension, bending, EndHold::Clamped, number).unwrap();
            let exact = exact_clamped_frequency(&WORKED, tension, bending, number);
            let off = (form / exact - 1.0).abs();
            assert!(off < most, "1/ε {slenderness}, n {number}: {off}");
            partials.push(Partial {
                number,
                frequency: exact,
            });
        }
        // What the form leaves out goes into the bending stiffness, hardly into the tension.
        let fit = fit_partials(&WORKED, &partials, None).unwrap();
        near(fit.clamped.value(), 1000.0, 1000.0 * off_tension);
    }
}

#[test]
fn a_wrong_partial_loses_its_say() {
    let mut partials = worked_partials();
    partials[4].frequency = Hertz(partials[4].frequency.value() * 1.03);
    let fit = fit_partials(&WORKED, &partials, None).unwrap();
    // Off by three per cent alone it would pull the tension by more than a tenth of one: so much is left.
    near(fit.clamped.value(), 1000.0, 1.0);
}

#[test]
fn the_fit_stays_within_the_strands_bending() {
    let bounds = bending_bounds(Millimetres(3.2), Construction::OneByNineteen).unwrap();
    for (bending, bound) in [(0.001, bounds.slipping), (1.4, bounds.solid)] {
        let partials: Vec<Partial> = (2..=12)
            .map(|number| Partial {
                number,
                frequency: frequency(
                    &WORKED,
                    Newtons(1000.0),
                    NewtonSquareMetres(bending),
                    EndHold::Clamped,
                    number,
                )
                .unwrap(),
            })
            .collect();
        let fit = fit_partials(&WORKED, &partials, Some(&bounds)).unwrap();
        near(fit.bending.value(), bound.value(), bound.value() * 1e-3);
        assert!(fit.residual > Hertz(0.0));
    }
}

#[test]
fn what_cannot_be_is_said() {
    let partials = worked_partials();
    let too_few = fit_partials(&WORKED, &partials[..2], None);
    assert_eq!(
        too_few,
        Err(MechanicsError::TooFewPartials { got: 2, needed: 3 })
    );
    let same = [partials[0], partials[0], partials[0]];
    assert!(fit_partials(&WORKED, &same, None).is_err());
    for bad in [f64::NAN, f64::INFINITY, 0.0, -1.0] {
        let odd = [
            partials[0],
            partials[1],
            Partial {
                number: 4,
                frequency: Hertz(bad),
            },
        ];
        assert!(fit_partials(&WORKED, &odd, None).is_err());
        assert!(fit_partials(&wire(bad, 0.05), &partials, None).is_err());
        let pulled = frequency(&WORKED, Newtons(bad), WORKED_BENDING, EndHold::Pinned, 1);
        assert!(pulled.is_err());
        assert!(bending_bounds(Millimetres(bad), Construction::SevenBySeven).is_err());
    }
    let none = frequency(&WORKED, Newtons(1.0), WORKED_BENDING, EndHold::Pinned, 0);
    assert!(none.is_err());
    // No mass is hung here, so a kilogram is only a unit.
    assert!(Kilograms(0.2).weight() > Newtons(1.9));
}

proptest! {
    #[test]
    fn partials_give_back_their_tension(
        length in 800.0..2400.0_f64,
        tension in 300.0..3000.0_f64,
        share in 0.0..1.0_f64,
        first in 2_u32..5,
        count in 5_u32..16,
    ) {
        let bounds = bending_bounds(Millimetres(3.2), Construction::OneByNineteen).unwrap();
        let bending = bounds.slipping + (bounds.solid - bounds.slipping) * share;
        let string = wire(length, 0.05005);
        let partials: Vec<Partial> = (first..first + count)
            .map(|number| Partial {
                number,
                frequency:
                    frequency(&string, Newtons(tension), bending, EndHold::Clamped, number).unwrap(),
            })
            .collect();
        for bounds in [None, Some(&bounds)] {
            let fit = fit_partials(&string, &partials, bounds).unwrap();
            prop_assert!((fit.clamped.value() / tension - 1.0).abs() < 1e-6);
            prop_assert!((fit.bending.value() / bending.value() - 1.0).abs() < 1e-3);
            prop_assert!(fit.pinned >= fit.clamped);
        }
    }

    #[test]
    fn partials_rise_with_tension_stiffness_and_number(
        length in 50.0..50_000.0_f64,
        tension in 1.0..5000.0_f64,
        bending in 0.001..5.0_f64,
        n in 1_u32..40,
    ) {
        let string = wire(length, 0.05);
        let at = |t: f64, b: f64, n| {
            let (t, b) = (Newtons(t), NewtonSquareMetres(b));
            let form = frequency(&string, t, b, EndHold::Clamped, n).unwrap().value();
            (form, exact_clamped_frequency(&string, t, b, n).value())
        };
        let base = at(tension, bending, n);
        prop_assert!(base.0.is_finite() && base.1.is_finite() && base.1 > 0.0);
        for other in [
            at(tension * 1.01, bending, n),
            at(tension, bending * 1.01, n),
            at(tension, bending, n + 1),
        ] {
            // Fletcher's form is a series in ε and bends over where n·ε is not small.
            let bent = PI * f64::from(n + 1) * (bending * 1.01 / tension).sqrt() / (length * 1e-3);
            prop_assert!(other.0 > base.0 || bent > 0.7, "{other:?} {base:?}");
            prop_assert!(other.1 > base.1, "{other:?} {base:?}");
        }
    }
}
