//! Whose a job is, in the list of jobs: who wrote in it, signed a stage of it, or was there by a visit's words.

use crate::common::{Device, meet};
use serde_json::{Value, json};

/// Names beside a job in this device's list.
fn people(at: &Device, job: &str) -> Vec<String> {
    let overview = at.call("overview", json!({}));
    let jobs = overview["jobs"].as_array().unwrap().clone();
    let card = jobs.iter().find(|card| card["job"] == job).unwrap();
    let names = card["people"].as_array().unwrap().iter();
    names
        .map(|name| name.as_str().unwrap().to_owned())
        .collect()
}

fn visit(at: &Device, job: &str, who: &str) {
    let fields = json!([{"field": "day", "value": "2026-10-06"}, {"field": "who", "value": who}]);
    let add: Value = json!({"job": job, "thing": "visit", "fields": fields, "confirmed": true});
    at.call("addThing", add);
}

#[test]
fn a_job_is_of_those_who_wrote_in_it_and_of_those_a_visit_names() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    let (one, other) = (ann.begin("Deck"), ann.begin("Stair"));
    ann.call("share", json!({"folder": folder.to_str().unwrap()}));
    ann.sync();
    meet(&ann, &ben, &folder, "installer");
    assert_eq!(people(&ann, &one), ["ann"]);
    ben.note(&one, "Soft at the foot");
    ben.sync();
    ann.sync();
    for device in [&ann, &ben] {
        assert_eq!(people(device, &one), ["ann", "ben"]);
        assert_eq!(people(device, &other), ["ann"]);
    }
    // Part of another word is no name, and who is not of the crew is nobody to choose.
    visit(&ann, &other, "Benedict, the owner");
    assert_eq!(people(&ann, &other), ["ann"]);
    visit(&ann, &other, "the owner, BEN and Cora");
    assert_eq!(people(&ann, &other), ["ann", "ben"]);
}
