//! The hole schedule of a run, post face by post face, and where two runs' holes come close. One file past
//! 400 lines, since what is left out of the schedule is told beside it.

use mechanics::Millimetres;
use mechanics::holes::{HoleDepth, PostToDrill, RunFace, schedule, spacings};
use mechanics::spacing::ClosePair;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::basis::{Decision, Unsettled, unsettled};
use super::convert::{
    fall_is_told, heights, mm, nm, no_slope, record_hand, run_of, signed_slope, slope_of,
};
use super::differing::{Wires, differing, note_differing};
use super::drilling::{
    aside, aside_on, drilling, is_made, no_size, off_the_middle, without_a_hole,
};
use super::faces::{FaceGroup, faces_alike};
use super::levels::{agreed, raised_at};
use super::rules::changed_rules;
use super::shared_post::{self, shared_with};
use super::{WorkError, words};
use crate::ids::ItemId;
use crate::job::{Job, PostInRun, Run};
use crate::model::fields;
use crate::model::values::{Hand, Shape};
use crate::subject::Subject;

/// Step in which a run is moved to clear the holes of another.
const STEP: Millimetres = Millimetres(1.0);

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
    /// Height on this face above the floor at the post; on a rake above the line of the nosings at
    /// the post's middle.
    pub height_mm: f64,
    /// How far its middle stands off the middle of the face, to the right of someone who looks at it; to
    /// the left below zero.
    pub aside_mm: f64,
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
    /// Least wood between them, taken along one axis; below zero where they can meet.
    pub wood_mm: f64,
    /// Whether both are there by the record: told as drilled, or with their wires fitted.
    pub made: bool,
    /// One sentence.
    pub sentence: String,
}

/// What is said of the holes of two runs that come close in one post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CloseAt {
    /// The post.
    pub post: ItemId,
    /// How many pairs come close and the way that clears them all, as it stands among the notes.
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
    /// The same, two runs and one post at a time.
    pub close: Vec<CloseAt>,
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
    let datum = match run.shape {
        Shape::Level => "Heights count from the floor at each post",
        Shape::Raked => {
            "Heights count from the line of the nosings at the middle of each post, carried level \
             round to its faces, and not from the tread"
        }
    };
    let mut notes = vec![format!(
        "{datum}; holes through a post are drilled from both faces to meet in the middle."
    )];
    notes.extend(changed_rules(job));
    let slope = signed_slope(run)?;
    let apart = unsettled(job, Decision::Drill(run));
    notes.extend(apart.iter().map(dont_drill));
    if run.shape == Shape::Raked && !fall_is_told(run) {
        let ends = [run.posts.first(), run.posts.last()];
        let apart = ends.iter().flatten().any(|p| p.floor_disputed.is_some());
        let untold = match apart {
            true => "is disputed, as a floor level at its ends is",
            false => "is not told by floor levels",
        };
        notes.push(format!(
            "Which end of run {} is the lower {untold}: the wires are taken to \
             fall from {}, as drawn. Tell the floor level at both ends; the heights on the faces \
             change sides with it.",
            run.name,
            run.posts
                .first()
                .map_or("the first post", |p| p.name.as_str())
        ));
    }
    notes.extend(marked_from(job, run));
    notes.extend(super::levels::from_the_first(run));
    notes.extend(no_solid_timber(job, run));
    notes.extend(off_the_middle(job, run));
    let ends = run
        .ends()
        .into_iter()
        .flat_map(|(first, last)| [first, last]);
    notes.extend(ends.filter_map(|post| super::off_middle::too_deep(job, run, post)));
    notes.extend(shared_post::contradicted_in(job, run));
    // A rake drilled as if it were level is scrap: no hole is told.
    let untold = no_slope(run);
    let posts = match &untold {
        Some(_) => Vec::new(),
        None => to_drill(job, run, &apart, &mut notes),
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
            aside_mm: aside_on(run, post, hole.face, aside(job, run, post)),
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
    let (staggers, close) = staggers(job, run, &mut notes)?;
    note_differing(differing(job, Some(run), Wires::LeftOut), [], &mut notes);
    Ok(HoleSchedule {
        run: run.id,
        insert_holes: count(false),
        through_holes: count(true),
        staggers,
        close,
        groups: faces_alike(&holes),
        holes,
        notes,
    })
}

/// What holes would rest on and people differ on, or a newer version changed, by name: "the shape of
/// run A". Nothing is drilled before it is settled.
///
/// # Errors
/// When the run is unknown.
pub fn unsettled_to_drill(job: &Job<'_>, run: ItemId) -> Result<Vec<String>, WorkError> {
    let apart = unsettled(job, Decision::Drill(run_of(job, run)?));
    Ok(apart.iter().map(Unsettled::the).collect())
}

/// Posts in which what is said of wood between holes, and of an insert's depth in it, does not hold.
fn no_solid_timber(job: &Job<'_>, run: &Run) -> Option<String> {
    let posts = run.posts.iter().filter(|at| {
        let post = job.post(at.id);
        post.is_some_and(super::posts::is_no_solid_timber)
    });
    let names: Vec<&str> = posts.map(|at| at.name.as_str()).collect();
    (!names.is_empty()).then(|| {
        format!(
            "Hollow or of no timber: {}. Depths of inserts and what is to be left between holes are those \
             of solid timber: ask what holds an insert there. Two that meet in a post meet in this one too.",
            names.join(", ")
        )
    })
}

fn dont_drill(apart: &Unsettled) -> String {
    match apart.newer {
        true => format!(
            "Don't drill: a newer version changed {}, and the holes follow from it. Update the \
             program.",
            apart.the()
        ),
        false => format!(
            "Don't drill: people differ on {}, and the holes follow from it.",
            apart.the()
        ),
    }
}

/// What is to be known of a level run before heights are marked on its posts.
fn marked_from(job: &Job<'_>, run: &Run) -> Option<String> {
    let first = run.posts.first().filter(|_| run.shape == Shape::Level)?;
    match run.follows_floor {
        Some(true) => None,
        Some(false) => {
            let unknown: Vec<&str> = run
                .posts
                .iter()
                .filter(|post| agreed(run, post).is_none())
                .map(|post| post.name.as_str())
                .collect();
            Some(match unknown.is_empty() {
                true => format!(
                    "The wires run level from the floor at {}: heights differ from post to post by \
                     what the floor does.",
                    first.name
                ),
                false => format!(
                    "Don't drill at {}: the wires run level from {}, and the floor level is not \
                     told, or people differ on it, at one of the two.",
                    unknown.join(", "),
                    first.name
                ),
            })
        }
        None => Some(format!(
            "Whether the template follows the floor {}: heights here count from the floor at each \
             post, as if it did. Settle that before drilling.",
            job.reader.untold(fields::RUN_FOLLOWS_FLOOR, &run.subject())
        )),
    }
}

fn to_drill<'a>(
    job: &Job<'_>,
    run: &'a Run,
    apart: &[Unsettled],
    notes: &mut Vec<String>,
) -> Vec<(&'a PostInRun, PostToDrill)> {
    let heights = heights(run);
    let sizes = [
        fields::RUN_FITTING_SET.name,
        fields::FITTING_TERMINALS.name,
        fields::FITTING_THROUGH_HOLE.name,
        fields::POST_END.name,
    ];
    let of_size = |post: &PostInRun| {
        let here = |one: &&Unsettled| {
            sizes.contains(&one.field.as_str())
                && (one.field != fields::POST_END.name
                    || one.subject == Some(Subject::post(post.id)))
        };
        apart.iter().find(here).map(Unsettled::the)
    };
    run.posts
        .iter()
        .filter_map(|post| {
            let Some(section) = post.section else {
                let untold = job
                    .reader
                    .untold(fields::POST_SECTION, &Subject::post(post.id));
                notes.push(format!(
                    "Post {}: its cross section {untold}; its holes are missing here.",
                    post.name
                ));
                return None;
            };
            if let Some(kind) = without_a_hole(job, run, post) {
                notes.push(format!(
                    "Post {}: run {} ends there in {}. No hole for it is listed here: drill what its \
                     own sheet asks for.",
                    post.name,
                    run.name,
                    words::an_end(kind)
                ));
                return None;
            }
            let Some(drilling) = drilling(job, run, post) else {
                let why = of_size(post).map_or_else(
                    || no_size(job, run, post),
                    |name| format!("people differ on {name}, which tells its hole"),
                );
                notes.push(format!(
                    "Post {}: {why}; its holes are missing here.",
                    post.name
                ));
                return None;
            };
            let raised = raised_at(run, post);
            Some((
                post,
                PostToDrill {
                    // Two posts of one name are still two posts.
                    label: post.id.to_string(),
                    width_along: nm(section.along_nm),
                    drilling,
                    wire_heights: heights.iter().map(|height| *height + raised).collect(),
                },
            ))
        })
        .collect()
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

/// Pairs of holes of this run and of others in the same post that come close, and what is said of them together.
fn staggers(
    job: &Job<'_>,
    run: &Run,
    notes: &mut Vec<String>,
) -> Result<(Vec<Stagger>, Vec<CloseAt>), WorkError> {
    let layout = heights(run);
    let spacing = layout.iter().zip(layout.iter().skip(1));
    let widest = spacing.map(|(below, above)| *above - *below);
    let way = (STEP, widest.fold(Millimetres(0.0), Millimetres::max));
    let (mut found, mut together) = (Vec::new(), Vec::new());
    for post in &run.posts {
        for with in shared_with(job, (run, &layout), post, way)? {
            let sentence = shared_post::sentence(post, &with);
            notes.push(sentence.clone());
            if !with.told.close.is_empty() {
                let post = post.id;
                together.push(CloseAt { post, sentence });
            }
            for ClosePair { stays, moves, pair } in &with.told.close {
                let there = with.other.posts.iter().find(|p| p.id == post.id);
                let made = is_made(run, post, *moves)
                    && there.is_some_and(|there| is_made(with.other, there, *stays));
                found.push(Stagger {
                    made,
                    post: Subject::post(post.id),
                    first: pair.first.clone(),
                    second: pair.second.clone(),
                    wood_mm: pair.wood.value(),
                    sentence: format!(
                        "Post {}: {}.",
                        post.name,
                        shared_post::left(&pair.first, &pair.second, pair.wood)
                    ),
                });
            }
        }
    }
    Ok((found, together))
}
