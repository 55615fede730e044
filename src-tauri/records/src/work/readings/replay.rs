//! What the wires of a run stand at now: all that was read, hung and taken out, told over in its order.
//!
//! A wire that shows more than it is computed to stand at, by more than the gauge can tell, was brought up to that,
//! and the others gave way, whether or not anybody told turns; one that shows less in a final round than others can
//! have taken was let out; any other reading only tells what is there. In passes every wire is brought to what it
//! showed. Where nobody told passes the wires were at their tension before the final round, which finds them there.
//! A recheck finds a wire as warmth and creep left it: only what was below, or is read again in that visit and shows
//! more, was brought up.
//!
//! Invariant: one order for all, by when it was read; where the record says that who read knew of another reading,
//! that one came before, whatever the clocks say.

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
    /// A wire that may have moved by more than what told its tension can tell, or by less and below what it has to
    /// show or over what nothing may exceed.
    pub(super) fn moved(&self, place: usize, bounds: &Bounds) -> Option<Moved> {
        let now = *self.now.get(place)?;
        let last = self.wires.get(place)?.last.as_ref()?;
        let may = last.showed + (now - last.showed) * SOFTER;
        let by = (may - last.showed).abs();
        let below = |required| last.showed >= required && may < required;
        let over = |upper| last.showed <= upper && may > upper;
        let across = bounds.required.is_some_and(below) || bounds.upper.is_some_and(over);
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
    for event in &events {
        let (Some(wire), Some(stands)) = (wires.get_mut(event.place), now.get(event.place)) else {
            continue;
        };
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
                let turned = !there && wire.was_brought(&shown, event.at_ms, *stands, bounds);
                let to = wire.shows(&shown, event.at_ms, turned);
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
                    doubted: false,
                });
                turned
            }
        };
        let then = brought.tensions();
        if turned {
            give_way(&mut wires, event.place, (&now, &then));
        }
        let less = now.get(event.place) > then.get(event.place);
        if turned && less && !by_passes && matches!(event.what, What::Shown(_)) {
            doubt(&mut wires, event.place);
        }
        now = then;
    }
    Ok(Replayed { now, wires })
}

/// Where nobody told passes, one that shows far less than it was read at may have been let out, or have fallen as
/// the others were brought up after it: then those did too.
fn doubt(wires: &mut [Stands], less: usize) {
    let others = wires.iter_mut().enumerate();
    for (_, wire) in others.filter(|(place, _)| *place != less) {
        if let Some(last) = &mut wire.last {
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

    /// Whether a wire that stands at `now` was brought to what it shows, or is only found there.
    fn was_brought(&self, shown: &Shown, at_ms: i64, now: Newtons, bounds: &Bounds) -> bool {
        let last = self.last.as_ref();
        let in_round = last.is_some_and(|last| last.round == shown.round);
        let here = self.in_bay(shown.bay);
        // Read in one more bay of the same round: nothing was turned between.
        if in_round && here.is_none() {
            return false;
        }
        let stands = here.map_or(now, |here| Newtons(here.shows));
        let more = shown.tension > stands + shown.step;
        let in_visit =
            here.is_some_and(|here| here.stage == Stage::Recheck && at_ms - here.at_ms < VISIT_MS);
        let on_the_way = last.is_none_or(|last| {
            let (stage, pass) = last.round;
            stage == Stage::Pass && (pass.unwrap_or(0) as usize) < bounds.passes
        });
        // Raised since, be it another day: what is below is not left.
        let was_below = last
            .zip(bounds.required)
            .is_some_and(|(last, required)| last.showed < required);
        // Less than what others took can be, twice over, in one final round: it was let out.
        let let_out = here.is_some_and(|here| {
            let fell = (here.read - here.shows).max(0.0);
            let least = Newtons(here.shows - fell) - shown.near;
            here.stage == Stage::Final && shown.tension < least
        });
        match shown.round.0 {
            Stage::Pass => true,
            Stage::Final => more || let_out,
            Stage::Recheck => more && (in_visit || on_the_way || was_below),
        }
    }

    /// Takes in what a bay shows, and tells the least that the wire shows now over its bays.
    fn shows(&mut self, shown: &Shown, at_ms: i64, turned: bool) -> Newtons {
        let tension = shown.tension.value();
        match self.in_bay(shown.bay).map(|here| here.shows) {
            Some(here) if turned && shown.round.0 != Stage::Pass => {
                for bay in &mut self.bays {
                    bay.shows += tension - here;
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
        let all = self.bays.iter().map(|bay| bay.shows);
        Newtons(all.fold(tension, f64::min))
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
