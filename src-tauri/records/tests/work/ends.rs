//! What is asked about readings at the ends of a fitted wire and of bays, and thread that is too
//! short.

use records::ids::ItemId;
use records::model::fields;
use records::model::values::{CutMade, Length};
use records::subject::{ItemKind, Subject};
use records::work::{odd_bay, odd_out_by, odd_thread_left, tensioning};

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
    assert_eq!(asked(&mut s, first, 30.0), None);
    assert_eq!(
        asked(&mut s, first, 500.0).unwrap(),
        "500 mm of thread left showing: the LH stud has 30 mm of usable thread. Is it right?"
    );
    assert!(asked(&mut s, first, 30.1).is_some());
    // Nothing stands at a post where no end is.
    assert_eq!(asked(&mut s, middle, 500.0), None);
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
    for length in [300.0, 1380.0, 3000.0] {
        assert_eq!(asked(&mut s, length), None, "{length}");
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
            terminal.thread_nm = thread * MM;
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
        (15, 7231.0, "and both ends have 30 mm: too long"),
        (30, 7246.0, "leaves the reserve"),
        (30, 7212.0, "too short for its tension"),
        (30, 7150.0, "before the posts' faces"),
    ] {
        let short = plan(&mut s, thread, cut).unwrap();
        assert!(short.contains(word), "{thread} {cut}: {short}");
        assert!(!short.contains(" -"), "{short}");
    }
}
