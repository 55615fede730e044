//! Which folders of a log to list: the newest, older ones with a number missing, and on from there.

use std::collections::BTreeSet;

use super::{KnownLog, SeenSegment};
use crate::name::{numbers_of, shard_of};

/// The folders to list for certain: every older one with a number missing, and the newest.
///
/// A number is missing if its segment is neither taken in nor passed over; one that was passed
/// over for its book is missing again once the book is kept.
pub(crate) fn shards_to_list(known: &KnownLog, kept: &dyn Fn(&str) -> bool) -> BTreeSet<u32> {
    let accounted = accounted(known, kept);
    let last = known
        .taken
        .iter()
        .map(|(no, _)| *no)
        .chain(known.passed.keys().copied())
        .max()
        .unwrap_or(0);
    let newest = shard_of(last);
    let mut list: BTreeSet<u32> = (0..newest)
        .filter(|shard| numbers_of(*shard).any(|no| !accounted.contains(&no)))
        .collect();
    list.insert(newest);
    list
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

fn accounted(known: &KnownLog, kept: &dyn Fn(&str) -> bool) -> BTreeSet<u32> {
    let passed = known.passed.iter().filter(|(_, book)| !kept(book));
    let taken = known.taken.iter().map(|(no, _)| *no);
    taken.chain(passed.map(|(no, _)| *no)).collect()
}
