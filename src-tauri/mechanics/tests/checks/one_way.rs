//! A post under one run's pulls, with its own rail where it has one, as the product's plan sees it.

use mechanics::Degrees;
use mechanics::posts::{
    Hold, PlanDemand, Post, PullInPlan, RailInPlan, WirePull, demand_in_plan, left_out,
};

/// All pulls in one direction, which is the section's side along the wires.
pub(crate) fn in_plan(pulls: &[WirePull]) -> Vec<PullInPlan> {
    let heading = Degrees(0.0);
    let all = pulls.iter().copied();
    all.map(|pull| PullInPlan { pull, heading }).collect()
}

fn rails(post: &Post) -> Vec<RailInPlan> {
    let own = post.rail.map(|rail| RailInPlan {
        height: rail.height,
        hold: Hold::Spring {
            stiffness: rail.stiffness,
        },
        heading: Degrees(0.0),
    });
    own.into_iter().collect()
}

pub(crate) fn demand(post: &Post, pulls: &[WirePull]) -> PlanDemand {
    demand_in_plan(post, &rails(post), &in_plan(pulls)).unwrap()
}

pub(crate) fn untold(post: &Post, pulls: &[WirePull]) -> Vec<String> {
    left_out(post, &rails(post), &in_plan(pulls))
}
