//! Which device this data folder is, and what happens when its key is gone.
//!
//! Invariant: no key is made beside a record, nor taken in place of the noted one, without a person's
//! word; where no note is left, only one that wrote in the record, or was admitted in it, is taken. A key
//! made or swapped silently would sign what nobody admitted, and the person would learn of it from the others.

use std::path::Path;

use rusqlite::{Connection, OptionalExtension as _};

use crate::crew;
use crate::entry::Entry;
use crate::error::RecordError;
use crate::ids::DeviceId;
use crate::journal::Journal;
use crate::keys::{self, FileKey};

const DEVICE: &str = "device";

/// Noted before a new key takes the place of the old one, so that opening knows a change that the
/// program did not live to finish from a file that somebody put there.
const CHANGING: &str = "changing device";

/// The key of this folder, and the device whose key is lost, if it is: the key then is held in
/// memory alone and nothing may be signed with it.
pub(super) fn open(
    path: &Path,
    local: &Connection,
    journal: &Journal,
) -> Result<(FileKey, Option<DeviceId>), RecordError> {
    let known = noted_device(local)?;
    if !path.exists() && !journal.is_empty() {
        // Whatever file is put here next, nobody has asked for a change to it.
        stay(local)?;
        let unsaved = FileKey::random()?;
        let lost = known.unwrap_or_else(|| unsaved.device());
        return Ok((unsaved, Some(lost)));
    }
    let key = FileKey::open_or_create(path)?;
    match known {
        Some(known) if known == key.device() => stay(local)?,
        // The program stopped while this key took the other's place.
        Some(_) if journal.is_empty() || changing(local)? => become_another(local, key.device())?,
        // A file of another device, or a damaged one: whose it is, nobody admitted here.
        Some(known) => return Ok((key, Some(known))),
        // The note is gone with its file: then the record itself says whose folder this is. A key of another
        // device of the crew that is put here in that very moment is not told apart.
        None if journal.is_empty() || names(journal, key.device())? => note(local, key.device())?,
        None => return Ok((key, Some(FileKey::random()?.device()))),
    }
    Ok((key, None))
}

/// Whether an entry of the journal is by this device, or admits it.
fn names(journal: &Journal, device: DeviceId) -> Result<bool, RecordError> {
    let about = format!("device:{device}");
    let known = |entry: Entry| {
        let body = &entry.body;
        body.device == device || (body.kind == crew::ADMITTED && body.subject == about)
    };
    let mut found = false;
    journal.scan((1, 0), |_, line| {
        found = found || Entry::parse_own(line).is_ok_and(known);
        Ok(())
    })?;
    Ok(found)
}

/// The device that this folder was noted to be.
pub(crate) fn noted_device(local: &Connection) -> Result<Option<DeviceId>, RecordError> {
    let known: Option<String> = local
        .query_row("SELECT value FROM setting WHERE name = ?1", [DEVICE], |r| {
            r.get(0)
        })
        .optional()?;
    known.map(|text| text.parse()).transpose()
}

/// Takes the identity that a person asked for: a new key in place of the own one, or of `lost`, whose
/// place is empty or holds a key that is not its own.
pub(super) fn change(
    path: &Path,
    local: &Connection,
    lost: Option<DeviceId>,
) -> Result<FileKey, RecordError> {
    let there = FileKey::open(path)?.map(|key| key.device());
    if lost.is_some() && there == lost {
        return Err(RecordError::Refused(
            "device.key is there again; close the program and open it anew, then this device is \
             the one that it was"
                .into(),
        ));
    }
    set(local, CHANGING, "1")?;
    let key = match keys::renew(path, there) {
        Ok(key) => key,
        Err(error) => return stay(local).and(Err(error)),
    };
    match become_another(local, key.device()) {
        Ok(()) => Ok(key),
        // Where not even this can be undone, opening finds the new key and begins with it.
        Err(error) => {
            keys::undo_renewal(path, there)?;
            stay(local).and(Err(error))
        }
    }
}

/// Notes that this folder is another device from now on, and forgets what the one before had sent.
///
/// What that one published is another device's log now. This one numbers its entries from 1, and
/// none of them was sent; with the old notes it would never send them.
fn become_another(local: &Connection, device: DeviceId) -> Result<(), RecordError> {
    let change = local.unchecked_transaction()?;
    note(local, device)?;
    stay(local)?;
    local.execute("DELETE FROM published", [])?;
    local.execute("DELETE FROM setting WHERE name LIKE 'sent:%'", [])?;
    local.execute("DELETE FROM setting WHERE name LIKE 'branched:%'", [])?;
    Ok(change.commit()?)
}

fn note(local: &Connection, device: DeviceId) -> Result<(), RecordError> {
    set(local, DEVICE, &device.to_string())
}

fn set(local: &Connection, name: &str, value: &str) -> Result<(), RecordError> {
    local.execute(
        "INSERT INTO setting (name, value) VALUES (?1, ?2)
         ON CONFLICT (name) DO UPDATE SET value = excluded.value",
        [name, value],
    )?;
    Ok(())
}

fn changing(local: &Connection) -> Result<bool, RecordError> {
    Ok(local
        .prepare("SELECT 1 FROM setting WHERE name = ?1")?
        .exists([CHANGING])?)
}

/// No change of identity is under way.
fn stay(local: &Connection) -> Result<(), RecordError> {
    local.execute("DELETE FROM setting WHERE name = ?1", [CHANGING])?;
    Ok(())
}

pub(super) const LOST: &str = "device.key is missing from the data folder, or is another device's, \
    so this device can sign nothing; the record is whole and can be read. Close the program and put \
    the file back from a copy, or take a new identity and be admitted again. Nothing was changed";
