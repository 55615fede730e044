//! Every value that people dispute or that a newer version changed, both sides by name.

use std::collections::BTreeSet;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use ts_rs::TS;

use super::words;
use crate::claims::Standing;
use crate::entry::Entry;
use crate::ids::{DeviceId, Hash, PersonId};
use crate::job::{Job, reader};
use crate::subject::Subject;

/// One person's word in a dispute.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Side {
    /// The entry.
    pub entry: Hash,
    /// The value with its unit; "withdrawn" where it is nothing.
    pub value: String,
    /// How it came about, in words.
    pub how: String,
    /// The person's name.
    pub person_name: String,
    /// The person.
    pub person: PersonId,
    /// The device.
    pub device: DeviceId,
    /// Name of the device: its first person's, or a short form of its id.
    pub device_name: String,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Minutes east of UTC there.
    pub offset_min: i32,
    /// The device's clock was doubtful.
    pub time_suspect: bool,
}

/// A value that does not stand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Dispute {
    /// The subject in text form.
    pub subject: String,
    /// Its name.
    pub subject_name: String,
    /// The field.
    pub field: String,
    /// The field in the trade's words.
    pub field_name: String,
    /// The place within the field.
    pub place: String,
    /// The place in words; empty where there is none.
    pub place_name: String,
    /// Whether a newer version changed it, so that this one can't settle it.
    pub newer: bool,
    /// Whether the layout still has the subject.
    pub in_layout: bool,
    /// The words that stand, oldest first. A settlement names all of them.
    pub sides: Vec<Side>,
    /// One sentence that says what to do.
    pub sentence: String,
}

/// All that people dispute in a job, sorted by subject and field.
#[must_use]
pub fn disputes(job: &Job<'_>) -> Vec<Dispute> {
    let mut found = Vec::new();
    for (key, state) in job.reader.unsettled() {
        for line in &state.lines {
            let newer = state
                .newer
                .iter()
                .filter_map(|id| job.reader.view.entry(id))
                .any(|e| e.body.over.iter().any(|over| line.tips.contains(over)));
            if line.standing != Standing::Disputed && !newer {
                continue;
            }
            let mut entries: Vec<&Entry> = line
                .tips
                .iter()
                .filter_map(|id| job.reader.view.entry(id))
                .collect();
            entries.sort_by_key(|e| (e.body.at, e.id));
            let subject = key.subject.parse::<Subject>().ok();
            let subject_name = subject
                .as_ref()
                .map_or_else(|| key.subject.clone(), |s| job.name_of(s));
            let field_name = words::field_at(&key.subject, &key.field, &key.place);
            found.push(Dispute {
                sentence: sentence(&subject_name, &field_name, newer),
                in_layout: subject.is_none_or(|s| job.in_layout(&s)),
                sides: entries.into_iter().map(|e| side(job, e, key)).collect(),
                subject: key.subject.clone(),
                subject_name,
                field: key.field.clone(),
                field_name,
                place_name: words::place_of(job, &key.subject, &key.place),
                place: key.place.clone(),
                newer,
            });
        }
    }
    found
}

/// A value that people differed on and that one word replaced since.
#[derive(Clone, Debug, PartialEq)]
pub struct Settled {
    /// Name of the subject.
    pub subject_name: String,
    /// The field in the trade's words.
    pub field_name: String,
    /// The words that stood against each other, oldest first.
    pub sides: Vec<Side>,
    /// The word that took their place.
    pub by: Side,
    /// Why a person chose it; empty where it was read anew.
    pub reason: String,
}

/// What people differed on and settled, by subject and field; what replaced it later plays no part.
#[must_use]
pub fn settled_disputes(job: &Job<'_>) -> Vec<Settled> {
    let mut found = Vec::new();
    for (key, state) in job.reader.view.keys() {
        for claim in state.claims.iter().filter(|claim| claim.over.len() > 1) {
            let Some(by) = job.reader.view.entry(&claim.id) else {
                continue;
            };
            let mut sides: Vec<&Entry> = claim
                .over
                .iter()
                .filter_map(|id| job.reader.view.entry(id))
                .collect();
            let differ = |one: &&Entry| {
                sides
                    .first()
                    .is_some_and(|first| reader::said(one, key).0 != reader::said(first, key).0)
            };
            // Words apart come from two devices, whoever held them.
            let apart: BTreeSet<_> = sides
                .iter()
                .map(|e| (e.body.person, e.body.device))
                .collect();
            let taken_back = reader::said(by, key).0.is_none_or(Value::is_null);
            // Who corrects two readings of their own on one device, or takes all of it back, settles nothing.
            if apart.len() < 2 || taken_back || !sides.iter().any(differ) {
                continue;
            }
            sides.sort_by_key(|e| (e.body.at, e.id));
            let subject = key.subject.parse::<Subject>().ok();
            found.push(Settled {
                subject_name: subject
                    .as_ref()
                    .map_or_else(|| key.subject.clone(), |s| job.name_of(s)),
                field_name: words::field_at(&key.subject, &key.field, &key.place),
                sides: sides.into_iter().map(|e| side(job, e, key)).collect(),
                reason: reason(by, key),
                by: side(job, by, key),
            });
        }
    }
    found
}

fn reason(entry: &Entry, key: &crate::book::Key) -> String {
    let with = reader::said(entry, key).1;
    let reason = with.and_then(|with| with.get("reason")?.as_str());
    reason.unwrap_or_default().to_owned()
}

fn sentence(subject: &str, field: &str, newer: bool) -> String {
    if newer {
        format!(
            "{subject}, {field}: a newer version of the program changed it. Update to see it; \
             until then it can't be cut from."
        )
    } else {
        format!("{subject}, {field}: people differ. Measure or look again, or choose one of them.")
    }
}

pub(super) fn side(job: &Job<'_>, entry: &Entry, key: &crate::book::Key) -> Side {
    let (value, with) = reader::said(entry, key);
    let body = &entry.body;
    Side {
        entry: entry.id,
        value: value.map_or_else(String::new, |v| {
            words::value(&key.field, &words::named_in(job, v))
        }),
        how: with.map_or_else(String::new, words::how),
        person_name: job.reader.person(&body.person),
        person: body.person,
        device: body.device,
        device_name: device_name(job, &body.device),
        at_ms: body.at.ms,
        offset_min: body.at.offset_min,
        time_suspect: body.at.suspect,
    }
}

fn device_name(job: &Job<'_>, device: &DeviceId) -> String {
    let member = job.reader.crew.member(device);
    match member.and_then(|m| m.persons.first()) {
        Some(person) => person.name.clone(),
        None => device.to_string().chars().take(6).collect(),
    }
}
