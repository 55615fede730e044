//! What a cut rests on: facts that people dispute, and ends that no cut is computed for.

use records::model::fields;
use records::subject::Subject;
use records::work::{RefusalCode, cut_sheet};

use crate::refusals::refused;
use crate::scene::{Scene, measured, mm};

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
        solid: None,
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
        overhang_nm: None,
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
        overhang_nm: None,
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
        aside_nm: None,
        other_enters: None,
    };
    let code_of = |word: &str| match word {
        "glass edge" => RefusalCode::NoAnchor,
        "No end of run A is told as tensioned"
        | "RH terminal of its fitting set is a turnbuckle" => RefusalCode::PartsMissing,
        _ => RefusalCode::OnSite,
    };
    let refuse = |change: &dyn Fn(&mut Scene), word: &str| {
        let mut s = measured();
        let a = s.a;
        change(&mut s);
        let found = refused(&mut s, a);
        assert_eq!(found.len(), 12, "{word}");
        for (_, code, sentence) in found {
            assert_eq!(code, code_of(word), "{sentence}");
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
                embedment_nm: None,
                edge_nm: None,
                gate_across: None,
                gate_clear_nm: None,
                gate_leaf_nm: None,
                gate_leaf_thick_nm: None,
                gate_hinge_gap_nm: None,
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
        aside_nm: None,
        other_enters: None,
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
