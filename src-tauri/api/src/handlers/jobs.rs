//! Jobs, and the things in them.

use records::record::new_item;
use records::subject::{ItemKind, Subject};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use ts_rs::TS;

use super::{Recorded, job_id, some_text};
use crate::acts::jobs as acts;
use crate::views::facts::{FactView, facts};
use crate::views::job::{JobView, job_view};
use crate::{ApiError, App};

/// Begins a job.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct BeginJob {
    /// Title.
    pub title: String,
    /// Address.
    pub place: String,
}

/// Begins a job in the current crew.
pub fn begin_job(app: &App, request: BeginJob) -> Result<Recorded, ApiError> {
    let (acted, job) = acts::begin(&mut app.record(), &request)?;
    Ok(Recorded::created(&acted, &Subject::Job(job)))
}

/// Names a job.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfJob {
    /// The job.
    pub job: String,
}

/// Reads a job.
pub fn read_job(app: &App, request: OfJob) -> Result<JobView, ApiError> {
    app.with_job(job_id(&request.job)?, |job| Ok(job_view(job)))
}

/// Names a subject of a job.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfSubject {
    /// The job.
    pub job: String,
    /// The subject.
    pub subject: String,
    /// Also give words that were replaced.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub history: bool,
}

/// A subject with its facts.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SubjectView {
    /// The subject.
    pub subject: String,
    /// Its name.
    pub name: String,
    /// Whether the layout still has it.
    pub in_layout: bool,
    /// Its facts.
    pub facts: Vec<FactView>,
}

/// Reads all that is said of a subject; with `history` also what was replaced.
pub fn read_subject(app: &App, request: OfSubject) -> Result<SubjectView, ApiError> {
    let subject: Subject = request.subject.parse()?;
    app.with_job(job_id(&request.job)?, |job| {
        Ok(SubjectView {
            subject: request.subject.clone(),
            name: crate::views::overview::name(job.name_of(&subject)),
            in_layout: job.in_layout(&subject),
            facts: facts(job, &subject, request.history),
        })
    })
}

/// The sorts of things that can be added by fields alone.
#[derive(Clone, Copy, Debug, Deserialize, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)] // the trade's words
pub enum Thing {
    Run,
    Post,
    Defect,
    Tool,
    Batch,
    Visit,
    Strand,
    FittingSet,
}

impl From<Thing> for ItemKind {
    fn from(thing: Thing) -> Self {
        match thing {
            Thing::Run => ItemKind::Run,
            Thing::Post => ItemKind::Post,
            Thing::Defect => ItemKind::Defect,
            Thing::Tool => ItemKind::Tool,
            Thing::Batch => ItemKind::Batch,
            Thing::Visit => ItemKind::Visit,
            Thing::Strand => ItemKind::Strand,
            Thing::FittingSet => ItemKind::FittingSet,
        }
    }
}

/// A first field of a new thing.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct FirstField {
    /// Field, as in the registry.
    pub field: String,
    /// Place within the field.
    #[serde(default)]
    #[ts(optional, as = "Option<String>")]
    pub place: String,
    /// Its value.
    #[ts(type = "any")]
    pub value: Value,
    /// How it came about, as of any value.
    #[serde(default)]
    #[ts(optional, type = "any")]
    pub with: Option<Value>,
}

/// Adds a thing to a job.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct AddThing {
    /// The job.
    pub job: String,
    /// What sort of thing.
    pub thing: Thing,
    /// Its first fields.
    pub fields: Vec<FirstField>,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Adds a run, post, defect, tool, batch, visit, strand or fitting set with its first fields; an odd
/// figure is questioned once.
pub fn add_thing(app: &App, request: AddThing) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let subject = Subject::Item(request.thing.into(), new_item()?);
    let acted = acts::add_thing(&mut app.record(), job, subject, &request)?;
    Ok(Recorded::created(&acted, &subject))
}

/// Removes a thing that was added by mistake.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct RemoveThing {
    /// The job.
    pub job: String,
    /// The subject.
    pub subject: String,
    /// Why.
    pub reason: String,
}

/// Withdraws the creation of a thing, with a reason; all that was said of it is kept.
pub fn remove_thing(app: &App, request: RemoveThing) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let subject = request.subject.parse()?;
    let reason = some_text("The reason", &request.reason)?;
    let acted = acts::remove(&mut app.record(), job, subject, &reason)?;
    Ok(Recorded::of(&acted))
}
