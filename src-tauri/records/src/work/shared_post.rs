//! Blind holes of two runs in one post: whether they keep the wood that is wanted between them.
//!
//! Which way the other run leaves the post is not counted on: it is taken to leave square, the case
//! in which holes cross. To which side plays a part once holes stand off the middle of their face: as it
//! is told there, else whichever leaves less wood. Invariant: a way told clears every pair at once.

use mechanics::Millimetres;
use mechanics::holes::{PostFace, PostPlan};
use mechanics::spacing::{RunAtPost, StaggerAsk, stagger};

use super::WorkError;
use super::convert::end_at;
use super::convert::{heights, nm};
use super::drilling::blind;
use super::levels::raised_at;
use crate::job::{Job, PostInRun, Run};
use crate::model::fields;
use crate::model::values::FaceSide;

/// Wood wanted between two holes where the job does not say: assumed, a remark and not a rule.
const WOOD_ASSUMED: Millimetres = Millimetres(20.0);

/// Wood wanted between two holes before a stagger is asked for; where people disagree, the most.
pub(super) fn least_wood(job: &Job<'_>) -> Millimetres {
    let told = job.reader.one(fields::JOB_LEAST_WOOD, &job.subject(), "");
    told.values().max().map_or(WOOD_ASSUMED, |l| nm(l.nm))
}

/// Another run at a post, with what its holes and this run's leave between them.
pub(super) struct Shared<'a> {
    pub(super) other: &'a Run,
    pub(super) told: mechanics::spacing::Stagger,
    /// The side on which the other run's holes enter, for someone who looks at this run's; none where
    /// nobody told.
    pub(super) side: Option<FaceSide>,
}

/// How this run may move so that its holes at these heights, as the layout counts them, keep wood to
/// those of every other run in the post; empty where it has no blind holes or no section is told.
pub(super) fn shared_with<'a>(
    job: &'a Job<'_>,
    (run, layout): (&Run, &[Millimetres]),
    post: &PostInRun,
    (step, most): (Millimetres, Millimetres),
) -> Result<Vec<Shared<'a>>, WorkError> {
    let Some(section) = post.section else {
        return Ok(Vec::new());
    };
    let moves = at_post(job, (run, &run.name), post, PostFace::Front, layout)?;
    let mut found = Vec::new();
    for other in job.runs.iter().filter(|other| other.id != run.id) {
        let Some(there) = other.posts.iter().find(|p| p.id == post.id) else {
            continue;
        };
        // Two runs of one name are still two runs.
        let name = match other.name == run.name {
            true => format!("{} (the other)", other.name),
            false => other.name.clone(),
        };
        let stays = at_post(job, (other, &name), there, PostFace::Right, &heights(other))?;
        let (Some(moves), Some(stays)) = (moves.clone(), stays) else {
            continue;
        };
        let side = side(job, (run, post), (other, there));
        let in_the_middle = moves.offset.value() == 0.0 && stays.offset.value() == 0.0;
        let faces: &[PostFace] = match side {
            Some(FaceSide::Left) => &[PostFace::Left],
            Some(FaceSide::Right) => &[PostFace::Right],
            // In the middle both sides are alike.
            None if in_the_middle => &[PostFace::Right],
            None => &[PostFace::Right, PostFace::Left],
        };
        let mut worst: Option<mechanics::spacing::Stagger> = None;
        for face in faces {
            let told = stagger(&StaggerAsk {
                post: PostPlan {
                    wide: nm(section.across_nm),
                    deep: nm(section.along_nm),
                },
                stays: RunAtPost {
                    face: *face,
                    ..stays.clone()
                },
                moves: moves.clone(),
                least_wood: least_wood(job),
                step,
                most,
            })?;
            if worst.as_ref().is_none_or(|so_far| closer(&told, so_far)) {
                worst = Some(told);
            }
        }
        found.extend(worst.map(|told| Shared { other, told, side }));
    }
    Ok(found)
}

/// Whether more holes come close, or as many closer.
fn closer(a: &mechanics::spacing::Stagger, b: &mechanics::spacing::Stagger) -> bool {
    let least = |of: &mechanics::spacing::Stagger| {
        let woods = of.close.iter().map(|close| close.pair.wood.value());
        woods.fold(f64::INFINITY, f64::min)
    };
    (a.close.len(), least(b)) > (b.close.len(), least(a))
}

/// The side on which the other run's holes enter a post, for someone who looks at this run's, by what is told
/// at either end; none where that says two things, or a third run ends there.
fn side(
    job: &Job<'_>,
    (run, post): (&Run, &PostInRun),
    (other, there): (&Run, &PostInRun),
) -> Option<FaceSide> {
    let here = job
        .runs
        .iter()
        .filter(|r| end_at(job, r, post.id).is_some());
    if here.count() > 2 {
        return None;
    }
    let told = |run: &Run, at: &PostInRun| end_at(job, run, at.id)?.other_enters;
    // Whoever enters on the right of one face has that face on their left.
    let turned = told(other, there).map(FaceSide::other);
    match (told(run, post), turned) {
        (Some(a), Some(b)) if a != b => None,
        (one, other) => one.or(other),
    }
}

/// What is said of it: how the other run is taken, and the way that clears all pairs.
pub(super) fn sentence(post: &PostInRun, shared: &Shared<'_>) -> String {
    let to = match shared.side {
        Some(FaceSide::Left) => ", its holes entering on the left of who looks at these, as told",
        Some(FaceSide::Right) => ", its holes entering on the right of who looks at these, as told",
        None => "",
    };
    format!(
        "Post {} also carries run {}, taken to leave it square{to}: {}",
        post.name, shared.other.name, shared.told.sentence
    )
}

/// What stays between the two holes of a pair, in words.
pub(super) fn left(first: &str, second: &str, wood: Millimetres) -> String {
    if wood.value() <= 0.0 {
        format!("{first} and {second} can meet")
    } else {
        // Taken along one axis: never more than there is.
        format!("{first} and {second} leave at least {wood} of wood")
    }
}

/// A run's holes in a post; none where it has no blind ones there.
fn at_post(
    job: &Job<'_>,
    (run, label): (&Run, &str),
    post: &PostInRun,
    face: PostFace,
    layout: &[Millimetres],
) -> Result<Option<RunAtPost>, WorkError> {
    let raised = raised_at(run, post);
    let heights: Vec<Millimetres> = layout.iter().map(|height| *height + raised).collect();
    let holes = blind(job, run, post, face, &heights)?;
    let Some(first) = holes.first() else {
        return Ok(None);
    };
    Ok(Some(RunAtPost {
        label: label.to_owned(),
        face,
        offset: first.offset,
        diameter: first.diameter,
        depth: first.depth,
        rise: first.rise,
        heights: holes.iter().map(|hole| hole.height).collect(),
    }))
}
