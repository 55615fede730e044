//! The local store's file: opened, and set aside where it is no database any more.
//!
//! Invariant: it is moved on a person's word alone, and never deleted: what it holds of this
//! device's settings is nowhere else.

use std::fs;
use std::path::{Path, PathBuf};

use rusqlite::{Connection, ErrorCode};

use super::folder::lock;
use super::{Record, heads};
use crate::clock::Clock;
use crate::error::RecordError;
use crate::ids::BookId;
use crate::journal::Journal;
use crate::migrate;

const FILE: &str = "local.db";

/// Opens the local store and brings it up to date.
pub(super) fn open(dir: &Path) -> Result<Connection, RecordError> {
    ready(dir).map_err(|error| match error {
        RecordError::Index(source) if is_damage(&source) => RecordError::LocalDamaged(source),
        other => other,
    })
}

fn ready(dir: &Path) -> Result<Connection, RecordError> {
    let local = Connection::open(dir.join(FILE))?;
    migrate::refuse_newer(&local, migrate::LOCAL)?;
    local.pragma_update(None, "journal_mode", "WAL")?;
    local.pragma_update(None, "synchronous", "FULL")?;
    migrate::run(&local, migrate::LOCAL)?;
    Ok(local)
}

fn is_damage(error: &rusqlite::Error) -> bool {
    matches!(
        error.sqlite_error_code(),
        Some(ErrorCode::NotADatabase | ErrorCode::DatabaseCorrupt)
    )
}

fn remembers_more(dir: &Path, local: &Connection) -> Result<bool, RecordError> {
    Ok(!heads::read_held(local)?.is_empty() && Journal::is_gone(&dir.join("journal"))?)
}

/// Moves a local store that is damaged, or that is all that is left of a record, to `aside/`;
/// answers with where it is now.
///
/// # Errors
/// [`RecordError::InUse`]; [`RecordError::Refused`] where the store can be read and the journal is
/// here; file errors.
pub fn set_local_aside(dir: &Path, clock: &dyn Clock) -> Result<PathBuf, RecordError> {
    let _lock = lock(dir)?;
    match open(dir) {
        Err(RecordError::LocalDamaged(_)) => {}
        // It remembers a record of which no line is left; see `RecordError::JournalGone`.
        Ok(local) if remembers_more(dir, &local)? => {}
        Ok(_) => {
            return Err(RecordError::Refused(
                "local.db can be read, so it stays; nothing was changed".into(),
            ));
        }
        Err(other) => return Err(other),
    }
    let aside = dir.join("aside");
    fs::create_dir_all(&aside).map_err(RecordError::file("make", &aside))?;
    let kept = aside.join(format!("local-{}.db", clock.now_ms()));
    for end in ["-wal", "-shm", ""] {
        let from = dir.join(format!("{FILE}{end}"));
        let to = PathBuf::from(format!("{}{end}", kept.display()));
        match fs::rename(&from, &to) {
            Ok(()) => {}
            Err(e) if !end.is_empty() && e.kind() == std::io::ErrorKind::NotFound => {}
            Err(e) => return Err(RecordError::file("set aside", &from)(e)),
        }
    }
    Ok(kept)
}

impl Record {
    /// Notes who records here as a person whom the crew lists for this device: what others record
    /// would not count.
    ///
    /// # Errors
    /// When the settings can't be read or written.
    pub fn adopt_person(&self, crew_book: BookId) -> Result<(), RecordError> {
        let Some(member) = self.own_member(crew_book) else {
            return Ok(());
        };
        let now = self.person()?;
        if member.persons.iter().any(|person| Some(person.id) == now) {
            return Ok(());
        }
        match member.persons.first() {
            Some(person) => self.set_setting("person", &person.id.to_string()),
            None => Ok(()),
        }
    }

    /// Takes who uses this device and its crew from the record, where the settings are gone.
    ///
    /// # Errors
    /// When the settings can't be written.
    pub fn settle_local(&self) -> Result<(), RecordError> {
        if self.setting("person")?.is_some() {
            return Ok(());
        }
        let mut found = Vec::new();
        for book in self.crew_books() {
            let person = self.own_member(book).and_then(|m| m.persons.first());
            // The crew of the first start has no jobs where another one was joined since.
            found.extend(person.map(|person| (self.kept_jobs(book), book, person.id)));
        }
        let jobs = |kept: &Result<Vec<BookId>, RecordError>| kept.as_ref().map_or(0, Vec::len);
        if let Some((_, book, person)) = found.iter().max_by_key(|(kept, ..)| jobs(kept)) {
            self.set_setting("person", &person.to_string())?;
            self.set_setting("crew", &book.to_string())?;
        }
        Ok(())
    }
}
