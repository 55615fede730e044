//! Later loss in words: what leaves no room, when to come back, what to turn.

use mechanics::Newtons;
use mechanics::tension::Room;

use super::later::{Losing, SetWith};
use super::{BandState, ComeBack, RecheckLine};
use crate::job::{Job, Run};
use crate::work::WorkError;
use crate::work::corners::turns_at;
use crate::work::readings::{DeflectionCheck, TensionLine, Tensions};
use crate::work::tensioning::Decided;

/// When to come back; common practice.
pub(super) const WHEN: &str =
    "Come back one to two weeks after tensioning, then once a year (common practice).";
/// The same where what is lost over the years needs the yearly recheck; whether a tension that may be
/// set would do without it.
pub(super) fn yearly(
    decided: &Decided<'_>,
    in_all: Newtons,
    required: Newtons,
    one_would_do: bool,
) -> String {
    let none = if one_would_do {
        String::new()
    } else {
        format!(
            ", and no set tension within the upper {} makes room for that",
            decided.upper
        )
    };
    format!(
        "{WHEN} Set to {}, up to {in_all} may be lost in all over the years{none}: only the yearly \
         recheck, and turning again, keeps every wire clear of {required}.",
        decided.set
    )
}

const DAY_MS: i64 = 86_400_000;
const WEEK_MS: i64 = 7 * DAY_MS;

const YEAR_MS: i64 = 365 * DAY_MS;

/// The moments by which a day to come back is told, 1970 to 9998: what a clock tells beyond is no time.
const TOLD_MS: std::ops::Range<i64> = 0..253_370_764_800_000;

/// One to two weeks after the last reading at the set tension; a year after the newest recheck, once
/// every wire was looked at again at least a week after that.
pub(super) fn come_back(read: &Tensions) -> Option<ComeBack> {
    let left = read.lines.iter().filter_map(|l| l.left_ms);
    come_back_after(first_done(read), left)
}

fn come_back_after(rechecked: Option<i64>, left: impl Iterator<Item = i64>) -> Option<ComeBack> {
    if let Some(again) = rechecked {
        return TOLD_MS.contains(&again).then_some(ComeBack {
            from_ms: again + YEAR_MS - 2 * WEEK_MS,
            to_ms: again + YEAR_MS,
        });
    }
    let last = left.filter(|ms| TOLD_MS.contains(ms)).max()?;
    Some(ComeBack {
        from_ms: last + WEEK_MS,
        to_ms: last + 2 * WEEK_MS,
    })
}

/// The newest recheck, where every wire was looked at again at least a week after it was brought up.
pub(super) fn first_done(read: &Tensions) -> Option<i64> {
    let again = read.lines.iter().filter_map(|l| l.looked_ms).max()?;
    // One that is on its way up again was not looked at since.
    let begun = |l: &&TensionLine| l.is_read() || l.governing.is_some();
    let mut lines = read.lines.iter().filter(begun);
    lines.all(|l| l.rechecked).then_some(again)
}

/// What does not fit under the upper tension; `least` is the least set tension that leaves what is
/// required, where it may be set.
///
/// Invariant: no tension is told to be set that is more than the gauge may show.
pub(super) fn room(
    decided: &Decided<'_>,
    losing: &Losing,
    required: Newtons,
    room: &Room,
    least: Option<SetWith>,
) -> Result<Vec<String>, WorkError> {
    if !room.enough {
        let percent = decided.error * 100.0;
        let between = match decided.error_told {
            true => format!(
                "{required} ÷ (1 − {percent:.0} %) is {}; the upper {} lets the gauge show at most {}",
                room.clear_from, decided.upper, room.clear_to
            ),
            false => format!(
                "{required} is required, {} is the upper tension",
                decided.upper
            ),
        };
        return Ok(vec![format!(
            "{between}: no room even without later loss. A closer support, or parts with a higher limit, \
             would make room."
        )]);
    }
    let Some(SetWith { set, loss }) = least else {
        let most = losing.at(room.clear_to)?.first;
        let set_to = match decided.error_told {
            true => format!("the {} that the gauge may show at most", room.clear_to),
            false => format!("{}", room.clear_to),
        };
        return Ok(vec![format!(
            "No set tension within the upper {} keeps every wire clear of {required} until the first \
             recheck: set to {set_to}, up to {} are lost by then. Come back in time and turn again.",
            decided.upper,
            Newtons(decided.shown_most(most)?)
        )]);
    };
    if set <= decided.set {
        return Ok(Vec::new());
    }
    Ok(vec![format!(
        "Set to {set}, of which up to {} are lost by the first recheck, every wire would stay clear of \
         {required}; {} is set: come back in time.",
        Newtons(decided.shown_most(loss)?),
        decided.set
    )])
}

/// What brings a wire back.
pub(super) fn bring_back(line: &RecheckLine, set: Newtons) -> String {
    let read = line.read_n.unwrap_or_default();
    let why = match (line.band, line.there_n.zip(line.bay.as_ref())) {
        (BandState::Below, Some((there, bay))) if there > read => format!(
            "in bay {bay} it shows {there} N and lost more than expected ({:.0} to {:.0} N)",
            line.from_n, line.to_n
        ),
        (BandState::Below, _) => format!(
            "it lost more than expected ({:.0} to {:.0} N)",
            line.from_n, line.to_n
        ),
        (BandState::OtherBay, _) => {
            "what it lost is not known, read in another bay than before".to_owned()
        }
        (_, Some((there, bay))) if there > read => format!(
            "what it lost there is not known; in bay {bay}, read before too, it shows {there} N, within what is \
             expected"
        ),
        _ => "the loss is within what is expected".to_owned(),
    };
    let turn = line.turn.map_or_else(String::new, |turn| {
        format!(
            " Turn it about {} in, to {set}.",
            turn_words(turn.turns, turn.flats)
        )
    });
    format!("{} reads {read} N; {why}.{turn}", line.name)
}

/// A wire that was turned since what it still goes by was read.
pub(super) fn read_there(line: &RecheckLine) -> String {
    format!(
        "{} showed {} N in one of its bays and was turned since, by what another shows: read it there too before anything \
         is turned.",
        line.name,
        line.over_n.or(line.read_n).unwrap_or_default()
    )
}

/// A wire over the upper tension.
pub(super) fn let_out(line: &RecheckLine, over: &str, decided: &Decided<'_>) -> String {
    let turn = line.turn.filter(|turn| turn.back).map_or_else(
        || "Let it out".to_owned(),
        |turn| {
            let by = turn_words(turn.turns, turn.flats);
            format!("Let it out about {by}, to {}", decided.set)
        },
    );
    format!(
        "Stop. {} {over}. {turn}, and read it again where it was read.",
        line.name
    )
}

/// A wire that stands further down under the mass than the table lets it.
pub(super) fn sags(name: &str, check: &DeflectionCheck, decided: &Decided<'_>) -> String {
    format!(
        "{name} {}: turn it in, to {}, a flat at a time, and hang the mass there again.",
        check.goes_down(),
        decided.set
    )
}

/// The same of one of which a gauge told what to do: `tight` where it showed too much.
pub(super) fn sags_too(name: &str, check: &DeflectionCheck, tight: bool) -> String {
    let so = match tight {
        true => "gauge and mass contradict, hang and read again.",
        false => "once it is turned, hang the mass there again.",
    };
    format!(" {name} also {}: {so}", check.goes_down())
}

/// A wire that shows more than it can.
pub(super) fn above(line: &RecheckLine) -> String {
    format!(
        "{} reads {} N, more than the {:.0} N that it can show: read it again, look at posts and \
         supports.",
        line.name,
        line.there_n.or(line.read_n).unwrap_or_default(),
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

/// What is not in the losses of a run that turns: they are those of a straight one between its ends.
pub(in crate::work) fn corner_note(job: &Job<'_>, run: &Run) -> Option<String> {
    let at = turns_at(job, run);
    let (posts, its) = match at.as_slice() {
        [] => return None,
        [one] => (format!("post {one}"), "how it gives and creeps"),
        all => (
            format!("posts {}", all.join(" and ")),
            "how they give and creep",
        ),
    };
    Some(format!(
        "Run {} turns at {posts}: {its}, and the friction there, are not in what is expected to be lost. \
         More may be lost, and not alike on both sides: read it on each side of a corner.",
        run.name
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_clock_beyond_every_calendar_tells_no_day_to_come_back() {
        const MOST: i64 = crate::canonical::LARGEST_INTEGER;
        let now = 1_795_000_000_000;
        let from = |rechecked, left: &[i64]| {
            let back = come_back_after(rechecked, left.iter().copied());
            back.map(|back| back.from_ms)
        };
        assert_eq!(from(None, &[now]), Some(now + WEEK_MS));
        assert_eq!(from(None, &[now, MOST, -MOST]), Some(now + WEEK_MS));
        assert_eq!(from(None, &[MOST]), None);
        assert_eq!(from(Some(MOST), &[now]), None);
        assert_eq!(from(Some(now), &[]), Some(now + YEAR_MS - 2 * WEEK_MS));
    }
}
