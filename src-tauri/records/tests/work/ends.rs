//! What is asked about readings at the ends of a fitted wire and of bays, and thread that is too
//! short.

use records::ids::ItemId;
use records::model::fields;
use records::model::values::{Act, CutMade, Length, Stage};
use records::subject::{ItemKind, Subject};
use records::work::{
    EvidenceState, Flag, NextWhat, lacks, odd_bay, odd_out_by, odd_thread_left, progress,
    tensioning,
};

use crate::scene::{MM, Scene, measured, mm, on_piece};

#[test]
fn more_thread_left_than_a_stud_has_is_asked_about() {
    let mut s = measured();
    let a = s.a;
    let asked = |s: &mut Scene, post: ItemId, left: f64| {
        s.with_job(|job| odd_thread_left(job, a, post, mm(left)).unwrap())
    };
    let (first, middle) = (s.post("A1"), s.post("A3"));
    assert_eq!(asked(&mut s, first, 14.0), None);
    assert_eq!(asked(&mut s, first, 22.0), None);
    assert_eq!(asked(&mut s, first, 3.2), None);
    // The library's set: 30 mm of thread, 8 mm at the least engaged, a lock nut of 3.2 mm.
    assert_eq!(
        asked(&mut s, first, 29.5).unwrap(),
        "29.5 mm of thread left showing leaves 0.5 mm engaged, and the fitting set asks at least \
         8 mm. Is it right?"
    );
    assert_eq!(
        asked(&mut s, first, 2.0).unwrap(),
        "2 mm of thread left showing leaves no room for the lock nut of 3.2 mm. Is it right?"
    );
    assert!(
        asked(&mut s, first, 30.0)
            .unwrap()
            .contains("leaves 0 mm engaged")
    );
    assert_eq!(
        asked(&mut s, first, 500.0).unwrap(),
        "500 mm of thread left showing: the LH stud has 30 mm of usable thread. Is it right?"
    );
    assert!(asked(&mut s, first, 30.1).is_some());
    // Nothing stands at a post where no end is.
    assert_eq!(asked(&mut s, middle, 500.0), None);
}

#[test]
fn too_little_thread_engaged_stands_out_until_it_is_read_again() {
    let mut s = measured();
    let a = s.a;
    let end = s.post("A1").to_string();
    let wire = Subject::Wire(a, 3);
    let read = |s: &mut Scene, left: f64| {
        let on = Some(on_piece(1));
        s.say(fields::WIRE_THREAD_LEFT, &wire, &end, mm(left), on)
    };
    for act in [
        Act::Cut,
        Act::LeftEndPressed,
        Act::Threaded,
        Act::RightEndPressed,
        Act::Fitted,
    ] {
        for wire in 1..=12 {
            s.tick(a, wire, act, 1);
        }
    }
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        s.tension(a, wire, &bay, 1500, Stage::Final, 1);
    }
    let key = format!("threadLeft/{a}");
    let lacking = |s: &mut Scene| {
        let all = s.with_job(|job| lacks(job).unwrap());
        all.items.into_iter().find(|i| i.key == key).unwrap()
    };
    let before = lacking(&mut s);
    assert_eq!((before.section, before.state), (8, EvidenceState::Lacking));
    read(&mut s, 29.5);
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.wires[2].flags, [Flag::Thread]);
    assert_eq!(seen.wires[2].letter, "E");
    assert_eq!(seen.wires[3].flags, []);
    assert_eq!(
        lacking(&mut s).detail,
        "too little engaged, or no room for the lock nut: wires 3"
    );
    // Run B, all of it still to be made, comes first.
    let mut offered = s.offered().into_iter();
    let next = offered.find(|act| act.what == NextWhat::Engage).unwrap();
    assert!(
        next.sentence
            .starts_with("Wire A3, A1 end: 29.5 mm of thread left showing"),
        "{}",
        next.sentence
    );
    read(&mut s, 14.0);
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.wires[2].flags, []);
    for wire in 1..=12 {
        for post in ["A1", "A6"] {
            let (wire, end) = (Subject::Wire(a, wire), s.post(post).to_string());
            let on = Some(on_piece(1));
            s.say(fields::WIRE_THREAD_LEFT, &wire, &end, mm(14.0), on);
        }
    }
    assert_eq!(lacking(&mut s).state, EvidenceState::There);
}

#[test]
fn a_wire_out_by_more_than_its_thread_is_asked_about() {
    let mut s = measured();
    let a = s.a;
    let asked = |s: &mut Scene, by: Length| s.with_job(|job| odd_out_by(job, a, by).unwrap());
    for by in [0.0, 12.5, 60.0, -60.0] {
        assert_eq!(asked(&mut s, mm(by)), None, "{by}");
    }
    let long = asked(&mut s, mm(99_999.0)).unwrap();
    assert!(
        long.starts_with("Too long by 99999 mm is more than the 60 mm of thread"),
        "{long}"
    );
    let short = asked(&mut s, mm(-61.0)).unwrap();
    assert!(short.starts_with("Too short by 61 mm"), "{short}");
}

#[test]
fn a_bay_many_times_another_or_longer_than_its_wires_is_asked_about() {
    let mut s = measured();
    let a = s.a;
    let bay = s.bay("A1", "A2");
    let asked = |s: &mut Scene, length: f64| {
        s.with_job(|job| odd_bay(job.run(a).unwrap(), &bay, mm(length)).unwrap())
    };
    for length in [1366.0, 1380.0, 1394.0] {
        assert_eq!(asked(&mut s, length), None, "{length}");
    }
    // Measured before as 1380 mm.
    for length in [300.0, 1600.0, 3000.0] {
        let question = asked(&mut s, length).unwrap();
        assert!(
            question.contains("measured before as 1380 mm"),
            "{question}"
        );
    }
    for (length, word) in [
        (50_000.0, "36 times bay A1–A2, 1380 mm"),
        (0.05, "times less than bay A1–A2"),
        (54.0, "Inches?"),
    ] {
        let question = asked(&mut s, length).unwrap();
        assert!(question.contains(word), "{length}: {question}");
    }
    // A wide bay beside it leaves only the wires to hold it against.
    s.clear("A1", "A2", 2000.0);
    let question = asked(&mut s, 7400.0).unwrap();
    assert_eq!(
        question,
        "7400 mm is longer than the wires of run A, 7305 mm inside to inside. Is it right?"
    );
}

#[test]
fn thread_too_short_for_anything_is_told_in_words_and_never_below_zero() {
    let mut s = measured();
    let a = s.a;
    let wire = Subject::Wire(a, 1);
    let plan = |s: &mut Scene, thread: i64, cut: f64| {
        let mut terminals = records::library::fitting_sets()[0].terminals.clone();
        for terminal in [&mut terminals.left, &mut terminals.right] {
            terminal.thread_nm = Some(thread * MM);
        }
        let fitting = Subject::Item(ItemKind::FittingSet, s.fitting);
        s.say(fields::FITTING_TERMINALS, &fitting, "", terminals, None);
        let made = CutMade {
            nm: mm(cut).nm,
            batch: None,
            offcut: None,
        };
        s.say(fields::WIRE_CUT, &wire, "1", made, Some(on_piece(1)));
        let told = s.with_job(|job| tensioning(job, a).unwrap());
        let need = told.wires[0].thread.clone().unwrap();
        assert!(need.starts_mm >= 0.0 && need.left_mm >= 0.0, "{need:?}");
        need.short
    };
    assert_eq!(plan(&mut s, 30, 7231.0), None);
    // 2·(5 − 3.2) less 2·4 of reserve leaves nothing.
    let nothing = plan(&mut s, 5, 7231.0).unwrap();
    assert!(
        nothing.contains("10 mm of usable thread")
            && nothing.contains("nothing is left to hold by"),
        "{nothing}"
    );
    for (thread, cut, word) in [
        (
            15,
            7231.0,
            "and both ends have 30 mm, of which 23.6 mm can be: too long",
        ),
        // Some 8 mm less: within the thread, and beyond what lock nuts leave of it.
        (15, 7223.0, "of which 23.6 mm can be: too long"),
        (30, 7246.0, "leaves the reserve"),
        (30, 7212.0, "too short for its tension"),
        (30, 7150.0, "before the posts' faces"),
    ] {
        let short = plan(&mut s, thread, cut).unwrap();
        assert!(short.contains(word), "{thread} {cut}: {short}");
        assert!(!short.contains(" -"), "{short}");
    }
}
