//! Making claims from typed fields: one act of one person in one book.
//!
//! Invariant: a claim on a single-valued field names all that stands there, so a correction is
//! never a second first word; a repeat names what it follows where one may take the other's place.

use records::Record;
use records::book::Key;
use records::entry::FileRef;
use records::ids::{BookId, Hash};
use records::model::fields::FieldSpec;
use records::model::{Field, bounds, fields};
use records::record::Draft;
use records::subject::Subject;
use serde::Serialize;
use serde_json::{Map, Value, json};

use crate::handlers::any_text;
use crate::{ApiError, App, ErrorCode, standing};

/// Drafts of one act.
#[derive(Debug, Default)]
pub(crate) struct Act {
    drafts: Vec<Draft>,
}

/// The earlier entries that a claim names: what it replaces and what it rests on.
#[derive(Debug, Default)]
pub(crate) struct Earlier {
    /// Claims that it corrects.
    pub(crate) over: Vec<Hash>,
    /// Entries without which it would not have been said.
    pub(crate) basis: Vec<Hash>,
}

impl Earlier {
    /// Names nothing: a first word or a repeat.
    pub(crate) fn none() -> Self {
        Self::default()
    }

    /// A repeat that was made knowing of earlier ones, which it follows.
    pub(crate) fn after(earlier: Vec<Hash>) -> Self {
        Earlier {
            over: Vec::new(),
            basis: earlier,
        }
    }

    /// Corrects claims and rests on nothing.
    pub(crate) fn over(over: Vec<Hash>) -> Self {
        Earlier {
            over,
            basis: Vec::new(),
        }
    }
}

/// The first fields of a new thing, each with how it came about where that was said.
#[derive(Debug, Default)]
pub(crate) struct Fields(Vec<Value>);

impl Fields {
    /// Adds a field where its value is known.
    pub(crate) fn with<T: Serialize, C>(
        self,
        field: Field<T, C>,
        place: &str,
        value: Option<T>,
    ) -> Result<Self, ApiError> {
        match value {
            Some(value) => Ok(self.raw(field.name, place, &plain(&value)?, None)),
            None => Ok(self),
        }
    }

    /// Adds a field with how its value came about.
    pub(crate) fn said<T: Serialize, C: Serialize>(
        self,
        field: Field<T, C>,
        place: &str,
        value: &T,
        with: &C,
    ) -> Result<Self, ApiError> {
        Ok(self.raw(field.name, place, &plain(value)?, Some(&plain(with)?)))
    }

    /// Adds a field whose value and context were checked against the registry.
    pub(crate) fn raw(
        mut self,
        field: &str,
        place: &str,
        value: &Value,
        with: Option<&Value>,
    ) -> Self {
        let mut one = json!({"field": field, "place": place, "value": value});
        if let (Some(with), Some(one)) = (told(with), one.as_object_mut()) {
            one.insert("with".into(), with.clone());
        }
        self.0.push(one);
        self
    }
}

impl Act {
    /// Whether it says nothing.
    pub(crate) fn is_empty(&self) -> bool {
        self.drafts.is_empty()
    }

    /// Creates a thing with its first fields.
    pub(crate) fn create(&mut self, subject: Subject, fields: Fields, files: Vec<FileRef>) {
        let mut data = Map::new();
        data.insert("value".into(), Value::Bool(true));
        if !fields.0.is_empty() {
            data.insert("fields".into(), Value::Array(fields.0));
        }
        self.drafts.push(Draft {
            kind: format!("{}.created", subject.kind().word()),
            subject: subject.to_string(),
            files,
            data,
            ..Draft::default()
        });
    }

    /// Claims a value.
    pub(crate) fn claim<T: Serialize, C: Serialize>(
        &mut self,
        field: Field<T, C>,
        subject: Subject,
        place: &str,
        value: Option<&T>,
        with: &C,
        earlier: Earlier,
    ) -> Result<(), ApiError> {
        let value = value.map(plain).transpose()?.unwrap_or(Value::Null);
        let spec = fields::find(subject.kind(), field.name);
        if let Some(reason) = spec.and_then(|spec| bounds::named(spec, &value)) {
            let told = format!("{reason}. Nothing was saved; check what was typed.");
            return Err(ApiError::invalid(told));
        }
        self.raw(
            field.name,
            subject,
            place,
            &value,
            Some(plain(with)?),
            earlier,
        );
        Ok(())
    }

    /// Claims a value that was checked against the registry.
    pub(crate) fn raw(
        &mut self,
        field: &str,
        subject: Subject,
        place: &str,
        value: &Value,
        with: Option<Value>,
        earlier: Earlier,
    ) {
        let mut data = Map::new();
        if !place.is_empty() {
            data.insert("place".into(), Value::String(place.to_owned()));
        }
        data.insert("value".into(), value.clone());
        if let Some(with) = told(with.as_ref()) {
            data.insert("with".into(), with.clone());
        }
        self.drafts.push(Draft {
            kind: format!("{}.{field}", subject.kind().word()),
            subject: subject.to_string(),
            over: earlier.over,
            basis: earlier.basis,
            data,
            ..Draft::default()
        });
    }

    /// Refuses a correction of what is no word on the same thing here: it would count nowhere.
    fn corrects_what_is_here(&self, record: &mut Record, book: BookId) -> Result<(), ApiError> {
        for draft in self.drafts.iter().filter(|draft| !draft.over.is_empty()) {
            let place = draft.data.get("place").and_then(Value::as_str);
            let field = draft.kind.split_once('.').map_or("", |(_, field)| field);
            let key = Key {
                subject: draft.subject.clone(),
                field: field.to_owned(),
                place: place.unwrap_or_default().to_owned(),
            };
            let said = record.view(book)?.key(&key);
            let known = |over: &Hash| said.is_some_and(|s| s.claims.iter().any(|c| c.id == *over));
            if !draft.over.iter().all(known) {
                return Err(ApiError::new(
                    ErrorCode::Changed,
                    "What is to be corrected is not here, or is of another place. Nothing was \
                     saved: look at what stands now, and say it again.",
                ));
            }
        }
        Ok(())
    }

    /// Records the act.
    pub(crate) fn record(self, record: &mut Record, book: BookId) -> Result<Acted, ApiError> {
        let person = App::person(record)?;
        let not_counting = standing::not_counting(record, book)?;
        self.corrects_what_is_here(record, book)?;
        self.drafts.iter().try_for_each(short_draft)?;
        let entries = record.act(book, person, self.drafts)?;
        Ok(Acted {
            entries,
            not_counting,
        })
    }
}

/// Refuses what one draft says at too great a length, by the name of its field.
fn short_draft(draft: &Draft) -> Result<(), ApiError> {
    let kind = draft.subject.parse::<Subject>().ok().map(|s| s.kind());
    let said = |field: &str, value: Option<&Value>, with: Option<&Value>| {
        let spec = kind.and_then(|kind| fields::find(kind, field));
        short_texts(
            spec.map_or("A text", FieldSpec::called),
            value.unwrap_or(&Value::Null),
        )?;
        // What is told beside a value goes by its own name: "The remark".
        let mut with = with.and_then(Value::as_object).into_iter().flatten();
        with.try_for_each(|(name, one)| match name.as_str() {
            "entered" => short_texts("What was typed", one),
            name => short_texts(&format!("The {}", bounds::spaced(name)), one),
        })
    };
    let first = draft.data.get("fields").and_then(Value::as_array);
    for one in first.into_iter().flatten() {
        let field = one["field"].as_str().unwrap_or_default();
        said(field, one.get("value"), one.get("with"))?;
    }
    let field = draft.kind.split_once('.').map_or("", |(_, field)| field);
    said(field, draft.data.get("value"), draft.data.get("with"))
}

/// Refuses texts longer than people write in one field, wherever they stand. The text of a rule set, told
/// by its hash, is copied whole.
pub(crate) fn short_texts(what: &str, value: &Value) -> Result<(), ApiError> {
    match value {
        Value::String(text) => any_text(what, text).map(drop),
        Value::Array(items) => items.iter().try_for_each(|one| short_texts(what, one)),
        Value::Object(members) => members
            .iter()
            .filter(|(name, _)| *name != "text" || !members.contains_key("sha256"))
            .try_for_each(|(_, one)| short_texts(what, one)),
        _ => Ok(()),
    }
}

/// What an act recorded.
#[derive(Debug, Default)]
pub(crate) struct Acted {
    /// Its entries, in order.
    pub(crate) entries: Vec<Hash>,
    /// Why the others do not see it yet, in words.
    pub(crate) not_counting: Option<String>,
}

/// A context that says something: an empty one is not written.
fn told(with: Option<&Value>) -> Option<&Value> {
    with.filter(|w| w.as_object().is_none_or(|o| !o.is_empty()))
}

/// What a claim is on.
pub(crate) fn key_of(subject: &Subject, field: &str, place: &str) -> Key {
    Key {
        subject: subject.to_string(),
        field: field.to_owned(),
        place: place.to_owned(),
    }
}

/// All claims that stand on a key now.
pub(crate) fn tips(
    record: &mut Record,
    book: BookId,
    subject: &Subject,
    field: &str,
    place: &str,
) -> Result<Vec<Hash>, ApiError> {
    let key = key_of(subject, field, place);
    let view = record.view(book)?;
    Ok(view
        .key(&key)
        .map(|state| {
            state
                .lines
                .iter()
                .flat_map(|l| l.tips.iter().copied())
                .collect()
        })
        .unwrap_or_default())
}

/// A value as plain JSON.
pub(crate) fn plain<T: Serialize>(value: &T) -> Result<Value, ApiError> {
    serde_json::to_value(value)
        .map_err(|e| ApiError::new(crate::ErrorCode::Internal, e.to_string()))
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::short_texts;

    #[test]
    fn a_copied_set_may_be_long_and_what_is_said_of_it_may_not() {
        let long = "x".repeat(4001);
        let copied = json!({"name": "own", "sha256": "00", "text": long, "origin": "a letter"});
        assert!(short_texts("The rule set", &copied).is_ok());
        let mut said = copied.clone();
        said["origin"] = json!(long);
        let refused = short_texts("The rule set", &said).unwrap_err().message;
        assert!(refused.starts_with("The rule set is longer"), "{refused}");
        // A text without a hash is none that was copied.
        let mut typed = copied;
        typed.as_object_mut().unwrap().remove("sha256");
        assert!(short_texts("The note", &json!([typed])).is_err());
    }
}
