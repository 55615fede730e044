//! The frame of a run: its wires between its two end posts, as tensioning and learning take them.
//!
//! Invariant: a wire's free length is what lies between its terminals, from what was cut, else
//! from what is released or aimed at; where an end post is not known there is no frame.

use mechanics::tensioning::Frame;
use mechanics::{Millimetres, Newtons};

use super::WorkError;
use super::cuts::CutLine;
use super::inward::end_posts;
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
