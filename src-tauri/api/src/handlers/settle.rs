//! Settling a dispute, and undoing.

use records::subject::Subject;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{Recorded, job_id, some_text};
use crate::acts::settle as acts;
use crate::claim::key_of;
use crate::{ApiError, App};

/// Settles a dispute by one of the words that stand.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Settle {
    /// The job.
    pub job: String,
    /// The subject.
    pub subject: String,
    /// The field.
    pub field: String,
    /// Place within the field.
    #[serde(default)]
    #[ts(optional, as = "Option<String>")]
    pub place: String,
    /// The entry whose value holds from now on.
    pub choose: String,
    /// Why.
    pub reason: String,
}

/// Settles a dispute: the chosen word's value holds, over all that stood.
pub fn settle(app: &App, request: Settle) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let subject: Subject = request.subject.parse()?;
    let reason = some_text("The reason", &request.reason)?;
    let chosen = request.choose.parse()?;
    let key = key_of(&subject, &request.field, &request.place);
    let acted = acts::settle(&mut app.record(), job, &key, chosen, reason)?;
    Ok(Recorded::of(&acted))
}

/// Takes back what an entry said, or several of one act.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Withdraw {
    /// The job.
    pub job: String,
    /// The entry.
    pub entry: String,
    /// Further entries, taken back with it in one act: all of them or none.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<String>>")]
    pub more: Vec<String>,
    /// Why.
    pub reason: String,
}

/// Takes back all that an entry said, and further ones in the same act; the words stay readable, and nothing revives by itself.
pub fn withdraw(app: &App, request: Withdraw) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let all = std::iter::once(&request.entry).chain(&request.more);
    let entries = all.map(|e| e.parse()).collect::<Result<Vec<_>, _>>()?;
    let reason = some_text("The reason", &request.reason)?;
    let acted = acts::withdraw(&mut app.record(), job, &entries, &reason)?;
    Ok(Recorded::of(&acted))
}
