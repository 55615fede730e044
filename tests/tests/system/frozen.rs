//! Records and shared folders of earlier versions: every version must read them to the same state.

use std::collections::{BTreeMap, BTreeSet};
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use records::Record;
use records::clock::SystemClock;
use serde_json::Value;
use sync::FolderStore;

pub(crate) fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures")
}

pub(crate) fn copy(from: &Path, to: &Path) {
    fs::create_dir_all(to).unwrap();
    for item in fs::read_dir(from).unwrap() {
        let item = item.unwrap();
        let target = to.join(item.file_name());
        if item.file_type().unwrap().is_dir() {
            copy(&item.path(), &target);
        } else {
            fs::copy(item.path(), target).unwrap();
        }
    }
}

fn expected(name: &str) -> BTreeMap<String, String> {
    let expected = fixtures().join("book").join(name).join("expected.json");
    let text = fs::read_to_string(expected).unwrap();
    let value: Value = serde_json::from_str(&text).unwrap();
    serde_json::from_value(value["stateHashes"].clone()).unwrap()
}

pub(crate) fn hashes(record: &Record) -> BTreeMap<String, String> {
    record
        .state_hashes()
        .unwrap()
        .into_iter()
        .map(|h| (h.book.to_string(), h.hash.to_string()))
        .collect()
}

/// What every version reads: the worked job, and everything that could be said, at first and with what stands
/// beside it since: ends without a thread, gates, treads that overhang, holes aside; marks on pictures.
const FROZEN: [&str; 4] = ["v1", "v1-whole", "v1-more", "v1-marks"];

#[test]
fn the_journals_of_version_1_read_to_the_state_they_had() {
    for name in FROZEN {
        let dir = tempfile::tempdir().unwrap();
        copy(
            &fixtures().join("book").join(name).join("journal"),
            &dir.path().join("journal"),
        );
        let record = Record::open(dir.path(), Arc::new(SystemClock)).unwrap();
        assert_eq!(hashes(&record), expected(name), "{name}");
    }
}

#[test]
fn every_field_that_is_known_stands_in_a_frozen_journal() {
    let mut there = BTreeSet::new();
    for name in FROZEN {
        let journal = fixtures().join("book").join(name).join("journal");
        for file in fs::read_dir(journal).unwrap() {
            for line in fs::read_to_string(file.unwrap().path()).unwrap().lines() {
                let body = line.split_once(' ').unwrap().1;
                let body: Value = serde_json::from_str(body).unwrap();
                there.insert(body["kind"].as_str().unwrap().to_owned());
            }
        }
    }
    let missing: Vec<String> = records::model::fields::ALL
        .iter()
        .map(|f| format!("{}.{}", f.subject.word(), f.name))
        .filter(|kind| !there.contains(kind))
        .collect();
    // One that is new since is frozen with the form that brings it.
    assert_eq!(missing, Vec::<String>::new());
}

/// A folder that the frozen one was taken in from, and what the exchange told.
fn taken_in(name: &str) -> (tempfile::TempDir, Mutex<Record>, sync::Report) {
    let dir = tempfile::tempdir().unwrap();
    let (data, shared) = (dir.path().join("data"), dir.path().join("shared"));
    copy(&fixtures().join("folder").join(name), &shared);
    fs::create_dir_all(&data).unwrap();
    let key = fixtures().join(format!("folder/{name}-office.key"));
    fs::copy(key, data.join("device.key")).unwrap();
    let record = Mutex::new(Record::open(&data, Arc::new(SystemClock)).unwrap());
    let device = record.lock().unwrap().device().to_string();
    let store = FolderStore::open(&shared, &device).unwrap();
    let founding = sync::read_founding(&store).unwrap();
    let key = record.lock().unwrap().signer().public();
    assert_eq!(key.device().to_string(), device);
    let digits = records::admission::digits(&founding.founding.parse().unwrap(), &key).unwrap();
    sync::confirm(&store, &record, &digits).unwrap();
    let report = sync::exchange(&store, &record, &all_jobs()).unwrap();
    let again = sync::exchange(&store, &record, &all_jobs()).unwrap();
    assert_eq!(again.new_entries, 0);
    assert!(
        again.published.is_empty(),
        "a second exchange does nothing: {again:?}"
    );
    (dir, record, report)
}

fn all_jobs() -> sync::Options<'static> {
    sync::Options {
        all_jobs: true,
        ..sync::Options::default()
    }
}

/// The crew's book and the job's, as they were frozen; a device's own first crew never went into the folder.
fn holds(record: &Mutex<Record>, name: &str) {
    let found = hashes(&record.lock().unwrap());
    let known: BTreeMap<String, String> = expected(name)
        .into_iter()
        .filter(|(book, _)| found.contains_key(book))
        .collect();
    assert_eq!(found, known, "{name}");
    assert_eq!(found.len(), 2, "{name}: the crew's book and the job's");
}

#[test]
fn the_folder_of_version_1_with_everything_is_taken_in_with_its_pictures() {
    for name in ["v1-whole", "v1-more", "v1-marks"] {
        let (_dir, record, report) = taken_in(name);
        assert!(
            report.faults.is_empty() && report.aside.is_empty() && report.waiting.is_empty(),
            "{report:?}"
        );
        holds(&record, name);
    }
}

#[test]
fn the_folder_of_version_1_is_taken_in_to_the_state_it_had() {
    let (_dir, record, report) = taken_in("v1");
    // Its own picture is neither here nor in the fixture, and that is told.
    let gone = |fault: &sync::Fault| fault.message.contains("gone or cut here");
    assert!(
        report.faults.iter().all(gone) && report.faults.len() == 1 && report.aside.is_empty(),
        "{report:?}"
    );
    assert!(
        report.waiting.iter().any(|w| w.count > 0),
        "its pictures are not in the fixture"
    );

    holds(&record, "v1");
}
