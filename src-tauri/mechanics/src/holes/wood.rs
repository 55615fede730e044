//! Wood that stays between blind holes drilled into one post from different faces.
//!
//! The distance is taken along one axis (in plan or upright), which is never more than the true
//! distance of the holes. Invariant: below zero means the holes meet.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, finite, not_negative, positive};
use crate::slope;
use crate::units::{Degrees, Millimetres};

/// Face of a post seen from above, going round.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum PostFace {
    /// One face.
    Front,
    /// The next, to the right of someone who looks at the front.
    Right,
    /// Opposite the front.
    Back,
    /// Opposite the right.
    Left,
}

/// Size of a post seen from above.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PostPlan {
    /// Width of the front and back.
    pub wide: Millimetres,
    /// Distance from front to back.
    pub deep: Millimetres,
}

/// A blind hole in a post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct BlindHole {
    /// Whose hole it is, for the answer ("A wire 3").
    pub label: String,
    /// The face it enters.
    pub face: PostFace,
    /// Height of its centre on that face.
    pub height: Millimetres,
    /// Offset from the face's centre line, to the right of someone who looks at the face.
    pub offset: Millimetres,
    /// Diameter.
    pub diameter: Millimetres,
    /// Depth along the hole.
    pub depth: Millimetres,
    /// Rise of the hole going in; below zero where it falls.
    pub rise: Degrees,
}

/// Two holes that come close.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct HolePair {
    /// First hole.
    pub first: String,
    /// Second hole.
    pub second: String,
    /// Wood between them; below zero where they meet.
    pub wood: Millimetres,
    /// Move one up or down by at least this much to keep the wood asked for.
    pub stagger: Millimetres,
    /// One sentence.
    pub sentence: String,
}

/// Pairs of holes of one post with less wood between them than asked for.
///
/// # Errors
/// When a size cannot be or a slope is too steep.
pub fn wood_between(
    post: PostPlan,
    holes: &[BlindHole],
    least_wood: Millimetres,
) -> Result<Vec<HolePair>, MechanicsError> {
    not_negative("the wood asked for", least_wood)?;
    let boxes = holes
        .iter()
        .map(|hole| Ok((hole, Box3::of(post, hole)?)))
        .collect::<Result<Vec<_>, MechanicsError>>()?;
    let mut close = Vec::new();
    let mut rest = boxes.as_slice();
    while let Some(((first, first_box), others)) = rest.split_first() {
        for (second, second_box) in others {
            let in_plan = first_box
                .wide
                .gap(second_box.wide)
                .max(first_box.deep.gap(second_box.deep));
            let upright = first_box.upright.gap(second_box.upright);
            let wood = Millimetres(in_plan.max(upright));
            if wood < least_wood {
                close.push(pair(first, second, wood, least_wood, Millimetres(upright)));
            }
        }
        rest = others;
    }
    Ok(close)
}

fn pair(
    first: &BlindHole,
    second: &BlindHole,
    wood: Millimetres,
    least_wood: Millimetres,
    upright: Millimetres,
) -> HolePair {
    let stagger = least_wood - upright;
    let what = if wood.value() <= 0.0 {
        "meet".to_owned()
    } else {
        format!("leave {wood} of wood")
    };
    HolePair {
        first: first.label.clone(),
        second: second.label.clone(),
        wood,
        stagger,
        sentence: format!(
            "{} and {} {what}: move one up or down by at least {stagger} to leave {least_wood}.",
            first.label, second.label
        ),
    }
}

#[derive(Clone, Copy)]
struct Reach {
    from: f64,
    to: f64,
}

impl Reach {
    fn gap(self, other: Self) -> f64 {
        (self.from - other.to).max(other.from - self.to)
    }
}

struct Box3 {
    wide: Reach,
    deep: Reach,
    upright: Reach,
}

impl Box3 {
    fn of(post: PostPlan, hole: &BlindHole) -> Result<Self, MechanicsError> {
        let wide = positive("the post's width", post.wide)?;
        let deep = positive("the post's depth", post.deep)?;
        let radius = positive("a hole's diameter", hole.diameter)? / 2.0;
        let depth = positive("a hole's depth", hole.depth)?;
        let height = finite("a hole's height", hole.height.value())?;
        let offset = finite("a hole's offset", hole.offset.value())?;
        // The flat end of a hole that rises or falls leans, and reaches in farther by one edge.
        let level = slope::level(Millimetres(depth), hole.rise)?.value()
            + radius * hole.rise.radians().sin().abs();
        let end = height + depth * hole.rise.radians().sin();
        let around = |centre: f64| Reach {
            from: centre - radius,
            to: centre + radius,
        };
        let (wide, deep) = match hole.face {
            PostFace::Front => (
                around(wide / 2.0 + offset),
                Reach {
                    from: 0.0,
                    to: level,
                },
            ),
            PostFace::Back => (
                around(wide / 2.0 - offset),
                Reach {
                    from: deep - level,
                    to: deep,
                },
            ),
            PostFace::Right => (
                Reach {
                    from: wide - level,
                    to: wide,
                },
                around(deep / 2.0 + offset),
            ),
            PostFace::Left => (
                Reach {
                    from: 0.0,
                    to: level,
                },
                around(deep / 2.0 - offset),
            ),
        };
        Ok(Self {
            wide,
            deep,
            upright: Reach {
                from: height.min(end) - radius,
                to: height.max(end) + radius,
            },
        })
    }
}
