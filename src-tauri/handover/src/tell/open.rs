//! What is open, the gravest first, and how like items are told together where the page is short.
//!
//! Invariant: what is open is never left out for what somebody went without, which comes last; a fold
//! names what it folds and how many. One file past 400 lines, since all of it is one list in one order.

use std::collections::BTreeMap;

use records::ids::ItemId;
use records::job::Run;
use records::work::{self, Flag};

use super::reading::Reading;
use super::{DATA, Fact, asked, close, disputes, holes, later, tension, words};
use crate::drawing::{State, States};
use crate::state;

/// How grave an open item is; they stand in this order.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Grave {
    /// Entries lost to damage, what is below or over what was decided, an end that does not hold, a probe
    /// that passed.
    Fails,
    /// People differ.
    Disputed,
    /// Found and not put right.
    Defect,
    /// Not read, or read by what shows nothing.
    Unread,
    /// What the rules or the record say against it.
    Finding,
    /// Evidence that is lacking.
    Lacking,
    /// To be asked, or lost.
    AskFirst,
    /// Gone without for a reason told.
    Waived,
}

/// One open item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Open {
    grave: Grave,
    /// What several of its kind are called.
    kind: &'static str,
    /// What stands for it where like ones are told together.
    short: String,
    text: String,
}

/// Letters of what stands for an item that has no shorter name.
const SHORT: usize = 48;
/// What several readings that are still to be taken are called.
const TO_READ: &str = "readings to be taken";
/// Names in one fold; beyond them the rest is counted.
const NAMED: usize = 12;

impl Open {
    fn of(grave: Grave, kind: &'static str, text: String) -> Self {
        Open {
            grave,
            kind,
            short: shortened(&text),
            text,
        }
    }

    fn short(self, short: impl Into<String>) -> Self {
        Open {
            short: short.into(),
            ..self
        }
    }
}

fn shortened(text: &str) -> String {
    match text.char_indices().nth(SHORT) {
        None => text.to_owned(),
        Some((at, _)) => format!("{}…", text.get(..at).unwrap_or_default().trim_end()),
    }
}

/// The items as they are told one by one.
pub(super) fn texts(items: &[Open]) -> Vec<String> {
    items.iter().map(|item| item.text.clone()).collect()
}

/// Ever shorter tellings of the same in the same order: like items in one line each, the least grave
/// first, until all are folded.
pub(super) fn folded(items: &[Open]) -> Vec<Vec<String>> {
    let mut from: Vec<Grave> = items.iter().map(|item| item.grave).collect();
    from.dedup();
    let mut told: Vec<Vec<String>> = from
        .into_iter()
        .rev()
        .map(|from| folded_from(items, from))
        .collect();
    told.dedup();
    told
}

/// Items as grave as `from` or less, like ones together; the graver ones one by one.
fn folded_from(items: &[Open], from: Grave) -> Vec<String> {
    let mut groups: Vec<Vec<&Open>> = Vec::new();
    for item in items {
        let alike = |group: &&mut Vec<&Open>| {
            let first = group.first();
            first.is_some_and(|f| f.grave == item.grave && f.kind == item.kind)
        };
        match groups.iter_mut().find(alike).filter(|_| item.grave >= from) {
            Some(group) => group.push(item),
            None => groups.push(vec![item]),
        }
    }
    let told = |group: &Vec<&Open>| match group.as_slice() {
        [one] if one.grave < from => one.text.clone(),
        group => fold(group),
    };
    groups.iter().map(told).collect()
}

fn fold(group: &[&Open]) -> String {
    match group {
        [] => String::new(),
        [one] if one.grave != Grave::Waived => one.text.clone(),
        [first, ..] => {
            let names: Vec<&str> = group.iter().take(NAMED).map(|o| o.short.as_str()).collect();
            let more = group.len().saturating_sub(NAMED);
            let more = match more {
                0 => String::new(),
                n => format!("; and {n} more"),
            };
            let count = match first.grave {
                Grave::Waived => String::new(),
                _ => format!("{} ", group.len()),
            };
            format!("{count}{}: {}{more}", first.kind, names.join("; "))
        }
    }
}

/// What the making device lost, in one sentence; none where it lost nothing.
fn broken_off(reading: &Reading<'_>) -> Option<String> {
    let entries = match reading.source.broken_off {
        0 => return None,
        1 => "1 entry that was saved on it does".to_owned(),
        more => format!("{more} entries that were saved on it do"),
    };
    Some(format!(
        "The device that made this is damaged: {entries} not count any more and may be missing here."
    ))
}

/// All that is open, the gravest first.
pub(super) fn items(reading: &Reading<'_>, states: &BTreeMap<ItemId, States>) -> Vec<Open> {
    let mut items: Vec<Open> = broken_off(reading)
        .or_else(|| close::not_counting(reading, state::damaged))
        .map(|text| Open::of(Grave::Fails, "entries that do not count", text))
        .into_iter()
        .collect();
    let disputed = disputes::all(reading).into_iter().map(|text| {
        let about = text.split(": ").next().unwrap_or_default().to_owned();
        Open::of(Grave::Disputed, "values that people differ on", text).short(about)
    });
    items.extend(disputed);
    for run in &reading.job.runs {
        match reading.found.read(run) {
            None => {}
            Some(Ok(read)) => {
                fails(run, read, &mut items);
                unread(reading, run, read, &mut items);
                let kind = "wires that lost more than expected";
                items.extend(
                    later::unexpected(reading, run)
                        .into_iter()
                        .map(|(wire, text)| {
                            let short = format!("{}{wire}", run.name);
                            Open::of(Grave::Fails, kind, text).short(short)
                        }),
                );
                items.extend(later::margin(reading, run, read).map(|text| {
                    let kind = "runs with less in hand than may be lost";
                    Open::of(Grave::Unread, kind, text).short(format!("run {}", run.name))
                }));
            }
            Some(Err(e)) => items.push(Open::of(
                Grave::Unread,
                "runs whose readings can't be held against what is asked",
                format!(
                    "Run {}: its readings can't be held against what is asked: {e}",
                    run.name
                ),
            )),
        }
        ends(reading, run, &mut items);
        let found = asked::open(reading, run).into_iter();
        let kind = "things that the rules or the record say against it";
        items.extend(found.map(|text| Open::of(Grave::Finding, kind, text)));
        items.extend(work::decided_by_another(reading.job, run).map(|text| {
            let short = format!("run {}, decided by another rule set", run.name);
            Open::of(Grave::Finding, kind, text).short(short)
        }));
        let kind = "posts that are asked for more than their own figure";
        // A post of two runs is asked for both by either; the greater figure stands for it.
        for (post, text) in asked::over_own(reading, run) {
            let told = Open::of(Grave::Finding, kind, text).short(post);
            if !items.contains(&told) {
                items.push(told);
            }
        }
        let kind = "posts in which holes come close";
        let holes = holes::open(reading, run).into_iter();
        items.extend(holes.map(|text| Open::of(Grave::Finding, kind, text)));
        if let Some(states) = states.get(&run.id) {
            bays(run, states, &mut items);
        }
    }
    items.extend(defects(reading));
    let first = asked::ask_first(reading).into_iter();
    items.extend(first.map(|text| Open::of(Grave::AskFirst, "things to ask first", text)));
    items.extend(originals(reading));
    items.extend(evidence(reading));
    // A stable sort keeps runs and findings in their order within what is as grave.
    items.sort_by_key(|item| item.grave);
    items
}

fn on_wires(
    run: &Run,
    grave: Grave,
    kind: &'static str,
    what: &str,
    wires: &[u32],
) -> Option<Open> {
    let named = words::ranges(wires);
    (!wires.is_empty()).then(|| {
        Open::of(
            grave,
            kind,
            format!("Run {}: {what} on wire {named}", run.name),
        )
        .short(format!("run {}, {what}, wire {named}", run.name))
    })
}

/// Wires below what is asked and over what nothing may exceed.
fn fails(run: &Run, read: &work::Tensions, items: &mut Vec<Open>) {
    let below: Vec<u32> = read
        .lines
        .iter()
        .filter(|l| l.state == work::ReadingState::Below && l.finished().is_some())
        .map(|l| l.wire)
        .collect();
    let what = "below the required tension";
    items.extend(on_wires(
        run,
        Grave::Fails,
        "findings on tension",
        what,
        &below,
    ));
    let sags = read.lines.iter().filter(|l| !l.sags.is_empty());
    let sags: Vec<u32> = sags.map(|l| l.wire).collect();
    let what = "further down under the hung mass than the table lets it";
    items.extend(on_wires(
        run,
        Grave::Fails,
        "findings on tension",
        what,
        &sags,
    ));
    for (is, for_error) in [("", false), ("for what the gauge errs perhaps ", true)] {
        let upper = read.never_above_n.unwrap_or_default();
        let what = format!("{is}over the upper tension of {upper:.0}\u{a0}N");
        let over = read.over_upper(for_error);
        items.extend(on_wires(
            run,
            Grave::Fails,
            "findings on tension",
            &what,
            &over,
        ));
    }
}

/// Ends that do not hold as they should, by what stands of them.
fn ends(reading: &Reading<'_>, run: &Run, items: &mut Vec<Open>) {
    let kind = "findings at wire ends";
    let thin = work::thin_threads(reading.job, run);
    items.extend(thin.iter().map(|end| {
        let at = format!("Run {}, wire {}, {} end", run.name, end.wire, end.post_name);
        Open::of(Grave::Fails, kind, format!("{at}: {}", end.doubt))
            .short(format!("too little thread: {at}"))
    }));
    let rejected: Vec<u32> = work::progress(reading.job, run.id).map_or_else(
        |_| Vec::new(),
        |progress| {
            let rejected = progress.wires.iter();
            let rejected = rejected.filter(|w| w.flags.contains(&Flag::Rejected));
            rejected.map(|w| w.wire).collect()
        },
    );
    let at = work::ends_at_fault(reading.job, run);
    for (what, wires) in [
        ("crimp rejected", &rejected),
        (
            "wire end out of the swage by more than half a diameter",
            &at.far_out,
        ),
        ("lock nut not tight", &at.loose_nut),
        ("engagement mark showing", &at.mark_showing),
        ("mark moved at the swage", &at.mark_moved),
    ] {
        items.extend(on_wires(run, Grave::Fails, kind, what, wires));
    }
}

/// Runs of which readings are still to be taken, for the owner's dates.
pub(super) fn to_read(reading: &Reading<'_>) -> Vec<Fact> {
    let of_run = |run: &Run| {
        let read = reading.found.read(run)?.as_ref().ok()?;
        let mut due = Vec::new();
        unread(reading, run, read, &mut due);
        due.retain(|item| item.kind == TO_READ);
        let name = format!("Run {}, tension", run.name);
        let due_now = "to be read, or read again, before any date below";
        let with = "which wires stands with what is open";
        (!due.is_empty()).then(|| Fact::of(&name, due_now.to_owned()).with(with))
    };
    reading.job.runs.iter().filter_map(of_run).collect()
}

fn unread(reading: &Reading<'_>, run: &Run, read: &work::Tensions, items: &mut Vec<Open>) {
    let kind = TO_READ;
    let unread: Vec<u32> = read
        .lines
        .iter()
        .filter(|l| !l.is_read())
        .map(|l| l.wire)
        .collect();
    let what = "tension read, and by the record not pressed at both ends,";
    let unfitted = work::read_unfitted(run);
    items.extend(on_wires(run, Grave::Unread, kind, what, &unfitted));
    let what = "second end pressed, and by the record not looked at before,";
    let unseen = work::pressed_unseen(reading.job, run);
    items.extend(on_wires(
        run,
        Grave::Unread,
        "looks before a press",
        what,
        &unseen,
    ));
    let what = "no final tension reading";
    items.extend(on_wires(run, Grave::Unread, kind, what, &unread));
    let without = read.gauges_without_error();
    items.extend(without.iter().map(|(gauge, wires)| {
        let named = words::ranges(wires);
        let text = format!(
            "Run {}: {gauge} states no error, so that what it read on wire {named} is at the mark at best: enter the gauge's error",
            run.name
        );
        let short = format!("run {}, {gauge} without its error, wire {named}", run.name);
        Open::of(Grave::Unread, kind, text).short(short)
    }));
    let what =
        "read without a tension gauge, which shows nothing and is to be read again with one,";
    let ungauged = read.without_gauge();
    items.extend(on_wires(run, Grave::Unread, kind, what, &ungauged));
    items.extend(tension::to_read_again(run, read).map(|text| {
        let short = format!("run {}, read before others were turned", run.name);
        Open::of(Grave::Unread, kind, text).short(short)
    }));
    items.extend(tension::read_before_pulls(run, read).map(|text| {
        let short = format!("run {}, read before another run pulled", run.name);
        Open::of(Grave::Unread, kind, text).short(short)
    }));
    items.extend(
        read.unread_bays(|_| true)
            .into_iter()
            .zip(tension::not_read(read, |_| true))
            .map(|((bay, wires), told)| {
                let short = format!(
                    "run {}, bay {bay}, wire {}",
                    run.name,
                    words::ranges(&wires)
                );
                Open::of(Grave::Unread, kind, format!("Run {}: bay {told}", run.name)).short(short)
            }),
    );
}

fn bays(run: &Run, states: &States, items: &mut Vec<Open>) {
    let named = |state: Option<State>| {
        let unanswered = |s: &State| matches!(s, State::None | State::OfferAgain);
        let of = |bay| states.bays.get(bay).copied().filter(|s| !unanswered(s));
        let names: Vec<&str> = run
            .bays
            .iter()
            .filter(|b| of(&b.subject) == state)
            .map(|b| b.name.as_str())
            .collect();
        (!names.is_empty()).then(|| names.join(", "))
    };
    items.extend(named(Some(State::Passes)).map(|names| {
        let text = format!("Run {}: the probe passed in bay {names}", run.name);
        Open::of(Grave::Fails, "bays where the probe passed", text)
            .short(format!("run {}, {names}", run.name))
    }));
    items.extend(named(None).map(|names| {
        let text = format!("Run {}: no gap check that answers in bay {names}", run.name);
        Open::of(Grave::Unread, "runs with bays to offer the probe to", text)
            .short(format!("run {}, {names}", run.name))
    }));
}

fn defects(reading: &Reading<'_>) -> Vec<Open> {
    let open = reading.job.defects.iter();
    open.filter(|d| d.closed.value().is_none())
        .map(|defect| {
            let about = defect
                .about
                .as_ref()
                .map_or_else(String::new, |s| format!("{}: ", reading.name(s)));
            let found = defect.found.value.clone().unwrap_or_default();
            let text = format!("Defect not closed: {about}{found}");
            Open::of(Grave::Defect, "defects not closed", text)
                .short(shortened(&format!("{about}{found}")))
        })
        .collect()
}

fn originals(reading: &Reading<'_>) -> Option<Open> {
    let left = reading.left.count();
    (left > 0).then(|| {
        Open::of(
            Grave::AskFirst,
            "originals missing",
            format!(
                "{} of pictures or documents can't be handed over: missing or damaged on this device; section {DATA} names them, and an exchange with everything looked over may bring them",
                words::count(u64::try_from(left).unwrap_or(u64::MAX), "original", "originals")
            ),
        )
    })
}

/// What is lacking in one line, then what is gone without, one line for each reason.
fn evidence(reading: &Reading<'_>) -> Vec<Open> {
    let Ok(lacks) = &reading.found.lacks else {
        return Vec::new();
    };
    let mut items = Vec::new();
    if lacks.lacking > 0 {
        let lacking = lacks.items.iter();
        let lacking = lacking.filter(|i| i.state == work::EvidenceState::Lacking);
        let mut of: Vec<u32> = lacking.map(|i| i.section).collect();
        of.dedup();
        let many = if of.len() > 1 { "s" } else { "" };
        items.push(Open::of(
            Grave::Lacking,
            "evidence lacking",
            format!(
                "{} lacking; the list stands in section {DATA} (of section{many} {})",
                words::count(
                    lacks.lacking.into(),
                    "piece of evidence is",
                    "pieces of evidence are"
                ),
                words::ranges(&of)
            ),
        ));
    }
    items.extend(waived(&lacks.items));
    items
}

fn waived(items: &[work::Lack]) -> Vec<Open> {
    let mut reasons: Vec<(&str, Vec<&str>)> = Vec::new();
    for item in items {
        let waived = item.state == work::EvidenceState::Waived;
        let Some(reason) = item.waived_because.as_deref().filter(|_| waived) else {
            continue;
        };
        match reasons.iter_mut().find(|(known, _)| *known == reason) {
            Some((_, names)) => names.push(&item.name),
            None => reasons.push((reason, vec![&item.name])),
        }
    }
    reasons
        .into_iter()
        .map(|(reason, names)| {
            let text = format!("Gone without, “{reason}”: {}", names.join("; "));
            let count = u64::try_from(names.len()).unwrap_or(u64::MAX);
            let short = format!(
                "{} “{}”",
                words::count(count, "piece", "pieces"),
                shortened(reason)
            );
            let kind = "Gone without, each told in its section with who said so";
            Open::of(Grave::Waived, kind, text).short(short)
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn open(grave: Grave, kind: &'static str, text: &str) -> Open {
        Open::of(grave, kind, text.to_owned())
    }

    #[test]
    fn like_items_are_told_together_and_single_ones_as_they_are() {
        let mut items = vec![open(Grave::Fails, "findings", "below on wire 3")];
        for n in 1..=14 {
            items.push(open(Grave::Defect, "defects", &format!("defect {n}")));
        }
        let waived = open(
            Grave::Waived,
            "Gone without",
            "Gone without, “far away”: a; b",
        );
        items.push(waived.short("2 pieces “far away”"));
        let levels = folded(&items);
        // What is gone without is folded first, then the defects; what fails stands alone anyway.
        assert_eq!(levels.len(), 2);
        assert_eq!(levels[0].len(), 16);
        assert_eq!(levels[0][15], "Gone without: 2 pieces “far away”");
        let told = &levels[1];
        assert_eq!(told.len(), 3);
        assert_eq!(told[0], "below on wire 3");
        assert!(
            told[1].starts_with("14 defects: defect 1; defect 2;"),
            "{}",
            told[1]
        );
        assert!(told[1].ends_with("defect 12; and 2 more"), "{}", told[1]);
        assert_eq!(told[2], "Gone without: 2 pieces “far away”");
    }
}
