//! An exchange through a folder beside a copying program with the same bytes.
//!
//! The copying program does not wait for the disk, an exchange does; so it is measured a second
//! time with the file system's own wait after it.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use api::App;
use serde_json::{Value, json};

use crate::scene::job::Large;
use crate::scene::{Outcome, call, device};
use crate::table::{Table, mebibytes};

/// Two devices of one crew, and their shared folder.
pub(crate) struct Crew {
    pub(crate) ann: App,
    ben: App,
    folder: PathBuf,
}

impl Crew {
    /// A folder of the scene: `ann`, `ben` or `shared`.
    pub(crate) fn folder(&self, name: &str) -> PathBuf {
        self.folder.join(name)
    }
}

/// Founds, shares, joins and admits.
pub(crate) fn meet(folder: &Path) -> Outcome<Crew> {
    let shared = folder.join("shared");
    std::fs::create_dir_all(&shared)?;
    let ann = device(&folder.join("ann"), "Ann")?;
    let ben = device(&folder.join("ben"), "Ben")?;
    call(&ann, "share", json!({"folder": shared}))?;
    call(&ann, "startSync", json!({}))?;
    let joining = call(&ben, "join", json!({"folder": shared}))?;
    let (asks, digits) = (&joining["device"], &joining["digits"]);
    call(&ann, "applicants", json!({}))?;
    call(
        &ann,
        "admit",
        json!({"device": asks, "digits": digits, "role": "office"}),
    )?;
    call(&ben, "confirmJoin", json!({"digits": digits}))?;
    for app in [&ann, &ben] {
        call(app, "startSync", json!({}))?;
    }
    Ok(Crew {
        ann,
        ben,
        folder: folder.to_owned(),
    })
}

/// Publishes, fetches, exchanges with nothing new; the peer copies what then lies in the folder.
pub(crate) fn measure(crew: &mut Crew, large: &Large, table: &mut Table) -> Outcome<()> {
    let (published_s, report) = exchanged(&crew.ann)?;
    if report["shared"] != json!(true) {
        return Err(format!("not all is shared: {report}").into());
    }
    let (fetched_s, report) = exchanged(&crew.ben)?;
    if report["faults"] != json!([]) {
        return Err(format!("the exchange met faults: {report}").into());
    }
    let states = [&crew.ann, &crew.ben]
        .map(|app| call(app, "readState", json!({"job": large.job})).map(|s| s["hash"].clone()));
    let [Ok(one), Ok(other)] = states else {
        return Err("a device does not know the job after the exchange".into());
    };
    if one != other {
        return Err("the devices tell different states".into());
    }
    let (again_s, _) = exchanged(&crew.ann)?;
    let (ben_again_s, _) = exchanged(&crew.ben)?;

    let shared = crew.folder("shared");
    let [copied, synced, kept] = ["copied", "synced", "kept"].map(|name| crew.folder(name));
    let copy_s = rclone("copy", &shared, &copied)?;
    let sync_s = rclone("sync", &shared, &synced)?;
    let sync_again_s = rclone("sync", &shared, &synced)?;
    let kept_s = timed(|| {
        rclone("copy", &shared, &kept)?;
        run(Command::new("sync").arg("-f").arg(&kept))
    })?;

    let what = format!(
        "5 000 entries and 300 pictures, {}",
        mebibytes(bytes(&shared)?)
    );
    table.beside(
        &format!("publish {what}"),
        published_s,
        "rclone copy",
        copy_s,
    );
    table.beside("the same", published_s, "rclone sync", sync_s);
    table.beside("the same", published_s, "rclone copy, then sync -f", kept_s);
    table.beside("fetch and verify it", fetched_s, "rclone copy", copy_s);
    table.beside("the same", fetched_s, "rclone copy, then sync -f", kept_s);
    table.beside(
        "exchange with nothing new, publisher",
        again_s,
        "rclone sync",
        sync_again_s,
    );
    table.beside(
        "exchange with nothing new, reader",
        ben_again_s,
        "rclone sync",
        sync_again_s,
    );
    for folder in [copied, synced, kept] {
        std::fs::remove_dir_all(folder)?;
    }
    Ok(())
}

fn exchanged(app: &App) -> Outcome<(f64, Value)> {
    let start = Instant::now();
    let report = call(app, "startSync", json!({}))?;
    Ok((start.elapsed().as_secs_f64(), report))
}

fn rclone(how: &str, from: &Path, to: &Path) -> Outcome<f64> {
    timed(|| {
        run(Command::new("rclone")
            .args(["--config", "", "--quiet", how])
            .args([from, to]))
    })
}

fn run(command: &mut Command) -> Outcome<()> {
    let status = command
        .status()
        .map_err(|e| format!("{command:?} did not start: {e}"))?;
    if status.success() {
        return Ok(());
    }
    Err(format!("{command:?} failed").into())
}

fn timed(work: impl FnOnce() -> Outcome<()>) -> Outcome<f64> {
    let start = Instant::now();
    work()?;
    Ok(start.elapsed().as_secs_f64())
}

fn bytes(folder: &Path) -> Outcome<u64> {
    let mut sum = 0;
    for entry in std::fs::read_dir(folder)? {
        let entry = entry?;
        let found = entry.metadata()?;
        sum += if found.is_dir() {
            bytes(&entry.path())?
        } else {
            found.len()
        };
    }
    Ok(sum)
}
