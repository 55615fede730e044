//! Meeting other devices through a shared folder.
//!
//! One file past 400 lines, since each step of meeting rests on what the one before it left.

use std::path::{Path, PathBuf};
use std::sync::Mutex;

use records::crew::{Member, Person, Role, same_digits};
use records::ids::{BookId, DeviceId};
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
    let device = app.record().device().to_string();
    let path = PathBuf::from(some_text("The folder", path)?);
    if !path.is_absolute() {
        return Err(ApiError::invalid(
            "Give the whole path of the shared folder, from the root.",
        ));
    }
    Ok((FolderStore::open(&path, &device)?, path))
}

fn current(record: &Record) -> Result<BookId, ApiError> {
    record
        .current_crew()?
        .ok_or_else(|| ApiError::invalid("There is no crew yet. Say first who you are."))
}

fn folder_of(record: &Mutex<Record>) -> Result<(BookId, FolderStore), ApiError> {
    let folder = folder_path(record)?;
    let (crew, device) = {
        let record = held(record);
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
    sync::share_crew(&store, &record, crew)?;
    let mut record = held(&record);
    record.set_setting(&folder_setting(crew), &path.to_string_lossy())?;
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
    record.set_setting("crew", &crew.to_string())?;
    record.clear_setting(JOINING)?;
    overview::overview(&mut record)
}

/// Devices that ask to be admitted.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Applicants {
    /// One for each device.
    pub devices: Vec<Digits>,
}

/// Lists devices in the shared folder that ask to be admitted, with the digits to compare.
pub fn applicants(app: &App, _: Nothing) -> Result<Applicants, ApiError> {
    let record = app.shared_record();
    let (crew, store) = folder_of(&record)?;
    let found = sync::applicants(&store, &record, crew)?;
    let founding = held(&record)
        .crew(crew)
        .founding
        .map(|f| f.to_string())
        .unwrap_or_default();
    let devices = found
        .into_iter()
        .map(|one| Digits {
            device: one.card.device.to_string(),
            name: one.card.name.clone(),
            digits: one.digits,
            whole: format!("{founding} {}", String::from(one.card.key)),
        })
        .collect();
    Ok(Applicants { devices })
}

/// Admits a device to the crew.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Admit {
    /// The device.
    pub device: String,
    /// The digits that its screen shows.
    pub digits: String,
    /// What it is mostly used for.
    pub role: Role,
}

/// Admits a device whose digits were compared; its entries count from the first on.
pub fn admit(app: &App, request: Admit) -> Result<Overview, ApiError> {
    let device: DeviceId = request.device.parse()?;
    let record = app.shared_record();
    let (crew, store) = folder_of(&record)?;
    let one = sync::applicant(&store, &record, crew, &device)?;
    if !same_digits(&one.digits, &request.digits) {
        return Err(ApiError::invalid(
            "The digits differ. Somebody else may stand between the two devices: compare again, \
             side by side. Nothing was changed.",
        ));
    }
    let mut record = held(&record);
    let me = App::person(&record)?;
    if !record.own_member(crew).is_some_and(|m| m.keeper) {
        return Err(ApiError::invalid(
            "Only the founder and keepers of the crew can admit a device. Ask one of them.",
        ));
    }
    let id = one
        .card
        .person
        .map_or_else(records::ids::PersonId::random, Ok)?;
    let persons = vec![Person {
        id,
        name: one.card.name.clone(),
    }];
    record.admit(crew, me, one.card.key, persons, request.role)?;
    overview::overview(&mut record)
}

/// Names a device of the crew.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfDevice {
    /// The device.
    pub device: String,
}

/// Takes a new identity after this device's record went two ways, as after a backup was put back.
pub fn new_identity(app: &App, _: Nothing) -> Result<Overview, ApiError> {
    let mut record = app.record();
    let crew = current(&record)?;
    let me = record.device();
    if !record.view(crew)?.forked().contains(&me) && !overview::forked_in_jobs(&mut record, crew)? {
        return Err(ApiError::invalid(
            "This device's record has one line only; it needs no new identity.",
        ));
    }
    let members = &record.crew(crew).members;
    let may_admit = |device: &DeviceId, member: &Member| {
        *device != me && member.keeper && member.ended.is_none()
    };
    if !members
        .iter()
        .any(|(device, member)| may_admit(device, member))
    {
        return Err(ApiError::invalid(
            "This device alone may admit others, so nobody could admit it again. Name another \
             device of the crew a keeper first (admit one where there is none), exchange on both, \
             then take the new identity. Nothing was changed.",
        ));
    }
    record.take_new_identity()?;
    overview::overview(&mut record)
}

/// Names a device of the crew a keeper, who may admit and end others; the founder alone can.
pub fn name_keeper(app: &App, request: OfDevice) -> Result<Overview, ApiError> {
    let device: DeviceId = request.device.parse()?;
    let mut record = app.record();
    let crew = current(&record)?;
    let me = App::person(&record)?;
    if record.crew(crew).founder != Some(record.device()) {
        return Err(ApiError::invalid(
            "Only the device that founded the crew can name a keeper. Ask there.",
        ));
    }
    match record.crew(crew).member(&device) {
        None => Err(ApiError::new(
            ErrorCode::NotFound,
            "This device is not in the crew. Admit it first.",
        )),
        Some(member) if member.ended.is_some() => Err(ApiError::invalid(
            "This device was ended; it can't be a keeper.",
        )),
        Some(member) if member.keeper => overview::overview(&mut record),
        Some(_) => {
            record.name_keeper(crew, me, device)?;
            overview::overview(&mut record)
        }
    }
}

/// Ends a device: what it recorded so far still counts, nothing after it.
pub fn end_device(app: &App, request: OfDevice) -> Result<Overview, ApiError> {
    let device: DeviceId = request.device.parse()?;
    let mut record = app.record();
    let crew = current(&record)?;
    let me = App::person(&record)?;
    if !record.own_member(crew).is_some_and(|m| m.keeper) {
        return Err(ApiError::invalid(
            "Only the founder and keepers of the crew can end a device.",
        ));
    }
    record.end_device(crew, me, device)?;
    overview::overview(&mut record)
}

/// Keeps a listed job on this device from the next exchange on.
pub fn keep_job(app: &App, request: super::jobs::OfJob) -> Result<Nothing, ApiError> {
    sync::choose_job(&app.shared_record(), job_id(&request.job)?)?;
    Ok(Nothing {})
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

const LAST_REPORT: &str = "lastReport";
const LAST_MS: &str = "lastExchangeMs";

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

fn unshared(record: &mut Record, crew: BookId) -> Result<u64, ApiError> {
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

/// Starts an exchange with the shared folder. Two at once would give the same entries to two
/// segments, so a second start is answered with the one that runs.
pub fn start_sync(app: &App, _: Nothing) -> Result<TaskStarted, ApiError> {
    let record = app.shared_record();
    let (crew, store) = folder_of(&record)?;
    app.tasks.start_alone("sync", move |progress| {
        let report = sync::exchange(
            &store,
            &record,
            &sync::Options {
                all_jobs: true,
                progress: &|step| progress.report(step.done, step.of, step.what),
                stop: &|| progress.cancelled(),
                ..sync::Options::default()
            },
        )?;
        progress.keep_going()?;
        let told = serde_json::to_value(&report)
            .map_err(|e| ApiError::new(ErrorCode::Internal, e.to_string()))?;
        let mut record = held(&record);
        record.set_setting(LAST_REPORT, &told.to_string())?;
        let now = record.clock().now_ms();
        record.set_setting(LAST_MS, &now.to_string())?;
        if report.shared {
            note_sent(&mut record, crew)?;
        }
        Ok(told)
    })
}

fn note_sent(record: &mut Record, crew: BookId) -> Result<(), ApiError> {
    let me = record.device();
    let mut books = record.kept_jobs(crew)?;
    books.push(crew);
    for book in books {
        let head = match record.view(book) {
            Ok(view) => view.heads().get(&me).map_or(0, |(n, _)| *n),
            // The list of jobs tells of a book that can't be read; the others go on.
            Err(RecordError::Damaged(_)) => continue,
            Err(error) => return Err(error.into()),
        };
        record.set_setting(&sent_setting(book), &head.to_string())?;
    }
    Ok(())
}
