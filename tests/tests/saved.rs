//! Saved means on disk: a program that is killed at any moment loses nothing that it answered.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod devices;

use std::io::{BufRead, BufReader};
use std::ops::ControlFlow;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use devices::Device;

const CHILD: &str = "TAUTBOOK_TEST_KILLED";
const ROUNDS: u32 = 12;

/// Says one note after the other and tells of each after it was answered, until it is killed.
fn say_until_killed(data: &Path) {
    let ann = Device::at(data, "Ann").unwrap();
    let jobs = ann.call("overview", serde_json::json!({}));
    let job = jobs["jobs"][0]["job"].as_str().unwrap().to_owned();
    let before = ann.notes(&job).len();
    for number in before..before + 10_000 {
        ann.note(&job, &format!("{number:06}")).unwrap();
        println!("saved {number}");
    }
}

/// Runs this test again as another process, kills it after some notes, and tells how many notes
/// were answered in all.
fn kill_one(data: &Path, round: u32) -> usize {
    let mut child = Command::new(std::env::current_exe().unwrap())
        .args([
            "--exact",
            "a_killed_program_loses_nothing_that_it_answered",
            "--nocapture",
        ])
        .env(CHILD, data)
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    let mut lines = BufReader::new(child.stdout.take().unwrap()).lines();
    let mut saved = 0;
    let mut note = |line: String| {
        // The test runner's own words may stand before it on the line.
        if let Some((_, number)) = line.split_once("saved ") {
            saved = number.trim().parse::<usize>().unwrap() + 1;
        }
        saved
    };
    for line in lines.by_ref().take(4 + round as usize % 3) {
        note(line.unwrap());
    }
    // Another moment within an act each time.
    let until = Instant::now() + Duration::from_micros(u64::from(round) * 173);
    while Instant::now() < until {}
    child.kill().unwrap();
    child.wait().unwrap();
    for line in lines {
        note(line.unwrap());
    }
    saved
}

#[test]
fn a_killed_program_loses_nothing_that_it_answered() {
    if let Some(data) = std::env::var_os(CHILD) {
        say_until_killed(Path::new(&data));
        panic!("nobody ended this process");
    }
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("ann");
    let job = Device::at(&data, "Ann").unwrap().begin_job();
    let mut last = 0;
    for round in 0..ROUNDS {
        let answered = kill_one(&data, round);
        assert!(answered > last, "round {round}: nothing was said");
        let looked =
            api::handlers::verify::closed_data(&data, &|_, _, _| ControlFlow::Continue(()));
        // An act that was cut off is no loss: it was never answered.
        assert!(looked.is_ok() || looked.unwrap_err().message.starts_with("torn: "));
        let ann = Device::at(&data, "Ann").unwrap();
        let notes = ann.notes(&job);
        let wanted: Vec<String> = (0..notes.len())
            .map(|number| format!("{number:06}"))
            .collect();
        assert_eq!(notes, wanted, "round {round}");
        // The act that was under way may have been saved without having been answered.
        assert!(
            notes.len() == answered || notes.len() == answered + 1,
            "{} of {answered}",
            notes.len()
        );
        last = notes.len();
    }
}
