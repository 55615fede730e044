//! Strand and thread figures.

use mechanics::strand::{
    Construction, default_axial_stiffness, elastic_stretch, mass_per_metre, metallic_area,
    tension_per_kelvin, with_defaults,
};
use mechanics::thread::{MetricThread, nominal_diameter, pitch, stress_area, take_up_per_turn};
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
    let strand = with_defaults(Millimetres(3.2), Construction::OneByNineteen).unwrap();
    assert_eq!(strand.axial_stiffness.origin, Origin::Assumed);
    assert_eq!(strand.mass.origin, Origin::Assumed);
    assert_eq!(strand.constructional_stretch.origin, Origin::Assumed);
    assert!(with_defaults(Millimetres(0.0), Construction::OneByNineteen).is_err());
    assert!(with_defaults(Millimetres(f64::NAN), Construction::SevenBySeven).is_err());
}

#[test]
fn long_cable_of_the_textbook_stretches_18_metres() {
    // OpenStax, College Physics, worked example on the stretch of a long cable: 3020 m,
    // 2.46e-3 m², 3.0e6 N, 210 GPa → 18 m (17.54 before rounding).
    let stiffness = Newtons(210.0e9 * 2.46e-3);
    let stretch = elastic_stretch(Millimetres(3020.0e3), Newtons(3.0e6), stiffness).unwrap();
    near(stretch.value() / 1e3, 17.54, 0.005);
    assert_eq!((stretch.value() / 1e3).round(), 18.0);
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
        (MetricThread::M5, 5.0, 0.8, 14.2, 14.18),
        (MetricThread::M6, 6.0, 1.0, 20.1, 20.12),
        (MetricThread::M8, 8.0, 1.25, 36.6, 36.61),
        (MetricThread::M10, 10.0, 1.5, 58.0, 57.99),
    ] {
        assert_eq!(nominal_diameter(thread).value(), d);
        assert_eq!(pitch(thread).value(), p);
        near(stress_area(thread).value(), area, 0.05);
        near(stress_area(thread).value(), four_digits, 0.005);
    }
    assert_eq!(
        take_up_per_turn(MetricThread::M6, MetricThread::M6).value(),
        2.0
    );
}
