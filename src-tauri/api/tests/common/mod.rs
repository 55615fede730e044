//! Devices that are driven through the list of commands alone.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs,
    dead_code
)]

pub(crate) mod surveyed;
pub(crate) mod worked;

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::{Duration, Instant};

use api::{App, ErrorCode};
use records::clock::Clock;
use serde_json::{Value, json};

/// How long work may take before a test gives it up.
const PATIENCE: Duration = Duration::from_secs(60);

/// Nanometres in a millimetre.
pub(crate) const MM: i64 = 1_000_000;

pub(crate) fn nm(mm: i64) -> Value {
    json!({ "nm": mm * MM })
}

struct Ticking(AtomicI64);

impl Clock for Ticking {
    fn now_ms(&self) -> i64 {
        self.0.fetch_add(1000, Ordering::Relaxed)
    }
    fn offset_min(&self) -> i32 {
        600
    }
}

pub(crate) struct Device {
    pub app: App,
    clock: Arc<Ticking>,
}

impl Device {
    pub(crate) fn new(dir: &Path, name: &str, role: &str) -> Self {
        let clock = Arc::new(Ticking(AtomicI64::new(1_790_000_000_000)));
        let app = App::open_with(&dir.join(name), clock.clone()).unwrap();
        let device = Device { app, clock };
        device.call(
            "foundCrew",
            json!({"crew": format!("{name}'s"), "person": name, "role": role}),
        );
        device
    }

    /// Sets this device's clock ahead by so many seconds.
    pub(crate) fn ahead(&self, seconds: i64) {
        self.clock.0.fetch_add(seconds * 1000, Ordering::Relaxed);
    }

    /// Opens a folder again that was founded before.
    pub(crate) fn open(data: &Path) -> Self {
        let clock = Arc::new(Ticking(AtomicI64::new(1_791_000_000_000)));
        Device {
            app: App::open_with(data, clock.clone()).unwrap(),
            clock,
        }
    }

    /// Sends a request that must be asked about, sees that nothing was saved, and says yes to it.
    pub(crate) fn asked_once(&self, job: &str, command: &str, mut request: Value) -> String {
        let state = || self.call("readState", json!({"job": job}))["hash"].clone();
        let before = state();
        let asked = self.refused(command, request.clone());
        assert_eq!(asked.code, ErrorCode::Questioned, "{}", asked.message);
        assert_eq!(before, state(), "{} and yet saved", asked.message);
        request["confirmed"] = json!(true);
        self.call(command, request);
        asked.message
    }

    /// Closes the device and opens it again beside a copy of its data, as a backup would leave it.
    pub(crate) fn twins(self, dir: &Path) -> (Device, Device) {
        let path = self.app.data().to_owned();
        drop(self);
        let twin = dir.join("twin");
        copy(&path, &twin);
        (Device::open(&path), Device::open(&twin))
    }

    /// Lets days go by.
    pub(crate) fn days_later(&self, days: i64) {
        self.clock.0.fetch_add(days * 86_400_000, Ordering::Relaxed);
    }

    pub(crate) fn try_call(&self, name: &str, request: Value) -> Result<Value, api::ApiError> {
        api::dispatch(&self.app, name, request)
    }

    pub(crate) fn call(&self, name: &str, request: Value) -> Value {
        match self.try_call(name, request.clone()) {
            Ok(answer) => answer,
            Err(e) => panic!("{name} {request}: {e:?}"),
        }
    }

    pub(crate) fn refused(&self, name: &str, request: Value) -> api::ApiError {
        match self.try_call(name, request) {
            Ok(answer) => panic!("{name} was not refused: {answer}"),
            Err(e) => e,
        }
    }

    pub(crate) fn run_task(&self, name: &str, request: Value) -> Value {
        let task = self.call(name, request)["task"]
            .as_str()
            .unwrap()
            .to_owned();
        let begun = Instant::now();
        let mut seen = Value::Null;
        while begun.elapsed() < PATIENCE {
            let asked = json!({"task": task, "seen": seen, "waitMs": 10_000});
            let state = self.call("task", asked);
            if state["state"] != "running" {
                return state;
            }
            seen = state["version"].clone();
        }
        panic!("{name} did not end");
    }

    pub(crate) fn sync(&self) -> Value {
        self.run_task("startSync", json!({}))
    }

    /// Its id, as the list of devices has it.
    pub(crate) fn id(&self) -> Value {
        self.call("overview", json!({}))["device"].clone()
    }

    /// Begins a job and gives its id.
    pub(crate) fn begin(&self, title: &str) -> String {
        let begun = self.call("beginJob", json!({"title": title, "place": "an island"}));
        let created = begun["created"].as_str().unwrap();
        created.trim_start_matches("job:").to_owned()
    }

    /// Says a note of a job.
    pub(crate) fn note(&self, job: &str, text: &str) -> Value {
        self.call("say", note(job, text))
    }

    /// Notes of a job.
    pub(crate) fn notes(&self, job: &str) -> Vec<String> {
        let ask = json!({"job": job, "subject": format!("job:{job}")});
        let view = self.call("readSubject", ask);
        let facts = view["facts"].as_array().unwrap().iter();
        let notes = facts.filter(|f| f["field"] == "note");
        notes
            .map(|f| f["words"][0]["value"].as_str().unwrap().to_owned())
            .collect()
    }
}

/// The request that says a note of a job.
pub(crate) fn note(job: &str, text: &str) -> Value {
    let claim = json!({"subject": format!("job:{job}"), "field": "note", "value": text});
    json!({"job": job, "claims": [claim]})
}

/// Ann, who founded the crew and began the job “Deck”, and Ben, who joined through a folder; both
/// have exchanged.
pub(crate) struct Crew {
    pub dir: tempfile::TempDir,
    pub ann: Device,
    pub ben: Device,
    pub job: String,
}

impl Crew {
    pub(crate) fn of_two() -> Self {
        let dir = tempfile::tempdir().unwrap();
        let folder = shared(&dir);
        fs::create_dir(&folder).unwrap();
        let ann = Device::new(dir.path(), "ann", "surveyor");
        let ben = Device::new(dir.path(), "ben", "installer");
        let job = ann.begin("Deck");
        ann.call("share", json!({"folder": folder}));
        ann.sync();
        meet(&ann, &ben, &folder, "installer");
        Crew { dir, ann, ben, job }
    }
}

/// Where a crew's shared folder lies.
pub(crate) fn shared(dir: &tempfile::TempDir) -> PathBuf {
    dir.path().join("shared")
}

/// Lets `other` join the crew of `founder` through a folder, digits compared.
pub(crate) fn meet(founder: &Device, other: &Device, folder: &Path, role: &str) {
    let folder = folder.to_str().unwrap();
    let joining = other.call("join", json!({"folder": folder}));
    let asks = founder.call("applicants", json!({}));
    let digits = joining["digits"].as_str().unwrap();
    assert_eq!(asks["devices"][0]["digits"], digits);
    founder.call(
        "admit",
        json!({"device": joining["device"], "digits": digits, "role": role}),
    );
    other.call("confirmJoin", json!({"digits": digits}));
    founder.sync();
    other.sync();
}

/// Copies a data folder as a backup would.
pub(crate) fn copy(from: &Path, to: &Path) {
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
