//! This device's own log: read first, then continued.
//!
//! Invariant: no number is given twice by a device that still has its record. One that lost it
//! learns from the folder what it forgot; if it wrote meanwhile, its log has two branches, which
//! is told, and it publishes nothing more under this identity but the branch it has.

use std::collections::{BTreeMap, BTreeSet};

use records::entry::Entry;
use records::ids::{BookId, DeviceId, Hash};
use records::record::Published;
use records::segment::{self, BookPrev, Header, MOST_BYTES};
use records::{RecordError, canonical};

use super::Run;
use crate::error::SyncError;
use crate::local::{self, lock};
use crate::look::look_log;
use crate::name::{SegmentName, shard_of};
use crate::plan::{MAX_SEGMENT, SeenLog, plan_log, plan_publish};
use crate::report::WaitingFor;
use crate::store::{Put, in_flight};

/// What the own log showed.
pub(super) struct OwnLog {
    seen: SeenLog,
    /// Whether the log could be listed.
    listed: bool,
    /// Whether new segments may be made: everything in the log was read.
    may_write: bool,
    /// Entries written here before the log was read, when it turned out to hold others.
    branch: BTreeMap<BookId, Vec<Entry>>,
}

/// Room that a header needs at most: its bound as a canonical body, and its signature.
const HEADER: usize = canonical::LONGEST_BODY + 256;
/// Most heads that one header names, so that it stays inside its bound.
const MOST_SEEN: usize = 400;
const FORKED: &str = "sync.forked";

/// Reads the own log and takes in what this device forgot.
pub(super) fn take_own_log(run: &mut Run<'_>) -> Result<OwnLog, SyncError> {
    let device = lock(run.record).device();
    let known = local::known_log(run.record, &run.folder, &device)?;
    let text = device.to_string();
    let made = local::made(run.record, &run.folder)?;
    let also = made.iter().map(|made| shard_of(made.name.no)).collect();
    let looked = look_log(run.store, &text, &known, &|_| true, run.options.depth, also);
    let mut own = OwnLog {
        seen: SeenLog::default(),
        listed: true,
        may_write: true,
        branch: BTreeMap::new(),
    };
    match looked {
        Ok(seen) => own.seen = seen,
        Err(error) => {
            run.report.fault(&error);
            own.listed = false;
            own.may_write = false;
            return Ok(own);
        }
    }
    run.report.unknown += own.seen.unknown;
    let plan = plan_log(&known, &own.seen, &|_| true, &|_| true);
    for (path, bytes) in &plan.oversized {
        run.report
            .put_aside(path, format!("{bytes} bytes; no segment is that large"));
    }
    let highest = known.taken.iter().map(|(no, _)| *no).max().unwrap_or(0);
    // Behind a piece that has not arrived, the next number is not known yet.
    let open = |name: &SegmentName| name.no > highest;
    let mut unread = plan.empty.len() as u64;
    own.may_write = !plan.empty.iter().any(open);
    let before = written_here(run, !plan.fetch.is_empty())?;
    let mut learned = BTreeSet::new();
    for (done, fetch) in plan.fetch.iter().enumerate() {
        run.tell(
            "Reading what this device published before",
            done,
            plan.fetch.len(),
        );
        if run.stopped() {
            own.may_write = false;
            return Ok(own);
        }
        if !take_one(run, device, fetch, &mut learned)? {
            unread += 1;
            own.may_write &= !open(&fetch.name);
        }
    }
    run.report.wait(WaitingFor::Segments, "this device", unread);
    find_branch(run, device, before, &learned, &mut own)?;
    Ok(own)
}

/// Makes segments of what is new and writes every own segment that the folder lacks.
pub(super) fn publish_segments(run: &mut Run<'_>, own: &OwnLog) -> Result<(), SyncError> {
    let forked = lock(run.record).setting(FORKED)?.is_some();
    run.report.forked = forked;
    if own.may_write && (!forked || !own.branch.is_empty()) {
        make(run, own)?;
    }
    count_unmade(run)?;
    let mut seen = own.seen.clone();
    let made = local::made(run.record, &run.folder)?;
    if !own.listed {
        run.report.unshared.segments += made.len() as u64;
        return Ok(());
    }
    // All folders of old numbers were listed, so one that was not can hold new numbers only.
    seen.listed
        .extend(made.iter().map(|made| shard_of(made.name.no)));
    let plan = plan_publish(&made, &seen);
    let put = |publish: &crate::plan::Publish<SegmentName>| -> Result<(Put, u64), SyncError> {
        let bytes = bytes_of(run, publish.what.no)?;
        Ok((
            run.store.put_new(&publish.path, &bytes)?,
            bytes.len() as u64,
        ))
    };
    let results = in_flight(&plan, run.options.stop, &put);
    let mut written = Vec::new();
    for (publish, result) in plan.iter().zip(results) {
        match result {
            Some(Ok((Put::Created, bytes))) => written.push(bytes),
            Some(Ok((Put::AlreadyThere, _))) => {}
            Some(Ok((Put::Different, bytes))) => {
                let reason = "other bytes stand under this name, so others can't read this piece";
                run.report.put_aside(&publish.path, reason);
                run.report.unshared.add_segment(bytes);
            }
            Some(Err(error)) => {
                run.report.fault(&error);
                run.report.unshared.add_segment(0);
            }
            None => run.report.unshared.add_segment(0),
        }
    }
    if written.is_empty() {
        return Ok(());
    }
    let settled = run.store.settle();
    let counts = match &settled {
        Ok(()) => &mut run.report.published,
        Err(_) => &mut run.report.unshared,
    };
    written.iter().for_each(|bytes| counts.add_segment(*bytes));
    if let Err(error) = settled {
        run.report.fault(&error);
    }
    Ok(())
}

fn take_one(
    run: &mut Run<'_>,
    device: DeviceId,
    fetch: &crate::plan::Fetch,
    learned: &mut BTreeSet<Hash>,
) -> Result<bool, SyncError> {
    for path in &fetch.paths {
        let bytes = match run.store.get(path, MAX_SEGMENT) {
            Ok(bytes) => bytes,
            Err(error) => {
                run.report.fault(&error);
                continue;
            }
        };
        let mut record = lock(run.record);
        let key = record.signer().public();
        let Ok(segment) = segment::read(&bytes, &key) else {
            continue;
        };
        let taken = record.take_in(run.crew_book, &segment.lines)?;
        run.report.new_entries += taken.new as u64;
        for aside in taken.aside {
            run.report.put_aside(path, aside.reason);
        }
        learned.extend(
            segment
                .lines
                .iter()
                .filter_map(|line| Some(Entry::parse(line).ok()?.id)),
        );
        let sha256 = Hash::of(&bytes);
        let header = segment.header;
        let known = record.published(&run.folder)?;
        if known
            .iter()
            .any(|row| row.no == header.no && row.sha256 != sha256)
        {
            // The number was given twice; both files stay, this one is noted beside.
            drop(record);
            let name = name_of(device, &header, &sha256);
            local::note_taken(
                run.record,
                &run.folder,
                &device,
                &name.into_iter().collect::<Vec<_>>(),
            )?;
            return Ok(true);
        }
        let row = Published {
            no: header.no,
            book: header.book,
            sha256,
            first: header.first,
            last: header.last,
            header: header_text(&header)?,
        };
        record.note_published(&run.folder, &row)?;
        note_size(&record, &run.folder, &header, &sha256, bytes.len())?;
        run.report.fetched.add_segment(bytes.len() as u64);
        return Ok(sha256.short() == fetch.name.hash);
    }
    Ok(false)
}

/// Of every book before the log is taken in: the last own entry that was published, and all own.
fn written_here(
    run: &Run<'_>,
    needed: bool,
) -> Result<BTreeMap<BookId, (u64, Vec<Entry>)>, SyncError> {
    let mut written = BTreeMap::new();
    if needed {
        let mut record = lock(run.record);
        let rows = record.published(&run.folder)?;
        for book in own_books(&record, run.crew_book)? {
            let last = rows
                .iter()
                .filter(|row| row.book == book)
                .map(|row| row.last)
                .max();
            let entries = record.own_after(book, 0)?;
            written.insert(book, (last.unwrap_or(0), entries));
        }
    }
    Ok(written)
}

/// Finds what was written here before the log was read, if the log turned out to hold others.
fn find_branch(
    run: &mut Run<'_>,
    device: DeviceId,
    before: BTreeMap<BookId, (u64, Vec<Entry>)>,
    learned: &BTreeSet<Hash>,
    own: &mut OwnLog,
) -> Result<(), SyncError> {
    if learned.is_empty() {
        return Ok(());
    }
    let mut record = lock(run.record);
    for (book, (published, mut entries)) in before {
        if !record.view(book)?.forked().contains(&device) {
            continue;
        }
        record.set_setting(FORKED, &run.folder)?;
        entries.retain(|entry| entry.body.n > published && !learned.contains(&entry.id));
        if !entries.is_empty() {
            own.branch.insert(book, entries);
        }
    }
    Ok(())
}

fn own_books(record: &records::Record, crew_book: BookId) -> Result<Vec<BookId>, SyncError> {
    let mut books = record.kept_jobs(crew_book)?;
    if record.crew_books().contains(&crew_book) {
        books.insert(0, crew_book);
    }
    Ok(books)
}

/// Counts, for each book with own entries that are in no segment, one piece as not shared.
fn count_unmade(run: &mut Run<'_>) -> Result<(), SyncError> {
    let mut record = lock(run.record);
    let rows = record.published(&run.folder)?;
    for book in own_books(&record, run.crew_book)? {
        let last = rows
            .iter()
            .filter(|row| row.book == book)
            .map(|row| row.last)
            .max();
        if !record.own_after(book, last.unwrap_or(0))?.is_empty() {
            run.report.unshared.add_segment(0);
        }
    }
    Ok(())
}

/// Makes segments of all own entries that are in none yet, book by book.
fn make(run: &mut Run<'_>, own: &OwnLog) -> Result<(), SyncError> {
    let mut record = lock(run.record);
    for book in own_books(&record, run.crew_book)? {
        let rows = record.published(&run.folder)?;
        let of_book = || rows.iter().filter(|row| row.book == book);
        let last = of_book().map(|row| row.last).max().unwrap_or(0);
        let mut entries = match own.branch.get(&book) {
            Some(branch) => branch.clone(),
            None => record.own_after(book, last)?,
        };
        let mut told = BTreeMap::new();
        for row in of_book() {
            let header: Header = read_header(&row.header)?;
            told.extend(
                header
                    .seen
                    .into_iter()
                    .map(|(device, n, hash)| (device, (n, hash))),
            );
        }
        let device = record.device();
        let mut seen: Vec<(DeviceId, u64, Hash)> = record
            .view(book)?
            .heads()
            .iter()
            .filter(|(other, head)| **other != device && told.get(other) != Some(head))
            .map(|(device, (n, hash))| (*device, *n, *hash))
            .take(MOST_SEEN)
            .collect();
        while !entries.is_empty() {
            let rest = entries.split_off(fitting(&entries));
            make_one(
                &record,
                &run.folder,
                book,
                &entries,
                std::mem::take(&mut seen),
            )?;
            entries = rest;
        }
    }
    Ok(())
}

fn make_one(
    record: &records::Record,
    folder: &str,
    book: BookId,
    entries: &[Entry],
    seen: Vec<(DeviceId, u64, Hash)>,
) -> Result<(), SyncError> {
    let (Some(first), Some(last)) = (entries.first(), entries.last()) else {
        return Ok(());
    };
    let rows = record.published(folder)?;
    let newest = rows.last();
    let of_book = rows.iter().rfind(|row| row.book == book);
    let header = Header {
        format: segment::FORMAT,
        device: record.device(),
        no: newest.map_or(1, |row| row.no + 1),
        prev: newest.map_or(Hash::ZERO, |row| row.sha256),
        book,
        book_prev: of_book.map(|row| BookPrev {
            no: row.no,
            sha256: row.sha256,
        }),
        first: first.body.n,
        last: last.body.n,
        seen,
    };
    let bytes = segment::encode(&header, entries, record.signer())?;
    let row = Published {
        no: header.no,
        book,
        sha256: Hash::of(&bytes),
        first: header.first,
        last: header.last,
        header: header_text(&header)?,
    };
    record.note_published(folder, &row)?;
    note_size(record, folder, &header, &row.sha256, bytes.len())
}

/// Notes an own segment's size, by which damage in the folder shows in a listing.
fn note_size(
    record: &records::Record,
    folder: &str,
    header: &Header,
    sha256: &Hash,
    bytes: usize,
) -> Result<(), SyncError> {
    let device = record.device();
    let Some(name) = name_of(device, header, sha256) else {
        return Ok(());
    };
    let note = format!("{} {}{bytes}", name.file(), local::SIZE);
    Ok(record.note_fetched(folder, &device, &[(header.no, note)])?)
}

/// How many entries fit into one segment, whole acts where one ends in time.
fn fitting(entries: &[Entry]) -> usize {
    let mut room = MOST_BYTES - HEADER;
    let (mut fit, mut closed) = (0, 0);
    for entry in entries {
        let Some(left) = room.checked_sub(entry.line().len()) else {
            break;
        };
        room = left;
        fit += 1;
        if entry.body.closes() {
            closed = fit;
        }
    }
    if fit == entries.len() || closed == 0 {
        fit.max(1)
    } else {
        closed
    }
}

/// The bytes of an own segment, made again from the record and checked against its hash.
fn bytes_of(run: &Run<'_>, no: u32) -> Result<Vec<u8>, SyncError> {
    let mut record = lock(run.record);
    let rows = record.published(&run.folder)?;
    let row = rows.iter().find(|row| row.no == u64::from(no));
    let row = row.ok_or(RecordError::Unknown {
        what: "segment",
        id: no.to_string(),
    })?;
    let header = read_header(&row.header)?;
    let mut entries = record.own_after(row.book, row.first - 1)?;
    entries.retain(|entry| entry.body.n <= row.last);
    if let Some(bytes) = encode(&record, &header, &entries, row) {
        return Ok(bytes);
    }
    // The chain that is continued may not be the branch that this segment holds.
    let others = branches(&mut record, row)?;
    let other = others
        .iter()
        .find_map(|entries| encode(&record, &header, entries, row));
    other.ok_or_else(|| RecordError::Damaged(row.sha256).into())
}

fn encode(
    record: &records::Record,
    header: &Header,
    entries: &[Entry],
    row: &Published,
) -> Option<Vec<u8>> {
    let bytes = segment::encode(header, entries, record.signer()).ok()?;
    (Hash::of(&bytes) == row.sha256).then_some(bytes)
}

/// The own entries `first` to `last` of a row, along every branch that reaches `last`.
fn branches(record: &mut records::Record, row: &Published) -> Result<Vec<Vec<Entry>>, SyncError> {
    let device = record.device();
    let view = record.view(row.book)?;
    let ends = view.ids().filter_map(|id| view.entry(id));
    let ends = ends.filter(|entry| entry.body.device == device && entry.body.n == row.last);
    let mut found = Vec::new();
    for end in ends {
        let mut chain = vec![end.clone()];
        let mut at = end;
        while at.body.n > row.first {
            let Some(before) = view.entry(&at.body.prev) else {
                break;
            };
            chain.push(before.clone());
            at = before;
        }
        chain.reverse();
        found.push(chain);
    }
    Ok(found)
}

fn name_of(device: DeviceId, header: &Header, sha256: &Hash) -> Option<SegmentName> {
    Some(SegmentName {
        device: device.to_string(),
        no: u32::try_from(header.no).ok()?,
        book: header.book.to_string(),
        hash: sha256.short(),
    })
}

fn header_text(header: &Header) -> Result<String, SyncError> {
    let bytes = canonical::encode(header)?;
    String::from_utf8(bytes).map_err(|e| RecordError::Segment(e.to_string()).into())
}

fn read_header(text: &str) -> Result<Header, SyncError> {
    serde_json::from_str(text).map_err(|e| RecordError::Segment(e.to_string()).into())
}
