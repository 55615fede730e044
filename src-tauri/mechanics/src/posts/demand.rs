//! What figures of demand on a post leave out, in words.
//!
//! Invariant: nothing that a figure leaves out goes unsaid, and no word judges the post.

use super::Post;
use super::plan::{PullInPlan, RailInPlan, lift};
use crate::units::{Megapascals, Newtons};

/// Modulus of elasticity of structural steel (EN 1993-1-1, 3.2.6).
pub const STEEL: Megapascals = Megapascals(210_000.0);

/// A pull up or down too small to speak of.
const NO_LIFT: Newtons = Newtons(0.5);

/// What sloping wires do to a post along its length, which is in no figure but the fixings'.
fn vertical(post: &Post, pulls: &[PullInPlan]) -> Option<String> {
    let up = Newtons(lift(pulls).value().round());
    if up.abs() < NO_LIFT {
        return None;
    }
    let beside = "that they pull beside the post's middle is left out";
    Some(match post.bolt_distance {
        _ if up.value() < 0.0 => format!(
            "The wires press the post down with {}: nothing is taken off the fixings for it; {beside}.",
            up.abs()
        ),
        Some(_) => format!(
            "The wires lift the post with {up}: half of it is in the force on the fixings; {beside}."
        ),
        None => format!("The wires lift the post with {up}, in no figure here; {beside}."),
    })
}

/// What demand figures of a post leave out, in words.
#[must_use]
pub fn left_out(post: &Post, rails: &[RailInPlan], pulls: &[PullInPlan]) -> Vec<String> {
    let mut words = Vec::new();
    if post.base_turning.is_none() {
        words.push("The base is taken as not turning: movement is understated.".to_owned());
    }
    if !rails.is_empty() {
        words.push(
            "The rail counts only if it and its joint carry the rail force; without it the \
             post stands as a free cantilever."
                .to_owned(),
        );
    }
    if post.bolt_distance.is_none() {
        words.push("The bolts' distance is not known: no force on the fixings.".to_owned());
    }
    words.extend(vertical(post, pulls));
    if post.modulus.value > STEEL {
        words.push(format!(
            "The modulus of {} is above that of steel, {STEEL}: a post that gives more moves more. \
             Check the figure.",
            post.modulus.value
        ));
    }
    let ways = pulls.iter().map(|p| p.heading).collect::<Vec<_>>();
    if ways.iter().any(|way| Some(way) != ways.first()) {
        if post.base_turning.is_some() {
            words.push("The base is taken to turn alike in every direction.".to_owned());
        }
        words.push("Twisting of the post is left out.".to_owned());
    }
    words.push("Loads of people and wind are not in these figures.".to_owned());
    words
}
