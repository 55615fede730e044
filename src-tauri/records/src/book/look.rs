//! Looking into a book: its entries, keys and heads, and why an entry does not count.
//!
//! Nothing here changes the book.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use super::ends::Ends;
use super::reading::{self, NotUnderstood};
use super::{BookView, Held, Key, KeyState, Why};
use crate::crew::Crew;
use crate::entry::Entry;
use crate::ids::{DeviceId, Hash};
use crate::keys::PublicKey;

impl BookView {
    /// Proven entries of closed acts.
    pub fn proven(&self) -> impl Iterator<Item = &Entry> {
        self.held
            .values()
            .filter(|h| h.first.is_some() && h.proven && h.closed)
            .map(|h| h.entry.as_ref())
    }

    /// All entries that are here, whether they count or not.
    pub(crate) fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.held.values().map(|h| h.entry.as_ref())
    }

    /// The entry that founds this crew book, once it is proven.
    #[must_use]
    pub fn founding_entry(&self) -> Option<&Entry> {
        let founding = self.founding.filter(|id| self.is_proven(id))?;
        self.entry(&founding)
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
                    .unwrap_or_else(|| match reading::read(&held.entry, self.crew_book) {
                        Err(NotUnderstood::Unfit) => Why::Unfit,
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

    /// Last entries of every branch of a device's chain, sorted by number: more than one where the
    /// device is forked. Where a crew is given, those up to the device's end there.
    #[must_use]
    pub fn branches(&self, device: &DeviceId, up_to: Option<&Crew>) -> Vec<(u64, Hash)> {
        let ends = up_to.map(Ends::of);
        let within = |entry: &Entry| ends.as_ref().is_none_or(|ends| ends.count(self, entry));
        let of = |held: &&Held| {
            held.entry.body.device == *device && !held.bad_signature && within(&held.entry)
        };
        let all: Vec<&Held> = self.held.values().filter(of).collect();
        let before: HashSet<Hash> = all.iter().map(|held| held.entry.body.prev).collect();
        let last = all.iter().map(|held| &held.entry);
        let last = last.filter(|entry| !before.contains(&entry.id));
        let mut last: Vec<(u64, Hash)> = last.map(|entry| (entry.body.n, entry.id)).collect();
        last.sort_unstable();
        last
    }

    /// Entries on the chains that end in `heads`, these included.
    #[must_use]
    pub fn up_to(&self, heads: impl IntoIterator<Item = Hash>) -> HashSet<Hash> {
        let mut found = HashSet::new();
        for head in heads {
            let mut at = Some(head);
            while let Some(held) = at.and_then(|id| self.held.get(&id)) {
                if !found.insert(held.entry.id) {
                    break;
                }
                at = Some(held.entry.body.prev);
            }
        }
        found
    }

    /// Whether a later entry of the same device's chain is here that proves this one, by `key`.
    pub(crate) fn proves(&self, id: &Hash, key: &PublicKey) -> bool {
        let (device, mut open) = (key.device(), vec![*id]);
        while let Some(id) = open.pop() {
            let next = self.followers.get(&id).into_iter().flatten();
            let next = next.filter_map(|next| self.held.get(next));
            for held in next.filter(|held| held.entry.body.device == device) {
                if held.proven || held.signed_by(key) {
                    return true;
                }
                open.push(held.entry.id);
            }
        }
        false
    }

    /// Whether an entry hangs together with its device's first one.
    #[must_use]
    pub fn is_linked(&self, id: &Hash) -> bool {
        self.held.get(id).is_some_and(|h| h.first.is_some())
    }

    /// Whether an entry's act came whole.
    pub(crate) fn is_closed(&self, id: &Hash) -> bool {
        self.held.get(id).is_some_and(|h| h.closed)
    }

    /// Last linked entry of the chain that `device` continues here.
    #[must_use]
    pub fn last_linked(&self, device: &DeviceId) -> Option<&Entry> {
        self.held
            .values()
            .filter(|h| h.first.is_some() && h.entry.body.device == *device)
            .map(|h| h.entry.as_ref())
            .max_by_key(|e| (e.body.n, e.id))
    }

    /// Last entry of a device that hangs together with its first one, is proven and ends its act.
    pub(crate) fn last_closed(&self, device: &DeviceId) -> Option<(u64, Hash)> {
        let of = |held: &&Held| held.first.is_some() && held.entry.body.device == *device;
        let whole = self.held.values().filter(of);
        let whole = whole.filter(|held| held.proven && held.closed);
        whole.map(|held| (held.entry.body.n, held.entry.id)).max()
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
            .filter(|h| h.first.is_some() && h.proven)
            .filter(|h| !seen.insert((h.entry.body.device, h.entry.body.n)))
            .map(|h| h.entry.body.device)
            .collect()
    }

    /// Ids of entries that are here.
    pub fn ids(&self) -> impl Iterator<Item = &Hash> {
        self.held.keys()
    }
}
