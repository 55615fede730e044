//! The hole schedule of a run, post face by post face, and where two runs' holes come close.

use mechanics::holes::{
    BlindHole, Drilling, HoleDepth, PostFace, PostPlan, PostToDrill, RunFace, schedule, spacings,
    wood_between,
};
use mechanics::{Degrees, Millimetres};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::WorkError;
use super::convert::{
    ends_of, fall_is_told, fitting_of, heights, mm, nm, no_slope, record_hand, run_of,
    signed_slope, slope_of, terminal_for, thread_hand,
};
use super::faces::{FaceGroup, faces_alike};
use crate::ids::ItemId;
use crate::job::{Job, PostInRun, Run};
use crate::model::fields;
use crate::model::values::{EndKind, Hand, Shape};
use crate::subject::Subject;

/// Wood wanted between two holes before a stagger is asked for: a remark, not a rule.
pub(super) const LEAST_WOOD: Millimetres = Millimetres(20.0);

/// One hole on one face of one post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct HoleLine {
    /// The post.
    pub post: ItemId,
    /// Its name.
    pub post_name: String,
    /// The neighbour that the face looks to.
    pub face: String,
    /// The wire, from the bottom.
    pub wire: u32,
    /// Height on this face above the post's own floor or nosing line.
    pub height_mm: f64,
    /// Diameter.
    pub diameter_mm: f64,
    /// Depth along the hole.
    pub depth_mm: f64,
    /// Whether it goes through, drilled from both faces to meet in the middle.
    pub through: bool,
    /// Hand of the insert.
    pub hand: Option<Hand>,
    /// Rise of the drill from square to the face, towards the run's end; degrees.
    pub rise_deg: f64,
    /// Distance to the wire below as drilled at this post, where it was measured.
    pub drilled_below_mm: Option<f64>,
    /// The same as planned, plumb.
    pub planned_below_mm: Option<f64>,
    /// The same as planned, square to the wires.
    pub planned_below_square_mm: Option<f64>,
}

/// Two holes of one post that come close.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Stagger {
    /// The post.
    pub post: Subject,
    /// First hole.
    pub first: String,
    /// Second hole.
    pub second: String,
    /// Wood between them; below zero where they meet.
    pub wood_mm: f64,
    /// Least shift up or down that keeps the wood wanted.
    pub stagger_mm: f64,
    /// One sentence.
    pub sentence: String,
}

/// The hole schedule of a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct HoleSchedule {
    /// The run.
    pub run: ItemId,
    /// Holes by post, face and wire.
    pub holes: Vec<HoleLine>,
    /// Faces that carry the same holes, together.
    pub groups: Vec<FaceGroup>,
    /// Holes of two runs that come close in one post.
    pub staggers: Vec<Stagger>,
    /// Holes for inserts.
    pub insert_holes: u32,
    /// Holes through posts, each counted once.
    pub through_holes: u32,
    /// What was assumed or left out.
    pub notes: Vec<String>,
}

/// Works out the holes of a run.
///
/// # Errors
/// When the run is unknown or a figure can't be.
pub fn hole_schedule(job: &Job<'_>, run: ItemId) -> Result<HoleSchedule, WorkError> {
    let run = run_of(job, run)?;
    let mut notes = vec![
        "Heights count from the floor or nosing line at each post; holes through a post are \
         drilled from both faces to meet in the middle."
            .to_owned(),
    ];
    let slope = signed_slope(run)?;
    for (disputed, what) in [
        (
            job.reader.blocks(fields::RUN_SHAPE, &run.subject()),
            "shape",
        ),
        (
            job.reader.blocks(fields::RUN_SLOPE, &run.subject()),
            "slope",
        ),
        (
            job.reader.blocks(fields::RUN_WIRE_HEIGHTS, &run.subject()),
            "heights of the wires",
        ),
    ] {
        if disputed {
            notes.push(format!(
                "Don't drill: people differ on the {what} of run {}, and the holes follow from it.",
                run.name
            ));
        }
    }
    if run.shape == Shape::Raked && !fall_is_told(run) {
        notes.push(format!(
            "Which end of run {} is the lower is not told by floor levels: the wires are taken to \
             fall from {}, as drawn. Tell the floor level at both ends; the heights on the faces \
             change sides with it.",
            run.name,
            run.posts
                .first()
                .map_or("the first post", |p| p.name.as_str())
        ));
    }
    // A rake drilled as if it were level is scrap: no hole is told.
    let untold = no_slope(run);
    let posts = match &untold {
        Some(_) => Vec::new(),
        None => to_drill(job, run, &mut notes),
    };
    notes.extend(untold.map(|sentence| format!("Don't drill: {sentence}")));
    let plain: Vec<PostToDrill> = posts.iter().map(|(_, p)| p.clone()).collect();
    let planned = spacings(&heights(run), slope_of(run)?).unwrap_or_default();
    let mut holes = Vec::new();
    for hole in schedule(&plain, slope)? {
        let Some((post, _)) = posts.iter().find(|(p, _)| p.id.to_string() == hole.post) else {
            continue;
        };
        let (through, depth) = match hole.depth {
            HoleDepth::Through { length } => (true, length),
            HoleDepth::Blind { depth } => (false, depth),
        };
        let below = hole.wire.checked_sub(1).filter(|b| *b > 0);
        let plan = planned.iter().find(|s| Some(s.lower_wire) == below);
        holes.push(HoleLine {
            post: post.id,
            post_name: post.name.clone(),
            face: facing(run, post, hole.face),
            wire: hole.wire,
            height_mm: hole.height.value(),
            diameter_mm: hole.diameter.value(),
            depth_mm: depth.value(),
            through,
            hand: hole.hand.map(record_hand),
            rise_deg: hole.rise.value(),
            drilled_below_mm: below
                .and_then(|b| post.drilled.get(&b))
                .and_then(|f| f.shown())
                .map(|l| mm(*l).value()),
            planned_below_mm: plan.map(|s| s.plumb.value()),
            planned_below_square_mm: plan.map(|s| s.square.value()),
        });
    }
    let count = |through: bool| {
        let faces = if through { 2 } else { 1 };
        let lines = holes.iter().filter(|h| h.through == through).count();
        u32::try_from(lines / faces).unwrap_or(u32::MAX)
    };
    Ok(HoleSchedule {
        run: run.id,
        insert_holes: count(false),
        through_holes: count(true),
        staggers: staggers(job, run, &mut notes)?,
        groups: faces_alike(&holes),
        holes,
        notes,
    })
}

fn to_drill<'a>(
    job: &Job<'_>,
    run: &'a Run,
    notes: &mut Vec<String>,
) -> Vec<(&'a PostInRun, PostToDrill)> {
    let heights = heights(run);
    run.posts
        .iter()
        .filter_map(|post| {
            let Some(section) = post.section else {
                notes.push(format!(
                    "Post {} has no section: its holes are missing here.",
                    post.name
                ));
                return None;
            };
            let Some(drilling) = drilling(job, run, post) else {
                notes.push(format!(
                    "Post {}: no hole size is told by the fitting set; its holes are missing here.",
                    post.name
                ));
                return None;
            };
            Some((
                post,
                PostToDrill {
                    // Two posts of one name are still two posts.
                    label: post.id.to_string(),
                    width_along: nm(section.along_nm),
                    drilling,
                    wire_heights: heights.clone(),
                },
            ))
        })
        .collect()
}

fn drilling(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<Drilling> {
    let (first, last) = run.ends()?;
    let ends = ends_of(job, run)?;
    let (end, face) = if post.id == first.id {
        (ends.first, RunFace::TowardsEnd)
    } else if post.id == last.id {
        (ends.last, RunFace::TowardsStart)
    } else {
        let diameter = fitting_of(job, run)?.through_hole?;
        return Some(Drilling::Through {
            diameter: mm(diameter),
        });
    };
    let terminal = terminal_for(job, run, end.hand)?;
    Some(match end.kind {
        EndKind::ThroughBolt => Drilling::Through {
            diameter: nm(terminal.hole_nm),
        },
        _ => Drilling::Insert {
            face,
            hand: thread_hand(end.hand),
            diameter: nm(terminal.hole_nm),
            depth: nm(terminal.hole_depth_nm),
        },
    })
}

fn facing(run: &Run, post: &PostInRun, face: RunFace) -> String {
    let at = run.posts.iter().position(|p| p.id == post.id);
    let neighbour = at.and_then(|at| match face {
        RunFace::TowardsStart => run.posts.get(at.checked_sub(1)?),
        RunFace::TowardsEnd => run.posts.get(at + 1),
    });
    neighbour.map_or_else(
        || match face {
            RunFace::TowardsStart => "towards the start".to_owned(),
            RunFace::TowardsEnd => "towards the end".to_owned(),
        },
        |n| format!("towards {}", n.name),
    )
}

/// Blind holes of this run and of others in the same post. Which way the other run leaves the
/// post is not in the record, so it is taken to leave square: the case in which holes cross.
fn staggers(job: &Job<'_>, run: &Run, notes: &mut Vec<String>) -> Result<Vec<Stagger>, WorkError> {
    let mut found = Vec::new();
    for post in &run.posts {
        let Some(section) = post.section else {
            continue;
        };
        let own = blind(job, run, post, PostFace::Front, &heights(run))?;
        for other in job.runs.iter().filter(|r| r.id != run.id) {
            let Some(there) = other.posts.iter().find(|p| p.id == post.id) else {
                continue;
            };
            let mut holes = own.clone();
            let crossing = blind(job, other, there, PostFace::Right, &heights(other))?;
            if holes.is_empty() || crossing.is_empty() {
                continue;
            }
            notes.push(format!(
                "Post {} also carries run {}, taken to leave it square to this one.",
                post.name, other.name
            ));
            holes.extend(crossing);
            let plan = PostPlan {
                wide: nm(section.across_nm),
                deep: nm(section.along_nm),
            };
            for pair in wood_between(plan, &holes, LEAST_WOOD)? {
                let of_both = pair.first.starts_with(&format!("{} ", run.name))
                    != pair.second.starts_with(&format!("{} ", run.name));
                if of_both {
                    found.push(Stagger {
                        post: Subject::post(post.id),
                        first: pair.first,
                        second: pair.second,
                        wood_mm: pair.wood.value(),
                        stagger_mm: pair.stagger.value(),
                        sentence: format!("Post {}: {}", post.name, pair.sentence),
                    });
                }
            }
        }
    }
    Ok(found)
}

/// Blind holes of a run in a post at these heights on its centre line; none where it has none.
pub(super) fn blind(
    job: &Job<'_>,
    run: &Run,
    post: &PostInRun,
    face: PostFace,
    heights: &[Millimetres],
) -> Result<Vec<BlindHole>, WorkError> {
    let Some(Drilling::Insert {
        diameter,
        depth,
        face: run_face,
        ..
    }) = drilling(job, run, post)
    else {
        return Ok(Vec::new());
    };
    let slope = signed_slope(run)?;
    // Going in from the first post's face means going against the run.
    let rise = match run_face {
        RunFace::TowardsEnd => -slope,
        RunFace::TowardsStart => slope,
    };
    let half = post
        .section
        .map_or(Millimetres(0.0), |s| nm(s.along_nm) / 2.0);
    let tan = mechanics::slope::hole_height_difference(half.max(Millimetres(1.0)), slope)?;
    let shift = match run_face {
        RunFace::TowardsEnd => tan,
        RunFace::TowardsStart => -tan,
    };
    Ok((1_u32..)
        .zip(heights)
        .map(|(wire, height)| BlindHole {
            label: format!("{} wire {wire}", run.name),
            face,
            height: *height + shift,
            offset: Millimetres(0.0),
            diameter,
            depth,
            rise: Degrees(rise.value()),
        })
        .collect())
}
