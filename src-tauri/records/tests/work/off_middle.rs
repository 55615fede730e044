//! Holes off the middle of their face in a post of two runs or more: what is offered clears once it is taken,
//! ends that contradict each other are named, and so is little wood to the edge of the face.
//!
//! Post A6 is 115 wide; A's level holes of 9 reach 42 into it, B's raked ones 36.82.

use records::ids::ItemId;
use records::model::fields;
use records::model::values::{End, FaceSide, Hand, PostRole};
use records::subject::{ItemKind, Subject};
use records::work::{
    HoleSchedule, LayoutAsk, ProblemCode, SharedPost, before_ordering, end_at, hole_schedule,
    propose,
};

use crate::scene::{MM, Scene, measured, mm};

/// Says of a run's end at A6 how far its holes stand off the middle, and where the other's enter.
fn say(s: &mut Scene, run: ItemId, aside: i64, other_enters: Option<FaceSide>) {
    let post = s.post("A6");
    let end = s.with_job(|job| end_at(job, job.run(run).unwrap(), post).unwrap());
    let with = End {
        aside_nm: (aside != 0).then_some(aside),
        other_enters,
        ..end
    };
    s.say(
        fields::POST_END,
        &Subject::post(post),
        &run.to_string(),
        with,
        None,
    );
}

/// What the layout tells of A6 for the heights that stand, one for each other run.
fn shared(s: &mut Scene, run: ItemId) -> Vec<SharedPost> {
    s.with_job(|job| {
        let stands: Vec<i64> = job.run(run).unwrap().heights.iter().map(|h| h.nm).collect();
        let found = propose(job, run, &LayoutAsk::default()).unwrap();
        let mut all = found.proposals.into_iter();
        let same = all
            .find(|p| p.heights_nm == stands)
            .expect("the heights that stand");
        same.shared_posts
    })
}

fn schedule(s: &mut Scene, run: ItemId) -> HoleSchedule {
    s.with_job(|job| hole_schedule(job, run).unwrap())
}

/// What before ordering says under a code.
fn problems(s: &mut Scene, run: ItemId, code: ProblemCode) -> Vec<String> {
    let found = s.with_job(|job| before_ordering(job, run).unwrap().problems);
    let of = found.into_iter().filter(|p| p.code == code);
    of.map(|p| p.sentence).collect()
}

const SIDES: [FaceSide; 2] = [FaceSide::Left, FaceSide::Right];

/// Takes what is offered with each side that may be told, as a person does, and counts what stays close.
fn taken(s: &mut Scene, run: ItemId, sides: &[FaceSide]) -> Vec<u32> {
    let off = shared(s, run).into_iter().find_map(|at| at.aside_mm);
    let off = mm(off.expect("a way aside is offered")).nm;
    let mut close = Vec::new();
    for side in sides {
        let away = match side {
            FaceSide::Right => -off,
            FaceSide::Left => off,
        };
        say(s, run, away, Some(*side));
        close.extend(shared(s, run).iter().map(|at| at.close));
    }
    close
}

#[test]
fn what_is_offered_clears_once_it_is_taken_with_what_stands_aside_counted() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    assert_eq!(taken(&mut s, a, &SIDES), [0, 0]);
    // More wood is wanted: 24 − (57.5 − 36.82 − 4.5) = 7.82, of which 4 stand.
    let job = Subject::Job(s.device.job());
    s.say(fields::JOB_LEAST_WOOD, &job, "", mm(24.0), None);
    let told = shared(&mut s, a);
    assert_eq!(told[0].aside_mm, Some(8.0));
    assert!(
        told[0]
            .sentence
            .contains("8 mm off the middle of its face instead of 4 mm"),
        "{}",
        told[0].sentence
    );
    assert_eq!(taken(&mut s, a, &SIDES), [0, 0]);
    // Where the other end tells the side, that one alone is right: B on the right of A's has A on its left.
    say(&mut s, a, 0, None);
    say(&mut s, b, 3 * MM, Some(FaceSide::Left));
    assert_eq!(taken(&mut s, a, &[FaceSide::Right]), [0]);
}

#[test]
fn ends_that_contradict_each_other_are_named_and_nothing_aside_is_offered_till_then() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    say(&mut s, a, 4 * MM, Some(FaceSide::Left));
    say(&mut s, b, 4 * MM, Some(FaceSide::Left));
    let code = ProblemCode::SidesContradict;
    for run in [a, b] {
        let told = &schedule(&mut s, run).notes;
        let note = told.iter().find(|n| n.contains("can't both be right"));
        let note = note.unwrap_or_else(|| panic!("{told:?}")).clone();
        for word in ["Post A6", "runs A and B", "say it anew"] {
            assert!(
                note.contains(word) || (word == "runs A and B" && note.contains("runs B and A")),
                "{note}"
            );
        }
        assert_eq!(problems(&mut s, run, code), [note]);
    }
    let told = shared(&mut s, a);
    assert!(told[0].close > 0);
    assert_eq!(told[0].aside_mm, None);
    assert!(
        told[0].sentence.contains("contradict each other"),
        "{}",
        told[0].sentence
    );
    assert!(
        !told[0].sentence.contains("nor does one off"),
        "{}",
        told[0].sentence
    );
    // Said anew at one of the two, it is settled.
    say(&mut s, b, 4 * MM, Some(FaceSide::Right));
    assert_eq!(problems(&mut s, a, code), [""; 0]);
    assert_eq!(shared(&mut s, a)[0].close, 0);
    let notes = schedule(&mut s, a).notes;
    assert!(
        !notes
            .iter()
            .any(|n| n.contains("contradict") || n.contains("both be right"))
    );
}

/// A stair of a third name ends in A6 as B does.
fn third(s: &mut Scene) -> ItemId {
    use records::model::values::WireHeights;
    use records::subject::ItemKind;
    let (c, fitting, strand) = (
        s.create(ItemKind::Run, fields::RUN_CREATED),
        s.fitting,
        s.strand,
    );
    let subject = Subject::run(c);
    let heights: Vec<i64> = (1..=8).map(|n| n * 93 * MM).collect();
    s.say(fields::RUN_NAME, &subject, "", "C".into(), None);
    s.say(fields::RUN_WIRE_COUNT, &subject, "", 8, None);
    s.say(
        fields::RUN_WIRE_HEIGHTS,
        &subject,
        "",
        WireHeights { nm: heights },
        None,
    );
    s.say(fields::RUN_FITTING_SET, &subject, "", fitting, None);
    s.say(fields::RUN_STRAND, &subject, "", strand, None);
    s.add_post("A6", c, 0.0, -12.0, PostRole::Anchor);
    s.add_post("C2", c, 1200.0, -12.0, PostRole::Anchor);
    s.end("A6", c, Hand::Left, false);
    s.end("C2", c, Hand::Right, false);
    c
}

#[test]
fn where_a_third_run_ends_in_the_post_nothing_is_offered_that_would_not_clear() {
    let mut s = measured();
    let a = s.a;
    assert_eq!(shared(&mut s, a)[0].aside_mm, Some(4.0));
    third(&mut s);
    let told = shared(&mut s, a);
    assert_eq!(told.len(), 2);
    for at in &told {
        assert!(at.close > 0);
        assert_eq!((at.aside_mm, at.up_mm, at.down_mm), (None, None, None));
        for words in [
            "nor does one off the middle of its face: change a depth, a face or the post",
            "Holes of more than two runs enter this post",
        ] {
            assert!(at.sentence.contains(words), "{}", at.sentence);
        }
    }
    // What was offered before clears nothing now, and is offered no more.
    for (aside, side) in [
        (-4, FaceSide::Right),
        (9, FaceSide::Left),
        (-20, FaceSide::Right),
    ] {
        say(&mut s, a, aside * MM, Some(side));
        for at in shared(&mut s, a) {
            assert!(at.close == 0 || at.aside_mm.is_none(), "{aside}: {at:?}");
        }
    }
}

#[test]
fn little_wood_to_the_edge_of_a_face_is_told_and_a_hole_beyond_it_is_a_problem() {
    let mut s = measured();
    let (a, right) = (s.a, Some(FaceSide::Right));
    let code = ProblemCode::HolesAtEdge;
    // 57.5 − 4.5 − 33 = 20 is as much as is wanted between holes.
    say(&mut s, a, -33 * MM, right);
    assert_eq!(problems(&mut s, a, code), [""; 0]);
    let notes = schedule(&mut s, a).notes;
    let told = |notes: &[String], words: &str| notes.iter().any(|n| n.contains(words));
    assert!(
        told(
            &notes,
            "on the left of who looks at it, with 20 mm of wood to its edge."
        ),
        "{notes:?}"
    );
    let stays = "at least 20 mm of wood stays between all holes. Between holes off the middle and the edge \
                 of their face at least 20 mm stays.";
    assert!(told(&notes, stays), "{notes:?}");
    say(&mut s, a, -40 * MM, right);
    let found = problems(&mut s, a, code);
    let little = "Run A: 40 mm off the middle a hole of 9 mm leaves 13 mm of wood to the edge of the face of \
                  post A6, and between holes 20 mm is wanted.";
    assert!(
        found.len() == 1 && found[0].starts_with(little),
        "{found:?}"
    );
    assert!(told(&schedule(&mut s, a).notes, "at least 13 mm stays"));
    for (aside, words) in [
        (
            -53,
            "breaks out of the face of post A6, which is 115 mm wide. Up to 33 mm leaves",
        ),
        (60, "is beside post A6, whose face is 115 mm wide"),
    ] {
        say(&mut s, a, aside * MM, right);
        let found = problems(&mut s, a, code);
        assert!(found.len() == 1 && found[0].contains(words), "{found:?}");
        let notes = schedule(&mut s, a).notes;
        assert!(told(&notes, ", and break out of its edge"), "{notes:?}");
        assert!(
            told(&notes, "Holes off the middle break out of the edge"),
            "{notes:?}"
        );
    }
    // What the engineer wants counts here as well.
    let job = Subject::Job(s.device.job());
    s.say(fields::JOB_LEAST_WOOD, &job, "", mm(5.0), None);
    say(&mut s, a, -40 * MM, right);
    assert_eq!(problems(&mut s, a, code), [""; 0]);
}

#[test]
fn holes_deeper_than_their_post_are_named_before_ordering_and_in_the_schedule() {
    let mut s = measured();
    let a = s.a;
    let set = s.with_job(|job| job.fitting_sets[0].id);
    let fitting = Subject::Item(ItemKind::FittingSet, set);
    let mut terminals = s.with_job(|job| job.fitting_sets[0].terminals.clone().unwrap());
    for (deep, ends) in [(42, 0), (114, 0), (115, 2), (150, 2)] {
        for terminal in [&mut terminals.left, &mut terminals.right] {
            terminal.hole_depth_nm = Some(deep * MM);
        }
        s.say(
            fields::FITTING_TERMINALS,
            &fitting,
            "",
            terminals.clone(),
            None,
        );
        let told = problems(&mut s, a, ProblemCode::HolesTooDeep);
        assert_eq!(told.len(), ends, "{deep}: {told:?}");
        let notes = schedule(&mut s, a).notes;
        let of = notes
            .iter()
            .filter(|n| n.contains("come out on the far side"));
        assert_eq!(of.count(), ends, "{deep}: {notes:?}");
        assert!(
            told.iter()
                .all(|t| t.contains(&format!("{deep} mm deep")) && t.contains("115 mm"))
        );
    }
}
