//! The sound estimate for two seconds of a plucked wire, beside `librosa` on the same files.
//!
//! Time and errors of both: the peer answers always and takes the string for a bare one, ours gives
//! a reason where it gives no number. Nothing here judges a figure, but that none of ours which is
//! told is off by a tenth.
// An answer is read by its names; what is not there reads as null and ends the bench.
#![allow(clippy::indexing_slicing, missing_docs)]

// The simulator of the tests, of which this plays a part; its wires are ones that can be.
#[allow(dead_code, clippy::unwrap_used)]
#[path = "../../../src-tauri/mechanics/tests/checks/plucks.rs"]
mod plucks;

use std::error::Error;
use std::fs;
use std::path::Path;
use std::process::{Command, ExitCode};
use std::time::Instant;

use hound::{SampleFormat, WavSpec, WavWriter};
use mechanics::sound::read_pluck;
use plucks::{Dice, Taking, TrueWire, USUAL, any_wire, pluck, recording};
use serde_json::{Value, json};

/// Wires played; their seeds are those of the guide's table.
const SEEDS: std::ops::Range<u64> = 1001..1041;

fn main() -> ExitCode {
    match measured() {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("sound: {error}");
            ExitCode::FAILURE
        }
    }
}

fn measured() -> Result<(), Box<dyn Error>> {
    let python = std::env::var("TAUTBOOK_PYTHON")
        .map_err(|_| "TAUTBOOK_PYTHON names no python with librosa; run `cargo xtask bench`")?;
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("sound");
    fs::create_dir_all(&folder)?;
    let taking = Taking {
        seconds: 2.0,
        ..USUAL
    };
    let (mut wires, mut listed) = (Vec::new(), Vec::new());
    for seed in SEEDS {
        let mut dice = Dice::new(seed);
        let truth = any_wire(&mut dice);
        let sound = pluck(&truth, &taking, &mut dice);
        let file = format!("{seed}.wav");
        write(&folder.join(&file), &sound, taking.rate)?;
        listed.push(json!({
            "file": file, "lengthM": truth.wire.length.value() / 1000.0,
            "massKgPerM": truth.wire.mass.value(), "least": 100.0, "most": 4000.0,
        }));
        wires.push((truth, sound));
    }
    fs::write(folder.join("plucks.json"), serde_json::to_vec(&listed)?)?;

    let (mut seconds, mut told) = (Vec::new(), Vec::new());
    for (truth, sound) in &wires {
        let begun = Instant::now();
        let answer = read_pluck(&truth.wire, &recording(sound, taking.rate))?;
        seconds.push(begun.elapsed().as_secs_f64());
        told.push(answer.ok().map(|reading| reading.fit.clamped.value()));
    }
    seconds.sort_by(f64::total_cmp);
    let here = seconds[seconds.len() / 2];
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("benches/sound/peer.py");
    let peer = Command::new(python).arg(script).arg(&folder).output()?;
    if !peer.status.success() {
        return Err(String::from_utf8_lossy(&peer.stderr).into_owned().into());
    }
    let peer: Value = serde_json::from_slice(&peer.stdout)?;

    println!(
        "\n| sound estimate, 2 s at 16 kHz | time | of {} plucks told | off by > 10 % |",
        wires.len()
    );
    println!("|---|---|---|---|");
    let off = row("here, one pluck", here, &wires, &told);
    for way in ["yin", "pyin"] {
        let tensions = peer[way]["newtons"].as_array().ok_or("no tensions")?;
        let tensions: Vec<Option<f64>> = tensions.iter().map(Value::as_f64).collect();
        let name = format!("librosa {} {way}", peer["librosa"].as_str().unwrap_or("?"));
        let took = peer[way]["medianS"].as_f64().ok_or("no time")?;
        row(&name, took, &wires, &tensions);
        println!("ratio of time to {way}: {:.2}", here / took);
    }
    fs::remove_dir_all(&folder)?;
    if off > 0 {
        return Err(format!("{off} plucks that were told are off by a tenth").into());
    }
    Ok(())
}

/// Prints a line; how many that were told are off by a tenth.
fn row(name: &str, seconds: f64, wires: &[(TrueWire, Vec<f32>)], told: &[Option<f64>]) -> usize {
    let errors: Vec<f64> = wires
        .iter()
        .zip(told)
        .filter_map(|((truth, _), told)| Some((*told)? / truth.tension - 1.0))
        .collect();
    let off = errors.iter().filter(|error| error.abs() > 0.1).count();
    println!(
        "| {name} | {:.1} ms | {} | {off} |",
        seconds * 1e3,
        errors.len()
    );
    off
}

fn write(path: &Path, sound: &[f32], rate: f64) -> Result<(), Box<dyn Error>> {
    let spec = WavSpec {
        channels: 1,
        sample_rate: rate as u32,
        bits_per_sample: 32,
        sample_format: SampleFormat::Float,
    };
    let mut writer = WavWriter::create(path, spec)?;
    for sample in sound {
        writer.write_sample(*sample)?;
    }
    writer.finalize()?;
    Ok(())
}
