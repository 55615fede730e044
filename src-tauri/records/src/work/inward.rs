//! How far the end posts of a run move in, wire by wire, with every wire at one tension and other
//! runs on the posts at theirs.
//!
//! Invariant: where a figure of a post is missing, the movement is none and the answer says so.

use mechanics::posts::{EndPosts, RunEnd, WirePull, inward_movement};
use mechanics::{Degrees, Millimetres, Newtons};

use super::WorkError;
use super::convert::{heights, slope_of};
use super::figures;
use super::posts::{OnPost, Pulled, others_on, standing};
use crate::ids::ItemId;
use crate::job::{Job, Run};
use crate::model::context::Number;
use crate::model::fields;

/// Movement of both ends of each wire, from the bottom.
pub(super) struct Inward {
    pub(super) along_wire: Vec<Millimetres>,
    /// The part of it that other runs do while this one hangs slack.
    pub(super) before: Vec<Millimetres>,
    pub(super) origin: figures::Origin,
    /// Why nothing is known of it, where a figure of a post is missing: it counts as nothing then.
    pub(super) untold: Option<String>,
    /// What the figure leaves out or assumes.
    pub(super) notes: Vec<String>,
    /// Other runs that are counted on the end posts.
    pub(super) others: Vec<OnPost>,
    /// Their pulls with origins.
    pub(super) inputs: Vec<Number>,
}

/// Inward movement with all wires at a tension.
pub(super) fn inward(job: &Job<'_>, run: &Run, tension: Newtons) -> Result<Inward, WorkError> {
    let still = vec![Millimetres(0.0); run.wires.len()];
    let none = |untold: Option<String>| Inward {
        along_wire: still.clone(),
        before: still.clone(),
        origin: figures::Origin::Assumed,
        notes: untold.clone().into_iter().collect(),
        untold,
        others: Vec::new(),
        inputs: Vec::new(),
    };
    let (ends, mut notes) = match ends_as_they_stand(job, run, tension)? {
        Ok(found) => found,
        Err(missing) => {
            return Ok(none(Some(format!(
                "{missing} So the posts' movement counts as nothing: cuts may come out too long."
            ))));
        }
    };
    let shown_free = notes.iter().any(|n| n.contains("does not hold it"));
    if (ends.start.rail.is_none() || ends.end.rail.is_none()) && !shown_free {
        notes.push(
            if job.reader.blocks(fields::RUN_RAIL, &run.subject()) {
                "The rail is disputed: the posts are taken as standing free."
            } else {
                "No stiffness of a rail is told: the posts are taken as standing free."
            }
            .to_owned(),
        );
    }
    let moved = inward_movement(&ends)?;
    let Some((first, last)) = run.ends() else {
        return Ok(none(None));
    };
    let (mut others, mut inputs) = (Vec::new(), Vec::new());
    for post in [first, last] {
        let on = others_on(job, run, post, tension)?;
        notes.extend(on.notes);
        inputs.extend(on.inputs);
        others.extend(on.counted);
    }
    let planned = |_: ItemId, _: usize| None;
    let by_others = |own: Newtons| added(&others, &vec![own; run.wires.len()], &planned);
    let (then, before) = (by_others(tension)?, by_others(Newtons(0.0))?);
    notes.extend(moved.understated.iter().map(|end| {
        let name = match end {
            RunEnd::Start => &first.name,
            RunEnd::End => &last.name,
        };
        format!(
            "Post {name}'s base is taken as not turning, so its movement is understated; a known \
             pull on the post shows its real stiffness."
        )
    }));
    Ok(Inward {
        along_wire: sum(moved.along_wire, &then),
        before,
        untold: None,
        origin: figures::Origin::Computed,
        notes,
        others,
        inputs,
    })
}

/// What other runs on both end posts add along each of a run's own wires.
pub(super) fn added(
    others: &[OnPost],
    own: &[Newtons],
    pulled: Pulled<'_>,
) -> Result<Vec<Millimetres>, WorkError> {
    let mut found = vec![Millimetres(0.0); own.len()];
    for on in others {
        found = sum(found, &on.added(own, pulled)?);
    }
    Ok(found)
}

fn sum(to: Vec<Millimetres>, more: &[Millimetres]) -> Vec<Millimetres> {
    to.into_iter().zip(more).map(|(a, b)| a + *b).collect()
}

/// Both end posts of a run with every wire at one tension, or what is missing.
pub(super) fn end_posts(
    job: &Job<'_>,
    run: &Run,
    tension: Newtons,
) -> Result<Result<EndPosts, String>, WorkError> {
    Ok(ends_as_they_stand(job, run, tension)?.map(|(ends, _)| ends))
}

/// The same, with what known pulls showed of them.
fn ends_as_they_stand(
    job: &Job<'_>,
    run: &Run,
    tension: Newtons,
) -> Result<Result<(EndPosts, Vec<String>), String>, WorkError> {
    let Some((first, last)) = run.ends() else {
        return Ok(Err("The run has no two end posts.".to_owned()));
    };
    let pulls = pulls(run, tension)?;
    if pulls.len() != run.wires.len() {
        return Ok(Err("Heights of the wires are missing.".to_owned()));
    }
    Ok(
        match (standing(job, run, first.id)?, standing(job, run, last.id)?) {
            (Ok(start), Ok(end)) => {
                let mut said: Vec<String> = start.stated.into_iter().collect();
                said.extend(start.pulled);
                said.extend(start.doubts);
                said.extend(end.stated);
                said.extend(end.pulled);
                said.extend(end.doubts);
                let ends = EndPosts {
                    start: start.post,
                    start_pulls: pulls.clone(),
                    end: end.post,
                    end_pulls: pulls,
                };
                Ok((ends, said))
            }
            (start, end) => {
                let missing: Vec<String> = [start.err(), end.err()].into_iter().flatten().collect();
                Err(missing.join(" "))
            }
        },
    )
}

/// Pulls of a run's wires on an end post, from the bottom.
pub(super) fn pulls(run: &Run, tension: Newtons) -> Result<Vec<WirePull>, WorkError> {
    let slope: Degrees = slope_of(run)?;
    Ok(heights(run)
        .into_iter()
        .take(run.wires.len())
        .map(|height| WirePull {
            height,
            tension,
            slope,
        })
        .collect())
}
