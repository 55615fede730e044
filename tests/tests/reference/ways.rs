//! The most that pulls ask of a post where it is not told which way some go, beside a net over all ways and
//! Powell's search in `posts.py`.

use mechanics::posts::{Hold, LegInPlan, Post, Section, WirePull, greatest_in_plan};
use mechanics::{Degrees, Figure, Millimetres, Newtons, NewtonsPerMillimetre, Origin};
use serde_json::{Value, json};

use crate::posts::{asked, post, square};
use crate::room::{Room, Within, within};

const SCANNED: Within = within(
    1e-4,
    1e-6,
    "ours narrows on a direction until a figure stands to a ten-thousandth, and so is told",
);

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
            let stiffness = NewtonsPerMillimetre(stiffness);
            (Millimetres(1000.0), Hold::Spring { stiffness })
        }),
        heading: heading.map(Degrees),
    }
}

fn told_leg(leg: &LegInPlan) -> Value {
    let pulls: Vec<Value> = leg
        .pulls
        .iter()
        .map(|pull| {
            json!({"height": pull.height.value() / 1e3, "tension": pull.tension,
                "slope": pull.slope.radians()})
        })
        .collect();
    let rails: Vec<Value> = leg
        .rail
        .iter()
        .map(|(height, hold)| {
            let Hold::Spring { stiffness } = hold else {
                panic!("{hold:?} is no spring");
            };
            json!({"height": height.value() / 1e3, "stiffness": stiffness.value() * 1e3})
        })
        .collect();
    json!({"heading": leg.heading.map(Degrees::radians), "pulls": pulls, "rails": rails})
}

fn cases() -> Vec<(Post, Vec<LegInPlan>)> {
    let rectangle = Section::Rectangle {
        along: Millimetres(140.0),
        across: Millimetres(90.0),
    };
    let turning = Post {
        base_turning: Some(Figure::of(1.5e8, Origin::Measured)),
        ..post(square(115.0), 14.0, 1000.0)
    };
    let round = Section::Round {
        diameter: Millimetres(100.0),
    };
    vec![
        // One way untold: at a square corner stress is most at half a right angle, moment straight on.
        (
            post(square(90.0), 11.0, 1000.0),
            vec![leg(5, 1000.0, None, Some(0.0)), leg(5, 1000.0, None, None)],
        ),
        (
            post(rectangle, 11.0, 1000.0),
            vec![
                leg(5, 1500.0, Some(400.0), Some(0.0)),
                leg(4, 900.0, Some(150.0), None),
            ],
        ),
        (
            turning,
            vec![
                leg(4, 1200.0, Some(500.0), Some(0.0)),
                leg(3, 1400.0, None, None),
            ],
        ),
        (
            post(round, 11.0, 1000.0),
            vec![
                leg(4, 1200.0, None, Some(37.0)),
                leg(4, 700.0, Some(300.0), None),
            ],
        ),
        // Two of three untold.
        (
            post(rectangle, 11.0, 1000.0),
            vec![
                leg(3, 1500.0, None, Some(0.0)),
                leg(2, 900.0, None, None),
                leg(2, 1100.0, None, None),
            ],
        ),
    ]
}

#[test]
fn directions_that_are_not_told_beside_a_net_and_a_search() {
    let mut room = Room::of("posts.py");
    for (post, legs) in cases() {
        let ours = greatest_in_plan(&post, &legs).unwrap();
        let untold = legs.iter().filter(|leg| leg.heading.is_none()).count();
        let legs: Vec<Value> = legs.iter().map(told_leg).collect();
        let more = json!({"legs": legs, "net": if untold == 1 { 72 } else { 12 }, "bolts": 0.15});
        room.ask(asked("anyWay", &post, &[], more), move |told, found| {
            let mut figures = vec![
                ours.level_pull.value(),
                ours.base_moment.value(),
                ours.base_stress.value() * 1e6,
                ours.tip.value() / 1e3,
                ours.fixing_force.unwrap().value(),
            ];
            figures.extend(ours.rail_forces.iter().map(|force| force.value()));
            let figures: Vec<f64> = figures.into_iter().map(f64::abs).collect();
            found.each(
                "the greatest of a figure over all ways",
                &figures,
                told,
                SCANNED,
            );
        });
    }
    room.compare();
}
