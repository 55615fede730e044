//! Posts under pull: worked vectors, an independent integration, and what stays unsaid.

use mechanics::posts::{
    EndPosts, Post, Rail, RunEnd, Section, WirePull, inward_movement, post_movement,
};
use mechanics::{Degrees, Figure, Megapascals, Millimetres, Newtons, NewtonsPerMillimetre, Origin};

use crate::{near, one_way};

fn post(side: f64, gigapascals: f64) -> Post {
    Post {
        section: Section::Rectangle {
            along: Millimetres(side),
            across: Millimetres(side),
        },
        modulus: Figure::of(Megapascals(gigapascals * 1e3), Origin::Assumed),
        height: Millimetres(1000.0),
        rail: None,
        base_turning: None,
        bolt_distance: None,
    }
}

fn pulls(heights: &[f64], tension: f64) -> Vec<WirePull> {
    heights
        .iter()
        .map(|height| WirePull {
            height: Millimetres(*height),
            tension: Newtons(tension),
            slope: Degrees(0.0),
        })
        .collect()
}

#[test]
fn three_wires_turn_in_both_posts() {
    // z = .3, .6, .9 m, both posts 90×90, E 11 GPa (EI 60.14 kN·m²), 3.2 mm wire, 4 m, 1000 N:
    // turn-in C·T = 7.279, 12.37, 18.50 mm (sequential beam finite elements), of which the
    // wire's own stretch is T·L/EA.
    let heights = [300.0, 600.0, 900.0];
    let moved = inward_movement(&EndPosts {
        start: post(90.0, 11.0),
        start_pulls: pulls(&heights, 1000.0),
        end: post(90.0, 11.0),
        end_pulls: pulls(&heights, 1000.0),
    })
    .unwrap();
    let stretch = 1000.0 * 4000.0 / 794_597.0;
    for (found, expected) in moved.along_wire.iter().zip([7.279, 12.37, 18.50]) {
        near(found.value() + stretch, expected, 0.005);
    }
    assert_eq!(
        moved.understated,
        [RunEnd::Start, RunEnd::End],
        "the bases' turning is left out and said"
    );
    let mut known = EndPosts {
        start: post(90.0, 11.0),
        start_pulls: pulls(&heights, 1000.0),
        end: post(90.0, 11.0),
        end_pulls: pulls(&heights, 1000.0),
    };
    known.start.base_turning = Some(Figure::of(1.0e9, Origin::Measured));
    let moved = inward_movement(&known).unwrap();
    assert_eq!(moved.understated, [RunEnd::End]);
}

#[test]
fn eleven_wires_on_a_free_post_and_with_a_rail() {
    // 11 wires 80 … 880 mm, 1000 N each, 90×90, E 11 GPa, 1 m: tip 20.7 mm, base moment
    // 5280 N·m, 43.5 MPa; rail 500 N/mm: 5.5 mm, 2530 N·m; rigid prop 1538 N·m.
    let heights: Vec<f64> = (1..=11).map(|n| 80.0 * f64::from(n)).collect();
    let wires = pulls(&heights, 1000.0);
    let free = one_way::demand(&post(90.0, 11.0), &wires);
    near(free.tip.value(), 20.7, 0.05);
    near(free.base_moment.value(), 5280.0, 0.5);
    near(free.base_stress.value(), 43.5, 0.05);
    assert_eq!(free.rail_forces, []);

    let with_rail = |stiffness| {
        let mut railed = post(90.0, 11.0);
        railed.rail = Some(Rail {
            height: Millimetres(1000.0),
            stiffness: NewtonsPerMillimetre(stiffness),
        });
        one_way::demand(&railed, &wires)
    };
    let railed = with_rail(500.0);
    near(railed.tip.value(), 5.5, 0.05);
    // Printed to the ten.
    near(railed.base_moment.value(), 2530.0, 5.0);
    near(with_rail(1e12).base_moment.value(), 1538.0, 0.5);
    // The rail's force is what its spring holds: stiffness × movement there.
    near(
        railed.rail_forces[0].value(),
        500.0 * railed.tip.value(),
        1e-6,
    );
}

#[test]
fn cantilever_of_the_check() {
    // 90×90, E 10 GPa, 1 m, 600 N at the top: 3.658 mm, 4.938 MPa (F·L³/3EI, M/W).
    let demand = one_way::demand(&post(90.0, 10.0), &pulls(&[1000.0], 600.0));
    near(demand.base_stress.value(), 4.938, 0.0005);
    near(demand.tip.value(), 3.658, 0.0005);
}

#[test]
fn influence_agrees_with_integrating_the_curvature() {
    // Deflection at z_i = ∫ M(x)/EI·(z_i − x) dx from the base to z_i, by midpoints.
    let side: f64 = 90.0;
    let stiffness = 11_000.0 * side.powi(4) / 12.0;
    for (load_at, look_at) in [(300.0, 900.0), (900.0, 300.0), (600.0, 600.0)] {
        let steps = 20_000;
        let dx = look_at / f64::from(steps);
        let integral: f64 = (0..steps)
            .map(|step| {
                let x = (f64::from(step) + 0.5) * dx;
                let moment = 1000.0 * (load_at - x).max(0.0);
                moment / stiffness * (look_at - x) * dx
            })
            .sum();
        let found = post_movement(
            &post(side, 11.0),
            &pulls(&[load_at], 1000.0),
            Millimetres(look_at),
        )
        .unwrap();
        near(found.value(), integral, 1e-6);
    }
}

#[test]
fn a_turning_base_adds_to_every_height() {
    let mut turning = post(90.0, 11.0);
    turning.base_turning = Some(Figure::of(1.0e9, Origin::Measured));
    let wires = pulls(&[800.0], 1000.0);
    let fixed = post_movement(&post(90.0, 11.0), &wires, Millimetres(500.0)).unwrap();
    let moved = post_movement(&turning, &wires, Millimetres(500.0)).unwrap();
    near(
        moved.value() - fixed.value(),
        1000.0 * 800.0 * 500.0 / 1.0e9,
        1e-9,
    );
    let said = one_way::untold(&turning, &wires);
    assert!(!said.iter().any(|words| words.contains("understated")));
}

#[test]
fn only_the_level_part_of_a_raked_pull_bends() {
    let raked = |slope| {
        vec![WirePull {
            height: Millimetres(500.0),
            tension: Newtons(1000.0),
            slope: Degrees(slope),
        }]
    };
    let demand = one_way::demand(&post(90.0, 11.0), &raked(60.0));
    near(demand.base_moment.value(), 250.0, 1e-9);
    let ends = |slope| EndPosts {
        start: post(90.0, 11.0),
        start_pulls: raked(slope),
        end: post(90.0, 11.0),
        end_pulls: raked(slope),
    };
    let level = inward_movement(&ends(0.0)).unwrap().along_wire[0];
    let steep = inward_movement(&ends(60.0)).unwrap().along_wire[0];
    near(steep.value(), level.value() * 0.25, 1e-9);
}

#[test]
fn sections_agree_with_each_other() {
    let demand = |section| {
        let mut of = post(90.0, 70.0);
        of.section = section;
        one_way::demand(&of, &pulls(&[900.0], 1000.0))
    };
    let solid = demand(Section::Rectangle {
        along: Millimetres(50.0),
        across: Millimetres(50.0),
    });
    let nearly_solid = demand(Section::RectangularTube {
        along: Millimetres(50.0),
        across: Millimetres(50.0),
        wall: Millimetres(25.0),
    });
    near(
        nearly_solid.base_stress.value(),
        solid.base_stress.value(),
        1e-9,
    );
    // Round: W = π·d³/32.
    let round = demand(Section::Round {
        diameter: Millimetres(50.0),
    });
    let modulus = std::f64::consts::PI * 50.0_f64.powi(3) / 32.0;
    near(round.base_stress.value(), 900.0e3 / modulus, 1e-9);
    let tube = demand(Section::RoundTube {
        diameter: Millimetres(50.0),
        wall: Millimetres(3.0),
    });
    assert!(tube.base_stress > round.base_stress && tube.tip > round.tip);
}

#[test]
fn what_a_demand_leaves_out_is_said_and_never_judged() {
    let said = one_way::untold(&post(90.0, 11.0), &pulls(&[900.0], 1000.0));
    for left in ["not turning", "bolts", "people and wind"] {
        assert!(
            said.iter().any(|words| words.contains(left)),
            "{left}: {said:?}"
        );
    }
    let words = said.join(" ").to_lowercase();
    for verdict in ["safe", "complies", "comply", "\"ok\"", "adequate"] {
        assert!(!words.contains(verdict), "{verdict}");
    }
}

#[test]
fn ends_with_different_wire_counts_are_refused() {
    let answer = inward_movement(&EndPosts {
        start: post(90.0, 11.0),
        start_pulls: pulls(&[300.0, 600.0], 1000.0),
        end: post(90.0, 11.0),
        end_pulls: pulls(&[300.0], 1000.0),
    });
    assert!(answer.is_err());
}
