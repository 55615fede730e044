//! Records and shared folders of earlier versions: every version must read them to the same state.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use records::Record;
use records::clock::SystemClock;
use serde_json::Value;
use sync::FolderStore;

fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures")
}

fn copy(from: &Path, to: &Path) {
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

fn expected() -> BTreeMap<String, String> {
    let text = fs::read_to_string(fixtures().join("book/v1/expected.json")).unwrap();
    let value: Value = serde_json::from_str(&text).unwrap();
    serde_json::from_value(value["stateHashes"].clone()).unwrap()
}

fn hashes(record: &Record) -> BTreeMap<String, String> {
    record
        .state_hashes()
        .unwrap()
        .into_iter()
        .map(|h| (h.book.to_string(), h.hash.to_string()))
        .collect()
}

#[test]
fn the_journal_of_version_1_reads_to_the_state_it_had() {
    let dir = tempfile::tempdir().unwrap();
    copy(
        &fixtures().join("book/v1/journal"),
        &dir.path().join("journal"),
    );
    let record = Record::open(dir.path(), Arc::new(SystemClock)).unwrap();
    assert_eq!(hashes(&record), expected());
}

#[test]
fn the_folder_of_version_1_is_taken_in_to_the_state_it_had() {
    let dir = tempfile::tempdir().unwrap();
    let (data, shared) = (dir.path().join("data"), dir.path().join("shared"));
    copy(&fixtures().join("folder/v1"), &shared);
    fs::create_dir_all(&data).unwrap();
    fs::copy(
        fixtures().join("folder/v1-office.key"),
        data.join("device.key"),
    )
    .unwrap();
    let record = Mutex::new(Record::open(&data, Arc::new(SystemClock)).unwrap());
    let device = record.lock().unwrap().device().to_string();
    let store = FolderStore::open(&shared, &device).unwrap();
    let founding = sync::read_founding(&store).unwrap();
    let key = record.lock().unwrap().signer().public();
    assert_eq!(key.device().to_string(), device);
    let digits = records::admission::digits(&founding.founding.parse().unwrap(), &key).unwrap();
    sync::confirm(&store, &record, &digits).unwrap();
    let options = sync::Options {
        all_jobs: true,
        ..sync::Options::default()
    };
    let report = sync::exchange(&store, &record, &options).unwrap();
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

    // The office's own first crew never went into the folder.
    let found = hashes(&record.lock().unwrap());
    let known: BTreeMap<String, String> = expected()
        .into_iter()
        .filter(|(book, _)| found.contains_key(book))
        .collect();
    assert_eq!(found, known);
    assert_eq!(found.len(), 2, "the crew's book and the job's");

    let again = sync::exchange(&store, &record, &options).unwrap();
    assert_eq!(again.new_entries, 0);
    assert!(
        again.published.is_empty(),
        "a second exchange does nothing: {again:?}"
    );
}
