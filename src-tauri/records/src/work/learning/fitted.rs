//! Fitted wires of a run as the record tells them: what was cut, and the thread that was left.
//!
//! Invariant: a wire teaches only where its present piece was cut and read at its threaded ends, or told
//! as too long or too short; the other wires pull as they were last read before. A tension that
//! nobody read is said as assumed and asked for, never taken in silence. One file past 400 lines, since what
//! was seen at the ends and what its wire hung at then are read together.

use mechanics::cutting::{CutInput, HAND_TENSION};
use mechanics::tensioning::Frame;
use mechanics::trial::{Fitted, offset_read};
use mechanics::{Millimetres, Newtons};

use crate::entry::At;
use crate::ids::{Hash, ItemId};
use crate::job::{Fact, Job, PostInRun, Run, Told, Wire};
use crate::model::context::{OnPiece, TensionRead};
use crate::model::values::{Force, Length, Method};
use crate::work::WorkError;
use crate::work::convert::{ends_of, mn, nm};
use crate::work::cuts::{CutLine, Shared};
use crate::work::frame::{frame, free_lengths};
use crate::work::inward::added;
use crate::work::posts::OnPost;
use crate::work::readings::at_tension;
use crate::work::repeats::Line;

/// A fitted wire as it was read, and what that rests on.
pub(in crate::work) struct Read {
    pub(in crate::work) fitted: Fitted,
    /// z.
    pub(in crate::work) takes_up: Millimetres,
    pub(in crate::work) read_as: String,
    /// What to do first where no tension of it was read before its thread, or one far below its own.
    pub(in crate::work) unread: Option<String>,
    pub(in crate::work) entries: Vec<Hash>,
    pub(in crate::work) basis: Vec<Hash>,
}

/// The fitted wires of a run that teach.
pub(super) struct Readings {
    pub(super) found: Vec<Read>,
    /// Why one that was read teaches nothing till people agree.
    pub(super) undecided: Option<String>,
}

/// What an installer saw at the ends of a wire.
struct Seen {
    showing: Millimetres,
    /// Whether it hung as tight as a hand pulls it, not at its tension.
    by_hand: bool,
    at: At,
    words: String,
    entries: Vec<Hash>,
}

/// Every wire of the run that was cut, fitted and read, and is decided.
pub(super) fn readings(
    job: &Job<'_>,
    run: &Run,
    shared: &Shared,
    inputs: &[Option<CutInput>],
    lines: &[CutLine],
    notes: &mut Vec<String>,
) -> Result<Readings, WorkError> {
    let (mut found, mut undecided) = (Vec::new(), None);
    let mut of_run = None;
    for ((wire, line), input) in run.wires.iter().zip(lines).zip(inputs) {
        let Some(cut) = wire.cut.value() else {
            continue;
        };
        let Some(seen) = seen(job, run, wire, shared) else {
            continue;
        };
        let Some(input) = input else {
            notes.push(format!(
                "{} was fitted and read, but its length can't be used: it teaches nothing.",
                line.name
            ));
            continue;
        };
        if of_run.is_none() {
            of_run = around(job, run, shared, lines, notes)?;
        }
        let Some(around) = &of_run else {
            continue;
        };
        if let Some(differ) = tensions_differ(job, run, shared, seen.at) {
            let why = format!(
                "People differ on a tension of wire {differ}, by which it is worked out what {} teaches. \
                 Settle that first: till then it teaches nothing.",
                line.name
            );
            notes.push(why.clone());
            undecided.get_or_insert(why);
            continue;
        }
        let turns = turns(job, run, shared, around, wire, &seen)?;
        let set = shared.input.tension;
        let low = turns.low.map(|own| {
            format!(
                "{} hung at {own} when its thread was read, and is set to {set}: what it gives way and settles \
                 beyond that is worked out, not seen. Bring it to its tension, then read the thread at {} again.",
                line.name,
                thread_at(shared)
            )
        });
        let unread = turns.assumed.map(|more| {
            format!(
                "No tension of {} was read before its thread: it is taken as at the set tension, \
                 {set}. At a hand's pull it would take up {more} more, and the others would be cut \
                 too long. Read its tension, then the thread at {} again.",
                line.name,
                thread_at(shared)
            )
        });
        let mut words = seen.words;
        if low.is_none() && unread.is_some() {
            words.push_str(&format!(
                "; its tension was not read before: {set} assumed, the set tension"
            ));
        }
        let fitted = Fitted {
            wire: wire.number,
            inside_to_inside: input.inside_to_inside,
            cut: nm(cut.nm),
            usable_thread: usable_thread(shared),
            showing: seen.showing,
            inward: input.inward,
            still_to_come: turns.still_to_come,
        };
        let mut basis = seen.entries.clone();
        basis.extend(wire.cut.tip_ids());
        basis.extend(&line.basis);
        basis.extend(&turns.entries);
        found.push(Read {
            takes_up: offset_read(&fitted)?,
            fitted,
            read_as: words,
            unread: low.or(unread),
            entries: seen.entries,
            basis,
        });
    }
    Ok(Readings { found, undecided })
}

/// Where thread is read.
fn thread_at(shared: &Shared) -> &'static str {
    match shared.input.left.has_thread() && shared.input.right.has_thread() {
        true => "both ends",
        false => "the end that has one",
    }
}

fn usable_thread(shared: &Shared) -> Millimetres {
    shared.input.left.usable_thread() + shared.input.right.usable_thread()
}

/// What was seen last: thread left at both ends, or how far the wire is out.
fn seen(job: &Job<'_>, run: &Run, wire: &Wire, shared: &Shared) -> Option<Seen> {
    let thread = thread_left(job, run, wire);
    let out = out_by(wire, shared);
    match (thread, out) {
        (Some(thread), Some(out)) if out.at > thread.at => Some(out),
        (None, out) => out,
        (thread, _) => thread,
    }
}

fn thread_left(job: &Job<'_>, run: &Run, wire: &Wire) -> Option<Seen> {
    let (first, last) = run.ends()?;
    let ends = ends_of(job, run)?;
    // An end without a thread has none to be left.
    let threaded = [(first, &ends.first), (last, &ends.last)]
        .into_iter()
        .filter(|(_, end)| end.kind.has_thread());
    let mut read = Vec::new();
    for (post, _) in threaded {
        let told = newest(wire, post.id)?.told()?;
        read.push((post, told, nm(told.value?.nm)));
    }
    let hand = |post: &PostInRun| match post.end.shown() {
        Some(end) => format!(" {}", crate::work::words::hand(end.hand)),
        None => String::new(),
    };
    let words: Vec<String> = read
        .iter()
        .map(|(post, _, left)| format!("{}{} {left}", post.name, hand(post)))
        .collect();
    let (_, newest, _) = read.last()?;
    Some(Seen {
        showing: read.iter().map(|(_, _, left)| *left).sum(),
        by_hand: false,
        at: read.iter().map(|(_, told, _)| told.at).max()?,
        words: format!(
            "thread left {}, read by {}",
            words.join(", "),
            job.reader.person(&newest.person)
        ),
        entries: read.iter().map(|(_, told, _)| told.id).collect(),
    })
}

/// The newest reading of the present piece at an end, where people agree on it.
fn newest(wire: &Wire, end: ItemId) -> Option<&Fact<Length, OnPiece>> {
    wire.thread_left
        .iter()
        .filter(|(at, fact)| *at == end && is_of(fact, wire))
        .map(|(_, fact)| fact)
        .next_back()
}

fn is_of(fact: &Fact<Length, OnPiece>, wire: &Wire) -> bool {
    fact.told().is_some_and(|told| {
        told.value.is_some() && told.with.as_ref().map_or(1, |w| w.piece) == wire.piece_number
    })
}

/// Too long by: at both ends the thread is used up and so much wire is still to be taken up. Too
/// short by: the studs end so far before the faces of the posts.
fn out_by(wire: &Wire, shared: &Shared) -> Option<Seen> {
    let fact = wire.out_by.iter().rfind(|fact| is_of(fact, wire))?;
    let told = fact.told()?;
    let by = nm(told.value?.nm);
    let full = shared.input.left.full_engagement() + shared.input.right.full_engagement();
    let (engaged, words) = if by.value() > 0.0 {
        (full + by, format!("too long by {by}"))
    } else {
        (by, format!("too short by {}", -by))
    };
    Some(Seen {
        showing: usable_thread(shared) - engaged,
        by_hand: true,
        at: told.at,
        words,
        entries: vec![told.id],
    })
}

/// The run around its fitted wires, worked out once.
struct Around {
    lengths: Vec<Millimetres>,
    /// None where the posts are not known.
    frame: Option<Frame>,
    /// Turn-in of each wire once all are at their tension.
    then: Vec<Millimetres>,
}

fn around(
    job: &Job<'_>,
    run: &Run,
    shared: &Shared,
    lines: &[CutLine],
    notes: &mut Vec<String>,
) -> Result<Option<Around>, WorkError> {
    let input = &shared.input;
    let swallowed = input.left.insertion() + input.right.insertion();
    let Some(lengths) = free_lengths(run, lines, swallowed) else {
        return Ok(None);
    };
    let found = frame(job, run, &lengths, input.axial_stiffness)?;
    let all = vec![input.tension; run.wires.len()];
    Ok(Some(match found {
        Ok(frame) => Around {
            then: frame.turn_in(&all)?,
            frame: Some(frame),
            lengths,
        },
        Err(missing) => {
            notes.push(format!(
                "{missing} So no movement of the posts is counted in what the fitted wires teach."
            ));
            let stretched = input.tension / input.axial_stiffness;
            Around {
                frame: None,
                then: lengths.iter().map(|length| *length * stretched).collect(),
                lengths,
            }
        }
    }))
}

/// What both ends of a wire turn in.
struct Turns {
    /// From when it was read until all are at their tension.
    still_to_come: Millimetres,
    /// Where its tension was not read and is taken as set: how much more it would be had it hung
    /// hand tight.
    assumed: Option<Millimetres>,
    /// The tension that was read of it, where that is far below the set tension.
    low: Option<Newtons>,
    /// Readings of tensions by which it is so.
    entries: Vec<Hash>,
}

/// What both ends of a wire still turn in from when it was read, and what that assumes.
fn turns(
    job: &Job<'_>,
    run: &Run,
    shared: &Shared,
    around: &Around,
    wire: &Wire,
    seen: &Seen,
) -> Result<Turns, WorkError> {
    let set = shared.input.tension;
    let own = read_before(job, wire, seen.at);
    let place = run.wires.iter().position(|w| w.number == wire.number);
    let at = |list: &[Millimetres]| place.and_then(|place| list.get(place)).copied();
    let free = at(&around.lengths).unwrap_or_default();
    let now = |own: Newtons| -> Vec<Newtons> {
        let others = run.wires.iter();
        others
            .map(|other| match other.number == wire.number {
                true => own,
                false => read_before(job, other, seen.at).unwrap_or_default(),
            })
            .collect()
    };
    // What both ends have turned in with this wire at a tension, other runs' pull counted.
    let turned = |own: Newtons| -> Result<Millimetres, WorkError> {
        let Some(frame) = &around.frame else {
            return Ok(free * (own / shared.input.axial_stiffness));
        };
        let now = now(own);
        let by_others = by_others(job, shared, &now, seen.at)?;
        Ok(at(&frame.turn_in(&now)?).unwrap_or_default() - at(&by_others).unwrap_or_default())
    };
    let then = at(&around.then).unwrap_or_default();
    if seen.by_hand {
        let settles = free * shared.input.constructional_stretch;
        return Ok(Turns {
            still_to_come: then - turned(HAND_TENSION)? + settles,
            assumed: None,
            low: None,
            entries: read_by(job, run, shared, seen.at),
        });
    }
    // What strand settles by comes with the pull: taken as in proportion to it up to the set tension (assumed).
    // What it did once stays done, whatever it shows now.
    let pulled = most_before(job, wire, seen.at).or(own).unwrap_or(set);
    let share = (pulled / set).min(1.0);
    let to_settle = free * shared.input.constructional_stretch * (1.0 - share);
    let now = turned(own.unwrap_or(set))?;
    let assumed = match own {
        Some(_) => None,
        None => Some(now - turned(HAND_TENSION)?),
    };
    Ok(Turns {
        still_to_come: then - now + to_settle,
        assumed,
        low: own.filter(|own| !at_tension(*own, set)),
        entries: read_by(job, run, shared, seen.at),
    })
}

/// The readings of tensions of a run's wires, and of those that pull on its posts, that stood before a moment.
fn read_by(job: &Job<'_>, run: &Run, shared: &Shared, at: At) -> Vec<Hash> {
    let wires = pulling(job, run, shared)
        .into_iter()
        .flat_map(|run| &run.wires);
    wires
        .filter_map(|wire| Some(told_before(job, wire, at)?.id))
        .collect()
}

/// What other runs on the end posts still move along each wire: as planned less as they were last
/// read before a moment, a wire that nobody had read then hanging slack.
fn by_others(
    job: &Job<'_>,
    shared: &Shared,
    now: &[Newtons],
    at: At,
) -> Result<Vec<Millimetres>, WorkError> {
    let others = &shared.inward.others;
    let read = |run: ItemId, place: usize| {
        let wire = job.run(run)?.wires.get(place)?;
        Some(read_before(job, wire, at).unwrap_or(Newtons(0.0)))
    };
    let planned = |_: ItemId, _: usize| None;
    let set = vec![shared.input.tension; now.len()];
    let (then, by_now) = (added(others, &set, &planned)?, added(others, now, &read)?);
    Ok(then.iter().zip(by_now).map(|(a, b)| *a - b).collect())
}

/// The run and those whose pull on its end posts is counted, each once.
fn pulling<'j>(job: &'j Job<'_>, run: &'j Run, shared: &Shared) -> Vec<&'j Run> {
    let mut runs = vec![run];
    let others = shared.inward.others.iter().flat_map(OnPost::runs);
    for other in others.filter_map(|id| job.run(id)) {
        if runs.iter().all(|known| known.id != other.id) {
            runs.push(other);
        }
    }
    runs
}

/// Name of a wire of the run, or of one that pulls on its posts, on whose tension before a moment people differ;
/// none where all agree.
fn tensions_differ(job: &Job<'_>, run: &Run, shared: &Shared, at: At) -> Option<String> {
    pulling(job, run, shared).into_iter().find_map(|run| {
        let before =
            |fact: &Fact<Force, TensionRead>| fact.tips.iter().any(|tip| first_said(job, tip) < at);
        let differ = |wire: &&Wire| {
            wire.tensions_now()
                .any(|(_, fact)| fact.blocks() && before(fact))
        };
        let wire = run.wires.iter().find(differ)?;
        Some(format!("{}{}", run.name, wire.number))
    })
}

/// The tension that was read last on a wire's present piece before a moment.
fn read_before(job: &Job<'_>, wire: &Wire, at: At) -> Option<Newtons> {
    told_before(job, wire, at)?.value.map(|force| mn(force.mn))
}

/// The most that a wire was read at before a moment.
fn most_before(job: &Job<'_>, wire: &Wire, at: At) -> Option<Newtons> {
    counted_before(job, wire, at)
        .filter_map(|told| told.value.map(|force| mn(force.mn)))
        .max_by(|a, b| a.value().total_cmp(&b.value()))
}

fn told_before<'w>(job: &Job<'_>, wire: &'w Wire, at: At) -> Option<&'w Told<Force, TensionRead>> {
    counted_before(job, wire, at).max_by_key(|told| first_said(job, told))
}

/// The readings of the present piece that count and were read before a moment.
fn counted_before<'w>(
    job: &Job<'_>,
    wire: &'w Wire,
    at: At,
) -> impl Iterator<Item = &'w Told<Force, TensionRead>> {
    wire.tensions_now()
        .filter_map(|(_, fact)| fact.told())
        .filter(move |told| first_said(job, told) < at)
        .filter(|told| {
            let method = told.with.as_ref().map(|with| with.method);
            method.is_some_and(Method::counts)
        })
        .filter(|told| told.value.is_some())
}

/// When a reading was read: a correction keeps the moment of what it corrects.
fn first_said(job: &Job<'_>, told: &Told<Force, TensionRead>) -> At {
    Line::of(job, told).at().unwrap_or(told.at)
}
