//! A job as a screen needs it: layout, things recorded beside it, and what is unsettled.
//!
//! It shows what the record says and works nothing out.

mod run;
mod things;
mod wire;

use records::job::Job;
use records::job::things::{Batch, Visit};
use records::subject::{ItemKind, Subject};
use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use crate::views::overview::name as called;

pub use run::{BayView, GapView, PostView, RunView, bay_place, run_view};
pub use things::{
    DefectView, FileView, PictureView, SampleView, ShowsView, SignOffView, ThingView,
};
pub use wire::{CrimpView, LengthView, ReadingView, WireView, standing};

use crate::views::facts::{FactView, facts, facts_of};
use things::{defect_view, document_view, photo_view, sample_view, sign_off, thing, tool_view};

/// A job.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)] // as in records::job::Job
pub struct JobView {
    pub job: String,
    pub subject: String,
    pub title: String,
    pub place: String,
    pub facts: Vec<FactView>,
    pub runs: Vec<RunView>,
    pub photos: Vec<PictureView>,
    pub documents: Vec<PictureView>,
    pub defects: Vec<DefectView>,
    pub tools: Vec<ThingView>,
    pub batches: Vec<ThingView>,
    pub visits: Vec<ThingView>,
    pub strands: Vec<ThingView>,
    pub fitting_sets: Vec<ThingView>,
    pub samples: Vec<SampleView>,
    pub sign_offs: Vec<SignOffView>,
    pub unsettled: Vec<UnsettledView>,
    /// What is said of wires and bays that the layout no longer has.
    pub no_longer: Vec<records::work::NoLonger>,
}

/// A value that people must settle.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct UnsettledView {
    /// The subject.
    pub subject: String,
    /// Its name.
    pub name: String,
    /// The facts, several words each.
    pub fact: FactView,
}

/// Makes the view of a job.
#[must_use]
pub fn job_view(job: &Job<'_>) -> JobView {
    let subject = Subject::Job(job.id);
    let text = |f| job.reader.one(f, &job.subject(), "").label();
    let stands = records::work::Stands::of(job);
    JobView {
        job: job.id.to_string(),
        subject: subject.to_string(),
        title: called(text(records::model::fields::JOB_TITLE)),
        place: called(text(records::model::fields::JOB_PLACE)),
        facts: facts(job, &subject, false),
        runs: job
            .runs
            .iter()
            .map(|run| run_view(job, run, &stands))
            .collect(),
        photos: job.photos.iter().map(|p| photo_view(job, p)).collect(),
        documents: job
            .documents
            .iter()
            .map(|d| document_view(job, d))
            .collect(),
        defects: job.defects.iter().map(|d| defect_view(job, d)).collect(),
        tools: job.tools.iter().map(|t| tool_view(job, t)).collect(),
        batches: job
            .batches
            .iter()
            .map(|b: &Batch| thing(job, ItemKind::Batch, b.id, &b.name))
            .collect(),
        visits: job
            .visits
            .iter()
            .map(|v: &Visit| {
                let name = v.day.clone().map(String::from).unwrap_or_default();
                thing(job, ItemKind::Visit, v.id, &name)
            })
            .collect(),
        strands: job
            .strands
            .iter()
            .map(|s| thing(job, ItemKind::Strand, s.id, &s.name))
            .collect(),
        fitting_sets: job
            .fitting_sets
            .iter()
            .map(|s| thing(job, ItemKind::FittingSet, s.id, &s.name))
            .collect(),
        samples: job
            .sample_crimps
            .iter()
            .filter_map(|fact| sample_view(job, fact))
            .collect(),
        sign_offs: job
            .sign_offs
            .iter()
            .filter_map(|(stage, fact)| sign_off(job, stage, fact, &stands))
            .collect(),
        unsettled: unsettled(job),
        no_longer: records::work::no_longer(job),
    }
}

fn unsettled(job: &Job<'_>) -> Vec<UnsettledView> {
    job.reader
        .unsettled()
        .flat_map(|(key, state)| {
            let name = key
                .subject
                .parse()
                .map_or_else(|_| String::new(), |s| called(job.name_of(&s)));
            facts_of(job, key, state, false)
                .into_iter()
                .filter(|fact| fact.standing == "disputed" || fact.standing == "newer")
                .map(move |fact| UnsettledView {
                    subject: key.subject.clone(),
                    name: name.clone(),
                    fact,
                })
        })
        .collect()
}
