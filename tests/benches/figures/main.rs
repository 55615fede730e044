//! Whole processes: a handover, an exchange, the built screens; then the table of all figures.
//!
//! Run after `repeated` and `planned`, whose medians it reads. Each peer works on the same bytes in the same run.
//! `-- plans` measures what the engineering costs and nothing else.
// An answer is read by its names; what is not there reads as null and ends the bench.
#![allow(clippy::expect_used, clippy::indexing_slicing, missing_docs)]

#[path = "../cut_plan/mod.rs"]
mod cut_plan;
mod exchange;
mod handed;
#[path = "../order/mod.rs"]
mod order;
mod planned;
#[path = "../scene/mod.rs"]
mod scene;
mod screens;
mod table;

use std::process::ExitCode;

use scene::{Outcome, job};
use table::Table;

/// Entries of the record that is exchanged.
const ENTRIES: usize = 5_000;
/// Pictures of the job.
const PICTURES: usize = 300;

fn main() -> ExitCode {
    let words = std::env::args().skip(1);
    // Cargo says so of every bench.
    let words: Vec<String> = words.filter(|word| word != "--bench").collect();
    let done = match words.iter().map(String::as_str).collect::<Vec<_>>()[..] {
        ["hand-over", data, job, out] => handed::here(data, job, out),
        ["plans"] => planned(),
        _ => measured(),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            eprintln!("figures: {error}");
            ExitCode::FAILURE
        }
    }
}

/// One change, plans and orders alone: seconds, after `planned` measured them.
fn planned() -> Outcome<()> {
    let mut table = Table::default();
    table.recomputed()?;
    table.engineering()?;
    planned::measure(&mut table)?;
    table.print();
    Ok(())
}

fn measured() -> Outcome<()> {
    let mut table = Table::default();
    table.repeated()?;
    table.recomputed()?;
    table.engineering()?;
    planned::measure(&mut table)?;
    let pictures = scene::pictures()?;
    let pictures = pictures
        .get(..PICTURES)
        .ok_or("fewer than 300 drawn pictures; `cargo xtask bench` draws them")?;
    let folder = scene::fresh("large")?;
    let mut crew = exchange::meet(&folder)?;
    let large = job::surveyed(&crew.ann, &folder)?;
    for (n, picture) in pictures.iter().enumerate() {
        job::picture(&crew.ann, &large, picture, n)?;
    }
    job::pictured(&crew.ann, &large, PICTURES)?;
    // The last entries are readings, one each, until there are as many as the figure names.
    let data = crew.folder("ann");
    let here = scene::entries(&data)?;
    let rest = ENTRIES
        .checked_sub(here)
        .ok_or_else(|| format!("survey and pictures took {here} entries already"))?;
    for n in 0..rest {
        let run = large.runs.get(n / job::WIRES % job::RUNS).ok_or("no run")?;
        job::read(&crew.ann, &large, run, n % job::WIRES + 1, "pass")?;
    }
    if scene::entries(&data)? != ENTRIES {
        return Err("a reading was not one entry".into());
    }
    exchange::measure(&mut crew, &large, &mut table)?;
    job::worked(&crew.ann, &large)?;
    drop(crew);
    handed::measure(&folder, &data, &large.job, &mut table)?;
    screens::measure(&mut table)?;
    table.print();
    std::fs::remove_dir_all(&folder)?;
    Ok(())
}
