//! Stair triangle and gate leaf.

use mechanics::spacing::{GateAsk, StairAsk, gate_gaps, highest_line, stair_triangle};
use mechanics::{MechanicsError, Millimetres};
use proptest::prelude::*;

use crate::near;

fn stair(riser: f64, going: f64, overhang: f64, line: f64) -> StairAsk {
    StairAsk {
        riser: Millimetres(riser),
        going: Millimetres(going),
        overhang: Millimetres(overhang),
        line: Millimetres(line),
    }
}

fn sphere(ask: &StairAsk) -> f64 {
    stair_triangle(ask).unwrap().sphere.value()
}

/// Diameter of the circle inscribed in a right triangle of these legs (Euclid IV.4).
fn inscribed(a: f64, b: f64) -> f64 {
    a + b - a.hypot(b)
}

/// The widest circle found by trying every centre on a grid of one millimetre.
fn tried(ask: &StairAsk) -> f64 {
    let (riser, going) = (ask.riser.value(), ask.going.value());
    let (over, line) = (ask.overhang.value(), ask.line.value());
    let length = riser.hypot(going);
    let mut best = 0.0_f64;
    for x in 0..(going as i32 + 200) {
        for y in 0..(riser + line) as i32 + 100 {
            let (x, y) = (f64::from(x), f64::from(y));
            // Below the line through (going + over, line) that falls by riser per going.
            let below = (line - y) * going - (x - going - over) * riser;
            let mut radius = below / length;
            for step in -2..=2 {
                let (left, top) = (f64::from(step) * going, -f64::from(step) * riser);
                let past = (left - x).max(x - (left + going + over)).max(0.0);
                radius = radius.min(past.hypot(y - top));
                let past = (top - riser - y).max(y - top).max(0.0);
                radius = radius.min(past.hypot(x - left - going));
            }
            // Only centres above the tread they stand over.
            let tread = -(x / going).floor() * riser;
            if y > tread || (x < 0.0 && y > riser) {
                best = best.max(radius);
            }
        }
    }
    2.0 * best
}

#[test]
fn a_line_along_the_nosings_leaves_the_inscribed_circle() {
    near(
        sphere(&stair(178.0, 250.0, 0.0, 0.0)),
        inscribed(178.0, 250.0),
        1e-6,
    );
    near(sphere(&stair(30.0, 40.0, 0.0, 0.0)), 20.0, 1e-6);
    // Raised, the triangle grows alike while the circle still touches tread and riser.
    let raised = inscribed(178.0 + 50.0, 250.0 * 228.0 / 178.0);
    near(sphere(&stair(178.0, 250.0, 0.0, 50.0)), raised, 1e-6);
    let told = stair_triangle(&stair(178.0, 250.0, 0.0, 50.0)).unwrap();
    let cos = 250.0 / 178.0_f64.hypot(250.0);
    near(told.above_nosings.value(), 50.0 * cos, 1e-9);
}

#[test]
fn high_lines_and_overhangs_agree_with_every_centre_tried() {
    for ask in [
        stair(178.0, 250.0, 0.0, 91.0),
        stair(178.0, 250.0, 25.0, 40.0),
        stair(150.0, 300.0, 30.0, 0.0),
        stair(190.0, 240.0, 0.0, 320.0),
        stair(120.0, 260.0, 0.0, 250.0),
    ] {
        let (found, tried) = (sphere(&ask), tried(&ask));
        // A grid misses the true centre by less than its step.
        assert!(found >= tried - 1e-6, "{ask:?}: {found} under {tried}");
        assert!(found <= tried + 1.5, "{ask:?}: {found} over {tried}");
    }
}

#[test]
fn the_highest_line_for_six_inches() {
    // IRC 2018 R312: a 6 in sphere must not pass the triangle. Riser 7 3/4 in, going 10 in.
    let ask = stair(7.75 * 25.4, 10.0 * 25.4, 0.0, 0.0);
    let line = highest_line(&ask, Millimetres(152.4)).unwrap().unwrap();
    let at = |line: f64| sphere(&stair(7.75 * 25.4, 10.0 * 25.4, 0.0, line));
    near(at(line.value()), 152.4, 1e-5);
    assert!(at(line.value() - 1.0) < 152.4 && at(line.value() + 1.0) > 152.4);
    // Under a line on the nosings 130 mm pass already.
    assert_eq!(highest_line(&ask, Millimetres(100.0)), Ok(None));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]
    #[test]
    fn a_higher_line_lets_a_larger_sphere_pass(
        riser in 120.0..220.0_f64, going in 220.0..350.0_f64, overhang in 0.0..40.0_f64,
        line in 0.0..150.0_f64, more in 1.0..60.0_f64,
    ) {
        let low = sphere(&stair(riser, going, overhang, line));
        let high = sphere(&stair(riser, going, overhang, line + more));
        prop_assert!(high > low);
        // Never more than the clear across, nor the triangle's own circle without overhang.
        prop_assert!(low > 0.0 && low < riser + line + going);
        if overhang == 0.0 {
            let whole = riser + line;
            prop_assert!(low <= inscribed(whole, going * whole / riser) + 1e-6);
        }
    }
}

#[test]
fn stairs_that_cannot_be_are_refused() {
    for ask in [
        stair(0.0, 250.0, 0.0, 0.0),
        stair(178.0, -250.0, 0.0, 0.0),
        stair(178.0, 250.0, -1.0, 0.0),
        stair(178.0, 250.0, 250.0, 0.0),
        stair(178.0, 250.0, 0.0, -5.0),
        stair(1780.0, 250.0, 0.0, 0.0),
        stair(178.0, 250.0, 0.0, f64::NAN),
    ] {
        assert!(stair_triangle(&ask).is_err(), "{ask:?}");
    }
    let flat = highest_line(&stair(178.0, 250.0, 0.0, 0.0), Millimetres(0.0));
    assert!(matches!(flat, Err(MechanicsError::NotPositive { .. })));
}

fn gate() -> GateAsk {
    GateAsk {
        clear_before: Millimetres(920.0),
        opens_by: (Millimetres(0.0), Millimetres(5.0)),
        leaf_width: Millimetres(900.0),
        leaf_thickness: Some(Millimetres(40.0)),
        hinge_gap: Some(Millimetres(8.0)),
        sphere: Some(Millimetres(100.0)),
    }
}

#[test]
fn a_gate_before_and_after_tension() {
    let mm = Millimetres;
    let found = gate_gaps(&gate()).unwrap();
    assert_eq!(found.clear_after, (mm(920.0), mm(925.0)));
    assert_eq!(found.latch_before, Some(mm(12.0)));
    assert_eq!(found.latch_after, Some((mm(12.0), mm(17.0))));
    // √(900² + 40²) = 900.888 450 36
    near(found.swing_needs.unwrap().value(), 0.888_450_36, 1e-6);
    near(found.swing_in_hand.unwrap().value(), 11.111_549_64, 1e-6);
    assert_eq!((found.widest, found.margin), (mm(17.0), Some(mm(83.0))));
    assert!(!found.passes);
    // Posts that another run pulls together: the narrow end is what has to swing, the wide one what a
    // sphere finds, in whichever order they are given.
    let mut closing = gate();
    (closing.opens_by, closing.sphere) = ((mm(2.0), mm(-11.5)), Some(mm(14.0)));
    let found = gate_gaps(&closing).unwrap();
    assert_eq!(found.latch_after, Some((mm(0.5), mm(14.0))));
    near(
        found.swing_in_hand.unwrap().value(),
        0.5 - 0.888_450_36,
        1e-6,
    );
    // As large as the sphere lets it pass.
    assert!(found.passes && found.margin == Some(mm(0.0)));
}

#[test]
fn what_is_not_told_of_a_gate_is_taken_carefully_or_left_out() {
    let mm = Millimetres;
    let mut bare = gate();
    (bare.hinge_gap, bare.leaf_thickness, bare.sphere) = (None, None, None);
    let found = gate_gaps(&bare).unwrap();
    // All 20 mm may lie at one side, and 25 after.
    assert_eq!(
        (found.both_before, found.both_after),
        (mm(20.0), (mm(20.0), mm(25.0)))
    );
    assert_eq!(
        (found.widest, found.margin, found.passes),
        (mm(25.0), None, false)
    );
    assert_eq!((found.latch_after, found.swing_in_hand), (None, None));
    // With the gap at the hinges alone it is not known whether the leaf swings.
    bare.hinge_gap = Some(mm(19.0));
    let found = gate_gaps(&bare).unwrap();
    assert_eq!((found.widest, found.swing_in_hand), (mm(19.0), None));
    // A leaf that is wider than its opening has no gap, and says by how much.
    bare.leaf_width = mm(930.0);
    let found = gate_gaps(&bare).unwrap();
    assert_eq!((found.both_before, found.widest), (mm(-10.0), mm(19.0)));
    for bad in [0.0, -1.0, f64::NAN] {
        let mut of = [gate(); 5];
        of[0].leaf_width = mm(bad);
        of[1].clear_before = mm(bad);
        of[2].leaf_thickness = Some(mm(bad));
        of[3].sphere = Some(mm(bad));
        of[4].opens_by = (mm(f64::NAN), mm(bad));
        for ask in of {
            assert!(gate_gaps(&ask).is_err(), "{ask:?}");
        }
    }
    let mut below = gate();
    below.hinge_gap = Some(mm(-1.0));
    assert!(gate_gaps(&below).is_err());
}
