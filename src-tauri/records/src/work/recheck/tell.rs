//! Later loss in words: what leaves no room, when to come back, what to turn.

use mechanics::Newtons;
use mechanics::tension::Room;

use super::later::{Losing, SetWith};
use super::{BandState, ComeBack, RecheckLine};
use crate::work::WorkError;
use crate::work::readings::Tensions;
use crate::work::tensioning::Laid;

/// When to come back; common practice.
pub(super) const WHEN: &str =
    "Come back one to two weeks after tensioning, then once a year (common practice).";
/// The same where what is lost over the years needs the yearly recheck; whether a tension that may be
/// set would do without it.
pub(super) fn yearly(
    laid: &Laid<'_>,
    in_all: Newtons,
    required: Newtons,
    one_would_do: bool,
) -> String {
    let none = if one_would_do {
        String::new()
    } else {
        format!(
            ", and no set tension within the upper {} makes room for that",
            laid.upper
        )
    };
    format!(
        "{WHEN} Set to {}, up to {in_all} may be lost in all over the years{none}: only the yearly \
         recheck, and turning again, keeps every wire clear of {required}.",
        laid.set
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

/// What does not fit under the upper tension; `least` is the least set tension that leaves what is
/// required, where it may be set.
///
/// Invariant: no tension is told to be set that is more than the gauge may show.
pub(super) fn room(
    laid: &Laid<'_>,
    losing: &Losing,
    required: Newtons,
    room: &Room,
    least: Option<SetWith>,
) -> Result<Vec<String>, WorkError> {
    if !room.enough {
        let percent = laid.error * 100.0;
        return Ok(vec![format!(
            "{required} ÷ (1 − {percent:.0} %) is {}; the upper {} lets the gauge show at most {}: \
             no room even without later loss. A closer support, or parts with a higher limit, would \
             make room.",
            room.clear_from, laid.upper, room.clear_to
        )]);
    }
    let Some(SetWith { set, loss }) = least else {
        let most = losing.at(room.clear_to)?.first;
        return Ok(vec![format!(
            "No set tension within the upper {} keeps every wire clear of {required} until the first \
             recheck: set to the {} that the gauge may show at most, up to {} are lost by then. Come \
             back in time and turn again.",
            laid.upper,
            room.clear_to,
            Newtons(laid.shown_most(most)?)
        )]);
    };
    if set <= laid.set {
        return Ok(Vec::new());
    }
    Ok(vec![format!(
        "Set to {set}, of which up to {} are lost by the first recheck, every wire would stay clear of \
         {required}; {} is set: come back in time.",
        Newtons(laid.shown_most(loss)?),
        laid.set
    )])
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
