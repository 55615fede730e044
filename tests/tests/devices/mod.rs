//! Devices that are driven through the list of commands alone, and disks that refuse.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs,
    unreachable_pub,
    dead_code
)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use api::{ApiError, App};
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

pub struct Device {
    pub app: App,
}

impl Device {
    /// Opens a folder; a new one gets a crew with this person as its founder.
    pub fn at(data: &Path, person: &str) -> Result<Self, ApiError> {
        let clock = Arc::new(Ticking(AtomicI64::new(1_790_000_000_000)));
        let device = Device {
            app: App::open_with(data, clock)?,
        };
        if device.call("overview", json!({}))["crews"]
            .as_array()
            .is_none_or(Vec::is_empty)
        {
            device.call(
                "foundCrew",
                json!({"crew": person, "person": person, "role": "surveyor"}),
            );
        }
        Ok(device)
    }

    pub fn new(dir: &Path, name: &str) -> Self {
        Device::at(&dir.join(name), name).unwrap()
    }

    pub fn try_call(&self, name: &str, request: Value) -> Result<Value, ApiError> {
        api::dispatch(&self.app, name, request)
    }

    pub fn call(&self, name: &str, request: Value) -> Value {
        self.try_call(name, request.clone())
            .unwrap_or_else(|error| panic!("{name} {request}: {error:?}"))
    }

    /// Starts long work and waits for its end: its result, or its error.
    pub fn run(&self, name: &str, request: Value) -> Result<Value, ApiError> {
        let task = self.try_call(name, request)?["task"].clone();
        let mut seen = 0;
        loop {
            let ask = json!({"task": task, "seen": seen, "waitMs": 20_000});
            let state = self.call("task", ask);
            seen = state["version"].as_u64().unwrap();
            match state["state"].as_str().unwrap() {
                "running" => {}
                "done" => return Ok(state["result"].clone()),
                _ => return Err(serde_json::from_value(state["error"].clone()).unwrap()),
            }
        }
    }

    pub fn sync(&self) -> Value {
        self.run("startSync", json!({})).unwrap()
    }

    /// Joins the crew of a folder, where `by` admits it; gives its own id.
    pub fn join(&self, folder: &Path, by: &Device) -> Value {
        let asked = self.call("join", json!({"folder": folder}));
        let digits = asked["digits"].clone();
        let admit = json!({"device": asked["device"], "digits": digits, "role": "installer"});
        by.call("admit", admit);
        self.call("confirmJoin", json!({"digits": digits}));
        asked["device"].clone()
    }

    pub fn begin_job(&self) -> String {
        let begun = self.call("beginJob", json!({"title": "Deck", "place": "an island"}));
        begun["created"]
            .as_str()
            .unwrap()
            .trim_start_matches("job:")
            .to_owned()
    }

    pub fn note(&self, job: &str, text: &str) -> Result<Value, ApiError> {
        let claim = json!({"subject": format!("job:{job}"), "field": "note", "value": text});
        self.try_call("say", json!({"job": job, "claims": [claim]}))
    }

    /// Texts of all notes of a job, sorted.
    pub fn notes(&self, job: &str) -> Vec<String> {
        let asked = json!({"job": job, "subject": format!("job:{job}")});
        let told = self.call("readSubject", asked);
        let facts = told["facts"]
            .as_array()
            .unwrap()
            .iter()
            .filter(|f| f["field"] == "note");
        let mut texts: Vec<String> = facts
            .flat_map(|fact| fact["words"].as_array().unwrap())
            .map(|word| word["value"].as_str().unwrap().to_owned())
            .collect();
        texts.sort();
        texts
    }

    /// Takes in a picture that the project drew, and gives the hash of its original.
    pub fn photograph(&self, job: &str, number: usize) -> String {
        let bytes = picture(number);
        let upload = format!("upload0000000000{number}");
        self.app.uploads.add(&upload, 0, &bytes).unwrap();
        let name = format!("orientation-{number}.jpg");
        let ask = json!({"job": job, "source": {"kind": "upload", "upload": upload, "bytes": bytes.len()}, "name": name});
        self.call("addPhoto", ask);
        records::photos::sha256_hex(&bytes)
    }

    pub fn has_object(&self, sha256: &str) -> bool {
        records::photos::read(&self.app.data().join("photos"), sha256).is_ok()
    }

    /// The state's hash of a job.
    pub fn state(&self, job: &str) -> Value {
        self.call("readState", json!({"job": job}))["hash"].clone()
    }
}

pub fn picture(number: usize) -> Vec<u8> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../fixtures/photos");
    fs::read(root.join(format!("orientation-{number}.jpg"))).unwrap()
}

/// Ann founded a crew, shared a folder and keeps a job; Ben joined and has it too.
pub struct Crew {
    pub ann: Device,
    pub ben: Device,
    pub job: String,
    pub folder: PathBuf,
}

impl Crew {
    pub fn meet(dir: &Path, folder: &Path) -> Self {
        let (ann, ben) = (Device::new(dir, "ann"), Device::new(dir, "ben"));
        let job = ann.begin_job();
        ann.call("share", json!({"folder": folder}));
        ben.join(folder, &ann);
        ann.sync();
        ben.sync();
        ann.sync();
        Crew {
            ann,
            ben,
            job,
            folder: folder.to_owned(),
        }
    }
}

/// Every file below a folder with its bytes; links by where they lead.
pub fn files(dir: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    let mut open = vec![dir.to_path_buf()];
    while let Some(dir) = open.pop() {
        for item in fs::read_dir(dir).unwrap() {
            let path = item.unwrap().path();
            let about = fs::symlink_metadata(&path).unwrap();
            if about.is_dir() {
                open.push(path);
            } else if about.is_symlink() {
                let to = fs::read_link(&path).unwrap();
                found.push((path, to.to_string_lossy().into_owned().into_bytes()));
            } else {
                let bytes = fs::read(&path).unwrap();
                found.push((path, bytes));
            }
        }
    }
    found.sort();
    found
}

/// A disk of its own, as small as one likes, which can be made read-only.
///
/// Permissions do not stop the superuser and a quota is not everywhere, so it is a real file
/// system in memory; mounting one needs the superuser, or `sudo` that asks for no password.
pub struct Disk {
    pub path: PathBuf,
}

impl Disk {
    pub fn new(path: PathBuf, size: &str) -> Self {
        fs::create_dir(&path).unwrap();
        let disk = Disk { path };
        let options = format!("size={size},mode=777");
        disk.mount(&["-t", "tmpfs", "-o", &options, "tautbook-test"]);
        disk
    }

    pub fn read_only(&self, yes: bool) {
        self.mount(&["-o", if yes { "remount,ro" } else { "remount,rw" }]);
    }

    pub fn resize(&self, size: &str) {
        self.mount(&["-o", &format!("remount,size={size}")]);
    }

    fn mount(&self, arguments: &[&str]) {
        let at = self.path.to_str().unwrap();
        let plain = Command::new("mount").args(arguments).arg(at).output();
        if plain.is_ok_and(|output| output.status.success()) {
            return;
        }
        let sudo = Command::new("sudo")
            .args(["-n", "mount"])
            .args(arguments)
            .arg(at)
            .output();
        assert!(
            sudo.as_ref().is_ok_and(|output| output.status.success()),
            "this test needs a small disk of its own: run it as root, or let `sudo -n mount` work ({sudo:?})"
        );
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        let plain = Command::new("umount").arg(&self.path).output();
        if !plain.is_ok_and(|output| output.status.success()) {
            let _ = Command::new("sudo")
                .args(["-n", "umount"])
                .arg(&self.path)
                .output();
        }
    }
}
