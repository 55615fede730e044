//! A run that is brought up pulls on the post that it shares: what was read on the other run before is
//! to be read again.

use records::ids::ItemId;
use records::job::things::angle_place;
use records::model::fields;
use records::model::values::{Angle, Force, Method, Stage as Taken};
use records::subject::Subject;
use records::work::{Flag, PulledAfter, next_act, progress, tensions};

use crate::scene::{Scene, fitted, tension_read};

/// All wires of a run in one bay.
fn read(s: &mut Scene, run: ItemId, newtons: i64, stage: Taken, pass: Option<u32>) {
    let (bay, wires) = match run == s.a {
        true => (s.bay_place("A2", "A3"), 12),
        false => (s.bay_place("B2", "B3"), 8),
    };
    for wire in 1..=wires {
        let mut with = tension_read(Method::Gauge, stage, Some(s.gauge));
        with.pass = pass;
        let (wire, force) = (Subject::Wire(run, wire), Force::newtons(newtons));
        s.say(fields::WIRE_TENSION, &wire, &bay, force, Some(with));
    }
}

fn after(s: &mut Scene, run: ItemId) -> Vec<PulledAfter> {
    s.with_job(|job| tensions(job, run).unwrap().lines[0].pulled_after.clone())
}

fn flags(s: &mut Scene, run: ItemId) -> Vec<Flag> {
    s.with_job(|job| progress(job, run).unwrap().wires[0].flags.clone())
}

/// Everything that is offered, as one skips on.
fn offered(s: &mut Scene) -> Vec<String> {
    let (mut skipped, mut found) = (Vec::new(), Vec::new());
    while let Some(act) = s.with_job(|job| next_act(job, &skipped).unwrap()) {
        found.push(act.sentence);
        skipped.push(act.key);
    }
    found
}

#[test]
fn a_run_that_was_read_before_the_other_one_on_its_post_pulled_is_read_again() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    let sentence = "Read wire A1 again: it was read before run B pulled on post A6";
    read(&mut s, a, 1500, Taken::Final, None);
    assert_eq!(after(&mut s, a), []);
    read(&mut s, b, 600, Taken::Pass, Some(1));
    // Told at once, and offered when the other run is there: until then it goes on pulling.
    let told = after(&mut s, a);
    assert_eq!(
        (told[0].run_name.as_str(), told[0].post.as_str()),
        ("B", "A6")
    );
    assert_eq!((told[0].wires.len(), told[0].done), (8, false));
    assert_eq!(flags(&mut s, a), []);
    assert!(!offered(&mut s).iter().any(|o| o == sentence));
    read(&mut s, b, 1500, Taken::Final, None);
    assert!(after(&mut s, a)[0].done);
    assert_eq!(flags(&mut s, a), [Flag::ReadAgain]);
    assert!(offered(&mut s).iter().any(|o| o == sentence));
    // Run B itself was read while run A pulled.
    assert_eq!(after(&mut s, b), []);
    read(&mut s, a, 1460, Taken::Final, None);
    assert_eq!(after(&mut s, a), []);
    assert_eq!(flags(&mut s, a), []);
}

#[test]
fn passes_of_both_runs_before_the_final_round_leave_nothing_to_read_again() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    for (pass, newtons) in [(1, 600), (2, 1100), (3, 1500)] {
        for run in [a, b] {
            read(&mut s, run, newtons, Taken::Pass, Some(pass));
        }
    }
    for run in [a, b] {
        read(&mut s, run, 1495, Taken::Final, None);
    }
    for run in [a, b] {
        assert_eq!(after(&mut s, run), []);
    }
}

#[test]
fn a_run_that_leaves_the_post_square_takes_nothing_along_the_other_ones_wires() {
    let mut s = fitted();
    let (a, b) = (s.a, s.b);
    let turn = |s: &mut Scene, cdeg: i64| {
        let (post, place) = (Subject::post(s.post("A6")), angle_place(b, a));
        s.say(fields::POST_ANGLE, &post, &place, Angle { cdeg }, None);
    };
    read(&mut s, a, 1500, Taken::Final, None);
    read(&mut s, b, 1500, Taken::Final, None);
    turn(&mut s, 9000);
    assert_eq!(after(&mut s, a), []);
    turn(&mut s, 12_000);
    assert_eq!(after(&mut s, a).len(), 1);
}
