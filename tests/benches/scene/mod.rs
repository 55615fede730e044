//! Devices and jobs large enough to measure on.
//!
//! Everything goes in through the list of commands, as people's work does; only the many readings
//! of the largest record are written as acts of many entries. Invented, no check values.

// Each bench uses a part of this.
#![allow(dead_code, unreachable_pub)]

pub mod job;
pub mod many;

use std::error::Error;
use std::path::{Path, PathBuf};

use api::App;
use api::tasks::{TaskEnd, TaskState};
use serde_json::{Value, json};

/// What a measurement gives, or why it could not be taken.
pub type Outcome<T> = Result<T, Box<dyn Error>>;

/// Calls a command; long work is waited for.
pub fn call(app: &App, name: &str, request: Value) -> Outcome<Value> {
    let answer = api::dispatch(app, name, request).map_err(|e| format!("{name}: {}", e.message))?;
    match answer.get("task").and_then(Value::as_str) {
        Some(task) => to_the_end(app, task),
        None => Ok(answer),
    }
}

fn to_the_end(app: &App, task: &str) -> Outcome<Value> {
    let mut seen = 0;
    loop {
        let asked = json!({ "task": task, "seen": seen, "waitMs": 20_000 });
        let answer = api::dispatch(app, "task", asked).map_err(|e| e.message)?;
        let state: TaskState = serde_json::from_value(answer)?;
        seen = state.version;
        if state.state != TaskEnd::Running {
            return match state.error {
                Some(error) => Err(error.message.into()),
                None => Ok(state.result),
            };
        }
    }
}

/// A device whose person founded a crew.
pub fn device(data: &Path, person: &str) -> Outcome<App> {
    let app = App::open(data).map_err(|e| e.message)?;
    let request = json!({"crew": "Benches", "person": person, "role": "installer"});
    call(&app, "foundCrew", request)?;
    Ok(app)
}

/// Entries in a data folder: one line of the journal each.
pub fn entries(data: &Path) -> Outcome<usize> {
    let mut count = 0;
    for file in std::fs::read_dir(data.join("journal"))? {
        let bytes = std::fs::read(file?.path())?;
        count += bytes.iter().filter(|b| **b == b'\n').count();
    }
    Ok(count)
}

/// Length of a file in bytes.
pub fn size(file: &Path) -> Outcome<u64> {
    let found = std::fs::metadata(file).map_err(|e| format!("{}: {e}", file.display()))?;
    Ok(found.len())
}

/// A fresh folder among cargo's temporary ones.
pub fn fresh(name: &str) -> Outcome<PathBuf> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR"))
        .join("bench")
        .join(name);
    if folder.exists() {
        std::fs::remove_dir_all(&folder)?;
    }
    std::fs::create_dir_all(&folder)?;
    Ok(folder)
}

/// The drawn 12-megapixel pictures, in order of their names.
pub fn pictures() -> Outcome<Vec<PathBuf>> {
    let folder = std::env::var_os("TAUTBOOK_BENCH_PHOTOS").ok_or(
        "TAUTBOOK_BENCH_PHOTOS names no folder of drawn pictures; `cargo xtask bench` makes it",
    )?;
    let mut found = Vec::new();
    for file in std::fs::read_dir(folder)? {
        let path = file?.path();
        if path.extension().is_some_and(|ending| ending == "jpg") {
            found.push(path);
        }
    }
    found.sort();
    Ok(found)
}
