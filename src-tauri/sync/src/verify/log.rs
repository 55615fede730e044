//! One device's log: numbers without gaps, each segment signed, whole, and following the one before.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use records::RecordError;
use records::entry::Entry;
use records::ids::{BookId, DeviceId, Hash};
use records::keys::PublicKey;
use records::segment::{self, BookPrev, Header, Segment};

use super::{FolderFault, FolderFaultKind, Known, MAKER, Verified, fault, unreadable};
use crate::founder::of_book;
use crate::look::{Depth, look_log};
use crate::name::{SegmentName, log_folder, shard_folder, shard_of};
use crate::plan::{KnownLog, MAX_SEGMENT, SeenLog, SeenSegment};
use crate::store::SharedStore;

/// What a log holds, all of it checked.
#[derive(Debug, Default)]
pub(super) struct Log {
    books: BTreeMap<BookId, Vec<Arc<Entry>>>,
    pub(super) seen: Vec<Seen>,
    /// Whether a piece of a newer version was passed over.
    pub(super) newer: bool,
}

/// A head that a header says its device has seen.
#[derive(Debug)]
pub(super) struct Seen {
    pub(super) book: BookId,
    pub(super) device: DeviceId,
    pub(super) n: u64,
    pub(super) hash: Hash,
}

impl Log {
    pub(super) fn entries(&self, book: BookId) -> impl Iterator<Item = Arc<Entry>> + '_ {
        self.books.get(&book).into_iter().flatten().map(Arc::clone)
    }

    pub(super) fn books(&self) -> impl Iterator<Item = BookId> + '_ {
        self.books.keys().copied()
    }
}

/// Last segment of each book, as it stands after one segment.
type Lasts = BTreeMap<BookId, BookPrev>;

/// The files of a log by number and name.
type Named = BTreeMap<u32, BTreeMap<SegmentName, Vec<SeenSegment>>>;

/// Names whose files are all too large for a segment, and of which neither this device's notes nor
/// the header of a next segment tells: anybody may have made them up, and nothing is missing.
fn nobodys(
    store: &dyn SharedStore,
    key: &PublicKey,
    by_number: &Named,
    known: &Known,
) -> BTreeSet<SegmentName> {
    let mut found = BTreeSet::new();
    for (no, names) in by_number {
        let told = |name: &SegmentName| {
            let next = by_number.get(&(no + 1)).into_iter().flatten();
            let files = next.flat_map(|(_, files)| files);
            let mut headers = files
                .filter(|file| file.bytes <= MAX_SEGMENT)
                .filter_map(|file| store.get(&file.path, MAX_SEGMENT).ok())
                .filter_map(|bytes| Some(segment::read(&bytes, key).ok()?.header));
            known.has(name) || headers.any(|header| header.prev.short() == name.hash)
        };
        let too_large = |files: &Vec<SeenSegment>| files.iter().all(|f| f.bytes > MAX_SEGMENT);
        let names = names.iter().filter(|(_, files)| too_large(files));
        let names = names.filter(|(name, _)| !told(name));
        found.extend(names.map(|(name, _)| name.clone()));
    }
    found
}

/// Reads and checks a whole log.
pub(super) fn read_log(
    store: &dyn SharedStore,
    device: DeviceId,
    key: &PublicKey,
    known: &Known,
    found: &mut Verified,
) -> Result<Log, FolderFault> {
    let text = device.to_string();
    let seen = look(store, &text)?;
    found.others.join(seen.others);
    let is_piece = |path: &&String| {
        let file = path.rsplit('/').next().unwrap_or_default();
        SegmentName::parse(&text, file).is_some()
    };
    if let Some(path) = seen.in_the_way.iter().find(is_piece) {
        let what = "a link or a folder stands here in place of a piece of the log";
        let advice = "move it away, then exchange from its device with everything looked over";
        return Err(fault(FolderFaultKind::Damaged, path, what, advice));
    }
    let mut by_number = Named::new();
    for segment in seen.segments {
        let names = by_number.entry(segment.name.no).or_default();
        names.entry(segment.name.clone()).or_default().push(segment);
    }
    let mut log = Log::default();
    let mut before: BTreeMap<Hash, Lasts> = BTreeMap::from([(Hash::ZERO, Lasts::new())]);
    let nobodys = nobodys(store, key, &by_number, known);
    for names in by_number.values_mut() {
        names.retain(|name, _| !nobodys.contains(name));
    }
    by_number.retain(|_, names| !names.is_empty());
    for name in nobodys {
        let folder = shard_folder(&text, shard_of(name.no));
        found.others.add(&folder, &name.file());
    }
    for (expected, (no, names)) in (1..).zip(by_number) {
        if no != expected {
            let what = format!("number {expected} of this log is not here, but {no} is");
            return Err(fault(FolderFaultKind::Gap, &log_folder(&text), what, MAKER));
        }
        let mut after = BTreeMap::new();
        let branches = names.len();
        for (name, files) in names {
            let (path, bytes) = whole(store, &name, files, found)?;
            let sha256 = Hash::of(&bytes);
            let lasts = match segment::read(&bytes, key) {
                Ok(read) => {
                    let lasts = follows(&path, &name, &read.header, &before)?;
                    take(&mut log, &path, &read.header, &read.lines)?;
                    found.segments += 1;
                    found.entries += read.lines.len() as u64;
                    lasts
                }
                Err(RecordError::SegmentNewer(_)) => {
                    found.newer += 1;
                    log.newer = true;
                    // What it follows is not known; any branch before it may be the one.
                    before.values().next_back().cloned().unwrap_or_default()
                }
                Err(error) => return Err(of_header(&path, &error)),
            };
            let mut lasts = lasts;
            if let Ok(book) = name.book.parse() {
                lasts.insert(
                    book,
                    BookPrev {
                        no: u64::from(no),
                        sha256,
                    },
                );
            }
            after.insert(sha256, lasts);
        }
        if branches > 1 && !found.forked.contains(&device) {
            found.forked.push(device);
        }
        before = after;
    }
    Ok(log)
}

/// The first segments of a book in a log: all under the lowest number at which one is whole.
///
/// Errors: the first fault, where none is whole.
pub(super) fn first_of(
    store: &dyn SharedStore,
    device: &DeviceId,
    key: &PublicKey,
    book: BookId,
) -> Result<Vec<Segment>, FolderFault> {
    let seen = look(store, &device.to_string())?;
    let (mut counted, mut first) = (Verified::default(), None);
    let mut found: Vec<Segment> = Vec::new();
    for (name, files) in of_book(seen, &book.to_string()) {
        let no = u64::from(name.no);
        if found.first().is_some_and(|first| first.header.no < no) {
            break;
        }
        let read = whole(store, &name, files, &mut counted).and_then(|(path, bytes)| {
            segment::read(&bytes, key).map_err(|error| of_header(&path, &error))
        });
        match read {
            Ok(segment) => found.push(segment),
            Err(fault) => first = first.or(Some(fault)),
        }
    }
    match first {
        Some(fault) if found.is_empty() => Err(fault),
        _ => Ok(found),
    }
}

fn look(store: &dyn SharedStore, device: &str) -> Result<SeenLog, FolderFault> {
    let (known, also) = (KnownLog::default(), BTreeSet::new());
    look_log(store, device, &known, &|_| true, Depth::Everything, also)
        .map_err(|error| unreadable(&log_folder(device), &error))
}

/// The bytes that a name promises, from the first file that has them.
fn whole(
    store: &dyn SharedStore,
    name: &SegmentName,
    mut files: Vec<SeenSegment>,
    found: &mut Verified,
) -> Result<(String, Vec<u8>), FolderFault> {
    let proper = name.path();
    files.sort_by_key(|file| (file.path != proper, file.path.clone()));
    let mut first = None;
    for file in files {
        let problem = if file.bytes > MAX_SEGMENT {
            let what = format!("{} bytes; no segment is that large", file.bytes);
            fault(FolderFaultKind::Damaged, &file.path, what, MAKER)
        } else {
            let bytes = store
                .get(&file.path, MAX_SEGMENT)
                .map_err(|error| unreadable(&file.path, &error))?;
            if Hash::of(&bytes).short() == name.hash {
                found.repaired += u64::from(first.is_some());
                return Ok((file.path, bytes));
            }
            of_bytes(&file.path, &bytes)
        };
        first = first.or(Some(problem));
    }
    Err(first.unwrap_or_else(|| fault(FolderFaultKind::Gap, &proper, "it is not here", MAKER)))
}

fn of_bytes(path: &str, bytes: &[u8]) -> FolderFault {
    if bytes.ends_with(b"\n") {
        let what = "its bytes are not those of its name: it was cut at a line or changed";
        return fault(FolderFaultKind::Damaged, path, what, MAKER);
    }
    let what = format!(
        "it is cut after {} bytes, or not all of it has arrived",
        bytes.len()
    );
    fault(FolderFaultKind::Cut, path, what, MAKER)
}

fn of_header(path: &str, error: &RecordError) -> FolderFault {
    let advice = "it was not made by this device's program: move it away and ask who put it there";
    fault(FolderFaultKind::Header, path, error.to_string(), advice)
}

/// Holds a header to its name, to the segment before it, and to the last one of its book.
fn follows(
    path: &str,
    name: &SegmentName,
    header: &Header,
    before: &BTreeMap<Hash, Lasts>,
) -> Result<Lasts, FolderFault> {
    let chain = |what: String| Err(fault(FolderFaultKind::Chain, path, what, MAKER));
    if header.no != u64::from(name.no) || header.book.to_string() != name.book {
        return chain("its header tells of another number or book than its name".into());
    }
    let Some(lasts) = before.get(&header.prev) else {
        return chain(format!(
            "its header follows the segment {}, which is not the one before it",
            header.prev.short()
        ));
    };
    if lasts.get(&header.book) != header.book_prev.as_ref() {
        return chain(
            "its header names another segment of this book before it than there is".into(),
        );
    }
    Ok(lasts.clone())
}

fn take(log: &mut Log, path: &str, header: &Header, lines: &[Vec<u8>]) -> Result<(), FolderFault> {
    for (n, line) in (header.first..).zip(lines) {
        // That they are those of the header was seen as the segment was read.
        let entry = Entry::parse(line).map_err(|error| {
            let what = format!("entry {n} in it: {error}");
            fault(FolderFaultKind::Entry, path, what, MAKER)
        })?;
        log.books
            .entry(header.book)
            .or_default()
            .push(Arc::new(entry));
    }
    log.seen
        .extend(header.seen.iter().map(|(device, n, hash)| Seen {
            book: header.book,
            device: *device,
            n: *n,
            hash: *hash,
        }));
    Ok(())
}
