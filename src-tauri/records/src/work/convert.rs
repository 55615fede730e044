//! From the record's integers to the engineering's quantities, and what a run is made of.

use mechanics::ends::{FixedEnd, WireEnd};
use mechanics::fitting::FittingEnd;
use mechanics::slope::stair_slope;
use mechanics::strand::Construction;
use mechanics::thread::{Hand as ThreadHand, Thread};
use mechanics::{Degrees, Millimetres, Newtons};

use super::WorkError;
use crate::ids::ItemId;
use crate::job::things::{JobFittingSet, JobStrand};
use crate::job::{Job, Run};
use crate::model::context::Terminal;
use crate::model::terminal_figure;
use crate::model::values::{End, EndKind, Hand, Length, Shape, StrandFigures};

/// Posts of a modulus from this up are of metal; metals lie far above, timber far below.
pub(super) const METAL_FROM_MPA: i64 = 30_000;

pub(super) fn mm(length: Length) -> Millimetres {
    Millimetres(length.as_mm())
}

pub(super) fn nm(nm: i64) -> Millimetres {
    mm(Length { nm })
}

#[allow(clippy::cast_precision_loss)] // forces stay far below 2^53 mN
pub(super) fn mn(mn: i64) -> Newtons {
    Newtons(mn as f64 / 1000.0)
}

pub(super) fn run_of<'a>(job: &'a Job<'_>, run: ItemId) -> Result<&'a Run, WorkError> {
    job.run(run).ok_or(WorkError::UnknownRun(run))
}

/// The run's slope without its direction; zero where it is level or the slope is not told.
pub(super) fn slope_of(run: &Run) -> Result<Degrees, WorkError> {
    match (run.shape, run.slope) {
        (Shape::Raked, Some(slope)) => Ok(stair_slope(nm(slope.rise_nm), nm(slope.going_nm))?),
        _ => Ok(Degrees(0.0)),
    }
}

/// What to say of a raked run whose slope is not told: no row, cut or hole is read as if it were
/// level.
pub(super) fn no_slope(run: &Run) -> Option<String> {
    (run.shape == Shape::Raked && run.slope.is_none()).then(|| {
        format!(
            "Run {} is raked and its slope is not told. Measure rise and going of a step: bays, \
             spacings, cuts and holes follow from it.",
            run.name
        )
    })
}

/// The slope as seen walking from the first post: below zero where the floor goes down.
///
/// Where the floor levels of the two ends do not tell, a rake falls from the first post, as it is
/// drawn; [`fall_is_told`] says whether they do.
pub(super) fn signed_slope(run: &Run) -> Result<Degrees, WorkError> {
    let slope = slope_of(run)?;
    match end_floors(run) {
        Some((first, last)) if last > first => Ok(slope),
        // A level run has no sign.
        _ if slope.value() > 0.0 => Ok(-slope),
        _ => Ok(slope),
    }
}

/// Whether the floor levels of a run's two ends tell which of them is the lower.
#[must_use]
pub fn fall_is_told(run: &Run) -> bool {
    end_floors(run).is_some_and(|(first, last)| first != last)
}

/// Floor levels of the two ends, both told: the first post may be another run's too, whose levels count from
/// elsewhere.
fn end_floors(run: &Run) -> Option<(i64, i64)> {
    Some((run.posts.first()?.floor?.nm, run.posts.last()?.floor?.nm))
}

pub(super) fn heights(run: &Run) -> Vec<Millimetres> {
    run.heights.iter().copied().map(mm).collect()
}

pub(super) fn strand_of<'a>(
    job: &'a Job<'_>,
    run: &Run,
) -> Option<(&'a JobStrand, &'a StrandFigures)> {
    let strand = job.strands.iter().find(|s| Some(s.id) == run.strand)?;
    Some((strand, strand.figures.as_ref()?))
}

pub(super) fn fitting_of<'a>(job: &'a Job<'_>, run: &Run) -> Option<&'a JobFittingSet> {
    job.fitting_sets
        .iter()
        .find(|f| Some(f.id) == run.fitting_set)
}

pub(super) fn construction(figures: &StrandFigures) -> Option<Construction> {
    match figures.construction.as_str() {
        "1x19" => Some(Construction::OneByNineteen),
        "7x7" => Some(Construction::SevenBySeven),
        "7x19" => Some(Construction::SevenByNineteen),
        _ => None,
    }
}

pub(super) fn thread_hand(hand: Hand) -> ThreadHand {
    match hand {
        Hand::Left => ThreadHand::Left,
        Hand::Right => ThreadHand::Right,
    }
}

pub(super) fn record_hand(hand: ThreadHand) -> Hand {
    match hand {
        ThreadHand::Left => Hand::Left,
        ThreadHand::Right => Hand::Right,
    }
}

/// Both ends of a run as recorded, else as the fitting set has them: left hand first.
pub(super) struct RunEnds {
    pub(super) first: End,
    pub(super) last: End,
    /// Whether either end was not recorded and stands as assumed.
    pub(super) assumed: bool,
}

pub(super) fn ends_of(job: &Job<'_>, run: &Run) -> Option<RunEnds> {
    let (first, last) = run.ends()?;
    let set = fitting_of(job, run).and_then(|f| f.terminals.as_ref());
    let like = |hand: Hand| {
        let terminal = set.map(|t| match hand {
            Hand::Left => &t.left,
            Hand::Right => &t.right,
        });
        let kind = terminal.map_or(EndKind::Insert, |t| t.kind);
        End {
            kind,
            hand,
            tensioner: kind.has_thread(),
            angled_seat: run.shape == Shape::Raked,
            aside_nm: None,
            other_enters: None,
        }
    };
    let (said_first, said_last) = (first.end.shown().copied(), last.end.shown().copied());
    // Beside an end without a thread, what is not told is the set's other terminal.
    let beside = |told: Option<End>, usual: Hand| {
        let kind = told.map(|end| end.kind).filter(|kind| !kind.has_thread());
        match kind.zip(set) {
            Some((kind, t)) if t.left.kind == kind && t.right.kind != kind => Hand::Right,
            Some((kind, t)) if t.right.kind == kind && t.left.kind != kind => Hand::Left,
            _ => usual,
        }
    };
    let mut found = RunEnds {
        first: said_first.unwrap_or_else(|| like(beside(said_last, Hand::Left))),
        last: said_last.unwrap_or_else(|| like(beside(said_first, Hand::Right))),
        assumed: said_first.is_none() || said_last.is_none(),
    };
    found.hands_of_threads();
    Some(found)
}

/// Kinds of a run's ends as they are counted: told, else as the fitting set has them; first and last post.
#[must_use]
pub fn end_kinds(job: &Job<'_>, run: &Run) -> Option<[EndKind; 2]> {
    let ends = ends_of(job, run)?;
    Some([ends.first.kind, ends.last.kind])
}

/// A run's end at a post, told or as the fitting set has it; none where the run does not end there.
#[must_use]
pub fn end_at(job: &Job<'_>, run: &Run, post: ItemId) -> Option<End> {
    let ((first, last), ends) = (run.ends()?, ends_of(job, run)?);
    let at = [(first, ends.first), (last, ends.last)];
    let (_, end) = at.into_iter().find(|(of, _)| of.id == post)?;
    Some(end)
}

/// Where the thread that a fitted wire left is read: at both ends, or at the one that has a thread.
#[must_use]
pub fn thread_read_at(job: &Job<'_>, run: &Run) -> String {
    let ends = run.ends().zip(ends_of(job, run));
    let threads = ends.map(|(posts, ends)| {
        let of = [(posts.0, ends.first), (posts.1, ends.last)];
        of.map(|(post, end)| end.kind.has_thread().then(|| post.name.clone()))
    });
    match threads {
        Some([Some(one), None] | [None, Some(one)]) => format!("at its end in {one}"),
        _ => "at both ends".to_owned(),
    }
}

/// Whether a wire is tensioned at an end: it is told so, and there is a thread.
pub(super) fn turns_there(end: &End) -> bool {
    end.tensioner && end.kind.has_thread()
}

impl RunEnds {
    /// An end without a thread has no hand: it is the set's other terminal, whatever hand was said there.
    fn hands_of_threads(&mut self) {
        let (first, last) = (&mut self.first, &mut self.last);
        match (first.kind.has_thread(), last.kind.has_thread()) {
            (true, true) => {}
            (true, false) => last.hand = first.hand.other(),
            (false, true) => first.hand = last.hand.other(),
            (false, false) => (first.hand, last.hand) = (Hand::Left, Hand::Right),
        }
    }
}

/// An end as the chain takes it, from its terminal's figures; none of a turnbuckle or a bolt, whose chain the
/// record has no figures for, and none where an end without a thread stands on an angled seat.
///
/// # Errors
/// When a figure that its cut rests on is not told, or no thread of its diameter is known.
pub(super) fn wire_end(terminal: &Terminal, end: &End) -> Result<Option<WireEnd>, WorkError> {
    Ok(match terminal.kind {
        EndKind::Insert => Some(WireEnd::Insert(fitting_end(terminal, end)?)),
        EndKind::FixedEnd | EndKind::WallPlate | EndKind::Eye if !end.angled_seat => {
            Some(WireEnd::Fixed(FixedEnd {
                mouth: length_of(terminal, "mouthNm")?,
                insertion: nm(terminal.insertion_nm),
                growth: nm(terminal.growth_nm),
                seat_length: Millimetres(0.0),
            }))
        }
        _ => None,
    })
}

pub(super) fn terminal_for(job: &Job<'_>, run: &Run, hand: Hand) -> Option<Terminal> {
    let terminals = fitting_of(job, run)?.terminals.as_ref()?;
    Some(match hand {
        Hand::Left => terminals.left.clone(),
        Hand::Right => terminals.right.clone(),
    })
}

/// A stud into an insert.
///
/// # Errors
/// When a figure that its cut rests on is not told, or no thread of its diameter is known.
fn fitting_end(terminal: &Terminal, end: &End) -> Result<FittingEnd, WorkError> {
    let seat = if end.angled_seat {
        terminal.seat_nm
    } else {
        None
    };
    let told = |name: &'static str| length_of(terminal, name);
    Ok(FittingEnd {
        hand: thread_hand(end.hand),
        thread: thread(terminal)?,
        stud_overall: told("overallNm")?,
        insertion: nm(terminal.insertion_nm),
        growth: nm(terminal.growth_nm),
        usable_thread: told("threadNm")?,
        least_engagement: told("leastEngagementNm")?,
        start_engagement: told("startNm")?,
        reserve: told("reserveNm")?,
        lock_nut: told("lockNutNm")?,
        insert_clear_depth: terminal.clear_depth_nm.map(nm),
        seat_length: nm(seat.unwrap_or(0)),
        hole_diameter: told("holeNm")?,
        hole_depth: told("holeDepthNm")?,
    })
}

/// A figure of a terminal that its cut rests on.
fn length_of(terminal: &Terminal, name: &'static str) -> Result<Millimetres, WorkError> {
    let untold = || WorkError::Untold {
        what: terminal_figure(name).map_or(name, |figure| figure.called_of(terminal.kind)),
    };
    terminal.told(name).map(nm).ok_or_else(untold)
}

/// The thread of a terminal: its pitch as told, else that of the metric coarse thread of its diameter.
///
/// # Errors
/// When its diameter is not told, no coarse thread of it is known and no pitch is told, or the two can't be
/// together.
pub(super) fn thread(terminal: &Terminal) -> Result<Thread, WorkError> {
    let diameter = length_of(terminal, "threadDiameterNm")?;
    match terminal.told("pitchNm").map(nm) {
        Some(pitch) => Ok(Thread::new(diameter, pitch)?),
        None => Thread::coarse(diameter).ok_or(WorkError::Thread {
            diameter_mm: diameter.value(),
        }),
    }
}
