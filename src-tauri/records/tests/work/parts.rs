//! Take-off and hole schedule of the worked job. Source: scenario, consistency check.

use records::model::context::Said;
use records::model::fields;
use records::model::values::{CutMade, End, FaceSide, Hand, Piece};
use records::subject::Subject;
use records::work::{CutsFrom, end_at, hole_schedule, take_off};

use crate::near;
use crate::scene::{MM, Scene, measured, mm, on_piece, surveyed};

#[test]
fn the_take_off_counts_each_hand_apart() {
    let mut s = measured();
    let found = s.with_job(|job| take_off(job).unwrap());
    // scenario: "20 wires. Terminals 23 LH + 23 RH …, inserts 21 + 21, nuts 23 + 23, angled
    // seats 17, through-holes 60 + 8 = 136 grommet halves."
    assert_eq!(found.wires, 20);
    let total = |part: &str, hand: Option<Hand>| {
        found
            .lines
            .iter()
            .find(|l| l.part.starts_with(part) && l.hand == hand)
            .map(|l| l.total)
    };
    for hand in [Hand::Left, Hand::Right] {
        assert_eq!(total("terminal", Some(hand)), Some(23));
        assert_eq!(total("insert", Some(hand)), Some(21));
        assert_eq!(total("lock nut", Some(hand)), Some(23));
    }
    assert_eq!(total("angled seat", None), Some(17));
    assert_eq!(total("grommet half", None), Some(136));
    assert_eq!((found.insert_holes, found.through_holes), (40, 68));
    let terminals = found
        .lines
        .iter()
        .find(|l| l.part.starts_with("terminal"))
        .unwrap();
    assert_eq!(
        (
            terminals.needed,
            terminals.sample,
            terminals.scrap,
            terminals.over
        ),
        (20, 1, 1, 1)
    );
    // scenario: 86 815 + 19 787
    assert_eq!(found.strands.len(), 1);
    assert_eq!(found.strands[0].cuts_mm, 106_602.0);
    assert_eq!(found.strands[0].cuts_from, CutsFrom::CutSheet);
    assert_eq!(found.notes, Vec::<String>::new());
}

#[test]
fn ends_that_nobody_told_and_what_went_into_a_remade_wire_are_said() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let first = Subject::post(s.post("A1"));
    for tip in s.tips("end", &first, &a.to_string()) {
        let gone = (None, None);
        s.say_over(
            fields::POST_END,
            &first,
            &a.to_string(),
            gone.0,
            gone.1,
            vec![tip],
        );
    }
    let (told, notes) = s.with_job(|job| {
        let found = take_off(job).unwrap();
        (found.lines.len(), found.notes)
    });
    assert!(told > 0);
    assert_eq!(
        notes,
        [
            "Run A: the end at post A1 is not told and is counted as a stud into an insert, LH. Tell \
             it before anything is ordered."
        ]
    );
    // Without a fitting set no lock nut can be counted, and nothing is said of one's hand alone.
    let run = Subject::run(a);
    for tip in s.tips("fittingSet", &run, "") {
        let gone = (None, None);
        s.say_over(fields::RUN_FITTING_SET, &run, "", gone.0, gone.1, vec![tip]);
    }
    let notes = s.with_job(|job| take_off(job).unwrap().notes);
    let nuts = "Run A: lock nuts are not counted: the fitting set of run A is not told.";
    assert!(notes.iter().any(|n| n == nuts), "{notes:?}");
    // A remade wire: the piece that was cut before is told with its metres.
    let wire = Subject::Wire(b, 3);
    let made = CutMade {
        nm: 2473 * MM,
        batch: None,
        offcut: None,
    };
    s.say(fields::WIRE_CUT, &wire, "1", made, Some(on_piece(1)));
    let piece = Piece {
        number: 2,
        reason: "kinked".into(),
    };
    s.say(fields::WIRE_PIECE, &wire, "", piece, None);
    let notes = s.with_job(|job| take_off(job).unwrap().notes);
    let remade = notes
        .iter()
        .find(|n| n.starts_with("Wire B3 was remade once"));
    assert!(remade.is_some_and(|n| n.contains("2473")), "{notes:?}");
}

#[test]
fn before_measuring_the_metres_rest_on_bays_and_say_so() {
    let mut s = surveyed();
    let found = s.with_job(|job| take_off(job).unwrap());
    assert_eq!(found.strands[0].cuts_from, CutsFrom::Bays);
    // Run A: scenario "inside to inside about 7300"; run B: "2060 level → 2528.8* along".
    near(found.strands[0].cuts_mm, 12.0 * 7300.0 + 8.0 * 2528.8, 0.5);
    assert!(found.notes.iter().any(|n| n.contains("bays and posts")));
}

#[test]
fn on_a_rake_both_faces_of_a_post_are_listed() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let level = s.with_job(|job| hole_schedule(job, a).unwrap());
    assert_eq!((level.insert_holes, level.through_holes), (24, 60));
    let first = &level.holes[0];
    assert_eq!(first.post_name, "A1");
    assert_eq!(first.face, "towards A2");
    assert_eq!((first.diameter_mm, first.depth_mm), (9.0, 42.0));
    assert_eq!(first.hand, Some(Hand::Left));
    assert_eq!(first.height_mm, 76.0);
    assert!(level.holes.iter().all(|h| h.rise_deg == 0.0));
    let raked = s.with_job(|job| hole_schedule(job, b).unwrap());
    assert_eq!((raked.insert_holes, raked.through_holes), (16, 8));
    let at = |face: &str| {
        let found = raked
            .holes
            .iter()
            .find(|h| h.post_name == "B2" && h.face == face && h.wire == 1);
        found.unwrap().height_mm
    };
    // Worked by hand: "hole heights differ on the two faces of a post (64 mm across 90)"; the stair
    // goes down from A6, so the face towards A6 is the higher one.
    near(at("towards A6") - at("towards B3"), 64.0, 0.1);
    near((at("towards A6") + at("towards B3")) / 2.0, 93.0, 1e-9);
    let second = raked.holes.iter().find(|h| h.wire == 2).unwrap();
    near(second.planned_below_square_mm.unwrap(), 75.8, 0.05);
}

#[test]
fn two_runs_in_one_post_ask_for_a_stagger() {
    let mut s = measured();
    let a = s.a;
    let level = s.with_job(|job| hole_schedule(job, a).unwrap());
    assert!(!level.staggers.is_empty());
    for stagger in &level.staggers {
        assert_eq!(stagger.post, records::subject::Subject::post(s.post("A6")));
        assert!(stagger.wood_mm < 20.0);
        assert!(stagger.sentence.starts_with("Post A6"));
        // A way for one pair alone would lead into the next: what clears all stands in the notes.
        assert!(!stagger.sentence.contains("move"), "{}", stagger.sentence);
    }
    let told = |n: &String| {
        n.starts_with("Post A6 also carries run B")
            && n.contains("no way up or down")
            && n.contains("4 mm off the middle of its face")
    };
    assert!(level.notes.iter().any(told), "{:?}", level.notes);
    // What the engineer wants counts instead of the 20 mm assumed, the most where two differ.
    let job = Subject::Job(s.device.job());
    s.say(fields::JOB_LEAST_WOOD, &job, "", mm(1.0), None);
    let asked = |s: &mut Scene| s.with_job(|job| hole_schedule(job, a).unwrap().staggers.len());
    assert_eq!(asked(&mut s), 0);
    let other = (Some(mm(60.0)), None::<Said>);
    s.say_over(
        fields::JOB_LEAST_WOOD,
        &job,
        "",
        other.0,
        other.1,
        Vec::new(),
    );
    assert!(asked(&mut s) > level.staggers.len());
}

/// B is raked by 35.45°: its holes of 9 by 42 reach 42 cos + 4.5 sin = 36.82 into the post of 115. A needs
/// 20 − (57.5 − 36.82 − 4.5) = 3.82 off the middle.
#[test]
fn holes_off_the_middle_of_their_face_clear_those_of_the_other_run() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let (post, place) = (Subject::post(s.post("A6")), a.to_string());
    let end = s.with_job(|job| end_at(job, job.run(a).unwrap(), s_post(job, "A6")).unwrap());
    let close =
        |s: &mut Scene, run| s.with_job(|job| hole_schedule(job, run).unwrap().staggers.len());
    assert!(close(&mut s, a) > 0 && close(&mut s, b) > 0);
    let (left, right) = (Some(FaceSide::Left), Some(FaceSide::Right));
    for (aside, other_enters, clear) in [
        (-4_000_000, right, true),
        (4_000_000, left, true),
        (-3_800_000, right, false),
        // Towards the other run's holes, and where nobody tells where they enter.
        (4_000_000, right, false),
        (-4_000_000, None, false),
    ] {
        let tips = s.tips("end", &post, &place);
        let with = End {
            aside_nm: Some(aside),
            other_enters,
            ..end
        };
        s.say_over(fields::POST_END, &post, &place, Some(with), None, tips);
        // Told at one end, it counts for both runs.
        let both = (close(&mut s, a) == 0, close(&mut s, b) == 0);
        assert_eq!(both, (clear, clear), "{aside} {other_enters:?}");
    }
    // Put back as it was, B asks for more, since A's level holes reach 42: 20 − (57.5 − 42 − 4.5).
    let asked = |s: &mut Scene, run| {
        let notes = s.with_job(|job| hole_schedule(job, run).unwrap().notes);
        notes
            .into_iter()
            .find(|n| n.contains("also carries"))
            .unwrap()
    };
    let say = |s: &mut Scene, aside: Option<i64>| {
        let tips = s.tips("end", &post, &place);
        let with = End {
            aside_nm: aside,
            other_enters: right,
            ..end
        };
        s.say_over(fields::POST_END, &post, &place, Some(with), None, tips);
    };
    say(&mut s, None);
    let of_b = asked(&mut s, b);
    assert!(
        of_b.contains("; 9 mm off the middle of its face, away from the holes of run A"),
        "{of_b}"
    );
    say(&mut s, Some(-4_000_000));
    let found = s.with_job(|job| hole_schedule(job, a).unwrap());
    let off: Vec<_> = found.holes.iter().filter(|h| h.aside_mm != 0.0).collect();
    assert!(
        !off.is_empty()
            && off
                .iter()
                .all(|h| h.post_name == "A6" && h.aside_mm == -4.0)
    );
    let note = "Post A6: the holes of run A stand 4 mm off the middle of their face, on the left";
    assert!(
        found.notes.iter().any(|n| n.starts_with(note)),
        "{:?}",
        found.notes
    );
}

/// A post by its name.
fn s_post(job: &records::job::Job<'_>, name: &str) -> records::ids::ItemId {
    let mut posts = job.runs.iter().flat_map(|run| &run.posts);
    posts.find(|post| post.name == name).unwrap().id
}

#[test]
fn spacings_as_drilled_stand_beside_the_plan() {
    let mut s = measured();
    let a = s.a;
    let post = records::subject::Subject::post(s.post("A3"));
    let place = format!("{a}/5");
    s.say(
        records::model::fields::POST_DRILLED,
        &post,
        &place,
        crate::scene::mm(85.0),
        None,
    );
    let found = s.with_job(|job| hole_schedule(job, a).unwrap());
    let hole = found
        .holes
        .iter()
        .find(|h| h.post_name == "A3" && h.wire == 6)
        .unwrap();
    assert_eq!(hole.drilled_below_mm, Some(85.0));
    assert_eq!(hole.planned_below_mm, Some(76.0));
}
