//! Demand on a post that one run pulls: moment and stress at the base, tip, rail and fixing forces.
//!
//! Invariant: demand only, each with the model it rests on and who must look at it.

use serde::{Deserialize, Serialize};

use super::plan::{Hold, PlanDemand, PullInPlan, RailInPlan, demand_in_plan, lift};
use super::{Post, WirePull};
use crate::error::MechanicsError;
use crate::units::{Degrees, Megapascals, Millimetres, NewtonMetres, Newtons};

/// Modulus of elasticity of structural steel (EN 1993-1-1, 3.2.6).
pub const STEEL: Megapascals = Megapascals(210_000.0);

/// How the post is taken to be held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum DemandModel {
    /// Held at the base only.
    FreeCantilever,
    /// Held at the base and by the top rail.
    WithRail,
}

/// What the wires ask of a post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PostDemand {
    /// How the post is taken to be held.
    pub model: DemandModel,
    /// Sum of the level parts of the pulls.
    pub level_pull: Newtons,
    /// Moment at the base.
    pub base_moment: NewtonMetres,
    /// Bending stress at the base.
    pub base_stress: Megapascals,
    /// Movement of the top.
    pub tip: Millimetres,
    /// Movement along each wire, in the order of the pulls.
    pub along_wires: Vec<Millimetres>,
    /// Force that the rail and its joint carry, where there is a rail.
    pub rail_force: Option<Newtons>,
    /// Pull on the base fixings: moment over bolt distance, where that is known.
    pub fixing_force: Option<Newtons>,
    /// What the figures leave out, in words.
    pub left_out: Vec<String>,
    /// Who must look at it.
    pub confirm: String,
}

/// Demand on a post under one run's pulls, with its rail where it has one.
///
/// # Errors
/// When an input cannot be.
pub fn post_demand(post: &Post, pulls: &[WirePull]) -> Result<PostDemand, MechanicsError> {
    let one_way = Degrees(0.0);
    let pulls: Vec<PullInPlan> = pulls
        .iter()
        .map(|pull| PullInPlan {
            pull: *pull,
            heading: one_way,
        })
        .collect();
    let rails: Vec<RailInPlan> = post
        .rail
        .iter()
        .map(|rail| RailInPlan {
            height: rail.height,
            hold: Hold::Spring {
                stiffness: rail.stiffness,
            },
            heading: one_way,
        })
        .collect();
    let PlanDemand {
        level_pull,
        base_moment,
        base_stress,
        tip,
        along_wires,
        rail_forces,
        fixing_force,
    } = demand_in_plan(post, &rails, &pulls)?;
    Ok(PostDemand {
        model: match post.rail {
            Some(_) => DemandModel::WithRail,
            None => DemandModel::FreeCantilever,
        },
        level_pull,
        base_moment,
        base_stress,
        tip,
        along_wires,
        rail_force: rail_forces.first().copied(),
        fixing_force,
        left_out: left_out(post, &rails, &pulls),
        confirm: "licensed engineer: posts, base fixings and rail joint under this pull".to_owned(),
    })
}

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
