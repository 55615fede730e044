//! A disputed fact is never used as if people agreed: swept over every single-valued field that the
//! worked job has, one figure of its value after the other.

use std::collections::BTreeSet;

use records::book::Key;
use records::ids::{Hash, ItemId};
use records::job::reader;
use records::library;
use records::model::values::{PostRole, Terminals};
use records::model::{bounds, fields};
use records::record::{Draft, value_data};
use records::subject::{ItemKind, Subject};
use records::work::{
    LayoutAsk, Wires, before_ordering, cut_sheet, differing_on, hole_schedule, posts_asked,
    progress, propose, take_off, tension_plan, tensions, unsettled_to_drill,
};
use serde::Serialize;
use serde_json::{Value, json};

use crate::scene::{MM, Scene, measured, mm};

/// Every answer about a run, by name.
fn answers(s: &mut Scene, run: ItemId) -> Vec<(&'static str, Value)> {
    s.with_job(|job| {
        fn told<T: Serialize, E: std::fmt::Display>(answer: Result<T, E>) -> Value {
            match answer {
                Ok(answer) => serde_json::to_value(answer).unwrap(),
                Err(why) => json!(why.to_string()),
            }
        }
        // The two whose own words are told by the boundary beside them.
        let beside = |answer: Value, wires| json!([answer, differing_on(job, run, wires)]);
        vec![
            ("takeOff", told(take_off(job))),
            ("holeSchedule", told(hole_schedule(job, run))),
            ("layOut", told(propose(job, run, &LayoutAsk::default()))),
            ("postsAsked", told(posts_asked(job, run))),
            ("beforeOrdering", told(before_ordering(job, run))),
            ("cutSheet", told(cut_sheet(job, run))),
            (
                "tensionPlan",
                beside(told(tension_plan(job, run)), Wires::LeftOut),
            ),
            ("tensions", beside(told(tensions(job, run)), Wires::Count)),
            ("progress", told(progress(job, run))),
        ]
    })
}

/// An answer without the hashes of entries, which are new with every word.
fn plain(answer: &Value) -> Value {
    match answer {
        Value::Object(map) => map
            .iter()
            .map(|(name, value)| (name.clone(), plain(value)))
            .collect(),
        Value::Array(items) => items.iter().map(plain).collect(),
        Value::String(text) if text.parse::<Hash>().is_ok() => Value::Null,
        other => other.clone(),
    }
}

/// How many sentences of an answer say that people differ.
fn mentions(answer: &Value) -> usize {
    match answer {
        Value::Object(map) => map.values().map(mentions).sum(),
        Value::Array(items) => items.iter().map(mentions).sum(),
        Value::String(text) => {
            let words = ["disputed", "differ on", "disagree"];
            usize::from(words.iter().any(|word| text.contains(word)))
        }
        _ => 0,
    }
}

/// Values one figure apart from this one, each with the name of what was changed.
fn apart(value: &Value, name: &str) -> Vec<(String, Value)> {
    match value {
        Value::Object(map) => map
            .iter()
            .flat_map(|(field, inner)| {
                apart(inner, field).into_iter().map(move |(what, changed)| {
                    let mut other = map.clone();
                    other.insert(field.clone(), changed);
                    (what, Value::Object(other))
                })
            })
            .collect(),
        Value::Array(items) => items
            .iter()
            .enumerate()
            .take(1)
            .flat_map(|(at, inner)| {
                apart(inner, name).into_iter().map(move |(what, changed)| {
                    let mut other = items.clone();
                    other[at] = changed;
                    (what, Value::Array(other))
                })
            })
            .collect(),
        Value::Number(number) => {
            let n = number.as_i64().unwrap();
            // Large enough to matter, small enough to be.
            let more = if n.abs() > 1000 { n + n / 8 } else { n + 1 };
            vec![(name.to_owned(), json!(more))]
        }
        Value::Bool(told) => vec![(name.to_owned(), json!(!told))],
        Value::String(word) => {
            let other = match word.as_str() {
                "anchor" | "intermediate" => "corner",
                "level" => "raked",
                "raked" => "level",
                "deck" => "stair",
                "stair" => "deck",
                "left" => "right",
                "right" => "left",
                "insert" => "turnbuckle",
                "grommetHalves" => "sleeve",
                "1x19" => "7x7",
                "tensionGauge" => "tape",
                _ => return Vec::new(),
            };
            vec![(name.to_owned(), json!(other))]
        }
        Value::Null => Vec::new(),
    }
}

/// Says a value of a key over some words, past every command.
fn word(s: &mut Scene, key: &Key, value: &Value, over: Vec<Hash>) -> Hash {
    let subject: Subject = key.subject.parse().unwrap();
    let draft = Draft {
        kind: format!("{}.{}", subject.kind().word(), key.field),
        subject: key.subject.clone(),
        over,
        data: value_data(&key.place, value),
        ..Draft::default()
    };
    let (job, person) = (s.device.job(), s.device.person());
    s.device.record.act(job, person, vec![draft]).unwrap()[0]
}

/// Keys of single-valued plain facts, each sort of thing once: an end post, one within, a run.
fn keys(s: &mut Scene) -> Vec<(Key, Value)> {
    let wanted: BTreeSet<String> = [
        Subject::post(s.post("A1")),
        Subject::post(s.post("A3")),
        Subject::post(s.post("B3")),
        Subject::run(s.a),
        Subject::run(s.b),
        Subject::Item(ItemKind::Strand, s.strand),
        Subject::Item(ItemKind::FittingSet, s.fitting),
        Subject::Item(ItemKind::Tool, s.gauge),
        Subject::Job(s.device.job()),
    ]
    .iter()
    .map(ToString::to_string)
    .collect();
    let job = s.device.job();
    let view = s.device.record.view(job).unwrap();
    view.keys()
        .filter(|(key, _)| wanted.contains(&key.subject))
        .filter(|(key, _)| {
            let subject: Subject = key.subject.parse().unwrap();
            let spec = fields::find(subject.kind(), &key.field);
            spec.is_some_and(|spec| !spec.many && spec.name != "created")
        })
        .filter_map(|(key, _)| {
            let value = reader::values(view, key).into_iter().next()?;
            Some((key.clone(), value.clone()))
        })
        .collect()
}

#[test]
fn every_answer_that_a_disputed_fact_could_change_says_so() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let mut silent: Vec<String> = Vec::new();
    let (mut tried, mut changing) = (0, 0);
    for (key, stands) in keys(&mut s) {
        let subject: Subject = key.subject.parse().unwrap();
        let spec = fields::find(subject.kind(), &key.field).unwrap();
        let others = match key.field.as_str() {
            // Text that is a whole document: another edition.
            "ruleSet" => {
                let other = library::copy_of(&library::rule_set("us-irc-2018").unwrap());
                vec![("edition".to_owned(), serde_json::to_value(other).unwrap())]
            }
            _ => apart(&stands, &key.field),
        };
        // Whoever looks at run B asks about its own posts.
        let of_b = [Subject::run(b), Subject::post(s.post("B3"))];
        let run = if of_b.contains(&subject) { b } else { a };
        let before = answers(&mut s, run);
        for (what, other) in others {
            if (spec.value_fits)(&other).is_err() || bounds::check(spec, &other).is_err() {
                continue;
            }
            tried += 1;
            let tips = s.tips(&key.field, &subject, &key.place);
            let one = word(&mut s, &key, &other, tips.clone());
            let agreed = answers(&mut s, run);
            let two = word(&mut s, &key, &stands, tips);
            let disputed = answers(&mut s, run);
            for (at, (name, before)) in before.iter().enumerate() {
                if plain(before) == plain(&agreed[at].1) {
                    continue;
                }
                changing += 1;
                if mentions(&disputed[at].1) <= mentions(before) {
                    silent.push(format!("{name}: {} {} ({what})", key.subject, key.field));
                }
            }
            word(&mut s, &key, &stands, vec![one, two]);
        }
    }
    assert_eq!(silent, Vec::<String>::new());
    // What the worked job has: so many words that could have gone unseen.
    assert!(
        tried > 90 && changing > 250,
        "{tried} tried, {changing} changed an answer"
    );
}

#[test]
fn a_post_that_somebody_calls_a_corner_is_asked_as_one() {
    let mut s = measured();
    let a = s.a;
    let subject = Subject::post(s.post("A3"));
    let names = |s: &mut Scene| -> Vec<String> {
        let found = s.with_job(|job| posts_asked(job, a).unwrap());
        found.posts.into_iter().map(|p| p.name).collect()
    };
    assert_eq!(names(&mut s), ["A1", "A6"]);
    let corner = (Some(PostRole::Corner), None);
    s.say_over(
        fields::POST_ROLE,
        &subject,
        &a.to_string(),
        corner.0,
        corner.1,
        Vec::new(),
    );
    assert_eq!(names(&mut s), ["A1", "A3", "A6"]);
    let found = s.with_job(|job| posts_asked(job, a).unwrap());
    let notes = found.notes.join(" ");
    assert!(notes.contains("role of post A3 is disputed"), "{notes}");
    assert!(notes.contains("corner post A3"), "{notes}");
}

#[test]
fn a_position_apart_leaves_no_bay_that_people_agree_on_and_the_longest_for_the_table() {
    let mut s = measured();
    let a = s.a;
    for tip in s.tips("clear", &s.bay("A2", "A3"), "") {
        let gone = (None, None);
        let bay = s.bay("A2", "A3");
        s.say_over(fields::BAY_CLEAR, &bay, "", gone.0, gone.1, vec![tip]);
    }
    let bay = |s: &mut Scene| {
        s.with_job(|job| {
            let bay = &job.run(a).unwrap().bays[1];
            (bay.clear.map(|l| l.nm), bay.longest.map(|(l, _)| l.nm))
        })
    };
    assert_eq!(bay(&mut s), (Some(1410 * MM), Some(1410 * MM)));
    let subject = Subject::post(s.post("A3"));
    let other = (Some(mm(3082.5)), None);
    s.say_over(
        fields::POST_POSITION,
        &subject,
        &a.to_string(),
        other.0,
        other.1,
        Vec::new(),
    );
    assert_eq!(bay(&mut s), (None, Some(1510 * MM)));
    let laid = s.with_job(|job| propose(job, a, &LayoutAsk::default()).unwrap());
    assert_eq!(laid.proposals.len(), 0);
    let missing = laid.missing.join(" ");
    assert!(missing.contains("position of post A3"), "{missing}");
}

#[test]
fn nothing_is_drilled_on_a_disputed_section_hole_size_end_or_fall() {
    let mut s = measured();
    let (a, b) = (s.a, s.b);
    let drill = |s: &mut Scene, run| {
        s.with_job(|job| {
            let notes = hole_schedule(job, run).unwrap().notes.join(" ");
            (unsettled_to_drill(job, run).unwrap(), notes)
        })
    };
    assert_eq!(drill(&mut s, a).0, Vec::<String>::new());
    assert_eq!(drill(&mut s, b).0, Vec::<String>::new());
    let fitting = Subject::Item(ItemKind::FittingSet, s.fitting);
    let (hole, none) = (Some(mm(12.0)), None);
    s.say_over(
        fields::FITTING_THROUGH_HOLE,
        &fitting,
        "",
        hole,
        none,
        Vec::new(),
    );
    let (apart, notes) = drill(&mut s, a);
    assert!(apart[0].starts_with("the through hole of"), "{apart:?}");
    assert!(
        notes.contains("people differ on the through hole of"),
        "{notes}"
    );
    assert!(!notes.contains("no hole size is told"), "{notes}");
    // Which end of a rake is the lower follows from the floor levels of its ends.
    let last = Subject::post(s.post("B3"));
    let floor = (Some(mm(40.0)), None);
    s.say_over(fields::POST_FLOOR, &last, "", floor.0, floor.1, Vec::new());
    let (apart, notes) = drill(&mut s, b);
    assert!(
        apart.contains(&"the floor level of post B3".to_owned()),
        "{apart:?}"
    );
    assert!(!notes.contains("not told by floor levels"), "{notes}");
    // Run A follows the floor at each post: no level of its own is asked there.
    assert!(
        !drill(&mut s, a)
            .0
            .iter()
            .any(|name| name.contains("floor level"))
    );
}

#[test]
fn disputed_terminals_leave_out_no_lock_nut_silently() {
    let mut s = measured();
    let fitting = Subject::Item(ItemKind::FittingSet, s.fitting);
    let set = &library::fitting_sets()[0];
    let mut other: Terminals = set.terminals.clone();
    other.left.hole_nm = other.left.hole_nm.map(|nm| nm + MM);
    s.say_over(
        fields::FITTING_TERMINALS,
        &fitting,
        "",
        Some(other),
        None,
        Vec::new(),
    );
    let found = s.with_job(|job| take_off(job).unwrap());
    assert!(!found.lines.iter().any(|l| l.part == "lock nut"));
    for run in ["A", "B"] {
        let said = format!("Run {run}: lock nuts are not counted: the terminals of fitting set");
        let told = found.notes.iter().find(|n| n.starts_with(&said));
        assert!(
            told.is_some_and(|n| n.contains("disputed")),
            "{:?}",
            found.notes
        );
    }
}
