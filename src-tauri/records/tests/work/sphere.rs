//! One sphere for a run, whoever asks: by what people stand on, the smaller where that is not told.
//! United States, IRC 2018 R312.1.3, read: 4 in (101.6 mm), 4 3/8 in (111.125 mm) at a stair.

use mechanics::Millimetres;
use mechanics::spacing::{StairAsk, stair_triangle};
use records::ids::ItemId;
use records::library;
use records::model::context::{OpeningRead, Said};
use records::model::fields;
use records::model::values::{Length, Opening, OpeningKind, Slope, Surface};
use records::subject::Subject;
use records::work::{LayoutAsk, Topic, before_offer, before_ordering, propose, pushed};

use crate::near;
use crate::scene::{MM, Scene, measured};

/// The sphere as every answer has it; of a gap check, whether probes of 105 and 115 mm are too large.
fn spheres(s: &mut Scene, run: ItemId) -> (Vec<f64>, [bool; 2]) {
    let bay = s.bay("A6", "B2");
    s.with_job(|job| {
        let ordering = before_ordering(job, run).unwrap();
        let opening = ordering
            .findings
            .iter()
            .find(|f| f.topic == Topic::Opening && f.place.contains("widest between wires"))
            .unwrap();
        let pushed = pushed(job, run, None, None).unwrap();
        let laid = propose(job, run, &LayoutAsk::default()).unwrap();
        let found = job.run(run).unwrap();
        let too_large = |mm: i64| {
            let before = before_offer(job, found, &bay, mm * MM).unwrap();
            before.too_large.is_some()
        };
        let asked = vec![
            opening.required.unwrap().value,
            pushed.sphere_mm.unwrap(),
            laid.sphere_mm.unwrap(),
        ];
        (asked, [too_large(105), too_large(115)])
    })
}

#[test]
fn every_answer_holds_the_same_sphere_against_a_raked_run() {
    let mut s = measured();
    let b = s.b;
    let job = Subject::Job(s.device.job());
    let rules = library::copy_of(&library::rule_set("us-irc-2018").unwrap());
    s.say(fields::JOB_RULE_SET, &job, "", rules, None);
    let run = Subject::run(b);
    // Told as a stair by the scenario.
    assert_eq!(spheres(&mut s, b), (vec![111.125; 3], [false, true]));
    for surface in [Surface::Ramp, Surface::Deck, Surface::Landing] {
        s.say(fields::RUN_SURFACE, &run, "", surface, None);
        assert_eq!(
            spheres(&mut s, b),
            (vec![101.6; 3], [true; 2]),
            "{surface:?}"
        );
    }
    let tips = s.tips("surface", &run, "");
    let none = (None::<Surface>, None::<Said>);
    s.say_over(fields::RUN_SURFACE, &run, "", none.0, none.1, tips);
    assert_eq!(spheres(&mut s, b), (vec![101.6; 3], [true; 2]), "not told");
}

#[test]
fn a_ramp_has_no_triangle_of_tread_and_riser() {
    let mut s = measured();
    let b = s.b;
    let triangles = |s: &mut Scene| {
        let laid = s.with_job(|job| propose(job, b, &LayoutAsk::default()).unwrap());
        laid.proposals.iter().filter(|p| p.stair.is_some()).count()
    };
    assert!(triangles(&mut s) > 0);
    s.say(
        fields::RUN_SURFACE,
        &Subject::run(b),
        "",
        Surface::Ramp,
        None,
    );
    assert_eq!(triangles(&mut s), 0);
}

#[test]
fn every_opening_that_the_set_knows_has_its_line_before_it_is_measured() {
    let mut s = measured();
    let b = s.b;
    let job = Subject::Job(s.device.job());
    let rules = library::copy_of(&library::rule_set("us-irc-2018").unwrap());
    s.say(fields::JOB_RULE_SET, &job, "", rules, None);
    let lines = |s: &mut Scene, of: &str| {
        let found = s.with_job(|job| before_ordering(job, b).unwrap().findings);
        let here = found.into_iter().filter(|f| f.place.contains(of));
        here.collect::<Vec<_>>()
    };
    let asked = lines(&mut s, "stair triangle");
    assert_eq!(asked.len(), 1);
    assert_eq!(asked[0].required.unwrap().value, 152.4);
    // By the layout aid's own geometry, whose reference is a test of its own: 178 on 250, wire at 93.
    let line = Millimetres(93.0 - 1.6 / (250.0_f64 / 178.0_f64.hypot(250.0)));
    let triangle = stair_triangle(&StairAsk {
        riser: Millimetres(178.0),
        going: Millimetres(250.0),
        overhang: Millimetres(0.0),
        line,
    });
    near(
        asked[0].actual.unwrap().value,
        triangle.unwrap().sphere.value(),
        0.01,
    );
    assert!(
        asked[0].sentence.contains("by geometry"),
        "{}",
        asked[0].sentence
    );
    // Run A goes on from A6, so only B3 may stand by a wall.
    let walls = lines(&mut s, "end post to wall");
    assert_eq!(walls.len(), 1);
    assert!(walls[0].place.ends_with("B3"), "{}", walls[0].place);
    assert!(walls[0].sentence.contains("asked; not measured yet"));
    // Measured, the reading stands in its place.
    let read = OpeningRead {
        kind: OpeningKind::StairTriangle,
        entered: None,
        remark: None,
        probe_nm: None,
        push_mn: None,
        moment: None,
    };
    let opening = Opening {
        nm: 140 * MM,
        result: None,
    };
    s.say(
        fields::RUN_OPENING,
        &Subject::run(b),
        "stairTriangle",
        opening,
        Some(read),
    );
    let read = lines(&mut s, "stair triangle");
    assert_eq!(read.len(), 1);
    assert_eq!(read[0].actual.unwrap().value, 140.0);
}

#[test]
fn an_overhang_that_is_told_counts_in_the_triangle_and_one_that_is_not_is_asked_for() {
    let mut s = measured();
    let b = s.b;
    let job = Subject::Job(s.device.job());
    let rules = library::copy_of(&library::rule_set("us-irc-2018").unwrap());
    s.say(fields::JOB_RULE_SET, &job, "", rules, None);
    let line = |s: &mut Scene| {
        let found = s.with_job(|job| before_ordering(job, b).unwrap().findings);
        let one = found.iter().find(|f| f.place.contains("stair triangle"));
        let one = one.unwrap();
        (one.actual.unwrap().value, one.sentence.clone())
    };
    let by_hand = |overhang: f64| {
        let ask = StairAsk {
            riser: Millimetres(178.0),
            going: Millimetres(250.0),
            overhang: Millimetres(overhang),
            line: Millimetres(93.0 - 1.6 / (250.0_f64 / 178.0_f64.hypot(250.0))),
        };
        stair_triangle(&ask).unwrap().sphere
    };
    let (untold, sentence) = line(&mut s);
    near(untold, by_hand(0.0).value(), 0.01);
    let often = format!("25 mm would make it {}", by_hand(25.0));
    assert!(
        sentence.contains("overhang is not told and counts as 0") && sentence.contains(&often),
        "{sentence}"
    );
    let with = Slope {
        rise_nm: 178 * MM,
        going_nm: 250 * MM,
        risers: Some(9),
        overhang_nm: Some(25 * MM),
    };
    s.say(fields::RUN_SLOPE, &Subject::run(b), "", with, None);
    let (told, sentence) = line(&mut s);
    near(told, by_hand(25.0).value(), 0.01);
    assert!(told > untold + 5.0, "{told}, {untold}");
    assert!(sentence.contains("stand out by 25 mm"), "{sentence}");
    // The layout aid counts the same one where it is not asked with another.
    let laid = |s: &mut Scene, overhang: Option<i64>| {
        let ask = LayoutAsk {
            bottom: Some(Length { nm: 93 * MM }),
            widest: Some(Length { nm: 76 * MM }),
            overhang: overhang.map(|nm| Length { nm }),
            ..LayoutAsk::default()
        };
        let found = s.with_job(|job| propose(job, b, &ask).unwrap());
        found.proposals[0].stair.clone().unwrap().sphere_mm
    };
    near(laid(&mut s, None), told, 0.01);
    near(laid(&mut s, Some(0)), untold, 0.01);
}
