//! What a running program holds: the record, and the rooms that commands work in.
//!
//! Invariant: the record's lock is held for one command's own reading or writing, never over the
//! network or another folder's files.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, OnceLock};

use records::Record;
use records::clock::{Clock, SystemClock};
use records::ids::{BookId, PersonId};
use records::job::Job;
use records::photos::PhotoError;
use records::record::told_of_broken_off;

use crate::{
    ApiError, ErrorCode,
    acts::exchange,
    pictures::{Picture, PictureRequest, PictureSize},
    tasks::Tasks,
    uploads::Uploads,
};

/// The version that decisions and documents name.
pub const PROGRAM: &str = concat!("Tautbook ", env!("CARGO_PKG_VERSION"));

/// The open program: handed to every command.
pub struct App {
    /// Long work that is running or has ended.
    pub tasks: Tasks,
    /// Picture and document bytes on their way in.
    pub uploads: Uploads,
    record: Arc<Mutex<Record>>,
    data: PathBuf,
    /// Where the person looks for files that programs save, where the shell tells it.
    pub(crate) downloads: OnceLock<PathBuf>,
}

impl App {
    /// Opens the data folder with the system's clock.
    ///
    /// # Errors
    /// `locked`, `newer` or `storage`; `invalid` where a new data folder would lie in a shared one.
    /// Nothing was changed then.
    pub fn open(data: &Path) -> Result<Self, ApiError> {
        Self::open_with(data, Arc::new(SystemClock))
    }

    /// Opens the data folder with a clock of the caller's.
    ///
    /// # Errors
    /// As for [`App::open`].
    pub fn open_with(data: &Path, clock: Arc<dyn Clock>) -> Result<Self, ApiError> {
        // The key is made as the record is opened: on a share it would be there for all to read.
        if !data.join("device.key").exists() {
            exchange::not_shared(data)?;
        }
        let record = Record::open(data, clock)?;
        // A folder that came without its settings knows by its record who uses it.
        record.settle_local()?;
        // Where it can't be swept now, the next opening does it.
        drop(handover::sweep(&data.join("handovers")));
        Ok(Self {
            tasks: Tasks::default(),
            uploads: Uploads::open(&data.join("uploads"))?,
            record: Arc::new(Mutex::new(record)),
            data: data.to_owned(),
            downloads: OnceLock::new(),
        })
    }

    /// Moves a `local.db` that is damaged, or that is all that is left of a record, to `aside/`,
    /// begins a new one, and takes from the record who uses this device; answers with where the
    /// file lies.
    ///
    /// # Errors
    /// `locked`; `invalid` where the file can be read; `storage`.
    pub fn set_local_aside(data: &Path) -> Result<PathBuf, ApiError> {
        let kept = records::record::set_local_aside(data, &SystemClock)?;
        let record = Record::open(data, Arc::new(SystemClock))?;
        let name = kept.file_name().unwrap_or_default().to_string_lossy();
        record.note_aside(
            &name,
            "this device's settings, which could not be read or told of a journal that is gone; the \
             shared folder has to be named again, and jobs to be chosen again",
        )?;
        record.settle_local()?;
        Ok(kept)
    }

    /// The data folder.
    #[must_use]
    pub fn data(&self) -> &Path {
        &self.data
    }

    /// What of a job was saved on this device and does not count any more, as a sentence that says what to do;
    /// none where all is whole.
    ///
    /// # Errors
    /// When the job's id is none, or the index can't be read.
    pub fn broken_off(&self, job: &str) -> Result<Option<String>, ApiError> {
        let lost = self.record().broken_off_of_job(job.parse::<BookId>()?)?;
        Ok(told_of_broken_off(lost))
    }

    /// The record, for as long as the guard lives.
    pub(crate) fn record(&self) -> MutexGuard<'_, Record> {
        held(&self.record)
    }

    /// The record for work on another thread.
    pub(crate) fn shared_record(&self) -> Arc<Mutex<Record>> {
        Arc::clone(&self.record)
    }

    /// Reads a job and gives what `read` makes of it.
    pub(crate) fn with_job<T>(
        &self,
        job: BookId,
        read: impl FnOnce(&Job<'_>) -> Result<T, ApiError>,
    ) -> Result<T, ApiError> {
        let mut record = self.record();
        let job = record.job(job)?;
        read(&job)
    }

    /// The person who uses this device now.
    pub(crate) fn person(record: &Record) -> Result<PersonId, ApiError> {
        record.person()?.ok_or_else(|| {
            ApiError::new(
                ErrorCode::NotFound,
                "Nobody is known on this device yet. Say first who you are.",
            )
        })
    }

    /// Reads a picture of the record in a size.
    ///
    /// # Errors
    /// `notFound` when the record has no such picture, or it has not arrived; `fault` when what lies here
    /// under its hash is something else.
    pub fn picture(&self, asked: &PictureRequest) -> Result<Picture, ApiError> {
        let missing = || ApiError::new(ErrorCode::NotFound, "That picture is not here yet.");
        let bytes = self.original(&asked.sha256)?;
        let content_type = match bytes.get(..4) {
            Some([0xff, 0xd8, 0xff, _]) => "image/jpeg",
            Some([0x89, b'P', b'N', b'G']) => "image/png",
            // Documents are kept as files; only pictures are shown.
            _ if asked.size == PictureSize::Original => "application/octet-stream",
            _ => return Err(missing()),
        };
        Ok(Picture {
            content_type,
            bytes,
        })
    }

    /// The bytes of an object of the record, whose hash was looked at.
    ///
    /// # Errors
    /// As for [`App::picture`].
    pub(crate) fn original(&self, sha256: &str) -> Result<Vec<u8>, ApiError> {
        let photos = self.record().photos_dir();
        records::photos::read(&photos, sha256).map_err(|error| match error {
            PhotoError::Damaged { .. } => ApiError::new(
                ErrorCode::Fault,
                "The file that is kept here was changed or damaged, so it is not handed out. Exchange \
                 everything with the crew's folder to bring it back.",
            ),
            _ => ApiError::new(ErrorCode::NotFound, "That picture or document is not here yet."),
        })
    }
}

/// Locks, also after a panic of another holder: the record's truth is on disk.
pub(crate) fn held<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex
        .lock()
        .unwrap_or_else(std::sync::PoisonError::into_inner)
}

impl From<records::RecordError> for ApiError {
    fn from(error: records::RecordError) -> Self {
        use records::RecordError as E;
        use records::photos::PhotoError;
        let code = match &error {
            E::InUse => ErrorCode::Locked,
            E::Newer { .. } | E::SegmentNewer(_) => ErrorCode::Newer,
            E::File { .. } | E::Index(_) | E::LocalDamaged(_) | E::Randomness(_) => {
                ErrorCode::Storage
            }
            E::Photo(PhotoError::File { .. }) => ErrorCode::Storage,
            E::Unknown { .. } => ErrorCode::NotFound,
            E::Damaged(_) | E::JournalGone | E::Segment(_) | E::Signature(_) => ErrorCode::Fault,
            _ => ErrorCode::Invalid,
        };
        Self::new(code, error.to_string())
    }
}
