//! What others saw and is not here shows wherever somebody asks: exchange, and both looks.

use std::fs;
use std::path::{Path, PathBuf};

use crate::common::{Crew, Device, meet, shared};
use serde_json::{Value, json};

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
    let Crew { dir, ann, ben, job } = Crew::of_two();
    let folder = shared(&dir);
    let cleo = Device::new(dir.path(), "cleo", "office");
    meet(&ann, &cleo, &folder, "office");
    assert_eq!(
        words(&cleo.call("readExchange", json!({}))),
        Vec::<&str>::new()
    );

    ann.note(&job, "one");
    ann.note(&job, "two");
    ann.sync();
    ben.sync();
    ben.note(&job, "Ben has read both");
    ben.sync();
    let me = ann.id();
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
