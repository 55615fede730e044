//! What stands against cutting a run's wires: asked of here before ordering, as lengths are read, on
//! the cut sheet and as wires are released.
//!
//! Invariant: strand that is cut a metre off is lost, so lengths that contradict the bays, and a bay
//! that the table has no figure for, are cut only on somebody's yes; a run without two anchors is
//! not cut at all.

use mechanics::lengths::{
    LengthAdvice, LengthReading, STRAIGHT_WITHIN, bays_advice, straight_advice,
};
use mechanics::plausible::{AddedUp, REPEATS_WITHIN, question_added};
use mechanics::{Millimetres, slope};

use super::WorkError;
use super::convert::{heights, mn, nm, no_slope, run_of, slope_of};
use super::inward::inward;
use super::lengths::{between_inserts, readings};
use super::ordering::asked;
use super::rules::decided_by_another;
use super::supports::clear_along;
use super::wires_in::wires_in;
use crate::ids::ItemId;
use crate::job::{Bay, Job, Run};
use crate::model::context::LengthRead;
use crate::model::values::{Length, PostRole, Purpose};

/// What stands against releasing a run's wires for cutting.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ToCut {
    /// Why nothing is released.
    pub refused: Option<String>,
    /// What is released on a yes alone.
    pub questions: Vec<ToAsk>,
}

/// What is asked before wires of a run are released.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ToAsk {
    /// One sentence.
    pub sentence: String,
    /// Wires whose lengths it is about, by number; none where it is about the whole run.
    pub lengths: Vec<u32>,
    /// The part of the sentence that an earlier yes is known by. Of lengths against bays it is what these add up
    /// to, since the length named is but the furthest of all that contradict it.
    pub known_by: String,
}

/// What stands against releasing wires of a run for cutting; the cut sheet says the same.
///
/// # Errors
/// When the run is unknown, the rule set can't be read or a figure can't be.
pub fn to_cut(job: &Job<'_>, run: ItemId) -> Result<ToCut, WorkError> {
    let run = run_of(job, run)?;
    let whole = |(sentence, lengths): (String, Vec<u32>)| ToAsk {
        known_by: sentence.clone(),
        sentence,
        lengths,
    };
    let off = off_the_line(run).map(|off| (off.sentence, off.three.to_vec()));
    let apart = wires_apart(run)?.into_iter();
    let mut questions: Vec<ToAsk> = apart.chain(off.map(whole)).collect();
    let open = asked(job, run)?.open.into_iter().map(|bay| bay.sentence);
    let of_run = wires_in(job, run)?.into_iter();
    let of_run = of_run.chain(posts_untold(job, run)?).chain(open);
    let of_run = of_run.chain(decided_by_another(job, run));
    questions.extend(of_run.map(|sentence| whole((sentence, Vec::new()))));
    Ok(ToCut {
        refused: few_anchors(run),
        questions,
    })
}

/// Said of a run whose end posts move nobody knows how far: a cut that counts them as still comes out
/// too long by all that they move.
fn posts_untold(job: &Job<'_>, run: &Run) -> Result<Option<String>, WorkError> {
    match run.tensions.value() {
        Some(decided) => Ok(inward(job, run, mn(decided.set_mn))?.untold),
        None => Ok(None),
    }
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

/// Said of a run whose lengths, as far as they can be cut from, contradict its bays and posts, or where
/// its posts stand.
pub(super) fn bays_apart(run: &Run) -> Result<Option<String>, WorkError> {
    Ok(wires_apart(run)?.map(|asked| asked.sentence))
}

/// The wires that contradict what bays and posts add up to, with the sentence that names the furthest.
fn wires_apart(run: &Run) -> Result<Option<ToAsk>, WorkError> {
    let Some(between) = bays_and_posts(run, |_| true)? else {
        return Ok(None);
    };
    let (read, sum) = (readings(run), between.sum());
    let tolerance = added_up(run, &between).tolerance(false);
    let found = bays_advice(&between.bays, &between.posts, &read, tolerance)?;
    let Some(LengthAdvice::BaysDisagree { sentence, .. }) = found else {
        return Ok(None);
    };
    let off = read.iter().filter(|r| (r.length - sum).abs() > tolerance);
    Ok(Some(ToAsk {
        lengths: off.map(|r| r.wire).collect(),
        known_by: format!("Bays and posts between add up to {sum}, "),
        sentence,
    }))
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
    let Some(between) = bays_and_posts(run, |_| true)? else {
        return Ok(None);
    };
    let others = lengths_taken(run).into_iter();
    let others = others.filter(|(of, _)| *of != wire).map(|(_, l)| l);
    Ok(odd_beside_sum(
        &run.name,
        length,
        with,
        added_up(run, &between),
        others,
    ))
}

/// What to ask about a wire's length beside an earlier reading of the same wire: readings are
/// averaged, and the average of two that contradict each other is neither.
#[must_use]
pub fn odd_beside_repeats(
    wire: u32,
    length: Length,
    with: &LengthRead,
    others: impl IntoIterator<Item = (u32, Millimetres)>,
) -> Option<String> {
    let read = Millimetres(between_inserts(length, Some(with)));
    let of_wire = others.into_iter().filter(|(of, _)| *of == wire);
    let apart = |other: Millimetres| (read - other).abs();
    let (_, other) =
        of_wire.max_by(|(_, a), (_, b)| apart(*a).value().total_cmp(&apart(*b).value()))?;
    let rough = with.purpose == Purpose::Quote;
    (!rough && apart(other) > REPEATS_WITHIN).then(|| {
        format!(
            "Wire {wire} was read before as {other}, {} apart from {read}. Readings of one wire are \
             averaged for the cut; correct the wrong one instead. Keep both all the same?",
            apart(other)
        )
    })
}

/// What to ask about a wire's length before it is kept, where one of the lengths that are cut from would
/// then lie off the straight line between its neighbours and did not before, or not as far.
#[must_use]
pub fn odd_bow(run: &Run, wire: u32, length: Length, with: &LengthRead) -> Option<String> {
    if with.purpose == Purpose::Quote {
        return None;
    }
    let read = LengthReading {
        wire,
        length: Millimetres(between_inserts(length, Some(with))),
        spread: Millimetres(0.0),
    };
    let before = readings(run);
    let known: Vec<OffTheLine> = off_line(run, &before).collect();
    let others = before.into_iter().filter(|other| other.wire != wire);
    let now = others.chain([read]).collect::<Vec<_>>();
    // What somebody said yes to is asked again only where it got worse.
    let asked = |off: &OffTheLine| {
        let stood = known.iter();
        let mut stood = stood.filter(|k| k.wire == off.wire || k.three[1] == off.three[1]);
        stood.any(|k| (off.off - k.off).abs() <= STRAIGHT_WITHIN)
    };
    // Of three others it was asked as they were typed.
    off_line(run, &now)
        .find(|off| off.three.contains(&wire) && !asked(off))
        .map(|off| off.sentence)
}

/// A length off the straight line between its neighbours.
pub(super) struct OffTheLine {
    pub(super) wire: u32,
    three: [u32; 3],
    off: Millimetres,
    pub(super) sentence: String,
}

/// The lengths of a run that are cut from and lie off the straight line between their neighbours.
pub(super) fn off_the_line(run: &Run) -> impl Iterator<Item = OffTheLine> + use<> {
    off_line(run, &readings(run))
}

fn off_line(run: &Run, readings: &[LengthReading]) -> impl Iterator<Item = OffTheLine> + use<> {
    // Heights that are not told are asked for where the lengths between are worked out.
    let found = straight_advice(&heights(run), readings).unwrap_or_default();
    found.into_iter().filter_map(|advice| match advice {
        LengthAdvice::OffTheLine {
            wire,
            three,
            off,
            sentence,
        } => Some(OffTheLine {
            wire,
            three,
            off,
            sentence,
        }),
        _ => None,
    })
}

/// Lengths of a run that may be cut from, by wire.
#[must_use]
pub fn lengths_taken(run: &Run) -> Vec<(u32, Millimetres)> {
    let all = readings(run).into_iter();
    all.map(|r| (r.wire, r.length)).collect()
}

/// The same beside a sum that is known, whoever adds it up.
pub(crate) fn odd_beside_sum(
    run: &str,
    length: Length,
    with: &LengthRead,
    added: AddedUp,
    others: impl IntoIterator<Item = Millimetres>,
) -> Option<String> {
    let read = Millimetres(between_inserts(length, Some(with)));
    // What is read for a quote is rough by its nature.
    let rough = with.purpose == Purpose::Quote;
    question_added(run, read, rough, added, others)
}

fn added_up(run: &Run, between: &Between) -> AddedUp {
    AddedUp {
        sum: between.sum(),
        measured: run.bays.iter().all(|bay| bay.measured),
    }
}

/// What bays and posts between the ends of a run add up to, along its wires; none where one of them is
/// not told.
///
/// # Errors
/// When a figure of the run can't be.
pub fn bays_add_up(run: &Run) -> Result<Option<Millimetres>, WorkError> {
    Ok(bays_and_posts(run, |_| true)?.map(|between| between.sum()))
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
