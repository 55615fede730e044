//! What a run is expected to lose after it was tensioned, whether what is in hand covers it, and what
//! a person was asked about it.
//!
//! Invariant: the figures are those that the screens show; expected is said to be expected, with what
//! it is made of and where that is from.

use records::entry::At;
use records::job::Run;
use records::work;

use super::reading::Reading;
use super::{Block, Fact, words};

/// Later loss of a run: how much, of what, what would have to be set, when to read again, and what
/// was asked before less was decided.
pub(super) fn blocks(reading: &Reading<'_>, run: &Run) -> Vec<Block> {
    let mut blocks: Vec<Block> = asked(run).into_iter().collect();
    let later = match reading.found.later(run) {
        None => return blocks,
        Some(Ok(later)) => later,
        Some(Err(e)) => {
            blocks.push(Block::remark(format!(
                "What is lost later can't be worked out: {e}."
            )));
            return blocks;
        }
    };
    if let Some(missing) = &later.missing {
        blocks.push(Block::remark(format!(
            "What is lost later is not worked out: {missing}"
        )));
        return blocks;
    }
    let Some((first, in_all)) = later.loss_n.zip(later.loss_in_all_n) else {
        return blocks;
    };
    let set = later.set_n.map(newtons).unwrap_or_default();
    blocks.push(Block::text(format!(
        "Expected to be lost later, set to {set}, of the wire that loses most: up to {} by the first recheck, up to {} in all over the years, were it never turned again.",
        newtons(first),
        newtons(in_all)
    )));
    blocks.extend(least(later).map(Block::text));
    blocks.extend(
        later
            .warnings
            .iter()
            .map(|told| Block::text(format!("! {told}"))),
    );
    blocks.push(Block::text(format!(
        "{}{}",
        later.when,
        come_back(reading, later)
    )));
    let made_of = words::numbers(&later.made_of);
    let mut told = vec![format!("Expected, not read. Made of: {made_of}.")];
    told.extend(later.notes.iter().cloned());
    blocks.push(Block::remark(told.join(" ")));
    blocks
}

/// The least that would have to be set beside the most that may be; where none may be, the warnings
/// and the words on the next recheck say so.
fn least(later: &work::Recheck) -> Option<String> {
    let most = later.most_set_n?;
    let told = [
        (later.least_set_n, "until the first recheck"),
        (later.least_set_in_all_n, "without any recheck"),
    ];
    let told: Vec<String> = told
        .into_iter()
        .filter_map(|(least, until)| Some(format!("{} {until}", newtons(least?))))
        .collect();
    (!told.is_empty()).then(|| {
        format!(
            "To stay clear of what is required, at least {} would have to be set; the upper tension lets the gauge show at most {}.",
            told.join(", "),
            newtons(most)
        )
    })
}

/// What was asked before the tensions were decided, and answered yes.
fn asked(run: &Run) -> Option<Block> {
    let with = run.tensions.told()?.with.as_ref()?;
    let asked = with.numbers.iter().find(|n| n.name == work::ASKED)?;
    Some(Block::text(format!(
        "! Asked before it was decided, and answered yes: {}",
        asked.value
    )))
}

/// The first recheck by days, while nobody has read again.
fn come_back(reading: &Reading<'_>, later: &work::Recheck) -> String {
    if read_again(later) {
        return String::new();
    }
    days(reading, later).map_or_else(String::new, |days| format!(" Here: {days}."))
}

fn days(reading: &Reading<'_>, later: &work::Recheck) -> Option<String> {
    let back = later.come_back?;
    let [from, to] = [back.from_ms, back.to_ms].map(|ms| day(reading, ms));
    Some(format!("{from} to {to}"))
}

fn day(reading: &Reading<'_>, ms: i64) -> String {
    words::day(At {
        ms,
        ..reading.source.made
    })
}

/// The day by which the first of the runs whose first recheck is over is to be read again.
pub(super) fn yearly(reading: &Reading<'_>) -> Option<String> {
    let of_run = |run: &Run| {
        let later = reading.found.later(run)?.as_ref().ok()?;
        later.come_back.filter(|_| read_again(later))
    };
    let runs = reading.job.runs.iter().filter_map(of_run);
    let first = runs.map(|back| back.to_ms).min()?;
    Some(day(reading, first))
}

/// Whether the first recheck is over, and with it what is lost by then.
const fn read_again(later: &work::Recheck) -> bool {
    later.first_done
}

/// Wires that lost more than was expected by what they show now, or showed before they were brought up again,
/// in the very bay in which they were read when they were left: a terminal may slip, or a post give way.
pub(super) fn unexpected(reading: &Reading<'_>, run: &Run) -> Vec<(u32, String)> {
    let Some(Ok(later)) = reading.found.later(run) else {
        return Vec::new();
    };
    let told = |l: &work::RecheckLine| {
        let (showed, n) = match (l.band, l.found_n) {
            (work::BandState::Below, _) => ("shows", l.there_n?),
            (_, Some(found)) if l.fell_below => ("had come down to", found),
            _ => return None,
        };
        let told = format!(
            "Wire {} {showed} {} in bay {} and was expected to show {} to {}: it lost more than expected",
            l.name,
            newtons(n),
            l.bay.as_ref()?,
            newtons(l.from_n),
            newtons(l.to_n)
        );
        Some((l.wire, told))
    };
    let left_read = later.lines.iter().filter(|l| l.left_read);
    left_read.filter_map(told).collect()
}

/// One line where what is in hand is less than what may still be lost; none where it covers it, or
/// where nothing was read.
pub(super) fn margin(reading: &Reading<'_>, run: &Run, read: &work::Tensions) -> Option<String> {
    let later = reading.found.later(run)?.as_ref().ok()?;
    let (first, in_all) = later.loss_n.zip(later.loss_in_all_n)?;
    let hand = read.least_finished_n()? - read.must_show_n?;
    let (expected, said) = if read_again(later) {
        let rest = in_all - first;
        (
            rest,
            format!(
                "up to {} that may still be lost over the years",
                newtons(rest)
            ),
        )
    } else if hand < first {
        (
            in_all,
            format!(
                "up to {} that may be lost by the first recheck and up to {} over the years",
                newtons(first),
                newtons(in_all)
            ),
        )
    } else {
        (
            in_all,
            format!("up to {} that may be lost over the years", newtons(in_all)),
        )
    };
    let when = match days(reading, later).filter(|_| !read_again(later)) {
        Some(days) => format!("read again {days}, then every year"),
        None => "read again every year".to_owned(),
    };
    (hand < expected).then(|| {
        let sign = if hand < 0.0 { "−" } else { "" };
        format!(
            "Run {}: {sign}{} in hand, less than the {said}: {when} (section 9)",
            run.name,
            newtons(hand.abs())
        )
    })
}

/// The first rechecks that are still to come, for the owner.
pub(super) fn next_dates(reading: &Reading<'_>) -> Vec<Fact> {
    let of_run = |run: &Run| {
        let later = reading.found.later(run)?.as_ref().ok()?;
        let days = days(reading, later).filter(|_| !read_again(later))?;
        let name = format!("Run {}, first recheck", run.name);
        Some(Fact::of(&name, days).with("one to two weeks after it was tensioned"))
    };
    reading.job.runs.iter().filter_map(of_run).collect()
}

fn newtons(n: f64) -> String {
    format!("{n:.0}\u{a0}N")
}
