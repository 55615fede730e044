//! Writing: acts of this device.

use std::sync::Arc;

use serde_json::{Map, Value};

use super::{Record, identity};
use crate::book::BookView;
use crate::clock;
use crate::crew::{self, Role};
use crate::entry::{At, Body, Entry, FORMAT, FileRef};
use crate::error::RecordError;
use crate::ids::{BookId, DeviceId, Hash, Id, PersonId};
use crate::index;
use crate::keys::Signer as _;

/// What an entry is to say; the record adds who, when and where in the chain.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Draft {
    /// Kind.
    pub kind: String,
    /// Subject in text form.
    pub subject: String,
    /// Claims that it replaces.
    pub over: Vec<Hash>,
    /// Entries it was decided on.
    pub basis: Vec<Hash>,
    /// Files it vouches for.
    pub files: Vec<FileRef>,
    /// The kind's own data.
    pub data: Map<String, Value>,
}

/// Who founds a crew.
#[derive(Clone, Debug)]
pub struct Founding {
    /// Name of the crew.
    pub crew: String,
    /// Name of the first person.
    pub person: String,
    /// What the device is mostly used for.
    pub role: Role,
}

impl Record {
    /// Records one act: all of its entries or none, on disk when this returns.
    ///
    /// # Errors
    /// When an entry breaks the form, or the journal can't be written; then nothing was recorded.
    pub fn act(
        &mut self,
        book: BookId,
        person: PersonId,
        drafts: Vec<Draft>,
    ) -> Result<Vec<Hash>, RecordError> {
        self.catch_up()?;
        self.load(book)?;
        let row =
            self.books
                .get(&book)
                .map(|open| open.row)
                .ok_or_else(|| RecordError::Unknown {
                    what: "book",
                    id: book.to_string(),
                })?;
        self.append_act(row.book, row.crew, person, drafts)
    }

    /// Appends to a book of a crew, which is made where there is none.
    pub(super) fn append_act(
        &mut self,
        book: BookId,
        crew: BookId,
        person: PersonId,
        drafts: Vec<Draft>,
    ) -> Result<Vec<Hash>, RecordError> {
        self.append_acts(crew, person, vec![(book, drafts)])
    }

    /// Appends acts in several books of a crew, in one write: all of them or none.
    pub(super) fn append_acts(
        &mut self,
        crew: BookId,
        person: PersonId,
        acts: Vec<(BookId, Vec<Draft>)>,
    ) -> Result<Vec<Hash>, RecordError> {
        if let Some(lost) = self.key_lost() {
            return Err(RecordError::Refused(lost.into()));
        }
        self.catch_up()?;
        let person = self.person_in(crew, person);
        let mut at = self.last_at;
        let mut entries = Vec::new();
        for (book, drafts) in acts {
            // Catching up may have let go of the book, and the act goes on from its head.
            self.load(book)?;
            entries.extend(self.sign_act(book, person, drafts, &mut at)?);
        }
        let lines: Vec<&[u8]> = entries.iter().map(|e| e.line()).collect();
        let places = self.journal.append(&lines)?;
        self.last_at = at;
        let ids = entries.iter().map(|e| e.id).collect();
        let first = places.first().copied();
        let founds = entries.first().filter(|e| e.body.book == crew);
        let founds = founds
            .filter(|e| crew::founding_key(e).is_some())
            .map(|e| e.id);
        // The view must know by whom it is founded before it hears anything.
        let fresh = founds.filter(|_| !self.pins.contains_key(&crew));
        self.pins.extend(fresh.map(|id| (crew, id)));
        let placed = entries
            .into_iter()
            .zip(places)
            .map(|(e, p)| (e, p, true))
            .collect();
        if let Err(error) = self.index_entries(crew, placed) {
            // The caller is told that nothing was recorded, and may do it again.
            if fresh.is_some() {
                self.pins.remove(&crew);
            }
            if let Some(first) = first {
                self.journal.take_back(first)?;
            }
            return Err(error);
        }
        Ok(ids)
    }

    /// The id under which the person at this device records in a crew: the one asked for where the
    /// crew lists it for this device, else the one it lists by the same name, else its first. Each
    /// crew knows people by ids of its own, and under another's id nothing would count.
    fn person_in(&self, crew: BookId, asked: PersonId) -> PersonId {
        let listed = self.own_member(crew).map(|member| &member.persons);
        let Some(listed) = listed.filter(|all| all.iter().all(|one| one.id != asked)) else {
            return asked;
        };
        let mut crews = self.crews.values();
        let name = crews.find_map(|crew| crew.person_name(&asked));
        let same = listed.iter().find(|one| Some(one.name.as_str()) == name);
        same.or(listed.first()).map_or(asked, |one| one.id)
    }

    fn sign_act(
        &self,
        book: BookId,
        person: PersonId,
        drafts: Vec<Draft>,
        at: &mut Option<At>,
    ) -> Result<Vec<Arc<Entry>>, RecordError> {
        let device = self.device();
        if self.hangs_in(book) {
            return Err(RecordError::Refused(OWN_MISSING.into()));
        }
        if !self.stands_on_own(book) {
            return Err(RecordError::Refused(OWN_UNPROVEN.into()));
        }
        let (mut n, mut prev) = self.own_head(book).unwrap_or((0, Hash::ZERO));
        let last = drafts.len().saturating_sub(1);
        let mut entries = Vec::with_capacity(drafts.len());
        for (position, draft) in drafts.into_iter().enumerate() {
            n += 1;
            let stamp = clock::next_at(self.clock.as_ref(), *at);
            *at = Some(stamp);
            let mut data = draft.data;
            if position == last {
                data.insert("closes".into(), Value::Bool(true));
            }
            let body = Body {
                format: FORMAT,
                needs: Vec::new(),
                book,
                device,
                person,
                n,
                prev,
                at: stamp,
                kind: draft.kind,
                subject: draft.subject,
                over: draft.over,
                basis: draft.basis,
                files: draft.files,
                data,
            };
            let entry = Entry::sign(body, &self.key)?;
            prev = entry.id;
            entries.push(Arc::new(entry));
        }
        Ok(entries)
    }

    /// Whether entries are missing between this device's first and last one in a book, or at the end
    /// of its last act there: what it recorded on top of the one would count nowhere, and on top of
    /// the other it would make half an act count.
    pub(super) fn hangs_in(&self, book: BookId) -> bool {
        let view = self.books.get(&book).map(|open| &open.view);
        view.is_some_and(|view| {
            let head = self.own_head(book);
            head.is_some_and(|(_, head)| !view.is_linked(&head) || !view.is_closed(&head))
        })
    }

    /// Whether this device's last entry in a book is its own by its signature: what it signs next
    /// vouches for all that stands before.
    pub(super) fn stands_on_own(&self, book: BookId) -> bool {
        let Some(view) = self.books.get(&book).map(|open| &open.view) else {
            return true;
        };
        let head = self.own_head(book);
        head.is_none_or(|(_, head)| {
            let signed = |entry: &Entry| entry.signed_by(&self.key.public());
            view.is_proven(&head) || view.entry(&head).is_some_and(signed)
        })
    }

    /// The entry that this device goes on from in a book: its last one; or the last whole one that ends its act,
    /// where a person chose to go on before a gap, or what stands last is what damage left of an entry that is back.
    pub(super) fn own_head(&self, book: BookId) -> Option<(u64, Hash)> {
        let device = self.device();
        let open = self.books.get(&book)?;
        let (view, crew) = (
            &open.view,
            self.crews.get(&open.row.crew).unwrap_or(&self.no_crew),
        );
        let head = view.heads().get(&device).copied();
        // What damage left of an entry that is back is no end, whatever its number says.
        let left = head.is_some_and(|(_, head)| view.superseded(&head, crew));
        match left || self.branched.contains(&book) {
            true => view.last_closed(&device),
            false => head,
        }
    }

    /// The end of this device's chain in a book, where it goes on; and whether that is before a gap, by a
    /// person's choice.
    ///
    /// # Errors
    /// When the book can't be read.
    pub fn own_end(&mut self, book: BookId) -> Result<(u64, bool), RecordError> {
        self.load(book)?;
        let end = self.own_head(book).map_or(0, |(n, _)| n);
        Ok((end, self.branched.contains(&book)))
    }

    /// Goes on before the gap in every book of a crew where entries of this device are missing, on a
    /// person's word: what was recorded after the gap stays, and counts once the gap is closed.
    ///
    /// # Errors
    /// When a book can't be read or the local store can't be written.
    pub fn go_on_before_gaps(&mut self, crew_book: BookId) -> Result<(), RecordError> {
        for book in self.own_gaps(crew_book)? {
            self.set_setting(&format!("{BRANCHED}{book}"), "1")?;
            // What follows has numbers that were sent before.
            self.clear_setting(&format!("sent:{book}"))?;
            self.branched.insert(book);
        }
        Ok(())
    }

    /// Whether this device can't go on in some book of a crew, since entries of its own are missing
    /// or its last one is not proven.
    ///
    /// # Errors
    /// When a book can't be read.
    pub fn misses_own(&mut self, crew_book: BookId) -> Result<bool, RecordError> {
        Ok(!self.own_gaps(crew_book)?.is_empty())
    }

    fn own_gaps(&mut self, crew_book: BookId) -> Result<Vec<BookId>, RecordError> {
        let mut books = self.kept_jobs(crew_book)?;
        books.push(crew_book);
        let mut gaps = Vec::new();
        for book in books {
            self.load(book)?;
            // A line whose book was changed stands alone in one that never was, and its signature no longer holds.
            let noted = self.held.keys().any(|(of, _)| *of == book);
            let key = self.key.public();
            let never = |view: &BookView| view.tails().is_empty() && view.nothing_by(&key);
            if !noted && self.books.get(&book).is_some_and(|open| never(&open.view)) {
                continue;
            }
            if self.hangs_in(book) || !self.stands_on_own(book) {
                gaps.push(book);
            }
        }
        Ok(gaps)
    }

    /// Signs own entries anew whose signature was damaged on disk, where this device noted them as its
    /// proven last ones: the signature is no part of an entry's identity.
    pub(super) fn sign_damaged_anew(&mut self) -> Result<(), RecordError> {
        let own = self.device();
        let ends = self.held.iter().filter(|((_, device), _)| *device == own);
        let ends: Vec<(BookId, Hash)> = ends
            .flat_map(|((book, _), ends)| ends.iter().map(|(_, hash)| (*book, *hash)))
            .collect();
        for (book, hash) in ends {
            if self.key_lost().is_some() || index::proven(&self.index, &hash)? != Some(false) {
                continue;
            }
            self.load(book)?;
            let Some(open) = self.books.get(&book) else {
                continue;
            };
            // One that is signed only waits for what stands before it.
            let damaged = |entry: &&Entry| !entry.signed_by(&self.key.public());
            let Some(entry) = open.view.entry(&hash).filter(damaged) else {
                continue;
            };
            let (crew, anew) = (open.row.crew, self.signed_anew(entry)?);
            let places = self.journal.append(&[anew.line()])?;
            let placed = places
                .into_iter()
                .map(|at| (Arc::new(anew.clone()), at, true));
            self.index_entries(crew, placed.collect())?;
        }
        Ok(())
    }

    /// An own entry with its signature made again.
    ///
    /// # Errors
    /// When the entry is not this device's.
    pub fn signed_anew(&self, entry: &Entry) -> Result<Entry, RecordError> {
        if entry.body.device != self.device() {
            return Err(RecordError::Refused("an entry of another device".into()));
        }
        Entry::sign(entry.body.clone(), &self.key)
    }

    /// Takes a new identity, for a device whose chain has two branches. It must be admitted again;
    /// what it recorded under the old one keeps counting.
    ///
    /// # Errors
    /// When the key file can't be moved or written, or a lost one is there again, or the local store
    /// can't be written; then the old identity stays.
    pub fn take_new_identity(&mut self) -> Result<DeviceId, RecordError> {
        let path = self.dir.join("device.key");
        let key = identity::change(&path, &self.local, self.lost)?;
        self.key = key;
        self.lost = None;
        self.branched.clear();
        Ok(self.device())
    }
}

/// Under which names of settings the books stand in which this device goes on before a gap.
pub(super) const BRANCHED: &str = "branched:";

/// Why nothing is signed on top of a chain with a gap.
const OWN_MISSING: &str = "earlier entries of this device are missing here. A rebuild brings back \
    those that its journal still has. If they are not there, an older copy of its data was put back, \
    and a piece of its own log in the shared folder is not there or not whole: once that piece is \
    there again, exchange; where it is gone for good, take a new identity and be admitted again. \
    Nothing was saved";

/// Why nothing is signed on top of an entry that nothing proves.
const OWN_UNPROVEN: &str = "the last entry of this device does not carry its signature: its line in \
    the journal was damaged. Exchange, and the whole line comes back if it was shared; where it was \
    not, take a new identity and be admitted again. Nothing was saved";

/// Data of a claim: place and value.
#[must_use]
pub fn value_data(place: &str, value: &Value) -> Map<String, Value> {
    let mut data = Map::new();
    if !place.is_empty() {
        data.insert("place".into(), Value::String(place.to_owned()));
    }
    data.insert("value".into(), value.clone());
    data
}

pub(super) fn object<T: serde::Serialize>(value: &T) -> Result<Map<String, Value>, RecordError> {
    match serde_json::to_value(value) {
        Ok(Value::Object(map)) => Ok(map),
        Ok(_) => Err(RecordError::Body("data must be an object".into())),
        Err(e) => Err(RecordError::Body(e.to_string())),
    }
}

pub(super) fn one(ids: Vec<Hash>) -> Result<Hash, RecordError> {
    ids.into_iter()
        .next()
        .ok_or_else(|| RecordError::Refused("an act without entries".into()))
}

/// A new random id for a thing.
///
/// # Errors
/// When the system has no randomness.
pub fn new_item() -> Result<crate::ids::ItemId, RecordError> {
    Id::random().map(crate::ids::ItemId)
}
