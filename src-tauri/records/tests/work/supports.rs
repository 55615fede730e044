//! Supports that only space, and ends that can't hold: what the table makes of them.

use records::ids::ItemId;
use records::model::context::Said;
use records::model::fields;
use records::model::values::{Deflection, Method, Stage, Support, SupportKind};
use records::subject::Subject;
use records::work::{
    BeforeOrdering, ProblemCode, before_ordering, progress, tension_plan, tensions,
};

use crate::scene::{MM, Scene, measured, mm};

fn ordering(s: &mut Scene, run: ItemId) -> BeforeOrdering {
    s.with_job(|job| before_ordering(job, run).unwrap())
}

fn support(kind: SupportKind, counts: Option<bool>, by: Option<&str>) -> Support {
    Support {
        kind,
        counts_as_post: counts,
        confirmed_by: by.map(str::to_owned),
        substrate: None,
        embedment_nm: None,
        edge_nm: None,
        gate_across: None,
        gate_clear_nm: None,
        gate_leaf_nm: None,
        gate_leaf_thick_nm: None,
        gate_hinge_gap_nm: None,
    }
}

fn set(s: &mut Scene, post: &str, support: Support) {
    let post = Subject::post(s.post(post));
    s.say(fields::POST_SUPPORT, &post, "", support, None);
}

#[test]
fn a_spreader_ends_no_bay_of_the_table_until_somebody_confirms_it() {
    let mut s = measured();
    let a = s.a;
    let said = [
        support(SupportKind::Spreader, Some(false), None),
        support(SupportKind::Spreader, None, None),
        support(SupportKind::Spreader, Some(true), None),
        support(SupportKind::Spreader, Some(true), Some("  ")),
    ];
    for one in said {
        set(&mut s, "A4a", one.clone());
        let answer = ordering(&mut s, a);
        // scenario: "A4–A5 reads the 1800 row: 1725 N required"; 735 + 90 + 735 = 1560.
        let row = answer.bays.iter().find(|b| b.name == "A4–A5").unwrap();
        assert_eq!(
            (row.clear_mm, row.row_clear_mm, row.least_tension_n),
            (1560.0, Some(1800.0), Some(1725.0)),
            "{one:?}"
        );
        assert_eq!(row.bays, [s.bay("A4", "A4a"), s.bay("A4a", "A5")]);
        assert!(answer.bays.iter().all(|b| !b.name.contains("A4a")));
        let required = answer.tension.required.clone().unwrap();
        assert_eq!((required.newtons, required.bay.as_str()), (1725.0, "A4–A5"));
        assert!(
            answer
                .problems
                .iter()
                .any(|p| p.code == ProblemCode::Spreader
                    && p.subject == Subject::post(s.post("A4a"))
                    && p.sentence.contains("Ask")),
            "{:?}",
            answer.problems
        );
        assert!(
            answer
                .notes
                .iter()
                .any(|n| n.contains("one bay A4–A5 of 1560 mm")),
            "{:?}",
            answer.notes
        );
    }
    // What is built keeps its bays: the probe is offered in each.
    let seen = s.with_job(|job| progress(job, a).unwrap());
    assert_eq!(seen.bays.len(), 6);
    // Confirmed, it ends a bay, and is to be asked for in writing all the same.
    let counted = support(SupportKind::Spreader, Some(true), Some("D. Okellan"));
    set(&mut s, "A4a", counted);
    let answer = ordering(&mut s, a);
    assert_eq!(answer.bays.len(), 6);
    assert_eq!(answer.tension.required.unwrap().newtons, 1330.0);
    assert!(
        answer
            .problems
            .iter()
            .any(|p| p.code == ProblemCode::Spreader && p.sentence.contains("D. Okellan")),
        "{:?}",
        answer.problems
    );
}

#[test]
fn a_disputed_support_takes_the_longer_bay() {
    let mut s = measured();
    let a = s.a;
    let post = Subject::post(s.post("A4a"));
    for kind in [SupportKind::Post, SupportKind::Spreader] {
        s.say_over(
            fields::POST_SUPPORT,
            &post,
            "",
            Some(support(kind, None, None)),
            None::<Said>,
            Vec::new(),
        );
    }
    let answer = ordering(&mut s, a);
    assert_eq!(answer.tension.required.unwrap().newtons, 1725.0);
    assert!(
        answer.problems.iter().any(|p| p
            .sentence
            .contains("People disagree on what carries the wires at A4a")),
        "{:?}",
        answer.problems
    );
}

#[test]
fn a_deflection_in_a_part_of_the_tables_bay_is_not_held_against_the_whole() {
    let mut s = measured();
    let a = s.a;
    set(
        &mut s,
        "A4a",
        support(SupportKind::Spreader, Some(false), None),
    );
    let read = crate::scene::tension_read(Method::HungMass, Stage::Final, None);
    let place = s.bay_place("A4", "A4a");
    let hung = Deflection {
        nm: 2 * MM,
        mass_mg: 2_000_000,
    };
    s.say(
        fields::WIRE_DEFLECTION,
        &Subject::Wire(a, 6),
        &place,
        hung,
        Some(read),
    );
    let found = s.with_job(|job| tensions(job, a).unwrap());
    let check = &found.lines[5].deflections[0];
    assert_eq!((check.most_mm, check.margin_mm), (None, None));
    assert!(check.gripped_n.is_some());
    assert!(
        check.sentence.contains("bay A4–A5 as one"),
        "{}",
        check.sentence
    );
}

#[test]
fn glass_and_spreaders_never_end_a_run() {
    for (kind, word) in [
        (SupportKind::GlassEdge, "glass edge"),
        (SupportKind::Spreader, "spreader"),
    ] {
        let mut s = measured();
        let a = s.a;
        set(&mut s, "A6", support(kind, None, None));
        let answer = ordering(&mut s, a);
        let told = answer
            .problems
            .iter()
            .find(|p| p.code == ProblemCode::NeverAnAnchor)
            .unwrap();
        assert_eq!(told.subject, Subject::post(s.post("A6")));
        assert!(told.sentence.contains(word), "{}", told.sentence);
    }
}

#[test]
fn a_bay_without_a_figure_leaves_the_greatest_row_as_a_floor_and_is_told() {
    let mut s = measured();
    let a = s.a;
    let bay = s.bay("A5", "A6");
    let over = s.tips("clear", &bay, "");
    let read = records::model::context::BayRead {
        entered: None,
        along: records::model::values::Along::Level,
        instrument: records::model::values::Instrument::Laser,
        tool: None,
        reason: None,
    };
    // AU 2022, wire table, read: 3.0 mm wire at 80 mm has no figure at 2600 mm between posts.
    s.say_over(
        fields::BAY_CLEAR,
        &bay,
        "",
        Some(mm(2600.0)),
        Some(read),
        over,
    );
    let plan = s.with_job(|job| tension_plan(job, a).unwrap());
    assert_eq!(plan.required.clone().unwrap().newtons, 1330.0);
    let open: Vec<&str> = plan.open_bays.iter().map(|b| b.name.as_str()).collect();
    assert_eq!(open, ["A5–A6"]);
    assert!(
        plan.issues.iter().any(|i| i.contains("Bay A5–A6")),
        "{:?}",
        plan.issues
    );
    assert_eq!(plan.suggested_n, None);
    let answer = ordering(&mut s, a);
    assert!(
        answer
            .problems
            .iter()
            .any(|p| p.sentence.contains("Bay A5–A6") && p.sentence.contains("no tension")),
        "{:?}",
        answer.problems
    );
    // What is decided below that floor does not lower it, and no reading answers for the bay.
    crate::scene::decide(&mut s, a, 500, 1800);
    let place = s.bay_place("A2", "A3");
    for wire in 1..=12 {
        s.tension(a, wire, &place, 1385, Stage::Final, 1);
    }
    s.tension(a, 3, &place, 1200, Stage::Final, 1);
    let found = s.with_job(|job| tensions(job, a).unwrap());
    assert_eq!(
        (found.required_n, found.asked_n),
        (Some(500.0), Some(1330.0))
    );
    assert_eq!(found.lines[2].state, records::work::ReadingState::Below);
    assert_eq!(found.clear_from_n, Some(1385.0));
    let lacks = s.with_job(|job| records::work::lacks(job).unwrap());
    let of_a = |name: &str| {
        lacks
            .items
            .iter()
            .find(|l| l.name == format!("Run A: {name}"))
            .unwrap()
    };
    let tension = of_a("tension of every wire");
    assert_eq!(tension.state, records::work::EvidenceState::Lacking);
    assert!(
        tension.detail.contains("no figure for bay A5–A6"),
        "{}",
        tension.detail
    );
}

#[test]
fn two_posts_of_one_name_keep_their_own_holes_and_are_asked_about() {
    use records::work::hole_schedule;
    let mut s = measured();
    let a = s.a;
    let schedule = s.with_job(|job| hole_schedule(job, a).unwrap());
    let (second, third) = (s.post("A2"), s.post("A3"));
    s.say(
        fields::POST_NAME,
        &Subject::post(third),
        "",
        "A2".into(),
        None,
    );
    let renamed = s.with_job(|job| hole_schedule(job, a).unwrap());
    for post in [second, third] {
        let of = |schedule: &records::work::HoleSchedule| {
            schedule.holes.iter().filter(|h| h.post == post).count()
        };
        assert_eq!(of(&schedule), 24, "two faces, twelve wires");
        assert_eq!(of(&renamed), 24);
    }
    let answer = ordering(&mut s, a);
    let same = answer
        .problems
        .iter()
        .find(|p| p.code == ProblemCode::SameName)
        .unwrap();
    assert_eq!(same.subject, Subject::post(third));
    assert!(
        same.sentence.contains("second post named A2"),
        "{}",
        same.sentence
    );
}
