//! Labels for cut wires: which wire, how long, and which end is which hand.

use super::{CutPlan, pieces};
use crate::job::Job;
use crate::model::values::Act;
use crate::work::stock::{mm, piece_name};

/// One label.
#[derive(Clone, Debug, PartialEq)]
pub struct CutLabel {
    /// "A6".
    pub wire: String,
    /// Length.
    pub length_mm: f64,
    /// Shortest and longest that work, as told with the release; none where it is cut.
    pub window_mm: Option<(f64, f64)>,
    /// The first end with its hand: "A1:LH"; empty where it is not known.
    pub end: String,
    /// Reel or offcut that it is cut from; empty where it is not known.
    pub from: String,
    /// Place in the order of cutting; none where it is cut.
    pub number: Option<u32>,
    /// Whether it is a trial wire.
    pub trial: bool,
}

/// Labels of a plan in the order of cutting; with `cut` those of wires that are cut and not fitted
/// stand after them.
#[must_use]
pub fn cut_labels(job: &Job<'_>, plan: &CutPlan, cut: bool) -> Vec<CutLabel> {
    let mut labels = Vec::new();
    for group in plan.strands.iter().flat_map(|strand| &strand.groups) {
        labels.extend(group.cuts.iter().map(|one| CutLabel {
            wire: one.name.clone(),
            length_mm: one.cut_mm,
            window_mm: Some((one.shortest_mm, one.longest_mm)),
            end: one.end.clone(),
            from: group.name.clone(),
            number: Some(one.number),
            trial: one.trial,
        }));
    }
    if !cut {
        return labels;
    }
    for run in &job.runs {
        let end = pieces::first_end(job, run);
        for wire in &run.wires {
            let Some(made) = wire.cut.value().filter(|_| !wire.has(Act::Fitted)) else {
                continue;
            };
            let from = made
                .batch
                .and_then(|batch| job.batches.iter().find(|b| b.id == batch));
            labels.push(CutLabel {
                wire: piece_name(job, run.id, wire.number, wire.piece_number),
                length_mm: mm(made.nm),
                window_mm: None,
                end: end.clone(),
                from: from.map_or_else(String::new, |batch| batch.name.clone()),
                number: None,
                trial: wire.number == run.trial_wire,
            });
        }
    }
    labels
}
