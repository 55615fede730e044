//! Layouts held against rule sets. One file past 400 lines, since all go by one layout and its changes.

use mechanics::assessment::{
    Assessment, Bay, Layout, Opening, OpeningKind, Quantity, Taken, Topic, Unmeasured, Verdict,
    WireDirection, assess,
};
use mechanics::rules::{RuleSet, Status, Surface};
use mechanics::strand::Construction;
use mechanics::{Degrees, Millimetres, Newtons};

use crate::{au, irc};

pub(crate) fn bay(label: &str, clear: f64) -> Bay {
    Bay {
        label: label.to_owned(),
        clear: Millimetres(clear),
        taken: Taken::AsTheWire,
        widest_spacing: None,
    }
}

pub(crate) fn opening(label: &str, kind: OpeningKind, clear: f64) -> Opening {
    Opening {
        probe_passed: false,
        label: label.to_owned(),
        kind,
        clear: Millimetres(clear),
    }
}

pub(crate) fn deck() -> Layout {
    Layout {
        label: "A".to_owned(),
        surface: Surface::Level,
        surface_told: true,
        fall: Millimetres(1602.0),
        barrier_height: Some(Millimetres(1020.0)),
        direction: WireDirection::Horizontal,
        slope: Degrees(0.0),
        diameter: Millimetres(3.2),
        construction: Construction::OneByNineteen,
        widest_spacing: Millimetres(76.0),
        spacing_taken: Taken::AsTheWire,
        bays: vec![bay("A2–A3", 1410.0)],
        openings: Vec::new(),
        unmeasured: Vec::new(),
        wire_heights: (1..=12).map(|n| Millimetres(76.0 * f64::from(n))).collect(),
        pool: Some(false),
    }
}

fn only(answer: &Assessment, topic: Topic) -> mechanics::assessment::Finding {
    let found: Vec<_> = answer
        .findings
        .iter()
        .filter(|finding| finding.topic == topic)
        .collect();
    assert_eq!(found.len(), 1, "{found:?}");
    found[0].clone()
}

fn changed(set: &RuleSet, change: impl FnOnce(&mut Layout)) -> Assessment {
    let mut layout = deck();
    change(&mut layout);
    assess(set, &layout).unwrap()
}

#[test]
fn height_is_told_in_figures() {
    let answer = changed(&au(), |_| {});
    let height = only(&answer, Topic::Height);
    assert_eq!(height.verdict, Verdict::MeetsFigure);
    assert_eq!(
        height.margin,
        Some(Quantity::Millimetres(Millimetres(20.0)))
    );
    assert!(
        height
            .sentence
            .starts_with("1000 mm asked above the floor, 1020 mm given, 20 mm over."),
        "{}",
        height.sentence
    );
    assert_eq!(height.source.clause, "11.3.4(2)");
    assert_eq!(height.source.status, Status::Read);
    let low = changed(&au(), |layout| {
        layout.barrier_height = Some(Millimetres(999.0));
    });
    let low = only(&low, Topic::Height);
    assert_eq!(low.verdict, Verdict::Short);
    assert!(low.sentence.contains("1 mm short"));
    let exact = changed(&au(), |layout| {
        layout.barrier_height = Some(Millimetres(1000.0));
    });
    let exact = only(&exact, Topic::Height);
    assert_eq!(exact.verdict, Verdict::MeetsFigure);
    assert_eq!(exact.margin, Some(Quantity::Millimetres(Millimetres(0.0))));
    let unknown = changed(&au(), |layout| layout.barrier_height = None);
    assert_eq!(only(&unknown, Topic::Height).verdict, Verdict::Asked);
}

#[test]
fn boundaries_of_the_fall() {
    for (fall, needed, climbing) in [
        (999.0, Verdict::NotAsked, Verdict::NotAsked),
        (1000.0, Verdict::Asked, Verdict::NotAsked),
        (4000.0, Verdict::Asked, Verdict::NotAsked),
        (4001.0, Verdict::Asked, Verdict::AskFirst),
    ] {
        let answer = changed(&au(), |layout| layout.fall = Millimetres(fall));
        assert_eq!(
            only(&answer, Topic::BarrierNeeded).margin,
            None,
            "a trigger leaves no margin"
        );
        assert_eq!(
            only(&answer, Topic::BarrierNeeded).verdict,
            needed,
            "{fall}"
        );
        let found = only(&answer, Topic::Climbing);
        assert_eq!(found.verdict, climbing, "{fall}");
        if fall > 4000.0 {
            // 152, 228 … 760: nine wires of 76 mm spacing in 150 … 760.
            assert!(found.sentence.contains("9 wires"), "{}", found.sentence);
        }
    }
    for (fall, needed) in [(762.0, Verdict::NotAsked), (763.0, Verdict::Asked)] {
        let answer = changed(&irc(), |layout| layout.fall = Millimetres(fall));
        assert_eq!(
            only(&answer, Topic::BarrierNeeded).verdict,
            needed,
            "{fall}"
        );
    }
}

#[test]
fn an_opening_as_large_as_the_sphere_lets_it_pass() {
    let verdict = |clear, kind| {
        let answer = changed(&au(), |layout| {
            layout.openings = vec![opening("x", kind, clear)];
        });
        answer
            .findings
            .iter()
            .find(|finding| finding.place == "x")
            .unwrap()
            .verdict
    };
    assert_eq!(
        verdict(124.9, OpeningKind::PostToWall),
        Verdict::MeetsFigure
    );
    assert_eq!(verdict(125.0, OpeningKind::PostToWall), Verdict::Short);
    assert_eq!(verdict(125.0, OpeningKind::FloorToWire), Verdict::Short);
    assert_eq!(verdict(40.0, OpeningKind::FaceToEdge), Verdict::MeetsFigure);
    assert_eq!(verdict(40.1, OpeningKind::FaceToEdge), Verdict::Short);
}

#[test]
fn stair_openings_have_their_own_spheres_in_the_irc() {
    let answer = changed(&irc(), |layout| {
        layout.surface = Surface::Stair;
        layout.openings = vec![
            opening("triangle", OpeningKind::StairTriangle, 150.0),
            opening("side", OpeningKind::PostToWall, 110.0),
        ];
    });
    let at = |place: &str| {
        answer
            .findings
            .iter()
            .find(|finding| finding.place == place)
            .unwrap()
    };
    assert_eq!(at("triangle").verdict, Verdict::MeetsFigure);
    assert_eq!(at("side").verdict, Verdict::MeetsFigure);
    let level = changed(&irc(), |layout| {
        layout.openings = vec![opening("side", OpeningKind::PostToWall, 110.0)];
    });
    let side = level.findings.iter().find(|f| f.place == "side").unwrap();
    assert_eq!(side.verdict, Verdict::Short);
}

#[test]
fn wires_give_way_so_their_gap_alone_decides_nothing() {
    let answer = changed(&au(), |_| {});
    let between = only(&answer, Topic::Opening);
    assert_eq!(between.verdict, Verdict::Asked);
    assert!(between.sentence.contains("give way"));
    let wide = changed(&au(), |layout| layout.widest_spacing = Millimetres(130.0));
    assert_eq!(only(&wide, Topic::Opening).verdict, Verdict::Short);
    assert_eq!(only(&wide, Topic::WireTable).verdict, Verdict::OutsideTable);
}

#[test]
fn bays_read_their_rows_and_tell_what_is_in_hand() {
    let answer = changed(&au(), |_| {});
    assert_eq!(answer.required_tension, Some(Newtons(1330.0)));
    assert_eq!(answer.governing_bay.as_deref(), Some("A2–A3"));
    let found = only(&answer, Topic::WireTable);
    assert_eq!(found.verdict, Verdict::Asked);
    assert!(found.source.clause.contains("table a") && found.source.clause.contains("table b"));
    for words in [
        "Reads the 1500 mm row",
        "90 mm in hand",
        "4 mm in hand before the next spacing (not allowed)",
        "at least 1330 N",
        "at most 5 mm under 2 kg",
    ] {
        assert!(
            found.sentence.contains(words),
            "{words}: {}",
            found.sentence
        );
    }
}

#[test]
fn nine_over_costs_three_hundred_and_five() {
    let answer = changed(&au(), |layout| layout.bays = vec![bay("x", 1209.0)]);
    let found = only(&answer, Topic::WireTable);
    assert!(
        found
            .sentence
            .contains("(9 mm over the 1200 mm row, 305 N more)"),
        "{}",
        found.sentence
    );
}

#[test]
fn bays_without_a_figure_are_named_and_the_greatest_row_stays_as_a_floor() {
    let answer = changed(&au(), |layout| {
        layout.bays = vec![bay("a", 900.0), bay("b", 2100.0), bay("c", 2600.0)];
    });
    let verdicts: Vec<_> = answer
        .findings
        .iter()
        .filter(|finding| finding.topic == Topic::WireTable)
        .map(|finding| finding.verdict)
        .collect();
    assert_eq!(
        verdicts,
        [Verdict::Asked, Verdict::NotAllowed, Verdict::OutsideTable]
    );
    let first = changed(&au(), |layout| layout.bays = vec![bay("a", 900.0)]);
    assert!(first.required_tension.is_some());
    assert_eq!(answer.required_tension, first.required_tension);
    assert_eq!(answer.governing_bay.as_deref(), Some("a"));
    assert_eq!(answer.without_figure, ["b", "c"]);
    assert_eq!(first.without_figure, [""; 0]);
    let none = changed(&au(), |layout| layout.bays = vec![bay("c", 2600.0)]);
    assert_eq!(
        (none.required_tension, none.governing_bay),
        (None, None),
        "no row, no floor"
    );
    assert_eq!(none.without_figure, ["c"]);
}

#[test]
fn an_opening_that_a_probe_passed_falls_short_whatever_it_measures() {
    for kind in [OpeningKind::PostToWall, OpeningKind::FaceToEdge] {
        let answer = changed(&au(), |layout| {
            let passed = Opening {
                probe_passed: true,
                ..opening("there", kind, 30.0)
            };
            layout.openings = vec![passed];
        });
        let found = answer.findings.iter().find(|f| f.place == "there").unwrap();
        assert_eq!(found.verdict, Verdict::Short, "{kind:?}");
        assert!(
            found.sentence.contains("the probe passed"),
            "{}",
            found.sentence
        );
    }
}

#[test]
fn a_set_without_tables_says_so() {
    let answer = changed(&irc(), |_| {});
    let found = only(&answer, Topic::WireTable);
    assert_eq!(found.verdict, Verdict::AskFirst);
    assert!(
        found
            .sentence
            .contains("No such table for wires is known here")
    );
    assert_eq!(found.source.clause, "R312");
    assert_eq!(answer.required_tension, None);
    assert_eq!(
        answer.without_figure, [""; 0],
        "no table, no bay outside it"
    );
    let loads = answer.findings.iter().filter(|f| f.topic == Topic::Loads);
    assert_eq!(loads.count(), 2);
}

#[test]
fn vertical_wires_read_their_own_table() {
    let answer = changed(&au(), |layout| {
        layout.direction = WireDirection::ContinuousVertical;
        layout.diameter = Millimetres(2.5);
        layout.construction = Construction::SevenByNineteen;
        layout.widest_spacing = Millimetres(80.0);
        layout.bays = vec![bay("rails", 900.0)];
    });
    assert_eq!(answer.required_tension, Some(Newtons(145.0)));
    let two = changed(&au(), |layout| {
        layout.direction = WireDirection::VerticalOnTwoSupports;
        layout.bays = vec![bay("rails", 900.0)];
    });
    assert_eq!(two.required_tension, Some(Newtons(670.0)));
}

#[test]
fn a_pool_or_an_unasked_pool_is_asked_first() {
    assert!(
        !changed(&au(), |_| {})
            .findings
            .iter()
            .any(|finding| finding.topic == Topic::Pool)
    );
    for pool in [Some(true), None] {
        let answer = changed(&au(), |layout| layout.pool = pool);
        let found = only(&answer, Topic::Pool);
        assert_eq!(found.verdict, Verdict::AskFirst);
        assert_eq!(found.source.status, Status::CommonPractice);
    }
}

#[test]
fn no_finding_judges_and_each_names_source_and_person() {
    for set in [au(), irc()] {
        let answer = changed(&set, |layout| {
            layout.fall = Millimetres(4500.0);
            layout.pool = None;
            layout.bays = vec![bay("a", 900.0), bay("b", 2100.0), bay("c", 2600.0)];
            layout.openings = vec![
                opening("wall", OpeningKind::PostToWall, 62.0),
                opening("edge", OpeningKind::FaceToEdge, 30.0),
            ];
        });
        assert!(!answer.caution.is_empty());
        for finding in &answer.findings {
            assert!(!finding.confirm.is_empty() && !finding.source.clause.is_empty());
            assert!(!finding.sentence.is_empty());
            let words = finding.sentence.to_lowercase();
            for judging in ["complies", "compliant", "is safe", " ok", "passes the"] {
                assert!(!words.contains(judging), "{words}");
            }
        }
    }
}

#[test]
fn lengths_that_cannot_be_are_refused() {
    let refused = |change: fn(&mut Layout)| {
        let mut layout = deck();
        change(&mut layout);
        assert!(assess(&au(), &layout).is_err());
    };
    refused(|layout| layout.fall = Millimetres(-1.0));
    refused(|layout| layout.fall = Millimetres(f64::NAN));
    refused(|layout| layout.bays = vec![bay("x", 0.0)]);
    refused(|layout| layout.widest_spacing = Millimetres(-76.0));
    refused(|layout| layout.slope = Degrees(80.0));
    refused(|layout| layout.barrier_height = Some(Millimetres(0.0)));
}

fn unmeasured(label: &str, kind: OpeningKind, by_geometry: Option<f64>) -> Unmeasured {
    Unmeasured {
        label: label.to_owned(),
        kind,
        by_geometry: by_geometry.map(Millimetres),
        remark: String::new(),
    }
}

/// IRC 2018 R312.1.3 exception 1, read: the triangle of tread, riser and bottom rail stops a sphere of
/// 6 in (152.4 mm). NCC 2022 11.3.4(5), read: 40 mm from a face-fixed barrier.
#[test]
fn openings_that_nobody_measured_are_asked_about_by_the_sets_that_know_them() {
    let asked = |set: &RuleSet| {
        let answer = changed(set, |layout| {
            layout.unmeasured = vec![
                unmeasured("triangle", OpeningKind::StairTriangle, Some(150.0)),
                unmeasured("wide", OpeningKind::StairTriangle, Some(153.0)),
                unmeasured("untold", OpeningKind::StairTriangle, None),
                unmeasured("wall", OpeningKind::PostToWall, None),
                unmeasured("face", OpeningKind::FaceToEdge, None),
            ];
        });
        ["triangle", "wide", "untold", "wall", "face"].map(|place| {
            let found = answer.findings.iter().find(|f| f.place == place);
            found.map(|f| (f.verdict, f.required, f.sentence.clone()))
        })
    };
    let mm = |mm: f64| Some(Quantity::Millimetres(Millimetres(mm)));
    let [triangle, wide, untold, wall, face] = asked(&irc());
    let triangle = triangle.unwrap();
    assert_eq!((triangle.0, triangle.1), (Verdict::Asked, mm(152.4)));
    assert!(triangle.2.contains("not measured yet"), "{}", triangle.2);
    assert_eq!(wide.unwrap().0, Verdict::Short);
    let untold = untold.unwrap();
    assert_eq!(untold.0, Verdict::Asked);
    assert!(untold.2.contains("asked; not measured yet"), "{}", untold.2);
    assert_eq!(wall.unwrap().1, mm(101.6));
    assert_eq!(face, None, "this set states no gap of a face-fixed barrier");
    let [triangle, _, _, wall, face] = asked(&au());
    assert_eq!(
        triangle, None,
        "this set tries the sphere above the nosings alone"
    );
    assert_eq!(wall.unwrap().1, mm(125.0));
    assert_eq!(face.unwrap().1, mm(40.0));
}
