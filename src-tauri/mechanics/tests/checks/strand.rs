//! Strand and thread figures.

use mechanics::plausible::question_breaking;
use mechanics::strand::{
    Construction, default_axial_stiffness, mass_per_metre, metallic_area, tension_per_kelvin,
};
use mechanics::thread::{Thread, stress, take_up_per_turn};
use mechanics::{Millimetres, Newtons, Origin};

use crate::near;

#[test]
fn one_by_nineteen_table() {
    // Worked figures for 1x19: d, A mm², m kg/m, EA kN at 130 GPa (four digits each).
    for (d, area, mass, stiffness) in [
        (2.5, 3.731, 0.03055, 485.0),
        (3.0, 5.372, 0.04399, 698.4),
        (3.2, 6.112, 0.05005, 794.6),
        (4.0, 9.550, 0.07820, 1242.0),
        (5.0, 14.92, 0.1222, 1940.0),
    ] {
        let d = Millimetres(d);
        let lay = Construction::OneByNineteen;
        near(metallic_area(d, lay).unwrap().value(), area, area * 2e-4);
        near(
            mass_per_metre(d, lay).unwrap().value.value(),
            mass,
            mass * 1.5e-4,
        );
        let found = default_axial_stiffness(d, lay).unwrap().value.value() / 1e3;
        near(found, stiffness, stiffness * 4e-4);
    }
    let exact = default_axial_stiffness(Millimetres(3.2), Construction::OneByNineteen).unwrap();
    near(exact.value.value(), 794_597.0, 0.5);
}

#[test]
fn filling_shares_are_those_of_equal_round_wires() {
    // One wire of d/5 nineteen times; of d/9 forty-nine times; of d/15 one hundred and
    // thirty-three times: counted here wire by wire, independent of the fractions used.
    let circle = |d: f64| std::f64::consts::PI * d * d / 4.0;
    for (lay, wires, parts) in [
        (Construction::OneByNineteen, 19.0, 5.0),
        (Construction::SevenBySeven, 49.0, 9.0),
        (Construction::SevenByNineteen, 133.0, 15.0),
    ] {
        let counted = wires * circle(4.0 / parts);
        near(
            metallic_area(Millimetres(4.0), lay).unwrap().value(),
            counted,
            1e-12,
        );
    }
}

#[test]
fn recalled_figures_are_marked_as_assumed() {
    let lay = Construction::OneByNineteen;
    let stiffness = default_axial_stiffness(Millimetres(3.2), lay).unwrap();
    assert_eq!(stiffness.origin, Origin::Assumed);
    let mass = mass_per_metre(Millimetres(3.2), lay).unwrap();
    assert_eq!(mass.origin, Origin::Assumed);
    for wrong in [0.0, f64::NAN] {
        assert!(default_axial_stiffness(Millimetres(wrong), lay).is_err());
    }
}

#[test]
fn tension_per_kelvin_between_immovable_posts() {
    // 3.2 mm 1x19 with 16e-6 /K and a structure that does not move: 12.71 N/K.
    let per_kelvin = tension_per_kelvin(Newtons(794_597.0), 16.0e-6, 0.0).unwrap();
    near(per_kelvin.value(), 12.71, 0.005);
}

#[test]
fn iso_coarse_threads() {
    // ISO 261 coarse pitch; stress area by the formula of ISO 898-1 with four digits, and with
    // the three digits of its load tables as quoted elsewhere (second hand).
    for (thread, d, p, area, four_digits) in [
        (Thread::M5, 5.0, 0.8, 14.2, 14.18),
        (Thread::M6, 6.0, 1.0, 20.1, 20.12),
        (Thread::M8, 8.0, 1.25, 36.6, 36.61),
        (Thread::M10, 10.0, 1.5, 58.0, 57.99),
    ] {
        assert_eq!((thread.diameter().value(), thread.pitch().value()), (d, p));
        near(thread.stress_area().value(), area, 0.05);
        near(thread.stress_area().value(), four_digits, 0.005);
        assert_eq!(Thread::coarse(Millimetres(d)), Some(thread));
        assert_eq!(Thread::new(Millimetres(d), Millimetres(p)).unwrap(), thread);
        assert_eq!(thread.to_string(), format!("M{d} × {p}"));
    }
    assert_eq!(take_up_per_turn(&[Thread::M6; 2]).value(), 2.0);
    // 1500 ÷ 20.123 = 74.54 and 1800 ÷ 14.183 = 126.9 N/mm².
    near(
        stress(Newtons(1500.0), Thread::M6).unwrap().value(),
        74.54,
        0.005,
    );
    near(
        stress(Newtons(1800.0), Thread::M5).unwrap().value(),
        126.9,
        0.05,
    );
    assert!(stress(Newtons(-1.0), Thread::M6).is_err());
    assert_eq!(Thread::coarse(Millimetres(7.0)), None);
}

#[test]
fn threads_by_turns_of_an_inch() {
    let of = |inches: f64, turns: f64| {
        Thread::new(Millimetres(25.4 * inches), Millimetres(25.4 / turns)).unwrap()
    };
    // Tensile stress areas of ASME B1.1 in square inches, as two tables quote them (second hand); they are
    // told to half of their last digit, and 645.16 mm² are a square inch.
    for (inches, turns, area, half) in [
        (0.25, 20.0, 0.0318, 0.000_05),
        (0.25, 28.0, 0.0364, 0.000_05),
        (0.19, 24.0, 0.0175, 0.000_05),
        (0.375, 24.0, 0.0878, 0.000_05),
        // Quoted as 0.0580 and as 0.0581.
        (0.3125, 24.0, 0.0580, 0.000_1),
    ] {
        let thread = of(inches, turns);
        near(thread.stress_area().value() / 645.16, area, half);
        assert_eq!(
            (thread.is_metric(), thread.area_from()),
            (false, "ASME B1.1")
        );
    }
    // The formula of ISO 898-1 would give 1/4-20 an area of 20.90 mm² for its 20.53: too much by 1.8 %.
    near(of(0.25, 20.0).stress_area().value(), 20.529, 0.001);
    near(take_up_per_turn(&[of(0.25, 20.0); 2]).value(), 2.54, 1e-12);
    assert_eq!(
        of(0.25, 20.0).to_string(),
        "6.35 mm × 1.27 mm (20 turns per inch)"
    );
    let typed = Thread::new(Millimetres(6.35), Millimetres(0.907)).unwrap();
    assert_eq!(typed.to_string(), "6.35 mm × 0.907 mm (28 turns per inch)");
    let other = Thread::new(Millimetres(6.35), Millimetres(1.0)).unwrap();
    assert_eq!(other.to_string(), "6.35 mm × 1 mm");
    // A finer pitch of a metric diameter is as metric: ISO 898-1 has 22.0 mm² for M6 × 0.75.
    let fine = Thread::new(Millimetres(6.0), Millimetres(0.75)).unwrap();
    near(fine.stress_area().value(), 22.03, 0.005);
    for (diameter, pitch) in [(6.0, 0.0), (0.0, 1.0), (6.0, 4.7), (6.0, f64::NAN)] {
        assert!(Thread::new(Millimetres(diameter), Millimetres(pitch)).is_err());
    }
}

/// Least breaking strengths of FAA AC 43.13-1B, table 7-3, where the figure was seen there; 1 lbf is
/// 4.448 222 N (NIST SP 811).
#[test]
fn published_breaking_loads_are_taken_and_pounds_as_newtons_are_asked_about() {
    let text = include_str!("../../../../fixtures/standards/us-wire-breaking-strength.csv");
    let mut seen = 0;
    for row in csv::Reader::from_reader(text.as_bytes()).records() {
        let row = row.unwrap();
        if !row[8].starts_with("seen") {
            continue;
        }
        let [mm, pounds, newtons] = [4, 6, 7].map(|at| row[at].parse::<f64>().unwrap());
        assert!((pounds * 4.448_222 - newtons).abs() < 1.0, "{row:?}");
        let asked = |load: f64| question_breaking(Millimetres(mm), Newtons(load));
        assert_eq!(asked(newtons), None, "{row:?}");
        for wrong in [pounds, newtons / 9.806_65, newtons * 10.0] {
            assert!(
                asked(wrong).unwrap().contains("Is the unit right?"),
                "{row:?} {wrong}"
            );
        }
        seen += 1;
    }
    assert_eq!(seen, 7);
}

/// Engineering basis, section 1, from memory of EN 1993-1-11, table 3.1: 130 GPa of 1x19 and 90 GPa of 7x7 count over
/// the wires' own area, 0.76 and 49/81 of the circle.
#[test]
fn a_modulus_taken_over_the_whole_circle_is_asked_about() {
    use mechanics::plausible::question_stiffness;
    let circle = |d: f64| std::f64::consts::PI * d * d / 4.0;
    for (lay, gpa, fill) in [
        (Construction::OneByNineteen, 130.0, 0.76),
        (Construction::SevenBySeven, 90.0, 49.0 / 81.0),
    ] {
        for diameter in [2.5, 3.2, 4.0] {
            let asked = |share: f64| {
                let ea = Newtons(gpa * 1e3 * circle(diameter) * share);
                question_stiffness(Millimetres(diameter), Some(lay), ea)
            };
            assert_eq!(asked(fill), None, "{lay:?} {diameter}");
            assert!(asked(1.0).is_some(), "{lay:?} {diameter}");
            // Without a lay either may be right.
            let ea = Newtons(gpa * 1e3 * circle(diameter));
            assert_eq!(question_stiffness(Millimetres(diameter), None, ea), None);
        }
    }
}
