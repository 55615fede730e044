//! The index: where entries are, and the projections of every book. It may be deleted at any time.
//!
//! Invariant: every row follows from the journal. Deleting the file and replaying the journal
//! gives the same sorted dump.

mod entries;

use std::collections::BTreeSet;
use std::path::Path;

use rusqlite::{Connection, OptionalExtension as _, params};

use crate::book::{BookView, Key};
use crate::crew::Crew;
use crate::entry::Entry;
use crate::error::RecordError;
use crate::ids::{BookId, Hash};
use crate::journal::Place;
use crate::migrate;

pub(crate) use entries::{Row, firsts, gaps, newest_of, places, rows};

/// A book as the index knows it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct BookRow {
    /// The book.
    pub book: BookId,
    /// The crew's book; the book itself where it is a crew's.
    pub crew: BookId,
    row: i64,
}

/// Opens the index, making or migrating its tables.
///
/// # Errors
/// [`RecordError::Newer`] for an index of a newer version, which is left untouched; SQLite's own errors.
pub(crate) fn open(path: &Path) -> Result<Connection, RecordError> {
    let connection = Connection::open(path)?;
    // A newer database must not even be switched to another journal mode.
    migrate::refuse_newer(&connection, migrate::INDEX)?;
    connection.pragma_update(None, "journal_mode", "WAL")?;
    connection.pragma_update(None, "synchronous", "NORMAL")?;
    connection.pragma_update(None, "foreign_keys", "ON")?;
    migrate::run(&connection, migrate::INDEX)?;
    Ok(connection)
}

/// How far the journal has been taken into the index.
pub(crate) fn seen(db: &Connection) -> Result<(u64, u64), RecordError> {
    let row = db
        .query_row("SELECT file, offset FROM seen", [], |r| {
            Ok((r.get::<_, i64>(0)?, r.get::<_, i64>(1)?))
        })
        .optional()?;
    Ok(row.map_or((1, 0), |(file, offset)| {
        (file.unsigned_abs(), offset.unsigned_abs())
    }))
}

/// Notes how far the journal has been taken in.
pub(crate) fn set_seen(db: &Connection, to: (u64, u64)) -> Result<(), RecordError> {
    db.execute("DELETE FROM seen", [])?;
    db.execute(
        "INSERT INTO seen (file, offset) VALUES (?1, ?2)",
        params![whole(to.0), whole(to.1)],
    )?;
    Ok(())
}

/// All books.
pub(crate) fn books(db: &Connection) -> Result<Vec<BookRow>, RecordError> {
    let mut statement = db.prepare_cached("SELECT id, name, crew FROM book ORDER BY name")?;
    let rows = statement.query_map([], |r| {
        Ok((
            r.get::<_, i64>(0)?,
            r.get::<_, String>(1)?,
            r.get::<_, String>(2)?,
        ))
    })?;
    let mut found = Vec::new();
    for row in rows {
        let (row, book, crew) = row?;
        found.push(BookRow {
            book: book.parse()?,
            crew: crew.parse()?,
            row,
        });
    }
    Ok(found)
}

/// The book's row, made where there is none.
pub(crate) fn book(db: &Connection, book: BookId, crew: BookId) -> Result<BookRow, RecordError> {
    db.execute(
        "INSERT OR IGNORE INTO book (name, crew) VALUES (?1, ?2)",
        params![book.to_string(), crew.to_string()],
    )?;
    let row = db.query_row(
        "SELECT id, crew FROM book WHERE name = ?1",
        [book.to_string()],
        |r| Ok((r.get::<_, i64>(0)?, r.get::<_, String>(1)?)),
    )?;
    Ok(BookRow {
        book,
        crew: row.1.parse()?,
        row: row.0,
    })
}

/// Gives a book to another crew.
pub(crate) fn set_crew(db: &Connection, book: BookId, crew: BookId) -> Result<(), RecordError> {
    db.execute(
        "UPDATE book SET crew = ?2 WHERE name = ?1",
        [book.to_string(), crew.to_string()],
    )?;
    Ok(())
}

/// Whether no entry is in the index.
pub(crate) fn is_empty(db: &Connection) -> Result<bool, RecordError> {
    Ok(!db.prepare("SELECT 1 FROM entry LIMIT 1")?.exists([])?)
}

/// Takes away the indexes that are cheaper to make after many entries than beside each.
pub(crate) fn drop_secondary(db: &Connection) -> Result<(), RecordError> {
    Ok(db.execute_batch("DROP INDEX entry_hash; DROP INDEX entry_book;")?)
}

/// Makes them.
pub(crate) fn make_secondary(db: &Connection) -> Result<(), RecordError> {
    Ok(db.execute_batch(migrate::SECONDARY)?)
}

/// Notes where entries are.
pub(crate) fn add_entries(
    db: &Connection,
    book: BookRow,
    entries: &[(&Entry, Place, bool)],
) -> Result<(), RecordError> {
    let mut device = db.prepare_cached("INSERT OR IGNORE INTO device (name) VALUES (?1)")?;
    let mut insert = db.prepare_cached(
        "INSERT OR IGNORE INTO entry (hash, book, device, n, file, offset, length, proven)
         VALUES (?1, ?2, (SELECT id FROM device WHERE name = ?3), ?4, ?5, ?6, ?7, ?8)",
    )?;
    let mut last = None;
    for (entry, place, proven) in entries {
        let name = entry.body.device.to_string();
        if last.as_ref() != Some(&name) {
            device.execute([&name])?;
        }
        insert.execute(params![
            entry.id.as_bytes(),
            book.row,
            name,
            whole(entry.body.n),
            whole(place.file),
            whole(place.offset),
            whole(place.length),
            proven
        ])?;
        last = Some(name);
    }
    Ok(())
}

/// Whether an entry's proof was found; none where the entry is not here.
pub(crate) fn proven(db: &Connection, id: &Hash) -> Result<Option<bool>, RecordError> {
    let mut statement = db.prepare_cached("SELECT proven FROM entry WHERE hash = ?1")?;
    Ok(statement
        .query_row([id.as_bytes()], |r| r.get(0))
        .optional()?)
}

/// Notes that the line which proves an entry lies elsewhere than the one that came first.
pub(crate) fn set_place(db: &Connection, id: &Hash, place: Place) -> Result<(), RecordError> {
    let mut update = db.prepare_cached(
        "UPDATE entry SET file = ?2, offset = ?3, length = ?4, proven = 1 WHERE hash = ?1",
    )?;
    update.execute(params![
        id.as_bytes(),
        whole(place.file),
        whole(place.offset),
        whole(place.length)
    ])?;
    Ok(())
}

/// Notes which entries have been proven.
pub(crate) fn set_proven(db: &Connection, ids: &[Hash]) -> Result<(), RecordError> {
    let mut update = db.prepare_cached("UPDATE entry SET proven = 1 WHERE hash = ?1")?;
    for id in ids {
        update.execute([id.as_bytes()])?;
    }
    Ok(())
}

/// Writes the projection rows of the touched keys anew.
pub(crate) fn project(
    db: &Connection,
    book: BookRow,
    view: &BookView,
    touched: &BTreeSet<Key>,
) -> Result<(), RecordError> {
    let mut clear = db.prepare_cached(
        "DELETE FROM claim WHERE book = ?1 AND subject = ?2 AND field = ?3 AND place = ?4",
    )?;
    let mut insert = db.prepare_cached(
        "INSERT INTO claim (book, subject, field, place, line, entry, value, tip, standing)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
    )?;
    for key in touched {
        clear.execute(params![book.row, key.subject, key.field, key.place])?;
        let Some(state) = view.key(key) else { continue };
        for line in &state.lines {
            let standing = if line.tips.iter().any(|t| is_newer(state, view, t)) {
                "newer"
            } else {
                line.standing.word()
            };
            for id in &line.claims {
                // A key's claims are sorted; a wire may have very many readings.
                let at = state.claims.binary_search_by_key(id, |claim| claim.id).ok();
                let value = at
                    .and_then(|at| state.claims.get(at))
                    .and_then(|claim| claim.value);
                insert.execute(params![
                    book.row,
                    key.subject,
                    key.field,
                    key.place,
                    line.root.as_bytes(),
                    id.as_bytes(),
                    value.map(|v| v.as_bytes().to_vec()),
                    line.tips.contains(id),
                    standing
                ])?;
            }
        }
    }
    Ok(())
}

fn is_newer(state: &crate::book::KeyState, view: &BookView, tip: &Hash) -> bool {
    state
        .newer
        .iter()
        .filter_map(|id| view.entry(id))
        .any(|entry| entry.body.over.contains(tip))
}

/// Writes the members of a crew anew.
pub(crate) fn project_crew(db: &Connection, book: BookRow, crew: &Crew) -> Result<(), RecordError> {
    db.execute("DELETE FROM member WHERE book = ?1", [book.row])?;
    let mut insert = db.prepare_cached(
        "INSERT INTO member (book, device, key, persons, role, keeper, ended)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
    )?;
    for (device, member) in &crew.members {
        let mut persons = member.persons.clone();
        persons.sort();
        insert.execute(params![
            book.row,
            device.to_string(),
            member.key.as_bytes(),
            json(&persons)?,
            json(&member.role)?,
            member.keeper,
            member.ended.as_ref().map(json).transpose()?
        ])?;
    }
    Ok(())
}

fn json<T: serde::Serialize>(value: &T) -> Result<String, RecordError> {
    // What is joined from several entries may be longer than one entry holds.
    let bytes =
        serde_json_canonicalizer::to_vec(value).map_err(|e| RecordError::Body(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| RecordError::Body(e.to_string()))
}

/// One line of text for every projection row of a book, sorted; its hash is the state's hash.
pub(crate) fn dump(db: &Connection, book: BookRow) -> Result<Vec<String>, RecordError> {
    let mut lines = Vec::new();
    let mut claims = db.prepare_cached(
        "SELECT subject, field, place, hex(line), hex(entry), coalesce(hex(value), ''), tip, standing
         FROM claim WHERE book = ?1 ORDER BY subject, field, place, line, entry",
    )?;
    let mut rows = claims.query([book.row])?;
    while let Some(r) = rows.next()? {
        lines.push(format!(
            "claim\t{}\t{}\t{}\t{}\t{}\t{}\t{}\t{}",
            r.get::<_, String>(0)?,
            r.get::<_, String>(1)?,
            r.get::<_, String>(2)?,
            r.get::<_, String>(3)?,
            r.get::<_, String>(4)?,
            r.get::<_, String>(5)?,
            r.get::<_, i64>(6)?,
            r.get::<_, String>(7)?,
        ));
    }
    let mut members = db.prepare_cached(
        "SELECT device, hex(key), persons, role, keeper, coalesce(ended, '')
         FROM member WHERE book = ?1 ORDER BY device",
    )?;
    let mut rows = members.query([book.row])?;
    while let Some(r) = rows.next()? {
        lines.push(format!(
            "member\t{}\t{}\t{}\t{}\t{}\t{}",
            r.get::<_, String>(0)?,
            r.get::<_, String>(1)?,
            r.get::<_, String>(2)?,
            r.get::<_, String>(3)?,
            r.get::<_, i64>(4)?,
            r.get::<_, String>(5)?,
        ));
    }
    Ok(lines)
}

fn whole(number: u64) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}
