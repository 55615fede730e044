//! The benchmarks: everything they need is brought, and each peer runs in the same run.
//!
//! Nothing here judges a figure: a slower machine is no fault.

use std::fs;

use crate::{demo, error::XtaskError, node::Node, packages, python, run, workspace};

/// Drawn pictures of the largest job.
pub(crate) const PICTURES: u32 = 300;

/// Brings peers, screens and pictures, and measures in the bench profile.
pub(crate) fn bench() -> Result<(), XtaskError> {
    packages::bring(&[packages::BUILD, packages::BENCH, packages::PYTHON])?;
    let node = Node::bring()?;
    demo::build_ui(&node)?;
    let target = workspace::target();
    // An estimate of an earlier run must not stand beside a peer of this one.
    let estimates = target.join("criterion");
    if estimates.exists() {
        fs::remove_dir_all(&estimates).map_err(XtaskError::file("remove", &estimates))?;
    }
    let pictures = target.join("bench-pictures");
    if !pictures.join("photos.json").is_file() {
        draw(&run::text(&pictures))?;
    }
    // The guide's table of tensions by sound: seeds enough take minutes, so the tests play some.
    let table = ["bench", "--package", "mechanics", "--bench", "sound_table"];
    run::run(run::cargo(&table))?;
    let python = python::bring()?;
    for name in ["sound", "repeated", "planned", "figures"] {
        let mut measure = run::cargo(&["bench", "--package", "tests", "--bench", name]);
        measure
            .env("TAUTBOOK_BENCH_PHOTOS", &pictures)
            .env(python::NAMED, &python);
        run::run(measure)?;
    }
    screens(&node)
}

/// In the browser: frames of a long run's drawing, and start and touches on a slowed processor.
fn screens(node: &Node) -> Result<(), XtaskError> {
    let build = ["build", "--profile", "bench", "--package", "tautbook-cli"];
    run::run(run::cargo(&build))?;
    node.packages("tests/e2e")?;
    let mut measure = node.npm("tests/e2e", &["run", "bench:screens"]);
    // Where the profile `bench` puts what it builds.
    let name = format!("tautbook{}", std::env::consts::EXE_SUFFIX);
    let program = workspace::target().join("release").join(name);
    measure.env("TAUTBOOK_PROGRAM", program);
    run::run(measure)
}

/// Draws with an optimised build of these commands: the other would take half an hour.
fn draw(out: &str) -> Result<(), XtaskError> {
    let count = PICTURES.to_string();
    let draw = ["photos", "--out", out, "--count", &count];
    let mut words = vec!["run", "--profile", "bench", "--package", "xtask", "--"];
    words.extend(draw);
    run::run(run::cargo(&words))
}
