//! Marks on a copy of a picture: said, changed, taken back, refused; the picture's files keep their bytes.

use std::fs;
use std::path::Path;

use crate::common::{Crew, Device};
use api::ErrorCode;
use serde_json::{Value, json};

fn add(device: &Device, job: &str, name: &str) -> Value {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fixtures/photos")
        .join(name);
    let ask = json!({"job": job, "name": name, "source": {"kind": "file", "path": path}});
    device.call("addPhoto", ask)["created"].clone()
}

fn photo(device: &Device, job: &str) -> Value {
    device.call("readJob", json!({"job": job}))["photos"][0].clone()
}

fn arrow(to_x: i64) -> Value {
    json!({"kind": "arrow", "x": 100, "y": 200, "toX": to_x, "toY": 400})
}

fn ask(job: &str, picture: &Value, marks: &Value) -> Value {
    json!({"job": job, "picture": picture, "marks": marks})
}

/// The entries that stand on a picture's marks.
fn stands(photo: &Value) -> Vec<Value> {
    let words = photo["marks"]["words"].as_array();
    words.unwrap().iter().map(|w| w["entry"].clone()).collect()
}

/// The files that were kept of a picture, by hash, with their bytes.
fn kept(data: &Path, photo: &Value) -> Vec<(String, Vec<u8>)> {
    let files = photo["files"].as_array().unwrap().iter();
    files
        .map(|file| {
            let hash = file["sha256"].as_str().unwrap().to_owned();
            let path = records::photos::find(&data.join("photos"), &hash).unwrap();
            (hash, fs::read(path.unwrap()).unwrap())
        })
        .collect()
}

#[test]
fn a_picture_is_marked_marked_anew_and_freed_of_its_marks() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = ann.begin("Deck");
    let picture = add(&ann, &job, "orientation-6.jpg");
    let before = photo(&ann, &job);
    assert_eq!(before.get("marks"), None);
    let files = kept(&dir.path().join("ann"), &before);
    assert_eq!(files.len(), 3);

    let words = json!({"kind": "text", "x": 0, "y": 1000, "text": "  rust \n at the\tswage "});
    ann.call(
        "markPicture",
        ask(&job, &picture, &json!([arrow(300), words])),
    );
    let marked = photo(&ann, &job);
    let said = &marked["marks"]["words"][0];
    assert_eq!(marked["marks"]["standing"], "agreed");
    assert_eq!(said["who"], "ann");
    let tidy = json!({"kind": "text", "x": 0, "y": 1000, "text": "rust at the swage"});
    assert_eq!(said["value"], json!({"marks": [arrow(300), tidy]}));
    // One that was drawn over what no longer stands is refused, and so is the same touch a second time.
    let mut over = ask(&job, &picture, &json!([arrow(500)]));
    over["seen"] = json!(stands(&marked));
    ann.call("markPicture", over.clone());
    assert_eq!(ann.refused("markPicture", over).code, ErrorCode::Changed);
    let anew = photo(&ann, &job);
    assert_eq!(anew["marks"]["said"], 2);
    assert_eq!(
        anew["marks"]["words"][0]["value"],
        json!({"marks": [arrow(500)]})
    );

    ann.call("markPicture", ask(&job, &picture, &json!([])));
    assert_eq!(photo(&ann, &job)["marks"]["standing"], "withdrawn");
    let none = ann.refused("markPicture", ask(&job, &picture, &json!([])));
    assert!(none.message.starts_with("Nothing is marked"), "{none:?}");
    // The original, the view and the thumb are what they were.
    let after = photo(&ann, &job);
    assert_eq!(after["files"], before["files"]);
    assert_eq!(kept(&dir.path().join("ann"), &after), files);
}

#[test]
fn an_act_of_marking_is_undone_like_others() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = ann.begin("Deck");
    let picture = add(&ann, &job, "orientation-1.jpg");
    let done = ann.call("markPicture", ask(&job, &picture, &json!([arrow(300)])));
    let undo = json!({"job": job, "entry": done["entries"][0], "reason": "wrong value"});
    ann.call("withdraw", undo);
    assert_eq!(photo(&ann, &job)["marks"]["standing"], "withdrawn");
}

#[test]
fn an_act_of_several_entries_is_undone_in_one() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = ann.begin("Deck");
    let added = ann.call(
        "addThing",
        json!({"job": job, "thing": "post", "fields": [
        {"field": "name", "value": "A1"}]}),
    );
    let post = added["entries"][0].clone();
    let both = json!({"job": job, "claims": [
        {"subject": format!("job:{job}"), "field": "note", "value": "Rain"},
        {"subject": format!("job:{job}"), "field": "note", "value": "Wind"}]});
    let said = ann.call("say", both)["entries"].clone();
    assert_eq!(said.as_array().unwrap().len(), 2);
    let undo = |more: &Value| json!({"job": job, "entry": said[0], "more": [more], "reason": "wrong value"});
    let none = ann.refused(
        "withdraw",
        json!({"job": job, "entry": said[0], "more": ["x"], "reason": "no"}),
    );
    assert_eq!(none.code, ErrorCode::Invalid, "{none:?}");
    // A word that is not in the job takes none of the others with it.
    let foreign = added["entries"][0].as_str().unwrap();
    let foreign: String = foreign.chars().rev().collect();
    let none = ann.refused("withdraw", undo(&json!(foreign)));
    assert!(
        matches!(none.code, ErrorCode::NotFound | ErrorCode::Invalid),
        "{none:?}"
    );
    let undone = ann.call("withdraw", undo(&said[1]));
    assert_eq!(undone["entries"].as_array().unwrap().len(), 2);
    // Nothing stands to be taken back a second time, and what was not named stands.
    let again = ann.refused("withdraw", undo(&said[1]));
    assert_eq!(again.code, ErrorCode::NotFound, "{again:?}");
    ann.call("withdraw", undo(&post));
}

#[test]
fn marks_that_can_not_be_are_refused_in_words_and_nothing_is_saved() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = ann.begin("Deck");
    let picture = add(&ann, &job, "orientation-1.jpg");
    let state = || ann.call("readState", json!({"job": job}))["hash"].clone();
    let before = state();
    let text = |text: &str| json!([{"kind": "text", "x": 1, "y": 1, "text": text}]);
    for (marks, says) in [
        (json!([arrow(1001)]), "mark 1 lies beside the picture"),
        (
            Value::Array(vec![arrow(1); 31]),
            "a picture takes 30 at most",
        ),
        (text(" \n "), "mark 1 has no words"),
        (text(&"🔩".repeat(61)), "has 61 characters and 60 have room"),
        (text(&"x".repeat(10_000)), "has 10000 characters"),
    ] {
        let refused = ann.refused("markPicture", ask(&job, &picture, &marks));
        assert_eq!(refused.code, ErrorCode::Invalid, "{refused:?}");
        assert!(refused.message.contains(says), "{refused:?}");
        assert!(refused.message.contains("Nothing was saved"), "{refused:?}");
    }
    for (picture, says) in [
        (json!(format!("job:{job}")), "That is no picture."),
        (
            json!("photo:aaaaaaaaaaaaaaaaaaaaaaaaaa"),
            "no such picture any more",
        ),
    ] {
        let refused = ann.refused("markPicture", ask(&job, &picture, &json!([arrow(300)])));
        assert!(refused.message.contains(says), "{refused:?}");
    }
    // Plain words don't go past the rules.
    let claim = json!({"subject": picture, "field": "marks", "value": {"marks": [arrow(300)]}});
    let refused = ann.refused("say", json!({"job": job, "claims": [claim]}));
    assert!(
        refused.message.contains("use the command markPicture"),
        "{refused:?}"
    );
    assert_eq!(state(), before);
    // Nobody marks what nobody sees.
    let unseen = add(&ann, &job, "huge-header.jpg");
    let refused = ann.refused("markPicture", ask(&job, &unseen, &json!([arrow(300)])));
    assert!(refused.message.contains("can't be shown"), "{refused:?}");
}

#[test]
fn marks_drawn_apart_stand_side_by_side_and_are_settled() {
    let Crew {
        dir: _dir,
        ann,
        ben,
        job,
    } = Crew::of_two();
    let picture = add(&ann, &job, "orientation-1.jpg");
    ann.sync();
    ben.sync();
    ann.call("markPicture", ask(&job, &picture, &json!([arrow(300)])));
    let ring = json!({"kind": "ring", "x": 1, "y": 2, "toX": 30, "toY": 40});
    ben.call("markPicture", ask(&job, &picture, &json!([ring])));
    for device in [&ann, &ben, &ann] {
        device.sync();
    }
    let [of_ann, of_ben] = [&ann, &ben].map(|device| photo(device, &job)["marks"].clone());
    assert_eq!(of_ann["standing"], "disputed");
    assert_eq!(of_ann["words"], of_ben["words"]);
    let unsettled = ann.call("readJob", json!({"job": job}))["unsettled"].clone();
    assert_eq!(unsettled[0]["subject"], picture);
    let by_ben = of_ann["words"].as_array().unwrap();
    let by_ben = by_ben.iter().find(|w| w["who"] == "ben").unwrap();
    let chosen = json!({"job": job, "subject": picture, "field": "marks", "place": "",
        "choose": by_ben["entry"], "reason": "looked again"});
    ann.call("settle", chosen);
    let settled = photo(&ann, &job)["marks"].clone();
    assert_eq!(settled["standing"], "agreed");
    assert_eq!(settled["words"][0]["value"], json!({"marks": [ring]}));
    let told = settled["words"][0]["with"]["settled"]["numbers"].clone();
    let told: Vec<&str> = told
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["value"].as_str().unwrap())
        .collect();
    assert!(
        told.contains(&"an arrow") && told.contains(&"a ring"),
        "{told:?}"
    );
}
