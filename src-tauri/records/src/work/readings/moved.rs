//! Wires that moved since they were read, as others were brought up or taken out, by what those showed.
//!
//! Tells what is to be read again, whether or not anybody told turns, and what is computed to be there; changes
//! no reading. Where no frame can be told of the run nothing is computed.

use mechanics::Newtons;

use super::answer::TensionLine;
use super::masses::{Bounds, all_hung};
use super::replay::replay;
use crate::job::{Job, Run};
use crate::model::values::Stage;
use crate::work::WorkError;
use crate::work::convert::mn;
use crate::work::frame::frame_before;

/// Marks them, and tells where nobody said how the wires came to their tension. `against`: what they have to show,
/// what nothing may exceed, and the gauge's error as a share.
pub(super) fn mark(
    job: &Job<'_>,
    run: &Run,
    lines: &mut [TensionLine],
    (required, upper, error): (Option<Newtons>, Option<Newtons>, Option<f64>),
) -> Result<Option<String>, WorkError> {
    let Some(decided) = run.tensions.value() else {
        return Ok(None);
    };
    let read = lines.iter().filter(|line| line.is_read()).count();
    // A wire that is alone on its posts is moved by none.
    if read == 0 || lines.len() < 2 {
        return Ok(None);
    }
    let passes = decided.passes_mn.len();
    let bounds = Bounds::of(passes, (upper, error), required, mn(decided.set_mn))?;
    let note = found_so(run, lines, &bounds);
    let Ok(frame) = frame_before(job, run)? else {
        return Ok(note);
    };
    let stood = match replay(job, run, &frame, lines, (&bounds, error)) {
        Ok(stood) => stood,
        // A figure that can't be is told by what rests on it; no reading is lost for it.
        Err(_) => return Ok(note),
    };
    let numbers: Vec<u32> = lines.iter().map(|line| line.wire).collect();
    for (place, line) in lines.iter_mut().enumerate().filter(|(_, l)| l.is_read()) {
        line.brought_n = stood.brought_to(place, line).map(Newtons::value);
        let Some(moved) = stood.moved(place, &bounds) else {
            continue;
        };
        line.stands_n = moved.now.map(Newtons::value);
        let since = moved.since.iter().filter_map(|at| numbers.get(*at));
        line.turned_after.extend(since);
        line.turned_after.sort_unstable();
        line.turned_after.dedup();
    }
    Ok(note)
}

/// Said where several wires were read at their set tension and neither a pass nor a turning is on record.
/// What was only heard, or hung under a mass that tells too little, is no pass.
pub(in crate::work) fn found_so(
    run: &Run,
    lines: &[TensionLine],
    bounds: &Bounds,
) -> Option<String> {
    let several = lines
        .iter()
        .filter(|line| line.last_final.is_some())
        .count()
        > 1;
    let in_passes = lines.iter().any(|line| {
        let counted = line.readings.iter();
        let counted = counted.filter(|reading| reading.counts && reading.newtons.is_some());
        let read = counted.map(|reading| reading.stage);
        let mut all = read.chain(all_hung(bounds, line).map(|told| told.check.stage));
        all.any(|stage| stage == Stage::Pass)
    });
    let turned = run.wires.iter().any(|wire| !wire.turns.is_empty());
    (several && !in_passes && !turned).then(|| {
        format!(
            "No pass of run {} is on record: its wires count as found at what was read. If they were brought up one \
             after the other, read all once more.",
            run.name
        )
    })
}
