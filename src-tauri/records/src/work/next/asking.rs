//! Acts of the survey: one fact each, asked once, where a figure, a rule, a caution or the handover's
//! evidence goes by it.
//!
//! The order is a surveyor's walk: what decides early, the site, then run by run what it stands on and its
//! rail, its posts from the first to the last, how template and rail go over the floor, its openings.
//! Invariant: what somebody told is not asked, also where people differ on it, which is settled; nothing is
//! asked of a run once its tensions are decided, or a wire of it is released or cut, and nothing of the site once that is so of every run.

use std::collections::BTreeSet;

use super::NextAct;
use super::NextWhat::TellFact;
use super::acts::act;
use crate::book::{Key, KeyState};
use crate::claims::Standing;
use crate::job::Standing::Newer;
use crate::job::{Fact, Job, PostInRun, Run, Wire};
use crate::model::context::OpeningRead;
use crate::model::fields;
use crate::model::values::{Opening, OpeningKind, Shape, SupportKind, Surface};
use crate::subject::Subject;
use crate::work::levels;
use crate::work::ordering::goes_on;
use crate::work::posts::carriers;

/// What is asked of the site, in order, with its question: short enough to stand whole on the button at the thumb.
const OF_SITE: &[(&str, &str)] = &[
    (fields::JOB_POOL.name, "Site: is it a pool's boundary?"),
    (
        fields::JOB_CHILDREN.name,
        "Site: do young children come here?",
    ),
    (fields::JOB_FALL.name, "Site: how high is the fall?"),
    (fields::JOB_BELOW.name, "Site: what is below?"),
    (
        fields::JOB_CLIMBABLES.name,
        "Site: what is there to climb on?",
    ),
    (
        fields::JOB_SALT_DISTANCE.name,
        "Site: how far is salt water or surf?",
    ),
    (fields::JOB_CHLORINE.name, "Site: is there chlorine nearby?"),
    (fields::JOB_WASHED.name, "Site: does the rain wash it?"),
    (
        fields::JOB_STEEL.name,
        "Site: which grade of steel, and why?",
    ),
    (
        fields::JOB_METALS.name,
        "Site: which other metals touch it?",
    ),
    (
        fields::JOB_HAZARDS.name,
        "Site: what could be drilled into?",
    ),
    (
        fields::JOB_ACCESS.name,
        "Site: which way does one get there?",
    ),
    (
        fields::JOB_COMING_FLOOR.name,
        "Site: how thick is a coming floor?",
    ),
];

/// The hard question, before anything is drawn.
pub(super) fn early(job: &Job<'_>) -> Option<NextAct> {
    let pool = |one: &NextAct| one.field.as_deref() == Some(fields::JOB_POOL.name);
    of_site(job, &[]).into_iter().find(pool)
}

/// All that the survey still asks, in the order in which it is asked.
pub(super) fn asks<'r>(job: &Job<'_>, runs: impl Iterator<Item = &'r Run>) -> Vec<NextAct> {
    let open: Vec<&Run> = runs.filter(|run| !is_past(run)).collect();
    if open.is_empty() {
        return Vec::new();
    }
    let mut found = of_site(job, &open);
    found.extend(open.iter().flat_map(|run| of_run(job, run)));
    // A post that two runs share is asked about once.
    let mut asked = BTreeSet::new();
    found.retain(|one| asked.insert(one.key.clone()));
    found
}

/// Whether the run is past its survey: somebody looked at it before ordering and decided its tensions, or what is
/// asked can't change a wire any more that is released, or that by a tick or a reading must have been.
fn is_past(run: &Run) -> bool {
    let past = |wire: &Wire| {
        let released = wire.piece_number > 1 || !wire.issued.tips.is_empty() || wire.is_cut();
        released || !wire.done.is_empty() || !wire.tensions.is_empty()
    };
    run.tensions.value().is_some() || run.wires.iter().any(past)
}

fn of_site(job: &Job<'_>, open: &[&Run]) -> Vec<NextAct> {
    let subject = Subject::Job(job.id);
    let matters = |field: &str| {
        if field == fields::JOB_FALL.name {
            // Of a run that has its own the job's is no ground.
            return open.iter().any(|run| !is_told(job, &run.subject(), field));
        }
        if field == fields::JOB_COMING_FLOOR.name {
            // A deck and a stair are what one walks on.
            let tiled = [Some(Surface::Balcony), Some(Surface::Landing)];
            return open.iter().any(|run| tiled.contains(&run.surface));
        }
        true
    };
    OF_SITE
        .iter()
        .filter(|(field, _)| matters(field) && !is_told(job, &subject, field))
        .map(|(field, sentence)| ask(None, subject, field, "", (*sentence).to_owned()))
        .collect()
}

fn of_run(job: &Job<'_>, run: &Run) -> Vec<NextAct> {
    if run.ends().is_none() {
        return Vec::new();
    }
    let mut found = stands(job, run);
    found.extend(run.posts.iter().flat_map(|post| of_post(job, run, post)));
    found.extend(goes_over_the_floor(job, run));
    found.extend(openings(job, run));
    found
}

/// What the run stands on, how steep and how high it is, and its rail.
fn stands(job: &Job<'_>, run: &Run) -> Vec<NextAct> {
    let subject = run.subject();
    let told = |field: &str| is_told(job, &subject, field);
    let rail = told(fields::RUN_RAIL.name);
    [
        (fields::RUN_SURFACE.name, true, "what does it stand on?"),
        (
            fields::RUN_SLOPE.name,
            run.shape == Shape::Raked,
            "rise and going of its slope?",
        ),
        // The rail's top is a height too.
        (fields::RUN_HEIGHT.name, !rail, "how high is its top?"),
        (fields::RUN_RAIL.name, true, "where is its rail?"),
    ]
    .into_iter()
    .filter(|(field, matters, _)| *matters && !told(field))
    .map(|(field, _, words)| of_this(run, field, words))
    .collect()
}

fn of_post(job: &Job<'_>, run: &Run, post: &PostInRun) -> Vec<NextAct> {
    let subject = Subject::post(post.id);
    let told = |field: &str| is_told(job, &subject, field);
    let support = post.support.shown().map(|support| support.kind);
    let no_post = [
        Some(SupportKind::Spreader),
        Some(SupportKind::WallEnd),
        Some(SupportKind::GlassEdge),
    ];
    // Demand is worked out of the posts that the wires pull on alone.
    let carries = carriers(run).iter().any(|one| one.id == post.id) && !no_post.contains(&support);
    let railed = is_told(job, &run.subject(), fields::RUN_RAIL.name);
    let asked = [
        (fields::POST_SUPPORT.name, true, "what carries the wires?"),
        (
            fields::POST_SECTION.name,
            support != Some(SupportKind::WallEnd),
            "how wide and deep is it?",
        ),
        (fields::POST_BASE.name, carries, "how is its base fixed?"),
        (
            fields::POST_RAIL_JOINT.name,
            carries && railed,
            "how does the rail meet it?",
        ),
        (fields::POST_MATERIAL.name, carries, "what is it made of?"),
        (fields::POST_CONDITION.name, carries, "is it sound?"),
        (
            fields::POST_FLOOR.name,
            floor_matters(job, run, post),
            "how does the floor lie?",
        ),
    ];
    let mut found: Vec<NextAct> = asked
        .into_iter()
        .filter(|(field, matters, _)| *matters && !told(field))
        .map(|(field, _, words)| {
            let sentence = format!("Post {}: {words}", post.name);
            ask(Some(run), subject, field, "", sentence)
        })
        .collect();
    let ends = run
        .ends()
        .is_some_and(|(a, b)| [a.id, b.id].contains(&post.id));
    let place = run.id.to_string();
    if ends && !is_told_at(job, &subject, fields::POST_END.name, &place) {
        let sentence = format!("Post {}: what end has run {} there?", post.name, run.name);
        found.push(ask(
            Some(run),
            subject,
            fields::POST_END.name,
            &place,
            sentence,
        ));
    }
    found
}

/// Whether a gap goes by the floor at a post: not on a rake, nor where wires and rail follow the floor.
fn floor_matters(job: &Job<'_>, run: &Run, post: &PostInRun) -> bool {
    let first = run.posts.first().is_some_and(|first| first.id == post.id);
    let railed = is_told(job, &run.subject(), fields::RUN_RAIL.name);
    let rail_follows = !railed || run.rail_follows_floor == Some(true);
    let follows = run.follows_floor == Some(true) && rail_follows;
    run.shape == Shape::Level && !first && !follows
}

/// Which way wires and rail go where the floor is known not to be level, and what lines the holes.
fn goes_over_the_floor(job: &Job<'_>, run: &Run) -> Vec<NextAct> {
    let told = |field: &str| is_told(job, &run.subject(), field);
    let level = |spot: &levels::FloorSpot| spot.low.value() == 0.0 && spot.high.value() == 0.0;
    let uneven = !levels::at_posts(run).iter().all(level) || !levels::low_spots(run).is_empty();
    let uneven = run.shape == Shape::Level && uneven;
    let railed = told(fields::RUN_RAIL.name);
    [
        (
            fields::RUN_FOLLOWS_FLOOR.name,
            uneven,
            "template follows the floor?",
        ),
        (
            fields::RUN_RAIL_FOLLOWS_FLOOR.name,
            uneven && railed,
            "rail follows the floor?",
        ),
        (
            fields::RUN_LINING.name,
            run.posts.len() > 2,
            "what lines its holes?",
        ),
    ]
    .into_iter()
    .filter(|(field, matters, _)| *matters && !told(field))
    .map(|(field, _, words)| of_this(run, field, words))
    .collect()
}

/// Openings that can be measured before there is a wire: beside an end post, and before posts on the
/// floor's edge.
fn openings(job: &Job<'_>, run: &Run) -> Vec<NextAct> {
    let mut found = Vec::new();
    for post in run.ends().into_iter().flat_map(|(a, b)| [a, b]) {
        let support = post.support.shown().map(|support| support.kind);
        let in_wall = support == Some(SupportKind::WallEnd);
        let kind = OpeningKind::EndPostToWall;
        let read = is_read(&post.openings, kind) || is_read(&run.openings, kind);
        if !in_wall && !read && !goes_on(job, run, post) {
            let words = format!("Post {}: gap to a wall beside it?", post.name);
            found.push(opening(run, post, kind, words));
        }
    }
    let kind = OpeningKind::PostToDeckEdge;
    let read = run.posts.iter().any(|post| is_read(&post.openings, kind));
    let face_fixed = run.posts.iter().find(|post| is_face_fixed(job, post));
    if let Some(post) = face_fixed.filter(|_| !read && !is_read(&run.openings, kind)) {
        let words = format!("Post {}: gap to the floor's edge?", post.name);
        found.push(opening(run, post, kind, words));
    }
    found
}

fn is_read(openings: &[(String, Fact<Opening, OpeningRead>)], kind: OpeningKind) -> bool {
    // Of what a newer version said its kind is not known here: it may be this one.
    let newer = openings.iter().any(|(_, fact)| fact.standing == Newer);
    let mut told = openings.iter().flat_map(|(_, fact)| &fact.tips);
    newer
        || told
            .any(|told| told.value.is_some() && told.with.as_ref().is_some_and(|w| w.kind == kind))
}

/// A base is told in words; those that screens offer for a post before the floor's edge hold this one.
fn is_face_fixed(job: &Job<'_>, post: &PostInRun) -> bool {
    let base = job.post(post.id).and_then(|facts| facts.base.as_ref());
    base.is_some_and(|base| base.kind.to_lowercase().contains("face"))
}

fn opening(run: &Run, post: &PostInRun, kind: OpeningKind, sentence: String) -> NextAct {
    let place = serde_json::to_value(kind).ok();
    let place = place.as_ref().and_then(|word| word.as_str()).unwrap_or("");
    let field = fields::POST_OPENING.name;
    ask(Some(run), Subject::post(post.id), field, place, sentence)
}

fn of_this(run: &Run, field: &str, words: &str) -> NextAct {
    let sentence = format!("Run {}: {words}", run.name);
    ask(Some(run), run.subject(), field, "", sentence)
}

fn ask(run: Option<&Run>, subject: Subject, field: &str, place: &str, sentence: String) -> NextAct {
    let at = match place {
        "" => format!("/{field}"),
        place => format!("/{field}/{place}"),
    };
    let mut one = act(TellFact, &at, run.map(|run| run.id), subject, sentence);
    one.field = Some(field.to_owned());
    one
}

/// Whether anybody told it; also where people differ on it, or a newer version changed it.
fn is_told(job: &Job<'_>, subject: &Subject, field: &str) -> bool {
    is_told_at(job, subject, field, "")
}

fn is_told_at(job: &Job<'_>, subject: &Subject, field: &str, place: &str) -> bool {
    let key = Key {
        subject: subject.to_string(),
        field: field.to_owned(),
        place: place.to_owned(),
    };
    let stands = |state: &KeyState| {
        let mut lines = state.lines.iter();
        !state.newer.is_empty() || lines.any(|line| line.standing != Standing::Withdrawn)
    };
    job.reader.view.key(&key).is_some_and(stands)
}
