//! What people work from: rules held against a run, cut sheet, parts, holes, readings, what is next.

use handover::drawing::{Drawing, drawing, states};
use records::ids::ItemId;
use records::job::Job;
use records::work::{
    self, BeforeOrdering, CutSheet, HoleSchedule, Lacks, NextAct, Progress, TakeOff, TensionPlan,
    Tensions, Wires, WorkError,
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::jobs::OfJob;
use super::{item, job_id};
use crate::{ApiError, App, ErrorCode};

impl From<WorkError> for ApiError {
    fn from(error: WorkError) -> Self {
        let code = match error {
            WorkError::UnknownRun(_) => ErrorCode::NotFound,
            _ => ErrorCode::Invalid,
        };
        ApiError::new(code, error.to_string())
    }
}

/// Names a run of a job.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfRun {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
}

pub(super) fn of_run<T>(
    app: &App,
    request: &OfRun,
    read: impl FnOnce(&Job<'_>, ItemId) -> Result<T, WorkError>,
) -> Result<T, ApiError> {
    let run = item(&request.run)?;
    app.with_job(job_id(&request.job)?, |job| Ok(read(job, run)?))
}

/// Holds the rule set against a run, before anything is ordered.
pub fn before_ordering(app: &App, request: OfRun) -> Result<BeforeOrdering, ApiError> {
    of_run(app, &request, work::before_ordering)
}

/// Works out the cut sheet of a run.
pub fn cut_sheet(app: &App, request: OfRun) -> Result<CutSheet, ApiError> {
    of_run(app, &request, work::cut_sheet)
}

/// Lists the holes of a run, per post face.
pub fn hole_schedule(app: &App, request: OfRun) -> Result<HoleSchedule, ApiError> {
    of_run(app, &request, work::hole_schedule)
}

/// Tells the readings of a run against its tensions.
pub fn tensions(app: &App, request: OfRun) -> Result<Tensions, ApiError> {
    of_run(app, &request, |job, run| {
        let mut found = work::tensions(job, run)?;
        let apart = work::differing_on(job, run, Wires::Count);
        found.notes.extend(apart);
        Ok(found)
    })
}

/// Tells what a run may be tensioned to, and why.
pub fn tension_plan(app: &App, request: OfRun) -> Result<TensionPlan, ApiError> {
    of_run(app, &request, |job, run| {
        let mut found = work::tension_plan(job, run)?;
        let mut apart = work::differing_on(job, run, Wires::LeftOut);
        apart.retain(|sentence| !found.unsettled.contains(sentence));
        found.unsettled.extend(apart);
        Ok(found)
    })
}

/// Tells how far the wires, bays and posts of a run have come.
pub fn progress(app: &App, request: OfRun) -> Result<Progress, ApiError> {
    of_run(app, &request, work::progress)
}

/// Counts the parts of a job, each hand apart.
pub fn take_off(app: &App, request: OfJob) -> Result<TakeOff, ApiError> {
    app.with_job(job_id(&request.job)?, |job| Ok(work::take_off(job)?))
}

/// Lists the evidence of a job: what is there, what stays away and why, what is missing.
pub fn lacks(app: &App, request: OfJob) -> Result<Lacks, ApiError> {
    app.with_job(job_id(&request.job)?, |job| Ok(work::lacks(job)?))
}

/// Asks for the next useful act.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct AskNext {
    /// The job.
    pub job: String,
    /// Keys of acts that were skipped.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<String>>")]
    pub skipped: Vec<String>,
}

/// The next useful act.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Next {
    /// The act; none when nothing is left.
    pub act: Option<NextAct>,
}

/// Tells the next useful act of a job.
pub fn next_act(app: &App, request: AskNext) -> Result<Next, ApiError> {
    app.with_job(job_id(&request.job)?, |job| {
        Ok(Next {
            act: work::next_act(job, &request.skipped)?,
        })
    })
}

/// A run as a list of shapes.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct DrawingView {
    /// Width in mm of the run.
    pub width: f64,
    /// Height in mm of the run.
    pub height: f64,
    /// Shapes from back to front: line, box, text, mark; each with role, subject, state.
    pub shapes: Vec<handover::drawing::Shape>,
}

impl From<Drawing> for DrawingView {
    fn from(drawn: Drawing) -> Self {
        DrawingView {
            width: drawn.width,
            height: drawn.height,
            shapes: drawn.shapes,
        }
    }
}

/// Draws a run: the same shapes stand on the screen and in the handover.
pub fn draw_run(app: &App, request: OfRun) -> Result<DrawingView, ApiError> {
    let id = item(&request.run)?;
    app.with_job(job_id(&request.job)?, |job| {
        let run = job.run(id).ok_or(WorkError::UnknownRun(id))?;
        Ok(drawing(run, &states(job, run)).into())
    })
}
