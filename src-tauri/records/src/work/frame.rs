//! The frame of a run: its wires between its two end posts, as tensioning and learning take them.
//!
//! Invariant: a wire's free length is what lies between its terminals, from what was cut, else
//! from what is released or aimed at; where an end post is not known there is no frame.

use mechanics::tensioning::Frame;
use mechanics::{Millimetres, Newtons, slope};

use super::WorkError;
use super::convert::{mm, mn, no_slope, slope_of, strand_of};
use super::cuts::CutLine;
use super::inward::end_posts;
use super::lengths::inside;
use crate::job::{Job, Run, Wire};

/// Free length of each wire, from the bottom; one that is not known is taken as long as the mean
/// of the others. None where no wire's is known.
pub(super) fn free_lengths(
    run: &Run,
    lines: &[CutLine],
    swallowed: Millimetres,
) -> Option<Vec<Millimetres>> {
    let of = |wire: &Wire| {
        let line = lines.iter().find(|line| line.wire == wire.number)?;
        let issued = line.issued.as_ref().map(|issued| issued.cut_mm);
        let cut = line.cut_done_mm.or(issued).or(line.aim_mm)?;
        Some(Millimetres(cut) - swallowed)
    };
    let known: Vec<Option<Millimetres>> = run.wires.iter().map(of).collect();
    let there: Vec<Millimetres> = known.iter().copied().flatten().collect();
    let count = u32::try_from(there.len()).ok().filter(|n| *n > 0)?;
    let mean = there.iter().copied().sum::<Millimetres>() / f64::from(count);
    Some(known.into_iter().map(|one| one.unwrap_or(mean)).collect())
}

/// The frame of a run, or what is missing for it.
pub(super) fn frame(
    job: &Job<'_>,
    run: &Run,
    lengths: &[Millimetres],
    axial_stiffness: Newtons,
) -> Result<Result<Frame, String>, WorkError> {
    Ok(match end_posts(job, run, Newtons(0.0))? {
        Ok(ends) => Ok(Frame::of(&ends, lengths, axial_stiffness)?),
        Err(missing) => Err(missing),
    })
}

/// The frame of a run whose wires are not cut, not decided yet, or not of a kind that cuts are worked
/// out for; what is missing where it can't be told.
pub(super) fn frame_before(job: &Job<'_>, run: &Run) -> Result<Result<Frame, String>, WorkError> {
    let Some((_, strand)) = strand_of(job, run) else {
        return Ok(Err("Choose the strand".to_owned()));
    };
    let Some(lengths) = lengths(run)? else {
        return Ok(Err(format!("Measure the wires of run {}", run.name)));
    };
    frame(job, run, &lengths, mn(strand.ea_mn))
}

/// Length of each wire from post to post: as measured, else as the posts stand; none where neither
/// is known.
fn lengths(run: &Run) -> Result<Option<Vec<Millimetres>>, WorkError> {
    let known: Vec<Option<Millimetres>> = inside(run)
        .0
        .into_iter()
        .map(|wire| wire.length.ok().map(|known| known.mm))
        .collect();
    let longest = known.iter().flatten().copied().reduce(Millimetres::max);
    let Some(longest) = longest.or(between(run)?) else {
        return Ok(None);
    };
    let all: Vec<Millimetres> = known.iter().map(|one| one.unwrap_or(longest)).collect();
    Ok(Some(all).filter(|all| !all.is_empty()))
}

/// From the first post to the last, as their positions tell it.
fn between(run: &Run) -> Result<Option<Millimetres>, WorkError> {
    let Some((first, last)) = run.ends().filter(|_| no_slope(run).is_none()) else {
        return Ok(None);
    };
    let (Some(from), Some(to)) = (first.position.shown(), last.position.shown()) else {
        return Ok(None);
    };
    let level = mm(*to) - mm(*from);
    if level.value() <= 0.0 {
        return Ok(None);
    }
    Ok(Some(slope::along(level, slope_of(run)?)?))
}
