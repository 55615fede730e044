//! What stands against cutting a run's wires: asked of here before ordering, as lengths are read, on
//! the cut sheet and as wires are released.
//!
//! Invariant: strand that is cut a metre off is lost, so lengths that contradict the bays, and a bay
//! that the table has no figure for, are cut only on somebody's yes; a run without two anchors is
//! not cut at all.

use mechanics::lengths::{LengthAdvice, bays_advice};
use mechanics::plausible::fits_positions;
use mechanics::{Millimetres, slope};

use super::WorkError;
use super::convert::{nm, no_slope, run_of, slope_of};
use super::lengths::{between_inserts, readings};
use super::ordering::asked;
use super::supports::clear_along;
use crate::ids::ItemId;
use crate::job::{Bay, Job, Run};
use crate::model::context::LengthRead;
use crate::model::values::{Length, PostRole, Purpose};

/// How far bays and posts together may differ from inside to inside before it is asked about.
const BAYS_TOLERANCE: Millimetres = Millimetres(15.0);

/// What stands against releasing a run's wires for cutting.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ToCut {
    /// Why nothing is released.
    pub refused: Option<String>,
    /// What is released on a yes alone, each a sentence.
    pub questions: Vec<String>,
}

/// What stands against releasing wires of a run for cutting; the cut sheet says the same.
///
/// # Errors
/// When the run is unknown, the rule set can't be read or a figure can't be.
pub fn to_cut(job: &Job<'_>, run: ItemId) -> Result<ToCut, WorkError> {
    let run = run_of(job, run)?;
    let mut questions: Vec<String> = bays_apart(run)?.into_iter().collect();
    questions.extend(asked(job, run)?.open.into_iter().map(|bay| bay.sentence));
    Ok(ToCut {
        refused: few_anchors(run),
        questions,
    })
}

/// Said of a run that has fewer than the two anchors that its wires end at.
pub(super) fn few_anchors(run: &Run) -> Option<String> {
    let anchors = run.posts.iter().filter(|p| p.role == PostRole::Anchor);
    let count = anchors.count();
    (count < 2).then(|| {
        format!(
            "Run {} has {count} of the two anchors that it needs. Say which posts hold the ends.",
            run.name
        )
    })
}

/// Said of a run whose lengths, as far as they can be cut from, contradict its bays and posts.
pub(super) fn bays_apart(run: &Run) -> Result<Option<String>, WorkError> {
    let Some(between) = bays_and_posts(run, |bay| bay.measured)? else {
        return Ok(None);
    };
    let found = bays_advice(
        &between.bays,
        &between.posts,
        &readings(run),
        BAYS_TOLERANCE,
    )?;
    Ok(match found {
        Some(LengthAdvice::BaysDisagree { sentence, .. }) => Some(sentence),
        _ => None,
    })
}

/// What to ask about a wire's length before it is kept, where it contradicts the bays and posts and no
/// other wire of the run reads alike: somebody said yes to those already.
///
/// # Errors
/// When a figure of the run can't be.
pub fn odd_against_bays(
    run: &Run,
    wire: u32,
    length: Length,
    with: &LengthRead,
) -> Result<Option<String>, WorkError> {
    let Some(between) = bays_and_posts(run, |bay| bay.measured)? else {
        return Ok(None);
    };
    let sum = between.sum();
    let read = Millimetres(between_inserts(length, Some(with)));
    let apart = (read - sum).abs();
    // What is read for a quote is rough by its nature.
    let right = match with.purpose {
        Purpose::Cut => apart <= BAYS_TOLERANCE,
        Purpose::Quote => fits_positions(read, sum, sum),
    };
    let others = readings(run).into_iter().filter(|r| r.wire != wire);
    let alike = |other: Millimetres| fits_positions(read, other, other);
    if right || others.map(|r| r.length).any(alike) {
        return Ok(None);
    }
    Ok(Some(format!(
        "Bays and posts of run {} add up to {sum}, and this length is {read}, {apart} apart. Was it \
         read rightly?",
        run.name
    )))
}

/// What lies between a run's end posts, along its wires.
pub(super) struct Between {
    bays: Vec<Millimetres>,
    posts: Vec<Millimetres>,
}

impl Between {
    pub(super) fn sum(&self) -> Millimetres {
        self.bays.iter().chain(&self.posts).copied().sum()
    }
}

/// The bays that are wanted and the posts between; none where one of them is not told.
pub(super) fn bays_and_posts(
    run: &Run,
    wanted: impl Fn(&Bay) -> bool,
) -> Result<Option<Between>, WorkError> {
    if no_slope(run).is_some() || run.bays.is_empty() {
        return Ok(None);
    }
    let slope = slope_of(run)?;
    let mut bays = Vec::new();
    for bay in &run.bays {
        match clear_along(bay, slope)?.filter(|_| wanted(bay)) {
            Some(clear) => bays.push(clear),
            None => return Ok(None),
        }
    }
    let inner = run.posts.len().saturating_sub(2);
    let mut posts = Vec::new();
    for post in run.posts.iter().skip(1).take(inner) {
        let Some(section) = post.section else {
            return Ok(None);
        };
        posts.push(slope::along(nm(section.along_nm), slope)?);
    }
    Ok(Some(Between { bays, posts }))
}
