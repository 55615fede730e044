//! Which bays of a run are to be read.

use mechanics::Millimetres;

use super::standing::Taken;
use super::{DeflectionCheck, Reading, finishes};
use crate::ids::Hash;
use crate::job::{Bay, Job, PostInRun, Run};
use crate::model::values::Stage;
use crate::subject::Subject;
use crate::work::WorkError;
use crate::work::convert::slope_of;
use crate::work::supports::{clear_along, spans};

/// A bay to read, or any of several that are alike in what makes them so.
pub(super) struct ToRead {
    /// The bays; the first of them is named.
    pub(super) bays: Vec<Subject>,
    pub(super) name: String,
}

/// The widest bay as the table counts it, in its widest part as built, and the bay furthest from a
/// tensioner, each once. Of bays as wide, or as far, any one will do.
pub(super) fn to_read(run: &Run) -> Result<Vec<ToRead>, WorkError> {
    let mut found: Vec<ToRead> = Vec::new();
    for bays in [widest(run)?, furthest(run)] {
        let Some(first) = bays.first() else {
            continue;
        };
        if !found.iter().any(|t| t.bays.first() == Some(&first.subject)) {
            found.push(ToRead {
                name: first.name.clone(),
                bays: bays.iter().map(|b| b.subject).collect(),
            });
        }
    }
    Ok(found)
}

fn widest(run: &Run) -> Result<Vec<&Bay>, WorkError> {
    let slope = slope_of(run)?;
    let along = |bay: &Bay| -> Result<f64, WorkError> {
        Ok(clear_along(bay, slope)?.map_or(0.0, Millimetres::value))
    };
    let mut sums = Vec::new();
    for span in spans(run) {
        let mut parts = Vec::new();
        for bay in span.bays {
            parts.push((along(bay)?, bay));
        }
        sums.push((parts.iter().map(|(mm, _)| mm).sum::<f64>(), parts));
    }
    let parts = most(sums).into_iter().flat_map(most);
    Ok(parts.collect())
}

/// All that go with the largest figure.
fn most<T>(of: Vec<(f64, T)>) -> Vec<T> {
    let largest = of.iter().map(|(mm, _)| *mm).fold(0.0, f64::max);
    let held = of.into_iter().filter(|(mm, _)| *mm >= largest);
    held.map(|(_, one)| one).collect()
}

/// The last bay as seen from the one tensioner; with one at both ends the middle bay, or either of
/// two.
fn furthest(run: &Run) -> Vec<&Bay> {
    let tensioned =
        |at: Option<&PostInRun>| at.and_then(|p| p.end.shown()).is_none_or(|e| e.tensioner);
    let (last, half) = (run.bays.len().saturating_sub(1), run.bays.len() / 2);
    let at = match (tensioned(run.posts.first()), tensioned(run.posts.last())) {
        (true, false) => [last, last],
        (false, true) => [0, 0],
        _ => [last / 2, half],
    };
    let mut found: Vec<&Bay> = at.iter().filter_map(|at| run.bays.get(*at)).collect();
    found.dedup_by_key(|bay| bay.subject);
    found
}

/// What tells in which round a wire was read.
pub(super) struct Round {
    /// Its present piece.
    pub(super) piece: u32,
    pub(super) last_pass: Option<u32>,
    /// Readings that no gauge told.
    pub(super) unproven: Vec<Hash>,
    /// Readings of the last pass that a final round came after ([`another_round`]).
    pub(super) another: Vec<Hash>,
}

/// Readings of a last pass that no final one came before, where there is one: other wires were brought
/// up between the two. A bay that is touched up after its final reading is read.
pub(super) fn another_round(job: &Job<'_>, taken: &[Taken<'_>], piece: u32) -> Vec<Hash> {
    let here = || taken.iter().filter(|t| t.counts_on(piece));
    let finals: Vec<&Taken<'_>> = here().filter(|t| t.reading.stage == Stage::Final).collect();
    let passes = here().filter(|t| t.reading.stage == Stage::Pass && !finals.is_empty());
    let after_none = |t: &&Taken<'_>| !finals.iter().any(|old| t.knew(job, old));
    passes.filter(after_none).map(|t| t.reading.entry).collect()
}

/// Names of the bays to read that were not read in the newest round, neither with a gauge nor under a
/// mass.
pub(super) fn not_read(
    to_read: &[ToRead],
    readings: &[Reading],
    deflections: &[DeflectionCheck],
    of: &Round,
) -> Vec<String> {
    // What a wire showed before it was brought up anew says nothing of a bay now.
    let stands = |r: &&Reading| r.piece == of.piece && r.counts && !r.anew;
    let counted = || readings.iter().filter(stands);
    let hung = || deflections.iter().filter(|d| !d.replaced);
    // A pass before the last is another round than the last, which is as good as a final one where
    // none came after it.
    let as_final =
        |r: &Reading| finishes(r.stage, r.pass, of.last_pass) && !of.another.contains(&r.entry);
    let round = |r: &Reading| match as_final(r) {
        true => (Stage::Final, 0),
        false => (r.stage, r.pass.unwrap_or(0)),
    };
    let newest = counted()
        .map(round)
        .chain(hung().map(|d| (d.stage, 0)))
        .max();
    let read = |bay: Subject| {
        let by_gauge = counted().any(|r| {
            Some(round(r)) == newest && r.bay == Some(bay) && !of.unproven.contains(&r.entry)
        });
        let here = |d: &DeflectionCheck| newest.is_some_and(|n| n.0 == d.stage) && d.bay == bay;
        by_gauge || hung().any(here)
    };
    let left = to_read.iter().filter(|t| !t.bays.iter().any(|b| read(*b)));
    left.map(|t| t.name.clone()).collect()
}
