//! What the record on this device knows about a shared folder.
//!
//! Invariant: the record's lock is taken for one short question at a time and never held while
//! the folder is read or written.

use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::path::PathBuf;
use std::sync::{Mutex, MutexGuard, PoisonError};

use records::Record;
use records::book::Why;
use records::ids::{BookId, DeviceId, Hash};
use records::keys::PublicKey;
use records::photos;
use records::record::Fetched;

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

/// Whether a member's entry in a kept book rests on one that is not here.
pub(crate) fn waits_for_a_ground(
    record: &Mutex<Record>,
    crew_book: BookId,
    kept: &BTreeSet<String>,
) -> bool {
    let crew = lock(record).crew(crew_book).clone();
    let books = kept.iter().filter_map(|book| book.parse::<BookId>().ok());
    books.into_iter().any(|book| {
        let mut record = lock(record);
        let waiting = record.view(book).map(|view| view.not_counting(&crew));
        let waiting = waiting.unwrap_or_default();
        waiting.iter().any(|(_, why)| *why == Why::BasisMissing)
    })
}

/// The devices that some admission names and that do not belong, as if they did: their entries are
/// proven by these keys, and count for nothing but what a member's word rests on.
pub(crate) fn named_in_vain(record: &Mutex<Record>, crew_book: BookId, known: &Crew) -> Crew {
    let record = lock(record);
    let keys = record.crew(crew_book).keys.iter();
    let others = keys.filter(|(device, _)| !known.members.contains_key(device));
    let members = others.map(|(device, key)| (*device, (*key, device.to_string())));
    Crew {
        members: members.collect(),
        kept: known.kept.clone(),
    }
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
/// What was taken in or passed over of a device's log.
pub(crate) fn known_log(
    record: &Mutex<Record>,
    folder: &str,
    device: &DeviceId,
) -> Result<KnownLog, SyncError> {
    let record = lock(record);
    let mut known = KnownLog::default();
    let mut noted = BTreeSet::new();
    for row in record.fetched(folder, device)? {
        noted.insert(row.no);
        let Ok(no) = u32::try_from(row.no) else {
            continue;
        };
        if row.taken {
            known.taken.insert((no, row.start));
        } else {
            known.passed.insert(no, row.book);
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
    let rows: Vec<Fetched> = names.iter().map(|name| row(name, true)).collect();
    Ok(lock(record).note_fetched(folder, device, &rows)?)
}

/// Notes segments as passed over for their books, where that is new.
pub(crate) fn note_passed(
    record: &Mutex<Record>,
    folder: &str,
    device: &DeviceId,
    known: &KnownLog,
    passed: &BTreeSet<SegmentName>,
) -> Result<(), SyncError> {
    let taken: BTreeSet<u32> = known.taken.iter().map(|(no, _)| *no).collect();
    let new = |name: &&SegmentName| {
        known.passed.get(&name.no) != Some(&name.book) && !taken.contains(&name.no)
    };
    let rows: Vec<Fetched> = passed
        .iter()
        .filter(new)
        .map(|name| row(name, false))
        .collect();
    if rows.is_empty() {
        return Ok(());
    }
    Ok(lock(record).note_fetched(folder, device, &rows)?)
}

fn row(name: &SegmentName, taken: bool) -> Fetched {
    Fetched {
        no: u64::from(name.no),
        book: name.book.clone(),
        start: name.hash.clone(),
        taken,
    }
}

/// Files that have been cut at the same size for an hour: these are damaged, and not arriving. `met`
/// are those that are cut now, each with its size.
pub(crate) fn stay_cut(
    record: &Mutex<Record>,
    folder: &str,
    met: &BTreeSet<(String, u64)>,
) -> Result<BTreeSet<(String, u64)>, SyncError> {
    let record = lock(record);
    let (now, setting) = (record.clock().now_ms(), format!("cut:{folder}"));
    let noted = record.setting(&setting)?.unwrap_or_default();
    let read = |line: &str| {
        let mut parts = line.splitn(3, ' ');
        let (ms, bytes, path) = (parts.next()?, parts.next()?, parts.next()?);
        Some((
            (path.to_owned(), bytes.parse().ok()?),
            ms.parse::<i64>().ok()?,
        ))
    };
    let mut since: BTreeMap<(String, u64), i64> = noted.lines().filter_map(read).collect();
    since.retain(|file, _| met.contains(file));
    for file in met {
        since.entry(file.clone()).or_insert(now);
    }
    let line = |((path, bytes), ms): (&(String, u64), &i64)| {
        format!(
            "{ms} {bytes} {path}
"
        )
    };
    let lines: String = since.iter().map(line).collect();
    match lines.is_empty() {
        _ if lines == noted => {}
        true => record.clear_setting(&setting)?,
        false => record.set_setting(&setting, &lines)?,
    }
    since.retain(|_, since| now - *since >= CUT_FOR_GOOD_MS);
    Ok(since.into_keys().collect())
}

/// After so long a file of the same size is not on its way any more, in milliseconds.
const CUT_FOR_GOOD_MS: i64 = 3_600_000;

/// The segments that this device made for the folder.
pub(crate) fn made(record: &Mutex<Record>, folder: &str) -> Result<Vec<MadeSegment>, SyncError> {
    let record = lock(record);
    let device = record.device().to_string();
    let published = record.published(folder)?;
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
                bytes: row.bytes,
            })
        })
        .collect())
}

/// Every file that an entry of a member vouches for in the kept books, and where those held here lie.
/// What a member recorded after its end, or for a person whom it does not list, vouches for nothing:
/// a lost phone shall not fill the others.
pub(crate) fn objects(
    record: &Mutex<Record>,
    crew_book: BookId,
    books: &BTreeSet<String>,
) -> Result<(Vec<KnownObject>, PathBuf), SyncError> {
    let mut objects = Vec::new();
    let photos_dir = lock(record).photos_dir();
    // Of a device that does not belong nothing is fetched, so that nothing of it is waited for.
    let (crew, own) = {
        let record = lock(record);
        (record.crew(crew_book).clone(), record.device())
    };
    for book in books {
        let Ok(book) = book.parse::<BookId>() else {
            continue;
        };
        let mut record = lock(record);
        // What belongs to another crew lies in that one's folder.
        if book != crew_book && record.crew_of_job(book).is_ok_and(|of| of != crew_book) {
            continue;
        }
        // A chosen job of which nothing has come yet has no view.
        let Ok(view) = record.view(book) else {
            continue;
        };
        let apart = view.not_counting(&crew).into_iter();
        // This device's own wait for its admission, and are shared beside its entries.
        let by_own = |id: &Hash| view.entry(id).is_some_and(|e| e.body.device == own);
        let apart = apart.filter(|(id, why)| {
            let waits = *why == Why::NotAdmitted && by_own(id);
            !(waits || may_count_later(*why))
        });
        let apart: HashSet<Hash> = apart.map(|(id, _)| id).collect();
        for entry in view.proven().filter(|entry| !apart.contains(&entry.id)) {
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

/// Whether an entry that does not count is a member's all the same, and waits for what it was decided
/// on or for a version that understands it.
fn may_count_later(why: Why) -> bool {
    matches!(why, Why::BasisMissing | Why::NotUnderstood | Why::Unfit)
}

/// Notes objects that lie in the folder, where that is new.
pub(crate) fn note_shared<'a>(
    record: &Mutex<Record>,
    folder: &str,
    hashes: impl Iterator<Item = &'a str>,
) -> Result<(), SyncError> {
    let record = lock(record);
    let known = record.objects_shared(folder)?;
    let new = hashes.filter(|text| !known.contains(*text));
    let new: Vec<Hash> = new.filter_map(|text| text.parse().ok()).collect();
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
