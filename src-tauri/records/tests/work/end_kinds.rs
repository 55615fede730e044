//! Runs whose ends are of other kinds than studs into inserts: cut, tensioned and counted by what they are. One
//! file past 400 lines, since all kinds are told by the same helpers.

use records::library;
use records::model::context::Terminal;
use records::model::fields;
use records::model::values::{
    Act, BeforeSecondEnd, CutMade, End, EndKind, Force, Hand, Shape, Slope, Terminals,
};
use records::subject::{ItemKind, Subject};
use records::work::{
    CutLine, EvidenceState, RefusalCode, cut_sheet, hole_schedule, lacks, odd_thread_left, release,
    take_off, tension_plan, tensioning,
};

use crate::released::line_of;
use crate::scene::{Scene, measured, mm, on_piece};

const MM: i64 = 1_000_000;

/// The library's long stud with a fixed end.
fn with_a_fixed_end() -> Terminals {
    let sets = library::fitting_sets();
    let found = sets.iter().find(|s| s.key == "m6-insert-fixed-end");
    found.unwrap().terminals.clone()
}

/// The same with another right end, which has no figures but lengths at first, and is held at the face.
fn with_right(kind: EndKind, change: impl FnOnce(&mut Terminal)) -> Terminals {
    let mut terminals = with_a_fixed_end();
    terminals.right.kind = kind;
    if kind.has_thread() {
        terminals.right.mouth_nm = None;
    }
    change(&mut terminals.right);
    terminals
}

/// A stud through the post at A6: O 220, w 32, h 70, nut 5, washer 2.
fn bolt() -> Terminals {
    with_right(EndKind::ThroughBolt, |end| {
        end.overall_nm = Some(220 * MM);
        threaded(end, 70);
        end.hole_nm = Some(10 * MM);
        end.washer_nm = Some(2 * MM);
    })
}

/// M6 with so much thread, all of it told.
fn threaded(end: &mut Terminal, thread: i64) {
    end.thread_nm = Some(thread * MM);
    end.least_engagement_nm = Some(8 * MM);
    end.start_nm = Some(2 * MM);
    end.reserve_nm = Some(4 * MM);
    end.lock_nut_nm = Some(5 * MM);
    end.thread_diameter_nm = Some(6 * MM);
    end.pitch_nm = Some(MM);
}

impl Scene {
    fn set(&mut self, terminals: Terminals) {
        let fitting = Subject::Item(ItemKind::FittingSet, self.fitting);
        self.say(fields::FITTING_TERMINALS, &fitting, "", terminals, None);
    }

    /// Tells an end of run A, on an angled seat or without one.
    fn end_at(&mut self, at: &str, (kind, hand): (EndKind, Hand), tensioner: bool, seat: bool) {
        let (post, place) = (Subject::post(self.post(at)), self.a.to_string());
        let end = End {
            kind,
            hand,
            tensioner,
            angled_seat: seat,
            aside_nm: None,
            other_enters: None,
        };
        self.say(fields::POST_END, &post, &place, end, None);
    }

    fn ends_in(&mut self, post: &str, kind: EndKind, hand: Hand, tensioner: bool) {
        self.end_at(post, (kind, hand), tensioner, false);
    }

    fn seated(&mut self, post: &str, kind: EndKind, hand: Hand) {
        self.end_at(post, (kind, hand), kind.has_thread(), true);
    }

    /// Run A with a stud at A1 and another end at A6, tensioned at A1 alone.
    fn ended(terminals: Terminals, tensioner: bool) -> Self {
        let mut s = measured();
        let kind = terminals.right.kind;
        s.set(terminals);
        s.ends_in("A1", EndKind::Insert, Hand::Left, true);
        s.ends_in("A6", kind, Hand::Right, tensioner);
        s
    }

    fn line(&mut self, wire: u32) -> CutLine {
        let a = self.a;
        self.with_job(|job| line_of(job, a, wire))
    }

    fn refusal(&mut self) -> (RefusalCode, String) {
        let a = self.a;
        let sheet = self.with_job(|job| cut_sheet(job, a).unwrap());
        for line in &sheet.lines {
            assert!(release(&sheet, line, None).is_none(), "{line:?}");
            assert_eq!((line.aim_mm, line.longest_mm), (None, None));
        }
        let told = sheet.lines[0].refused.clone().unwrap();
        (told.code, told.sentence)
    }
}

/// Strain factor at 1500 N of the scene's strand, and what one of 30 N leaves.
fn strain(s: &mut Scene) -> (f64, f64) {
    s.with_job(|job| {
        let figures = job.strands[0].figures.clone().unwrap();
        let ea = figures.ea_mn as f64 / 1000.0;
        let stretch = figures.stretch_ppm as f64 / 1e6;
        ((1.0 + 1500.0 / ea) * (1.0 + stretch), 1.0 + 30.0 / ea)
    })
}

fn near(a: f64, b: f64) {
    assert!((a - b).abs() < 1e-6, "{a} is not {b}");
}

/// D − y + x = S1 + S2 + W + (Lc − W)·k, each limit by hand.
fn window(line: &CutLine, k: (f64, f64), s: f64, x: (f64, f64, f64)) -> (f64, f64) {
    let (inside, inward) = (line.inside_mm.unwrap(), line.inward_mm.unwrap());
    let w = 64.0;
    let at = |x: f64| (inside - inward + x - s - w) / k.0 + w;
    let (full, least, start) = x;
    let by_hand = (inside + start - s - w) / k.1 + w;
    (at(least).max(by_hand), at(full))
}

#[test]
fn a_run_with_a_fixed_end_is_cut_by_the_thread_of_its_other_end_alone() {
    let mut s = Scene::ended(with_a_fixed_end(), false);
    let k = strain(&mut s);
    for wire in [1, 6, 12] {
        let line = s.line(wire);
        assert_eq!(line.refused, None);
        // S1 = 110 − 32, S2 = 60 − 32. Full 60 − 3.2, less reserve 4; least 8; start 2.
        let (shortest, longest) = window(&line, k, 78.0 + 28.0, (52.8, 8.0, 2.0));
        near(line.shortest_mm.unwrap(), shortest);
        near(line.longest_mm.unwrap(), longest);
    }
    let a = s.a;
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    let told = |words: &str| sheet.notes.iter().any(|n| n.contains(words));
    assert!(told(
        "Tensioned at A1 alone, whose thread takes up 50.8 mm: the other end has no thread"
    ));
    let number = |name: &str| sheet.inputs.iter().find(|n| n.name == name).cloned();
    assert_eq!(number("lock nut, LH").unwrap().value, "3.2 mm");
    assert!(number("one end ahead of the other at the start").is_none());
    assert!(number("fixed end at A6").unwrap().value.contains("60 mm"));
    // What was said of a hand at the fixed end plays no part.
    let before = s.line(6).aim_mm;
    s.ends_in("A6", EndKind::FixedEnd, Hand::Left, true);
    assert_eq!(s.line(6).aim_mm, before);
}

#[test]
fn it_is_released_cut_tensioned_and_learned_from_at_its_one_thread() {
    let mut s = Scene::ended(with_a_fixed_end(), false);
    let (a, a1) = (s.a, s.post("A1"));
    s.release(a, 6);
    let cut = s.line(6).issued.unwrap().cut_mm;
    let made = CutMade {
        nm: mm(cut).nm,
        batch: None,
        offcut: None,
    };
    s.say(
        fields::WIRE_CUT,
        &Subject::Wire(a, 6),
        "1",
        made,
        Some(on_piece(1)),
    );
    assert_eq!(s.line(6).cut_done_mm, Some(cut));
    let plan = s.with_job(|job| tensioning(job, a).unwrap());
    assert_eq!(
        plan.turned_at.map(|at| (at.post, at.last)),
        Some(("A1".to_owned(), false))
    );
    // M6, one thread: a millimetre a turn.
    let turn = plan.passes[0].wires[0].turn.unwrap();
    let flats = f64::from(turn.turns * 6 + turn.flats);
    assert!(
        (flats / 6.0 - turn.mm).abs() <= 1.0 / 12.0 + 1e-9,
        "{turn:?}"
    );
    assert!(turn.mm > 3.0, "{turn:?}");
    let note = "Turns are at A1, the one end that is tensioned; the fixed end at A6 can't turn";
    assert!(
        plan.notes.iter().any(|n| n.starts_with(note)),
        "{:?}",
        plan.notes
    );
    // The thread left at A1 alone teaches.
    s.say(
        fields::WIRE_THREAD_LEFT,
        &Subject::Wire(a, 6),
        &a1.to_string(),
        mm(20.0),
        Some(on_piece(1)),
    );
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    let taught = sheet.taught.unwrap();
    assert!(taught.told.contains("A6 takes up"), "{}", taught.told);
    let line = sheet.lines.iter().find(|l| l.wire == 7).unwrap();
    assert!(line.learned.is_some());
}

#[test]
fn parts_holes_and_what_is_lacking_are_those_of_its_one_thread() {
    let mut s = Scene::ended(with_a_fixed_end(), false);
    let a = s.a;
    let take = s.with_job(|job| take_off(job).unwrap());
    // Run B keeps studs into inserts at both ends: 8 wires.
    let count = |part: &str, hand: Option<Hand>| {
        let line = take.lines.iter().find(|l| l.part == part && l.hand == hand);
        line.map(|l| l.needed)
    };
    assert_eq!(count("insert", Some(Hand::Left)), Some(20));
    assert_eq!(count("insert", Some(Hand::Right)), Some(8));
    assert_eq!(count("lock nut", Some(Hand::Left)), Some(20));
    let fixed: Vec<_> = take
        .lines
        .iter()
        .filter(|l| l.part.contains("fixed end"))
        .collect();
    assert_eq!(fixed.len(), 1, "{:?}", take.lines);
    assert_eq!((fixed[0].hand, fixed[0].needed), (None, 12));
    let holes = s.with_job(|job| hole_schedule(job, a).unwrap());
    assert_eq!(holes.insert_holes, 12);
    assert!(holes.holes.iter().all(|h| h.post_name != "A6"));
    assert!(
        holes
            .notes
            .iter()
            .any(|n| n.contains("Post A6") && n.contains("fixed end"))
    );
}

#[test]
fn eyes_and_plates_are_cut_from_the_face_over_their_pin_and_on_site_before_that_is_told() {
    for kind in [EndKind::Eye, EndKind::WallPlate] {
        let untold = with_right(kind, |end| end.mouth_nm = None);
        let mut s = Scene::ended(untold, false);
        let (code, sentence) = s.refusal();
        assert_eq!(code, RefusalCode::OnSite);
        assert!(sentence.contains("mouth of its shank"), "{sentence}");
        s.set(with_right(kind, |end| end.mouth_nm = Some(85 * MM)));
        let k = strain(&mut s);
        let line = s.line(6);
        let (shortest, longest) = window(&line, k, 78.0 + 25.0 + 28.0, (52.8, 8.0, 2.0));
        near(line.shortest_mm.unwrap(), shortest);
        near(line.longest_mm.unwrap(), longest);
    }
}

#[test]
fn an_end_without_a_thread_whose_mouth_nobody_told_is_cut_on_site() {
    for kind in [EndKind::FixedEnd, EndKind::Eye, EndKind::WallPlate] {
        let untold = with_right(kind, |end| end.mouth_nm = None);
        let (code, sentence) = Scene::ended(untold, false).refusal();
        assert_eq!(code, RefusalCode::OnSite, "{kind:?}");
        assert!(sentence.contains("way from the post's face"), "{sentence}");
    }
    // A record of the time before: the stud's figures stand at the right, and its kind alone was changed.
    let mut old = with_a_fixed_end();
    old.right = Terminal {
        hand: Hand::Right,
        kind: EndKind::FixedEnd,
        ..old.left.clone()
    };
    let told = serde_json::to_value(&old).unwrap();
    assert_eq!(told["right"]["threadNm"], 60 * MM);
    let mut s = Scene::ended(old, true);
    let (code, sentence) = s.refusal();
    assert_eq!(code, RefusalCode::OnSite);
    assert!(
        sentence.contains("mouth of its shank") && sentence.contains("cut it on site"),
        "{sentence}"
    );
    // So it is where nothing is told as tensioned that has a thread, as before.
    s.ends_in("A1", EndKind::Insert, Hand::Left, false);
    assert_eq!(s.refusal().0, RefusalCode::OnSite);
    let a = s.a;
    let plan = s.with_job(|job| tensioning(job, a).unwrap());
    assert!(!plan.passes.is_empty(), "{plan:?}");
}

#[test]
fn a_raked_run_and_a_seat_under_an_end_without_a_thread_are_cut_on_site() {
    let mut s = Scene::ended(with_a_fixed_end(), false);
    assert_eq!(s.line(6).refused, None);
    let run = Subject::Item(ItemKind::Run, s.a);
    s.say(fields::RUN_SHAPE, &run, "", Shape::Raked, None);
    let slope = Slope {
        rise_nm: 170 * MM,
        going_nm: 280 * MM,
        risers: None,
        overhang_nm: None,
    };
    s.say(fields::RUN_SLOPE, &run, "", slope, None);
    let (code, sentence) = s.refusal();
    assert_eq!(code, RefusalCode::OnSite);
    assert!(
        sentence.contains("is raked and its A6 end is a fixed end") && sentence.contains("slope"),
        "{sentence}"
    );
    // On the level, with a seat that the set tells of too.
    let mut s = Scene::ended(
        with_right(EndKind::FixedEnd, |end| end.seat_nm = Some(6 * MM)),
        false,
    );
    assert_eq!(s.line(6).refused, None);
    s.seated("A6", EndKind::FixedEnd, Hand::Right);
    let (code, sentence) = s.refusal();
    assert_eq!(code, RefusalCode::OnSite);
    assert!(sentence.contains("angled seat"), "{sentence}");
    // A seat under the stud whose length is not told.
    let mut s = Scene::ended(with_a_fixed_end(), false);
    s.seated("A1", EndKind::Insert, Hand::Left);
    let (code, sentence) = s.refusal();
    assert_eq!(code, RefusalCode::OnSite);
    assert!(sentence.contains("whose length is not told"), "{sentence}");
}

#[test]
fn the_first_end_may_be_the_fixed_one_and_the_stud_is_of_the_hand_of_the_set() {
    let mut s = measured();
    s.set(with_a_fixed_end());
    s.ends_in("A1", EndKind::FixedEnd, Hand::Right, false);
    s.ends_in("A6", EndKind::Insert, Hand::Left, true);
    let k = strain(&mut s);
    let line = s.line(6);
    assert_eq!(line.refused, None);
    let (shortest, longest) = window(&line, k, 78.0 + 28.0, (52.8, 8.0, 2.0));
    near(line.shortest_mm.unwrap(), shortest);
    near(line.longest_mm.unwrap(), longest);
    let a = s.a;
    let plan = s.with_job(|job| tensioning(job, a).unwrap());
    let at = plan.turned_at.unwrap();
    assert_eq!((at.post.as_str(), at.last), ("A6", true));
    // Told as RH, the set has its stud at the other hand.
    s.ends_in("A6", EndKind::Insert, Hand::Right, true);
    let (code, sentence) = s.refusal();
    assert_eq!(code, RefusalCode::OnSite);
    assert!(
        sentence.contains("its stud LH and the one at A6 is told as RH")
            && sentence.contains("turned round"),
        "{sentence}"
    );
}

#[test]
fn bolts_are_cut_on_site_whatever_their_set_tells() {
    for tensioner in [true, false] {
        let mut s = Scene::ended(bolt(), tensioner);
        let (code, sentence) = s.refusal();
        assert_eq!(code, RefusalCode::OnSite);
        assert!(
            sentence.contains("A6 end of run A is a through-bolt"),
            "{sentence}"
        );
    }
    // Two of the same hand: nobody is asked for the other one.
    let mut two = bolt();
    two.left = Terminal {
        hand: Hand::Left,
        ..two.right.clone()
    };
    let mut s = measured();
    s.set(two);
    s.ends_in("A1", EndKind::ThroughBolt, Hand::Right, true);
    s.ends_in("A6", EndKind::ThroughBolt, Hand::Right, true);
    let (code, sentence) = s.refusal();
    assert_eq!(code, RefusalCode::OnSite);
    assert!(!sentence.contains("same hand"), "{sentence}");
}

#[test]
fn a_thread_that_cannot_be_is_cut_on_site_and_keeps_the_sheet() {
    let mut twelve = with_a_fixed_end();
    twelve.left.thread_diameter_nm = Some(12 * MM);
    twelve.left.pitch_nm = Some(10 * MM);
    let (code, sentence) = Scene::ended(twelve, false).refusal();
    assert_eq!(code, RefusalCode::OnSite);
    assert!(sentence.contains("pitch is 10"), "{sentence}");
    let mut twelve = bolt();
    twelve.right.thread_diameter_nm = Some(12 * MM);
    assert_eq!(Scene::ended(twelve, true).refusal().0, RefusalCode::OnSite);
}

#[test]
fn holes_nuts_and_washers_of_bolts_are_counted() {
    let mut s = Scene::ended(bolt(), true);
    let a = s.a;
    let take = s.with_job(|job| take_off(job).unwrap());
    let count = |part: &str| {
        let of = take.lines.iter().filter(|l| l.part == part);
        of.map(|l| l.needed).sum::<u32>()
    };
    assert_eq!(
        (count("nut of a bolt"), count("washer of a bolt")),
        (12, 12)
    );
    let holes = s.with_job(|job| hole_schedule(job, a).unwrap());
    let at_a6: Vec<_> = holes.holes.iter().filter(|h| h.post_name == "A6").collect();
    assert_eq!(at_a6.len(), 24, "both faces of twelve");
    assert!(
        at_a6
            .iter()
            .all(|h| h.through && h.hand.is_none() && h.diameter_mm == 10.0)
    );
}

#[test]
fn a_turnbuckle_is_cut_on_site_and_its_thread_left_is_asked_about_as_the_stud_of_its_wire() {
    let mut s = Scene::ended(
        with_right(EndKind::Turnbuckle, |end| {
            end.overall_nm = Some(80 * MM);
            threaded(end, 45);
        }),
        true,
    );
    let (code, sentence) = s.refusal();
    assert_eq!(code, RefusalCode::OnSite);
    assert!(sentence.contains("is a turnbuckle"), "{sentence}");
    let (a, a6) = (s.a, s.post("A6"));
    let mut asked = |left: f64| {
        s.with_job(|job| odd_thread_left(job, a, a6, mm(left)).unwrap())
            .unwrap_or_default()
    };
    // 45 of thread, 8 have to be in, the lock nut is 5.
    assert_eq!(asked(20.0), "");
    assert!(asked(46.0).contains("the RH stud has 45 mm of usable thread"));
    assert!(
        asked(38.0).contains("leaves 7 mm engaged"),
        "{}",
        asked(38.0)
    );
    assert!(asked(4.0).contains("no room for the lock nut"));
}

#[test]
fn a_run_without_a_thread_that_turns_can_not_be_tensioned() {
    let mut none = with_a_fixed_end();
    none.left = Terminal {
        hand: Hand::Left,
        ..none.right.clone()
    };
    let mut s = measured();
    s.set(none);
    // Older records say that such ends are tensioned, newer ones do not: both are cut on site.
    for told in [true, false] {
        s.ends_in("A1", EndKind::FixedEnd, Hand::Left, told);
        s.ends_in("A6", EndKind::FixedEnd, Hand::Right, told);
        let (code, sentence) = s.refusal();
        assert_eq!(code, RefusalCode::OnSite);
        assert!(sentence.contains("neither has a thread"), "{sentence}");
    }
    let a = s.a;
    let plan = s.with_job(|job| tensioning(job, a).unwrap());
    assert!(plan.passes.is_empty());
    let missing = plan.missing.unwrap();
    assert!(
        missing.starts_with("No end of run A has a thread"),
        "{missing}"
    );
    // Told as tensioned at the fixed end alone.
    let mut s = Scene::ended(with_a_fixed_end(), true);
    s.ends_in("A1", EndKind::Insert, Hand::Left, false);
    let (code, sentence) = s.refusal();
    assert_eq!(code, RefusalCode::PartsMissing);
    assert!(sentence.contains("at A1"), "{sentence}");
}

#[test]
fn what_stands_at_a_post_and_not_in_the_set_is_cut_on_site_as_before() {
    let mut s = Scene::ended(with_a_fixed_end(), false);
    s.ends_in("A6", EndKind::Eye, Hand::Right, false);
    let (code, sentence) = s.refusal();
    assert_eq!(code, RefusalCode::OnSite);
    assert!(
        sentence.contains("an eye, and its fitting set has a fixed end there"),
        "{sentence}"
    );
    assert!(sentence.contains("cut it on site"), "{sentence}");
}

#[test]
fn a_plate_without_a_limit_says_so_and_no_insert_limits_where_there_is_none() {
    let mut s = Scene::ended(with_a_fixed_end(), false);
    let a = s.a;
    let set = Subject::Item(ItemKind::FittingSet, s.fitting);
    let pull = Force::newtons(900);
    s.say(fields::FITTING_INSERT_PULL, &set, "", pull, None);
    let plan = |s: &mut Scene| s.with_job(|job| tension_plan(job, a).unwrap());
    let has = |s: &mut Scene, name: &str| plan(s).parts.iter().any(|p| p.name == name);
    // A1 is a stud into an insert: its pull limits.
    assert!(has(&mut s, "insert"));
    s.ends_in("A1", EndKind::Turnbuckle, Hand::Left, true);
    assert!(!has(&mut s, "insert"));
    assert!(!plan(&mut s).not_known.iter().any(|name| name == "insert"));
    let told = |s: &mut Scene| {
        let plan = plan(s);
        let mut sentences = plan.issues.into_iter();
        sentences.any(|n| n.contains("wall plate at A6 and its fixing hold is not stated"))
    };
    let says = |s: &mut Scene, words: &str| plan(s).issues.iter().any(|n| n.contains(words));
    assert!(says(
        &mut s,
        "turnbuckle at A1 and its fixing hold is not stated"
    ));
    assert!(says(
        &mut s,
        "fixed end at A6 and its fixing hold is not stated"
    ));
    assert!(!told(&mut s));
    s.ends_in("A6", EndKind::WallPlate, Hand::Right, false);
    assert!(told(&mut s));
    let post = Subject::post(s.post("A6"));
    let limit = Force::newtons(2500);
    s.say(fields::POST_TENSION_LIMIT, &post, "", limit, None);
    assert!(!told(&mut s));
    let mut parts = plan(&mut s).parts.into_iter();
    let source = parts.find(|p| p.name.starts_with("strand")).unwrap().source;
    assert!(source.contains("of both terminals"), "{source}");
}

#[test]
fn what_only_a_thread_shows_is_asked_of_its_end_alone() {
    let mut s = Scene::ended(with_a_fixed_end(), false);
    let (a, a1) = (s.a, s.post("A1").to_string());
    for wire in 1..=12 {
        for act in [
            Act::Cut,
            Act::LeftEndPressed,
            Act::Threaded,
            Act::RightEndPressed,
            Act::Fitted,
        ] {
            s.tick(a, wire, act, 1);
        }
        let wire = Subject::Wire(a, wire);
        let on = Some(on_piece(1));
        s.say(fields::WIRE_THREAD_LEFT, &wire, &a1, mm(20.0), on.clone());
        s.say(fields::WIRE_MARK_HIDDEN, &wire, &a1, true, on.clone());
        s.say(fields::WIRE_NUT_TIGHT, &wire, &a1, true, on);
    }
    // Sleeves and posts alone: the second end has no nut, no hand and no stud.
    let looked = BeforeSecondEnd {
        sleeves_on: Some(true),
        through_all_posts: Some(true),
        ..BeforeSecondEnd::default()
    };
    s.say(
        fields::RUN_BEFORE_SECOND_END,
        &Subject::Item(ItemKind::Run, a),
        "",
        looked,
        None,
    );
    let items = s.with_job(|job| lacks(job).unwrap()).items;
    let of = |key: &str| {
        let key = format!("{key}/{a}");
        items.iter().find(|i| i.key == key).unwrap()
    };
    for key in ["threadLeft", "engagement", "lockNuts"] {
        assert_eq!(of(key).state, EvidenceState::There, "{key}: {:?}", of(key));
    }
    let second = &of("beforeSecondEnd").detail;
    assert!(
        !second.contains("lock nut") && !second.contains("hand"),
        "{second}"
    );
    // A stud there asks for all of it.
    s.ends_in("A6", EndKind::Insert, Hand::Right, true);
    let items = s.with_job(|job| lacks(job).unwrap()).items;
    let asked: Vec<_> = items
        .iter()
        .filter(|i| {
            ["threadLeft", "engagement", "lockNuts"]
                .iter()
                .any(|k| i.key == format!("{k}/{a}"))
        })
        .map(|i| i.state)
        .collect();
    assert_eq!(asked, [EvidenceState::Lacking; 3]);
}
