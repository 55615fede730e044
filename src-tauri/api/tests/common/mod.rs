//! Devices that are driven through the list of commands alone.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs,
    dead_code
)]

pub(crate) mod worked;

use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};
use std::time::Duration;

use api::App;
use records::clock::Clock;
use serde_json::{Value, json};

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

    /// Opens a folder again that was founded before.
    pub(crate) fn open(data: &Path) -> Self {
        let clock = Arc::new(Ticking(AtomicI64::new(1_791_000_000_000)));
        Device {
            app: App::open_with(data, clock.clone()).unwrap(),
            clock,
        }
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
        for _ in 0..600 {
            let state = self.call("task", json!({"task": task}));
            if state["state"] != "running" {
                return state;
            }
            std::thread::sleep(Duration::from_millis(20));
        }
        panic!("{name} did not end");
    }

    pub(crate) fn sync(&self) -> Value {
        self.run_task("startSync", json!({}))
    }
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
