//! The record of a data folder: journal, index and books kept in step.
//!
//! Invariant: an act is answered after its lines are on disk and the index has them. Everything
//! that is read comes from projections of what counts. This module moves no files between devices.

mod begin;
mod folder;
mod heads;
mod identity;
mod intake;
mod kept;
mod local;
mod local_store;
mod members;
mod open;
mod owners;
mod pins;
mod replay;
mod views;
mod write;

use std::collections::{HashMap, HashSet};
use std::fs::File;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use rusqlite::Connection;

use crate::book::{BookView, Pins};
use crate::clock::Clock;
use crate::crew::Crew;
use crate::entry::At;
use crate::ids::{BookId, DeviceId, PersonId};
use crate::index::BookRow;
use crate::journal::Journal;
use crate::keys::{FileKey, Signer};

pub(crate) use folder::lock_to_look;
pub(crate) use heads::read as read_heads;
pub(crate) use identity::noted_device;
pub(crate) use pins::read as read_pins;

pub use intake::{Aside, Intake};
pub use local::{Fetched, Published};
pub use local_store::set_local_aside;
pub use views::{ListedJob, StateHash, told_of_broken_off};
pub use write::{Draft, Founding, new_item, value_data};

/// The open record of one data folder. Only one process may hold it.
pub struct Record {
    dir: PathBuf,
    // Held for the life of the process; the system lets go of it when the process ends.
    _lock: File,
    journal: Journal,
    index: Connection,
    local: Connection,
    key: FileKey,
    // Set when the key's file is missing: the device that this folder was.
    lost: Option<DeviceId>,
    clock: Arc<dyn Clock>,
    books: HashMap<BookId, Open>,
    crews: HashMap<BookId, Crew>,
    pins: Pins,
    held: heads::Held,
    // An end that `held` notes is not here; its coming is looked for.
    gone: bool,
    // Books in which a person chose to go on before a gap in this device's own chain.
    branched: HashSet<BookId>,
    last_at: Option<At>,
    no_crew: Crew,
    // The journal holds more than the index: set when the index failed after the journal did not.
    behind: bool,
    // The index is being made anew: its secondary indexes come last.
    filling: bool,
    // Lines that were no entries when the journal was last read.
    unreadable: usize,
}

struct Open {
    row: BookRow,
    view: BookView,
    kept: kept::Kept,
}

impl std::fmt::Debug for Record {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Record")
            .field("device", &self.device())
            .finish_non_exhaustive()
    }
}

impl Record {
    /// This device.
    #[must_use]
    pub fn device(&self) -> DeviceId {
        self.lost.unwrap_or_else(|| self.key.device())
    }

    /// Why this device can sign nothing, in words; none while its key is here.
    #[must_use]
    pub fn key_lost(&self) -> Option<&'static str> {
        self.lost.map(|_| identity::LOST)
    }

    /// This device's key.
    #[must_use]
    pub fn signer(&self) -> &dyn Signer {
        &self.key
    }

    /// The data folder.
    #[must_use]
    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Folder of originals and views.
    #[must_use]
    pub fn photos_dir(&self) -> PathBuf {
        self.dir.join("photos")
    }

    /// Folder of what was set aside.
    #[must_use]
    pub fn aside_dir(&self) -> PathBuf {
        self.dir.join("aside")
    }

    /// The clock that the record was opened with.
    #[must_use]
    pub fn clock(&self) -> &dyn Clock {
        self.clock.as_ref()
    }

    /// The index, the local store and the journal, for looking the folder over.
    pub(crate) fn parts(&self) -> (&Connection, &Connection, &Journal) {
        (&self.index, &self.local, &self.journal)
    }

    /// The person at this device, where one is known: as the settings have it, else the first one
    /// whom a crew lists for this device.
    ///
    /// # Errors
    /// When the local store can't be read.
    pub fn person(&self) -> Result<Option<PersonId>, crate::RecordError> {
        if let Some(person) = self.setting("person")? {
            return Ok(Some(person.parse()?));
        }
        let mut members = self.crew_books().into_iter();
        Ok(members.find_map(|book| Some(self.own_member(book)?.persons.first()?.id)))
    }
}
