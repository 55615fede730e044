//! Odd figures are asked about before they are kept, whichever way a plain fact comes in.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod common;

use std::path::Path;

use api::ErrorCode;
use common::Device;
use common::worked::Site;
use serde_json::{Value, json};

const MM: i64 = 1_000_000;

fn nm(mm: i64) -> Value {
    json!({ "nm": mm * MM })
}

/// Sends a request that must be asked about, sees that nothing was saved, and says yes to it.
fn asked_once(device: &Device, job: &str, command: &str, mut request: Value) -> String {
    let before = device.call("readState", json!({"job": job}))["hash"].clone();
    let asked = device.refused(command, request.clone());
    assert_eq!(asked.code, ErrorCode::Questioned, "{}", asked.message);
    let after = device.call("readState", json!({"job": job}))["hash"].clone();
    assert_eq!(before, after, "{} and yet saved", asked.message);
    request["confirmed"] = json!(true);
    device.call(command, request);
    asked.message
}

#[test]
fn first_fields_far_from_what_is_built_wait_for_a_yes() {
    let site = Site::surveyed(0);
    let add =
        |thing: &str, fields: Value| json!({"job": site.job, "thing": thing, "fields": fields});
    let run = json!([
        {"field": "name", "value": "C"},
        {"field": "height", "value": nm(40)},
        {"field": "wireHeights", "value": {"nm": [76 * MM, 150_000 * MM]}},
    ]);
    let asked = asked_once(&site.ann, &site.job, "addThing", add("run", run));
    for told in [
        "Top of the barrier above the floor or nosings: 40 mm is unusual here",
        "Heights of the wires: 150000 mm is over 100 m. Is it right?",
    ] {
        assert!(asked.contains(told), "{asked}");
    }
    let post = json!([
        {"field": "name", "value": "C1"},
        {"field": "section", "value": {"alongNm": 4 * MM, "acrossNm": 4 * MM}},
    ]);
    let asked = asked_once(&site.ann, &site.job, "addThing", add("post", post));
    assert!(asked.starts_with("Cross section: 4 mm"), "{asked}");
    // A reel is as long as it is.
    let reel = json!([
        {"field": "name", "value": "Reel 7"},
        {"field": "kind", "value": "strand"},
        {"field": "metres", "value": nm(305_000)},
    ]);
    site.ann.call("addThing", add("batch", reel));
}

#[test]
fn fewer_wires_than_are_told_of_and_a_second_run_or_post_of_a_name_wait_for_a_yes() {
    let site = Site::surveyed(0);
    let run = format!("run:{}", site.run);
    let say = |subject: &str, field: &str, value: Value| json!({"job": site.job, "claims": [{"subject": subject, "field": field, "value": value}]});
    // The survey reads wires 1, 6 and 12.
    let asked = asked_once(
        &site.ann,
        &site.job,
        "say",
        say(&run, "wireCount", json!(8)),
    );
    assert!(asked.contains("wire 12 of run A"), "{asked}");
    let asked = asked_once(
        &site.ann,
        &site.job,
        "say",
        say(&run, "wireCount", json!(0)),
    );
    assert!(asked.contains("wires 1, 6, 12 of run A"), "{asked}");
    site.ann.call("say", say(&run, "wireCount", json!(12)));
    let add =
        |thing: &str, fields: Value| json!({"job": site.job, "thing": thing, "fields": fields});
    let named = |name: &str| json!([{"field": "name", "value": name}]);
    let asked = asked_once(&site.ann, &site.job, "addThing", add("run", named(" a ")));
    assert!(
        asked.contains("A run named a stands in this job already"),
        "{asked}"
    );
    let asked = asked_once(&site.ann, &site.job, "addThing", add("post", named("A3")));
    assert!(
        asked.contains("A post named A3 stands in this job already"),
        "{asked}"
    );
    let none = json!([{"field": "name", "value": "C"}, {"field": "wireCount", "value": 0}]);
    let asked = asked_once(&site.ann, &site.job, "addThing", add("run", none));
    assert!(asked.contains("no wires at all"), "{asked}");
    // The same name said again of the same run is no second one.
    site.ann.call("say", say(&run, "name", json!("A")));
}

#[test]
fn a_refused_figure_ends_its_sentence_once() {
    let site = Site::surveyed(1);
    let slope = json!({"riseNm": 2000 * MM, "goingNm": 10 * MM, "risers": 9});
    let claim = json!({"subject": format!("run:{}", site.run), "field": "slope", "value": slope});
    let refused = site
        .ann
        .refused("say", json!({"job": site.job, "claims": [claim]}));
    assert!(
        refused
            .message
            .ends_with("in another unit. Nothing was saved."),
        "{}",
        refused.message
    );
}

#[test]
fn values_over_a_hundred_metres_or_in_another_unit_wait_for_a_yes() {
    let site = Site::surveyed(0);
    let job = format!("job:{}", site.job);
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let posts = view["runs"][0]["posts"].as_array().unwrap();
    let post = format!("post:{}", posts[5]["id"].as_str().unwrap());
    let one = |subject: &str, field: &str, place: &str, value: Value| json!({"subject": subject, "field": field, "place": place, "value": value});
    let say = |claims: &[Value]| json!({"job": site.job, "claims": claims});

    let inches = one(&job, "fall", "", nm(63));
    let asked = asked_once(&site.ann, &site.job, "say", say(&[inches]));
    assert!(
        asked.contains("25 times less than what is told now") && asked.contains("Inches?"),
        "{asked}"
    );
    let both = [
        one(&job, "fall", "", nm(1_602)),
        one(&post, "position", &site.run, nm(188_341)),
    ];
    let asked = asked_once(&site.ann, &site.job, "say", say(&both));
    assert!(asked.contains("Millimetres?"), "{asked}");
    assert!(
        asked.contains("Middle of the post along a run: 188341 mm"),
        "{asked}"
    );
    // A repeat replaces nothing, so it is held against none.
    for size in [75, 3] {
        let mut opening = one(&post, "opening", "gateLeaf", nm(size));
        opening["with"] = json!({"kind": "gateLeaf"});
        site.ann.call("say", say(&[opening]));
    }
    // What came meanwhile is told before anything is asked: a yes to it would not be one.
    let mut late = one(&job, "fall", "", nm(63));
    late["seen"] = json!([]);
    let refused = site.ann.refused("say", say(&[late]));
    assert_eq!(refused.code, ErrorCode::Changed, "{}", refused.message);
}

#[test]
fn an_import_asks_by_the_same_rule() {
    let site = Site::surveyed(0);
    let dir = tempfile::tempdir().unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    let text = std::fs::read_to_string(path).unwrap();
    assert!(text.contains("\"fall\": 1602"));
    let changed = dir.path().join("survey.json");
    std::fs::write(&changed, text.replace("\"fall\": 1602", "\"fall\": 63")).unwrap();
    let source = json!({"kind": "file", "path": changed});
    let ask = json!({"source": source, "job": site.job});
    let ended = site.ann.run_task("startImport", ask);
    let problems = ended["result"]["problems"].as_array().unwrap();
    let told = problems.iter().find(|p| p["path"] == "job.fall").unwrap();
    assert_eq!(told["outcome"], "questioned", "{told}");
    let claim = json!({"subject": format!("job:{}", site.job), "field": "fall", "value": nm(63)});
    let said = site
        .ann
        .refused("say", json!({"job": site.job, "claims": [claim]}));
    let rule = "63 mm is 25 times less than what is told now";
    for message in [told["message"].as_str().unwrap(), &said.message] {
        assert!(message.contains(rule), "{message}");
    }
}
