//! Where entries lie, by book, device and number. It only reads.

use std::collections::HashSet;

use rusqlite::Connection;

use super::BookRow;
use crate::error::RecordError;
use crate::ids::{BookId, DeviceId, Hash};
use crate::journal::Place;

/// Where an entry is, as the index has it.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Row {
    /// The entry's id.
    pub id: Hash,
    /// Place in the journal.
    pub place: Place,
    /// Whether its proof was found.
    pub proven: bool,
}

/// Where a book's entries are, in arrival order.
pub(crate) fn rows(db: &Connection, book: BookRow) -> Result<Vec<Row>, RecordError> {
    let mut statement = db.prepare_cached(
        "SELECT hash, file, offset, length, proven FROM entry WHERE book = ?1 ORDER BY file, offset",
    )?;
    let mut rows = statement.query([book.row])?;
    let mut found = Vec::new();
    while let Some(r) = rows.next()? {
        let (id, place) = id_and_place(r)?;
        found.push(Row {
            id,
            place,
            proven: r.get(4)?,
        });
    }
    Ok(found)
}

/// Where the first two entries of devices lie in a book: what tells whose it is, and its proof.
pub(crate) fn firsts(db: &Connection, book: BookRow) -> Result<Vec<Place>, RecordError> {
    let mut statement =
        db.prepare("SELECT hash, file, offset, length FROM entry WHERE book = ?1 AND n <= 2")?;
    let mut rows = statement.query([book.row])?;
    let mut found = Vec::new();
    while let Some(r) = rows.next()? {
        found.push(id_and_place(r)?.1);
    }
    Ok(found)
}

/// Devices with fewer entries in a book than the newest one's number says.
pub(crate) fn gaps(db: &Connection) -> Result<HashSet<(BookId, DeviceId)>, RecordError> {
    let mut statement = db.prepare(
        "SELECT book.name, device.name FROM
         (SELECT book, device FROM entry GROUP BY book, device HAVING COUNT(DISTINCT n) < MAX(n)) AS gap
         JOIN book ON book.id = gap.book JOIN device ON device.id = gap.device",
    )?;
    let mut rows = statement.query([])?;
    let mut found = HashSet::new();
    while let Some(r) = rows.next()? {
        let (book, device): (String, String) = (r.get(0)?, r.get(1)?);
        found.insert((book.parse()?, device.parse()?));
    }
    Ok(found)
}

/// Where the entry lies that a device wrote last, as far as it is here.
pub(crate) fn newest_of(db: &Connection, device: DeviceId) -> Result<Option<Place>, RecordError> {
    let mut statement = db.prepare(
        "SELECT hash, file, offset, length FROM entry
         WHERE device = (SELECT id FROM device WHERE name = ?1)
         ORDER BY file DESC, offset DESC LIMIT 1",
    )?;
    let mut rows = statement.query([device.to_string()])?;
    let newest = rows.next()?.map(id_and_place).transpose()?;
    Ok(newest.map(|(_, place)| place))
}

/// Every entry's id and place, in arrival order.
pub(crate) fn places(db: &Connection) -> Result<Vec<(Hash, Place)>, RecordError> {
    let mut statement =
        db.prepare("SELECT hash, file, offset, length FROM entry ORDER BY file, offset")?;
    let mut rows = statement.query([])?;
    let mut found = Vec::new();
    while let Some(r) = rows.next()? {
        found.push(id_and_place(r)?);
    }
    Ok(found)
}

fn id_and_place(row: &rusqlite::Row<'_>) -> Result<(Hash, Place), RecordError> {
    let id: [u8; 32] = row.get(0)?;
    let place = Place {
        file: row.get::<_, i64>(1)?.unsigned_abs(),
        offset: row.get::<_, i64>(2)?.unsigned_abs(),
        length: row.get::<_, i64>(3)?.unsigned_abs(),
    };
    Ok((Hash::from_bytes(id), place))
}
