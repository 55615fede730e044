//! Rechecks of wires that were left on other days than the rest, or read where they were not read before.

use records::model::fields;
use records::model::values::{Deflection, Force, Method, Piece, Stage};
use records::subject::Subject;
use records::work::{BandState, Recheck, recheck};

use crate::scene::{Scene, fit_piece, fitted, tension_read};

fn read(
    s: &mut Scene,
    wire: u32,
    at: (&str, &str),
    (newtons, celsius): (i64, i64),
    stage: Stage,
    piece: u32,
) {
    let bay = s.bay_place(at.0, at.1);
    let mut with = tension_read(Method::Gauge, stage, Some(s.gauge));
    (with.piece, with.air_cdeg) = (piece, Some(celsius * 100));
    let (wire, force) = (Subject::Wire(s.a, wire), Force::newtons(newtons));
    s.say(fields::WIRE_TENSION, &wire, &bay, force, Some(with));
}

/// Hangs 2 kg in the widest bay, in a recheck.
fn hang(s: &mut Scene, wire: u32, nm: i64) {
    let bay = s.bay_place(WIDE.0, WIDE.1);
    let with = tension_read(Method::HungMass, Stage::Recheck, None);
    let hung = Deflection {
        nm,
        mass_mg: 2_000_000,
    };
    let wire = Subject::Wire(s.a, wire);
    s.say(fields::WIRE_DEFLECTION, &wire, &bay, hung, Some(with));
}

fn again(s: &mut Scene) -> Recheck {
    let a = s.a;
    s.with_job(|job| recheck(job, a).unwrap())
}

const WIDE: (&str, &str) = ("A2", "A3");

#[test]
fn each_wire_is_held_against_the_warmth_of_its_own_two_readings() {
    let mut s = fitted();
    let a = s.a;
    for wire in 1..=12 {
        read(&mut s, wire, WIDE, (1500, 5), Stage::Final, 1);
    }
    let piece = Piece {
        number: 2,
        reason: "kinked".into(),
    };
    s.say(fields::WIRE_PIECE, &Subject::Wire(a, 12), "", piece, None);
    fit_piece(&mut s, a, 12, 2);
    read(&mut s, 12, WIDE, (1500, 30), Stage::Final, 2);
    for wire in 1..=12 {
        let piece = if wire == 12 { 2 } else { 1 };
        read(&mut s, wire, WIDE, (1400, 30), Stage::Recheck, piece);
    }
    let told = again(&mut s);
    let warmer = told
        .made_of
        .iter()
        .find(|n| n.name.starts_with("warmer"))
        .unwrap();
    assert_eq!(
        (&*warmer.value, warmer.name.contains("wire by wire")),
        ("0.0 to 25.0 K", true)
    );
    // 794 597 N · 16e-6 = 12.71 N a kelvin (engineering basis), 318 N in 25 K at most; posts that give keep a
    // part of it.
    let (cold, warm) = (&told.lines[10], &told.lines[11]);
    let more = warm.from_n - cold.from_n;
    assert!(
        (100.0..=320.0).contains(&more),
        "{} {}",
        cold.from_n,
        warm.from_n
    );
}

#[test]
fn a_bay_that_was_never_read_before_tells_no_loss_though_another_was_read_on_an_earlier_visit() {
    let mut s = fitted();
    for wire in 1..=12 {
        read(&mut s, wire, WIDE, (1500, 20), Stage::Final, 1);
        read(&mut s, wire, WIDE, (1450, 20), Stage::Recheck, 1);
    }
    assert_eq!(again(&mut s).lines[4].band, BandState::Within);
    // The clock goes on some eleven days later.
    s = Scene {
        device: s.device.reopen(),
        ..s
    };
    read(&mut s, 5, ("A4", "A4a"), (1000, 20), Stage::Recheck, 1);
    let told = again(&mut s);
    let five = &told.lines[4];
    assert_eq!(
        (five.read_n, five.band),
        (Some(1000.0), BandState::OtherBay)
    );
    assert!(told.to_turn.contains(&5));
    let said = five.sentence.as_ref().unwrap();
    assert!(said.contains("what it lost is not known"), "{said}");
    assert_eq!(told.lines[5].band, BandState::Within);
}

#[test]
fn a_wire_that_sags_under_the_mass_in_a_recheck_is_named() {
    let mut s = fitted();
    for wire in 1..=12 {
        read(&mut s, wire, WIDE, (1500, 20), Stage::Final, 1);
    }
    hang(&mut s, 7, 5_200_000);
    let told = again(&mut s);
    assert_eq!(told.to_turn, [7]);
    let said = told.lines[6].sentence.as_ref().unwrap();
    assert!(
        said.starts_with(
            "A7 goes down 5.2 mm under the hung mass in A2–A3, the table lets it be 5.0 mm: "
        ),
        "{said}"
    );
}

#[test]
fn a_wire_that_a_gauge_named_already_is_told_to_sag_beside_that() {
    for (reads, nm, begins, ends) in [
        (
            900,
            5_200_000,
            "A7 reads 900 N; it lost more than expected",
            "once it is turned, hang the mass there again.",
        ),
        (
            1900,
            6_000_000,
            "Stop. A7 is over the upper tension of 1800\u{a0}N: 1900 N in",
            "gauge and mass contradict, hang and read again.",
        ),
    ] {
        let mut s = fitted();
        for wire in 1..=12 {
            read(&mut s, wire, WIDE, (1500, 20), Stage::Final, 1);
        }
        read(&mut s, 7, WIDE, (reads, 20), Stage::Recheck, 1);
        hang(&mut s, 7, nm);
        let told = again(&mut s);
        assert_eq!(told.to_turn, [7]);
        let said = told.lines[6].sentence.as_ref().unwrap();
        assert!(said.starts_with(begins), "{said}");
        let also = format!(
            " A7 also goes down {:.1} mm under the hung mass in A2–A3, the table lets it be 5.0 mm: {ends}",
            nm as f64 / 1e6
        );
        assert!(said.ends_with(&also), "{said}");
    }
}
