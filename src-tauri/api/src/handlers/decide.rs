//! Deciding the tensions of a run.

use records::Record;
use records::model::values::Tensions;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{Recorded, item, job_id};
use crate::acts;
use crate::{ApiError, App};

/// Decides the tensions of a run.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SetTensions {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Required, set and upper tension, and the passes: the usual ones where none are told. An origin
    /// that is given stands beside what the job gives, and counts for nothing where the figure is the
    /// job's own.
    pub tensions: Tensions,
    /// The figures as they were typed, with their units.
    #[serde(default)]
    #[ts(optional)]
    pub entered: Option<String>,
    /// Set when the person was asked about a figure below the table or above a limit and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Decides required, set and upper tension of a run; refuses a set tension above the upper one, and
/// questions a required tension below the table or below the one decided before, one beside a bay
/// that the table has no figure for or on facts that people differ on, a set tension without room for
/// the gauge's error or for what is lost later, an upper tension above the least known limit, and any
/// while the strength of the strand with its terminals is not told.
pub fn set_tensions(app: &App, request: SetTensions) -> Result<Recorded, ApiError> {
    decide(&mut app.record(), request)
}

/// The same on a record that is held.
pub(crate) fn decide(record: &mut Record, request: SetTensions) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let acted = acts::decide::tensions(record, job, run, &request)?;
    Ok(Recorded::of(&acted))
}
