//! Fitted wires of a run as the record tells them: what was cut, and the thread that was left.
//!
//! Invariant: a piece teaches only where it was cut and read at its threaded ends, or told as too long or too
//! short; the other wires pull as they were last read before. A tension that nobody read is said as assumed and
//! asked for, never taken in silence; of a piece that was taken out nothing can be asked for, so it teaches nothing
//! then. One file past 400 lines, since what a piece showed and what the wires hung at then are read together.

use std::collections::BTreeSet;

use mechanics::cutting::{CutInput, HAND_TENSION};
use mechanics::tensioning::Frame;
use mechanics::trial::{Expected, Fitted, offset_read};
use mechanics::{Millimetres, Newtons};

use super::seen::{Seen, seen};
use super::taken::{OfWire, Showed, piece_then, pieces};
use crate::entry::At;
use crate::ids::{Hash, ItemId};
use crate::job::{Fact, Job, Run, Told, Wire};
use crate::model::context::TensionRead;
use crate::model::values::Force;
use crate::work::WorkError;
use crate::work::convert::{mn, nm};
use crate::work::cuts::{CutLine, Shared};
use crate::work::frame::{frame, free_lengths};
use crate::work::inward::added;
use crate::work::posts::OnPost;
use crate::work::readings::at_tension;
use crate::work::repeats::Line;

/// A fitted wire as it was read, and what that rests on.
pub(in crate::work) struct Read {
    /// Its `wire` is the reading's place among those found, from 1: a wire may have been read in several pieces.
    pub(in crate::work) fitted: Fitted,
    /// Number of the wire.
    pub(in crate::work) wire: u32,
    /// "A6", or "A6 piece 1" of a piece that was taken out.
    pub(in crate::work) name: String,
    pub(in crate::work) taken_out: bool,
    /// z.
    pub(in crate::work) takes_up: Millimetres,
    pub(in crate::work) read_as: String,
    /// What to do first where no tension of it was read before its thread, or one far below its own.
    pub(in crate::work) unread: Option<String>,
    /// Whether the tension at which it was seen is assumed: hand tight, or none read by gauge before.
    pub(in crate::work) assumed: bool,
    pub(in crate::work) entries: Vec<Hash>,
    pub(in crate::work) basis: Vec<Hash>,
}

/// The fitted wires of a run that teach.
pub(super) struct Readings {
    pub(super) found: Vec<Read>,
    /// Why one that was read teaches nothing till people agree, or till it is read again.
    pub(super) undecided: Option<String>,
    /// What pieces that were taken out and teach nothing showed against the computed cuts.
    pub(super) against: Vec<String>,
}

/// Every wire of the run that was cut, fitted and read, and is decided.
pub(super) fn readings(
    job: &Job<'_>,
    run: &Run,
    shared: &Shared,
    inputs: &[Option<CutInput>],
    lines: &[CutLine],
    prior: &Expected,
    notes: &mut Vec<String>,
) -> Result<Readings, WorkError> {
    let mut all = Readings {
        found: Vec::new(),
        undecided: None,
        against: Vec::new(),
    };
    let mut of_run = None;
    let mut hung = BTreeSet::new();
    for ((wire, line), input) in run.wires.iter().zip(lines).zip(inputs) {
        for piece in pieces(job, run, wire) {
            let name = &piece.name;
            if piece.wire.cut.value().is_none() {
                continue;
            }
            let Some(seen) = seen(job, run, &piece.wire, name, shared) else {
                continue;
            };
            let Some(input) = input else {
                notes.push(format!(
                    "{name} was fitted and read, but its length can't be used: it teaches nothing."
                ));
                continue;
            };
            if of_run.is_none() {
                of_run = around(job, run, shared, lines, notes)?;
            }
            let Some(around) = &of_run else {
                continue;
            };
            // What is to be done of a piece that is no longer there is nothing.
            if piece.taken_out && seen.doubt.is_some() {
                continue;
            }
            let why = seen.doubt.clone().or_else(|| {
                let differ = tensions_differ(job, run, shared, seen.at)?;
                Some(format!(
                    "People differ on a tension of wire {differ}, by which it is worked out what {name} teaches. \
                     Settle that first: till then it teaches nothing."
                ))
            });
            if let Some(why) = why {
                notes.push(why.clone());
                all.undecided.get_or_insert(why);
                continue;
            }
            // Without the posts no wire beside it counts.
            if around.frame.is_some() {
                hung.extend(hung_alone(job, run, wire.number, seen.at));
            }
            let key = u32::try_from(all.found.len())
                .unwrap_or(u32::MAX)
                .saturating_add(1);
            let read = read(job, run, shared, around, (&piece, line, input), seen, key)?;
            match untaught(&piece, &read) {
                None => all.found.push(read),
                Some(why) => {
                    let showed = Showed {
                        takes_up: read.takes_up,
                        expected: expected_of(prior, &read),
                        cut: read.fitted.cut,
                        read_as: read.read_as,
                        why,
                    };
                    all.against.extend(showed.asked(name));
                }
            }
        }
    }
    if !hung.is_empty() {
        let names = hung.iter().map(|number| format!("{}{number}", run.name));
        notes.push(format!(
            "What a hung mass told is not counted here: {} had no reading by gauge when a thread was read and count \
             as slack.",
            names.collect::<Vec<_>>().join(", ")
        ));
    }
    // What a wire that may be learned from shows takes the place of what one that may not did.
    if !all.found.is_empty() {
        all.against.clear();
    }
    Ok(all)
}

/// Why a piece that was taken out teaches nothing, as a clause; none where it teaches.
fn untaught(piece: &OfWire, read: &Read) -> Option<String> {
    if let Some(why) = piece.not_to_trust {
        return Some(format!(
            "it was taken out {why}, so it was perhaps not as long as it is told"
        ));
    }
    (piece.taken_out && read.unread.is_some())
        .then(|| "its thread was not read at its set tension".to_owned())
}

/// z as fittings and strand let expect it, the wire's own movement counted.
pub(super) fn expected_of(prior: &Expected, read: &Read) -> Millimetres {
    let metres = read.fitted.inside_to_inside.value() / 1000.0;
    prior.offset + Millimetres(prior.per_metre * metres) + read.fitted.inward
}

/// What one piece of a wire shows that was cut and read.
fn read(
    job: &Job<'_>,
    run: &Run,
    shared: &Shared,
    around: &Around,
    (piece, line, input): (&OfWire, &CutLine, &CutInput),
    seen: Seen,
    key: u32,
) -> Result<Read, WorkError> {
    let (wire, name) = (&piece.wire, &piece.name);
    let turns = turns(job, run, shared, around, wire, &seen)?;
    let assumed = seen.by_hand || turns.assumed.is_some();
    let set = shared.input.tension;
    let low = turns.low.map(|own| {
        format!(
            "{name} hung at {own} when its thread was read, and is set to {set}: what it gives way and settles \
             beyond that is worked out, not seen. Bring it to its tension, then read the thread at {} again.",
            thread_at(shared)
        )
    });
    let unread = turns.assumed.map(|more| {
        format!(
            "No tension of {name} was read by gauge before its thread: it is taken as at the set tension, \
             {set}. At a hand's pull it would take up {more} more, and the others would be cut \
             too long. Read its tension, then the thread at {} again.",
            thread_at(shared)
        )
    });
    let mut words = seen.words;
    if low.is_none() && unread.is_some() {
        words.push_str(&format!(
            "; its tension was not read by gauge before: {set} assumed, the set tension"
        ));
    }
    let fitted = Fitted {
        wire: key,
        inside_to_inside: input.inside_to_inside,
        cut: nm(wire.cut.value().map_or(0, |cut| cut.nm)),
        usable_thread: usable_thread(shared),
        showing: seen.showing,
        inward: input.inward,
        still_to_come: turns.still_to_come,
    };
    let mut basis = seen.entries.clone();
    basis.extend(wire.cut.tip_ids());
    basis.extend(&line.basis);
    basis.extend(&turns.entries);
    Ok(Read {
        takes_up: offset_read(&fitted)?,
        fitted,
        wire: wire.number,
        name: name.clone(),
        taken_out: piece.taken_out,
        read_as: words,
        unread: low.or(unread),
        assumed,
        entries: seen.entries,
        basis,
    })
}

/// Where thread is read.
fn thread_at(shared: &Shared) -> &'static str {
    match shared.input.left.has_thread() && shared.input.right.has_thread() {
        true => "both ends",
        false => "the end that has one",
    }
}

pub(super) fn usable_thread(shared: &Shared) -> Millimetres {
    shared.input.left.usable_thread() + shared.input.right.usable_thread()
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
    let own = read_before(job, wire, wire.piece_number, seen.at);
    let place = run.wires.iter().position(|w| w.number == wire.number);
    let at = |list: &[Millimetres]| place.and_then(|place| list.get(place)).copied();
    let free = at(&around.lengths).unwrap_or_default();
    let now = |own: Newtons| -> Vec<Newtons> {
        let others = run.wires.iter();
        others
            .map(|other| match other.number == wire.number {
                true => own,
                false => read_then(job, run.id, other, seen.at).unwrap_or_default(),
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
    let pulled = most_before(job, wire, wire.piece_number, seen.at)
        .or(own)
        .unwrap_or(set);
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
    let runs = pulling(job, run, shared).into_iter();
    let wires = runs.flat_map(|run| run.wires.iter().map(move |wire| (run.id, wire)));
    wires
        .filter_map(|(run, wire)| {
            let piece = piece_then(job, run, wire, at);
            Some(told_before(job, wire, piece, at)?.id)
        })
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
        Some(read_then(job, run, wire, at).unwrap_or(Newtons(0.0)))
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

/// The wires beside one that hung by a mass before a moment and were not read by gauge.
fn hung_alone<'w>(
    job: &'w Job<'_>,
    run: &'w Run,
    beside: u32,
    at: At,
) -> impl Iterator<Item = u32> + 'w {
    let hung = move |wire: &&Wire| {
        let piece = piece_then(job, run.id, wire, at);
        let mut told = wire.deflections.iter().filter_map(|(_, fact)| fact.told());
        told.any(|told| {
            let of_piece = told.with.as_ref().is_some_and(|with| with.piece == piece);
            of_piece && told.value.is_some() && first_said(job, told) < at
        })
    };
    let others = run.wires.iter().filter(move |wire| wire.number != beside);
    let unread = move |wire: &&Wire| read_then(job, run.id, wire, at).is_none();
    others.filter(unread).filter(hung).map(|wire| wire.number)
}

/// The tension that was read last, before a moment, on the piece of a wire that was in place then.
fn read_then(job: &Job<'_>, run: ItemId, wire: &Wire, at: At) -> Option<Newtons> {
    read_before(job, wire, piece_then(job, run, wire, at), at)
}

/// The tension that was read last on a piece before a moment.
fn read_before(job: &Job<'_>, wire: &Wire, piece: u32, at: At) -> Option<Newtons> {
    let told = told_before(job, wire, piece, at)?;
    told.value.map(|force| mn(force.mn))
}

/// The most that a piece was read at before a moment.
fn most_before(job: &Job<'_>, wire: &Wire, piece: u32, at: At) -> Option<Newtons> {
    counted_before(job, wire, piece, at)
        .filter_map(|told| told.value.map(|force| mn(force.mn)))
        .max_by(|a, b| a.value().total_cmp(&b.value()))
}

fn told_before<'w>(
    job: &Job<'_>,
    wire: &'w Wire,
    piece: u32,
    at: At,
) -> Option<&'w Told<Force, TensionRead>> {
    counted_before(job, wire, piece, at).max_by_key(|told| first_said(job, told))
}

/// The readings of a piece that count and were read before a moment.
fn counted_before<'w>(
    job: &Job<'_>,
    wire: &'w Wire,
    piece: u32,
    at: At,
) -> impl Iterator<Item = &'w Told<Force, TensionRead>> {
    counted(wire, piece).filter(move |told| first_said(job, told) < at)
}

/// The readings of a piece that count.
pub(super) fn counted(wire: &Wire, piece: u32) -> impl Iterator<Item = &Told<Force, TensionRead>> {
    let told = wire.tensions.iter().filter_map(|(_, fact)| fact.told());
    told.filter(move |told| {
        let with = told.with.as_ref();
        let of_piece = with.is_some_and(|with| with.piece == piece && with.method.counts());
        of_piece && told.value.is_some()
    })
}

/// When something was read: a correction keeps the moment of what it corrects.
pub(super) fn first_said<T, C>(job: &Job<'_>, told: &Told<T, C>) -> At {
    Line::of(job, told).at().unwrap_or(told.at)
}
