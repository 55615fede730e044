//! A sphere pushed between wires, and between a wire and an edge.

use mechanics::deflection::{Held, Span, load_for_deflection, span};
use mechanics::gap::{Between, Gap, Opened, Passing, least_tension, opening_under, passing_force};
use mechanics::{Millimetres, Newtons};
use proptest::prelude::*;

use crate::near;

const EA: Newtons = Newtons(794_597.0);

fn wires(spacing: f64, span: Span, tension: f64) -> Gap {
    Gap {
        between: Between::Wires {
            spacing: Millimetres(spacing),
        },
        wire_diameter: Millimetres(3.2),
        span,
        tension: Newtons(tension),
    }
}

fn gripped(clear: f64) -> Span {
    span(Millimetres(clear), Millimetres(clear), EA, Held::Gripped)
}

fn needed(gap: &Gap, sphere: f64) -> f64 {
    match passing_force(gap, Millimetres(sphere)).unwrap() {
        Passing::Needs { force } => force.value(),
        Passing::Freely => panic!("it passes freely"),
    }
}

#[test]
fn worked_forces_and_openings() {
    // Worked by constrained energy minimisation.
    let gap = wires(80.0, gripped(1000.0), 1000.0);
    near(needed(&gap, 125.0), 110.7, 0.05);
    near(needed(&gap, 102.0), 32.40, 0.005);
    let opened = opening_under(&gap, Millimetres(125.0), Newtons(40.0)).unwrap();
    near(opened.under_push.value(), 85.85, 0.005);
    assert!(!opened.passes);
    near(opened.at_rest.value(), 76.8, 1e-9);
    // The sphere stands on both pushed wires: q = 2Ra/(opening + d), depth² = q² − a².
    let reach = 2.0 * 64.1 * 40.0 / (opened.under_push.value() + 3.2);
    near(opened.depth.value(), (reach * reach - 1600.0).sqrt(), 1e-6);
}

#[test]
fn an_unstretched_wire_follows_the_closed_form() {
    // F = (8TR/L)·(1 − (s/(D + d))^(2/3))^(3/2): the largest of 8T(R − q)/L·√(1 − a²/q²).
    let soft = Span {
        axial_stiffness: Newtons(1.0e-6),
        ..gripped(1000.0)
    };
    let closed =
        8.0 * 1000.0 * 64.1 / 1000.0 * (1.0 - (80.0_f64 / 128.2).powf(2.0 / 3.0)).powf(1.5);
    near(closed, 71.85, 0.005);
    // The exact load P = 2Tδ/h lies a little under 4Tδ/L.
    near(
        needed(&wires(80.0, soft, 1000.0), 125.0),
        closed,
        closed * 2e-3,
    );
}

#[test]
fn least_tensions_of_five_sliding_spans() {
    for (clear, expected) in [
        (600.0, 536.0),
        (900.0, 1131.0),
        (1200.0, 1604.0),
        (1500.0, 2046.0),
    ] {
        let sliding = span(
            Millimetres(clear),
            Millimetres(5.0 * clear),
            EA,
            Held::Sliding,
        );
        let gap = wires(80.0, sliding, 0.0);
        let found = least_tension(&gap, Millimetres(125.0), Newtons(100.0)).unwrap();
        near(found.value(), expected, 0.5);
        // One millimetre of spacing is about 4 % of tension.
        let wider = least_tension(
            &wires(81.0, sliding, 0.0),
            Millimetres(125.0),
            Newtons(100.0),
        );
        let share = wider.unwrap() / found - 1.0;
        // (8 % on the shortest, where the wire's stretch holds most of the sphere).
        if clear > 1000.0 {
            assert!((0.03..0.06).contains(&share), "{clear}: {share}");
        }
    }
}

/// Energy of a wire and an edge, minimised over where the sphere's centre lies for each depth:
/// a second way to the same force.
#[test]
fn a_wire_and_an_edge_agree_with_the_energy() {
    let (distance, sphere, tension) = (90.0, 125.0, 1200.0);
    let gap = Gap {
        between: Between::WireAndEdge {
            distance: Millimetres(distance),
        },
        ..wires(80.0, gripped(1200.0), tension)
    };
    let (radius, reach) = (sphere / 2.0, f64::midpoint(sphere, 3.2));
    let energy = |pushed: f64| -> f64 {
        let steps = 400;
        let mut sum = 0.0;
        for step in 0..steps {
            let at = pushed * (f64::from(step) + 0.5) / f64::from(steps);
            let load = load_for_deflection(&gap.span, Newtons(tension), Millimetres(at)).unwrap();
            sum += load.value() * pushed / f64::from(steps);
        }
        sum
    };
    let least = |z: f64| -> f64 {
        // The centre may not come nearer to the edge than the sphere's radius.
        let nearest = (radius * radius - z * z).max(0.0).sqrt();
        let pushed = (reach - (distance - nearest).hypot(z)).max(0.0);
        energy(pushed)
    };
    let mut largest: f64 = 0.0;
    for step in 1..1200 {
        let z = radius * f64::from(step) / 1200.0;
        let force = (least(z - 0.01) - least(z + 0.01)) / 0.02;
        largest = largest.max(force);
    }
    let found = needed(&gap, sphere);
    near(found, largest, largest * 2e-3);
    let opened = opening_under(&gap, Millimetres(sphere), Newtons(found / 2.0)).unwrap();
    assert!(!opened.passes && opened.under_push > opened.at_rest);
}

#[test]
fn openings_wider_than_the_sphere_let_it_pass() {
    let gap = wires(128.2, gripped(1000.0), 1000.0);
    assert_eq!(
        passing_force(&gap, Millimetres(125.0)).unwrap(),
        Passing::Freely
    );
    let free = opening_under(&gap, Millimetres(125.0), Newtons(0.0)).unwrap();
    assert!(free.passes);
    let edge = Gap {
        between: Between::WireAndEdge {
            distance: Millimetres(126.7),
        },
        ..gap
    };
    assert_eq!(
        passing_force(&edge, Millimetres(125.0)).unwrap(),
        Passing::Freely
    );
    assert!(least_tension(&gap, Millimetres(125.0), Newtons(100.0)).is_err());
}

#[test]
fn a_push_beyond_the_force_brings_it_through() {
    let gap = wires(80.0, gripped(1000.0), 1000.0);
    let opened = opening_under(&gap, Millimetres(125.0), Newtons(120.0)).unwrap();
    let through = Opened {
        at_rest: opened.at_rest,
        under_push: Millimetres(125.0),
        passes: true,
        depth: Millimetres(0.0),
    };
    assert_eq!(opened, through);
}

#[test]
fn figures_that_cannot_be_are_refused() {
    let fine = wires(80.0, gripped(1000.0), 1000.0);
    for bad in [0.0, -5.0, f64::NAN, f64::INFINITY] {
        assert!(passing_force(&fine, Millimetres(bad)).is_err());
        assert!(passing_force(&wires(bad, gripped(1000.0), 1.0), Millimetres(125.0)).is_err());
        assert!(passing_force(&wires(80.0, gripped(bad), 1.0), Millimetres(125.0)).is_err());
    }
    // Wires that lie in each other leave no opening.
    assert!(passing_force(&wires(3.0, gripped(1000.0), 1.0), Millimetres(125.0)).is_err());
    // A slack wire and the shortest and longest spans still have an answer.
    for clear in [50.0, 50_000.0] {
        assert!(needed(&wires(80.0, gripped(clear), 0.0), 125.0).is_finite());
    }
}

proptest! {
    #[test]
    fn more_tension_less_span_and_less_spacing_hold_more(
        clear in 300.0..2500.0_f64, spacing in 40.0..110.0_f64, tension in 0.0..3000.0_f64,
        more in 1.0..500.0_f64,
    ) {
        let force = |clear, spacing, tension| needed(&wires(spacing, gripped(clear), tension), 125.0);
        let here = force(clear, spacing, tension);
        prop_assert!(force(clear, spacing, tension + more) > here);
        prop_assert!(force(clear + more, spacing, tension) < here);
        prop_assert!(force(clear, spacing + 1.0, tension) < here);
        let run = Millimetres(clear * 5.0);
        let sliding = span(Millimetres(clear), run, EA, Held::Sliding);
        prop_assert!(needed(&wires(spacing, sliding, tension), 125.0) <= here);
    }

    #[test]
    fn a_harder_push_opens_more(
        spacing in 60.0..110.0_f64, tension in 200.0..2000.0_f64, share in 0.05..0.9_f64,
    ) {
        let gap = wires(spacing, gripped(1200.0), tension);
        let force = needed(&gap, 125.0);
        let open = |push: f64| {
            opening_under(&gap, Millimetres(125.0), Newtons(push)).unwrap().under_push
        };
        prop_assert!(open(force * share) < open(force * (share + 0.05)));
        prop_assert!(open(force * share) >= Millimetres(spacing - 3.2));
        let depth = |push: f64| opening_under(&gap, Millimetres(125.0), Newtons(push)).unwrap().depth;
        prop_assert!(depth(force * (share + 0.05)) < depth(force * share));
    }
}
