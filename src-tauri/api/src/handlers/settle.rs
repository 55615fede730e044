//! Settling a dispute, and undoing.

use records::book::Key;
use records::ids::Hash;
use records::job::Job;
use records::model::context::Number;
use records::model::values::{Force, Length};
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::{Value, json};
use ts_rs::TS;

use super::signing::number;
use super::{Recorded, job_id, some_text};
use crate::claim::{Act, Earlier, plain};
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
    // A settlement is a decision: it keeps the words that stood against each other, the program
    // and the rules, beside how the chosen word came about.
    let told = {
        let job = record.job(job)?;
        super::signing::told(&job, words(&job, &key, &over))
    };
    if let Some(with) = with.as_object_mut() {
        with.insert("reason".into(), Value::String(reason));
        with.insert("settled".into(), plain(&told)?);
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

/// The words that stood when a dispute was settled, each with who said it.
fn words(job: &Job<'_>, key: &Key, tips: &[Hash]) -> Vec<Number> {
    tips.iter()
        .filter_map(|id| job.reader.view.entry(id))
        .map(|entry| {
            let value = records::job::reader::said(entry, key).0;
            let who = job.reader.person(&entry.body.person);
            number(&key.field, shown(value), &format!("said by {who}"))
        })
        .collect()
}

/// A value as text with its unit; a longer one is cut.
fn shown(value: Option<&Value>) -> String {
    let whole = |name: &str| value?.get(name)?.as_i64();
    let text = match (whole("nm"), whole("mn"), value) {
        (Some(nm), _, _) => format!("{} mm", Length { nm }.as_mm()),
        (_, Some(mn), _) => format!("{} N", Force { mn }.as_newtons()),
        (_, _, None | Some(Value::Null)) => "withdrawn".to_owned(),
        (_, _, Some(Value::String(text))) => text.clone(),
        (_, _, Some(other)) => other.to_string(),
    };
    text.chars().take(400).collect()
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
