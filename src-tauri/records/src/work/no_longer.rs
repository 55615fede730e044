//! What is said of wires and bays that the layout no longer has.
//!
//! Invariant: it is kept and told with its words as they stand, and moved to no other wire or bay. Where
//! people differ on the layout, whether it is there is not settled, and it says so.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::disputes::{Side, side};
use super::words;
use crate::ids::ItemId;
use crate::job::{Job, PostInRun, Run, Told, reader};
use crate::model::context::Said;
use crate::model::fields;
use crate::model::values::Length;
use crate::subject::Subject;

/// A wire or bay that the layout no longer has.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct NoLonger {
    /// The wire or bay in text form.
    pub subject: String,
    /// Its name, with the words that it is no longer there.
    pub name: String,
    /// People differ on what decides whether it is there.
    pub disputed: bool,
    /// What is said of it.
    pub said: Vec<StillSaid>,
}

/// One value of it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StillSaid {
    /// The field.
    pub field: String,
    /// The field in the trade's words.
    pub field_name: String,
    /// The place within the field in words; empty where there is none.
    pub place_name: String,
    /// The words that stand, oldest first; several where people differ.
    pub sides: Vec<Side>,
}

/// All that is said of wires and bays that the layout no longer has, by subject, oldest first; what was
/// withdrawn is left out.
#[must_use]
pub fn no_longer(job: &Job<'_>) -> Vec<NoLonger> {
    let mut found: BTreeMap<String, NoLonger> = BTreeMap::new();
    for (key, state) in job.reader.view.keys() {
        let Ok(subject) = key.subject.parse::<Subject>() else {
            continue;
        };
        if job.in_layout(&subject) {
            continue;
        }
        for line in &state.lines {
            let tips = line.tips.iter();
            let mut entries: Vec<_> = tips.filter_map(|id| job.reader.view.entry(id)).collect();
            entries.retain(|e| reader::said(e, key).0.is_some_and(|value| !value.is_null()));
            entries.sort_by_key(|e| (e.body.at, e.id));
            if entries.is_empty() {
                continue;
            }
            let of = found
                .entry(key.subject.clone())
                .or_insert_with(|| NoLonger {
                    subject: key.subject.clone(),
                    name: job.name_of(&subject),
                    disputed: layout_disputed(job, &subject),
                    said: Vec::new(),
                });
            of.said.push(StillSaid {
                field: key.field.clone(),
                field_name: words::field(&key.subject, &key.field),
                place_name: words::place_of(job, &key.subject, &key.place),
                sides: entries.into_iter().map(|e| side(job, e, key)).collect(),
            });
        }
    }
    let mut found: Vec<NoLonger> = found.into_values().collect();
    for one in &mut found {
        one.said
            .sort_by_key(|said| said.sides.first().map(|side| side.at_ms));
    }
    found
}

/// Whether somebody's word on the layout has it, while others' have not: a word on the number of its run's
/// wires that reaches it, or for a bay words on where posts stand by which its two are neighbours.
fn layout_disputed(job: &Job<'_>, subject: &Subject) -> bool {
    let reader = &job.reader;
    match subject {
        Subject::Wire(run, number) => {
            let count = reader.one(fields::RUN_WIRE_COUNT, &Subject::run(*run).to_string(), "");
            count.blocks() && count.values().any(|n| *n >= i64::from(*number))
        }
        Subject::Bay(one, other) => {
            let by_some_words = |run: &Run| neighbours_by_some_words(&run.posts, *one, *other);
            job.runs.iter().any(by_some_words)
        }
        _ => false,
    }
}

/// Whether two posts are neighbours by some choice of what people say of where posts stand. A run's posts lie
/// in the order of their positions, then of their ids; one that somebody took out is passed over by that word.
fn neighbours_by_some_words(posts: &[PostInRun], one: ItemId, other: ItemId) -> bool {
    let places = |id: ItemId| {
        let there = posts.iter().filter(move |post| post.id == id);
        there.flat_map(move |post| post.position.values().map(move |at| (at.nm, id)))
    };
    let apart = |low, high| {
        let between = |told: &Told<Length, Said>, id| {
            let place = told.value.map(|at| (at.nm, id));
            place.is_some_and(|place| low < place && place < high)
        };
        let always =
            |post: &PostInRun| post.position.tips.iter().all(|told| between(told, post.id));
        let mut others = posts
            .iter()
            .filter(|post| post.id != one && post.id != other);
        others.any(always)
    };
    places(one).any(|a| places(other).any(|b| !apart(a.min(b), a.max(b))))
}
