//! Gaps at a gate's leaf, before and after the wires pull its posts away from each other.
//!
//! Formula: the leaf hangs on its hinge post, so the movement of both posts shows at the latch. The
//! far corner of a leaf `w` wide and `t` thick swings on a circle `√(w² + t²)` about a hinge on
//! its face; the latch gap has to let it by.
//! Does not compute the posts' movement, and knows no closers or latches.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, finite, not_negative, positive};
use crate::units::Millimetres;

/// A gate's leaf between its posts.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct GateAsk {
    /// Clear between the gate's posts before the wires are tensioned.
    pub clear_before: Millimetres,
    /// How far the hinge post moves away from the opening under tension, at the height looked at.
    pub hinge_moves: Millimetres,
    /// How far the latch post moves away from the opening.
    pub latch_moves: Millimetres,
    /// Width of the leaf.
    pub leaf_width: Millimetres,
    /// Thickness of the leaf.
    pub leaf_thickness: Millimetres,
    /// Gap at the hinges.
    pub hinge_gap: Millimetres,
    /// Gap below the closed leaf.
    pub floor_gap: Millimetres,
    /// How much higher the floor is anywhere under the swing than under the closed leaf.
    pub floor_rises: Millimetres,
    /// The sphere that must not pass, where the rule set has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sphere: Option<Millimetres>,
}

/// The gaps of a gate.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct GateGaps {
    /// Clear between the posts after tension.
    pub clear_after: Millimetres,
    /// Gap at the latch before tension.
    pub latch_before: Millimetres,
    /// Gap at the latch after tension.
    pub latch_after: Millimetres,
    /// What the swinging corner needs at the latch.
    pub swing_needs: Millimetres,
    /// What is left of the latch gap when the corner swings by, before or after tension.
    pub swing_in_hand: Millimetres,
    /// Least gap below the leaf while it swings.
    pub floor_least: Millimetres,
    /// Largest gap around the closed leaf.
    pub widest: Millimetres,
    /// Whether the sphere passes at one of them.
    pub passes: bool,
    /// One sentence.
    pub sentence: String,
}

/// Gaps around a leaf, closed and swinging, before and after tension.
///
/// # Errors
/// When a length cannot be.
pub fn gate_gaps(ask: &GateAsk) -> Result<GateGaps, MechanicsError> {
    positive("the gate's clear opening", ask.clear_before.value())?;
    let width = positive("the leaf's width", ask.leaf_width.value())?;
    let thickness = positive("the leaf's thickness", ask.leaf_thickness.value())?;
    not_negative("the gap at the hinges", ask.hinge_gap.value())?;
    not_negative("the gap below the leaf", ask.floor_gap.value())?;
    finite("the hinge post's movement", ask.hinge_moves.value())?;
    finite("the latch post's movement", ask.latch_moves.value())?;
    finite("the floor's rise", ask.floor_rises.value())?;
    let clear_after = ask.clear_before + ask.hinge_moves + ask.latch_moves;
    let latch = |clear: Millimetres| clear - ask.hinge_gap - ask.leaf_width;
    let (latch_before, latch_after) = (latch(ask.clear_before), latch(clear_after));
    let swing_needs = Millimetres(width.hypot(thickness) - width);
    let swing_in_hand = latch_before.min(latch_after) - swing_needs;
    let floor_least = ask.floor_gap - ask.floor_rises.max(Millimetres(0.0));
    let widest = [ask.hinge_gap, latch_before, latch_after, ask.floor_gap]
        .into_iter()
        .fold(Millimetres(0.0), Millimetres::max);
    let passes = match ask.sphere {
        Some(sphere) => {
            positive("the sphere", sphere.value())?;
            widest.whole_nanometres() >= sphere.whole_nanometres()
        }
        None => false,
    };
    let mut words = vec![format!(
        "Latch gap {latch_before} before and {latch_after} after tension; the corner needs \
         {swing_needs} to swing by"
    )];
    if swing_in_hand.value() < 0.0 {
        words.push(format!(
            "the leaf is {} too wide to swing",
            swing_in_hand.abs()
        ));
    }
    if floor_least.value() < 0.0 {
        words.push(format!("it meets the floor by {}", floor_least.abs()));
    }
    if let (Some(sphere), true) = (ask.sphere, passes) {
        words.push(format!("a sphere of {sphere} passes"));
    }
    Ok(GateGaps {
        clear_after,
        latch_before,
        latch_after,
        swing_needs,
        swing_in_hand,
        floor_least,
        widest,
        passes,
        sentence: format!("{}.", words.join("; ")),
    })
}
