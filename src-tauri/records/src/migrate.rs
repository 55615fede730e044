//! Numbered migrations, one transaction each; a newer database is refused and left untouched. One file past
//! 400 lines, since every step stands beside those before it and the tests of what they keep.

use std::path::Path;

use rusqlite::{Connection, OpenFlags};

use crate::error::RecordError;

/// Empties the index: what it holds is worked out anew from the journal.
const ANEW: &str = "
DELETE FROM claim;
DELETE FROM member;
DELETE FROM entry;
DELETE FROM device;
DELETE FROM book;
DELETE FROM seen;
";

/// Steps of the index. It follows from the journal, so a step may also empty it.
pub(crate) const INDEX: &[&str] = &[
    "
CREATE TABLE seen (file INTEGER NOT NULL, offset INTEGER NOT NULL) STRICT;
CREATE TABLE book (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE,
    crew TEXT NOT NULL
) STRICT;
CREATE TABLE device (id INTEGER PRIMARY KEY, name TEXT NOT NULL UNIQUE) STRICT;
CREATE TABLE entry (
    id INTEGER PRIMARY KEY,
    hash BLOB NOT NULL UNIQUE,
    book INTEGER NOT NULL REFERENCES book(id),
    device INTEGER NOT NULL REFERENCES device(id),
    n INTEGER NOT NULL,
    file INTEGER NOT NULL,
    offset INTEGER NOT NULL,
    length INTEGER NOT NULL,
    proven INTEGER NOT NULL
) STRICT;
CREATE INDEX entry_book ON entry (book, file, offset);
CREATE TABLE claim (
    book INTEGER NOT NULL REFERENCES book(id),
    subject TEXT NOT NULL,
    field TEXT NOT NULL,
    place TEXT NOT NULL,
    line BLOB NOT NULL,
    entry BLOB NOT NULL,
    value BLOB,
    tip INTEGER NOT NULL,
    standing TEXT NOT NULL,
    PRIMARY KEY (book, subject, field, place, line, entry)
) STRICT, WITHOUT ROWID;
CREATE TABLE member (
    book INTEGER NOT NULL REFERENCES book(id),
    device TEXT NOT NULL,
    key BLOB NOT NULL,
    persons TEXT NOT NULL,
    role TEXT NOT NULL,
    keeper INTEGER NOT NULL,
    ended TEXT,
    PRIMARY KEY (book, device)
) STRICT, WITHOUT ROWID;
",
    "
CREATE TABLE entry_2 (
    id INTEGER PRIMARY KEY,
    hash BLOB NOT NULL,
    book INTEGER NOT NULL REFERENCES book(id),
    device INTEGER NOT NULL REFERENCES device(id),
    n INTEGER NOT NULL,
    file INTEGER NOT NULL,
    offset INTEGER NOT NULL,
    length INTEGER NOT NULL,
    proven INTEGER NOT NULL
) STRICT;
INSERT INTO entry_2 SELECT id, hash, book, device, n, file, offset, length, proven FROM entry;
DROP TABLE entry;
ALTER TABLE entry_2 RENAME TO entry;
CREATE UNIQUE INDEX entry_hash ON entry (hash);
CREATE INDEX entry_book ON entry (book, file, offset);
",
    // Claims are compared without wording: what stands in dispute is worked out anew.
    ANEW,
    // So it is where more of a value is wording.
    ANEW,
    // And where an origin that is left empty says as much as none.
    ANEW,
];

/// Indexes of entries, as the newest step has them: an index that is made anew gets them last.
pub(crate) const SECONDARY: &str = "
CREATE UNIQUE INDEX entry_hash ON entry (hash);
CREATE INDEX entry_book ON entry (book, file, offset);
";

/// Steps of the local store, which is never part of the record.
pub(crate) const LOCAL: &[&str] = &[
    "
CREATE TABLE setting (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT, WITHOUT ROWID;
CREATE TABLE published (
    folder TEXT NOT NULL,
    no INTEGER NOT NULL,
    book TEXT NOT NULL,
    sha256 TEXT NOT NULL,
    first INTEGER NOT NULL,
    last INTEGER NOT NULL,
    header TEXT NOT NULL,
    PRIMARY KEY (folder, no)
) STRICT, WITHOUT ROWID;
CREATE TABLE fetched (
    folder TEXT NOT NULL,
    device TEXT NOT NULL,
    no INTEGER NOT NULL,
    name TEXT NOT NULL,
    PRIMARY KEY (folder, device, no)
) STRICT, WITHOUT ROWID;
CREATE TABLE object (
    folder TEXT NOT NULL,
    sha256 TEXT NOT NULL,
    PRIMARY KEY (folder, sha256)
) STRICT, WITHOUT ROWID;
CREATE TABLE highest (
    book TEXT NOT NULL,
    device TEXT NOT NULL,
    n INTEGER NOT NULL,
    hash TEXT NOT NULL,
    PRIMARY KEY (book, device)
) STRICT, WITHOUT ROWID;
",
    "
CREATE TABLE told (
    book TEXT NOT NULL,
    device TEXT NOT NULL,
    teller TEXT NOT NULL,
    n INTEGER NOT NULL,
    hash TEXT NOT NULL,
    PRIMARY KEY (book, device, teller)
) STRICT, WITHOUT ROWID;
",
    // One row a piece, where all names of a number stood in one text; what was passed over by its
    // name is listed once more.
    "
CREATE TABLE fetched_3 (
    folder TEXT NOT NULL,
    device TEXT NOT NULL,
    no INTEGER NOT NULL,
    start TEXT NOT NULL,
    book TEXT NOT NULL,
    taken INTEGER NOT NULL,
    PRIMARY KEY (folder, device, no, start)
) STRICT, WITHOUT ROWID;
CREATE TEMP TABLE word AS
WITH RECURSIVE word (folder, device, no, text, rest) AS (
    SELECT folder, device, no, '', name || ' ' FROM fetched
    UNION ALL
    SELECT folder, device, no,
        substr(rest, 1, instr(rest, ' ') - 1), substr(rest, instr(rest, ' ') + 1)
    FROM word WHERE rest <> ''
)
SELECT folder, device, no, text FROM word;
INSERT OR IGNORE INTO fetched_3
SELECT folder, device, no, substr(text, 37, 32), substr(text, 10, 26), 1
FROM word WHERE length(text) = 72 AND text LIKE '%.seg';
ALTER TABLE published ADD COLUMN bytes INTEGER;
UPDATE published SET bytes = (
    SELECT max(CAST(substr(text, 7) AS INTEGER)) FROM word
    WHERE word.folder = published.folder AND word.no = published.no AND text LIKE 'bytes:%'
);
DROP TABLE word;
DROP TABLE fetched;
ALTER TABLE fetched_3 RENAME TO fetched;
",
    // The hash of a piece's last entry: by its numbers alone another branch looks published too.
    "
ALTER TABLE published ADD COLUMN tail TEXT;
",
    // Every branch of a chain has an end that was here.
    "
CREATE TABLE highest_5 (
    book TEXT NOT NULL,
    device TEXT NOT NULL,
    n INTEGER NOT NULL,
    hash TEXT NOT NULL,
    PRIMARY KEY (book, device, hash)
) STRICT, WITHOUT ROWID;
INSERT INTO highest_5 SELECT book, device, n, hash FROM highest;
DROP TABLE highest;
ALTER TABLE highest_5 RENAME TO highest;
",
];

/// Opens a database to look into it, without a trace where it was closed in order.
///
/// # Errors
/// SQLite's own errors.
pub(crate) fn open_to_look(path: &Path) -> Result<Connection, RecordError> {
    let mut wal = path.as_os_str().to_owned();
    wal.push("-wal");
    let left = std::fs::metadata(wal).is_ok_and(|wal| wal.len() > 0);
    let flags = OpenFlags::SQLITE_OPEN_READ_ONLY | OpenFlags::SQLITE_OPEN_NO_MUTEX;
    if left {
        return Ok(Connection::open_with_flags(path, flags)?);
    }
    let flags = flags | OpenFlags::SQLITE_OPEN_URI;
    let address = format!("file:{}?immutable=1", in_address(path));
    Ok(Connection::open_with_flags(address, flags)?)
}

/// A path as it stands in an address.
fn in_address(path: &Path) -> String {
    let plain = |byte: &u8| byte.is_ascii_alphanumeric() || b"/-_.".contains(byte);
    let bytes = path.as_os_str().as_encoded_bytes().iter();
    bytes
        .map(|byte| match plain(byte) {
            true => char::from(*byte).to_string(),
            false => format!("%{byte:02X}"),
        })
        .collect()
}

/// Brings a database up to the newest step.
///
/// # Errors
/// [`RecordError::Newer`] when the database is newer; SQLite's own errors.
pub(crate) fn run(db: &Connection, steps: &[&str]) -> Result<(), RecordError> {
    let found = refuse_newer(db, steps)?;
    for (step, sql) in (1i64..).zip(steps).filter(|(step, _)| *step > found) {
        let change = db.unchecked_transaction()?;
        change.execute_batch(sql)?;
        change.pragma_update(None, "user_version", step)?;
        change.commit()?;
    }
    Ok(())
}

/// The database's version, refused when it is newer than `steps`.
///
/// # Errors
/// [`RecordError::Newer`]; SQLite's own errors.
pub(crate) fn refuse_newer(db: &Connection, steps: &[&str]) -> Result<i64, RecordError> {
    let known = i64::try_from(steps.len()).unwrap_or(i64::MAX);
    let found: i64 = db.pragma_query_value(None, "user_version", |r| r.get(0))?;
    if found > known {
        let what = match steps == LOCAL {
            true => "local.db",
            false => "index.db",
        };
        return Err(RecordError::Newer { what, found, known });
    }
    Ok(found)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_newer_database_is_left_untouched() {
        let db = Connection::open_in_memory().unwrap();
        db.pragma_update(None, "user_version", 99).unwrap();
        assert!(matches!(
            run(&db, INDEX),
            Err(RecordError::Newer { found: 99, .. })
        ));
        let tables: i64 = db
            .query_row("SELECT count(*) FROM sqlite_schema", [], |r| r.get(0))
            .unwrap();
        assert_eq!(tables, 0);
    }

    #[test]
    fn a_local_store_of_the_step_before_keeps_what_it_held() {
        let db = Connection::open_in_memory().unwrap();
        run(&db, &LOCAL[..1]).unwrap();
        db.execute("INSERT INTO highest VALUES ('b', 'd', 7, 'h')", [])
            .unwrap();
        run(&db, LOCAL).unwrap();
        let kept: (i64, i64) = db
            .query_row(
                "SELECT n, (SELECT count(*) FROM told) FROM highest",
                [],
                |r| Ok((r.get(0)?, r.get(1)?)),
            )
            .unwrap();
        assert_eq!(kept, (7, 0));
    }

    #[test]
    fn pieces_that_stood_in_one_text_become_rows_of_their_own() {
        let db = Connection::open_in_memory().unwrap();
        run(&db, &LOCAL[..2]).unwrap();
        let (book, one, two) = ("b".repeat(26), "1".repeat(32), "2".repeat(32));
        let file = |hash: &str| format!("00000007-{book}-{hash}.seg");
        let rows = [
            (7, format!("{} bytes:345", file(&one))),
            (8, format!("{} {}", file(&one), file(&two))),
            (9, format!("passed:{book}")),
        ];
        for (no, name) in rows {
            db.execute("INSERT INTO fetched VALUES ('f', 'd', ?1, ?2)", (no, name))
                .unwrap();
        }
        db.execute(
            "INSERT INTO published VALUES ('f', 7, ?1, 's', 1, 2, '{}'), ('f', 8, ?1, 's', 3, 3, '{}')",
            [&book],
        )
        .unwrap();
        run(&db, LOCAL).unwrap();
        let mut rows = db
            .prepare("SELECT no, start, book, taken FROM fetched ORDER BY no, start")
            .unwrap();
        let rows: Vec<(i64, String, String, i64)> = rows
            .query_map([], |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?, r.get(3)?)))
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        let row = |no, start: &String| (no, start.clone(), book.clone(), 1);
        assert_eq!(rows, [row(7, &one), row(8, &one), row(8, &two)]);
        let mut bytes = db
            .prepare("SELECT bytes FROM published ORDER BY no")
            .unwrap();
        let bytes: Vec<Option<i64>> = bytes
            .query_map([], |r| r.get(0))
            .unwrap()
            .collect::<Result<_, _>>()
            .unwrap();
        assert_eq!(bytes, [Some(345), None]);
    }

    #[test]
    fn an_index_of_the_step_before_keeps_its_entries_and_gets_its_indexes_apart() {
        let db = Connection::open_in_memory().unwrap();
        run(&db, &INDEX[..1]).unwrap();
        db.execute_batch(
            "INSERT INTO book VALUES (1, 'b', 'b'); INSERT INTO device VALUES (1, 'd');
             INSERT INTO entry VALUES (4, x'01', 1, 1, 7, 1, 20, 30, 1);",
        )
        .unwrap();
        run(&db, &INDEX[..2]).unwrap();
        let kept: (i64, i64, i64) = db
            .query_row(
                "SELECT id, n, length FROM entry WHERE hash = x'01'",
                [],
                |r| Ok((r.get(0)?, r.get(1)?, r.get(2)?)),
            )
            .unwrap();
        assert_eq!(kept, (4, 7, 30));
        let twice = db.execute(
            "INSERT INTO entry VALUES (5, x'01', 1, 1, 8, 1, 50, 30, 1)",
            [],
        );
        assert!(twice.is_err());
        let names = |db: &Connection| -> Vec<(String, String)> {
            let mut statement = db
                .prepare("SELECT name, sql FROM sqlite_schema WHERE tbl_name = 'entry' AND type = 'index' ORDER BY name")
                .unwrap();
            let rows = statement
                .query_map([], |r| Ok((r.get(0)?, r.get(1)?)))
                .unwrap();
            rows.collect::<Result<_, _>>().unwrap()
        };
        let made = names(&db);
        crate::index::drop_secondary(&db).unwrap();
        assert_eq!(names(&db), []);
        crate::index::make_secondary(&db).unwrap();
        assert_eq!(names(&db), made);
    }

    #[test]
    fn an_index_of_the_step_before_is_emptied_and_read_anew_from_the_journal() {
        let db = Connection::open_in_memory().unwrap();
        run(&db, &INDEX[..INDEX.len() - 1]).unwrap();
        db.execute_batch(
            "PRAGMA foreign_keys = ON;
             INSERT INTO seen VALUES (1, 4096);
             INSERT INTO book VALUES (1, 'b', 'c');
             INSERT INTO device VALUES (1, 'd');
             INSERT INTO entry VALUES (1, x'00', 1, 1, 1, 1, 0, 10, 1);
             INSERT INTO claim VALUES (1, 'wire:r:1', 'piece', '', x'00', x'00', NULL, 1, 'disputed');
             INSERT INTO member VALUES (1, 'd', x'00', '[]', 'office', 0, NULL);",
        )
        .unwrap();
        run(&db, INDEX).unwrap();
        for table in ["seen", "book", "device", "entry", "claim", "member"] {
            let left: i64 = db
                .query_row(&format!("SELECT count(*) FROM {table}"), [], |r| r.get(0))
                .unwrap();
            assert_eq!(left, 0, "{table}");
        }
    }

    #[test]
    fn steps_run_once() {
        let db = Connection::open_in_memory().unwrap();
        run(&db, LOCAL).unwrap();
        db.execute("INSERT INTO setting VALUES ('a', 'b')", [])
            .unwrap();
        run(&db, LOCAL).unwrap();
        let kept: i64 = db
            .query_row("SELECT count(*) FROM setting", [], |r| r.get(0))
            .unwrap();
        assert_eq!(kept, 1);
    }
}
