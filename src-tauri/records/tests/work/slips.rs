//! One odd fact stops what rests on it and nothing else, and is named with its run, post and field.
//!
//! They are written past the program that refuses them, as another program or an older version may.

use records::ids::ItemId;
use records::model::context::{LengthRead, Said};
use records::model::fields;
use records::model::values::{CutMade, Length, Material, Rail, Section, Slope, WireHeights};
use records::subject::{ItemKind, Subject};
use records::work::{
    ALL_ASKED, LayoutAsk, NextWhat, ProblemCode, Topic, before_ordering, cut_plan, cut_sheet,
    even_up, hole_schedule, lacks, next_act, posts_asked, progress, propose, pushed, recheck,
    take_off, tension_plan, tensioning, tensions, to_cut,
};

use crate::scene::{MM, Scene, measured, mm, on_piece};

/// Every answer about a run and about the job; what refuses is named.
fn refusing(s: &mut Scene, run: ItemId) -> Vec<String> {
    s.with_job(|job| {
        let mut found = Vec::new();
        let mut say = |name: &str, why: Option<String>| {
            found.extend(why.map(|why| format!("{name}: {why}")));
        };
        fn why<T, E: std::fmt::Display>(answer: Result<T, E>) -> Option<String> {
            answer.err().map(|e| e.to_string())
        }
        say("beforeOrdering", why(before_ordering(job, run)));
        say("tensionPlan", why(tension_plan(job, run)));
        say("tensions", why(tensions(job, run)));
        say("cutSheet", why(cut_sheet(job, run)));
        say("holes", why(hole_schedule(job, run)));
        say("posts", why(posts_asked(job, run)));
        say("progress", why(progress(job, run)));
        say("propose", why(propose(job, run, &LayoutAsk::default())));
        say("pushed", why(pushed(job, run, None, None)));
        say("recheck", why(recheck(job, run)));
        say("tensioning", why(tensioning(job, run)));
        say("evenUp", why(even_up(job, run)));
        say("nextAct", why(next_act(job, &[])));
        say("lacks", why(lacks(job)));
        say("takeOff", why(take_off(job)));
        say("cutPlan", why(cut_plan(job)));
        found
    })
}

/// Takes every length of a run back.
fn unread(s: &mut Scene, run: ItemId) {
    for wire in 1..=8 {
        let wire = Subject::Wire(run, wire);
        for tip in s.tips("length", &wire, "") {
            let gone = (None::<Length>, None::<LengthRead>);
            s.say_over(fields::WIRE_LENGTH, &wire, "", gone.0, gone.1, vec![tip]);
        }
    }
}

/// What is told about a run as not fitting.
fn problems(s: &mut Scene, run: ItemId) -> Vec<(ProblemCode, String)> {
    let answer = s.with_job(|job| before_ordering(job, run).unwrap());
    let told = answer.problems.into_iter();
    told.map(|p| (p.code, p.sentence)).collect()
}

fn named(problems: &[(ProblemCode, String)], code: ProblemCode, words: &[&str]) {
    let found = problems.iter().find(|(c, _)| *c == code);
    let sentence = &found
        .unwrap_or_else(|| panic!("{code:?} in {problems:?}"))
        .1;
    for word in words {
        assert!(sentence.contains(word), "{word} in {sentence}");
    }
    let same = problems.iter().filter(|(_, s)| s == sentence).count();
    assert_eq!(same, 1, "{sentence} is told once");
}

/// What run A's answers are made of, to see that a slip in run B leaves them alone.
fn of_a(s: &mut Scene) -> String {
    let a = s.a;
    s.with_job(|job| {
        let ordering = before_ordering(job, a).unwrap();
        let sheet = cut_sheet(job, a).unwrap();
        let strands = take_off(job).unwrap().strands;
        assert!(!strands.is_empty());
        let lines: Vec<_> = sheet.lines.iter().map(|l| (l.wire, l.aim_mm)).collect();
        format!("{:?} {:?} {lines:?}", ordering.bays, ordering.findings)
    })
}

#[test]
fn a_slope_that_cannot_be_is_not_used_and_stops_no_other_run() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let before = of_a(&mut s);
    let slope = Slope {
        rise_nm: 2000 * MM,
        going_nm: 10 * MM,
        risers: Some(9),
        overhang_nm: None,
    };
    s.say(fields::RUN_SLOPE, &Subject::run(b), "", slope, None);
    for run in [a, b] {
        assert_eq!(refusing(&mut s, run), Vec::<String>::new());
    }
    assert_eq!(of_a(&mut s), before);
    let told = problems(&mut s, b);
    named(&told, ProblemCode::NoSlope, &["Run B", "rise and going"]);
    // What rests on the record alone names no document and nobody who confirms it.
    let answer = s.with_job(|job| before_ordering(job, b).unwrap());
    let mut tension = answer.problems.iter();
    let tension = tension.find(|p| p.code == ProblemCode::Tension).unwrap();
    assert_eq!((&tension.source, &tension.confirm), (&None, &None));
    named(
        &told,
        ProblemCode::Tension,
        &["run B", "slope", "2000 mm on a going of 10 mm", "steeper"],
    );
}

#[test]
fn heights_from_the_top_down_are_named_and_the_rest_goes_on() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let down = WireHeights {
        nm: (1..=12).rev().map(|n| n * 76 * MM).collect(),
    };
    let run = Subject::run(a);
    s.say(fields::RUN_WIRE_HEIGHTS, &run, "", down, None);
    for run in [a, b] {
        assert_eq!(refusing(&mut s, run), Vec::<String>::new());
    }
    let told = problems(&mut s, a);
    named(
        &told,
        ProblemCode::Heights,
        &["run A", "wire heights", "wire 2 stands at 836 mm"],
    );
    let next = s.with_job(|job| next_act(job, &[]).unwrap().unwrap());
    assert_eq!(next.what, NextWhat::FinishLayout);
    assert!(next.sentence.contains("Run A"), "{}", next.sentence);
}

#[test]
fn a_floor_above_the_barrier_is_named_with_its_post() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let post = Subject::post(s.post("A4"));
    for floor in [1020.0, 1500.0, 999_000.0] {
        s.say(fields::POST_FLOOR, &post, "", mm(floor), None);
        for run in [a, b] {
            assert_eq!(refusing(&mut s, run), Vec::<String>::new(), "{floor}");
        }
        let told = problems(&mut s, a);
        let up = format!("{floor} mm above the first post's");
        let words = ["Run A", "floor level at post A4", &up, "1020 mm"];
        named(&told, ProblemCode::Floor, &words);
        let answer = s.with_job(|job| before_ordering(job, a).unwrap());
        let height = answer.findings.iter().find(|f| f.topic == Topic::Height);
        assert_eq!(
            height.unwrap().actual,
            None,
            "asked, and held against nothing"
        );
        assert!(answer.notes.iter().any(|n| n.contains("post A4")));
        assert_eq!(answer.bays.len(), 6, "the rows are read all the same");
    }
    s.say(fields::POST_FLOOR, &post, "", mm(-8.0), None);
    let job = Subject::Job(s.device.job());
    s.say(fields::JOB_COMING_FLOOR, &job, "", mm(1000.0), None);
    assert!(
        problems(&mut s, a)
            .iter()
            .all(|(c, _)| *c != ProblemCode::Floor)
    );
    // With the coming floor of a metre a floor that rises by 20 mm is as high as the top.
    s.say(fields::POST_FLOOR, &post, "", mm(20.0), None);
    named(
        &problems(&mut s, a),
        ProblemCode::Floor,
        &["coming floor is 1000 mm", "post A4 is 20 mm"],
    );
    for run in [a, b] {
        assert_eq!(refusing(&mut s, run), Vec::<String>::new());
    }
    // Run B is lower than that floor is thick.
    s.say(fields::POST_FLOOR, &post, "", mm(-8.0), None);
    named(
        &problems(&mut s, b),
        ProblemCode::Floor,
        &["Run B", "coming floor is 1000 mm", "891"],
    );
}

#[test]
fn a_deduction_longer_than_a_wire_is_named_and_compared_with_nothing() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    unread(&mut s, b);
    s.measure(b, 4, 900.0);
    let set = Subject::Item(ItemKind::FittingSet, s.fitting);
    s.say(fields::FITTING_FIXED_DEDUCTION, &set, "", mm(950.0), None);
    for run in [a, b] {
        assert_eq!(refusing(&mut s, run), Vec::<String>::new());
    }
    let told = problems(&mut s, b);
    let words = ["Run B", "fixed deduction", "950 mm"];
    named(&told, ProblemCode::Deduction, &words);
    let all = problems(&mut s, a);
    assert!(all.iter().all(|(c, _)| *c != ProblemCode::Deduction));
    let sheet = s.with_job(|job| cut_sheet(job, a).unwrap());
    assert!(sheet.lines.iter().all(|l| l.fixed.is_some()));
}

#[test]
fn what_two_figures_make_impossible_is_told_for_its_run() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    // A modulus and a section that a post may have, and with both it moves further than its wires
    // are long; they were cut before that was told.
    for wire in 1..=8 {
        let wire = Subject::Wire(b, wire);
        let with = Some(on_piece(1));
        let made = CutMade {
            nm: 2473 * MM,
            batch: None,
            offcut: None,
        };
        s.say(fields::WIRE_CUT, &wire, "1", made, with);
    }
    let slim = Section {
        along_nm: 40 * MM,
        across_nm: 40 * MM,
        wall_nm: None,
        solid: None,
    };
    let soft = Material {
        name: "soft".into(),
        grade: None,
        treatment: None,
        modulus_mpa: Some(100),
        modulus_origin: None,
        bending_mpa: None,
        bending_origin: None,
        moisture_permille: None,
    };
    let rail = s.tips("rail", &Subject::run(b), "");
    let none = (None::<records::model::values::Rail>, None::<Said>);
    s.say_over(fields::RUN_RAIL, &Subject::run(b), "", none.0, none.1, rail);
    for post in ["A6", "B3"] {
        let post = Subject::post(s.post(post));
        s.say(fields::POST_MATERIAL, &post, "", soft.clone(), None);
        s.say(fields::POST_SECTION, &post, "", slim, None);
    }
    for run in [a, b] {
        assert_eq!(refusing(&mut s, run), Vec::<String>::new());
    }
    let told = s.with_job(|job| tensioning(job, b).unwrap());
    let missing = told.missing.unwrap();
    for word in ["Run B", "A6 and B3", "moduli"] {
        assert!(missing.contains(word), "{word} in {missing}");
    }
}

#[test]
fn a_run_that_cannot_be_worked_out_stops_the_work_on_no_other() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let before = of_a(&mut s);
    // A thread that can't be: no cut of run B can be worked out.
    let other = s.create(ItemKind::FittingSet, fields::FITTING_SET_CREATED);
    let subject = Subject::Item(ItemKind::FittingSet, other);
    let mut terminals = records::library::fitting_sets()[0].terminals.clone();
    terminals.left.pitch_nm = Some(7 * MM);
    s.say(fields::FITTING_TERMINALS, &subject, "", terminals, None);
    s.say(fields::RUN_FITTING_SET, &Subject::run(b), "", other, None);
    assert!(s.with_job(|job| cut_sheet(job, b)).is_err());
    assert_eq!(of_a(&mut s), before);
    let next = s.with_job(|job| next_act(job, &[]).unwrap().unwrap());
    assert_eq!((next.what, next.run), (NextWhat::FinishLayout, Some(b)));
    for word in ["Run B", "put right", "pitch", "7"] {
        assert!(next.sentence.contains(word), "{word} in {}", next.sentence);
    }
    // Skipped, run A's own work comes.
    let skipped = [next.key, ALL_ASKED.to_owned()];
    let next = s.with_job(|job| next_act(job, &skipped).unwrap().unwrap());
    assert_eq!(next.run, Some(a));
    let parts = s.with_job(|job| take_off(job).unwrap());
    assert!(
        parts
            .notes
            .iter()
            .any(|n| n.starts_with("Run B: its metres")),
        "{:?}",
        parts.notes
    );
    assert_eq!(parts.wires, 20, "its terminals are counted all the same");
    let all = s.with_job(|job| lacks(job).unwrap());
    let of = |run: ItemId| {
        let key = run.to_string();
        all.items.iter().filter(|i| i.key.ends_with(&key)).count()
    };
    assert!(of(a) > 10 && of(b) > 10);
}

#[test]
fn the_lower_of_height_and_rail_counts_and_both_are_named() {
    for (height, underside, counts, named) in [
        (1_020.0, 985, 1_020.0, false),
        (1_023.0, 985, 1_020.0, false),
        (1_020.0, 885, 920.0, true),
        (1_200.0, 985, 1_020.0, true),
        (900.0, 985, 900.0, true),
    ] {
        let mut s = measured();
        let a = s.a;
        let run = Subject::run(a);
        s.say(fields::RUN_HEIGHT, &run, "", mm(height), None);
        let rail = Rail {
            underside_nm: underside * MM,
            thickness_nm: 35 * MM,
            stiffness_n_per_m: None,
            stiffness_height_nm: None,
        };
        s.say(fields::RUN_RAIL, &run, "", rail, None);
        let held = s.with_job(|job| before_ordering(job, a).unwrap());
        let mut found = held.findings.iter();
        let found = found.find(|f| f.topic == Topic::Height).unwrap();
        assert_eq!(found.actual.unwrap().value, counts, "{height} {underside}");
        let mut told = held
            .problems
            .iter()
            .filter(|p| p.code == ProblemCode::Heights);
        let told = told.any(|p| p.sentence.contains("its rail's top lies at"));
        assert_eq!(told, named, "{height} {underside}: {:?}", held.problems);
    }
}

#[test]
fn wires_in_the_rail_or_in_the_coming_floor_are_named_and_asked_about_before_they_are_cut() {
    let heights = |pitch: i64, bottom: i64| WireHeights {
        nm: (0..12).map(|i| (bottom + i * pitch) * MM).collect(),
    };
    for (bottom, pitch, coming, words) in [
        (76, 76, 0.0, ""),
        // Underside of the rail at 985: the top wire's upper edge just below it.
        (110, 79, 0.0, ""),
        (110, 80, 0.0, "Wire 12 of run A stands in the rail or above"),
        (76, 90, 0.0, "Wire 12 of run A stands in the rail or above"),
        (86, 82, 0.0, "Wire 12 of run A stands in the rail or above"),
        (76, 76, 70.0, ""),
        (
            76,
            76,
            300.0,
            "Wires 1–3 of run A stand in the coming floor",
        ),
    ] {
        let mut s = measured();
        let a = s.a;
        let run = Subject::run(a);
        s.say(
            fields::RUN_WIRE_HEIGHTS,
            &run,
            "",
            heights(pitch, bottom),
            None,
        );
        let job = Subject::Job(s.device.job());
        s.say(fields::JOB_COMING_FLOOR, &job, "", mm(coming), None);
        let held = s.with_job(|job| before_ordering(job, a).unwrap());
        let told: Vec<&str> = held
            .problems
            .iter()
            .filter(|p| p.code == ProblemCode::Heights)
            .map(|p| p.sentence.as_str())
            .collect();
        let asked = s.with_job(|job| to_cut(job, a).unwrap()).questions;
        let asked: Vec<&str> = asked
            .iter()
            .map(|q| q.sentence.as_str())
            .filter(|q| q.contains(" of run A stand"))
            .collect();
        assert_eq!(told, asked, "{bottom} {pitch} {coming}");
        match words {
            "" => assert_eq!(told, Vec::<&str>::new(), "{bottom} {pitch} {coming}"),
            words => assert!(told.join(" ").contains(words), "{told:?}"),
        }
    }
}
