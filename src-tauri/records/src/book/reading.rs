//! What an entry says: the claims it makes, or that this version does not understand it.

use serde_json::Value;

use crate::book::Key;
use crate::crew::{ADMITTED, ENDED, FOUNDED, KEEPER};
use crate::entry::{Entry, FORMAT};
use crate::ids::{BookId, Hash};
use crate::model::fields::{self, FieldSpec};
use crate::subject::Subject;

/// One claim that an entry makes.
#[derive(Clone, Debug, PartialEq)]
pub struct Said {
    /// On what.
    pub key: Key,
    /// Whether separate claims on it are repeats.
    pub many: bool,
    /// Hash of its value; none when it withdraws.
    pub value: Option<Hash>,
    /// Hash of what it is compared by; see [`Claim`](crate::claims::Claim).
    pub compared: Option<Hash>,
}

/// The field of a creation.
const CREATED: &str = "created";

/// Why an entry makes no claim that this version can take.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotUnderstood {
    /// Its format, needs or kind is newer than this version.
    Newer,
    /// Its values do not fit its kind.
    Unfit,
}

/// Reads the claims of an entry.
///
/// # Errors
/// When the entry is newer than this version or its values do not fit.
pub fn read(entry: &Entry, crew_book: bool) -> Result<Vec<Said>, NotUnderstood> {
    let body = &entry.body;
    if body.format != FORMAT || !body.needs.is_empty() {
        return Err(NotUnderstood::Newer);
    }
    if crew_book && matches!(body.kind.as_str(), FOUNDED | ADMITTED | ENDED | KEEPER) {
        return Ok(Vec::new());
    }
    let subject: Subject = body.subject.parse().map_err(|_| NotUnderstood::Newer)?;
    let (word, field) = body.kind.split_once('.').ok_or(NotUnderstood::Newer)?;
    if word != subject.kind().word() {
        return Err(NotUnderstood::Newer);
    }
    let place = match body.data.get("place") {
        None => "",
        Some(Value::String(place)) => place,
        Some(_) => return Err(NotUnderstood::Unfit),
    };
    let spec = fields::find(subject.kind(), field).ok_or(NotUnderstood::Newer)?;
    if let Some(context) = body.data.get("with") {
        (spec.context_fits)(context).map_err(|_| NotUnderstood::Unfit)?;
    }
    let value = body.data.get("value").ok_or(NotUnderstood::Unfit)?;
    let mut said = vec![claim(&body.subject, spec, place, value)?];
    if let Some(first) = body.data.get("fields") {
        // One entry claims one key; a creation alone may claim first fields besides.
        if field != CREATED {
            return Err(NotUnderstood::Newer);
        }
        let first = first.as_array().ok_or(NotUnderstood::Newer)?;
        for one in first {
            said.push(first_field(&body.subject, subject, one)?);
        }
    }
    let mut keys: Vec<&Key> = said.iter().map(|s| &s.key).collect();
    keys.sort_unstable();
    keys.dedup();
    if keys.len() != said.len() {
        return Err(NotUnderstood::Newer);
    }
    Ok(said)
}

fn first_field(text: &str, subject: Subject, one: &Value) -> Result<Said, NotUnderstood> {
    let field = one.get("field").and_then(Value::as_str);
    let place = one.get("place").map_or(Some(""), Value::as_str);
    let (Some(field), Some(place), Some(value)) = (field, place, one.get("value")) else {
        return Err(NotUnderstood::Newer);
    };
    let spec = fields::find(subject.kind(), field).ok_or(NotUnderstood::Newer)?;
    if let Some(context) = one.get("with") {
        (spec.context_fits)(context).map_err(|_| NotUnderstood::Unfit)?;
    }
    claim(text, spec, place, value)
}

fn claim(
    subject: &str,
    spec: &FieldSpec,
    place: &str,
    value: &Value,
) -> Result<Said, NotUnderstood> {
    let (value, compared) = if value.is_null() {
        (None, None)
    } else {
        (spec.value_fits)(value).map_err(|_| NotUnderstood::Unfit)?;
        let hash = |value| fields::value_hash(value).map_err(|_| NotUnderstood::Newer);
        let whole = hash(value)?;
        let compared = match spec.without_wording(value) {
            Some(bare) => hash(&bare)?,
            None => whole,
        };
        (Some(whole), Some(compared))
    };
    Ok(Said {
        key: Key {
            subject: subject.to_owned(),
            field: spec.name.to_owned(),
            place: place.to_owned(),
        },
        many: spec.many,
        value,
        compared,
    })
}

/// The crew's book and its founding entry that a job's first entry names.
#[must_use]
pub(crate) fn crew_of(entry: &Entry) -> Option<(BookId, Hash)> {
    if entry.body.n != 1 || entry.body.kind != "job.created" {
        return None;
    }
    let named = entry.body.data.get("crew")?;
    let book = named.get("book")?.as_str()?.parse().ok()?;
    let founding = named.get("founding")?.as_str()?.parse().ok()?;
    Some((book, founding))
}
