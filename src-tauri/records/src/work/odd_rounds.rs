//! What to ask about the round that a reading is taken in, before it is kept: its pass and its repeat.
//!
//! Limits are common practice, no published source. Changes and refuses nothing.

use super::WorkError;
use super::readings::last_pass;
use super::tensioning::tensioning;
use crate::job::{Job, Run};
use crate::model::values::Stage;

/// How often one wire may be read in a round unasked.
const REPEATS: u32 = 20;

/// What to ask about which repeat a reading is; none where it is usual.
#[must_use]
pub fn odd_repeat(repeat: u32) -> Option<String> {
    (repeat > REPEATS).then(|| {
        format!(
            "Repeat {repeat} of one reading is unusual, where a wire is read a few times in a round. Is it right?"
        )
    })
}

/// What to ask about the pass of a reading: one after those that are decided, with one more over, and those
/// that are planned. A pass that was begun was asked about then; where nothing is decided nothing is asked.
///
/// # Errors
/// When a figure of the run can't be.
pub fn odd_pass(
    job: &Job<'_>,
    run: &Run,
    stage: Stage,
    pass: Option<u32>,
) -> Result<Option<String>, WorkError> {
    let (Some(pass), Some(decided), Stage::Pass) = (pass, last_pass(run), stage) else {
        return Ok(None);
    };
    if pass <= decided.max(1) + 1 || begun(run) >= pass {
        return Ok(None);
    }
    let planned = tensioning(job, run.id)?.passes.len();
    let last = decided.max(u32::try_from(planned).unwrap_or(u32::MAX));
    Ok((pass > last).then(|| {
        let are = if last == 1 { "pass is" } else { "passes are" };
        format!(
            "Pass {pass} would be told, and {last} {are} planned for run {}. Is it right?",
            run.name
        )
    }))
}

/// The highest pass in which a wire of a run was read.
fn begun(run: &Run) -> u32 {
    let facts = run.wires.iter().flat_map(|wire| &wire.tensions);
    let tips = facts.flat_map(|(_, fact)| &fact.tips);
    tips.filter_map(|tip| tip.with.as_ref())
        .filter(|with| with.stage == Stage::Pass)
        .filter_map(|with| with.pass)
        .max()
        .unwrap_or(0)
}
