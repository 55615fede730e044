//! The cut plan: read, ticked off by batch, stock corrected by what was scrapped or kept, labels.
//!
//! Invariant: a batch is ticked off as it was seen, whole or not at all: each wire is still to be
//! cut, at that length, and its reel or offcut has enough left, or a person said so.
//! One file past 400 lines, since all of it moves the same stock.

use std::collections::BTreeSet;
use std::path::PathBuf;

use records::ids::ItemId;
use records::job::Job;
use records::model::context::{OnPiece, Said};
use records::model::fields;
use records::model::values::{Act as Tick, CutMade, Length, OffcutOf};
use records::subject::Subject;
use records::work::{self, Stands, Stock, StockItem, StockState, Taking};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::cutting::{OfPiece, claim_cut, claim_done, moved, room};
use super::jobs::OfJob;
use super::measure::Typed;
use super::{Recorded, item, job_id, some_text};
use crate::app::held;
use crate::claim::{Act, Earlier, tips};
use crate::tasks::TaskStarted;
use crate::{ApiError, App, ErrorCode};

/// Most cuts in one act.
const MOST: usize = 2000;

/// Plans the cuts that are still to be made.
pub fn cut_plan(app: &App, request: OfJob) -> Result<work::CutPlan, ApiError> {
    app.with_job(job_id(&request.job)?, |job| Ok(work::cut_plan(job)?))
}

/// Ticks wires off as cut, each with what it came from.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct CutBatch {
    /// The job.
    pub job: String,
    /// The cuts in the order in which they were made.
    pub cuts: Vec<CutOne>,
    /// Set when the person was asked about a changed length or a short reel and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// One cut as a person saw it.
#[derive(Clone, Debug, Deserialize, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct CutOne {
    /// The wire's run.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// Number of the piece.
    pub piece: u32,
    /// Length as it was told.
    pub cut_mm: f64,
    /// The reel or offcut, as the plan names it: `batch:…` or `wire:…`.
    pub stock: String,
}

/// Ticks off wires as cut, each with the reel or offcut that it came from; all or none.
pub fn cut_batch(app: &App, request: CutBatch) -> Result<Recorded, ApiError> {
    let job_id = job_id(&request.job)?;
    if request.cuts.is_empty() || request.cuts.len() > MOST {
        return Err(ApiError::invalid(format!(
            "Name 1 to {MOST} cuts. Nothing was ticked."
        )));
    }
    let mut record = app.record();
    let mut found = Vec::new();
    {
        let job = record.job(job_id)?;
        let stock = work::stock(&job);
        let stands = Stands::of(&job);
        let mut taking = Taking::of(&stock);
        let mut seen = BTreeSet::new();
        for one in &request.cuts {
            let run = item(&one.run)?;
            if !seen.insert((run, one.wire)) {
                return Err(ApiError::invalid(format!(
                    "Wire {} stands twice in this batch. Nothing was ticked.",
                    one.wire
                )));
            }
            let of = OfPiece {
                job: job_id,
                run,
                wire: one.wire,
                piece: one.piece,
            };
            let made = as_seen(&job, &stock, run, one)?;
            if !request.confirmed {
                asked(&job, run, one.wire, &stands)?;
            }
            let lost = room(&mut taking, &one.stock, made.nm, request.confirmed)?;
            found.push((of, made, lost));
        }
    }
    let mut act = Act::default();
    for (of, made, lost) in found {
        claim_done(&mut act, &mut record, of, Tick::Cut, true)?;
        claim_cut(&mut act, &mut record, of, Some(&made), Some(lost))?;
    }
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
}

/// The cut to record, where the wire and its reel are still as they were seen.
fn as_seen(job: &Job<'_>, stock: &Stock, run: ItemId, one: &CutOne) -> Result<CutMade, ApiError> {
    let layout = job
        .run(run)
        .ok_or_else(|| ApiError::new(ErrorCode::NotFound, "This run is not in the job."))?;
    let name = format!("{}{}", layout.name, one.wire);
    let wire = layout.wire(one.wire).ok_or_else(|| {
        ApiError::invalid(format!("There is no wire {name}. Nothing was ticked."))
    })?;
    let changed = |what: String| {
        Err(ApiError::new(
            ErrorCode::Changed,
            format!("{what} Look at the plan again. Nothing was ticked."),
        ))
    };
    if wire.cut.blocks() || wire.issued.blocks() || wire.piece.blocks() {
        return Err(ApiError::new(
            ErrorCode::Disputed,
            format!("People differ on {name}. Settle that first. Nothing was ticked."),
        ));
    }
    if wire.piece_number != one.piece {
        return changed(format!(
            "{name} is at piece {} now, not {}.",
            wire.piece_number, one.piece
        ));
    }
    if wire.cut.value().is_some() {
        return changed(format!("{name} is ticked as cut already."));
    }
    let Some(issued) = wire.issued.value() else {
        return Err(ApiError::invalid(format!(
            "{name} was not released for cutting. Release it on the cut sheet first. Nothing was \
             ticked."
        )));
    };
    if issued.cut_nm != Length::from_mm(one.cut_mm).nm {
        return changed(format!(
            "The cut of {name} is {} mm now and was {} mm when it was shown.",
            Length { nm: issued.cut_nm }.as_mm(),
            one.cut_mm
        ));
    }
    let Some(from) = stock.items.iter().find(|s| s.id == one.stock) else {
        return changed("That reel or offcut is no longer there.".to_owned());
    };
    if from.strand != layout.strand && from.strand.is_some() {
        return Err(ApiError::invalid(format!(
            "{} is another strand than {name} is made of. Nothing was ticked.",
            from.name
        )));
    }
    Ok(CutMade {
        nm: issued.cut_nm,
        batch: from.batch,
        offcut: piece_of_stock(from),
    })
}

fn asked(job: &Job<'_>, run: ItemId, wire: u32, stands: &Stands) -> Result<(), ApiError> {
    let Some(layout) = job.run(run) else {
        return Ok(());
    };
    match layout
        .wire(wire)
        .and_then(|wire| moved(job, layout, wire, stands))
    {
        Some(why) => Err(ApiError::new(
            ErrorCode::Questioned,
            format!(
                "Wire {}{wire}: {why} since it was released. A cut can't be undone: look at the \
                 sheet first. Tick it as cut all the same?",
                layout.name
            ),
        )),
        None => Ok(()),
    }
}

/// The piece that an offcut is of; none for a delivery.
fn piece_of_stock(from: &StockItem) -> Option<OffcutOf> {
    let (wire, piece) = from.id.rsplit_once('/')?;
    Some(OffcutOf {
        wire: wire.parse().ok()?,
        piece: piece.parse().ok()?,
    })
}

/// Throws strand away.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ScrapStrand {
    /// The job.
    pub job: String,
    /// The reel or offcut, as the plan names it.
    pub stock: String,
    /// How much; without it all that is left.
    #[serde(default)]
    #[ts(optional)]
    pub length: Option<Typed>,
    /// Why.
    pub reason: String,
}

/// Records strand thrown away uncut.
pub fn scrap_strand(app: &App, request: ScrapStrand) -> Result<Recorded, ApiError> {
    let job_id = job_id(&request.job)?;
    let reason = some_text("The reason", &request.reason)?;
    let mut record = app.record();
    let from = {
        let job = record.job(job_id)?;
        let stock = work::stock(&job);
        let found = stock.items.into_iter().find(|s| s.id == request.stock);
        found
            .ok_or_else(|| ApiError::new(ErrorCode::NotFound, "There is no such reel or offcut."))?
    };
    let mut act = Act::default();
    if let Some(of) = piece_of_stock(&from) {
        if request.length.is_some() {
            return Err(ApiError::invalid(format!(
                "{} is thrown away whole, or keep another length of it. Nothing was saved.",
                from.name
            )));
        }
        let place = of.piece.to_string();
        let field = fields::WIRE_KEPT;
        let over = tips(&mut record, job_id, &of.wire, field.name, &place)?;
        let with = OnPiece {
            piece: of.piece,
            lost_nm: None,
            entered: None,
            reason: Some(reason),
        };
        act.claim(field, of.wire, &place, None, &with, Earlier::over(over))?;
        return Ok(Recorded::of(&act.record(&mut record, job_id)?));
    }
    let length = thrown_away(&from, request.length.as_ref())?;
    let batch: Subject = from.id.parse()?;
    let with = Said {
        entered: request.length.map(|typed| typed.entered()),
        origin: None,
        reason: Some(reason),
    };
    act.claim(
        fields::BATCH_SCRAPPED,
        batch,
        "",
        Some(&length),
        &with,
        Earlier::none(),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
}

fn thrown_away(from: &StockItem, typed: Option<&Typed>) -> Result<Length, ApiError> {
    let left = Length::from_mm(from.left_mm);
    if from.state == StockState::NotKnown {
        return Err(ApiError::invalid(format!(
            "{} Nothing was saved.",
            from.problem
                .as_deref()
                .unwrap_or("Its length is not known.")
        )));
    }
    let length = typed.map_or(Ok(left), Typed::length)?;
    if length > left || left.nm == 0 {
        return Err(ApiError::invalid(format!(
            "{} has {} mm left. Nothing was saved.",
            from.name, from.left_mm
        )));
    }
    Ok(length)
}

/// Keeps what can still be used of a piece that was taken out.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct KeepOffcut {
    /// The job.
    pub job: String,
    /// The wire's run.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// Number of the piece that was taken out.
    pub piece: u32,
    /// The length that can be used, both swaged ends cut off.
    pub length: Typed,
}

/// Keeps a length of a piece that was taken out, as an offcut.
pub fn keep_offcut(app: &App, request: KeepOffcut) -> Result<Recorded, ApiError> {
    let (job_id, run) = (job_id(&request.job)?, item(&request.run)?);
    let length = request.length.length()?;
    let mut record = app.record();
    {
        let job = record.job(job_id)?;
        let out = work::stock(&job)
            .taken_out
            .into_iter()
            .find(|out| (out.run, out.wire, out.piece) == (run, request.wire, request.piece));
        let Some(out) = out else {
            return Err(ApiError::invalid(
                "That piece was not cut, or is still in its place. Nothing was saved.",
            ));
        };
        if length > Length::from_mm(out.cut_mm) {
            return Err(ApiError::invalid(format!(
                "{} was cut at {} mm; no more of it can be kept. Nothing was saved.",
                out.name, out.cut_mm
            )));
        }
    }
    let subject = Subject::Wire(run, request.wire);
    let place = request.piece.to_string();
    let field = fields::WIRE_KEPT;
    let over = tips(&mut record, job_id, &subject, field.name, &place)?;
    let with = OnPiece {
        piece: request.piece,
        lost_nm: None,
        entered: Some(request.length.entered()),
        reason: None,
    };
    let mut act = Act::default();
    act.claim(
        field,
        subject,
        &place,
        Some(&length),
        &with,
        Earlier::over(over),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
}

/// Writes labels.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct PrintLabels {
    /// The job.
    pub job: String,
    /// The file to write; it must not exist. Without one: `labels/` in the data folder.
    #[serde(default)]
    #[ts(optional)]
    pub file: Option<String>,
    /// Also wires that are cut and not fitted yet.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub cut: bool,
}

/// Labels that were written.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LabelsWritten {
    /// The file.
    pub file: String,
    /// Number of labels.
    pub labels: usize,
    /// Bytes of the file.
    pub bytes: usize,
}

/// Starts writing labels of the planned wires as a PDF.
pub fn start_labels(app: &App, request: PrintLabels) -> Result<TaskStarted, ApiError> {
    let job_id = job_id(&request.job)?;
    let file = match &request.file {
        Some(file) => Some(PathBuf::from(some_text("The file", file)?)),
        None => None,
    };
    let record = app.shared_record();
    let (title, labels, made) = {
        let mut record = held(&record);
        let made = records::clock::next_at(record.clock(), None);
        let job = record.job(job_id)?;
        let title = job
            .reader
            .one(fields::JOB_TITLE, &job.subject(), "")
            .shown()
            .cloned()
            .unwrap_or_default();
        let plan = work::cut_plan(&job)?;
        (title, work::cut_labels(&job, &plan, request.cut), made)
    };
    if labels.is_empty() {
        return Err(ApiError::invalid(
            "No wire is planned, so there is nothing to label. Release wires on the cut sheet and \
             enter the strand under Deliveries first.",
        ));
    }
    let name = format!("{job_id}-{}.pdf", made.ms);
    let file = file.unwrap_or_else(|| app.data().join("labels").join(name));
    app.tasks.start("labels", move |_| {
        let bytes = handover::write_labels(&file, &title, &labels, made)?;
        let told = LabelsWritten {
            file: file.to_string_lossy().into_owned(),
            labels: labels.len(),
            bytes,
        };
        serde_json::to_value(told).map_err(|e| ApiError::new(ErrorCode::Internal, e.to_string()))
    })
}
