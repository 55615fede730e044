//! Two devices meet through a folder, and what each recorded shows on both.

use crate::common::{Device, meet, shared};
use serde_json::{Value, json};

fn run_with_wires(device: &Device, job: &str) -> String {
    let run = device.call(
        "addThing",
        json!({"job": job, "thing": "run", "fields": [
            {"field": "name", "value": "A"},
            {"field": "wireCount", "value": 12},
        ]}),
    );
    run["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("run:")
        .to_owned()
}

fn measure(device: &Device, job: &str, run: &str, text: &str, over: Vec<Value>) -> Value {
    device.call(
        "measure",
        json!({"job": job, "run": run, "wire": 12, "length": {"text": text},
            "purpose": "cut", "posts": "railOn", "faces": "insertFaces", "instrument": "tape",
            "over": over, "confirmed": true}),
    )["entries"][0]
        .clone()
}

fn wire(device: &Device, job: &str) -> Value {
    let view = device.call("readJob", json!({"job": job}));
    view["runs"][0]["wires"][11].clone()
}

#[test]
fn a_length_corrected_apart_is_disputed_on_both_and_settled_by_measuring_again() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    assert!(
        begun["entries"].as_array().is_some_and(|e| !e.is_empty()),
        "{begun}"
    );
    let job = begun["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("job:")
        .to_owned();
    ann.call("share", json!({"folder": folder.to_str().unwrap()}));
    let run = run_with_wires(&ann, &job);
    let first = measure(&ann, &job, &run, "7305", vec![]);
    ann.sync();
    meet(&ann, &ben, &folder, "installer");
    assert_eq!(
        wire(&ben, &job)["length"],
        json!({"kind": "cuttable", "mm": 7305.0, "spreadMm": 0.0})
    );

    measure(&ann, &job, &run, "7303", vec![first.clone()]);
    measure(&ben, &job, &run, "7309", vec![first]);
    ann.sync();
    ben.sync();
    ann.sync();
    for device in [&ann, &ben] {
        let view = device.call("readJob", json!({"job": job}));
        assert_eq!(view["runs"][0]["wires"][11]["length"]["kind"], "disputed");
        let words = &view["unsettled"][0]["fact"]["words"];
        let mut said: Vec<&str> = words
            .as_array()
            .unwrap()
            .iter()
            .map(|w| w["who"].as_str().unwrap())
            .collect();
        said.sort_unstable();
        assert_eq!(said, ["ann", "ben"]);
    }
    let view = ben.call("readJob", json!({"job": job}));
    let both: Vec<Value> = view["unsettled"][0]["fact"]["words"]
        .as_array()
        .unwrap()
        .iter()
        .map(|w| w["entry"].clone())
        .collect();
    measure(&ben, &job, &run, "7305", both);
    ben.sync();
    ann.sync();
    for device in [&ann, &ben] {
        assert_eq!(wire(device, &job)["length"]["mm"], 7305.0);
        assert_eq!(device.call("overview", json!({}))["jobs"][0]["disputed"], 0);
    }
}

#[test]
fn odd_and_impossible_lengths_are_met_with_a_question_or_a_refusal() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("job:")
        .to_owned();
    let run = run_with_wires(&ann, &job);
    measure(&ann, &job, &run, "7305", vec![]);
    let ask = |text: &str, wire: u32| {
        ann.try_call(
            "measure",
            json!({"job": job, "run": run, "wire": wire, "length": {"text": text},
                "purpose": "cut", "posts": "railOn", "faces": "insertFaces", "instrument": "tape"}),
        )
    };
    for (text, code) in [
        ("287.6", "questioned"),
        ("150000", "questioned"),
        ("1000001", "invalid"),
        ("0", "invalid"),
        ("-5", "invalid"),
        ("NaN", "invalid"),
        ("", "invalid"),
    ] {
        let error = ask(text, 11).unwrap_err();
        let told = serde_json::to_value(&error).unwrap();
        assert_eq!(told["code"], code, "{text}: {told}");
        assert!(!error.message.is_empty());
    }
    assert!(ask("7304", 13).is_err(), "no wire 13");
    let view = ann.call("readJob", json!({"job": job}));
    let read = view["runs"][0]["wires"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|w| !w["lastReadMm"].is_null())
        .count();
    assert_eq!(read, 1, "nothing refused was saved");
}

#[test]
fn a_cut_can_not_be_ticked_before_its_release() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("job:")
        .to_owned();
    let run = run_with_wires(&ann, &job);
    let error = ann.refused(
        "tickWires",
        json!({"job": job, "run": run, "wires": "1-12", "act": "cut", "done": true}),
    );
    assert!(error.message.contains("not released"), "{}", error.message);
    ann.call(
        "tickWires",
        json!({"job": job, "run": run, "wires": "1-3, 5", "act": "threaded", "done": true,
            "confirmed": true}),
    );
    let view = ann.call("readJob", json!({"job": job}));
    let threaded: Vec<u64> = view["runs"][0]["wires"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|w| w["done"] == json!(["threaded"]))
        .map(|w| w["number"].as_u64().unwrap())
        .collect();
    assert_eq!(threaded, [1, 2, 3, 5]);
}

#[test]
fn a_settlement_keeps_the_words_that_stood_the_program_and_the_rules() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"].as_str().unwrap().to_owned();
    let job = job.trim_start_matches("job:");
    ann.call("useRuleSet", json!({"job": job, "name": "au-2022"}));
    ann.call("share", json!({"folder": folder.to_str().unwrap()}));
    let run = run_with_wires(&ann, job);
    let first = measure(&ann, job, &run, "7305", vec![]);
    ann.sync();
    meet(&ann, &ben, &folder, "installer");
    let own = measure(&ann, job, &run, "7303", vec![first.clone()]);
    measure(&ben, job, &run, "7309", vec![first]);
    ben.sync();
    ann.sync();
    let subject = format!("wire:{run}:12");
    ann.call(
        "settle",
        json!({"job": job, "subject": subject, "field": "length", "choose": own,
            "reason": "read twice"}),
    );
    let told = ann.call("readSubject", json!({"job": job, "subject": subject}));
    let word = &told["facts"][0]["words"][0];
    let settled = &word["with"]["settled"];
    assert!(
        settled["program"]
            .as_str()
            .unwrap()
            .starts_with("Tautbook "),
        "{word:#}"
    );
    assert_eq!(settled["ruleSet"].as_str().unwrap().len(), 64);
    let mut numbers: Vec<String> = settled["numbers"]
        .as_array()
        .unwrap()
        .iter()
        .map(|n| {
            format!(
                "{} {}",
                n["value"].as_str().unwrap(),
                n["origin"].as_str().unwrap()
            )
        })
        .collect();
    numbers.sort();
    assert_eq!(numbers, ["7303 mm said by ann", "7309 mm said by ben"]);
}

/// Who takes back his own word takes nothing of what another said beside it.
#[test]
fn a_word_that_is_taken_back_leaves_what_another_said_beside_it() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"].as_str().unwrap().to_owned();
    let job = job.trim_start_matches("job:");
    ann.call("share", json!({"folder": folder.to_str().unwrap()}));
    let run = run_with_wires(&ann, job);
    let first = measure(&ann, job, &run, "7305", vec![]);
    ann.sync();
    meet(&ann, &ben, &folder, "installer");
    let own = measure(&ann, job, &run, "7303", vec![first.clone()]);
    measure(&ben, job, &run, "7309", vec![first]);
    for device in [&ann, &ben, &ann] {
        device.sync();
    }
    let back = json!({"job": job, "entry": own, "reason": "wrong wire"});
    ann.call("withdraw", back);
    for device in [&ann, &ben] {
        device.sync();
        // Taken back beside what another said: people settle it, and nothing of his is lost.
        assert_eq!(wire(device, job)["length"]["kind"], "disputed");
        let view = device.call("readJob", json!({"job": job}));
        let words = view["unsettled"][0]["fact"]["words"].to_string();
        assert!(words.contains("7309000000"), "{words}");
    }
}

/// A settlement carries no mark of its own: each word that comes apart from it on its line is a
/// dispute again, a withdrawal of its ground too.
#[test]
fn a_settlement_whose_ground_moves_apart_from_it_is_a_dispute_again() {
    for case in ["chosen withdrawn", "other withdrawn", "chosen replaced"] {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join("shared");
        std::fs::create_dir(&folder).unwrap();
        let ann = Device::new(dir.path(), "ann", "surveyor");
        let ben = Device::new(dir.path(), "ben", "installer");
        let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
        let job = begun["created"].as_str().unwrap().to_owned();
        let job = job.trim_start_matches("job:");
        ann.call("share", json!({"folder": folder.to_str().unwrap()}));
        let run = run_with_wires(&ann, job);
        let first = measure(&ann, job, &run, "7305", vec![]);
        ann.sync();
        meet(&ann, &ben, &folder, "installer");
        let own = measure(&ann, job, &run, "7303", vec![first.clone()]);
        let other = measure(&ben, job, &run, "7309", vec![first]);
        ann.sync();
        ben.sync();
        ann.sync();
        let subject = format!("wire:{run}:12");
        ann.call(
            "settle",
            json!({"job": job, "subject": subject, "field": "length", "choose": own,
                "reason": "read twice"}),
        );
        assert_eq!(wire(&ann, job)["length"]["mm"], 7303.0, "{case}");
        let withdraw = |entry: &Value| {
            ben.call(
                "withdraw",
                json!({"job": job, "entry": entry, "reason": "wrong wire"}),
            );
        };
        match case {
            "chosen withdrawn" => withdraw(&own),
            "other withdrawn" => withdraw(&other),
            _ => drop(measure(&ben, job, &run, "7311", vec![own])),
        }
        ben.sync();
        ann.sync();
        ben.sync();
        for device in [&ann, &ben] {
            let told = wire(device, job)["length"].clone();
            assert_eq!(told["kind"], "disputed", "{case}: {told}");
            assert_eq!(
                device.call("overview", json!({}))["jobs"][0]["disputed"],
                1,
                "{case}"
            );
        }
        // A word over all that stands ends it again.
        let view = ann.call("readJob", json!({"job": job}));
        let words = view["unsettled"][0]["fact"]["words"]
            .as_array()
            .unwrap()
            .iter();
        let all: Vec<Value> = words.map(|w| w["entry"].clone()).collect();
        assert_eq!(all.len(), 2, "{case}: {view:#}");
        measure(&ann, job, &run, "7305", all);
        assert_eq!(wire(&ann, job)["length"]["mm"], 7305.0, "{case}");
    }
}

#[test]
fn digits_that_were_compared_are_shown_again_and_asked_for_no_more() {
    let dir = tempfile::tempdir().unwrap();
    let folder = shared(&dir);
    std::fs::create_dir(&folder).unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    ann.begin("Deck");
    ann.call("share", json!({"folder": folder}));
    ann.sync();
    let joining = |device: &Device| device.call("readExchange", json!({}))["joining"].clone();
    let first = ben.call("join", json!({"folder": folder}));
    assert_eq!(joining(&ben), json!(folder));
    ben.call("confirmJoin", json!({"digits": first["digits"]}));
    // Looked at once more, before and after it is admitted.
    let again = ben.call("join", json!({"folder": folder}));
    assert_eq!(again["digits"], first["digits"]);
    assert_eq!(joining(&ben), Value::Null);
    ann.call(
        "admit",
        json!({"device": first["device"], "digits": first["digits"], "role": "installer"}),
    );
    ann.sync();
    ben.sync();
    ben.call("join", json!({"folder": folder}));
    assert_eq!(joining(&ben), Value::Null);
    // Another folder is another crew, and its digits were compared by nobody.
    let eve = Device::new(dir.path(), "eve", "office");
    let other = dir.path().join("other");
    std::fs::create_dir(&other).unwrap();
    eve.begin("Stair");
    eve.call("share", json!({"folder": other}));
    eve.sync();
    ben.call("join", json!({"folder": other}));
    assert_eq!(joining(&ben), json!(other));
}
