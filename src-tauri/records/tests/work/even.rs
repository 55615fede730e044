//! Wires beside one another by what was heard: one that was turned since is judged by nothing until it is
//! heard again.

use records::model::fields;
use records::model::values::{Force, Method, Stage as Taken, Turns};
use records::subject::Subject;
use records::work::{EvenGroup, Evenness, even_up};

use crate::repeats::{ben, by};
use crate::scene::{Scene, fitted, on_piece, tension_read};

fn hear(s: &mut Scene, wire: u32, newtons: i64, stage: Taken) {
    let bay = s.bay_place("A2", "A3");
    let with = tension_read(Method::Sound, stage, None);
    let of = Subject::Wire(s.a, wire);
    s.say(
        fields::WIRE_TENSION,
        &of,
        &bay,
        Force::newtons(newtons),
        Some(with),
    );
}

fn turn(s: &mut Scene, wire: u32, turns: i64) {
    let (of, end) = (Subject::Wire(s.a, wire), s.post("A1").to_string());
    s.say(
        fields::WIRE_TURNS,
        &of,
        &end,
        Turns { turns, flats: 0 },
        Some(on_piece(1)),
    );
}

fn groups(s: &mut Scene) -> Vec<EvenGroup> {
    let a = s.a;
    s.with_job(|job| even_up(job, a).unwrap()).groups
}

fn again(group: &EvenGroup) -> Vec<u32> {
    group.again.iter().map(|one| one.wire).collect()
}

/// A2 slack, A3 to A5 alike.
fn one_slack(stage: Taken) -> Scene {
    let mut s = fitted();
    for (wire, newtons) in [(3, 1500), (4, 1520), (5, 1490), (2, 600)] {
        hear(&mut s, wire, newtons, stage);
    }
    s
}

#[test]
fn a_wire_that_was_turned_after_it_was_heard_is_to_be_heard_again() {
    let mut s = one_slack(Taken::Recheck);
    let before = &groups(&mut s)[0];
    assert_eq!(before.lines[0].evenness, Evenness::Slacker);
    assert_eq!(before.sentence, "Slacker than the others: A2.");
    assert!(before.again.is_empty());
    turn(&mut s, 2, 0);
    assert_eq!(&groups(&mut s)[0], before, "no turn turns nothing");
    turn(&mut s, 2, 3);
    let after = &groups(&mut s)[0];
    assert_eq!(again(after), [2]);
    assert_eq!(
        after.again[0].sentence,
        "A2 was turned since it was heard: hear it again."
    );
    let judged: Vec<_> = after.lines.iter().map(|l| (l.wire, l.evenness)).collect();
    let alike = Evenness::Alike;
    assert_eq!(judged, [(3, alike), (4, alike), (5, alike)]);
    assert_eq!((after.heard, after.median_n), (3, Some(1500.0)));
    assert_eq!(
        after.sentence,
        "All 3 are alike within 5 % of the middle one. A2 was turned since it was heard: hear it again. \
         Other wires (A2) were turned after A3, A4, A5 were heard: hear them again."
    );
    // Heard again it stands beside them; they were still heard before it was turned.
    hear(&mut s, 2, 1510, Taken::Recheck);
    let heard = &groups(&mut s)[0];
    assert!(heard.again.is_empty());
    assert_eq!(heard.lines.len(), 4);
    assert_eq!(
        heard.sentence,
        "All 4 are alike within 5 % of the middle one. Other wires (A2) were turned after A3, A4, A5 were heard: \
         hear them again."
    );
}

#[test]
fn where_all_were_turned_since_nothing_is_compared() {
    let mut s = one_slack(Taken::Final);
    for wire in 2..=5 {
        turn(&mut s, wire, 1);
    }
    let group = &groups(&mut s)[0];
    assert_eq!((group.heard, group.lines.len()), (0, 0));
    assert_eq!(again(group), [2, 3, 4, 5]);
    assert_eq!(
        group.sentence,
        "A2, A3, A4, A5 were turned since they were heard: hear them again."
    );
}

#[test]
fn a_pass_brings_a_wire_up_and_a_reading_of_its_own_round_proves_it() {
    let mut s = one_slack(Taken::Pass);
    let (a, bay) = (s.a, s.bay_place("A2", "A3"));
    s.tension(a, 3, &bay, 1480, Taken::Pass, 1);
    assert_eq!(again(&groups(&mut s)[0]), [] as [u32; 0]);
    // Two passes on it has another tension than was heard; on the way up nothing is said of the others.
    let next = records::model::context::TensionRead {
        pass: Some(2),
        ..tension_read(Method::Gauge, Taken::Pass, Some(s.gauge))
    };
    let second = Subject::Wire(a, 2);
    s.say(
        fields::WIRE_TENSION,
        &second,
        &bay,
        Force::newtons(1400),
        Some(next),
    );
    let group = &groups(&mut s)[0];
    assert_eq!(again(group), [2]);
    assert!(
        !group.sentence.contains("Other wires"),
        "{}",
        group.sentence
    );
    // What is read first at the set tension was brought there; read once more it is not.
    hear(&mut s, 2, 1500, Taken::Final);
    s.tension(a, 2, &bay, 1500, Taken::Final, 1);
    s.tension(a, 2, &bay, 1490, Taken::Recheck, 1);
    let all = groups(&mut s);
    let last = all.iter().find(|g| g.stage == Taken::Final).unwrap();
    assert_eq!((last.heard, again(last).len()), (1, 0));
}

#[test]
fn a_turning_that_nobody_knew_of_as_the_wire_was_heard_counts_as_after_it() {
    let mut s = one_slack(Taken::Recheck);
    let mut ben = ben(&mut s);
    let (of, end) = (Subject::Wire(s.a, 2), s.post("A1").to_string());
    let turned = (Turns { turns: 3, flats: 0 }, on_piece(1));
    let turning = by(&mut ben, fields::WIRE_TURNS, &of, &end, turned, Vec::new());
    hear(&mut s, 2, 600, Taken::Recheck);
    s.device.receive(&mut ben);
    assert_eq!(again(&groups(&mut s)[0]), [2]);
    // Whoever hears it knowing of the turning hears what it is now.
    ben.receive(&mut s.device);
    let bay = s.bay_place("A2", "A3");
    let heard = (
        Force::newtons(1500),
        tension_read(Method::Sound, Taken::Recheck, None),
    );
    by(
        &mut ben,
        fields::WIRE_TENSION,
        &of,
        &bay,
        heard,
        vec![turning],
    );
    s.device.receive(&mut ben);
    assert_eq!(again(&groups(&mut s)[0]), [] as [u32; 0]);
}

#[test]
fn the_last_pass_and_the_final_round_are_one_round_for_what_was_heard() {
    let heard = |pass: u32| {
        let mut s = fitted();
        let bay = s.bay_place("A2", "A3");
        for wire in 2..=4 {
            let mut with = tension_read(Method::Sound, Taken::Pass, None);
            with.pass = Some(pass);
            let of = Subject::Wire(s.a, wire);
            let heard = Force::newtons(1500);
            s.say(fields::WIRE_TENSION, &of, &bay, heard, Some(with));
        }
        let a = s.a;
        s.tension(a, 2, &bay, 1500, Taken::Final, 1);
        s
    };
    // Of three passes the third brings to the set tension.
    let mut s = heard(3);
    assert_eq!(again(&groups(&mut s)[0]), [] as [u32; 0]);
    assert_eq!(
        groups(&mut s)[0].sentence,
        "All 3 are alike within 5 % of the middle one."
    );
    turn(&mut s, 2, 1);
    assert_eq!(again(&groups(&mut s)[0]), [2]);
    assert_eq!(again(&groups(&mut heard(2))[0]), [2]);
}
