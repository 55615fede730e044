//! Openings under a push: what a sphere does between the wires, as figures and as drawings.

use handover::drawing::section;
use records::model::entered;
use records::model::values::Force;
use records::work::{self, Pushed};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::measure::Typed;
use super::work::DrawingView;
use super::{item, job_id};
use crate::{ApiError, App};

/// Asks what a sphere does in the openings of a run.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct AskPush {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Diameter of the sphere; else the rule set's, else the job's probe.
    #[serde(default)]
    #[ts(optional)]
    pub sphere: Option<Typed>,
    /// Push in newtons, as typed; else a hand's.
    #[serde(default)]
    #[ts(optional)]
    pub push: Option<String>,
}

/// Openings of a run under a push, with each bay drawn in section.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PushedView {
    /// The figures.
    pub pushed: Pushed,
    /// One drawing a bay, in the same order.
    pub sections: Vec<DrawingView>,
}

/// Most push that is asked about, newtons.
const MOST_PUSH: Force = Force::newtons(10_000);

impl AskPush {
    fn pushed_with(&self) -> Result<Option<Force>, ApiError> {
        let typed = self.push.as_deref().map(str::trim);
        let typed = typed.filter(|text| !text.is_empty());
        let push = typed.map(entered::force).transpose()?;
        match push.filter(|p| p.mn < 0 || *p > MOST_PUSH) {
            Some(push) => Err(ApiError::invalid(format!(
                "{} N is no push on a sphere. Type 0 to {} N.",
                push.as_newtons(),
                MOST_PUSH.as_newtons()
            ))),
            None => Ok(push),
        }
    }
}

impl From<Pushed> for PushedView {
    fn from(pushed: Pushed) -> Self {
        let drawn = |bay| DrawingView::from(section(&pushed, bay));
        let sections = pushed.bays.iter().map(drawn).collect();
        PushedView { pushed, sections }
    }
}

/// Tells how far openings give under a push and what force a sphere needs to pass.
pub fn under_push(app: &App, request: AskPush) -> Result<PushedView, ApiError> {
    let run = item(&request.run)?;
    let sphere = request.sphere.as_ref().map(Typed::length).transpose()?;
    let push = request.pushed_with()?;
    app.with_job(job_id(&request.job)?, |job| {
        Ok(work::pushed(job, run, sphere, push)?.into())
    })
}
