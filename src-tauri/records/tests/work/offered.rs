//! What a gap check and a tool answer, and what they do not.

use records::ids::ItemId;
use records::model::context::GapRead;
use records::model::fields;
use records::model::values::{
    Deflection, Force, GapCheck, Method, Piece, ProbeResult, Stage as Taken, ToolKind,
};
use records::subject::{ItemKind, Subject};
use records::work::{
    BayGaps, EvidenceState, Lack, Progress, ReadingState, Stage, lacks, progress, tensions,
};

use crate::scene::{MM, Scene, fit_piece, fitted, tension_read};

const BAYS: [(&str, &str); 6] = [
    ("A1", "A2"),
    ("A2", "A3"),
    ("A3", "A4"),
    ("A4", "A4a"),
    ("A4a", "A5"),
    ("A5", "A6"),
];

fn seen(s: &mut Scene) -> Progress {
    let a = s.a;
    s.with_job(|job| progress(job, a).unwrap())
}

fn item(s: &mut Scene, key: &str) -> Lack {
    let all = s.with_job(|job| lacks(job).unwrap());
    all.items.iter().find(|i| i.key == key).cloned().unwrap()
}

/// All wires read in the two bays that are to be read.
fn read_all(s: &mut Scene) {
    let a = s.a;
    for (left, right) in [("A2", "A3"), ("A3", "A4")] {
        let bay = s.bay_place(left, right);
        for wire in 1..=12 {
            s.tension(a, wire, &bay, 1500, Taken::Final, 1);
        }
    }
}

fn offer(s: &mut Scene, probe_mm: i64, result: ProbeResult) {
    for (left, right) in BAYS {
        let (bay, place) = (s.bay(left, right), s.a.to_string());
        let with = GapRead {
            probe_nm: probe_mm * MM,
            ..GapRead::default()
        };
        let check = GapCheck { result };
        s.say(fields::BAY_GAPS, &bay, &place, check, Some(with));
    }
}

fn stage_of_all(seen: &Progress, stage: Stage) -> bool {
    seen.wires.iter().all(|w| w.stage == stage)
}

#[test]
fn a_probe_larger_than_the_sphere_answers_nothing_where_it_stops() {
    let mut s = fitted();
    let a = s.a;
    read_all(&mut s);
    // barrier-rules, 11.3.4(4), read: a 125 mm sphere must not pass.
    offer(&mut s, 250, ProbeResult::Stops);
    let after = seen(&mut s);
    assert!(
        after.bays.iter().all(|b| b.gaps == BayGaps::Again),
        "{:?}",
        after.bays
    );
    assert!(after.bays[0].gaps_why.clone().unwrap().contains("125 mm"));
    assert!(stage_of_all(&after, Stage::Tensioned));
    assert_eq!(
        item(&mut s, &format!("gaps/{a}")).state,
        EvidenceState::Lacking
    );
    // A smaller one that stops shows more than is asked.
    offer(&mut s, 100, ProbeResult::Stops);
    assert!(stage_of_all(&seen(&mut s), Stage::Checked));
    // The larger one takes no smaller one's place, and passing it counts.
    offer(&mut s, 250, ProbeResult::Stops);
    assert!(stage_of_all(&seen(&mut s), Stage::Checked));
    offer(&mut s, 250, ProbeResult::Passes);
    assert!(seen(&mut s).bays.iter().all(|b| b.gaps == BayGaps::Fails));
    offer(&mut s, 250, ProbeResult::Stops);
    assert!(seen(&mut s).bays.iter().all(|b| b.gaps == BayGaps::Fails));
}

#[test]
fn a_check_before_the_wires_were_tensioned_is_no_check() {
    let mut s = fitted();
    let a = s.a;
    offer(&mut s, 125, ProbeResult::Stops);
    read_all(&mut s);
    let after = seen(&mut s);
    assert!(after.bays.iter().all(|b| b.gaps == BayGaps::Again));
    let why = after.bays[0].gaps_why.clone().unwrap();
    assert!(why.contains("wire 1–12"), "{why}");
    assert!(stage_of_all(&after, Stage::Tensioned));
    let told = item(&mut s, &format!("gaps/{a}"));
    assert_eq!(told.state, EvidenceState::Lacking);
    assert!(
        told.detail.contains("offer the probe again"),
        "{}",
        told.detail
    );
    offer(&mut s, 125, ProbeResult::Stops);
    assert!(stage_of_all(&seen(&mut s), Stage::Checked));
}

#[test]
fn a_check_does_not_outlive_the_wire_nor_its_tension() {
    let mut s = fitted();
    let a = s.a;
    read_all(&mut s);
    offer(&mut s, 125, ProbeResult::Stops);
    assert!(stage_of_all(&seen(&mut s), Stage::Checked));
    // Read once more, with no less than the gauge may err: the wire is as it was.
    let bay = s.bay_place("A2", "A3");
    s.tension(a, 2, &bay, 1480, Taken::Final, 1);
    assert!(stage_of_all(&seen(&mut s), Stage::Checked));
    // Two weeks later it lost what was to be expected.
    s.tension(a, 2, &bay, 1400, Taken::Recheck, 1);
    assert!(stage_of_all(&seen(&mut s), Stage::Checked));
    // Let out in a final round after the check.
    s.tension(a, 3, &bay, 1340, Taken::Final, 1);
    let after = seen(&mut s);
    let why = after.bays[0].gaps_why.clone().unwrap();
    assert!(why.contains("wire 3 "), "{why}");
    offer(&mut s, 125, ProbeResult::Stops);
    assert!(stage_of_all(&seen(&mut s), Stage::Checked));
    // A slip of the pad that was put right before the probe came says nothing of it.
    for newtons in [15_000, 1500] {
        s.tension(a, 4, &bay, newtons, Taken::Final, 1);
    }
    offer(&mut s, 125, ProbeResult::Stops);
    s.tension(a, 4, &bay, 1500, Taken::Final, 1);
    assert!(stage_of_all(&seen(&mut s), Stage::Checked));
    // What was read without a gauge in between took nothing's place: the fall counts from the gauge's.
    let bare = tension_read(Method::Gauge, Taken::Final, None);
    let wire = Subject::Wire(a, 4);
    s.say(
        fields::WIRE_TENSION,
        &wire,
        &bay,
        Force::newtons(1300),
        Some(bare),
    );
    offer(&mut s, 125, ProbeResult::Stops);
    s.tension(a, 4, &bay, 1340, Taken::Final, 1);
    let why = seen(&mut s).bays[0].gaps_why.clone().unwrap();
    assert!(why.contains("wire 4 "), "{why}");
    // Made anew and read; the probe was not offered to the new piece.
    let piece = Piece {
        number: 2,
        reason: "kinked".into(),
    };
    s.say(fields::WIRE_PIECE, &Subject::Wire(a, 5), "", piece, None);
    fit_piece(&mut s, a, 5, 2);
    for (left, right) in [("A2", "A3"), ("A3", "A4")] {
        let bay = s.bay_place(left, right);
        s.tension(a, 5, &bay, 1500, Taken::Final, 2);
    }
    let after = seen(&mut s);
    assert_eq!(after.wires[4].stage, Stage::Tensioned);
    assert!(!after.gaps_stop);
}

#[test]
fn only_a_tension_gauge_shows_that_a_tension_is_there() {
    let mut s = fitted();
    let a = s.a;
    let tape = s.create(ItemKind::Tool, fields::TOOL_CREATED);
    let tool = Subject::Item(ItemKind::Tool, tape);
    s.say(fields::TOOL_KIND, &tool, "", ToolKind::Tape, None);
    let bay = s.bay_place("A2", "A3");
    let gauge = s.gauge;
    let mut with = |wire: u32, tool: Option<ItemId>, n: i64| {
        let read = tension_read(Method::Gauge, Taken::Final, tool);
        let wire = Subject::Wire(a, wire);
        s.say(
            fields::WIRE_TENSION,
            &wire,
            &bay,
            Force::newtons(n),
            Some(read),
        );
    };
    with(1, Some(tape), 1500);
    with(2, None, 1500);
    with(3, Some(gauge), 1500);
    // What is below is below, whatever told it.
    with(4, None, 1200);
    let found = s.with_job(|job| tensions(job, a).unwrap());
    let states: Vec<ReadingState> = found.lines.iter().take(4).map(|l| l.state).collect();
    let (open, below) = (ReadingState::Open, ReadingState::Below);
    assert_eq!(states, [open, open, ReadingState::Clear, below]);
    let stages: Vec<Stage> = seen(&mut s).wires.iter().map(|w| w.stage).take(3).collect();
    assert_eq!(stages, [Stage::Fitted, Stage::Fitted, Stage::Tensioned]);
    let told = item(&mut s, &format!("tension/{a}"));
    assert!(told.detail.contains("wires 1–2, 4"), "{}", told.detail);
}

#[test]
fn bays_that_are_to_be_read_and_were_not_are_named() {
    let mut s = fitted();
    let a = s.a;
    let near = s.bay_place("A1", "A2");
    for wire in 1..=12 {
        s.tension(a, wire, &near, 1500, Taken::Final, 1);
    }
    let told = item(&mut s, &format!("tension/{a}"));
    assert_eq!(told.state, EvidenceState::Lacking);
    let unread = "bay A2–A3 not read on wire 1–12";
    assert!(told.detail.contains(unread), "{}", told.detail);
    let far = format!("farBay/{a}");
    let told = item(&mut s, &far);
    assert_eq!(told.state, EvidenceState::Lacking);
    assert_eq!(told.detail, "bay A3–A4 not read on wire 1–12");
    // The widest is there: the other is still lacking, and named.
    let widest = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        s.tension(a, wire, &widest, 1500, Taken::Final, 1);
    }
    let told = item(&mut s, &format!("tension/{a}"));
    assert_eq!(told.state, EvidenceState::There);
    assert_eq!(told.detail, "read, none below");
    assert_eq!(item(&mut s, &far).state, EvidenceState::Lacking);
    let other = s.bay_place("A3", "A4");
    for wire in 1..=11 {
        s.tension(a, wire, &other, 1500, Taken::Final, 1);
    }
    let told = item(&mut s, &far);
    assert_eq!(
        (told.state, told.detail.as_str()),
        (EvidenceState::Lacking, "bay A3–A4 not read on wire 12")
    );
    s.tension(a, 12, &other, 1500, Taken::Final, 1);
    assert_eq!(item(&mut s, &far).state, EvidenceState::There);
}

#[test]
fn of_two_bays_alike_either_is_read() {
    let mut s = fitted();
    let b = s.b;
    // Both bays of the stair are 985 level and as far from the tensioners at both ends.
    let lower = s.bay_place("B2", "B3");
    for wire in 1..=8 {
        s.tension(b, wire, &lower, 1500, Taken::Final, 1);
    }
    let found = s.with_job(|job| tensions(job, b).unwrap());
    assert_eq!(found.to_read, ["A6–B2"]);
    assert!(found.lines.iter().all(|l| l.not_read.is_empty()));
}

#[test]
fn a_crew_without_a_gauge_gets_there_with_the_hung_mass() {
    let mut s = fitted();
    let a = s.a;
    let hang = |s: &mut Scene, wire: u32, at: (&str, &str), nm: i64| {
        let bay = s.bay_place(at.0, at.1);
        let read = tension_read(Method::HungMass, Taken::Final, None);
        let hung = Deflection {
            nm,
            mass_mg: 2_000_000,
        };
        let wire = Subject::Wire(a, wire);
        s.say(fields::WIRE_DEFLECTION, &wire, &bay, hung, Some(read));
    };
    for wire in 1..=12 {
        hang(&mut s, wire, ("A2", "A3"), 4_500_000);
    }
    // One of the two bays to read is not enough.
    assert!(
        seen(&mut s)
            .wires
            .iter()
            .all(|w| w.stage < Stage::Tensioned)
    );
    for wire in 1..=12 {
        hang(&mut s, wire, ("A3", "A4"), 4_500_000);
    }
    let found = s.with_job(|job| tensions(job, a).unwrap());
    assert!(
        found
            .lines
            .iter()
            .all(|l| l.held_by_deflection == Some(Taken::Final))
    );
    assert!(stage_of_all(&seen(&mut s), Stage::Tensioned));
    assert_eq!(
        item(&mut s, &format!("tension/{a}")).state,
        EvidenceState::There
    );
    offer(&mut s, 125, ProbeResult::Stops);
    assert!(stage_of_all(&seen(&mut s), Stage::Checked));
    // scenario: 5 mm is the table's limit for the bay of 1410.
    hang(&mut s, 7, ("A2", "A3"), 5_100_000);
    assert!(seen(&mut s).wires[6].stage < Stage::Tensioned);
    let mass = format!("massCheck/{a}");
    assert_eq!(item(&mut s, &mass).state, EvidenceState::Lacking);
    // Tightened and hung again it is put right in the evidence too.
    hang(&mut s, 7, ("A2", "A3"), 4_600_000);
    assert_eq!(item(&mut s, &mass).state, EvidenceState::There);
    hang(&mut s, 7, ("A2", "A3"), 5_100_000);
    // What a gauge reads below is not argued away by a mass.
    let bay = s.bay_place("A2", "A3");
    s.tension(a, 8, &bay, 1200, Taken::Final, 1);
    assert!(seen(&mut s).wires[7].stage < Stage::Tensioned);
}

#[test]
fn a_recheck_on_the_same_day_is_none() {
    let mut s = fitted();
    let a = s.a;
    read_all(&mut s);
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        s.tension(a, wire, &bay, 1420, Taken::Recheck, 1);
    }
    let told = item(&mut s, &format!("recheck/{a}"));
    assert_eq!(told.state, EvidenceState::Lacking);
    assert!(told.detail.contains("within a week"), "{}", told.detail);
}

#[test]
fn a_defect_told_at_length_is_offered_by_its_first_words() {
    let mut s = fitted();
    let defect = s.create(ItemKind::Defect, fields::DEFECT_CREATED);
    let subject = Subject::Item(ItemKind::Defect, defect);
    let told = format!("Rail loose {}", "very ".repeat(2_000));
    s.say(fields::DEFECT_FOUND, &subject, "", told, None);
    let offered = s.offered().into_iter().map(|act| act.sentence);
    let act = offered.filter(|one| one.starts_with("Put right: Rail loose"));
    let lengths: Vec<usize> = act.map(|one| one.chars().count()).collect();
    assert_eq!(lengths, [92]);
}
