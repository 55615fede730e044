//! This device's own log: read before anything is written.
//!
//! Invariant: a device that lost its record learns from the folder what it forgot before it gives
//! a number. While a piece of its own log has not arrived, it gives none. It makes no segments.

use std::collections::BTreeSet;

use records::entry::Entry;
use records::ids::{DeviceId, Hash};
use records::record::{Fetched, Published};
use records::segment::{self, Header, Segment};
use records::{Record, RecordError, canonical};

use super::{NOBODYS, Run};
use crate::error::SyncError;
use crate::local::{self, lock};
use crate::look::look_log;
use crate::name::{SegmentName, shard_of};
use crate::plan::{Fetch, MAX_SEGMENT, SeenLog, gaps, plan_log};
use crate::report::WaitingFor;

/// What the own log showed.
pub(super) struct OwnLog {
    pub(super) seen: SeenLog,
    /// Whether the log could be listed.
    pub(super) listed: bool,
    /// Whether numbers may be given: everything in the log was read and none is missing.
    pub(super) may_write: bool,
}

/// Reads the own log and takes in what this device forgot.
pub(super) fn take_own_log(run: &mut Run<'_>) -> Result<OwnLog, SyncError> {
    let device = lock(run.record).device();
    let known = local::known_log(run.record, &run.folder, &device)?;
    let made = local::made(run.record, &run.folder)?;
    let also = made.iter().map(|made| shard_of(made.name.no)).collect();
    let text = device.to_string();
    let looked = look_log(run.store, &text, &known, &|_| true, run.options.depth, also);
    let seen = match looked {
        Ok(seen) => seen,
        Err(error) => {
            run.report.fault(&error);
            let seen = SeenLog::default();
            return Ok(OwnLog {
                seen,
                listed: false,
                may_write: false,
            });
        }
    };
    run.report.others.join(seen.others.clone());
    if seen.cut {
        run.report.fault(&too_many(&text));
    }
    let plan = plan_log(&known, &seen, &|_| true, &|_| true);
    for (path, bytes) in &plan.oversized {
        run.report.put_aside(
            path,
            format!("{bytes} bytes; no piece of a log is that large: {NOBODYS}"),
        );
    }
    let mut bad: Vec<(SegmentName, String)> = plan
        .empty
        .iter()
        .map(|name| (name.clone(), name.path()))
        .collect();
    let mut unread: Vec<SegmentName> = plan.empty;
    let mut newer: Vec<SegmentName> = Vec::new();
    for (done, fetch) in plan.fetch.iter().enumerate() {
        run.tell(
            "Reading what this device published before",
            done,
            plan.fetch.len(),
        );
        if run.stopped() {
            unread.extend(plan.fetch.iter().skip(done).map(|fetch| fetch.name.clone()));
            break;
        }
        match take_one(run, device, fetch)? {
            Own::Taken => {}
            Own::Newer => newer.push(fetch.name.clone()),
            Own::Unread => {
                unread.push(fetch.name.clone());
                let path = fetch.paths.first().cloned().unwrap_or_default();
                bad.push((fetch.name.clone(), path));
            }
        }
    }
    let made = local::made(run.record, &run.folder)?;
    let numbers: Vec<u32> = made.iter().map(|made| made.name.no).collect();
    // A second file under a number that is known stops nothing: its number is not given again.
    let open = unread
        .iter()
        .filter(|name| !numbers.contains(&name.no))
        .count();
    for (_, path) in bad.iter().filter(|(name, _)| !numbers.contains(&name.no)) {
        // It may be what this device forgot, so no number is given before it is read or gone.
        let reason = "it can't be read whole, and until it can, nothing new of this device is \
                      published. If the folder is still being copied, wait and exchange again. If \
                      it stays so, move this one file out of the shared folder by hand and exchange \
                      again; everything is kept on this device";
        let fault = SyncError::permanent("reading this device's own log", path, reason);
        run.report.fault(&fault);
    }
    let last = numbers.last().copied().unwrap_or(0);
    let known_of = unread.iter().chain(&newer).map(|name| name.no);
    let there: BTreeSet<u32> = numbers.into_iter().chain(known_of).collect();
    let missing = open as u64 + gaps(last, last, &there, &BTreeSet::new());
    let waiting = (unread.len() - open) as u64 + missing;
    run.report
        .wait(WaitingFor::Segments, "this device", waiting);
    run.report
        .wait(WaitingFor::Newer, "this device", newer.len() as u64);
    let may_write = missing == 0 && newer.is_empty() && !seen.cut;
    if may_write {
        lock(run.record).list_unlisted(Some(run.crew_book))?;
    }
    Ok(OwnLog {
        seen,
        listed: true,
        may_write,
    })
}

/// What is said of a folder with more names than are read of one.
pub(super) fn too_many(device: &str) -> SyncError {
    let path = format!("{}/{device}", crate::name::LOG);
    let reason = "more files lie in one folder of this log than any exchange leaves there, so not all \
                  could be read: move what is not ours out of it by hand and exchange again";
    SyncError::permanent("reading a log", &path, reason)
}

/// What became of a piece of the own log.
enum Own {
    /// The content that was looked for is in the record.
    Taken,
    /// This device wrote it with a newer version; the numbers in it are not known here.
    Newer,
    /// It is not there whole.
    Unread,
}

/// Reads one piece of the own log.
fn take_one(run: &mut Run<'_>, device: DeviceId, fetch: &Fetch) -> Result<Own, SyncError> {
    let key = lock(run.record).signer().public();
    let mut found: Option<(&String, Vec<u8>, Segment)> = None;
    for path in &fetch.paths {
        let bytes = match run.store.get(path, MAX_SEGMENT) {
            Ok(bytes) => bytes,
            Err(error) => {
                run.report.fault(&error);
                continue;
            }
        };
        match segment::read(&bytes, &key) {
            // What the name promises goes before what merely is a piece of this log.
            Ok(segment) if Hash::of(&bytes).short() == fetch.name.hash => {
                found = Some((path, bytes, segment));
                break;
            }
            Ok(segment) => found = found.or(Some((path, bytes, segment))),
            Err(RecordError::SegmentNewer(_)) => return Ok(Own::Newer),
            Err(_) => {}
        }
    }
    match found {
        Some((path, bytes, segment)) => take_found(run, device, fetch, path, &bytes, segment),
        None => Ok(Own::Unread),
    }
}

fn take_found(
    run: &mut Run<'_>,
    device: DeviceId,
    fetch: &Fetch,
    path: &str,
    bytes: &[u8],
    segment: Segment,
) -> Result<Own, SyncError> {
    let mut record = lock(run.record);
    let taken = record.take_in_log(run.crew_book, device, &segment.lines)?;
    if let Some((_, entry)) = taken.damaged.first() {
        run.report.fault(&RecordError::Damaged(*entry).into());
        return Ok(Own::Unread);
    }
    run.report.new_entries += taken.new as u64;
    let (header, sha256) = (segment.header, Hash::of(bytes));
    let promised = sha256.short() == fetch.name.hash;
    let whole = taken.aside.is_empty();
    for aside in taken.aside {
        run.report.put_aside(path, aside.reason);
    }
    run.report.fetched.add_segment(bytes.len() as u64);
    record.note_seen(run.crew_book, [&header])?;
    let known = record.published(&run.folder)?;
    let taken_by = known.iter().find(|row| row.no == header.no);
    if !whole {
        if promised && taken_by.is_some() {
            // Beside the genuine piece a false one is missed by nobody: it is told once.
            drop(record);
            let names: Vec<SegmentName> = name_of(device, &header, &sha256).into_iter().collect();
            local::note_taken(run.record, &run.folder, &device, &names)?;
            return Ok(Own::Taken);
        }
        // Changed in the folder: what this device published under this number is not known here.
        return Ok(Own::Unread);
    }
    if taken_by.is_none_or(|row| row.sha256 == sha256) {
        let last = segment.lines.last().map(|line| Entry::parse(line));
        let tail = last.transpose()?.map(|entry| entry.id);
        note_made(&record, &run.folder, &header, (sha256, bytes.len()), tail)?;
    } else {
        // The number was given twice; both files stay, and this one is noted beside.
        drop(record);
        let names: Vec<SegmentName> = name_of(device, &header, &sha256).into_iter().collect();
        local::note_taken(run.record, &run.folder, &device, &names)?;
    }
    Ok(if promised { Own::Taken } else { Own::Unread })
}

/// Notes a segment as made by this device, with its size, by which damage shows in a listing, and
/// with its last entry.
pub(super) fn note_made(
    record: &Record,
    folder: &str,
    header: &Header,
    (sha256, bytes): (Hash, usize),
    tail: Option<Hash>,
) -> Result<(), SyncError> {
    let device = record.device();
    let text = canonical::encode(header)?;
    let row = Published {
        no: header.no,
        book: header.book,
        sha256,
        first: header.first,
        last: header.last,
        header: String::from_utf8(text).map_err(|e| RecordError::Segment(e.to_string()))?,
        bytes: Some(bytes as u64),
        tail,
    };
    record.note_published(folder, &row)?;
    let taken = Fetched {
        no: header.no,
        book: header.book.to_string(),
        start: sha256.short(),
        taken: true,
    };
    Ok(record.note_fetched(folder, &device, &[taken])?)
}

fn name_of(device: DeviceId, header: &Header, sha256: &Hash) -> Option<SegmentName> {
    Some(SegmentName {
        device: device.to_string(),
        no: u32::try_from(header.no).ok()?,
        book: header.book.to_string(),
        hash: sha256.short(),
    })
}
