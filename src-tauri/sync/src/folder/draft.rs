//! Drafts that this process is writing in a shared folder's `tmp/`.
//!
//! Invariant: what is listed here is not a leftover. The data folder's lock lets one process alone
//! act as a device, so a draft under its name that is not listed belongs to a process that ended.

use std::collections::BTreeSet;
use std::io;
use std::sync::{Mutex, PoisonError};

use crate::name;

static IN_WORK: Mutex<BTreeSet<String>> = Mutex::new(BTreeSet::new());

/// A draft's name, taken for as long as this is held.
pub(super) struct Draft(String);

impl Draft {
    /// Takes a new random name. Fails when the system gives no random bytes.
    pub(super) fn begin(device: &str) -> io::Result<Self> {
        let mut random = [0_u8; 16];
        getrandom::fill(&mut random).map_err(|error| io::Error::other(error.to_string()))?;
        let random = data_encoding::HEXLOWER.encode(&random);
        let path = format!("{}/{device}-{random}", name::TMP);
        list().insert(path.clone());
        Ok(Self(path))
    }

    pub(super) fn path(&self) -> &str {
        &self.0
    }
}

impl Drop for Draft {
    fn drop(&mut self) {
        list().remove(&self.0);
    }
}

/// Whether a store of this process is writing the draft.
pub(super) fn in_work(path: &str) -> bool {
    list().contains(path)
}

fn list() -> std::sync::MutexGuard<'static, BTreeSet<String>> {
    IN_WORK.lock().unwrap_or_else(PoisonError::into_inner)
}

#[cfg(test)]
mod tests {
    use std::fs;

    use super::Draft;
    use crate::folder::FolderStore;

    const DEVICE: &str = "aaaaaaaaaaaaaaaaaaaaaaaaaa";

    /// Joining or sharing while an exchange runs opens the folder a second time.
    #[test]
    fn opening_again_keeps_what_is_being_written_and_removes_what_was_left() {
        let root = tempfile::tempdir().unwrap();
        fs::create_dir(root.path().join("tmp")).unwrap();
        let writing = Draft::begin(DEVICE).unwrap();
        let left = format!("tmp/{DEVICE}-0000");
        fs::write(root.path().join(writing.path()), b"half").unwrap();
        fs::write(root.path().join(&left), b"half").unwrap();

        FolderStore::open(root.path(), DEVICE).unwrap();
        assert!(root.path().join(writing.path()).exists());
        assert!(!root.path().join(&left).exists());

        let path = root.path().join(writing.path());
        drop(writing);
        FolderStore::open(root.path(), DEVICE).unwrap();
        assert!(!path.exists());
    }
}
