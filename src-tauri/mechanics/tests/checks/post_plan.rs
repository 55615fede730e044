//! Posts pulled in several directions: vectors, rails in plan, laws.

use mechanics::posts::{
    Hold, PullInPlan, Rail, RailInPlan, Section, WirePull, demand_in_plan, left_out, post_movement,
};
use mechanics::{Degrees, Figure, Megapascals, Millimetres, Newtons, NewtonsPerMillimetre, Origin};
use proptest::prelude::*;

use crate::one_way;
use crate::{near, post};

fn wires(count: u32, tension: f64, heading: f64) -> Vec<PullInPlan> {
    (1..=count)
        .map(|n| PullInPlan {
            pull: WirePull {
                height: Millimetres(80.0 * f64::from(n)),
                tension: Newtons(tension),
                slope: Degrees(0.0),
            },
            heading: Degrees(heading),
        })
        .collect()
}

fn both(one: f64, other: f64, heading: f64) -> Vec<PullInPlan> {
    let mut all = wires(11, one, 0.0);
    all.extend(wires(11, other, heading));
    all
}

fn rail(heading: f64, hold: Hold) -> RailInPlan {
    RailInPlan {
        height: Millimetres(1000.0),
        hold,
        heading: Degrees(heading),
    }
}

fn spring(newtons_per_mm: f64) -> Hold {
    Hold::Spring {
        stiffness: NewtonsPerMillimetre(newtons_per_mm),
    }
}

#[test]
fn two_runs_on_one_post_add_as_vectors() {
    // 11 wires at 1000 N each ask 5280 N·m of a free post (engineering basis, section 6); the
    // resultant of two of them is 2·cos(φ/2) of one (law of cosines), none at 180°.
    let of =
        |heading| demand_in_plan(&post(90.0, 90.0), &[], &both(1000.0, 1000.0, heading)).unwrap();
    for (heading, factor) in [
        (0.0, 2.0),
        (60.0, 3.0_f64.sqrt()),
        (90.0, 2.0_f64.sqrt()),
        (180.0, 0.0),
    ] {
        let found = of(heading);
        near(found.base_moment.value(), 5280.0 * factor, 0.5);
        near(found.level_pull.value(), 11_000.0 * factor, 1e-6);
        // 20.7 is printed to a tenth: half of that, twice at most.
        near(found.tip.value(), 20.7 * factor, 0.05 * factor + 1e-9);
    }
    // At the corner of a square both axes' stresses add: 43.5 + 43.5 MPa for a square corner.
    near(of(90.0).base_stress.value(), 87.0, 0.1);
    near(of(0.0).base_stress.value(), 87.0, 0.1);
    // A corner bolt takes both moments.
    near(
        of(90.0).fixing_force.unwrap().value(),
        2.0 * 5_280_000.0 / 250.0,
        1e-6,
    );
    // Along its own run each wire moves as if it were alone at a right angle.
    let alone = demand_in_plan(&post(90.0, 90.0), &[], &wires(11, 1000.0, 0.0)).unwrap();
    for (found, expected) in of(90.0).along_wires.iter().zip(&alone.along_wires) {
        near(found.value(), expected.value(), 1e-9);
    }
    // The stronger of two that pull against each other wins.
    let against = demand_in_plan(&post(90.0, 90.0), &[], &both(1000.0, 400.0, 180.0)).unwrap();
    near(against.base_moment.value(), 5280.0 * 0.6, 0.5);
    assert!(
        against.along_wires[0] > Millimetres(0.0) && against.along_wires[11] < Millimetres(0.0)
    );
}

#[test]
fn a_round_post_takes_the_resultant_and_a_flat_one_each_axis() {
    let mut round = post(90.0, 90.0);
    round.section = Section::Round {
        diameter: Millimetres(90.0),
    };
    let one = demand_in_plan(&round, &[], &wires(11, 1000.0, 0.0)).unwrap();
    let square = demand_in_plan(&round, &[], &both(1000.0, 1000.0, 90.0)).unwrap();
    near(
        square.base_stress.value(),
        one.base_stress.value() * 2.0_f64.sqrt(),
        1e-9,
    );
    // 140 × 45 pulled across its thin side: W = 140·45²/6 (any handbook of strength).
    let flat = demand_in_plan(&post(140.0, 45.0), &[], &wires(11, 1000.0, 90.0)).unwrap();
    near(
        flat.base_stress.value(),
        5_280_000.0 / (140.0 * 45.0_f64.powi(2) / 6.0),
        1e-6,
    );
}

#[test]
fn rails_in_two_directions_hold_by_statics_and_curvature() {
    // Two rails of different stiffness and height at 70°, checked by a second way: with the rail
    // forces found, ∫ M/EI·(H − x) dx along each axis must give force over stiffness.
    let section = post(115.0, 90.0);
    let pulls = both(1000.0, 700.0, 70.0);
    let rails = [
        rail(0.0, spring(500.0)),
        RailInPlan {
            height: Millimetres(860.0),
            ..rail(70.0, spring(120.0))
        },
    ];
    let found = demand_in_plan(&section, &rails, &pulls).unwrap();
    let mut loads: Vec<(f64, f64, f64)> = pulls
        .iter()
        .map(|p| {
            let (sin, cos) = p.heading.value().to_radians().sin_cos();
            let force = p.pull.tension.value();
            (p.pull.height.value(), force * cos, force * sin)
        })
        .collect();
    for (rail, force) in rails.iter().zip(&found.rail_forces) {
        let (sin, cos) = rail.heading.value().to_radians().sin_cos();
        loads.push((
            rail.height.value(),
            -force.value() * cos,
            -force.value() * sin,
        ));
    }
    let inertia = (
        90.0 * 115.0_f64.powi(3) / 12.0,
        115.0 * 90.0_f64.powi(3) / 12.0,
    );
    let moved = |at: f64| {
        let steps = 20_000;
        let dx = at / f64::from(steps);
        (0..steps).fold((0.0, 0.0), |sum, step| {
            let x = (f64::from(step) + 0.5) * dx;
            let moment = |part: fn(&(f64, f64, f64)) -> f64| {
                loads
                    .iter()
                    .map(|load| part(load) * (load.0 - x).max(0.0))
                    .sum::<f64>()
            };
            let bend = (at - x) * dx / 11_000.0;
            (
                sum.0 + moment(|l| l.1) * bend / inertia.0,
                sum.1 + moment(|l| l.2) * bend / inertia.1,
            )
        })
    };
    for ((rail, force), stiffness) in rails.iter().zip(&found.rail_forces).zip([500.0, 120.0]) {
        let (sin, cos) = rail.heading.value().to_radians().sin_cos();
        let (x, y) = moved(rail.height.value());
        near(force.value() / stiffness, x * cos + y * sin, 1e-5);
    }
    let top = moved(1000.0);
    near(found.tip.value(), top.0.hypot(top.1), 1e-5);
    let moment = loads
        .iter()
        .fold((0.0, 0.0), |m, l| (m.0 + l.1 * l.0, m.1 + l.2 * l.0));
    near(
        found.base_moment.value(),
        moment.0.hypot(moment.1) / 1e3,
        1e-6,
    );
}

#[test]
fn a_prop_is_the_limit_of_a_rail_and_may_stand_twice_in_one_line() {
    // "rigid prop 1538 N·m" (engineering basis, section 6).
    let one = wires(11, 1000.0, 0.0);
    let propped = demand_in_plan(&post(90.0, 90.0), &[rail(0.0, Hold::Rigid)], &one).unwrap();
    near(propped.base_moment.value(), 1538.0, 0.5);
    near(propped.tip.value(), 0.0, 1e-6);
    let twice = [rail(0.0, Hold::Rigid), rail(180.0, Hold::Rigid)];
    let found = demand_in_plan(&post(90.0, 90.0), &twice, &one).unwrap();
    near(found.base_moment.value(), 1538.0, 0.5);
    // One is pressed, the other pulled, alike.
    near(
        found.rail_forces[0].value(),
        -found.rail_forces[1].value(),
        1e-3,
    );
    assert!(found.rail_forces[0] > Newtons(0.0));
    // A rail of no stiffness is refused with its reason: leave it out.
    let none = demand_in_plan(&post(90.0, 90.0), &[rail(0.0, spring(0.0))], &one).unwrap_err();
    assert!(none.to_string().contains("rail's stiffness"), "{none}");
}

#[test]
fn a_post_stiffer_than_steel_is_answered_with_a_doubt() {
    let mut hard = post(90.0, 90.0);
    hard.modulus = Figure::of(Megapascals(400_000.0), Origin::Assumed);
    let said = one_way::untold(&hard, &[wires(1, 1000.0, 0.0)[0].pull]);
    assert!(
        said.iter().any(|w| w.contains("above that of steel")),
        "{said:?}"
    );
    let usual = left_out(&post(90.0, 90.0), &[], &wires(1, 1.0, 0.0));
    assert!(!usual.iter().any(|w| w.contains("steel")));
}

proptest! {
    #[test]
    fn one_direction_is_one_run_whichever_way_it_points(
        heading in -180.0..180.0_f64, tension in 0.0..3000.0_f64, stiffness in 0.01..1.0e5_f64,
    ) {
        // A square post: EI is the same every way.
        let mut of = post(90.0, 90.0);
        let flat: Vec<WirePull> = wires(11, tension, 0.0).iter().map(|p| p.pull).collect();
        let turned = demand_in_plan(
            &of, &[rail(heading, spring(stiffness))], &wires(11, tension, heading),
        ).unwrap();
        of.rail = Some(Rail { height: Millimetres(1000.0), stiffness: NewtonsPerMillimetre(stiffness) });
        let straight = one_way::demand(&of, &flat);
        let close = |a: f64, b: f64| (a - b).abs() <= 1e-9 * (1.0 + b.abs());
        prop_assert!(close(turned.base_moment.value(), straight.base_moment.value()));
        prop_assert!(close(turned.tip.value(), straight.tip.value()));
        prop_assert!(close(turned.rail_forces[0].value(), straight.rail_forces[0].value()));
        // The scalar form: F(H,·) − F(H,H)·F(H,·)/(F(H,H) + 1/k_r).
        let scalar = post_movement(&of, &flat, Millimetres(1000.0)).unwrap();
        prop_assert!(close(straight.tip.value(), scalar.value()));
    }

    #[test]
    fn a_rail_lies_between_none_and_a_prop_and_every_figure_is_finite(
        heading in 0.0..180.0_f64, one in 0.0..3000.0_f64, other in 0.0..3000.0_f64,
        exponent in -6.0..9.0_f64, modulus in 1.0..1.0e6_f64, turning in 6.0..12.0_f64,
    ) {
        let mut of = post(90.0, 90.0);
        of.modulus.value = Megapascals(modulus);
        of.base_turning = Some(Figure::of(10.0_f64.powf(turning), Origin::Measured));
        let pulls = wires(11, one, 0.0);
        let stiffness = 10.0_f64.powf(exponent);
        let hold = |rails: &[RailInPlan]| demand_in_plan(&of, rails, &pulls).unwrap();
        let free = hold(&[]).base_moment.value();
        let railed = hold(&[rail(0.0, spring(stiffness))]).base_moment.value();
        let propped = hold(&[rail(0.0, Hold::Rigid)]).base_moment.value();
        let slack = 1e-6 * (1.0 + free);
        prop_assert!(propped <= railed + slack && railed <= free + slack);
        let two = demand_in_plan(
            &of, &[rail(0.0, Hold::Rigid), rail(heading, spring(stiffness))], &both(one, other, heading),
        ).unwrap();
        let mut figures = vec![two.base_moment.value(), two.base_stress.value(), two.tip.value(), two.level_pull.value()];
        figures.extend(two.along_wires.iter().map(|m| m.value()));
        figures.extend(two.rail_forces.iter().map(|f| f.value()));
        prop_assert!(figures.iter().all(|f| f.is_finite()), "{figures:?}");
    }

    #[test]
    fn more_pull_asks_more_and_a_closer_angle_asks_more(
        heading in 0.0..175.0_f64, nearer in 0.0..90.0_f64, tension in 1.0..3000.0_f64, more in 1.0..500.0_f64,
    ) {
        let of = |tension, heading| {
            demand_in_plan(&post(90.0, 90.0), &[], &both(tension, tension, heading)).unwrap()
        };
        let here = of(tension, heading);
        prop_assert!(of(tension + more, heading).base_moment > here.base_moment);
        let closer = of(tension, (heading - nearer).max(0.0));
        prop_assert!(closer.base_moment.value() >= here.base_moment.value() - 1e-9);
    }
}

#[test]
fn what_lifts_a_post_is_shared_by_both_sides_of_its_base() {
    let raked = |slope: f64| -> Vec<PullInPlan> {
        let mut all = wires(8, 1500.0, 0.0);
        for of in &mut all {
            of.pull.slope = Degrees(slope);
        }
        all
    };
    let asked = |slope: f64| demand_in_plan(&post(90.0, 90.0), &[], &raked(slope)).unwrap();
    let by_moment = |slope: f64| asked(slope).base_moment.value() / 0.25;
    // 8 · 1500 · sin 35.45° = 6960 N.
    near(mechanics::posts::lift(&raked(35.45)).value(), 6960.0, 0.5);
    near(
        asked(35.45).fixing_force.unwrap().value(),
        by_moment(35.45) + 3480.0,
        // 6960 is told to the newton, and half of it lifts each side.
        0.25,
    );
    // Pressed down, nothing is taken off; level, nothing is added.
    near(
        asked(-35.45).fixing_force.unwrap().value(),
        by_moment(-35.45),
        1e-6,
    );
    near(
        asked(0.0).fixing_force.unwrap().value(),
        by_moment(0.0),
        1e-6,
    );
    let said = |slope: f64| left_out(&post(90.0, 90.0), &[], &raked(slope)).join(" ");
    assert!(
        said(35.45).contains("lift the post with 6960 N"),
        "{}",
        said(35.45)
    );
    assert!(said(-35.45).contains("press the post down with 6960 N"));
    assert!(!said(0.0).contains("lift"));
}
