//! A post's real stiffness from known pulls: newtons, millimetres, rail off and on.
//!
//! Invariant: a pull replaces what was assumed; a post that moved no more than its own bending says
//! nothing of its base, and one that moved less than a steel one would is not believed. Of several
//! pulls the one that gives most counts, so that no movement is understated; moment, stress and
//! fixings are understated by a base that turns and a post that gives, so the stiffest counts there.

use super::influence::Frame;
use super::{Post, Rail, STEEL};
use crate::error::{MechanicsError, positive};
use crate::units::{Megapascals, Millimetres, Newtons, NewtonsPerMillimetre};

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

/// What pulls with the rail off tell of a post.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum PostAsPulled {
    /// The base turns: k_θ, newton millimetres per radian.
    Turns(f64),
    /// The post is stiffer than its modulus tells; the modulus that its movement shows with a base
    /// that does not turn.
    Stiffer(Megapascals),
    /// It moved less than a steel post of its section would: the reading is not believed.
    BeyondSteel(Megapascals),
}

/// What a pull with the rail on tells of the rail.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RailAsPulled {
    /// It holds by this stiffness.
    Holds(Rail),
    /// The post moved as if there were no rail.
    Nothing,
    /// The post moved no more than with a rail that does not give.
    Rigid,
}

/// What pulls with the rail off tell of a post; none without a pull.
///
/// moved = pull·(F(h,h) + h²/k_θ), F the bending alone.
///
/// Euler–Bernoulli beam (Roark's Formulas for Stress and Strain): linear, shear left out, movements small
/// beside the post.
///
/// # Errors
/// When an input cannot be.
pub fn post_from_pulls(
    post: &Post,
    pulls: &[KnownPull],
) -> Result<Option<PostAsPulled>, MechanicsError> {
    let stiff = Post {
        rail: None,
        base_turning: None,
        ..post.clone()
    };
    let frame = Frame::of(&stiff)?;
    let mut softest: Option<(f64, PostAsPulled)> = None;
    for known in pulls {
        let height = positive("the pull's height", known.height)?;
        let pull = positive("the pull", known.pull)?;
        let moved = positive("the movement", known.moved)?;
        let bending = frame.free(height, height);
        let by_base = moved / pull - bending;
        let gives = by_base / (height * height);
        let tells = if by_base > 0.0 {
            PostAsPulled::Turns(1.0 / gives)
        } else {
            let modulus = post.modulus.value * (bending * pull / moved);
            if modulus > STEEL && modulus > post.modulus.value {
                PostAsPulled::BeyondSteel(modulus)
            } else {
                PostAsPulled::Stiffer(modulus)
            }
        };
        if softest.is_none_or(|(most, _)| gives > most) {
            softest = Some((gives, tells));
        }
    }
    Ok(softest.map(|(_, tells)| tells))
}

/// The modulus that pulls with the rail off show where none is told: bending and base together.
///
/// Euler–Bernoulli beam (Roark's Formulas for Stress and Strain): linear, shear left out, movements small
/// beside the post. Bending and base go into one figure.
///
/// # Errors
/// When an input cannot be.
pub fn modulus_from_pulls(
    post: &Post,
    pulls: &[KnownPull],
) -> Result<Option<Megapascals>, MechanicsError> {
    let unit = Post {
        modulus: crate::Figure::of(Megapascals(1.0), crate::Origin::Assumed),
        rail: None,
        base_turning: None,
        ..post.clone()
    };
    let frame = Frame::of(&unit)?;
    let mut least: Option<f64> = None;
    for known in pulls {
        let height = positive("the pull's height", known.height)?;
        let pull = positive("the pull", known.pull)?;
        let moved = positive("the movement", known.moved)?;
        let shown = frame.free(height, height) * pull / moved;
        least = Some(least.map_or(shown, |known| known.min(shown)));
    }
    Ok(least.map(Megapascals).filter(|modulus| *modulus <= STEEL))
}

/// The greatest modulus that pulls with the rail off show on a base that does not turn, those not
/// counted that are stiffer than steel; none without a pull that is left.
///
/// A post that gives leaves more to its rail, and so less moment to its base: of several pulls this
/// one counts where moment, stress and the fixings' force are told.
///
/// Euler–Bernoulli beam (Roark's Formulas for Stress and Strain): linear, shear left out, movements small
/// beside the post.
///
/// # Errors
/// When an input cannot be.
pub fn stiffest_from_pulls(
    post: &Post,
    pulls: &[KnownPull],
) -> Result<Option<Megapascals>, MechanicsError> {
    let mut most: Option<Megapascals> = None;
    for known in pulls {
        let shown = modulus_from_pulls(post, std::slice::from_ref(known))?;
        most = match (most, shown) {
            (Some(a), Some(b)) => Some(if b > a { b } else { a }),
            (a, b) => a.or(b),
        };
    }
    Ok(most)
}

/// How far a pull with the rail off moves a post that gave as `before` tells, where both are known.
///
/// Euler–Bernoulli beam (Roark's Formulas for Stress and Strain): linear, shear left out, movements small
/// beside the post.
///
/// # Errors
/// When an input cannot be.
pub fn pulled_as(
    post: &Post,
    before: &KnownPull,
    now: &KnownPull,
) -> Result<Option<Millimetres>, MechanicsError> {
    let mut as_before = Post {
        rail: None,
        base_turning: None,
        ..post.clone()
    };
    match post_from_pulls(&as_before, std::slice::from_ref(before))? {
        None => return Ok(None),
        Some(PostAsPulled::Turns(stiffness)) => {
            as_before.base_turning = Some(crate::Figure::of(stiffness, crate::Origin::Measured));
        }
        Some(PostAsPulled::Stiffer(shown) | PostAsPulled::BeyondSteel(shown)) => {
            as_before.modulus = crate::Figure::of(shown, crate::Origin::Measured);
        }
    }
    let height = positive("the pull's height", now.height)?;
    let pull = positive("the pull", now.pull)?;
    let moved = Frame::of(&as_before)?.free(height, height) * pull;
    Ok(Some(Millimetres(moved)))
}

/// What pulls with the rail on tell of the rail, once the post's own stiffness is known or assumed;
/// none without a pull.
///
/// From F(h,h) − F(h,H)²/(F(H,H) + 1/k_r) = moved/pull.
///
/// Euler–Bernoulli beam (Roark's Formulas for Stress and Strain): linear, shear left out, movements small
/// beside the post. The rail is a spring at its line.
///
/// # Errors
/// When an input cannot be.
pub fn rail_from_pulls(
    post: &Post,
    rail_height: Millimetres,
    pulls: &[KnownPull],
) -> Result<Option<RailAsPulled>, MechanicsError> {
    let frame = Frame::of(&Post {
        rail: None,
        ..post.clone()
    })?;
    let at = positive("the rail's height", rail_height)?;
    let mut softest: Option<f64> = None;
    for known in pulls {
        let height = positive("the pull's height", known.height)?;
        let pull = positive("the pull", known.pull)?;
        let moved = positive("the movement", known.moved)?;
        let taken = frame.free(height, height) - moved / pull;
        let give = if taken <= 0.0 {
            f64::INFINITY
        } else {
            frame.free(height, at).powi(2) / taken - frame.free(at, at)
        };
        softest = Some(softest.map_or(give, |known| known.max(give)));
    }
    Ok(softest.map(|give| {
        if give.is_infinite() {
            RailAsPulled::Nothing
        } else if give > 0.0 {
            RailAsPulled::Holds(Rail {
                height: rail_height,
                stiffness: NewtonsPerMillimetre(1.0 / give),
            })
        } else {
            RailAsPulled::Rigid
        }
    }))
}
