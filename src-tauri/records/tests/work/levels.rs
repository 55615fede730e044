//! Where the floor falls: gaps at both ends of the wires, holes, pushes, and the layout aid agree.

use records::model::context::{OpeningRead, Said};
use records::model::fields;
use records::model::values::{LowSpot, Opening, OpeningKind, ProbeResult};
use records::subject::Subject;
use records::work::{
    EvidenceState, LayoutAsk, Origin, Verdict, before_ordering, hole_schedule, lacks, propose,
    pushed,
};

use crate::near;
use crate::scene::{MM, Scene, measured, mm};

const SPOT: &str = "floor to bottom wire at the low spot of bay A2–A3";

fn spot(level: i64, from_left: Option<i64>) -> LowSpot {
    LowSpot {
        level_nm: level * MM,
        from_left_nm: from_left.map(|from| from * MM),
    }
}

fn told(s: &mut Scene, low: LowSpot) {
    let bay = s.bay("A2", "A3");
    s.say(fields::BAY_LOW_SPOT, &bay, "", low, None);
}

/// The gap that the rules look at there, mm.
fn gap(s: &mut Scene) -> Option<f64> {
    let run = s.a;
    let answer = s.with_job(|job| before_ordering(job, run).unwrap());
    let found = answer.findings.iter().find(|f| f.place == SPOT)?;
    assert_eq!(found.actual_origin, Some(Origin::Recorded));
    Some(found.actual.unwrap().value)
}

/// Bottom wire at 76, half of 3.2 mm below its middle; floors at A2 and A3 are 3 and 5 below A1's
/// (scenario). By hand: the line of the floors is 4 below in the middle of the bay.
#[test]
fn a_low_spot_widens_the_gap_below_the_bottom_wire() {
    let mut s = measured();
    let run = Subject::run(s.a);
    assert_eq!(gap(&mut s), None);
    for (follows, from_left, clear) in [
        (true, Some(705), 76.0 - 1.6 + 16.0),
        // Not told how far along: as at the higher post.
        (true, None, 76.0 - 1.6 + 17.0),
        // Told beyond the bay: as at its end, a millimetre from the post.
        (true, Some(5000), 76.0 - 1.6 + 15.0),
        (false, Some(705), 76.0 - 1.6 + 20.0),
        (false, None, 76.0 - 1.6 + 20.0),
    ] {
        s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", follows, None);
        told(&mut s, spot(-20, from_left));
        near(gap(&mut s).unwrap(), clear, 0.01);
    }
}

#[test]
fn of_two_words_on_a_low_spot_the_lower_counts() {
    let mut s = measured();
    let bay = s.bay("A2", "A3");
    let run = Subject::run(s.a);
    s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", true, None);
    told(&mut s, spot(-20, Some(705)));
    let other = (Some(spot(-60, Some(705))), None::<Said>);
    s.say_over(fields::BAY_LOW_SPOT, &bay, "", other.0, other.1, Vec::new());
    near(gap(&mut s).unwrap(), 76.0 - 1.6 + 56.0, 0.01);
}

#[test]
fn a_proposed_layout_names_the_low_spot() {
    let mut s = measured();
    let run = s.a;
    told(&mut s, spot(-60, Some(705)));
    let answer = s.with_job(|job| propose(job, run, &LayoutAsk::default()).unwrap());
    let one = answer.proposals.first().unwrap();
    let at = one.floor.iter().find(|at| at.name.contains("low spot"));
    let at = at.unwrap();
    let post = one.floor.iter().find(|at| at.name == "A2").unwrap();
    // Between A2 and A3 the line lies 4 below A1's floor, the spot 60.
    near(at.clear_mm - post.clear_mm, 56.0, 0.01);
    near(at.level_mm - post.level_mm, 57.0, 0.01);
    let sentence = one.floor_sentence.as_deref().unwrap();
    assert!(sentence.contains("low spot of bay A2–A3"), "{sentence}");
}

/// Level of the floor at a post against the first.
fn floor(s: &mut Scene, post: &str, level: f64) {
    let subject = Subject::post(s.post(post));
    s.say(fields::POST_FLOOR, &subject, "", mm(level), None);
}

fn finding(s: &mut Scene, place: &str) -> Option<(f64, Verdict)> {
    let run = s.a;
    let answer = s.with_job(|job| before_ordering(job, run).unwrap());
    let found = answer.findings.iter().find(|f| f.place == place)?;
    Some((found.actual.unwrap().value, found.verdict))
}

/// At rest, in the bay and above the lower wire, as a push sees it.
fn pushed_at(s: &mut Scene, bay: &str, lower: u32) -> f64 {
    let run = s.a;
    let answer = s.with_job(|job| pushed(job, run, None, None).unwrap());
    let bay = answer.bays.iter().find(|b| b.name == bay).unwrap();
    let opening = bay.openings.iter().find(|o| o.lower == lower).unwrap();
    opening.at_rest_mm
}

/// A fall of 1:100 over 7.3 m moves the gap by 73 mm.
#[test]
fn a_push_and_the_rules_see_the_same_gap_below_the_bottom_wire() {
    let mut s = measured();
    floor(&mut s, "A6", -73.0);
    let run = Subject::run(s.a);
    s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", false, None);
    let at = "floor to bottom wire at A6";
    assert_eq!(finding(&mut s, at), Some((147.4, Verdict::Short)));
    near(pushed_at(&mut s, "A5–A6", 0), 147.4, 1e-9);
    // The bays before it reach no farther down than their own posts.
    near(pushed_at(&mut s, "A1–A2", 0), 77.4, 1e-9);
}

/// Drilled level the bottom wire at 76 stands 147.4 above a floor 73 below the first post's, and 74.4 following it.
#[test]
fn a_layout_counts_the_gap_below_as_the_wires_are_told_to_go() {
    let mut s = measured();
    floor(&mut s, "A6", -73.0);
    let a = s.a;
    let run = Subject::run(a);
    // A rail that might come down with the floor would keep the top wire lower.
    s.say(fields::RUN_RAIL_FOLLOWS_FLOOR, &run, "", false, None);
    for (told, follows, counts, passes) in [
        (Some(true), Some(true), 74.4, false),
        (Some(false), Some(false), 147.4, true),
        (None, None, 147.4, true),
    ] {
        let tips = s.tips("followsFloor", &run, "");
        s.say_over(fields::RUN_FOLLOWS_FLOOR, &run, "", told, None, tips);
        let answer = s.with_job(|job| propose(job, a, &LayoutAsk::default()).unwrap());
        assert_eq!(answer.follows_floor, follows);
        let as_now = answer.proposals.iter().find(|p| p.heights_nm[0] == 76 * MM);
        let at = as_now.unwrap().floor.iter().find(|at| at.name == "A6");
        let at = at.unwrap();
        near(at.counts_mm, counts, 1e-9);
        assert_eq!(at.counts_passes, passes, "{told:?}");
    }
}

#[test]
fn the_gap_below_the_rail_is_the_widest_that_rail_and_wires_can_leave() {
    let mut s = measured();
    floor(&mut s, "A6", -73.0);
    let run = Subject::run(s.a);
    // 985 to the rail, top wire at 912, half of 3.2 mm: 71.4 by their heights alone.
    let plain = ("top wire to rail, run A", 71.4, Verdict::MeetsFigure);
    let wide = ("top wire to rail at A6", 144.4, Verdict::Short);
    for (wires, rail, (place, clear, verdict), in_last_bay) in [
        (true, None, wide, 144.4),
        (true, Some(false), wide, 144.4),
        (true, Some(true), plain, 71.4),
        (false, Some(false), plain, 71.4),
        // The floor only falls: a rail that follows it comes nearer to level wires, 10 mm at A5.
        (false, Some(true), plain, 61.4),
    ] {
        s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", wires, None);
        if let Some(rail) = rail {
            s.say(fields::RUN_RAIL_FOLLOWS_FLOOR, &run, "", rail, None);
        }
        let found = finding(&mut s, place);
        assert_eq!(found, Some((clear, verdict)), "{wires} {rail:?}");
        near(pushed_at(&mut s, "A5–A6", 12), in_last_bay, 1e-9);
    }
}

#[test]
fn levels_count_from_the_first_post_of_the_run() {
    let mut s = measured();
    let run = Subject::run(s.a);
    s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", false, None);
    s.say(fields::RUN_RAIL_FOLLOWS_FLOOR, &run, "", false, None);
    floor(&mut s, "A1", 60.0);
    let at = "floor to bottom wire at A6";
    assert_eq!(finding(&mut s, at), Some((146.4, Verdict::Short)));
    let a = s.a;
    let answer = s.with_job(|job| propose(job, a, &LayoutAsk::default()).unwrap());
    let as_now = answer
        .proposals
        .iter()
        .find(|p| p.heights_nm.len() == 12)
        .unwrap();
    let told = as_now.floor.iter().find(|at| at.name == "A6").unwrap();
    near(told.level_mm, 146.4, 1e-9);
    // No floor rises above the first post's: the height stands as it was told.
    let height = s.with_job(|job| before_ordering(job, a).unwrap());
    assert!(!height.notes.iter().any(|n| n.contains("floor rises")));
}

#[test]
fn holes_of_a_run_drilled_level_stand_higher_where_the_floor_falls() {
    let mut s = measured();
    let (a, run) = (s.a, Subject::run(s.a));
    let at = |s: &mut Scene, post: &str| {
        let schedule = s.with_job(|job| hole_schedule(job, a).unwrap());
        let hole = schedule
            .holes
            .iter()
            .find(|h| h.post_name == post && h.wire == 1);
        (hole.unwrap().height_mm, schedule.notes)
    };
    near(at(&mut s, "A6").0, 76.0, 1e-9);
    s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", false, None);
    near(at(&mut s, "A1").0, 76.0, 1e-9);
    near(at(&mut s, "A6").0, 88.0, 1e-9);
    // A floor that is not told stops the drilling there; whether it follows at all has to be told.
    let post = Subject::post(s.post("A3"));
    let tips = s.tips("floor", &post, "");
    let none = (None::<records::model::values::Length>, None::<Said>);
    s.say_over(fields::POST_FLOOR, &post, "", none.0, none.1, tips);
    let (_, notes) = at(&mut s, "A6");
    assert!(
        notes.iter().any(|n| n.starts_with("Don't drill at A3:")),
        "{notes:?}"
    );
    let tips = s.tips("followsFloor", &run, "");
    let none = (None::<bool>, None::<Said>);
    s.say_over(fields::RUN_FOLLOWS_FLOOR, &run, "", none.0, none.1, tips);
    let (_, notes) = at(&mut s, "A6");
    assert!(
        notes
            .iter()
            .any(|n| n.contains("Settle that before drilling")),
        "{notes:?}"
    );
}

/// An opening between the end post and the wall, as a person reads it.
fn to_wall(s: &mut Scene, clear: i64, result: ProbeResult, probe: i64, remark: Option<&str>) {
    let post = Subject::post(s.post("A1"));
    let read = OpeningRead {
        kind: OpeningKind::EndPostToWall,
        entered: None,
        remark: remark.map(str::to_owned),
        probe_nm: Some(probe * MM),
        push_mn: None,
        moment: None,
    };
    let opening = Opening {
        nm: clear * MM,
        result: Some(result),
    };
    s.say(
        fields::POST_OPENING,
        &post,
        "endPostToWall",
        opening,
        Some(read),
    );
}

fn evidence(s: &mut Scene) -> (EvidenceState, String) {
    let key = format!("openings/{}", s.a);
    let all = s.with_job(|job| lacks(job).unwrap());
    let item = all.items.into_iter().find(|i| i.key == key).unwrap();
    (item.state, item.detail)
}

#[test]
fn an_opening_that_was_put_right_is_read_by_its_later_reading() {
    let mut s = measured();
    let at = "end post to wall at A1, as built";
    to_wall(&mut s, 130, ProbeResult::Passes, 125, Some("left"));
    assert_eq!(finding(&mut s, at), Some((130.0, Verdict::Short)));
    assert_eq!(evidence(&mut s).0, EvidenceState::Lacking);
    // Another opening of the kind does not stand for it.
    to_wall(&mut s, 60, ProbeResult::Stops, 125, Some("right"));
    assert_eq!(evidence(&mut s).0, EvidenceState::Lacking);
    to_wall(&mut s, 70, ProbeResult::Stops, 125, Some("left"));
    let run = s.a;
    let answer = s.with_job(|job| before_ordering(job, run).unwrap());
    let at_wall = answer.findings.iter().filter(|f| f.place == at);
    let mut clear: Vec<f64> = at_wall.map(|f| f.actual.unwrap().value).collect();
    clear.sort_by(f64::total_cmp);
    // 62 is the scenario's own, with no word on where.
    assert_eq!(clear, [60.0, 62.0, 70.0]);
    assert_eq!(evidence(&mut s), (EvidenceState::There, "stops".to_owned()));
}

#[test]
fn a_probe_larger_than_the_sphere_answers_nothing_at_an_opening() {
    let mut s = measured();
    to_wall(&mut s, 130, ProbeResult::Stops, 200, None);
    let (state, detail) = evidence(&mut s);
    assert_eq!(state, EvidenceState::Lacking);
    assert!(
        detail.contains("larger than the sphere of 125 mm"),
        "{detail}"
    );
    to_wall(&mut s, 70, ProbeResult::Stops, 125, None);
    assert_eq!(evidence(&mut s).0, EvidenceState::There);
}

#[test]
fn where_a_floor_level_is_not_told_the_gap_there_is_asked_for_and_not_taken_as_level() {
    let mut s = measured();
    let (run, post) = (Subject::run(s.a), Subject::post(s.post("A4")));
    let place = "floor to bottom wire at A4";
    let found = |s: &mut Scene| {
        let id = s.a;
        let answer = s.with_job(|job| before_ordering(job, id).unwrap());
        let found = answer.findings.iter().find(|f| f.place == place).cloned();
        found.unwrap()
    };
    let tips = s.tips("floor", &post, "");
    s.say_over(
        fields::POST_FLOOR,
        &post,
        "",
        None::<records::model::values::Length>,
        None::<Said>,
        tips,
    );
    for (follows, verdict) in [(true, Verdict::MeetsFigure), (false, Verdict::Asked)] {
        s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", follows, None);
        let found = found(&mut s);
        assert_eq!(found.verdict, verdict, "{}", found.sentence);
        assert_eq!(found.actual.is_some(), follows);
    }
    let asked = found(&mut s);
    assert!(
        asked.sentence.contains("floor level at A4 is not told"),
        "{}",
        asked.sentence
    );
    // Read there, it is what was read.
    let read = OpeningRead {
        kind: OpeningKind::FloorToBottomWire,
        entered: None,
        remark: None,
        probe_nm: None,
        push_mn: None,
        moment: None,
    };
    let opening = Opening {
        nm: 82 * MM,
        result: None,
    };
    s.say(
        fields::POST_OPENING,
        &post,
        "floorToBottomWire",
        opening,
        Some(read),
    );
    let id = s.a;
    let answer = s.with_job(|job| before_ordering(job, id).unwrap());
    assert!(!answer.findings.iter().any(|f| f.place == place));
}

#[test]
fn levels_told_against_a_first_post_of_none_count_from_it() {
    let mut s = measured();
    let id = s.a;
    let run = Subject::run(id);
    s.say(fields::RUN_FOLLOWS_FLOOR, &run, "", false, None);
    let gaps = |s: &mut Scene| -> Vec<f64> {
        let answer = s.with_job(|job| before_ordering(job, id).unwrap());
        let floors = answer.findings.iter();
        let floors = floors.filter(|f| f.place.starts_with("floor to bottom wire at "));
        floors.map(|f| f.actual.unwrap().value).collect()
    };
    let before = gaps(&mut s);
    let first = Subject::post(s.post("A1"));
    let tips = s.tips("floor", &first, "");
    s.say_over(
        fields::POST_FLOOR,
        &first,
        "",
        None::<records::model::values::Length>,
        None::<Said>,
        tips,
    );
    // The scenario's first floor is 0.
    assert_eq!(gaps(&mut s), before);
    let notes = s.with_job(|job| hole_schedule(job, id).unwrap().notes);
    let datum = "The floor level at A1 is not told: the levels of the other posts";
    assert!(notes.iter().any(|n| n.starts_with(datum)), "{notes:?}");
    assert!(
        !notes.iter().any(|n| n.contains("Don't drill")),
        "{notes:?}"
    );
    // A level above the bottom wires is no gap that meets anything.
    floor(&mut s, "A4", 495.0);
    let found = finding(&mut s, "floor to bottom wire at A4").unwrap();
    assert_eq!(found, (0.0, Verdict::Short));
}
