//! `tautbook survey import` as a script meets it: what is printed, and the exit code.

use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

fn fixture(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("../../fixtures")
        .join(name);
    path.to_str().unwrap().to_owned()
}

fn tautbook(data: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_tautbook"))
        .args(arguments)
        .env("TAUTBOOK_DATA", data)
        .output()
        .unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

#[test]
fn exit_codes_tell_what_became_of_a_survey() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    let found = tautbook(&data, &["found", "--crew", "Reef", "--person", "Ann"]);
    assert_eq!(code(&found), 0, "{found:?}");
    let import = |name: &str, more: &[&str]| {
        let path = fixture(name);
        let mut arguments = vec!["survey", "import", &path];
        arguments.extend(more);
        tautbook(&data, &arguments)
    };
    for (name, expected) in [
        ("survey-bad/empty.json", 2),
        ("survey-bad/cut.json", 2),
        ("survey-bad/newer-format.json", 5),
        ("survey-bad/missing.json", 4),
        // No job is here yet that the table could belong to.
        ("demo/lengths.csv", 1),
        ("demo/survey.json", 0),
        ("demo/lengths.csv", 0),
        ("survey-bad/many-problems.csv", 1),
    ] {
        let output = import(name, &[]);
        assert_eq!(code(&output), expected, "{name}: {output:?}");
        assert_eq!(output.stderr.is_empty(), expected == 0, "{name}");
    }
    let lengths = dir.path().join("odd.csv");
    let header = "run;wire;length;unit;purpose;posts;faces;instrument\n";
    let odd = format!("{header}A;2;287,25;mm;cut;insertsIn;insertFaces;tape\n");
    std::fs::write(&lengths, odd).unwrap();
    let lengths = lengths.to_str().unwrap();
    let asked = tautbook(&data, &["survey", "import", lengths]);
    assert_eq!(code(&asked), 6, "{asked:?}");
    let told = String::from_utf8(asked.stdout).unwrap();
    assert!(told.contains("line 2, length: questioned: "), "{told}");
    let said = tautbook(&data, &["survey", "import", lengths, "--yes", "--json"]);
    let told: Value = serde_json::from_slice(&said.stdout).unwrap();
    assert_eq!(told["recorded"]["lengths"], 1, "{told:#}");
    assert_eq!(
        (&told["refused"], &told["questioned"]),
        (&0.into(), &0.into())
    );
    assert_eq!(code(&said), 0, "{told:#}");
}

#[test]
fn a_call_by_name_ends_with_the_same_code() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    tautbook(&data, &["found", "--crew", "Reef", "--person", "Ann"]);
    // The last is of a job that the first has begun.
    for (name, expected) in [
        ("survey-bad/many-problems.json", 1),
        ("survey-bad/cut.json", 2),
        ("demo/survey.json", 2),
    ] {
        let request = serde_json::json!({"source": {"kind": "file", "path": fixture(name)}});
        let output = tautbook(&data, &["call", "startImport", &request.to_string()]);
        assert_eq!(code(&output), expected, "{name}: {output:?}");
    }
}

#[test]
fn each_problem_is_one_line_with_its_path() {
    let dir = tempfile::tempdir().unwrap();
    tautbook(dir.path(), &["found", "--crew", "Reef", "--person", "Ann"]);
    let path = fixture("survey-bad/many-problems.json");
    let output = tautbook(dir.path(), &["survey", "import", &path]);
    assert_eq!(code(&output), 1);
    let told = String::from_utf8(output.stdout).unwrap();
    for start in [
        "runs[0].posts[2].position: refused: -200 mm is outside the run",
        "lengths[4].length: questioned: 287.4 mm",
        "weather: ignored: ",
        "runs[2]: noted: has 0 of the two anchors",
    ] {
        assert!(
            told.lines().any(|line| line.starts_with(start)),
            "{start}\n{told}"
        );
    }
}

#[test]
fn long_work_shows_how_far_it_is_on_a_terminal_and_nowhere_else() {
    let dir = tempfile::tempdir().unwrap();
    let data = dir.path().join("data");
    tautbook(&data, &["found", "--crew", "Reef", "--person", "Ann"]);
    let survey = fixture("demo/survey.json");
    let typed = format!(
        "{} --data {} survey import {survey}",
        env!("CARGO_BIN_EXE_tautbook"),
        data.display()
    );
    // `script` (bsdutils) gives the program a terminal.
    let shown = Command::new("script")
        .args(["-qec", &typed, "/dev/null"])
        .output()
        .unwrap();
    let shown = String::from_utf8_lossy(&shown.stdout).into_owned();
    assert!(shown.contains("recorded: "), "{shown}");
    assert!(shown.contains('█') || shown.contains('░'), "{shown}");
    // Asked for once more, without one: what it says and nothing drawn.
    // The bar is wiped off in the line that the answer begins in.
    let job = shown.split("job ").nth(1).unwrap();
    let job = job.split_whitespace().next().unwrap();
    let again = tautbook(&data, &["survey", "import", &survey, "--job", job]);
    let said = [again.stdout, again.stderr].concat();
    let said = String::from_utf8_lossy(&said);
    assert!(said.contains("there already: "), "{said}");
    assert!(!said.contains('█') && !said.contains('░'), "{said}");
}
