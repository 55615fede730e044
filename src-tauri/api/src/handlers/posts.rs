//! Posts under the wires' pull: what is asked of them, and a known pull that shows how they give.

use records::model::context::PullRead;
use records::model::entered;
use records::model::fields;
use records::model::values::{Force, KnownPull};
use records::subject::Subject;
use records::work::{self, PostsAsked};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::measure::Typed;
use super::work::{OfRun, of_run};
use super::{Recorded, hashes, item, job_id};
use crate::claim::{Act, Earlier};
use crate::{ApiError, App, ErrorCode};

/// Most that a hand, a hoist or a gauge pulls on a post to try it, newtons.
const MOST_PULL: Force = Force::newtons(20_000);

/// Tells what the wires of a run ask of its end and corner posts.
pub fn posts_asked(app: &App, request: OfRun) -> Result<PostsAsked, ApiError> {
    of_run(app, &request, work::posts_asked)
}

/// Tells a known pull on a post.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ReadPull {
    /// The job.
    pub job: String,
    /// The run along which it was pulled.
    pub run: String,
    /// The post's id.
    pub post: String,
    /// The pull in newtons, as typed.
    pub newtons: String,
    /// Height of pull and reading above the base.
    pub at: Typed,
    /// How far the post moved there.
    pub moved: Typed,
    /// Whether the rail was on.
    pub rail_on: bool,
    /// The gauge or scale, where it is one of the job's tools.
    #[serde(default)]
    #[ts(optional)]
    pub tool: Option<String>,
    /// Entries that it corrects; none for a repeat.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<String>>")]
    pub over: Vec<String>,
    /// Remark.
    #[serde(default)]
    #[ts(optional)]
    pub remark: Option<String>,
    /// Set when the person was asked about an odd reading and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Records a known pull on a post; one that can hardly be is questioned once.
pub fn read_pull(app: &App, request: ReadPull) -> Result<Recorded, ApiError> {
    let (job_id, run, post) = (
        job_id(&request.job)?,
        item(&request.run)?,
        item(&request.post)?,
    );
    let pull = entered::force(&request.newtons)?;
    if pull.mn <= 0 || pull > MOST_PULL {
        return Err(ApiError::invalid(format!(
            "{} N is no pull to try a post with. Type newtons, like 300: more than 0, at most {}.",
            pull.as_newtons(),
            MOST_PULL.as_newtons()
        )));
    }
    let value = KnownPull {
        mn: pull.mn,
        at_nm: request.at.length()?.nm,
        moved_nm: request.moved.length()?.nm,
        rail_on: request.rail_on,
    };
    let with = PullRead {
        entered: Some(format!(
            "{} N at {}, moved {}",
            pull.as_newtons(),
            request.at.entered(),
            request.moved.entered()
        )),
        tool: request.tool.as_deref().map(item).transpose()?,
        reason: request.remark.clone(),
    };
    let mut record = app.record();
    {
        let job = record.job(job_id)?;
        let there = job
            .run(run)
            .is_some_and(|r| r.posts.iter().any(|p| p.id == post));
        if !there {
            return Err(ApiError::new(
                ErrorCode::NotFound,
                "The run has no such post. Open the post from its run.",
            ));
        }
        let doubt = work::pull_doubt(&job, run, post, &value)?;
        if let Some(doubt) = doubt.filter(|_| !request.confirmed) {
            let asked = format!("{doubt} Keep it all the same?");
            return Err(ApiError::new(ErrorCode::Questioned, asked));
        }
    }
    let mut act = Act::default();
    act.claim(
        fields::POST_PULL,
        Subject::post(post),
        &run.to_string(),
        Some(&value),
        &with,
        Earlier::over(hashes(&request.over)?),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
}
