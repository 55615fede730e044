//! Every check and test there is.

use std::process::Command;
use std::time::{Duration, Instant};

use crate::{
    check_phone, demo, error::XtaskError, lint, node::Node, packages, python, run, run::Aside,
    summary::Summary, workspace,
};

/// The scripts of the whole-product tests: on a phone's glass in a browser, the whole job once more at a
/// desk, and in the real window.
const JOURNEYS: [(&str, &str); 3] = [
    ("browser", "test:browser"),
    ("desk", "test:desk"),
    ("window", "test:window"),
];

/// Brings what is missing, then runs every check and test; what fails does not hide the rest.
pub(crate) fn test() -> Result<(), XtaskError> {
    packages::bring(&[packages::BUILD, packages::TEST, packages::PYTHON])?;
    let node = Node::bring()?;
    node.packages("ui")?;
    let mut steps = Steps::default();
    steps.check("format", lint::format);
    steps.check("rules of the tree", lint::tidy);
    steps.check("licences", lint::licences);
    steps.check("types of the screens", || lint::screens(&node));
    steps.watch("screens", node.npm("ui", &["test"]));
    // The window holds the built screens, so that nothing of it compiles without them.
    steps.check("build of the screens", || demo::build_ui(&node));
    steps.check("clippy", lint::clippy);
    let mut tests = vec!["test", "--no-fail-fast"];
    tests.extend(workspace::BUILD);
    let mut cargo = run::cargo(&tests);
    // Without them the tests beside a reference fail and say so.
    steps.check("reference libraries", || {
        cargo.env(python::NAMED, python::bring()?);
        Ok(())
    });
    steps.watch("cargo", cargo);
    let mut build = vec!["build"];
    build.extend(workspace::BUILD);
    steps.check("build", || run::run(run::cargo(&build)));
    // A browser leaves the machine time; where it does not, the check waits.
    let phone = steps.begin("phone", check_phone::begin);
    let ready = steps.check("journeys", || node.packages("tests/e2e"));
    for (name, script) in JOURNEYS.into_iter().filter(|_| ready) {
        let mut journey = node.npm("tests/e2e", &["run", script]);
        journey
            .env("TAUTBOOK_PROGRAM", workspace::program("tautbook"))
            .env("TAUTBOOK_WINDOW", workspace::program("tautbook-window"));
        steps.watch(name, journey);
    }
    steps.end("phone", phone);
    steps.close()
}

#[derive(Default)]
struct Steps {
    summary: Summary,
    failures: Vec<String>,
    /// How long each took.
    took: Vec<(String, Duration)>,
}

impl Steps {
    /// Runs a step that names no tests; whether it succeeded.
    fn check(&mut self, name: &str, step: impl FnOnce() -> Result<(), XtaskError>) -> bool {
        let begun = Instant::now();
        let ended = step();
        self.took.push((name.to_owned(), begun.elapsed()));
        match ended {
            Ok(()) => true,
            Err(error) => {
                self.fail(name, &error, 1);
                false
            }
        }
    }

    /// Starts a step that goes on beside those that follow.
    fn begin(
        &mut self,
        name: &str,
        step: impl FnOnce() -> Result<Aside, XtaskError>,
    ) -> Option<Aside> {
        step().map_err(|error| self.fail(name, &error, 1)).ok()
    }

    /// Waits for one that was begun.
    fn end(&mut self, name: &str, step: Option<Aside>) {
        let Some(step) = step else {
            return;
        };
        let age = step.age();
        let waited = Instant::now();
        let ended = step.end();
        self.took.push((name.to_owned(), age + waited.elapsed()));
        if let Err(error) = ended {
            self.fail(name, &error, 1);
        }
    }

    /// Runs a step whose runner names its tests.
    fn watch(&mut self, name: &str, command: Command) {
        let failed_before = self.summary.failed;
        let summary = &mut self.summary;
        let begun = Instant::now();
        let ended = run::watch(command, |line| summary.take(name, line));
        self.took.push((name.to_owned(), begun.elapsed()));
        if let Err(error) = ended {
            // A runner that names its failed tests has counted them already.
            let unnamed = u64::from(self.summary.failed == failed_before);
            self.fail(name, &error, unnamed);
        }
    }

    fn fail(&mut self, name: &str, error: &XtaskError, count: u64) {
        eprintln!("\n{name}: {error}");
        self.summary.failed += count;
        self.failures.push(name.to_owned());
    }

    fn close(self) -> Result<(), XtaskError> {
        println!();
        for line in self.summary.lines() {
            println!("{line}");
        }
        let took = self
            .took
            .iter()
            .map(|(name, took)| format!("{name} {} s", took.as_secs()));
        println!("\n{}", took.collect::<Vec<_>>().join(", "));
        println!(
            "\n{} passed, {} failed",
            self.summary.passed, self.summary.failed
        );
        if self.failures.is_empty() && self.summary.failed == 0 {
            return Ok(());
        }
        Err(XtaskError::Checks(format!(
            "not all is well: {}",
            self.failures.join(", ")
        )))
    }
}
