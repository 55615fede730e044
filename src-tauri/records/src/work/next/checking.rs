//! Acts on fitted wires and after: passes, readings, gaps, defects, evidence, recheck. One file past 400 lines,
//! since what is read of a wire is held against all of them in one order.

use mechanics::tensioning::pass_order;
use mechanics::{Newtons, tension};

use super::acts::{Seen, act, count, put_right};
use super::{NextAct, NextWhat};
use crate::job::{Job, Wire, shortened};
use crate::model::values::Stage;
use crate::subject::Subject;
use crate::work::lacks::{EvidenceState, lacks};
use crate::work::odd_ends::thin_threads;
use crate::work::progress::BayGaps;
use crate::work::readings::{Reading, ReadingState, TensionLine};
use crate::work::{BandState, RecheckLine, WorkError, recheck};

/// Wires of a run that are fitted, with their readings.
fn fitted<'a>(seen: &'a Seen<'_>) -> impl Iterator<Item = (&'a Wire, &'a TensionLine)> {
    seen.run
        .wires
        .iter()
        .zip(&seen.readings.lines)
        .filter(|(w, l)| (w.is_fitted() || l.governing.is_some()) && !seen.is_rejected(w))
}

/// Whether a wire sags at its set tension: one that was let out since comes up by its passes first.
fn sags_at_set(line: &TensionLine) -> bool {
    line.sagging().any(|check| !check.let_out)
}

pub(super) fn passes(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let steps = &seen.readings.passes_n;
    let on_the_way = steps.len().saturating_sub(1);
    let run = seen.run;
    for (number, newtons) in (1_u32..).zip(steps.iter().take(on_the_way)) {
        let wires = fitted(seen)
            .filter(|(_, l)| !l.is_read() && !sags_at_set(l))
            .filter(|(_, l)| {
                let by_gauge = l.last_pass.as_ref().map(|p| p.pass.unwrap_or(0));
                by_gauge.max(l.hung_pass()).is_none_or(|pass| pass < number)
            })
            .map(|(w, _)| w.number)
            .collect();
        let wires = in_pass_order(seen, number, wires);
        if !wires.is_empty() {
            return wires
                .iter()
                .map(|wire| {
                    let mut one = act(
                        NextWhat::TensionPass,
                        &format!("/{number}"),
                        Some(run.id),
                        Subject::Wire(run.id, *wire),
                        format!("Pass {number}, wire {}{wire}: tension to", run.name),
                    );
                    one.figure = Some(format!("{newtons:.0} N"));
                    one.left = count(wires.len());
                    one.wires.clone_from(&wires);
                    one
                })
                .collect();
        }
    }
    Vec::new()
}

pub(super) fn finals(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let wires = fitted(seen)
        .filter(|(_, l)| !l.is_read() && !sags_at_set(l))
        .map(|(w, _)| w.number)
        .collect();
    let wires = in_pass_order(seen, after_passes(seen), wires);
    let run = &seen.run.name;
    let figure = seen.readings.set_n.map(|n| format!("{n:.0} N"));
    let what = (NextWhat::TensionFinal, |_| String::new());
    each_wire(seen, what, wires, figure, |wire| {
        format!("Wire {run}{wire}: tension to")
    })
}

/// Wires in the order in which the plan goes over them in a pass.
fn in_pass_order(seen: &Seen<'_>, pass: u32, wires: Vec<u32>) -> Vec<u32> {
    let all = &seen.run.wires;
    let order = pass_order(all.len(), pass.saturating_sub(1) as usize);
    let numbers = order.into_iter().filter_map(|place| all.get(place));
    let numbers = numbers.map(|wire| wire.number);
    numbers.filter(|number| wires.contains(number)).collect()
}

/// The number of the round that follows the passes.
fn after_passes(seen: &Seen<'_>) -> u32 {
    u32::try_from(seen.readings.passes_n.len() + 1).unwrap_or(u32::MAX)
}

/// One act for each of some wires of a run, each with all of them. `suffix`: what tells the act of a wire from others of
/// its kind, so that one which is skipped hides no other.
fn each_wire(
    seen: &Seen<'_>,
    (what, suffix): (NextWhat, impl Fn(u32) -> String),
    wires: Vec<u32>,
    figure: Option<String>,
    sentence: impl Fn(u32) -> String,
) -> Vec<NextAct> {
    let run = seen.run.id;
    let of = |wire: &u32| NextAct {
        figure: figure.clone(),
        left: count(wires.len()),
        wires: wires.clone(),
        ..act(
            what,
            &suffix(*wire),
            Some(run),
            Subject::Wire(run, *wire),
            sentence(*wire),
        )
    };
    wires.iter().map(of).collect()
}

/// Ends that hold by too little thread: put right before anything else is read of the wire.
pub(super) fn engage(job: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    let thin = thin_threads(job, run);
    let left = count(thin.len());
    thin.into_iter()
        .filter(|end| !run.wire(end.wire).is_some_and(|w| seen.is_rejected(w)))
        .map(|end| {
            let mut one = act(
                NextWhat::Engage,
                &format!("/{}", end.post),
                Some(run.id),
                Subject::Wire(run.id, end.wire),
                format!(
                    "Wire {}{}, {} end: {}. Put it right, or make the wire anew, and read it again",
                    run.name, end.wire, end.post_name, end.doubt
                ),
            );
            one.left = left;
            one
        })
        .collect()
}

/// Wires over what nothing may exceed: before anything else is tensioned.
pub(super) fn let_out(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    let upper = seen.readings.never_above_n.unwrap_or_default();
    let lines = seen.readings.lines.iter();
    lines
        .filter_map(|line| Some((line, line.over()?)))
        .map(|(line, over)| {
            if line.read_there {
                return over_there(seen, line, over, upper);
            }
            // On the way up the room tells how far, with its turns.
            let set = seen.readings.set_n.filter(|_| over.stage != Stage::Pass);
            let how = match set {
                Some(_) => ", read it there again, and bring it to",
                None => " and read it there again.",
            };
            let mut one = act(
                NextWhat::LetOut,
                &format!("/{}", over.entry.short()),
                Some(run.id),
                line.subject,
                format!(
                    "Stop. Wire {} {}. Let it out{how}",
                    line.name,
                    over.told_over(upper)
                ),
            );
            one.figure = set.map(|n| format!("{n:.0} N"));
            one.bay = over.bay;
            one
        })
        .collect()
}

/// Wires that a reading shows below, and those that a hung mass does.
pub(super) fn raise(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let mut found = below(seen);
    let shown: Vec<Subject> = found.iter().map(|one| one.subject).collect();
    found.extend(sagging(seen).filter(|one| !shown.contains(&one.subject)));
    found
}

/// All others that the list of a recheck names; those over the upper tension are let out before.
pub(super) fn found_again(job: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let mut lines = seen.readings.lines.iter();
    if !lines.any(|line| line.last_recheck.is_some()) {
        return Vec::new();
    }
    let again = match recheck(job, seen.run.id) {
        Ok(again) => again,
        Err(why) => return vec![put_right(seen.run, &why)],
    };
    let raised: Vec<Subject> = raise(job, seen).iter().map(|one| one.subject).collect();
    let lines = again.lines.iter().filter(|told| {
        let over = told.over_n.is_some();
        again.to_turn.contains(&told.wire) && !over
    });
    lines
        .filter_map(|told| {
            let line = seen.readings.lines.iter().find(|l| l.wire == told.wire)?;
            let read = line.last_recheck.as_ref()?;
            let new = !raised.contains(&line.subject);
            new.then(|| found_in(seen, told, line, read)).flatten()
        })
        .collect()
}

fn found_in(
    seen: &Seen<'_>,
    told: &RecheckLine,
    line: &TensionLine,
    read: &Reading,
) -> Option<NextAct> {
    let (run, name) = (seen.run.id, &line.name);
    if line.read_there {
        return Some(there_too(seen, line, line.finished().unwrap_or(read)));
    }
    let key = format!("/{}", read.entry.short());
    if told.band == BandState::Above {
        let sentence = told.sentence.as_ref()?.trim_end_matches('.');
        let sentence = format!("Wire {sentence}");
        let what = NextWhat::Recheck;
        return Some(act(what, &key, Some(run), line.subject, sentence));
    }
    // As it was read: rounded it might reach what is required.
    let sentence = match (line.state, told.there_n.zip(told.bay.as_ref())) {
        (ReadingState::AtTheMark, _) => format!(
            "Wire {name} is at the mark: {} N in {}. Raise it to",
            read.newtons?, read.bay_name
        ),
        (_, None) => format!(
            "Wire {name} shows less than was expected: {} N in {}. Raise it to",
            read.newtons?, read.bay_name
        ),
        (_, Some((there, bay))) => {
            format!("Wire {name} lost more than expected: {there} N in {bay}. Raise it to")
        }
    };
    let mut one = act(NextWhat::Raise, &key, Some(run), line.subject, sentence);
    one.figure = seen.readings.set_n.map(|n| format!("{n:.0} N"));
    one.stage = Some(round_of(line.finished().unwrap_or(read)));
    one.bay = read.bay;
    Some(one)
}

/// One that may have been let out since, but was not read again where it was over: nothing is turned before that.
fn over_there(seen: &Seen<'_>, line: &TensionLine, over: &Reading, upper: f64) -> NextAct {
    let sentence = format!(
        "Stop. Read wire {} again in {} before anything is turned: it showed {} N there, {} the upper tension of \
         {upper:.0}\u{a0}N.",
        line.name,
        over.bay_name,
        over.newtons.unwrap_or_default(),
        // For what the gauge errs.
        if over.may_carry_n.is_some() {
            "too near"
        } else {
            "over"
        },
    );
    let key = format!("/{}", over.entry.short());
    let run = Some(seen.run.id);
    let mut one = act(NextWhat::LetOut, &key, run, line.subject, sentence);
    one.bay = over.bay;
    one
}

/// The bay whose reading is older than the wire's last turning: to be read, and nothing is turned before.
fn there_too(seen: &Seen<'_>, line: &TensionLine, read: &Reading) -> NextAct {
    let stage = round_of(read);
    let what = match stage {
        Stage::Recheck => NextWhat::Recheck,
        Stage::Pass | Stage::Final => NextWhat::TensionFinal,
    };
    let sentence = format!(
        "Read wire {} in {} too: elsewhere it shows more since it showed {} N there",
        line.name,
        read.bay_name,
        read.newtons.unwrap_or_default(),
    );
    let key = format!("/there/{}", read.entry.short());
    let mut one = act(what, &key, Some(seen.run.id), line.subject, sentence);
    one.stage = Some(stage);
    one.bay = read.bay;
    one
}

/// The round in which a wire is read again: a recheck goes on standing until its bay is read in a recheck again.
const fn round_of(read: &Reading) -> Stage {
    match read.stage {
        Stage::Recheck => Stage::Recheck,
        Stage::Pass | Stage::Final => Stage::Final,
    }
}

fn sagging<'s>(seen: &'s Seen<'_>) -> impl Iterator<Item = NextAct> + 's {
    let lines = seen.readings.lines.iter();
    let of_lines = lines.flat_map(|line| {
        let over = line.sagging();
        over.filter(|check| !check.let_out || line.is_read())
            .map(move |check| (line, check))
    });
    of_lines.map(|(line, check)| {
        let mut one = act(
            NextWhat::Raise,
            &format!("/{}", check.entry.short()),
            Some(seen.run.id),
            line.subject,
            format!(
                "Wire {} {}: hang it there again, and bring it to",
                line.name,
                check.goes_down()
            ),
        );
        one.figure = seen.readings.set_n.map(|n| format!("{n:.0} N"));
        one.stage = Some(check.stage);
        one.bay = Some(check.bay);
        one
    })
}

fn below(seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    // Tensions that were decided before more was asked for bring no wire to what it has to show.
    let needs = seen.readings.must_show_n.unwrap_or_default();
    let set = seen.readings.set_n.filter(|set| *set >= needs);
    let raise = match set {
        Some(_) => "Raise it to".to_owned(),
        None => format!(
            "It has to show {needs:.0}\u{a0}N: decide the tensions of run {} again.",
            run.name
        ),
    };
    seen.readings
        .lines
        .iter()
        .filter(|l| l.state == ReadingState::Below)
        .filter_map(|l| Some((l, l.finished()?)))
        .filter_map(|(l, governing)| Some((l, governing, governing.newtons?)))
        .map(|(line, governing, newtons)| {
            if line.read_there {
                return there_too(seen, line, governing);
            }
            let mut one = act(
                NextWhat::Raise,
                &format!("/{}", governing.entry.short()),
                Some(run.id),
                line.subject,
                format!(
                    "Wire {} is below: {} N in {}. {raise}",
                    line.name,
                    // As it was read: rounded it might reach what is required.
                    newtons,
                    governing.bay_name
                ),
            );
            one.figure = set.map(|n| format!("{n:.0} N"));
            one.stage = Some(round_of(governing));
            one.bay = governing.bay;
            one
        })
        .collect()
}

pub(super) fn gap_checks(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    if !seen.readings.lines.iter().any(TensionLine::is_read) {
        return Vec::new();
    }
    let open: Vec<_> = run
        .bays
        .iter()
        .zip(seen.gaps.iter().copied())
        .filter(|(_, g)| *g != BayGaps::AllStop)
        .collect();
    let left = count(open.len());
    open.into_iter()
        .map(|(bay, state)| {
            let words = match state {
                BayGaps::Fails => "the probe passes, put it right and offer it again",
                BayGaps::Again => "offer the probe to every gap again",
                _ => "offer the probe to every gap",
            };
            let mut one = act(
                NextWhat::CheckGaps,
                &format!("/{}", run.id),
                Some(run.id),
                bay.subject,
                format!("Bay {}: {words}", bay.name),
            );
            one.left = left;
            one
        })
        .collect()
}

pub(super) fn defects(job: &Job<'_>) -> Vec<NextAct> {
    let open: Vec<_> = job
        .defects
        .iter()
        .filter(|d| d.closed.value().is_none())
        .collect();
    let left = count(open.len());
    open.into_iter()
        .map(|defect| {
            let subject = Subject::Item(crate::subject::ItemKind::Defect, defect.id);
            let about = defect.about.unwrap_or(subject);
            let mut one = act(
                NextWhat::CloseDefect,
                &format!("/{}", defect.id),
                None,
                about,
                format!(
                    "Put right: {}",
                    shortened(&defect.found.value.clone().unwrap_or_default())
                ),
            );
            one.left = left;
            one
        })
        .collect()
}

pub(super) fn evidence(job: &Job<'_>) -> Result<Vec<NextAct>, WorkError> {
    let all = lacks(job)?;
    let open: Vec<_> = all
        .items
        .iter()
        .filter(|l| l.state == EvidenceState::Lacking && l.asks_for_picture)
        .collect();
    let left = count(open.len());
    Ok(open
        .into_iter()
        .map(|lack| {
            let mut one = act(
                NextWhat::Evidence,
                &format!("/{}", lack.key),
                None,
                lack.subject,
                format!("Picture: {}", lack.name),
            );
            one.left = left;
            one
        })
        .collect())
}

/// Wires that were read before others were turned or brought up, of their run or of another one on its posts:
/// what they show now nobody knows, though it may be computed.
pub(super) fn read_again(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = &seen.run.name;
    let mut found = Vec::new();
    if let Some((wires, turned)) = seen.readings.read_before_turns() {
        let turned = match turned.as_slice() {
            [one] => format!("wire {one} was turned, or found lower"),
            many => format!("{} other wires were turned, or found lower", many.len()),
        };
        let wires = in_pass_order(seen, after_passes(seen), wires);
        found.extend(again(seen, wires, "", |wire| {
            let line = seen.readings.lines.iter().find(|line| line.wire == wire);
            moved(seen, line).unwrap_or_else(|| {
                format!("Read wire {run}{wire} again: it was read before {turned}")
            })
        }));
    }
    for act in &mut found {
        let fell = seen
            .readings
            .lines
            .iter()
            .any(|l| l.subject == act.subject && fell(seen, l));
        let set = seen.readings.set_n.filter(|_| fell);
        act.figure = set.map(|n| format!("{n:.0} N"));
    }
    let named: Vec<u32> = found.iter().flat_map(|act| act.wires.clone()).collect();
    for (after, mut wires) in seen.readings.read_before_pulls(true) {
        wires.retain(|wire| !named.contains(wire));
        let (other, post) = (&after.run_name, &after.post);
        found.extend(again(seen, wires, "", |wire| {
            format!(
                "Read wire {run}{wire} again: it was read before run {other} pulled on post {post}"
            )
        }));
    }
    found
}

/// Bays that every wire is read in and that were not: before the probe is offered, in the round in which the wires
/// were read last.
pub(super) fn other_bays(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = &seen.run.name;
    let unread = seen.readings.unread_bays(|_| true).into_iter();
    unread
        .flat_map(|(name, wires)| {
            let bay = seen.run.bays.iter().find(|bay| bay.name == name);
            let bay = bay.map(|bay| bay.subject);
            let of = bay.map_or(String::new(), |bay| format!("/{bay}"));
            let mut found = again(seen, wires, &of, |wire| {
                format!("Read wire {run}{wire} in {name} too")
            });
            for act in &mut found {
                act.bay = bay;
            }
            found
        })
        .collect()
}

/// Of a wire that others brought away from what it showed, with what it is computed to come to.
fn moved(seen: &Seen<'_>, line: Option<&TensionLine>) -> Option<String> {
    let line = line?;
    let stands = line.stands_n?;
    let above = seen.readings.never_above_n.filter(|upper| stands > *upper);
    let what = match above {
        Some(upper) => {
            format!(", above the upper tension of {upper:.0}\u{a0}N. Read it, and let it out first")
        }
        None if fell(seen, line) => ". Bring it to".to_owned(),
        None => String::new(),
    };
    Some(format!(
        "Read wire {} again: about {}, computed, since others were turned{what}",
        line.name,
        as_gauged(seen, stands, above),
    ))
}

/// A computed tension as the gauge can tell it, as the plan shows it too; up where that would hide that it is above
/// what nothing may exceed.
fn as_gauged(seen: &Seen<'_>, newtons: f64, above: Option<f64>) -> Newtons {
    let error = seen.readings.gauge.as_ref().and_then(|gauge| gauge.error);
    let error = error.unwrap_or_default();
    let stands = Newtons(newtons);
    let shown = match above {
        Some(upper) => tension::shown_above(stands, Newtons(upper), error),
        None => tension::shown(stands, error),
    };
    shown.unwrap_or_else(|_| Newtons(newtons.round()))
}

/// Whether others took so much from a wire that it stands below its set tension, before anybody looked at it again:
/// a recheck raises only what its list names.
fn fell(seen: &Seen<'_>, line: &TensionLine) -> bool {
    let stands = line.stands_n.zip(seen.readings.set_n);
    line.looked_ms.is_none() && stands.is_some_and(|(stands, set)| stands < set)
}

/// In the round in which the wires were read last: one that nobody looked at again stays in its final one.
/// `of`: where it is read.
fn again(
    seen: &Seen<'_>,
    wires: Vec<u32>,
    of: &str,
    sentence: impl Fn(u32) -> String,
) -> Vec<NextAct> {
    let line = |wire: u32| seen.readings.lines.iter().find(|line| line.wire == wire);
    let looked = |wire: &u32| line(*wire).is_some_and(|line| line.looked_ms.is_some());
    // Of the reading that is not known to stand any more: the next one is asked about anew.
    let suffix = |wire: u32| {
        let read = line(wire).and_then(TensionLine::finished);
        let read = read.map_or(String::new(), |read| format!("/{}", read.entry.short()));
        format!("/again{read}{of}")
    };
    let (looked, first): (Vec<u32>, Vec<u32>) = wires.into_iter().partition(looked);
    let of = |what, wires| each_wire(seen, (what, suffix), wires, None, &sentence);
    let mut found = of(NextWhat::TensionFinal, first);
    found.extend(of(NextWhat::Recheck, looked));
    found
}

pub(super) fn rechecks(seen: &Seen<'_>) -> Vec<NextAct> {
    let wires = seen
        .readings
        .lines
        .iter()
        .filter(|l| l.is_read() && !l.rechecked)
        .map(|l| l.wire)
        .collect();
    let run = &seen.run.name;
    let clear = seen.readings.clear_from_n;
    let figure = clear.map(|n| format!("clear from {n:.0} N"));
    let what = (NextWhat::Recheck, |_| String::new());
    each_wire(seen, what, wires, figure, |wire| {
        format!("Recheck wire {run}{wire}, one to two weeks after")
    })
}
