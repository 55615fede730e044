//! The data folder itself: made private, held by one process, its index opened or made anew.
//!
//! Invariant: a newer index is refused and left untouched; a damaged one costs a rebuild.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::ErrorKind;
use std::path::Path;

use rusqlite::Connection;

use crate::error::RecordError;
use crate::index;
use crate::migrate;

pub(super) fn make_private_dir(dir: &Path) -> Result<(), RecordError> {
    // A folder that a person keeps other things in is left as open as it is.
    let fresh = !dir.exists() || is_empty(dir);
    fs::create_dir_all(dir).map_err(RecordError::file("make", dir))?;
    #[cfg(unix)]
    if fresh {
        use std::os::unix::fs::PermissionsExt as _;
        fs::set_permissions(dir, fs::Permissions::from_mode(0o700))
            .map_err(RecordError::file("close to others", dir))?;
    }
    #[cfg(not(unix))]
    let _ = fresh;
    Ok(())
}

fn is_empty(dir: &Path) -> bool {
    fs::read_dir(dir).is_ok_and(|mut items| items.next().is_none())
}

/// Takes the folder's lock, which the system lets go of when the file is dropped.
pub(crate) fn lock(dir: &Path) -> Result<File, RecordError> {
    let path = dir.join("lock");
    let file = OpenOptions::new()
        .write(true)
        .create(true)
        .truncate(false)
        .open(&path)
        .map_err(RecordError::file("open", &path))?;
    match file.try_lock() {
        Ok(()) => Ok(file),
        Err(TryLockError::WouldBlock) => Err(RecordError::InUse),
        Err(TryLockError::Error(source)) => Err(RecordError::file("lock", &path)(source)),
    }
}

/// The same for a folder that is only looked at. Where it may not be written, its lock is taken as
/// it stands; where it has none there, nobody can have it open, and none is taken.
pub(crate) fn lock_to_look(dir: &Path) -> Result<Option<File>, RecordError> {
    let refused = match lock(dir) {
        Err(RecordError::File { source, .. }) if may_not_be_written(&source) => source,
        other => return other.map(Some),
    };
    let path = dir.join("lock");
    let file = match File::open(&path) {
        Ok(file) => file,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(_) => return Err(RecordError::file("open", &path)(refused)),
    };
    match file.try_lock_shared() {
        Ok(()) => Ok(Some(file)),
        Err(TryLockError::WouldBlock) => Err(RecordError::InUse),
        Err(TryLockError::Error(source)) => Err(RecordError::file("lock", &path)(source)),
    }
}

fn may_not_be_written(error: &std::io::Error) -> bool {
    matches!(
        error.kind(),
        ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied
    )
}

/// Refuses a folder of which any database was written by a newer version, before any is changed.
pub(super) fn refuse_newer(dir: &Path) -> Result<(), RecordError> {
    for (name, steps) in [("index.db", migrate::INDEX), ("local.db", migrate::LOCAL)] {
        let path = dir.join(name);
        if !path.exists() {
            continue;
        }
        let looked = migrate::open_to_look(&path).and_then(|db| migrate::refuse_newer(&db, steps));
        // What else is wrong with it is told, or mended, when it is opened.
        if let Err(newer @ RecordError::Newer { .. }) = looked {
            return Err(newer);
        }
    }
    Ok(())
}

/// A damaged index costs a rebuild and nothing else; a newer one is refused.
pub(super) fn open_index(dir: &Path) -> Result<Connection, RecordError> {
    let path = dir.join("index.db");
    match index::open(&path).and_then(|db| check(&db).map(|()| db)) {
        Err(RecordError::Index(_)) => {
            remove_index(dir)?;
            index::open(&path)
        }
        other => other,
    }
}

fn check(db: &Connection) -> Result<(), RecordError> {
    index::seen(db)?;
    index::books(db)?;
    Ok(())
}

pub(super) fn remove_index(dir: &Path) -> Result<(), RecordError> {
    for name in ["index.db", "index.db-wal", "index.db-shm"] {
        let path = dir.join(name);
        match fs::remove_file(&path) {
            Ok(()) => {}
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {}
            Err(e) => return Err(RecordError::file("remove", &path)(e)),
        }
    }
    Ok(())
}
