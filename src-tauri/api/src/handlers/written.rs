//! PDFs that the program wrote, and documents of the record, handed out to the person.

use std::path::{Path, PathBuf};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{job_id, some_text};
use crate::acts::pictures as acts;
use crate::written::WrittenRequest;
use crate::{ApiError, App};

/// Asks for a copy of a template, of labels or of a handover's document.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct HandOut {
    /// The file as it was told when it was written, under `templates/`, `labels/` or `handovers/` of the data folder.
    pub file: String,
    /// The folder to copy it into, which must be there. Without one: the person's own folder for
    /// downloads, where the device names one.
    #[serde(default)]
    #[ts(optional)]
    pub to: Option<String>,
}

/// Where the copy lies.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct HandedOut {
    /// The copy.
    pub file: String,
    /// Its size.
    pub bytes: usize,
}

impl HandedOut {
    fn at((file, bytes): (impl AsRef<Path>, usize)) -> Self {
        HandedOut {
            file: file.as_ref().display().to_string(),
            bytes,
        }
    }
}

/// Copies a PDF that the program wrote to where the person finds it; nothing is overwritten.
pub fn hand_out(app: &App, request: HandOut) -> Result<HandedOut, ApiError> {
    let asked = WrittenRequest::told(&request.file)?;
    let to = folder(request.to.as_deref())?;
    Ok(HandedOut::at(app.hand_out(&asked, to.as_deref())?))
}

/// Asks for a copy of a document as it was taken in.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct HandOutDocument {
    /// The job.
    pub job: String,
    /// The document's subject.
    pub document: String,
    /// The folder to copy it into, as for `handOut`.
    #[serde(default)]
    #[ts(optional)]
    pub to: Option<String>,
}

/// Copies a document to where the person finds it, once its bytes are those that were taken in.
pub fn hand_out_document(app: &App, request: HandOutDocument) -> Result<HandedOut, ApiError> {
    let job = job_id(&request.job)?;
    let to = folder(request.to.as_deref())?;
    let document = app.with_job(job, |job| acts::document_of(job, &request.document))?;
    Ok(HandedOut::at(
        app.hand_out_document(&document, to.as_deref())?,
    ))
}

/// The folder that a person named to save into, if any.
fn folder(to: Option<&str>) -> Result<Option<PathBuf>, ApiError> {
    let named = to.map(|to| some_text("The folder", to)).transpose()?;
    Ok(named.map(PathBuf::from))
}
