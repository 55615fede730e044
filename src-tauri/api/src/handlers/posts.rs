//! Posts under the wires' pull: what is asked of them, and a known pull that shows how they give.

use records::model::context::PullRead;
use records::model::entered;
use records::model::values::{Force, KnownPull, Length};
use records::work::{self, Gates, PostsAsked};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::measure::Typed;
use super::work::{OfRun, of_run};
use super::{Recorded, item, job_id};
use crate::acts::posts::{self, PostOf};
use crate::{ApiError, App};

/// Most that a hand, a hoist or a gauge pulls on a post to try it, newtons.
const MOST_PULL: Force = Force::newtons(20_000);

/// Tells what the wires of a run ask of its end and corner posts.
pub fn posts_asked(app: &App, request: OfRun) -> Result<PostsAsked, ApiError> {
    of_run(app, &request, work::posts_asked)
}

/// Tells the gates that a run's posts are of: how the pull opens them, and the gaps beside the leaf.
pub fn gate_gaps(app: &App, request: OfRun) -> Result<Gates, ApiError> {
    of_run(app, &request, work::gates)
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

impl ReadPull {
    fn of(&self) -> Result<PostOf, ApiError> {
        Ok(PostOf {
            run: item(&self.run)?,
            post: item(&self.post)?,
        })
    }

    /// How far the post moved: a reading of nothing has no stiffness.
    fn moved(&self) -> Result<Length, ApiError> {
        if self.moved.is_nothing() {
            return Err(ApiError::invalid(
                "A post that was not seen to move tells no stiffness. Pull harder, or read with something finer, \
                 and type what it moved. Nothing was saved.",
            ));
        }
        self.moved.length()
    }

    /// The pull and what stands beside it.
    fn read(&self) -> Result<(KnownPull, PullRead), ApiError> {
        let pull = entered::force(&self.newtons)?;
        if pull.mn <= 0 || pull > MOST_PULL {
            return Err(ApiError::invalid(format!(
                "{} N is no pull to try a post with. Type newtons, like 300: more than 0, at most \
                 {}.",
                pull.as_newtons(),
                MOST_PULL.as_newtons()
            )));
        }
        let value = KnownPull {
            mn: pull.mn,
            at_nm: self.at.length()?.nm,
            moved_nm: self.moved()?.nm,
            rail_on: self.rail_on,
        };
        let (at, moved) = (self.at.entered(), self.moved.entered());
        let pull = entered::said_force(&self.newtons);
        let with = PullRead {
            entered: Some(format!("{pull} at {at}, moved {moved}")),
            tool: self.tool.as_deref().map(item).transpose()?,
            reason: self.remark.clone(),
        };
        Ok((value, with))
    }
}

/// Records a known pull on a post; one that can hardly be is questioned once.
pub fn read_pull(app: &App, request: ReadPull) -> Result<Recorded, ApiError> {
    let (job, of) = (job_id(&request.job)?, request.of()?);
    let (pull, with) = request.read()?;
    let acted = posts::pull(&mut app.record(), job, of, &request, &pull, &with)?;
    Ok(Recorded::of(&acted))
}
