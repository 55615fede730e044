//! Where two readings of the record are possible, the one that asks for more is taken.
//! Rule figures: barrier-rules, wire tables a and b of 11.3.6, read.

use records::ids::ItemId;
use records::model::context::{BayRead, OpeningRead, Said};
use records::model::fields;
use records::model::values::{Along, Instrument, Length, Opening, OpeningKind, ProbeResult, Slope};
use records::subject::Subject;
use records::work::{
    BeforeOrdering, EvidenceState, ProblemCode, RefusalCode, Verdict, before_ordering, cut_sheet,
    hole_schedule, lacks, take_off,
};

use crate::near;
use crate::scene::{MM, Scene, measured, mm};

fn ordering(s: &mut Scene, run: ItemId) -> BeforeOrdering {
    s.with_job(|job| before_ordering(job, run).unwrap())
}

/// A reading of a bay beside those that stand.
fn clear(s: &mut Scene, left: &str, right: &str, length: f64, along: Along) {
    let bay = s.bay(left, right);
    let read = BayRead {
        entered: None,
        along,
        instrument: Instrument::Tape,
        tool: None,
        reason: None,
    };
    s.say(fields::BAY_CLEAR, &bay, "", mm(length), Some(read));
}

fn no_bay(s: &mut Scene, left: &str, right: &str) {
    let bay = s.bay(left, right);
    for tip in s.tips("clear", &bay, "") {
        let none = (None::<Length>, None::<BayRead>);
        s.say_over(fields::BAY_CLEAR, &bay, "", none.0, none.1, vec![tip]);
    }
}

#[test]
fn a_rake_whose_slope_is_not_told_reads_no_row_and_is_neither_cut_nor_drilled() {
    let mut s = measured();
    let b = s.b;
    assert_eq!(ordering(&mut s, b).bays.len(), 2);
    let run = Subject::run(b);
    let tips = s.tips("slope", &run, "");
    s.say_over(
        fields::RUN_SLOPE,
        &run,
        "",
        None::<Slope>,
        None::<Said>,
        tips,
    );
    let answer = ordering(&mut s, b);
    // 985 level read as if it lay along the wires would be the 1000 row: 785 N for 1330 N.
    assert_eq!((answer.bays.len(), answer.tension.required), (0, None));
    let told = answer
        .problems
        .iter()
        .find(|p| p.code == ProblemCode::NoSlope);
    assert!(told.unwrap().sentence.contains("rise and going"));
    let sheet = s.with_job(|job| cut_sheet(job, b).unwrap());
    for line in &sheet.lines {
        assert_eq!(line.refused.clone().unwrap().code, RefusalCode::NoSlope);
    }
    let parts = s.with_job(|job| take_off(job).unwrap());
    assert!(
        !parts
            .notes
            .iter()
            .any(|n| n.contains("bays and posts added up"))
    );
    let holes = s.with_job(|job| hole_schedule(job, b).unwrap());
    assert_eq!(holes.holes.len(), 0);
    assert!(
        holes
            .notes
            .iter()
            .any(|n| n.starts_with("Don't drill: Run B"))
    );
}

#[test]
fn the_longest_of_several_readings_of_a_bay_reads_the_table() {
    let mut s = measured();
    let a = s.a;
    clear(&mut s, "A5", "A6", 1205.0, Along::Level);
    let answer = ordering(&mut s, a);
    let bay = answer.bays.iter().find(|b| b.name == "A5–A6").unwrap();
    // 1195 and 1205: their mean would stand in the 1200 column, 1205 stands in the next.
    assert_eq!((bay.clear_mm, bay.row_clear_mm), (1205.0, Some(1500.0)));
    assert_eq!(bay.least_tension_n, Some(1330.0));
    let shown = s.with_job(|job| job.run(a).unwrap().bays.last().unwrap().clear);
    assert_eq!(shown, Some(mm(1205.0)));
}

#[test]
fn level_and_slope_readings_are_converted_before_they_are_compared() {
    // scenario: 985 level is 1209.2 along the slope, so of these two 1209 along it is the shorter.
    for (first, second) in [
        ((1209.0, Along::Slope), (985.0, Along::Level)),
        ((985.0, Along::Level), (1209.0, Along::Slope)),
    ] {
        let mut s = measured();
        let b = s.b;
        no_bay(&mut s, "A6", "B2");
        clear(&mut s, "A6", "B2", first.0, first.1);
        clear(&mut s, "A6", "B2", second.0, second.1);
        let answer = ordering(&mut s, b);
        let bay = answer.bays.iter().find(|r| r.name == "A6–B2").unwrap();
        near(bay.clear_mm, 1209.2, 0.05);
        assert_eq!(bay.row_clear_mm, Some(1500.0));
        assert_eq!(bay.least_tension_n, Some(1330.0));
    }
    let mut s = measured();
    let b = s.b;
    clear(&mut s, "A6", "B2", 1240.0, Along::Slope);
    let answer = ordering(&mut s, b);
    let bay = answer.bays.iter().find(|r| r.name == "A6–B2").unwrap();
    assert_eq!(bay.clear_mm, 1240.0);
}

#[test]
fn the_floor_gap_is_that_of_a_level_template_until_the_record_says_otherwise() {
    let mut s = measured();
    let a = s.a;
    let last = Subject::post(s.post("A6"));
    // A fall of 1:100 over 7.3 m moves the gap by 73 mm.
    s.say(fields::POST_FLOOR, &last, "", mm(-73.0), None);
    let gap = |s: &mut Scene| {
        let answer = ordering(s, a);
        let at = "floor to bottom wire at A6";
        let found = answer.findings.iter().find(|f| f.place == at).unwrap();
        (found.actual.unwrap().value, found.verdict)
    };
    assert_eq!(gap(&mut s), (74.4, Verdict::MeetsFigure));
    let run = Subject::run(a);
    s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", false, None);
    let (level, verdict) = gap(&mut s);
    near(level, 147.4, 1e-9);
    assert_eq!(verdict, Verdict::Short);
    // Not told: the wider of both, whether the floor falls or rises.
    let tips = s.tips("followsFloor", &run, "");
    let none = (None::<bool>, None::<Said>);
    s.say_over(fields::RUN_FOLLOWS_FLOOR, &run, "", none.0, none.1, tips);
    near(gap(&mut s).0, 147.4, 1e-9);
    let answer = ordering(&mut s, a);
    let told = |n: &String| n.contains("is not told") && n.contains("147.4 mm");
    assert!(answer.notes.iter().any(told), "{:?}", answer.notes);
    s.say(fields::POST_FLOOR, &last, "", mm(20.0), None);
    assert_eq!(gap(&mut s).0, 74.4);
}

#[test]
fn an_opening_that_the_probe_passed_is_short_whatever_it_measures() {
    let mut s = measured();
    let a = s.a;
    let first = Subject::post(s.post("A1"));
    let told = |s: &mut Scene, result| {
        let read = OpeningRead {
            kind: OpeningKind::EndPostToWall,
            entered: None,
            remark: None,
            probe_nm: Some(125 * MM),
            push_mn: None,
            moment: None,
        };
        let opening = Opening {
            nm: 90 * MM,
            result: Some(result),
        };
        let over = s.tips("opening", &first, "wall");
        let said = (Some(opening), Some(read));
        s.say_over(fields::POST_OPENING, &first, "wall", said.0, said.1, over);
        let answer = ordering(s, a);
        let at = answer.findings.iter().find(|f| f.place.contains("wall"));
        let key = format!("openings/{a}");
        let all = s.with_job(|job| lacks(job).unwrap());
        let item = all.items.iter().find(|i| i.key == key).cloned().unwrap();
        (at.cloned().unwrap(), item)
    };
    let (finding, item) = told(&mut s, ProbeResult::Passes);
    assert_eq!(finding.verdict, Verdict::Short);
    assert!(
        finding.sentence.contains("the probe passed"),
        "{}",
        finding.sentence
    );
    assert_eq!(item.state, EvidenceState::Lacking);
    assert!(item.detail.contains("wall at A1"), "{}", item.detail);
    let (finding, item) = told(&mut s, ProbeResult::Stops);
    assert_eq!(finding.verdict, Verdict::MeetsFigure);
    assert_eq!(item.state, EvidenceState::There);
}

#[test]
fn the_deflection_table_has_columns_of_its_own() {
    let mut s = measured();
    let a = s.a;
    let answer = ordering(&mut s, a);
    let bay = answer.bays.iter().find(|b| b.name == "A4–A4a").unwrap();
    // barrier-rules: table a has an 800 column, table b goes from 600 to 900.
    assert_eq!((bay.clear_mm, bay.row_clear_mm), (735.0, Some(800.0)));
    assert_eq!(bay.deflection_clear_mm, Some(900.0));
    let next = bay.deflection_longer.clone().unwrap();
    assert_eq!((next.at_mm, next.distance_mm), (1200.0, 165.0));
    let clause = |s: &Option<records::work::Source>| s.clone().unwrap().clause;
    assert!(clause(&bay.source).contains("table a"));
    assert!(clause(&bay.deflection_source).contains("table b"));
}

#[test]
fn a_post_added_later_is_known_by_the_bay_that_it_divides() {
    let mut s = measured();
    let post = s.post("A4a");
    let keys = |s: &mut Scene| -> Vec<String> {
        let all = s.with_job(|job| lacks(job).unwrap());
        let added = all.items.into_iter().map(|i| i.key);
        added.filter(|k| k.starts_with("postAdded/")).collect()
    };
    assert_eq!(keys(&mut s), [format!("postAdded/{post}")]);
    let name = "the post by the tap".to_owned();
    s.say(fields::POST_NAME, &Subject::post(post), "", name, None);
    assert_eq!(keys(&mut s), [format!("postAdded/{post}")]);
}
