//! What decisions rest on: the claims that a figure comes from, and whether they still stand.
//!
//! Invariant: a claim that a figure was computed from is in the basis of the decision, so that
//! whoever replaces or disputes it later marks the decision. A key that a decision uses and of
//! which nothing is in its basis was empty when it was made.

use super::convert::run_of;
use super::corners::turning;
use super::posts::{beside, carriers, standing_at};
use super::tension::gauge;
use super::{WorkError, words};
use crate::book::Key;
use crate::claims;
use crate::ids::{Hash, ItemId};
use crate::job::{Job, Run, Wire};
use crate::model::values::{End, EndKind, Shape};
use crate::model::{Field, fields};
use crate::subject::{ItemKind, Subject};

/// A decision, by what it rests on.
#[derive(Clone, Copy, Debug)]
pub enum Decision<'a> {
    /// What the releases of a run for cutting have in common.
    Cut(&'a Run),
    /// The release of one wire: the same, and the readings that its length comes from.
    Release(&'a Run, &'a Wire),
    /// Tensions of a run.
    Tensions(&'a Run),
    /// The holes of a run.
    Drill(&'a Run),
    /// A layout of a run's wires.
    LayOut(&'a Run),
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

/// A value that does not stand, where something would rest on it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Unsettled {
    /// What it is about.
    pub(super) subject: Option<Subject>,
    /// The field in the registry's word.
    pub(super) field: String,
    /// "cross section of post A1".
    pub(super) name: String,
    /// Whether a newer version changed it, so that people here can't settle it.
    pub(super) newer: bool,
}

impl Unsettled {
    /// One sentence that says what to do.
    pub(super) fn sentence(&self) -> String {
        let what = match self.name.strip_prefix("whether ") {
            Some(rest) => format!("Whether {rest}"),
            None => format!("The {}", self.name),
        };
        if self.newer {
            format!("{what} was changed by a newer version. Update the program to see it.")
        } else {
            format!("{what} is disputed: people differ on it. Settle that first.")
        }
    }

    /// "the cross section of post A1", "whether the rail follows the floor of run A".
    pub(super) fn the(&self) -> String {
        match self.name.starts_with("whether ") {
            true => self.name.clone(),
            false => format!("the {}", self.name),
        }
    }
}

/// Values that a decision would use and that do not stand.
pub(super) fn unsettled(job: &Job<'_>, decision: Decision<'_>) -> Vec<Unsettled> {
    unsettled_of(job, keys(job, decision))
}

/// Those of some keys whose values do not stand, each once.
pub(super) fn unsettled_of(job: &Job<'_>, keys: Vec<Key>) -> Vec<Unsettled> {
    let mut found: Vec<Unsettled> = Vec::new();
    for key in keys {
        let Some(state) = job.reader.view.key(&key) else {
            continue;
        };
        let disputed = |l: &claims::Line| l.standing == claims::Standing::Disputed;
        if state.newer.is_empty() && !state.lines.iter().any(disputed) {
            continue;
        }
        let subject = key.subject.parse::<Subject>().ok();
        let of = subject
            .as_ref()
            .map_or_else(|| key.subject.clone(), |s| job.name_of(s));
        let one = Unsettled {
            name: match turns(job, &key) {
                Some(run) => format!("angle of run {run} at {of}"),
                None => format!("{} of {of}", words::field(&key.subject, &key.field)),
            },
            newer: !state.newer.is_empty(),
            field: key.field,
            subject,
        };
        if !found.contains(&one) {
            found.push(one);
        }
    }
    found
}

/// Name of the run of whose turn at a post a key tells; none of any other key.
fn turns<'j>(job: &'j Job<'_>, key: &Key) -> Option<&'j str> {
    let place = (key.field == fields::POST_ANGLE.name).then_some(&key.place)?;
    let run = place.parse::<ItemId>().ok()?;
    let run = job.runs.iter().find(|of| of.id == run)?;
    Some(&run.name)
}

/// The keys whose values a decision uses.
pub(super) fn keys(job: &Job<'_>, decision: Decision<'_>) -> Vec<Key> {
    let mut on = Keys(Vec::new());
    match decision {
        Decision::Cut(run) | Decision::Release(run, _) => {
            on.one(fields::RUN_TENSIONS, &run.subject(), "");
            on.parts(run);
            on.one(fields::RUN_WARMTH, &run.subject(), "");
            on.layout(run);
            on.corners(run);
            on.ends(job, run);
            on.others(job, run);
        }
        Decision::Tensions(run) => {
            on.one(fields::JOB_RULE_SET, &Subject::Job(job.id), "");
            on.parts(run);
            on.limits(job, run);
            on.layout(run);
            for bay in &run.bays {
                on.one(fields::BAY_CLEAR, &bay.subject, "");
            }
            for post in &run.posts {
                on.one(fields::POST_SUPPORT, &Subject::post(post.id), "");
            }
        }
        Decision::Drill(run) => on.drill(run),
        Decision::LayOut(run) => {
            on.one(fields::JOB_RULE_SET, &Subject::Job(job.id), "");
            on.one(fields::RUN_SHAPE, &run.subject(), "");
            on.one(fields::RUN_SLOPE, &run.subject(), "");
            on.one(fields::RUN_RAIL, &run.subject(), "");
            on.one(fields::RUN_STRAND, &run.subject(), "");
            if let Some(strand) = run.strand {
                let subject = Subject::Item(ItemKind::Strand, strand);
                on.one(fields::STRAND_FIGURES, &subject, "");
            }
            on.positions(run);
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
        }
    }

    /// What else limits the tension: thread, posts that carry it, gauge.
    fn limits(&mut self, job: &Job<'_>, run: &Run) {
        if let Some(set) = run.fitting_set {
            let subject = Subject::Item(ItemKind::FittingSet, set);
            self.one(fields::FITTING_EFFICIENCY, &subject, "");
            self.one(fields::FITTING_INSERT_PULL, &subject, "");
            self.one(fields::FITTING_THREAD_LIMIT, &subject, "");
        }
        for post in carriers(run) {
            self.one(fields::POST_TENSION_LIMIT, &Subject::post(post.id), "");
        }
        // Which parts of the set limit anything: a stud into an insert leaves none out.
        let other = |end: &End| end.kind != EndKind::Insert;
        for post in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
            if post.end.values().any(other) {
                let place = run.id.to_string();
                self.one(fields::POST_END, &Subject::post(post.id), &place);
            }
        }
        if let Some(gauge) = gauge(job) {
            let subject = Subject::Item(ItemKind::Tool, gauge.tool);
            self.one(fields::TOOL_ERROR, &subject, "");
            self.one(fields::TOOL_RANGE_FROM, &subject, "");
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

    /// How the run turns at its corners: where it does, nothing is cut by computation.
    fn corners(&mut self, run: &Run) {
        for post in turning(run) {
            self.one(
                fields::POST_ANGLE,
                &Subject::post(post.id),
                &run.id.to_string(),
            );
        }
    }

    fn positions(&mut self, run: &Run) {
        for post in &run.posts {
            let subject = Subject::post(post.id);
            self.one(fields::POST_POSITION, &subject, &run.id.to_string());
        }
    }

    /// Where holes lie, how wide and how deep they are.
    fn drill(&mut self, run: &Run) {
        let of_run = run.subject();
        self.one(fields::RUN_SHAPE, &of_run, "");
        self.one(fields::RUN_SLOPE, &of_run, "");
        self.one(fields::RUN_WIRE_COUNT, &of_run, "");
        self.one(fields::RUN_WIRE_HEIGHTS, &of_run, "");
        self.one(fields::RUN_FOLLOWS_FLOOR, &of_run, "");
        self.one(fields::RUN_FITTING_SET, &of_run, "");
        if let Some(set) = run.fitting_set {
            let subject = Subject::Item(ItemKind::FittingSet, set);
            self.one(fields::FITTING_TERMINALS, &subject, "");
            self.one(fields::FITTING_THROUGH_HOLE, &subject, "");
        }
        self.positions(run);
        let end = |id| run.ends().is_some_and(|(a, b)| a.id == id || b.id == id);
        for post in &run.posts {
            let subject = Subject::post(post.id);
            // A rake asks its two ends which is the lower; heights that are marked from the floor at
            // each post ask for no level.
            let floors = match run.shape {
                Shape::Raked => end(post.id),
                Shape::Level => run.follows_floor != Some(true),
            };
            self.one(fields::POST_SECTION, &subject, "");
            self.one(fields::POST_END, &subject, &run.id.to_string());
            if floors {
                self.one(fields::POST_FLOOR, &subject, "");
            }
        }
    }

    /// Other runs on the end posts: their direction, and what pulls where that is told.
    fn others(&mut self, job: &Job<'_>, run: &Run) {
        for post in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
            let subject = Subject::post(post.id);
            let pulls = beside(job, run, post);
            for (other, angle) in standing_at(job, run, post) {
                self.one(fields::POST_ANGLE, &subject, &angle);
                let told = job
                    .reader
                    .one(fields::POST_ANGLE, &subject.to_string(), &angle);
                if told.value().is_none() {
                    continue;
                }
                // Whether it pulls there its posts tell.
                self.positions(other);
                if !pulls.iter().any(|(pulling, ..)| pulling.id == other.id) {
                    self.one(fields::POST_ROLE, &subject, &other.id.to_string());
                    continue;
                }
                let of_other = other.subject();
                if other.tensions.value().is_none() {
                    // Taken as it would be suggested.
                    self.0.extend(keys(job, Decision::Tensions(other)));
                }
                self.one(fields::RUN_TENSIONS, &of_other, "");
                self.one(fields::RUN_WIRE_HEIGHTS, &of_other, "");
                self.one(fields::RUN_WIRE_COUNT, &of_other, "");
                self.one(fields::RUN_SHAPE, &of_other, "");
                self.one(fields::RUN_SLOPE, &of_other, "");
                self.one(fields::RUN_RAIL, &of_other, "");
                self.one(fields::POST_ROLE, &subject, &other.id.to_string());
            }
        }
    }

    /// Ends, end posts and rail: what the pull meets.
    fn ends(&mut self, job: &Job<'_>, run: &Run) {
        self.one(fields::RUN_RAIL, &run.subject(), "");
        self.one(fields::RUN_HEIGHT, &run.subject(), "");
        for post in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
            let subject = Subject::post(post.id);
            self.one(fields::POST_END, &subject, &run.id.to_string());
            self.one(fields::POST_SUPPORT, &subject, "");
            self.one(fields::POST_SECTION, &subject, "");
            self.one(fields::POST_MATERIAL, &subject, "");
            self.one(fields::POST_BASE, &subject, "");
            // A base turns alike whichever run it was pulled along.
            for place in job.reader.places(fields::POST_PULL, &subject.to_string()) {
                self.one(fields::POST_PULL, &subject, &place);
            }
        }
    }
}
