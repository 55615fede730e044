//! The worked job as a script runs it: one document on standard output, and the exit code.

use std::path::Path;
use std::process::Command;

use serde_json::Value;

#[test]
fn the_worked_job_is_told_as_one_document() {
    let dir = tempfile::tempdir().unwrap();
    let photos = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/photos");
    let place = |name: &str| dir.path().join(name);
    let output = Command::new(env!("CARGO_BIN_EXE_tautbook"))
        .args(["demo", "--json", "--data"])
        .arg(place("data"))
        .arg("--shared")
        .arg(place("shared"))
        .arg("--out")
        .arg(place("handover"))
        .arg("--photos")
        .arg(photos)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(0), "{output:?}");
    let told: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(told["handover"]["files"].as_u64().unwrap() > 40);
    assert!(place("handover").join("handover.pdf").is_file());
    for who in ["ann", "ben", "office"] {
        assert!(place("data").join(who).join("journal").is_dir(), "{who}");
    }
    assert!(told["verified"]["entries"].as_u64().unwrap() > 500);
}
