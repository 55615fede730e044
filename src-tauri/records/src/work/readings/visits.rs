//! Visits of a wire: whether it was looked at again late enough after it was brought to its set tension,
//! and in which bay it lost most in between.

use super::answer::{Compared, Reading};
use super::force;
use crate::entry::At;

/// Common practice: a recheck comes one to two weeks after a wire was last brought up.
const LEAST_DAYS: i64 = 7;

/// Whether a wire was looked at again at least a week after it was brought to its set tension, by the
/// days that the devices noted; `by_passes`: whether the record holds passes of it.
///
/// One that nobody brought up by the record was there before: whoever looks at it looks again.
pub(super) fn rechecked(at_set: &[At], again: &[At], by_passes: bool) -> bool {
    let Some(again) = again.iter().map(|at| day(*at)).max() else {
        return false;
    };
    match at_set.iter().map(|at| day(*at)).max() {
        Some(left) => again - left >= LEAST_DAYS,
        None => !by_passes,
    }
}

/// Days since 1970 on the clock that stood by.
fn day(at: At) -> i64 {
    (at.ms + i64::from(at.offset_min) * 60_000).div_euclid(86_400_000)
}

/// Of the bays that were read when the wire was left and now, the one in which it lost most.
pub(super) fn compared(
    left: &[&Reading],
    now: &[&Reading],
    at_set: &[&Reading],
) -> Option<Compared> {
    let lowest = |of: &[&Reading], bay: &Reading| -> Option<Reading> {
        let here = of.iter().filter(|r| r.bay_name == bay.bay_name);
        let told = here.filter(|r| r.newtons.is_some());
        let lowest = told.min_by(|a, b| force(a).total_cmp(&force(b)))?;
        Some((*lowest).clone())
    };
    now.iter()
        .filter_map(|now| {
            Some(Compared {
                left: lowest(left, now)?,
                at_set: lowest(at_set, now),
                now: lowest(&[now], now)?,
            })
        })
        .max_by(|a, b| a.lost_n().total_cmp(&b.lost_n()))
}
