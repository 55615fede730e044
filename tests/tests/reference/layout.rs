//! Slopes, corners, stairs, gates, floors and holes beside the geometry of `layout.py`.

use mechanics::corner::tension_behind;
use mechanics::holes::{
    BlindHole, Drilling, HoleDepth, PostFace, PostPlan, PostToDrill, RunFace, schedule,
    wood_between,
};
use mechanics::slope::{
    along, hole_height_difference, level, plumb, rail_top, square, stair_slope,
};
use mechanics::spacing::{
    FloorAsk, FloorBase, FloorPoint, GateAsk, RunAtPost, StaggerAsk, StairAsk, floor_gaps,
    gate_gaps, highest_line, stagger, stair_triangle,
};
use mechanics::{Degrees, Millimetres, Newtons};
use serde_json::{Value, json};

use crate::room::{Dice, Room, Within, within};

const SAME: Within = within(1e-11, 1e-9, "the same geometry by vectors, in doubles");

fn mm(value: f64) -> Millimetres {
    Millimetres(value)
}

fn slopes_and_corners_beside_vectors_and_integrals(room: &mut Room) {
    for (riser, going) in [(180.0, 250.0), (150.0, 300.0), (1.0, 1000.0), (190.0, 60.0)] {
        let slope = stair_slope(mm(riser), mm(going)).unwrap();
        let post = PostToDrill {
            label: "A1".to_owned(),
            width_along: mm(90.0),
            drilling: Drilling::Through { diameter: mm(9.0) },
            wire_heights: vec![mm(400.0)],
        };
        let holes = schedule(&[post], slope).unwrap();
        let case = json!({"ask": "slope", "riser": riser, "going": going, "level": 1000.0,
            "plumb": 80.0, "width": 90.0, "under": 870.0, "deep": 35.0});
        room.ask(case, move |told, found| {
            let rise = hole_height_difference(mm(90.0), slope).unwrap();
            let top = rail_top(mm(870.0), mm(35.0), slope).unwrap();
            let long = along(mm(1000.0), slope).unwrap();
            let across = square(mm(80.0), slope).unwrap();
            found.near("slope of a stair", slope.value(), &told["degrees"], SAME);
            found.near(
                "level length along the slope",
                long.value(),
                &told["along"],
                SAME,
            );
            found.near(
                "and level again",
                level(long, slope).unwrap().value(),
                &json!(1000.0),
                SAME,
            );
            found.near(
                "plumb distance square",
                across.value(),
                &told["square"],
                SAME,
            );
            found.near(
                "and plumb again",
                plumb(across, slope).unwrap().value(),
                &json!(80.0),
                SAME,
            );
            found.near("rise of a hole", rise.value(), &told["rise"], SAME);
            found.near("top of a rail", top.value(), &told["railTop"], SAME);
            let faces = |face| holes.iter().find(|hole| hole.face == face).unwrap();
            let (start, end) = (faces(RunFace::TowardsStart), faces(RunFace::TowardsEnd));
            found.near(
                "heights on both faces",
                (end.height - start.height).value(),
                &told["rise"],
                SAME,
            );
            let HoleDepth::Through { length } = end.depth else {
                panic!("a hole through");
            };
            found.near(
                "length of a hole through",
                length.value(),
                &told["hole"],
                SAME,
            );
        });
    }
    for (degrees, friction) in [
        (90.0, 0.2),
        (90.0, 0.1),
        (35.0, 0.3),
        (60.0, 0.2),
        (150.0, 0.0),
    ] {
        let bend = Degrees(degrees);
        let behind = tension_behind(Newtons(1000.0), friction, bend).unwrap();
        let case = json!({"ask": "corner", "bend": bend.radians(), "friction": friction,
            "tension": 1000.0});
        room.ask(case, move |told, found| {
            let may = within(
                1e-9,
                0.0,
                "stepped round the bend to a relative 1e-11 a step",
            );
            found.near("tension behind a bend", behind.value(), told, may);
        });
    }
}

fn stairs_gates_and_floors_beside_a_search(room: &mut Room) {
    let searched = within(
        0.0,
        2e-4,
        "a net closed in to a ten-millionth, over edges of the steps",
    );
    for (riser, going, overhang, line) in [
        (180.0, 250.0, 0.0, 0.0),
        (180.0, 250.0, 25.0, 0.0),
        (180.0, 250.0, 0.0, 40.0),
        (180.0, 250.0, 25.0, 60.0),
        (150.0, 300.0, 20.0, 15.0),
        (190.0, 240.0, 0.0, 100.0),
        (175.0, 280.0, 30.0, 5.0),
    ] {
        let ask = StairAsk {
            riser: mm(riser),
            going: mm(going),
            overhang: mm(overhang),
            line: mm(line),
        };
        let ours = stair_triangle(&ask).unwrap();
        let case = json!({"ask": "stair", "riser": riser, "going": going, "overhang": overhang,
            "line": line});
        room.ask(case, move |told, found| {
            found.near(
                "largest sphere of a stair",
                ours.sphere.value(),
                told,
                searched,
            );
        });
        // Below the highest line a sphere of 152 mm just passes.
        if let Some(highest) = highest_line(&ask, mm(152.0)).unwrap() {
            let case = json!({"ask": "stair", "riser": riser, "going": going, "overhang": overhang,
                "line": highest});
            room.ask(case, move |told, found| {
                let may = within(0.0, 5e-4, "as the sphere, through the line's height");
                found.near("sphere below the highest line", 152.0, told, may);
            });
        }
    }
    for (width, thick) in [(900.0, 40.0), (1200.0, 20.0), (300.0, 90.0)] {
        let ours = gate_gaps(&GateAsk {
            clear_before: mm(width + 30.0),
            opens_by: (mm(0.0), mm(3.0)),
            leaf_width: mm(width),
            leaf_thickness: Some(mm(thick)),
            hinge_gap: Some(mm(10.0)),
            sphere: None,
        })
        .unwrap();
        room.ask(
            json!({"ask": "leaf", "width": width, "thick": thick}),
            move |told, found| {
                let may = within(
                    0.0,
                    1e-8,
                    "the farthest reach of a turning corner, which is flat there",
                );
                found.near(
                    "what a swinging leaf needs",
                    ours.swing_needs.unwrap().value(),
                    told,
                    may,
                );
            },
        );
    }
    let points: Vec<FloorPoint> = [
        (0.0, 0.0, true),
        (700.0, -14.0, false),
        (1470.0, -22.0, true),
        (2970.0, -31.0, true),
        (3500.0, -47.0, false),
        (4250.0, -40.0, true),
    ]
    .into_iter()
    .map(|(along, level, post)| FloorPoint {
        label: format!("{along}"),
        along: mm(along),
        level: mm(level),
        post,
    })
    .collect();
    for base in [FloorBase::FollowsFloor, FloorBase::Level] {
        let ours = floor_gaps(&FloorAsk {
            points: points.clone(),
            base,
            bottom_wire: mm(90.0),
            diameter: mm(3.2),
            top: None,
            coming_floor: mm(0.0),
            sphere: None,
        })
        .unwrap();
        let case = json!({"ask": "floor", "points": points, "isLevel": base == FloorBase::Level,
            "bottom": 90.0, "diameter": 3.2});
        room.ask(case, move |told, found| {
            let clear: Vec<f64> = ours.gaps.iter().map(|gap| gap.clear.value()).collect();
            let may = within(0.0, 6e-7, "ours rounds to the record's whole nanometres");
            found.each("clear below the bottom wire", &clear, told, may);
        });
    }
}

/// Ours takes the distance along one axis, so it is never more than the true one.
fn wood_between_holes_is_never_more_than_there_is(room: &mut Room) {
    let post = PostPlan {
        wide: mm(90.0),
        deep: mm(90.0),
    };
    let mut dice = Dice::new(15);
    let mut equal = 0;
    for n in 0..40 {
        let level = n % 4 == 0;
        let mut hole = |label: &str, face| BlindHole {
            label: label.to_owned(),
            face,
            height: mm(dice.between(400.0, 470.0).round()),
            offset: mm(if level {
                0.0
            } else {
                dice.between(-20.0, 20.0).round()
            }),
            diameter: mm(9.0),
            depth: mm(dice.between(25.0, 60.0).round()),
            rise: Degrees(if level {
                0.0
            } else {
                dice.between(-35.0, 35.0)
            }),
        };
        let faces = if level {
            [PostFace::Front, PostFace::Front]
        } else {
            [PostFace::Front, PostFace::Right]
        };
        let holes = [hole("A", faces[0]), hole("B", faces[1])];
        let pairs = wood_between(post, &holes, mm(1000.0)).unwrap();
        let ours = pairs[0].wood.value();
        // Axes of the holes in the post: across, into the post from its front, and up.
        let axis = |hole: &BlindHole| {
            let (flat, up) = (hole.rise.radians().cos(), hole.rise.radians().sin());
            let (deep, x) = (hole.depth.value(), hole.offset.value());
            let z = hole.height.value();
            let (from, way) = match hole.face {
                PostFace::Front => ([45.0 + x, 0.0, z], [0.0, flat, up]),
                _ => ([90.0, 45.0 + x, z], [-flat, 0.0, up]),
            };
            let to: Vec<f64> = from
                .iter()
                .zip(way)
                .map(|(from, way)| from + deep * way)
                .collect();
            json!({"from": from, "to": to, "diameter": hole.diameter})
        };
        let told = json!({"ask": "holes", "holes": holes.iter().map(axis).collect::<Vec<_>>()});
        // Holes side by side or one above the other lie apart along one axis alone.
        equal += usize::from(level);
        room.ask(told, move |told, found| {
            let real = told.as_f64().unwrap();
            let never = ours <= real + 1e-5;
            found.holds("no more than the true distance", never, || {
                format!("{ours} over {real}")
            });
            if level {
                // Holes that meet are below zero to ours, and nought apart to the reference.
                let may = within(
                    0.0,
                    1e-5,
                    "level holes of one face lie apart along one axis alone",
                );
                found.near("wood between level holes", ours.max(0.0), told, may);
            }
        });
    }
    assert!(equal > 5, "{equal} pairs apart along one axis");
}

/// A run's holes in a post of 90×90 as the script takes them: axes across, into the post from its front, up.
fn solids(run: &RunAtPost) -> Vec<Value> {
    let (flat, up) = (run.rise.radians().cos(), run.rise.radians().sin());
    let (deep, x) = (run.depth.value(), run.offset.value());
    let of = |height: &Millimetres| {
        let z = height.value();
        let (from, way) = match run.face {
            PostFace::Front => ([45.0 + x, 0.0, z], [0.0, flat, up]),
            _ => ([90.0, 45.0 + x, z], [-flat, 0.0, up]),
        };
        let to: Vec<f64> = from
            .iter()
            .zip(way)
            .map(|(from, way)| from + deep * way)
            .collect();
        json!({"from": from, "to": to, "diameter": run.diameter})
    };
    run.heights.iter().map(of).collect()
}

/// Where holes lie apart along one axis alone the way is the least there is; elsewhere ours is never less.
fn staggers_beside_every_step_tried(room: &mut Room) {
    let mut dice = Dice::new(31);
    let (mut moved, mut exact) = (0, 0);
    for n in 0..14 {
        let one_face = n % 2 == 0;
        let run = |dice: &mut Dice, label: &str, face, wires: u32| RunAtPost {
            label: label.to_owned(),
            face,
            heights: (1..=wires)
                .map(|wire| mm(76.0 * f64::from(wire) + dice.between(0.0, 30.0).round()))
                .collect(),
            offset: mm(0.0),
            diameter: mm(9.0),
            depth: mm(dice.between(40.0, 60.0).round()),
            rise: Degrees(if one_face {
                0.0
            } else {
                dice.between(-36.0, 36.0)
            }),
        };
        let face = if one_face {
            PostFace::Front
        } else {
            PostFace::Right
        };
        let ask = StaggerAsk {
            post: PostPlan {
                wide: mm(90.0),
                deep: mm(90.0),
            },
            stays: run(&mut dice, "A", PostFace::Front, 3),
            moves: run(&mut dice, "B", face, 2),
            least_wood: mm(f64::from(dice.whole(8, 16))),
            step: mm(1.0),
            most: mm(40.0),
        };
        let ours = stagger(&ask).unwrap();
        let told: Vec<f64> = [ours.up, ours.down.map(|down| -down)]
            .into_iter()
            .flatten()
            .map(Millimetres::value)
            .collect();
        moved += usize::from(told.iter().any(|moved| *moved != 0.0));
        let case = json!({"ask": "stagger", "stays": solids(&ask.stays), "moves": solids(&ask.moves),
            "least": ask.least_wood, "step": ask.step, "most": ask.most, "told": told});
        exact += usize::from(one_face);
        room.ask(case, move |told, found| {
            let clear = told["told"].as_array().unwrap();
            let all = clear.iter().all(|clear| *clear == json!(true));
            found.holds("what is told clears every pair", all, || told.to_string());
            for (name, ours) in [("up", ours.up), ("down", ours.down)] {
                let least = told[name].as_f64();
                let ours = ours.map(Millimetres::value);
                let holds = match (one_face, ours, least) {
                    (true, ours, least) => ours == least,
                    (false, Some(ours), Some(least)) => ours >= least,
                    // Ours sees less wood than there is, and may find no way.
                    (false, None, _) => true,
                    (false, Some(_), None) => false,
                };
                found.holds("no way is told shorter than it is", holds, || {
                    format!("{name}: {ours:?} beside {least:?}")
                });
            }
        });
    }
    assert!(moved > 5 && exact > 5, "{moved} moved, {exact} exact");
}

#[test]
fn layouts_beside_vectors_and_searches() {
    let mut room = Room::of("layout.py");
    slopes_and_corners_beside_vectors_and_integrals(&mut room);
    stairs_gates_and_floors_beside_a_search(&mut room);
    wood_between_holes_is_never_more_than_there_is(&mut room);
    staggers_beside_every_step_tried(&mut room);
    room.compare();
}
