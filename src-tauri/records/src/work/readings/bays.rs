//! Which bays of a run are to be read.

use crate::job::{Bay, PostInRun, Run};
use crate::subject::Subject;
use crate::work::supports::spans;

/// The widest bay as the table counts it, in its widest part as built, and the bay furthest from a tensioner, each once.
pub(super) fn to_read(run: &Run) -> Vec<(Subject, String)> {
    let mut found: Vec<(Subject, String)> = Vec::new();
    let nm = |bay: &Bay| bay.clear.map_or(0, |c| c.nm);
    let widest = spans(run)
        .into_iter()
        .rev()
        .max_by_key(|span| span.bays.iter().map(|b| nm(b)).sum::<i64>())
        .and_then(|span| span.bays.into_iter().rev().max_by_key(|b| nm(b)));
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
    found
}
