//! Cutting: ticks of acts on whole runs. Releases stand with the cut sheet they come from.

use records::model::context::OnPiece;
use records::model::entered;
use records::model::fields;
use records::model::values::{Act as Tick, CutMade};
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{Recorded, item, job_id};
use crate::claim::{Act, Earlier, tips};
use crate::{ApiError, App, ErrorCode};

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
        for number in numbers {
            let wire = layout.wire(number).ok_or_else(|| {
                ApiError::invalid(format!(
                    "Run {} has {} wires; there is no wire {number}. Nothing was ticked.",
                    layout.name,
                    layout.wires.len()
                ))
            })?;
            let cutting = request.act == Tick::Cut && request.done;
            let issued = wire.issued.value().copied();
            if cutting && issued.is_none() {
                return Err(ApiError::invalid(format!(
                    "Wire {}{number} was not released for cutting. Release it on the cut sheet \
                     first. Nothing was ticked.",
                    layout.name
                )));
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
