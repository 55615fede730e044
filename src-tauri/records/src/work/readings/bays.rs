//! Which bays of a run are to be read.

use mechanics::Millimetres;

use super::{DeflectionCheck, Reading};
use crate::job::{Bay, PostInRun, Run};
use crate::subject::Subject;
use crate::work::WorkError;
use crate::work::convert::slope_of;
use crate::work::supports::{clear_along, spans};

/// The widest bay as the table counts it, in its widest part as built, and the bay furthest from a tensioner, each once.
pub(super) fn to_read(run: &Run) -> Result<Vec<(Subject, String)>, WorkError> {
    let mut found: Vec<(Subject, String)> = Vec::new();
    let slope = slope_of(run)?;
    let along = |bay: &Bay| -> Result<f64, WorkError> {
        Ok(clear_along(bay, slope)?.map_or(0.0, Millimetres::value))
    };
    let mut widest: Option<(f64, Vec<&Bay>)> = None;
    for span in spans(run) {
        let mut sum = 0.0;
        for bay in &span.bays {
            sum += along(bay)?;
        }
        if widest.as_ref().is_none_or(|(most, _)| sum > *most) {
            widest = Some((sum, span.bays));
        }
    }
    let mut part: Option<(f64, &Bay)> = None;
    for bay in widest.into_iter().flat_map(|(_, bays)| bays) {
        let clear = along(bay)?;
        if part.is_none_or(|(most, _)| clear > most) {
            part = Some((clear, bay));
        }
    }
    let widest = part.map(|(_, bay)| bay);
    let tensioned =
        |at: Option<&PostInRun>| at.and_then(|p| p.end.shown()).is_none_or(|e| e.tensioner);
    let last = run.bays.len().saturating_sub(1);
    let furthest = match (tensioned(run.posts.first()), tensioned(run.posts.last())) {
        (true, false) => run.bays.get(last),
        (false, true) => run.bays.first(),
        _ => run.bays.get(last / 2),
    };
    for bay in [widest, furthest].into_iter().flatten() {
        if !found.iter().any(|(subject, _)| *subject == bay.subject) {
            found.push((bay.subject, bay.name.clone()));
        }
    }
    Ok(found)
}

/// Names of the bays to read that were not read in the newest round, neither with a gauge nor under a
/// mass.
pub(super) fn not_read(
    to_read: &[(Subject, String)],
    readings: &[Reading],
    deflections: &[DeflectionCheck],
    piece: u32,
) -> Vec<String> {
    let counted = || readings.iter().filter(|r| r.piece == piece && r.counts);
    let newest = counted()
        .map(|r| r.stage)
        .chain(deflections.iter().map(|d| d.stage))
        .max();
    let read = |bay: Subject| {
        let by_gauge = counted().any(|r| Some(r.stage) == newest && r.bay == Some(bay));
        let hung = |d: &DeflectionCheck| Some(d.stage) == newest && d.bay == bay;
        by_gauge || deflections.iter().any(hung)
    };
    let left = to_read.iter().filter(|(bay, _)| !read(*bay));
    left.map(|(_, name)| name.clone()).collect()
}
