//! What the index told at one moment, and whether the journal tells the same.
//!
//! The moment is taken under the record's lock, or while nobody holds the folder; the long reading
//! comes after it and needs no lock, because the journal only grows.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::fs::File;
use std::path::Path;

use rusqlite::Connection;

use super::books::Books;
use super::fault::no_journal;
use super::journal::{Read, words};
use super::{Fault, FaultKind, IndexStands, OnProgress};
use crate::book::Pins;
use crate::error::RecordError;
use crate::heads::Head;
use crate::ids::{BookId, DeviceId, Hash};
use crate::index;
use crate::journal::Place;
use crate::keys::{FileKey, Signer as _};
use crate::migrate;
use crate::record::{Record, read_heads, read_pins};

const REBUILD: &str = "`rebuild` makes it anew from the journal; nothing of the record is lost";

/// A data folder at one moment.
#[derive(Debug)]
pub struct Moment {
    pub(super) known: Known,
    /// Where the journal ended; none: all of it is looked at.
    pub(super) end: Option<(u64, u64)>,
    index: Option<IndexAt>,
    /// What is wrong with the device's key: told once all else was looked over.
    pub(super) key: Option<Fault>,
    // Held so that nobody opens the folder meanwhile, where nobody had it open and it can be held.
    _lock: Option<File>,
}

/// What the device knows beside its journal; of a folder without it, nothing.
#[derive(Debug, Default)]
pub(super) struct Known {
    /// This device, where its key is here.
    pub(super) own: Option<DeviceId>,
    /// Founding entries that it has confirmed.
    pub(super) pins: Pins,
    /// How far each device had come, as it was here and as others saw it.
    pub(super) heads: Vec<Head>,
}

#[derive(Debug)]
struct IndexAt {
    seen: (u64, u64),
    places: Vec<(Hash, Place)>,
    dumps: BTreeMap<BookId, Vec<String>>,
}

/// How many bytes of a journal file there have to be, and how many are looked at.
pub(super) struct Bounds {
    pub(super) least: u64,
    pub(super) most: Option<u64>,
}

impl Moment {
    pub(super) fn bounds(&self, file: u64) -> Bounds {
        let of =
            |mark: Option<(u64, u64)>| mark.filter(|(n, _)| *n == file).map(|(_, bytes)| bytes);
        let seen = of(self.index.as_ref().map(|index| index.seen));
        let most = of(self.end);
        Bounds {
            least: seen.max(most).unwrap_or(0),
            most,
        }
    }

    /// Whether the index has taken in the journal beyond this place.
    pub(super) fn index_saw(&self, place: Place) -> bool {
        let seen = self.index.as_ref().map(|index| index.seen);
        seen.is_some_and(|seen| (place.file, place.offset) < seen)
    }

    pub(super) fn known_files(&self) -> u64 {
        let seen = self.index.as_ref().map_or(1, |index| index.seen.0);
        seen.max(self.end.map_or(1, |(file, _)| file))
    }
}

impl Record {
    /// This folder now, for looking it over without holding the record.
    ///
    /// # Errors
    /// When the index can't be read.
    pub fn moment(&self) -> Result<Moment, RecordError> {
        let (index, local, journal) = self.parts();
        Ok(Moment {
            known: Known {
                own: Some(self.device()),
                pins: read_pins(local)?,
                heads: read_heads(local)?,
            },
            end: Some(journal.end()),
            index: Some(read_index(index)?),
            key: None,
            _lock: None,
        })
    }
}

/// A folder that nobody has open; it stays closed to others while the moment lives.
///
/// # Errors
/// [`RecordError::InUse`] and [`RecordError::Newer`] as for opening, or the first [`Fault`] met,
/// wrapped in an `Ok`.
pub fn moment_of(dir: &Path) -> Result<Result<Moment, Fault>, RecordError> {
    let found = std::fs::metadata(dir.join("journal"));
    if let Some(fault) = no_journal(&found.map(|found| found.is_dir())) {
        return Ok(Err(fault));
    }
    let lock = crate::record::lock_to_look(dir)?;
    // What is recorded is looked over before a key that can't be read is told.
    let (own, unreadable) = match own_device(dir) {
        Ok(own) => (own, None),
        Err(fault) => (None, Some(fault)),
    };
    let (mut known, noted) = match closed_local(dir) {
        Ok(known) => known,
        Err(error @ RecordError::Newer { .. }) => return Err(error),
        Err(error) => return Ok(Err(local_unreadable(&error))),
    };
    let key = unreadable.or_else(|| another_key(own, noted?));
    known.own = noted.or(own);
    let index = match closed_index(dir) {
        Ok(index) => index,
        Err(error @ RecordError::Newer { .. }) => return Err(error),
        Err(error) => return Ok(Err(index_unreadable(&error))),
    };
    Ok(Ok(Moment {
        known,
        end: None,
        index,
        key,
        _lock: lock,
    }))
}

fn own_device(dir: &Path) -> Result<Option<DeviceId>, Fault> {
    let key = FileKey::open(&dir.join("device.key")).map_err(|error| {
        Fault::new(
            FaultKind::Key,
            "device.key",
            error.to_string(),
            "what is recorded is not touched by this; this device can't sign until it is mended",
        )
    })?;
    Ok(key.map(|key| key.public().device()))
}

/// A key that is missing, or is not the one of the device that the folder is.
fn another_key(own: Option<DeviceId>, noted: DeviceId) -> Option<Fault> {
    let what = match own {
        Some(own) if own == noted => return None,
        Some(own) => format!("it is the key of device {own}, and this folder is device {noted}"),
        None => format!("it is missing, and this folder is device {noted}"),
    };
    Some(Fault::new(
        FaultKind::Key,
        "device.key",
        what,
        "put the right file back from a copy; every entry here was looked over before this",
    ))
}

/// The local store, read without a trace where it was closed in order, and the device that it notes.
fn closed_local(dir: &Path) -> Result<(Known, Option<DeviceId>), RecordError> {
    let path = dir.join("local.db");
    if !path.exists() {
        return Ok((Known::default(), None));
    }
    let db = migrate::open_to_look(&path)?;
    let steps = migrate::refuse_newer(&db, migrate::LOCAL)?;
    // Opening the folder brings an older store up to date; nothing of this was kept in it.
    let heads = match usize::try_from(steps) == Ok(migrate::LOCAL.len()) {
        true => read_heads(&db)?,
        false => Vec::new(),
    };
    let pins = if steps > 0 {
        read_pins(&db)?
    } else {
        Pins::new()
    };
    let noted = if steps > 0 {
        crate::record::noted_device(&db)?
    } else {
        None
    };
    let known = Known {
        own: None,
        pins,
        heads,
    };
    Ok((known, noted))
}

fn closed_index(dir: &Path) -> Result<Option<IndexAt>, RecordError> {
    let path = dir.join("index.db");
    if !path.exists() {
        return Ok(None);
    }
    let db = migrate::open_to_look(&path)?;
    let found = migrate::refuse_newer(&db, migrate::INDEX)?;
    if usize::try_from(found) != Ok(migrate::INDEX.len()) {
        // It was being made when the program stopped, or is of an older step: then the next opening
        // makes it anew from the journal.
        return Ok(None);
    }
    read_index(&db).map(Some)
}

fn read_index(db: &Connection) -> Result<IndexAt, RecordError> {
    let mut dumps = BTreeMap::new();
    for row in index::books(db)? {
        dumps.insert(row.book, index::dump(db, row)?);
    }
    Ok(IndexAt {
        seen: index::seen(db)?,
        places: index::places(db)?,
        dumps,
    })
}

/// An error without what to do: a fault says that itself.
fn bare(error: &RecordError) -> String {
    match error {
        RecordError::Index(error) => error.to_string(),
        other => other.to_string(),
    }
}

fn local_unreadable(error: &RecordError) -> Fault {
    Fault::new(
        FaultKind::LocalUnreadable,
        "local.db",
        bare(error),
        "it is no part of the record: `rebuild --local` moves it to aside/, then name the shared \
         folder again",
    )
}

fn index_unreadable(error: &RecordError) -> Fault {
    Fault::new(FaultKind::IndexUnreadable, "index.db", bare(error), REBUILD)
}

/// Every entry that the index took in lies where the index says.
pub(super) fn places_agree(at: &Moment, entries: &[Read]) -> Result<(), Fault> {
    let Some(index) = &at.index else {
        return Ok(());
    };
    let here: HashMap<(u64, u64), (Hash, u64)> = entries
        .iter()
        .map(|read| {
            (
                (read.place.file, read.place.offset),
                (read.entry.id, read.place.length),
            )
        })
        .collect();
    let changed = index
        .places
        .iter()
        .find(|(id, place)| here.get(&(place.file, place.offset)) != Some(&(*id, place.length)));
    match changed {
        None => Ok(()),
        Some((id, place)) if entries.iter().any(|read| read.entry.id == *id) => Err(Fault::new(
            FaultKind::IndexDiffers,
            "index.db",
            format!(
                "it looks for entry {id} at {}, and it lies elsewhere",
                words(*place)
            ),
            REBUILD,
        )),
        Some((id, place)) => Err(Fault::damaged(
            FaultKind::Changed,
            words(*place),
            format!("entry {id} was taken in here, and something else stands here now"),
        )),
    }
}

/// What the index tells is what the journal tells, as far as the index has seen it.
pub(super) fn index_agrees(
    at: &Moment,
    entries: &[Read],
    books: &Books,
    on: &OnProgress<'_>,
) -> Result<IndexStands, Fault> {
    let Some(index) = &at.index else {
        return Ok(IndexStands::None);
    };
    let seen = |read: &&Read| (read.place.file, read.place.offset) < index.seen;
    let count = entries.iter().filter(seen).count();
    let anew = if count == entries.len() {
        books.dumps()
    } else {
        super::books::of(entries.get(..count).unwrap_or_default(), &at.known, on)?.dumps()
    };
    let anew = anew.map_err(|error| index_unreadable(&error))?;
    let nothing = Vec::new();
    for book in anew.keys().chain(index.dumps.keys()) {
        let (now, told) = (
            anew.get(book).unwrap_or(&nothing),
            index.dumps.get(book).unwrap_or(&nothing),
        );
        if let Some(row) = first_difference(now, told) {
            return Err(Fault::new(
                FaultKind::IndexDiffers,
                format!("index.db, book {book}"),
                format!("it differs from what the journal tells at “{row}”"),
                REBUILD,
            ));
        }
    }
    // A book that names no crew is not in the index.
    let placed = |read: &&Read| {
        let mut books = books.books.iter();
        books.any(|book| book.view.book == read.entry.body.book && book.crew.is_some())
    };
    let rows: HashSet<Hash> = index.places.iter().map(|(id, _)| *id).collect();
    let mut lost = entries.iter().filter(seen).filter(placed);
    if let Some(lost) = lost.find(|read| !rows.contains(&read.entry.id)) {
        return Err(Fault::new(
            FaultKind::IndexDiffers,
            "index.db",
            format!(
                "it does not know of entry {}, which lies at {}",
                lost.entry.id,
                words(lost.place)
            ),
            REBUILD,
        ));
    }
    if count == entries.len() {
        Ok(IndexStands::Same)
    } else {
        Ok(IndexStands::Behind)
    }
}

/// Subject and field of the first row that one has and the other has not.
fn first_difference(one: &[String], other: &[String]) -> Option<String> {
    let longer = if one.len() >= other.len() { one } else { other };
    let at = one
        .iter()
        .zip(other)
        .position(|(a, b)| a != b)
        .or((one.len() != other.len()).then(|| one.len().min(other.len())))?;
    let row = longer.get(at)?;
    let words: Vec<&str> = row.split('\t').skip(1).take(2).collect();
    Some(crate::photos::visible(&words.join(" "), 120))
}

/// How many notes lie in `aside/`.
pub(super) fn aside_notes(dir: &Path) -> u64 {
    let text = std::fs::read_to_string(dir.join("aside").join("reasons.txt")).unwrap_or_default();
    text.lines().count() as u64
}
