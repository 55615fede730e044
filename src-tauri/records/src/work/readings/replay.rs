//! What the wires of a run stand at now: all that was read, hung and taken out, told over in its order.
//!
//! A wire that shows more than it is computed to stand at, by more than the gauge can tell, was brought up to that,
//! and the others gave way, whether or not anybody told turns; one that shows less in a final round than others can
//! have taken was let out; any other reading only tells what is there. In passes every wire is brought to what it
//! showed. Where nobody told passes the wires were at their tension before the final round, which finds them there; one
//! that then shows less by more than the gauge can tell may have been let out, or have fallen as the others were
//! brought up after it: those that were read but once are in doubt then. A recheck finds a wire as warmth and creep
//! left it: only what was below or at the mark, or is read again in that visit and shows more, was brought up; what was
//! over the upper tension, or is read again in that visit and shows less, was let out.
//!
//! Invariant: one order for all, by when it was read; where the record says that who read knew of another reading,
//! that one came before, whatever the clocks say. One file past 400 lines, since all that may happen to a wire is told
//! over in one place.

use std::collections::BTreeSet;

use mechanics::tension::gauge_step;
use mechanics::tensioning::{Brought, Frame};
use mechanics::{MechanicsError, Newtons};

use super::answer::TensionLine;
use super::masses::{Bounds, all_hung};
use super::out::taken_out;
use super::visits::VISIT_MS;
use crate::ids::Hash;
use crate::job::{Job, Run};
use crate::model::values::Stage;
use crate::subject::Subject;
use crate::work::repeats::Line;

/// A gauge's error where nobody told it: usual for strain gauges at site (common practice).
const USUAL_ERROR: f64 = 0.05;

/// How many times as far as is computed wires may give way before they are taken to stand as they were read: what a
/// post was told to give is seldom known closer than that (an input, not a check value).
const SOFTER: f64 = 2.0;

/// Below this nothing moved, newtons.
const MOVED: f64 = 0.5;

/// What happened to a wire.
struct Event {
    place: usize,
    piece: u32,
    at_ms: i64,
    entry: Option<Hash>,
    what: What,
}

enum What {
    Out,
    Shown(Shown),
}

#[derive(Clone, Copy)]
struct Shown {
    bay: Option<Subject>,
    round: (Stage, Option<u32>),
    tension: Newtons,
    /// By how much more than computed it shows at least where it was brought up.
    step: Newtons,
    /// How far what told it may be off.
    near: Newtons,
}

/// A wire as it goes through all that happened.
#[derive(Default)]
struct Stands {
    bays: Vec<InBay>,
    last: Option<Look>,
    /// What was read of it, by its place in the order of all, and where in that order it was turned last.
    read: Vec<(Hash, usize)>,
    turned: Option<usize>,
    /// Whether a piece of it was taken out.
    was_out: bool,
}

/// What a wire showed in a bay.
struct InBay {
    bay: Option<Subject>,
    stage: Stage,
    at_ms: i64,
    read: f64,
    /// As it is computed since.
    shows: f64,
}

/// When a wire was read last.
struct Look {
    round: (Stage, Option<u32>),
    showed: Newtons,
    near: Newtons,
    /// Places of the wires that were brought up or let out since.
    since: BTreeSet<usize>,
    /// Whether it was read but once: found there, where nobody told how it came to it.
    once: bool,
    /// Whether one that nobody told passes of was found far below its own reading since: the others may be too.
    doubted: bool,
}

/// A wire that stands elsewhere than it was last read, since others were brought up or taken out.
pub(super) struct Moved {
    /// What it is computed to stand at; none where that is what it showed, and it is only doubted.
    pub(super) now: Option<Newtons>,
    /// Places of those others.
    pub(super) since: Vec<usize>,
}

/// What all wires of a run stand at.
pub(in crate::work) struct Replayed {
    pub(in crate::work) now: Vec<Newtons>,
    wires: Vec<Stands>,
}

impl Replayed {
    /// What a wire is computed to show at the least in all its bays since it was turned after what governs it was read:
    /// it was read in another bay or another round alone. None where what governs it was read since.
    pub(in crate::work) fn brought_to(&self, place: usize, line: &TensionLine) -> Option<Newtons> {
        let wire = self.wires.get(place)?;
        let governs = line.over().or(line.finished())?;
        let read = wire.read.iter().find(|(entry, _)| *entry == governs.entry);
        let stale = read
            .zip(wire.turned)
            .is_some_and(|((_, read), turned)| *read < turned);
        stale.then(|| wire.least())
    }

    /// A wire that may have moved by more than what told its tension can tell, or by less and below what it has to
    /// show or over what nothing may exceed.
    pub(super) fn moved(&self, place: usize, bounds: &Bounds) -> Option<Moved> {
        let now = *self.now.get(place)?;
        let last = self.wires.get(place)?.last.as_ref()?;
        let may = last.showed + (now - last.showed) * SOFTER;
        let by = (may - last.showed).abs();
        let below = |required| last.showed >= required && may < required;
        let over = |upper| last.showed <= upper && may > upper;
        let mut most = bounds.upper.into_iter().chain(bounds.most_shown);
        let across = bounds.required.is_some_and(below) || most.any(over);
        let beyond = by > last.near || (by.value() > MOVED && across);
        ((beyond || last.doubted) && !last.since.is_empty()).then(|| Moved {
            now: beyond.then_some(now),
            since: last.since.iter().copied().collect(),
        })
    }
}

/// Goes over all that happened to the wires of a run. `error`: the gauge's as a share, where it is told.
///
/// # Errors
/// When a tension can't be, or no turn leads to it.
pub(in crate::work) fn replay(
    job: &Job<'_>,
    run: &Run,
    frame: &Frame,
    lines: &[TensionLine],
    (bounds, error): (&Bounds, Option<f64>),
) -> Result<Replayed, MechanicsError> {
    let error = error.unwrap_or(USUAL_ERROR);
    let events = in_order(job, events(run, lines, bounds, error)?);
    let mut brought = Brought::from_slack(frame)?;
    let mut wires: Vec<Stands> = lines.iter().map(|_| Stands::default()).collect();
    let mut now = brought.tensions();
    let mut by_passes = false;
    let clear = bounds.required.map(|required| required / (1.0 - error));
    for (at, event) in events.iter().enumerate() {
        let (Some(wire), Some(stands)) = (wires.get_mut(event.place), now.get(event.place)) else {
            continue;
        };
        let mut doubted = None;
        let turned = match event.what {
            What::Out => {
                *wire = Stands {
                    was_out: true,
                    ..Stands::default()
                };
                brought.bring(event.place, Newtons(0.0))?;
                true
            }
            What::Shown(shown) => {
                by_passes |= shown.round.0 == Stage::Pass;
                let there = wire.last.is_none() && !by_passes && !wire.was_out;
                let other_bay = wire.in_one_more_bay(&shown);
                let less = !by_passes && wire.was_once() && !wire.was_over(bounds);
                let less = less && wire.was_let_out(&shown);
                let against = (clear, bounds);
                let turned =
                    !there && !less && wire.was_brought(&shown, event.at_ms, *stands, against);
                if less {
                    doubted = Some(event.place);
                }
                if turned || less {
                    wire.turned = Some(at);
                }
                wire.read.extend(event.entry.map(|entry| (entry, at)));
                let to = wire.shows(&shown, event.at_ms, turned || less);
                match turned {
                    true => brought.bring(event.place, to)?,
                    false if (to - *stands).abs().value() > MOVED => {
                        brought.found(event.place, to)?;
                    }
                    false => {}
                }
                wire.last = Some(Look {
                    round: shown.round,
                    showed: to,
                    near: shown.near,
                    since: BTreeSet::new(),
                    once: wire.last.is_none() || (other_bay && wire.was_once()),
                    doubted: false,
                });
                turned
            }
        };
        let then = brought.tensions();
        if turned {
            give_way(&mut wires, event.place, (&now, &then));
        }
        if let Some(less) = doubted {
            doubt(&mut wires, less);
        }
        now = then;
    }
    Ok(Replayed { now, wires })
}

/// Where nobody told passes, one that shows far less than it was read at may have been let out, or have fallen as
/// the others were brought up after it: then those did too, as far as nobody read them again.
fn doubt(wires: &mut [Stands], less: usize) {
    let others = wires.iter_mut().enumerate();
    for (_, wire) in others.filter(|(place, _)| *place != less) {
        if let Some(last) = wire.last.as_mut().filter(|last| last.once) {
            last.doubted = true;
            last.since.insert(less);
        }
    }
}

/// What the other wires do as one is turned.
fn give_way(wires: &mut [Stands], turned: usize, (before, then): (&[Newtons], &[Newtons])) {
    for (place, wire) in wires
        .iter_mut()
        .enumerate()
        .filter(|(place, _)| *place != turned)
    {
        let (Some(before), Some(then)) = (before.get(place), then.get(place)) else {
            continue;
        };
        let by = (*then - *before).value();
        for bay in &mut wire.bays {
            bay.shows = (bay.shows + by).max(0.0);
        }
        if let Some(last) = wire.last.as_mut().filter(|_| by.abs() > 0.0) {
            last.since.insert(turned);
        }
    }
}

impl Stands {
    fn in_bay(&self, bay: Option<Subject>) -> Option<&InBay> {
        self.bays.iter().find(|known| known.bay == bay)
    }

    /// Whether it is read in one more bay of the same round.
    fn in_one_more_bay(&self, shown: &Shown) -> bool {
        let last = self.last.as_ref();
        last.is_some_and(|last| last.round == shown.round) && self.in_bay(shown.bay).is_none()
    }

    fn was_once(&self) -> bool {
        self.last.as_ref().is_some_and(|last| last.once)
    }

    fn was_over(&self, bounds: &Bounds) -> bool {
        let last = self.last.as_ref().zip(bounds.most_shown);
        last.is_some_and(|(last, upper)| last.showed > upper)
    }

    /// Whether a bay shows less than others can have taken, twice over, in one round at the set tension: it was let
    /// out.
    fn was_let_out(&self, shown: &Shown) -> bool {
        let here = self.in_bay(shown.bay);
        here.is_some_and(|here| {
            // What a raise that was read elsewhere lifted it to, nobody read here.
            let fell = (here.read - here.shows).max(0.0);
            let least = Newtons(here.shows.min(here.read) - fell) - shown.near;
            here.stage == shown.round.0 && shown.round.0 != Stage::Pass && shown.tension < least
        })
    }

    /// Whether a wire that stands at `now` was brought to what it shows, or is only found there. `clear`: from where it
    /// is clear of what is required, whatever the gauge errs.
    fn was_brought(
        &self,
        shown: &Shown,
        at_ms: i64,
        now: Newtons,
        (clear, bounds): (Option<Newtons>, &Bounds),
    ) -> bool {
        let last = self.last.as_ref();
        let here = self.in_bay(shown.bay);
        // Nothing was turned between.
        if self.in_one_more_bay(shown) {
            return false;
        }
        let stands = here.map_or(now, |here| Newtons(here.shows));
        let more = shown.tension > stands + shown.step;
        let near_by = |at: i64| (at_ms - at).abs() < VISIT_MS;
        let in_visit = here.is_some_and(|here| here.stage == Stage::Recheck && near_by(here.at_ms));
        let on_the_way = last.is_none_or(|last| {
            let (stage, pass) = last.round;
            stage == Stage::Pass && (pass.unwrap_or(0) as usize) < bounds.passes
        });
        // Raised since, be it another day: what is below or at the mark is not left.
        let was_low = last
            .zip(clear)
            .is_some_and(|(last, clear)| last.showed < clear);
        // Nor is what is over the upper tension.
        let was_over = self.was_over(bounds);
        let less = self.was_let_out(shown);
        match shown.round.0 {
            Stage::Pass => true,
            Stage::Final => more || less,
            Stage::Recheck => {
                (more && (in_visit || on_the_way || was_low)) || (less && (in_visit || was_over))
            }
        }
    }

    /// The least that it shows over its bays.
    fn least(&self) -> Newtons {
        let all = self.bays.iter().map(|bay| bay.shows);
        Newtons(all.reduce(f64::min).unwrap_or_default())
    }

    /// Takes in what a bay shows, and tells the least that the wire shows now over its bays.
    fn shows(&mut self, shown: &Shown, at_ms: i64, turned: bool) -> Newtons {
        let tension = shown.tension.value();
        match self.in_bay(shown.bay).map(|here| (here.shows, here.at_ms)) {
            Some((here, at)) if turned && shown.round.0 != Stage::Pass => {
                let by = tension - here;
                for bay in &mut self.bays {
                    // One that was read after this bay may have been let out before that already.
                    if by < 0.0 && bay.at_ms > at {
                        bay.read = bay.read.min(bay.shows + by);
                    } else {
                        bay.shows += by;
                    }
                }
            }
            _ if turned => self.bays.clear(),
            Some(_) => {}
            // One more bay that stands shows that the wire did not give way so far in the others.
            None => {
                for bay in &mut self.bays {
                    bay.shows = bay.shows.max(bay.read.min(tension));
                }
            }
        }
        self.bays.retain(|known| known.bay != shown.bay);
        self.bays.push(InBay {
            bay: shown.bay,
            stage: shown.round.0,
            at_ms,
            read: tension,
            shows: tension,
        });
        self.least()
    }
}

/// All that was read by a gauge, told by a mass where that tells enough, and taken out.
fn events(
    run: &Run,
    lines: &[TensionLine],
    bounds: &Bounds,
    error: f64,
) -> Result<Vec<Event>, MechanicsError> {
    let mut found = Vec::new();
    for (place, line) in lines.iter().enumerate() {
        for reading in line.readings.iter().filter(|r| r.counts) {
            let Some(tension) = reading.newtons.map(Newtons) else {
                continue;
            };
            let near = step_at(tension, reading.gauge_error.unwrap_or(error))?;
            found.push(Event {
                place,
                piece: reading.piece,
                at_ms: reading.at_ms,
                entry: Some(reading.entry),
                what: What::Shown(Shown {
                    bay: reading.bay,
                    round: (reading.stage, reading.pass),
                    tension,
                    step: near,
                    near,
                }),
            });
        }
        for told in all_hung(bounds, line) {
            found.push(Event {
                place,
                piece: line.piece,
                at_ms: told.check.at_ms,
                entry: Some(told.check.entry),
                what: What::Shown(Shown {
                    bay: Some(told.check.bay),
                    round: (told.check.stage, told.check.pass),
                    tension: told.tension,
                    step: step_at(told.tension, error)?,
                    near: told.may_be_more(),
                }),
            });
        }
    }
    found.extend(taken_out(run, lines).into_iter().map(|one| Event {
        place: one.place,
        piece: one.piece,
        at_ms: one.at_ms,
        entry: None,
        what: What::Out,
    }));
    Ok(found)
}

/// What a gauge of this error can tell at a tension.
fn step_at(tension: Newtons, error: f64) -> Result<Newtons, MechanicsError> {
    match tension.value() > 0.0 {
        true => gauge_step(tension, error),
        false => Ok(Newtons(0.0)),
    }
}

/// By their clocks, but what one knew of before it.
fn in_order(job: &Job<'_>, mut events: Vec<Event>) -> Vec<Event> {
    let out = |event: &Event| matches!(event.what, What::Out);
    events.sort_by_key(|event| (event.at_ms, event.piece, out(event), event.entry));
    let mut placed: Vec<(Event, Option<Line>)> = Vec::with_capacity(events.len());
    for event in events {
        let line = event.entry.and_then(|entry| Line::of_entry(job, entry));
        let knew = |(_, later): &(Event, Option<Line>)| {
            let both = later.as_ref().zip(line.as_ref());
            both.is_some_and(|(later, line)| later.knew_line(job, line))
        };
        let at = placed.iter().position(knew).unwrap_or(placed.len());
        placed.insert(at, (event, line));
    }
    placed.into_iter().map(|(event, _)| event).collect()
}
