//! One more trial wire: advised, released, fitted and read as the first one, and passed over only by a person.
//! Source of every figure: the worked job, a consistency check of the whole chain.

use crate::common::worked::Site;
use serde_json::{Value, json};

/// A6 fitted and read so that what it says can hardly be right.
fn questioned() -> Site {
    let site = Site::of_run(0);
    site.cut("6");
    site.read(6, 1500, "pass", Some(1));
    site.thread_left(6, "28.0", "28.5");
    site
}

/// The next act about this run, past these keys.
fn next(site: &Site, skipped: &[Value]) -> Value {
    let asked = json!({"job": site.job, "skipped": skipped});
    site.ann.call("nextAct", asked)["act"].clone()
}

/// The first act of this kind, past all others.
fn first_of(site: &Site, what: &[&str]) -> Value {
    let mut skipped = Vec::new();
    for _ in 0..200 {
        let act = next(site, &skipped);
        if act["run"] == site.run.as_str() && what.iter().any(|what| act["what"] == *what) {
            return act;
        }
        assert!(!act.is_null(), "none of {what:?}");
        skipped.push(act["key"].clone());
    }
    panic!("no end of acts");
}

const LEADING: [&str; 3] = ["issueCuts", "readTrial", "tensionPass"];

fn fit(site: &Site, wire: &str) {
    for act in [
        "insertionMarked",
        "leftEndPressed",
        "threaded",
        "rightEndPressed",
        "fitted",
    ] {
        let tick = json!({"wires": wire, "act": act, "done": true, "confirmed": true});
        site.call("tickWires", tick);
    }
}

#[test]
fn a_further_trial_wire_is_led_through_until_it_is_read() {
    let site = questioned();
    let another = || site.ask("learned")["another"].clone();
    let told = another();
    assert_eq!((&told["worth"], &told["wire"]), (&json!(true), &json!(1)));
    assert_eq!(
        (&told["name"], &told["stage"]),
        (&json!("A1"), &json!("release"))
    );
    assert!(
        told["sentence"]
            .as_str()
            .unwrap()
            .ends_with("Release A1 for it."),
        "{told}"
    );
    let act = first_of(&site, &LEADING);
    assert_eq!(
        act["sentence"],
        "Wire A1: release for cutting, as one more trial wire"
    );
    assert_eq!(act["wires"], json!([1]));

    // A person may take another one: what is on the way is the trial.
    site.cut("7");
    let told = another();
    assert_eq!((&told["wire"], &told["stage"]), (&json!(7), &json!("make")));
    fit(&site, "7");
    let told = another();
    assert_eq!((&told["wire"], &told["stage"]), (&json!(7), &json!("read")));
    let act = first_of(&site, &LEADING);
    assert_eq!(act["what"], "readTrial");
    assert_eq!(act["subject"], format!("wire:{}:7", site.run));
    let sentence = act["sentence"].as_str().unwrap();
    assert!(
        sentence.starts_with("One more trial wire A7: bring it to its tension"),
        "{sentence}"
    );

    // Read as the first one: its thread, after its tension.
    site.read(7, 1500, "pass", Some(3));
    site.thread_left(7, "14.0", "14.5");
    let learned = site.ask("learned");
    let read: Vec<&Value> = learned["readings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| &r["wire"])
        .collect();
    assert_eq!(read, [&json!(6), &json!(7)]);
    // The two are far apart: a third is led to, and the first one is still questioned.
    let told = another();
    assert_eq!((&told["worth"], &told["wire"]), (&json!(true), &json!(1)));
    // Read again and agreeing, nothing is worth the wait any more and the others are released.
    site.thread_left(6, "14.0", "14.5");
    assert_eq!(another()["worth"], false, "{}", another());
    let act = first_of(&site, &LEADING);
    assert_eq!(act["sentence"], "10 wires of run A: release for cutting");
}

#[test]
fn it_may_be_read_as_too_long_or_too_short_too() {
    let site = questioned();
    site.cut("7");
    fit(&site, "7");
    let out = json!({"wire": 7, "way": "tooLong", "by": {"text": "3"}, "confirmed": true});
    site.call("readOutBy", out);
    let learned = site.ask("learned");
    let mut readings = learned["readings"].as_array().unwrap().iter();
    assert!(readings.any(|read| read["wire"] == 7), "{learned}");
    assert_ne!(learned["another"]["wire"], 7);
}

#[test]
fn a_person_may_always_go_on_and_that_is_kept_as_before() {
    let site = questioned();
    let act = first_of(&site, &LEADING);
    let after = {
        let mut skipped = vec![act["key"].clone()];
        loop {
            let next = next(&site, &skipped);
            if next["what"] == "issueCuts" {
                break next;
            }
            assert!(!next.is_null(), "{skipped:?}");
            skipped.push(next["key"].clone());
        }
    };
    assert_eq!(after["sentence"], "11 wires of run A: release for cutting");
    let release = json!({"wires": "1-5,7-12", "deduction": "learned", "confirmed": true});
    site.call("issueCuts", release);
    let subject = format!("wire:{}:1", site.run);
    let asked = json!({"job": site.job, "subject": subject});
    let facts = site.ann.call("readSubject", asked)["facts"].clone();
    let mut facts = facts.as_array().unwrap().iter();
    let issued = facts.find(|fact| fact["field"] == "cutIssued").unwrap();
    let reason = issued["words"][0]["with"]["reason"].as_str().unwrap();
    assert!(reason.starts_with("released all the same: "), "{reason}");
    // With all released nothing leads to a trial any more.
    let act = first_of(&site, &["cutWire", "readTrial", "issueCuts"]);
    assert_eq!(act["what"], "cutWire");
}

#[test]
fn where_no_further_trial_is_worth_the_wait_nothing_leads_to_one() {
    let site = Site::of_run(0);
    site.cut("6");
    site.read(6, 1500, "pass", Some(1));
    site.thread_left(6, "14.0", "14.5");
    assert_eq!(site.ask("learned")["another"]["worth"], false);
    let sentence = first_of(&site, &LEADING)["sentence"].clone();
    assert_eq!(sentence, "11 wires of run A: release for cutting");
}

#[test]
fn a_release_before_the_trial_wire_without_a_reason_in_words_is_refused() {
    let site = Site::of_run(0);
    for empty in ["", "  ", "...", "12"] {
        let refused = site.refused("issueCuts", json!({"wires": "1", "beforeTrial": empty}));
        assert_eq!(refused.code, api::ErrorCode::Invalid);
        assert!(
            refused.message.contains("Say in words why"),
            "{}",
            refused.message
        );
        assert!(
            refused.message.contains("Nothing was released"),
            "{}",
            refused.message
        );
    }
    assert_eq!(site.line(1)["issued"], Value::Null);
    let said = json!({"wires": "1", "beforeTrial": "  Same strand as before ", "confirmed": true});
    site.call("issueCuts", said);
    let subject = format!("wire:{}:1", site.run);
    let asked = json!({"job": site.job, "subject": subject});
    let facts = site.ann.call("readSubject", asked)["facts"].clone();
    let mut facts = facts.as_array().unwrap().iter();
    let issued = facts.find(|fact| fact["field"] == "cutIssued").unwrap();
    let reason = issued["words"][0]["with"]["reason"].as_str().unwrap();
    assert!(reason.starts_with("Same strand as before"), "{reason:?}");
}

#[test]
fn where_a_questioned_reading_leaves_no_wire_a_cut_one_more_is_led_to() {
    let site = Site::of_run(0);
    site.cut("6");
    site.read(6, 1500, "pass", Some(1));
    let out = json!({"wire": 6, "way": "tooLong", "by": {"text": "6"}, "confirmed": true});
    site.call("readOutBy", out);
    let learned = site.ask("learned");
    let left = learned["left"].as_array().unwrap();
    assert!(
        left.iter().all(|line| line["learned"].is_null()),
        "{left:?}"
    );
    let told = &learned["another"];
    assert_eq!(
        (&told["worth"], &told["wire"], &told["stage"]),
        (&json!(true), &json!(1), &json!("release"))
    );
    let sentence = told["sentence"].as_str().unwrap();
    assert!(
        sentence.contains("what was read of A6 is questioned"),
        "{sentence}"
    );
    let act = first_of(&site, &LEADING);
    assert_eq!(
        act["sentence"],
        "Wire A1: release for cutting, as one more trial wire"
    );
}
