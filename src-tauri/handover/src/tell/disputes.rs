//! What people do not agree on, with both sides.

use records::book::{Key, KeyState};
use records::claims::Standing;
use records::job::reader::said;

use super::reading::Reading;
use super::words;

/// A value that two or more people tell apart.
pub(super) struct Dispute {
    pub(super) subject: String,
    pub(super) field: String,
    pub(super) sides: String,
}

pub(super) fn all(reading: &Reading<'_>) -> Vec<Dispute> {
    reading
        .job
        .reader
        .unsettled()
        .map(|(key, state)| Dispute {
            subject: key
                .subject
                .parse()
                .map_or_else(|_| key.subject.clone(), |s| reading.name(&s)),
            field: words::spaced(&key.field),
            sides: sides(reading, key, state),
        })
        .collect()
}

fn sides(reading: &Reading<'_>, key: &Key, state: &KeyState) -> String {
    let view = reading.job.reader.view;
    if !state.newer.is_empty() {
        return "changed by a newer version of the program".into();
    }
    let told: Vec<String> = state
        .lines
        .iter()
        .filter(|l| l.standing == Standing::Disputed)
        .flat_map(|l| &l.tips)
        .filter_map(|id| view.entry(id))
        .map(|entry| {
            let value = said(entry, key)
                .0
                .map_or_else(|| "withdrawn".into(), words::plain);
            let who = reading.person(&entry.body.person);
            format!("{value} ({who}, {})", words::when(entry.body.at))
        })
        .collect();
    format!("disputed: {}", told.join(" against "))
}
