//! Meeting other devices through a shared folder: sharing, joining, exchanging.

use std::path::{Path, PathBuf};
use std::sync::Mutex;

use records::ids::BookId;
use records::{Record, RecordError};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use sync::{FolderStore, SyncError};
use ts_rs::TS;

use super::{job_id, some_text};
use crate::app::held;
use crate::boundary::Nothing;
use crate::tasks::TaskStarted;
use crate::views::overview::{self, Overview, folder_setting};
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

fn open_folder(app: &App, path: &str) -> Result<(FolderStore, PathBuf), ApiError> {
    let device = {
        let record = app.record();
        can_sign(&record)?;
        record.device().to_string()
    };
    let path = PathBuf::from(some_text("The folder", path)?);
    if !path.is_absolute() {
        return Err(ApiError::invalid(
            "Give the whole path of the shared folder, from the root.",
        ));
    }
    Ok((FolderStore::open(&path, &device)?, path))
}

/// A card and every piece of a log are signed.
fn can_sign(record: &Record) -> Result<(), ApiError> {
    match record.key_lost() {
        Some(lost) => Err(ApiError::invalid(format!("{lost}."))),
        None => Ok(()),
    }
}

pub(super) fn current(record: &Record) -> Result<BookId, ApiError> {
    record
        .current_crew()?
        .ok_or_else(|| ApiError::invalid("There is no crew yet. Say first who you are."))
}

pub(super) fn folder_of(record: &Mutex<Record>) -> Result<(BookId, FolderStore), ApiError> {
    let folder = folder_path(record)?;
    let (crew, device) = {
        let record = held(record);
        can_sign(&record)?;
        (current(&record)?, record.device().to_string())
    };
    Ok((crew, FolderStore::open(&folder, &device)?))
}

/// Where the current crew's shared folder is on this device.
pub(crate) fn folder_path(record: &Mutex<Record>) -> Result<PathBuf, ApiError> {
    let record = held(record);
    let folder = record.setting(&folder_setting(current(&record)?))?;
    folder.map(PathBuf::from).ok_or_else(|| {
        ApiError::new(
            ErrorCode::NotFound,
            "No shared folder is set. Share one, or join one, first.",
        )
    })
}

/// Makes a folder the shared folder of the current crew.
pub fn share(app: &App, request: OfFolder) -> Result<Overview, ApiError> {
    let (store, path) = open_folder(app, &request.folder)?;
    let record = app.shared_record();
    let crew = current(&held(&record))?;
    one_folder(&store, &record, crew, &path)?;
    let shared = sync::share_crew(&store, &record, crew)?;
    let mut record = held(&record);
    record.set_setting(&folder_setting(crew), &path.to_string_lossy())?;
    record.set_setting(&folder_id_setting(crew), &shared.folder)?;
    overview::overview(&mut record)
}

/// A crew has one shared folder: another place is taken where it holds a copy of that folder, and
/// not where the crew would be split over two.
fn one_folder(
    store: &FolderStore,
    record: &Mutex<Record>,
    crew: BookId,
    path: &Path,
) -> Result<(), ApiError> {
    let (known, id) = {
        let record = held(record);
        let known = record.setting(&folder_setting(crew))?;
        (known, record.setting(&folder_id_setting(crew))?)
    };
    let Some(known) = known.filter(|known| Path::new(known) != path) else {
        return Ok(());
    };
    let there = sync::read_founding(store).ok();
    let id = id.or_else(|| {
        let device = held(record).device().to_string();
        let before = FolderStore::open(Path::new(&known), &device).ok()?;
        sync::read_founding(&before).ok().map(|f| f.folder)
    });
    if there.is_some_and(|there| there.book == crew.to_string() && Some(there.folder) == id) {
        return Ok(());
    }
    Err(ApiError::invalid(format!(
        "The crew already shares {known}, and a second folder would split it: each device would \
         see only what lies in its own. Nothing was changed. To move, copy that folder whole, with \
         its file tautbook.json, to the new place, and share it there on every device."
    )))
}

fn folder_id_setting(crew: BookId) -> String {
    format!("folderId:{crew}")
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
    let name = own_name(&held(&record))?;
    let joining = sync::join(&store, &record, &name)?;
    let record = held(&record);
    record.set_setting(JOINING, &path.to_string_lossy())?;
    let key = String::from(record.signer().public());
    Ok(Digits {
        device: joining.device.to_string(),
        name,
        digits: joining.digits,
        whole: format!("{} {key}", joining.founding.founding),
        says_it_is: None,
    })
}

const JOINING: &str = "joining";

fn own_name(record: &Record) -> Result<String, ApiError> {
    let person = App::person(record)?;
    let name = record
        .crew_books()
        .iter()
        .find_map(|book| record.crew(*book).person_name(&person).map(str::to_owned));
    name.ok_or_else(|| ApiError::invalid("Say first who you are."))
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
    let path = held(&record).setting(JOINING)?.ok_or_else(|| {
        ApiError::new(
            ErrorCode::NotFound,
            "This device has not asked to join. Choose the folder first.",
        )
    })?;
    let device = held(&record).device().to_string();
    let store = FolderStore::open(Path::new(&path), &device)?;
    let founding = sync::confirm(&store, &record, &request.digits)?;
    let crew: BookId = founding.book.parse()?;
    let mut record = held(&record);
    record.set_setting(&folder_setting(crew), &path)?;
    record.set_setting(&folder_id_setting(crew), &founding.folder)?;
    record.set_setting("crew", &crew.to_string())?;
    record.clear_setting(JOINING)?;
    overview::overview(&mut record)
}

/// Keeps a listed job on this device from the next exchange on.
pub fn keep_job(app: &App, request: super::jobs::OfJob) -> Result<Nothing, ApiError> {
    sync::choose_job(&app.shared_record(), job_id(&request.job)?)?;
    Ok(Nothing {})
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

pub(super) const LAST_REPORT: &str = "lastReport";
pub(super) const LAST_MS: &str = "lastExchangeMs";

/// Tells how the exchange stands, without looking at the folder.
pub fn read_exchange(app: &App, _: Nothing) -> Result<ExchangeView, ApiError> {
    let mut record = app.record();
    let crew = record.current_crew()?;
    let folder = match crew {
        Some(crew) => record.setting(&folder_setting(crew))?,
        None => None,
    };
    let unshared = match (crew, &folder) {
        (Some(crew), Some(_)) if record.crew_books().contains(&crew) => {
            unshared(&mut record, crew)?
        }
        // Just joined: the crew's book comes with the first exchange.
        _ => 0,
    };
    let not_here = match crew {
        Some(crew) => record.not_here(crew)?,
        None => Vec::new(),
    };
    let last = record
        .setting(LAST_REPORT)?
        .and_then(|t| serde_json::from_str(&t).ok());
    Ok(ExchangeView {
        folder,
        joining: record.setting(JOINING)?,
        last,
        last_ms: record.setting(LAST_MS)?.and_then(|t| t.parse().ok()),
        unshared,
        not_here,
    })
}

pub(super) fn unshared(record: &mut Record, crew: BookId) -> Result<u64, ApiError> {
    let mut count = 0;
    let mut books = record.kept_jobs(crew)?;
    books.push(crew);
    for book in books {
        let sent: u64 = record
            .setting(&sent_setting(book))?
            .and_then(|n| n.parse().ok())
            .unwrap_or(0);
        count += match record.own_after(book, sent) {
            Ok(own) => own.len() as u64,
            // The list of jobs tells of a book that can't be read; the others go on.
            Err(RecordError::Damaged(_)) => 0,
            Err(error) => return Err(error.into()),
        };
    }
    Ok(count)
}

fn sent_setting(book: BookId) -> String {
    format!("sent:{book}")
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
        let report = sync::exchange(
            &store,
            &record,
            &sync::Options {
                all_jobs,
                depth: match request.everything {
                    true => sync::Depth::Everything,
                    false => sync::Depth::Newest,
                },
                progress: &|step| progress.report(step.done, step.of, step.what),
                stop: &|| progress.cancelled(),
            },
        )?;
        progress.keep_going()?;
        let told = serde_json::to_value(&report)
            .map_err(|e| ApiError::new(ErrorCode::Internal, e.to_string()))?;
        let record = held(&record);
        record.set_setting(LAST_REPORT, &told.to_string())?;
        let now = record.clock().now_ms();
        record.set_setting(LAST_MS, &now.to_string())?;
        if report.shared {
            // Not the heads of this moment: people record while an exchange runs.
            for (book, last) in &report.made_to {
                record.set_setting(&sent_setting(*book), &last.to_string())?;
            }
        }
        Ok(told)
    })
}
