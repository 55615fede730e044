//! A post's real stiffness from a known pull: newtons, millimetres, rail off and on.
//!
//! Invariant: a post that moved no more than its own bending says nothing of its base.

use super::influence::Frame;
use super::{Post, Rail};
use crate::error::{MechanicsError, positive};
use crate::units::{Millimetres, Newtons, NewtonsPerMillimetre};

/// A known level pull on a post and how far it moved there.
#[derive(Clone, Copy, Debug, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct KnownPull {
    /// Height of pull and reading above the base.
    pub height: Millimetres,
    /// The pull.
    pub pull: Newtons,
    /// How far the post moved at that height.
    pub moved: Millimetres,
}

/// k_θ of the base from a pull with the rail off, newton millimetres per radian.
///
/// moved = pull·(F(h,h) + h²/k_θ), F the bending alone; nothing where bending explains it all.
///
/// # Errors
/// When an input cannot be.
pub fn base_turning_from_pull(
    post: &Post,
    known: &KnownPull,
) -> Result<Option<f64>, MechanicsError> {
    let stiff = Post {
        rail: None,
        base_turning: None,
        ..post.clone()
    };
    let height = positive("the pull's height", known.height.value())?;
    let pull = positive("the pull", known.pull.value())?;
    let moved = positive("the movement", known.moved.value())?;
    let by_base = moved / pull - Frame::of(&stiff)?.free(height, height);
    Ok((by_base > 0.0).then(|| height * height / by_base))
}

/// k_r of the rail from a pull with the rail on, once the base's turning is known or left out.
///
/// From F(h,h) − F(h,H)²/(F(H,H) + 1/k_r) = moved/pull; nothing where the post moved as if
/// there were no rail, or less than a rigid rail would let it.
///
/// # Errors
/// When an input cannot be.
pub fn rail_stiffness_from_pull(
    post: &Post,
    rail_height: Millimetres,
    known: &KnownPull,
) -> Result<Option<Rail>, MechanicsError> {
    let frame = Frame::of(&Post {
        rail: None,
        ..post.clone()
    })?;
    let height = positive("the pull's height", known.height.value())?;
    let pull = positive("the pull", known.pull.value())?;
    let moved = positive("the movement", known.moved.value())?;
    let at = positive("the rail's height", rail_height.value())?;
    let taken = frame.free(height, height) - moved / pull;
    if taken <= 0.0 {
        return Ok(None);
    }
    let give = frame.free(height, at).powi(2) / taken - frame.free(at, at);
    Ok((give > 0.0).then(|| Rail {
        height: rail_height,
        stiffness: NewtonsPerMillimetre(1.0 / give),
    }))
}
