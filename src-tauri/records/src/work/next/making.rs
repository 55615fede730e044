//! Acts up to the fitted wire: layout, measuring, ordering, cutting, pressing, threading. One file past 400 lines,
//! since they stand in the order in which the work goes.

use super::acts::{Seen, act, count};
use super::{NextAct, NextWhat};
use crate::job::{Job, Run, Wire};
use crate::model::fields;
use crate::model::values::Act;
use crate::subject::Subject;
use crate::work::convert::thread_read_at;
use crate::work::cuts::{CutSheet, Issued};
use crate::work::ends_made::pressed;
use crate::work::odd_ticks::read_unfitted;
use crate::work::rules::{copied, decided_by_another};
use crate::work::samples::is_good;
use crate::work::{RefusalCode, TrialStage};

pub(super) fn layout(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    let heights = "tell its wires and their heights";
    let materials = "tell its strand and fitting set";
    let (missing, field) = if run.ends().is_none() {
        ("tell its posts", None)
    } else if run.wires.is_empty() && run.strand.is_none() {
        // The layout that proposes the wires reads the table by it.
        (
            "tell its strand, then lay out its wires",
            Some(fields::RUN_STRAND.name),
        )
    } else if run.wires.is_empty() {
        ("lay out its wires", Some(fields::RUN_WIRE_COUNT.name))
    } else if run.heights.len() != run.wires.len() {
        (heights, Some(fields::RUN_WIRE_HEIGHTS.name))
    } else if run.strand.is_none() {
        (materials, Some(fields::RUN_STRAND.name))
    } else if run.fitting_set.is_none() {
        (materials, Some(fields::RUN_FITTING_SET.name))
    } else {
        return Vec::new();
    };
    let mut one = act(
        NextWhat::FinishLayout,
        "",
        Some(run.id),
        run.subject(),
        format!("Run {}: {missing}", run.name),
    );
    one.field = field.map(str::to_owned);
    vec![one]
}

/// Bottom, middle and top wire are asked for; then whatever still can't be cut from.
pub(super) fn measure(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    let count_of = u32::try_from(run.wires.len()).unwrap_or(0);
    let first_three = [1, count_of.div_ceil(2), count_of];
    let refused = |number: &u32| {
        seen.sheet.lines.iter().any(|l| {
            l.wire == *number
                && l.refused.as_ref().is_some_and(|r| {
                    matches!(
                        r.code,
                        RefusalCode::NotMeasured
                            | RefusalCode::QuoteOnly
                            | RefusalCode::TooEarly
                            | RefusalCode::Disputed
                    )
                })
        })
    };
    let unread = |number: &u32| run.wire(*number).is_some_and(|w| w.lengths.is_empty());
    let mut wires: Vec<u32> = first_three
        .into_iter()
        .filter(|n| *n > 0 && (refused(n) || (unread(n) && count_of > 2)))
        .collect();
    wires.dedup();
    // With three good readings the rest is interpolated; a middle one that was left out is asked
    // for only while nothing between bottom and top was read.
    let between_read = run
        .wires
        .iter()
        .any(|w| w.number > 1 && w.number < count_of && !w.lengths.is_empty());
    if between_read {
        wires.retain(|n| *n == 1 || *n == count_of || refused(n));
    }
    let others: Vec<u32> = (1..=count_of)
        .filter(|n| !wires.contains(n) && refused(n) && !unread(n))
        .collect();
    wires.extend(others);
    wires
        .iter()
        .map(|number| {
            let mut one = act(
                NextWhat::MeasureWire,
                "",
                Some(run.id),
                Subject::Wire(run.id, *number),
                format!("Wire {}{number}: measure inside to inside", run.name),
            );
            one.wires.clone_from(&wires);
            one.left = count(wires.len());
            one
        })
        .collect()
}

pub(super) fn order(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    if seen.run.tensions.value().is_some() {
        return Vec::new();
    }
    let sentence = format!(
        "Run {}: before ordering, decide the tensions",
        seen.run.name
    );
    vec![ordering(seen.run, "", sentence)]
}

/// Tensions that were decided by another rule set than the one that stands. Skipped once, it comes back with the next
/// set that is chosen.
pub(super) fn decide_again(job: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let rules = copied(job).map_or_else(String::new, |copy| copy.sha256.short());
    let again = decided_by_another(job, seen.run).into_iter();
    again
        .map(|sentence| ordering(seen.run, &format!("/{rules}"), sentence))
        .collect()
}

fn ordering(run: &Run, key: &str, sentence: String) -> NextAct {
    let what = NextWhat::BeforeOrdering;
    act(what, key, Some(run.id), run.subject(), sentence)
}

/// The trial wire alone: the others wait for what it teaches.
pub(super) fn issue_trial(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let trial = |wire: &u32| *wire == seen.run.trial_wire;
    let wires = to_issue(&seen.sheet).into_iter().filter(trial).collect();
    whole_run(seen.run, NextWhat::IssueCuts, "release for cutting", wires)
}

/// The thread that the trial wire left, while there are cuts left to learn for; that of one more that
/// was fitted where it is worth its cost.
pub(super) fn read_trial(job: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    if to_issue(&seen.sheet).is_empty() {
        return Vec::new();
    }
    let fitted = run.wire(run.trial_wire).is_some_and(Wire::is_fitted);
    let another = seen.another.as_ref();
    let another = another.filter(|another| another.stage == TrialStage::Read);
    let (which, wire) = match another {
        Some(another) => ("One more trial wire", another.wire),
        None if fitted && seen.sheet.taught.is_none() => ("Trial wire", run.trial_wire),
        None => return Vec::new(),
    };
    vec![act(
        NextWhat::ReadTrial,
        "",
        Some(run.id),
        Subject::Wire(run.id, wire),
        format!(
            "{which} {}{wire}: bring it to its tension, read the thread left {}",
            run.name,
            thread_read_at(job, run)
        ),
    )]
}

/// One more trial wire alone, where it is worth its cost: the others wait for what it teaches.
pub(super) fn issue_another(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let another = seen.another.as_ref();
    let Some(another) = another.filter(|another| another.stage == TrialStage::Release) else {
        return Vec::new();
    };
    let run = seen.run;
    let mut one = act(
        NextWhat::IssueCuts,
        &format!("/trial/{}", another.wire),
        Some(run.id),
        run.subject(),
        format!(
            "Wire {}: release for cutting, as one more trial wire",
            another.name
        ),
    );
    one.wires = vec![another.wire];
    vec![one]
}

pub(super) fn issue(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let words = "release for cutting";
    whole_run(seen.run, NextWhat::IssueCuts, words, to_issue(&seen.sheet))
}

pub(super) fn to_issue(sheet: &CutSheet) -> Vec<u32> {
    let lines = sheet.lines.iter();
    lines
        .filter(|l| l.refused.is_none() && l.issued.is_none() && l.cut_done_mm.is_none())
        .map(|l| l.wire)
        .collect()
}

/// The trial wire is the first that is cut.
pub(super) fn trial(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    cut_lines(seen, |wire| wire.number == seen.run.trial_wire)
}

pub(super) fn cut(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    cut_lines(seen, |_| true)
}

fn cut_lines(seen: &Seen<'_>, which: impl Fn(&Wire) -> bool) -> Vec<NextAct> {
    let run = seen.run;
    let open: Vec<(&Wire, &Issued)> = run
        .wires
        .iter()
        .filter(|w| which(w) && !w.is_cut())
        .filter_map(|w| {
            let line = seen.sheet.lines.iter().find(|l| l.wire == w.number)?;
            Some((w, line.issued.as_ref()?))
        })
        .collect();
    // Before any is cut: what moved one may move the others.
    let (looked_at, open): (Vec<_>, Vec<_>) = open
        .into_iter()
        .partition(|(_, issued)| issued.moved.is_some());
    let numbers: Vec<u32> = looked_at.iter().map(|(w, _)| w.number).collect();
    let mut found: Vec<NextAct> = looked_at
        .iter()
        .map(|(wire, issued)| look(run, wire, issued, &numbers))
        .collect();
    let wires: Vec<u32> = open.iter().map(|(w, _)| w.number).collect();
    found.extend(open.iter().map(|(wire, issued)| {
        let trial = if wire.number == run.trial_wire {
            "trial wire"
        } else {
            "wire"
        };
        let mut one = act(
            NextWhat::CutWire,
            &format!("/{}", wire.piece_number),
            Some(run.id),
            Subject::Wire(run.id, wire.number),
            format!("Cut {trial} {}", piece_in_place(run, wire)),
        );
        one.figure = Some(format!("{:.0} mm", issued.cut_mm));
        one.left = count(wires.len());
        one.wires.clone_from(&wires);
        one
    }));
    found
}

/// "A12", "A12 (piece 2)".
fn piece_in_place(run: &Run, wire: &Wire) -> String {
    match wire.piece_number {
        1 => format!("{}{}", run.name, wire.number),
        piece => format!("{}{} (piece {piece})", run.name, wire.number),
    }
}

/// A release that the sheet tells otherwise now leads there, and to no shears.
fn look(run: &Run, wire: &Wire, issued: &Issued, wires: &[u32]) -> NextAct {
    let mut one = act(
        NextWhat::IssueCuts,
        &format!("/look/{}", issued.entry.short()),
        Some(run.id),
        Subject::Wire(run.id, wire.number),
        format!(
            "Look at the release of wire {} before it is cut: something moved since",
            piece_in_place(run, wire)
        ),
    );
    one.left = count(wires.len());
    one.wires = wires.to_vec();
    one
}

pub(super) fn sample(job: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let pressed = |w: &Wire| w.has(Act::LeftEndPressed) || w.has(Act::RightEndPressed);
    let good = job
        .sample_crimps
        .iter()
        .any(|s| s.value().is_some_and(|s| is_good(job, s)));
    if good || !seen.run.wires.iter().any(Wire::is_cut) || seen.run.wires.iter().all(pressed) {
        return Vec::new();
    }
    vec![act(
        NextWhat::SampleCrimp,
        "",
        None,
        Subject::Job(job.id),
        "Press a sample of each hand and pull it".into(),
    )]
}

pub(super) fn remake(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    run.wires
        .iter()
        .filter(|w| seen.is_rejected(w))
        .map(|w| {
            act(
                NextWhat::Remake,
                &format!("/{}", w.piece_number),
                Some(run.id),
                Subject::Wire(run.id, w.number),
                format!(
                    "Wire {}{}: an end is rejected, remake it",
                    run.name, w.number
                ),
            )
        })
        .collect()
}

/// How far the strand goes in is marked before an end is pressed, and can't be seen once both are.
pub(super) fn mark_insertion(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let words = "mark how far the strand goes in";
    ticks(seen, NextWhat::MarkInsertion, words, |w| {
        let marked = w.has(Act::InsertionMarked) || w.has(Act::MarksMade);
        w.is_cut() && !marked && !pressed(seen.run, w)
    })
}

pub(super) fn press_first(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    ticks(seen, NextWhat::PressFirstEnd, "press the first ends", |w| {
        w.is_cut() && !w.has(Act::LeftEndPressed)
    })
}

pub(super) fn thread(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    ticks(seen, NextWhat::Thread, "thread through all posts", |w| {
        w.has(Act::LeftEndPressed) && !w.has(Act::Threaded)
    })
}

pub(super) fn press_second(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let words = "sleeves on, nut on, right hand? Press the second ends";
    ticks(seen, NextWhat::PressSecondEnd, words, |w| {
        w.has(Act::Threaded) && !w.has(Act::RightEndPressed)
    })
}

pub(super) fn fit(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    ticks(seen, NextWhat::Fit, "screw the ends in", |w| {
        w.has(Act::RightEndPressed) && !w.has(Act::Fitted)
    })
}

/// Wires that were read and of which nobody ticked that their ends are made.
pub(super) fn tick_read(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let rejected = |n: &u32| seen.run.wire(*n).is_some_and(|w| seen.is_rejected(w));
    let mut wires = read_unfitted(seen.run);
    wires.retain(|n| !rejected(n));
    let words = "read, and not ticked as fitted: tick what is done";
    whole_run(seen.run, NextWhat::Fit, words, wires)
}

fn ticks(
    seen: &Seen<'_>,
    what: NextWhat,
    words: &str,
    open: impl Fn(&Wire) -> bool,
) -> Vec<NextAct> {
    // Readings tell more than a tick that somebody forgot.
    let read = |w: &Wire| w.tensions_now().next().is_some();
    let wires: Vec<u32> = seen
        .run
        .wires
        .iter()
        .filter(|w| !w.is_fitted() && !seen.is_rejected(w) && !read(w) && open(w))
        .map(|w| w.number)
        .collect();
    whole_run(seen.run, what, words, wires)
}

fn whole_run(run: &Run, what: NextWhat, words: &str, mut wires: Vec<u32>) -> Vec<NextAct> {
    wires.sort_unstable();
    let (Some(first), Some(last)) = (wires.first(), wires.last()) else {
        return Vec::new();
    };
    let which = if first == last {
        format!("wire {}{first}", run.name)
    } else {
        format!("{} wires of run {}", wires.len(), run.name)
    };
    let mut one = act(
        what,
        "",
        Some(run.id),
        run.subject(),
        format!("{}: {words}", sentence_case(&which)),
    );
    one.left = count(wires.len());
    one.wires = wires;
    vec![one]
}

fn sentence_case(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
