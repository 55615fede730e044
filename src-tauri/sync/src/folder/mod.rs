//! The shared folder on a disk, a network drive, or in the care of a service that keeps copies.
//!
//! Invariant: a file appears under its final name whole or not at all, and never in place of
//! another; links are never followed, and nothing but regular files is ever opened. Files not yet
//! whole lie in `tmp/` under this device's name and are removed by this device only, never while
//! it is still writing them. It does not know what the files mean.

mod draft;
#[cfg(unix)]
mod handles;
mod paths;

use std::collections::BTreeSet;
use std::io;
use std::path::Path;
use std::sync::{Mutex, PoisonError};

use self::draft::Draft;
use crate::error::SyncError;
use crate::name;
use crate::store::{Listing, Put, SharedStore, in_flight};

/// How to give a file its final name without replacing another; the first that works is used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Placing {
    /// One system call that refuses a taken name.
    RenameNoReplace,
    /// A second hard link, which refuses a taken name, then the first is removed.
    Link,
    /// See that the name is free, then rename: all that exFAT and some network drives offer.
    CheckThenRename,
}

/// How folders are reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reach {
    /// Through open folders, part by part, so that a link slipped in later leads nowhere.
    #[cfg(unix)]
    Handles,
    /// By path, each part looked at first: where the system offers nothing better.
    Paths,
}

/// A shared folder that this device reaches through its file system.
pub struct FolderStore {
    disk: Box<dyn Disk>,
    device: String,
    unsettled: Mutex<BTreeSet<String>>,
}

impl FolderStore {
    /// Opens a folder that exists, for the device with this id.
    ///
    /// Removes this device's own leftovers in `tmp/`, but no draft that another store of this
    /// process is writing. Errors: `NoFolder` if there is none.
    pub fn open(root: &Path, device: &str) -> Result<Self, SyncError> {
        #[cfg(unix)]
        let reach = Reach::Handles;
        #[cfg(not(unix))]
        let reach = Reach::Paths;
        Self::open_as(root, device, reach, Placing::RenameNoReplace)
    }

    /// As [`FolderStore::open`], with the ways to use chosen instead of the best ones.
    pub fn open_as(
        root: &Path,
        device: &str,
        reach: Reach,
        placing: Placing,
    ) -> Result<Self, SyncError> {
        const OPERATION: &str = "opening the shared folder";
        if !name::is_id(device) {
            return Err(SyncError::permanent(
                OPERATION,
                "",
                "this device has no valid id",
            ));
        }
        let disk: Result<Box<dyn Disk>, io::Error> = match reach {
            #[cfg(unix)]
            Reach::Handles => handles::Handles::open(root, placing).map(|d| Box::new(d) as _),
            Reach::Paths => paths::Paths::open(root, placing).map(|d| Box::new(d) as _),
        };
        let disk = disk.map_err(|error| match error.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => SyncError::NoFolder,
            _ => SyncError::from_io(OPERATION, "", &error),
        })?;
        let store = Self {
            disk,
            device: device.to_owned(),
            unsettled: Mutex::default(),
        };
        store.remove_own_leftovers();
        Ok(store)
    }

    /// Nobody needs these files, so a failure here may not stop an exchange.
    fn remove_own_leftovers(&self) {
        let Ok(listing) = self.disk.list(name::TMP) else {
            return;
        };
        let own = format!("{}-", self.device);
        for file in listing.files {
            let path = format!("{}/{}", name::TMP, file.name);
            if file.name.starts_with(&own) && !draft::in_work(&path) {
                let _ = self.disk.remove_file(&path);
            }
        }
    }

    fn touched(&self, folder: &str) {
        self.unsettled
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .insert(folder.to_owned());
    }

    fn make_folders(&self, path: &str) -> Result<(), DiskError> {
        let mut parent = String::new();
        let mut parts: Vec<&str> = path.split('/').collect();
        parts.pop();
        for part in parts {
            let folder = join(&parent, part);
            if self.disk.make_folder(&folder)? {
                self.touched(&parent);
            }
            parent = folder;
        }
        Ok(())
    }

    fn compare(&self, path: &str, bytes: &[u8]) -> Result<Put, DiskError> {
        match self.disk.read(path, bytes.len() as u64) {
            Ok(there) if there == bytes => Ok(Put::AlreadyThere),
            Ok(_) | Err(DiskError::TooLarge { .. }) => Ok(Put::Different),
            Err(error) => Err(error),
        }
    }

    fn put(&self, path: &str, bytes: &[u8]) -> Result<Put, DiskError> {
        match self.compare(path, bytes) {
            Err(DiskError::Io(error)) if error.kind() == io::ErrorKind::NotFound => {}
            known => return known,
        }
        self.make_folders(path)?;
        let draft = Draft::begin(&self.device)?;
        let draft = draft.path();
        self.make_folders(draft)?;
        let placed = self
            .disk
            .write_new(draft, bytes)
            .and_then(|()| self.disk.place(draft, path));
        match placed {
            Ok(true) => {
                self.touched(parent_of(path));
                Ok(Put::Created)
            }
            Ok(false) => {
                let _ = self.disk.remove_file(draft);
                self.compare(path, bytes)
            }
            Err(error) => {
                let _ = self.disk.remove_file(draft);
                Err(error)
            }
        }
    }
}

impl SharedStore for FolderStore {
    fn list(&self, folder: &str) -> Result<Listing, SyncError> {
        const OPERATION: &str = "listing";
        if !folder.is_empty() && !name::is_readable(folder) {
            return Err(SyncError::bad_name(OPERATION, folder));
        }
        self.disk
            .list(folder)
            .map_err(|error| error.told(OPERATION, folder))
    }

    fn get(&self, path: &str, at_most: u64) -> Result<Vec<u8>, SyncError> {
        const OPERATION: &str = "reading";
        if !name::is_readable(path) {
            return Err(SyncError::bad_name(OPERATION, path));
        }
        self.disk
            .read(path, at_most)
            .map_err(|error| error.told(OPERATION, path))
    }

    fn put_new(&self, path: &str, bytes: &[u8]) -> Result<Put, SyncError> {
        const OPERATION: &str = "publishing";
        if !name::is_writable(path) {
            return Err(SyncError::bad_name(OPERATION, path));
        }
        self.put(path, bytes).map_err(|error| match error {
            // Something on the way there vanished meanwhile; the next try makes it anew.
            DiskError::Io(e) if e.kind() == io::ErrorKind::NotFound => SyncError::Temporary {
                operation: OPERATION,
                path: path.to_owned(),
                reason: "the folder changed meanwhile".to_owned(),
            },
            other => other.told(OPERATION, path),
        })
    }

    fn exists(&self, path: &str) -> Result<bool, SyncError> {
        const OPERATION: &str = "looking for";
        if !name::is_readable(path) {
            return Err(SyncError::bad_name(OPERATION, path));
        }
        self.disk
            .is_file(path)
            .map_err(|error| error.told(OPERATION, path))
    }

    fn settle(&self) -> Result<(), SyncError> {
        let folders: Vec<String> = {
            let mut unsettled = self
                .unsettled
                .lock()
                .unwrap_or_else(PoisonError::into_inner);
            std::mem::take(&mut *unsettled).into_iter().collect()
        };
        let synced = in_flight(&folders, &|| false, &|folder| self.disk.sync_folder(folder));
        let mut first = None;
        for (folder, result) in folders.iter().zip(synced) {
            if let Some(Err(error)) = result {
                // Still owed, so that a later call does not report as durable what is not.
                self.touched(folder);
                first.get_or_insert(error.told("making durable", folder));
            }
        }
        first.map_or(Ok(()), Err)
    }
}

/// What the store asks of a file system; paths are relative and checked.
trait Disk: Send + Sync {
    fn list(&self, folder: &str) -> Result<Listing, DiskError>;
    fn read(&self, path: &str, at_most: u64) -> Result<Vec<u8>, DiskError>;
    fn is_file(&self, path: &str) -> Result<bool, DiskError>;
    /// Makes one folder; `false` if it was there.
    fn make_folder(&self, folder: &str) -> Result<bool, DiskError>;
    /// Writes a new file and makes its bytes durable.
    fn write_new(&self, path: &str, bytes: &[u8]) -> Result<(), DiskError>;
    /// Gives a draft its final name; `false` if that is taken, and then the draft stays.
    fn place(&self, draft: &str, path: &str) -> Result<bool, DiskError>;
    fn remove_file(&self, path: &str) -> Result<(), DiskError>;
    fn sync_folder(&self, folder: &str) -> Result<(), DiskError>;
}

#[derive(Debug)]
enum DiskError {
    Io(io::Error),
    NotRegular(&'static str),
    TooLarge { bytes: u64, at_most: u64 },
}

impl From<io::Error> for DiskError {
    fn from(error: io::Error) -> Self {
        Self::Io(error)
    }
}

impl DiskError {
    fn told(self, operation: &'static str, path: &str) -> SyncError {
        match self {
            Self::Io(error) => SyncError::from_io(operation, path, &error),
            Self::NotRegular(what) => SyncError::permanent(
                operation,
                path,
                format!(
                    "{what} stands where a file should be; it was not opened. Move it away and do \
                     this again"
                ),
            ),
            Self::TooLarge { bytes, at_most } => SyncError::permanent(
                operation,
                path,
                format!("{bytes} bytes where at most {at_most} can be right; it was not read"),
            ),
        }
    }
}

fn join(folder: &str, name: &str) -> String {
    if folder.is_empty() {
        name.to_owned()
    } else {
        format!("{folder}/{name}")
    }
}

fn parent_of(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(parent, _)| parent)
}

/// A name made readable: anything that is not plain text becomes a mark.
fn readable(name: &[u8]) -> String {
    String::from_utf8_lossy(name)
        .chars()
        .map(|c| {
            if c.is_control() {
                char::REPLACEMENT_CHARACTER
            } else {
                c
            }
        })
        .collect()
}
