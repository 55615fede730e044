//! Which hole a post of a run gets: blind for an insert, or through.

use mechanics::holes::{BlindHole, Drilling, PostFace, RunFace};
use mechanics::{Degrees, Millimetres};

use super::WorkError;
use super::convert::{ends_of, fitting_of, mm, nm, signed_slope, terminal_for, thread_hand};
use crate::job::{Job, PostInRun, Run};
use crate::model::values::EndKind;

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

/// Kind of an end that no hole of the schedule belongs to.
pub(super) fn without_a_hole(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<EndKind> {
    let ((first, last), ends) = (run.ends()?, ends_of(job, run)?);
    let at = [(first, ends.first), (last, ends.last)];
    let (_, end) = at.into_iter().find(|(of, _)| of.id == post.id)?;
    let holed = matches!(end.kind, EndKind::Insert | EndKind::ThroughBolt);
    (!holed).then_some(end.kind)
}

/// The kind of a run's end at a post and the other one that the fitting set has there; none where they are alike.
pub(super) fn other_kind(job: &Job<'_>, run: &Run, post: &PostInRun) -> Option<(EndKind, EndKind)> {
    let ((first, last), ends) = (run.ends()?, ends_of(job, run)?);
    let at = [(first, ends.first), (last, ends.last)];
    let (_, end) = at.into_iter().find(|(of, _)| of.id == post.id)?;
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
            offset: Millimetres(0.0),
            diameter,
            depth,
            rise: Degrees(rise.value()),
        })
        .collect())
}
