//! Taking into the index what the journal holds beyond it: after a stop, after a failure, or all of
//! it when the index is made anew.
//!
//! Invariant: what was never acknowledged is set aside, and the rest is told by its set alone.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use rusqlite::Connection;

use super::Record;
use super::folder::remove_index;
use crate::book::Signs;
use crate::entry::Entry;
use crate::error::RecordError;
use crate::ids::BookId;
use crate::index;
use crate::journal::Place;

type Found = BTreeMap<BookId, Vec<(Arc<Entry>, Place)>>;

impl Record {
    /// Takes into the index what the journal holds beyond it.
    pub(super) fn replay(&mut self) -> Result<(), RecordError> {
        let from = index::seen(&self.index)?;
        let mut found = Found::new();
        let mut unreadable = Vec::new();
        let own = self.device();
        let mut open_act: Option<Place> = None;
        let mut held = false;
        let torn = self.journal.scan(from, |place, line| {
            match Entry::parse_own(line) {
                Ok(entry) => {
                    // Only the journal's very last act can be open: it was one write that was cut.
                    open_act = match (entry.body.device == own, entry.body.closes(), open_act) {
                        (true, false, None) => Some(place),
                        (true, false, started) => started,
                        _ => None,
                    };
                    // What was held before came in pieces, from this device's log in a folder.
                    let known = self.held.get(&(entry.body.book, own));
                    held = known.is_some_and(|ends| ends.contains(&(entry.body.n, entry.id)));
                    let book = found.entry(entry.body.book).or_default();
                    book.push((Arc::new(entry), place));
                }
                Err(_) => unreadable.push(place),
            }
            Ok(())
        })?;
        // Only the last write can be torn, and it went to the file that is written to; a file that
        // was closed ends broken when it was damaged later.
        let file = self.journal.end().0;
        if let Some(broken) = torn.filter(|torn| torn.file != file) {
            unreadable.push(broken);
        }
        let open_act = open_act.filter(|place| place.file == file && !held);
        let cut = open_act.or(torn.filter(|torn| torn.file == file));
        if let Some(Place { offset, .. }) = cut {
            for entries in found.values_mut() {
                entries.retain(|(_, p)| p.file < file || p.offset < offset);
            }
            found.retain(|_, entries| !entries.is_empty());
            let kept = found.values().flatten().map(|(entry, _)| entry.id);
            let why = match self.misses_an_end(&kept.collect())? {
                true => {
                    "the file was cut there, and entries that had been saved are gone; the next \
                     exchange fetches what the shared folder holds of them"
                }
                false => {
                    "it was being written when the program or the power stopped, and was never \
                     acknowledged"
                }
            };
            let name = format!("torn-{}-{offset}.jsonl", self.clock.now_ms());
            let aside = self.aside_dir();
            // Said first: what was cut without a word would be known to nobody.
            self.note_aside(
                &name,
                &format!("the journal's end, from byte {offset} of file {file} on: {why}"),
            )?;
            self.journal.set_tail_aside(offset, &aside, &name)?;
            if open_act.is_some() {
                // Was it a part of an act that came back from a folder, it comes again.
                self.local.execute("DELETE FROM fetched", [])?;
            }
        }
        self.unreadable = unreadable.len();
        if !unreadable.is_empty() {
            // As after a rebuild that a person asked for.
            self.local.execute("DELETE FROM fetched", [])?;
            self.note_aside(
                "journal",
                &format!("{} lines of the journal are no entries", unreadable.len()),
            )?;
        }
        self.indexed(|record| record.index_found(&found))
    }

    /// Does `work` in one transaction of the index. After a failure the journal may hold more than
    /// the index, so the books are read again and the journal is replayed.
    pub(super) fn indexed<T>(
        &mut self,
        work: impl FnOnce(&mut Self) -> Result<T, RecordError>,
    ) -> Result<T, RecordError> {
        let begun = self.index.execute_batch("BEGIN IMMEDIATE");
        let done = begun.map_err(RecordError::from).and_then(|()| {
            let value = work(self)?;
            self.index.execute_batch("COMMIT")?;
            Ok(value)
        });
        if done.is_err() {
            self.behind = true;
            self.books.clear();
            self.crews.clear();
            if !self.index.is_autocommit() {
                self.index.execute_batch("ROLLBACK")?;
            }
            // A failure here comes again in catching up; what failed first is what is told.
            drop(self.load_crews());
        }
        done
    }

    /// Catches up with the journal after a failure, before anything new is written.
    pub(super) fn catch_up(&mut self) -> Result<(), RecordError> {
        if !self.behind {
            return Ok(());
        }
        self.journal.cut_leftover()?;
        match index::seen(&self.index) {
            Ok(seen) if seen <= self.journal.end() => {}
            // It kept what it said it could not, or it is no index any more.
            Ok(_) | Err(RecordError::Index(_)) => return self.make_index_anew(),
            Err(error) => return Err(error),
        }
        self.load_crews()?;
        self.replay()?;
        self.behind = false;
        Ok(())
    }

    /// Deletes the index and fills a new one from the journal.
    pub(super) fn make_index_anew(&mut self) -> Result<(), RecordError> {
        self.behind = true;
        self.books.clear();
        self.crews.clear();
        self.index = Connection::open_in_memory()?;
        remove_index(&self.dir)?;
        self.index = index::open(&self.dir.join("index.db"))?;
        self.replay()?;
        self.behind = false;
        Ok(())
    }

    /// An index without entries is filled without its secondary indexes, which are made last; what
    /// is proven is known by then and written with each entry.
    fn index_found(&mut self, found: &Found) -> Result<(), RecordError> {
        self.filling = index::is_empty(&self.index)?;
        if self.filling {
            index::drop_secondary(&self.index)?;
        }
        let filled = self.index_books(found);
        if std::mem::take(&mut self.filling) {
            filled?;
            return index::make_secondary(&self.index);
        }
        filled
    }

    fn index_books(&mut self, found: &Found) -> Result<(), RecordError> {
        let mut crews: HashMap<BookId, BookId> = index::books(&self.index)?
            .into_iter()
            .map(|row| (row.book, row.crew))
            .collect();
        let lost = self.pins.is_empty();
        let mut signs = Signs::default();
        for (entry, _) in found.values().flatten() {
            signs.hear(entry);
        }
        for book in found
            .keys()
            .filter(|book| !crews.contains_key(*book))
            .copied()
            .collect::<Vec<_>>()
        {
            let Some(crew) = signs.crew_of(book, &self.pins) else {
                continue;
            };
            if crew == book {
                self.pin_by(&signs, book, lost)?;
                if !(lost || self.pins.contains_key(&book)) {
                    // A crew that nobody here founded or joined shows nothing.
                    continue;
                }
            }
            crews.insert(book, crew);
        }
        let (crew_books, jobs): (Vec<BookId>, Vec<BookId>) =
            found.keys().partition(|book| crews.get(book) == Some(book));
        let mut orphans = 0;
        let known: HashSet<BookId> = index::books(&self.index)?.iter().map(|r| r.book).collect();
        let alone = crews.iter().filter(|(book, crew)| book == crew).count() == 1;
        for book in crew_books.into_iter().chain(jobs) {
            let entries = found.get(&book).map(Vec::as_slice).unwrap_or_default();
            let named = crews.get(&book).copied();
            let is_here = |crew: &BookId| crews.get(crew) == Some(crew);
            // With one crew alone, what names it needs no second look.
            let plain = known.contains(&book) || named == Some(book) || alone;
            let found = match named.filter(|crew| plain && is_here(crew)) {
                Some(crew) => Some(crew),
                None => self.owner_of(book, entries).or(named),
            };
            let Some(crew) = found else {
                orphans += 1;
                continue;
            };
            let row = index::book(&self.index, book, crew)?;
            self.place_in_index(row, entries)?;
            if row.book != row.crew {
                self.note_held(None);
                // A job's view is loaded when someone asks for it; rebuilding needs it once.
                self.books.remove(&row.book);
            }
        }
        if !self.filling {
            let books: Vec<BookId> = found.keys().copied().collect();
            self.settle_owners_within(&books)?;
        }
        self.note_held(None);
        index::set_seen(&self.index, self.journal.end())?;
        if orphans > 0 {
            self.note_aside(
                "books",
                &format!("{orphans} books in the journal name no crew"),
            )?;
        }
        Ok(())
    }

    fn place_in_index(
        &mut self,
        row: index::BookRow,
        entries: &[(Arc<Entry>, Place)],
    ) -> Result<(), RecordError> {
        if !self.filling {
            match self.load(row.book) {
                Ok(()) => {}
                // It is told when the book is asked for; that these are here is noted all the same.
                Err(RecordError::Damaged(_)) => {
                    let rows: Vec<_> = entries.iter().map(|(e, p)| (&**e, *p, false)).collect();
                    return index::add_entries(&self.index, row, &rows);
                }
                Err(error) => return Err(error),
            }
        }
        self.take_into_view(row, entries.iter().map(|(e, _)| (Arc::clone(e), false)))?;
        let view = self.books.get(&row.book).map(|open| &open.view);
        let proven = |entry: &Entry| view.is_some_and(|view| view.is_proven(&entry.id));
        let held = |entry: &Entry| view.and_then(|view| view.entry(&entry.id));
        // The same line twice in the journal is one entry, at its first place; of lines with
        // different signatures it is the one that the book goes by.
        let mut once = HashSet::new();
        let rows: Vec<(&Entry, Place, bool)> = entries
            .iter()
            .filter(|(entry, _)| held(entry).is_none_or(|held| held.line() == entry.line()))
            .filter(|(entry, _)| once.insert(entry.id))
            .map(|(entry, place)| (entry.as_ref(), *place, proven(entry)))
            .collect();
        index::add_entries(&self.index, row, &rows)
    }
}
