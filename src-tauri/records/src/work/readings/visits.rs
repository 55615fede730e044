//! Visits of a wire: whether it was looked at again late enough after it was brought to its set tension,
//! and in which bay it lost most in between.

use super::answer::{Compared, Reading};
use super::force;
use super::standing::Taken;
use crate::entry::At;

/// Common practice: a recheck comes one to two weeks after a wire was last brought up.
const LEAST_DAYS: i64 = 7;
/// Readings of one bay that lie closer than this are of one visit: half a day.
pub(super) const VISIT_MS: i64 = 12 * 3_600_000;

/// When a wire was brought to its set tension and when it was looked at, by the clocks that stood by.
#[derive(Default)]
pub(super) struct Visits {
    pub(super) at_set: Vec<At>,
    pub(super) looked: Vec<At>,
    /// Whether the record holds passes of it.
    pub(super) by_passes: bool,
}

impl Visits {
    /// When it was last brought to its set tension before it was looked at: of one that was brought up
    /// by the record and never read so, when it was looked at first.
    pub(super) fn left(&self) -> Option<At> {
        let newest = self.again();
        let before = |at: &&At| newest.is_none_or(|newest| day(**at) <= day(newest));
        let left = self.at_set.iter().filter(before).max_by_key(|at| at.ms);
        let first = self.looked.iter().min_by_key(|at| at.ms);
        left.or(first.filter(|_| self.by_passes)).copied()
    }

    /// When it was looked at last.
    pub(super) fn again(&self) -> Option<At> {
        self.looked.iter().max_by_key(|at| at.ms).copied()
    }

    /// Whether it was looked at again at least a week after it was brought to its set tension, by the
    /// days that the devices noted.
    ///
    /// One that nobody brought up by the record was there before: whoever looks at it looks again.
    pub(super) fn rechecked(&self) -> bool {
        let Some(again) = self.again() else {
            return false;
        };
        let late = |left: At| day(again) - day(left) >= LEAST_DAYS;
        self.left().is_none_or(late)
    }
}

/// Days since 1970 on the clock that stood by.
fn day(at: At) -> i64 {
    (at.ms + i64::from(at.offset_min) * 60_000).div_euclid(86_400_000)
}

/// The bay in which a wire lost most since it was left there: from the visit before, else from its set
/// tension, to what it shows now (`now`, of all that was read when it was `looked` at).
pub(super) fn compared(
    at_set: &[&Taken<'_>],
    looked: &[&Taken<'_>],
    now: &[&Taken<'_>],
) -> Option<Compared> {
    let of_bay = |now: &&Taken<'_>| {
        let told = |t: &&&Taken<'_>| t.bay == now.bay && t.reading.newtons.is_some();
        let before = |t: &&&Taken<'_>| t.reading.at_ms <= now.reading.at_ms - VISIT_MS;
        let visits = looked.iter().filter(told).filter(before);
        let visit = visits.max_by_key(|t| t.reading.at_ms);
        let of_set = at_set.iter().filter(told);
        let of_set = of_set.min_by(|a, b| force(&a.reading).total_cmp(&force(&b.reading)));
        now.reading.newtons?;
        // Its first reading of the visit: those after it may be of wires beside it that were turned.
        let of_visit = |t: &&&Taken<'_>| !before(t) && t.reading.at_ms <= now.reading.at_ms;
        let first = looked.iter().filter(told).filter(of_visit);
        let first = first.min_by_key(|t| t.reading.at_ms);
        let found = first.filter(|t| force(&t.reading) < force(&now.reading));
        let reading = |t: &&Taken<'_>| -> Reading { t.reading.clone() };
        Some(Compared {
            left: visit.or(of_set).map(reading)?,
            at_set: of_set.map(reading),
            now: now.reading.clone(),
            found: found.map(reading),
        })
    };
    // What an earlier visit found in another bay is nothing that was seen now.
    let newest = now
        .iter()
        .map(|t| t.reading.at_ms)
        .max()
        .unwrap_or_default();
    let now = now.iter().filter(|t| t.reading.at_ms > newest - VISIT_MS);
    let all = now.filter_map(of_bay);
    all.max_by(|a, b| a.lost_n().total_cmp(&b.lost_n()))
}
