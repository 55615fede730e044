//! Gap checks of a bay: "all stop" is said of openings that passed before, too.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

mod common;

use common::Device;
use serde_json::{Value, json};

fn id(created: &Value) -> String {
    let text = created["created"].as_str().unwrap();
    text.split_once(':').unwrap().1.to_owned()
}

#[test]
fn an_opening_that_passed_is_cleared_by_a_later_check_of_the_bay() {
    let dir = tempfile::tempdir().unwrap();
    let ben = Device::new(dir.path(), "ben", "installer");
    let job = id(&ben.call("beginJob", json!({"title": "Deck", "place": "an island"})));
    let add = |thing: &str, fields: Value| {
        let ask = json!({"job": job, "thing": thing, "fields": fields});
        id(&ben.call("addThing", ask))
    };
    let run = add(
        "run",
        json!([{"field": "name", "value": "A"}, {"field": "wireCount", "value": 3}]),
    );
    let post = |name: &str, mm: i64| {
        add(
            "post",
            json!([
                {"field": "name", "value": name},
                {"field": "position", "place": run, "value": {"nm": mm * 1_000_000}},
                {"field": "role", "place": run, "value": "anchor"},
            ]),
        )
    };
    let (left, right) = (post("A1", 0), post("A2", 1400));
    let (a, b) = (left.clone().min(right.clone()), left.max(right));
    let bay = format!("bay:{a}:{b}");
    let check = |exceptions: Value| {
        ben.call(
            "checkGaps",
            json!({"job": job, "run": run, "bay": bay, "probe": {"text": "125"},
                "exceptions": exceptions}),
        );
        let progress = ben.call("progress", json!({"job": job, "run": run}));
        progress["bays"][0].clone()
    };
    let fails = check(json!([{"aboveWire": 2, "result": "passes"}]));
    assert_eq!(
        (&fails["gaps"], &fails["passesAbove"]),
        (&json!("fails"), &json!([2]))
    );
    let after = check(json!([]));
    assert_eq!(
        (&after["gaps"], &after["passesAbove"]),
        (&json!("allStop"), &json!([]))
    );
}
