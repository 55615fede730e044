//! The gap below the bottom wire where the floor falls, at each post and at the low spots.
//!
//! Formula: the wire is straight from post to post; gap = wire's height − floor's level − half a
//! wire. A fall of 1:100 over 7.3 m moves the gap of a level template by 73 mm.
//! Invariant: every point given is answered. Does not say how far a gap may be: the sphere does.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, finite, not_negative, positive};
use crate::units::Millimetres;

/// From where heights are marked off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum FloorBase {
    /// At each post from its own floor.
    FollowsFloor,
    /// From one level line through the first post's floor.
    Level,
}

/// A point of the floor along the run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FloorPoint {
    /// Name of the post, or of the spot.
    pub label: String,
    /// Distance along the run.
    pub along: Millimetres,
    /// Level of the floor; below zero where it is lower than the datum.
    pub level: Millimetres,
    /// Whether a post stands there; wires are straight between posts.
    pub post: bool,
}

/// What is asked of a floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FloorAsk {
    /// Points in order along the run; the first and the last are posts.
    pub points: Vec<FloorPoint>,
    /// From where heights are marked off.
    pub base: FloorBase,
    /// Height of the bottom wire's centre.
    pub bottom_wire: Millimetres,
    /// Diameter of the wire.
    pub diameter: Millimetres,
    /// Height of the barrier's top, where it is to be followed too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub top: Option<Millimetres>,
    /// Thickness of tile or decking still to come.
    pub coming_floor: Millimetres,
    /// The sphere that must not pass, where the rule set has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sphere: Option<Millimetres>,
}

/// The gap at one point.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FloorGap {
    /// Name of the point.
    pub label: String,
    /// Floor to the wire's underside, as the floor is now.
    pub clear: Millimetres,
    /// The same when the coming floor lies.
    pub clear_later: Millimetres,
    /// Barrier's top above the floor, now.
    pub top: Option<Millimetres>,
    /// The same when the coming floor lies.
    pub top_later: Option<Millimetres>,
    /// Whether the sphere passes at rest, now or later.
    pub passes: bool,
}

/// The gaps along a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FloorLine {
    /// Gaps, point by point.
    pub gaps: Vec<FloorGap>,
    /// Name of the point with the widest gap.
    pub widest_at: String,
    /// The widest gap now.
    pub widest: Millimetres,
    /// Widest less narrowest gap.
    pub moves_by: Millimetres,
    /// One sentence.
    pub sentence: String,
}

/// Gaps between floor and bottom wire at every point.
///
/// # Errors
/// When fewer than two posts are given, points are out of order or a length cannot be.
pub fn floor_gaps(ask: &FloorAsk) -> Result<FloorLine, MechanicsError> {
    check(ask)?;
    let datum = ask.points.first().map_or(Millimetres(0.0), |p| p.level);
    let posts: Vec<&FloorPoint> = ask.points.iter().filter(|point| point.post).collect();
    let half = ask.diameter / 2.0;
    let gaps: Vec<FloorGap> = ask
        .points
        .iter()
        .map(|point| {
            let base = match ask.base {
                FloorBase::Level => datum,
                FloorBase::FollowsFloor => between(&posts, point),
            };
            // How far the line of heights lies above the floor here.
            let rise = base - point.level;
            let clear = round(ask.bottom_wire + rise - half);
            let top = ask.top.map(|top| round(top + rise));
            let later = |height: Millimetres| round(height - ask.coming_floor);
            let reaches = |sphere: Millimetres| {
                clear.max(later(clear)).whole_nanometres() >= sphere.whole_nanometres()
            };
            FloorGap {
                label: point.label.clone(),
                clear,
                clear_later: later(clear),
                top,
                top_later: top.map(later),
                passes: ask.sphere.is_some_and(reaches),
            }
        })
        .collect();
    Ok(told(ask, gaps))
}

fn told(ask: &FloorAsk, gaps: Vec<FloorGap>) -> FloorLine {
    let by_clear = |a: &&FloorGap, b: &&FloorGap| a.clear.value().total_cmp(&b.clear.value());
    // The first of equals, so that an even floor names the first post.
    let widest = gaps.iter().rev().max_by(by_clear);
    let narrowest = gaps.iter().min_by(by_clear);
    let of = |gap: Option<&FloorGap>| gap.map_or(Millimetres(0.0), |gap| gap.clear);
    let (widest_at, moves_by) = (
        widest.map(|gap| gap.label.clone()).unwrap_or_default(),
        round(of(widest) - of(narrowest)),
    );
    let over: Vec<&str> = gaps
        .iter()
        .filter(|gap| gap.passes)
        .map(|gap| gap.label.as_str())
        .collect();
    let sphere = match (ask.sphere, over.is_empty()) {
        (Some(sphere), true) => {
            format!(
                " Smaller than the sphere of {sphere} at rest; the wire gives way, so offer the probe."
            )
        }
        (Some(sphere), false) => {
            format!(" A sphere of {sphere} passes at {}.", over.join(", "))
        }
        (None, _) => String::new(),
    };
    let low = gaps.iter().find(|gap| gap.clear_later.value() <= 0.0);
    let low = low.map_or_else(String::new, |gap| {
        format!(" At {} the wire would lie on the coming floor.", gap.label)
    });
    FloorLine {
        sentence: format!(
            "Widest below the bottom wire at {widest_at}: {}; the gap moves by {moves_by} along \
             the run.{sphere}{low}",
            of(widest)
        ),
        widest: of(widest),
        widest_at,
        moves_by,
        gaps,
    }
}

/// The floor's level carried straight between the posts on either side.
fn between(posts: &[&FloorPoint], point: &FloorPoint) -> Millimetres {
    let before = posts.iter().rev().find(|post| post.along <= point.along);
    let after = posts.iter().find(|post| post.along >= point.along);
    match (before, after) {
        (Some(before), Some(after)) if after.along > before.along => {
            let share = (point.along - before.along) / (after.along - before.along);
            before.level + (after.level - before.level) * share
        }
        (Some(at), _) | (None, Some(at)) => at.level,
        (None, None) => point.level,
    }
}

fn check(ask: &FloorAsk) -> Result<(), MechanicsError> {
    positive("the bottom wire's height", ask.bottom_wire)?;
    positive("the wire's diameter", ask.diameter)?;
    not_negative("the coming floor's thickness", ask.coming_floor)?;
    if let Some(top) = ask.top {
        positive("the barrier's height", top)?;
    }
    if let Some(sphere) = ask.sphere {
        positive("the sphere", sphere)?;
    }
    let posts = ask.points.iter().filter(|point| point.post).count();
    let ends = [ask.points.first(), ask.points.last()];
    if posts < 2 || ends.iter().any(|end| end.is_none_or(|end| !end.post)) {
        return Err(MechanicsError::FloorEnds);
    }
    for point in &ask.points {
        finite("a distance along the run", point.along.value())?;
        finite("a floor's level", point.level.value())?;
    }
    for pair in ask.points.windows(2) {
        if let [before, after] = pair
            && after.along <= before.along
        {
            return Err(MechanicsError::OutOfOrder {
                name: after.label.clone(),
            });
        }
    }
    Ok(())
}

fn round(length: Millimetres) -> Millimetres {
    Millimetres(length.whole_nanometres() / 1.0e6)
}
