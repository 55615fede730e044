//! The runs that pull on a post, each with its direction seen from above.
//!
//! Invariant: a direction is there only where somebody told the angle and nobody differs; else every
//! figure is the greatest over all directions, each by itself.

use mechanics::posts::{Hold, LegInPlan, PullInPlan, RailInPlan, WirePull};
use mechanics::{Degrees, Millimetres, Newtons, NewtonsPerMillimetre};

use super::{planned, rail_line, standing};
use crate::ids::ItemId;
use crate::job::things::angle_place;
use crate::job::{Job, PostFacts, PostInRun, Run};
use crate::model::values::{PostRole, Shape};
use crate::work::WorkError;
use crate::work::convert::{fall_is_told, no_slope, signed_slope, slope_of};
use crate::work::inward::pulls;

/// One run's wires as they leave the post on one side.
#[derive(Clone)]
pub(super) struct Leg {
    pub(super) run: ItemId,
    pub(super) name: String,
    pub(super) pulls: Vec<WirePull>,
    pub(super) tension: Newtons,
    pub(super) origin: String,
    /// Direction from the first leg, where it is told; zero for the first itself.
    pub(super) heading: Option<Degrees>,
    /// Height of the run's rail at this post.
    pub(super) rail_at: Option<Millimetres>,
    /// How it holds there, where that is known.
    pub(super) stiffness: Option<NewtonsPerMillimetre>,
}

impl Leg {
    fn way(&self) -> Degrees {
        self.heading.unwrap_or(Degrees(0.0))
    }

    pub(super) fn pulls_in_plan(&self) -> Vec<PullInPlan> {
        let heading = self.way();
        self.pulls
            .iter()
            .map(|pull| PullInPlan {
                pull: *pull,
                heading,
            })
            .collect()
    }

    /// Wires and rail as the engineering takes them: the rail as stiff as is known, as a prop that
    /// does not give, or not at all.
    pub(super) fn in_plan(&self, rail: Option<bool>) -> LegInPlan {
        let rail = rail.and_then(|as_prop| self.rail(as_prop));
        LegInPlan {
            pulls: self.pulls.clone(),
            rail: rail.map(|rail| (rail.height, rail.hold)),
            heading: self.heading,
        }
    }

    /// The run's rail: as stiff as is known, or as a prop that does not give.
    pub(super) fn rail(&self, as_prop: bool) -> Option<RailInPlan> {
        let hold = if as_prop {
            Hold::Rigid
        } else {
            Hold::Spring {
                stiffness: self.stiffness?,
            }
        };
        Some(RailInPlan {
            height: self.rail_at?,
            hold,
            heading: self.way(),
        })
    }
}

/// Every leg at a post: those of the run that is looked at first.
pub(super) fn legs(
    job: &Job<'_>,
    run: &Run,
    at: &PostInRun,
    tension: Newtons,
    origin: &str,
    missing: &mut Vec<String>,
) -> Result<Vec<Leg>, WorkError> {
    let facts = job.post(at.id);
    let mut found = sides(job, run, at, tension, origin, Some(Degrees(0.0)))?;
    if no_slope(run).is_some() {
        missing.push(format!(
            "How steep run {} is, is not settled: its wires count as level, and no lift of post {} \
             is counted.",
            run.name, at.name
        ));
    }
    if run.shape == Shape::Raked && !fall_is_told(run) && at.role != PostRole::Corner {
        missing.push(format!(
            "Which way run {} falls is not told by the floor levels of both its end posts (0 at the first where \
             they count from it): its wires count as lifting post {}.",
            run.name, at.name
        ));
    }
    if at.role == PostRole::Corner {
        let inside = angle(facts, &run.id.to_string());
        if inside.is_none() {
            missing.push(untold(
                facts,
                &run.id.to_string(),
                &format!("how run {} turns at post {}", run.name, at.name),
            ));
        }
        for leg in found.iter_mut().skip(1) {
            leg.heading = inside;
        }
        missing.push(format!(
            "Friction at corner post {} is left out: both sides count with the whole tension.",
            at.name
        ));
    }
    for other in job.runs.iter().filter(|r| r.id != run.id) {
        let Some(there) = other.posts.iter().find(|p| p.id == at.id) else {
            continue;
        };
        if !pulls_at(other, there) {
            continue;
        }
        let place = angle_place(run.id, other.id);
        let heading = angle(facts, &place);
        let mut more = match of_other(job, at, other, there, heading) {
            Ok(more) => more,
            Err(why) => {
                missing.push(format!("{why} That pull is not in these figures."));
                continue;
            }
        };
        // One angle tells of one side; which way the other turns nobody told.
        for leg in more.iter_mut().skip(1) {
            leg.heading = None;
        }
        if more.len() > 1 {
            missing.push(format!(
                "Which way run {} turns at post {} beside run {} is not told: {EACH}.",
                other.name, at.name, run.name
            ));
        }
        if heading.is_none() {
            missing.push(untold(
                facts,
                &place,
                &format!(
                    "the angle of runs {} and {} at post {}",
                    run.name, other.name, at.name
                ),
            ));
        }
        found.extend(more);
    }
    Ok(found)
}

/// Whether a run's wires pull on a post: they end there, or turn.
pub(in crate::work) fn pulls_at(run: &Run, at: &PostInRun) -> bool {
    let ends_there = run
        .ends()
        .is_some_and(|(a, b)| a.id == at.id || b.id == at.id);
    ends_there || at.role == PostRole::Corner
}

/// Another run's legs at a post, or why its pull is not known: one sentence.
pub(super) fn of_other(
    job: &Job<'_>,
    at: &PostInRun,
    other: &Run,
    there: &PostInRun,
    heading: Option<Degrees>,
) -> Result<Vec<Leg>, String> {
    let carries = |what: &str| format!("Post {} also carries run {}, {what}.", at.name, other.name);
    let pulled = planned(job, other).and_then(|plan| {
        plan.map(|(pull, origin)| sides(job, other, there, pull, origin, heading))
            .transpose()
    });
    match pulled {
        Ok(None) => Err(carries("whose tension is neither decided nor asked")),
        // A slip in another run stops nothing here.
        Err(why) => Err(carries(&format!("whose pull can't be computed ({why})"))),
        Ok(Some(legs)) if legs.is_empty() => Err(carries("whose wire heights are not told")),
        Ok(Some(legs)) => Ok(legs),
    }
}

/// The sides on which a run's wires leave a post: one at an end, two at a corner.
pub(super) fn sides(
    job: &Job<'_>,
    run: &Run,
    at: &PostInRun,
    tension: Newtons,
    origin: &str,
    heading: Option<Degrees>,
) -> Result<Vec<Leg>, WorkError> {
    let mut pulls = pulls(run, tension)?;
    if pulls.is_empty() {
        return Ok(Vec::new());
    }
    let rises = rises_from(run, at)?;
    for pull in &mut pulls {
        pull.slope = rises;
    }
    let rail = match standing(job, run, at.id)? {
        Ok(found) => found.post.rail,
        Err(_) => None,
    };
    let leg = Leg {
        run: run.id,
        name: run.name.clone(),
        pulls,
        tension,
        origin: origin.to_owned(),
        heading,
        rail_at: rail_line(run)?,
        stiffness: rail.map(|r| r.stiffness),
    };
    if at.role != PostRole::Corner {
        return Ok(vec![leg]);
    }
    let mut other = leg.clone();
    for pull in &mut other.pulls {
        pull.slope = -pull.slope;
    }
    Ok(vec![leg, other])
}

/// Slope of a run's wires as they leave a post: above zero where they rise from it. Where nobody told
/// which way the run falls they count as rising, since what lifts a post asks more of its fixings; at a
/// corner one side lifts and the other presses, and neither counts.
fn rises_from(run: &Run, at: &PostInRun) -> Result<Degrees, WorkError> {
    let is = |end: Option<&PostInRun>| end.is_some_and(|end| end.id == at.id);
    let (first, last) = (is(run.posts.first()), is(run.posts.last()));
    Ok(match (first, last) {
        _ if !fall_is_told(run) => slope_of(run)?,
        (true, _) => signed_slope(run)?,
        (_, true) => -signed_slope(run)?,
        _ => slope_of(run)?,
    })
}

/// The angle at a place, where people agree on it.
pub(super) fn angle(post: Option<&PostFacts>, place: &str) -> Option<Degrees> {
    let (_, fact) = post?.angles.iter().find(|(of, _)| of == place)?;
    #[allow(clippy::cast_precision_loss)] // at most 18 000
    fact.value().map(|angle| Degrees(angle.cdeg as f64 / 100.0))
}

fn untold(post: Option<&PostFacts>, place: &str, what: &str) -> String {
    let disputed = post.is_some_and(|p| {
        p.angles
            .iter()
            .any(|(of, fact)| of == place && fact.blocks())
    });
    let how = if disputed {
        "is disputed"
    } else {
        "is not told"
    };
    let capital = crate::model::bounds::capital(what);
    format!("{capital} {how}: {EACH}.")
}

/// How figures stand where an angle is not told.
const EACH: &str = "each figure is the greatest over all angles, by itself";
