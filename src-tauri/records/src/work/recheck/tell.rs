//! Later loss in words: what leaves no room, when to come back, what to turn.

use mechanics::Newtons;
use mechanics::tension::room as between;

use super::later::SetWith;
use super::{BandState, ComeBack, RecheckLine};
use crate::work::WorkError;
use crate::work::readings::Tensions;
use crate::work::tensioning::Laid;

/// When to come back; common practice.
pub(super) const WHEN: &str =
    "Come back one to two weeks after tensioning, then once a year (common practice).";
/// The same where what is lost over the years needs the yearly recheck.
pub(super) fn yearly(in_all: Newtons, required: Newtons) -> String {
    format!(
        "{WHEN} Over the years up to {in_all} may be lost in all: only the yearly recheck, and \
         turning again, keeps every wire clear of {required}."
    )
}

const WEEK_MS: i64 = 7 * 86_400_000;

/// One to two weeks after the last reading at the set tension.
pub(super) fn come_back(read: &Tensions) -> Option<ComeBack> {
    let finals = read.lines.iter().filter_map(|l| l.last_final.as_ref());
    let last = finals.map(|reading| reading.at_ms).max()?;
    Some(ComeBack {
        from_ms: last + WEEK_MS,
        to_ms: last + 2 * WEEK_MS,
    })
}

/// What does not fit under the upper tension, the least set tension that leaves what is required
/// told beside.
pub(super) fn room(
    laid: &Laid<'_>,
    required: Newtons,
    least: Option<SetWith>,
) -> Result<Vec<String>, WorkError> {
    let room = between(required, laid.upper, laid.error)?;
    let percent = laid.error * 100.0;
    let mut warnings = Vec::new();
    if !room.enough {
        warnings.push(format!(
            "{required} ÷ (1 − {percent:.0} %) is {}; the upper {} lets the gauge show at most {}: \
             no room even without later loss. A closer support, or parts with a higher limit, would \
             make room.",
            room.clear_from, laid.upper, room.clear_to
        ));
        return Ok(warnings);
    }
    let Some(SetWith { set, loss }) = least else {
        warnings.push(format!(
            "No set tension keeps every wire clear of {required} until the first recheck: come back \
             and turn again."
        ));
        return Ok(warnings);
    };
    let lost = Newtons(laid.shown_most(loss)?);
    if set > room.clear_to {
        warnings.push(format!(
            "With up to {lost} lost by the first recheck, {set} would have to be set; the upper {} lets the \
             gauge show at most {}: come back and turn again.",
            laid.upper, room.clear_to
        ));
    } else if set > laid.set {
        warnings.push(format!(
            "With up to {lost} lost by the first recheck, {set} would keep every wire clear of {required}; \
             {} is set: come back in time.",
            laid.set
        ));
    }
    Ok(warnings)
}

/// What brings a wire back.
pub(super) fn bring_back(line: &RecheckLine, set: Newtons) -> String {
    let read = line.read_n.unwrap_or_default();
    let why = if line.band == BandState::Below {
        format!(
            "it lost more than expected ({:.0} to {:.0} N)",
            line.from_n, line.to_n
        )
    } else {
        "the loss is within what is expected".to_owned()
    };
    let turn = line.turn.map_or_else(String::new, |turn| {
        format!(
            " Turn it about {} in, to {set}.",
            turn_words(turn.turns, turn.flats)
        )
    });
    format!("{} reads {read} N; {why}.{turn}", line.name)
}

/// A wire that shows more than it can.
pub(super) fn above(line: &RecheckLine) -> String {
    format!(
        "{} reads {} N, more than the {:.0} N that it can show: read it again, look at posts and \
         supports.",
        line.name,
        line.read_n.unwrap_or_default(),
        line.to_n
    )
}

fn turn_words(turns: u32, flats: u32) -> String {
    let some = |n: u32, word: &str| match n {
        0 => None,
        1 => Some(format!("1 {word}")),
        n => Some(format!("{n} {word}s")),
    };
    let parts: Vec<String> = [some(turns, "turn"), some(flats, "flat")]
        .into_iter()
        .flatten()
        .collect();
    parts.join(" ")
}
