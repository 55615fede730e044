//! The acts in their order, each with what is still to do in it.

use super::{NextAct, NextWhat};
use crate::ids::ItemId;
use crate::job::{Job, Run, Wire};
use crate::model::values::{self, Act};
use crate::subject::Subject;
use crate::work::cuts::{CutSheet, RefusalCode, cut_sheet};
use crate::work::disputes::disputes;
use crate::work::lacks::{EvidenceState, lacks};
use crate::work::progress::{BayGaps, gaps, is_cut, is_fitted, is_rejected};
use crate::work::readings::{ReadingState, TensionLine, Tensions, tensions};
use crate::work::{WorkError, rules, words};

/// What is worked out once for a run.
struct Seen<'a> {
    run: &'a Run,
    sheet: CutSheet,
    readings: Tensions,
}

/// The first act in order for which `wanted` says yes.
pub(super) fn first(
    job: &Job<'_>,
    wanted: impl Fn(&NextAct) -> bool,
) -> Result<Option<NextAct>, WorkError> {
    if let Some(act) = before_runs(job).into_iter().find(|a| wanted(a)) {
        return Ok(Some(act));
    }
    let mut seen = Vec::with_capacity(job.runs.len());
    for run in &job.runs {
        seen.push(Seen {
            run,
            sheet: cut_sheet(job, run.id)?,
            readings: tensions(job, run.id)?,
        });
    }
    type Step = fn(&Job<'_>, &Seen<'_>) -> Vec<NextAct>;
    let steps: &[Step] = &[
        layout,
        measure,
        order,
        issue,
        trial,
        cut,
        sample,
        remake,
        press_first,
        thread,
        press_second,
        fit,
        passes,
        finals,
        raise,
        gap_checks,
    ];
    for step in steps {
        let found = seen.iter().flat_map(|s| step(job, s)).find(|a| wanted(a));
        if found.is_some() {
            return Ok(found);
        }
    }
    if let Some(act) = defects(job).into_iter().find(|a| wanted(a)) {
        return Ok(Some(act));
    }
    let evidence = evidence(job)?;
    if let Some(act) = evidence.into_iter().find(|a| wanted(a)) {
        return Ok(Some(act));
    }
    let recheck = seen.iter().flat_map(rechecks).find(|a| wanted(a));
    if recheck.is_some() {
        return Ok(recheck);
    }
    let handed = job
        .sign_offs
        .iter()
        .any(|(stage, fact)| stage == "handover" && fact.value().is_some());
    let act = act(
        NextWhat::HandOver,
        "",
        None,
        Subject::Job(job.id),
        "Hand over".into(),
    );
    Ok((!handed && wanted(&act)).then_some(act))
}

fn act(
    what: NextWhat,
    suffix: &str,
    run: Option<ItemId>,
    subject: Subject,
    sentence: String,
) -> NextAct {
    let word = serde_json::to_value(what)
        .ok()
        .and_then(|v| v.as_str().map(str::to_owned))
        .unwrap_or_default();
    NextAct {
        what,
        key: format!("{word}/{subject}{suffix}"),
        run,
        subject,
        sentence,
        figure: None,
        wires: Vec::new(),
        left: 1,
    }
}

fn before_runs(job: &Job<'_>) -> Vec<NextAct> {
    let subject = Subject::Job(job.id);
    let mut found = Vec::new();
    let disputes: Vec<_> = disputes(job)
        .into_iter()
        .filter(|d| !d.newer && d.in_layout)
        .collect();
    let left = count(disputes.len());
    for dispute in disputes {
        let about = dispute.subject.parse().unwrap_or(subject);
        let mut one = act(
            NextWhat::Settle,
            &format!("/{}/{}", dispute.field, dispute.place),
            None,
            about,
            format!("Settle {}, {}", dispute.subject_name, dispute.field_name),
        );
        one.left = left;
        found.push(one);
    }
    if rules::copied(job).is_none() {
        found.push(act(
            NextWhat::ChooseRuleSet,
            "",
            None,
            subject,
            "Choose the rules in force on the permit's date".into(),
        ));
    }
    if job.runs.is_empty() {
        found.push(act(
            NextWhat::AddRun,
            "",
            None,
            subject,
            "Draw the first run".into(),
        ));
    }
    found
}

fn layout(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    let missing = if run.ends().is_none() {
        "its posts"
    } else if run.wires.is_empty() || run.heights.len() != run.wires.len() {
        "its wires and their heights"
    } else if run.strand.is_none() || run.fitting_set.is_none() {
        "its strand and fitting set"
    } else {
        return Vec::new();
    };
    vec![act(
        NextWhat::FinishLayout,
        "",
        Some(run.id),
        run.subject(),
        format!("Run {}: tell {missing}", run.name),
    )]
}

/// Bottom, middle and top wire are asked for; then whatever still can't be cut from.
fn measure(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
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

fn order(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    if seen.run.tensions.value().is_some() {
        return Vec::new();
    }
    vec![act(
        NextWhat::BeforeOrdering,
        "",
        Some(seen.run.id),
        seen.run.subject(),
        format!(
            "Run {}: before ordering, decide the tensions",
            seen.run.name
        ),
    )]
}

fn issue(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let wires: Vec<u32> = seen
        .sheet
        .lines
        .iter()
        .filter(|l| l.refused.is_none() && l.issued.is_none() && l.cut_done_mm.is_none())
        .map(|l| l.wire)
        .collect();
    whole_run(seen.run, NextWhat::IssueCuts, "release for cutting", wires)
}

/// The trial wire is the first that is cut.
fn trial(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    cut_lines(seen, |wire| wire.number == seen.run.trial_wire)
}

fn cut(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    cut_lines(seen, |_| true)
}

fn cut_lines(seen: &Seen<'_>, which: impl Fn(&Wire) -> bool) -> Vec<NextAct> {
    let run = seen.run;
    let open: Vec<(&Wire, f64)> = run
        .wires
        .iter()
        .filter(|w| which(w) && !is_cut(w))
        .filter_map(|w| {
            let line = seen.sheet.lines.iter().find(|l| l.wire == w.number)?;
            Some((w, line.issued.as_ref()?.cut_mm))
        })
        .collect();
    let wires: Vec<u32> = open.iter().map(|(w, _)| w.number).collect();
    open.iter()
        .map(|(wire, length)| {
            let trial = if wire.number == run.trial_wire {
                "trial wire"
            } else {
                "wire"
            };
            let piece = if wire.piece_number > 1 {
                format!(" (piece {})", wire.piece_number)
            } else {
                String::new()
            };
            let mut one = act(
                NextWhat::CutWire,
                &format!("/{}", wire.piece_number),
                Some(run.id),
                Subject::Wire(run.id, wire.number),
                format!("Cut {trial} {}{}{piece}", run.name, wire.number),
            );
            one.figure = Some(format!("{length:.0} mm"));
            one.left = count(wires.len());
            one.wires.clone_from(&wires);
            one
        })
        .collect()
}

fn sample(job: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let pressed = |w: &Wire| w.has(Act::LeftEndPressed) || w.has(Act::RightEndPressed);
    let good = job.sample_crimps.iter().any(|s| {
        s.value()
            .is_some_and(|s| s.result == values::CrimpResult::Good)
    });
    if good || !seen.run.wires.iter().any(is_cut) || seen.run.wires.iter().all(pressed) {
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

fn remake(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    run.wires
        .iter()
        .filter(|w| is_rejected(w))
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

fn press_first(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    ticks(seen, NextWhat::PressFirstEnd, "press the first ends", |w| {
        is_cut(w) && !w.has(Act::LeftEndPressed)
    })
}

fn thread(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    ticks(seen, NextWhat::Thread, "thread through all posts", |w| {
        w.has(Act::LeftEndPressed) && !w.has(Act::Threaded)
    })
}

fn press_second(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let words = "sleeves on, nut on, right hand? Press the second ends";
    ticks(seen, NextWhat::PressSecondEnd, words, |w| {
        w.has(Act::Threaded) && !w.has(Act::RightEndPressed)
    })
}

fn fit(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    ticks(seen, NextWhat::Fit, "screw the ends in", |w| {
        w.has(Act::RightEndPressed) && !w.has(Act::Fitted)
    })
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
        .filter(|w| !is_fitted(w) && !is_rejected(w) && !read(w) && open(w))
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

/// Wires of a run that are fitted, with their readings.
fn fitted<'a>(seen: &'a Seen<'_>) -> impl Iterator<Item = (&'a Wire, &'a TensionLine)> {
    seen.run
        .wires
        .iter()
        .zip(&seen.readings.lines)
        .filter(|(w, l)| (is_fitted(w) || l.governing.is_some()) && !is_rejected(w))
}

fn passes(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let steps = &seen.readings.passes_n;
    let on_the_way = steps.len().saturating_sub(1);
    let run = seen.run;
    for (number, newtons) in (1_u32..).zip(steps.iter().take(on_the_way)) {
        let wires: Vec<u32> = fitted(seen)
            .filter(|(_, l)| l.last_final.is_none() && l.last_recheck.is_none())
            .filter(|(_, l)| {
                l.last_pass
                    .as_ref()
                    .is_none_or(|p| p.pass.unwrap_or(0) < number)
            })
            .map(|(w, _)| w.number)
            .collect();
        if let Some(wire) = wires.first() {
            let mut one = act(
                NextWhat::TensionPass,
                &format!("/{number}"),
                Some(run.id),
                Subject::Wire(run.id, *wire),
                format!("Pass {number}, wire {}{wire}: tension to", run.name),
            );
            one.figure = Some(format!("{newtons:.0} N"));
            one.left = count(wires.len());
            one.wires = wires;
            return vec![one];
        }
    }
    Vec::new()
}

fn finals(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    let wires: Vec<u32> = fitted(seen)
        .filter(|(_, l)| l.last_final.is_none() && l.last_recheck.is_none())
        .map(|(w, _)| w.number)
        .collect();
    let left = count(wires.len());
    wires
        .iter()
        .map(|wire| {
            let mut one = act(
                NextWhat::TensionFinal,
                "",
                Some(run.id),
                Subject::Wire(run.id, *wire),
                format!("Wire {}{wire}: tension to", run.name),
            );
            one.figure = seen.readings.set_n.map(|n| format!("{n:.0} N"));
            one.left = left;
            one.wires.clone_from(&wires);
            one
        })
        .collect()
}

fn raise(_: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    seen.readings
        .lines
        .iter()
        .filter(|l| l.state == ReadingState::Below)
        .filter_map(|l| Some((l, l.governing.as_ref()?)))
        .filter(|(_, g)| g.stage != values::Stage::Pass)
        .map(|(line, governing)| {
            let mut one = act(
                NextWhat::Raise,
                &format!("/{}", governing.entry.short()),
                Some(run.id),
                line.subject,
                format!(
                    "Wire {} is below: {:.0} N in {}. Raise it to",
                    line.name,
                    governing.shown_n.unwrap_or_default(),
                    governing.bay_name
                ),
            );
            one.figure = seen.readings.set_n.map(|n| format!("{n:.0} N"));
            one
        })
        .collect()
}

fn gap_checks(job: &Job<'_>, seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    let tensioned = seen
        .readings
        .lines
        .iter()
        .any(|l| l.last_final.is_some() || l.last_recheck.is_some());
    if !tensioned {
        return Vec::new();
    }
    let open: Vec<_> = run
        .bays
        .iter()
        .map(|b| (b, gaps(job, run, &b.subject).0))
        .filter(|(_, g)| *g != BayGaps::AllStop)
        .collect();
    let left = count(open.len());
    open.into_iter()
        .map(|(bay, state)| {
            let words = match state {
                BayGaps::Fails => "the probe passes, put it right and offer it again",
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

fn defects(job: &Job<'_>) -> Vec<NextAct> {
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
                    defect.found.value.clone().unwrap_or_default()
                ),
            );
            one.left = left;
            one
        })
        .collect()
}

fn evidence(job: &Job<'_>) -> Result<Vec<NextAct>, WorkError> {
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

fn rechecks(seen: &Seen<'_>) -> Vec<NextAct> {
    let run = seen.run;
    let wires: Vec<u32> = seen
        .readings
        .lines
        .iter()
        .filter(|l| l.last_final.is_some() && l.last_recheck.is_none())
        .map(|l| l.wire)
        .collect();
    let left = count(wires.len());
    wires
        .iter()
        .map(|wire| {
            let mut one = act(
                NextWhat::Recheck,
                "",
                Some(run.id),
                Subject::Wire(run.id, *wire),
                format!("Recheck wire {}{wire}, one to two weeks after", run.name),
            );
            one.figure = seen
                .readings
                .clear_from_n
                .map(|n| format!("clear from {}", words::newtons((n * 1000.0) as i64)));
            one.left = left;
            one.wires.clone_from(&wires);
            one
        })
        .collect()
}

fn count(of: usize) -> u32 {
    u32::try_from(of).unwrap_or(u32::MAX)
}
