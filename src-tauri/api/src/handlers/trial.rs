//! Trial wires: what a fitted one shows, and what it teaches.

use records::model::values::Length;
use records::work::{self, Learning};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::measure::Typed;
use super::work::{OfRun, of_run};
use super::{Recorded, item, job_id};
use crate::acts;
use crate::{ApiError, App};

/// Tells what the fitted trial wires of a run teach of the cuts that are left.
pub fn learned(app: &App, request: OfRun) -> Result<Learning, ApiError> {
    of_run(app, &request, work::learned)
}

/// Which way a wire is out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum OutWay {
    /// The thread is used up at both ends and so much wire is still to be taken up.
    TooLong,
    /// The studs end so far before the faces of the posts, both ends together.
    TooShort,
}

/// Tells how far a fitted wire is out.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ReadOutBy {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// Which way.
    pub way: OutWay,
    /// By how much, both ends together, the wire as tight as a hand pulls it.
    pub by: Typed,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

impl ReadOutBy {
    /// More than nothing where it is too long, less where too short.
    fn out(&self) -> Result<Length, ApiError> {
        let by = self.by.length()?;
        Ok(match self.way {
            OutWay::TooLong => by,
            OutWay::TooShort => Length { nm: -by.nm },
        })
    }
}

/// Records how far a fitted wire is too long or too short; by more than the thread of both ends is
/// questioned.
pub fn read_out_by(app: &App, request: ReadOutBy) -> Result<Recorded, ApiError> {
    let (job, run, out) = (job_id(&request.job)?, item(&request.run)?, request.out()?);
    let acted = acts::trial::out_by(&mut app.record(), job, run, &request, out)?;
    Ok(Recorded::of(&acted))
}
