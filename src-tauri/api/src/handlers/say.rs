//! Saying a value of any field, checked against the registry.
//!
//! Plain facts (names, materials, dates, choices) go this way; acts with rules of their own
//! (measuring, cutting, tensions, checks) have commands of their own.

use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::Value;
use ts_rs::TS;

use super::{Recorded, job_id};
use crate::acts::say as acts;
use crate::{ApiError, App};

/// One value to say.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OneClaim {
    /// The subject.
    pub subject: String,
    /// Field, as in the registry.
    pub field: String,
    /// Place within the field.
    #[serde(default)]
    #[ts(optional, as = "Option<String>")]
    pub place: String,
    /// The value; null withdraws.
    #[ts(type = "any")]
    pub value: Value,
    /// How it came about.
    #[serde(default)]
    #[ts(optional, type = "any")]
    pub with: Option<Value>,
    /// For a repeat: entries that it corrects. A single value replaces all that stands.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<String>>")]
    pub over: Vec<String>,
    /// For a single value: the entries that stood there when the person looked. Where others stand
    /// by now nothing is said, and the answer is `changed`.
    #[serde(default)]
    #[ts(optional)]
    pub seen: Option<Vec<String>>,
}

/// Says values in one act.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Say {
    /// The job.
    pub job: String,
    /// All of them or none is recorded.
    pub claims: Vec<OneClaim>,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Says values of plain fields, all in one act; an odd figure is questioned once.
pub fn say(app: &App, request: Say) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let (acted, remarks) = acts::say(&mut app.record(), job, &request)?;
    Ok(Recorded::of(&acted).with(remarks))
}
