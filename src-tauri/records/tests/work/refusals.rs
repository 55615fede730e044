//! What can't be cut, and why.

use records::ids::Hash;
use records::model::fields;
use records::model::values::{CutIssue, PostState, Purpose};
use records::record::{Draft, value_data};
use records::subject::Subject;
use records::work::{RefusalCode, cut_sheet};

use crate::scene::{Scene, cut_read, measured, mm, surveyed};

fn refused(s: &mut Scene, run: records::ids::ItemId) -> Vec<(u32, RefusalCode, String)> {
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
    // engineering.md section 2: var = (1 − ζ)²s² + ζ²s² + (4ζ(1 − ζ)·s_B)², s = 1, s_B = 2; 2.121 in
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
    terminals.left.lock_nut_nm = 16_000_000;
    terminals.right.lock_nut_nm = 16_000_000;
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
fn a_release_whose_length_was_corrected_is_marked() {
    let mut s = measured();
    let a = s.a;
    let line = s.with_job(|job| {
        let sheet = cut_sheet(job, a).unwrap();
        sheet.lines.iter().find(|l| l.wire == 12).cloned().unwrap()
    });
    let issue = CutIssue {
        cut_nm: mm(line.aim_mm.unwrap()).nm,
        shortest_nm: mm(line.shortest_mm.unwrap()).nm,
        longest_nm: mm(line.longest_mm.unwrap()).nm,
        deduction: None,
    };
    let mut data = value_data("1", &serde_json::to_value(issue).unwrap());
    data.insert(
        "with".into(),
        serde_json::json!({"program": "test", "numbers": line.numbers}),
    );
    let draft = Draft {
        kind: fields::WIRE_CUT_ISSUED.kind(),
        subject: line.subject.to_string(),
        basis: line.basis.clone(),
        data,
        ..Draft::default()
    };
    let (job, person) = (s.device.job(), s.device.person());
    s.device.record.act(job, person, vec![draft]).unwrap();
    let issued = |s: &mut Scene| {
        s.with_job(|job| {
            let sheet = cut_sheet(job, a).unwrap();
            let line = sheet.lines.iter().find(|l| l.wire == 12).unwrap();
            line.issued.clone().unwrap()
        })
    };
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

/// Says a fact of one thing twice, apart from one another.
fn twice<T: serde::Serialize, C: serde::Serialize>(
    s: &mut Scene,
    field: records::model::Field<T, C>,
    subject: &Subject,
    place: &str,
    values: [T; 2],
) {
    let over = s.tips(field.name, subject, place);
    for value in values {
        s.say_over(field, subject, place, Some(value), None::<C>, over.clone());
    }
}

#[test]
fn no_cut_rests_on_a_disputed_fact_and_the_fact_is_named() {
    use records::model::values::{PostRole, Rail, Section, Shape, Slope};
    let section = |side: i64| Section {
        along_nm: side * 1_000_000,
        across_nm: side * 1_000_000,
        wall_nm: None,
    };
    let rail = |stiffness: i64| Rail {
        underside_nm: 985_000_000,
        thickness_nm: 35_000_000,
        stiffness_n_per_m: Some(stiffness),
        stiffness_height_nm: None,
    };
    let slope = |rise: i64| Slope {
        rise_nm: rise * 1_000_000,
        going_nm: 250_000_000,
        risers: None,
    };
    type Say = fn(&mut Scene, Section, Section, [Rail; 2], [Slope; 2]);
    let cases: [(&str, Say); 5] = [
        ("cross section of post A1", |s, a, b, _, _| {
            let post = Subject::post(s.post("A1"));
            twice(s, fields::POST_SECTION, &post, "", [a, b]);
        }),
        ("rail of run A", |s, _, _, rails, _| {
            let run = Subject::run(s.a);
            twice(s, fields::RUN_RAIL, &run, "", rails);
        }),
        ("slope of run A", |s, _, _, _, slopes| {
            let run = Subject::run(s.a);
            twice(s, fields::RUN_SLOPE, &run, "", slopes);
        }),
        ("shape of run A", |s, _, _, _, _| {
            let run = Subject::run(s.a);
            twice(s, fields::RUN_SHAPE, &run, "", [Shape::Level, Shape::Raked]);
        }),
        ("role of post A6", |s, _, _, _, _| {
            let (post, place) = (Subject::post(s.post("A6")), s.a.to_string());
            let roles = [PostRole::Anchor, PostRole::Intermediate];
            twice(s, fields::POST_ROLE, &post, &place, roles);
        }),
    ];
    for (name, say) in cases {
        let mut s = measured();
        let a = s.a;
        say(
            &mut s,
            section(90),
            section(115),
            [rail(500_000), rail(300_000)],
            [slope(170), slope(180)],
        );
        let found = refused(&mut s, a);
        assert_eq!(found.len(), 12, "{name}");
        for (_, code, sentence) in found {
            assert_eq!(code, RefusalCode::Disputed);
            assert!(
                sentence.contains(name) && sentence.contains("disputed"),
                "{sentence}"
            );
        }
        let problems = s.with_job(|job| records::work::before_ordering(job, a).unwrap().problems);
        assert!(
            problems.iter().any(
                |p| p.code == records::work::ProblemCode::Disputed && p.sentence.contains(name)
            ),
            "{name}: {problems:?}"
        );
    }
}

#[test]
fn a_disputed_slope_is_not_taken_as_level_nor_a_disputed_floor_as_none() {
    use records::model::values::Slope;
    use records::work::{Topic, before_ordering, tension_plan};
    let mut s = measured();
    let b = s.b;
    let slope = |rise: i64| Slope {
        rise_nm: rise * 1_000_000,
        going_nm: 250_000_000,
        risers: None,
    };
    let run = Subject::run(b);
    twice(
        &mut s,
        fields::RUN_SLOPE,
        &run,
        "",
        [slope(178), slope(150)],
    );
    let answer = s.with_job(|job| before_ordering(job, b).unwrap());
    assert_eq!(answer.bays, Vec::new(), "no row is read from a guess");
    let said = |notes: &[String], what: &str| notes.iter().any(|n| n.contains(what));
    assert!(said(&answer.notes, "slope disputed"), "{:?}", answer.notes);
    assert!(!said(&answer.notes, "taken as level"), "{:?}", answer.notes);
    let plan = s.with_job(|job| tension_plan(job, b).unwrap());
    assert!(
        said(&plan.unsettled, "slope of run B is disputed"),
        "{:?}",
        plan.unsettled
    );
    assert!(said(&plan.issues, "slope of run B is disputed"));
    // The coming floor: the thicker word leaves the lesser height.
    let mut s = measured();
    let a = s.a;
    let job = Subject::Job(s.device.job());
    twice(
        &mut s,
        fields::JOB_COMING_FLOOR,
        &job,
        "",
        [mm(10.0), mm(25.0)],
    );
    let answer = s.with_job(|job| before_ordering(job, a).unwrap());
    let height = answer.findings.iter().find(|f| f.topic == Topic::Height);
    crate::near(height.unwrap().actual.unwrap().value, 1020.0 - 25.0, 1e-9);
    assert!(
        said(&answer.notes, "coming floor is disputed"),
        "{:?}",
        answer.notes
    );
    // The pool, the fall and the lining are named; no default slips in unsaid.
    twice(&mut s, fields::JOB_POOL, &job, "", [true, false]);
    twice(
        &mut s,
        fields::RUN_FALL,
        &Subject::run(a),
        "",
        [mm(900.0), mm(1600.0)],
    );
    let linings = [
        records::model::values::Lining::Sleeve,
        records::model::values::Lining::GrommetHalves,
    ];
    twice(&mut s, fields::RUN_LINING, &Subject::run(a), "", linings);
    let answer = s.with_job(|job| before_ordering(job, a).unwrap());
    assert!(
        said(&answer.notes, "pool's boundary is disputed"),
        "{:?}",
        answer.notes
    );
    assert!(
        said(&answer.notes, "The fall is disputed"),
        "{:?}",
        answer.notes
    );
    assert!(
        answer
            .findings
            .iter()
            .all(|f| f.topic != Topic::BarrierNeeded)
    );
    let take = s.with_job(|job| records::work::take_off(job).unwrap());
    assert!(
        said(&take.notes, "lines the holes of run A is disputed"),
        "{:?}",
        take.notes
    );
}

#[test]
fn ends_and_corners_that_no_cut_is_computed_for_are_refused_in_words() {
    use records::model::values::{End, EndKind, Hand, PostRole, Support, SupportKind};
    let end = |kind, tensioner| End {
        kind,
        hand: Hand::Left,
        tensioner,
        angled_seat: false,
    };
    let refuse = |change: &dyn Fn(&mut Scene), word: &str| {
        let mut s = measured();
        let a = s.a;
        change(&mut s);
        let found = refused(&mut s, a);
        assert_eq!(found.len(), 12, "{word}");
        for (_, code, sentence) in found {
            assert_eq!(code, RefusalCode::NotComputed, "{sentence}");
            assert!(sentence.contains(word), "{sentence}");
        }
    };
    let set_end = |s: &mut Scene, post: &str, end: End| {
        let (post, place) = (Subject::post(s.post(post)), s.a.to_string());
        s.say(fields::POST_END, &post, &place, end, None);
    };
    for (kind, word) in [
        (EndKind::FixedEnd, "fixed end"),
        (EndKind::Turnbuckle, "turnbuckle"),
        (EndKind::Eye, "eye"),
        (EndKind::WallPlate, "wall plate"),
        (EndKind::ThroughBolt, "through-bolt"),
    ] {
        refuse(&|s| set_end(s, "A1", end(kind, false)), word);
    }
    refuse(
        &|s| {
            let (post, place) = (Subject::post(s.post("A3")), s.a.to_string());
            s.say(fields::POST_ROLE, &post, &place, PostRole::Corner, None);
        },
        "corner at post A3",
    );
    refuse(
        &|s| {
            let glass = Support {
                kind: SupportKind::GlassEdge,
                counts_as_post: None,
                confirmed_by: None,
                substrate: None,
            };
            let post = Subject::post(s.post("A6"));
            s.say(fields::POST_SUPPORT, &post, "", glass, None);
        },
        "glass edge",
    );
    refuse(
        &|s| {
            set_end(s, "A1", end(EndKind::Insert, false));
            let last = End {
                hand: Hand::Right,
                ..end(EndKind::Insert, false)
            };
            set_end(s, "A6", last);
        },
        "No end of run A is told as tensioned",
    );
    refuse(
        &|s| {
            let fitting = Subject::Item(records::subject::ItemKind::FittingSet, s.fitting);
            let mut terminals = records::library::fitting_sets()[0].terminals.clone();
            terminals.right.kind = EndKind::Turnbuckle;
            s.say(fields::FITTING_TERMINALS, &fitting, "", terminals, None);
        },
        "RH terminal of its fitting set is a turnbuckle",
    );
}

#[test]
fn one_tensioner_takes_up_no_more_than_its_own_thread() {
    use records::model::values::{End, EndKind, Hand};
    let mut s = measured();
    let a = s.a;
    let before = s.with_job(|job| cut_sheet(job, a).unwrap());
    let (post, place) = (Subject::post(s.post("A1")), a.to_string());
    let end = End {
        kind: EndKind::Insert,
        hand: Hand::Left,
        tensioner: false,
        angled_seat: false,
    };
    s.say(fields::POST_END, &post, &place, end, None);
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert!(
        sheet
            .notes
            .iter()
            .any(|n| n.contains("Tensioned at A6 alone")),
        "{:?}",
        sheet.notes
    );
    // h 30, nut 3.2, r 4, x_start 2: 20.8 mm. A1 has its stretch and 0.2 mm of the posts to take up.
    let of = |sheet: &records::work::CutSheet, wire: u32| {
        sheet
            .lines
            .iter()
            .find(|l| l.wire == wire)
            .cloned()
            .unwrap()
    };
    for wire in 1..=12 {
        let (both, one) = (of(&before, wire), of(&sheet, wire));
        let needed = both.stretch_mm.unwrap() + both.inward_mm.unwrap();
        match &one.refused {
            None => {
                assert!(needed <= 20.9, "wire {wire}: {needed}");
                assert!(one.shortest_mm >= both.shortest_mm);
                assert_eq!(one.longest_mm, both.longest_mm);
            }
            Some(refusal) => {
                assert!(needed > 20.7, "wire {wire}: {needed}");
                assert_eq!(refusal.code, RefusalCode::NoWindow);
                assert!(refusal.sentence.contains("Tension at both ends"));
            }
        }
    }
    assert!(of(&sheet, 1).refused.is_none());
    assert!(of(&sheet, 12).refused.is_some());
}
