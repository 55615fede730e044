//! The local store's file: opened, written without waiting where that loses nothing, and set aside
//! where it is no database any more.
//!
//! Invariant: a change waits for the disk unless it is one of [`lightly`]. The file is moved on a person's word alone, and never deleted: what it holds of this
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
    local.pragma_update(None, "foreign_keys", "ON")?;
    migrate::run(&local, migrate::LOCAL)?;
    Ok(local)
}

/// Writes notes without waiting for the disk: where the power fails they may be older than the
/// journal, never ahead of it, and the next change that waits takes them along.
pub(super) fn lightly(
    local: &Connection,
    write: impl FnOnce(&Connection) -> Result<(), RecordError>,
) -> Result<(), RecordError> {
    // Dropped after the change is: within one SQLite refuses to be told otherwise.
    let _waits_again = WaitsAgain(local);
    local.pragma_update(None, "synchronous", "NORMAL")?;
    let change = local.unchecked_transaction()?;
    write(local)?;
    Ok(change.commit()?)
}

/// Lets a store wait for the disk again, however the writing ends.
struct WaitsAgain<'a>(&'a Connection);

impl Drop for WaitsAgain<'_> {
    fn drop(&mut self) {
        // It sets a number in memory; what it answers would tell nobody anything.
        let _ = self.0.pragma_update(None, "synchronous", "FULL");
    }
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

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use rusqlite::Connection;

    use super::{Record, lightly};
    use crate::clock::SystemClock;
    use crate::error::RecordError;
    use crate::ids::Hash;
    use crate::migrate;
    use crate::record::Published;

    /// A pragma's answer as text.
    fn told(db: &Connection, pragma: &str) -> String {
        db.query_row(
            &format!("SELECT CAST({pragma} AS TEXT) FROM pragma_{pragma}"),
            [],
            |r| r.get(0),
        )
        .unwrap()
    }

    #[test]
    fn both_databases_are_strict_and_wait_for_the_disk_as_designed() {
        let dir = tempfile::tempdir().unwrap();
        let record = Record::open(dir.path(), Arc::new(SystemClock)).unwrap();
        // SQLite's own numbers: 1 is NORMAL, 2 is FULL.
        for (name, db, synchronous) in [
            ("index.db", &record.index, "1"),
            ("local.db", &record.local, "2"),
        ] {
            assert_eq!(told(db, "journal_mode"), "wal", "{name}");
            assert_eq!(told(db, "synchronous"), synchronous, "{name}");
            assert_eq!(told(db, "foreign_keys"), "1", "{name}");
            let mut tables = db
                .prepare("SELECT name, strict FROM pragma_table_list WHERE schema = 'main' AND name NOT LIKE 'sqlite_%'")
                .unwrap();
            let tables: Vec<(String, bool)> = tables
                .query_map([], |r| Ok((r.get(0)?, r.get(1)?)))
                .unwrap()
                .collect::<Result<_, _>>()
                .unwrap();
            assert!(tables.len() > 4, "{name}: {tables:?}");
            for (table, strict) in tables {
                assert!(strict, "{name}: {table} takes values of any type");
            }
        }
    }

    #[test]
    fn the_local_store_waits_for_the_disk_again_however_a_light_writing_ends() {
        let dir = tempfile::tempdir().unwrap();
        let local = super::open(dir.path()).unwrap();
        let count = || told(&local, "synchronous");
        let note = "INSERT INTO setting VALUES ('a', 'b')";
        let written = lightly(&local, |db| {
            assert_eq!(count(), "1");
            db.execute(note, [])?;
            Ok(())
        });
        assert!(written.is_ok());
        assert_eq!(count(), "2", "written");
        // The same name twice is refused by the store, and an answer in between by the writer.
        assert!(lightly(&local, |db| Ok(db.execute(note, []).map(drop)?)).is_err());
        assert_eq!(count(), "2", "refused by the store");
        let refused = |_: &Connection| Err(RecordError::Refused("not now".into()));
        assert!(lightly(&local, refused).is_err());
        assert_eq!(count(), "2", "refused by the writer");
        let faulty = std::panic::AssertUnwindSafe(|| lightly(&local, |_| panic!("a fault")));
        assert!(std::panic::catch_unwind(faulty).is_err());
        assert_eq!(count(), "2", "a fault of the program");
        assert!(local.is_autocommit());
    }

    #[test]
    fn pieces_that_were_published_before_their_tails_were_noted_stay_published() {
        let dir = tempfile::tempdir().unwrap();
        let before = Connection::open(dir.path().join(super::FILE)).unwrap();
        migrate::run(&before, &migrate::LOCAL[..3]).unwrap();
        let (book, sha256) = ("a".repeat(26), "1".repeat(64));
        let row = "INSERT INTO published VALUES ('f', 7, ?1, ?2, 1, 2, '{}', 345)";
        before.execute(row, [&book, &sha256]).unwrap();
        before.close().unwrap();
        let record = Record::open(dir.path(), Arc::new(SystemClock)).unwrap();
        let old = Published {
            no: 7,
            book: book.parse().unwrap(),
            sha256: sha256.parse().unwrap(),
            first: 1,
            last: 2,
            header: "{}".into(),
            bytes: Some(345),
            tail: None,
        };
        let new = Published {
            no: 8,
            tail: Some(Hash::of(b"the last entry")),
            ..old.clone()
        };
        record.note_published("f", &new).unwrap();
        assert_eq!(record.published("f").unwrap(), [old, new]);
    }
}
