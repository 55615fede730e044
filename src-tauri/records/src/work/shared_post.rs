//! Blind holes of two runs in one post: whether they keep the wood that is wanted between them.
//!
//! Which way the other run leaves the post is not counted on: it is taken to leave square, the case
//! in which holes cross. To which side plays a part once holes stand off the middle of their face: as it
//! is told there, else whichever leaves less wood. Invariant: a way told clears every pair in the post at
//! once, counted as the holes and what is told of them would stand once it is taken.

use mechanics::Millimetres;
use mechanics::holes::{PostFace, PostPlan};
use mechanics::spacing::{AlsoCleared, AsideCase, RunAtPost, StaggerAsk, stagger_among};

use super::WorkError;
use super::convert::end_at;
use super::convert::{heights, nm};
use super::drilling::{blind, holed};
use super::levels::raised_at;
use super::odd_layout::SaidNow;
use super::off_middle::to_the_edge;
use crate::ids::ItemId;
use crate::job::{Job, PostInRun, Run};
use crate::model::fields;
use crate::model::values::{End, FaceSide};
use crate::subject::{ItemKind, Subject};

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
    /// On which side the other run's holes enter, for someone who looks at this run's.
    pub(super) side: Side,
    /// Least wood between holes of the two that stand off the middle and the edge of their face.
    edge: Option<Millimetres>,
}

/// The side on which another run's holes enter a post, by what is told at the ends of both.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Side {
    /// This one.
    Told(FaceSide),
    /// Nobody told.
    Untold,
    /// The two ends say what can't both be.
    Contradicted,
    /// A third run's holes enter too, and a word does not tell of which it is.
    OfMany,
}

impl Side {
    /// Faces on which the other run's holes may enter; in the middle both sides are alike.
    fn faces(self, in_the_middle: bool) -> &'static [PostFace] {
        match self {
            Side::Told(side) => face_on(side),
            _ if in_the_middle => &[PostFace::Right],
            _ => &[PostFace::Right, PostFace::Left],
        }
    }
}

const fn face_on(side: FaceSide) -> &'static [PostFace] {
    match side {
        FaceSide::Left => &[PostFace::Left],
        FaceSide::Right => &[PostFace::Right],
    }
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
    let Some(moves) = at_post(job, (run, &run.name), post, PostFace::Front, layout)? else {
        return Ok(Vec::new());
    };
    let others = others(job, run, post)?;
    let mut found = Vec::new();
    for other in &others {
        let side = side(job, post.id, (run, other.run), None);
        let also = AlsoCleared {
            stand: standing(job, post.id, (run, &moves), &others, None),
            aside: aside_cases(job, post.id, (run, &moves), (other, &others)),
        };
        let mut worst: Option<mechanics::spacing::Stagger> = None;
        for face in side.faces(in_the_middle(&moves, &other.holes)) {
            let ask = StaggerAsk {
                post: PostPlan {
                    wide: nm(section.across_nm),
                    deep: nm(section.along_nm),
                },
                stays: on(*face, &other.holes),
                moves: moves.clone(),
                least_wood: least_wood(job),
                step,
                most,
            };
            let told = stagger_among(&ask, &also)?;
            if worst.as_ref().is_none_or(|so_far| closer(&told, so_far)) {
                worst = Some(told);
            }
        }
        let edges = [(run, post), (other.run, other.post)];
        let edges = edges.map(|(run, post)| to_the_edge(job, run, post));
        found.extend(worst.map(|told| Shared {
            other: other.run,
            told,
            side,
            edge: edges.into_iter().flatten().reduce(Millimetres::min),
        }));
    }
    Ok(found)
}

/// Another run's holes in a post.
struct Other<'a> {
    run: &'a Run,
    post: &'a PostInRun,
    holes: RunAtPost,
}

/// The other runs that have blind holes in a post.
fn others<'a>(job: &'a Job<'_>, run: &Run, post: &PostInRun) -> Result<Vec<Other<'a>>, WorkError> {
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
        let holes = at_post(job, (other, &name), there, PostFace::Right, &heights(other))?;
        found.extend(holes.map(|holes| Other {
            run: other,
            post: there,
            holes,
        }));
    }
    Ok(found)
}

fn in_the_middle(one: &RunAtPost, other: &RunAtPost) -> bool {
    one.offset.value() == 0.0 && other.offset.value() == 0.0
}

fn on(face: PostFace, holes: &RunAtPost) -> RunAtPost {
    RunAtPost {
        face,
        ..holes.clone()
    }
}

/// All ways in which others' holes may stand in a post beside those of a run; `said` is what the run's own end
/// tells then, where it is not what it tells now.
fn standing(
    job: &Job<'_>,
    post: ItemId,
    (run, moves): (&Run, &RunAtPost),
    others: &[Other<'_>],
    said: Option<FaceSide>,
) -> Vec<RunAtPost> {
    let of = |other: &Other<'_>| {
        let side = side(job, post, (run, other.run), said);
        let in_the_middle = said.is_none() && in_the_middle(moves, &other.holes);
        let faces = side.faces(in_the_middle).iter();
        faces
            .map(|face| on(*face, &other.holes))
            .collect::<Vec<_>>()
    };
    others.iter().flat_map(of).collect()
}

/// What stands in a post once a run's holes are put aside and its end tells where another's enter, for each side
/// that may be told; none where the ends contradict each other already.
fn aside_cases(
    job: &Job<'_>,
    post: ItemId,
    (run, moves): (&Run, &RunAtPost),
    (other, others): (&Other<'_>, &[Other<'_>]),
) -> Vec<AsideCase> {
    let sides: &[FaceSide] = match side(job, post, (run, other.run), None) {
        Side::Contradicted => &[],
        // The other end's word stands: another side would contradict it.
        Side::Told(FaceSide::Left) if told(job, other.run, post).is_some() => &[FaceSide::Left],
        Side::Told(FaceSide::Right) if told(job, other.run, post).is_some() => &[FaceSide::Right],
        _ => &[FaceSide::Left, FaceSide::Right],
    };
    let cases = sides.iter().flat_map(|side| {
        face_on(*side).iter().map(|enters| AsideCase {
            enters: *enters,
            stand: standing(job, post, (run, moves), others, Some(*side)),
        })
    });
    cases.collect()
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
/// at either end; `said` is what this run's end would tell.
fn side(job: &Job<'_>, post: ItemId, (run, other): (&Run, &Run), said: Option<FaceSide>) -> Side {
    if ends_with_holes(job, post).count() > 2 {
        return Side::OfMany;
    }
    // Whoever enters on the right of one face has that face on their left.
    let turned = told(job, other, post).map(FaceSide::other);
    match (said.or_else(|| told(job, run, post)), turned) {
        (Some(a), Some(b)) if a != b => Side::Contradicted,
        (one, other) => one.or(other).map_or(Side::Untold, Side::Told),
    }
}

fn told(job: &Job<'_>, run: &Run, post: ItemId) -> Option<FaceSide> {
    end_at(job, run, post).filter(holed)?.other_enters
}

/// Runs that end in a post with holes of their own.
fn ends_with_holes<'a>(job: &'a Job<'_>, post: ItemId) -> impl Iterator<Item = &'a Run> {
    let runs = job.runs.iter();
    runs.filter(move |run| end_at(job, run, post).is_some_and(|end| holed(&end)))
}

/// Said where the ends of a run and of another at a post tell sides that can't both be; none where they agree,
/// or one does not tell.
#[must_use]
pub(super) fn contradicted(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<String> {
    let both = both_say(job, run, post, told(job, run, post.id)?)?;
    Some(format!(
        "{both} Look at the post, and say it anew at the end that is wrong: till then no holes are to be put aside \
         there."
    ))
}

/// Which end at a post another run's end contradicts, where the one tells this side.
fn both_say(job: &Job<'_>, run: &Run, post: &PostInRun, side: FaceSide) -> Option<String> {
    let mut others = ends_with_holes(job, post.id).filter(|other| other.id != run.id);
    let other = others
        .find(|other| self::side(job, post.id, (run, other), Some(side)) == Side::Contradicted)?;
    Some(apart(&post.name, (&run.name, &other.name), side))
}

fn apart(post: &str, (run, other): (&str, &str), side: FaceSide) -> String {
    let (here, there) = match side {
        FaceSide::Left => ("left", "right"),
        FaceSide::Right => ("right", "left"),
    };
    format!(
        "Post {post}: the ends of runs {run} and {other} can't both be right. Each says that the other's holes \
         enter on the {here} of who looks at its own, and seen from the other that is the {there}."
    )
}

/// The same of both ends of a run.
#[must_use]
pub(super) fn contradicted_in(job: &Job<'_>, run: &Run) -> Vec<String> {
    let ends = run.ends().into_iter().flat_map(|(a, b)| [a, b]);
    ends.filter_map(|post| contradicted(job, run, post))
        .collect()
}

/// What to ask about an end that is said: a side that another run's end at the post contradicts.
pub(super) fn odd_side(job: &Job<'_>, one: &SaidNow<'_>) -> Option<String> {
    let Subject::Item(ItemKind::Post, post) = one.subject else {
        return None;
    };
    let run = job.runs.iter().find(|r| r.id.to_string() == one.place)?;
    let end: End = serde_json::from_value(one.value.clone()).ok()?;
    let said = end
        .other_enters
        .filter(|_| holed(&end) && one.field == fields::POST_END.name)?;
    let post = run.posts.iter().find(|p| p.id == post)?;
    let both = both_say(job, run, post, said)?;
    Some(format!("{both} Look again: is this one right?"))
}

/// What is said of it: how the other run is taken, the way that clears all pairs, and what stays at the edge.
pub(super) fn sentence(post: &PostInRun, shared: &Shared<'_>) -> String {
    let to = match shared.side {
        Side::Told(FaceSide::Left) => {
            ", its holes entering on the left of who looks at these, as told"
        }
        Side::Told(FaceSide::Right) => {
            ", its holes entering on the right of who looks at these, as told"
        }
        _ => "",
    };
    let told = &shared.told;
    let why = match shared.side {
        Side::Contradicted => {
            " The ends of the two contradict each other about the side on which the other's holes enter: no \
             distance aside counts before one of them is said anew."
        }
        Side::OfMany if !told.close.is_empty() && told.aside.is_none() => {
            " Holes of more than two runs enter this post, and which of them a word about the side means is \
             not known: both sides count."
        }
        _ => "",
    };
    let edge = match shared.edge {
        None => String::new(),
        Some(wood) if wood.value() <= 0.0 => {
            " Holes off the middle break out of the edge of their face.".to_owned()
        }
        Some(wood) => format!(
            " Between holes off the middle and the edge of their face at least {wood} stays."
        ),
    };
    format!(
        "Post {} also carries run {}, taken to leave it square{to}: {}{why}{edge}",
        post.name, shared.other.name, told.sentence
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
