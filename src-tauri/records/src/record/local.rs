//! The local store: settings, and what was met in shared folders. Never part of the record.

use std::collections::BTreeSet;

use rusqlite::{OptionalExtension as _, params};

use super::Record;
use crate::error::RecordError;
use crate::ids::{BookId, DeviceId, Hash};

/// A segment that this device published into a folder.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Published {
    /// Number over all books.
    pub no: u64,
    /// Its book.
    pub book: BookId,
    /// Hash of the file.
    pub sha256: Hash,
    /// First entry in it.
    pub first: u64,
    /// Last entry in it.
    pub last: u64,
    /// The header's body, for what later headers must not repeat.
    pub header: String,
    /// Bytes of the file; none where an older version noted it.
    pub bytes: Option<u64>,
    /// Hash of the last entry in it; none where an older version noted it.
    pub tail: Option<Hash>,
}

/// A segment of a device's log in a folder, as it was met.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Fetched {
    /// Its number.
    pub no: u64,
    /// Its book.
    pub book: String,
    /// The first 32 hex digits of the file's SHA-256.
    pub start: String,
    /// Whether its content was taken in; else it was passed over for its book.
    pub taken: bool,
}

impl Record {
    /// A setting of this device.
    ///
    /// # Errors
    /// When the local store can't be read.
    pub fn setting(&self, name: &str) -> Result<Option<String>, RecordError> {
        Ok(self
            .local
            .prepare_cached("SELECT value FROM setting WHERE name = ?1")?
            .query_row([name], |r| r.get(0))
            .optional()?)
    }

    /// Keeps a setting of this device.
    ///
    /// # Errors
    /// When the local store can't be written.
    pub fn set_setting(&self, name: &str, value: &str) -> Result<(), RecordError> {
        self.local.execute(
            "INSERT INTO setting (name, value) VALUES (?1, ?2)
             ON CONFLICT (name) DO UPDATE SET value = excluded.value",
            [name, value],
        )?;
        Ok(())
    }

    /// Forgets a setting of this device.
    ///
    /// # Errors
    /// When the local store can't be written.
    pub fn clear_setting(&self, name: &str) -> Result<(), RecordError> {
        self.local
            .execute("DELETE FROM setting WHERE name = ?1", [name])?;
        Ok(())
    }

    /// Settings of this device whose names begin so, by name.
    ///
    /// # Errors
    /// When the local store can't be read.
    pub fn settings(&self, prefix: &str) -> Result<Vec<(String, String)>, RecordError> {
        let mut statement = self.local.prepare_cached(
            "SELECT name, value FROM setting WHERE substr(name, 1, length(?1)) = ?1 ORDER BY name",
        )?;
        let rows = statement.query_map([prefix], |r| Ok((r.get(0)?, r.get(1)?)))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Segments that this device published into a folder, by number.
    ///
    /// # Errors
    /// When the local store can't be read.
    pub fn published(&self, folder: &str) -> Result<Vec<Published>, RecordError> {
        let mut statement = self.local.prepare_cached(
            "SELECT no, book, sha256, first, last, header, bytes, tail FROM published
             WHERE folder = ?1 ORDER BY no",
        )?;
        let mut rows = statement.query([folder])?;
        let mut found = Vec::new();
        while let Some(r) = rows.next()? {
            found.push(Published {
                no: r.get::<_, i64>(0)?.unsigned_abs(),
                book: r.get::<_, String>(1)?.parse()?,
                sha256: r.get::<_, String>(2)?.parse()?,
                first: r.get::<_, i64>(3)?.unsigned_abs(),
                last: r.get::<_, i64>(4)?.unsigned_abs(),
                header: r.get(5)?,
                bytes: r.get::<_, Option<i64>>(6)?.map(i64::unsigned_abs),
                tail: match r.get::<_, Option<String>>(7)? {
                    Some(tail) => Some(tail.parse()?),
                    None => None,
                },
            });
        }
        Ok(found)
    }

    /// Whether a piece with entries of a book was published, into whichever folder.
    pub(super) fn was_published(&self, book: BookId) -> Result<bool, RecordError> {
        let mut statement = self
            .local
            .prepare_cached("SELECT 1 FROM published WHERE book = ?1 LIMIT 1")?;
        Ok(statement.exists([book.to_string()])?)
    }

    /// Notes a published segment.
    ///
    /// # Errors
    /// When the local store can't be written.
    pub fn note_published(&self, folder: &str, segment: &Published) -> Result<(), RecordError> {
        self.local.execute(
            "INSERT OR REPLACE INTO published (folder, no, book, sha256, first, last, header, bytes, tail)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9)",
            params![
                folder,
                whole(segment.no),
                segment.book.to_string(),
                segment.sha256.to_string(),
                whole(segment.first),
                whole(segment.last),
                segment.header,
                segment.bytes.map(whole),
                segment.tail.map(|tail| tail.to_string())
            ],
        )?;
        Ok(())
    }

    /// A device's segments that were taken in from a folder or passed over there, by number.
    ///
    /// # Errors
    /// When the local store can't be read.
    pub fn fetched(&self, folder: &str, device: &DeviceId) -> Result<Vec<Fetched>, RecordError> {
        let mut statement = self.local.prepare_cached(
            "SELECT no, book, start, taken FROM fetched
             WHERE folder = ?1 AND device = ?2 ORDER BY no, start",
        )?;
        let rows = statement.query_map(params![folder, device.to_string()], |r| {
            Ok(Fetched {
                no: r.get::<_, i64>(0)?.unsigned_abs(),
                book: r.get(1)?,
                start: r.get(2)?,
                taken: r.get(3)?,
            })
        })?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Notes segments that were taken in or passed over, in one transaction.
    ///
    /// # Errors
    /// When the local store can't be written.
    pub fn note_fetched(
        &self,
        folder: &str,
        device: &DeviceId,
        segments: &[Fetched],
    ) -> Result<(), RecordError> {
        let change = self.local.unchecked_transaction()?;
        for one in segments {
            self.local.execute(
                "INSERT OR REPLACE INTO fetched (folder, device, no, start, book, taken)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
                params![
                    folder,
                    device.to_string(),
                    whole(one.no),
                    one.start,
                    one.book,
                    one.taken
                ],
            )?;
        }
        change.commit()?;
        Ok(())
    }

    /// Hashes of the objects (photos, views, documents) that are known to be in a folder.
    ///
    /// # Errors
    /// When the local store can't be read.
    pub fn objects_shared(&self, folder: &str) -> Result<BTreeSet<String>, RecordError> {
        let mut statement = self
            .local
            .prepare_cached("SELECT sha256 FROM object WHERE folder = ?1")?;
        let rows = statement.query_map([folder], |r| r.get(0))?;
        Ok(rows.collect::<Result<_, _>>()?)
    }

    /// Notes objects that are in a folder, in one transaction.
    ///
    /// # Errors
    /// When the local store can't be written.
    pub fn note_objects(&self, folder: &str, objects: &[Hash]) -> Result<(), RecordError> {
        let change = self.local.unchecked_transaction()?;
        for sha256 in objects {
            self.local.execute(
                "INSERT OR IGNORE INTO object (folder, sha256) VALUES (?1, ?2)",
                [folder, &sha256.to_string()],
            )?;
        }
        change.commit()?;
        Ok(())
    }

    /// Forgets all that was met in a folder, so that the next sync looks at it afresh.
    ///
    /// # Errors
    /// When the local store can't be written.
    pub fn forget_folder(&self, folder: &str) -> Result<(), RecordError> {
        for table in ["published", "fetched", "object"] {
            self.local
                .execute(&format!("DELETE FROM {table} WHERE folder = ?1"), [folder])?;
        }
        Ok(())
    }
}

pub(super) fn whole(number: u64) -> i64 {
    i64::try_from(number).unwrap_or(i64::MAX)
}
