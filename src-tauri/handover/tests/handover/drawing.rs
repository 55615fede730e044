//! A run drawn: what stands where, and how it prints.

use crate::common::site;
use handover::drawing::{
    Drawing, Paper, Role, Shape, State, States, WireState, drawing, signs, states, svg,
};
use records::model::fields;
use records::model::values::LowSpot;
use records::subject::Subject;

fn drawn(of: impl Fn(&site::Built) -> records::ids::ItemId, built: &mut site::Built) -> Drawing {
    let id = of(built);
    built.site.with(|source| {
        let run = source.job.run(id).unwrap();
        drawing(run, &states(source.job, run))
    })
}

fn wire(drawing: &Drawing, run: records::ids::ItemId, number: u32) -> (f64, f64, f64, f64, State) {
    let subject = Subject::Wire(run, number).to_string();
    drawing
        .shapes
        .iter()
        .find_map(|s| match s {
            Shape::Line {
                x1, y1, x2, y2, is, ..
            } if is.role == Role::Wire && is.subject.as_ref() == Some(&subject) => {
                Some((*x1, *y1, *x2, *y2, is.state.unwrap()))
            }
            _ => None,
        })
        .unwrap()
}

fn texts(drawing: &Drawing, role: Role) -> Vec<String> {
    drawing
        .shapes
        .iter()
        .filter_map(|s| match s {
            Shape::Text { text, is, .. } if is.role == role => Some(text.clone()),
            _ => None,
        })
        .collect()
}

#[test]
fn a_level_run_stands_to_scale_and_tells_its_states() {
    let mut built = site::build("Deck and stair");
    let id = built.run_a;
    let drawing = drawn(|b| b.run_a, &mut built);
    assert_eq!(
        texts(&drawing, Role::PostName),
        ["A1", "A2", "A3", "A4", "A4a", "A5", "A6"]
    );
    assert_eq!(
        texts(&drawing, Role::BayLength),
        ["1380", "1410", "1395", "735", "735", "1195"]
    );
    assert_eq!(
        texts(&drawing, Role::FloorLevel),
        ["0", "−3", "−5", "−8", "−9", "−10", "−12"]
    );
    assert_eq!(texts(&drawing, Role::WireNumber).len(), 12);
    assert_eq!(texts(&drawing, Role::End), ["LH insert", "RH insert"]);
    assert_eq!(texts(&drawing, Role::Opening), ["62"]);
    // Middle to middle: the clear lengths, five 90 mm posts and two halves of 115 mm.
    let (x1, low, x2, low_end, state) = wire(&drawing, id, 1);
    assert!(
        (x2 - x1 - (6850.0 + 450.0 + 115.0)).abs() < 1e-6,
        "{}",
        x2 - x1
    );
    let (_, high, _, _, top) = wire(&drawing, id, 12);
    assert!((low - high - 11.0 * 76.0).abs() < 1e-6);
    assert!(
        (low_end - low - 12.0).abs() < 1e-6,
        "the template follows the floor"
    );
    assert_eq!(state, State::Checked);
    assert_eq!(top, State::Below, "1310 N read, 1330 N required");
    for shape in &drawing.shapes {
        if let Shape::Text { x, y, .. } | Shape::Mark { x, y, .. } = shape {
            assert!(
                (0.0..=drawing.width).contains(x) && (0.0..=drawing.height).contains(y),
                "{shape:?}"
            );
        }
    }
}

#[test]
fn a_raked_run_falls_with_its_stair() {
    let mut built = site::build("Deck and stair");
    let id = built.run_b;
    let drawing = drawn(|b| b.run_b, &mut built);
    let (x1, y1, x2, y2, state) = wire(&drawing, id, 4);
    // Rise 178 on a going of 250: the slope of the stair, downwards to the right.
    assert!(((y2 - y1) / (x2 - x1) - 178.0 / 250.0).abs() < 1e-9);
    assert_eq!(state, State::Measured);
    let steps = drawing
        .shapes
        .iter()
        .filter(|s| matches!(s, Shape::Line { is, .. } if is.role == Role::Stair))
        .count();
    assert!(steps >= 18, "{steps} lines of risers and treads");
    assert!(
        drawing
            .shapes
            .iter()
            .any(|s| matches!(s, Shape::Line { is, .. } if is.role == Role::Nosing))
    );
    assert_eq!(
        texts(&drawing, Role::BayLength),
        ["(985)", "(985)"],
        "from positions, not measured"
    );
}

/// Floor lines from left to right, as places where they begin.
fn floor(drawing: &Drawing) -> Vec<(f64, f64)> {
    let lines = drawing.shapes.iter().filter_map(|s| match s {
        Shape::Line { x1, y1, is, .. } if is.role == Role::Floor => Some((*x1, *y1)),
        _ => None,
    });
    lines.collect()
}

fn told_low(built: &mut site::Built, bay: usize, level: f64, from_left: Option<f64>) -> Subject {
    let id = built.run_a;
    let bay = built
        .site
        .with(|source| source.job.run(id).unwrap().bays[bay].subject);
    let spot = LowSpot {
        level_nm: site::mm(level).nm,
        from_left_nm: from_left.map(|far| site::mm(far).nm),
    };
    built
        .site
        .one(crate::common::claim(fields::BAY_LOW_SPOT, &bay, &spot));
    bay
}

#[test]
fn the_floor_is_drawn_through_its_low_spots() {
    let mut built = site::build("Deck and stair");
    let before = drawn(|b| b.run_a, &mut built);
    // In the second bay, 705 from the face of A2; in the third nobody told where.
    let bay = told_low(&mut built, 1, -45.0, Some(705.0));
    told_low(&mut built, 2, -20.0, None);
    let drawing = drawn(|b| b.run_a, &mut built);
    assert_eq!(texts(&drawing, Role::LowSpot), ["low −45", "(low −20)"]);
    let subject = bay.to_string();
    assert!(
        drawing
            .shapes
            .iter()
            .any(|s| matches!(s, Shape::Text { text, is, .. }
        if text == "low −45" && is.subject.as_ref() == Some(&subject)))
    );
    let (path, plain) = (floor(&drawing), floor(&before));
    assert_eq!(path.len(), plain.len() + 2);
    assert!(path.is_sorted_by(|a, b| a.0 <= b.0), "{path:?}");
    // The first line begins beside the first post, the second at it: level 0.
    let (x0, y0) = path[1];
    // A2's middle from A1's is 57.5 + 1380 + 45; its face 45 farther, the spot 705 from there.
    let spots: Vec<(f64, f64)> = path.iter().map(|(x, y)| (x - x0, y0 - y)).collect();
    let near = |x: f64, level: f64| {
        spots
            .iter()
            .any(|spot| (spot.0 - x).abs() < 1e-6 && (spot.1 - level).abs() < 1e-6)
    };
    assert!(near(1482.5 + 45.0 + 705.0, -45.0), "{spots:?}");
    // A3 stands 90 and 1410 farther; the middle of 1395 from its face.
    assert!(near(1482.5 + 1500.0 + 45.0 + 697.5, -20.0), "{spots:?}");
    // Wires stay straight between the posts.
    assert_eq!(
        wire(&drawing, built.run_a, 1).3 - wire(&drawing, built.run_a, 1).1,
        wire(&before, built.run_a, 1).3 - wire(&before, built.run_a, 1).1
    );
    for shape in &drawing.shapes {
        if let Shape::Text { y, .. } = shape {
            assert!((0.0..=drawing.height).contains(y), "{shape:?}");
        }
    }
    let id = built.run_a;
    let said = built
        .site
        .with(|source| signs(source.job.run(id).unwrap(), &drawing));
    assert!(
        said.iter()
            .any(|s| s.starts_with("low: the lowest level") && s.contains("in brackets")),
        "{said:?}"
    );
    let paper = Paper {
        width: 170.0,
        height: 60.0,
        text: 2.5,
    };
    assert!(svg(&drawing, &paper).contains(">low −45</text>"));
}

#[test]
fn a_rake_has_no_low_spots() {
    let mut built = site::build("Deck and stair");
    let id = built.run_b;
    let bay = built
        .site
        .with(|source| source.job.run(id).unwrap().bays[0].subject);
    let spot = LowSpot {
        level_nm: -20_000_000,
        from_left_nm: None,
    };
    built
        .site
        .one(crate::common::claim(fields::BAY_LOW_SPOT, &bay, &spot));
    let drawing = drawn(|b| b.run_b, &mut built);
    assert_eq!(texts(&drawing, Role::LowSpot), [""; 0]);
}

#[test]
fn an_empty_run_draws_without_fail() {
    let mut site = crate::common::Site::new("Nothing yet", "nowhere");
    let id = site.new_item(records::subject::ItemKind::Run, Vec::new());
    site.with(|source| {
        let run = source.job.run(id).unwrap();
        let drawing = drawing(run, &states(source.job, run));
        assert!(drawing.width > 0.0 && drawing.height > 0.0);
        assert!(drawing.shapes.is_empty(), "{:?}", drawing.shapes);
    });
}

#[test]
fn shapes_travel_as_camel_case_json() {
    let mut built = site::build("Deck and stair");
    let drawing = drawn(|b| b.run_a, &mut built);
    let value = serde_json::to_value(&drawing).unwrap();
    let shapes = value["shapes"].as_array().unwrap();
    let line = shapes
        .iter()
        .find(|s| s["role"] == "wire" && s["kind"] == "line")
        .unwrap();
    assert_eq!(line["state"], "checked");
    assert!(line["subject"].as_str().unwrap().starts_with("wire:"));
    assert!(line["x1"].is_f64());
    assert!(
        shapes
            .iter()
            .any(|s| s["role"] == "bayLength" && s["anchor"] == "middle")
    );
    assert_eq!(
        serde_json::from_value::<Drawing>(value.clone()).unwrap(),
        drawing
    );
}

/// What a grey print keeps of a picture: no colour, and no weight of letters.
fn grey(picture: &str) -> String {
    let mut out = String::new();
    let mut rest = picture;
    while let Some((before, after)) = rest.split_once("=\"#") {
        out.push_str(before);
        rest = after.split_once('"').map_or("", |(_, after)| after);
    }
    out.push_str(rest);
    out.replace(" font-weight=\"bold\"", "")
}

#[test]
fn grey_print_tells_every_state_apart() {
    use std::collections::BTreeSet;
    let mut built = site::build("Deck and stair");
    let id = built.run_a;
    let of_wires = [
        State::None,
        State::Interpolated,
        State::Measured,
        State::Cut,
        State::Read,
        State::Fitted,
        State::Tensioned,
        State::Checked,
        State::Rejected,
        State::Thread,
        State::Over,
        State::ReadAgain,
        State::Below,
        State::Disputed,
        State::Newer,
    ];
    let of_bays = [
        State::None,
        State::OfferAgain,
        State::Checked,
        State::Passes,
        State::Disputed,
    ];
    let of_posts = [State::None, State::Disputed];
    let paper = Paper {
        width: 170.0,
        height: 60.0,
        text: 2.5,
    };
    built.site.with(|source| {
        let run = source.job.run(id).unwrap();
        let print = |states: &States| grey(&svg(&drawing(run, states), &paper));
        let apart = |of: &[State], one: &dyn Fn(State) -> States| {
            let prints: BTreeSet<String> = of.iter().map(|s| print(&one(*s))).collect();
            assert_eq!(prints.len(), of.len(), "{of:?}");
            let letters: BTreeSet<&str> = of.iter().map(|s| s.letter()).collect();
            assert_eq!(letters.len(), of.len(), "letters of {of:?}");
        };
        let (bay, post) = (run.bays[1].subject, Subject::post(run.posts[2].id));
        let wires = |state: State| States {
            wires: [(3, WireState { state })].into(),
            ..States::default()
        };
        apart(&of_wires, &wires);
        // The line alone tells a wire's states apart, where its letter has no room.
        let line = |state: State| {
            let mut drawn = drawing(run, &wires(state));
            drawn.shapes.retain(|s| matches!(s, Shape::Line { .. }));
            grey(&svg(&drawn, &paper))
        };
        let lines: BTreeSet<String> = of_wires.iter().map(|s| line(*s)).collect();
        assert_eq!(lines.len(), of_wires.len(), "thickness and dashes alone");
        apart(&of_bays, &|state| States {
            bays: [(bay, state)].into(),
            ..States::default()
        });
        apart(&of_posts, &|state| States {
            posts: [(post, state)].into(),
            ..States::default()
        });
        // Every opening that the probe passed has its own place, the lowest and the highest too.
        let places: BTreeSet<String> = (0..=12)
            .map(|lower| {
                print(&States {
                    passes: [(bay, vec![lower])].into(),
                    ..States::default()
                })
            })
            .chain([print(&States::default())])
            .collect();
        assert_eq!(places.len(), 14);
    });
}

/// A drawing of one name, as markup.
fn named(name: &str) -> String {
    let is = handover::drawing::Is {
        role: Role::PostName,
        subject: None,
        state: None,
    };
    let text = Shape::Text {
        x: 1.0,
        y: 1.0,
        text: name.into(),
        anchor: handover::drawing::Anchor::Middle,
        size: None,
        is,
    };
    let drawing = Drawing {
        width: 10.0,
        height: 10.0,
        shapes: vec![text],
    };
    let paper = Paper {
        width: 100.0,
        height: 100.0,
        text: 2.5,
    };
    svg(&drawing, &paper)
}

#[test]
fn texts_in_svg_are_escaped_and_cut_where_they_would_leave_the_paper() {
    for (name, shown) in [
        ("</text>\"'&", "&lt;/text&gt;&quot;&#39;&amp;</text>"),
        (
            "<g>\u{202e}\u{0000}",
            "&lt;g&gt;&lt;U+202E&gt;&lt;U+0000&gt;</text>",
        ),
        (
            "</text><script>alert",
            "&lt;/text&gt;&lt;script&gt;a…</text>",
        ),
        ("RH through-bolt", "RH through-bolt</text>"),
    ] {
        let svg = named(name);
        assert!(svg.contains(shown), "{shown} in {svg}");
        assert_eq!(svg.matches("<text").count(), 1);
    }
    let long = named(&"\u{202e}".repeat(200));
    assert!(long.contains('…') && long.len() < 500, "{long}");
}
