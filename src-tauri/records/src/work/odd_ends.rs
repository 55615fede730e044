//! What to ask about what somebody reads at the ends of a fitted wire, before it is kept, and where
//! what was kept says that too little thread holds.
//!
//! Invariant: a reading is held against the thread, the least engagement and the lock nut of its
//! fitting set and nothing else; where no set is chosen nothing is asked. Engaged is the usable thread
//! less what is left showing. Changes and refuses nothing.

use mechanics::Millimetres;

use super::WorkError;
use super::checked::thread_left;
use super::convert::{end_at, ends_of, mm, nm, run_of, terminal_for};
use super::words;
use crate::ids::ItemId;
use crate::job::{Job, Run, Wire};
use crate::model::context::Terminal;
use crate::model::values::{End, EndKind, Hand, Length, Turns};

/// What to ask about the thread left showing at an end: more than the stud there has, so much that
/// less is engaged than holds, or so little that the lock nut finds no room. None where nothing is odd.
///
/// # Errors
/// When the run is unknown.
pub fn odd_thread_left(
    job: &Job<'_>,
    run: ItemId,
    post: ItemId,
    left: Length,
) -> Result<Option<String>, WorkError> {
    let run = run_of(job, run)?;
    let Some(at) = thread_at(job, run, post) else {
        return Ok(None);
    };
    let thread = at.usable;
    if mm(left) > thread {
        return Ok(Some(format!(
            "{} of thread left showing: the {} has {thread} of usable thread. Is it right?",
            mm(left),
            at.called()
        )));
    }
    let doubt = thread_doubt(&at, left);
    Ok(doubt.map(|doubt| format!("{doubt}. Is it right?")))
}

/// What to ask about the turns that an end was screwed in by: more than its stud has thread. None where
/// nothing is odd.
///
/// # Errors
/// When the run is unknown.
pub fn odd_turns(
    job: &Job<'_>,
    run: ItemId,
    post: ItemId,
    turns: Turns,
) -> Result<Option<String>, WorkError> {
    let beyond = beyond_thread(job, run, post, turns)?;
    Ok(beyond.map(|beyond| format!("{beyond} Is it right?")))
}

/// Said of turns at an end that are more than its stud has thread; none where they are not.
///
/// # Errors
/// When the run is unknown.
pub fn beyond_thread(
    job: &Job<'_>,
    run: ItemId,
    post: ItemId,
    turns: Turns,
) -> Result<Option<String>, WorkError> {
    let run = run_of(job, run)?;
    let Some(at) = thread_at(job, run, post) else {
        return Ok(None);
    };
    let sixths = turns.turns.saturating_mul(6).saturating_add(turns.flats);
    let way = nm(at.pitch_nm.saturating_mul(sixths) / 6);
    Ok((way > at.usable).then(|| {
        format!(
            "{} turns and {} flats are {way} of thread: the {} has {} of it.",
            turns.turns,
            turns.flats,
            at.called(),
            at.usable
        )
    }))
}

/// The thread of an end, as its fitting set tells it; of a turnbuckle that of the wire's stud alone.
struct EndThread {
    hand: Hand,
    kind: EndKind,
    usable: Millimetres,
    least: Millimetres,
    /// Room that the lock nut takes beside the face or the body.
    nut: Millimetres,
    pitch_nm: i64,
}

impl EndThread {
    fn called(&self) -> String {
        let what = match self.kind {
            EndKind::ThroughBolt => "bolt",
            _ => "stud",
        };
        format!("{} {what}", words::hand(self.hand))
    }
}

/// The thread of the end of a run at a post; none where it has none, or its figures are not told.
fn thread_at(job: &Job<'_>, run: &Run, post: ItemId) -> Option<EndThread> {
    let end = end_at(job, run, post)?;
    end_thread(&end, &terminal_for(job, run, end.hand)?)
}

fn end_thread(end: &End, terminal: &Terminal) -> Option<EndThread> {
    if !end.kind.has_thread() {
        return None;
    }
    let told = |name| terminal.told(name).map(nm);
    let (usable, least) = (told("threadNm")?, told("leastEngagementNm")?);
    let (nut, pitch) = (told("lockNutNm")?, terminal.told("pitchNm")?);
    let one = EndThread {
        hand: end.hand,
        kind: terminal.kind,
        usable,
        least,
        nut,
        pitch_nm: pitch,
    };
    Some(match terminal.kind {
        // Its lock nut stands on what is engaged, behind the post.
        EndKind::ThroughBolt => EndThread {
            least: least + nut,
            nut: Millimetres(0.0),
            ..one
        },
        _ => one,
    })
}

/// What is the matter with so much thread left showing; none where enough is engaged and the lock nut
/// has room.
fn thread_doubt(at: &EndThread, left: Length) -> Option<String> {
    let (engaged, least) = (at.usable - mm(left), at.least);
    if engaged < least {
        let engaged = engaged.max(Millimetres::default());
        return Some(format!(
            "{} of thread left showing leaves {engaged} engaged, and the fitting set asks at least \
             {least}",
            mm(left)
        ));
    }
    (mm(left) < at.nut).then(|| {
        format!(
            "{} of thread left showing leaves no room for the lock nut of {}",
            mm(left),
            at.nut
        )
    })
}

/// An end of a wire whose thread does not hold as its fitting set asks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ThinThread {
    /// Number of the wire.
    pub wire: u32,
    /// The end's post.
    pub post: ItemId,
    /// The post's name.
    pub post_name: String,
    /// What is the matter, as the beginning of a sentence.
    pub doubt: String,
}

/// Ends of the present pieces of a run that stand with too little thread engaged, or with no room for
/// the lock nut, by whatever anybody reads there.
#[must_use]
pub fn thin_threads(job: &Job<'_>, run: &Run) -> Vec<ThinThread> {
    let of_wire = |wire| thin_at(job, run, wire);
    run.wires.iter().flat_map(of_wire).collect()
}

/// The same of one wire.
pub(super) fn thin_at(job: &Job<'_>, run: &Run, wire: &Wire) -> Vec<ThinThread> {
    if wire.thread_left.is_empty() {
        return Vec::new();
    }
    let ends = run.ends().into_iter().flat_map(|(a, b)| [a, b]);
    ends.filter_map(|end| {
        let at = thread_at(job, run, end.id)?;
        let left = thread_left(job, wire, end.id);
        let doubt = left.iter().find_map(|left| thread_doubt(&at, *left))?;
        Some(ThinThread {
            wire: wire.number,
            post: end.id,
            post_name: end.name.clone(),
            doubt,
        })
    })
    .collect()
}

/// What to ask about how far a fitted wire is out, too long above zero: more than the thread of both
/// ends together, by which no cut to the sheet misses. None where nothing is odd.
///
/// # Errors
/// When the run is unknown.
pub fn odd_out_by(job: &Job<'_>, run: ItemId, by: Length) -> Result<Option<String>, WorkError> {
    let run = run_of(job, run)?;
    let both: Option<Millimetres> = ends_of(job, run).and_then(|ends| {
        let of = |end: &End| match end.kind.has_thread() {
            true => end_thread(end, &terminal_for(job, run, end.hand)?).map(|at| at.usable),
            false => Some(Millimetres(0.0)),
        };
        Some(of(&ends.first)? + of(&ends.last)?)
    });
    let way = if by.nm < 0 { "short" } else { "long" };
    Ok(both.filter(|both| mm(by).abs() > *both).map(|both| {
        format!(
            "Too {way} by {} is more than the {both} of thread at both ends together. Is it right, and \
             of this wire?",
            mm(by).abs()
        )
    }))
}
