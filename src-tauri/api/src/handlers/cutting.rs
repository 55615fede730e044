//! Cutting: releases of wires, and ticks of acts on whole runs.
//!
//! Invariant: what is released is what the person saw; a wire whose ground moved since its release is
//! not ticked as cut without a question.

use records::ids::ItemId;
use records::job::{Job, Run, Wire, WireLength};
use records::model::context::OnPiece;
use records::model::entered;
use records::model::fields;
use records::model::values::{Act as Tick, CutMade, DeductionBy, Length};
use records::subject::Subject;
use records::work::{self, Decision, Stands};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::signing::told;
use super::{Recorded, item, job_id};
use crate::claim::{Act, Earlier, tips};
use crate::{ApiError, App, ErrorCode};

/// Releases wires for cutting.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct IssueCuts {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Wires, like `1-12`.
    pub wires: String,
    /// Release other wires than the trial wire before it was fitted and read, and why.
    #[serde(default)]
    #[ts(optional)]
    pub before_trial: Option<String>,
    /// Which deduction to cut by: a choice that is asked for once a trial wire was read.
    #[serde(default)]
    #[ts(optional)]
    pub deduction: Option<DeductionBy>,
    /// Set when the person was asked about a trial reading that can hardly be right and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
    /// The lengths that the person saw, wire by wire. Where one of them is no longer what the
    /// sheet says, nothing is released.
    #[serde(default)]
    #[ts(optional)]
    pub seen: Option<Vec<SeenCut>>,
}

/// A length to cut as a person saw it.
#[derive(Clone, Copy, Debug, Deserialize, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SeenCut {
    /// Number of the wire.
    pub wire: u32,
    /// What the sheet said to cut, in mm.
    pub aim_mm: f64,
}

/// Releases wires for cutting with the figures of the cut sheet as told; all or none.
pub fn issue_cuts(app: &App, request: IssueCuts) -> Result<Recorded, ApiError> {
    let (job_id, run) = (job_id(&request.job)?, item(&request.run)?);
    let numbers = entered::wires(&request.wires)?;
    let mut record = app.record();
    let mut releases = Vec::new();
    {
        let job = record.job(job_id)?;
        let sheet = work::cut_sheet(&job, run)?;
        after_trial(&request, &sheet, &job, run, &numbers)?;
        for number in numbers {
            let line = sheet
                .lines
                .iter()
                .find(|l| l.wire == number)
                .ok_or_else(|| {
                    ApiError::invalid(format!("There is no wire {number}. Nothing was released."))
                })?;
            if let Some(refusal) = &line.refused {
                let code = match refusal.code {
                    work::RefusalCode::Disputed => ErrorCode::Disputed,
                    _ => ErrorCode::Invalid,
                };
                return Err(ApiError::new(
                    code,
                    format!("{} Nothing was released.", refusal.sentence),
                ));
            }
            let Some(release) = work::release(&sheet, line, request.deduction) else {
                return Err(ApiError::invalid(format!(
                    "{} has no cut length.",
                    line.name
                )));
            };
            if let Some(seen) = &request.seen {
                unchanged(line, release.issue.cut_nm, seen)?;
            }
            let mut with = told(&job, release.numbers);
            with.reason = request.before_trial.clone();
            releases.push((number, line.piece, release.issue, with, release.basis));
        }
    }
    let mut act = Act::default();
    for (number, piece, value, with, basis) in releases {
        let subject = Subject::Wire(run, number);
        let place = piece.to_string();
        let field = fields::WIRE_CUT_ISSUED;
        let over = tips(&mut record, job_id, &subject, field.name, &place)?;
        act.claim(
            field,
            subject,
            &place,
            Some(&value),
            &with,
            Earlier { over, basis },
        )?;
    }
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
}

/// Asks for the trial wire first, and for the choice between what it taught and what was computed.
fn after_trial(
    request: &IssueCuts,
    sheet: &work::CutSheet,
    job: &Job<'_>,
    run: ItemId,
    numbers: &[u32],
) -> Result<(), ApiError> {
    let name = format!("{}{}", sheet.run_name, sheet.trial_wire);
    let Some(taught) = &sheet.taught else {
        if request.deduction == Some(DeductionBy::Learned) {
            return Err(ApiError::invalid(format!(
                "Nothing is learned yet: fit {name} and read the thread left at both ends first. \
                 Nothing was released."
            )));
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
        let first = match sheet.trial_cut {
            false => "is not cut yet. A swaged end can't be undone: cut and fit it first",
            true => "was not read yet. Fit it and read the thread left at both ends first",
        };
        return Err(ApiError::new(
            ErrorCode::Questioned,
            format!("The trial wire {name} {first}. Release the others all the same?"),
        ));
    };
    match request.deduction {
        None => Err(ApiError::new(
            ErrorCode::Changed,
            format!(
                "{} Say whether to cut by the learned or by the computed deduction. Nothing was \
                 released.",
                taught.sentence
            ),
        )),
        Some(DeductionBy::Learned) if !request.confirmed && !taught.questions.is_empty() => {
            Err(ApiError::new(
                ErrorCode::Questioned,
                format!(
                    "{} Cut by what was learned all the same?",
                    taught.questions.join(" ")
                ),
            ))
        }
        Some(_) => Ok(()),
    }
}

/// Refuses a release where the sheet says another length than the person saw.
fn unchanged(line: &work::CutLine, aim_nm: i64, seen: &[SeenCut]) -> Result<(), ApiError> {
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

/// Ticks an act off for wires of a run.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct TickWires {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Wires, like `1-12`.
    pub wires: String,
    /// The act.
    pub act: Tick,
    /// False takes the tick back.
    pub done: bool,
    /// For cutting: the batch that the strand came from.
    #[serde(default)]
    #[ts(optional)]
    pub batch: Option<String>,
    /// Set when the person was asked about a release whose ground moved and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Ticks an act off for wires, in any order; a tick of cutting needs a release of each wire.
pub fn tick_wires(app: &App, request: TickWires) -> Result<Recorded, ApiError> {
    let (job_id, run) = (job_id(&request.job)?, item(&request.run)?);
    let batch = request.batch.as_deref().map(item).transpose()?;
    let numbers = entered::wires(&request.wires)?;
    let mut record = app.record();
    let mut found = Vec::new();
    {
        let job = record.job(job_id)?;
        let layout = job
            .run(run)
            .ok_or_else(|| ApiError::new(ErrorCode::NotFound, "This run is not in the job."))?;
        let cutting = request.act == Tick::Cut && request.done;
        let stands = cutting.then(|| Stands::of(&job));
        for number in numbers {
            let wire = layout.wire(number).ok_or_else(|| {
                ApiError::invalid(format!(
                    "Run {} has {} wires; there is no wire {number}. Nothing was ticked.",
                    layout.name,
                    layout.wires.len()
                ))
            })?;
            let issued = wire.issued.value().copied();
            if cutting && issued.is_none() {
                return Err(ApiError::invalid(format!(
                    "Wire {}{number} was not released for cutting. Release it on the cut sheet \
                     first. Nothing was ticked.",
                    layout.name
                )));
            }
            if let Some(stands) = stands.as_ref().filter(|_| !request.confirmed)
                && let Some(why) = moved(&job, layout, wire, stands)
            {
                return Err(ApiError::new(
                    ErrorCode::Questioned,
                    format!(
                        "Wire {}{number}: {why} since it was released. A cut can't be undone: look \
                         at the sheet first. Tick it as cut all the same?",
                        layout.name
                    ),
                ));
            }
            found.push((number, wire.piece_number, issued));
        }
    }
    let mut act = Act::default();
    for (number, piece, issued) in found {
        let subject = Subject::Wire(run, number);
        let with = OnPiece {
            piece,
            entered: None,
            reason: None,
        };
        let place = records::job::wires::act_place(request.act, piece);
        let over = tips(
            &mut record,
            job_id,
            &subject,
            fields::WIRE_DONE.name,
            &place,
        )?;
        act.claim(
            fields::WIRE_DONE,
            subject,
            &place,
            Some(&request.done),
            &with,
            Earlier::over(over),
        )?;
        if request.act == Tick::Cut {
            let place = piece.to_string();
            let over = tips(&mut record, job_id, &subject, fields::WIRE_CUT.name, &place)?;
            let value = issued.filter(|_| request.done).map(|issue| CutMade {
                nm: issue.cut_nm,
                batch,
            });
            if value.is_some() || !over.is_empty() {
                act.claim(
                    fields::WIRE_CUT,
                    subject,
                    &place,
                    value.as_ref(),
                    &with,
                    Earlier::over(over),
                )?;
            }
        }
    }
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
}

/// Why a released wire should not be cut from its release without a look, where that is so.
fn moved(job: &Job<'_>, run: &Run, wire: &Wire, stands: &Stands) -> Option<&'static str> {
    match wire.length {
        WireLength::Disputed => return Some("people disagree on its length"),
        WireLength::Newer => return Some("a newer version changed its length"),
        _ => {}
    }
    let told = wire.issued.told()?;
    (stands.moved(job, Decision::Cut(run), &told.basis) > 0)
        .then_some("something that its length was worked out from was changed or disputed")
}
