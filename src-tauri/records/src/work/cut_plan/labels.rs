//! Labels for cut wires: which wire, how long, and which end is which hand; and which have none.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{CutPlan, names, pieces};
use crate::ids::ItemId;
use crate::job::{Job, Run, Wire};
use crate::model::values::Act;
use crate::work::stock::{mm, piece_name};

/// One label.
#[derive(Clone, Debug, PartialEq)]
pub struct CutLabel {
    /// Name of the wire's run, with which its own begins.
    pub run: String,
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
            run: run_name(job, one.run),
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
                run: run.name.clone(),
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

fn run_name(job: &Job<'_>, run: ItemId) -> String {
    job.run(run)
        .map_or_else(String::new, |run| run.name.clone())
}

/// Released wires without a label, for one reason.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Unlabelled {
    /// "A1–5, 7".
    pub names: String,
    /// Why, and what to do.
    pub reason: String,
}

/// Wires that are released and neither cut nor planned, run by run: nothing says of them what to cut from what.
#[must_use]
pub fn unlabelled(job: &Job<'_>, plan: &CutPlan) -> Vec<Unlabelled> {
    let mut found = Vec::new();
    for run in &job.runs {
        let mut reasons: Vec<(&str, Vec<u32>)> = Vec::new();
        for wire in &run.wires {
            let Some(reason) = left_out(plan, run, wire) else {
                continue;
            };
            match reasons.iter_mut().find(|(known, _)| *known == reason) {
                Some((_, wires)) => wires.push(wire.number),
                None => reasons.push((reason, vec![wire.number])),
            }
        }
        found.extend(reasons.into_iter().map(|(reason, wires)| Unlabelled {
            names: names(&run.name, &wires),
            reason: reason.to_owned(),
        }));
    }
    found
}

/// Why a released wire is not planned; none where it is, or is cut or not released.
fn left_out<'p>(plan: &'p CutPlan, run: &Run, wire: &Wire) -> Option<&'p str> {
    let groups = plan.strands.iter().flat_map(|strand| &strand.groups);
    let mut planned = groups.flat_map(|group| &group.cuts);
    if wire.issued.shown().is_none()
        || wire.is_cut()
        || planned.any(|cut| (cut.run, cut.wire) == (run.id, wire.number))
    {
        return None;
    }
    let mut short = plan.strands.iter().flat_map(|strand| &strand.no_stock);
    let short = short.find(|one| (one.run, one.wire) == (run.id, wire.number));
    let mut waiting = plan.not_ready.iter().filter(|one| one.run == run.id);
    let waiting = waiting.find(|one| one.wires.is_empty() || one.wires.contains(&wire.number));
    let strand = plan.strands.iter().find(|one| one.strand == run.strand);
    short
        .map(|one| one.reason.as_str())
        .or(waiting.map(|one| one.reason.as_str()))
        .or(strand.and_then(|one| one.problem.as_deref()))
}
