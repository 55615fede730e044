//! The founding entries that this device has confirmed: its crews are theirs and nobody else's.
//!
//! Invariant: a pin is kept in the local store and is not changed while its founding entry is here.

use rusqlite::Connection;

use super::Record;
use super::open::note_proven;
use crate::book::{Pins, Signs, reading};
use crate::entry::Entry;
use crate::error::RecordError;
use crate::ids::{BookId, Hash};
use crate::index;

const PIN: &str = "pin:";

/// All pins of a local store.
pub(crate) fn read(local: &Connection) -> Result<Pins, RecordError> {
    let mut statement = local.prepare("SELECT name, value FROM setting WHERE name GLOB 'pin:*'")?;
    let mut rows = statement.query([])?;
    let mut pins = Pins::new();
    while let Some(row) = rows.next()? {
        let (name, value) = (row.get::<_, String>(0)?, row.get::<_, String>(1)?);
        if let Some(book) = name.strip_prefix(PIN) {
            pins.insert(book.parse()?, value.parse()?);
        }
    }
    Ok(pins)
}

impl Record {
    /// The founding entry that this device has confirmed for a crew.
    #[must_use]
    pub fn pinned(&self, crew: BookId) -> Option<Hash> {
        self.pins.get(&crew).copied()
    }

    /// Confirms which entry founded a crew; what is here of the crew is judged by it.
    ///
    /// # Errors
    /// [`RecordError::Refused`] when the crew is here with another founding entry; when the local
    /// store or the index can't be written.
    pub fn pin(&mut self, crew: BookId, founding: Hash) -> Result<(), RecordError> {
        if self.pinned(crew) == Some(founding) {
            return Ok(());
        }
        if self.crew(crew).founding.is_some() {
            return Err(RecordError::Refused(
                "this crew is here with another founding entry; compare the digits with the one \
                 who founded it. Nothing was changed"
                    .into(),
            ));
        }
        self.catch_up()?;
        if self.is_a_job(crew, founding)? {
            return Err(RecordError::Refused(
                "the file tautbook.json of this shared folder names a job as its crew, so it was \
                 changed: ask the one who set the folder up. Nothing was changed"
                    .into(),
            ));
        }
        self.set_pin(crew, founding)?;
        self.indexed(|record| record.judge_crew_anew(crew))?;
        self.note_held(None);
        Ok(())
    }

    /// Whether a book is here as a job's, and nothing in it founds a crew so.
    fn is_a_job(&mut self, book: BookId, founding: Hash) -> Result<bool, RecordError> {
        let rows = index::books(&self.index)?;
        if !rows.iter().any(|row| row.book == book && row.crew != book) {
            return Ok(false);
        }
        let view = self.view(book)?;
        let mut entries = view.entries();
        let begins = entries.any(|entry| reading::crew_of(entry).is_some());
        Ok(begins && view.entry(&founding).is_none())
    }

    pub(super) fn set_pin(&mut self, crew: BookId, founding: Hash) -> Result<(), RecordError> {
        self.set_setting(&format!("{PIN}{crew}"), &founding.to_string())?;
        self.pins.insert(crew, founding);
        Ok(())
    }

    fn judge_crew_anew(&mut self, crew_book: BookId) -> Result<(), RecordError> {
        // Another crew's folder may have brought its book, as if it were a job of that one.
        index::set_crew(&self.index, crew_book, crew_book)?;
        self.books.remove(&crew_book);
        self.crews.remove(&crew_book);
        self.load(crew_book)?;
        let Some(open) = self.books.get(&crew_book) else {
            return Ok(());
        };
        let touched = open.view.keys().map(|(key, _)| key.clone()).collect();
        index::project(&self.index, open.row, &open.view, &touched)?;
        index::project_crew(&self.index, open.row, self.crew(crew_book))?;
        note_proven(&self.index, &open.view)?;
        self.judge_jobs(crew_book)?;
        self.settle_owners_within(&[crew_book])
    }

    /// Pins crews of which the index knows and the local store does not, as in a folder of an older
    /// version or after the local store was lost.
    pub(super) fn pin_what_is_here(&mut self) -> Result<(), RecordError> {
        let rows = index::books(&self.index)?;
        let bare = |row: &&index::BookRow| !self.pins.contains_key(&row.crew);
        let rows: Vec<index::BookRow> = rows.iter().filter(bare).copied().collect();
        let mut signs = Signs::default();
        for row in &rows {
            for place in index::firsts(&self.index, *row)? {
                // A damaged line is told when its book is read; it gives no sign.
                let line = self.journal.read(place).ok();
                if let Some(entry) = line.and_then(|line| Entry::parse_own(&line).ok()) {
                    signs.hear(&entry);
                }
            }
        }
        let lost = self.pins.is_empty();
        for row in rows.iter().filter(|row| row.book == row.crew) {
            self.pin_by(&signs, row.book, lost)?;
        }
        Ok(())
    }

    /// Pins a crew by what first entries tell; where they leave it open, says so. Where other crews
    /// are pinned the store is not lost, and a crew that this device neither founded nor joined stays
    /// unpinned: anybody can put its founding entry into a log.
    pub(super) fn pin_by(
        &mut self,
        signs: &Signs,
        crew: BookId,
        lost: bool,
    ) -> Result<(), RecordError> {
        let own = signs.is_founded_by(crew, self.device());
        if self.pins.contains_key(&crew) || !(lost || own) {
            return Ok(());
        }
        match signs.founding(crew, &self.pins, Some(self.device())) {
            Some(founding) => self.set_pin(crew, founding),
            None if signs.founds(crew) => self.note_aside(
                &format!("crew-{crew}"),
                "several entries found this crew, and nothing here tells which one was confirmed: \
                 join its shared folder again and compare the digits",
            ),
            None => Ok(()),
        }
    }
}
