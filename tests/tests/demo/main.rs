//! The worked job, whole: its starred figures, its refusals, and the same state on three devices.
//!
//! Starred figures are of the worked job itself (formulas of `mechanics` by other means); they
//! check the whole chain from reading to handover, and are no published values. All are read from
//! what the program answers: `demo --json`, the commands, `state`.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, clippy::panic)]

mod cuts;
mod facts;
mod handed;
mod look;
mod ordering;
mod tensions;

use std::path::{Path, PathBuf};
use std::sync::LazyLock;

use api::App;
use look::{State, list, text};
use serde_json::{Value, json};
use tautbook_cli::demo::{Places, run};

/// The worked job as it was left: run once for all tests of this file.
pub(crate) struct Worked {
    pub(crate) places: Places,
    /// What `tautbook demo --json` prints.
    pub(crate) told: Value,
    /// The devices, by name.
    apps: Vec<(&'static str, App)>,
    /// A copy of the surveyor's folder, to try things on.
    pub(crate) copy: PathBuf,
    pub(crate) job: String,
    /// The state as the office has it.
    pub(crate) state: State,
}

pub(crate) static WORKED: LazyLock<Worked> = LazyLock::new(worked);

pub(crate) fn fixtures() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures")
}

fn worked() -> Worked {
    let dir = Path::new(env!("CARGO_TARGET_TMPDIR")).join("worked-job");
    if dir.exists() {
        std::fs::remove_dir_all(&dir).unwrap();
    }
    let places = Places {
        data: dir.join("data"),
        shared: dir.join("shared"),
        out: dir.join("handover"),
        photos: fixtures().join("demo/photos"),
    };
    let told = run(&places, &|_| {}).unwrap();
    let copy = dir.join("copy");
    copied(&places.data.join("ann"), &copy);
    let apps: Vec<_> = ["ann", "ben", "office"]
        .map(|who| (who, App::open(&places.data.join(who)).unwrap()))
        .into();
    let job = text(&told, "/job").to_owned();
    let state = api::dispatch(&apps[2].1, "readState", json!({"job": job})).unwrap();
    Worked {
        state: State::of(&state),
        places,
        told,
        apps,
        copy,
        job,
    }
}

fn copied(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for item in std::fs::read_dir(from).unwrap() {
        let item = item.unwrap();
        let there = to.join(item.file_name());
        if item.file_type().unwrap().is_dir() {
            copied(&item.path(), &there);
        } else {
            std::fs::copy(item.path(), there).unwrap();
        }
    }
}

impl Worked {
    pub(crate) fn app(&self, who: &str) -> &App {
        &self.apps.iter().find(|(name, _)| *name == who).unwrap().1
    }

    /// What the office's device answers about the job.
    pub(crate) fn on_job(&self, name: &str) -> Value {
        api::dispatch(self.app("office"), name, json!({"job": self.job})).unwrap()
    }

    /// What the office's device answers about a run of the job.
    pub(crate) fn on_run(&self, run: &str, name: &str) -> Value {
        let run = self.state.id("run", run);
        let request = json!({"job": self.job, "run": run});
        api::dispatch(self.app("office"), name, request).unwrap()
    }
}

/// Long work to its end: its last state.
pub(crate) fn to_the_end(app: &App, name: &str, request: Value) -> Value {
    let task = api::dispatch(app, name, request).unwrap()["task"].clone();
    let mut seen = 0;
    loop {
        let asked = json!({"task": task, "seen": seen, "waitMs": 10_000});
        let state = api::dispatch(app, "task", asked).unwrap();
        seen = state["version"].as_u64().unwrap();
        if state["state"] != "running" {
            return state;
        }
    }
}

#[test]
fn the_devices_tell_one_state_and_another_exchange_does_nothing() {
    let hashes: Vec<_> = list(&WORKED.told, "/devices")
        .iter()
        .map(|device| text(device, "/stateHash"))
        .collect();
    assert_eq!(hashes.len(), 3);
    assert!(hashes.iter().all(|hash| *hash == hashes[0]), "{hashes:?}");
    assert_eq!(hashes[0].len(), 64);
    for who in ["ann", "ben", "office"] {
        let app = WORKED.app(who);
        let again = to_the_end(app, "startSync", json!({}));
        let report = &again["result"];
        assert_eq!(report["newEntries"], 0, "{who}: {report}");
        assert_eq!(
            report["published"]["segments"], 0,
            "{who}: a second exchange does nothing"
        );
        assert_eq!(report["shared"], true, "{who}: {report}");
        let rebuilt = api::dispatch(app, "rebuild", json!({})).unwrap();
        assert_eq!(rebuilt["same"], true, "{who}");
        let data = to_the_end(app, "startVerify", json!({"what": "data"}));
        assert_eq!(data["state"], "done", "{who}: {data}");
        let state = api::dispatch(app, "readState", json!({"job": WORKED.job})).unwrap();
        assert_eq!(text(&state, "/hash"), hashes[0], "{who}");
    }
}
