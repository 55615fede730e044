//! Lengths as they are read on site: what inserts stand out, and what is refused.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

mod common;

use common::Device;
use serde_json::{Value, json};

fn id(created: &Value) -> String {
    let text = created["created"].as_str().unwrap();
    text.split_once(':').unwrap().1.to_owned()
}

fn ask(job: &str, run: &str, faces: &str, proud: Value) -> Value {
    json!({"job": job, "run": run, "wire": 1, "length": {"text": "7300"}, "purpose": "cut",
        "posts": "insertsIn", "faces": faces, "proud": proud, "instrument": "tape"})
}

#[test]
fn inserts_that_stand_out_are_noted_with_a_reading_between_post_faces() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = id(&ann.call("beginJob", json!({"title": "Deck", "place": "an island"})));
    let fields = json!([{"field": "name", "value": "A"}, {"field": "wireCount", "value": 3}]);
    let run = id(&ann.call(
        "addThing",
        json!({"job": job, "thing": "run", "fields": fields}),
    ));
    for (text, nm) in [("3.5", 3_500_000), ("0", 0), ("-2", -2_000_000)] {
        ann.call(
            "measure",
            ask(&job, &run, "postFaces", json!({"text": text})),
        );
        let wire = format!("wire:{run}:1");
        let told = ann.call("readSubject", json!({"job": job, "subject": wire}));
        assert!(
            told.to_string().contains(&format!("\"proudNm\":{nm}")),
            "{told}"
        );
    }
    // Counted twice, it would spoil the cut.
    let twice = ann.refused(
        "measure",
        ask(&job, &run, "insertFaces", json!({"text": "3"})),
    );
    assert!(
        twice
            .message
            .contains("counts what the inserts stand out already")
    );
    let far = ann.refused(
        "measure",
        ask(&job, &run, "postFaces", json!({"text": "7300"})),
    );
    assert!(far.message.contains("Is the unit right?"));
    let letters = ann.refused(
        "measure",
        ask(&job, &run, "postFaces", json!({"text": "x"})),
    );
    assert!(!letters.message.is_empty());
}
