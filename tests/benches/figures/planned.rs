//! The cut plan beside an exact solver, and the least order beside numpy, each in this run.

use std::io::Write;
use std::path::Path;
use std::process::{Command, Stdio};

use mechanics::Newtons;
use mechanics::cut_plan::cut_plan;
use serde_json::{Value, json};

use crate::scene::Outcome;
use crate::table::{Table, median_s};
use crate::{cut_plan as plans, order};

/// Adds both, with what each came to.
pub(crate) fn measure(table: &mut Table) -> Outcome<()> {
    for name in plans::NAMES {
        plan(table, name)?;
    }
    least(table)
}

fn plan(table: &mut Table, name: &str) -> Outcome<()> {
    let reels = cut_plan(&plans::instance(name))?.reels;
    let proven = match reels.least_possible {
        true => ", the least possible",
        false => "",
    };
    let what = format!(
        "cut plan of 400 pieces, {name}: {} reels{proven}",
        reels.planned
    );
    let here = median_s(&format!("cut plan/{name}"))?;
    let Some(case) = plans::asked(name) else {
        let fewest = plans::by_length(name);
        let words = format!("no plan takes fewer than {fewest} reels, by length alone");
        table.beside_words(&what, here, &words);
        return within(name, fewest <= u64::from(reels.planned));
    };
    let told = asked("reference/cut_plan.py", &json!([case]))?;
    let told = &told[0];
    let fewest = told["fewest"].as_u64().ok_or("no plan")?;
    let version = told["version"].as_str().unwrap_or("?");
    // Listing the ways to cut is Python's work and not the solver's.
    let listed = told["listS"].as_f64().ok_or("no time")?;
    let peer = format!(
        "HiGHS {version}, {fewest} reels (and {:.0} ms to list the ways to cut)",
        listed * 1e3
    );
    let solved = told["solveS"].as_f64().ok_or("no time")?;
    table.beside(&what, here, &peer, solved);
    let bound = u64::from(reels.at_least) <= fewest;
    within(name, bound && fewest <= u64::from(reels.planned))
}

/// A plan below an optimum, or a bound above it, is no figure.
fn within(name: &str, holds: bool) -> Outcome<()> {
    match holds {
        true => Ok(()),
        false => Err(format!("cut plan {name}: fewer reels than there can be").into()),
    }
}

fn least(table: &mut Table) -> Outcome<()> {
    let frame = order::frame();
    let set = vec![order::SET; order::WIRES];
    let ours = order::least(&frame, &set)?;
    let mut takes = Vec::new();
    for wire in 0..order::WIRES {
        let mut one = vec![Newtons(0.0); order::WIRES];
        if let Some(own) = one.get_mut(wire) {
            *own = Newtons(1.0);
        }
        takes.push(frame.turn_in(&one)?);
    }
    let question = json!({"takes": takes, "turned": frame.turn_in(&set)?});
    let peer = asked("benches/order/peer.py", &question)?;
    let least = peer["newtons"].as_f64().ok_or("no least order")?;
    if (ours.largest.value() - least).abs() > 1e-6 * least {
        return Err(format!("the least order: {} beside {least} N", ours.largest).into());
    }
    let what = format!(
        "least order of {} wires, largest target {:.0} N",
        order::WIRES,
        ours.largest.value()
    );
    let version = peer["version"].as_str().unwrap_or("?");
    let name = format!("numpy {version}, the same programme, {least:.0} N");
    let took = peer["seconds"].as_f64().ok_or("no time")?;
    table.beside(&what, median_s("order/15 wires")?, &name, took);
    Ok(())
}

/// What a script of the tests answers: the last line that it prints.
fn asked(script: &str, question: &Value) -> Outcome<Value> {
    let python = std::env::var("TAUTBOOK_PYTHON")
        .map_err(|_| "TAUTBOOK_PYTHON names no python with the peers; run `cargo xtask bench`")?;
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join(script);
    let mut child = Command::new(python)
        .arg("-B")
        .arg(&script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()?;
    let told = serde_json::to_vec(question)?;
    // A script that fails before it listens is told by its own words below.
    let written = child.stdin.take().ok_or("a pipe")?.write_all(&told);
    let ended = child.wait_with_output()?;
    if !ended.status.success() {
        let words = String::from_utf8_lossy(&ended.stderr);
        return Err(format!("{} failed ({written:?}): {words}", script.display()).into());
    }
    let text = String::from_utf8(ended.stdout)?;
    let last = text.lines().last().unwrap_or_default();
    Ok(serde_json::from_str(last)?)
}
