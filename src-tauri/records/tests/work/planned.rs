//! From where a run is tensioned on: what a hung mass told where no gauge read, and what the others show when a
//! wire was taken out.

use records::model::context::OnPiece;
use records::model::fields;
use records::model::values::{Deflection, Force, Method, Piece, Stage as Taken, Turns};
use records::subject::Subject;
use records::work::{NextWhat, NowFrom, Tensioning, tensioning};

use crate::scene::{Scene, fit_piece, fitted, on_piece, tension_read};

fn plan(s: &mut Scene) -> Tensioning {
    let a = s.a;
    s.with_job(|job| tensioning(job, a).unwrap())
}

fn hang(s: &mut Scene, wire: u32, at: (&str, &str), nm: i64, (stage, pass): (Taken, Option<u32>)) {
    let bay = s.bay_place(at.0, at.1);
    let mut with = tension_read(Method::HungMass, stage, None);
    with.pass = pass;
    let hung = Deflection {
        nm,
        mass_mg: 2_000_000,
    };
    let wire = Subject::Wire(s.a, wire);
    s.say(fields::WIRE_DEFLECTION, &wire, &bay, hung, Some(with));
}

const FINAL: (Taken, Option<u32>) = (Taken::Final, None);
const WIDE: (&str, &str) = ("A2", "A3");

/// Takes a wire out: its next piece begins.
fn taken_out(s: &mut Scene, wire: u32, number: u32) {
    let piece = Piece {
        number,
        reason: "kinked".into(),
    };
    let wire = Subject::Wire(s.a, wire);
    s.say(fields::WIRE_PIECE, &wire, "", piece, None);
}

#[test]
fn a_wire_that_no_gauge_read_stands_at_what_the_mass_tells() {
    let mut s = fitted();
    let a = s.a;
    let slack = plan(&mut s);
    assert_eq!(
        (slack.wires[0].from, slack.wires[0].now_n),
        (NowFrom::Slack, 0.0)
    );
    hang(&mut s, 1, WIDE, 5_200_000, FINAL);
    let hung = plan(&mut s);
    let first = &hung.wires[0];
    // 1308 N by the exact form of engineering's mass check, as a ruler can tell it.
    assert_eq!((first.from, first.now_n), (NowFrom::Mass, 1310.0));
    let turn = first.to.last().unwrap().turn.unwrap();
    let all_the_way = slack.wires[0].to.last().unwrap().turn.unwrap();
    assert!(!turn.back && turn.turns == 0, "{turn:?}");
    assert!(all_the_way.turns >= 5, "{all_the_way:?}");
    let note = hung
        .notes
        .iter()
        .find(|note| note.contains("hung mass"))
        .unwrap();
    assert!(note.starts_with("Run A, wire 1: "), "{note}");
    // It is led through no pass again.
    let passes = s.offered().into_iter();
    let passes: Vec<Subject> = passes
        .filter(|act| act.what == NextWhat::TensionPass)
        .map(|act| act.subject)
        .collect();
    assert!(passes.contains(&Subject::Wire(a, 2)) && !passes.contains(&Subject::Wire(a, 1)));
    // Once a gauge read it, it stands at that.
    let bay = s.bay_place("A2", "A3");
    s.tension(a, 1, &bay, 1400, Taken::Final, 1);
    let first = &plan(&mut s).wires[0];
    assert_eq!((first.from, first.now_n), (NowFrom::Read, 1400.0));
}

#[test]
fn masses_of_a_pass_are_counted_one_after_the_other() {
    let mut s = fitted();
    for wire in 1..=12 {
        hang(&mut s, wire, WIDE, 11_000_000, (Taken::Pass, Some(1)));
    }
    let hung = plan(&mut s);
    let now: Vec<f64> = hung.wires.iter().map(|wire| wire.now_n).collect();
    // The last one stands as it was brought, those before it fell as the others came: no mass told that.
    assert_eq!(hung.wires[11].from, NowFrom::Mass);
    assert_eq!(hung.wires[10].from, NowFrom::Computed);
    assert!((500.0..700.0).contains(&now[11]), "{now:?}");
    assert!(now[10] < now[11] && now[9] < now[10], "{now:?}");
}

#[test]
fn a_mass_of_a_later_round_than_the_gauges_counts_and_one_of_the_same_does_not() {
    let mut s = fitted();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        let mut with = tension_read(Method::Gauge, Taken::Pass, Some(s.gauge));
        with.pass = Some(1);
        let force = Force::newtons(600);
        s.say(
            fields::WIRE_TENSION,
            &Subject::Wire(a, wire),
            &bay,
            force,
            Some(with),
        );
    }
    assert!(plan(&mut s).wires[6].to.last().unwrap().turn.unwrap().turns >= 3);
    for wire in 1..=12 {
        hang(&mut s, wire, WIDE, 4_600_000, FINAL);
    }
    // 1488 N by the exact form.
    let hung = plan(&mut s);
    assert!(
        hung.wires
            .iter()
            .all(|wire| (wire.from, wire.now_n) == (NowFrom::Mass, 1490.0))
    );
    assert!(
        hung.even
            .iter()
            .all(|step| step.turn.turns == 0 && step.turn.flats <= 1),
        "{:?}",
        hung.even
    );
    // In the gauge's own round the gauge tells more closely.
    s.tension(a, 7, &bay, 1400, Taken::Final, 1);
    hang(&mut s, 7, WIDE, 4_000_000, FINAL);
    let seven = &plan(&mut s).wires[6];
    assert_eq!((seven.from, seven.now_n), (NowFrom::Read, 1400.0));
}

#[test]
fn a_mass_closes_the_turnings_that_were_told_before_it() {
    let mut s = fitted();
    let a = s.a;
    let turned = |s: &mut Scene| {
        let to = OnPiece {
            to_mn: Some(1_500_000),
            ..on_piece(1)
        };
        let turns = Turns { turns: 3, flats: 0 };
        let end = s.post("A1").to_string();
        s.say(
            fields::WIRE_TURNS,
            &Subject::Wire(a, 1),
            &end,
            turns,
            Some(to),
        );
        plan(s).wires[0].turned
    };
    assert_eq!(turned(&mut s).unwrap().turns, 3);
    hang(&mut s, 1, WIDE, 6_000_000, (Taken::Pass, Some(2)));
    assert_eq!(plan(&mut s).wires[0].turned, None);
    assert_eq!(turned(&mut s).unwrap().turns, 3);
}

#[test]
fn a_wire_that_is_over_by_all_that_a_mass_may_tell_is_let_out_and_nothing_else_is_turned() {
    let mut s = fitted();
    hang(&mut s, 1, WIDE, 2_000_000, FINAL);
    hang(&mut s, 12, ("A4a", "A5"), 2_400_000, FINAL);
    let told = plan(&mut s);
    assert_eq!(told.over, [1]);
    assert_eq!(told.missing, None);
    let [step] = told.even.as_slice() else {
        panic!("{:?}", told.even);
    };
    assert!(step.wire == 1 && step.turn.back);
    let note = told.even_note.unwrap();
    assert!(
        note.contains("by the hung mass, above the upper tension"),
        "{note}"
    );
}

#[test]
fn no_turn_is_counted_from_a_mass_that_tells_too_little() {
    let mut s = fitted();
    // 735 mm: half a millimetre of 2.4 makes more than the room between required and upper.
    hang(&mut s, 3, ("A4a", "A5"), 2_400_000, FINAL);
    let told = plan(&mut s);
    assert!(told.wires.is_empty() && told.even.is_empty());
    let missing = told.missing.unwrap();
    assert!(
        missing.starts_with("Run A, wire 3: read under a hung mass alone"),
        "{missing}"
    );
    // In a wide bay beside it the mass tells enough.
    hang(&mut s, 3, WIDE, 4_600_000, FINAL);
    assert_eq!(plan(&mut s).wires[2].from, NowFrom::Mass);
}

#[test]
fn the_others_rise_where_a_wire_is_taken_out() {
    let mut s = fitted();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        s.tension(a, wire, &bay, 1700, Taken::Final, 1);
    }
    taken_out(&mut s, 12, 2);
    let out = plan(&mut s);
    let now: Vec<f64> = out.wires.iter().map(|wire| wire.now_n).collect();
    assert_eq!((out.wires[11].from, now[11]), (NowFrom::Slack, 0.0));
    assert!(now[..11].iter().all(|n| *n >= 1700.0), "{now:?}");
    // Nearest to it on the posts most, and over what nothing may exceed.
    assert!(
        now[10] > now[6] && now[6] > now[0] && now[10] > 1800.0,
        "{now:?}"
    );
    assert_eq!(out.wires[10].from, NowFrom::Computed);
    assert!(out.over.contains(&11), "{:?}", out.over);
    let note = out.even_note.unwrap();
    assert!(note.contains("since another was taken out"), "{note}");
    // Taken out once more before it was tensioned nothing changes.
    taken_out(&mut s, 12, 3);
    let twice = plan(&mut s);
    assert_eq!(
        twice
            .wires
            .iter()
            .map(|wire| wire.now_n)
            .collect::<Vec<_>>(),
        now
    );
    // With its new piece as tight as the old one was, all stand as they did.
    fit_piece(&mut s, a, 12, 3);
    s.tension(a, 12, &bay, 1700, Taken::Final, 3);
    for wire in &plan(&mut s).wires {
        assert!((wire.now_n - 1700.0).abs() < 1.0, "{wire:?}");
    }
}

#[test]
fn wires_that_are_out_pull_nothing_whichever_came_out_first() {
    let now = |first: u32, then: u32| {
        let mut s = fitted();
        let a = s.a;
        let bay = s.bay_place("A2", "A3");
        for wire in 1..=12 {
            s.tension(a, wire, &bay, 1500, Taken::Final, 1);
        }
        for wire in [first, then] {
            taken_out(&mut s, wire, 2);
        }
        let told = plan(&mut s);
        told.wires.iter().map(|wire| wire.now_n).collect::<Vec<_>>()
    };
    let (one, other) = (now(11, 12), now(12, 11));
    assert_eq!((one[10], one[11]), (0.0, 0.0));
    assert!(one[9] > 1500.0);
    for (one, other) in one.iter().zip(&other) {
        assert!((one - other).abs() < 1.0, "{one} {other}");
    }
}

#[test]
fn where_a_mass_alone_told_of_a_piece_that_came_out_no_turns_are_told() {
    let mut s = fitted();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=11 {
        s.tension(a, wire, &bay, 1700, Taken::Final, 1);
    }
    hang(&mut s, 12, WIDE, 4_100_000, FINAL);
    assert_eq!(plan(&mut s).missing, None);
    taken_out(&mut s, 12, 2);
    let missing = plan(&mut s).missing.unwrap();
    assert!(
        missing.contains("wire 12: taken out after a hung mass alone"),
        "{missing}"
    );
    for wire in 1..=11 {
        s.tension(a, wire, &bay, 1790, Taken::Final, 1);
    }
    let told = plan(&mut s);
    assert_eq!((told.missing, told.wires[11].now_n), (None, 0.0));
}
