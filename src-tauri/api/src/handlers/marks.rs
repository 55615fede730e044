//! Marks on a copy of a picture.

use records::model::values::Mark;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{Recorded, job_id};
use crate::acts::marks as acts;
use crate::{ApiError, App};

/// Marks a copy of a picture.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct MarkPicture {
    /// The job.
    pub job: String,
    /// The picture's subject.
    pub picture: String,
    /// All its marks, in the order in which they were drawn; none takes them back.
    pub marks: Vec<Mark>,
    /// The entries that stood there when the person looked. Where others stand by now nothing is said, and
    /// the answer is `changed`.
    #[serde(default)]
    #[ts(optional)]
    pub seen: Option<Vec<String>>,
}

/// Marks a copy of a picture, in the place of all that is marked on it.
pub fn mark_picture(app: &App, request: MarkPicture) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let picture = request.picture.parse()?;
    let acted = acts::mark_picture(&mut app.record(), job, picture, &request)?;
    Ok(Recorded::of(&acted))
}
