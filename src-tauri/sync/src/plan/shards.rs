//! Which folders of a log to list: the newest, older ones with a number missing, and on from there.
//!
//! Invariant: what is done follows from what is there, never from how high a number is: one stray
//! name must not cost a step for each number below it.

use std::collections::BTreeSet;

use super::{KnownLog, SeenSegment};
use crate::name::{numbers_of, shard_of};

/// The newest folder that is known of.
pub(crate) fn newest_shard(known: &KnownLog) -> u32 {
    let taken = known.taken.iter().map(|(no, _)| *no).max();
    let passed = known.passed.keys().copied().max();
    shard_of(taken.max(passed).unwrap_or(0))
}

/// Whether a number is missing in a folder older than the newest.
///
/// A number is missing if its segment is neither taken in nor passed over; one that was passed
/// over for its book is missing again once the book is kept.
pub(crate) fn has_older_gaps(known: &KnownLog, kept: &dyn Fn(&str) -> bool) -> bool {
    let first = *numbers_of(newest_shard(known)).start();
    let there = accounted(known, kept).range(..first).count();
    (there as u64) < u64::from(first - 1)
}

/// Of the folders that are there, those older than the newest in which a number is missing.
pub(crate) fn older_with_gaps(
    known: &KnownLog,
    kept: &dyn Fn(&str) -> bool,
    there: &BTreeSet<u32>,
) -> BTreeSet<u32> {
    let accounted = accounted(known, kept);
    let gap = |shard: &u32| numbers_of(*shard).any(|no| !accounted.contains(&no));
    let older = there.range(..newest_shard(known)).copied();
    older.filter(gap).collect()
}

/// Whether the folder after this one has to be listed too.
///
/// So if this one holds or held its last number, or shows a gap, behind which more may lie.
pub(crate) fn goes_on(
    shard: u32,
    seen: &[SeenSegment],
    known: &KnownLog,
    kept: &dyn Fn(&str) -> bool,
) -> bool {
    let mut there = accounted(known, kept);
    there.extend(seen.iter().map(|segment| segment.name.no));
    let numbers = numbers_of(shard);
    let last = *numbers.end();
    let highest = numbers.clone().filter(|no| there.contains(no)).max();
    highest.is_some_and(|highest| {
        highest == last || (*numbers.start()..highest).any(|no| !there.contains(&no))
    })
}

/// How many numbers of a log are missing, where `there` are all that are accounted for.
///
/// Up to the last one taken in, every number was given: its signed header follows them. Beyond it
/// only names tell of more, and a name proves nothing: there the folders that were listed count.
pub(crate) fn gaps(
    last_taken: u32,
    last_named: u32,
    there: &BTreeSet<u32>,
    listed: &BTreeSet<u32>,
) -> u64 {
    let below = there.range(..last_taken).count() as u64;
    let signed = u64::from(last_taken.saturating_sub(1)).saturating_sub(below);
    let named = listed.iter().flat_map(|shard| numbers_of(*shard));
    let named = named.filter(|no| (last_taken + 1..last_named).contains(no) && !there.contains(no));
    signed + named.count() as u64
}

fn accounted(known: &KnownLog, kept: &dyn Fn(&str) -> bool) -> BTreeSet<u32> {
    let passed = known.passed.iter().filter(|(_, book)| !kept(book));
    let taken = known.taken.iter().map(|(no, _)| *no);
    taken.chain(passed.map(|(no, _)| *no)).collect()
}
