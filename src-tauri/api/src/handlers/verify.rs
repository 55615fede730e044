//! Looking over: this device's data folder, a shared folder, a handover.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use records::ids::BookId;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
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
            (VerifyWhat::Handover, Some(folder)) => handover(&folder, &on),
            (VerifyWhat::Shared, Some(folder)) => {
                // Opened under another name, so that drafts of an exchange under way stay.
                let store = FolderStore::open(&folder, &BookId::random()?.to_string())?;
                let (pin, heads) = sync::verify::known(&store, &record)?;
                shared(&store, &pin, &heads, &on)
            }
            _ => {
                let moment = held(&record).moment()?;
                data_at(&data, &moment, &on)
            }
        }
    })
}

/// Looks over a data folder that no program has open, and changes nothing in it.
///
/// # Errors
/// `locked`, `newer`, or the first `fault`.
pub fn closed_data(data: &Path, on: &OnVerify<'_>) -> Result<Value, ApiError> {
    match records::verify::moment_of(data)? {
        Ok(moment) => data_at(data, &moment, on),
        Err(fault) => Err(of_data(&fault)),
    }
}

/// Looks over a handover folder; no record is needed for it.
///
/// # Errors
/// The first `fault`.
pub fn handover(folder: &Path, on: &OnVerify<'_>) -> Result<Value, ApiError> {
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
    match handover::verify(folder, &step) {
        Ok(found) => Ok(json!({
            "what": VerifyWhat::Handover,
            "files": found.files,
            "entries": found.entries,
            "crewEntries": found.crew_entries,
            "originals": found.originals,
            "missing": found.missing,
            "notCounting": found.not_counting,
            "signed": match &found.signed_by {
                Some(name) => format!(
                    "all files, by a device of {}",
                    crate::views::overview::name(name)
                ),
                None => "not signed: only entries, originals and state are proven".to_owned(),
            },
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
) -> Result<Value, ApiError> {
    let step = |at: records::verify::Progress| on(at.what, at.done as u64, at.of as u64);
    match records::verify::verify(data, moment, &step) {
        Ok(found) => told(VerifyWhat::Data, &found),
        Err(fault) => Err(of_data(&fault)),
    }
}

fn of_data(fault: &records::verify::Fault) -> ApiError {
    let cancelled = fault.kind == records::verify::FaultKind::Cancelled;
    fault_error(&fault.kind, cancelled, fault)
}

fn shared(
    store: &FolderStore,
    pin: &records::ids::Hash,
    heads: &[records::heads::Head],
    on: &OnVerify<'_>,
) -> Result<Value, ApiError> {
    let step = |at: sync::Progress| on(at.what, at.done, at.of);
    match sync::verify::verify(store, pin, heads, &step) {
        Ok(found) => told(VerifyWhat::Shared, &found),
        Err(fault) => {
            let cancelled = fault.kind == sync::verify::FolderFaultKind::Cancelled;
            Err(fault_error(&fault.kind, cancelled, &fault))
        }
    }
}

fn told(what: VerifyWhat, found: &impl Serialize) -> Result<Value, ApiError> {
    let internal = |e: serde_json::Error| ApiError::new(ErrorCode::Internal, e.to_string());
    let mut told = serde_json::to_value(found).map_err(internal)?;
    if let Some(fields) = told.as_object_mut() {
        fields.insert("what".into(), serde_json::to_value(what).map_err(internal)?);
    }
    Ok(told)
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
