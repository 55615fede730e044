//! A store that counts what is asked of it and fails one call on demand.
//!
//! Invariant: a failed call did nothing. It keeps no files itself.

use std::sync::atomic::{AtomicU64, Ordering};

use crate::error::SyncError;
use crate::store::{Listing, Put, SharedStore};

/// Passes everything on to another store, counts it, and fails the call with a given number.
pub struct Faulty<S> {
    inner: S,
    fail_at: AtomicU64,
    all: AtomicU64,
    lists: AtomicU64,
    gets: AtomicU64,
    puts: AtomicU64,
    settles: AtomicU64,
}

/// How often a store was asked for what.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Calls {
    /// Folders listed.
    pub lists: u64,
    /// Files read or looked for.
    pub gets: u64,
    /// Files written or tried to.
    pub puts: u64,
    /// Batches made durable.
    pub settles: u64,
}

impl<S: SharedStore> Faulty<S> {
    /// Wraps a store; nothing fails until [`Faulty::fail_at`] is called.
    pub fn new(inner: S) -> Self {
        Self {
            inner,
            fail_at: AtomicU64::new(0),
            all: AtomicU64::new(0),
            lists: AtomicU64::new(0),
            gets: AtomicU64::new(0),
            puts: AtomicU64::new(0),
            settles: AtomicU64::new(0),
        }
    }

    /// Starts counting anew and fails the call with this number, from 1; 0 fails none.
    pub fn fail_at(&self, call: u64) {
        for counter in [
            &self.all,
            &self.lists,
            &self.gets,
            &self.puts,
            &self.settles,
        ] {
            counter.store(0, Ordering::SeqCst);
        }
        self.fail_at.store(call, Ordering::SeqCst);
    }

    /// What was asked since the counting began.
    pub fn calls(&self) -> Calls {
        Calls {
            lists: self.lists.load(Ordering::SeqCst),
            gets: self.gets.load(Ordering::SeqCst),
            puts: self.puts.load(Ordering::SeqCst),
            settles: self.settles.load(Ordering::SeqCst),
        }
    }

    /// Whether the call that was to fail has been reached.
    pub fn met_fault(&self) -> bool {
        let fail_at = self.fail_at.load(Ordering::SeqCst);
        fail_at != 0 && self.all.load(Ordering::SeqCst) >= fail_at
    }

    /// The store behind.
    pub fn inner(&self) -> &S {
        &self.inner
    }

    fn count(
        &self,
        counter: &AtomicU64,
        operation: &'static str,
        path: &str,
    ) -> Result<(), SyncError> {
        counter.fetch_add(1, Ordering::SeqCst);
        let call = self.all.fetch_add(1, Ordering::SeqCst) + 1;
        if call == self.fail_at.load(Ordering::SeqCst) {
            return Err(SyncError::Temporary {
                operation,
                path: path.to_owned(),
                reason: "made to fail".to_owned(),
            });
        }
        Ok(())
    }
}

impl<S: SharedStore> SharedStore for Faulty<S> {
    fn list(&self, folder: &str) -> Result<Listing, SyncError> {
        self.count(&self.lists, "listing", folder)?;
        self.inner.list(folder)
    }

    fn get(&self, path: &str, at_most: u64) -> Result<Vec<u8>, SyncError> {
        self.count(&self.gets, "reading", path)?;
        self.inner.get(path, at_most)
    }

    fn put_new(&self, path: &str, bytes: &[u8]) -> Result<Put, SyncError> {
        self.count(&self.puts, "publishing", path)?;
        self.inner.put_new(path, bytes)
    }

    fn exists(&self, path: &str) -> Result<bool, SyncError> {
        self.count(&self.gets, "looking for", path)?;
        self.inner.exists(path)
    }

    fn settle(&self) -> Result<(), SyncError> {
        self.count(&self.settles, "making durable", "")?;
        self.inner.settle()
    }
}
