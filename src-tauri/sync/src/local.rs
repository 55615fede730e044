//! What the record on this device knows about a shared folder.
//!
//! Invariant: the record's lock is taken for one short question at a time and never held while
//! the folder is read or written.

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::{Mutex, MutexGuard, PoisonError};

use records::Record;
use records::ids::{BookId, DeviceId, Hash};
use records::keys::PublicKey;
use records::photos;

use crate::error::SyncError;
use crate::name::{ObjectName, SegmentName, is_id};
use crate::plan::{KnownLog, KnownObject, MadeSegment, ObjectRole};

/// Takes the record's lock. What a broken thread left is whole: each act is one transaction.
pub(crate) fn lock(record: &Mutex<Record>) -> MutexGuard<'_, Record> {
    record.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Who belongs to the crew and which books are kept, at one moment.
#[derive(Clone, Debug, Default)]
pub(crate) struct Crew {
    pub(crate) members: BTreeMap<DeviceId, (PublicKey, String)>,
    pub(crate) kept: BTreeSet<String>,
}

pub(crate) fn crew(
    record: &Mutex<Record>,
    book: BookId,
    all_jobs: bool,
) -> Result<Crew, SyncError> {
    let mut record = lock(record);
    let mut kept: BTreeSet<String> = chosen(&record)?;
    kept.extend(record.kept_jobs(book)?.iter().map(BookId::to_string));
    if all_jobs && !record.crew(book).members.is_empty() {
        kept.extend(
            record
                .listed_jobs(book)?
                .iter()
                .map(|job| job.job.to_string()),
        );
    }
    kept.insert(book.to_string());
    let crew = record.crew(book);
    let members = crew
        .members
        .iter()
        .map(|(device, member)| {
            let name = crew
                .device_name(device)
                .map_or_else(|| device.to_string(), str::to_owned);
            (*device, (member.key, name))
        })
        .collect();
    Ok(Crew { members, kept })
}

/// Marks a job of the crew to be fetched from now on, though nothing of it is here yet.
pub fn choose_job(record: &Mutex<Record>, job: BookId) -> Result<(), SyncError> {
    let record = lock(record);
    let mut jobs = chosen(&record)?;
    if jobs.insert(job.to_string()) {
        let all: Vec<String> = jobs.into_iter().collect();
        record.set_setting(CHOSEN, &all.join(" "))?;
    }
    Ok(())
}

fn chosen(record: &Record) -> Result<BTreeSet<String>, SyncError> {
    let text = record.setting(CHOSEN)?.unwrap_or_default();
    Ok(text
        .split(' ')
        .filter(|job| is_id(job))
        .map(str::to_owned)
        .collect())
}

const CHOSEN: &str = "sync.jobs";
const PASSED: &str = "passed:";
/// Stands before the size of an own segment in its note.
pub(crate) const SIZE: &str = "bytes:";

/// What was taken in or passed over of a device's log.
pub(crate) fn known_log(
    record: &Mutex<Record>,
    folder: &str,
    device: &DeviceId,
) -> Result<KnownLog, SyncError> {
    let record = lock(record);
    let mut known = KnownLog::default();
    let mut noted = BTreeSet::new();
    for (no, files) in record.fetched(folder, device)? {
        noted.insert(no);
        let Ok(no) = u32::try_from(no) else { continue };
        for file in files.split(' ') {
            if let Some(book) = file.strip_prefix(PASSED) {
                known.passed.insert(no, book.to_owned());
            } else if let Some(name) = SegmentName::parse(&device.to_string(), file) {
                known.taken.insert((no, name.hash));
            }
        }
    }
    if *device == record.device() {
        // A rebuild forgets the notes, so that the own log is read again for what was damaged here.
        for made in record.published(folder)? {
            if !noted.contains(&made.no) {
                continue;
            }
            let Ok(no) = u32::try_from(made.no) else {
                continue;
            };
            known.taken.insert((no, made.sha256.short()));
        }
    }
    Ok(known)
}

/// Notes segments as taken in; a second branch under one number stands beside the first.
pub(crate) fn note_taken(
    record: &Mutex<Record>,
    folder: &str,
    device: &DeviceId,
    names: &[SegmentName],
) -> Result<(), SyncError> {
    let record = lock(record);
    let mut files: BTreeMap<u64, BTreeSet<String>> = BTreeMap::new();
    let before: BTreeMap<u64, String> = record.fetched(folder, device)?.into_iter().collect();
    for name in names {
        let no = u64::from(name.no);
        let here = files.entry(no).or_insert_with(|| {
            let before = before.get(&no).map(String::as_str).unwrap_or_default();
            let taken = before.split(' ').filter(|file| !file.starts_with(PASSED));
            taken
                .filter(|file| !file.is_empty())
                .map(str::to_owned)
                .collect()
        });
        here.insert(name.file());
    }
    let rows: Vec<(u64, String)> = files
        .into_iter()
        .map(|(no, files)| (no, files.into_iter().collect::<Vec<_>>().join(" ")))
        .collect();
    Ok(record.note_fetched(folder, device, &rows)?)
}

/// Notes segments as passed over for their books, where that is new.
pub(crate) fn note_passed(
    record: &Mutex<Record>,
    folder: &str,
    device: &DeviceId,
    known: &KnownLog,
    passed: &BTreeMap<u32, String>,
) -> Result<(), SyncError> {
    let taken: BTreeSet<u32> = known.taken.iter().map(|(no, _)| *no).collect();
    let rows: Vec<(u64, String)> = passed
        .iter()
        .filter(|(no, book)| known.passed.get(no) != Some(book) && !taken.contains(no))
        .map(|(no, book)| (u64::from(*no), format!("{PASSED}{book}")))
        .collect();
    if rows.is_empty() {
        return Ok(());
    }
    Ok(lock(record).note_fetched(folder, device, &rows)?)
}

/// The segments that this device made for the folder.
pub(crate) fn made(record: &Mutex<Record>, folder: &str) -> Result<Vec<MadeSegment>, SyncError> {
    let record = lock(record);
    let device = record.device().to_string();
    let published = record.published(folder)?;
    let notes: BTreeMap<u64, String> = record
        .fetched(folder, &record.device())?
        .into_iter()
        .collect();
    let size = |no: u64| {
        let mut parts = notes.get(&no)?.split(' ');
        parts.find_map(|part| part.strip_prefix(SIZE)?.parse().ok())
    };
    Ok(published
        .into_iter()
        .filter_map(|row| {
            let name = SegmentName {
                device: device.clone(),
                no: u32::try_from(row.no).ok()?,
                book: row.book.to_string(),
                hash: row.sha256.short(),
            };
            Some(MadeSegment {
                name,
                bytes: size(row.no),
            })
        })
        .collect())
}

/// Every file that a proven entry of the kept books vouches for, and where those held here lie.
pub(crate) fn objects(
    record: &Mutex<Record>,
    books: &BTreeSet<String>,
) -> Result<(Vec<KnownObject>, PathBuf), SyncError> {
    let mut objects = Vec::new();
    let photos_dir = lock(record).photos_dir();
    for book in books {
        let Ok(book) = book.parse::<BookId>() else {
            continue;
        };
        let mut record = lock(record);
        // A chosen job of which nothing has come yet has no view.
        let Ok(view) = record.view(book) else {
            continue;
        };
        for entry in view.proven() {
            for file in &entry.body.files {
                objects.push(KnownObject {
                    role: ObjectRole::of_type(&file.kind),
                    name: ObjectName {
                        sha256: file.sha256.to_string(),
                        extension: extension(&file.kind),
                    },
                    bytes: file.bytes,
                    device: entry.body.device.to_string(),
                    held: false,
                });
            }
        }
    }
    for object in &mut objects {
        if let Ok(Some(path)) = photos::find(&photos_dir, &object.name.sha256) {
            let bytes = std::fs::metadata(&path).map(|meta| meta.len());
            object.held = bytes.is_ok_and(|bytes| bytes == object.bytes);
        }
    }
    Ok((objects, photos_dir))
}

/// Notes objects that lie in the folder, where that is new.
pub(crate) fn note_shared<'a>(
    record: &Mutex<Record>,
    folder: &str,
    hashes: impl Iterator<Item = &'a str>,
) -> Result<(), SyncError> {
    let record = lock(record);
    let mut new = Vec::new();
    for text in hashes {
        let Ok(hash) = text.parse::<Hash>() else {
            continue;
        };
        if !record.object_shared(folder, &hash)? {
            new.push(hash);
        }
    }
    if new.is_empty() {
        return Ok(());
    }
    Ok(record.note_objects(folder, &new)?)
}

fn extension(kind: &str) -> String {
    let end = kind.rsplit_once('.').map_or("", |(_, end)| end);
    let plain = end
        .bytes()
        .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit());
    if (1..=8).contains(&end.len()) && plain {
        end
    } else {
        "bin"
    }
    .to_owned()
}
