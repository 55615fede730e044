//! What a hung mass tells of wires that no gauge read.
//!
//! Invariant: no turn is counted from a mass that tells less than there is room for.

use mechanics::Newtons;

use super::Laid;
use super::now::State;
use crate::model::values::Stage;
use crate::work::convert::mn;
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
fn room(laid: &Laid<'_>) -> Newtons {
    let required = laid.run.tensions.value().map(|told| told.required_mn);
    match required.filter(|required| *required > 0) {
        Some(required) => laid.upper - mn(required),
        None => laid.set / 3.0,
    }
}

/// The rounds of a run in their order; the last pass is as good as the final one.
fn round(laid: &Laid<'_>, stage: Stage, pass: Option<u32>) -> u32 {
    let number = pass.unwrap_or(0);
    match stage {
        Stage::Pass if (number as usize) < laid.steps.len() => number,
        Stage::Pass | Stage::Final => u32::MAX - 1,
        Stage::Recheck => u32::MAX,
    }
}

/// The masses of a wire that hung in a later round than a gauge read it in; none where there are none. In one
/// round the gauge tells more closely.
pub(super) fn of<'a>(laid: &Laid<'_>, line: &'a TensionLine) -> Option<Hung<'a>> {
    let by_gauge = line
        .readings
        .iter()
        .filter(|r| r.piece == line.piece && r.counts && r.newtons.is_some() && !r.anew);
    let read = by_gauge.map(|r| round(laid, r.stage, r.pass)).max();
    let later = |check: &&DeflectionCheck| {
        check.holds() && read.is_none_or(|read| round(laid, check.stage, check.pass) > read)
    };
    let holds = || line.deflections.iter().filter(later);
    holds().next()?;
    let told = |check| told(laid, check);
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

/// What a mass tells, where that is enough; of one that is over the upper tension by all that it may be, the least.
fn told<'a>(laid: &Laid<'_>, check: &'a DeflectionCheck) -> Option<Told<'a>> {
    let (least, most) = check.gripped_band_n?;
    let over = least > laid.upper.value();
    let enough = over || most - least <= room(laid).value();
    enough.then_some(Told {
        check,
        tension: Newtons(if over { least } else { check.gripped_n? }),
        least,
        most,
    })
}

/// A tension as a ruler can tell it: whole tens.
pub(super) fn as_told(tension: Newtons) -> Newtons {
    Newtons((tension.value() / 10.0).round() * 10.0)
}

/// Why no turns are told: a mass tells too little, or told alone what came out since.
pub(super) fn too_coarse(laid: &Laid<'_>, state: &State) -> Option<String> {
    if !state.coarse.is_empty() {
        return Some(format!(
            "Run {}, {}: read under a hung mass alone, which tells less there than the room between required and \
             upper. No turns are counted from that: take a gauge there. Without one go a flat at a time, by what the \
             mass shows beside the table, and hang it again after each.",
            laid.run.name,
            wires(laid, &state.coarse)
        ));
    }
    (!state.out_by_mass.is_empty()).then(|| {
        format!(
            "Run {}, {}: taken out after a hung mass alone had told its tension. By how much the others rose is not \
             worked out: read them again, then turns are told.",
            laid.run.name,
            wires(laid, &state.out_by_mass)
        )
    })
}

/// What is told beside turns that count from a hung mass.
pub(super) fn note(laid: &Laid<'_>, state: &State) -> Option<String> {
    let more = state.may_be_more.iter().map(|(_, more)| more.value());
    let more = more.fold(0.0, f64::max);
    let places: Vec<usize> = state.may_be_more.iter().map(|(place, _)| *place).collect();
    (!places.is_empty()).then(|| {
        format!(
            "Run {}, {}: counted from what a hung mass told, wire gripped at the posts. Half a millimetre of the \
             ruler may hide up to {:.0} N more: turn no more than is told, and hang the mass again.",
            laid.run.name,
            wires(laid, &places),
            (more / 10.0).ceil() * 10.0
        )
    })
}

fn wires(laid: &Laid<'_>, places: &[usize]) -> String {
    let numbers: Vec<u32> = places.iter().map(|place| laid.name(*place).0).collect();
    words::wires(&numbers)
}
