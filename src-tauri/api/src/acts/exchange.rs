//! Meeting other devices: which folder is whose, what this device notes of it, how it stands.
//!
//! Where a folder is opened and read the record is free, so each step takes the record anew.

use std::path::{Path, PathBuf};

use records::ids::BookId;
use records::{Record, RecordError};
use sync::{FolderStore, Founding};

use crate::claim::plain;
use crate::handlers::exchange::ExchangeView;
use crate::views::overview::folder_setting;
use crate::{ApiError, App, ErrorCode};

pub(crate) const LAST_REPORT: &str = "lastReport";
pub(crate) const LAST_MS: &str = "lastExchangeMs";
/// The folder that this device asked to join and has not confirmed.
const JOINING: &str = "joining";
/// Most folders of one level that are looked into for a device's key.
const MOST_LOOKED_INTO: usize = 1000;
/// How many folders down it is looked for another device's key.
const LEVELS_LOOKED_INTO: usize = 3;

fn folder_id_setting(crew: BookId) -> String {
    format!("folderId:{crew}")
}

fn sent_setting(book: BookId) -> String {
    format!("sent:{book}")
}

/// The crew whose jobs are shown.
pub(crate) fn current(record: &Record) -> Result<BookId, ApiError> {
    record
        .current_crew()?
        .ok_or_else(|| ApiError::invalid("There is no crew yet. Say first who you are."))
}

/// The device as folders know it; a card and every piece of a log are signed by it.
pub(crate) fn signing_device(record: &Record) -> Result<String, ApiError> {
    match record.key_lost() {
        Some(lost) => Err(ApiError::invalid(format!("{lost}."))),
        None => Ok(record.device().to_string()),
    }
}

/// Refuses a folder through which others would reach what a device keeps for itself, its key above all:
/// its own data folder, one that lies in it or holds it, and the data folder of another device.
pub(crate) fn not_private(data: &Path, folder: &Path) -> Result<(), ApiError> {
    let whole = |path: &Path| path.canonicalize().unwrap_or_else(|_| path.to_owned());
    let (own, asked) = (whole(data), whole(folder));
    let why = if asked.starts_with(&own) || own.starts_with(&asked) {
        "This folder is, holds or lies in the one in which this device keeps its own data"
    } else if holds_a_key(&asked) {
        "This folder is, holds or lies in the data of another device"
    } else {
        return Ok(());
    };
    Err(ApiError::invalid(format!(
        "{why}, and with it the key that signs for that device: nobody else may reach it. Choose a folder \
         for sharing alone. Nothing was changed."
    )))
}

/// Refuses to begin where this device's data lies, or would lie, in a folder that is shared.
pub(crate) fn not_shared(data: &Path) -> Result<(), ApiError> {
    // Of a folder that is not there yet, the nearest one that is tells where links lead.
    let there = std::path::absolute(data).unwrap_or_else(|_| data.to_owned());
    let there = there.ancestors().find_map(|at| at.canonicalize().ok());
    let shared = |at: &Path| at.join("tautbook.json").exists();
    if !there.is_some_and(|there| there.ancestors().any(shared)) {
        return Ok(());
    }
    Err(ApiError::invalid(
        "This device's own data would lie in a folder that is shared, and with it the key that signs for \
         it: nobody else may reach that. Begin with a data folder elsewhere. Nothing was begun.",
    ))
}

/// Whether a device's key lies in a folder, above it, or a few folders down in it.
fn holds_a_key(folder: &Path) -> bool {
    let key = |at: &Path| at.join("device.key").exists();
    if folder.ancestors().any(key) {
        return true;
    }
    let mut level = vec![folder.to_owned()];
    (0..LEVELS_LOOKED_INTO).any(|_| {
        let within = level.iter().filter_map(|at| std::fs::read_dir(at).ok());
        let folders = within.flatten().flatten().map(|item| item.path());
        level = folders
            .filter(|at| at.is_dir())
            .take(MOST_LOOKED_INTO)
            .collect();
        level.iter().any(|at| key(at))
    })
}

/// Where the current crew's shared folder is on this device.
pub(crate) fn folder_path(record: &Record) -> Result<PathBuf, ApiError> {
    let folder = record.setting(&folder_setting(current(record)?))?;
    if let Some(folder) = folder {
        return Ok(PathBuf::from(folder));
    }
    let why = match record.setting(JOINING)? {
        Some(_) => {
            "This device asked to join a crew and has not confirmed the digits: once a device of that crew \
             has admitted it, confirm them here, then exchange."
        }
        None => "No shared folder is set. Share one, or join one, first.",
    };
    Err(ApiError::new(ErrorCode::NotFound, why))
}

/// What this device noted of a crew's shared folder.
#[derive(Debug)]
pub(crate) struct KnownFolder {
    path: Option<String>,
    id: Option<String>,
    device: String,
}

impl KnownFolder {
    /// What is noted now.
    pub(crate) fn of(record: &Record, crew: BookId) -> Result<Self, ApiError> {
        Ok(KnownFolder {
            path: record.setting(&folder_setting(crew))?,
            id: record.setting(&folder_id_setting(crew))?,
            device: record.device().to_string(),
        })
    }

    /// A crew has one shared folder: another place is taken where it holds a copy of that folder,
    /// and not where the crew would be split over two.
    pub(crate) fn takes(
        self,
        store: &FolderStore,
        crew: BookId,
        path: &Path,
    ) -> Result<(), ApiError> {
        let Some(known) = self.path.filter(|known| Path::new(known) != path) else {
            return Ok(());
        };
        let there = sync::read_founding(store).ok();
        let id = self.id.or_else(|| {
            let before = FolderStore::open(Path::new(&known), &self.device).ok()?;
            sync::read_founding(&before).ok().map(|f| f.folder)
        });
        if there.is_some_and(|there| there.book == crew.to_string() && Some(there.folder) == id) {
            return Ok(());
        }
        Err(ApiError::invalid(format!(
            "The crew already shares {known}, and a second folder would split it: each device \
             would see only what lies in its own. Nothing was changed. To move, copy that folder \
             whole, with its file tautbook.json, to the new place, and share it there on every \
             device."
        )))
    }
}

/// Notes which folder a crew shares.
pub(crate) fn note_folder(
    record: &Record,
    crew: BookId,
    path: &str,
    folder: &Founding,
) -> Result<(), ApiError> {
    record.set_setting(&folder_setting(crew), path)?;
    record.set_setting(&folder_id_setting(crew), &folder.folder)?;
    Ok(())
}

/// The name of the person at this device in any of its crews.
pub(crate) fn own_name(record: &Record) -> Result<String, ApiError> {
    let person = App::person(record)?;
    let name = record
        .crew_books()
        .iter()
        .find_map(|book| record.crew(*book).person_name(&person).map(str::to_owned));
    name.ok_or_else(|| ApiError::invalid("Say first who you are."))
}

/// Where it is noted under which identity this device compared its digits with a crew.
fn compared_setting(crew: BookId) -> String {
    format!("compared:{crew}")
}

/// Notes the folder that this device asked to join; nothing where its digits were compared there
/// already: then they are only shown again.
pub(crate) fn note_joining(
    record: &Record,
    path: &Path,
    founding: &Founding,
) -> Result<(), ApiError> {
    let path = path.to_string_lossy();
    let crew: BookId = founding.book.parse()?;
    let pinned = record.pinned(crew) == Some(founding.founding.parse()?);
    let here = record.setting(&folder_setting(crew))?.as_deref() == Some(&*path);
    let compared = record.setting(&compared_setting(crew))? == Some(record.device().to_string());
    if pinned && here && compared {
        return Ok(record.clear_setting(JOINING)?);
    }
    Ok(record.set_setting(JOINING, &path)?)
}

/// The folder that this device asked to join.
pub(crate) fn joining(record: &Record) -> Result<String, ApiError> {
    record.setting(JOINING)?.ok_or_else(|| {
        ApiError::new(
            ErrorCode::NotFound,
            "This device has not asked to join. Choose the folder first.",
        )
    })
}

/// Notes that the digits of a folder were compared: its crew is the current one from now on.
pub(crate) fn note_joined(
    record: &Record,
    path: &str,
    founding: &Founding,
) -> Result<(), ApiError> {
    let crew: BookId = founding.book.parse()?;
    note_folder(record, crew, path, founding)?;
    record.set_setting("crew", &crew.to_string())?;
    record.set_setting(&compared_setting(crew), &record.device().to_string())?;
    record.clear_setting(JOINING)?;
    // What the folder before told is not told of this one.
    record.clear_setting(LAST_REPORT)?;
    record.clear_setting(LAST_MS)?;
    Ok(())
}

/// How the exchange stands, without looking at the folder.
pub(crate) fn standing(record: &mut Record) -> Result<ExchangeView, ApiError> {
    let crew = record.current_crew()?;
    let folder = match crew {
        Some(crew) => record.setting(&folder_setting(crew))?,
        None => None,
    };
    let unshared = match (crew, &folder) {
        (Some(crew), Some(_)) if record.crew_books().contains(&crew) => unshared(record, crew)?,
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

/// How many entries of this device are not in the shared folder yet.
pub(crate) fn unshared(record: &mut Record, crew: BookId) -> Result<u64, ApiError> {
    let mut count = 0;
    let mut books = record.kept_jobs(crew)?;
    books.push(crew);
    for book in books {
        let sent: u64 = record
            .setting(&sent_setting(book))?
            .and_then(|n| n.parse().ok())
            .unwrap_or(0);
        count += match record.own_after(book, sent) {
            Ok(own) if own.first().is_none_or(|first| first.body.n == sent + 1) => own.len() as u64,
            // Before a gap there are others, which lie in no chain that ends in the last one.
            Ok(_) => record.own_count_after(book, sent)?,
            // The list of jobs tells of a book that can't be read; the others go on.
            Err(RecordError::Damaged(_)) => 0,
            Err(error) => return Err(error.into()),
        };
    }
    Ok(count)
}

/// Notes what an exchange told, and how far each book was sent.
pub(crate) fn note_report(record: &Record, report: &sync::Report) -> Result<(), ApiError> {
    record.set_setting(LAST_REPORT, &plain(report)?.to_string())?;
    let now = record.clock().now_ms();
    record.set_setting(LAST_MS, &now.to_string())?;
    // A picture that is lost holds no entry back.
    if report.unshared.segments == 0 && !report.cancelled {
        // Not the heads of this moment: people record while an exchange runs.
        for (book, last) in &report.made_to {
            record.set_setting(&sent_setting(*book), &last.to_string())?;
        }
    }
    Ok(())
}
