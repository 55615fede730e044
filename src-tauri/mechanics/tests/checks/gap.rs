//! A sphere pushed between wires, and between a wire and an edge.

use mechanics::deflection::{Held, Span, load_for_deflection, span};
use mechanics::gap::{
    Between, Gap, Opened, Passing, least_tension, meets_head_on, opening_under, passing_force,
};
use mechanics::rules::look_up_tension;
use mechanics::strand::{Construction, default_axial_stiffness};
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

fn edge(distance: f64, span: Span, tension: f64) -> Gap {
    Gap {
        between: Between::WireAndEdge {
            distance: Millimetres(distance),
        },
        ..wires(80.0, span, tension)
    }
}

/// Forces at which a 125 mm sphere passes between a face and a 3.2 mm wire at 1410 N, gripped over
/// 1209.2 mm: the energy of two bars, minimised with SLSQP over the sphere's height above the face
/// and both displacements of the wire, differentiated by the depth of the centre (steps of 1.4 mm
/// between depths leave its largest up to 0.6 % low near the radius). Run apart from these tests.
#[test]
fn a_wire_and_a_face_agree_with_the_minimised_energy() {
    for (distance, force, within) in [
        (64.0, 973.37, 6.0),
        (70.0, 585.06, 0.7),
        (76.0, 379.03, 0.5),
        (90.0, 140.21, 0.1),
        (100.0, 64.63, 0.1),
        (110.0, 25.55, 0.05),
        (120.0, 5.60, 0.02),
    ] {
        near(
            needed(&edge(distance, gripped(1209.2), 1410.0), 125.0),
            force,
            within,
        );
    }
    // Head on the energy's force, with the wire held on its own side, is at half way at least what
    // is told: 1964, 1630, 1375, 1259 and 1224 at 0.3 mm before it, growing from there.
    for (distance, carried) in [
        (5.0, 1964.0),
        (20.0, 1630.0),
        (36.6, 1375.0),
        (50.0, 1259.0),
    ] {
        let told = needed(&edge(distance, gripped(1209.2), 1410.0), 125.0);
        assert!(told < carried, "{distance}: {told}");
        let head_on = load_for_deflection(&gripped(1209.2), Newtons(1410.0), Millimetres(64.1));
        near(told, head_on.unwrap().value(), 1e-6);
    }
}

/// The same by the work of the load as this crate computes it, on a grid of its own.
#[test]
fn a_wire_and_a_face_agree_with_the_work_of_the_load() {
    let (distance, sphere, tension) = (90.0, 125.0, 1200.0);
    let gap = edge(distance, gripped(1200.0), tension);
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
    let least = |z: f64| energy((reach - (distance - radius).hypot(z)).max(0.0));
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
    // The sphere stands on the face and on the pushed wire: the wire's axis is R from its centre,
    // on the line from there through the resting axis.
    let away = (distance - radius).hypot(opened.depth.value());
    let aside = (opened.under_push.value() + 1.6 - radius) / (distance - radius);
    near(aside, reach / away, 1e-9);
}

#[test]
fn a_wire_no_further_than_half_the_sphere_is_met_head_on() {
    for (distance, head_on) in [(27.7, true), (62.5, true), (62.51, false), (90.0, false)] {
        let gap = edge(distance, gripped(1209.2), 1410.0);
        let found = meets_head_on(&gap, Millimetres(125.0)).unwrap();
        assert_eq!(found, head_on, "{distance}");
        for push in [0.0, 20.0, 50.0, 58.0] {
            let opened = opening_under(&gap, Millimetres(125.0), Newtons(push)).unwrap();
            assert!(
                !opened.passes && opened.under_push >= opened.at_rest,
                "{distance} {push}"
            );
            if head_on {
                assert_eq!(opened.under_push, opened.at_rest, "{distance} {push}");
            }
        }
    }
    let two = wires(40.0, gripped(1209.2), 1410.0);
    assert!(!meets_head_on(&two, Millimetres(125.0)).unwrap());
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

    #[test]
    fn beside_an_edge_more_tension_less_span_and_less_distance_hold_more(
        clear in 300.0..2500.0_f64, distance in 5.0..126.0_f64, nearer in 0.1..60.0_f64,
        tension in 0.0..3000.0_f64, more in 1.0..500.0_f64,
    ) {
        let force = |clear, distance, tension| {
            needed(&edge(distance, gripped(clear), tension), 125.0)
        };
        let here = force(clear, distance, tension);
        prop_assert!(here >= 0.0 && here.is_finite());
        prop_assert!(force(clear, distance, tension + more) > here);
        prop_assert!(force(clear + more, distance, tension) < here);
        // Nearer the wire never holds less, and beyond half the sphere always more.
        let close = force(clear, (distance - nearer).max(2.0), tension);
        prop_assert!(close >= here);
        if distance > 62.6 {
            prop_assert!(close > here);
        }
        let run = Millimetres(clear * 5.0);
        let sliding = span(Millimetres(clear), run, EA, Held::Sliding);
        prop_assert!(needed(&edge(distance, sliding, tension), 125.0) <= here);
    }

    #[test]
    fn beside_an_edge_a_harder_push_never_opens_less(
        distance in 5.0..126.0_f64, tension in 200.0..2000.0_f64, share in 0.0..0.9_f64,
    ) {
        let gap = edge(distance, gripped(1200.0), tension);
        let force = needed(&gap, 125.0);
        let open = |push: f64| {
            opening_under(&gap, Millimetres(125.0), Newtons(push)).unwrap()
        };
        let (less, harder) = (open(force * share), open(force * (share + 0.05)));
        prop_assert!(!less.passes && !harder.passes);
        prop_assert!(less.under_push >= Millimetres(distance - 1.6 - 1e-9));
        prop_assert!(harder.under_push >= less.under_push);
        prop_assert!(harder.depth < less.depth);
        if distance > 62.6 {
            prop_assert!(harder.under_push > less.under_push);
        }
        prop_assert!(open(force * 1.01).passes);
    }

    #[test]
    fn beside_an_edge_the_least_tension_holds_and_a_little_less_does_not(
        distance in 64.0..125.0_f64, push in 20.0..200.0_f64,
    ) {
        let gap = edge(distance, gripped(1200.0), 0.0);
        let least = least_tension(&gap, Millimetres(125.0), Newtons(push));
        let Ok(least) = least else {
            return Ok(());
        };
        let force = |tension: f64| needed(&edge(distance, gripped(1200.0), tension), 125.0);
        prop_assert!(force(least.value()) >= push * (1.0 - 1e-9));
        if least.value() > 1.0 {
            prop_assert!(force(least.value() * 0.999) < push);
        }
    }
}

#[test]
fn the_sphere_asks_for_more_than_the_table_of_the_cone() {
    // The Australian test draws a 125 mm cone through with 150 N, and of its shape nothing is read here: the
    // model of a sphere can't stand for it. What the sphere would ask for under the same push, in times of the
    // table's tension, gripped, 1x19 at 80 mm from 1.2 m on; it is no table and relaxes none.
    let set = crate::au();
    for (diameter, clear, times) in [
        (2.5, 1200.0, 2.24),
        (2.5, 1500.0, 2.19),
        (2.5, 1800.0, 2.14),
        (3.0, 1200.0, 2.16),
        (3.0, 1500.0, 2.23),
        (3.0, 1800.0, 2.12),
        (3.0, 2000.0, 2.07),
    ] {
        let lay = Construction::OneByNineteen;
        let (diameter, clear) = (Millimetres(diameter), Millimetres(clear));
        let row = look_up_tension(&set, diameter, lay, Millimetres(80.0), clear).unwrap();
        let stiffness = default_axial_stiffness(diameter, lay).unwrap().value;
        let gap = Gap {
            between: Between::Wires {
                spacing: Millimetres(80.0),
            },
            wire_diameter: diameter,
            span: span(clear, clear, stiffness, Held::Gripped),
            tension: Newtons(0.0),
        };
        let asks = least_tension(&gap, Millimetres(125.0), Newtons(150.0)).unwrap();
        near(asks / row.outcome.limit().unwrap(), times, 0.005);
    }
}
