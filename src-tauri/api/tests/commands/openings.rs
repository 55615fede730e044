//! An opening that another device reads again is one opening, with its later reading, on both.

use crate::common::{Crew, Device};
use serde_json::{Value, json};

fn made(device: &Device, job: &str, thing: &str, fields: Value) -> String {
    let added = device.call(
        "addThing",
        json!({"job": job, "thing": thing, "fields": fields}),
    );
    added["created"].as_str().unwrap().to_owned()
}

/// A run of two anchors with three wires that the rules are held against, and the first anchor.
fn run_with_posts(device: &Device, job: &str) -> (String, String) {
    device.call("useRuleSet", json!({"job": job, "name": "au-2022"}));
    let strand = device.call("useStrand", json!({"job": job, "name": "4.0-1x19"}));
    let strand = strand["created"]
        .as_str()
        .unwrap()
        .trim_start_matches("strand:")
        .to_owned();
    let heights = json!({"nm": [76_000_000, 152_000_000, 228_000_000]});
    let fields = json!([{"field": "name", "value": "A"}, {"field": "wireCount", "value": 3},
        {"field": "strand", "value": strand}, {"field": "wireHeights", "value": heights}]);
    let run = made(device, job, "run", fields);
    let id = run.trim_start_matches("run:").to_owned();
    let post = |name: &str, nm: i64| {
        let fields = json!([{"field": "name", "value": name},
            {"field": "position", "place": id, "value": {"nm": nm}},
            {"field": "role", "place": id, "value": "anchor"}]);
        made(device, job, "post", fields)
    };
    let first = post("A1", 0);
    post("A2", 2_000_000_000);
    (run, first)
}

fn read(device: &Device, job: &str, subject: &str, mm: i64, result: &str, remark: &str) -> Value {
    let mut with = json!({"kind": "endPostToWall", "probeNm": 125_000_000});
    if !remark.is_empty() {
        with["remark"] = json!(remark);
    }
    let claim = json!({"subject": subject, "field": "opening", "place": "endPostToWall",
        "value": {"nm": mm * 1_000_000, "result": result}, "with": with});
    device.call(
        "say",
        json!({"job": job, "claims": [claim], "confirmed": true}),
    )["entries"][0]
        .clone()
}

/// What stands of a subject's openings as the screens list them: millimetres.
fn listed(device: &Device, job: &str, subject: &str) -> Vec<i64> {
    let view = device.call("readSubject", json!({"job": job, "subject": subject}));
    let mut found: Vec<i64> = view["facts"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|f| f["field"] == "opening" && f["readAgain"] != true)
        .map(|f| f["words"][0]["value"]["nm"].as_i64().unwrap() / 1_000_000)
        .collect();
    found.sort_unstable();
    found
}

/// Openings as built at the first post that the rules are held against, in words.
fn held(device: &Device, job: &str, run: &str) -> Vec<String> {
    let run = run.trim_start_matches("run:");
    let found = device.call("beforeOrdering", json!({"job": job, "run": run}));
    let findings = found["findings"].as_array().unwrap().iter();
    let places = findings.map(|f| f["place"].as_str().unwrap());
    places
        .filter(|p| p.contains("at A1, as built"))
        .map(str::to_owned)
        .collect()
}

fn exchange(crew: &Crew) {
    crew.ann.sync();
    crew.ben.sync();
    crew.ann.sync();
}

#[test]
fn an_opening_put_right_on_another_device_reads_as_one() {
    let crew = Crew::of_two();
    let (ann, ben, job) = (&crew.ann, &crew.ben, crew.job.as_str());
    let (run, post) = run_with_posts(ann, job);
    let wide = read(ann, job, &post, 140, "passes", "");
    // Of the run as a whole a remark tells one opening from another.
    read(ann, job, &run, 150, "passes", "left of the steps");
    read(ann, job, &run, 160, "passes", "");
    exchange(&crew);
    let closed = read(ben, job, &post, 60, "stops", "");
    read(ben, job, &run, 70, "stops", "left of the steps");
    read(ben, job, &run, 80, "stops", "");
    exchange(&crew);
    for device in [ann, ben] {
        assert_eq!(listed(device, job, &post), [60]);
        assert_eq!(listed(device, job, &run), [70, 80, 160]);
        assert_eq!(held(device, job, &run).len(), 1);
    }
    // Both words stay readable, and the later says what it follows.
    let all = ann.call("readSubject", json!({"job": job, "subject": post}));
    let told = all["facts"].as_array().unwrap().iter();
    let openings: Vec<&Value> = told.filter(|f| f["field"] == "opening").collect();
    assert_eq!(openings.len(), 2);
    let of = |entry: &Value| {
        openings
            .iter()
            .find(|f| f["words"][0]["entry"] == *entry)
            .unwrap()
    };
    assert_eq!(of(&wide)["readAgain"], true);
    assert_eq!(of(&closed)["readAgain"], Value::Null);
}

#[test]
fn readings_made_apart_both_stand_until_somebody_who_has_both_reads_again() {
    let crew = Crew::of_two();
    let (ann, ben, job) = (&crew.ann, &crew.ben, crew.job.as_str());
    let (run, post) = run_with_posts(ann, job);
    exchange(&crew);
    read(ann, job, &post, 140, "passes", "");
    read(ben, job, &post, 60, "stops", "");
    exchange(&crew);
    for device in [ann, ben] {
        assert_eq!(listed(device, job, &post), [60, 140]);
        assert_eq!(held(device, job, &run).len(), 2);
    }
    // Another kind of place, moment or remark is another opening.
    read(ben, job, &post, 90, "stops", "at the gate");
    read(ben, job, &post, 62, "stops", "");
    exchange(&crew);
    for device in [ann, ben] {
        assert_eq!(listed(device, job, &post), [62, 90]);
    }
}
