//! What the list says of endings and of the state is what comes.

use std::collections::BTreeSet;

use crate::common::Device;
use api::boundary::describe;
use serde_json::{Value, json};

/// Every name of an object that a schema describes.
fn names(schema: &Value, at: &Value) -> BTreeSet<String> {
    let fields = at["properties"].as_object().into_iter().flatten();
    let mut found: BTreeSet<String> = fields.map(|(name, _)| name.clone()).collect();
    for part in ["oneOf", "anyOf", "allOf"] {
        for one in at[part].as_array().into_iter().flatten() {
            found.extend(names(schema, one));
        }
    }
    if let Some(path) = at["$ref"].as_str() {
        let named = schema.pointer(path.trim_start_matches('#')).unwrap();
        found.extend(names(schema, named));
    }
    found
}

#[test]
fn long_work_ends_with_what_the_list_says_and_the_state_is_described_whole() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let shared = dir.path().join("shared");
    std::fs::create_dir(&shared).unwrap();
    ann.call("share", json!({"folder": shared}));
    let survey = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../fixtures/demo/survey.json"
    );
    let source = json!({"kind": "file", "path": survey});
    let imported = ann.run_task("startImport", json!({"source": source}))["result"].clone();
    let job = imported["job"].clone();
    let out = dir.path().join("out");
    let ends = [
        ("startImport", imported),
        (
            "startSync",
            ann.run_task("startSync", json!({"everything": true}))["result"].clone(),
        ),
        (
            "startHandover",
            ann.run_task("startHandover", json!({"job": job, "folder": out}))["result"].clone(),
        ),
        (
            "startVerify",
            ann.run_task("startVerify", json!({"what": "handover", "folder": out}))["result"]
                .clone(),
        ),
        (
            "startVerify",
            ann.run_task("startVerify", json!({"what": "data"}))["result"].clone(),
        ),
        (
            "startVerify",
            ann.run_task("startVerify", json!({"what": "shared"}))["result"].clone(),
        ),
    ];
    let described = describe(api::commands());
    let described = described["commands"].as_array().unwrap();
    let of = |name: &str| described.iter().find(|c| c["name"] == name).unwrap();
    for (command, end) in ends {
        let known = names(&of(command)["ends"], &of(command)["ends"]);
        let told = end
            .as_object()
            .unwrap_or_else(|| panic!("{command}: {end}"));
        for name in told.keys() {
            assert!(
                known.contains(name),
                "{command}: {name} is not described: {known:?}"
            );
        }
    }
    let with_end: Vec<&str> = described
        .iter()
        .filter(|c| c["answer"]["title"] == "TaskStarted")
        .map(|c| {
            assert!(c["ends"].is_object(), "{} names no end", c["name"]);
            c["name"].as_str().unwrap()
        })
        .collect();
    assert_eq!(
        with_end,
        [
            "startImport",
            "startLabels",
            "startHandover",
            "startVerify",
            "startSync"
        ]
    );

    let state = ann.call("readState", json!({"job": job}))["state"].clone();
    let typed: api::views::state::JobState = serde_json::from_value(state.clone()).unwrap();
    assert!(typed.claims.len() > 20 && typed.members.len() == 1);
    // Nothing is left out and nothing is added: only the order of the names may differ.
    let mut told = serde_json::to_value(&typed).unwrap();
    told.sort_all_objects();
    let mut state = state;
    state.sort_all_objects();
    assert_eq!(told, state);
}
