//! The record's errors, by cause.

use std::io;
use std::path::{Path, PathBuf};

use crate::ids::{DeviceId, Hash};

/// What can go wrong in the record. Messages say what happened and what to do.
#[derive(Debug, thiserror::Error)]
pub enum RecordError {
    /// A file operation failed.
    #[error("could not {operation} {path}: {source}{}", what_to_do(.source))]
    File {
        /// What was tried, in words ("write", "list").
        operation: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What the system answered.
        source: io::Error,
    },
    /// Another process holds the data folder.
    #[error(
        "this data folder is open in another program; close it there first, nothing was changed"
    )]
    InUse,
    /// A database was written by a newer version.
    #[error(
        "this data folder was written by a newer version ({what} is of form {found}, this version \
         knows {known}); update the program, nothing was changed"
    )]
    Newer {
        /// Its file.
        what: &'static str,
        /// Version found in the folder.
        found: i64,
        /// Newest version this program knows.
        known: i64,
    },
    /// SQLite refused something.
    #[error("the index answered: {}; {}", .0, what_to_do_with_index(.0))]
    Index(#[from] rusqlite::Error),
    /// The local store is no database any more.
    #[error(
        "local.db in the data folder is damaged ({0}). It is no part of the record: entries and \
         pictures are whole. It holds this device's own settings: where the shared folder is, which \
         crews were confirmed, which jobs were chosen, what was sent. `rebuild --local` moves it to \
         aside/ and begins a new one; then name the shared folder again. Nothing was changed"
    )]
    LocalDamaged(#[source] rusqlite::Error),
    /// Entries were here, and no line of them is left.
    #[error(
        "the journal of this data folder is gone: local.db notes entries that were here, and no line \
         of them is left in journal/. Put the folder journal/ back from a copy. Where there is none, \
         `rebuild --local` moves local.db to aside/ and begins an empty journal; what was shared \
         comes back when this device joins its shared folder again. Nothing was changed"
    )]
    JournalGone,
    /// A body that breaks the rules of the form.
    #[error("not a valid entry: {0}")]
    Body(String),
    /// An entry line that can't be read at all.
    #[error("not an entry line: {0}")]
    Line(&'static str),
    /// A segment that can't be read.
    #[error("not a valid segment: {0}")]
    Segment(String),
    /// A segment made by a newer version.
    #[error("this segment has format {0}, made by a newer version; update the program to read it")]
    SegmentNewer(u32),
    /// A signature that is not by the device that it names.
    #[error("a signature is not by device {0}")]
    Signature(DeviceId),
    /// A key of small order or otherwise unusable.
    #[error("a public key is weak and was refused")]
    WeakKey,
    /// Text that is not an id.
    #[error("{0:?} is not an id (26 characters a–z, 2–7)")]
    NotAnId(String),
    /// Text that is not a hash.
    #[error("{0:?} is not a hash (64 hex digits)")]
    NotAHash(String),
    /// Text that is not a subject.
    #[error("{0:?} is not a subject")]
    NotASubject(String),
    /// A value that the field does not take.
    #[error("{field}: {reason}")]
    Value {
        /// The field's name.
        field: String,
        /// What is wrong and what would be right.
        reason: String,
    },
    /// A length, force or number that was typed wrongly or lies outside what can be.
    #[error("{0}")]
    Input(String),
    /// Nothing has this id.
    #[error("no {what} {id} here")]
    Unknown {
        /// Kind of thing.
        what: &'static str,
        /// Its id.
        id: String,
    },
    /// An entry in the journal is not where the index says, or not what it was.
    #[error(
        "the journal is damaged at entry {0}; run `rebuild`, then `sync` fetches again what others \
         hold; other jobs are not touched"
    )]
    Damaged(Hash),
    /// No randomness.
    #[error("the system gives no random numbers: {0}")]
    Randomness(String),
    /// Something that a rule of the record forbids.
    #[error("{0}")]
    Refused(String),
    /// A photo or document that was not taken in.
    #[error(transparent)]
    Photo(#[from] crate::photos::PhotoError),
}

/// What a person can do about an error of the file system, where that is known.
#[must_use]
pub fn what_to_do(source: &io::Error) -> &'static str {
    match source.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded => {
            "; the disk is full: make room and do it again, no entry was half saved"
        }
        io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied => {
            "; this folder may not be written: allow it, or choose another one; nothing was changed"
        }
        io::ErrorKind::NotADirectory | io::ErrorKind::AlreadyExists => {
            "; a file stands where a folder should be: choose another folder, nothing was changed"
        }
        _ => "",
    }
}

fn what_to_do_with_index(error: &rusqlite::Error) -> &'static str {
    use rusqlite::{ErrorCode, ffi};
    // Where SQLite can't make its files longer it names the step that failed, not the cause.
    const NO_ROOM: [i32; 6] = [
        ffi::SQLITE_IOERR_WRITE,
        ffi::SQLITE_IOERR_FSYNC,
        ffi::SQLITE_IOERR_TRUNCATE,
        ffi::SQLITE_IOERR_SHMOPEN,
        ffi::SQLITE_IOERR_SHMSIZE,
        ffi::SQLITE_IOERR_SHMMAP,
    ];
    let extended = error.sqlite_error().map(|told| told.extended_code);
    match error.sqlite_error_code() {
        _ if extended.is_some_and(|code| NO_ROOM.contains(&code)) => {
            "the disk is full or takes no more bytes: make room and do it again, no entry was half \
             saved"
        }
        Some(ErrorCode::SystemIoFailure) => {
            "the disk could not be read or written: check it and do it again, no entry was half saved"
        }
        Some(ErrorCode::DiskFull) => {
            "the disk is full: make room and do it again, no entry was half saved"
        }
        Some(ErrorCode::ReadOnly | ErrorCode::CannotOpen | ErrorCode::PermissionDenied) => {
            "the data folder may not be written: allow it, or choose another one"
        }
        _ => "`rebuild` makes it anew from the journal",
    }
}

impl RecordError {
    /// Wraps an error of the file system with what was tried and where.
    pub fn file(operation: &'static str, path: &Path) -> impl FnOnce(io::Error) -> RecordError {
        let path = path.to_path_buf();
        move |source| RecordError::File {
            operation,
            path,
            source,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn told(code: i32) -> String {
        let source = rusqlite::ffi::Error::new(code);
        RecordError::Index(rusqlite::Error::SqliteFailure(source, None)).to_string()
    }

    #[test]
    fn a_disk_that_takes_no_more_says_so_and_not_that_a_rebuild_helps() {
        use rusqlite::ffi;
        for code in [
            ffi::SQLITE_FULL,
            ffi::SQLITE_IOERR_WRITE,
            ffi::SQLITE_IOERR_SHMSIZE,
            ffi::SQLITE_IOERR_SHMOPEN,
            ffi::SQLITE_IOERR_FSYNC,
        ] {
            let told = told(code);
            assert!(told.contains("make room"), "{told}");
            assert!(!told.contains("rebuild"), "{told}");
        }
        let unread = told(ffi::SQLITE_IOERR_READ);
        assert!(unread.contains("check it") && !unread.contains("rebuild"));
        assert!(told(ffi::SQLITE_CORRUPT).contains("`rebuild`"));
    }
}
