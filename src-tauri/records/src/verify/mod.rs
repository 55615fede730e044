//! Looking a data folder over: journal, chain, signatures, index and objects.
//!
//! Invariant: nothing in the folder is changed, and the first fault is named with its kind, its
//! place and what to do. Everything is read anew from the files; what the open record keeps in
//! memory is never taken for proof. It repairs nothing: that is opening's and rebuilding's matter.

mod books;
mod fault;
mod journal;
mod moment;
mod objects;

use std::ops::ControlFlow;
use std::path::Path;

use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use crate::book::Why;
use crate::heads::NotHere;
use crate::ids::{BookId, DeviceId, Hash};

pub use fault::{Fault, FaultKind};
pub use moment::{Moment, moment_of};

/// What was found in order, and what is here without counting.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[ts(rename = "DataLookedOver")]
#[schemars(rename = "DataLookedOver")]
pub struct Summary {
    /// Files of the journal.
    pub journal_files: u64,
    /// Entries in them.
    pub entries: u64,
    /// Crews whose books are here.
    pub crews: u64,
    /// Jobs whose books are here.
    pub jobs: u64,
    /// Entries whose own signature was checked and is right; the others are proven by a later one.
    pub signatures: u64,
    /// Entries that do not count, with the reason.
    pub not_counting: Vec<NotCounting>,
    /// How the index stands.
    pub index: IndexStands,
    /// What others saw of devices of the crew and is not here, or is another here.
    pub not_here: Vec<NotHere>,
    /// Pictures and documents whose bytes were checked.
    pub objects: u64,
    /// Their bytes.
    pub object_bytes: u64,
    /// Objects that entries of others vouch for and that have not arrived.
    pub awaited: u64,
    /// Files among the objects that are none of ours, or were set aside as damaged.
    pub strange: u64,
    /// Notes on what was set aside.
    pub aside: u64,
    /// Lines of the journal that are no entries any more, where all that was in them is here in
    /// other lines: damage that was mended.
    pub mended: u64,
}

/// An entry that is kept and does not count.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct NotCounting {
    /// Its book.
    pub book: BookId,
    /// Its device.
    pub device: DeviceId,
    /// Its number.
    pub n: u64,
    /// Its id.
    pub entry: Hash,
    /// Why, in words.
    pub why: String,
}

/// How the index stands to the journal.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum IndexStands {
    /// It tells what the journal tells.
    #[default]
    Same,
    /// It tells the same as far as it goes; opening the folder takes in the rest.
    Behind,
    /// There is none; opening the folder makes it anew.
    None,
}

/// How far the work is: a step in words, how many are done, how many there are.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Progress {
    /// What is looked at.
    pub what: &'static str,
    /// Done.
    pub done: usize,
    /// Of how many.
    pub of: usize,
}

/// Told of progress; may end the work.
pub type OnProgress<'a> = dyn Fn(Progress) -> ControlFlow<()> + 'a;

/// Looks a data folder over as it stood at a moment.
///
/// # Errors
/// The first [`Fault`].
pub fn verify(dir: &Path, at: &Moment, on: &OnProgress<'_>) -> Result<Summary, Fault> {
    let read = journal::read(&dir.join("journal"), at, on)?;
    let first = read.no_entries.first().map(|(_, fault)| fault.clone());
    // Of what the index has not seen, nothing tells whether an entry stood there.
    let unseen = read
        .no_entries
        .iter()
        .any(|(at_line, _)| !at.index_saw(*at_line));
    let summary = match look(dir, at, &read, on) {
        // What a line held that is none any more is what is missing elsewhere.
        Err(fault) if fault.kind != FaultKind::Cancelled => Err(first.unwrap_or(fault)),
        Ok(summary) if unseen || is_missing_something(&summary) => first.map_or(Ok(summary), Err),
        other => other,
    }?;
    at.key.clone().map_or(Ok(summary), Err)
}

fn look(
    dir: &Path,
    at: &Moment,
    read: &journal::Journal,
    on: &OnProgress<'_>,
) -> Result<Summary, Fault> {
    let mut summary = Summary {
        journal_files: read.files,
        entries: read.entries.len() as u64,
        aside: moment::aside_notes(dir),
        mended: read.no_entries.len() as u64,
        ..Summary::default()
    };
    moment::places_agree(at, &read.entries)?;
    let books = books::of(&read.entries, &at.known, on)?;
    books.prove(at.known.own, &read.entries, &mut summary)?;
    books.ends_are_here(&at.known, &mut summary)?;
    books.chains_are_whole(&at.known, &read.entries)?;
    summary.index = moment::index_agrees(at, &read.entries, &books, on)?;
    objects::check(dir, at.known.own, &books, &mut summary, on)?;
    Ok(summary)
}

/// Whether a chain has a gap, or an end that somebody saw is not here.
fn is_missing_something(summary: &Summary) -> bool {
    let gap = |one: &NotCounting| {
        one.why == Why::EarlierMissing.words() || one.why == Why::NotProven.words()
    };
    !summary.not_here.is_empty() || summary.not_counting.iter().any(gap)
}

fn tell(on: &OnProgress<'_>, what: &'static str, done: usize, of: usize) -> Result<(), Fault> {
    match on(Progress { what, done, of }) {
        ControlFlow::Continue(()) => Ok(()),
        ControlFlow::Break(()) => Err(Fault::new(
            FaultKind::Cancelled,
            what,
            "ended before it was done",
            "begin it again; nothing was changed",
        )),
    }
}
