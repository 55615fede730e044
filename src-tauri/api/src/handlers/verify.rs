//! Looking over: this device's data folder, a shared folder, a handover.

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

use records::Record;
use records::ids::BookId;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::Value;
use sync::FolderStore;
use ts_rs::TS;

use super::some_text;
use crate::acts::exchange::folder_path;
use crate::acts::verify as acts;
use crate::app::held;
use crate::claim::plain;
use crate::tasks::TaskStarted;
use crate::{ApiError, App};

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
    /// For a handover, the founding entry of the crew that it must be of: 64 hex digits.
    #[serde(default)]
    #[ts(optional)]
    pub crew: Option<String>,
}

/// What was looked over and found in order.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(tag = "kind", rename_all = "camelCase")]
pub enum LookedOver {
    /// This device's data folder.
    Data(records::verify::Summary),
    /// A shared folder.
    Shared(sync::verify::Verified),
    /// A handover folder.
    Handover(HandoverView),
}

/// A handover that was looked over.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct HandoverView {
    /// Files whose sums were right.
    pub files: usize,
    /// Entries of the job's book.
    pub entries: usize,
    /// Entries of the crew's book.
    pub crew_entries: usize,
    /// Originals that match an entry.
    pub originals: usize,
    /// Originals that entries name and the folder says it has not.
    pub missing: usize,
    /// The form of a state that an earlier version wrote, which was not made anew from the entries and
    /// stands by the signature alone.
    pub earlier_state: Option<String>,
    /// Entries that are kept but do not count, with the reason.
    pub not_counting: Vec<String>,
    /// Who signed all files, in words; the name is the one that the crew gave its person.
    pub signed: String,
    /// The device that signed them.
    pub device: String,
    /// The founding entry of its crew: names can be anybody's, this can't.
    pub crew: String,
    /// Whether `crew` was asked for; else somebody has to compare it with what the crew tells.
    pub crew_compared: bool,
}

/// How far looking over is: a step in words, steps done, steps in all. May end it.
pub type OnVerify<'a> = dyn Fn(&str, u64, u64) -> ControlFlow<()> + Sync + 'a;

/// Starts looking a folder over; ends with what is in it, or with the first fault and its kind.
pub fn start_verify(app: &App, request: StartVerify) -> Result<TaskStarted, ApiError> {
    let record = app.shared_record();
    let place = Place::of(app, &request)?;
    app.tasks.start("verify", move |progress| {
        let on = |what: &str, done: u64, of: u64| progress.tell(done, of, what);
        plain(&place.look(&record, &on)?)
    })
}

/// What is looked over, and where it is.
enum Place {
    Data(PathBuf),
    Shared(PathBuf),
    Handover(PathBuf, Option<String>),
}

impl Place {
    fn of(app: &App, request: &StartVerify) -> Result<Self, ApiError> {
        let named = request.folder.as_deref();
        let named = named.map(|folder| some_text("The folder", folder).map(PathBuf::from));
        match (request.what, named.transpose()?) {
            (VerifyWhat::Data, _) => Ok(Place::Data(app.data().to_owned())),
            (VerifyWhat::Shared, Some(folder)) => Ok(Place::Shared(folder)),
            (VerifyWhat::Shared, None) => Ok(Place::Shared(folder_path(&app.record())?)),
            (VerifyWhat::Handover, Some(folder)) => {
                Ok(Place::Handover(folder, request.crew.clone()))
            }
            (VerifyWhat::Handover, None) => {
                Err(ApiError::invalid("Name the folder of the handover."))
            }
        }
    }

    fn look(&self, record: &Mutex<Record>, on: &OnVerify<'_>) -> Result<LookedOver, ApiError> {
        match self {
            Place::Handover(folder, crew) => acts::handover(folder, crew.as_deref(), on),
            Place::Shared(folder) => {
                // Opened under another name, so that drafts of an exchange under way stay.
                let store = FolderStore::open(folder, &BookId::random()?.to_string())?;
                let known = sync::verify::known(&store, record)?;
                acts::shared(&store, &known, on)
            }
            Place::Data(data) => {
                let moment = held(record).moment()?;
                acts::data_at(data, &moment, on)
            }
        }
    }
}

/// Looks over a data folder that no program has open, and changes nothing in it.
///
/// # Errors
/// `locked`, `newer`, or the first `fault`.
pub fn closed_data(data: &Path, on: &OnVerify<'_>) -> Result<Value, ApiError> {
    match records::verify::moment_of(data)? {
        Ok(moment) => plain(&acts::data_at(data, &moment, on)?),
        Err(fault) => Err(acts::of_data(&fault)),
    }
}

/// The same as [`StartVerify`] for a handover, for which no record is needed.
///
/// # Errors
/// `invalid` where `crew` is no hash; the first `fault`.
pub fn closed_handover(
    folder: &Path,
    crew: Option<&str>,
    on: &OnVerify<'_>,
) -> Result<Value, ApiError> {
    plain(&acts::handover(folder, crew, on)?)
}
