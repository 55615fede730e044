//! What the first entries of a job's book tell of the crew that it belongs to.
//!
//! Invariant: a chain that begins the job for another crew counts in no part of it, whatever its
//! device is a member of; else what counts would hang on whose folder brought which piece.

use serde_json::Value;

use super::{BookView, reading};
use crate::crew::Crew;
use crate::entry::Entry;
use crate::ids::{BookId, Hash};

impl BookView {
    /// Whether a member of this crew began the job for it: a first entry, proven by its device's
    /// key, that names the crew's book and its founding entry.
    pub(crate) fn is_begun_for(&self, crew_book: BookId, crew: &Crew) -> bool {
        let Some(founding) = crew.founding else {
            return false;
        };
        let begins = |(id, held): (&Hash, &super::Held)| {
            let named = reading::crew_of(&held.entry) == Some((crew_book, founding));
            let key = crew
                .member(&held.entry.body.device)
                .map(|member| member.key);
            named && key.is_some_and(|key| held.signed_by(&key) || self.proves(id, &key))
        };
        !self.crew_book && self.held.iter().any(begins)
    }

    /// Whether an entry, or the `first` one of its chain, begins the job for another crew than
    /// this one.
    pub(super) fn begins_elsewhere(&self, first: &Hash, entry: &Entry, crew: &Crew) -> bool {
        let first = self.held.get(first).map(|held| held.entry.as_ref());
        let mut either = first.into_iter().chain([entry]);
        !self.crew_book && either.any(|entry| founds_elsewhere(entry, crew))
    }
}

fn founds_elsewhere(entry: &Entry, crew: &Crew) -> bool {
    if entry.body.kind != "job.created" {
        return false;
    }
    let Some(named) = entry.body.data.get("crew") else {
        return entry.body.data.get("value") != Some(&Value::Null);
    };
    let founding = named.get("founding").and_then(Value::as_str);
    founding.and_then(|f| f.parse::<Hash>().ok()) != crew.founding
}
