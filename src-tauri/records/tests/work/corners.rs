//! What friction leaves of a tension behind a corner, against what is required there.
//! Figures of friction by Euler–Eytelwein, T·e^(−μφ): written out here.

use std::f64::consts::{FRAC_PI_2, PI};

use records::ids::ItemId;
use records::model::fields;
use records::model::values::{Angle, End, EndKind, Friction, Hand, PostRole, Support};
use records::subject::Subject;
use records::work::{
    Corners, Origin, RefusalCode, corners, cut_sheet, recheck, tension_plan, tensioning,
};

use crate::near;
use crate::released::line_of;
use crate::scene::{Scene, measured};

fn asked(s: &mut Scene, run: ItemId) -> Corners {
    s.with_job(|job| corners(job, run).unwrap())
}

fn corner(s: &mut Scene, post: &str) {
    let (subject, place) = (Subject::post(s.post(post)), s.a.to_string());
    s.say(fields::POST_ROLE, &subject, &place, PostRole::Corner, None);
}

fn tensioner(s: &mut Scene, post: &str, hand: Hand, tensioner: bool) {
    let (subject, place) = (Subject::post(s.post(post)), s.a.to_string());
    let end = End {
        kind: EndKind::Insert,
        hand,
        tensioner,
        angled_seat: false,
        aside_nm: None,
        other_enters: None,
    };
    s.say(fields::POST_END, &subject, &place, end, None);
}

#[test]
fn a_straight_run_lacks_nothing_and_a_corner_is_told_from_to() {
    let mut s = measured();
    let a = s.a;
    let straight = asked(&mut s, a);
    assert!(straight.bends.is_empty() && straight.legs.is_empty());
    assert_eq!((straight.side, straight.notes), (None, Vec::new()));
    corner(&mut s, "A3");
    tensioner(&mut s, "A6", Hand::Right, false);
    let told = asked(&mut s, a);
    let [bend] = told.bends.as_slice() else {
        panic!("{:?}", told.bends)
    };
    // Nobody told the angle: every one counts, from straight on to all the way back.
    assert_eq!(bend.name, "A3");
    assert_eq!((bend.turn_from_deg, bend.turn_to_deg), (0.0, 180.0));
    assert_eq!(bend.turn_origin, Origin::Assumed);
    assert!(bend.friction_origin.contains("assumed"));
    let untold = "at post A3: the angle is not told. Every angle counts";
    assert!(
        told.notes.iter().any(|n| n.contains(untold)),
        "{:?}",
        told.notes
    );
    assert_eq!(told.tensioned_at, ["A1"]);
    let [near_leg, far_leg] = told.legs.as_slice() else {
        panic!("{:?}", told.legs)
    };
    assert_eq!((near_leg.least_n, near_leg.most_n), (1500.0, 1500.0));
    assert_eq!(near_leg.bays, [s.bay("A1", "A2"), s.bay("A2", "A3")]);
    assert_eq!(near_leg.lacks_n, None);
    // μ 0.3 all the way back; straight on nothing is lost.
    let least = 1500.0 * (-0.3 * PI).exp();
    near(far_leg.least_n, least, 0.5);
    assert_eq!(far_leg.most_n, 1500.0);
    // The same with a right angle stands beside it.
    let square = &told.at_right_angle[1];
    near(square.least_n, 1500.0 * (-0.3 * FRAC_PI_2).exp(), 0.5);
    near(square.most_n, 1500.0 * (-0.1 * FRAC_PI_2).exp(), 0.5);
    assert_eq!(square.bays, far_leg.bays);
    // The table's 1330 N hold behind the corner too: nothing is taken off them.
    assert_eq!(told.required_n, Some(1330.0));
    near(far_leg.lacks_n.unwrap(), 1330.0 - least, 0.5);
    assert_eq!(far_leg.bays.len(), 4);
    assert!(
        far_leg.sentence.contains("short of the 1330 N required"),
        "{}",
        far_leg.sentence
    );
    let side = told.side.unwrap();
    // From both ends each side of one corner is brought up from its own end.
    assert!(
        side.contains("tensioner at A6 as well") && side.contains("at least 1500 N"),
        "{side}"
    );
    // 1330 · 1500 / 584 is over the 1800 that nothing may exceed.
    let needs = (1330.0 * 1500.0 / least).ceil();
    assert!(
        side.contains(&format!("show {needs:.0} N, over the upper 1800 N")),
        "{side}"
    );
}

#[test]
fn the_end_that_is_tensioned_and_what_is_told_of_the_corner_count() {
    let mut s = measured();
    let a = s.a;
    corner(&mut s, "A3");
    let (post, place) = (Subject::post(s.post("A3")), a.to_string());
    let angle = Angle { cdeg: 15_000 };
    s.say(fields::POST_ANGLE, &post, &place, angle, None);
    let friction = Friction {
        from_permille: 150,
        to_permille: 200,
        origin: Some("pulled over the eye with a scale".into()),
    };
    s.say(fields::POST_FRICTION, &post, &place, friction, None);
    // 150° inside is a turn of 30°.
    let behind = |friction: f64| 1500.0 * (-friction * 30.0_f64.to_radians()).exp();
    tensioner(&mut s, "A1", Hand::Left, false);
    let told = asked(&mut s, a);
    assert_eq!(told.tensioned_at, ["A6"]);
    assert_eq!(told.bends[0].turn_origin, Origin::Recorded);
    let turn = (told.bends[0].turn_from_deg, told.bends[0].turn_to_deg);
    assert_eq!((turn, told.at_right_angle.len()), ((30.0, 30.0), 0));
    assert!(told.bends[0].friction_origin.contains("scale"));
    near(told.legs[0].least_n, behind(0.2), 0.5);
    near(told.legs[0].most_n, behind(0.15), 0.5);
    assert_eq!(told.legs[1].least_n, 1500.0);
    // Nothing lacks: 1351 N behind it, and no word of a verdict.
    assert_eq!(told.legs[0].lacks_n, None);
    assert!(!told.side.unwrap().contains("might have to show"));
    // The widest bay, A2–A3, lies on the other side of the corner than the tensioner.
    let side = asked(&mut s, a).side.unwrap();
    assert!(
        side.contains("A2–A3") && side.contains("tension at A1"),
        "{side}"
    );

    // Tensioned at both, a second corner leaves a leg between that neither end reaches whole.
    tensioner(&mut s, "A1", Hand::Left, true);
    corner(&mut s, "A5");
    let told = asked(&mut s, a);
    let between = 1500.0 * (-0.2 * 30.0_f64.to_radians()).exp();
    near(told.legs[1].least_n, between, 0.5);
    assert_eq!(
        (told.legs[0].least_n, told.legs[2].least_n),
        (1500.0, 1500.0)
    );
    assert!(
        told.side
            .unwrap()
            .starts_with("Tension at both ends, A1 and A6")
    );
}

#[test]
fn a_run_that_turns_is_tensioned_by_gauge_in_the_same_order_and_one_that_does_not_is_cut() {
    let mut s = measured();
    let a = s.a;
    corner(&mut s, "A3");
    let barred = |s: &mut Scene| {
        let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
        let refused = sheet.lines.into_iter().filter_map(|line| line.refused);
        refused.map(|why| why.sentence).collect::<Vec<_>>()
    };
    assert_eq!(barred(&mut s).len(), 12);
    assert!(barred(&mut s)[0].contains("a corner at post A3"));
    let plan = s.with_job(|job| tensioning(job, a).unwrap());
    assert!(plan.missing.unwrap().contains("corner"));
    let passes: Vec<f64> = plan.passes.iter().map(|pass| pass.tension_n).collect();
    assert_eq!(passes, [600.0, 1100.0, 1500.0]);
    let order = |at: usize| plan.passes[at].wires.iter().map(|step| step.wire);
    // common practice: from the edges to the middle, and every second pass the other way.
    let inwards = [1, 12, 2, 11, 3, 10, 4, 9, 5, 8, 6, 7];
    assert_eq!(order(0).collect::<Vec<_>>(), inwards);
    assert_eq!(order(1).rev().collect::<Vec<_>>(), inwards);
    assert!(plan.passes[0].wires.iter().all(|step| step.turn.is_none()));
    let told = s.with_job(|job| recheck(job, a).unwrap());
    let note =
        "Run A turns at post A3: how it gives and creeps, and the friction there, are not in";
    assert!(
        told.notes.iter().any(|n| n.starts_with(note)),
        "{:?}",
        told.notes
    );
    let plan = s.with_job(|job| tension_plan(job, a).unwrap());
    assert!(
        plan.issues.iter().any(|n| n.starts_with(note)),
        "{:?}",
        plan.issues
    );
    // Told as straight it is cut like any other, and nothing is said of a corner.
    let (post, place) = (Subject::post(s.post("A3")), a.to_string());
    s.say(
        fields::POST_ANGLE,
        &post,
        &place,
        Angle { cdeg: 18_000 },
        None,
    );
    assert_eq!(barred(&mut s), Vec::<String>::new());
    let told = s.with_job(|job| recheck(job, a).unwrap());
    assert!(
        told.notes.iter().all(|n| !n.contains("turns at")),
        "{:?}",
        told.notes
    );
}

#[test]
fn a_cut_rests_on_how_its_run_turns_and_on_no_friction() {
    let mut s = measured();
    let a = s.a;
    corner(&mut s, "A3");
    let (post, place) = (Subject::post(s.post("A3")), a.to_string());
    let angle = |degrees: i64| {
        Some(Angle {
            cdeg: degrees * 100,
        })
    };
    let refused = |s: &mut Scene| s.with_job(|job| line_of(job, a, 12).refused);
    let tell = |s: &mut Scene, degrees: i64, over: Vec<records::ids::Hash>| {
        s.say_over(
            fields::POST_ANGLE,
            &post,
            &place,
            angle(degrees),
            None,
            over,
        );
        s.tips("angle", &post, &place)
    };
    // A dispute is told as one, and not as a corner to be cut on site.
    tell(&mut s, 180, Vec::new());
    let both = tell(&mut s, 90, Vec::new());
    let why = refused(&mut s).unwrap();
    assert_eq!(why.code, RefusalCode::Disputed, "{}", why.sentence);
    let told = "The angle of run A at post A3 is disputed: people differ on it.";
    assert!(why.sentence.contains(told), "{}", why.sentence);
    let plan = s.with_job(|job| tensioning(job, a).unwrap());
    let missing = plan.missing.unwrap();
    assert!(
        missing.contains(told) && !missing.contains("measure"),
        "{missing}"
    );
    assert_eq!(plan.passes.len(), 3);
    let disputes = s.with_job(records::work::disputes);
    assert_eq!(disputes[0].field_name, "angle of a run");
    let straight = tell(&mut s, 180, both);
    assert_eq!(refused(&mut s), None);
    // Of a straight run friction takes nothing: who differs on it stops no cut.
    for from_permille in [100, 200] {
        let friction = Friction {
            from_permille,
            to_permille: 300,
            origin: None,
        };
        s.say_over(
            fields::POST_FRICTION,
            &post,
            &place,
            Some(friction),
            None,
            Vec::new(),
        );
    }
    let differ = s.with_job(|job| corners(job, a).unwrap().notes);
    assert!(
        differ[0].contains("people differ on the friction"),
        "{differ:?}"
    );
    assert_eq!(refused(&mut s), None);
    // What was released as straight is marked as soon as it is told to turn.
    s.release(a, 12);
    let stands = |s: &mut Scene| s.with_job(|job| line_of(job, a, 12).issued.unwrap().basis_stands);
    assert!(stands(&mut s));
    tell(&mut s, 90, straight);
    assert!(!stands(&mut s));
    assert_eq!(refused(&mut s).unwrap().code, RefusalCode::OnSite);
}

#[test]
fn no_pass_is_told_where_no_end_may_be_tensioned_and_the_one_end_is_named() {
    let mut s = measured();
    let a = s.a;
    corner(&mut s, "A3");
    let plan = |s: &mut Scene| s.with_job(|job| tensioning(job, a).unwrap());
    assert_eq!(
        (plan(&mut s).passes.len(), plan(&mut s).turned_at),
        (3, None)
    );
    tensioner(&mut s, "A1", Hand::Left, false);
    let told = plan(&mut s);
    let at = told.turned_at.map(|at| (at.post, at.last));
    assert_eq!((told.passes.len(), at), (3, Some(("A6".to_owned(), true))));
    tensioner(&mut s, "A6", Hand::Right, false);
    let none = plan(&mut s);
    assert_eq!(none.passes, Vec::new());
    assert!(
        none.missing
            .unwrap()
            .contains("No end of run A is told as tensioned")
    );
    // Where people differ on it, that is told, and not what the first of them said.
    let end = End {
        kind: EndKind::Insert,
        hand: Hand::Right,
        tensioner: true,
        angled_seat: false,
        aside_nm: None,
        other_enters: None,
    };
    let (six, place) = (Subject::post(s.post("A6")), a.to_string());
    let first = s.tips("end", &six, &place);
    s.say_over(fields::POST_END, &six, &place, Some(end), None, Vec::new());
    let differ = plan(&mut s);
    assert_eq!((differ.passes.len(), differ.turned_at), (0, None));
    let missing = differ.missing.unwrap();
    assert!(missing.contains("end of post A6 is disputed"), "{missing}");
    s.say_over(fields::POST_END, &six, &place, Some(end), None, first);
    let both = s.tips("end", &six, &place);
    s.say_over(fields::POST_END, &six, &place, Some(end), None, both);
    assert_eq!(plan(&mut s).passes.len(), 3);
    let glass: Support = serde_json::from_value(serde_json::json!({"kind": "glassEdge"})).unwrap();
    s.say(
        fields::POST_SUPPORT,
        &Subject::post(s.post("A6")),
        "",
        glass,
        None,
    );
    let told = plan(&mut s);
    assert!(told.missing.unwrap().contains("never hold the wires' pull"));
    assert_eq!(told.passes, Vec::new());
}

#[test]
fn no_end_tensioned_or_people_who_differ_leave_no_figures() {
    let mut s = measured();
    let a = s.a;
    corner(&mut s, "A3");
    let (post, place) = (Subject::post(s.post("A3")), a.to_string());
    for (name, hand) in [("A1", Hand::Left), ("A6", Hand::Right)] {
        tensioner(&mut s, name, hand, false);
    }
    let none = asked(&mut s, a);
    assert!(none.legs.is_empty());
    assert!(
        none.notes.iter().any(|n| n.contains("No end of run A")),
        "{:?}",
        none.notes
    );
    tensioner(&mut s, "A1", Hand::Left, true);
    for degrees in [80, 100] {
        let angle = Some(Angle {
            cdeg: degrees * 100,
        });
        s.say_over(fields::POST_ANGLE, &post, &place, angle, None, Vec::new());
    }
    let differ = asked(&mut s, a);
    assert!(differ.legs.is_empty() && differ.side.is_none());
    assert!(
        differ.notes[0].contains("people differ on how it turns"),
        "{:?}",
        differ.notes
    );
}
