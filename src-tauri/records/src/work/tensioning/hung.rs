//! What is told beside turns that count from a hung mass, or instead of them.

use mechanics::Newtons;

use super::Laid;
use super::now::State;
use crate::work::words;

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
