//! Ticks of acts on wires, one or many at a time, and the cuts that they record.
//!
//! Invariant: a wire whose ground moved since its release is not ticked as cut without a question,
//! nor one that its reel has not enough left for.

use records::Record;
use records::ids::{BookId, ItemId};
use records::job::{Job, Run, Wire, WireLength};
use records::model::context::OnPiece;
use records::model::entered;
use records::model::fields;
use records::model::values::{Act as Tick, CutMade};
use records::subject::{ItemKind, Subject};
use records::work::{self, Decision, Stands, Taking};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use crate::claim::{Act, Earlier, tips};
use crate::handlers::{Recorded, item, job_id};
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
        let mut taking = (cutting && batch.is_some()).then(|| Taking::of(&work::stock(&job)));
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
            let made = issued
                .filter(|_| cutting)
                .map(|issue| made(wire, issue.cut_nm, batch));
            let lost = match &made {
                Some(made) => lost(wire, made, taking.as_mut(), request.confirmed)?,
                None => None,
            };
            found.push((number, wire.piece_number, made, lost));
        }
    }
    let mut act = Act::default();
    for (number, piece, made, lost) in found {
        let of = OfPiece {
            job: job_id,
            run,
            wire: number,
            piece,
        };
        claim_done(&mut act, &mut record, of, request.act, request.done)?;
        if request.act == Tick::Cut {
            claim_cut(&mut act, &mut record, of, made.as_ref(), lost)?;
        }
    }
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
}

/// A piece of strand of a wire.
#[derive(Clone, Copy, Debug)]
pub(in crate::handlers) struct OfPiece {
    pub(in crate::handlers) job: BookId,
    pub(in crate::handlers) run: ItemId,
    pub(in crate::handlers) wire: u32,
    pub(in crate::handlers) piece: u32,
}

/// Claims the tick of an act.
pub(in crate::handlers) fn claim_done(
    act: &mut Act,
    record: &mut Record,
    of: OfPiece,
    tick: Tick,
    done: bool,
) -> Result<(), ApiError> {
    let field = fields::WIRE_DONE;
    let place = records::job::wires::act_place(tick, of.piece);
    let subject = Subject::Wire(of.run, of.wire);
    let over = tips(record, of.job, &subject, field.name, &place)?;
    let with = on_piece(of.piece, None);
    act.claim(
        field,
        subject,
        &place,
        Some(&done),
        &with,
        Earlier::over(over),
    )
}

/// Claims the cut itself, with what was lost at it; none takes one back that stands.
pub(in crate::handlers) fn claim_cut(
    act: &mut Act,
    record: &mut Record,
    of: OfPiece,
    made: Option<&CutMade>,
    lost_nm: Option<i64>,
) -> Result<(), ApiError> {
    let field = fields::WIRE_CUT;
    let place = of.piece.to_string();
    let subject = Subject::Wire(of.run, of.wire);
    let over = tips(record, of.job, &subject, field.name, &place)?;
    if made.is_none() && over.is_empty() {
        return Ok(());
    }
    let with = on_piece(of.piece, lost_nm.filter(|lost| *lost > 0));
    act.claim(field, subject, &place, made, &with, Earlier::over(over))
}

fn on_piece(piece: u32, lost_nm: Option<i64>) -> OnPiece {
    OnPiece {
        piece,
        lost_nm,
        entered: None,
        reason: None,
    }
}

/// The cut as it is ticked; ticked again without a reel it keeps the one that was told.
fn made(wire: &Wire, cut_nm: i64, batch: Option<ItemId>) -> CutMade {
    let known = wire.cut.value().filter(|known| known.nm == cut_nm);
    match (known, batch) {
        (Some(known), None) => known.clone(),
        _ => CutMade {
            nm: cut_nm,
            batch,
            offcut: None,
        },
    }
}

/// What is lost at a cut: as it was told where the same cut is only ticked again, else as the reel
/// gives it.
fn lost(
    wire: &Wire,
    made: &CutMade,
    taking: Option<&mut Taking>,
    confirmed: bool,
) -> Result<Option<i64>, ApiError> {
    if let Some(told) = wire.cut.told().filter(|t| t.value.as_ref() == Some(made)) {
        return Ok(told.with.as_ref().and_then(|with| with.lost_nm));
    }
    let (Some(taking), Some(batch)) = (taking, made.batch) else {
        return Ok(None);
    };
    let reel = Subject::Item(ItemKind::Batch, batch).to_string();
    room(taking, &reel, made.nm, confirmed).map(Some)
}

/// Takes a piece off a reel or offcut; asks where it has less left than that.
pub(in crate::handlers) fn room(
    taking: &mut Taking,
    stock: &str,
    cut_nm: i64,
    confirmed: bool,
) -> Result<i64, ApiError> {
    taking.take(stock, cut_nm, confirmed).map_err(|short| {
        ApiError::new(
            ErrorCode::Questioned,
            format!("{short} Tick it as cut from it all the same?"),
        )
    })
}

/// Why a released wire should not be cut from its release without a look, where that is so.
pub(in crate::handlers) fn moved(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    stands: &Stands,
) -> Option<&'static str> {
    match wire.length {
        WireLength::Disputed => return Some("people disagree on its length"),
        WireLength::Newer => return Some("a newer version changed its length"),
        _ => {}
    }
    let told = wire.issued.told()?;
    if stands.moved(job, Decision::Release(run, wire), &told.basis) > 0 {
        return Some(
            "something that its length was worked out from was changed, added or disputed",
        );
    }
    // Where the sheet can't be worked out, it says so itself.
    work::released_outside(job, run, wire, stands)
        .unwrap_or(false)
        .then_some("the window that the sheet gives has left the released cut behind")
}
