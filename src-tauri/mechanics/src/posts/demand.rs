//! Demand on a post: moment and stress at the base, tip, rail and fixing forces.
//!
//! Invariant: demand only, each with the model it rests on and who must look at it.

use serde::{Deserialize, Serialize};

use super::influence::{Frame, inertia_and_modulus, level_part, post_movement};
use super::{Post, WirePull};
use crate::error::{MechanicsError, positive};
use crate::units::{Megapascals, Millimetres, NewtonMetres, Newtons};

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
    /// Force that the rail and its joint carry, where there is a rail.
    pub rail_force: Option<Newtons>,
    /// Pull on the base fixings: moment over bolt distance, where that is known.
    pub fixing_force: Option<Newtons>,
    /// What the figures leave out, in words.
    pub left_out: Vec<String>,
    /// Who must look at it.
    pub confirm: String,
}

/// Demand on a post under the wires' pulls, with its rail where it has one.
///
/// # Errors
/// When an input cannot be.
pub fn post_demand(post: &Post, pulls: &[WirePull]) -> Result<PostDemand, MechanicsError> {
    let frame = Frame::of(post)?;
    let top = positive("the post's height", post.height.value())?;
    let (_, section_modulus) = inertia_and_modulus(post.section)?;
    let mut level_pull = 0.0;
    let mut moment = 0.0;
    let mut rail_force = 0.0;
    for pull in pulls {
        let (height, level) = level_part(pull)?;
        level_pull += level;
        moment += level * height;
        if let Some(rail) = post.rail {
            let at = rail.height.value();
            let held = frame.free(at, at) + 1.0 / rail.stiffness.value();
            rail_force += level * frame.free(at, height) / held;
        }
    }
    if let Some(rail) = post.rail {
        moment -= rail_force * rail.height.value();
    }
    let fixing_force = match post.bolt_distance {
        Some(distance) => Some(Newtons(
            moment / positive("the bolts' distance", distance.value())?,
        )),
        None => None,
    };
    Ok(PostDemand {
        model: match post.rail {
            Some(_) => DemandModel::WithRail,
            None => DemandModel::FreeCantilever,
        },
        level_pull: Newtons(level_pull),
        base_moment: NewtonMetres(moment / 1.0e3),
        base_stress: Megapascals(moment / section_modulus),
        tip: post_movement(post, pulls, Millimetres(top))?,
        rail_force: post.rail.map(|_| Newtons(rail_force)),
        fixing_force,
        left_out: left_out(post),
        confirm: "licensed engineer: posts, base fixings and rail joint under this pull".to_owned(),
    })
}

fn left_out(post: &Post) -> Vec<String> {
    let mut words = Vec::new();
    if post.base_turning.is_none() {
        words.push("The base is taken as not turning: movement is understated.".to_owned());
    }
    if post.rail.is_some() {
        words.push(
            "The rail counts only if it and its joint carry the rail force; without it the \
             post stands as a free cantilever."
                .to_owned(),
        );
    }
    if post.bolt_distance.is_none() {
        words.push("The bolts' distance is not known: no force on the fixings.".to_owned());
    }
    words.push("Loads of people and wind are not in these figures.".to_owned());
    words
}
