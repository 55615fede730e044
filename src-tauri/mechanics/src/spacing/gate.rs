//! Gaps beside a gate's leaf, before and after the wires pull its posts away from each other.
//!
//! Formula: the leaf hangs on its hinge post and leans with it, so the gap at the hinges stays as it
//! is and the movement of both posts shows at the latch. The far corner of a leaf `w` wide and `t`
//! thick swings on a circle `√(w² + t²)` about a hinge on its face; the latch gap has to let it by.
//! Invariant: after tension a gap is from–to: the widest is held against a sphere, the narrowest has
//! to let the leaf swing. Does not compute the posts' movement, and knows no closers or latches.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, finite, not_negative, positive};
use crate::units::Millimetres;

/// A gate's leaf between its posts.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct GateAsk {
    /// Clear between the gate's posts before the wires are tensioned.
    pub clear_before: Millimetres,
    /// By how much both posts together open it under tension, at the height looked at: least (below
    /// zero where they close it) and most.
    pub opens_by: (Millimetres, Millimetres),
    /// Width of the leaf.
    pub leaf_width: Millimetres,
    /// Thickness of the leaf, where known: without it nobody knows whether it swings.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub leaf_thickness: Option<Millimetres>,
    /// Gap at the hinges, where known: without it both gaps count together, as the one they may be.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hinge_gap: Option<Millimetres>,
    /// The sphere that must not pass, where the rule set has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub sphere: Option<Millimetres>,
}

/// The gaps beside a leaf. Below zero the leaf is wider than what it hangs in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct GateGaps {
    /// Clear between the posts after tension, least and most.
    pub clear_after: (Millimetres, Millimetres),
    /// Both gaps together before tension.
    pub both_before: Millimetres,
    /// The same after it, least and most.
    pub both_after: (Millimetres, Millimetres),
    /// Gap at the latch before tension, where that at the hinges is known.
    pub latch_before: Option<Millimetres>,
    /// The same after it, least and most.
    pub latch_after: Option<(Millimetres, Millimetres)>,
    /// What the swinging corner needs at the latch.
    pub swing_needs: Option<Millimetres>,
    /// What is left of the narrowest latch gap when the corner swings by, before or after tension.
    pub swing_in_hand: Option<Millimetres>,
    /// Largest gap beside the closed leaf, before or after tension.
    pub widest: Millimetres,
    /// By how much the sphere is larger than that; below zero it passes with so much in hand.
    pub margin: Option<Millimetres>,
    /// Whether the sphere passes there.
    pub passes: bool,
}

/// Gaps beside a leaf, closed and swinging, before and after tension.
///
/// # Errors
/// When a length cannot be.
pub fn gate_gaps(ask: &GateAsk) -> Result<GateGaps, MechanicsError> {
    positive("the gate's clear opening", ask.clear_before)?;
    let width = positive("the leaf's width", ask.leaf_width)?;
    let (a, b) = ask.opens_by;
    finite("the posts' movement", a.value())?;
    finite("the posts' movement", b.value())?;
    let (least, most) = (a.min(b), a.max(b));
    if let Some(gap) = ask.hinge_gap {
        not_negative("the gap at the hinges", gap)?;
    }
    let swing_needs = match ask.leaf_thickness {
        None => None,
        Some(thick) => {
            let thick = positive("the leaf's thickness", thick)?;
            Some(Millimetres(width.hypot(thick) - width))
        }
    };
    let clear_after = (ask.clear_before + least, ask.clear_before + most);
    let both_before = ask.clear_before - ask.leaf_width;
    let both_after = (
        clear_after.0 - ask.leaf_width,
        clear_after.1 - ask.leaf_width,
    );
    let latch_before = ask.hinge_gap.map(|gap| both_before - gap);
    let latch_after = ask
        .hinge_gap
        .map(|gap| (both_after.0 - gap, both_after.1 - gap));
    let widest = match (ask.hinge_gap, latch_before, latch_after) {
        (Some(hinges), Some(before), Some((_, after))) => hinges.max(before).max(after),
        _ => both_before.max(both_after.1),
    }
    .max(Millimetres(0.0));
    let narrowest = latch_before
        .zip(latch_after)
        .map(|(before, (after, _))| before.min(after));
    let sphere = match ask.sphere {
        None => None,
        Some(sphere) => Some(Millimetres(positive("the sphere", sphere)?)),
    };
    Ok(GateGaps {
        clear_after,
        both_before,
        both_after,
        latch_before,
        latch_after,
        swing_needs,
        swing_in_hand: narrowest.zip(swing_needs).map(|(gap, needs)| gap - needs),
        widest,
        margin: sphere.map(|sphere| sphere - widest),
        passes: sphere.is_some_and(|s| widest.whole_nanometres() >= s.whole_nanometres()),
    })
}
