//! Handing over, looking over, and the state as scripts read it.

use std::ops::ControlFlow;
use std::path::PathBuf;

use handover::{Progress, Source, Step};
use records::ids::Hash;
use records::job::Job;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use ts_rs::TS;

use super::jobs::OfJob;
use super::{job_id, some_text};
use crate::app::{PROGRAM, held};
use crate::boundary::Nothing;
use crate::tasks::{self, TaskStarted};
use crate::views::state::JobState;
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
    let job_id = job_id(&request.job)?;
    let record = app.shared_record();
    let folder = match &request.folder {
        Some(folder) => PathBuf::from(some_text("The folder", folder)?),
        None => {
            let at = held(&record).clock().now_ms();
            app.data().join("handovers").join(format!("{job_id}-{at}"))
        }
    };
    app.tasks.start("handover", move |progress| {
        // Views are copies of references: making a document holds no lock.
        let (view, crew, crew_view, photos, at, by, counts) = {
            let mut record = held(&record);
            let crew_book = record.crew_of_job(job_id)?;
            let person = App::person(&record)?;
            let crew = record.crew(crew_book).clone();
            let by = crew.person_name(&person).unwrap_or_default().to_owned();
            let at = records::clock::next_at(record.clock(), None);
            let counts = record.key_lost().is_none()
                && record
                    .own_member(crew_book)
                    .is_some_and(|m| m.ended.is_none());
            let view = record.view(job_id)?.clone();
            (
                view,
                crew,
                record.view(crew_book)?.clone(),
                record.photos_dir(),
                at,
                by,
                counts,
            )
        };
        let job = Job::read(&view, &crew);
        let sign = |domain: &str, bytes: &[u8]| {
            let record = held(&record);
            (record.device(), record.signer().sign(domain, bytes))
        };
        let source = Source {
            job: &job,
            crew_book: &crew_view,
            photos_dir: &photos,
            program: PROGRAM,
            made: at,
            made_by: &by,
            sign: counts.then_some(&sign),
        };
        // What can't be worked out stands in the document; it keeps nothing from being handed over.
        let lacking = records::work::lacks(&job).map(|l| l.lacking).ok();
        let written = handover::write(&source, &folder, &|p| step(progress, p))?;
        let told = HandedOver {
            evidence_lacking: lacking,
            folder: written.folder.to_string_lossy().into_owned(),
            document: written.document,
            files: written.files,
            bytes: written.bytes,
            originals: written.originals,
            missing: written.missing,
        };
        serde_json::to_value(told).map_err(|e| ApiError::new(ErrorCode::Internal, e.to_string()))
    })
}

impl From<handover::HandoverError> for ApiError {
    fn from(error: handover::HandoverError) -> Self {
        let code = match &error {
            handover::HandoverError::Cancelled => ErrorCode::Cancelled,
            handover::HandoverError::NotEmpty { .. } => ErrorCode::Invalid,
            _ => ErrorCode::Storage,
        };
        ApiError::new(code, error.to_string())
    }
}

fn step(progress: &tasks::Progress, at: Progress) -> ControlFlow<()> {
    let what = match at.step {
        Step::Pictures => "pictures",
        Step::Document => "document",
        Step::Files => "files",
    };
    progress.report(at.done as u64, at.of as u64, what);
    if progress.cancelled() {
        ControlFlow::Break(())
    } else {
        ControlFlow::Continue(())
    }
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
    let job = job_id(&request.job)?;
    let mut record = app.record();
    let crew = record.crew_of_job(job)?;
    let crew = record.crew(crew).clone();
    let state = handover::state(record.view(job)?, &crew);
    let hash = record
        .state_hashes()?
        .into_iter()
        .find(|h| h.book == job)
        .map(|h| h.hash.to_string())
        .unwrap_or_default();
    Ok(StateView { hash, state })
}

/// A book's state hash.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
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
}

/// Deletes the index, makes it anew from the journal, and tells the hashes before and after.
pub fn rebuild(app: &App, _: Nothing) -> Result<Rebuilt, ApiError> {
    let mut record = app.record();
    let hashes = |record: &records::Record| -> Result<Vec<BookHash>, ApiError> {
        Ok(record
            .state_hashes()?
            .into_iter()
            .map(|h| BookHash {
                book: h.book.to_string(),
                hash: h.hash.to_string(),
            })
            .collect())
    };
    let before = hashes(&record)?;
    record.rebuild()?;
    let after = hashes(&record)?;
    let told = |list: &[BookHash]| -> Vec<(String, String)> {
        list.iter()
            .map(|h| (h.book.clone(), h.hash.clone()))
            .collect()
    };
    let same = told(&before) == told(&after);
    Ok(Rebuilt {
        before,
        after,
        same,
    })
}
