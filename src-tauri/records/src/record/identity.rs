//! Which device this data folder is, and what happens when its key is gone.
//!
//! Invariant: no key is made beside a record without a person's word. A key made silently would
//! sign what nobody admitted, and the person would learn of it from the others.

use std::path::Path;

use rusqlite::{Connection, OptionalExtension as _};

use crate::error::RecordError;
use crate::ids::DeviceId;
use crate::journal::Journal;
use crate::keys::FileKey;

const DEVICE: &str = "device";

/// The key of this folder, and the device whose key is lost, if it is: the key then is held in
/// memory alone and nothing may be signed with it. `recorded` tells whether a device has entries
/// here.
pub(super) fn open(
    path: &Path,
    local: &Connection,
    journal: &Journal,
    recorded: &dyn Fn(DeviceId) -> Result<bool, RecordError>,
) -> Result<(FileKey, Option<DeviceId>), RecordError> {
    let known = noted_device(local)?;
    if !path.exists() && !journal.is_empty() {
        let unsaved = FileKey::random()?;
        let lost = known.unwrap_or_else(|| unsaved.device());
        return Ok((unsaved, Some(lost)));
    }
    let key = FileKey::open_or_create(path)?;
    match known {
        Some(known) if known == key.device() => {}
        // A file copied from another device: both would go on from one number, apart.
        Some(known) if recorded(key.device())? => return Ok((key, Some(known))),
        // The program stopped while this key took the other's place.
        Some(_) => become_another(local, key.device())?,
        None => note(local, key.device())?,
    }
    Ok((key, None))
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

/// Makes the key that a person asked for in place of a lost one.
pub(super) fn begin_anew(path: &Path) -> Result<FileKey, RecordError> {
    if path.exists() {
        return Err(RecordError::Refused(
            "device.key is there again; close the program and open it anew, then this device is \
             the one that it was"
                .into(),
        ));
    }
    FileKey::open_or_create(path)
}

/// Notes that this folder is another device from now on, and forgets what the one before had sent.
///
/// What that one published is another device's log now. This one numbers its entries from 1, and
/// none of them was sent; with the old notes it would never send them.
pub(super) fn become_another(local: &Connection, device: DeviceId) -> Result<(), RecordError> {
    let change = local.unchecked_transaction()?;
    note(local, device)?;
    local.execute("DELETE FROM published", [])?;
    local.execute("DELETE FROM setting WHERE name LIKE 'sent:%'", [])?;
    local.execute("DELETE FROM setting WHERE name LIKE 'branched:%'", [])?;
    Ok(change.commit()?)
}

fn note(local: &Connection, device: DeviceId) -> Result<(), RecordError> {
    local.execute(
        "INSERT INTO setting (name, value) VALUES (?1, ?2)
         ON CONFLICT (name) DO UPDATE SET value = excluded.value",
        [DEVICE, &device.to_string()],
    )?;
    Ok(())
}

pub(super) const LOST: &str = "device.key is missing from the data folder, or is another device's, \
    so this device can sign nothing; the record is whole and can be read. Close the program and put \
    the file back from a copy, or take a new identity and be admitted again. Nothing was changed";
