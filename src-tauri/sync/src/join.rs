//! Sharing a folder, joining one, and the digits that two people compare.
//!
//! Invariant: a device takes in nothing of a crew that it did not found before a person has
//! confirmed the digits here. The folder alone can't make it believe in a crew.

use std::sync::Mutex;

use records::Record;
use records::admission::{digits, same_digits};
use records::ids::{BookId, DeviceId, Hash};

use crate::card::{make_card, read_card};
use crate::error::SyncError;
use crate::founding::{self, Founding, read_founding};
use crate::local::lock;
use crate::look::look_devices;
use crate::store::{Put, SharedStore};

/// What a device shows after it asked to join.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Joining {
    /// Whose folder it is.
    pub founding: Founding,
    /// This device.
    pub device: DeviceId,
    /// 16 digits in four groups, to be compared with those at the one who admits.
    pub digits: String,
}

/// A device that asks to be admitted.
#[derive(Clone, Debug, PartialEq)]
pub struct Applicant {
    /// Its card.
    pub card: crate::card::Card,
    /// 16 digits in four groups, to be compared with those on that device.
    pub digits: String,
}

/// Makes a folder the shared folder of a crew that this device belongs to.
///
/// Writes `tautbook.json`, `README.txt` and this device's card. Errors: `OtherCrew`; those of the
/// store and the record.
pub fn share_crew(
    store: &dyn SharedStore,
    record: &Mutex<Record>,
    crew: BookId,
) -> Result<Founding, SyncError> {
    let founding = {
        let record = lock(record);
        record.crew(crew).founding.ok_or(SyncError::NotConfirmed)?
    };
    let shared = founding::share(store, &crew.to_string(), &founding.to_string())?;
    put_own_card(store, record, crew)?;
    Ok(shared)
}

/// Asks to join the crew of a folder: writes this device's card and tells the digits to compare.
pub fn join(
    store: &dyn SharedStore,
    record: &Mutex<Record>,
    first_name: &str,
) -> Result<Joining, SyncError> {
    let founding = shared_by(store)?;
    let hash: Hash = founding.founding.parse()?;
    let (path, card) = {
        let record = lock(record);
        record.set_setting(FIRST_NAME, first_name)?;
        make_card(record.signer(), first_name, record.person()?)?
    };
    put_card(store, &path, &card)?;
    let key = lock(record).signer().public();
    Ok(Joining {
        device: key.device(),
        digits: digits(&hash, &key)?,
        founding,
    })
}

/// Confirms on the joining device that both screens show the same digits, and so pins the crew.
///
/// Errors: `OtherDigits` if they differ; then nothing is changed.
pub fn confirm(
    store: &dyn SharedStore,
    record: &Mutex<Record>,
    compared: &str,
) -> Result<Founding, SyncError> {
    let founding = shared_by(store)?;
    let hash: Hash = founding.founding.parse()?;
    // Slow on purpose, so the record is not held for it.
    let key = lock(record).signer().public();
    if !same_digits(compared, &digits(&hash, &key)?) {
        return Err(SyncError::OtherDigits);
    }
    lock(record).pin(founding.book.parse()?, hash)?;
    Ok(founding)
}

/// Devices whose cards are in the folder and that the crew has not admitted, with their digits, in
/// the order of their ids; and how many more come after those, since digits are slow to work out. The
/// next ones are told `after` the last of these.
///
/// Cards that do not read are left out; an exchange reports their devices as strangers.
pub fn applicants(
    store: &dyn SharedStore,
    record: &Mutex<Record>,
    crew: BookId,
    after: Option<&DeviceId>,
) -> Result<(Vec<Applicant>, u64), SyncError> {
    let mut found = Vec::new();
    let mut more = 0;
    let after = after.map(DeviceId::to_string);
    let cards = look_devices(store)?.cards;
    let left = |device: &String| after.as_ref().is_none_or(|after| device > after);
    for device in cards.into_iter().filter(left) {
        let Ok(device) = device.parse::<DeviceId>() else {
            continue;
        };
        if lock(record).crew(crew).member(&device).is_some() {
            continue;
        }
        if found.len() >= MOST_APPLICANTS {
            more += u64::from(read_card(store, &device).is_ok());
        } else if let Ok(applicant) = applicant(store, record, crew, &device) {
            found.push(applicant);
        }
    }
    Ok((found, more))
}

/// One device that asks to be admitted.
pub fn applicant(
    store: &dyn SharedStore,
    record: &Mutex<Record>,
    crew: BookId,
    device: &DeviceId,
) -> Result<Applicant, SyncError> {
    let card = read_card(store, device)?;
    let founding = lock(record)
        .crew(crew)
        .founding
        .ok_or(SyncError::NotConfirmed)?;
    let digits = digits(&founding, &card.key)?;
    Ok(Applicant { card, digits })
}

/// The folder's crew, if this device founded it, belongs to it or has confirmed it.
pub(crate) fn confirmed(
    store: &dyn SharedStore,
    record: &Mutex<Record>,
) -> Result<Founding, SyncError> {
    let founding = shared_by(store)?;
    let book: BookId = founding.book.parse()?;
    match lock(record).pinned(book) {
        Some(known) if known.to_string() == founding.founding => Ok(founding),
        Some(_) => Err(SyncError::OtherCrew),
        None => Err(SyncError::NotConfirmed),
    }
}

pub(crate) fn put_own_card(
    store: &dyn SharedStore,
    record: &Mutex<Record>,
    crew: BookId,
) -> Result<(), SyncError> {
    let (path, card) = {
        let record = lock(record);
        let typed = record.setting(FIRST_NAME)?;
        let known = record.crew(crew).device_name(&record.device());
        let name = typed.or_else(|| known.map(str::to_owned));
        make_card(record.signer(), &name.unwrap_or_default(), record.person()?)?
    };
    put_card(store, &path, &card)
}

/// A card that is there stays, even if the name in it is another one.
fn put_card(store: &dyn SharedStore, path: &str, card: &[u8]) -> Result<(), SyncError> {
    if store.put_new(path, card)? == Put::Created {
        store.settle()?;
    }
    Ok(())
}

fn shared_by(store: &dyn SharedStore) -> Result<Founding, SyncError> {
    read_founding(store).map_err(|error| {
        if error.is_not_found() {
            SyncError::NotShared
        } else {
            error
        }
    })
}

const FIRST_NAME: &str = "sync.firstName";
/// Applicants whose digits are worked out at once: a crew has a few, and a stray card costs as much.
const MOST_APPLICANTS: usize = 32;
