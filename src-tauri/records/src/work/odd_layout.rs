//! What to ask about the layout before it is kept: a number of wires that leaves words without a wire,
//! and a second run or post of a name.
//!
//! Changes and refuses nothing: two posts of one name may be, and a wire may be given up.

use std::collections::BTreeSet;

use serde_json::Value;

use super::words;
use crate::ids::ItemId;
use crate::job::Job;
use crate::model::fields;
use crate::subject::{ItemKind, Subject, SubjectKind};

/// What to ask about a value of a run or post that is said of `subject`; none where nothing is odd.
#[must_use]
pub fn odd_in_layout(
    job: &Job<'_>,
    subject: &Subject,
    field: &str,
    value: &Value,
) -> Option<String> {
    match (subject, field) {
        (Subject::Item(ItemKind::Run, run), name) if name == fields::RUN_WIRE_COUNT.name => {
            fewer_wires(job, *run, value.as_i64()?)
        }
        (Subject::Item(kind @ (ItemKind::Run | ItemKind::Post), id), "name") => {
            same_name(job, *kind, *id, value.as_str()?)
        }
        _ => None,
    }
}

/// Asks where a run would be left without wires, or where something is told of wires that it would
/// have no more.
fn fewer_wires(job: &Job<'_>, run: ItemId, count: i64) -> Option<String> {
    let name = job.run(run).map_or("", |run| run.name.as_str());
    let beyond: BTreeSet<u32> = job
        .reader
        .view
        .keys()
        .filter_map(|(key, _)| match key.subject.parse() {
            Ok(Subject::Wire(of, number)) if of == run => Some(number),
            _ => None,
        })
        .filter(|number| i64::from(*number) > count)
        .collect();
    let told: Vec<u32> = beyond.into_iter().collect();
    if !told.is_empty() {
        return Some(format!(
            "Something is told already of {} {} of run {name}: with {count} in all it would stand \
             nowhere. Is it right?",
            if told.len() == 1 { "wire" } else { "wires" },
            words::ranges(&told)
        ));
    }
    (count == 0).then(|| format!("Run {name} would have no wires at all. Is it right?"))
}

/// Asks where another run or post has the name.
fn same_name(job: &Job<'_>, kind: ItemKind, id: ItemId, name: &str) -> Option<String> {
    let same = |other: &str| other.trim().to_lowercase() == name.trim().to_lowercase();
    let names: Vec<(ItemId, &str)> = match kind {
        ItemKind::Run => job.runs.iter().map(|r| (r.id, r.name.as_str())).collect(),
        _ => job.posts.iter().map(|p| (p.id, p.name.as_str())).collect(),
    };
    let own = names.iter().any(|(of, known)| *of == id && same(known));
    let taken = !own && names.iter().any(|(of, known)| *of != id && same(known));
    let what = match kind {
        ItemKind::Run => SubjectKind::Run,
        _ => SubjectKind::Post,
    };
    taken.then(|| {
        format!(
            "A {} named {} stands in this job already. Is this another one?",
            what.word(),
            crate::photos::visible(name.trim(), 80)
        )
    })
}
