//! Saying a value of any field, checked against the registry.
//!
//! Plain facts (names, materials, dates, choices) go this way; acts with rules of their own
//! (measuring, cutting, tensions, checks) have commands of their own.

use std::collections::BTreeSet;

use records::Record;
use records::ids::{BookId, Hash};
use records::model::bounds;
use records::model::fields::{self, FieldSpec};
use records::model::values::Length;
use records::subject::{ItemKind, Subject};
use schemars::JsonSchema;
use serde::Deserialize;
use serde_json::Value;
use ts_rs::TS;

use super::jobs::FirstField;
use super::{Recorded, hashes, job_id};
use crate::claim::{Act, Earlier, tips};
use crate::{ApiError, App, ErrorCode};

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
}

/// Says values of plain fields, all in one act.
pub fn say(app: &App, request: Say) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    if request.claims.is_empty() {
        return Err(ApiError::invalid("Nothing was said."));
    }
    let mut record = app.record();
    let mut act = Act::default();
    for one in &request.claims {
        let subject: Subject = one.subject.parse()?;
        let spec = plain_spec(&subject, &one.field)?;
        check_value(spec, &one.value)?;
        if let Some(with) = &one.with {
            (spec.context_named)(with)
                .map_err(|e| ApiError::invalid(format!("{}: {e}", spec.name)))?;
        }
        let as_first = FirstField {
            field: one.field.clone(),
            place: one.place.clone(),
            value: one.value.clone(),
        };
        check_layout(&mut record, job, &subject, std::slice::from_ref(&as_first))?;
        let over = if spec.many {
            hashes(&one.over)?
        } else {
            let stand = tips(&mut record, job, &subject, spec.name, &one.place)?;
            unchanged(one, &stand)?;
            stand
        };
        act.raw(
            spec.name,
            subject,
            &one.place,
            &one.value,
            one.with.clone(),
            Earlier::over(over),
        );
    }
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// Refuses to replace words that came after the person looked.
fn unchanged(one: &OneClaim, stand: &[Hash]) -> Result<(), ApiError> {
    let Some(seen) = &one.seen else {
        return Ok(());
    };
    let seen: BTreeSet<Hash> = hashes(seen)?.into_iter().collect();
    if seen == stand.iter().copied().collect() {
        return Ok(());
    }
    Err(ApiError::new(
        ErrorCode::Changed,
        "Somebody said otherwise meanwhile, or a word came in that was not on the screen. Nothing \
         was saved: look at what stands now, and say it again if it is still right.",
    ))
}

/// The field of a subject, or an error that names the field.
pub(crate) fn spec_of(subject: &Subject, field: &str) -> Result<&'static FieldSpec, ApiError> {
    fields::find(subject.kind(), field).ok_or_else(|| {
        ApiError::invalid(format!(
            "A {} has no field {:?}.",
            subject.kind().word(),
            field.chars().take(40).collect::<String>()
        ))
    })
}

/// The field of a subject, where it is a plain fact: decisions and readings have rules, and a word
/// said past them would be as good as one that kept them.
pub(crate) fn plain_spec(subject: &Subject, field: &str) -> Result<&'static FieldSpec, ApiError> {
    let spec = spec_of(subject, field)?;
    match spec.command {
        None => Ok(spec),
        Some(command) => Err(ApiError::invalid(format!(
            "The field {} of a {} has rules of its own: use the command {command}. Nothing was \
             saved.",
            spec.name,
            subject.kind().word()
        ))),
    }
}

/// Refuses a value that the field's type does not take, and figures that can't be.
pub(crate) fn check_value(spec: &FieldSpec, value: &Value) -> Result<(), ApiError> {
    bounds::check(spec, value)
        .map_err(|reason| ApiError::invalid(format!("{reason}. Nothing was saved.")))
}

/// Refuses a post outside its run.
pub(crate) fn check_layout(
    record: &mut Record,
    job: BookId,
    subject: &Subject,
    said: &[FirstField],
) -> Result<(), ApiError> {
    let Subject::Item(ItemKind::Post, post) = subject else {
        return Ok(());
    };
    let role_of = |run: &str| {
        said.iter()
            .find(|f| f.field == "role" && f.place == run)
            .and_then(|f| f.value.as_str())
            .map(str::to_owned)
    };
    for one in said.iter().filter(|f| f.field == "position") {
        let Some(nm) = one.value.get("nm").and_then(Value::as_i64) else {
            continue;
        };
        let job = record.job(job)?;
        let Some(run) = job.runs.iter().find(|r| r.id.to_string() == one.place) else {
            return Err(ApiError::invalid("The post's run is not in this job."));
        };
        let known = run.posts.iter().find(|p| p.id == *post);
        let anchor = match role_of(&one.place) {
            Some(role) => role == "anchor",
            None => known.is_some_and(|p| p.role == records::model::values::PostRole::Anchor),
        };
        let anchors: Vec<i64> = run
            .posts
            .iter()
            .filter(|p| p.role == records::model::values::PostRole::Anchor && p.id != *post)
            .filter_map(|p| p.position.shown().map(|l| l.nm))
            .collect();
        let (Some(from), Some(to)) = (anchors.iter().min(), anchors.iter().max()) else {
            continue;
        };
        if !anchor && anchors.len() >= 2 && !(*from..=*to).contains(&nm) {
            return Err(ApiError::invalid(format!(
                "The post would stand at {} mm, outside its run of {} to {} mm. Correct the \
                 position, or make it an anchor.",
                Length { nm }.as_mm(),
                Length { nm: *from }.as_mm(),
                Length { nm: *to }.as_mm()
            )));
        }
    }
    Ok(())
}
