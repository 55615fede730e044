//! What a run loses after it was tensioned: the band that each wire is expected to show when it is
//! looked at again, when that is, and the flats that bring back what fell out.
//!
//! Invariant: the band says what is expected and corrects no reading; what a wire has to show
//! still comes from the required tension. The more careful of two assumptions sets the lower end.

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
use super::readings::{ReadingState, TensionLine, Tensions, tensions};
use super::tensioning::{Laid, TurnIn, alone, laid};
use crate::ids::ItemId;
use crate::job::Job;
use crate::model::context::Number;
pub(super) use later::Losing;
use later::SetWith;

/// How a wire stands against the band that is expected of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum BandState {
    /// Not read again yet.
    NotRead,
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
    /// What it showed when it was left; the set tension where it was not read.
    pub left_at_n: f64,
    /// Whether that was read.
    pub left_read: bool,
    /// Lower end of the band, the gauge's error taken off.
    pub from_n: f64,
    /// Upper end, the gauge's error added.
    pub to_n: f64,
    /// What it shows now, by the recheck and by what was read after it; none where people differ.
    pub read_n: Option<f64>,
    /// How it stands against the band.
    pub band: BandState,
    /// How it stands against the required tension.
    pub state: ReadingState,
    /// What brings it alone back to the set tension; none where it stands.
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
    /// One week after the readings at the set tension.
    pub from_ms: i64,
    /// Two weeks after.
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
    /// When to come back, from the last reading at the set tension; none before there is one.
    pub come_back: Option<ComeBack>,
    /// When to come back, in words.
    pub when: String,
    /// Wires from the bottom.
    pub lines: Vec<RecheckLine>,
    /// Wires outside their band or not clear of the required tension.
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
        least_set_n: None,
        loss_in_all_n: None,
        least_set_in_all_n: None,
        warnings: Vec::new(),
        come_back: tell::come_back(&read),
        when: tell::WHEN.to_owned(),
        lines: Vec::new(),
        to_turn: Vec::new(),
        made_of: Vec::new(),
        notes: Vec::new(),
    };
    let laid = match laid(job, run)? {
        Ok(laid) => laid,
        Err(missing) => {
            told.missing = Some(missing);
            return Ok(told);
        }
    };
    let range = band::by_now(job, run, &read, &mut told.made_of, &mut told.notes);
    let left_at: Vec<Newtons> = read
        .lines
        .iter()
        .map(|l| left_at(l).unwrap_or(laid.set))
        .collect();
    // What the temperature does comes back, so a set tension makes no room for it.
    let losing = Losing::of(job, &laid);
    let lost = losing.at(laid.set)?;
    told.set_n = Some(laid.set.value());
    told.loss_n = Some(laid.shown_most(lost.first)?);
    told.loss_in_all_n = Some(laid.shown_most(lost.in_all)?);
    if let Some(required) = read.must_show_n.map(Newtons) {
        let room = room(required, laid.upper, laid.error)?;
        told.most_set_n = Some(room.clear_to.value());
        // What is more than the gauge may show is no tension to set.
        let may_be_set = |least: &SetWith| room.enough && least.set <= room.clear_to;
        let least = losing.least_set(required, laid.error)?.filter(may_be_set);
        told.least_set_n = least.map(|least| least.set.value());
        told.warnings = tell::room(&laid, &losing, required, &room, least)?;
        let in_all = losing.least_in_all(required, laid.error)?;
        let in_all = in_all.filter(may_be_set);
        told.least_set_in_all_n = in_all.map(|least| least.set.value());
        if in_all.is_none_or(|least| least.set > laid.set) {
            let most = Newtons(laid.shown_most(lost.in_all)?);
            told.when = tell::yearly(&laid, most, required, in_all.is_some());
        }
    }
    let bands = expected_later(&laid.frame, &left_at, &range, laid.error)?;
    for (place, (line, band)) in read.lines.iter().zip(&bands).enumerate() {
        let read_n = line.last_recheck.as_ref().and_then(|r| r.newtons);
        let (wire, name) = laid.name(place);
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
            from_n: band.from.value().round(),
            to_n: band.to.value().round(),
            read_n,
            band: match read_n.map(Newtons) {
                None => BandState::NotRead,
                Some(n) if n < band.from => BandState::Below,
                Some(n) if n > band.to => BandState::Above,
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
    turn_back(&laid, &mut told)?;
    Ok(told)
}

/// What a wire showed when it was left.
fn left_at(line: &TensionLine) -> Option<Newtons> {
    line.last_final.as_ref()?.newtons.map(Newtons)
}

/// Flats for each wire that lost more than expected or is not clear of what is required.
fn turn_back(laid: &Laid<'_>, told: &mut Recheck) -> Result<(), WorkError> {
    let now: Vec<Newtons> = told
        .lines
        .iter()
        .map(|line| Newtons(line.read_n.unwrap_or(line.left_at_n)))
        .collect();
    let fell = |line: &RecheckLine| {
        let low = matches!(line.state, ReadingState::Below | ReadingState::AtTheMark);
        line.read_n.is_some_and(|n| n < laid.set.value()) && (low || line.band == BandState::Below)
    };
    let wanted: Vec<(usize, Newtons)> = told
        .lines
        .iter()
        .enumerate()
        .filter(|(_, line)| fell(line))
        .map(|(place, _)| (place, laid.set))
        .collect();
    let together = mechanics::tensioning::turn_together(&laid.frame, &now, &wanted)?;
    for ((place, _), all) in wanted.iter().zip(together) {
        let turn = alone(laid, &now, *place, laid.set)?;
        if let Some(line) = told.lines.get_mut(*place) {
            line.turn = turn;
            line.turn_together = Some(laid.turn(all));
            line.sentence = Some(tell::bring_back(line, laid.set));
            told.to_turn.push(line.wire);
        }
    }
    for line in &mut told.lines {
        if line.band == BandState::Above {
            line.sentence = Some(tell::above(line));
            // One that is below what is required as well is named already.
            if !told.to_turn.contains(&line.wire) {
                told.to_turn.push(line.wire);
            }
        }
    }
    told.to_turn.sort_unstable();
    Ok(())
}

/// Mean of what the readings of a stage tell of the temperature.
fn temperature(read: &Tensions, of: impl Fn(&TensionLine) -> Option<f64>) -> Option<f64> {
    let all: Vec<f64> = read.lines.iter().filter_map(of).collect();
    let count = u32::try_from(all.len()).ok().filter(|n| *n > 0)?;
    Some(all.iter().sum::<f64>() / f64::from(count))
}
