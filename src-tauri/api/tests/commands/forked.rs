//! A device whose data folder was copied: both branches count, it takes a new identity.

use crate::common::{Crew, Device, copy, shared};
use serde_json::json;

#[test]
fn both_branches_count_and_the_device_is_admitted_again_under_a_new_identity() {
    let Crew { dir, ann, ben, job } = Crew::of_two();
    let folder = shared(&dir);
    assert!(
        ben.refused("newIdentity", json!({}))
            .message
            .contains("needs no new identity")
    );
    let (ben, twin) = ben.twins(dir.path());
    ben.note(&job, "by the first");
    ben.sync();
    twin.note(&job, "by the second");
    let report = twin.sync();
    assert_eq!(report["result"]["forked"], true, "{report}");
    twin.sync();
    ann.sync();
    assert_eq!(ann.notes(&job).len(), 2, "both branches count");

    assert_eq!(twin.call("readExchange", json!({}))["unshared"], 0);
    let before = twin.id();
    let forked = |at: &Device| {
        let overview = at.call("overview", json!({}));
        let crews = overview["crews"].as_array().unwrap().clone();
        let crew = crews.into_iter().find(|c| c["current"] == true).unwrap();
        let members = crew["members"].as_array().unwrap().clone();
        let one = members.into_iter().find(|m| m["device"] == before);
        one.unwrap()["forked"] == true
    };
    // The two branches lie in the job alone, and the list of devices tells of them everywhere.
    assert!(forked(&twin) && forked(&ann));
    twin.call("newIdentity", json!({}));
    let joining = twin.call("join", json!({"folder": folder.to_str().unwrap()}));
    assert_ne!(joining["device"], before);
    ann.call(
        "admit",
        json!({"device": joining["device"], "digits": joining["digits"], "role": "installer"}),
    );
    twin.call("confirmJoin", json!({"digits": joining["digits"]}));
    ann.sync();
    twin.sync();
    twin.note(&job, "under the new identity");
    assert_eq!(
        twin.call("readExchange", json!({}))["unshared"],
        1,
        "what was sent under the old identity says nothing of the new one"
    );
    twin.sync();
    ann.sync();
    assert_eq!(ann.notes(&job).len(), 3);
}

#[test]
fn a_keeper_is_named_before_the_only_one_goes() {
    let Crew { dir, ann, ben, job } = Crew::of_two();
    let folder = shared(&dir);
    let path = ann.app.data().to_owned();
    drop(ann);
    let twin = dir.path().join("twin");
    copy(&path, &twin);
    let ann = Device::open(&path);
    ann.note(&job, "by the first");
    ann.sync();
    drop(ann);
    let twin = Device::open(&twin);
    twin.note(&job, "by the second");
    twin.sync();
    let refused = twin.refused("newIdentity", json!({}));
    assert!(
        refused.message.contains("keeper first"),
        "{}",
        refused.message
    );

    let own = ben.id();
    let refused = ben.refused("nameKeeper", json!({"device": own}));
    assert!(refused.message.contains("founded the crew"));
    let stranger = "a".repeat(26);
    assert_eq!(
        twin.refused("nameKeeper", json!({"device": stranger})).code,
        api::ErrorCode::NotFound
    );
    let named = twin.call("nameKeeper", json!({"device": own}));
    let members = named["crews"][0]["members"].as_array().unwrap();
    let member = members.iter().find(|m| m["device"] == own).unwrap();
    assert_eq!(member["keeper"], true);
    twin.sync();
    ben.sync();
    let before = twin.id();
    let after = twin.call("newIdentity", json!({}));
    assert_ne!(after["device"], before);
    let joining = twin.call("join", json!({"folder": folder.to_str().unwrap()}));
    let admitted = ben.call(
        "admit",
        json!({"device": joining["device"], "digits": joining["digits"], "role": "surveyor"}),
    );
    assert!(
        admitted
            .to_string()
            .contains(joining["device"].as_str().unwrap())
    );
}

#[test]
fn ending_a_forked_device_keeps_both_of_its_branches() {
    let Crew { dir, ann, ben, job } = Crew::of_two();
    ben.note(&job, "before");
    let (ben, twin) = ben.twins(dir.path());
    ben.note(&job, "by the first");
    ben.sync();
    for text in ["by the second", "and once more", "and again"] {
        twin.note(&job, text);
    }
    twin.sync();
    twin.sync();
    ann.sync();
    assert_eq!(ann.notes(&job).len(), 5);
    let asked = ann.refused("endDevice", json!({"device": ben.id()}));
    assert!(asked.message.starts_with("5 entries"), "{}", asked.message);
    ann.call("endDevice", json!({"device": ben.id(), "confirmed": true}));
    assert_eq!(ann.notes(&job).len(), 5, "all that were here keep counting");
    ann.sync();
    // One who hears all of it at once.
    ben.sync();
    assert_eq!(ben.notes(&job).len(), 5);
}

#[test]
fn a_branch_that_came_after_a_sign_off_came_since() {
    let Crew { dir, ann, ben, job } = Crew::of_two();
    let path = ben.app.data().to_owned();
    drop(ben);
    let twin = dir.path().join("twin");
    copy(&path, &twin);
    let twin = Device::open(&twin);
    for text in ["one", "two", "three"] {
        twin.note(&job, text);
    }
    twin.sync();
    ann.sync();
    let sign = json!({"job": job, "stage": "survey", "statement": "Surveyed."});
    ann.call("signOff", sign);
    let since = |stage: &str| {
        let view = ann.call("readJob", json!({"job": job}));
        let all = view["signOffs"].as_array().unwrap().clone();
        let one = all.into_iter().find(|one| one["stage"] == stage).unwrap();
        one["since"].clone()
    };
    assert_eq!(since("survey"), 0);
    let ben = Device::open(&path);
    ben.note(&job, "of the other branch");
    ben.note(&job, "and one more");
    ben.sync();
    ann.sync();
    assert_eq!(ann.notes(&job).len(), 5);
    assert_eq!(since("survey"), 2);
    // One that is signed now covers both branches.
    let sign = json!({"job": job, "stage": "cutting", "statement": "Cut."});
    ann.call("signOff", sign);
    assert_eq!(since("cutting"), 0);
}

#[test]
fn the_only_one_who_may_admit_goes_on_before_a_damaged_entry_on_a_yes() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let begun = ann.call("beginJob", json!({"title": "Deck", "place": "an island"}));
    let job = begun["created"].as_str().unwrap().replace("job:", "");
    for note in ["one", "two", "three"] {
        ann.note(&job, note);
    }
    let path = ann.app.data().to_owned();
    drop(ann);
    let journal = path.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    std::fs::write(&journal, text.replace("\"two\"", "\"twu\"")).unwrap();
    for end in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(path.join(format!("index.db{end}")));
    }
    let ann = Device::open(&path);
    let say = json!({"job": job, "claims": [
        {"subject": format!("job:{job}"), "field": "note", "value": "four"}]});
    let refused = ann.refused("say", say.clone());
    assert!(
        refused.message.contains("take a new identity"),
        "{}",
        refused.message
    );
    let before = ann.id();
    let asked = ann.refused("newIdentity", json!({}));
    assert_eq!(asked.code, api::ErrorCode::Questioned, "{}", asked.message);
    assert!(
        asked.message.contains("last whole entry"),
        "{}",
        asked.message
    );
    ann.refused("say", say.clone());
    ann.call("newIdentity", json!({"leaveUnsent": true}));
    assert_eq!(ann.id(), before);
    ann.call("say", say);
    let mut notes = ann.notes(&job);
    notes.sort();
    assert_eq!(notes, ["four", "one"]);
    drop(ann);
    let ann = Device::open(&path);
    ann.note(&job, "five");
    assert_eq!(ann.notes(&job).len(), 3);
    // With its record of one line that goes on, it needs nothing more.
    assert_eq!(
        ann.refused("newIdentity", json!({})).code,
        api::ErrorCode::Invalid
    );
}
