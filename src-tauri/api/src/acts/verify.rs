//! Looking over: what each place is held against, and how a fault is told.

use std::path::Path;

use records::ids::Hash;
use serde::Serialize;
use sync::FolderStore;

use crate::handlers::verify::{HandoverView, LookedOver, OnVerify};
use crate::views::overview::name;
use crate::{ApiError, ErrorCode};

/// Looks over a handover, which must be of the crew that is named.
pub(crate) fn handover(
    folder: &Path,
    crew: Option<&str>,
    on: &OnVerify<'_>,
) -> Result<LookedOver, ApiError> {
    let crew = crew.map(founding).transpose()?;
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
        Ok(found) => Ok(LookedOver::Handover(told(found, crew.is_some()))),
        Err(fault) => {
            let cancelled = fault.kind == handover::FaultKind::Cancelled;
            Err(fault_error(&fault.kind, cancelled, &fault))
        }
    }
}

fn founding(text: &str) -> Result<Hash, ApiError> {
    text.trim().parse().map_err(|_| {
        ApiError::invalid("A crew is named by the 64 hex digits of its founding entry.")
    })
}

fn told(found: handover::Verified, crew_compared: bool) -> HandoverView {
    HandoverView {
        files: found.files,
        entries: found.entries,
        crew_entries: found.crew_entries,
        originals: found.originals,
        missing: found.missing,
        earlier_state: found.earlier_state,
        not_counting: found.not_counting,
        signed: format!("all files, by a device of {}", name(&found.signed_by.name)),
        device: found.signed_by.device.to_string(),
        crew: found.crew.to_string(),
        crew_compared,
    }
}

/// Looks over a data folder as it stood at a moment.
pub(crate) fn data_at(
    data: &Path,
    moment: &records::verify::Moment,
    on: &OnVerify<'_>,
) -> Result<LookedOver, ApiError> {
    let step = |at: records::verify::Progress| on(at.what, at.done as u64, at.of as u64);
    let found = records::verify::verify(data, moment, &step);
    found.map(LookedOver::Data).map_err(|fault| of_data(&fault))
}

/// A fault of a data folder.
pub(crate) fn of_data(fault: &records::verify::Fault) -> ApiError {
    let cancelled = fault.kind == records::verify::FaultKind::Cancelled;
    fault_error(&fault.kind, cancelled, fault)
}

/// Looks over a shared folder against the crew that this device has confirmed.
pub(crate) fn shared(
    store: &FolderStore,
    known: &sync::verify::Known,
    on: &OnVerify<'_>,
) -> Result<LookedOver, ApiError> {
    let step = |at: sync::Progress| on(at.what, at.done, at.of);
    let found = sync::verify::verify(store, known, &step);
    if let Ok(found) = &found
        && found.newer > 0
    {
        return Err(ApiError::new(
            ErrorCode::Newer,
            format!(
                "{} written by a newer version and could not be looked at; in the rest nothing wrong was \
                 found. Update the program.",
                match found.newer {
                    1 => "One piece of a log was".to_owned(),
                    more => format!("{more} pieces of logs were"),
                }
            ),
        ));
    }
    found.map(LookedOver::Shared).map_err(|fault| {
        let cancelled = fault.kind == sync::verify::FolderFaultKind::Cancelled;
        fault_error(&fault.kind, cancelled, &fault)
    })
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
