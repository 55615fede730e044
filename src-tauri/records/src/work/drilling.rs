//! Which hole a post of a run gets: blind for an insert, or through.

use mechanics::holes::{BlindHole, Drilling, PostFace, RunFace};
use mechanics::{Degrees, Millimetres};

use super::convert::{
    end_at, ends_of, fitting_of, mm, nm, signed_slope, terminal_for, thread_hand,
};
use super::{WorkError, off_middle, words};
use crate::job::{Job, PostInRun, Run, Wire};
use crate::model::values::{End, EndKind};

/// The hole of a run in a post; none where the fitting set does not tell its size.
pub(super) fn drilling(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<Drilling> {
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
    // The hole for another kind of end is none for this one.
    let terminal = terminal_for(job, run, end.hand).filter(|of| of.kind == end.kind)?;
    let told = |name: &str| terminal.told(name).map(nm);
    match end.kind {
        EndKind::ThroughBolt => Some(Drilling::Through {
            diameter: told("holeNm")?,
        }),
        EndKind::Insert => Some(Drilling::Insert {
            face,
            hand: thread_hand(end.hand),
            diameter: told("holeNm")?,
            depth: told("holeDepthNm")?,
        }),
        // Whatever holds these is drilled by its own sheet.
        EndKind::Turnbuckle | EndKind::FixedEnd | EndKind::WallPlate | EndKind::Eye => None,
    }
}

/// How far the holes of a run's end at a post stand off the middle of the face that they enter, to the right of
/// someone who looks at it; nothing at other posts.
pub(super) fn aside(job: &Job<'_>, run: &Run, post: &PostInRun) -> Millimetres {
    let told = end_at(job, run, post.id)
        .filter(holed)
        .and_then(|end| end.aside_nm);
    told.map_or(Millimetres(0.0), nm)
}

/// A distance off the middle, as someone sees it who looks at this face: a hole through comes out on the other
/// side of the opposite one.
pub(super) fn aside_on(run: &Run, post: &PostInRun, face: RunFace, aside: Millimetres) -> f64 {
    let first = run.posts.first().is_some_and(|first| first.id == post.id);
    let own = match first {
        true => RunFace::TowardsEnd,
        false => RunFace::TowardsStart,
    };
    match face == own || aside.value() == 0.0 {
        true => aside.value(),
        false => -aside.value(),
    }
}

/// What is said of a post whose holes stand off the middle of their face.
pub(super) fn off_the_middle(job: &Job<'_>, run: &Run) -> Vec<String> {
    let told = run.posts.iter().map(|post| (post, aside(job, run, post)));
    let off = told.filter(|(_, aside)| aside.value() != 0.0);
    off.map(|(post, aside)| {
        format!(
            "Post {}: the holes of run {} stand {} off the middle of their face, on the {} of who looks at \
             it{}. The wires run askew by that in the bay beside it.",
            post.name,
            run.name,
            Millimetres(aside.value().abs()),
            if aside.value() > 0.0 { "right" } else { "left" },
            at_the_edge(job, run, post)
        )
    })
    .collect()
}

fn at_the_edge(job: &Job<'_>, run: &Run, post: &PostInRun) -> String {
    match off_middle::to_the_edge(job, run, post) {
        None => String::new(),
        Some(wood) if wood.value() <= 0.0 => ", and break out of its edge".to_owned(),
        Some(wood) => format!(", with {wood} of wood to its edge"),
    }
}

/// Kind of an end that no hole of the schedule belongs to.
pub(super) fn without_a_hole(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<EndKind> {
    let end = end_at(job, run, post.id)?;
    (!holed(&end)).then_some(end.kind)
}

/// Whether an end has holes in its post by the schedule.
pub(super) fn holed(end: &End) -> bool {
    matches!(end.kind, EndKind::Insert | EndKind::ThroughBolt)
}

/// The kind of a run's end at a post and the other one that the fitting set has there; none where they are alike.
pub(super) fn other_kind(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<(EndKind, EndKind)> {
    let end = end_at(job, run, post.id)?;
    let terminal = terminal_for(job, run, end.hand)?;
    (terminal.kind != end.kind).then_some((end.kind, terminal.kind))
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
            offset: aside(job, run, post),
            diameter,
            depth,
            rise: Degrees(rise.value()),
        })
        .collect())
}

/// Whether a wire's hole in a post is there: a distance to a hole beside it was told as drilled and stands,
/// or the wire is in.
pub(super) fn is_made(run: &Run, post: &PostInRun, wire: u32) -> bool {
    let told = |above: u32| {
        post.drilled
            .get(&above)
            .is_some_and(|d| d.value().is_some())
    };
    told(wire)
        || wire.checked_sub(1).is_some_and(told)
        || run.wire(wire).is_some_and(Wire::is_fitted)
}

/// Why no hole is known of a post on which nobody differs.
pub(super) fn no_size(job: &Job<'_>, run: &Run, post: &PostInRun) -> String {
    match other_kind(job, run, post) {
        Some((at_post, of_set)) => format!(
            "it has {}, and the fitting set has {} there",
            words::an_end(at_post),
            words::an_end(of_set)
        ),
        None => "no hole size is told by the fitting set".to_owned(),
    }
}
