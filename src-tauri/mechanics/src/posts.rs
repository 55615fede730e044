//! Posts under the wires' pull: inward movement, base moment, stress, tip, fixing force.
//!
//! Owns the cantilever influence with rail and turning base, pulls in several directions, and what
//! a known pull tells. Invariant: only demand is stated, never a verdict on a post; what is left
//! out (turning base, rail joint) is said in words. Grades give a figure to stand beside a demand;
//! bolts and inserts are the engineer's or the maker's.

mod any_way;
mod demand;
mod grade;
mod influence;
mod plan;
mod stiffness;

use serde::{Deserialize, Serialize};

use crate::figure::Figure;
use crate::units::{Degrees, Megapascals, Millimetres, Newtons, NewtonsPerMillimetre};

pub use any_way::{LegInPlan, greatest_in_plan, greatest_square_to_any};
pub use demand::{STEEL, left_out};
pub use grade::{DesignBending, GRADES, Grade, design_bending, known_grade, stiffest_known};
pub(crate) use influence::influence_matrix;
pub use influence::{EndPosts, InwardMovement, RunEnd, inward_movement, post_movement};
pub use plan::{Hold, PlanDemand, PullInPlan, RailInPlan, demand_in_plan, lift};
pub use stiffness::{
    KnownPull, PostAsPulled, RailAsPulled, modulus_from_pulls, post_from_pulls, pulled_as,
    rail_from_pulls, stiffest_from_pulls,
};

/// Cross-section of a post, bent in the direction of the wires.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Section {
    /// Solid rectangle.
    #[serde(rename_all = "camelCase")]
    Rectangle {
        /// Side along the wires.
        along: Millimetres,
        /// Side across the wires.
        across: Millimetres,
    },
    /// Rectangular tube.
    #[serde(rename_all = "camelCase")]
    RectangularTube {
        /// Outer side along the wires.
        along: Millimetres,
        /// Outer side across the wires.
        across: Millimetres,
        /// Wall thickness.
        wall: Millimetres,
    },
    /// Solid round.
    #[serde(rename_all = "camelCase")]
    Round {
        /// Diameter.
        diameter: Millimetres,
    },
    /// Round tube.
    #[serde(rename_all = "camelCase")]
    RoundTube {
        /// Outer diameter.
        diameter: Millimetres,
        /// Wall thickness.
        wall: Millimetres,
    },
}

/// A top rail that holds the post at its height.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Rail {
    /// Height of the rail's line above the base.
    pub height: Millimetres,
    /// k_r: stiffness along the run.
    pub stiffness: NewtonsPerMillimetre,
}

/// A post standing on its base.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Post {
    /// Cross-section.
    pub section: Section,
    /// Modulus of elasticity.
    pub modulus: Figure<Megapascals>,
    /// Height of the top above the base.
    pub height: Millimetres,
    /// Top rail, where it is on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub rail: Option<Rail>,
    /// k_θ: moment per turn of the base, newton millimetres per radian, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub base_turning: Option<Figure<f64>>,
    /// Distance of the base bolts in the direction of the wires, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bolt_distance: Option<Millimetres>,
}

/// One wire pulling on a post.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct WirePull {
    /// Height of the wire above the post's base.
    pub height: Millimetres,
    /// Tension of the wire.
    pub tension: Newtons,
    /// Slope of the wire as it leaves the post: above zero where it rises and so lifts the post, below
    /// zero where it falls away and presses it down. Only the level part of its pull bends the post.
    pub slope: Degrees,
}
