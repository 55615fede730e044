//! Cutting: releases of wires for cutting; ticks of acts stand in `ticks`.
//!
//! Invariant: what is released is what the person saw, all of it or nothing.

mod ticks;

use records::Record;
use records::ids::{BookId, ItemId};
use records::job::Job;
use records::model::context::Told;
use records::model::fields;
use records::model::values::{CutIssue, DeductionBy, Length};
use records::subject::Subject;
use records::work::{self, CutLine, CutSheet, Taught};

use super::signing::told;
use crate::claim::{Act, Acted, Earlier, tips};
use crate::handlers::cutting::{IssueCuts, SeenCut};
use crate::{ApiError, ErrorCode};

pub(crate) use ticks::tick;
pub(super) use ticks::{Cut, OfPiece, asked_of_moved, tick_off};

/// A wire that can be released, with what is claimed of it.
struct Ready {
    wire: u32,
    piece: u32,
    issue: CutIssue,
    with: Told,
    basis: Vec<records::ids::Hash>,
}

/// Releases wires for cutting with the figures of the cut sheet.
pub(crate) fn issue(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    numbers: &[u32],
    request: &IssueCuts,
) -> Result<Acted, ApiError> {
    let releases = ready(&record.job(job)?, run, numbers, request)?;
    let mut act = Act::default();
    for one in releases {
        let subject = Subject::Wire(run, one.wire);
        let place = one.piece.to_string();
        let field = fields::WIRE_CUT_ISSUED;
        let over = tips(record, job, &subject, field.name, &place)?;
        let basis = one.basis;
        act.claim(
            field,
            subject,
            &place,
            Some(&one.issue),
            &one.with,
            Earlier { over, basis },
        )?;
    }
    act.record(record, job)
}

/// Looks every wire over on the sheet as it is now, before the first is released.
fn ready(
    job: &Job<'_>,
    run: ItemId,
    numbers: &[u32],
    request: &IssueCuts,
) -> Result<Vec<Ready>, ApiError> {
    if request
        .before_trial
        .as_deref()
        .is_some_and(|why| !why.chars().any(char::is_alphabetic))
    {
        return Err(ApiError::invalid(
            "Say in words why these are released before the trial wire taught anything. Nothing \
             was released.",
        ));
    }
    let sheet = work::cut_sheet(job, run)?;
    let against = work::to_cut(job, run)?;
    if let Some(why) = against.refused {
        let why = format!("{why} Nothing was released.");
        return Err(ApiError::invalid(why));
    }
    let asked = against.questions.into_iter().map(|asked| asked.sentence);
    let mut asked: Vec<String> = asked.chain(sheet.showed.iter().cloned()).collect();
    // What no answer releases is told before anything is asked.
    let lines = numbers.iter().map(|number| {
        let line = sheet.lines.iter().find(|line| line.wire == *number);
        let none =
            || ApiError::invalid(format!("There is no wire {number}. Nothing was released."));
        line.ok_or_else(none)
    });
    let lines: Vec<&CutLine> = lines.collect::<Result<_, _>>()?;
    lines.iter().try_for_each(|line| releasable(line))?;
    match &sheet.taught {
        None => trial_first(request, &sheet, job, run, numbers)?,
        Some(taught) => {
            let lost = lost_as_learned(&sheet, numbers);
            asked.extend(chosen(request, taught, &lost)?);
        }
    }
    // What is asked of another wire is no yes to this one.
    let of_wires = lines.into_iter().map(|line| {
        let of_wire = asked_of(line, &sheet, request.deduction);
        (line, of_wire)
    });
    let of_wires: Vec<(&CutLine, Vec<String>)> = of_wires.collect();
    let question = asked
        .iter()
        .chain(of_wires.iter().flat_map(|(_, asked)| asked));
    let question: Vec<&str> = question.map(String::as_str).collect();
    if !request.confirmed && !question.is_empty() {
        let question = format!("{} Release all the same?", question.join(" "));
        return Err(ApiError::new(ErrorCode::Questioned, question));
    }
    of_wires
        .into_iter()
        .map(|(line, of_wire)| {
            let mut ready = ready_line(job, &sheet, line, request)?;
            let said: Vec<String> = asked.iter().cloned().chain(of_wire).collect();
            let yes =
                (!said.is_empty()).then(|| format!("released all the same: {}", said.join(" ")));
            let why = [ready.with.reason.take(), yes];
            let why: Vec<String> = why.into_iter().flatten().collect();
            ready.with.reason = (!why.is_empty()).then(|| why.join("; "));
            Ok(ready)
        })
        .collect()
}

/// What is asked of one wire alone: a slim chance, and a computed cut that what is taught speaks against.
fn asked_of(line: &CutLine, sheet: &CutSheet, by: Option<DeductionBy>) -> Vec<String> {
    let chosen = by == Some(DeductionBy::Computed) && sheet.taught.is_some();
    let against = work::learned_against(line).filter(|_| chosen);
    work::slim_chance(line, by)
        .into_iter()
        .chain(against)
        .collect()
}

/// Refuses a line that can't be cut as it stands.
fn releasable(line: &CutLine) -> Result<(), ApiError> {
    let Some(refusal) = &line.refused else {
        return Ok(());
    };
    let code = match refusal.code {
        work::RefusalCode::Disputed => ErrorCode::Disputed,
        _ => ErrorCode::Invalid,
    };
    let why = format!("{} Nothing was released.", refusal.sentence);
    Err(ApiError::new(code, why))
}

/// The release of one line; refuses one without a cut, and one that reads otherwise than it was
/// shown.
fn ready_line(
    job: &Job<'_>,
    sheet: &CutSheet,
    line: &CutLine,
    request: &IssueCuts,
) -> Result<Ready, ApiError> {
    let Some(release) = work::release(sheet, line, request.deduction) else {
        let why = format!("{} has no cut length.", line.name);
        return Err(ApiError::invalid(why));
    };
    if let Some(seen) = &request.seen {
        unchanged(line, release.issue.cut_nm, seen)?;
    }
    let mut with = told(job, release.numbers);
    with.reason = request
        .before_trial
        .as_deref()
        .map(|why| why.trim().to_owned());
    Ok(Ready {
        wire: line.wire,
        piece: line.piece,
        issue: release.issue,
        with,
        basis: release.basis,
    })
}

/// Asks for the trial wire first, as long as none has taught anything.
fn trial_first(
    request: &IssueCuts,
    sheet: &CutSheet,
    job: &Job<'_>,
    run: ItemId,
    numbers: &[u32],
) -> Result<(), ApiError> {
    let name = format!("{}{}", sheet.run_name, sheet.trial_wire);
    let of_run = job.run(run);
    let at = of_run.map_or_else(String::new, |of_run| work::thread_read_at(job, of_run));
    if request.deduction == Some(DeductionBy::Learned) {
        let why = sheet.undecided.clone().unwrap_or_else(|| {
            format!("Nothing is learned yet: fit {name} and read the thread left {at} first.")
        });
        return Err(ApiError::invalid(format!("{why} Nothing was released.")));
    }
    // A wire that is made anew follows what its run was released by.
    let anew = |n: &u32| {
        let wire = job.run(run).and_then(|run| run.wire(*n));
        wire.is_some_and(|wire| wire.piece_number > 1)
    };
    let others = numbers.iter().any(|n| *n != sheet.trial_wire && !anew(n));
    if !others || request.before_trial.is_some() {
        return Ok(());
    }
    let first = match (&sheet.undecided, sheet.trial_cut) {
        // It says itself that the wire teaches nothing.
        (Some(why), _) => why.clone(),
        (None, false) => format!(
            "The trial wire {name} is not cut yet. A swaged end can't be undone: cut and fit it first."
        ),
        (None, true) => format!(
            "The trial wire {name} was not read yet. Fit it and read the thread left {at} first."
        ),
    };
    Err(ApiError::new(
        ErrorCode::Questioned,
        format!("{first} Release the others all the same?"),
    ))
}

/// Asks for the choice between what a trial wire taught and what was computed; what is to be asked
/// about the learned one.
fn chosen(request: &IssueCuts, taught: &Taught, lost: &[&str]) -> Result<Vec<String>, ApiError> {
    match request.deduction {
        None => Err(ApiError::new(
            ErrorCode::Changed,
            format!(
                "{} Say whether to cut by the learned or by the computed deduction. Nothing was \
                 released.",
                taught.sentence
            ),
        )),
        Some(DeductionBy::Learned) if lost.is_empty() => Ok(taught.questions.clone()),
        Some(DeductionBy::Learned) => Err(ApiError::invalid(format!(
            "As learned no cut works for {}. Read the trial wire again, or release by the computed deduction. \
             Nothing was released.",
            lost.join(", ")
        ))),
        // Asked of each wire by its name.
        Some(DeductionBy::Computed) => Ok(Vec::new()),
    }
}

/// Names of the wires that would have a computed cut and, by what the trial wire taught, none.
fn lost_as_learned<'a>(sheet: &'a CutSheet, numbers: &[u32]) -> Vec<&'a str> {
    let lines = sheet.lines.iter().filter(|l| numbers.contains(&l.wire));
    lines
        .filter(|line| is_lost(line))
        .map(|line| line.name.as_str())
        .collect()
}

fn is_lost(line: &CutLine) -> bool {
    line.refused.is_none() && line.learned.is_none() && line.aim_mm.is_some()
}

/// Refuses a release where the sheet says another length than the person saw.
fn unchanged(line: &CutLine, aim_nm: i64, seen: &[SeenCut]) -> Result<(), ApiError> {
    let shown = seen.iter().find(|s| s.wire == line.wire);
    match shown.map(|s| Length::from_mm(s.aim_mm)) {
        Some(shown) if shown.nm == aim_nm => Ok(()),
        shown => {
            let was = shown.map_or_else(
                || "was not shown".to_owned(),
                |shown| format!("was {} mm when it was shown", shown.as_mm()),
            );
            Err(ApiError::new(
                ErrorCode::Changed,
                format!(
                    "The cut of {} is {} mm now and {was}. Look at the sheet again, then release. \
                     Nothing was released.",
                    line.name,
                    Length { nm: aim_nm }.as_mm()
                ),
            ))
        }
    }
}
