//! Whose books they are: which book is a crew's, which crew a job belongs to, and which entry
//! founded a crew.
//!
//! Invariant: the answers follow from the set of entries and from what the device has pinned, never
//! from the order in which entries came. The record and the looking over of a folder both ask here.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};

use super::{BookView, Key, reading};
use crate::crew::{self, Crew};
use crate::entry::Entry;
use crate::ids::{BookId, DeviceId, Hash};
use crate::keys::PublicKey;
use crate::subject::Subject;

/// Founding entries that this device has confirmed, by the crew's book.
pub type Pins = BTreeMap<BookId, Hash>;

/// What first entries tell of crews and jobs.
#[derive(Clone, Debug, Default)]
pub struct Signs {
    /// Entries that found a crew by their form and are proven, with their devices.
    founded: BTreeMap<BookId, BTreeMap<Hash, DeviceId>>,
    /// Those whose own signature does not prove them, by their devices' keys.
    unproven: BTreeMap<(BookId, Hash), PublicKey>,
    /// Second entries of devices, by the first one that they follow.
    seconds: BTreeMap<(BookId, Hash), Vec<Entry>>,
    /// Crew's book and founding entry, as the first entries of jobs name them.
    named: BTreeMap<BookId, BTreeSet<(BookId, Hash)>>,
}

impl Signs {
    /// Hears one entry; only first entries of a device in a book tell anything, and the second one
    /// proves a founding entry whose own line was damaged.
    pub fn hear(&mut self, entry: &Entry) {
        let (book, device) = (entry.body.book, entry.body.device);
        if let Some(named) = reading::crew_of(entry) {
            self.named.entry(book).or_default().insert(named);
        } else if let Some(key) = crew::founding_key(entry) {
            let follow = self.seconds.get(&(book, entry.id)).into_iter().flatten();
            let mut lines = std::iter::once(entry).chain(follow);
            if lines.any(|line| line.signed_by(&key)) {
                self.found(book, entry.id, device);
            } else {
                self.unproven.insert((book, entry.id), key);
            }
        } else if entry.body.n == 2 {
            let first = (book, entry.body.prev);
            let key = self.unproven.get(&first);
            if key.is_some_and(|key| key.device() == device && entry.signed_by(key)) {
                self.found(book, entry.body.prev, device);
            }
            self.seconds.entry(first).or_default().push(entry.clone());
        }
    }

    fn found(&mut self, book: BookId, founding: Hash, device: DeviceId) {
        let founded = self.founded.entry(book).or_default();
        founded.insert(founding, device);
    }

    /// The crew's book that a book belongs to, itself for a crew's; none where first entries do not
    /// tell it.
    #[must_use]
    pub fn crew_of(&self, book: BookId, pins: &Pins) -> Option<BookId> {
        if pins.contains_key(&book) {
            return Some(book);
        }
        let named = self.named.get(&book);
        let crews: BTreeSet<BookId> = named.into_iter().flatten().map(|(crew, _)| *crew).collect();
        let pinned = only(crews.iter().filter(|crew| pins.contains_key(*crew)));
        // An entry that founds a crew in the book of a job makes no crew of it.
        let founded = self.founded.get(&book).filter(|founded| {
            let mut named = self.named_for(book);
            crews.is_empty() || named.any(|hash| founded.contains_key(&hash))
        });
        pinned
            .copied()
            .or(founded.map(|_| book))
            .or_else(|| only(crews.iter()).copied())
    }

    /// The entry that founded a crew: the pinned one; else this device's own; else the one that the
    /// crew's jobs name; else the only one there is. None where that leaves several.
    #[must_use]
    pub fn founding(&self, crew: BookId, pins: &Pins, own: Option<DeviceId>) -> Option<Hash> {
        if let Some(pinned) = pins.get(&crew) {
            return Some(*pinned);
        }
        let nothing = BTreeMap::new();
        let founded = self.founded.get(&crew).unwrap_or(&nothing);
        let by_own = founded.iter().filter(|(_, by)| Some(**by) == own);
        let named: BTreeSet<Hash> = self.named_for(crew).collect();
        if let Some((own, _)) = only(by_own) {
            return Some(*own);
        }
        match named.len() {
            0 => only(founded.keys()).copied(),
            1 => named.first().copied(),
            _ => only(named.iter().filter(|hash| founded.contains_key(*hash))).copied(),
        }
    }

    /// Whether this device founded the crew.
    pub(crate) fn is_founded_by(&self, crew: BookId, device: DeviceId) -> bool {
        let founded = self.founded.get(&crew);
        founded.is_some_and(|founded| founded.values().any(|by| *by == device))
    }

    /// Whether some entry founds a crew in this book, by its form and its proof.
    pub(crate) fn founds(&self, book: BookId) -> bool {
        self.founded.contains_key(&book)
    }

    /// Founding entries that first entries of other books name for a crew.
    fn named_for(&self, crew: BookId) -> impl Iterator<Item = Hash> {
        let others = self.named.iter().filter(move |(book, _)| **book != crew);
        others
            .flat_map(|(_, named)| named)
            .filter(move |(named, _)| *named == crew)
            .map(|(_, founding)| *founding)
    }
}

/// A crew whose book is here.
pub(crate) type Here<'a> = (BookId, &'a BookView, &'a Crew);

/// What a crew's book says of a job that it lists.
pub(crate) fn listing(job: BookId) -> Key {
    Key {
        subject: Subject::Job(job).to_string(),
        field: "created".to_owned(),
        place: String::new(),
    }
}

/// The crew that a job belongs to, of those whose books are here: one whose members began the job
/// for it, first the one whose book lists the job too; where none did yet, the one whose book lists
/// it, then one that knows who wrote in it. Of several the one with the lowest id, so that the
/// answer follows from the entries alone. None where nothing tells.
pub(crate) fn owner(job: &BookView, crews: &[Here<'_>]) -> Option<BookId> {
    let created = listing(job.book);
    let signs = crews.iter().map(|(book, view, crew)| {
        let begun = job.is_begun_for(*book, crew);
        let listed = view.key(&created).is_some();
        let knows = || job.heads().keys().any(|by| crew.member(by).is_some());
        ((begun, listed, begun || knows()), Reverse(*book))
    });
    let told = signs.filter(|(sign, _)| *sign != (false, false, false));
    told.max().map(|(_, Reverse(book))| book)
}

fn only<T>(mut from: impl Iterator<Item = T>) -> Option<T> {
    let first = from.next()?;
    from.next().is_none().then_some(first)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crew::{Admission, Person, Role};
    use crate::entry::tests::body;
    use crate::ids::PersonId;
    use crate::keys::{FileKey, Signer as _};
    use serde_json::{Map, Value, json};

    fn object(value: &Value) -> Map<String, Value> {
        value.as_object().unwrap().clone()
    }

    fn founding(seed: u8, book: BookId) -> Entry {
        let key = FileKey::from_secret(&[seed; 32]).unwrap();
        let admission = Admission {
            key: key.public(),
            persons: vec![Person {
                id: PersonId::random().unwrap(),
                name: "x".into(),
            }],
            role: Role::Office,
        };
        let mut body = body(key.public().device());
        (body.book, body.kind) = (book, crew::FOUNDED.into());
        body.data = object(&serde_json::to_value(admission).unwrap());
        Entry::sign(body, &key).unwrap()
    }

    fn begins(seed: u8, job: BookId, crew: BookId, founding: Hash) -> Entry {
        let key = FileKey::from_secret(&[seed; 32]).unwrap();
        let mut body = body(key.public().device());
        (body.book, body.kind) = (job, "job.created".into());
        body.data = object(&json!({"value": true, "crew": {"book": crew, "founding": founding}}));
        Entry::sign(body, &key).unwrap()
    }

    fn signs(entries: &[&Entry]) -> Signs {
        let mut signs = Signs::default();
        entries.iter().for_each(|entry| signs.hear(entry));
        signs
    }

    #[test]
    fn a_founding_entry_is_chosen_by_pin_own_device_jobs_or_alone_and_never_by_order() {
        let (crew, job) = (BookId::random().unwrap(), BookId::random().unwrap());
        let (ann, eve) = (founding(1, crew), founding(2, crew));
        let (no_pins, none) = (Pins::new(), None);
        for both in [[&ann, &eve], [&eve, &ann]] {
            let told = signs(&both);
            assert_eq!(told.founding(crew, &no_pins, none), None);
            for one in [&ann, &eve] {
                let pins = Pins::from([(crew, one.id)]);
                assert_eq!(told.founding(crew, &pins, none), Some(one.id));
                let own = Some(one.body.device);
                assert_eq!(told.founding(crew, &no_pins, own), Some(one.id));
            }
        }
        assert_eq!(signs(&[&eve]).founding(crew, &no_pins, none), Some(eve.id));
        // What a job names is waited for, even where another is alone here.
        let named = begins(1, job, crew, ann.id);
        for all in [vec![&eve, &named], vec![&named, &eve, &ann]] {
            assert_eq!(signs(&all).founding(crew, &no_pins, none), Some(ann.id));
        }
    }

    #[test]
    fn neither_a_founding_in_a_jobs_book_nor_a_job_in_a_crews_book_changes_whose_it_is() {
        let (crew, job, other) = (
            BookId::random().unwrap(),
            BookId::random().unwrap(),
            BookId::random().unwrap(),
        );
        let (ann, eve) = (founding(1, crew), founding(2, job));
        let named = begins(1, job, crew, ann.id);
        let back = begins(2, crew, other, Hash::of(b"x"));
        for all in [[&ann, &eve, &named, &back], [&back, &named, &eve, &ann]] {
            let told = signs(&all);
            for pins in [Pins::new(), Pins::from([(crew, ann.id)])] {
                assert_eq!(told.crew_of(crew, &pins), Some(crew), "{pins:?}");
                assert_eq!(told.crew_of(job, &pins), Some(crew), "{pins:?}");
            }
        }
    }
}
