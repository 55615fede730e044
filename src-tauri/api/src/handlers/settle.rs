//! Settling a dispute, and undoing.

use records::book::Key;
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::{Value, json};
use ts_rs::TS;

use super::{Recorded, job_id, some_text};
use crate::claim::{Act, Earlier};
use crate::{ApiError, App, ErrorCode};

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
    let key = Key {
        subject: subject.to_string(),
        field: request.field.clone(),
        place: request.place.clone(),
    };
    let mut record = app.record();
    let view = record.view(job)?;
    let line = view
        .key(&key)
        .into_iter()
        .flat_map(|state| &state.lines)
        .find(|line| line.tips.contains(&chosen))
        .ok_or_else(|| {
            ApiError::new(
                ErrorCode::NotFound,
                "That word no longer stands. Look again.",
            )
        })?;
    let over = line.tips.clone();
    let entry = view
        .entry(&chosen)
        .ok_or_else(|| ApiError::new(ErrorCode::NotFound, "That word is not here."))?;
    let (value, with) = records::job::reader::said(entry, &key);
    let value = value.cloned().unwrap_or(Value::Null);
    let mut with = with.cloned().unwrap_or_else(|| json!({}));
    if let Some(with) = with.as_object_mut() {
        with.insert("reason".into(), Value::String(reason));
    }
    let mut act = Act::default();
    act.raw(
        &request.field,
        subject,
        &request.place,
        &value,
        Some(with),
        Earlier {
            over,
            basis: vec![chosen],
        },
    );
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// Takes back what an entry said.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Withdraw {
    /// The job.
    pub job: String,
    /// The entry.
    pub entry: String,
    /// Why.
    pub reason: String,
}

/// Takes back all that an entry said; the words stay readable, and nothing revives by itself.
pub fn withdraw(app: &App, request: Withdraw) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let id = request.entry.parse()?;
    let reason = some_text("The reason", &request.reason)?;
    let mut record = app.record();
    let view = record.view(job)?;
    let mut act = Act::default();
    let mut found = false;
    for (key, state) in view.keys() {
        let Some(line) = state.lines.iter().find(|l| l.tips.contains(&id)) else {
            continue;
        };
        found = true;
        let entry = view.entry(&id);
        let mut with = entry
            .and_then(|e| records::job::reader::said(e, key).1)
            .cloned()
            .unwrap_or_else(|| json!({}));
        if let Some(with) = with.as_object_mut() {
            with.insert("reason".into(), Value::String(reason.clone()));
        }
        let subject: Subject = key.subject.parse()?;
        let over = line.tips.clone();
        act.raw(
            &key.field,
            subject,
            &key.place,
            &Value::Null,
            Some(with),
            Earlier {
                over,
                basis: vec![id],
            },
        );
    }
    if !found {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            "That word no longer stands; there is nothing to take back.",
        ));
    }
    Ok(Recorded::of(&act.record(&mut record, job)?))
}
