//! What only a folder on a disk can show: opening it, drafts left behind, and where it fails.
#![cfg(unix)]

use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;

use sync::{FolderStore, Put, SharedStore, SyncError};

const ANN: &str = "annaaaaaaaaaaaaaaaaaaaaaa2";
const BEN: &str = "benaaaaaaaaaaaaaaaaaaaaaa2";

fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

#[test]
fn a_missing_folder_is_not_made() {
    let dir = tempfile::tempdir().unwrap();
    let missing = dir.path().join("gone");
    let Err(error) = FolderStore::open(&missing, ANN) else {
        panic!("opened a missing folder")
    };
    assert!(matches!(error, SyncError::NoFolder));
    assert!(
        error
            .to_string()
            .contains("Everything is kept on this device")
    );
    assert!(!missing.exists());
    let file = dir.path().join("file");
    fs::write(&file, b"x").unwrap();
    assert!(matches!(
        FolderStore::open(&file, ANN),
        Err(SyncError::NoFolder)
    ));
}

#[test]
fn the_folder_itself_may_be_reached_by_a_link() {
    let dir = tempfile::tempdir().unwrap();
    fs::create_dir(dir.path().join("real")).unwrap();
    symlink(dir.path().join("real"), dir.path().join("link")).unwrap();
    let store = FolderStore::open(&dir.path().join("link"), ANN).unwrap();
    assert_eq!(store.put_new("tautbook.json", b"{}").unwrap(), Put::Created);
    assert!(dir.path().join("real/tautbook.json").is_file());
}

#[test]
fn only_own_drafts_are_removed() {
    let dir = tempfile::tempdir().unwrap();
    let tmp = dir.path().join("tmp");
    fs::create_dir(&tmp).unwrap();
    for name in [format!("{ANN}-01"), format!("{BEN}-02"), "other".to_owned()] {
        fs::write(tmp.join(name), b"cut").unwrap();
    }
    fs::create_dir(tmp.join(format!("{ANN}-folder"))).unwrap();
    FolderStore::open(dir.path(), ANN).unwrap();
    let left = [
        format!("{ANN}-folder"),
        format!("{BEN}-02"),
        "other".to_owned(),
    ];
    assert_eq!(names(&tmp), left);
}

#[test]
fn a_file_where_drafts_should_lie_stops_publishing_and_nothing_else() {
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("tmp"), b"in the way").unwrap();
    fs::create_dir(dir.path().join("log")).unwrap();
    fs::write(dir.path().join("log/a.seg"), b"a").unwrap();
    let store = FolderStore::open(dir.path(), ANN).unwrap();
    let error = store.put_new("log/b.seg", b"b").unwrap_err();
    assert!(matches!(error, SyncError::Permanent { .. }), "{error}");
    assert_eq!(store.get("log/a.seg", 10).unwrap(), b"a");
    assert_eq!(names(&dir.path().join("log")), ["a.seg"]);
    assert_eq!(fs::read(dir.path().join("tmp")).unwrap(), b"in the way");
}

#[test]
fn drafts_are_not_written_through_a_link() {
    let dir = tempfile::tempdir().unwrap();
    let (root, outside) = (dir.path().join("shared"), dir.path().join("outside"));
    fs::create_dir(&root).unwrap();
    fs::create_dir(&outside).unwrap();
    symlink(&outside, root.join("tmp")).unwrap();
    fs::write(outside.join(format!("{ANN}-01")), b"not ours").unwrap();
    let store = FolderStore::open(&root, ANN).unwrap();
    let error = store.put_new("log/b.seg", b"b").unwrap_err();
    assert!(matches!(error, SyncError::Permanent { .. }), "{error}");
    assert_eq!(names(&outside), [format!("{ANN}-01")]);
}

#[test]
fn a_folder_that_goes_away_is_no_loss() {
    let dir = tempfile::tempdir().unwrap();
    let root = dir.path().join("shared");
    fs::create_dir(&root).unwrap();
    let store = FolderStore::open(&root, ANN).unwrap();
    store.put_new("log/a.seg", b"a").unwrap();
    fs::remove_dir_all(&root).unwrap();
    let error = store.put_new("log/b.seg", b"b").unwrap_err();
    assert!(error.is_temporary(), "{error}");
    assert!(store.list("log").unwrap_err().is_not_found());
}

#[test]
fn a_device_without_a_valid_id_opens_nothing() {
    let dir = tempfile::tempdir().unwrap();
    for bad in ["", "../x", "ANN", "ann"] {
        assert!(FolderStore::open(dir.path(), bad).is_err(), "{bad:?}");
    }
}
