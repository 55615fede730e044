//! Posts whose pulls leave in directions that are not told: each figure the greatest by itself.

use mechanics::posts::{
    Hold, LegInPlan, PlanDemand, Post, PullInPlan, RailInPlan, Section, WirePull, demand_in_plan,
    greatest_in_plan, greatest_square_to_any,
};
use mechanics::{Degrees, Figure, Millimetres, Newtons, NewtonsPerMillimetre, Origin};

use crate::{near, post};

fn leg(wires: u32, tension: f64, rail: Option<f64>, heading: Option<f64>) -> LegInPlan {
    LegInPlan {
        pulls: (1..=wires)
            .map(|n| WirePull {
                height: Millimetres(80.0 * f64::from(n)),
                tension: Newtons(tension),
                slope: Degrees(0.0),
            })
            .collect(),
        rail: rail.map(|stiffness| {
            let hold = match stiffness {
                s if s.is_infinite() => Hold::Rigid,
                s => Hold::Spring {
                    stiffness: NewtonsPerMillimetre(s),
                },
            };
            (Millimetres(1000.0), hold)
        }),
        heading: heading.map(Degrees),
    }
}

/// The figures of a demand in one row.
fn row(of: &PlanDemand) -> Vec<f64> {
    let mut row = vec![
        of.level_pull.value(),
        of.base_moment.value(),
        of.base_stress.value(),
        of.tip.value(),
        of.fixing_force.unwrap().value(),
    ];
    row.extend(of.along_wires.iter().map(|m| m.value()));
    row.extend(of.rail_forces.iter().map(|f| f.value()));
    row
}

/// With every untold leg in a direction of its own.
fn at(post: &Post, legs: &[LegInPlan], untold: &[f64]) -> Vec<f64> {
    let mut next = untold.iter();
    let (mut pulls, mut rails) = (Vec::new(), Vec::new());
    for leg in legs {
        let heading = leg
            .heading
            .unwrap_or_else(|| Degrees(*next.next().unwrap()));
        let in_plan = |pull: &WirePull| PullInPlan {
            pull: *pull,
            heading,
        };
        pulls.extend(leg.pulls.iter().map(in_plan));
        rails.extend(leg.rail.map(|(height, hold)| RailInPlan {
            height,
            hold,
            heading,
        }));
    }
    row(&demand_in_plan(post, &rails, &pulls).unwrap())
}

/// The greatest by size of each figure over a list of directions.
fn greatest(post: &Post, legs: &[LegInPlan], places: impl Iterator<Item = Vec<f64>>) -> Vec<f64> {
    let mut most: Vec<f64> = Vec::new();
    for place in places {
        let found = at(post, legs, &place);
        if most.is_empty() {
            most = vec![0.0; found.len()];
        }
        for (most, found) in most.iter_mut().zip(found) {
            *most = most.max(found.abs());
        }
    }
    most
}

fn posts() -> Vec<Post> {
    let turning = Post {
        base_turning: Some(Figure::of(1.5e8, Origin::Measured)),
        ..post(115.0, 115.0)
    };
    let round = Post {
        section: Section::Round {
            diameter: Millimetres(100.0),
        },
        ..post(100.0, 100.0)
    };
    vec![post(115.0, 115.0), post(140.0, 90.0), turning, round]
}

#[test]
fn a_square_post_bends_most_at_half_a_right_angle() {
    // 11 wires at 1000 N: 5280 N·m; two of them, the second turned by φ, stress a square corner by
    // M·(1 + cos φ + sin φ)/Z: most at 45°, where cos + sin = √2. Moment and movement are most at 0.
    let found = greatest_in_plan(
        &post(90.0, 90.0),
        &[
            leg(11, 1000.0, None, Some(0.0)),
            leg(11, 1000.0, None, None),
        ],
    )
    .unwrap();
    let z = 90.0_f64.powi(3) / 6.0;
    near(
        found.base_stress.value(),
        5_280_000.0 * (1.0 + 2.0_f64.sqrt()) / z,
        1e-5,
    );
    near(
        found.fixing_force.unwrap().value(),
        5_280_000.0 * (1.0 + 2.0_f64.sqrt()) / 250.0,
        0.01,
    );
    near(found.base_moment.value(), 2.0 * 5280.0, 1e-6);
    let one = demand_in_plan(&post(90.0, 90.0), &[], &[]).unwrap();
    assert_eq!(one.base_moment.value(), 0.0);
    // A round post has no corner: its stress goes with the resultant.
    let round = Post {
        section: Section::Round {
            diameter: Millimetres(90.0),
        },
        ..post(90.0, 90.0)
    };
    let legs = [
        leg(11, 1000.0, None, Some(0.0)),
        leg(11, 1000.0, None, None),
    ];
    let found = greatest_in_plan(&round, &legs).unwrap();
    let z = std::f64::consts::PI * 90.0_f64.powi(3) / 32.0;
    near(found.base_stress.value(), 2.0 * 5_280_000.0 / z, 1e-5);
}

#[test]
fn one_untold_direction_beside_every_twentieth_of_a_degree() {
    for of in posts() {
        for rails in [
            [None, None],
            [Some(500.0), Some(300.0)],
            [None, Some(500.0)],
            [Some(f64::INFINITY), Some(f64::INFINITY)],
        ] {
            let mut legs = vec![
                leg(11, 1500.0, rails[0], Some(0.0)),
                leg(7, 1200.0, rails[1], None),
            ];
            // A pull across two rigid rails nearly in one line makes forces without bound.
            if !rails
                .iter()
                .flatten()
                .any(|stiffness| stiffness.is_infinite())
            {
                legs.push(leg(3, 900.0, None, Some(100.0)));
            }
            let places = (0..7200).map(|n| vec![f64::from(n) / 20.0]);
            let brute = greatest(&of, &legs, places);
            let found = row(&greatest_in_plan(&of, &legs).unwrap());
            for (n, (found, brute)) in found.iter().zip(&brute).enumerate() {
                let found = found.abs();
                assert!(found >= brute * (1.0 - 1e-9), "{n}: {found} < {brute}");
                // Between two rigid rails nearly in one line a tip moves by thousandths of a
                // millimetre, with its peak between the places that are tried here.
                assert!(
                    found <= brute * (1.0 + 1e-5) + 5e-3,
                    "{n}: {found} > {brute}"
                );
            }
        }
    }
}

#[test]
fn two_untold_directions_beside_a_grid() {
    for of in posts() {
        let legs = [
            leg(6, 1500.0, Some(500.0), Some(0.0)),
            leg(5, 1500.0, Some(500.0), None),
            leg(4, 1100.0, None, None),
        ];
        let places = (0..120)
            .flat_map(|a| (0..120).map(move |b| vec![3.0 * f64::from(a), 3.0 * f64::from(b)]));
        let brute = greatest(&of, &legs, places);
        let found = row(&greatest_in_plan(&of, &legs).unwrap());
        for (n, (found, brute)) in found.iter().zip(&brute).enumerate() {
            let found = found.abs();
            // A grid of three degrees stays below the greatest by at most (1.5°)², about 7e-4.
            assert!(found >= brute * (1.0 - 1e-4), "{n}: {found} < {brute}");
            assert!(
                found <= brute * (1.0 + 2e-3) + 1e-9,
                "{n}: {found} > {brute}"
            );
        }
    }
}

#[test]
fn what_is_told_is_not_turned() {
    let of = post(140.0, 90.0);
    let legs = [
        leg(11, 1500.0, Some(500.0), Some(0.0)),
        leg(7, 1200.0, None, Some(35.0)),
    ];
    assert_eq!(
        row(&greatest_in_plan(&of, &legs).unwrap()),
        at(&of, &legs, &[])
    );
    assert!(greatest_in_plan(&of, &[leg(2, -5.0, None, None)]).is_err());
}

#[test]
fn a_post_may_stand_square_to_any_of_its_runs() {
    let of = post(115.0, 115.0);
    let (long, short) = (11, 5);
    let both = |first: u32, second: u32, angle: Option<f64>| {
        let legs = [
            leg(first, 1500.0, Some(500.0), Some(0.0)),
            leg(second, 1500.0, Some(300.0), angle),
        ];
        (legs.clone(), greatest_square_to_any(&of, &legs).unwrap())
    };
    let moment = |wires: u32| 1500.0 * 80.0 * f64::from(wires * (wires + 1) / 2);
    let z = 115.0_f64.powi(3) / 6.0;
    // Without rails: square to the weaker run, the stronger at 45° to it asks M1 + √2·M2 most.
    let bare = [
        leg(long, 1500.0, None, Some(0.0)),
        leg(short, 1500.0, None, None),
    ];
    let found = greatest_square_to_any(&of, &bare).unwrap();
    let most = (moment(short) + 2.0_f64.sqrt() * moment(long)) / z;
    near(found.base_stress.value(), most, 1e-5);
    // The same from both runs, but for rails that differ; told at 60° too.
    for angle in [None, Some(60.0)] {
        let legs = |first: u32, second: u32| {
            [
                leg(first, 1500.0, Some(400.0), Some(0.0)),
                leg(second, 1500.0, Some(400.0), angle),
            ]
        };
        let one = greatest_square_to_any(&of, &legs(long, short)).unwrap();
        let other = greatest_square_to_any(&of, &legs(short, long)).unwrap();
        for (a, b) in row(&one).iter().zip(row(&other)).take(5) {
            near(*a, b, 1e-5 * a.abs());
        }
    }
    // Never less than with the first run square, beside a brute scan of the other way.
    let (legs, found) = both(short, long, None);
    let turned = [
        LegInPlan {
            heading: None,
            ..legs[0].clone()
        },
        LegInPlan {
            heading: Some(Degrees(0.0)),
            ..legs[1].clone()
        },
    ];
    let places = || (0..7200).map(|n| vec![f64::from(n) / 20.0]);
    let first = greatest(&of, &legs, places());
    let second = greatest(&of, &turned, places());
    for (n, found) in row(&found).iter().enumerate() {
        let brute = first[n].max(second[n]);
        near(found.abs(), brute, 1e-5 * brute + 1e-6);
    }
}
