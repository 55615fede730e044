//! Tension readings, progress and the next act on the worked job. Source: scenario.
//! One file past 400 lines, since progress and the next act follow from the same readings.

use records::model::context::TensionRead;
use records::model::fields;
use records::model::values::{
    Act, CrimpResult, Deflection, Force, Method, Piece, Stage as Taken, ToolKind,
};
use records::subject::{ItemKind, Subject};
use records::work::{
    ALL_ASKED, BayGaps, Flag, NextWhat, ReadingState, Stage, before_ordering, next_act,
    odd_deflection, progress, tensions,
};

use crate::near;
use crate::scene::{MM, Scene, fit, measured};

const FINAL_A: [i64; 12] = [
    1510, 1500, 1490, 1505, 1495, 1520, 1240, 1500, 1485, 1495, 1490, 1510,
];

fn read_a(s: &mut Scene) {
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    for (wire, n) in (1..).zip(FINAL_A) {
        s.tension(a, wire, &bay, n, Taken::Final, 1);
    }
}

#[test]
fn a_run_read_alone_is_the_run_of_the_whole_job() {
    let mut s = measured();
    let (a, b, job) = (s.a, s.b, s.device.job());
    fit(&mut s);
    read_a(&mut s);
    for run in [a, b] {
        let whole = s.with_job(|job| job.run(run).cloned().unwrap());
        assert_eq!(s.device.record.run(job, run).unwrap(), whole);
    }
    let gone = records::record::new_item().unwrap();
    let refused = s.device.record.run(job, gone).unwrap_err();
    assert!(matches!(
        refused,
        records::RecordError::Unknown { what: "run", .. }
    ));
}

#[test]
fn the_lowest_bay_of_the_newest_round_governs() {
    let mut s = measured();
    let a = s.a;
    fit(&mut s);
    read_a(&mut s);
    let tensioner = s.bay_place("A1", "A2");
    s.tension(a, 7, &tensioner, 1460, Taken::Final, 1);
    let found = s.with_job(|job| tensions(job, a).unwrap());
    // scenario: "clear from 1385*", "A7 reads 1240 in A2–A3 … 1460 in the tensioner's bay"
    assert_eq!(found.clear_from_n, Some(1385.0));
    let seven = &found.lines[6];
    assert_eq!(seven.state, ReadingState::Below);
    let governing = seven.governing.clone().unwrap();
    assert_eq!(
        (governing.newtons, governing.bay_name.as_str()),
        (Some(1240.0), "A2–A3")
    );
    assert_eq!(found.lowest_wire, Some(7));
    assert!(
        found
            .lines
            .iter()
            .filter(|l| l.wire != 7)
            .all(|l| l.state == ReadingState::Clear)
    );
    // A reading is told as it was read.
    assert_eq!(
        found.lines[0].governing.clone().unwrap().newtons,
        Some(1510.0)
    );
    assert_eq!(found.to_read, ["A2–A3", "A3–A4"]);
    assert_eq!(found.lines[0].not_read, ["A3–A4"]);
    let next = s.with_job(|job| next_act(job, &[]).unwrap().unwrap());
    assert_ne!(next.what, NextWhat::Raise, "passes of run B come before it");
    // scenario: "freed 1390, three flats more → 1495"
    let bay = s.bay_place("A2", "A3");
    s.tension(a, 7, &bay, 1390, Taken::Final, 1);
    s.tension(a, 7, &bay, 1495, Taken::Final, 1);
    let found = s.with_job(|job| tensions(job, a).unwrap());
    let seven = &found.lines[6];
    assert_eq!(seven.state, ReadingState::Clear);
    assert_eq!(seven.governing.clone().unwrap().newtons, Some(1460.0));
}

#[test]
fn a_recheck_governs_over_the_first_readings() {
    let mut s = measured();
    let a = s.a;
    fit(&mut s);
    read_a(&mut s);
    let bay = s.bay_place("A2", "A3");
    // scenario: "Recheck day 14: … 1345 1320 1310", required 1330
    let recheck = [
        1420, 1410, 1410, 1400, 1390, 1385, 1375, 1365, 1355, 1345, 1320, 1310,
    ];
    for (wire, n) in (1..).zip(recheck) {
        s.tension(a, wire, &bay, n, Taken::Recheck, 1);
    }
    let found = s.with_job(|job| tensions(job, a).unwrap());
    let states: Vec<ReadingState> = found.lines.iter().map(|l| l.state).collect();
    let mut expected = vec![ReadingState::Clear; 6];
    expected.extend([ReadingState::AtTheMark; 4]);
    expected.extend([ReadingState::Below; 2]);
    assert_eq!(states, expected);
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.wires[11].flag, Flag::Below);
    assert_eq!(seen.wires[11].letter, "!");
    // scenario: "A7–A12 then 1460 1450 1445 1445 1470 1500"
    for (wire, n) in (7..).zip([1460, 1450, 1445, 1445, 1470, 1500]) {
        s.tension(a, wire, &bay, n, Taken::Recheck, 1);
    }
    let found = s.with_job(|job| tensions(job, a).unwrap());
    assert!(found.lines.iter().all(|l| l.state == ReadingState::Clear));
    assert_eq!(found.lowest.clone().unwrap().newtons, Some(1385.0));
}

#[test]
fn sound_never_counts_and_an_unknown_error_is_never_clear() {
    let mut s = measured();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    let read = |method, gauge| TensionRead {
        entered: None,
        method,
        stage: Taken::Final,
        pass: None,
        piece: 1,
        gauge,
        raw: None,
        chart: None,
        repeat: None,
        air_cdeg: None,
        wire_cdeg: None,
        sun: None,
        reason: None,
        told: None,
    };
    let wire = Subject::Wire(a, 1);
    let sound = read(Method::Sound, None);
    s.say(
        fields::WIRE_TENSION,
        &wire,
        &bay,
        Force::newtons(1500),
        Some(sound),
    );
    let found = s.with_job(|job| tensions(job, a).unwrap());
    assert!(!found.lines[0].readings[0].counts);
    assert_eq!(found.lines[0].governing, None);
    assert_eq!(found.lines[0].state, ReadingState::Open);
    // A gauge whose error nobody stated: at the mark at best.
    let gauge = Subject::Item(records::subject::ItemKind::Tool, s.gauge);
    let error = s.tips("errorPer10000", &gauge, "");
    s.say_over(
        fields::TOOL_ERROR,
        &gauge,
        "",
        None::<i64>,
        None::<records::model::context::Said>,
        error,
    );
    let by_gauge = read(Method::Gauge, Some(s.gauge));
    s.say(
        fields::WIRE_TENSION,
        &wire,
        &bay,
        Force::newtons(1600),
        Some(by_gauge),
    );
    let found = s.with_job(|job| tensions(job, a).unwrap());
    assert_eq!(found.lines[0].state, ReadingState::AtTheMark);
}

#[test]
fn a_hung_mass_stands_beside_the_table() {
    let mut s = measured();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    let read = by_mass();
    // scenario: "2 kg (weighed 1.998) on A6 in A2–A3: 4.5 mm (1500 N computes 4.60*)"
    let deflection = Deflection {
        nm: 4_500_000,
        mass_mg: 1_998_000,
    };
    let wire = Subject::Wire(a, 6);
    s.say(fields::WIRE_DEFLECTION, &wire, &bay, deflection, Some(read));
    let found = s.with_job(|job| tensions(job, a).unwrap());
    let check = &found.lines[5].deflections[0];
    assert_eq!(check.most_mm, Some(5.0));
    assert_eq!(check.margin_mm, Some(0.5));
    near(check.mass_kg, 1.998, 1e-9);
    let (gripped, sliding) = (check.gripped_n.unwrap(), check.sliding_n.unwrap());
    assert!(gripped < sliding, "the careful answer is the lower one");
    // 4.60 mm is 1500 N, so 4.5 mm is a little more.
    assert!(sliding > 1500.0 && sliding < 1560.0, "{sliding}");
    let (least, most) = check.gripped_band_n.unwrap();
    assert!(least < gripped && gripped < most);
    assert!(
        check.sentence.contains("5 mm at most"),
        "{}",
        check.sentence
    );
    assert!(!check.at_the_mark, "the ruler's half millimetre is there");
    // 5 mm are within the table's 5, and half a millimetre of the ruler is not.
    let deflection = Deflection {
        nm: 5_000_000,
        mass_mg: 2_000_000,
    };
    s.say(
        fields::WIRE_DEFLECTION,
        &wire,
        &bay,
        deflection,
        Some(by_mass()),
    );
    let found = s.with_job(|job| tensions(job, a).unwrap());
    let mut checks = found.lines[5].deflections.iter();
    let check = checks.find(|c| c.deflection_mm > 4.9).unwrap();
    assert_eq!((check.margin_mm, check.at_the_mark), (Some(0.0), true));
    assert!(check.sentence.contains("at the mark"), "{}", check.sentence);
}

#[test]
fn a_deflection_that_tells_too_much_or_nothing_is_asked_about() {
    let mut s = measured();
    let a = s.a;
    let bay = s.bay_place("A2", "A3");
    let asked = |s: &mut crate::scene::Scene, um: i64, grams: i64| {
        let read = Deflection {
            nm: um * 1000,
            mass_mg: grams * 1000,
        };
        s.with_job(|job| odd_deflection(job, a, 6, &bay, read).unwrap())
    };
    // scenario: 4.5 mm, 1500 N; 3.9 mm tells 1785 N and may tell less than the upper 1800.
    for (um, grams) in [(4500, 1998), (3900, 1998), (12_000, 1998)] {
        assert_eq!(asked(&mut s, um, grams), None, "{um}");
    }
    for (um, grams, word) in [
        (0, 1998, "tells no tension"),
        (300, 1998, "tells no tension"),
        (500, 1998, "tells no tension"),
        (600, 1998, "over the upper tension of 1800 N. Stop."),
        (3000, 1998, "over the upper tension of 1800 N. Stop."),
        (4500, 1_000_000, "over the upper tension of 1800 N. Stop."),
        (400_000, 1998, "slack"),
    ] {
        let question = asked(&mut s, um, grams).unwrap();
        assert!(question.contains(word), "{um}: {question}");
    }
    // Nothing is held by one that a ruler can't tell, whoever said yes to it.
    let read = by_mass();
    let wire = Subject::Wire(a, 6);
    let tiny = Deflection {
        nm: 300_000,
        mass_mg: 2_000_000,
    };
    s.say(fields::WIRE_DEFLECTION, &wire, &bay, tiny, Some(read));
    let found = s.with_job(|job| tensions(job, a).unwrap());
    let check = &found.lines[5].deflections[0];
    assert_eq!((check.most_mm, check.margin_mm), (None, None));
    assert!(
        check.sentence.contains("not held against the table's 5 mm"),
        "{}",
        check.sentence
    );
}

pub(crate) fn by_mass() -> TensionRead {
    TensionRead {
        entered: None,
        method: Method::HungMass,
        stage: Taken::Final,
        pass: None,
        piece: 1,
        gauge: None,
        raw: None,
        chart: None,
        repeat: None,
        air_cdeg: None,
        wire_cdeg: None,
        sun: None,
        reason: None,
        told: None,
    }
}

#[test]
fn progress_follows_the_present_piece() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let first = s.with_job(|job| progress(job, a).unwrap());
    assert!(first.wires.iter().all(|w| w.stage == Stage::Measured));
    assert_eq!(first.wires[0].letter, "M");
    assert_eq!(first.wires[1].letter, "I");
    fit(&mut s);
    let seen = s.with_job(|job| progress(job, b).unwrap());
    assert!(
        seen.wires
            .iter()
            .all(|w| w.stage == Stage::Fitted && w.flag == Flag::None)
    );
    // scenario: "B3's lower end rejected …: wire remade"
    s.crimp(b, 3, "B3", CrimpResult::Reject, 1);
    let seen = s.with_job(|job| progress(job, b).unwrap());
    assert_eq!(seen.wires[2].flag, Flag::Rejected);
    let piece = Piece {
        number: 2,
        reason: "lower end rejected, mark 5 mm out".into(),
    };
    s.say(fields::WIRE_PIECE, &Subject::Wire(b, 3), "", piece, None);
    let seen = s.with_job(|job| progress(job, b).unwrap());
    let third = &seen.wires[2];
    assert_eq!(
        (third.stage, third.flag, third.piece),
        (Stage::Measured, Flag::None, 2)
    );
    assert_eq!(seen.wires[1].stage, Stage::Fitted);
}

#[test]
fn all_that_stands_out_of_a_wire_is_told_most_urgent_first() {
    let mut s = measured();
    let a = s.a;
    fit(&mut s);
    read_a(&mut s);
    s.crimp(a, 7, "A1", CrimpResult::Reject, 1);
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.wires[6].flags, [Flag::Rejected, Flag::Below]);
    assert_eq!(seen.wires[6].flag, Flag::Rejected);
    assert!(
        seen.wires[6]
            .words
            .ends_with(", an end rejected, below the required tension"),
        "{}",
        seen.wires[6].words
    );
    assert_eq!(seen.wires[7].flags, []);
}

#[test]
fn each_gauge_is_clear_from_its_own_figure() {
    let mut s = measured();
    let a = s.a;
    let fine = s.create(ItemKind::Tool, fields::TOOL_CREATED);
    let unknown = s.create(ItemKind::Tool, fields::TOOL_CREATED);
    for (gauge, error) in [(fine, Some(100)), (unknown, None)] {
        let gauge = Subject::Item(ItemKind::Tool, gauge);
        s.say(fields::TOOL_KIND, &gauge, "", ToolKind::TensionGauge, None);
        if let Some(error) = error {
            s.say(fields::TOOL_ERROR, &gauge, "", error, None);
        }
    }
    let found = s.with_job(|job| tensions(job, a).unwrap());
    let clear = |tool| {
        let gauge = found.gauges.iter().find(|g| g.tool == tool).unwrap();
        gauge.clear_from_n
    };
    // Clear is at least required ÷ (1 − the gauge's error): 1330 / 0.96 and 1330 / 0.99
    assert_eq!(clear(s.gauge), Some(1385.0));
    assert_eq!(clear(fine), Some(1343.0));
    // One that states no error is clear of nothing, as its readings are.
    assert_eq!(clear(unknown), None);
    assert_eq!(found.gauges.len(), 3);
}

#[test]
fn a_run_is_checked_once_all_gaps_stop() {
    let mut s = measured();
    let a = s.a;
    fit(&mut s);
    let bay = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        s.tension(a, wire, &bay, 1500, Taken::Final, 1);
    }
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert!(seen.wires.iter().all(|w| w.stage == Stage::Tensioned));
    assert!(seen.bays.iter().all(|b| b.gaps == BayGaps::None));
    let bays = [
        ("A1", "A2"),
        ("A2", "A3"),
        ("A3", "A4"),
        ("A4", "A4a"),
        ("A4a", "A5"),
        ("A5", "A6"),
    ];
    for (left, right) in bays {
        s.gaps_stop(a, left, right);
    }
    // one opening where it passes is an exception to "all stop"
    let failed = records::model::values::GapCheck {
        result: records::model::values::ProbeResult::Passes,
    };
    let read = records::model::context::GapRead {
        probe_nm: 125 * MM,
        ..records::model::context::GapRead::default()
    };
    let subject = s.bay("A3", "A4");
    let place = format!("{a}/6");
    s.say(
        fields::BAY_GAPS,
        &subject,
        &place,
        failed,
        Some(read.clone()),
    );
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.bays[2].gaps, BayGaps::Fails);
    assert_eq!(seen.bays[2].passes_above, [6]);
    assert!(seen.wires.iter().all(|w| w.stage == Stage::Tensioned));
    let stops = records::model::values::GapCheck {
        result: records::model::values::ProbeResult::Stops,
    };
    s.say(fields::BAY_GAPS, &subject, &place, stops, Some(read));
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert!(seen.gaps_stop);
    assert!(
        seen.wires
            .iter()
            .all(|w| w.stage == Stage::Checked && w.letter == "✓")
    );
}

#[test]
fn the_next_act_follows_the_act_and_not_the_wire() {
    let mut s = crate::scene::surveyed();
    let (a, b) = (s.a, s.b);
    // What the survey asks first stands in `asking`.
    let next = |s: &mut Scene, skipped: &[String]| {
        let skipped = [skipped, &[ALL_ASKED.to_owned()]].concat();
        s.with_job(|job| next_act(job, &skipped).unwrap().unwrap())
    };
    let one = next(&mut s, &[]);
    assert_eq!(
        (one.what, one.subject),
        (NextWhat::MeasureWire, Subject::Wire(a, 1))
    );
    assert_eq!(one.wires, [1, 6, 12]);
    let two = next(&mut s, std::slice::from_ref(&one.key));
    assert_eq!(two.subject, Subject::Wire(a, 6));
    let three = next(
        &mut s,
        &[one.key, two.key, format!("measureWire/wire:{a}:12")],
    );
    assert_eq!(
        three.subject,
        Subject::Wire(b, 1),
        "measuring goes on in the other run"
    );
    for (wire, length) in [(1, 7294.0), (6, 7300.0), (12, 7305.0)] {
        s.measure(a, wire, length);
    }
    for wire in 1..=8 {
        s.measure(b, wire, 2525.0 + f64::from(wire));
    }
    assert_eq!(next(&mut s, &[]).what, NextWhat::BeforeOrdering);
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let issue = next(&mut s, &[]);
    assert_eq!((issue.what, issue.left), (NextWhat::IssueCuts, 1));
    issue_all(&mut s, a);
    issue_all(&mut s, b);
    let cut = next(&mut s, &[]);
    assert_eq!(
        (cut.what, cut.subject),
        (NextWhat::CutWire, Subject::Wire(a, 6))
    );
    assert_eq!(cut.figure.as_deref(), Some("7235 mm"));
    assert!(cut.sentence.contains("trial wire A6"), "{}", cut.sentence);
    for (run, wires) in [(a, 12), (b, 8)] {
        for wire in 1..=wires {
            s.tick(run, wire, Act::Cut, 1);
        }
    }
    assert_eq!(next(&mut s, &[]).what, NextWhat::SampleCrimp);
    let skip = ["sampleCrimp/".to_owned() + &Subject::Job(s.device.job()).to_string()];
    let mark = next(&mut s, &skip);
    assert_eq!((mark.what, mark.left), (NextWhat::MarkInsertion, 12));
    for wire in 1..=12 {
        // The first wire's first end is pressed without it: the mark can still be made at its second.
        let act = if wire == 1 {
            Act::LeftEndPressed
        } else {
            Act::InsertionMarked
        };
        s.tick(a, wire, act, 1);
    }
    let mark = next(&mut s, &skip);
    assert_eq!(
        (mark.what, &mark.wires[..]),
        (NextWhat::MarkInsertion, &[1][..])
    );
    s.tick(a, 1, Act::RightEndPressed, 1);
    let mark = next(&mut s, &skip);
    assert_eq!((mark.run, mark.left), (Some(b), 8));
    for wire in 1..=8 {
        s.tick(b, wire, Act::MarksMade, 1);
    }
    let press = next(&mut s, &skip);
    assert_eq!((press.what, press.left), (NextWhat::PressFirstEnd, 11));
    fit(&mut s);
    let pass = next(&mut s, &[]);
    assert_eq!(pass.what, NextWhat::TensionPass);
    assert_eq!(pass.figure.as_deref(), Some("600 N"));
}

fn issue_all(s: &mut Scene, run: records::ids::ItemId) {
    let lines = s.with_job(|job| records::work::cut_sheet(job, run).unwrap().lines);
    for line in lines {
        let issue = records::model::values::CutIssue {
            cut_nm: crate::scene::mm(line.aim_mm.unwrap()).nm,
            shortest_nm: crate::scene::mm(line.shortest_mm.unwrap()).nm,
            longest_nm: crate::scene::mm(line.longest_mm.unwrap()).nm,
            deduction: None,
        };
        let told = records::model::context::Told::default();
        s.say(
            fields::WIRE_CUT_ISSUED,
            &line.subject,
            "1",
            issue,
            Some(told),
        );
    }
}

#[test]
fn a_dispute_is_offered_before_anything_else() {
    let mut s = measured();
    let a = s.a;
    let twelve = s.tips("length", &Subject::Wire(a, 12), "");
    for length in [7303.0, 7309.0] {
        s.say_over(
            fields::WIRE_LENGTH,
            &Subject::Wire(a, 12),
            "",
            Some(crate::scene::mm(length)),
            Some(crate::scene::cut_read()),
            twelve.clone(),
        );
    }
    let next = s.with_job(|job| next_act(job, &[]).unwrap().unwrap());
    assert_eq!(
        (next.what, next.subject),
        (NextWhat::Settle, Subject::Wire(a, 12))
    );
    let problems = s.with_job(|job| before_ordering(job, a).unwrap().problems);
    assert!(problems.iter().any(|p| p.subject == Subject::Wire(a, 12)));
}
