//! Which ends of a run a cut is computed for, and each as the chain takes it.
//!
//! Invariant: a cut is computed for studs into inserts at both ends, and on a level run for one of them against an
//! end without a thread whose figures are all told by the fitting set; whatever else stands at a post, the wire
//! is cut on site. Nothing is taken as none because nobody told it.

use mechanics::Millimetres;
use mechanics::ends::{self, WireEnd};

use super::{Refusal, RefusalCode};
use crate::job::{Job, PostInRun, Run};
use crate::model::TERMINAL_FIGURES;
use crate::model::context::{Number, Terminal};
use crate::model::values::{End, EndKind, Shape};
use crate::work::convert::{RunEnds, terminal_for, thread, turns_there, wire_end};
use crate::work::{WorkError, words};

/// What to do where no cut is computed.
pub(super) const ON_SITE: &str = "No cut is computed for it: fit one end, offer the wire up under a hand's pull and cut it on site, then touch it on the cut sheet and enter the length.";

/// An end of the run at its post, with the terminal that its fitting set has there.
pub(super) struct AtPost<'a> {
    pub(super) post: &'a PostInRun,
    pub(super) end: End,
    pub(super) terminal: Option<Terminal>,
}

impl AtPost<'_> {
    /// Whether the set has what stands there.
    fn fits(&self) -> bool {
        self.has(self.end.kind)
    }

    fn has(&self, kind: EndKind) -> bool {
        self.terminal.as_ref().is_some_and(|of| of.kind == kind)
    }

    /// Whether the set has what stands there and tells all that its cut rests on.
    fn told(&self) -> bool {
        let of = self.terminal.as_ref().filter(|_| self.fits());
        of.is_some_and(|of| of.untold().is_empty())
    }

    /// Whether the wire is tensioned there: it is told so, and there is a thread.
    pub(super) fn turns(&self) -> bool {
        turns_there(&self.end)
    }

    /// Whether a thread is there whose chain is not worked out: a turnbuckle's or a bolt's.
    fn other_thread(&self) -> bool {
        self.end.kind != EndKind::Insert && self.end.kind.has_thread()
    }
}

/// Both ends, first and last.
pub(super) fn at_posts<'a>(
    job: &Job<'_>,
    run: &'a Run,
    found: &RunEnds,
) -> Option<[AtPost<'a>; 2]> {
    let (first, last) = run.ends()?;
    let at = |post, end: End| AtPost {
        post,
        end,
        terminal: terminal_for(job, run, end.hand),
    };
    Some([at(first, found.first), at(last, found.last)])
}

/// Why the wires of a run are cut on site of which not both ends are studs into inserts; none where one is, the
/// other has no thread, and all that the cut rests on is told.
pub(super) fn cut_on_site(run: &Run, at: &[AtPost<'_>; 2]) -> Option<Refusal> {
    let other = at.iter().find(|at| at.end.kind != EndKind::Insert)?;
    let why = not_worked_out(run, at)
        .or_else(|| raked(run, other))
        .or_else(|| other_than_the_set(run, at))
        .or_else(|| at.iter().find_map(|at| not_told(run, at)))?;
    Some(Refusal {
        code: RefusalCode::OnSite,
        sentence: format!("{why} {ON_SITE}"),
    })
}

/// Two ends that no chain is there for.
fn not_worked_out(run: &Run, at: &[AtPost<'_>; 2]) -> Option<String> {
    if let Some(of) = at.iter().find(|at| at.other_thread()) {
        return Some(format!(
            "The {} end of run {} is {}, whose thread is not counted here.",
            of.post.name,
            run.name,
            words::an_end(of.end.kind)
        ));
    }
    let [first, last] = at;
    let none = !first.end.kind.has_thread() && !last.end.kind.has_thread();
    none.then(|| {
        format!(
            "Run {} ends in {} at {} and in {} at {}: neither has a thread.",
            run.name,
            words::an_end(first.end.kind),
            first.post.name,
            words::an_end(last.end.kind),
            last.post.name
        )
    })
}

/// On a rake nobody tells how what is measured square from the post's face lies along the wire.
fn raked(run: &Run, other: &AtPost<'_>) -> Option<String> {
    (run.shape == Shape::Raked).then(|| {
        format!(
            "Run {} is raked and its {} end is {}: how far that is held from the post's face is not worked \
             out along the slope.",
            run.name,
            other.post.name,
            words::an_end(other.end.kind)
        )
    })
}

/// The first end that the fitting set has not, and whether it has the two the other way round.
fn other_than_the_set(run: &Run, at: &[AtPost<'_>; 2]) -> Option<String> {
    let end = at.iter().find(|at| !at.fits())?;
    let has = match &end.terminal {
        Some(terminal) => format!("its fitting set has {} there", words::an_end(terminal.kind)),
        None => "no fitting set tells its figures".to_owned(),
    };
    let [first, last] = at;
    let round = first.has(last.end.kind) && last.has(first.end.kind);
    let stud = at.iter().find(|at| at.end.kind.has_thread());
    let instead = stud.filter(|_| round).map_or_else(String::new, |stud| {
        format!(
            " The set has its stud {other} and the one at {} is told as {}: tell it as {other} if it is, or \
             choose a set that is turned round.",
            stud.post.name,
            words::hand(stud.end.hand),
            other = words::hand(stud.end.hand.other())
        )
    });
    Some(format!(
        "The {} end of run {} is {}, and {has}.{instead}",
        end.post.name,
        run.name,
        words::an_end(end.end.kind)
    ))
}

/// What nobody told of an end, or told as it can't be counted.
fn not_told(run: &Run, at: &AtPost<'_>) -> Option<String> {
    let terminal = at.terminal.as_ref()?;
    let what = format!("{} at {}", words::end_kind(terminal.kind), at.post.name);
    if let Some(why) = untold_at(run, at) {
        return Some(why);
    }
    if at.end.angled_seat && !terminal.kind.has_thread() {
        return Some(format!(
            "The {what} of run {} stands on an angled seat, and how that lies under it is not worked out.",
            run.name
        ));
    }
    if at.end.angled_seat && terminal.seat_nm.is_none() {
        return Some(format!(
            "The {what} of run {} stands on an angled seat whose length is not told.",
            run.name
        ));
    }
    let unknown = match terminal.kind.has_thread() {
        true => thread(terminal).err()?,
        false => return None,
    };
    Some(format!("The {what} of run {}: {unknown}.", run.name))
}

/// Why the fitting set's figures are not those of the run's studs.
pub(super) fn other_terminal(run: &Run, at: &[AtPost<'_>; 2]) -> Option<String> {
    let other = at.iter().find(|at| !at.fits())?;
    let terminal = other.terminal.as_ref()?;
    Some(format!(
        "Run {} ends at {} in {}, and the {} terminal of its fitting set is {}. Choose \
         the set that is fitted.",
        run.name,
        other.post.name,
        words::an_end(other.end.kind),
        words::hand(terminal.hand),
        words::an_end(terminal.kind)
    ))
}

/// Why the wires of a run can't be tensioned whose ends are those of its fitting set and told whole; none where
/// they can, or where a turnbuckle or a bolt may turn.
pub(super) fn no_thread(run: &Run, at: &[AtPost<'_>; 2]) -> Option<String> {
    let may = |at: &AtPost<'_>| at.turns() || at.other_thread();
    if at.iter().any(may) || !at.iter().all(AtPost::told) {
        return None;
    }
    let threaded = at.iter().find(|at| at.end.kind.has_thread());
    Some(match threaded {
        Some(at) => format!(
            "Run {} is told as tensioned at its other end alone, which has no thread: only the {} at {} \
             can be turned. Tell it as the end that is tensioned.",
            run.name,
            words::end_kind(at.end.kind),
            at.post.name
        ),
        None => format!(
            "No end of run {} has a thread, so its wires can't be tensioned. One end needs a stud into an \
             insert, a bolt or a turnbuckle.",
            run.name
        ),
    })
}

/// A figure that the cut of a stud into an insert rests on and nobody told.
pub(super) fn untold(run: &Run, at: &[AtPost<'_>; 2]) -> Option<String> {
    at.iter().find_map(|at| untold_at(run, at))
}

/// What the fitting set does not tell of an end that its cut rests on.
fn untold_at(run: &Run, at: &AtPost<'_>) -> Option<String> {
    let terminal = at.terminal.as_ref()?;
    let missing = terminal.untold();
    (!missing.is_empty()).then(|| {
        format!(
            "The fitting set of run {} does not tell of the {} at {}: {}.",
            run.name,
            words::end_kind(terminal.kind),
            at.post.name,
            missing.join("; ")
        )
    })
}

/// An end as the chain takes it. Where nothing is turned after fitting, a stud has to be in by its least
/// engagement before the other one is caught.
pub(super) fn chained(at: &AtPost<'_>) -> Result<WireEnd, WorkError> {
    let found = as_turned(at)?;
    Ok(match at.turns() {
        true => found,
        false => found.not_turned(),
    })
}

fn as_turned(at: &AtPost<'_>) -> Result<WireEnd, WorkError> {
    let untold = || WorkError::Untold {
        what: "terminal at an end",
    };
    let terminal = at.terminal.as_ref().ok_or_else(untold)?;
    wire_end(terminal, &at.end)?.ok_or_else(untold)
}

/// Why an end without a thread can't be, whatever the wire's length.
pub(super) fn cannot_be(run: &Run, at: &AtPost<'_>, end: &WireEnd) -> Option<Refusal> {
    if matches!(end, WireEnd::Insert(_)) {
        return None;
    }
    let error = ends::check(end).err()?;
    Some(Refusal {
        code: RefusalCode::BadFigure,
        sentence: format!("Run {}, {} end: {error}.", run.name, at.post.name),
    })
}

/// The one end that is tensioned, and what its thread takes up between catching and the reserve.
pub(super) fn one_tensioner(
    at: &[AtPost<'_>; 2],
) -> Result<Option<(String, Millimetres)>, WorkError> {
    let turned: Vec<_> = at.iter().filter(|at| at.turns()).collect();
    let [only] = turned.as_slice() else {
        return Ok(None);
    };
    let there = as_turned(only)?;
    let takes = there.full_engagement() - there.reserve() - there.start_engagement();
    Ok(Some((only.post.name.clone(), takes)))
}

/// What the chain takes of ends that are no studs into inserts, as a decision keeps it.
pub(super) fn figures(at: &[AtPost<'_>; 2], origin: &str) -> Vec<Number> {
    let others = at.iter().filter(|at| at.end.kind != EndKind::Insert);
    let found = others.filter_map(|at| {
        let terminal = at.terminal.as_ref()?;
        // No cut is computed where such an end stands on a seat.
        let counted = TERMINAL_FIGURES.iter().filter(|f| f.name != "seatNm");
        let told = counted.filter_map(|figure| {
            let value = words::mm(terminal.told(figure.name)?);
            Some(format!("{} {value}", figure.called_of(terminal.kind)))
        });
        Some(Number {
            name: format!("{} at {}", words::end_kind(terminal.kind), at.post.name),
            value: told.collect::<Vec<_>>().join("; "),
            origin: origin.to_owned(),
        })
    });
    found.collect()
}
