//! One book in memory: which entries hang together, which count, and what they say.
//!
//! Invariant: what a view says depends on the set of its entries and on the crew, never on the
//! order in which entries came. It does no I/O; `record` keeps it and the index in step.

mod begun;
mod changed;
mod ends;
mod held;
mod look;
pub(crate) mod reading;
mod tails;
mod whose;
mod why;

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

use ends::Ends;
use held::Held;
use tails::Tails;

use crate::claims::{self, Claim, Line};
use crate::crew::{self, Crew};
use crate::entry::Entry;
use crate::ids::{BookId, DeviceId, Hash};
use crate::keys::PublicKey;
pub(crate) use changed::Changed;
pub use reading::{NotUnderstood, Said, read};
pub use tails::DeviceTails;
pub(crate) use tails::broken_off_words;
pub(crate) use whose::{Here, listing, owner};
pub use whose::{Pins, Signs};
pub use why::Why;

/// What a claim is on: subject, field and place, as entries write them.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key {
    /// Subject.
    pub subject: String,
    /// Field.
    pub field: String,
    /// Place within the field, or empty.
    pub place: String,
}

/// All that is claimed on a key.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KeyState {
    /// Whether separate claims are repeats.
    pub many: bool,
    /// Counted claims.
    pub claims: Vec<Claim>,
    /// Claims joined into lines, sorted by root.
    pub lines: Vec<Line>,
    /// Entries of a newer version that replace a tip here.
    pub newer: Vec<Hash>,
}

/// A book in memory.
#[derive(Clone, Debug)]
pub struct BookView {
    /// The book.
    pub book: BookId,
    crew_book: bool,
    pin: Option<Hash>,
    founding: Option<Hash>,
    held: HashMap<Hash, Held>,
    followers: HashMap<Hash, Vec<Hash>>,
    waiting: BTreeSet<Hash>,
    keys: BTreeMap<Key, KeyState>,
    newer: HashMap<Hash, Vec<Hash>>,
    chosen: BTreeSet<Hash>,
    changed: Changed,
    heads: BTreeMap<DeviceId, (u64, Hash)>,
    tails: Tails,
}

impl BookView {
    /// An empty book of a job.
    #[must_use]
    pub fn of_job(book: BookId) -> Self {
        Self::empty(book, false, None)
    }

    /// An empty book of a crew with the entry that founded it, as the device pinned it or as
    /// [`Signs`] tell. Without one, or until it comes, nobody belongs to the crew.
    #[must_use]
    pub fn of_crew(book: BookId, founding: Option<Hash>) -> Self {
        Self::empty(book, true, founding)
    }

    fn empty(book: BookId, crew_book: bool, pin: Option<Hash>) -> Self {
        BookView {
            book,
            crew_book,
            pin,
            founding: None,
            held: HashMap::new(),
            followers: HashMap::new(),
            waiting: BTreeSet::new(),
            keys: BTreeMap::new(),
            newer: HashMap::new(),
            chosen: BTreeSet::new(),
            changed: Changed::Everything,
            heads: BTreeMap::new(),
            tails: Tails::default(),
        }
    }

    /// Takes entries in and returns the keys whose state may have changed.
    ///
    /// `proven` tells whether an entry's proof was found before (by the index or by signing).
    pub fn take(
        &mut self,
        entries: impl IntoIterator<Item = (Arc<Entry>, bool)>,
        crew: &Crew,
    ) -> BTreeSet<Key> {
        entries
            .into_iter()
            .for_each(|(entry, proven)| self.hold(entry, proven));
        let touched = self.settle(crew);
        self.changed.add(&touched);
        self.settle_tails();
        touched
    }

    /// Judges all entries anew, for a crew that changed.
    pub fn judge(&mut self, crew: &Crew) -> BTreeSet<Key> {
        let mut touched: BTreeSet<Key> = self.keys.keys().cloned().collect();
        self.keys.clear();
        self.newer.clear();
        self.waiting = self.held.keys().copied().collect();
        for held in self.held.values_mut() {
            held.counts = false;
            held.bad_signature = false;
        }
        touched.extend(self.settle(crew));
        self.changed = Changed::Everything;
        self.settle_tails();
        touched
    }

    fn hold(&mut self, entry: Arc<Entry>, proven: bool) {
        let (id, prev, device, n) = (entry.id, entry.body.prev, entry.body.device, entry.body.n);
        if entry.body.book != self.book {
            return;
        }
        if let Some(held) = self.held.get_mut(&id) {
            if !held.proven && proven {
                // Its genuine line, in place of one whose signature was damaged.
                (held.entry, held.bad_signature) = (entry, false);
                held.others.clear();
                self.chosen.insert(id);
                self.prove_down(id);
            } else if !held.proven && !held.lines().any(|line| line == entry.line()) {
                held.bad_signature = false;
                held.others.push(entry);
            }
            return;
        }
        if self.crew_book && self.pin == Some(id) && crew::founding_key(&entry).is_some() {
            // Whether it is proven is looked at where it is asked for: a later line may do that.
            self.founding = Some(id);
        }
        let head = self.heads.entry(device).or_insert((n, id));
        if (n, id) > *head {
            *head = (n, id);
        }
        self.held.insert(
            id,
            Held {
                entry,
                others: Vec::new(),
                first: None,
                proven,
                bad_signature: false,
                closed: false,
                counts: false,
            },
        );
        self.waiting.insert(id);
        self.followers.entry(prev).or_default().push(id);
        if proven {
            self.prove_down(prev);
        }
        let prev_linked = self.is_linked(&prev);
        if n == 1 || prev_linked {
            self.link(id);
        }
    }

    fn link(&mut self, first: Hash) {
        let mut open = vec![first];
        while let Some(id) = open.pop() {
            let Some(held) = self.held.get(&id) else {
                continue;
            };
            let body = &held.entry.body;
            let first = match self.held.get(&body.prev) {
                Some(prev) => {
                    let before = &prev.entry.body;
                    let fits = before.n + 1 == body.n && before.device == body.device;
                    prev.first.filter(|_| fits)
                }
                None => Some(id).filter(|_| body.n == 1),
            };
            let closes = body.closes();
            if first.is_none() {
                continue;
            }
            if let Some(held) = self.held.get_mut(&id) {
                held.first = first;
                self.tails.fresh.push(id);
            }
            if closes {
                self.close(id);
            }
            open.extend(self.followers.get(&id).into_iter().flatten());
        }
    }

    fn close(&mut self, last: Hash) {
        let mut at = Some(last);
        while let Some(held) = at.and_then(|id| self.held.get_mut(&id)) {
            if held.closed {
                break;
            }
            held.closed = true;
            at = Some(held.entry.body.prev);
        }
    }

    /// Finds the proofs of entries by their devices' own keys, whoever belongs.
    fn prove(&mut self, keys: &dyn Fn(&DeviceId) -> Option<PublicKey>) {
        let mut open: Vec<(u64, Hash)> = self
            .waiting
            .iter()
            .filter_map(|id| self.held.get(id).map(|h| (id, h)))
            .filter(|(_, h)| h.first.is_some() && !h.proven && !h.bad_signature)
            .map(|(id, h)| (h.entry.body.n, *id))
            .collect();
        open.sort_unstable_by(|a, b| b.cmp(a));
        for (_, id) in open {
            let Some(held) = self.held.get_mut(&id) else {
                continue;
            };
            if held.proven {
                continue;
            }
            let Some(key) = keys(&held.entry.body.device) else {
                continue;
            };
            if let Some(another) = held.choose(&key) {
                if another {
                    self.chosen.insert(id);
                }
                self.prove_down(id);
            } else {
                held.bad_signature = true;
            }
        }
    }

    /// Notes a proof, which holds for everything before it on the chain too.
    fn prove_down(&mut self, last: Hash) {
        let mut at = Some(last);
        while let Some(held) = at.and_then(|id| self.held.get_mut(&id)) {
            if held.proven {
                break;
            }
            held.proven = true;
            self.tails.fresh.push(held.entry.id);
            at = Some(held.entry.body.prev);
        }
    }

    fn settle(&mut self, crew: &Crew) -> BTreeSet<Key> {
        if self.crew_book {
            let keys = crew::keys(self.entries());
            self.prove(&|device| keys.get(device).copied());
            let known = crew::evaluate(self);
            return self.count(&known);
        }
        self.prove(&|device| crew.key(device));
        self.count(crew)
    }

    fn count(&mut self, crew: &Crew) -> BTreeSet<Key> {
        let mut touched = BTreeSet::new();
        let waiting: Vec<Hash> = self.waiting.iter().copied().collect();
        let ends = Ends::of(crew);
        for id in waiting {
            let Some(held) = self.held.get(&id) else {
                continue;
            };
            let entry = Arc::clone(&held.entry);
            if self.why_before_reading(held, &ends, crew).is_some() {
                continue;
            }
            match reading::read(&entry, self.crew_book) {
                Ok(said) => {
                    self.waiting.remove(&id);
                    if let Some(held) = self.held.get_mut(&id) {
                        held.counts = true;
                    }
                    for one in said {
                        let state = self.keys.entry(one.key.clone()).or_default();
                        state.many = one.many;
                        state.claims.push(Claim {
                            id,
                            over: entry.body.over.clone(),
                            value: one.value,
                            compared: one.compared,
                        });
                        touched.insert(one.key);
                    }
                }
                Err(NotUnderstood::Newer | NotUnderstood::Unfit) => {
                    for over in &entry.body.over {
                        let by = self.newer.entry(*over).or_default();
                        if !by.contains(&id) {
                            by.push(id);
                            by.sort_unstable();
                        }
                        touched.extend(self.keys_of(over));
                    }
                }
            }
        }
        for key in &touched {
            if let Some(state) = self.keys.get_mut(key) {
                state.claims.sort_by_key(|c| c.id);
                state.claims.dedup_by_key(|c| c.id);
                state.lines = claims::lines(&state.claims, state.many);
                let mut newer: Vec<Hash> = state
                    .lines
                    .iter()
                    .flat_map(|l| &l.tips)
                    .filter_map(|tip| self.newer.get(tip))
                    .flatten()
                    .copied()
                    .collect();
                newer.sort_unstable();
                newer.dedup();
                state.newer = newer;
            }
        }
        touched
    }

    fn keys_of(&self, id: &Hash) -> Vec<Key> {
        self.held
            .get(id)
            .filter(|h| h.counts)
            .and_then(|h| reading::read(&h.entry, self.crew_book).ok())
            .map(|said| said.into_iter().map(|s| s.key).collect())
            .unwrap_or_default()
    }

    fn why_before_reading(&self, held: &Held, ends: &Ends<'_>, crew: &Crew) -> Option<Why> {
        let body = &held.entry.body;
        let Some(first) = held.first else {
            return Some(Why::EarlierMissing);
        };
        let Some(member) = crew.member(&body.device) else {
            return Some(Why::NotAdmitted);
        };
        if !held.proven {
            return Some(Why::NotProven);
        }
        if !held.closed {
            return Some(Why::ActOpen);
        }
        if self.begins_elsewhere(&first, &held.entry, crew) {
            return Some(Why::OtherCrew);
        }
        if !ends.count(self, &held.entry) {
            return Some(Why::AfterEnd);
        }
        if !member.persons.iter().any(|p| p.id == body.person) {
            return Some(Why::NotListed);
        }
        let here = |id: &Hash| self.held.get(id).is_some_and(|h| h.proven);
        if !body.over.iter().chain(&body.basis).all(here) {
            return Some(Why::BasisMissing);
        }
        None
    }
}
