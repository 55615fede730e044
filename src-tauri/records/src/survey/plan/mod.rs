//! From what a survey says to acts of the record, held against what the job already says.
//!
//! Invariant: importing the same file again records nothing. A value that the job already has, in
//! force or replaced since, is left alone; one that differs is only replaced when a person
//! confirmed it. Nothing is recorded here. One file past 400 lines, since parts, their counts and what is
//! planned of each are one form.

mod against;
mod holes;
mod layout;
mod positions;
mod readings;
mod sums;
mod together;

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use ts_rs::TS;

use super::facts::{Fact, Given, Survey, Thing};
use super::problem::{Log, Outcome, SurveyProblem, line_of, shown};
use crate::error::RecordError;
use crate::ids::{Hash, ItemId};
use crate::job::Job;
use crate::model::bounds;
use crate::model::values::{Along, Length, Tensions};
use crate::record::Draft;
use crate::subject::{ItemKind, Subject, SubjectKind};
use crate::work::{odd_offer, odd_value};
use holes::Told;
use layout::Layout;

/// A part of a survey.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)] // explained at Counts
pub enum Part {
    Job,
    Tools,
    Strands,
    FittingSets,
    Runs,
    Posts,
    PostsInRuns,
    Bays,
    Lengths,
    Tensions,
}

/// How many things of each part were recorded.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[ts(rename = "SurveyCounts")]
pub struct Counts {
    /// Facts of the job and its site.
    pub job: u32,
    /// Tools.
    pub tools: u32,
    /// Strands copied from the library.
    pub strands: u32,
    /// Fitting sets copied from the library.
    pub fitting_sets: u32,
    /// Runs, new or changed.
    pub runs: u32,
    /// Posts, new or changed.
    pub posts: u32,
    /// Places of posts in runs.
    pub posts_in_runs: u32,
    /// Bays read.
    pub bays: u32,
    /// Inside-to-inside lengths read.
    pub lengths: u32,
    /// Runs whose tensions were decided.
    pub tensions: u32,
}

impl Counts {
    /// Counts things of a part.
    pub fn add(&mut self, part: Part, count: u32) {
        let of = match part {
            Part::Job => &mut self.job,
            Part::Tools => &mut self.tools,
            Part::Strands => &mut self.strands,
            Part::FittingSets => &mut self.fitting_sets,
            Part::Runs => &mut self.runs,
            Part::Posts => &mut self.posts,
            Part::PostsInRuns => &mut self.posts_in_runs,
            Part::Bays => &mut self.bays,
            Part::Lengths => &mut self.lengths,
            Part::Tensions => &mut self.tensions,
        };
        *of = of.saturating_add(count);
    }

    /// All that was recorded, of every part together.
    pub fn all(&self) -> u64 {
        [
            self.job,
            self.tools,
            self.strands,
            self.fitting_sets,
            self.runs,
            self.posts,
            self.posts_in_runs,
            self.bays,
            self.lengths,
            self.tensions,
        ]
        .into_iter()
        .map(u64::from)
        .sum()
    }
}

/// One act to record: all of its entries or none.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedAct {
    /// What part of the survey it is.
    pub part: Part,
    /// How many things or readings it records.
    pub count: u32,
    /// Where it stands in the file.
    pub path: String,
    /// Its entries.
    pub drafts: Vec<Draft>,
}

/// Tensions to decide once the bays that they rest on are recorded.
#[derive(Clone, Debug, PartialEq)]
pub struct PlannedTensions {
    /// Where they stand in the file.
    pub path: String,
    /// The run.
    pub run: ItemId,
    /// The tensions.
    pub tensions: Tensions,
    /// Their figures as the file has them.
    pub entered: String,
}

/// What an import will record, and what it will not.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Plan {
    /// Acts in order.
    pub acts: Vec<PlannedAct>,
    /// Decisions that follow the acts.
    pub tensions: Vec<PlannedTensions>,
    /// Everything that does not fit, of the reading and of the planning.
    pub problems: Vec<SurveyProblem>,
    /// Values and readings that the job already has.
    pub already: u32,
    /// Runs that the file speaks of, with their paths.
    pub runs: Vec<(String, ItemId)>,
}

/// Plans what a survey adds to a job.
///
/// With `confirmed`, questioned values are recorded too. `new_id` gives ids for new things.
///
/// # Errors
/// When `new_id` gives none.
pub fn plan(
    survey: &Survey,
    job: &Job<'_>,
    confirmed: bool,
    new_id: &mut dyn FnMut() -> Result<ItemId, RecordError>,
) -> Result<Plan, RecordError> {
    let mut planner = Planner {
        job,
        confirmed,
        log: Log::default(),
        ids: known_ids(job),
        refused: BTreeSet::new(),
        used: BTreeSet::new(),
        clears: Vec::new(),
        told: Told::of(survey),
        plan: Plan::default(),
    };
    planner.job_facts(survey);
    for thing in &survey.things {
        planner.thing(thing, new_id)?;
    }
    let mut layouts = layout::known(job);
    layout::shape(&planner, survey, &mut layouts);
    planner.places(survey, &mut layouts);
    planner.bays(survey, &layouts);
    planner.lengths(survey, &layouts);
    planner.tensions(survey);
    let Planner { log, mut plan, .. } = planner;
    plan.problems.clone_from(&survey.problems);
    plan.problems.extend(log.into_problems());
    plan.problems.sort_by_key(|problem| line_of(&problem.path));
    Ok(plan)
}

/// What planning goes by and what it has found so far.
struct Planner<'a, 'j> {
    job: &'a Job<'j>,
    confirmed: bool,
    log: Log,
    /// Things by name; more than one id where the job has two of a name.
    ids: BTreeMap<(ItemKind, String), Vec<ItemId>>,
    /// Things of the file that were refused.
    refused: BTreeSet<(ItemKind, String)>,
    /// Lines of the record that a reading of the file was found to be.
    used: BTreeSet<Hash>,
    /// Clear distances of bays that the file gives and that go on.
    clears: Vec<(Subject, Length, Along)>,
    /// What the file tells of posts and fitting sets that holes are held against.
    told: Told,
    plan: Plan,
}

impl Planner<'_, '_> {
    fn job_facts(&mut self, survey: &Survey) {
        let subject = Subject::Job(self.job.id);
        let drafts: Vec<Draft> = survey
            .job
            .iter()
            .filter_map(|fact| {
                let can_be = self.can_be(subject.kind(), fact);
                can_be.then(|| self.against(&subject, fact, &fact.place))?
            })
            .collect();
        self.act(Part::Job, drafts.len(), "job", drafts);
    }

    fn thing(
        &mut self,
        thing: &Thing,
        new_id: &mut dyn FnMut() -> Result<ItemId, RecordError>,
    ) -> Result<(), RecordError> {
        let name = (thing.kind, thing.name.clone());
        let kind = SubjectKind::from(thing.kind);
        let wrong = thing.facts.iter().filter(|fact| !self.can_be(kind, fact));
        if wrong.count() > 0 || !thing.whole {
            self.refused.insert(name);
            return Ok(());
        }
        let part = match thing.kind {
            ItemKind::Tool => Part::Tools,
            ItemKind::Strand => Part::Strands,
            ItemKind::FittingSet => Part::FittingSets,
            ItemKind::Run => Part::Runs,
            _ => Part::Posts,
        };
        let known = self.ids.get(&name).cloned().unwrap_or_default();
        let id = match known.as_slice() {
            [id] => {
                let subject = Subject::Item(thing.kind, *id);
                let facts = thing.facts.iter();
                let drafts: Vec<Draft> = facts
                    .filter_map(|fact| self.against(&subject, fact, &fact.place))
                    .collect();
                let count = usize::from(!drafts.is_empty());
                self.act(part, count, &thing.path, drafts);
                *id
            }
            [_, _, ..] => {
                let message = "the job has two things of this name; give each its own first";
                self.log.refuse(&thing.path, message);
                self.refused.insert(name);
                return Ok(());
            }
            [] => {
                let Some(mut facts) = self.resolved(thing) else {
                    self.refused.insert(name);
                    return Ok(());
                };
                facts.retain(|fact| match &fact.value {
                    Given::Value(value) => self.usual(kind, fact, value, &[]),
                    Given::Named(..) => true,
                });
                let id = new_id()?;
                self.together(Subject::Item(thing.kind, id), &mut facts);
                let drafts = against::creation(Subject::Item(thing.kind, id), &facts);
                self.act(part, 1, &thing.path, drafts);
                self.ids.insert(name, vec![id]);
                id
            }
        };
        if thing.kind == ItemKind::Run {
            self.plan.runs.push((thing.path.clone(), id));
        }
        Ok(())
    }

    /// The facts of a new thing with names as ids; none when one names what was refused.
    fn resolved(&self, thing: &Thing) -> Option<Vec<Fact>> {
        let resolved = thing.facts.iter().map(|fact| {
            let value = self.value(fact)?;
            Some(Fact {
                value: Given::Value(value),
                ..fact.clone()
            })
        });
        resolved.collect()
    }

    /// Notes that readings of the file are of a run, for what is told of it after; who said yes to them was
    /// asked before.
    fn speaks_of(&mut self, run: ItemId, path: &str) {
        if !self.confirmed && !self.plan.runs.iter().any(|(_, known)| *known == run) {
            self.plan.runs.push((path.to_owned(), run));
        }
    }

    fn act(&mut self, part: Part, count: usize, path: &str, drafts: Vec<Draft>) {
        if !drafts.is_empty() {
            self.plan.acts.push(PlannedAct {
                part,
                count: u32::try_from(count).unwrap_or(u32::MAX),
                path: path.to_owned(),
                drafts,
            });
        }
    }

    /// Whether every figure of a fact can be; what can't is refused with its path.
    fn can_be(&self, subject: SubjectKind, fact: &Fact) -> bool {
        let Given::Value(value) = &fact.value else {
            return true;
        };
        let wrong = bounds::figures(subject, fact.field, value);
        if let Some(reason) = &wrong {
            self.log.refuse(&fact.path, reason.clone());
        }
        wrong.is_none()
    }

    /// The thing of this name, or a refusal that says why there is none.
    fn named(&self, kind: ItemKind, name: &str, path: &str) -> Option<ItemId> {
        let key = (kind, name.to_owned());
        let word = match kind {
            ItemKind::Run => "run",
            ItemKind::Post => "post",
            ItemKind::Tool => "tool",
            _ => "part",
        };
        let name = shown(name);
        let message = match self.ids.get(&key).map(Vec::as_slice) {
            Some([id]) => return Some(*id),
            Some([_, _, ..]) => format!("the job has two things called {name}; rename one first"),
            _ if self.refused.contains(&key) => {
                format!("rests on {word} {name}, which was refused; correct that first")
            }
            _ => format!("there is no {word} {name:?} in this file or in the job"),
        };
        self.log.refuse(path, message);
        None
    }

    /// Whether a value goes on beside what stands on its key: its lengths are usual, and so is how it was
    /// read, or they were confirmed.
    fn usual(&self, subject: SubjectKind, fact: &Fact, value: &Value, stands: &[&Value]) -> bool {
        let question = odd_value(subject, fact.field, value, stands);
        let of_offer = fact.with.iter().flat_map(odd_offer);
        let asked = question.into_iter().chain(of_offer);
        // Each of them is told, not only the first.
        let held = asked.filter(|question| !self.asked(&fact.path, question));
        held.count() == 0
    }

    /// Whether a questioned value goes on; if not, the question is kept.
    fn asked(&self, path: &str, question: &str) -> bool {
        if !self.confirmed {
            let message = format!("{question} It was not recorded; confirm it if it is right.");
            self.log.say(path, Outcome::Questioned, message);
        }
        self.confirmed
    }

    fn tensions(&mut self, survey: &Survey) {
        for row in &survey.tensions {
            let Some(run) = self.named(ItemKind::Run, &row.run, &row.path) else {
                continue;
            };
            let stands = self.job.run(run).and_then(|r| r.tensions.shown());
            // Origins are said by whoever records them, so the figures alone are compared.
            if stands.is_some_and(|t| t.same_figures(&row.tensions)) {
                self.plan.already += 1;
                continue;
            }
            let question = "Other tensions are decided for this run.";
            if stands.is_none() || self.asked(&row.path, question) {
                self.plan.tensions.push(PlannedTensions {
                    path: row.path.clone(),
                    run,
                    tensions: row.tensions.clone(),
                    entered: row.entered.clone(),
                });
            }
        }
    }
}

fn known_ids(job: &Job<'_>) -> BTreeMap<(ItemKind, String), Vec<ItemId>> {
    let mut ids: BTreeMap<(ItemKind, String), Vec<ItemId>> = BTreeMap::new();
    let mut add = |kind, name: &str, id| {
        let key = (kind, name.trim().to_owned());
        ids.entry(key).or_default().push(id);
    };
    for run in &job.runs {
        add(ItemKind::Run, &run.name, run.id);
    }
    for post in &job.posts {
        add(ItemKind::Post, &post.name, post.id);
    }
    for tool in &job.tools {
        add(ItemKind::Tool, &tool.name, tool.id);
    }
    for strand in &job.strands {
        add(ItemKind::Strand, &strand.name, strand.id);
    }
    for set in &job.fitting_sets {
        add(ItemKind::FittingSet, &set.name, set.id);
    }
    ids
}
