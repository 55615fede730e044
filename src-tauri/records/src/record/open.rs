//! Opening a data folder, and making its index anew.

use std::collections::{BTreeMap, HashMap};
use std::path::Path;
use std::sync::Arc;

use rusqlite::Connection;

use super::folder::{lock, make_private_dir, open_index, remove_index};
use super::{Open, Record};
use crate::book::{BookView, Key, reading};
use crate::clock::Clock;
use crate::crew::{self, Crew};
use crate::entry::{At, Entry};
use crate::error::RecordError;
use crate::ids::BookId;
use crate::index;
use crate::journal::{Journal, Place};
use crate::keys::FileKey;
use crate::migrate;
use crate::subject::Subject;

type Found = BTreeMap<BookId, Vec<(Arc<Entry>, Place)>>;

impl Record {
    /// Opens a data folder, making it where it is missing, and takes in what the index has not seen.
    ///
    /// # Errors
    /// [`RecordError::InUse`] when another process holds it, [`RecordError::Newer`] when a newer
    /// version wrote it (both change nothing), and file errors.
    pub fn open(dir: &Path, clock: Arc<dyn Clock>) -> Result<Self, RecordError> {
        make_private_dir(dir)?;
        let lock = lock(dir)?;
        let local_path = dir.join("local.db");
        let local = Connection::open(&local_path)?;
        migrate::refuse_newer(&local, migrate::LOCAL)?;
        let index = open_index(dir)?;
        local.pragma_update(None, "journal_mode", "WAL")?;
        local.pragma_update(None, "synchronous", "FULL")?;
        migrate::run(&local, migrate::LOCAL)?;
        let key = FileKey::open_or_create(&dir.join("device.key"))?;
        let journal = Journal::open(&dir.join("journal"))?;
        let seen = index::seen(&index)?;
        let shorter = seen > journal.end();
        let index = if shorter {
            // Put back from an older copy, or cut: what it still holds is read anew.
            drop(index);
            remove_index(dir)?;
            index::open(&dir.join("index.db"))?
        } else {
            index
        };
        let mut record = Record {
            dir: dir.to_path_buf(),
            _lock: lock,
            journal,
            index,
            local,
            key,
            clock,
            books: HashMap::new(),
            crews: HashMap::new(),
            last_at: None,
            no_crew: Crew::default(),
            behind: false,
        };
        if shorter {
            record.note_aside(
                "journal",
                &format!(
                    "it ended at file {}, byte {} and is shorter now: entries that had been saved \
                     are gone; the next exchange fetches what the shared folder holds of them",
                    seen.0, seen.1
                ),
            )?;
        }
        record.load_crews()?;
        record.replay()?;
        record.last_at = record.last_stamp()?;
        Ok(record)
    }

    /// Deletes the index and makes it anew from the journal. What is damaged in it may lie in a
    /// shared folder: the next exchange reads all pieces there again and takes in what is missing.
    ///
    /// # Errors
    /// When a file can't be read or written.
    pub fn rebuild(&mut self) -> Result<(), RecordError> {
        self.local.execute("DELETE FROM fetched", [])?;
        self.books.clear();
        self.crews.clear();
        self.index = Connection::open_in_memory()?;
        remove_index(&self.dir)?;
        self.index = index::open(&self.dir.join("index.db"))?;
        self.replay()
    }

    /// The stamp of this device's newest entry: stamps never run backwards, also over a restart.
    fn last_stamp(&self) -> Result<Option<At>, RecordError> {
        let Some(place) = index::newest_of(&self.index, self.device())? else {
            return Ok(None);
        };
        // A damaged or missing line is told when its book is read; it gives no stamp.
        let line = self.journal.read(place).ok();
        Ok(line.and_then(|line| Some(Entry::parse_own(&line).ok()?.body.at)))
    }

    fn load_crews(&mut self) -> Result<(), RecordError> {
        for row in index::books(&self.index)? {
            if row.book == row.crew {
                self.load(row.book)?;
            }
        }
        Ok(())
    }

    /// Takes into the index what the journal holds beyond it.
    fn replay(&mut self) -> Result<(), RecordError> {
        let from = index::seen(&self.index)?;
        let mut found = Found::new();
        let mut unreadable = Vec::new();
        let own = self.device();
        let mut open_act: Option<u64> = None;
        let torn = self.journal.scan(from, |place, line| {
            match Entry::parse_own(line) {
                Ok(entry) => {
                    // Only the journal's very last act can be open: it was one write that was cut.
                    open_act = match (entry.body.device == own, entry.body.closes(), open_act) {
                        (true, false, None) => Some(place.offset),
                        (true, false, started) => started,
                        _ => None,
                    };
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
        let cut = open_act.or(torn.filter(|torn| torn.file == file).map(|t| t.offset));
        if let Some(offset) = cut {
            let name = format!("torn-{}-{offset}.jsonl", self.clock.now_ms());
            let aside = self.aside_dir();
            self.journal.set_tail_aside(offset, &aside, &name)?;
            for entries in found.values_mut() {
                entries.retain(|(_, p)| p.file < file || p.offset < offset);
            }
            found.retain(|_, entries| !entries.is_empty());
        }
        if !unreadable.is_empty() {
            // As after a rebuild that a person asked for.
            self.local.execute("DELETE FROM fetched", [])?;
            self.note_aside(
                "journal",
                &format!("{} lines of the journal are no entries", unreadable.len()),
            )?;
        }
        self.take_found(found)
    }

    fn take_found(&mut self, found: Found) -> Result<(), RecordError> {
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
            if !self.index.is_autocommit() {
                self.index.execute_batch("ROLLBACK")?;
            }
            self.books.clear();
            self.crews.clear();
            self.behind = true;
            self.load_crews()?;
        }
        done
    }

    /// Catches up with the journal after a failure, before anything new is written.
    pub(super) fn catch_up(&mut self) -> Result<(), RecordError> {
        if self.behind {
            self.replay()?;
            self.behind = false;
        }
        Ok(())
    }

    fn index_found(&mut self, found: &Found) -> Result<(), RecordError> {
        let mut crews: HashMap<BookId, BookId> = index::books(&self.index)?
            .into_iter()
            .map(|row| (row.book, row.crew))
            .collect();
        for (book, entries) in found {
            for (entry, _) in entries {
                if crew::founding_key(entry).is_some() {
                    crews.insert(*book, *book);
                } else if let Some((crew, _)) = reading::crew_of(entry) {
                    crews.entry(*book).or_insert(crew);
                }
            }
        }
        let (crew_books, jobs): (Vec<BookId>, Vec<BookId>) =
            found.keys().partition(|book| crews.get(book) == Some(book));
        let mut orphans = 0;
        for book in crew_books.into_iter().chain(jobs) {
            let entries = found.get(&book).map(Vec::as_slice).unwrap_or_default();
            let named = crews.get(&book).copied();
            let Some(crew) = named.or_else(|| self.crew_by_other_signs(book, entries)) else {
                orphans += 1;
                continue;
            };
            let row = index::book(&self.index, book, crew)?;
            self.place_in_index(row, entries)?;
            if row.book != row.crew {
                // A job's view is loaded when someone asks for it; rebuilding needs it once.
                self.books.remove(&row.book);
            }
        }
        index::set_seen(&self.index, self.journal.end())?;
        if orphans > 0 {
            self.note_aside(
                "books",
                &format!("{orphans} books in the journal name no crew"),
            )?;
        }
        Ok(())
    }

    /// The crew of a job whose own first entry, which would name it, has not come yet: the crew
    /// whose book lists the job, else the one crew that knows who wrote in it.
    fn crew_by_other_signs(&self, job: BookId, entries: &[(Arc<Entry>, Place)]) -> Option<BookId> {
        let created = Key {
            subject: Subject::Job(job).to_string(),
            field: "created".to_owned(),
            place: String::new(),
        };
        let lists = |crew: &&BookId| {
            let open = self.books.get(*crew);
            open.is_some_and(|open| open.view.key(&created).is_some())
        };
        let knows = |crew: &&BookId| {
            let crew = self.crew(**crew);
            let mut by = entries.iter().map(|(entry, _)| entry.body.device);
            by.any(|device| crew.member(&device).is_some())
        };
        let mut crews: Vec<&BookId> = self.crews.keys().collect();
        crews.sort_unstable();
        if let Some(crew) = crews.iter().copied().find(lists) {
            return Some(*crew);
        }
        let mut known = crews.iter().copied().filter(knows);
        match (known.next(), known.next()) {
            (Some(crew), None) => Some(*crew),
            _ => None,
        }
    }

    fn place_in_index(
        &mut self,
        row: index::BookRow,
        entries: &[(Arc<Entry>, Place)],
    ) -> Result<(), RecordError> {
        let rows: Vec<(&Entry, Place, bool)> = entries
            .iter()
            .map(|(entry, place)| (entry.as_ref(), *place, false))
            .collect();
        self.load(row.book)?;
        index::add_entries(&self.index, row, &rows)?;
        self.take_into_view(row, entries.iter().map(|(e, _)| (Arc::clone(e), false)))
    }

    /// Takes entries into a book's view and brings the projections up to date.
    pub(super) fn take_into_view(
        &mut self,
        row: index::BookRow,
        entries: impl IntoIterator<Item = (Arc<Entry>, bool)>,
    ) -> Result<(), RecordError> {
        let crew_book = row.book == row.crew;
        let before = self.crews.get(&row.crew).cloned().unwrap_or_default();
        let open = self.books.entry(row.book).or_insert_with(|| Open {
            row,
            view: BookView::new(row.book, crew_book),
        });
        let mut fresh = Vec::new();
        let entries: Vec<(Arc<Entry>, bool)> = entries.into_iter().collect();
        for (entry, _) in &entries {
            fresh.push(entry.id);
        }
        let mut touched = open.view.take(entries, &before);
        if crew_book {
            let after = crew::evaluate(&open.view);
            if after != before {
                touched.extend(open.view.judge(&after));
                index::project(&self.index, row, &open.view, &touched)?;
                index::project_crew(&self.index, row, &after)?;
                note_proven(&self.index, &open.view)?;
                self.crews.insert(row.book, after);
                return self.judge_jobs(row.book);
            }
        }
        index::project(&self.index, row, &open.view, &touched)?;
        let proven: Vec<_> = fresh
            .into_iter()
            .filter(|id| open.view.is_proven(id))
            .collect();
        index::set_proven(&self.index, &proven)
    }

    fn judge_jobs(&mut self, crew_book: BookId) -> Result<(), RecordError> {
        let jobs: Vec<index::BookRow> = index::books(&self.index)?
            .into_iter()
            .filter(|row| row.crew == crew_book && row.book != crew_book)
            .collect();
        let crew = self.crews.get(&crew_book).cloned().unwrap_or_default();
        for row in jobs {
            match self.load(row.book) {
                Ok(()) => {}
                // It can't be read, so it shows nothing that could be judged; a rebuild mends it.
                Err(RecordError::Damaged(_)) => continue,
                Err(error) => return Err(error),
            }
            if let Some(open) = self.books.get_mut(&row.book) {
                let touched = open.view.judge(&crew);
                index::project(&self.index, row, &open.view, &touched)?;
                note_proven(&self.index, &open.view)?;
            }
        }
        Ok(())
    }

    /// Reads a book's entries from the journal into memory, if they are not there yet.
    ///
    /// # Errors
    /// When the journal can't be read or does not hold what the index says.
    pub(super) fn load(&mut self, book: BookId) -> Result<(), RecordError> {
        if self.books.contains_key(&book) {
            return Ok(());
        }
        let Some(row) = index::books(&self.index)?
            .into_iter()
            .find(|r| r.book == book)
        else {
            return Ok(());
        };
        let rows = index::rows(&self.index, row)?;
        let places: Vec<Place> = rows.iter().map(|r| r.place).collect();
        let lines = self.journal.read_many(&places)?;
        let mut entries = Vec::with_capacity(lines.len());
        for (line, known) in lines.iter().zip(&rows) {
            // A line that was changed since may not keep the proof that was found before.
            let entry = Entry::parse_own(line)
                .ok()
                .filter(|entry| entry.id == known.id);
            let entry = entry.ok_or(RecordError::Damaged(known.id))?;
            entries.push((Arc::new(entry), known.proven));
        }
        let mut view = BookView::new(book, row.book == row.crew);
        let crew = self.crews.get(&row.crew).cloned().unwrap_or_default();
        let _: std::collections::BTreeSet<Key> = view.take(entries, &crew);
        if row.book == row.crew {
            let crew = crew::evaluate(&view);
            view.judge(&crew);
            self.crews.insert(book, crew);
        }
        self.books.insert(book, Open { row, view });
        Ok(())
    }
}

fn note_proven(db: &Connection, view: &BookView) -> Result<(), RecordError> {
    let ids: Vec<_> = view
        .ids()
        .filter(|id| view.is_proven(id))
        .copied()
        .collect();
    index::set_proven(db, &ids)
}
