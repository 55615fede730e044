//! Making segments of what this device recorded, and writing those that the folder lacks.
//!
//! Invariant: an own entry is in a segment once. A segment's bytes are noted by their hash before
//! they are written, and made again from the record only if they come out the same. If the own
//! chain has branches, every branch is published and the device is reported as forked. Where the
//! chain ends before what was published of it, or has a gap, nothing is said to be shared.
//! One file past 400 lines, since what is made anew must come out as it was made first.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Mutex;

use records::entry::Entry;
use records::ids::{BookId, DeviceId, Hash};
use records::record::Published;
use records::segment::{self, BookPrev, Header, MOST_BYTES};
use records::{Record, RecordError, canonical};

use super::Run;
use super::own::{OwnLog, note_made};
use super::wrong::{Expected, wrong};
use crate::error::SyncError;
use crate::local::{self, lock};
use crate::look::Depth;
use crate::name::{SegmentName, shard_of};
use crate::plan::{MAX_SEGMENT, MadeSegment, Publish, SeenLog, SeenSegment, plan_publish};
use crate::store::{Put, in_flight};

/// Room that a header needs at most: its bound as a canonical body, and its signature.
const HEADER: usize = canonical::LONGEST_BODY + 256;
/// Most heads that one header names, so that it stays inside its bound.
const MOST_SEEN: usize = 400;
/// How many bytes of segments just made are kept for writing; others are made again.
const KEPT_BYTES: usize = 32 << 20;

/// A segment's entries and its bytes.
type Made = (Vec<Entry>, Vec<u8>);

/// Makes segments of what is new and writes every own segment that the folder lacks.
pub(super) fn publish_segments(run: &mut Run<'_>, own: &OwnLog) -> Result<(), SyncError> {
    let fresh = make(run, own.may_write)?;
    let made = local::made(run.record, &run.folder)?;
    if !own.listed {
        run.report.unshared.segments += made.len() as u64;
        return Ok(());
    }
    let mut seen = own.seen.clone();
    // All folders of old numbers were listed, so one that was not can hold new numbers only.
    seen.listed
        .extend(made.iter().map(|made| shard_of(made.name.no)));
    let wrong = wrong_segments(run, &made, &seen);
    let plan = plan_publish(&made, &seen, &wrong);
    let put = |publish: &Publish<SegmentName>| -> Result<(Put, u64), SyncError> {
        let again;
        let bytes = match fresh.get(&publish.what.no) {
            Some(bytes) => bytes,
            None => {
                again = bytes_of(run.record, &run.folder, publish.what.no)?;
                &again
            }
        };
        Ok((run.store.put_new(&publish.path, bytes)?, bytes.len() as u64))
    };
    run.tell("Publishing what was recorded here", 0, plan.len());
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

/// Own segments whose bytes in the folder are others, where everything is to be looked over.
fn wrong_segments(run: &mut Run<'_>, made: &[MadeSegment], seen: &SeenLog) -> BTreeSet<String> {
    if run.options.depth != Depth::Everything {
        return BTreeSet::new();
    }
    let own: BTreeSet<&SegmentName> = made.iter().map(|made| &made.name).collect();
    let fits = |file: &&SeenSegment| own.contains(&file.name) && file.bytes <= MAX_SEGMENT;
    let files = seen.segments.iter().filter(fits).map(|file| Expected {
        path: file.path.clone(),
        at_most: MAX_SEGMENT,
        start: file.name.hash.clone(),
    });
    wrong(run, &files.collect::<Vec<_>>())
}

/// Makes segments of all own entries that are in none yet, book by book; where that may not be,
/// counts one piece a book as not shared.
fn make(run: &mut Run<'_>, may_write: bool) -> Result<BTreeMap<u32, Vec<u8>>, SyncError> {
    let mut fresh = BTreeMap::new();
    let mut kept = 0;
    let books = own_books(&lock(run.record), run.crew_book)?;
    for book in books {
        match make_of(run, book, may_write, &mut kept) {
            Ok(made) => fresh.extend(made),
            // One damaged job is told, and the others go on without it.
            Err(SyncError::Record(error @ RecordError::Damaged(_))) => {
                run.report.fault(&SyncError::Record(error));
                run.report.unshared.add_segment(0);
            }
            Err(error) => return Err(error),
        }
    }
    Ok(fresh)
}

/// Makes segments of the own entries of one book that are in none yet.
fn make_of(
    run: &mut Run<'_>,
    book: BookId,
    may_write: bool,
    kept: &mut usize,
) -> Result<BTreeMap<u32, Vec<u8>>, SyncError> {
    let mut fresh = BTreeMap::new();
    let (chains, mut seen) = {
        let mut record = lock(run.record);
        let rows = of_book(&record, &run.folder, book)?;
        let device = record.device();
        let forked = record.view(book)?.forked().contains(&device);
        run.report.forked |= forked;
        let (head, branched) = record.own_end(book)?;
        run.report.made_to.push((book, head));
        let last = rows.iter().map(|row| row.last).max().unwrap_or(0);
        // The own log was read before this, so what was published and is gone lies nowhere: what
        // has one of its numbers now is another entry.
        let after = record.own_after(book, last)?;
        let from = after.first().map_or(head + 1, |first| first.body.n);
        let gone = from != last + 1 || lost_one(&mut record, &run.folder, &rows)?;
        // A person chose to go on without what is gone.
        if gone && !branched {
            run.report.unshared.add_segment(0);
            run.report.fault(&not_whole());
        }
        let mut chains = match forked || gone {
            true => uncovered(&mut record, book, &rows)?,
            false => vec![after],
        };
        let mut unproven = false;
        for chain in &mut chains {
            unproven |= cut_unproven(&mut record, book, chain)?;
        }
        if unproven && !gone {
            run.report.unshared.add_segment(0);
            run.report.fault(&not_whole());
        }
        (chains, newly_seen(&mut record, book, &rows)?)
    };
    for mut entries in chains {
        if !may_write && !entries.is_empty() {
            run.report.unshared.add_segment(0);
            continue;
        }
        while !entries.is_empty() {
            let rest = entries.split_off(fitting(&entries));
            sign_end(&lock(run.record), &mut entries)?;
            let seen = std::mem::take(&mut seen);
            let (no, bytes) = make_one(run.record, &run.folder, book, &entries, seen)?;
            *kept += bytes.len();
            if *kept <= KEPT_BYTES {
                fresh.insert(no, bytes);
            }
            entries = rest;
        }
    }
    Ok(fresh)
}

/// Said where a chain of this device has a gap here, or ends in what nothing proves.
fn not_whole() -> SyncError {
    let reason = "entries that this device recorded are damaged or missing here, and what it recorded \
                  after them counts nowhere without them. `verify` this device's data; an older copy \
                  of it, or the piece of its log that was in the shared folder, brings them back";
    SyncError::permanent("publishing", "this device's entries", reason)
}

/// Takes from the end of a chain what nothing proves; answers whether there was any that is not back whole.
fn cut_unproven(
    record: &mut Record,
    book: BookId,
    chain: &mut Vec<Entry>,
) -> Result<bool, SyncError> {
    let key = record.signer().public();
    let crew = record.crew_of_job(book)?;
    let crew = record.crew(crew).clone();
    let view = record.view(book)?;
    let proven = |entry: &Entry| entry.signed_by(&key) || view.is_proven(&entry.id);
    let whole = chain.iter().rposition(proven).map_or(0, |at| at + 1);
    // What damage left of entries that are back lacks nothing.
    let cut = chain.split_off(whole);
    Ok(cut.iter().any(|entry| !view.superseded(&entry.id, &crew)))
}

/// Signs the last entry of a piece anew where its signature was damaged: it proves the piece, and what
/// stands in a chain up to a proven entry is this device's own.
fn sign_end(record: &Record, piece: &mut [Entry]) -> Result<(), SyncError> {
    let key = record.signer().public();
    if let Some(last) = piece.last_mut().filter(|last| !last.signed_by(&key)) {
        *last = record.signed_anew(last)?;
    }
    Ok(())
}

/// Whether some published piece's last entry is not here any more.
fn lost_one(record: &mut Record, folder: &str, rows: &[Published]) -> Result<bool, SyncError> {
    for row in rows {
        let tail = match row.tail {
            Some(tail) => Some(tail),
            None => note_tail(record, folder, row)?,
        };
        let view = record.view(row.book)?;
        if !tail.is_some_and(|tail| view.is_linked(&tail)) {
            return Ok(true);
        }
    }
    Ok(false)
}

/// The last entry of a piece that an older version noted, if the record still gives the piece.
fn note_tail(
    record: &mut Record,
    folder: &str,
    row: &Published,
) -> Result<Option<Hash>, SyncError> {
    let made = made_again(record, row, &read_header(&row.header)?)?;
    let tail = made.and_then(|(entries, _)| Some(entries.last()?.id));
    if tail.is_some() {
        let row = Published {
            tail,
            ..row.clone()
        };
        record.note_published(folder, &row)?;
    }
    Ok(tail)
}

fn make_one(
    record: &Mutex<Record>,
    folder: &str,
    book: BookId,
    entries: &[Entry],
    seen: Vec<(DeviceId, u64, Hash)>,
) -> Result<(u32, Vec<u8>), SyncError> {
    let record = lock(record);
    let number = |entry: Option<&Entry>| entry.map_or(0, |entry| entry.body.n);
    let rows = record.published(folder)?;
    let newest = rows.last();
    let before = rows.iter().rfind(|row| row.book == book);
    let header = Header {
        format: segment::FORMAT,
        device: record.device(),
        no: newest.map_or(1, |row| row.no + 1),
        prev: newest.map_or(Hash::ZERO, |row| row.sha256),
        book,
        book_prev: before.map(|row| BookPrev {
            no: row.no,
            sha256: row.sha256,
        }),
        first: number(entries.first()),
        last: number(entries.last()),
        seen,
    };
    let no = u32::try_from(header.no)
        .ok()
        .filter(|no| *no <= crate::name::LAST_NO);
    let no = no.ok_or_else(|| RecordError::Segment("no number is left for another".into()))?;
    let bytes = segment::encode(&header, entries, record.signer())?;
    let tail = entries.last().map(|entry| entry.id);
    note_made(
        &record,
        folder,
        &header,
        (Hash::of(&bytes), bytes.len()),
        tail,
    )?;
    Ok((no, bytes))
}

fn own_books(record: &Record, crew_book: BookId) -> Result<Vec<BookId>, SyncError> {
    let mut books = record.kept_jobs(crew_book)?;
    if record.crew_books().contains(&crew_book) {
        books.insert(0, crew_book);
    }
    Ok(books)
}

fn of_book(record: &Record, folder: &str, book: BookId) -> Result<Vec<Published>, SyncError> {
    let mut rows = record.published(folder)?;
    rows.retain(|row| row.book == book);
    Ok(rows)
}

/// Heads of the others in this book that no earlier header told.
fn newly_seen(
    record: &mut Record,
    book: BookId,
    rows: &[Published],
) -> Result<Vec<(DeviceId, u64, Hash)>, SyncError> {
    let mut told = BTreeMap::new();
    for row in rows {
        let seen = read_header(&row.header)?.seen;
        told.extend(
            seen.into_iter()
                .map(|(device, n, hash)| (device, (n, hash))),
        );
    }
    let own = record.device();
    let heads = record.view(book)?.heads().iter();
    Ok(heads
        .filter(|(device, head)| **device != own && told.get(device) != Some(head))
        .map(|(device, (n, hash))| (*device, *n, *hash))
        .take(MOST_SEEN)
        .collect())
}

/// Own entries that are in no segment, as chains, where the own chain has branches.
fn uncovered(
    record: &mut Record,
    book: BookId,
    rows: &[Published],
) -> Result<Vec<Vec<Entry>>, SyncError> {
    let mut covered: BTreeSet<Hash> = BTreeSet::new();
    for row in rows {
        let header = read_header(&row.header)?;
        if let Some((entries, _)) = made_again(record, row, &header)? {
            covered.extend(entries.iter().map(|entry| entry.id));
        }
    }
    let device = record.device();
    let view = record.view(book)?;
    let own = view.ids().filter_map(|id| view.entry(id));
    let own = own.filter(|entry| entry.body.device == device && !covered.contains(&entry.id));
    let mut open: Vec<Entry> = own.cloned().collect();
    open.sort_by_key(|entry| (entry.body.n, entry.id));
    let mut chains: Vec<Vec<Entry>> = Vec::new();
    for entry in open {
        let follows =
            |chain: &&mut Vec<Entry>| chain.last().is_some_and(|last| last.id == entry.body.prev);
        match chains.iter_mut().find(follows) {
            Some(chain) => chain.push(entry),
            None => chains.push(vec![entry]),
        }
    }
    Ok(chains)
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
fn bytes_of(record: &Mutex<Record>, folder: &str, no: u32) -> Result<Vec<u8>, SyncError> {
    let mut record = lock(record);
    let rows = record.published(folder)?;
    let row = rows.iter().find(|row| row.no == u64::from(no));
    let row = row.ok_or(RecordError::Unknown {
        what: "segment",
        id: no.to_string(),
    })?;
    let header = read_header(&row.header)?;
    let made = made_again(&mut record, row, &header)?;
    made.map(|(_, bytes)| bytes).ok_or_else(|| {
        let reason = "the record no longer gives the entries that were published in it; `verify` \
                      this device's data, then `rebuild` and exchange again";
        SyncError::permanent("making a piece again", &format!("number {no}"), reason)
    })
}

/// An own segment's entries and bytes, if the record still gives the same bytes.
fn made_again(
    record: &mut Record,
    row: &Published,
    header: &Header,
) -> Result<Option<Made>, SyncError> {
    let mut continued = record.own_after(row.book, row.first.saturating_sub(1))?;
    continued.retain(|entry| entry.body.n <= row.last);
    if let Some(bytes) = same_bytes(record, row, header, &continued) {
        return Ok(Some((continued, bytes)));
    }
    sign_end(record, &mut continued)?;
    if let Some(bytes) = same_bytes(record, row, header, &continued) {
        return Ok(Some((continued, bytes)));
    }
    // The chain that is continued may not be the branch that this segment holds.
    for branch in branches(record, row)? {
        if let Some(bytes) = same_bytes(record, row, header, &branch) {
            return Ok(Some((branch, bytes)));
        }
    }
    Ok(None)
}

fn same_bytes(
    record: &Record,
    row: &Published,
    header: &Header,
    entries: &[Entry],
) -> Option<Vec<u8>> {
    let bytes = segment::encode(header, entries, record.signer()).ok()?;
    (Hash::of(&bytes) == row.sha256).then_some(bytes)
}

/// The own entries `first` to `last` of a row, along every branch that reaches `last`.
fn branches(record: &mut Record, row: &Published) -> Result<Vec<Vec<Entry>>, SyncError> {
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

fn read_header(text: &str) -> Result<Header, SyncError> {
    serde_json::from_str(text).map_err(|e| RecordError::Segment(e.to_string()).into())
}
