//! Opening a data folder, and keeping its books and its index in step.

use std::collections::{HashMap, HashSet};
use std::io::ErrorKind;
use std::path::Path;
use std::sync::Arc;

use rusqlite::Connection;

use super::folder::{lock, make_private_dir, open_index, refuse_newer, remove_index};
use super::kept::Kept;
use super::write::BRANCHED;
use super::{Open, Record, heads, identity, local_store, pins};
use crate::book::{BookView, Key};
use crate::clock::Clock;
use crate::crew::{self, Crew};
use crate::entry::{At, Entry};
use crate::error::RecordError;
use crate::ids::{BookId, Hash};
use crate::index;
use crate::journal::{Journal, Place};
use crate::photos;

impl Record {
    /// Opens a data folder, making it where it is missing, and takes in what the index has not seen.
    ///
    /// # Errors
    /// [`RecordError::InUse`] when another process holds it, [`RecordError::Newer`] when a newer
    /// version wrote it, [`RecordError::JournalGone`] when entries were here and no line of them is
    /// left (these change nothing), and file errors.
    pub fn open(dir: &Path, clock: Arc<dyn Clock>) -> Result<Self, RecordError> {
        make_private_dir(dir)?;
        let lock = lock(dir)?;
        // Before anything is written: the one may be newer where the other is not.
        refuse_newer(dir)?;
        let local = local_store::open(dir)?;
        let held = heads::read_held(&local)?;
        if !held.is_empty() && Journal::is_gone(&dir.join("journal"))? {
            return Err(RecordError::JournalGone);
        }
        photos::sweep_temporary(&dir.join("photos"))?;
        let index = open_index(dir)?;
        let journal = Journal::open(&dir.join("journal"))?;
        let (key, lost) = identity::open(&dir.join("device.key"), &local, &journal)?;
        let pins = pins::read(&local)?;
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
            lost,
            clock,
            books: HashMap::new(),
            crews: HashMap::new(),
            pins,
            held,
            gone: false,
            branched: HashSet::new(),
            last_at: None,
            no_crew: Crew::default(),
            behind: false,
            filling: false,
            unreadable: 0,
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
        for (name, _) in record.settings(BRANCHED)? {
            let book = name.strip_prefix(BRANCHED).map(str::parse::<BookId>);
            let book = book.transpose()?;
            record.branched.extend(book);
        }
        record.pin_what_is_here()?;
        record.load_crews()?;
        record.replay()?;
        if !shorter && record.index_lost_rows()? {
            record.make_index_anew()?;
        }
        // Where it can't be written now, the next opening does it.
        drop(record.sign_damaged_anew());
        record.ask_for_what_is_gone(shorter)?;
        record.last_at = record.last_stamp()?;
        // Where it can't be written now, the next opening does it.
        drop(record.list_unlisted(None));
        Ok(record)
    }

    /// Deletes the index and makes it anew from the journal; answers with how many lines of it are no
    /// entries any more. What is damaged in it may lie in a shared folder: the next exchange reads all
    /// pieces there again and takes in what is missing.
    ///
    /// # Errors
    /// When a file can't be read or written.
    pub fn rebuild(&mut self) -> Result<usize, RecordError> {
        self.local.execute("DELETE FROM fetched", [])?;
        self.make_index_anew()?;
        self.sign_damaged_anew()?;
        self.ask_for_what_is_gone(false)?;
        Ok(self.unreadable)
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

    pub(super) fn load_crews(&mut self) -> Result<(), RecordError> {
        for row in index::books(&self.index)? {
            if row.book != row.crew {
                continue;
            }
            match self.load(row.book) {
                // A damaged crew is told where it is asked for, and the others go on.
                Ok(()) | Err(RecordError::Damaged(_)) => {}
                Err(error) => return Err(error),
            }
        }
        Ok(())
    }

    /// Crews whose books can't be read, each with why.
    ///
    /// # Errors
    /// When the index can't be read.
    pub fn damaged_crews(&mut self) -> Result<Vec<(BookId, RecordError)>, RecordError> {
        let mut damaged = Vec::new();
        for row in index::books(&self.index)? {
            if row.book == row.crew
                && let Err(error) = self.load(row.book)
            {
                damaged.push((row.book, error));
            }
        }
        Ok(damaged)
    }

    /// Takes entries into a book's view and brings the projections up to date.
    pub(super) fn take_into_view(
        &mut self,
        row: index::BookRow,
        entries: impl IntoIterator<Item = (Arc<Entry>, bool)>,
    ) -> Result<(), RecordError> {
        let crew_book = row.book == row.crew;
        let before = self.crews.get(&row.crew).cloned().unwrap_or_default();
        let pin = self.pins.get(&row.book).copied();
        let open = self.books.entry(row.book).or_insert_with(|| Open {
            row,
            view: empty_view(row, pin),
            kept: Kept::default(),
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
                repoint(&self.index, &self.journal, &mut open.view, self.filling)?;
                index::project(&self.index, row, &open.view, &touched)?;
                index::project_crew(&self.index, row, &after)?;
                if !self.filling {
                    note_proven(&self.index, &open.view)?;
                }
                self.crews.insert(row.book, after);
                return self.judge_jobs(row.book);
            }
        }
        repoint(&self.index, &self.journal, &mut open.view, self.filling)?;
        index::project(&self.index, row, &open.view, &touched)?;
        if self.filling {
            return Ok(());
        }
        let proven: Vec<_> = fresh
            .into_iter()
            .filter(|id| open.view.is_proven(id))
            .collect();
        index::set_proven(&self.index, &proven)
    }

    pub(super) fn judge_jobs(&mut self, crew_book: BookId) -> Result<(), RecordError> {
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
            self.judge_job(row, &crew)?;
        }
        Ok(())
    }

    fn judge_job(&mut self, row: index::BookRow, crew: &Crew) -> Result<(), RecordError> {
        let Some(open) = self.books.get_mut(&row.book) else {
            return Ok(());
        };
        let touched = open.view.judge(crew);
        repoint(&self.index, &self.journal, &mut open.view, self.filling)?;
        index::project(&self.index, row, &open.view, &touched)?;
        note_proven(&self.index, &open.view)
    }

    /// Gives a job to the crew that its first entry names, and judges it by that one.
    pub(super) fn give_to(&mut self, crew: BookId, job: BookId) -> Result<(), RecordError> {
        index::set_crew(&self.index, job, crew)?;
        let row = index::book(&self.index, job, crew)?;
        if let Some(open) = self.books.get_mut(&job) {
            open.row = row;
        }
        let crew = self.crews.get(&crew).cloned().unwrap_or_default();
        self.judge_job(row, &crew)
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
        if row.book != row.crew && !self.crews.contains_key(&row.crew) {
            // Judged without its crew, nothing in it would count.
            self.load(row.crew)?;
        }
        let rows = index::rows(&self.index, row)?;
        let lines = self.lines_at(&rows)?;
        let mut entries = Vec::with_capacity(lines.len());
        for (line, known) in lines.iter().zip(&rows) {
            // A line that was changed since may not keep the proof that was found before.
            let entry = Entry::parse_own(line)
                .ok()
                .filter(|entry| entry.id == known.id);
            let entry = entry.ok_or(RecordError::Damaged(known.id))?;
            entries.push((Arc::new(entry), known.proven));
        }
        let mut view = empty_view(row, self.pins.get(&book).copied());
        let crew = self.crews.get(&row.crew).cloned().unwrap_or_default();
        let _: std::collections::BTreeSet<Key> = view.take(entries, &crew);
        if row.book == row.crew {
            let crew = crew::evaluate(&view);
            view.judge(&crew);
            self.crews.insert(book, crew);
        }
        let kept = Kept::default();
        self.books.insert(book, Open { row, view, kept });
        self.note_held(Some(book));
        Ok(())
    }

    fn lines_at(&self, rows: &[index::Row]) -> Result<Vec<Vec<u8>>, RecordError> {
        let places: Vec<Place> = rows.iter().map(|r| r.place).collect();
        let gone = |error: &RecordError| match error {
            RecordError::File { source, .. } => matches!(
                source.kind(),
                ErrorKind::NotFound | ErrorKind::UnexpectedEof
            ),
            _ => false,
        };
        match self.journal.read_many(&places) {
            // A file that is gone or cut is damage like any other, but for a folder that was moved
            // away under this program: there nothing is damaged.
            Err(error) if gone(&error) => {
                self.journal.is_here()?;
                let first = rows.iter().find(|r| self.journal.read(r.place).is_err());
                Err(first.map_or(error, |row| RecordError::Damaged(row.id)))
            }
            read => read,
        }
    }
}

/// Where another line of an entry came to be proven than the one that came first, the index is to
/// name that one. An index that is being filled gets the right line with the entry.
fn repoint(
    db: &Connection,
    journal: &Journal,
    view: &mut BookView,
    filling: bool,
) -> Result<(), RecordError> {
    let chosen = view.take_chosen();
    if chosen.is_empty() || filling {
        return Ok(());
    }
    let lines: HashMap<&[u8], Hash> = chosen
        .iter()
        .filter_map(|id| Some((view.entry(id)?.line(), *id)))
        .collect();
    journal.scan((1, 0), |place, line| match lines.get(line) {
        Some(id) => index::set_place(db, id, place),
        None => Ok(()),
    })?;
    Ok(())
}

fn empty_view(row: index::BookRow, pin: Option<Hash>) -> BookView {
    if row.book == row.crew {
        BookView::of_crew(row.book, pin)
    } else {
        BookView::of_job(row.book)
    }
}

pub(super) fn note_proven(db: &Connection, view: &BookView) -> Result<(), RecordError> {
    let ids: Vec<_> = view
        .ids()
        .filter(|id| view.is_proven(id))
        .copied()
        .collect();
    index::set_proven(db, &ids)
}
