//! The lowest floor between two posts, where it lies below the line from one to the other.
//!
//! Wires are straight between posts, so a template that follows the floor at the posts still leaves
//! a wider gap over a low spot. Where it is not told how far along the bay the spot lies, the line
//! is taken as high as at the higher of its two posts: the widest gap that there can be.

use mechanics::Millimetres;

use super::convert::{mm, nm};
use crate::job::{Bay, PostInRun, Run};
use crate::subject::Subject;

/// A low spot of a run.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LowPoint {
    /// "low spot of bay A2–A3".
    pub(super) label: String,
    /// The bay.
    pub(super) subject: Subject,
    /// Distance from the run's first post, level.
    pub(super) along: Millimetres,
    /// Level of the floor; where people disagree, the lowest that somebody tells.
    pub(super) level: Millimetres,
    /// The line between the floors of the two posts above it.
    pub(super) line: Millimetres,
}

/// The low spots that were told, in the order of the bays. A floor level that is not told counts as
/// that of the first post.
pub(super) fn low_spots(run: &Run) -> Vec<LowPoint> {
    let beside = run.posts.iter().zip(run.posts.iter().skip(1));
    beside
        .zip(&run.bays)
        .filter_map(|((left, right), bay)| low_spot(left, right, bay))
        .collect()
}

fn low_spot(left: &PostInRun, right: &PostInRun, bay: &Bay) -> Option<LowPoint> {
    let spot = bay.low_spot.values().min_by_key(|spot| spot.level_nm)?;
    let (from, to) = (mm(*left.position.shown()?), mm(*right.position.shown()?));
    let (low, high) = (highest(left), highest(right));
    let half = left.section.map_or(Millimetres(0.0), |s| nm(s.along_nm)) / 2.0;
    let near = Millimetres(1.0);
    if to - from <= near * 2.0 {
        return None;
    }
    let along = match spot.from_left_nm {
        Some(distance) => from + half + nm(distance),
        None if high > low => to - near,
        None => from + near,
    };
    // A spot told beyond its bay lies at its end.
    let along = along.max(from + near).min(to - near);
    let share = (along - from) / (to - from);
    let line = match spot.from_left_nm {
        Some(_) => low + (high - low) * share,
        None => low.max(high),
    };
    Some(LowPoint {
        label: format!("low spot of bay {}", bay.name),
        subject: bay.subject,
        along,
        level: nm(spot.level_nm),
        line,
    })
}

fn highest(post: &PostInRun) -> Millimetres {
    post.floor_disputed
        .or(post.floor)
        .map_or(Millimetres(0.0), mm)
}
