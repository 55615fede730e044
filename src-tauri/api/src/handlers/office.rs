//! Handing over, looking over, and the state as scripts read it.

use std::ops::ControlFlow;
use std::path::PathBuf;

use handover::Step;
use records::ids::{BookId, Hash};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use ts_rs::TS;

use super::jobs::OfJob;
use super::{job_id, some_text};
use crate::acts::office as acts;
use crate::app::held;
use crate::boundary::Nothing;
use crate::claim::plain;
use crate::tasks::{Progress, TaskStarted};
use crate::views::state::JobState;
use crate::written::HANDOVERS;
use crate::{ApiError, App, ErrorCode};

/// Hands a job over.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct HandOver {
    /// The job.
    pub job: String,
    /// The folder to write; it must not exist or be empty. Without one: `handovers/` in the data folder.
    #[serde(default)]
    #[ts(optional)]
    pub folder: Option<String>,
}

/// A handover that was written.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct HandedOver {
    /// Pieces of evidence that are missing; none where that can't be worked out.
    pub evidence_lacking: Option<u32>,
    /// The folder.
    pub folder: String,
    /// The document as `handOut` takes it; none where a folder was named, since the person knows that one.
    pub pdf: Option<String>,
    /// SHA-256 of the document.
    pub document: Hash,
    /// Number of files.
    pub files: usize,
    /// Bytes of all files.
    pub bytes: u64,
    /// Originals in it.
    pub originals: usize,
    /// Originals that are not on this device, or no longer whole there.
    pub missing: usize,
}

/// Starts writing a handover folder: document, data, books, originals, sums.
pub fn start_handover(app: &App, request: HandOver) -> Result<TaskStarted, ApiError> {
    let job = job_id(&request.job)?;
    let (folder, pdf) = folder_for(app, job, request.folder.as_deref())?;
    let record = app.shared_record();
    app.tasks.start("handover", move |progress| {
        let ready = acts::ready(&mut held(&record), job)?;
        let sign = |domain: &str, bytes: &[u8]| acts::sign(&held(&record), domain, bytes);
        let made = ready.write(&folder, &sign, &|at| step(progress, at))?;
        plain(&HandedOver { pdf, ..made })
    })
}

/// The folder that is named, else one in the data folder that says when it was made, with how its document is
/// asked for.
fn folder_for(
    app: &App,
    job: BookId,
    named: Option<&str>,
) -> Result<(PathBuf, Option<String>), ApiError> {
    if let Some(named) = named {
        let folder = PathBuf::from(some_text("The folder", named)?);
        if !folder.is_absolute() {
            return Err(ApiError::invalid(
                "Give the whole path of the folder, from the root. Nothing was written.",
            ));
        }
        return Ok((folder, None));
    }
    let at = app.record().clock().now_ms();
    let name = format!("{job}-{at}");
    let pdf = format!("{HANDOVERS}/{name}.pdf");
    Ok((app.data().join(HANDOVERS).join(name), Some(pdf)))
}

impl From<handover::HandoverError> for ApiError {
    fn from(error: handover::HandoverError) -> Self {
        let code = match &error {
            handover::HandoverError::Cancelled => ErrorCode::Cancelled,
            handover::HandoverError::NotEmpty(_) | handover::HandoverError::Taken(_) => {
                ErrorCode::Invalid
            }
            handover::HandoverError::NoTemplate(_) => ErrorCode::Invalid,
            handover::HandoverError::NoSuchRun(_) => ErrorCode::NotFound,
            _ => ErrorCode::Storage,
        };
        ApiError::new(code, error.to_string())
    }
}

fn step(progress: &Progress, at: handover::Progress) -> ControlFlow<()> {
    let what = match at.step {
        Step::Pictures => "pictures",
        Step::Document => "document",
        Step::Files => "files",
    };
    progress.tell(at.done as u64, at.of as u64, what)
}

/// The state of a job, and its hash.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StateView {
    /// SHA-256 over the sorted projection rows.
    pub hash: String,
    /// The whole job: claims, lines, disputes, decisions, admissions; sorted, integers only.
    #[ts(as = "JobState")]
    #[schemars(with = "JobState")]
    pub state: Value,
}

/// Tells the whole job as stable JSON, with the state's hash.
pub fn read_state(app: &App, request: OfJob) -> Result<StateView, ApiError> {
    acts::state(&mut app.record(), job_id(&request.job)?)
}

/// A book's state hash.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BookHash {
    /// The book.
    pub book: String,
    /// Its state's hash.
    pub hash: String,
}

/// What a rebuild found.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Rebuilt {
    /// Hashes before.
    pub before: Vec<BookHash>,
    /// Hashes after.
    pub after: Vec<BookHash>,
    /// Whether they are the same.
    pub same: bool,
    /// Lines of the journal that are no entries any more; `verify` names the first.
    pub unreadable: usize,
    /// What was saved on this device and does not count any more, in words; left out where nothing.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub broken_off: Option<String>,
}

/// Deletes the index, makes it anew from the journal, and tells the hashes before and after.
pub fn rebuild(app: &App, _: Nothing) -> Result<Rebuilt, ApiError> {
    acts::rebuild(&mut app.record())
}
