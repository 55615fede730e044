//! What others saw and is not here shows wherever somebody asks: exchange, and both looks.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod common;

use std::fs;
use std::path::{Path, PathBuf};

use common::{Device, meet};
use serde_json::{Value, json};

fn note(device: &Device, job: &str, text: &str) {
    let claim = json!({"subject": format!("job:{job}"), "field": "note", "value": text});
    device.call("say", json!({"job": job, "claims": [claim]}));
}

/// Ann's pieces in the shared folder, oldest first.
fn pieces(folder: &Path, device: &str) -> Vec<PathBuf> {
    let shard = folder.join("log").join(device).join("000000");
    let mut found: Vec<PathBuf> = fs::read_dir(shard)
        .unwrap()
        .map(|item| item.unwrap().path())
        .collect();
    found.sort();
    found
}

fn words(told: &Value) -> Vec<&str> {
    let list = told["notHere"].as_array().unwrap().iter();
    list.map(|one| one["words"].as_str().unwrap()).collect()
}

#[test]
fn a_missing_end_is_told_after_the_exchange_on_the_screen_and_by_both_looks() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("shared");
    fs::create_dir(&folder).unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    let cleo = Device::new(dir.path(), "cleo", "office");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"].as_str().unwrap().to_owned();
    let job = job.trim_start_matches("job:");
    ann.call("share", json!({"folder": folder.to_str().unwrap()}));
    ann.sync();
    meet(&ann, &ben, &folder, "installer");
    meet(&ann, &cleo, &folder, "office");
    assert_eq!(
        words(&cleo.call("readExchange", json!({}))),
        Vec::<&str>::new()
    );

    note(&ann, job, "one");
    note(&ann, job, "two");
    ann.sync();
    ben.sync();
    note(&ben, job, "Ben has read both");
    ben.sync();
    let me = ann.call("overview", json!({}))["device"].clone();
    let gone = pieces(&folder, me.as_str().unwrap()).pop().unwrap();
    let bytes = fs::read(&gone).unwrap();
    fs::remove_file(&gone).unwrap();

    let here = "ben saw 3 entries of ann in “Deck”; 1 is here: waiting for 2";
    let report = cleo.sync();
    assert_eq!(words(&report["result"]), [here]);
    assert_eq!(words(&cleo.call("readExchange", json!({}))), [here]);
    let data = cleo.run_task("startVerify", json!({"what": "data"}));
    assert_eq!(words(&data["result"]), [here], "{data:#}");
    let there = "ben saw 3 entries of ann in “Deck”; 1 is in the shared folder: waiting for 2";
    let shared = cleo.run_task("startVerify", json!({"what": "shared"}));
    assert_eq!(shared["error"]["code"], "fault", "{shared:#}");
    let message = shared["error"]["message"].as_str().unwrap();
    assert!(
        message.starts_with("seenMissing: ") && message.contains(there),
        "{message}"
    );
    // Ben has them himself, and looks whether the folder has.
    let shared = ben.run_task("startVerify", json!({"what": "shared"}));
    assert_eq!(shared["error"]["code"], "fault", "{shared:#}");

    fs::write(&gone, bytes).unwrap();
    cleo.sync();
    assert_eq!(
        words(&cleo.call("readExchange", json!({}))),
        Vec::<&str>::new()
    );
    let shared = cleo.run_task("startVerify", json!({"what": "shared"}));
    assert_eq!(shared["state"], "done", "{shared:#}");
}
