//! Cutting: releases of wires for cutting; ticks of acts stand in `ticks`.
//!
//! Invariant: what is released is what the person saw.

mod ticks;

use records::ids::ItemId;
use records::job::Job;
use records::model::entered;
use records::model::fields;
use records::model::values::{DeductionBy, Length};
use records::subject::Subject;
use records::work;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::signing::told;
use super::{Recorded, item, job_id};
use crate::claim::{Act, Earlier, tips};
use crate::{ApiError, App, ErrorCode};

pub(super) use ticks::{OfPiece, claim_cut, claim_done, moved, room};
pub use ticks::{TickWires, tick_wires};

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
