//! Meeting other devices through a shared folder: sharing, joining, exchanging.

use std::path::{Path, PathBuf};
use std::sync::Mutex;

use records::Record;
use records::ids::BookId;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sync::{FolderStore, SyncError};
use ts_rs::TS;

use super::jobs::OfJob;
use super::{job_id, some_text};
use crate::acts::exchange as acts;
use crate::app::held;
use crate::boundary::Nothing;
use crate::claim::plain;
use crate::tasks::{Progress, TaskStarted};
use crate::views::overview::{self, Overview};
use crate::{ApiError, App, ErrorCode};

impl From<SyncError> for ApiError {
    fn from(error: SyncError) -> Self {
        let code = match &error {
            SyncError::Newer => ErrorCode::Newer,
            SyncError::OtherDigits | SyncError::NotConfirmed | SyncError::OtherCrew => {
                ErrorCode::Invalid
            }
            _ => ErrorCode::Storage,
        };
        if error.is_temporary() {
            ApiError::retryable(code, error.to_string())
        } else {
            ApiError::new(code, error.to_string())
        }
    }
}

/// Names a shared folder.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfFolder {
    /// Path of the folder on this device.
    pub folder: String,
}

/// Opens a folder that somebody names by its whole path; the record is free meanwhile.
fn open_folder(app: &App, path: &str) -> Result<(FolderStore, PathBuf), ApiError> {
    let device = acts::signing_device(&app.record())?;
    let path = PathBuf::from(some_text("The folder", path)?);
    if !path.is_absolute() {
        return Err(ApiError::invalid(
            "Give the whole path of the shared folder, from the root.",
        ));
    }
    acts::not_private(app.data(), &path)?;
    match FolderStore::open(&path, &device) {
        Err(SyncError::NoFolder) => Err(ApiError::new(
            ErrorCode::Storage,
            "There is no folder at this place. Make it first, or connect the drive that it is on, and \
             name it again. Nothing was changed.",
        )),
        store => Ok((store?, path)),
    }
}

/// The current crew and its shared folder.
pub(super) fn folder_of(record: &Mutex<Record>) -> Result<(BookId, FolderStore), ApiError> {
    let (folder, device, crew) = {
        let record = held(record);
        let folder = acts::folder_path(&record)?;
        let device = acts::signing_device(&record)?;
        (folder, device, acts::current(&record)?)
    };
    Ok((crew, FolderStore::open(&folder, &device)?))
}

/// Makes a folder the shared folder of the current crew.
pub fn share(app: &App, request: OfFolder) -> Result<Overview, ApiError> {
    let (store, path) = open_folder(app, &request.folder)?;
    let record = app.shared_record();
    let crew = acts::current(&held(&record))?;
    let known = acts::KnownFolder::of(&held(&record), crew)?;
    known.takes(&store, crew, &path)?;
    let shared = sync::share_crew(&store, &record, crew)?;
    let mut record = held(&record);
    acts::note_folder(&record, crew, &path.to_string_lossy(), &shared)?;
    overview::overview(&mut record)
}

/// Asks to join the crew of a shared folder.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Join {
    /// Path of the folder on this device.
    pub folder: String,
}

/// The digits that two people compare.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Digits {
    /// The device that asks.
    pub device: String,
    /// First name on it.
    pub name: String,
    /// 16 digits in four groups.
    pub digits: String,
    /// What the QR picture carries: founding hash and public key, whole.
    pub whole: String,
    /// The person of the crew whom it says to be at it, by name; left out for somebody new.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub says_it_is: Option<String>,
}

/// Asks to join the crew of a folder: writes this device's card there and shows digits to compare.
pub fn join(app: &App, request: Join) -> Result<Digits, ApiError> {
    let (store, path) = open_folder(app, &request.folder)?;
    let record = app.shared_record();
    let name = acts::own_name(&held(&record))?;
    let joining = sync::join(&store, &record, &name)?;
    let record = held(&record);
    acts::note_joining(&record, &path, &joining.founding)?;
    Ok(Digits::own(&record, name, joining))
}

impl Digits {
    fn own(record: &Record, name: String, joining: sync::Joining) -> Self {
        let key = String::from(record.signer().public());
        Digits {
            device: joining.device.to_string(),
            name,
            digits: joining.digits,
            whole: format!("{} {key}", joining.founding.founding),
            says_it_is: None,
        }
    }
}

/// Confirms the digits on the joining device.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ConfirmJoin {
    /// The digits that the other screen shows.
    pub digits: String,
}

/// Confirms that both screens show the same digits; from then on the crew's jobs come here.
pub fn confirm_join(app: &App, request: ConfirmJoin) -> Result<Overview, ApiError> {
    let record = app.shared_record();
    let path = acts::joining(&held(&record))?;
    let device = held(&record).device().to_string();
    let store = FolderStore::open(Path::new(&path), &device)?;
    let founding = sync::confirm(&store, &record, &request.digits)?;
    let mut record = held(&record);
    acts::note_joined(&record, &path, &founding)?;
    overview::overview(&mut record)
}

/// Keeps a listed job on this device from the next exchange on.
pub fn keep_job(app: &App, request: OfJob) -> Result<Overview, ApiError> {
    sync::choose_job(&app.shared_record(), job_id(&request.job)?)?;
    overview::overview(&mut app.record())
}

/// Which jobs an exchange brings here.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct KeepJobs {
    /// Every job of the crew; else those that were chosen here or are here already.
    pub all: bool,
}

/// Says which jobs exchanges bring here; what is here already stays.
pub fn keep_jobs(app: &App, request: KeepJobs) -> Result<Overview, ApiError> {
    let mut record = app.record();
    let kept = if request.all { "all" } else { "chosen" };
    record.set_setting(overview::KEEP, kept)?;
    overview::overview(&mut record)
}

/// How the exchange stands.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ExchangeView {
    /// The shared folder; none where nothing is shared.
    pub folder: Option<String>,
    /// A folder that this device asked to join and has not confirmed.
    pub joining: Option<String>,
    /// What the last exchange told; none before the first.
    pub last: Option<sync::Report>,
    /// When that was, milliseconds since 1970 UTC.
    pub last_ms: Option<i64>,
    /// Entries of this device that are not in the folder yet.
    pub unshared: u64,
    /// What somebody saw of the crew's books and is not here, or is another here.
    pub not_here: Vec<records::heads::NotHere>,
}

/// Tells how the exchange stands, without looking at the folder.
pub fn read_exchange(app: &App, _: Nothing) -> Result<ExchangeView, ApiError> {
    acts::standing(&mut app.record())
}

/// Starts an exchange.
#[derive(Clone, Copy, Debug, Default, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct StartSync {
    /// Also lists and reads what lies there already, and writes again what was damaged there; it
    /// takes as long as reading all of it takes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub everything: bool,
}

/// Starts an exchange with the shared folder. Two at once would give the same entries to two
/// segments, so a second start is answered with the one that runs.
pub fn start_sync(app: &App, request: StartSync) -> Result<TaskStarted, ApiError> {
    let record = app.shared_record();
    let (_, store) = folder_of(&record)?;
    let all_jobs = overview::keeps_all(&held(&record))?;
    app.tasks.start_alone("sync", move |progress| {
        let report = exchanged(&store, &record, all_jobs, request, progress)?;
        progress.keep_going()?;
        acts::note_report(&held(&record), &report)?;
        plain(&report)
    })
}

/// One exchange, told as it goes.
fn exchanged(
    store: &FolderStore,
    record: &Mutex<Record>,
    all_jobs: bool,
    request: StartSync,
    progress: &Progress,
) -> Result<sync::Report, ApiError> {
    let depth = match request.everything {
        true => sync::Depth::Everything,
        false => sync::Depth::Newest,
    };
    let options = sync::Options {
        all_jobs,
        depth,
        progress: &|step| progress.report(step.done, step.of, step.what),
        stop: &|| progress.cancelled(),
    };
    Ok(sync::exchange(store, record, &options)?)
}
