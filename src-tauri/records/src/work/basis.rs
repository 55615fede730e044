//! What decisions rest on: the claims that a figure comes from, and whether they still stand.
//!
//! Invariant: a claim that a figure was computed from is in the basis of the decision, so that
//! whoever replaces or disputes it later marks the decision.

use super::WorkError;
use super::convert::run_of;
use super::tension::gauge;
use crate::book::Key;
use crate::ids::{Hash, ItemId};
use crate::job::{Job, Run};
use crate::model::{Field, fields};
use crate::subject::{ItemKind, Subject};

/// A decision, by what it rests on.
#[derive(Clone, Copy, Debug)]
pub enum Decision<'a> {
    /// A release for cutting; the wire's own lengths stand beside this in its basis.
    Cut(&'a Run),
    /// Tensions of a run.
    Tensions(&'a Run),
    /// A sign-off, besides the heads that it names.
    SignOff,
}

/// Claims that the tensions of a run are decided on: rule set, parts, layout, readings of bays.
///
/// # Errors
/// When the run is unknown.
pub fn tension_basis(job: &Job<'_>, run: ItemId) -> Result<Vec<Hash>, WorkError> {
    Ok(basis(job, Decision::Tensions(run_of(job, run)?)))
}

/// Claims that a sign-off rests on: the rule set and the tensions of each run.
#[must_use]
pub fn sign_off_basis(job: &Job<'_>) -> Vec<Hash> {
    basis(job, Decision::SignOff)
}

/// The claims that stand on a decision's keys, each once.
pub(super) fn basis(job: &Job<'_>, decision: Decision<'_>) -> Vec<Hash> {
    let mut found = Vec::new();
    for key in keys(job, decision) {
        let lines = job.reader.view.key(&key).into_iter();
        for id in lines.flat_map(|s| &s.lines).flat_map(|line| &line.tips) {
            if !found.contains(id) {
                found.push(*id);
            }
        }
    }
    found
}

/// The keys whose values a decision uses.
pub(super) fn keys(job: &Job<'_>, decision: Decision<'_>) -> Vec<Key> {
    let mut on = Keys(Vec::new());
    match decision {
        Decision::Cut(run) => {
            on.one(fields::RUN_TENSIONS, &run.subject(), "");
            on.parts(run);
            if let Some(set) = run.fitting_set {
                let subject = Subject::Item(ItemKind::FittingSet, set);
                on.one(fields::FITTING_FIXED_DEDUCTION, &subject, "");
            }
            on.layout(run);
            on.ends(run);
        }
        Decision::Tensions(run) => {
            on.one(fields::JOB_RULE_SET, &Subject::Job(job.id), "");
            on.parts(run);
            on.limits(job, run);
            on.layout(run);
            for bay in &run.bays {
                on.one(fields::BAY_CLEAR, &bay.subject, "");
            }
        }
        Decision::SignOff => {
            on.one(fields::JOB_RULE_SET, &Subject::Job(job.id), "");
            for run in &job.runs {
                on.one(fields::RUN_TENSIONS, &run.subject(), "");
            }
        }
    }
    on.0
}

struct Keys(Vec<Key>);

impl Keys {
    fn one<T, C>(&mut self, field: Field<T, C>, subject: &Subject, place: &str) {
        self.0.push(Key {
            subject: subject.to_string(),
            field: field.name.to_owned(),
            place: place.to_owned(),
        });
    }

    /// Which strand and fitting set were chosen, and their figures.
    fn parts(&mut self, run: &Run) {
        let of_run = run.subject();
        self.one(fields::RUN_STRAND, &of_run, "");
        self.one(fields::RUN_FITTING_SET, &of_run, "");
        if let Some(strand) = run.strand {
            let subject = Subject::Item(ItemKind::Strand, strand);
            self.one(fields::STRAND_FIGURES, &subject, "");
        }
        if let Some(set) = run.fitting_set {
            let subject = Subject::Item(ItemKind::FittingSet, set);
            self.one(fields::FITTING_TERMINALS, &subject, "");
            self.one(fields::FITTING_EFFICIENCY, &subject, "");
            self.one(fields::FITTING_INSERT_PULL, &subject, "");
        }
    }

    /// What else limits the tension: thread, end posts, gauge.
    fn limits(&mut self, job: &Job<'_>, run: &Run) {
        if let Some(set) = run.fitting_set {
            let subject = Subject::Item(ItemKind::FittingSet, set);
            self.one(fields::FITTING_THREAD_LIMIT, &subject, "");
        }
        for post in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
            self.one(fields::POST_TENSION_LIMIT, &Subject::post(post.id), "");
        }
        if let Some(gauge) = gauge(job) {
            let subject = Subject::Item(ItemKind::Tool, gauge.tool);
            self.one(fields::TOOL_ERROR, &subject, "");
            self.one(fields::TOOL_RANGE_TO, &subject, "");
        }
    }

    fn layout(&mut self, run: &Run) {
        let of_run = run.subject();
        self.one(fields::RUN_WIRE_HEIGHTS, &of_run, "");
        self.one(fields::RUN_WIRE_COUNT, &of_run, "");
        self.one(fields::RUN_SHAPE, &of_run, "");
        self.one(fields::RUN_SLOPE, &of_run, "");
        for post in &run.posts {
            let subject = Subject::post(post.id);
            self.one(fields::POST_POSITION, &subject, &run.id.to_string());
            self.one(fields::POST_ROLE, &subject, &run.id.to_string());
        }
    }

    /// Ends, end posts and rail: what the pull meets.
    fn ends(&mut self, run: &Run) {
        self.one(fields::RUN_RAIL, &run.subject(), "");
        self.one(fields::RUN_HEIGHT, &run.subject(), "");
        for post in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
            let subject = Subject::post(post.id);
            self.one(fields::POST_END, &subject, &run.id.to_string());
            self.one(fields::POST_SECTION, &subject, "");
            self.one(fields::POST_MATERIAL, &subject, "");
            self.one(fields::POST_BASE, &subject, "");
        }
    }
}
