//! Handing over and the state as scripts read it: what of the record goes into either.

use std::path::{Path, PathBuf};

use handover::{OnProgress, Sign, Source};
use records::Record;
use records::book::BookView;
use records::crew::Crew;
use records::entry::At;
use records::ids::{BookId, DeviceId};
use records::job::Job;
use records::work;

use crate::app::PROGRAM;
use crate::handlers::office::{BookHash, HandedOver, Rebuilt, StateView};
use crate::{ApiError, App};

/// All that a handover is made from. Views are copies of references: making a document holds no
/// record.
pub(crate) struct Ready {
    view: BookView,
    crew: Crew,
    crew_view: BookView,
    photos: PathBuf,
    at: At,
    by: String,
    broken_off: usize,
    counts: bool,
}

/// Takes what a handover of a job is made from, as the record stands now.
pub(crate) fn ready(record: &mut Record, job: BookId) -> Result<Ready, ApiError> {
    let crew_book = record.crew_of_job(job)?;
    let person = App::person(record)?;
    let crew = record.crew(crew_book).clone();
    let own = record.own_member(crew_book);
    let counts = record.key_lost().is_none() && own.is_some_and(|m| m.ended.is_none());
    Ok(Ready {
        by: crew.person_name(&person).unwrap_or_default().to_owned(),
        broken_off: record.broken_off_of_job(job)?,
        at: records::clock::next_at(record.clock(), None),
        view: record.view(job)?.clone(),
        crew_view: record.view(crew_book)?.clone(),
        photos: record.photos_dir(),
        crew,
        counts,
    })
}

/// Signs as this device.
pub(crate) fn sign(record: &Record, domain: &str, bytes: &[u8]) -> (DeviceId, String) {
    (record.device(), record.signer().sign(domain, bytes))
}

impl Ready {
    /// Writes the folder, signed where the crew counts this device.
    pub(crate) fn write(
        &self,
        folder: &Path,
        sign: &Sign<'_>,
        on: &OnProgress<'_>,
    ) -> Result<HandedOver, ApiError> {
        let job = Job::read(&self.view, &self.crew);
        let source = Source {
            job: &job,
            crew_book: &self.crew_view,
            photos_dir: &self.photos,
            program: PROGRAM,
            made: self.at,
            made_by: &self.by,
            broken_off: self.broken_off,
            sign: self.counts.then_some(sign),
        };
        // What can't be worked out stands in the document; it keeps nothing from being handed over.
        let lacking = work::lacks(&job).map(|l| l.lacking).ok();
        let written = handover::write(&source, folder, on)?;
        Ok(HandedOver {
            pdf: None,
            evidence_lacking: lacking,
            folder: written.folder.to_string_lossy().into_owned(),
            document: written.document,
            files: written.files,
            bytes: written.bytes,
            originals: written.originals,
            missing: written.missing,
        })
    }
}

/// The whole job as stable JSON, with the state's hash.
pub(crate) fn state(record: &mut Record, job: BookId) -> Result<StateView, ApiError> {
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

/// Makes the index anew from the journal, and holds the hashes before against those after.
pub(crate) fn rebuild(record: &mut Record) -> Result<Rebuilt, ApiError> {
    let before = hashes(record)?;
    let unreadable = record.rebuild()?;
    let after = hashes(record)?;
    Ok(Rebuilt {
        same: before == after,
        before,
        after,
        unreadable,
        broken_off: record.broken_off_told()?,
    })
}

fn hashes(record: &Record) -> Result<Vec<BookHash>, ApiError> {
    let hashes = record.state_hashes()?.into_iter().map(|h| BookHash {
        book: h.book.to_string(),
        hash: h.hash.to_string(),
    });
    Ok(hashes.collect())
}
