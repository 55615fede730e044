//! What can go wrong with a shared folder, by cause.
//!
//! Every error about a file carries the operation and the path inside the shared folder. It never
//! carries the place of the folder on this device or a password, so that it can be shown and sent.

use std::io;

use crate::name::FOUNDING;

/// Why something in or about the shared folder did not work.
#[derive(Debug, thiserror::Error)]
pub enum SyncError {
    /// There is no folder at the place that was given.
    #[error(
        "There is no shared folder at this place. Is the drive connected, and the program that keeps the folder running? Everything is kept on this device; exchange again when the folder is back."
    )]
    NoFolder,
    /// The folder belongs to another crew.
    #[error(
        "This folder belongs to another crew. Nothing was changed there; choose the folder of this crew, or an empty one to share."
    )]
    OtherCrew,
    /// The folder is nobody's shared folder.
    #[error(
        "This folder is not a shared folder yet: its {FOUNDING} is missing. If it should be one, check that the right folder is connected and all there, or share it first. Nothing was changed."
    )]
    NotShared,
    /// The digits that pin the crew were not compared yet.
    #[error(
        "This device has not confirmed the crew of this folder. Compare the 16 digits with the person who admits this device, and confirm them."
    )]
    NotConfirmed,
    /// The digits that were typed are not those of this device and folder.
    #[error(
        "The digits differ from those of this device and folder. Compare them again; if they still differ, this may not be the folder of the crew. Nothing was changed."
    )]
    OtherDigits,
    /// This device was ended by a keeper of the crew.
    #[error(
        "This device was ended: what it recorded after that counts for nobody, and everything is kept here. Take a new identity and be admitted again to go on; then record again what must count."
    )]
    Ended,
    /// The record on this device refused something.
    #[error(transparent)]
    Record(#[from] records::RecordError),
    /// The folder was set up by a newer version.
    #[error(
        "This shared folder was set up by a newer version. Update this program to use it; nothing was changed there."
    )]
    Newer,
    /// Nothing has this name in the shared folder.
    #[error("{operation}: {path} is not in the shared folder")]
    NotFound {
        /// What was tried.
        operation: &'static str,
        /// The name inside the shared folder; empty for the folder itself.
        path: String,
    },
    /// It may work next time: nothing was lost, and the next exchange tries again.
    #[error(
        "{operation}: {path} can't be reached just now ({reason}). Everything is kept on this device; exchange again later."
    )]
    Temporary {
        /// What was tried.
        operation: &'static str,
        /// The name inside the shared folder; empty for the folder itself.
        path: String,
        /// What the system said.
        reason: String,
    },
    /// It will not work by itself: a person has to change something.
    #[error("{operation}: {path}: {reason}")]
    Permanent {
        /// What was tried.
        operation: &'static str,
        /// The name inside the shared folder; empty for the folder itself.
        path: String,
        /// What is wrong and, where that is known, what to do.
        reason: String,
    },
}

impl SyncError {
    /// Whether trying again later may help without anybody changing anything.
    #[must_use]
    pub fn is_temporary(&self) -> bool {
        matches!(self, Self::Temporary { .. })
    }

    /// Whether the name was simply not there.
    #[must_use]
    pub fn is_not_found(&self) -> bool {
        matches!(self, Self::NotFound { .. })
    }

    pub(crate) fn permanent(
        operation: &'static str,
        path: &str,
        reason: impl Into<String>,
    ) -> Self {
        Self::Permanent {
            operation,
            path: path.to_owned(),
            reason: reason.into(),
        }
    }

    pub(crate) fn bad_name(operation: &'static str, path: &str) -> Self {
        Self::permanent(
            operation,
            path,
            "this is no name for a file in a shared folder",
        )
    }

    pub(crate) fn not_found(operation: &'static str, path: &str) -> Self {
        Self::NotFound {
            operation,
            path: path.to_owned(),
        }
    }

    /// Sorts a system error into one of the three causes.
    pub(crate) fn from_io(operation: &'static str, path: &str, error: &io::Error) -> Self {
        let permanent = |reason: &str| Self::permanent(operation, path, reason);
        match error.kind() {
            io::ErrorKind::NotFound => Self::not_found(operation, path),
            io::ErrorKind::ReadOnlyFilesystem => permanent(
                "the shared folder is read-only. Nothing was published; ask its owner for write access",
            ),
            io::ErrorKind::PermissionDenied => permanent(
                "no permission. Ask the owner of the shared folder for read and write access",
            ),
            io::ErrorKind::NotADirectory => {
                permanent("a file or link stands where a folder should be; rename it and try again")
            }
            io::ErrorKind::IsADirectory => {
                permanent("a folder stands where a file should be; rename it and try again")
            }
            io::ErrorKind::InvalidFilename => {
                permanent("the file system of the shared folder refuses this name")
            }
            io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
                permanent("the shared folder is full. Make room and exchange again")
            }
            io::ErrorKind::FileTooLarge => {
                permanent("the file system of the shared folder takes no file of this size")
            }
            _ => Self::Temporary {
                operation,
                path: path.to_owned(),
                reason: error.to_string(),
            },
        }
    }
}
