//! Pictures, documents and handovers from the command line, and arguments that are not understood.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::{Value, json};

fn run(arguments: &[&str]) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_tautbook"));
    command.args(arguments).env_remove("TAUTBOOK_DATA");
    command.output().unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn told(arguments: &[&str]) -> Value {
    let output = run(&[arguments, &["--json"]].concat());
    assert_eq!(code(&output), 0, "{arguments:?}: {output:?}");
    serde_json::from_slice(&output.stdout).unwrap()
}

/// A data folder with one job.
fn with_job(dir: &Path) -> String {
    let data = dir.join("ann").to_str().unwrap().to_owned();
    told(&[
        "found", "--crew", "Reef", "--person", "Ann", "--data", &data,
    ]);
    let job = json!({"title": "Deck", "place": "an island"}).to_string();
    told(&["call", "beginJob", &job, "--data", &data]);
    data
}

#[test]
fn arguments_that_are_not_understood_are_json_where_json_is_asked_for() {
    for arguments in [&["sync", "--nonsense"][..], &["fly"], &["share"], &[]] {
        let output = run(&[arguments, &["--json"]].concat());
        assert_eq!(code(&output), 2, "{arguments:?}: {output:?}");
        let fault: Value = serde_json::from_slice(&output.stderr).unwrap();
        assert_eq!(fault["error"]["code"], "invalid", "{arguments:?}");
        let message = fault["error"]["message"].as_str().unwrap();
        assert!(
            message.len() > 10 && !message.starts_with("error"),
            "{message}"
        );
        let plain = run(arguments);
        assert_eq!(code(&plain), 2, "{arguments:?}");
        assert!(serde_json::from_slice::<Value>(&plain.stderr).is_err());
    }
    let help = run(&["--help", "--json"]);
    assert_eq!((code(&help), help.stderr.len()), (0, 0));
}

#[test]
fn pictures_and_documents_are_added_from_files() {
    let dir = tempfile::tempdir().unwrap();
    let data = with_job(dir.path());
    let photos = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/photos");
    let picture = photos.join("orientation-1.jpg");
    let picture = picture.to_str().unwrap();
    let added = told(&[
        "photo",
        "add",
        picture,
        "--caption",
        "The corner",
        "--data",
        &data,
    ]);
    let subject = added["created"].as_str().unwrap();
    assert!(subject.starts_with("photo:"), "{added}");
    // Kept all the same, and no success: a script is to look at what it was told.
    for (doubtful, word) in [
        ("nonsense-time.jpg", "not a date and time"),
        ("nonsense-gps.jpg", "not a place on earth"),
        ("huge-header.jpg", "can't be shown"),
        ("png-named.jpg", "png"),
    ] {
        let file = photos.join(doubtful);
        let added = run(&["photo", "add", file.to_str().unwrap(), "--data", &data]);
        let said = String::from_utf8_lossy(&added.stdout).to_lowercase();
        assert_eq!(code(&added), 1, "{added:?}");
        assert!(said.contains("remarks") && said.contains(word), "{said}");
    }
    let letter = dir.path().join("letter.txt");
    std::fs::write(&letter, "a letter").unwrap();
    let letter = letter.to_str().unwrap();
    told(&["document", "add", letter, "--job", "Deck", "--data", &data]);
    let state = told(&["state", "--data", &data]).to_string();
    assert!(state.contains("The corner") && state.contains("letter.txt"));
    let heic = dir.path().join("a.heic");
    std::fs::write(&heic, b"\0\0\0\x18ftypheic\0\0\0\0heicmif1").unwrap();
    let refused = run(&["photo", "add", heic.to_str().unwrap(), "--data", &data]);
    assert_eq!(code(&refused), 2, "{refused:?}");
    let missing = run(&["photo", "add", "/nowhere/a.jpg", "--data", &data]);
    assert_eq!(code(&missing), 4, "{missing:?}");
}

#[test]
fn a_handover_tells_its_crew_by_a_hash_and_is_no_success_without_its_signature() {
    let dir = tempfile::tempdir().unwrap();
    let data = with_job(dir.path());
    let out = dir.path().join("out");
    let out_text = out.to_str().unwrap();
    told(&["handover", "--out", out_text, "--data", &data]);
    let found = told(&["verify", "--handover", out_text]);
    let crew = found["crew"].as_str().unwrap();
    let overview = told(&["call", "overview", "--data", &data]);
    assert_eq!(found["device"], overview["device"]);
    assert_eq!(found["crewCompared"], false);
    let state = told(&["state", "--data", &data]);
    assert_eq!(state["state"]["founding"], crew);
    let people = run(&["verify", "--handover", out_text]);
    let people = String::from_utf8(people.stdout).unwrap();
    assert!(
        people.contains("--crew") && people.contains(crew),
        "{people}"
    );
    let same = told(&["verify", "--handover", out_text, "--crew", crew]);
    assert_eq!(same["crewCompared"], true);
    let refused = |arguments: &[&str], exit: i32, kind: &str| {
        let output = run(arguments);
        assert_eq!(code(&output), exit, "{output:?}");
        let words = String::from_utf8(output.stderr).unwrap();
        assert!(words.contains(kind), "{words}");
    };
    let other = "ab".repeat(32);
    refused(
        &["verify", "--handover", out_text, "--crew", &other],
        1,
        "otherCrew",
    );
    refused(
        &["verify", "--handover", out_text, "--crew", "Reef"],
        2,
        "64 hex digits",
    );
    std::fs::remove_file(out.join("SHA256SUMS.sig")).unwrap();
    refused(&["verify", "--handover", out_text], 1, "notSigned");
}
