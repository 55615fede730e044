//! A handover in a process of its own, so that its peak of memory is its own.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Instant;

use api::App;
use serde_json::{Value, json};

use crate::scene::{self, Outcome, call};
use crate::table::{Table, mebibytes, seconds};

/// Writes the handover here and prints what it took as one line of JSON.
pub(crate) fn here(data: &str, job: &str, out: &str) -> Outcome<()> {
    let app = App::open(Path::new(data)).map_err(|e| e.message)?;
    let start = Instant::now();
    let written = call(&app, "startHandover", json!({"job": job, "folder": out}))?;
    let took_s = start.elapsed().as_secs_f64();
    println!(
        "{}",
        json!({"seconds": took_s, "peakBytes": peak_bytes()?, "written": written})
    );
    Ok(())
}

/// Starts the process and takes its line.
pub(crate) fn measure(folder: &Path, data: &Path, job: &str, table: &mut Table) -> Outcome<()> {
    let out = folder.join("handover");
    let child = Command::new(std::env::current_exe()?)
        .arg("hand-over")
        .arg(data)
        .arg(job)
        .arg(&out)
        .stderr(Stdio::inherit())
        .output()?;
    if !child.status.success() {
        return Err("the handover failed; its words are above".into());
    }
    let told: Value = serde_json::from_slice(&child.stdout)?;
    let written = &told["written"];
    if written["originals"] != json!(300) || written["missing"] != json!(0) {
        return Err(format!("the handover is not whole: {written}").into());
    }
    let number = |value: &Value| value.as_u64().unwrap_or_default();
    let document = out.join("handover.pdf");
    table.alone(
        "handover of 400 wires and 300 different pictures",
        seconds(told["seconds"].as_f64().unwrap_or(f64::NAN)),
    );
    table.alone("its peak of memory", mebibytes(number(&told["peakBytes"])));
    table.alone("its document", mebibytes(scene::size(&document)?));
    table.alone(
        "its folder, originals and all",
        mebibytes(number(&written["bytes"])),
    );
    Ok(())
}

/// The most memory that this process had at once, as Linux counts it.
fn peak_bytes() -> Outcome<u64> {
    let status = std::fs::read_to_string("/proc/self/status")
        .map_err(|e| format!("the peak of memory is measured on Linux alone: {e}"))?;
    let kib: u64 = status
        .lines()
        .find_map(|line| line.strip_prefix("VmHWM:"))
        .and_then(|rest| rest.trim().strip_suffix("kB"))
        .ok_or("Linux tells no peak of memory")?
        .trim()
        .parse()?;
    Ok(kib * 1024)
}
