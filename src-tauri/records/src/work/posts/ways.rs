//! A post held in each way: free, by its rails as stiff as they are, by rails that do not give.
//!
//! Invariant: what rests on the post's stiffness is told only where that is known; of two readings
//! of base and stiffness each figure is the greater, and both stand beside it.

use mechanics::Degrees;
use mechanics::posts::{
    LegInPlan, PlanDemand, Post, PullInPlan, RailInPlan, Section, greatest_square_to_any, left_out,
};

use super::build::Build;
use super::legs::Leg;
use super::{ByBase, Held, PostHeld};
use crate::work::WorkError;

/// A post as its demand is worked out: as soft as it is shown, and as stiff as it can be beside that.
pub(super) struct Stood {
    pub(super) post: Post,
    /// How far its section is told: without a wall where one is there, no stress is.
    pub(super) build: Build,
    /// What `post` counts with, in words.
    pub(super) softest: &'static str,
    pub(super) stiffest: Option<(Post, String)>,
    pub(super) stiffness_known: bool,
}

impl Stood {
    /// Said where a stress is told that only a solid post has.
    pub(super) fn doubt(&self, name: &str) -> Option<String> {
        (self.build == Build::TakenAsSolid).then(|| {
            format!(
                "Nobody told whether post {name} is solid or hollow: its stress is that of a solid \
                 one, and in a hollow one it is several times that. Tell it under the post's section."
            )
        })
    }

    fn stress(&self, of: &PlanDemand) -> Option<f64> {
        (!self.build.is_outside_only()).then_some(of.base_stress.value())
    }
}

/// A step by which bases are told to lie lower than heights count from, metres.
const LOWER_M: f64 = 0.1;

/// The same with a right angle wherever none is told.
pub(super) fn squared(of: &Stood, legs: &[&Leg]) -> Result<Vec<PostHeld>, WorkError> {
    let square: Vec<Leg> = legs
        .iter()
        .map(|leg| Leg {
            heading: leg.heading.or(Some(Degrees(90.0))),
            ..(*leg).clone()
        })
        .collect();
    ways(of, &square.iter().collect::<Vec<_>>())
}

/// Demand held in each way, as far as it is known.
pub(super) fn ways(of: &Stood, legs: &[&Leg]) -> Result<Vec<PostHeld>, WorkError> {
    let has_rail = |as_prop: bool| legs.iter().any(|l| l.rail(as_prop).is_some());
    let mut found = vec![one(Held::Free, of, legs)?];
    if has_rail(false) && of.stiffness_known {
        found.push(one(Held::WithRail, of, legs)?);
    }
    if has_rail(true) {
        found.push(one(Held::Propped, of, legs)?);
    }
    // Rails stand in the order of the legs: where the first has none, the first rail is another's.
    // Of rails that do not give, among three legs in unknown directions, the force has no greatest.
    let endless = legs.len() > 2 && legs.iter().any(|l| l.heading.is_none());
    for held in &mut found {
        let as_prop = held.held == Held::Propped;
        if (as_prop && endless) || legs.first().is_none_or(|l| l.rail(as_prop).is_none()) {
            held.rail_force_n = None;
            for by in &mut held.by_base {
                by.rail_force_n = None;
            }
        }
    }
    Ok(found)
}

fn one(held: Held, of: &Stood, legs: &[&Leg]) -> Result<PostHeld, WorkError> {
    let rail = match held {
        Held::Free => None,
        Held::WithRail => Some(false),
        Held::Propped => Some(true),
    };
    let in_plan: Vec<LegInPlan> = legs.iter().map(|leg| leg.in_plan(rail)).collect();
    let softest = either_way_round(&of.post, &in_plan)?;
    let mut demand = softest.clone();
    let mut by_base = Vec::new();
    if let Some((stiff, words)) = of.stiffest.as_ref().filter(|_| of.stiffness_known) {
        let stiffest = either_way_round(stiff, &in_plan)?;
        demand = softest.greater_of_each(&stiffest);
        by_base = vec![
            reading(of, of.softest, &softest),
            reading(of, words, &stiffest),
        ];
    }
    let pulls: Vec<PullInPlan> = legs.iter().flat_map(|l| l.pulls_in_plan()).collect();
    let rails: Vec<RailInPlan> = rail.map_or_else(Vec::new, |as_prop| {
        legs.iter().filter_map(|l| l.rail(as_prop)).collect()
    });
    let mut left_out = left_out(&of.post, &rails, &pulls);
    left_out.push(format!(
        "Heights count from the floor at the post, on a stair from the line of the nosings: for each \
         100 mm that the base is fixed lower a free post carries {:.0} N·m more.",
        demand.level_pull.value() * LOWER_M
    ));
    if !of.stiffness_known {
        left_out.retain(|words| !words.contains("not turning"));
    }
    Ok(PostHeld {
        held,
        level_pull_n: demand.level_pull.value(),
        base_moment_nm: demand.base_moment.value(),
        base_stress_mpa: of.stress(&demand),
        taken_as_solid: of.build == Build::TakenAsSolid,
        tip_mm: of.stiffness_known.then_some(demand.tip.value()),
        wires_mm: if of.stiffness_known {
            demand.along_wires.iter().map(|m| m.value()).collect()
        } else {
            Vec::new()
        },
        rail_force_n: demand.rail_forces.first().map(|f| f.value()),
        fixing_force_n: demand.fixing_force.map(|f| f.value()),
        by_base,
        left_out,
    })
}

fn reading(post: &Stood, name: &str, of: &PlanDemand) -> ByBase {
    ByBase {
        name: name.to_owned(),
        base_moment_nm: of.base_moment.value(),
        base_stress_mpa: post.stress(of),
        tip_mm: of.tip.value(),
        rail_force_n: of.rail_forces.first().map(|f| f.value()),
        fixing_force_n: of.fixing_force.map(|f| f.value()),
    }
}

/// A post that carries pulls in several directions may stand square to any of them, and one that is
/// not square either way round: each figure is that of the stand that asks most.
fn either_way_round(post: &Post, legs: &[LegInPlan]) -> Result<PlanDemand, WorkError> {
    let found = greatest_square_to_any(post, legs)?;
    let several = legs
        .iter()
        .any(|leg| leg.heading.is_none() || Some(leg.heading) != legs.first().map(|l| l.heading));
    let turned = match post.section {
        Section::Rectangle { along, across } if several && along != across => Section::Rectangle {
            along: across,
            across: along,
        },
        Section::RectangularTube {
            along,
            across,
            wall,
        } if several && along != across => Section::RectangularTube {
            along: across,
            across: along,
            wall,
        },
        _ => return Ok(found),
    };
    let other = Post {
        section: turned,
        ..post.clone()
    };
    Ok(found.greater_of_each(&greatest_square_to_any(&other, legs)?))
}
