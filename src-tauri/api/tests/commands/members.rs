//! Who belongs, and what is told when it does not work out: ends, keys, names, folders, crews.

use std::fs;
use std::path::Path;

use crate::common::{Crew, Device, copy, meet, note, shared};
use api::ErrorCode;
use serde_json::{Value, json};

#[test]
fn what_was_not_sent_is_sent_before_a_new_identity_is_taken() {
    let Crew { dir, ann, ben, job } = Crew::of_two();
    let (ben, twin) = ben.twins(dir.path());
    ben.note(&job, "by the first");
    ben.sync();
    twin.note(&job, "by the second");
    twin.sync();
    twin.note(&job, "LATE");
    assert_eq!(twin.call("readExchange", json!({}))["unshared"], 1);
    let refused = twin.refused("newIdentity", json!({}));
    assert!(
        refused.message.starts_with("1 entries"),
        "{}",
        refused.message
    );
    twin.sync();
    twin.call("newIdentity", json!({}));
    ann.sync();
    assert!(ann.notes(&job).contains(&"LATE".to_owned()));

    // A folder that is gone for good keeps nobody: left behind, and said so.
    ben.sync();
    ben.note(&job, "never sent");
    assert_eq!(
        ben.refused("newIdentity", json!({})).code,
        ErrorCode::Questioned
    );
    ben.call("newIdentity", json!({"leaveUnsent": true}));
}

#[test]
fn acts_of_an_ended_device_are_refused_and_of_one_not_admitted_told() {
    let Crew {
        dir: _dir,
        ann,
        ben,
        job,
    } = Crew::of_two();
    let recorded = ben.note(&job, "counts");
    assert!(recorded["notCounting"].is_null(), "{recorded}");
    ben.sync();
    ann.sync();
    ann.call("endDevice", json!({"device": ben.id(), "confirmed": true}));
    ann.sync();
    ben.sync();
    let refused = ben.refused("say", note(&job, "after the end"));
    assert!(refused.message.contains("was ended"), "{}", refused.message);
    assert_eq!(ben.notes(&job), ["counts"]);

    // Under a new identity it goes on at once, and is told that nobody sees it yet.
    ben.call("newIdentity", json!({}));
    let recorded = ben.note(&job, "again");
    let told = recorded["notCounting"].as_str().unwrap();
    assert!(told.contains("not admitted"), "{told}");
}

#[test]
fn no_key_is_made_beside_a_record_without_a_word() {
    let Crew { dir, ann, ben, job } = Crew::of_two();
    let before = ben.id();
    let path = ben.app.data().to_owned();
    drop(ben);
    let away = dir.path().join("away.key");
    fs::rename(path.join("device.key"), &away).unwrap();
    let ben = Device::open(&path);
    let overview = ben.call("overview", json!({}));
    assert!(overview["trouble"].as_str().unwrap().contains("device.key"));
    assert_eq!(overview["device"], before);
    assert_eq!(ben.call("readJob", json!({"job": job}))["title"], "Deck");
    for (command, ask) in [
        ("say", note(&job, "x")),
        ("beginJob", json!({"title": "x", "place": "y"})),
        ("startSync", json!({})),
    ] {
        let refused = ben.refused(command, ask);
        assert!(
            refused.message.contains("device.key is missing"),
            "{}",
            refused.message
        );
    }
    drop(ben);
    assert!(!path.join("device.key").exists(), "a key was made");
    fs::rename(&away, path.join("device.key")).unwrap();
    let ben = Device::open(&path);
    assert!(ben.call("overview", json!({}))["trouble"].is_null());
    ben.note(&job, "the key is back");
    ben.sync();
    drop(ben);

    fs::remove_file(path.join("device.key")).unwrap();
    let ben = Device::open(&path);
    let after = ben.call("newIdentity", json!({}));
    assert_ne!(after["device"], before);
    let joining = ben.call("join", json!({"folder": shared(&dir)}));
    ann.call(
        "admit",
        json!({"device": joining["device"], "digits": joining["digits"], "role": "installer"}),
    );
    ann.sync();
    ben.sync();
    ben.note(&job, "as another device");
    ben.sync();
    ann.sync();
    assert_eq!(ann.notes(&job).len(), 2);
}

#[test]
fn an_end_without_effect_is_refused_and_one_with_effect_is_asked_about() {
    let Crew {
        dir: _dir,
        ann,
        ben,
        job,
    } = Crew::of_two();
    ben.note(&job, "x");
    ben.sync();
    ann.sync();
    let founder = json!({"device": ann.id(), "confirmed": true});
    let refused = ann.refused("endDevice", founder.clone());
    assert!(
        refused.message.contains("founded the crew"),
        "{}",
        refused.message
    );
    ann.call("nameKeeper", json!({"device": ben.id()}));
    ann.sync();
    ben.sync();
    assert!(
        ben.refused("endDevice", founder)
            .message
            .contains("founded")
    );
    let own = json!({"device": ben.id(), "confirmed": true});
    assert!(ben.refused("endDevice", own).message.contains("keeper's"));
    let nobody = json!({"device": "a".repeat(26), "confirmed": true});
    assert_eq!(ann.refused("endDevice", nobody).code, ErrorCode::NotFound);
    let asked = ann.refused("endDevice", json!({"device": ben.id()}));
    assert_eq!(asked.code, ErrorCode::Questioned);
    assert!(asked.message.starts_with("1 entries"), "{}", asked.message);
    let ended = ann.call("endDevice", json!({"device": ben.id(), "confirmed": true}));
    let members = ended["crews"][0]["members"].as_array().unwrap();
    let ben = members.iter().find(|m| m["device"] == ben.id()).unwrap();
    assert_eq!(ben["ended"], true);
}

#[test]
fn who_says_to_be_a_person_of_the_crew_is_asked_about_and_renames_nobody() {
    let Crew { dir, ann, ben, .. } = Crew::of_two();
    let folder = shared(&dir);
    let mallory = Device::new(dir.path(), "mallory", "installer");
    let anns = person(&ann, &folder);
    let path = mallory.app.data().to_owned();
    let joining = mallory.call("join", json!({"folder": folder}));
    drop(mallory);
    forge_card(&path, &folder, joining["device"].as_str().unwrap(), &anns);
    let listed = ann.call("applicants", json!({}));
    assert_eq!(listed["devices"][0]["saysItIs"], "ann", "{listed}");
    let mut admit =
        json!({"device": joining["device"], "digits": joining["digits"], "role": "installer"});
    let asked = ann.refused("admit", admit.clone());
    assert_eq!(asked.code, ErrorCode::Questioned);
    assert!(asked.message.contains("Is ann at it?"), "{}", asked.message);
    admit["asKnown"] = json!(true);
    let overview = ann.call("admit", admit);
    let members = overview["crews"][0]["members"].as_array().unwrap();
    let names: Vec<&Value> = members.iter().map(|m| &m["persons"][0]).collect();
    assert_eq!(
        names.iter().filter(|n| ***n == "ann").count(),
        2,
        "{names:?}"
    );
    assert!(!names.iter().any(|n| **n == "mallory"), "{names:?}");
    drop(ben);
}

/// The person at a device, as its card in the folder tells.
fn person(device: &Device, folder: &Path) -> String {
    let id = device.id();
    let path = format!("devices/{}.json", id.as_str().unwrap());
    let card = fs::read(folder.join(path)).unwrap();
    let card: Value = serde_json::from_slice(&card).unwrap();
    card["person"].as_str().unwrap().to_owned()
}

/// Writes the card of a device that says to be somebody else, signed by it.
fn forge_card(data: &Path, folder: &Path, device: &str, person: &str) {
    use records::keys::{FileKey, Signer as _};
    let key = FileKey::open_or_create(&data.join("device.key")).unwrap();
    let mut card = json!({"format": 1, "device": device, "key": key.public(),
        "name": "mallory", "person": person});
    let body = records::canonical::encode(&card).unwrap();
    card["signature"] = json!(key.sign("tautbook-device-1\n", &body));
    let path = folder.join("devices").join(format!("{device}.json"));
    fs::write(path, records::canonical::encode(&card).unwrap()).unwrap();
}

#[test]
fn a_crew_is_not_split_over_two_folders() {
    let scene = Crew::of_two();
    let second = scene.dir.path().join("second");
    fs::create_dir(&second).unwrap();
    let refused = scene.ann.refused("share", json!({"folder": second}));
    assert!(
        refused.message.contains("would split it"),
        "{}",
        refused.message
    );
    assert!(!second.join("tautbook.json").exists());
    let again = scene
        .ann
        .call("share", json!({"folder": shared(&scene.dir)}));
    assert_eq!(again["crews"][0]["folder"], json!(shared(&scene.dir)));
    // A copy of the folder is the same folder at another place.
    fs::remove_dir(&second).unwrap();
    copy(&shared(&scene.dir), &second);
    let moved = scene.ann.call("share", json!({"folder": second}));
    assert_eq!(moved["crews"][0]["folder"], json!(second));
    assert_eq!(scene.ann.sync()["result"]["shared"], true);
}

#[test]
fn jobs_of_a_crew_that_was_left_are_there_when_it_is_chosen() {
    let dir = tempfile::tempdir().unwrap();
    let folder = shared(&dir);
    fs::create_dir(&folder).unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let ben = Device::new(dir.path(), "ben", "installer");
    let own = ben.begin("Surveyed before");
    ann.begin("Deck");
    ann.call("share", json!({"folder": folder}));
    ann.sync();
    meet(&ann, &ben, &folder, "installer");
    let titles = |overview: &Value| -> Vec<String> {
        let jobs = overview["jobs"].as_array().unwrap().iter();
        jobs.map(|j| j["title"].as_str().unwrap().to_owned())
            .collect()
    };
    let joined = ben.call("overview", json!({}));
    assert_eq!(titles(&joined), ["Deck"]);
    let crews = joined["crews"].as_array().unwrap();
    assert_eq!(crews.len(), 2);
    let other = crews.iter().find(|c| c["current"] == false).unwrap();
    let chosen = ben.call("chooseCrew", json!({"crew": other["book"]}));
    assert_eq!(titles(&chosen), ["Surveyed before"]);
    assert_eq!(
        ben.call("readJob", json!({"job": own}))["title"],
        "Surveyed before"
    );
    let unknown = json!({"crew": "a".repeat(26)});
    assert_eq!(ben.refused("chooseCrew", unknown).code, ErrorCode::NotFound);
}

#[test]
fn only_chosen_jobs_come_where_somebody_said_so() {
    let Crew {
        dir: _dir,
        ann,
        ben,
        job,
    } = Crew::of_two();
    assert_eq!(ben.call("overview", json!({}))["keepsAll"], true);
    let chosen = ben.call("keepJobs", json!({"all": false}));
    assert_eq!(chosen["keepsAll"], false);
    let (second, third) = (ann.begin("Second"), ann.begin("Third"));
    ann.sync();
    ben.sync();
    let kept = |job: &str| {
        let overview = ben.call("overview", json!({}));
        let jobs = overview["jobs"].as_array().unwrap().clone();
        jobs.into_iter().find(|j| j["job"] == job).unwrap()["kept"].clone()
    };
    assert_eq!(
        (kept(&job), kept(&second), kept(&third)),
        (true.into(), false.into(), false.into())
    );
    ben.call("keepJob", json!({"job": second}));
    ben.sync();
    assert_eq!((kept(&second), kept(&third)), (true.into(), false.into()));
    ben.call("keepJobs", json!({"all": true}));
    ben.sync();
    assert_eq!(kept(&third), true);
}

#[test]
fn characters_that_turn_a_name_around_are_seen_on_screens() {
    let dir = tempfile::tempdir().unwrap();
    let folder = shared(&dir);
    fs::create_dir(&folder).unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    ann.call("share", json!({"folder": folder}));
    let eve = Device::new(&dir.path().join("eve"), "eve\u{202e}nna", "installer");
    eve.call("join", json!({"folder": folder}));
    let listed = ann.call("applicants", json!({})).to_string();
    assert!(!listed.contains('\u{202e}'), "{listed}");
    assert!(listed.contains("nna"), "{listed}");
    let overview = eve.call("overview", json!({})).to_string();
    assert!(!overview.contains('\u{202e}'), "{overview}");
}

#[test]
fn a_device_that_does_not_ask_is_not_found_and_says_where_to_look() {
    let crew = Crew::of_two();
    let ask = json!({"device": crew.job, "digits": "0000000000000000", "role": "installer"});
    let refused = crew.ann.refused("admit", ask);
    assert_eq!(refused.code, ErrorCode::NotFound, "{refused:?}");
    assert!(
        refused
            .message
            .contains("Look at the list of those that ask"),
        "{}",
        refused.message
    );
}

#[test]
fn what_an_end_set_aside_no_second_end_brings_back() {
    let Crew {
        dir: _dir,
        ann,
        ben,
        job,
    } = Crew::of_two();
    ben.note(&job, "sent before");
    ben.sync();
    ann.sync();
    ben.note(&job, "after the theft");
    ben.note(&job, "and once more");
    ann.call("endDevice", json!({"device": ben.id(), "confirmed": true}));
    ann.sync();
    ben.sync();
    ann.sync();
    assert_eq!(ann.notes(&job), ["sent before"]);
    let asked = ann.refused("endDevice", json!({"device": ben.id()}));
    assert!(asked.message.starts_with("1 entries"), "{}", asked.message);
    ann.call("endDevice", json!({"device": ben.id(), "confirmed": true}));
    assert_eq!(ann.notes(&job), ["sent before"]);
    ann.sync();
    ben.sync();
    assert_eq!(ben.notes(&job), ["sent before"]);
}

#[test]
fn a_device_that_a_keeper_admitted_is_named_with_effect() {
    let Crew { dir, ann, ben, .. } = Crew::of_two();
    let folder = shared(&dir);
    ann.call("nameKeeper", json!({"device": ben.id()}));
    ann.sync();
    ben.sync();
    let dee = Device::new(dir.path(), "dee", "installer");
    meet(&ben, &dee, &folder, "installer");
    ann.sync();
    ann.call("nameKeeper", json!({"device": dee.id()}));
    ann.sync();
    let keeper = |at: &Device| {
        at.sync();
        let overview = at.call("overview", json!({}));
        let crews = overview["crews"].as_array().unwrap().clone();
        let crew = crews.into_iter().find(|c| c["current"] == true).unwrap();
        let members = crew["members"].as_array().unwrap().clone();
        let member = members.into_iter().find(|m| m["device"] == dee.id());
        member.unwrap()["keeper"] == true
    };
    assert!(keeper(&ann) && keeper(&ben) && keeper(&dee));
}
