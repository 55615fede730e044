//! What a hung mass tells of wires that no gauge read.
//!
//! Invariant: no turn is counted from a mass that tells less than there is room for.

use mechanics::Newtons;

use super::now::State;
use super::{Laid, NowFrom};
use crate::model::values::Stage;
use crate::work::readings::{DeflectionCheck, TensionLine};
use crate::work::words;

/// A mass and the tension that it tells.
pub(super) struct Told<'a> {
    pub(super) check: &'a DeflectionCheck,
    /// Wire taken as gripped at the posts.
    pub(super) tension: Newtons,
    least: f64,
    most: f64,
}

/// The masses of a wire that no gauge read, those that tell enough.
pub(super) struct Hung<'a> {
    pub(super) in_passes: Vec<Told<'a>>,
    /// The one that tells most closely, of those that hung at the set tension or in a recheck.
    pub(super) at_set: Option<Told<'a>>,
}

impl Hung<'_> {
    /// The one that the wire stands at.
    pub(super) fn last(&self) -> Option<&Told<'_>> {
        let newest = self.in_passes.iter().max_by_key(|told| told.check.at_ms);
        self.at_set.as_ref().or(newest)
    }

    /// By how much more than told the wire may stand at, for half a millimetre of the ruler.
    pub(super) fn may_be_more(&self) -> Option<Newtons> {
        let told = self.last()?;
        Some(Newtons(told.most) - told.tension)
    }
}

/// By how much a mass may leave a tension open: the room between what is required and the upper tension, a third
/// of the set tension where nothing is.
pub(super) fn room(laid: &Laid<'_>) -> Newtons {
    let required = laid.run.tensions.value().map(|told| told.required_mn);
    match required.filter(|required| *required > 0) {
        Some(required) => laid.upper - crate::work::convert::mn(required),
        None => laid.set / 3.0,
    }
}

/// The masses of a wire; none where a gauge read it, which alone tells it anew, or where none hung that holds.
pub(super) fn of(line: &TensionLine, room: Newtons) -> Option<Hung<'_>> {
    let by_gauge = |r: &crate::work::readings::Reading| {
        r.piece == line.piece && r.counts && r.newtons.is_some()
    };
    let holds = || line.deflections.iter().filter(|check| check.holds());
    if line.readings.iter().any(by_gauge) || holds().next().is_none() {
        return None;
    }
    let told = |check| told(check, room);
    let in_passes = holds().filter(|check| check.stage == Stage::Pass);
    let at_set = holds().filter(|check| check.stage != Stage::Pass && !check.replaced);
    let open = |told: &Told<'_>| told.most - told.least;
    Some(Hung {
        in_passes: in_passes.filter_map(told).collect(),
        at_set: at_set
            .filter_map(told)
            .min_by(|a, b| open(a).total_cmp(&open(b))),
    })
}

fn told(check: &DeflectionCheck, room: Newtons) -> Option<Told<'_>> {
    let (least, most) = check.gripped_band_n?;
    (most - least <= room.value()).then_some(Told {
        check,
        tension: Newtons(check.gripped_n?),
        least,
        most,
    })
}

/// A tension as a ruler can tell it: whole tens.
pub(super) fn as_told(tension: Newtons) -> Newtons {
    Newtons((tension.value() / 10.0).round() * 10.0)
}

/// Why no turns are told, where a mass tells too little.
pub(super) fn too_coarse(laid: &Laid<'_>, state: &State) -> Option<String> {
    if state.coarse.is_empty() {
        return None;
    }
    Some(format!(
        "Run {}, {}: read under a hung mass alone, which tells less there than the room between required and \
         upper. No turns are counted from that: take a gauge, or turn by single flats and hang the mass after each.",
        laid.run.name,
        wires(laid, &state.coarse)
    ))
}

/// What is told beside turns that count from a hung mass.
pub(super) fn note(laid: &Laid<'_>, state: &State) -> Option<String> {
    let more = state.may_be_more.iter().map(|(_, more)| more.value());
    let more = more.fold(0.0, f64::max);
    let by_mass = state.from.iter().enumerate();
    let by_mass = by_mass.filter(|(_, from)| **from == NowFrom::Mass);
    let places: Vec<usize> = by_mass.map(|(place, _)| place).collect();
    if places.is_empty() {
        return None;
    }
    Some(format!(
        "Run {}, {}: taken at what a hung mass tells, wire gripped at the posts. Half a millimetre of the ruler \
         may hide up to {:.0} N more: turn no more than is told, and hang the mass again.",
        laid.run.name,
        wires(laid, &places),
        (more / 10.0).ceil() * 10.0
    ))
}

fn wires(laid: &Laid<'_>, places: &[usize]) -> String {
    let numbers: Vec<u32> = places.iter().map(|place| laid.name(*place).0).collect();
    let wires = if numbers.len() == 1 { "wire" } else { "wires" };
    format!("{wires} {}", words::ranges(&numbers))
}
