//! Looking a shared folder over: cards, segments, entries, pictures.
//!
//! Invariant: only reads; the first fault is named with its kind, its path and what to do. Strange
//! files are counted and never opened, links never followed. Of devices that the crew has not
//! admitted only names are read, and cards in the search for the founder. What an entry means is the record's matter.

mod entries;
mod log;
mod members;
mod objects;

use std::collections::BTreeSet;
use std::ops::ControlFlow;
use std::sync::Mutex;

use records::Record;
use records::heads::Head;
use records::ids::{BookId, DeviceId, Hash};
use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use crate::error::SyncError;
use crate::exchange::Progress;
use crate::founding::read_founding;
use crate::join;
use crate::local::{self, lock};
use crate::look::{count_strangers, look_devices, look_top};
use crate::name::{self, SegmentName};
use crate::others::Others;
use crate::store::{SharedStore, list_or_empty};

/// What was found in order, and what is there without being checked.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[ts(rename = "SharedLookedOver")]
#[schemars(rename = "SharedLookedOver")]
pub struct Verified {
    /// Devices of the crew whose logs were read.
    pub devices: u64,
    /// Segments whose header, number, chain and lines are right.
    pub segments: u64,
    /// Entries in them.
    pub entries: u64,
    /// Books that they belong to, the crew's own among them.
    pub books: u64,
    /// Entries that do not count, with the reason.
    pub not_counting: Vec<String>,
    /// Segments written by a newer version, of which only name and bytes were checked.
    pub newer: u64,
    /// Damaged segments, pictures and documents whose content lies whole in a second file.
    pub repaired: u64,
    /// Devices with two branches under the same numbers; both count.
    pub forked: Vec<DeviceId>,
    /// Pictures and documents whose bytes are right.
    pub objects: u64,
    /// Their bytes.
    pub object_bytes: u64,
    /// Pictures and documents that entries vouch for and that have not arrived.
    pub awaited: u64,
    /// Pictures and documents that no entry vouches for.
    pub unvouched: u64,
    /// Devices that were not admitted, and how many segments they have there.
    pub strangers: u64,
    /// Segments of those devices, none of them read.
    pub strangers_segments: u64,
    /// Files and folders that are none of ours; left alone.
    #[serde(flatten)]
    pub others: Others,
    /// Files that are still being written.
    pub unfinished: u64,
}

/// What kind of fault it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "camelCase")]
pub enum FolderFaultKind {
    /// The folder or a file in it can't be read.
    Unreadable,
    /// The file that says whose folder this is, is missing, damaged or another crew's.
    Founding,
    /// The card of a device of the crew is missing or not signed by it.
    Card,
    /// A number of a log is missing.
    Gap,
    /// A segment is cut.
    Cut,
    /// A segment's bytes are not those of its name.
    Damaged,
    /// A segment's header is not signed by its device, or is none.
    Header,
    /// A segment does not follow the one before it.
    Chain,
    /// A line of a segment is no entry of it.
    Entry,
    /// No signature proves an entry.
    Signature,
    /// An entry that another device has seen is not there.
    SeenMissing,
    /// A picture or document no longer has its bytes.
    ObjectDamaged,
    /// A picture or document is not as long as its entry says.
    ObjectLength,
    /// A picture or document that lay in the folder is gone.
    ObjectMissing,
    /// Someone ended the work.
    Cancelled,
}

/// The first fault that was found.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, thiserror::Error)]
#[error("{path}: {what}; {advice}")]
#[serde(rename_all = "camelCase")]
pub struct FolderFault {
    /// Its kind.
    pub kind: FolderFaultKind,
    /// Where, inside the shared folder.
    pub path: String,
    /// What is wrong.
    pub what: String,
    /// What to do.
    pub advice: String,
}

/// Told of progress; may end the work.
pub type OnProgress<'a> = dyn Fn(Progress) -> ControlFlow<()> + 'a;

/// What this device knows of a folder's crew.
#[derive(Clone, Debug)]
pub struct Known {
    /// The founding entry that it founded or confirmed.
    pub founding: Hash,
    /// The device that founded the crew, where that has come here.
    pub founder: Option<DeviceId>,
    /// Heads that must lie in the folder.
    pub heads: Vec<Head>,
    /// Segments that it made or took in: device, number, first 32 hex digits of the hash.
    pub segments: BTreeSet<(String, u32, String)>,
    /// Pictures and documents that it saw whole in the folder.
    pub objects: BTreeSet<Hash>,
}

impl Known {
    /// Only the founding entry is known.
    #[must_use]
    pub fn founding(founding: Hash) -> Self {
        Self {
            founding,
            founder: None,
            heads: Vec::new(),
            segments: BTreeSet::new(),
            objects: BTreeSet::new(),
        }
    }

    /// Whether this device made or took in a segment of this name.
    fn has(&self, name: &SegmentName) -> bool {
        let noted = (name.device.clone(), name.no, name.hash.clone());
        self.segments.contains(&noted)
    }
}

/// What this device knows of a folder's crew, if it founded it, belongs to it or confirmed it.
///
/// Errors: `NotShared`, `NotConfirmed`, `OtherCrew`, `Newer`; those of the store and the record.
pub fn known(store: &dyn SharedStore, record: &Mutex<Record>) -> Result<Known, SyncError> {
    let founding = join::confirmed(store, record)?;
    let book: BookId = founding.book.parse()?;
    let mut segments = BTreeSet::new();
    let members = local::crew(record, book, false)?.members;
    for device in members.keys() {
        let log = local::known_log(record, &founding.folder, device)?;
        let named = log.taken.into_iter();
        segments.extend(named.map(|(no, start)| (device.to_string(), no, start)));
    }
    let made = local::made(record, &founding.folder)?.into_iter();
    segments.extend(made.map(|made| (made.name.device, made.name.no, made.name.hash)));
    let record = lock(record);
    let objects = record.objects_shared(&founding.folder)?;
    Ok(Known {
        founding: founding.founding.parse()?,
        founder: record.crew(book).founder,
        heads: record.heads_shared(book)?,
        segments,
        objects: objects
            .iter()
            .filter_map(|hash| hash.parse().ok())
            .collect(),
    })
}

/// Looks a shared folder over against what this device knows of its crew ([`known`]).
///
/// # Errors
/// The first [`FolderFault`].
pub fn verify(
    store: &dyn SharedStore,
    known: &Known,
    on: &OnProgress<'_>,
) -> Result<Verified, FolderFault> {
    let founding = read_founding(store).map_err(|error| of_founding(&error))?;
    if founding.founding != known.founding.to_string() {
        return Err(of_founding(&SyncError::OtherCrew));
    }
    let crew_book: BookId = founding
        .book
        .parse()
        .map_err(|_| of_founding(&SyncError::OtherCrew))?;
    let mut found = Verified::default();
    let devices = look_devices(store).map_err(|error| unreadable(name::DEVICES, &error))?;
    found.others = look_top(store).map_err(|error| unreadable("", &error))?;
    found.others.join(devices.others.clone());
    let crew = members::read(store, crew_book, known, &devices, &mut found, on)?;
    let books = entries::check(crew_book, &crew, &known.heads, &mut found)?;
    objects::check(store, &books, known, &mut found, on)?;
    let admitted = |text: &str| crew.members.keys().any(|device| device.to_string() == text);
    let strangers = count_strangers(store, &devices, &admitted)
        .map_err(|error| unreadable(name::LOG, &error))?;
    found.strangers = strangers.len() as u64;
    found.strangers_segments = strangers.values().sum();
    let drafts = list_or_empty(store, name::TMP).map_err(|error| unreadable(name::TMP, &error))?;
    found.unfinished = drafts.files.len() as u64;
    found.others.add_all(name::TMP, drafts.no_files());
    Ok(found)
}

fn fault(
    kind: FolderFaultKind,
    path: &str,
    what: impl Into<String>,
    advice: impl Into<String>,
) -> FolderFault {
    FolderFault {
        kind,
        path: records::photos::visible(path, 400),
        what: what.into(),
        advice: advice.into(),
    }
}

/// Advice where the maker of a file can write it again.
const MAKER: &str = "nothing is lost while its device has it: exchange from that device with \
                     everything looked over (`sync --everything`, or that button on its page of \
                     the shared folder), and a whole file is written beside this one; where that \
                     device writes none, this is nobody's file: move it away";

/// Advice where nothing in the crew's books tells of a file.
const NOBODYS: &str = "no entry here tells of it: unless somebody's entries are still on their way, it \
                       is nobody's file; move it away";

fn unreadable(path: &str, error: &SyncError) -> FolderFault {
    let advice = "check that the folder is connected and may be read, then verify again";
    fault(FolderFaultKind::Unreadable, path, error.to_string(), advice)
}

fn of_founding(error: &SyncError) -> FolderFault {
    let advice = "name the right folder; if it is the right one, ask who set it up";
    fault(
        FolderFaultKind::Founding,
        name::FOUNDING,
        error.to_string(),
        advice,
    )
}

fn tell(
    on: &OnProgress<'_>,
    what: &'static str,
    done: usize,
    of: usize,
) -> Result<(), FolderFault> {
    match on(Progress {
        what,
        done: done as u64,
        of: of as u64,
    }) {
        ControlFlow::Continue(()) => Ok(()),
        ControlFlow::Break(()) => Err(fault(
            FolderFaultKind::Cancelled,
            "",
            "ended before it was done",
            "begin it again; nothing was changed",
        )),
    }
}
