//! What a run loses after it was tensioned: the band that each wire is expected to show when it is
//! looked at again, when that is, and the flats that bring back what fell out.
//!
//! Invariant: the band says what is expected and corrects no reading; what a wire has to show
//! still comes from the required tension. The more careful of two assumptions sets the lower end. A
//! band starts from the newest reading after which the wire was left, that of a turn back included, so
//! that it does not widen from visit to visit. One file past 400 lines, since the answer and its fields are read
//! together.

mod band;
mod later;
mod tell;

use mechanics::Newtons;
use mechanics::loss::expected_later;
use mechanics::tension::room;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::WorkError;
use super::convert::run_of;
use super::posts::{beside_notes, wall_notes};
use super::readings::{Reading, ReadingState, TensionLine, Tensions, tensions};
use super::tensioning::{Decided, ERROR_NONE, Laid, NO_ERROR, TurnIn, alone, decided, laid};
use crate::ids::ItemId;
use crate::job::Job;
use crate::model::context::Number;
pub(super) use later::{Losing, ONE_SUMMER, SetWith};
pub(super) use tell::corner_note;

/// How a wire stands against the band that is expected of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum BandState {
    /// Not read again yet.
    NotRead,
    /// Read again, in no bay in which it was read when it was left: what it lost nobody knows.
    OtherBay,
    /// Inside.
    Within,
    /// It lost more than expected.
    Below,
    /// It shows more than expected.
    Above,
}

/// One wire at the recheck.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RecheckLine {
    /// Number of the wire.
    pub wire: u32,
    /// "A6".
    pub name: String,
    /// What it showed when it was left, at the end of the visit before; the set tension where it was not
    /// read. Once it was read again, in the bay in which it lost most.
    pub left_at_n: f64,
    /// Whether that was read.
    pub left_read: bool,
    /// Lower end of the band, the gauge's error taken off, down to what the gauge can tell.
    pub from_n: f64,
    /// Upper end, the gauge's error added, up to what the gauge can tell.
    pub to_n: f64,
    /// What it shows now, by the recheck and by what was read after it; none where people differ.
    pub read_n: Option<f64>,
    /// The bay in which it lost most, of those that were read then and now: the band is of that bay.
    pub bay: Option<String>,
    /// What it shows there now.
    pub there_n: Option<f64>,
    /// What it had come down to there when it was looked at, where it was brought up again since.
    pub found_n: Option<f64>,
    /// Whether that was below the band: it lost more than expected, whatever it was brought to.
    pub fell_below: bool,
    /// The highest reading that stands over the upper tension; none where none is.
    pub over_n: Option<f64>,
    /// How it stands against the band.
    pub band: BandState,
    /// How it stands against the required tension.
    pub state: ReadingState,
    /// What brings it alone back to the set tension, out where it is over the upper one; none where it
    /// stands.
    pub turn: Option<TurnIn>,
    /// The same where all that are named are brought back and give way together.
    pub turn_together: Option<TurnIn>,
    /// What to do, in one sentence; none where it stands.
    pub sentence: Option<String>,
}

/// When to come back, milliseconds since 1970 UTC.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ComeBack {
    /// One week after the readings at the set tension; once all were looked at again, two weeks short of
    /// a year after that.
    pub from_ms: i64,
    /// Two weeks after; a year after.
    pub to_ms: i64,
}

/// Later loss and recheck of a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Recheck {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// What is missing before anything can be told; none where nothing is.
    pub missing: Option<String>,
    /// Set tension decided, of which the losses below are told.
    pub set_n: Option<f64>,
    /// Most that the gauge may show while no wire is above the upper tension; none where nothing is
    /// required.
    pub most_set_n: Option<f64>,
    /// Most that the wire which loses most is expected to lose by the first recheck, one to two weeks
    /// after, at the set tension decided; rounded up to what the gauge can tell.
    pub loss_n: Option<f64>,
    /// The least of it: of the wire that loses least; rounded down to what the gauge can tell.
    pub loss_least_n: Option<f64>,
    /// The most of it where the first recheck falls on a day 30 K warmer than that of tensioning (assumed): what
    /// is read then, though what the temperature takes comes back.
    pub loss_hot_day_n: Option<f64>,
    /// Least set tension that leaves the required one: (required + what is lost at that very
    /// tension) ÷ (1 − gauge error), rounded up; none where that is more than may be set, which the
    /// warnings say then.
    pub least_set_n: Option<f64>,
    /// Most that it is expected to lose in all, after years, were it never turned again.
    pub loss_in_all_n: Option<f64>,
    /// Least set tension that would leave it clear without a yearly recheck; none where that is more
    /// than may be set, which `when` says then.
    pub least_set_in_all_n: Option<f64>,
    /// What leaves no room under the upper tension, each in one sentence.
    pub warnings: Vec<String>,
    /// When to come back, from the last reading at the set tension, and from the newest recheck once all
    /// were looked at again; none before there is one.
    pub come_back: Option<ComeBack>,
    /// Whether all were looked at again, no sooner than about a week after: a round of the same day tells
    /// nothing of what is lost by then.
    pub first_done: bool,
    /// When to come back, in words.
    pub when: String,
    /// Wires from the bottom.
    pub lines: Vec<RecheckLine>,
    /// Wires outside their band, not clear of the required tension or over the upper one.
    pub to_turn: Vec<u32>,
    /// What the band is made of, with origins.
    pub made_of: Vec<Number>,
    /// What was assumed or left out.
    pub notes: Vec<String>,
}

/// Tells what a run is expected to lose, and how it stands when it is looked at again.
///
/// # Errors
/// When the run is unknown or a figure can't be.
pub fn recheck(job: &Job<'_>, run: ItemId) -> Result<Recheck, WorkError> {
    let run = run_of(job, run)?;
    let read = tensions(job, run.id)?;
    let mut told = Recheck {
        run: run.id,
        run_name: run.name.clone(),
        missing: None,
        set_n: None,
        most_set_n: None,
        loss_n: None,
        loss_least_n: None,
        loss_hot_day_n: None,
        least_set_n: None,
        loss_in_all_n: None,
        least_set_in_all_n: None,
        warnings: Vec::new(),
        come_back: tell::come_back(&read),
        first_done: tell::first_done(&read).is_some(),
        when: tell::WHEN.to_owned(),
        lines: Vec::new(),
        to_turn: Vec::new(),
        made_of: Vec::new(),
        notes: Vec::new(),
    };
    let laid = laid(job, run)?;
    let without_cuts;
    let decided = match &laid {
        Ok(laid) => &**laid,
        // Its lengths alone tell what it loses; only turns rest on cuts and threads.
        Err(why) => match decided(job, run)? {
            Ok(found) => {
                told.notes.push(why.clone());
                without_cuts = found;
                &without_cuts
            }
            Err(_) => {
                told.missing = Some(why.clone());
                told.notes = beside_notes(job, run);
                return Ok(told);
            }
        },
    };
    band::tell_made_of(job, run, &read, &mut told.made_of, &mut told.notes);
    told.notes.extend(wall_notes(job, run));
    told.notes.extend(tell::corner_note(job, run));
    let ranges = band::lost_since(job, run, &read, started);
    let left_at: Vec<Newtons> = read
        .lines
        .iter()
        .map(|l| left_at(l).unwrap_or(decided.set))
        .collect();
    let since_final = band::lost_since(job, run, &read, at_set);
    let at_first: Vec<Newtons> = read
        .lines
        .iter()
        .map(|l| newtons(at_set(l)).unwrap_or(decided.set))
        .collect();
    // What the temperature does comes back, so a set tension makes no room for it.
    let losing = Losing::of(job, decided);
    let lost = losing.at(decided.set)?;
    told.set_n = Some(decided.set.value());
    told.loss_n = Some(decided.shown_most(lost.first)?);
    told.loss_least_n = Some(decided.shown_least(lost.first_least)?);
    told.loss_hot_day_n = Some(decided.shown_most(lost.hot_day)?);
    told.loss_in_all_n = Some(decided.shown_most(lost.in_all)?);
    if let Some(required) = read.must_show_n.map(Newtons) {
        let room = room(required, decided.upper, decided.error)?;
        told.most_set_n = Some(room.clear_to.value());
        // What is more than the gauge may show is no tension to set.
        let may_be_set = |least: &SetWith| room.enough && least.set <= room.clear_to;
        let least = losing
            .least_set(required, decided.error)?
            .filter(may_be_set);
        told.least_set_n = least.map(|least| least.set.value());
        told.warnings = tell::room(decided, &losing, required, &room, least)?;
        if !decided.error_told {
            told.warnings.push(format!("{NO_ERROR} {ERROR_NONE}"));
        }
        let in_all = losing.least_in_all(required, decided.error)?;
        let in_all = in_all.filter(may_be_set);
        told.least_set_in_all_n = in_all.map(|least| least.set.value());
        if in_all.is_none_or(|least| least.set > decided.set) {
            let most = Newtons(decided.shown_most(lost.in_all)?);
            told.when = tell::yearly(decided, most, required, in_all.is_some());
        }
    }
    for (place, (line, range)) in read.lines.iter().zip(&ranges).enumerate() {
        // Each wire over its own time; the others fall with it.
        let all = expected_later(&decided.frame, &left_at, range, decided.error)?;
        let Some(mut band) = all.get(place).cloned() else {
            continue;
        };
        // A visit at which nobody turned it makes a wire's band no wider: what it was going to lose
        // since the set tension holds on. What was let out since starts anew.
        let visited = line.compared.as_ref().filter(|c| {
            let set = c.at_set.as_ref().filter(|set| !set.over);
            set.is_some_and(|set| set.entry != c.left.entry)
        });
        if let (Some(_), Some(range)) = (visited, since_final.get(place)) {
            let whole = expected_later(&decided.frame, &at_first, range, decided.error)?;
            if let Some(whole) = whole.get(place) {
                band.from = band.from.max(whole.from);
                band.to = band.to.max(whole.to);
            }
        }
        // Brought back to the set tension it may show that, whatever it had lost before.
        let off = |n: Newtons| (n - decided.set).abs() > decided.set * decided.error;
        let read_n = line.last_recheck.as_ref().and_then(|r| r.newtons);
        let there_n = match &line.compared {
            // Where it was left nobody read: at the set tension, as everywhere.
            None if started(line).is_none() => read_n,
            there => there.as_ref().and_then(|c| c.now.newtons),
        };
        let found = line.compared.as_ref().and_then(|c| c.found.as_ref());
        let found_n = found.and_then(|r| r.newtons);
        // As the gauge can tell them, and what is told is what a reading is held against: wider by less
        // than a step of it, so that nothing within is called outside.
        let (from_n, to_n) = (
            decided.shown_least(band.from)?,
            decided.shown_most(band.to)?,
        );
        let (wire, name) = decided.name(place);
        if line.last_recheck.is_some() && read_n.is_none() {
            told.notes.push(format!(
                "People differ on what wire {name} reads: settle that first."
            ));
        }
        told.lines.push(RecheckLine {
            wire,
            name,
            left_at_n: left_at.get(place).copied().unwrap_or_default().value(),
            left_read: self::left_at(line).is_some(),
            from_n,
            to_n,
            read_n,
            bay: line.compared.as_ref().map(|c| c.now.bay_name.clone()),
            there_n,
            found_n,
            fell_below: found_n.is_some_and(|n| n < from_n),
            over_n: line.over().and_then(|over| over.newtons),
            band: match there_n.map(Newtons) {
                None if line.last_recheck.is_some() && read_n.is_some() => BandState::OtherBay,
                None => BandState::NotRead,
                Some(n) if n.value() < from_n => BandState::Below,
                Some(n) if n.value() > to_n && off(n) => BandState::Above,
                Some(_) => BandState::Within,
            },
            state: match line.last_recheck {
                Some(_) => line.state,
                None => ReadingState::Open,
            },
            turn: None,
            turn_together: None,
            sentence: None,
        });
    }
    told.notes.extend(beside_notes(job, run));
    turn_back(decided, laid.as_ref().ok(), &read, &mut told)?;
    sags(&read, decided, &mut told);
    Ok(told)
}

/// What a wire showed when it was left.
fn left_at(line: &TensionLine) -> Option<Newtons> {
    newtons(started(line))
}

fn newtons(read: Option<&Reading>) -> Option<Newtons> {
    read?.newtons.map(Newtons)
}

/// The reading after which a wire was left, before it was looked at last: where its band starts.
fn started(line: &TensionLine) -> Option<&Reading> {
    let compared = line.compared.as_ref().map(|c| &c.left);
    compared.or(line.last_final.as_ref())
}

/// The reading at the set tension in the bay that is compared.
fn at_set(line: &TensionLine) -> Option<&Reading> {
    match &line.compared {
        Some(compared) => compared.at_set.as_ref(),
        None => line.last_final.as_ref(),
    }
}

/// What it is compared with.
fn looked(line: &TensionLine) -> Option<&Reading> {
    let compared = line.compared.as_ref().map(|c| &c.now);
    compared.or(line.last_recheck.as_ref())
}

/// Flats for each wire that lost more than expected, is not clear of what is required or is over the
/// upper tension; none for one that was turned since what it still goes by was read.
fn turn_back(
    decided: &Decided<'_>,
    laid: Option<&Laid<'_>>,
    read: &Tensions,
    told: &mut Recheck,
) -> Result<(), WorkError> {
    let all = told.lines.iter().zip(&read.lines);
    let now: Vec<Newtons> = all
        .map(|(line, read)| {
            read.brought_n
                .or(line.over_n)
                .or(line.read_n)
                .unwrap_or(line.left_at_n)
        })
        .map(Newtons)
        .collect();
    for (line, of) in told.lines.iter_mut().zip(&read.lines) {
        let low = matches!(line.state, ReadingState::Below | ReadingState::AtTheMark);
        if (low || line.over_n.is_some()) && of.read_there {
            line.sentence = Some(tell::read_there(line));
            told.to_turn.push(line.wire);
        }
    }
    let fell = |line: &RecheckLine| {
        let low = matches!(line.state, ReadingState::Below | ReadingState::AtTheMark);
        line.read_n.is_some_and(|n| n < decided.set.value())
            && (low || line.band == BandState::Below)
    };
    let wanted: Vec<(usize, Newtons)> = told
        .lines
        .iter()
        .enumerate()
        .filter(|(_, line)| line.sentence.is_none())
        .filter(|(_, line)| fell(line) || line.over_n.is_some())
        .map(|(place, _)| (place, decided.set))
        .collect();
    let together = mechanics::tensioning::turn_together(&decided.frame, &now, &wanted)?;
    for ((place, _), all) in wanted.iter().zip(together) {
        let over = read.lines.get(*place).and_then(TensionLine::over);
        let turn = match laid {
            Some(laid) => alone(laid, &now, *place, (decided.set, over.is_some()))?,
            None => None,
        };
        if let Some(line) = told.lines.get_mut(*place) {
            line.turn = turn;
            line.turn_together = laid.map(|laid| laid.turn(all));
            line.sentence = Some(match over {
                Some(over) => tell::let_out(line, &over.told_over(decided.upper.value()), decided),
                None => tell::bring_back(line, decided.set),
            });
            told.to_turn.push(line.wire);
        }
    }
    for line in &mut told.lines {
        let named = told.to_turn.contains(&line.wire);
        if line.band == BandState::Above
            && line.over_n.is_none()
            && (named || line.sentence.is_none())
        {
            line.sentence = Some(tell::above(line));
            // One that is below what is required as well is named already.
            if !named {
                told.to_turn.push(line.wire);
            }
        }
    }
    told.to_turn.sort_unstable();
    Ok(())
}

/// Wires that stand further down under a hung mass than the table lets them; of one that is named already it is
/// told beside what a gauge told of it.
fn sags(read: &Tensions, decided: &Decided<'_>, told: &mut Recheck) {
    for (line, wire) in read.lines.iter().zip(&mut told.lines) {
        let Some(check) = line.sagging().find(|check| !check.let_out) else {
            continue;
        };
        if let Some(sentence) = &mut wire.sentence {
            let tight = wire.over_n.is_some() || wire.band == BandState::Above;
            sentence.push_str(&tell::sags_too(&wire.name, check, tight));
            continue;
        }
        told.to_turn.push(wire.wire);
        wire.sentence = Some(tell::sags(&wire.name, check, decided));
    }
    told.to_turn.sort_unstable();
    let by_mass = |line: &&TensionLine| line.looked_ms.is_some() && line.last_recheck.is_none();
    if read
        .lines
        .iter()
        .any(|line| by_mass(&line) && line.held_by_deflection.is_some())
    {
        told.notes.push(
            "What a wire lost is told by a gauge's readings alone: a hung mass tells whether it stands within the \
             table."
                .to_owned(),
        );
    }
}

/// Mean of what the readings of a stage tell of the temperature.
fn temperature(read: &Tensions, of: impl Fn(&TensionLine) -> Option<f64>) -> Option<f64> {
    let all: Vec<f64> = read.lines.iter().filter_map(of).collect();
    let count = u32::try_from(all.len()).ok().filter(|n| *n > 0)?;
    Some(all.iter().sum::<f64>() / f64::from(count))
}
