//! The cut plan: read, ticked off by batch, stock corrected by what was scrapped or kept, labels.

use std::path::Path;

use handover::{LabelsAsk, PaperSize};
use records::work;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::jobs::OfJob;
use super::measure::{Typed, Unit};
use super::{Recorded, file_named, item, job_id, some_text};
use crate::acts::cut_plan::{self, Labels};
use crate::claim::plain;
use crate::tasks::TaskStarted;
use crate::{ApiError, App};

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
    let job = job_id(&request.job)?;
    let acted = cut_plan::batch(&mut app.record(), job, &request)?;
    Ok(Recorded::of(&acted))
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
    let job = job_id(&request.job)?;
    let reason = some_text("The reason", &request.reason)?;
    let acted = cut_plan::scrap(&mut app.record(), job, &request, reason)?;
    Ok(Recorded::of(&acted))
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
    /// The person was asked whether a piece that was taken out as scrap, or all of one that was pressed, can be
    /// used.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Keeps a length of a piece that was taken out, as an offcut.
pub fn keep_offcut(app: &App, request: KeepOffcut) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let length = request.length.length()?;
    let acted = cut_plan::keep_offcut(&mut app.record(), job, run, &request, length)?;
    Ok(Recorded::of(&acted))
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
    /// The paper: A4 where nothing is said.
    #[serde(default)]
    #[ts(optional, as = "Option<PaperSize>")]
    pub paper: PaperSize,
    /// Unit in which lengths are told.
    #[serde(default)]
    #[ts(optional, as = "Option<Unit>")]
    pub unit: Unit,
}

impl PrintLabels {
    fn ask(&self) -> LabelsAsk {
        LabelsAsk {
            paper: self.paper,
            inches: matches!(self.unit, Unit::In),
        }
    }
}

/// Labels that were written.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LabelsWritten {
    /// The file.
    pub file: String,
    /// Number of labels.
    pub labels: usize,
    /// Released wires for which none was made, with the reason.
    pub left_out: Vec<work::Unlabelled>,
    /// Bytes of the file.
    pub bytes: usize,
}

impl LabelsWritten {
    fn write(file: &Path, of: &Labels, ask: LabelsAsk) -> Result<Self, ApiError> {
        let (rules, labels) = (of.rules.as_deref(), &of.labels);
        let bytes = handover::write_labels(file, &of.title, rules, labels, ask, of.made)?;
        Ok(LabelsWritten {
            file: file.to_string_lossy().into_owned(),
            labels: of.labels.len(),
            left_out: of.left_out.clone(),
            bytes,
        })
    }
}

/// Starts writing labels of the planned wires as a PDF.
pub fn start_labels(app: &App, request: PrintLabels) -> Result<TaskStarted, ApiError> {
    let (job, ask) = (job_id(&request.job)?, request.ask());
    let file = file_named(request.file.as_deref())?;
    let labels = cut_plan::labels(&mut app.record(), job, request.cut)?;
    let name = format!("{job}-{}.pdf", labels.made.ms);
    let file = file.unwrap_or_else(|| app.data().join("labels").join(name));
    app.tasks.start("labels", move |_| {
        plain(&LabelsWritten::write(&file, &labels, ask)?)
    })
}
