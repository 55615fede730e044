//! Data folders that another process holds, that a newer version wrote, or whose index is made anew:
//! what is said of them, and the exit code.

use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

fn tautbook(arguments: &[&str], data: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tautbook"));
    command.args(arguments).arg("--data").arg(data);
    command.env_remove("TAUTBOOK_DATA");
    command
}

fn run(arguments: &[&str], data: &Path) -> Output {
    tautbook(arguments, data).output().unwrap()
}

/// A folder with a crew and a job.
fn with_job(data: &Path) {
    let job = r#"{"title":"Deck","place":"an island"}"#;
    for arguments in [
        &["found", "--crew", "Reef", "--person", "Ann"][..],
        &["call", "beginJob", job],
    ] {
        let output = run(arguments, data);
        assert_eq!(output.status.code(), Some(0), "{output:?}");
    }
}

/// What was refused, told on standard error alone.
fn refused(arguments: &[&str], data: &Path, code: i32) -> String {
    as_refused(&run(arguments, data), code)
}

fn as_refused(output: &Output, code: i32) -> String {
    assert_eq!(output.status.code(), Some(code), "{output:?}");
    assert!(output.stdout.is_empty(), "{output:?}");
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn a_folder_that_another_process_holds_ends_with_three() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("ann");
    with_job(&data);
    let mut held = tautbook(&["serve", "--json"], &data)
        .current_dir(dir.path())
        .stdout(Stdio::piped())
        .spawn()
        .unwrap();
    let mut line = String::new();
    let read = BufReader::new(held.stdout.take().unwrap()).read_line(&mut line);
    let tried = [&["state"][..], &["rebuild"], &["verify"]].map(|arguments| run(arguments, &data));
    // Before anything is asserted: one that went on would hold the pipes of the whole test.
    held.kill().unwrap();
    held.wait().unwrap();
    assert!(read.unwrap() > 0);
    for output in tried {
        let told = as_refused(&output, 3);
        assert!(told.contains("another"), "{told}");
    }
    let after = run(&["state"], &data);
    assert_eq!(after.status.code(), Some(0), "{after:?}");
}

#[test]
fn a_folder_of_a_newer_version_ends_with_five_and_stays_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("ann");
    with_job(&data);
    let index = data.join("index.db");
    let mut bytes = std::fs::read(&index).unwrap();
    // The header of an SQLite file holds the user version at byte 60, big-endian
    // (https://www.sqlite.org/fileformat2.html, 1.3).
    bytes[60..64].copy_from_slice(&99_u32.to_be_bytes());
    std::fs::write(&index, &bytes).unwrap();
    for arguments in [&["state"][..], &["rebuild"], &["verify"]] {
        let told = refused(arguments, &data, 5);
        assert!(told.contains("index.db is of form 99"), "{told}");
    }
    assert_eq!(std::fs::read(&index).unwrap(), bytes);
}

#[test]
fn rebuild_makes_the_index_anew_and_tells_the_state_before_and_after() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("ann");
    with_job(&data);
    let index = data.join("index.db");
    // Something that no index made anew has.
    let db = rusqlite::Connection::open(&index).unwrap();
    db.execute_batch("CREATE TABLE left_behind (x)").unwrap();
    drop(db);
    let output = run(&["rebuild", "--json"], &data);
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    let (before, after) = (&told["before"], &told["after"]);
    assert!(!before.as_array().unwrap().is_empty(), "{told}");
    assert_eq!(before, after);
    let db = rusqlite::Connection::open(&index).unwrap();
    let left = "SELECT count(*) FROM sqlite_master WHERE name = 'left_behind'";
    let left: i64 = db.query_row(left, [], |row| row.get(0)).unwrap();
    assert_eq!(left, 0);
}

#[test]
fn a_job_whose_entries_are_damaged_is_told_and_is_no_success() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("ann");
    with_job(&data);
    let note = r#"{"job":"JOB","claims":[{"subject":"job:JOB","field":"note","value":"the post is plumb"}]}"#;
    let jobs: Value =
        serde_json::from_slice(&run(&["call", "overview", "{}"], &data).stdout).unwrap();
    let note = note.replace("JOB", jobs["jobs"][0]["job"].as_str().unwrap());
    let said = run(&["call", "say", &note], &data);
    assert_eq!(said.status.code(), Some(0), "{said:?}");
    let other = r#"{"title":"Stair","place":"an island"}"#;
    let other = run(&["call", "beginJob", other], &data);
    assert_eq!(other.status.code(), Some(0), "{other:?}");
    let deck = &["state", "--job", "Deck", "--json"];
    let whole = run(deck, &data);
    assert_eq!(whole.status.code(), Some(0), "{whole:?}");

    let journal = data.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    std::fs::write(&journal, text.replace("is plumb", "is crook")).unwrap();
    assert_eq!(run(&["rebuild"], &data).status.code(), Some(1));
    let left = run(deck, &data);
    assert_eq!(left.status.code(), Some(1), "{left:?}");
    // Another job of the folder is whole.
    let other = run(&["state", "--job", "Stair"], &data);
    assert_eq!(other.status.code(), Some(0), "{other:?}");
    let state: Value = serde_json::from_slice(&left.stdout).unwrap();
    let before: Value = serde_json::from_slice(&whole.stdout).unwrap();
    assert_ne!(state["hash"], before["hash"]);
    let told = String::from_utf8(left.stderr).unwrap();
    assert!(
        told.contains("1 entry that was saved here does not count any more"),
        "{told}"
    );
    assert!(told.contains("The answer above leaves them out."), "{told}");

    std::fs::write(&journal, text).unwrap();
    // What came back by hand is news to the index.
    let again = run(&["rebuild"], &data);
    let told = String::from_utf8_lossy(&again.stdout);
    assert!(told.contains("same: no"), "{again:?}");
    let again = run(deck, &data);
    assert_eq!((again.status.code(), again.stdout), (Some(0), whole.stdout));
}
