//! From where a run is tensioned on: what a hung mass told where no gauge read, and what the others show when a
//! wire was taken out.

use mechanics::Newtons;
use records::model::fields;
use records::model::values::{Deflection, Method, Piece, Stage as Taken};
use records::subject::Subject;
use records::work::{NextWhat, NowFrom, Tensioning, tensioning};

use crate::scene::{Scene, fit_piece, fitted, tension_read};

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

#[test]
fn a_wire_that_no_gauge_read_stands_at_what_the_mass_tells() {
    let mut s = fitted();
    let a = s.a;
    let slack = plan(&mut s);
    assert_eq!(
        (slack.wires[0].from, slack.wires[0].now_n),
        (NowFrom::Slack, 0.0)
    );
    hang(&mut s, 1, ("A2", "A3"), 5_200_000, FINAL);
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
        hang(
            &mut s,
            wire,
            ("A2", "A3"),
            11_000_000,
            (Taken::Pass, Some(1)),
        );
    }
    let hung = plan(&mut s);
    let now: Vec<f64> = hung.wires.iter().map(|wire| wire.now_n).collect();
    assert!(hung.wires.iter().all(|wire| wire.from == NowFrom::Mass));
    // The last one stands as it was brought, those before it fell as the others came.
    let last = now[11];
    assert!((500.0..700.0).contains(&last), "{now:?}");
    assert!(now[10] < last && now[9] < now[10], "{now:?}");
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
    hang(&mut s, 3, ("A2", "A3"), 4_600_000, FINAL);
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
    let piece = Piece {
        number: 2,
        reason: "kinked".into(),
    };
    s.say(fields::WIRE_PIECE, &Subject::Wire(a, 12), "", piece, None);
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
    // With its new piece as tight as the old one was, all stand as they did.
    fit_piece(&mut s, a, 12, 2);
    s.tension(a, 12, &bay, 1700, Taken::Final, 2);
    let back = plan(&mut s);
    for wire in &back.wires {
        assert!(
            Newtons(wire.now_n - 1700.0).abs() < Newtons(1.0),
            "{wire:?}"
        );
    }
}
