//! The hole schedule of every post face, and the wood that stays between holes.
//!
//! Invariant: on a rake both faces of a post are listed with their own heights. Does not say
//! how much wood is enough: that is an input with its own origin.

mod wood;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, finite, not_negative, positive};
use crate::slope;
use crate::thread::Hand;
use crate::units::{Degrees, Millimetres};

pub use wood::{BlindHole, HolePair, PostFace, PostPlan, wood_between};

/// A face of a post, looking along the run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum RunFace {
    /// The face towards the run's first post.
    TowardsStart,
    /// The face towards the run's last post.
    TowardsEnd,
}

/// What is drilled into a post.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Drilling {
    /// Blind holes for inserts in one face.
    #[serde(rename_all = "camelCase")]
    Insert {
        /// The face.
        face: RunFace,
        /// Hand of the insert.
        hand: Hand,
        /// Diameter.
        diameter: Millimetres,
        /// Depth.
        depth: Millimetres,
    },
    /// Holes through, drilled from both faces to meet in the middle (common practice).
    #[serde(rename_all = "camelCase")]
    Through {
        /// Diameter.
        diameter: Millimetres,
    },
}

/// One post of a run to be drilled.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PostToDrill {
    /// Name of the post.
    pub label: String,
    /// Width along the run.
    pub width_along: Millimetres,
    /// What is drilled.
    pub drilling: Drilling,
    /// Height of each wire on the post's centre line above its own floor or nosing line.
    pub wire_heights: Vec<Millimetres>,
}

/// How deep a hole goes.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum HoleDepth {
    /// To a depth.
    #[serde(rename_all = "camelCase")]
    Blind {
        /// Along the hole.
        depth: Millimetres,
    },
    /// Through the post.
    #[serde(rename_all = "camelCase")]
    Through {
        /// Length of the hole.
        length: Millimetres,
    },
}

/// One line of the hole schedule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Hole {
    /// Name of the post.
    pub post: String,
    /// The face.
    pub face: RunFace,
    /// Number of the wire, from the bottom.
    pub wire: u32,
    /// Height of the hole's centre on this face.
    pub height: Millimetres,
    /// Diameter.
    pub diameter: Millimetres,
    /// Depth.
    pub depth: HoleDepth,
    /// Hand of the insert, where there is one.
    pub hand: Option<Hand>,
    /// Angle of the drill from square to the face, rising towards the run's end.
    pub rise: Degrees,
}

/// Spacing of two neighbouring wires as drilled at a post.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct DrilledSpacing {
    /// The lower wire.
    pub lower_wire: u32,
    /// Centre to centre, plumb.
    pub plumb: Millimetres,
    /// Centre to centre, square to the wires.
    pub square: Millimetres,
}

/// Holes of every post of a run, face by face, from the bottom wire.
///
/// `slope` is the wires' slope, above zero where they rise towards the run's end. A face half a
/// post away from the centre line is half a width × tan(slope) higher or lower.
///
/// # Errors
/// When a length cannot be or the slope is too steep.
pub fn schedule(posts: &[PostToDrill], slope: Degrees) -> Result<Vec<Hole>, MechanicsError> {
    let mut holes = Vec::new();
    for post in posts {
        let width = positive("a post's width", post.width_along)?;
        let half_rise = slope::hole_height_difference(Millimetres(width / 2.0), slope)?;
        let at_face = |height: Millimetres, face: RunFace| match face {
            RunFace::TowardsStart => height - half_rise,
            RunFace::TowardsEnd => height + half_rise,
        };
        let faces: &[RunFace] = match post.drilling {
            Drilling::Insert {
                face: RunFace::TowardsStart,
                ..
            } => &[RunFace::TowardsStart],
            Drilling::Insert {
                face: RunFace::TowardsEnd,
                ..
            } => &[RunFace::TowardsEnd],
            Drilling::Through { .. } => &[RunFace::TowardsStart, RunFace::TowardsEnd],
        };
        let (diameter, depth, hand) = match post.drilling {
            Drilling::Insert {
                hand,
                diameter,
                depth,
                ..
            } => {
                positive("a hole's depth", depth)?;
                (diameter, HoleDepth::Blind { depth }, Some(hand))
            }
            Drilling::Through { diameter } => {
                let length = slope::along(Millimetres(width), slope)?;
                (diameter, HoleDepth::Through { length }, None)
            }
        };
        positive("a hole's diameter", diameter)?;
        for face in faces {
            for (wire, height) in (1_u32..).zip(&post.wire_heights) {
                not_negative("a wire's height", *height)?;
                holes.push(Hole {
                    post: post.label.clone(),
                    face: *face,
                    wire,
                    height: at_face(*height, *face),
                    diameter,
                    depth,
                    hand,
                    rise: slope,
                });
            }
        }
    }
    Ok(holes)
}

/// Spacings of neighbouring wires at a post, plumb and square to the wires.
///
/// # Errors
/// When heights do not rise or the slope is too steep.
pub fn spacings(
    wire_heights: &[Millimetres],
    slope: Degrees,
) -> Result<Vec<DrilledSpacing>, MechanicsError> {
    let above = wire_heights.iter().skip(1);
    (1_u32..)
        .zip(wire_heights.iter().zip(above))
        .map(|(lower_wire, (lower, upper))| {
            let plumb = *upper - *lower;
            finite("a wire's height", plumb.value())?;
            if plumb.value() <= 0.0 {
                return Err(MechanicsError::HeightsNotRising {
                    wire: lower_wire.saturating_add(1),
                });
            }
            Ok(DrilledSpacing {
                lower_wire,
                plumb,
                square: slope::square(plumb, slope)?,
            })
        })
        .collect()
}
