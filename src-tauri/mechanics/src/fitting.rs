//! Fitting sets: a left-hand and a right-hand terminal with the lengths a cut rests on.
//!
//! Invariant: each end has its own figures; nothing is assumed equal between the hands.
//! Does not know any maker's product: every figure is an input with its origin in the record.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive};
use crate::figure::Figure;
use crate::thread::{Hand, Thread};
use crate::units::{Millimetres, Newtons};

/// One terminal and the place it threads into.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FittingEnd {
    /// Hand of the thread.
    pub hand: Hand,
    /// Thread of the stud.
    pub thread: Thread,
    /// O: overall length of the terminal before swaging.
    pub stud_overall: Millimetres,
    /// w: wire swallowed by the terminal.
    pub insertion: Millimetres,
    /// g: growth of the shank on swaging.
    pub growth: Millimetres,
    /// h: usable thread of the stud.
    pub usable_thread: Millimetres,
    /// e_min: least engagement that holds.
    pub least_engagement: Millimetres,
    /// x_start: engagement at which the thread catches by hand.
    pub start_engagement: Millimetres,
    /// r: thread kept for later re-tensioning.
    pub reserve: Millimetres,
    /// Height of the lock nut on the stud; zero where there is none.
    pub lock_nut: Millimetres,
    /// Clear depth of the insert behind the face, where it limits the engagement.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insert_clear_depth: Option<Millimetres>,
    /// Length that a swivel or angled seat adds between face and stud; zero where there is none.
    #[serde(default)]
    pub seat_length: Millimetres,
    /// Diameter of the hole for the insert.
    pub hole_diameter: Millimetres,
    /// Depth of the hole for the insert.
    pub hole_depth: Millimetres,
}

/// A pair of terminals and what the set asks of the posts between.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FittingSet {
    /// The left-hand end.
    pub left: FittingEnd,
    /// The right-hand end.
    pub right: FittingEnd,
    /// Diameter of the hole through intermediate posts.
    pub through_hole_diameter: Millimetres,
    /// Share of the strand's breaking load that the swaged terminal holds, 0 to 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub terminal_efficiency: Option<Figure<f64>>,
    /// Factor by which the breaking load is divided for the safe load.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub safe_load_factor: Option<Figure<f64>>,
    /// Load that the insert may carry straight out of its post, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub insert_limit: Option<Figure<Newtons>>,
    /// Load that the thread may carry, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub thread_limit: Option<Figure<Newtons>>,
}

/// S: stud tip to wire end, O − w + g, and the seat where there is one.
#[must_use]
pub fn tip_to_wire_end(end: &FittingEnd) -> Millimetres {
    end.stud_overall - end.insertion + end.growth + end.seat_length
}

/// X_full: the most a stud can stand behind its face, min(h − lock nut, clear depth of the insert).
#[must_use]
pub fn full_engagement(end: &FittingEnd) -> Millimetres {
    let thread = end.usable_thread - end.lock_nut;
    match end.insert_clear_depth {
        Some(depth) => thread.min(depth),
        None => thread,
    }
}

/// Refuses an end whose lengths are not numbers, below zero, or contradict each other.
///
/// # Errors
/// Names the first figure that cannot be.
pub fn check(end: &FittingEnd) -> Result<(), MechanicsError> {
    positive("the stud's overall length", end.stud_overall)?;
    positive("the insertion depth", end.insertion)?;
    not_negative("the growth on swaging", end.growth)?;
    positive("the usable thread", end.usable_thread)?;
    positive("the least engagement", end.least_engagement)?;
    not_negative("the starting engagement", end.start_engagement)?;
    not_negative("the thread kept in reserve", end.reserve)?;
    not_negative("the lock nut's height", end.lock_nut)?;
    not_negative("the seat's length", end.seat_length)?;
    if let Some(depth) = end.insert_clear_depth {
        positive("the insert's clear depth", depth)?;
    }
    positive("the insert hole's diameter", end.hole_diameter)?;
    positive("the insert hole's depth", end.hole_depth)?;
    positive(
        "the stud's length less the insertion depth",
        end.stud_overall - end.insertion,
    )?;
    Ok(())
}
