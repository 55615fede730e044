//! Deflection of a pushed wire and the tension read from it.

use mechanics::deflection::{
    DeflectionReading, Held, Span, deflection_under_load, load_for_deflection, read_tension,
    ruler_room, span, tension_from_deflection,
};
use mechanics::{Kilograms, MechanicsError, Millimetres, Newtons, NewtonsPerMillimetre};

use crate::near;

const EA: Newtons = Newtons(794_597.0);

fn gripped(clear: f64) -> Span {
    span(Millimetres(clear), Millimetres(clear), EA, Held::Gripped)
}

#[test]
fn worked_deflections() {
    // Worked with a corotational bar chain and by energy minimisation, five digits.
    for (clear, tension, load, expected) in [
        (1000.0, 1000.0, 19.62, 4.736),
        (1000.0, 300.0, 19.62, 10.40),
        (1200.0, 1500.0, 150.0, 22.08),
    ] {
        let found = deflection_under_load(&gripped(clear), Newtons(tension), Newtons(load));
        near(found.unwrap().value(), expected, expected * 5e-4);
    }
    let sliding = span(Millimetres(1000.0), Millimetres(5000.0), EA, Held::Sliding);
    let found = deflection_under_load(&sliding, Newtons(300.0), Newtons(19.62)).unwrap();
    near(found.value(), 13.66, 0.005);
}

#[test]
fn tightrope_of_the_textbook() {
    // OpenStax, College Physics, worked example on the tension in a tightrope: 70.0 kg, 5.0°,
    // g = 9.80 → 3.9e3 N (3935.5 before rounding).
    let weight = 70.0 * 9.80;
    let clear = Millimetres(20_000.0);
    let sag = Millimetres(10_000.0 * 5.0_f64.to_radians().tan());
    // The textbook gives the tension under the load: anchored so softly that the sag adds none.
    let soft = Span {
        anchor_stiffness: Some(NewtonsPerMillimetre(1.0e-9)),
        ..span(clear, clear, EA, Held::Gripped)
    };
    let load = load_for_deflection(&soft, Newtons(3935.5), sag).unwrap();
    near(load.value(), weight, weight * 2e-5);
}

#[test]
fn half_a_millimetre_makes_a_band() {
    // 1.41 m at 1330 N under 2 kg: ±0.5 mm is 1212 … 1473 N, worked for five sliding spans; the
    // gripped wire, which is the answer given first, has the wider band 1206 … 1480 N.
    let load = Kilograms(2.0).weight();
    let run = Millimetres(5.0 * 1410.0);
    let sliding = span(Millimetres(1410.0), run, EA, Held::Sliding);
    let at = deflection_under_load(&sliding, Newtons(1330.0), load).unwrap();
    let read = read_tension(&DeflectionReading {
        clear: Millimetres(1410.0),
        run,
        axial_stiffness: EA,
        load,
        deflection: at,
        reading_error: Millimetres(0.5),
    })
    .unwrap();
    near(read.sliding.tension.value(), 1330.0, 1e-6);
    near(read.sliding.least.value(), 1212.0, 0.5);
    near(read.sliding.most.unwrap().value(), 1473.0, 0.5);
    assert!(read.gripped.tension < read.sliding.tension);
    assert!(read.gripped.least < read.sliding.least);
}

#[test]
fn taking_a_gripped_wire_for_a_sliding_one_reads_high() {
    // True 300 N on 1 m of five spans, 2 kg: 437 N where sliding is assumed.
    let load = Newtons(19.62);
    let deflection = deflection_under_load(&gripped(1000.0), Newtons(300.0), load).unwrap();
    let read = read_tension(&DeflectionReading {
        clear: Millimetres(1000.0),
        run: Millimetres(5000.0),
        axial_stiffness: EA,
        load,
        deflection,
        reading_error: Millimetres(0.0),
    })
    .unwrap();
    near(read.gripped.tension.value(), 300.0, 1e-6);
    near(read.sliding.tension.value(), 437.0, 0.5);
    // The straight-line formula W·L/(4δ) alone reads 472 N.
    near(19.62 * 1000.0 / (4.0 * deflection.value()), 472.0, 0.5);
}

#[test]
fn sliding_read_as_gripped_reads_low_never_high() {
    let load = Newtons(19.62);
    let sliding = span(Millimetres(1000.0), Millimetres(5000.0), EA, Held::Sliding);
    let deflection = deflection_under_load(&sliding, Newtons(300.0), load).unwrap();
    // W·L/(4δ) alone reads 359 N here.
    near(19.62 * 1000.0 / (4.0 * deflection.value()), 359.0, 0.5);
    let as_gripped = tension_from_deflection(&gripped(1000.0), load, deflection).unwrap();
    assert!(as_gripped < Newtons(300.0), "{as_gripped}");
}

#[test]
fn a_wire_that_hangs_more_than_slack_is_refused() {
    let load = Newtons(19.62);
    let slack = deflection_under_load(&gripped(1000.0), Newtons(0.0), load).unwrap();
    let more = slack + Millimetres(1.0);
    let answer = tension_from_deflection(&gripped(1000.0), load, more);
    assert!(matches!(answer, Err(MechanicsError::Slack { .. })));
    let band = read_tension(&DeflectionReading {
        clear: Millimetres(1000.0),
        run: Millimetres(1000.0),
        axial_stiffness: EA,
        load,
        deflection: slack - Millimetres(0.2),
        reading_error: Millimetres(0.5),
    })
    .unwrap();
    assert_eq!(band.gripped.least, Newtons(0.0));
}

#[test]
fn a_band_wider_than_the_reading_has_no_upper_end() {
    let band = read_tension(&DeflectionReading {
        clear: Millimetres(600.0),
        run: Millimetres(600.0),
        axial_stiffness: EA,
        load: Newtons(1.0),
        deflection: Millimetres(0.4),
        reading_error: Millimetres(0.5),
    })
    .unwrap();
    assert_eq!(band.gripped.most, None);
}

#[test]
fn a_soft_anchor_lets_the_wire_deflect_more() {
    let stiff = gripped(1000.0);
    let soft = Span {
        anchor_stiffness: Some(mechanics::NewtonsPerMillimetre(100.0)),
        ..stiff
    };
    let load = Newtons(150.0);
    let a = deflection_under_load(&stiff, Newtons(1000.0), load).unwrap();
    let b = deflection_under_load(&soft, Newtons(1000.0), load).unwrap();
    assert!(b > a);
}

#[test]
fn small_pushes_follow_the_cubic() {
    // P = 4·T0·δ/L + 8(κEA − T0)δ³/L³, κ = 1 (Irvine, Cable Structures, 1981).
    let (l, t, d) = (1000.0, 1000.0, 5.0_f64);
    let cubic = 4.0 * t * d / l + 8.0 * (EA.value() - t) * d.powi(3) / l.powi(3);
    let exact = load_for_deflection(&gripped(l), Newtons(t), Millimetres(d)).unwrap();
    near(exact.value(), cubic, cubic * 2e-3);
}

#[test]
fn inputs_that_cannot_be_are_refused() {
    let load = Newtons(19.62);
    for bad in [0.0, -1.0, f64::NAN] {
        assert!(tension_from_deflection(&gripped(1000.0), load, Millimetres(bad)).is_err());
        assert!(deflection_under_load(&gripped(bad), Newtons(1000.0), load).is_err());
    }
    assert!(deflection_under_load(&gripped(1000.0), Newtons(-1.0), load).is_err());
}

#[test]
fn a_short_bay_asks_more_of_a_ruler_than_it_tells() {
    // T ≈ W·L/(4δ) − 2·EA·δ²/L² (Irvine) at 2 kg, 1330 N and ± 0.5 mm: 1108 … 1649 N over 735 mm, and
    // 1205 … 1480 N over 1410 mm; between 1330 and 1800 N lie 470.
    let (load, half) = (Kilograms(2.0).weight(), Millimetres(0.5));
    let irvine = |clear: f64, down: f64| {
        load.value() * clear / (4.0 * down) - 2.0 * EA.value() * down * down / (clear * clear)
    };
    let at = |clear: f64, load: Newtons, room: f64| {
        let span = gripped(clear);
        let down = deflection_under_load(&span, Newtons(1330.0), load).unwrap();
        ruler_room(&span, load, down, half, Newtons(room)).unwrap()
    };
    for (clear, least, most, enough) in [
        (735.0, 1108.0, 1649.0, false),
        (1410.0, 1205.0, 1480.0, true),
    ] {
        let found = at(clear, load, 470.0);
        let down = found.deflection.value();
        // Half of the last digit, and what the series leaves out besides, 0.05 N at most.
        near(found.band.least.value(), least, 0.55);
        near(found.band.most.unwrap().value(), most, 0.55);
        // The series stops at δ³: what it leaves out of a wire this taut is below this.
        near(found.band.least.value(), irvine(clear, down + 0.5), 0.05);
        near(
            found.band.most.unwrap().value(),
            irvine(clear, down - 0.5),
            0.05,
        );
        assert_eq!(found.enough, enough, "{clear}");
    }
    // From 2.325 kg on (g = 9.81) the band fits over 735 mm: there it is as wide as the room, and closely.
    let from = at(735.0, load, 470.0).enough_from.unwrap();
    near(from.value() / Kilograms(1.0).weight().value(), 2.3253, 5e-4);
    let there = at(735.0, from, 470.0);
    near(
        (there.band.most.unwrap() - there.band.least).value(),
        470.0,
        0.01,
    );
    assert_eq!(at(1410.0, load, 470.0).enough_from, None);
    // No load up to ten times as much tells 1330 N to the newton; a hair's deflection has no upper end.
    assert_eq!(at(735.0, load, 1.0).enough_from, None);
    let hair = ruler_room(&gripped(60.0), load, Millimetres(0.3), half, Newtons(470.0)).unwrap();
    assert_eq!((hair.band.most, hair.enough), (None, false));
    assert!(ruler_room(&gripped(735.0), load, Millimetres(2.7), half, Newtons(-1.0)).is_err());
    let slack = ruler_room(
        &gripped(735.0),
        load,
        Millimetres(90.0),
        half,
        Newtons(470.0),
    );
    assert!(matches!(slack, Err(MechanicsError::Slack { .. })));
}
