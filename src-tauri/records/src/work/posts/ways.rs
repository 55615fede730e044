//! A post held in each way: free, by its rails as stiff as they are, by rails that do not give.
//!
//! Invariant: what rests on the post's stiffness is told only where that is known.

use mechanics::Degrees;
use mechanics::posts::{
    PlanDemand, Post, PullInPlan, RailInPlan, Section, demand_in_plan, left_out,
};

use super::legs::Leg;
use super::{Held, PostHeld};
use crate::work::WorkError;

/// The same with a right angle wherever none is told.
pub(super) fn squared(
    post: &Post,
    legs: &[&Leg],
    stiffness_known: bool,
) -> Result<Vec<PostHeld>, WorkError> {
    let square: Vec<Leg> = legs
        .iter()
        .map(|leg| Leg {
            heading: leg.heading.or(Some(Degrees(90.0))),
            ..(*leg).clone()
        })
        .collect();
    ways(post, &square.iter().collect::<Vec<_>>(), stiffness_known)
}

/// Demand held in each way, as far as it is known.
pub(super) fn ways(
    post: &Post,
    legs: &[&Leg],
    stiffness_known: bool,
) -> Result<Vec<PostHeld>, WorkError> {
    let pulls: Vec<PullInPlan> = legs.iter().flat_map(|l| l.pulls_in_plan()).collect();
    let sprung: Vec<RailInPlan> = legs.iter().filter_map(|l| l.rail(false)).collect();
    let propped: Vec<RailInPlan> = legs.iter().filter_map(|l| l.rail(true)).collect();
    let mut found = vec![one(Held::Free, post, &[], &pulls, stiffness_known)?];
    if !sprung.is_empty() && stiffness_known {
        found.push(one(Held::WithRail, post, &sprung, &pulls, true)?);
    }
    if !propped.is_empty() {
        found.push(one(Held::Propped, post, &propped, &pulls, stiffness_known)?);
    }
    // Rails stand in the order of the legs: where the first has none, the first rail is another's.
    for held in &mut found {
        let as_prop = held.held == Held::Propped;
        if legs.first().is_none_or(|l| l.rail(as_prop).is_none()) {
            held.rail_force_n = None;
        }
    }
    Ok(found)
}

fn one(
    held: Held,
    post: &Post,
    rails: &[RailInPlan],
    pulls: &[PullInPlan],
    stiffness_known: bool,
) -> Result<PostHeld, WorkError> {
    let demand = worse_way(post, rails, pulls)?;
    let mut left_out = left_out(post, rails, pulls);
    if !stiffness_known {
        left_out.retain(|words| !words.contains("not turning"));
    }
    Ok(PostHeld {
        held,
        level_pull_n: demand.level_pull.value(),
        base_moment_nm: demand.base_moment.value(),
        base_stress_mpa: demand.base_stress.value(),
        tip_mm: stiffness_known.then_some(demand.tip.value()),
        wires_mm: if stiffness_known {
            demand.along_wires.iter().map(|m| m.value()).collect()
        } else {
            Vec::new()
        },
        rail_force_n: demand.rail_forces.first().map(|f| f.value()),
        fixing_force_n: demand.fixing_force.map(|f| f.value()),
        left_out,
    })
}

/// A post that is not square and carries pulls in several directions may stand either way round to
/// the first of them: the way with the larger stress counts.
fn worse_way(
    post: &Post,
    rails: &[RailInPlan],
    pulls: &[PullInPlan],
) -> Result<PlanDemand, WorkError> {
    let found = demand_in_plan(post, rails, pulls)?;
    let several = pulls
        .iter()
        .any(|p| Some(p.heading) != pulls.first().map(|f| f.heading));
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
    let other = demand_in_plan(&other, rails, pulls)?;
    Ok(if other.base_stress > found.base_stress {
        other
    } else {
        found
    })
}
