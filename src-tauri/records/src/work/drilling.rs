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
