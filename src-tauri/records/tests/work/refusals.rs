//! What can't be cut, and why.

use records::ids::Hash;
use records::library;
use records::model::fields;
use records::model::values::{Hand, PostState, Purpose};
use records::record::{Draft, value_data};
use records::subject::{ItemKind, Subject};
use records::work::{RefusalCode, cut_sheet};

use crate::released::line_of;
use crate::scene::{MM, Scene, cut_read, measured, mm, surveyed};

pub(crate) fn refused(s: &mut Scene, run: records::ids::ItemId) -> Vec<(u32, RefusalCode, String)> {
    let sheet = s.with_job(|job| cut_sheet(job, run).unwrap());
    let mut found: Vec<_> = sheet
        .lines
        .iter()
        .filter_map(|l| l.refused.clone().map(|r| (l.wire, r.code, r.sentence)))
        .collect();
    found.sort();
    found
}

fn codes(s: &mut Scene, run: records::ids::ItemId) -> Vec<(u32, RefusalCode)> {
    refused(s, run)
        .into_iter()
        .map(|(w, c, _)| (w, c))
        .collect()
}

/// Another word over the only reading of a wire.
fn correct(s: &mut Scene, wire: u32, length: f64, over: Vec<Hash>) {
    let subject = Subject::Wire(s.a, wire);
    s.say_over(
        fields::WIRE_LENGTH,
        &subject,
        "",
        Some(mm(length)),
        Some(cut_read()),
        over,
    );
}

#[test]
fn nothing_is_cut_before_it_is_measured_and_tensions_are_decided() {
    let mut s = surveyed();
    let a = s.a;
    let found = codes(&mut s, a);
    assert_eq!(found.len(), 12);
    assert!(found.iter().all(|(_, c)| *c == RefusalCode::NotMeasured));
    for (wire, length) in [(1, 7294.0), (6, 7300.0), (12, 7305.0)] {
        s.measure(a, wire, length);
    }
    let found = codes(&mut s, a);
    assert_eq!(found.len(), 12);
    assert!(found.iter().all(|(_, c)| *c == RefusalCode::NoTension));
}

#[test]
fn a_disputed_length_blocks_its_wire_and_all_that_rest_on_it() {
    let mut s = measured();
    let a = s.a;
    let twelve = s.tips("length", &Subject::Wire(a, 12), "");
    correct(&mut s, 12, 7303.0, twelve.clone());
    correct(&mut s, 12, 7309.0, twelve);
    let found = codes(&mut s, a);
    // Three readings make one curve: every interpolated wire rests on wire 12 too.
    let mut expected: Vec<(u32, RefusalCode)> = [2, 3, 4, 5, 7, 8, 9, 10, 11]
        .map(|w| (w, RefusalCode::RestsOnRefused))
        .to_vec();
    expected.push((12, RefusalCode::Disputed));
    assert_eq!(found, expected);
    // Measured again, over both: settled, and back to the scenario's cuts.
    let both = s.tips("length", &Subject::Wire(a, 12), "");
    assert_eq!(both.len(), 2);
    correct(&mut s, 12, 7305.0, both);
    assert_eq!(codes(&mut s, a), Vec::new());
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert_eq!(sheet.totals.aims_mm, 86_815.0);
}

#[test]
fn with_more_readings_only_the_neighbours_are_blocked() {
    let mut s = measured();
    let a = s.a;
    s.measure(a, 9, 7303.0);
    let twelve = s.tips("length", &Subject::Wire(a, 12), "");
    correct(&mut s, 12, 7303.0, twelve.clone());
    correct(&mut s, 12, 7309.0, twelve);
    let found = codes(&mut s, a);
    let expected = [
        (10, RefusalCode::RestsOnRefused),
        (11, RefusalCode::RestsOnRefused),
        (12, RefusalCode::Disputed),
    ];
    assert_eq!(found, expected);
}

#[test]
fn a_quote_length_and_an_early_one_are_refused_with_their_state() {
    let mut s = measured();
    let a = s.a;
    for (wire, purpose, posts) in [
        (2, Purpose::Quote, PostState::InsertsIn),
        (3, Purpose::Cut, PostState::Loose),
        (4, Purpose::Cut, PostState::Fixed),
    ] {
        let read = records::model::context::LengthRead {
            purpose,
            posts,
            ..cut_read()
        };
        let subject = Subject::Wire(a, wire);
        s.say(fields::WIRE_LENGTH, &subject, "", mm(7296.0), Some(read));
    }
    let found = refused(&mut s, a);
    let of = |wire: u32| found.iter().find(|f| f.0 == wire).unwrap();
    assert_eq!(of(2).1, RefusalCode::QuoteOnly);
    assert_eq!(of(3).1, RefusalCode::TooEarly);
    assert!(of(3).2.contains("posts loose"), "{}", of(3).2);
    assert_eq!(of(4).1, RefusalCode::TooEarly);
    assert!(of(4).2.contains("rail not on"), "{}", of(4).2);
    // Wire 5 stands between 4, read too early, and 6.
    assert_eq!(of(5).1, RefusalCode::RestsOnRefused);
    // Above wire 6 nothing is in doubt.
    assert!(found.iter().all(|(wire, _, _)| *wire < 6));
}

#[test]
fn what_a_newer_version_changed_is_refused() {
    let mut s = measured();
    let a = s.a;
    let six = s.tips("length", &Subject::Wire(a, 6), "");
    let draft = Draft {
        kind: "wire.lengthInAnotherWay".into(),
        subject: Subject::Wire(a, 6).to_string(),
        over: six,
        data: value_data("", &serde_json::json!({"nm": 1})),
        ..Draft::default()
    };
    let (job, person) = (s.device.job(), s.device.person());
    s.device.record.act(job, person, vec![draft]).unwrap();
    let found = codes(&mut s, a);
    assert!(found.contains(&(6, RefusalCode::Newer)), "{found:?}");
    assert!(found.contains(&(5, RefusalCode::RestsOnRefused)));
}

#[test]
fn top_and_bottom_alone_leave_the_middle_to_be_interpolated_with_a_wider_spread() {
    let mut s = measured();
    let a = s.a;
    let six = s.tips("length", &Subject::Wire(a, 6), "");
    s.say_over(
        fields::WIRE_LENGTH,
        &Subject::Wire(a, 6),
        "",
        None::<records::model::values::Length>,
        None::<records::model::context::LengthRead>,
        six,
    );
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    let line = sheet.lines.iter().find(|l| l.wire == 6).unwrap();
    assert_eq!(line.interpolated_from, vec![1, 12]);
    // var = (1 − ζ)²s² + ζ²s² + (4ζ(1 − ζ)·s_B)², s = 1, s_B = 2; 2.121 in
    // the middle, and wire 6 stands at ζ = 380/836.
    crate::near(line.inside_spread_mm.unwrap(), 2.1067, 0.0005);
    let problems = s.with_job(|job| records::work::before_ordering(job, a).unwrap().problems);
    assert!(
        problems
            .iter()
            .any(|p| p.code == records::work::ProblemCode::MeasureMiddle
                && p.sentence.contains("11 mm")),
        "{problems:?}"
    );
}

#[test]
fn no_window_is_refused_with_what_takes_the_thread() {
    let mut s = measured();
    let a = s.a;
    let fitting = Subject::Item(records::subject::ItemKind::FittingSet, s.fitting);
    let mut terminals = records::library::fitting_sets()[0].terminals.clone();
    terminals.left.lock_nut_nm = Some(16_000_000);
    terminals.right.lock_nut_nm = Some(16_000_000);
    s.say(fields::FITTING_TERMINALS, &fitting, "", terminals, None);
    let found = refused(&mut s, a);
    assert!(!found.is_empty());
    assert!(found.iter().all(|f| f.1 == RefusalCode::NoWindow));
    assert!(
        found[0].2.contains("lock nuts take 32 mm"),
        "{}",
        found[0].2
    );
}

#[test]
fn a_length_in_which_the_terminals_leave_no_strand_says_so_and_so_do_its_turns() {
    let mut s = measured();
    let a = s.a;
    for wire in [1, 6, 12] {
        let subject = Subject::Wire(a, wire);
        let tips = s.tips("length", &subject, "");
        let with = Some(crate::scene::cut_read());
        let short = records::model::values::Length::mm(50);
        s.say_over(fields::WIRE_LENGTH, &subject, "", Some(short), with, tips);
    }
    let found = refused(&mut s, a);
    assert!(!found.is_empty());
    for (_, _, sentence) in &found {
        assert!(
            sentence.contains("50 mm inside to inside is too short"),
            "{sentence}"
        );
    }
    let turns = s.with_job(|job| records::work::tensioning(job, a).unwrap());
    let missing = turns.missing.unwrap();
    assert!(
        missing.contains("too short") && !missing.contains("measure its wires first"),
        "{missing}"
    );
}

#[test]
fn a_run_whose_posts_are_not_told_yet_is_asked_by_its_planned_wires() {
    let mut s = measured();
    let run = s.create(records::subject::ItemKind::Run, fields::RUN_CREATED);
    let subject = Subject::Item(records::subject::ItemKind::Run, run);
    s.say(fields::RUN_WIRE_COUNT, &subject, "", 2, None);
    let heights = records::model::values::WireHeights {
        nm: vec![90_000_000, 180_000_000],
    };
    s.say(fields::RUN_WIRE_HEIGHTS, &subject, "", heights, None);
    let (strand, fitting) = (s.strand, s.fitting);
    s.say(fields::RUN_STRAND, &subject, "", strand, None);
    s.say(fields::RUN_FITTING_SET, &subject, "", fitting, None);
    let asked = s.with_job(|job| records::work::before_ordering(job, run));
    assert!(asked.is_ok(), "{asked:?}");
    let progress = s.with_job(|job| records::work::progress(job, run));
    assert!(progress.is_ok(), "{progress:?}");
}

#[test]
fn a_release_whose_length_was_corrected_is_marked() {
    let mut s = measured();
    let a = s.a;
    s.release(a, 12);
    let issued = |s: &mut Scene| s.with_job(|job| line_of(job, a, 12).issued.unwrap());
    let before = issued(&mut s);
    assert_eq!(before.cut_mm, 7237.0);
    assert!(before.basis_stands);
    let twelve = s.tips("length", &Subject::Wire(a, 12), "");
    correct(&mut s, 12, 7301.0, twelve);
    assert!(!issued(&mut s).basis_stands);
}

#[test]
fn inserts_that_stand_proud_shorten_the_length() {
    let mut s = measured();
    let a = s.a;
    let read = records::model::context::LengthRead {
        faces: records::model::values::Faces::PostFaces,
        proud_nm: Some(4_000_000),
        ..cut_read()
    };
    let twelve = s.tips("length", &Subject::Wire(a, 12), "");
    s.say_over(
        fields::WIRE_LENGTH,
        &Subject::Wire(a, 12),
        "",
        Some(mm(7309.0)),
        Some(read),
        twelve,
    );
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    let line = sheet.lines.iter().find(|l| l.wire == 12).unwrap();
    assert_eq!(line.inside_mm, Some(7305.0));
    assert_eq!(line.aim_mm, Some(7237.0));
}

#[test]
fn a_quote_length_neither_carries_nor_blocks_an_interpolation() {
    let mut s = measured();
    let a = s.a;
    let read = records::model::context::LengthRead {
        purpose: Purpose::Quote,
        ..cut_read()
    };
    let subject = Subject::Wire(a, 4);
    s.say(
        fields::WIRE_LENGTH,
        &subject,
        "",
        mm(7200.0),
        Some(read.clone()),
    );
    assert_eq!(codes(&mut s, a), [(4, RefusalCode::QuoteOnly)]);
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    let fifth = sheet.lines.iter().find(|l| l.wire == 5).unwrap();
    assert_eq!(fifth.interpolated_from, vec![1, 6, 12]);
    assert_eq!(fifth.aim_mm, Some(7234.0));
    // Quotes alone carry nothing: neither the read wires nor those between are cut.
    let mut s = crate::scene::surveyed();
    let a = s.a;
    for wire in [1, 12] {
        let subject = Subject::Wire(a, wire);
        s.say(
            fields::WIRE_LENGTH,
            &subject,
            "",
            mm(7300.0),
            Some(read.clone()),
        );
    }
    let found = refused(&mut s, a);
    assert_eq!(found.len(), 12);
    assert!(found[5].2.contains("read for a quote"), "{}", found[5].2);
}

/// The seat's length enters S, so each of both takes its whole length from
/// the cut. Figures of the scenario beside it: B4 at 2473 with seats that add nothing.
#[test]
fn a_seat_of_unknown_length_refuses_every_cut_of_its_run() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let set = Subject::Item(ItemKind::FittingSet, s.fitting);
    let seats = |s: &mut Scene, left: Option<i64>, right: Option<i64>| {
        let mut terminals = library::fitting_sets()[0].terminals.clone();
        (terminals.left.seat_nm, terminals.right.seat_nm) = (left, right);
        s.say(fields::FITTING_TERMINALS, &set, "", terminals, None);
    };
    let aim = |s: &mut Scene| {
        let sheet = s.with_job(|job| cut_sheet(job, b).unwrap());
        let line = sheet.lines.iter().find(|l| l.wire == 4).unwrap();
        line.aim_mm
    };
    assert_eq!(aim(&mut s), Some(2473.0));
    seats(&mut s, None, None);
    assert_eq!(codes(&mut s, a), Vec::new(), "run A stands on none");
    let found = refused(&mut s, b);
    assert_eq!(found.len(), 8);
    for (_, code, sentence) in &found {
        assert_eq!(*code, RefusalCode::PartsMissing);
        for word in [
            "Run B",
            "LH at post A6, RH at post B3",
            "Measure it along the wire",
        ] {
            assert!(sentence.contains(word), "{word} in {sentence}");
        }
    }
    assert_eq!(aim(&mut s), None);
    seats(&mut s, Some(9 * MM), None);
    let found = refused(&mut s, b);
    assert_eq!(found.len(), 8);
    assert!(found[0].2.contains("(RH at post B3)"), "{}", found[0].2);
    // 2 × 9 mm off, less nothing: 2473 − 18.
    seats(&mut s, Some(9 * MM), Some(9 * MM));
    assert_eq!((codes(&mut s, b), aim(&mut s)), (Vec::new(), Some(2455.0)));
    // Ends without seats ask for none.
    seats(&mut s, None, None);
    s.end("A6", b, Hand::Left, false);
    s.end("B3", b, Hand::Right, false);
    assert_eq!((codes(&mut s, b), aim(&mut s)), (Vec::new(), Some(2473.0)));
}
