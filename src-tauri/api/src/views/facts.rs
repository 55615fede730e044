//! Facts of one subject, each with its words, standing and origin.

use records::book::{Key, KeyState};
use records::claims::Standing;
use records::ids::Hash;
use records::job::{Job, reader};
use records::model::fields;
use records::subject::Subject;
use records::work;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::Value;
use ts_rs::TS;

use super::overview::name;

/// What one person said.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct WordView {
    /// The entry, to name in a correction.
    pub entry: String,
    /// The value; null when it was withdrawn.
    #[ts(type = "any")]
    pub value: Value,
    /// How it came about; null when nothing was said.
    #[ts(type = "any")]
    pub with: Value,
    /// Who, by name.
    pub who: String,
    /// On which device, by its first person's name.
    pub device: String,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Minutes east of UTC there and then.
    pub offset_min: i32,
    /// The device's clock could not be trusted.
    pub time_suspect: bool,
    /// Whether it still stands, or a later word replaced it.
    pub stands: bool,
}

/// A value, or several that stand apart.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct FactView {
    /// Field, as in the registry.
    pub field: String,
    /// Place within the field; empty for the field itself.
    pub place: String,
    /// Names the line within the field.
    pub line: String,
    /// Whether repeats of this field are readings of their own.
    pub many: bool,
    /// `agreed`, `withdrawn`, `disputed` or `newer`.
    pub standing: String,
    /// Set where a later reading of the same opening took its place.
    #[serde(skip_serializing_if = "Option::is_none")]
    #[ts(optional)]
    pub read_again: Option<bool>,
    /// Words that stand, oldest first.
    pub words: Vec<WordView>,
    /// Number of words, replaced ones included.
    pub said: usize,
}

/// Facts of a subject, with all words where `replaced` is set.
#[must_use]
pub fn facts(job: &Job<'_>, subject: &Subject, replaced: bool) -> Vec<FactView> {
    let text = subject.to_string();
    job.reader
        .view
        .keys_of_subject(&text)
        .flat_map(|(key, state)| facts_of(job, key, state, replaced))
        .collect()
}

/// Facts of one key.
#[must_use]
pub fn facts_of(job: &Job<'_>, key: &Key, state: &KeyState, replaced: bool) -> Vec<FactView> {
    let read_again = read_again(job, key);
    state
        .lines
        .iter()
        .map(|line| {
            let newer = !state.newer.is_empty();
            let standing = match line.standing {
                _ if newer => "newer",
                Standing::Agreed => "agreed",
                Standing::Withdrawn => "withdrawn",
                Standing::Disputed => "disputed",
            };
            let shown = if replaced { &line.claims } else { &line.tips };
            let mut words: Vec<WordView> = shown
                .iter()
                .filter_map(|id| job.reader.view.entry(id))
                .map(|entry| {
                    let (value, with) = reader::said(entry, key);
                    let body = &entry.body;
                    WordView {
                        entry: entry.id.to_string(),
                        value: value.cloned().unwrap_or(Value::Null),
                        with: with.cloned().unwrap_or(Value::Null),
                        who: name(job.reader.person(&body.person)),
                        device: name(job.reader.crew.device_name(&body.device).unwrap_or("?")),
                        at_ms: body.at.ms,
                        offset_min: body.at.offset_min,
                        time_suspect: body.at.suspect,
                        stands: line.tips.contains(&entry.id),
                    }
                })
                .collect();
            words.sort_by(|a, b| a.at_ms.cmp(&b.at_ms).then(a.entry.cmp(&b.entry)));
            FactView {
                field: key.field.clone(),
                place: key.place.clone(),
                line: line.root.to_string(),
                many: state.many,
                standing: standing.to_owned(),
                read_again: line
                    .tips
                    .iter()
                    .any(|tip| read_again.contains(tip))
                    .then_some(true),
                words,
                said: line.claims.len(),
            }
        })
        .collect()
}

/// Entries of a key of openings whose place a later reading took.
fn read_again(job: &Job<'_>, key: &Key) -> Vec<Hash> {
    let opening = [fields::RUN_OPENING.name, fields::POST_OPENING.name];
    match key.subject.parse::<Subject>() {
        Ok(subject) if opening.contains(&key.field.as_str()) => {
            work::openings_read_again(job, &subject)
        }
        _ => Vec::new(),
    }
}
