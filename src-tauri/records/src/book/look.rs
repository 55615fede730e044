//! Looking into a book: its entries, keys and heads, and why an entry does not count.
//!
//! Nothing here changes the book.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use super::ends::Ends;
use super::reading::{self, NotUnderstood};
use super::{BookView, Key, KeyState, Why};
use crate::crew::Crew;
use crate::entry::Entry;
use crate::ids::{DeviceId, Hash};

impl BookView {
    /// Proven entries of closed acts.
    pub fn proven(&self) -> impl Iterator<Item = &Entry> {
        self.held
            .values()
            .filter(|h| h.linked && h.proven && h.closed)
            .map(|h| h.entry.as_ref())
    }

    /// All entries that are here, whether they count or not.
    pub(crate) fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.held.values().map(|h| h.entry.as_ref())
    }

    /// The entry that founds this crew book.
    #[must_use]
    pub fn founding_entry(&self) -> Option<&Entry> {
        self.founding.and_then(|id| self.entry(&id))
    }

    /// Whether this is the book of a crew.
    #[must_use]
    pub fn is_crew(&self) -> bool {
        self.crew_book
    }

    /// An entry that is here, whether it counts or not.
    #[must_use]
    pub fn entry(&self, id: &Hash) -> Option<&Entry> {
        self.held.get(id).map(|h| h.entry.as_ref())
    }

    /// Whether this very line of an entry is here, signature and all.
    #[must_use]
    pub fn holds_line(&self, entry: &Entry) -> bool {
        let held = self.held.get(&entry.id);
        held.is_some_and(|held| held.lines().any(|line| line == entry.line()))
    }

    /// Whether an entry counts.
    #[must_use]
    pub fn counts(&self, id: &Hash) -> bool {
        self.held.get(id).is_some_and(|h| h.counts)
    }

    /// Whether an entry's proof was found.
    #[must_use]
    pub fn is_proven(&self, id: &Hash) -> bool {
        self.held.get(id).is_some_and(|h| h.proven)
    }

    /// Entries that do not count, with the reason.
    #[must_use]
    pub fn not_counting(&self, crew: &Crew) -> Vec<(Hash, Why)> {
        let ends = Ends::of(crew);
        self.waiting
            .iter()
            .filter_map(|id| self.held.get(id).map(|h| (*id, h)))
            .map(|(id, held)| {
                let why = self
                    .why_before_reading(held, &ends, crew)
                    .unwrap_or_else(|| match reading::read(&held.entry, self.crew_book, crew) {
                        Err(NotUnderstood::OtherCrew) => Why::OtherCrew,
                        _ => Why::NotUnderstood,
                    });
                (id, why)
            })
            .collect()
    }

    /// The state of one key.
    #[must_use]
    pub fn key(&self, key: &Key) -> Option<&KeyState> {
        self.keys.get(key)
    }

    /// All keys, sorted.
    pub fn keys(&self) -> impl Iterator<Item = (&Key, &KeyState)> {
        self.keys.iter()
    }

    /// All keys of one subject, sorted.
    pub fn keys_of_subject<'a>(
        &'a self,
        subject: &'a str,
    ) -> impl Iterator<Item = (&'a Key, &'a KeyState)> {
        let from = Key {
            subject: subject.to_owned(),
            field: String::new(),
            place: String::new(),
        };
        self.keys
            .range(from..)
            .take_while(move |(key, _)| key.subject == subject)
    }

    /// Last entry of each device: its number and hash.
    #[must_use]
    pub fn heads(&self) -> &BTreeMap<DeviceId, (u64, Hash)> {
        &self.heads
    }

    /// Last linked entry of the chain that `device` continues here.
    #[must_use]
    pub fn last_linked(&self, device: &DeviceId) -> Option<&Entry> {
        self.held
            .values()
            .filter(|h| h.linked && h.entry.body.device == *device)
            .map(|h| h.entry.as_ref())
            .max_by_key(|e| (e.body.n, e.id))
    }

    /// Number of entries that are here.
    #[must_use]
    pub fn len(&self) -> usize {
        self.held.len()
    }

    /// Whether nothing is here.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.held.is_empty()
    }

    /// Devices with two different entries of one number.
    #[must_use]
    pub fn forked(&self) -> BTreeSet<DeviceId> {
        let mut seen: HashSet<(DeviceId, u64)> = HashSet::new();
        self.held
            .values()
            .filter(|h| h.linked && h.proven)
            .filter(|h| !seen.insert((h.entry.body.device, h.entry.body.n)))
            .map(|h| h.entry.body.device)
            .collect()
    }

    /// Ids of entries that are here.
    pub fn ids(&self) -> impl Iterator<Item = &Hash> {
        self.held.keys()
    }
}
