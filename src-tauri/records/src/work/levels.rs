//! Where the floor lies under a level run, and what that does to the gaps at both ends of the wires.
//!
//! Wires and rail are straight between posts. Each either follows the floor (its height is marked
//! from the floor at every post) or runs level from the first post's floor. Where it is not told
//! which, and where people differ on a level, the widest gap that there can be is taken. On a rake
//! heights count from the line of the nosings, and no level plays a part.
//!
//! Invariant: every level is against the run's own first post, whatever post it was told against.

use mechanics::Millimetres;

use super::convert::{mm, nm};
use crate::job::{Bay, PostInRun, Run};
use crate::model::values::{Length, Shape};
use crate::subject::Subject;

const NONE: Millimetres = Millimetres(0.0);

/// A place of the floor: a post, or a low spot between two.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct FloorSpot {
    /// "A6", or "the low spot of bay A2–A3".
    pub(super) label: String,
    /// The post or the bay.
    pub(super) subject: Subject,
    /// Distance from the run's first post.
    pub(super) along: Millimetres,
    /// Lowest level that somebody tells.
    pub(super) low: Millimetres,
    /// Highest level that somebody tells.
    pub(super) high: Millimetres,
    /// How far the line between the floors of the two posts lies above the lowest level; nothing at
    /// a post.
    pub(super) under_line: Millimetres,
}

/// The floor's level at a post of the run as people agree on it; none where it is not told there. Levels are
/// told against the first post, so where that has none of its own they count from it.
pub(super) fn agreed(run: &Run, post: &PostInRun) -> Option<Millimetres> {
    let first = run.posts.first()?;
    if first.id == post.id {
        return Some(NONE);
    }
    let datum = match (first.floor, first.floor_disputed) {
        (Some(floor), _) => mm(floor),
        (None, None) => NONE,
        (None, Some(_)) => return None,
    };
    Some(mm(post.floor?) - datum)
}

/// Said where levels are told and the first post has none of its own: they count from it.
pub(super) fn from_the_first(run: &Run) -> Option<String> {
    let first = run
        .posts
        .first()
        .filter(|p| p.floor.or(p.floor_disputed).is_none())?;
    let told = run
        .posts
        .iter()
        .any(|p| p.floor.or(p.floor_disputed).is_some());
    let matters = told && run.shape == Shape::Level;
    matters.then(|| {
        format!(
            "The floor level at {} is not told: the levels of the other posts are taken as told \
             against it.",
            first.name
        )
    })
}

/// Posts of which nobody tells how the floor lies against the first's, where the wires do not follow it: how
/// far the bottom wire stands above the floor there is not known.
pub(super) fn untold(run: &Run) -> Vec<&PostInRun> {
    let matters = run.shape == Shape::Level && run.follows_floor != Some(true);
    let told = |post: &PostInRun| post.floor_disputed.or(post.floor).is_some();
    let first = run.posts.first();
    let posts = run.posts.iter().filter(|_| matters);
    let untold = |post: &&PostInRun| first.is_some_and(|f| f.id != post.id) && !told(post);
    posts.filter(untold).collect()
}

/// What a wire's height above the floor at a post differs from the height of the layout: nothing
/// where the template follows the floor or that is not told.
pub(super) fn raised_at(run: &Run, post: &PostInRun) -> Millimetres {
    let level = run.shape == Shape::Level && run.follows_floor == Some(false);
    match agreed(run, post) {
        Some(floor) if level => NONE - floor,
        _ => NONE,
    }
}

/// Every post, in order. A level that is not told counts as the first post's.
pub(super) fn at_posts(run: &Run) -> Vec<FloorSpot> {
    run.posts.iter().map(|post| at_post(run, post)).collect()
}

/// One post.
pub(super) fn at_post(run: &Run, post: &PostInRun) -> FloorSpot {
    let (low, high) = match run.posts.first() {
        Some(first) if first.id != post.id => between_words(post, first),
        _ => (NONE, NONE),
    };
    FloorSpot {
        label: post.name.clone(),
        subject: Subject::post(post.id),
        along: post.position.shown().map_or(NONE, |at| mm(*at)),
        low,
        high,
        under_line: NONE,
    }
}

/// Least and most that a post's floor lies above the first's by what people tell.
fn between_words(post: &PostInRun, first: &PostInRun) -> (Millimetres, Millimetres) {
    let words = |post: &PostInRun| -> Option<(Length, Length)> {
        let high = post.floor_disputed.or(post.floor)?;
        Some((post.floor_lowest.unwrap_or(high), high))
    };
    let zero = Length { nm: 0 };
    let from = words(first).unwrap_or((zero, zero));
    words(post).map_or((NONE, NONE), |(low, high)| {
        (mm(low) - mm(from.1), mm(high) - mm(from.0))
    })
}

/// The low spots that were told, in the order of the bays.
pub(super) fn low_spots(run: &Run) -> Vec<FloorSpot> {
    let beside = run.posts.iter().zip(run.posts.iter().skip(1));
    beside
        .zip(&run.bays)
        .filter_map(|((left, right), bay)| low_spot(run, left, right, bay))
        .collect()
}

/// The low spot of one bay, if there is one.
pub(super) fn low_spot_of(run: &Run, bay: &Bay) -> Option<FloorSpot> {
    let post = |id| run.posts.iter().find(|post| post.id == id);
    low_spot(run, post(bay.left)?, post(bay.right)?, bay)
}

/// Where it is not told how far along the bay the spot lies, the line of the floors is taken as high
/// as at the higher of its two posts.
fn low_spot(run: &Run, left: &PostInRun, right: &PostInRun, bay: &Bay) -> Option<FloorSpot> {
    let lowest = bay.low_spot.values().min_by_key(|spot| spot.level_nm)?;
    let first = run.posts.first()?;
    let datum = first.floor_disputed.or(first.floor).map_or(NONE, mm);
    let (from, to) = (mm(*left.position.shown()?), mm(*right.position.shown()?));
    let near = Millimetres(1.0);
    if to - from <= near * 2.0 {
        return None;
    }
    let (a, b) = (at_post(run, left).high, at_post(run, right).high);
    let half = left.section.map_or(NONE, |s| nm(s.along_nm)) / 2.0;
    let told = lowest
        .from_left_nm
        .map(|distance| from + half + nm(distance));
    let unknown = if b > a { to - near } else { from + near };
    // A spot told beyond its bay lies at its end.
    let along = told.unwrap_or(unknown).max(from + near).min(to - near);
    let line = match told {
        Some(_) => a + (b - a) * ((along - from) / (to - from)),
        None => a.max(b),
    };
    let low = nm(lowest.level_nm) - datum;
    Some(FloorSpot {
        label: format!("the low spot of bay {}", bay.name),
        subject: bay.subject,
        along,
        low,
        high: low,
        under_line: line - low,
    })
}

/// How much farther the bottom wire can stand above the floor here than its height in the layout.
pub(super) fn below_bottom(run: &Run, spot: &FloorSpot) -> Millimetres {
    let (follows, level) = (spot.under_line, NONE - spot.low);
    match run.follows_floor {
        _ if run.shape == Shape::Raked => NONE,
        Some(true) => follows,
        Some(false) => level,
        None => follows.max(level),
    }
}

/// How much farther the rail can stand above the top wire at a post than by their heights: nothing
/// where both follow the floor or both run level.
pub(super) fn below_rail(run: &Run, spot: &FloorSpot) -> Millimetres {
    over_top_wire(run, spot).1
}

/// Least and most by which it can: below nothing where the rail comes nearer.
pub(super) fn over_top_wire(run: &Run, spot: &FloorSpot) -> (Millimetres, Millimetres) {
    if run.shape == Shape::Raked {
        return (NONE, NONE);
    }
    let [follow, level] = [true, false];
    let of = |told: Option<bool>, way| told.is_none_or(|told| told == way);
    let (wires, rail) = (run.follows_floor, run.rail_follows_floor);
    let mut found: Option<(Millimetres, Millimetres)> = None;
    for (wires_go, rail_goes, (least, most)) in [
        (follow, follow, (NONE, NONE)),
        (level, level, (NONE, NONE)),
        (follow, level, (NONE - spot.high, NONE - spot.low)),
        (level, follow, (spot.low, spot.high)),
    ] {
        if of(wires, wires_go) && of(rail, rail_goes) {
            let (so_least, so_most) = found.unwrap_or((least, most));
            found = Some((so_least.min(least), so_most.max(most)));
        }
    }
    found.unwrap_or((NONE, NONE))
}

/// How far the floor can rise towards the rail: nothing where the rail follows the floor.
pub(super) fn towards_rail(run: &Run) -> Millimetres {
    if run.shape == Shape::Raked || run.rail_follows_floor == Some(true) {
        return NONE;
    }
    let highest = at_posts(run).into_iter().map(|spot| spot.high);
    highest.fold(NONE, Millimetres::max)
}
