//! One sphere for a run, whoever asks: by what people stand on, the smaller where that is not told.
//! United States, IRC 2018 R312.1.3, read: 4 in (101.6 mm), 4 3/8 in (111.125 mm) at a stair.

use records::ids::ItemId;
use records::library;
use records::model::context::Said;
use records::model::fields;
use records::model::values::Surface;
use records::subject::Subject;
use records::work::{LayoutAsk, Topic, before_offer, before_ordering, propose, pushed};

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
