//! Later loss in words: what leaves no room, when to come back, what to turn.

use mechanics::Newtons;
use mechanics::tension::room as between;

use super::later::SetWith;
use super::{BandState, ComeBack, RecheckLine};
use crate::work::WorkError;
use crate::work::readings::{Reading, TensionLine, Tensions};
use crate::work::tensioning::Decided;

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

const DAY_MS: i64 = 86_400_000;
const WEEK_MS: i64 = 7 * DAY_MS;

const YEAR_MS: i64 = 365 * DAY_MS;

/// One to two weeks after the last reading at the set tension; a year after the newest recheck, once
/// every wire was looked at again no sooner than in the days about the first week's end.
pub(super) fn come_back(read: &Tensions) -> Option<ComeBack> {
    let newest = |of: fn(&TensionLine) -> Option<&Reading>| {
        let all = read.lines.iter().filter_map(of);
        all.map(|reading| reading.at_ms).max()
    };
    let left = newest(|l| l.last_final.as_ref());
    let again = newest(|l| l.last_recheck.as_ref());
    let done = |again: &i64| left.is_none_or(|left| again - left >= WEEK_MS - DAY_MS);
    let mut readings = read.lines.iter().filter(|l| l.is_read());
    let all = readings.all(|l| l.last_recheck.is_some());
    if let Some(again) = again.filter(done).filter(|_| all) {
        return Some(ComeBack {
            from_ms: again + YEAR_MS - 2 * WEEK_MS,
            to_ms: again + YEAR_MS,
        });
    }
    let last = left?;
    Some(ComeBack {
        from_ms: last + WEEK_MS,
        to_ms: last + 2 * WEEK_MS,
    })
}

/// What does not fit under the upper tension, the least set tension that leaves what is required
/// told beside.
pub(super) fn room(
    decided: &Decided<'_>,
    required: Newtons,
    least: Option<SetWith>,
) -> Result<Vec<String>, WorkError> {
    let room = between(required, decided.upper, decided.error)?;
    let percent = decided.error * 100.0;
    let mut warnings = Vec::new();
    if !room.enough {
        warnings.push(format!(
            "{required} ÷ (1 − {percent:.0} %) is {}; the upper {} lets the gauge show at most {}: \
             no room even without later loss. A closer support, or parts with a higher limit, would \
             make room.",
            room.clear_from, decided.upper, room.clear_to
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
    let lost = Newtons(decided.shown_most(loss)?);
    if set > room.clear_to {
        warnings.push(format!(
            "With up to {lost} lost by the first recheck, {set} would have to be set; the upper {} lets the \
             gauge show at most {}: come back and turn again.",
            decided.upper, room.clear_to
        ));
    } else if set > decided.set {
        warnings.push(format!(
            "With up to {lost} lost by the first recheck, {set} would keep every wire clear of {required}; \
             {} is set: come back in time.",
            decided.set
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

/// A wire over the upper tension.
pub(super) fn let_out(line: &RecheckLine, over: f64, decided: &Decided<'_>) -> String {
    let turn = line.turn.map_or_else(
        || "Let it out".to_owned(),
        |turn| {
            let by = turn_words(turn.turns, turn.flats);
            format!("Let it out about {by}, to {}", decided.set)
        },
    );
    format!(
        "Stop: {} shows {over} N, over the upper tension of {}. {turn}, and read it again where it was \
         read.",
        line.name, decided.upper
    )
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
