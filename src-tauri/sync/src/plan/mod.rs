//! What to fetch and what to publish, from what is known and what was seen.
//!
//! Pure: the same input gives the same plan, and nothing is read or written here. Invariant: a
//! plan names nothing that is already where it should be, so a second exchange with nothing new
//! has an empty plan.

mod objects;
mod shards;

#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use crate::name::{MOST_REPAIRS, SegmentName, shard_of};
use crate::others::Others;

pub use objects::{KnownObject, ObjectPlan, ObjectRole, SeenObjects, plan_objects};
pub(crate) use shards::{gaps, goes_on, has_older_gaps, newest_shard, older_with_gaps};

/// The largest segment that is ever read or written, in bytes.
pub const MAX_SEGMENT: u64 = 1 << 20;
/// The largest picture or document that is ever read or moved, in bytes.
pub const MAX_OBJECT: u64 = 256 << 20;

/// Of one device's log: what this device has taken in or passed over.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct KnownLog {
    /// Segments whose content is in the record: number and first 32 hex digits of the hash.
    pub taken: BTreeSet<(u32, String)>,
    /// Segments passed over by name, with their books.
    pub passed: BTreeMap<u32, String>,
}

/// Of one device's log: what the folder shows.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SeenLog {
    /// Everything that looks like a segment of this device.
    pub segments: Vec<SeenSegment>,
    /// Folders that were listed; of the others nothing is known.
    pub listed: BTreeSet<u32>,
    /// Names that are no segment's.
    pub others: Others,
    /// Where a folder, a link or a device stands: nothing can be written there.
    pub in_the_way: BTreeSet<String>,
    /// Whether a listing was too long to be read whole.
    pub cut: bool,
}

/// A file that looks like a segment.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SeenSegment {
    /// What its name says, or for a changed copy, the name that it is a copy of.
    pub name: SegmentName,
    /// Where it is.
    pub path: String,
    /// Its size.
    pub bytes: u64,
}

/// A segment to read: the first of these files whose content is right counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fetch {
    /// The name whose content is looked for.
    pub name: SegmentName,
    /// Where it may be, the proper place first.
    pub paths: Vec<String>,
}

/// What to do about one log.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct LogPlan {
    /// Segments to read, in the order of their numbers.
    pub fetch: Vec<Fetch>,
    /// Segments of books that are not kept.
    pub pass: BTreeSet<SegmentName>,
    /// Files that can't be a segment for their size: path and bytes.
    pub oversized: Vec<(String, u64)>,
    /// Segments with no byte in them yet.
    pub empty: Vec<SegmentName>,
}

/// Plans one device's log: everything of the wanted books that is not taken in yet.
///
/// `wanted` are the books to fetch now, `kept` those to fetch now or later in this exchange; all
/// others are passed over.
#[must_use]
pub fn plan_log(
    known: &KnownLog,
    seen: &SeenLog,
    wanted: &dyn Fn(&str) -> bool,
    kept: &dyn Fn(&str) -> bool,
) -> LogPlan {
    let mut plan = LogPlan::default();
    let mut found: BTreeMap<&SegmentName, Vec<&SeenSegment>> = BTreeMap::new();
    for segment in &seen.segments {
        found.entry(&segment.name).or_default().push(segment);
    }
    for (name, files) in found {
        if known.taken.contains(&(name.no, name.hash.clone())) {
            continue;
        }
        if !kept(&name.book) {
            // A file without a byte is no segment yet, whatever its name says.
            if files.iter().any(|file| file.bytes > 0) {
                plan.pass.insert(name.clone());
            } else {
                plan.empty.push(name.clone());
            }
            continue;
        }
        if !wanted(&name.book) {
            continue;
        }
        let (fits, too_large): (Vec<_>, Vec<_>) = files
            .into_iter()
            .partition(|file| file.bytes <= MAX_SEGMENT);
        plan.oversized.extend(
            too_large
                .into_iter()
                .map(|file| (file.path.clone(), file.bytes)),
        );
        let proper = name.path();
        let mut paths: Vec<String> = fits
            .iter()
            .filter(|file| file.bytes > 0)
            .map(|file| file.path.clone())
            .collect();
        paths.sort_by_key(|path| (*path != proper, path.clone()));
        paths.dedup();
        if !paths.is_empty() {
            let name = name.clone();
            plan.fetch.push(Fetch { name, paths });
        } else if !fits.is_empty() {
            plan.empty.push(name.clone());
        }
    }
    plan
}

/// A segment that this device made.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct MadeSegment {
    /// Its name.
    pub name: SegmentName,
    /// Its size where that is known without making it again.
    pub bytes: Option<u64>,
}

/// A file to write, and whether damage under its proper name is the reason.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Publish<T> {
    /// What.
    pub what: T,
    /// Where to.
    pub path: String,
    /// Whether a damaged file stands under the proper name and stays there.
    pub repair: bool,
}

/// Which of the segments made here are missing in the folder, in the order of their numbers.
///
/// Says nothing of those whose folder was not listed.
/// One that has another length there, or is among the paths that were read and found `wrong`, is
/// damaged. It is left alone, and the whole one is written beside it under a name that readers try
/// as well; so it is where a folder or a link has its name.
#[must_use]
pub fn plan_publish(
    made: &[MadeSegment],
    seen: &SeenLog,
    wrong: &BTreeSet<String>,
) -> Vec<Publish<SegmentName>> {
    let mut sorted: Vec<&MadeSegment> = made.iter().collect();
    sorted.sort();
    sorted.dedup();
    let files: BTreeMap<&str, u64> = seen
        .segments
        .iter()
        .map(|file| (file.path.as_str(), file.bytes))
        .collect();
    let mut plan = Vec::new();
    for MadeSegment { name, bytes } in sorted {
        if !seen.listed.contains(&shard_of(name.no)) {
            continue;
        }
        let whole = |path: &str| {
            let there = files.get(path);
            let length = there.is_some_and(|there| bytes.is_none_or(|bytes| bytes == *there));
            length && !wrong.contains(path)
        };
        let repairs = || (2..=MOST_REPAIRS).map(|copy| name.repair_path(copy));
        let proper = name.path();
        if !whole(&proper) && !repairs().any(|path| whole(&path)) {
            let taken = |path: &str| files.contains_key(path) || seen.in_the_way.contains(path);
            let place = free_place(proper, repairs(), &taken);
            plan.push(Publish {
                what: name.clone(),
                repair: place.1,
                path: place.0,
            });
        }
    }
    plan
}

/// The first name that is free, and whether it is not the proper one; the last where none is.
fn free_place(
    proper: String,
    repairs: impl Iterator<Item = String>,
    taken: &dyn Fn(&str) -> bool,
) -> (String, bool) {
    if !taken(&proper) {
        return (proper, false);
    }
    let mut last = proper;
    for path in repairs {
        last = path;
        if !taken(&last) {
            break;
        }
    }
    (last, true)
}
