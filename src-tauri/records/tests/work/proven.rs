//! What a reading shows: nothing is clear on a gauge of unknown error, and a reading that no gauge
//! told takes the place of none that a gauge told.

use records::ids::ItemId;
use records::model::context::{OnPiece, TensionRead};
use records::model::fields;
use records::model::values::{Force, Method, Stage as Taken, ToolKind, Turns};
use records::subject::{ItemKind, Subject};
use records::work::{
    EvidenceState, Flag, ReadingState, Stage, Tensions, lacks, progress, tensions,
};

use crate::scene::{Scene, fitted, on_piece, tension_read};

fn read(s: &mut Scene, wire: u32, bay: &str, newtons: i64, with: TensionRead) {
    let wire = Subject::Wire(s.a, wire);
    let force = Force::newtons(newtons);
    s.say(fields::WIRE_TENSION, &wire, bay, force, Some(with));
}

fn told(s: &mut Scene) -> Tensions {
    let a = s.a;
    s.with_job(|job| tensions(job, a).unwrap())
}

fn gauge_without_error(s: &mut Scene) -> ItemId {
    let id = s.create(ItemKind::Tool, fields::TOOL_CREATED);
    let gauge = Subject::Item(ItemKind::Tool, id);
    s.say(fields::TOOL_KIND, &gauge, "", ToolKind::TensionGauge, None);
    s.say(fields::TOOL_NAME, &gauge, "", "G-X".to_owned(), None);
    id
}

#[test]
fn a_gauge_that_states_no_error_borrows_none() {
    let mut s = fitted();
    let bay = s.bay_place("A2", "A3");
    let unknown = gauge_without_error(&mut s);
    // Far above 1330 / 0.96, and yet: the other gauge's 4 % say nothing of this one.
    let with = tension_read(Method::Gauge, Taken::Final, Some(unknown));
    read(&mut s, 1, &bay, 1500, with);
    let a = s.a;
    s.tension(a, 2, &bay, 1500, Taken::Final, 1);
    let found = told(&mut s);
    assert_eq!(found.lines[0].state, ReadingState::AtTheMark);
    assert_eq!(found.lines[0].readings[0].gauge_error, None);
    assert_eq!(found.lines[1].state, ReadingState::Clear);
    let own = found.gauges.iter().find(|g| g.tool == unknown).unwrap();
    assert_eq!(own.clear_from_n, None);
    assert_eq!(found.gauges_without_error(), [("G-X", vec![1])]);
    let note = "G-X states no error: what it reads is at the mark at best, and near below the upper tension it may be over. Enter the gauge's error.";
    assert!(found.notes.iter().any(|n| n == note), "{:?}", found.notes);
    // Its error entered, the same reading is clear.
    let gauge = Subject::Item(ItemKind::Tool, unknown);
    s.say(fields::TOOL_ERROR, &gauge, "", 100, None);
    let found = told(&mut s);
    assert_eq!(found.lines[0].state, ReadingState::Clear);
    assert!(found.gauges_without_error().is_empty());
}

#[test]
fn a_reading_without_a_gauge_replaces_none_of_a_gauge() {
    let mut s = fitted();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    s.tension(a, 3, &bay, 1250, Taken::Final, 1);
    s.tension(a, 4, &bay, 1385, Taken::Final, 1);
    let bare = || tension_read(Method::Gauge, Taken::Final, None);
    read(&mut s, 3, &bay, 1500, bare());
    let found = told(&mut s);
    let third = &found.lines[2];
    assert_eq!(third.state, ReadingState::Below);
    assert_eq!(third.governing.as_ref().unwrap().newtons, Some(1250.0));
    assert!(!third.readings[0].replaced);
    assert_eq!(found.lowest_finished().map(|(wire, _)| wire), Some(3));
    assert_eq!(found.least_finished_n(), Some(1250.0));
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.wires[2].flags, [Flag::Below]);
    // Below it counts, and still replaces nothing that a gauge told.
    read(&mut s, 3, &bay, 1300, bare());
    assert_eq!(told(&mut s).least_finished_n(), Some(1250.0));
    // A gauge's own later reading replaces all of them.
    s.tension(a, 3, &bay, 1500, Taken::Final, 1);
    let found = told(&mut s);
    assert_eq!(found.lines[2].state, ReadingState::Clear);
    assert!(found.lines[2].readings.iter().take(3).all(|r| r.replaced));
    assert_eq!(found.least_finished_n(), Some(1385.0));
}

#[test]
fn what_no_gauge_told_reads_no_bay_and_no_recheck() {
    let mut s = fitted();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    let bare = |stage| tension_read(Method::Gauge, stage, None);
    read(&mut s, 1, &bay, 1500, bare(Taken::Final));
    let found = told(&mut s);
    assert_eq!(found.without_gauge(), [1]);
    assert_eq!(found.lines[0].state, ReadingState::Open);
    let widest = found.to_read[0].clone();
    assert!(found.lines[0].not_read.contains(&widest));
    for wire in 1..=12 {
        s.tension(a, wire, &bay, 1500, Taken::Final, 1);
        read(&mut s, wire, &bay, 1490, bare(Taken::Recheck));
    }
    let key = format!("recheck/{a}");
    let all = s.with_job(|job| lacks(job).unwrap());
    let recheck = all.items.iter().find(|i| i.key == key).unwrap();
    assert_eq!(recheck.state, EvidenceState::Lacking);
    assert!(recheck.detail.starts_with("not read"), "{}", recheck.detail);
    assert_eq!(told(&mut s).without_gauge(), (1..=12).collect::<Vec<_>>());
}

#[test]
fn what_was_read_before_others_were_turned_is_to_be_read_again() {
    let mut s = fitted();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    let end = s.post("A1").to_string();
    let turn = |s: &mut Scene, wire: u32, flats: i64| {
        let wire = Subject::Wire(s.a, wire);
        let by = Turns { turns: 0, flats };
        let on: Option<OnPiece> = Some(on_piece(1));
        s.say(fields::WIRE_TURNS, &wire, &end, by, on);
    };
    // Turned in before anything was read: that is how wires come to their tension.
    turn(&mut s, 12, 2);
    for wire in 1..=12 {
        s.tension(a, wire, &bay, 1500, Taken::Final, 1);
    }
    assert_eq!(told(&mut s).read_before_turns(), None);
    // The recheck: one after the other is turned and read, from 7 to 9.
    for wire in 7..=9 {
        turn(&mut s, wire, 3);
        s.tension(a, wire, &bay, 1450, Taken::Recheck, 1);
    }
    let found = told(&mut s);
    assert_eq!(found.lines[0].turned_after, [7, 8, 9]);
    assert_eq!(found.lines[6].turned_after, [8, 9]);
    assert!(found.lines[8].turned_after.is_empty());
    let (wires, turned) = found.read_before_turns().unwrap();
    assert_eq!(turned, [7, 8, 9]);
    assert_eq!(wires, [1, 2, 3, 4, 5, 6, 7, 8, 10, 11, 12]);
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.wires[0].flags, [Flag::ReadAgain]);
    // The drawing asks for the reading; the words say how far it has come, too.
    assert_eq!(
        (seen.wires[0].flag, seen.wires[0].letter.as_str()),
        (Flag::ReadAgain, "↻")
    );
    assert_eq!(seen.wires[0].stage, Stage::Tensioned);
    assert_eq!(
        seen.wires[0].words,
        "tensioned, read before others were turned"
    );
    for wire in wires {
        s.tension(a, wire, &bay, 1480, Taken::Recheck, 1);
    }
    assert_eq!(told(&mut s).read_before_turns(), None);
    // Nothing was turned by no turn and no flat.
    turn(&mut s, 3, 0);
    assert_eq!(told(&mut s).read_before_turns(), None);
}
