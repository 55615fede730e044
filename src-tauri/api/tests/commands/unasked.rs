//! What is no longer taken or left out in silence: cuts beside posts that nobody knows, readings that
//! contradict each other, another unit, openings that nobody measured.

use std::path::Path;

use crate::common::Device;
use crate::common::surveyed::Site;
use serde_json::{Value, json};

fn survey() -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap()
}

/// Imports a survey; the device and what the import told.
fn imported(dir: &Path, survey: &Value) -> (Device, Value) {
    let ann = Device::new(dir, "ann", "surveyor");
    let file = dir.join("survey.json");
    std::fs::write(&file, survey.to_string()).unwrap();
    let source = json!({"kind": "file", "path": file.to_str().unwrap()});
    let ended = ann.run_task("startImport", json!({"source": source}));
    (ann, ended["result"].clone())
}

/// The first run's decided tensions and its trial wire released, confirmed or not.
fn released(ann: &Device, told: &Value, confirmed: bool) -> Result<Value, api::ApiError> {
    let view = ann.call("readJob", json!({"job": told["job"]}));
    let run = &view["runs"][0]["id"];
    let tensions = Site::tensions(1330.0, 1500.0, 1800.0);
    let decided = json!({"job": told["job"], "run": run, "tensions": tensions, "confirmed": true});
    ann.call("setTensions", decided);
    let request = json!({"job": told["job"], "run": run, "wires": "6", "confirmed": confirmed});
    ann.try_call("issueCuts", request)
}

fn trial_line(ann: &Device, told: &Value) -> Value {
    let view = ann.call("readJob", json!({"job": told["job"]}));
    let asked = json!({"job": told["job"], "run": view["runs"][0]["id"]});
    let sheet = ann.call("cutSheet", asked);
    let lines = sheet["lines"].as_array().unwrap();
    lines.iter().find(|l| l["wire"] == 6).unwrap().clone()
}

#[test]
fn a_cut_beside_a_post_of_unknown_stiffness_is_released_on_a_yes_and_promises_no_chance() {
    let mut without = survey();
    let posts = without["posts"].as_array_mut().unwrap();
    let a6 = posts.iter_mut().find(|p| p["name"] == "A6").unwrap();
    a6.as_object_mut().unwrap().remove("material").unwrap();
    let dir = tempfile::tempdir().unwrap();
    let (ann, told) = imported(dir.path(), &without);
    let asked = released(&ann, &told, false).unwrap_err();
    assert!(
        asked.message.contains("movement counts as nothing"),
        "{}",
        asked.message
    );
    let line = trial_line(&ann, &told);
    assert_eq!(
        (&line["chance"], &line["inwardMm"]),
        (&Value::Null, &json!(0.0))
    );
    released(&ann, &told, true).unwrap();

    let dir = tempfile::tempdir().unwrap();
    let (ann, told) = imported(dir.path(), &survey());
    released(&ann, &told, false).unwrap();
    assert!(trial_line(&ann, &told)["chance"].as_f64().unwrap() > 0.5);
}

#[test]
fn a_reading_that_contradicts_an_earlier_one_of_its_wire_is_asked_about() {
    let dir = tempfile::tempdir().unwrap();
    let (ann, told) = imported(dir.path(), &survey());
    let view = ann.call("readJob", json!({"job": told["job"]}));
    let run = view["runs"][0]["id"].clone();
    let read = |mm: &str| {
        json!({"job": told["job"], "run": run, "wire": 6, "length": {"text": mm}, "purpose": "cut",
            "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape"})
    };
    // The survey has 7300.
    let asked = ann.refused("measure", read("7309"));
    assert!(asked.message.contains("averaged"), "{}", asked.message);
    ann.call("measure", read("7302"));
}

#[test]
fn two_rows_of_one_wire_that_contradict_each_other_are_asked_about() {
    let mut twice = survey();
    let lengths = twice["lengths"].as_array_mut().unwrap();
    let mut again = lengths[0].clone();
    again["length"] = json!(again["length"].as_f64().unwrap() + 8.0);
    lengths.push(again);
    let at = format!("lengths[{}].length", lengths.len() - 1);
    let dir = tempfile::tempdir().unwrap();
    let (_, told) = imported(dir.path(), &twice);
    let problems = told["problems"].as_array().unwrap();
    assert_eq!(problems.len(), 1, "{problems:?}");
    assert_eq!(problems[0]["path"], json!(at));
    assert_eq!(problems[0]["outcome"], "questioned");
}

#[test]
fn a_first_slope_in_inches_is_asked_about_and_computed_millimetres_are_taken() {
    let mut inches = survey();
    inches["runs"][1]["slope"]["rise"] = json!(7);
    inches["posts"][1]["floor"] = json!(-3.0000000000000004_f64);
    let dir = tempfile::tempdir().unwrap();
    let (_, told) = imported(dir.path(), &inches);
    let problems = told["problems"].as_array().unwrap();
    let slope: Vec<&Value> = problems
        .iter()
        .filter(|p| p["path"] == "runs[1].slope")
        .collect();
    assert_eq!(slope.len(), 1, "{problems:?}");
    assert_eq!(slope[0]["outcome"], "questioned");
    let floor = |p: &&Value| p["path"].as_str().unwrap().contains("floor");
    assert_eq!(problems.iter().find(floor), None);
}

#[test]
fn openings_that_the_rules_ask_about_and_nobody_measured_are_lacking() {
    let dir = tempfile::tempdir().unwrap();
    let (ann, told) = imported(dir.path(), &survey());
    let lacks = ann.call("lacks", json!({"job": told["job"]}));
    let items = lacks["items"].as_array().unwrap().iter();
    let asked: Vec<&Value> = items
        .filter(|i| i["key"].as_str().unwrap().starts_with("openingsAsked/"))
        .collect();
    assert_eq!(asked.len(), 2, "{asked:?}");
    assert!(asked.iter().all(|i| i["state"] == "lacking"));
    assert!(
        asked[1]["detail"].as_str().unwrap().contains("B3"),
        "{asked:?}"
    );
    // What was measured, the wall at A1, is none of them.
    assert!(
        !asked[0]["detail"].as_str().unwrap().contains("A1"),
        "{asked:?}"
    );
}

#[test]
fn a_cut_that_may_well_miss_its_window_is_released_on_a_yes_alone() {
    let mut rough = survey();
    let lengths = rough["lengths"].as_array_mut().unwrap();
    let sixth = lengths.iter_mut().filter(|row| row["wire"] == 6);
    sixth.for_each(|row| row["spread"] = json!(12));
    let dir = tempfile::tempdir().unwrap();
    let (ann, told) = imported(dir.path(), &rough);
    let asked = released(&ann, &told, false).unwrap_err();
    let chance = trial_line(&ann, &told)["chance"].as_f64().unwrap();
    assert!(chance < 0.8, "{chance}");
    assert!(
        asked.message.starts_with("The chance of A6"),
        "{}",
        asked.message
    );
    released(&ann, &told, true).unwrap();
    let issued = trial_line(&ann, &told)["issued"].clone();
    assert!(issued["cutMm"].is_number(), "{issued}");
}
