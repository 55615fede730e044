//! What other runs on a run's end post add to the post's movement along this run's wires.
//!
//! Invariant: a pull is counted where its direction is told and agreed and its wires are known; of
//! any other the answer says that it is not counted, and by how much it may move the top wire. What
//! is added is the movement by all runs less that by this run alone, each with its own rails.

use mechanics::posts::{Post, PullInPlan, RailInPlan, Section, demand_in_plan};
use mechanics::{Degrees, Millimetres, Newtons};

use super::legs::{Leg, angle, of_other, pulls_at, sides};
use super::standing;
use super::wall::is_wall;
use crate::ids::ItemId;
use crate::job::things::angle_place;
use crate::job::{Job, PostInRun, Run, Wire};
use crate::model::context::Number;
use crate::model::values::PostRole;
use crate::work::{WorkError, words};

/// The tension of another run's wire, by run and place from the bottom.
pub(in crate::work) type Pulled<'a> = &'a dyn Fn(ItemId, usize) -> Option<Newtons>;

/// The other runs whose pull on an end post is known.
pub(in crate::work) struct OnPost {
    post: Post,
    own: Leg,
    others: Vec<Leg>,
}

impl OnPost {
    /// The runs whose pull is counted.
    pub(in crate::work) fn runs(&self) -> impl Iterator<Item = ItemId> + '_ {
        self.others.iter().map(|leg| leg.run)
    }
}

/// The same with what is said of it.
pub(in crate::work) struct Others {
    /// None where no other run's pull is known.
    pub(in crate::work) counted: Option<OnPost>,
    /// What is counted and what is left out, in sentences.
    pub(in crate::work) notes: Vec<String>,
    /// The pulls that are counted, with their origins.
    pub(in crate::work) inputs: Vec<Number>,
}

/// Every other run that pulls on a run's post, with the place under which their angle stands.
pub(in crate::work) fn beside<'j>(
    job: &'j Job<'_>,
    run: &Run,
    at: &PostInRun,
) -> Vec<(&'j Run, &'j PostInRun, String)> {
    let others = job.runs.iter().filter(|other| other.id != run.id);
    others
        .filter_map(|other| {
            let there = other.posts.iter().find(|p| p.id == at.id)?;
            pulls_at(other, there).then(|| (other, there, angle_place(run.id, other.id)))
        })
        .collect()
}

/// Every other run that has a run's post, pulling there or not, with the place under which their angle stands.
pub(in crate::work) fn standing_at<'j>(
    job: &'j Job<'_>,
    run: &Run,
    at: &PostInRun,
) -> Vec<(&'j Run, String)> {
    let others = job.runs.iter().filter(|other| other.id != run.id);
    let has = |other: &&Run| other.posts.iter().any(|p| p.id == at.id);
    others
        .filter(has)
        .map(|other| (other, angle_place(run.id, other.id)))
        .collect()
}

/// Whether another run that stands under a place on a post pulls along a run's wires: whether it leaves it
/// square is told by their angle, where that is told and agreed.
fn pulls_along(job: &Job<'_>, at: &PostInRun, there: &PostInRun, place: &str) -> bool {
    let turns = [at, there].iter().any(|p| p.role == PostRole::Corner);
    let across = |angle: Degrees| angle.radians().cos().abs() < ACROSS;
    turns || !angle(job.post(at.id), place).is_some_and(across)
}

/// Cosine of an angle that is square within half a degree.
const ACROSS: f64 = 0.0087;

/// The runs whose pull may take tension from a run's wires, each once, with the post that carries both; none by a
/// wall, which is taken as not moving.
pub(in crate::work) fn pulling_along<'j>(job: &'j Job<'_>, run: &Run) -> Vec<(&'j Run, String)> {
    let mut found: Vec<(&Run, String)> = Vec::new();
    let moves = |at: &&PostInRun| pulls_at(run, at) && !job.post(at.id).is_some_and(is_wall);
    for at in run.posts.iter().filter(moves) {
        for (other, there, place) in beside(job, run, at) {
            let known = found.iter().any(|(known, _)| known.id == other.id);
            if !known && pulls_along(job, at, there, &place) {
                found.push((other, at.name.clone()));
            }
        }
    }
    found
}

/// What is left out beside a run whose posts other runs pull on too, one sentence for each.
pub(in crate::work) fn beside_notes(job: &Job<'_>, run: &Run) -> Vec<String> {
    let told = |(other, post): (&Run, String)| {
        format!(
            "Run {} pulls on post {post} too: what turning its wires gives or takes here is not \
             counted. After it, read run {} again.",
            other.name, run.name
        )
    };
    pulling_along(job, run).into_iter().map(told).collect()
}

/// The other runs on a run's end post, with the run's own wires at a tension.
pub(in crate::work) fn others_on(
    job: &Job<'_>,
    run: &Run,
    at: &PostInRun,
    tension: Newtons,
) -> Result<Others, WorkError> {
    let mut found = Others {
        counted: None,
        notes: Vec::new(),
        inputs: Vec::new(),
    };
    let beside = beside(job, run, at);
    // A wall is taken as not moving, whatever else pulls on it and from where.
    if beside.is_empty() || job.post(at.id).is_some_and(is_wall) {
        return Ok(found);
    }
    let Ok(standing) = standing(job, run, at.id)? else {
        return Ok(found);
    };
    let Some(own) = sides(job, run, at, tension, "", Some(Degrees(0.0)))?.pop() else {
        return Ok(found);
    };
    let mut all = OnPost {
        post: standing.post,
        own,
        others: Vec::new(),
    };
    for (other, there, place) in beside {
        let heading = angle(job.post(at.id), &place);
        let legs = match of_other(job, at, other, there, heading) {
            Ok(legs) => legs,
            Err(why) => {
                found.notes.push(format!("{why} {NOT_COUNTED}"));
                continue;
            }
        };
        if there.role == PostRole::Corner {
            found.notes.push(format!(
                "Run {} turns at post {}, and which way its two sides pull on run {}'s wires is not \
                 told. {NOT_COUNTED}",
                other.name, at.name, run.name
            ));
            continue;
        }
        let Some(leg) = legs.into_iter().next() else {
            continue;
        };
        let Some(heading) = heading else {
            found.notes.push(all.untold(&leg, run, at)?);
            continue;
        };
        found.notes.push(all.told(&leg, heading, run, at)?);
        found.inputs.push(Number {
            name: format!("pull of run {} on post {}", leg.name, at.name),
            value: format!(
                "{} at {}, {:.0}° from run {}",
                words::wires_counted(leg.pulls.len()),
                leg.tension,
                heading.value(),
                run.name
            ),
            origin: leg.origin.clone(),
        });
        all.others.push(leg);
    }
    found.counted = (!all.others.is_empty()).then_some(all);
    Ok(found)
}

/// Directions from straight on to straight back that are tried of an angle that is not told, 5° apart: what lies
/// between two of them is told by less than the tenth that figures are rounded outwards to.
const STEPS: u32 = 36;

const NOT_COUNTED: &str = "Its pull is not counted in the posts' movement.";

impl OnPost {
    /// What the others add to the movement along each of the run's own wires, inward above zero:
    /// own wires at these tensions, the others' at what is told of them, else as planned.
    ///
    /// # Errors
    /// When a figure can't be.
    pub(in crate::work) fn added(
        &self,
        own: &[Newtons],
        others: Pulled<'_>,
    ) -> Result<Vec<Millimetres>, WorkError> {
        let mut own_leg = self.own.clone();
        for (pull, tension) in own_leg.pulls.iter_mut().zip(own) {
            pull.tension = *tension;
        }
        let mut legs = vec![own_leg];
        for leg in &self.others {
            let mut leg = leg.clone();
            for (place, pull) in leg.pulls.iter_mut().enumerate() {
                pull.tension = others(leg.run, place).unwrap_or(pull.tension);
            }
            legs.push(leg);
        }
        self.more(&legs)
    }

    /// Movement along the first leg's wires by all legs, less that by the first alone.
    fn more(&self, legs: &[Leg]) -> Result<Vec<Millimetres>, WorkError> {
        let along = |legs: &[Leg]| -> Result<Vec<Millimetres>, WorkError> {
            let pulls: Vec<PullInPlan> = legs.iter().flat_map(Leg::pulls_in_plan).collect();
            let rails: Vec<RailInPlan> = legs.iter().filter_map(|l| l.rail(false)).collect();
            Ok(demand_in_plan(&self.post, &rails, &pulls)?.along_wires)
        };
        let (all, alone) = (along(legs)?, along(legs.get(..1).unwrap_or_default())?);
        Ok(alone.iter().zip(all).map(|(own, all)| all - *own).collect())
    }

    /// What one more run adds along the top wire, leaving in a direction.
    fn top(&self, leg: &Leg, heading: Degrees) -> Result<f64, WorkError> {
        let turned = Leg {
            heading: Some(heading),
            ..leg.clone()
        };
        let more = self.more(&[self.own.clone(), turned])?;
        let top = more.last().map_or(0.0, |more| more.value());
        // No nought with a sign.
        Ok(if top.abs() < 0.05 { 0.0 } else { top })
    }

    fn told(
        &self,
        leg: &Leg,
        heading: Degrees,
        run: &Run,
        at: &PostInRun,
    ) -> Result<String, WorkError> {
        let more = self.top(leg, heading)?;
        let mut told = format!(
            "Run {} pulls on post {} too and moves it {} mm along the top wire of run {}: \
             counted in the posts' movement, with both runs at their tension ({} at {}, {}, \
             {:.0}° apart).",
            leg.name,
            at.name,
            signed(more),
            run.name,
            words::wires_counted(leg.pulls.len()),
            leg.tension,
            leg.origin,
            heading.value()
        );
        if let Some(along) =
            flat(self.post.section).filter(|_| heading.radians().sin().abs() > 0.05)
        {
            told.push_str(&format!(
                " The post is not square: its side of {along} counts as lying along run {}.",
                run.name
            ));
        }
        Ok(told)
    }

    fn untold(&self, leg: &Leg, run: &Run, at: &PostInRun) -> Result<String, WorkError> {
        let (least, most) = self.by_any_angle(leg)?;
        let left = match !run.wires.is_empty() && run.wires.iter().all(Wire::is_cut) {
            true => "the wires were cut without it",
            false => "tell the angle before cutting",
        };
        Ok(format!(
            "Run {} pulls on post {} too; the angle is not told, so its pull is not counted in the \
             posts' movement. By the angle it moves the top wire of run {} by {} to {} mm: \
             {left}.",
            leg.name,
            at.name,
            run.name,
            signed((least * 10.0).floor() / 10.0),
            signed((most * 10.0).ceil() / 10.0)
        ))
    }

    /// The least and the most that one more run adds along the top wire, whichever way it leaves: a stiff rail of its
    /// own may make most of it lie between straight on and straight back. One side is the other's mirror.
    fn by_any_angle(&self, leg: &Leg) -> Result<(f64, f64), WorkError> {
        let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
        for step in 0..=STEPS {
            let more = self.top(leg, Degrees(180.0 * f64::from(step) / f64::from(STEPS)))?;
            (least, most) = (least.min(more), most.max(more));
        }
        Ok((least, most))
    }
}

/// Millimetres to a tenth, with the sign that is printed.
fn signed(mm: f64) -> String {
    format!("{mm:.1}").replace('-', "−")
}

/// The side along the wires of a post that is not the same both ways.
fn flat(section: Section) -> Option<Millimetres> {
    match section {
        Section::Rectangle { along, across } | Section::RectangularTube { along, across, .. } => {
            (along != across).then_some(along)
        }
        Section::Round { .. } | Section::RoundTube { .. } => None,
    }
}
