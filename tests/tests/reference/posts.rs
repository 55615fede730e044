//! Posts under pulls in plan beside the finite elements of `posts.py`.
//! One file past 400 lines, since cases, their telling and their comparison are read together.

use mechanics::posts::{
    Hold, KnownPull, Post, PostAsPulled, PullInPlan, Rail, RailAsPulled, RailInPlan, Section,
    WirePull, demand_in_plan, modulus_from_pulls, post_from_pulls, post_movement, rail_from_pulls,
};
use mechanics::{Degrees, Figure, Megapascals, Millimetres, Newtons, NewtonsPerMillimetre, Origin};
use serde_json::{Value, json};

use crate::room::{Dice, Room, Told, Within, within};

const SOLVED: Within = within(
    1e-8,
    1e-9,
    "cubic elements are exact for pulls at their nodes; only the solver rounds",
);
const RIGID: Within = within(
    1e-7,
    1e-7,
    "ours lets a rigid rail give a thousand-millionth of the post, the reference not at all",
);
const QUARTER: f64 = 90.0;

pub(crate) fn post(section: Section, gigapascals: f64, height: f64) -> Post {
    Post {
        section,
        modulus: Figure::of(Megapascals(gigapascals * 1e3), Origin::Assumed),
        height: Millimetres(height),
        rail: None,
        base_turning: None,
        bolt_distance: Some(Millimetres(150.0)),
    }
}

pub(crate) const fn square(side: f64) -> Section {
    Section::Rectangle {
        along: Millimetres(side),
        across: Millimetres(side),
    }
}

/// The post as the script takes it: metres and newtons.
fn told_post(post: &Post) -> Value {
    let (kind, along, across, wall) = match post.section {
        Section::Rectangle { along, across } => ("rectangle", along, across, None),
        Section::RectangularTube {
            along,
            across,
            wall,
        } => ("rectangle", along, across, Some(wall)),
        Section::Round { diameter } => ("round", diameter, diameter, None),
        Section::RoundTube { diameter, wall } => ("round", diameter, diameter, Some(wall)),
    };
    json!({"kind": kind, "along": along.value() / 1e3, "across": across.value() / 1e3,
        "wall": wall.map(|wall| wall.value() / 1e3), "modulus": post.modulus.value.value() * 1e6,
        "height": post.height.value() / 1e3,
        "turning": post.base_turning.as_ref().map(|figure| figure.value / 1e3)})
}

fn told_rail(rail: &RailInPlan) -> Value {
    let stiffness = match rail.hold {
        Hold::Spring { stiffness } => Some(stiffness.value() * 1e3),
        Hold::Rigid => None,
    };
    json!({"height": rail.height.value() / 1e3, "stiffness": stiffness,
        "heading": rail.heading.radians()})
}

pub(crate) fn asked(ask: &str, post: &Post, rails: &[RailInPlan], more: Value) -> Value {
    let mut case = told_post(post);
    case["ask"] = json!(ask);
    case["rails"] = rails.iter().map(told_rail).collect();
    for (name, value) in more.as_object().unwrap() {
        case[name] = value.clone();
    }
    case
}

fn pull(height: f64, tension: f64, slope: f64, heading: f64) -> PullInPlan {
    PullInPlan {
        pull: WirePull {
            height: Millimetres(height),
            tension: Newtons(tension),
            slope: Degrees(slope),
        },
        heading: Degrees(heading),
    }
}

fn eleven(tension: f64, slope: f64, heading: f64) -> Vec<PullInPlan> {
    (1..=11)
        .map(|n| pull(80.0 * f64::from(n), tension, slope, heading))
        .collect()
}

fn rail(height: f64, stiffness: Option<f64>, heading: f64) -> RailInPlan {
    RailInPlan {
        height: Millimetres(height),
        hold: match stiffness {
            Some(stiffness) => Hold::Spring {
                stiffness: NewtonsPerMillimetre(stiffness),
            },
            None => Hold::Rigid,
        },
        heading: Degrees(heading),
    }
}

fn cases() -> Vec<(Post, Vec<RailInPlan>, Vec<PullInPlan>)> {
    let timber = || post(square(90.0), 11.0, 1000.0);
    let turning = |stiffness: f64| Post {
        base_turning: Some(Figure::of(stiffness, Origin::Measured)),
        ..timber()
    };
    let tube = Section::RectangularTube {
        along: Millimetres(60.0),
        across: Millimetres(40.0),
        wall: Millimetres(3.0),
    };
    let round = Section::RoundTube {
        diameter: Millimetres(48.3),
        wall: Millimetres(2.5),
    };
    let corner = |a: f64, b: f64| [eleven(a, 0.0, 0.0), eleven(b, 0.0, QUARTER)].concat();
    let mut all = vec![
        (timber(), vec![], eleven(1500.0, 0.0, 0.0)),
        (
            timber(),
            vec![rail(1000.0, Some(500.0), 0.0)],
            eleven(1500.0, 0.0, 0.0),
        ),
        (
            timber(),
            vec![rail(1000.0, None, 0.0)],
            eleven(1500.0, 0.0, 0.0),
        ),
        (timber(), vec![], eleven(1500.0, 36.0, 0.0)),
        (turning(1.0e8), vec![], eleven(1500.0, 0.0, 0.0)),
        (
            turning(3.0e7),
            vec![rail(1000.0, Some(500.0), 0.0)],
            eleven(1500.0, 0.0, 0.0),
        ),
        // Two runs on a corner post, a rail along one, along both, and props.
        (timber(), vec![], corner(1500.0, 1200.0)),
        (
            timber(),
            vec![rail(1000.0, Some(400.0), 0.0)],
            corner(1500.0, 1200.0),
        ),
        (
            timber(),
            vec![rail(1000.0, Some(400.0), 0.0), rail(950.0, None, QUARTER)],
            corner(1500.0, 1200.0),
        ),
        // Runs that meet at an obtuse angle, and a run that pulls the other way.
        (
            timber(),
            vec![],
            [eleven(1500.0, 0.0, 0.0), eleven(900.0, 0.0, 135.0)].concat(),
        ),
        (
            timber(),
            vec![],
            [eleven(1500.0, 0.0, 0.0), eleven(1500.0, 0.0, 180.0)].concat(),
        ),
        (
            post(tube, 210.0, 1050.0),
            vec![],
            eleven(1000.0, -20.0, 0.0),
        ),
        (
            post(tube, 210.0, 1050.0),
            vec![],
            eleven(1000.0, 0.0, QUARTER),
        ),
        (post(round, 193.0, 1000.0), vec![], corner(800.0, 600.0)),
        // A wire at the very base, and one above the top.
        (
            timber(),
            vec![],
            vec![pull(0.0, 1000.0, 0.0, 0.0), pull(1200.0, 10.0, 0.0, 0.0)],
        ),
    ];
    let mut dice = Dice::new(5);
    for _ in 0..20 {
        let side = dice.between(50.0, 150.0);
        let section = dice.pick(&[
            square(side),
            Section::Rectangle {
                along: Millimetres(side),
                across: Millimetres(side * 0.6),
            },
            Section::Round {
                diameter: Millimetres(side),
            },
            Section::RectangularTube {
                along: Millimetres(side),
                across: Millimetres(side * 0.7),
                wall: Millimetres(side * 0.06),
            },
        ]);
        let height = dice.between(700.0, 1800.0);
        let mut post = post(section, dice.between(8.0, 210.0), height);
        if dice.whole(0, 1) == 1 {
            let stiffness = dice.between(2.0e7, 1.0e9);
            post.base_turning = Some(Figure::of(stiffness, Origin::Measured));
        }
        let rails = (0..dice.whole(0, 3))
            .map(|_| {
                let stiffness = dice.between(20.0, 3000.0);
                let height = 20.0 * (height * dice.between(0.5, 1.0) / 20.0).round();
                rail(height, Some(stiffness), dice.between(-180.0, 180.0))
            })
            .collect();
        let pulls = (1..=dice.whole(1, 12))
            .map(|n| {
                let at = 20.0 * (height * f64::from(n) / 260.0).round();
                let heading = dice.pick(&[0.0, 90.0, 120.0, -45.0]);
                pull(
                    at,
                    dice.between(0.0, 2500.0),
                    dice.between(-40.0, 40.0),
                    heading,
                )
            })
            .collect();
        all.push((post, rails, pulls));
    }
    all
}

fn demand_and_movement_beside_finite_elements(room: &mut Room) {
    for (post, rails, pulls) in cases() {
        let ours = demand_in_plan(&post, &rails, &pulls).unwrap();
        let is_rigid = rails.iter().any(|rail| rail.hold == Hold::Rigid);
        let may = if is_rigid { RIGID } else { SOLVED };
        let told: Vec<Value> = pulls
            .iter()
            .map(|of| {
                json!({"height": of.pull.height.value() / 1e3, "tension": of.pull.tension,
                    "slope": of.pull.slope.radians(), "heading": of.heading.radians()})
            })
            .collect();
        let case = asked(
            "plan",
            &post,
            &rails,
            json!({"pulls": told, "bolts": 0.150}),
        );
        room.ask(case, move |told, found| {
            let metres =
                |of: &[Millimetres]| of.iter().map(|mm| mm.value() / 1e3).collect::<Vec<_>>();
            let newtons = |of: &[Newtons]| of.iter().map(|n| n.value()).collect::<Vec<_>>();
            found.each(
                "movement along wires",
                &metres(&ours.along_wires),
                &told["along"],
                may,
            );
            found.near(
                "movement of the top",
                ours.tip.value() / 1e3,
                &told["tip"],
                may,
            );
            found.near("level pull", ours.level_pull.value(), &told["level"], may);
            // Where pulls cancel, newtons of rounding are left of thousands.
            let left = within(
                1e-8,
                1e-5,
                "moments that cancel leave the solver's rounding",
            );
            found.near(
                "base moment",
                ours.base_moment.value(),
                &told["moment"],
                left,
            );
            let stress = within(1e-8, 0.1, "as the moment, in pascals");
            found.near(
                "base stress",
                ours.base_stress.value() * 1e6,
                &told["stress"],
                stress,
            );
            let fixing = ours.fixing_force.unwrap().value();
            let left = within(1e-8, 1e-4, "as the moment, over the bolts' distance");
            found.near("force on the fixings", fixing, &told["fixing"], left);
            let force = within(
                1e-7,
                1e-4,
                "as the solver leaves it, and as a rigid rail gives",
            );
            found.each(
                "rail forces",
                &newtons(&ours.rail_forces),
                &told["rails"],
                force,
            );
        });
    }
    // One run and its own rail, as the survey asks it.
    let railed = Post {
        rail: Some(Rail {
            height: Millimetres(1000.0),
            stiffness: NewtonsPerMillimetre(500.0),
        }),
        ..post(square(90.0), 11.0, 1000.0)
    };
    let all = eleven(1500.0, 30.0, 0.0);
    let rails = [rail(1000.0, Some(500.0), 0.0)];
    let ours = demand_in_plan(&railed, &rails, &all).unwrap();
    let pulls: Vec<WirePull> = all.iter().map(|of| of.pull).collect();
    let told: Vec<Value> = pulls
        .iter()
        .map(|of| {
            json!({"height": of.height.value() / 1e3, "tension": of.tension,
                "slope": of.slope.radians(), "heading": 0.0})
        })
        .collect();
    let case = asked(
        "plan",
        &railed,
        &rails,
        json!({"pulls": told, "bolts": 0.150}),
    );
    room.ask(case, move |told, found| {
        found.near(
            "base moment",
            ours.base_moment.value(),
            &told["moment"],
            SOLVED,
        );
        found.near(
            "rail forces",
            ours.rail_forces[0].value(),
            &told["rails"][0],
            SOLVED,
        );
    });
}

fn known(moved: &Value, height: f64) -> KnownPull {
    KnownPull {
        height: Millimetres(height),
        pull: Newtons(600.0),
        moved: Millimetres(moved.as_f64().unwrap() * 1e3),
    }
}

/// What a pull tells is compared with what the post of the elements was given.
fn known_pulls_give_back_what_the_elements_were_given(room: &mut Room) {
    let undone = within(
        1e-6,
        0.0,
        "a small difference of two movements: the solver's rounding weighs more",
    );
    for (side, gigapascals, turning, height) in [
        (90.0, 11.0, 1.0e8, 900.0),
        (120.0, 8.0, 5.0e8, 1000.0),
        (70.0, 14.0, 4.0e7, 500.0),
    ] {
        let stiff = post(square(side), gigapascals, 1000.0);
        let turned = Post {
            base_turning: Some(Figure::of(turning, Origin::Measured)),
            ..stiff.clone()
        };
        let pulled = json!({"at": height / 1e3, "pull": 600.0});
        let of = stiff.clone();
        room.ask(
            asked("known", &turned, &[], pulled.clone()),
            move |moved, found| {
                let tells = post_from_pulls(&of, &[known(moved, height)]).unwrap();
                let Some(PostAsPulled::Turns(stiffness)) = tells else {
                    panic!("{tells:?}");
                };
                found.near(
                    "turning stiffness from a pull",
                    stiffness,
                    &json!(turning),
                    undone,
                );
            },
        );
        let of = stiff.clone();
        room.ask(
            asked("known", &stiff, &[], pulled.clone()),
            move |moved, found| {
                let tells = modulus_from_pulls(&of, &[known(moved, height)]).unwrap();
                let modulus = tells.unwrap().value();
                found.near(
                    "modulus from a pull",
                    modulus,
                    &json!(gigapascals * 1e3),
                    undone,
                );
                let pull = WirePull {
                    height: Millimetres(height),
                    tension: Newtons(600.0),
                    slope: Degrees(0.0),
                };
                let ours = post_movement(&of, &[pull], Millimetres(height)).unwrap();
                found.near("movement at a height", ours.value() / 1e3, moved, SOLVED);
            },
        );
        for stiffness in [50.0, 400.0] {
            let of = turned.clone();
            let rails = [rail(980.0, Some(stiffness), 0.0)];
            room.ask(
                asked("known", &turned, &rails, pulled.clone()),
                move |moved, found: &mut Told| {
                    let at = Millimetres(980.0);
                    let tells = rail_from_pulls(&of, at, &[known(moved, height)]).unwrap();
                    let Some(RailAsPulled::Holds(rail)) = tells else {
                        panic!("{tells:?}");
                    };
                    found.near(
                        "rail from a pull",
                        rail.stiffness.value(),
                        &json!(stiffness),
                        undone,
                    );
                },
            );
        }
    }
}

#[test]
fn posts_beside_finite_elements() {
    let mut room = Room::of("posts.py");
    demand_and_movement_beside_finite_elements(&mut room);
    known_pulls_give_back_what_the_elements_were_given(&mut room);
    room.compare();
}
