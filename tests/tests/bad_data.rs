//! Data folders that refuse, are full, taken, newer or damaged: each is said with what to do, and
//! nothing is half saved.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod devices;
mod full;

use std::fs;
use std::ops::ControlFlow;
use std::path::Path;
use std::sync::{Mutex, MutexGuard, PoisonError};

use api::{ApiError, App, ErrorCode};
use devices::{Device, Disk, files};
use serde_json::json;

/// One test at a time: a process that another test starts holds every open lock for the moment
/// until it has become `mount`, and a folder closed in that moment would still be taken.
fn alone() -> MutexGuard<'static, ()> {
    static ONE: Mutex<()> = Mutex::new(());
    ONE.lock().unwrap_or_else(PoisonError::into_inner)
}

fn refused(data: &Path) -> ApiError {
    match App::open(data) {
        Ok(_) => panic!("{} opened", data.display()),
        Err(error) => error,
    }
}

fn look(data: &Path) -> Result<serde_json::Value, ApiError> {
    api::handlers::verify::closed_data(data, &|_, _, _| ControlFlow::Continue(()))
}

#[test]
fn a_folder_that_can_not_be_made_says_what_to_do() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("a-file");
    fs::write(&file, "x").unwrap();
    for data in [file.clone(), file.join("data")] {
        let error = refused(&data);
        assert_eq!(error.code, ErrorCode::Storage, "{error:?}");
        assert!(error.message.contains("choose another folder"), "{error:?}");
    }
    assert_eq!(files(dir.path()), [(file, b"x".to_vec())]);
}

#[test]
fn a_read_only_folder_is_refused_and_can_still_be_looked_over_elsewhere() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let disk = Disk::new(dir.path().join("disk"), "16m");
    let data = disk.path.join("ann");
    let ann = Device::at(&data, "Ann").unwrap();
    let job = ann.begin_job();
    ann.note(&job, "before").unwrap();
    drop(ann);
    disk.read_only(true);
    let before = files(&data);
    let error = refused(&data);
    assert_eq!(error.code, ErrorCode::Storage, "{error:?}");
    assert!(error.message.contains("may not be written"), "{error:?}");
    // Looking over needs no writing, with a lock there and without.
    assert_eq!(look(&data).unwrap()["crews"], 1);
    assert_eq!(files(&data), before);
    disk.read_only(false);
    fs::remove_file(data.join("lock")).unwrap();
    disk.read_only(true);
    assert_eq!(look(&data).unwrap()["crews"], 1);
    disk.read_only(false);
    let ann = Device::at(&data, "Ann").unwrap();
    assert_eq!(ann.notes(&job), ["before"]);
}

#[test]
fn a_folder_on_a_disk_that_turned_read_only_is_not_kept_as_the_shared_one() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let disk = Disk::new(dir.path().join("disk"), "16m");
    let folder = disk.path.join("shared");
    fs::create_dir(&folder).unwrap();
    // The data folder itself can't be tried so: a file that is open for writing keeps a disk from
    // being made read-only.
    let ann = Device::new(dir.path(), "ann");
    disk.read_only(true);
    let error = ann
        .try_call("share", json!({"folder": folder.to_str().unwrap()}))
        .unwrap_err();
    assert_eq!(error.code, ErrorCode::Storage, "{error:?}");
    assert!(error.message.contains("read-only"), "{error:?}");
    assert!(files(&folder).is_empty());
    let told = ann.call("readExchange", json!({}));
    assert_eq!(
        told["folder"],
        json!(null),
        "a folder that could not be shared is not kept as one"
    );
}

#[test]
fn a_full_disk_refuses_whole_acts_and_what_was_acknowledged_is_all_there() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let disk = Disk::new(dir.path().join("disk"), "1m");
    let data = disk.path.join("ann");
    let ann = Device::at(&data, "Ann").unwrap();
    let job = ann.begin_job();
    let mut acknowledged = Vec::new();
    let mut refusals = 0;
    for number in 0..600 {
        // Long and short ones, so that it is now the journal and now the index that is full.
        let text = format!(
            "{number:04} {}",
            "x".repeat(if number % 3 == 0 { 3000 } else { 1 })
        );
        match ann.note(&job, &text) {
            Ok(_) => acknowledged.push(text),
            Err(error) => {
                refusals += 1;
                assert_eq!(error.code, ErrorCode::Storage, "{error:?}");
                assert!(error.message.contains("make room"), "{error:?}");
            }
        }
        if refusals == 30 {
            break;
        }
    }
    assert_eq!(refusals, 30, "the disk was never full");
    assert!(acknowledged.len() > 5);
    // A picture is refused as a whole, too.
    let bytes = devices::picture(1);
    let upload = ann.app.uploads.add("upload00000000009", 0, &bytes);
    let error = upload.map(|_| ()).and_then(|()| {
        let ask = json!({"job": job, "source": {"kind": "upload", "upload": "upload00000000009", "bytes": bytes.len()}, "name": "a.jpg"});
        ann.try_call("addPhoto", ask).map(|_| ())
    });
    assert_eq!(error.unwrap_err().code, ErrorCode::Storage);

    disk.resize("16m");
    assert_eq!(ann.notes(&job), acknowledged);
    ann.note(&job, "9999 with room again").unwrap();
    acknowledged.push("9999 with room again".into());
    assert_eq!(ann.notes(&job), acknowledged);
    ann.run("startVerify", json!({"what": "data"})).unwrap();
    drop(ann);
    look(&data).unwrap();
    let ann = Device::at(&data, "Ann").unwrap();
    assert_eq!(ann.notes(&job), acknowledged);
    let rebuilt = ann.call("rebuild", json!({}));
    assert_eq!(rebuilt["same"], true);
    let photos = ann.call("readJob", json!({"job": job}))["photos"].clone();
    assert!(photos.as_array().is_none_or(Vec::is_empty), "{photos}");
}

/// The journal has room and the index has none: an act that was refused may not come back later.
#[cfg(unix)]
#[test]
fn an_act_that_only_the_index_refused_leaves_no_trace_in_the_journal() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let disk = Disk::new(dir.path().join("disk"), "1m");
    let ann = Device::new(dir.path(), "ann");
    let job = ann.begin_job();
    let data = ann.app.data().to_owned();
    drop(ann);
    let index = disk.path.join("index.db");
    fs::copy(data.join("index.db"), &index).unwrap();
    fs::remove_file(data.join("index.db")).unwrap();
    std::os::unix::fs::symlink(&index, data.join("index.db")).unwrap();

    let ann = Device::at(&data, "Ann").unwrap();
    let mut acknowledged = Vec::new();
    let mut refusals = 0;
    for number in 0..600 {
        let text = format!("{number:04}");
        match ann.note(&job, &text) {
            Ok(_) => acknowledged.push(text),
            Err(error) => {
                refusals += 1;
                assert_eq!(error.code, ErrorCode::Storage, "{error:?}");
                assert!(error.message.contains("make room"), "{error:?}");
            }
        }
        if refusals == 5 {
            break;
        }
    }
    assert_eq!(refusals, 5, "the index was never full");
    disk.resize("16m");
    assert_eq!(ann.notes(&job), acknowledged);
    ann.call("rebuild", json!({}));
    assert_eq!(ann.notes(&job), acknowledged);
}

#[test]
fn a_folder_in_use_is_told_and_left_alone() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann");
    let data = ann.app.data().to_owned();
    let before = files(&data);
    for error in [refused(&data), look(&data).unwrap_err()] {
        assert_eq!(error.code, ErrorCode::Locked, "{error:?}");
        assert!(error.message.contains("close it there first"), "{error:?}");
    }
    assert_eq!(files(&data), before);
    let job = ann.begin_job();
    ann.note(&job, "goes on").unwrap();
}

#[test]
fn a_folder_of_a_newer_version_is_refused_and_left_alone() {
    let _alone = alone();
    for database in ["index.db", "local.db"] {
        let dir = tempfile::tempdir().unwrap();
        let ann = Device::new(dir.path(), "ann");
        let data = ann.app.data().to_owned();
        drop(ann);
        // The header of an SQLite file holds the user version at byte 60, big-endian
        // (https://www.sqlite.org/fileformat2.html, "1.3 The Database Header").
        let path = data.join(database);
        let mut bytes = fs::read(&path).unwrap();
        bytes[60..64].copy_from_slice(&99_u32.to_be_bytes());
        fs::write(&path, bytes).unwrap();
        let before = files(&data);
        let error = refused(&data);
        assert_eq!(error.code, ErrorCode::Newer, "{database}: {error:?}");
        assert!(error.message.contains("update the program"), "{error:?}");
        assert_eq!(files(&data), before, "{database}");
    }
}

#[test]
fn a_damaged_journal_is_never_shown_as_genuine_and_its_place_is_named() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann");
    let (job, other) = (ann.begin_job(), ann.begin_job());
    ann.note(&job, "the post is plumb").unwrap();
    let data = ann.app.data().to_owned();
    drop(ann);
    let journal = data.join("journal/00000001.jsonl");
    let text = fs::read_to_string(&journal).unwrap();
    fs::write(&journal, text.replace("is plumb", "is crook")).unwrap();
    let fault = look(&data).unwrap_err();
    assert_eq!(fault.code, ErrorCode::Fault);
    assert!(
        fault
            .message
            .starts_with("changed: journal/00000001.jsonl, byte "),
        "{fault:?}"
    );

    let ann = Device {
        app: App::open(&data).unwrap(),
    };
    let error = ann.try_call("readJob", json!({"job": job})).unwrap_err();
    assert_eq!(error.code, ErrorCode::Fault, "{error:?}");
    assert!(error.message.contains("run `rebuild`"), "{error:?}");
    // One damaged job costs neither the list of jobs nor the other ones.
    let jobs = ann.call("overview", json!({}))["jobs"].clone();
    let card = |id: &str| {
        let mut cards = jobs.as_array().unwrap().iter();
        cards.find(|card| card["job"] == id).unwrap().clone()
    };
    let told = card(&job)["trouble"].as_str().unwrap().to_owned();
    assert!(told.contains("the journal is damaged"), "{told}");
    assert!(card(&other).get("trouble").is_none());
    ann.call("readExchange", json!({}));
    ann.note(&other, "goes on").unwrap();
    let error = ann.run("startVerify", json!({"what": "data"})).unwrap_err();
    assert!(error.message.starts_with("changed: "), "{error:?}");
    drop(ann);
    fs::write(&journal, text).unwrap();
    let ann = Device::at(&data, "Ann").unwrap();
    assert_eq!(ann.notes(&job), ["the post is plumb"]);
}

#[test]
fn a_damaged_crew_locks_nobody_out_and_is_told() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann");
    let job = ann.begin_job();
    ann.note(&job, "one").unwrap();
    let data = ann.app.data().to_owned();
    drop(ann);
    let journal = data.join("journal/00000001.jsonl");
    let text = fs::read_to_string(&journal).unwrap();
    let (first, rest) = text.split_once('\n').unwrap();
    let damaged = first.replacen("\"closes\"", "\"closed\"", 1);
    let damaged = damaged.replacen("\"role\":\"surveyor\"", "\"role\":\"surveyer\"", 1);
    assert_ne!(damaged, first);
    fs::write(&journal, format!("{damaged}\n{rest}")).unwrap();

    let ann = Device {
        app: App::open(&data).unwrap(),
    };
    let told = ann.call("overview", json!({}));
    let trouble = |value: &serde_json::Value| value["trouble"].as_str().unwrap().to_owned();
    assert!(
        trouble(&told["crews"][0]).contains("run `rebuild`"),
        "{told}"
    );
    assert!(
        trouble(&told["jobs"][0]).contains("run `rebuild`"),
        "{told}"
    );
    assert!(told["person"].is_string(), "this is no first start: {told}");
    for refused in [
        ann.try_call("readJob", json!({"job": job})),
        ann.note(&job, "two"),
    ] {
        assert_eq!(refused.unwrap_err().code, ErrorCode::Fault);
    }
    // The advice can be followed, and tells that the state is another one.
    assert_eq!(ann.call("rebuild", json!({}))["same"], false);
    drop(ann);
    assert_eq!(look(&data).unwrap_err().code, ErrorCode::Fault);
    fs::write(&journal, text).unwrap();
    let ann = Device {
        app: App::open(&data).unwrap(),
    };
    ann.call("rebuild", json!({}));
    assert_eq!(ann.notes(&job), ["one"]);
}

#[test]
fn a_journal_that_is_gone_is_told_and_no_other_begins_in_its_place() {
    let _alone = alone();
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann");
    let job = ann.begin_job();
    ann.note(&job, "one").unwrap();
    let data = ann.app.data().to_owned();
    drop(ann);
    let journal = data.join("journal/00000001.jsonl");
    let text = fs::read(&journal).unwrap();
    fs::remove_file(&journal).unwrap();
    let before = files(&data);
    for index in [true, false] {
        if !index {
            fs::remove_file(data.join("index.db")).unwrap();
        }
        let error = refused(&data);
        assert_eq!(error.code, ErrorCode::Fault, "{error:?}");
        assert!(error.message.contains("rebuild --local"), "{error:?}");
        assert!(!journal.exists());
        assert!(look(&data).unwrap_err().message.starts_with("missing: "));
    }
    let index = |(path, _): &(std::path::PathBuf, _)| path.ends_with("index.db");
    let rest: Vec<_> = before.into_iter().filter(|file| !index(file)).collect();
    assert_eq!(files(&data), rest);
    // An empty file in its place is no journal either.
    fs::write(&journal, "").unwrap();
    assert_eq!(refused(&data).code, ErrorCode::Fault);
    assert!(look(&data).unwrap_err().message.starts_with("missing: "));
    fs::write(&journal, text).unwrap();
    let ann = Device::at(&data, "Ann").unwrap();
    assert_eq!(ann.notes(&job), ["one"]);
    drop(ann);
    // On a person's word a record begins anew.
    fs::remove_file(&journal).unwrap();
    let kept = App::set_local_aside(&data).unwrap();
    assert!(kept.is_file());
    let ann = Device::at(&data, "Ann").unwrap();
    ann.begin_job();
}
