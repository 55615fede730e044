//! Settling a dispute, and undoing.

use records::Record;
use records::book::{BookView, Key};
use records::entry::Entry;
use records::ids::{BookId, Hash};
use records::job::Job;
use records::job::reader::said;
use records::model::context::Number;
use records::model::fields::PHOTO_MARKS;
use records::model::values::{Force, Length};
use records::subject::Subject;
use records::work;
use serde_json::{Value, json};

use super::signing::{number, told};
use crate::claim::{Act, Acted, Earlier, plain};
use crate::{ApiError, ErrorCode};

/// Settles a dispute: the value of the chosen word holds, over all that stood on its line.
///
/// A settlement is a decision: it keeps the words that stood against each other, the program and
/// the rules, beside how the chosen word came about.
pub(crate) fn settle(
    record: &mut Record,
    job: BookId,
    key: &Key,
    chosen: Hash,
    reason: String,
) -> Result<Acted, ApiError> {
    let (over, entry) = standing_word(record.view(job)?, key, chosen)?;
    let (value, with) = said(entry, key);
    // What the chosen word rests on holds it up here too: a look is for the wires that it names there.
    let mut basis = entry.body.basis.clone();
    basis.push(chosen);
    let (value, with) = (value.cloned().unwrap_or(Value::Null), with.cloned());
    let told = {
        let job = record.job(job)?;
        told(&job, words(&job, key, &over))
    };
    let more = [
        ("reason", Value::String(reason)),
        ("settled", plain(&told)?),
    ];
    let with = Some(with_more(with.as_ref(), more));
    let earlier = Earlier { over, basis };
    let subject: Subject = key.subject.parse()?;
    let mut act = Act::default();
    act.raw(&key.field, subject, &key.place, &value, with, earlier);
    act.record(record, job)
}

/// The word that was chosen, and all words that stand on its line.
fn standing_word<'a>(
    view: &'a BookView,
    key: &Key,
    chosen: Hash,
) -> Result<(Vec<Hash>, &'a Entry), ApiError> {
    let line = view
        .key(key)
        .into_iter()
        .flat_map(|state| &state.lines)
        .find(|line| line.tips.contains(&chosen))
        .ok_or_else(|| {
            ApiError::new(
                ErrorCode::NotFound,
                "That word no longer stands. Look again.",
            )
        })?;
    let entry = view
        .entry(&chosen)
        .ok_or_else(|| ApiError::new(ErrorCode::NotFound, "That word is not here."))?;
    Ok((line.tips.clone(), entry))
}

/// How a word came about, with more beside it.
fn with_more<const N: usize>(with: Option<&Value>, more: [(&str, Value); N]) -> Value {
    let mut with = with.cloned().unwrap_or_else(|| json!({}));
    if let Some(with) = with.as_object_mut() {
        with.extend(more.map(|(name, value)| (name.to_owned(), value)));
    }
    with
}

/// The words that stood when a dispute was settled, each with who said it.
fn words(job: &Job<'_>, key: &Key, tips: &[Hash]) -> Vec<Number> {
    tips.iter()
        .filter_map(|id| job.reader.view.entry(id))
        .map(|entry| {
            let value = said(entry, key).0;
            let who = job.reader.person(&entry.body.person);
            number(
                &key.field,
                shown(&key.field, value),
                &format!("said by {who}"),
            )
        })
        .collect()
}

/// A value as text with its unit; a longer one is cut.
fn shown(field: &str, value: Option<&Value>) -> String {
    let whole = |name: &str| value?.get(name)?.as_i64();
    let text = match (whole("nm"), whole("mn"), value) {
        (Some(nm), _, _) => format!("{} mm", Length { nm }.as_mm()),
        (_, Some(mn), _) => format!("{} N", Force { mn }.as_newtons()),
        (_, _, None | Some(Value::Null)) => "withdrawn".to_owned(),
        (_, _, Some(Value::String(text))) => text.clone(),
        (_, _, Some(marks)) if field == PHOTO_MARKS.name => work::words::value(field, marks),
        (_, _, Some(other)) => other.to_string(),
    };
    text.chars().take(400).collect()
}

/// Takes back, in one act, what these entries said on every key where it still stands. What others said over
/// it since, or beside it without knowing of it, is left as it stands.
pub(crate) fn withdraw(
    record: &mut Record,
    job: BookId,
    entries: &[Hash],
    reason: &str,
) -> Result<Acted, ApiError> {
    let view = record.view(job)?;
    let unknown = entries.iter().find(|entry| view.entry(entry).is_none());
    if let Some(unknown) = unknown {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            format!(
                "The job holds no word {}; nothing was taken back.",
                unknown.short()
            ),
        ));
    }
    let mut act = Act::default();
    for (key, state) in view.keys() {
        for line in &state.lines {
            let said_here = line.tips.iter().filter(|tip| entries.contains(tip));
            let basis: Vec<Hash> = said_here.copied().collect();
            let Some(first) = basis.first() else {
                continue;
            };
            let with = view.entry(first).and_then(|e| said(e, key).1);
            let with = Some(with_more(with, [("reason", Value::from(reason))]));
            let subject: Subject = key.subject.parse()?;
            let over = basis.clone();
            let earlier = Earlier { over, basis };
            act.raw(&key.field, subject, &key.place, &Value::Null, with, earlier);
        }
    }
    if act.is_empty() {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            "That word no longer stands; there is nothing to take back.",
        ));
    }
    act.record(record, job)
}
