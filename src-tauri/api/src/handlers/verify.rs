//! Looking over: this device's data folder, a shared folder, a handover.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use records::ids::{BookId, Hash};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sync::FolderStore;
use ts_rs::TS;

use super::exchange::folder_path;
use super::some_text;
use crate::app::held;
use crate::tasks::TaskStarted;
use crate::{ApiError, App, ErrorCode};

/// What is looked over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum VerifyWhat {
    /// This device's data folder: journal, chain, signatures, index, pictures.
    Data,
    /// A shared folder: cards, segments, entries, pictures.
    Shared,
    /// A handover folder: sums, entries, pictures, document.
    Handover,
}

/// Starts looking something over.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct StartVerify {
    /// What.
    pub what: VerifyWhat,
    /// The folder; needed for a handover. A shared folder is the current crew's without one.
    #[serde(default)]
    #[ts(optional)]
    pub folder: Option<String>,
    /// For a handover, the founding entry of the crew that it must be of: 64 hex digits.
    #[serde(default)]
    #[ts(optional)]
    pub crew: Option<String>,
}

/// What was looked over and found in order.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(tag = "what", rename_all = "camelCase")]
pub enum LookedOver {
    /// This device's data folder.
    Data(records::verify::Summary),
    /// A shared folder.
    Shared(sync::verify::Verified),
    /// A handover folder.
    Handover(HandoverView),
}

/// A handover that was looked over.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct HandoverView {
    /// Files whose sums were right.
    pub files: usize,
    /// Entries of the job's book.
    pub entries: usize,
    /// Entries of the crew's book.
    pub crew_entries: usize,
    /// Originals that match an entry.
    pub originals: usize,
    /// Originals that entries name and the folder says it has not.
    pub missing: usize,
    /// Entries that are kept but do not count, with the reason.
    pub not_counting: Vec<String>,
    /// Who signed all files, in words; the name is the one that the crew gave its person.
    pub signed: String,
    /// The device that signed them.
    pub device: String,
    /// The founding entry of its crew: names can be anybody's, this can't.
    pub crew: String,
    /// Whether `crew` was asked for; else somebody has to compare it with what the crew tells.
    pub crew_compared: bool,
}

/// How far looking over is: a step in words, steps done, steps in all. May end it.
pub type OnVerify<'a> = dyn Fn(&str, u64, u64) -> ControlFlow<()> + Sync + 'a;

/// Starts looking a folder over; ends with what is in it, or with the first fault and its kind.
pub fn start_verify(app: &App, request: StartVerify) -> Result<TaskStarted, ApiError> {
    let record = app.shared_record();
    let data = app.data().to_owned();
    let folder = match (&request.folder, request.what) {
        (Some(folder), _) => Some(PathBuf::from(some_text("The folder", folder)?)),
        (None, VerifyWhat::Data) => None,
        (None, VerifyWhat::Shared) => Some(folder_path(&record)?),
        (None, VerifyWhat::Handover) => {
            return Err(ApiError::invalid("Name the folder of the handover."));
        }
    };
    app.tasks.start("verify", move |progress| {
        let on = |what: &str, done: u64, of: u64| {
            progress.report(done, of, what);
            if progress.cancelled() {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        };
        match (request.what, folder) {
            (VerifyWhat::Handover, Some(folder)) => {
                handover(&folder, request.crew.as_deref(), &on).and_then(|told| value(&told))
            }
            (VerifyWhat::Shared, Some(folder)) => {
                // Opened under another name, so that drafts of an exchange under way stay.
                let store = FolderStore::open(&folder, &BookId::random()?.to_string())?;
                let known = sync::verify::known(&store, &record)?;
                shared(&store, &known, &on).and_then(|told| value(&told))
            }
            _ => {
                let moment = held(&record).moment()?;
                data_at(&data, &moment, &on).and_then(|told| value(&told))
            }
        }
    })
}

fn value(told: &LookedOver) -> Result<Value, ApiError> {
    serde_json::to_value(told).map_err(|e| ApiError::new(ErrorCode::Internal, e.to_string()))
}

/// Looks over a data folder that no program has open, and changes nothing in it.
///
/// # Errors
/// `locked`, `newer`, or the first `fault`.
pub fn closed_data(data: &Path, on: &OnVerify<'_>) -> Result<Value, ApiError> {
    match records::verify::moment_of(data)? {
        Ok(moment) => data_at(data, &moment, on).and_then(|told| value(&told)),
        Err(fault) => Err(of_data(&fault)),
    }
}

/// The same as [`StartVerify`] for a handover, for which no record is needed.
///
/// # Errors
/// `invalid` where `crew` is no hash; the first `fault`.
pub fn closed_handover(
    folder: &Path,
    crew: Option<&str>,
    on: &OnVerify<'_>,
) -> Result<Value, ApiError> {
    value(&handover(folder, crew, on)?)
}

fn handover(folder: &Path, crew: Option<&str>, on: &OnVerify<'_>) -> Result<LookedOver, ApiError> {
    let crew: Option<Hash> = match crew {
        None => None,
        Some(text) => Some(text.trim().parse().map_err(|_| {
            ApiError::invalid("A crew is named by the 64 hex digits of its founding entry.")
        })?),
    };
    if !folder.is_dir() {
        return Err(ApiError::new(
            ErrorCode::Storage,
            format!(
                "There is no handover in {}. Is the path right?",
                folder.display()
            ),
        ));
    }
    let step = |at: handover::Progress| on("files", at.done as u64, at.of as u64);
    let found = handover::verify(folder, &step).and_then(|found| match &crew {
        Some(crew) => found.of_crew(crew).map(|()| found),
        None => Ok(found),
    });
    match found {
        Ok(found) => Ok(LookedOver::Handover(HandoverView {
            files: found.files,
            entries: found.entries,
            crew_entries: found.crew_entries,
            originals: found.originals,
            missing: found.missing,
            not_counting: found.not_counting,
            signed: format!(
                "all files, by a device of {}",
                crate::views::overview::name(&found.signed_by.name)
            ),
            device: found.signed_by.device.to_string(),
            crew: found.crew.to_string(),
            crew_compared: crew.is_some(),
        })),
        Err(fault) => {
            let cancelled = fault.kind == handover::FaultKind::Cancelled;
            Err(fault_error(&fault.kind, cancelled, &fault))
        }
    }
}

fn data_at(
    data: &Path,
    moment: &records::verify::Moment,
    on: &OnVerify<'_>,
) -> Result<LookedOver, ApiError> {
    let step = |at: records::verify::Progress| on(at.what, at.done as u64, at.of as u64);
    match records::verify::verify(data, moment, &step) {
        Ok(found) => Ok(LookedOver::Data(found)),
        Err(fault) => Err(of_data(&fault)),
    }
}

fn of_data(fault: &records::verify::Fault) -> ApiError {
    let cancelled = fault.kind == records::verify::FaultKind::Cancelled;
    fault_error(&fault.kind, cancelled, fault)
}

fn shared(
    store: &FolderStore,
    known: &sync::verify::Known,
    on: &OnVerify<'_>,
) -> Result<LookedOver, ApiError> {
    let step = |at: sync::Progress| on(at.what, at.done, at.of);
    match sync::verify::verify(store, known, &step) {
        Ok(found) => Ok(LookedOver::Shared(found)),
        Err(fault) => {
            let cancelled = fault.kind == sync::verify::FolderFaultKind::Cancelled;
            Err(fault_error(&fault.kind, cancelled, &fault))
        }
    }
}

/// The kind stands first, as scripts read it; the sentence after it is for people.
fn fault_error(
    kind: &impl Serialize,
    cancelled: bool,
    sentence: &impl std::fmt::Display,
) -> ApiError {
    if cancelled {
        let message = "Stopped as asked. Nothing was changed.";
        return ApiError::retryable(ErrorCode::Cancelled, message);
    }
    let kind = serde_json::to_value(kind).unwrap_or_default();
    let kind = kind.as_str().unwrap_or("fault");
    ApiError::new(ErrorCode::Fault, format!("{kind}: {sentence}"))
}
