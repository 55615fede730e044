//! How far the end posts of a run move in, wire by wire, with every wire at one tension.
//!
//! Invariant: where a figure of a post is missing, the movement is none and the answer says so.

use mechanics::posts::{EndPosts, Post, Rail, RunEnd, Section, WirePull, inward_movement};
use mechanics::{Degrees, Figure, Megapascals, Millimetres, Newtons, NewtonsPerMillimetre, Origin};
use serde::de::DeserializeOwned;

use super::WorkError;
use super::convert::{heights, mm, nm, slope_of};
use super::figures;
use crate::ids::ItemId;
use crate::job::{Job, PostFacts, Run};
use crate::model::{Field, fields, values};
use crate::subject::Subject;

/// Movement of both ends of each wire, from the bottom.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Inward {
    pub(super) along_wire: Vec<Millimetres>,
    pub(super) origin: figures::Origin,
    /// What the figure leaves out or assumes.
    pub(super) notes: Vec<String>,
}

/// Inward movement with all wires at a tension.
pub(super) fn inward(job: &Job<'_>, run: &Run, tension: Newtons) -> Result<Inward, WorkError> {
    let none = |notes| Inward {
        along_wire: vec![Millimetres(0.0); run.wires.len()],
        origin: figures::Origin::Assumed,
        notes,
    };
    let ends = match end_posts(job, run, tension)? {
        Ok(ends) => ends,
        Err(missing) => {
            return Ok(none(vec![format!(
                "{missing} So the posts' movement counts as nothing: cuts may come out too long."
            )]));
        }
    };
    let mut notes = Vec::new();
    if ends.start.rail.is_none() || ends.end.rail.is_none() {
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
        return Ok(none(notes));
    };
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
        along_wire: moved.along_wire,
        origin: figures::Origin::Computed,
        notes,
    })
}

/// Both end posts of a run with every wire at one tension, or what is missing.
pub(super) fn end_posts(
    job: &Job<'_>,
    run: &Run,
    tension: Newtons,
) -> Result<Result<EndPosts, String>, WorkError> {
    let Some((first, last)) = run.ends() else {
        return Ok(Err("The run has no two end posts.".to_owned()));
    };
    let pulls = pulls(run, tension)?;
    if pulls.len() != run.wires.len() {
        return Ok(Err("Heights of the wires are missing.".to_owned()));
    }
    Ok(
        match (standing(job, run, first.id)?, standing(job, run, last.id)?) {
            (Ok(start), Ok(end)) => Ok(EndPosts {
                start,
                start_pulls: pulls.clone(),
                end,
                end_pulls: pulls,
            }),
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

/// A post with its rail as the engineering takes it, or what is missing.
pub(super) fn standing(
    job: &Job<'_>,
    run: &Run,
    id: ItemId,
) -> Result<Result<Post, String>, WorkError> {
    let Some(post) = job.post(id) else {
        return Ok(Err("The post is not in the record.".to_owned()));
    };
    let Some(section) = post.section else {
        return Ok(Err(without(
            job,
            post,
            fields::POST_SECTION,
            "cross section",
        )));
    };
    let modulus = post
        .material
        .as_ref()
        .and_then(|m| Some((m.modulus_mpa?, m.modulus_origin.clone())));
    let Some((modulus, origin)) = modulus else {
        return Ok(Err(without(
            job,
            post,
            fields::POST_MATERIAL,
            "modulus of elasticity",
        )));
    };
    Ok(Ok(Post {
        section: section_of(section),
        modulus: Figure::new(
            #[allow(clippy::cast_precision_loss)] // a few thousand MPa
            Megapascals(modulus as f64),
            Origin::Assumed,
            origin.unwrap_or_default(),
        ),
        height: looked_at(run)?,
        rail: rail_of(run)?,
        base_turning: None,
        bolt_distance: post.base.as_ref().and_then(|b| b.spacing_nm).map(nm),
    }))
}

/// Says that a fact of a post is missing, or that people disagree on it.
fn without<T: DeserializeOwned, C: DeserializeOwned>(
    job: &Job<'_>,
    post: &PostFacts,
    field: Field<T, C>,
    what: &str,
) -> String {
    if job.reader.blocks(field, &Subject::post(post.id)) {
        format!("The {what} of post {} is disputed.", post.name)
    } else {
        format!("Post {} has no {what}.", post.name)
    }
}

pub(super) fn section_of(section: values::Section) -> Section {
    let (along, across) = (nm(section.along_nm), nm(section.across_nm));
    match section.wall_nm {
        Some(wall) => Section::RectangularTube {
            along,
            across,
            wall: nm(wall),
        },
        None => Section::Rectangle { along, across },
    }
}

/// Height at which a post's movement is looked at: the rail's line, else the run's top.
pub(super) fn looked_at(run: &Run) -> Result<Millimetres, WorkError> {
    if let Some(line) = rail_line(run)? {
        return Ok(line);
    }
    let top_wire = run.heights.last().copied().map(mm);
    Ok(run
        .height
        .map(mm)
        .or(top_wire)
        .unwrap_or(Millimetres(1000.0)))
}

fn rail_line(run: &Run) -> Result<Option<Millimetres>, WorkError> {
    let Some(rail) = run.rail else {
        return Ok(None);
    };
    if let Some(height) = rail.stiffness_height_nm {
        return Ok(Some(nm(height)));
    }
    let half = mechanics::slope::plumb(nm(rail.thickness_nm) / 2.0, slope_of(run)?)?;
    Ok(Some(nm(rail.underside_nm) + half))
}

fn rail_of(run: &Run) -> Result<Option<Rail>, WorkError> {
    let stiffness = run.rail.and_then(|r| r.stiffness_n_per_m);
    let (Some(per_metre), Some(height)) = (stiffness, rail_line(run)?) else {
        return Ok(None);
    };
    Ok(Some(Rail {
        height,
        #[allow(clippy::cast_precision_loss)] // far below 2^53 N/m
        stiffness: NewtonsPerMillimetre(per_metre as f64 / 1000.0),
    }))
}
