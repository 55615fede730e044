//! One entry of a book in memory, with the lines that came of it.

use std::sync::Arc;

use crate::entry::Entry;
use crate::ids::Hash;
use crate::keys::PublicKey;

/// An entry that is here, and what was found out about it.
#[derive(Clone, Debug)]
pub(super) struct Held {
    pub(super) entry: Arc<Entry>,
    // The same body with other signatures, while none is proven.
    pub(super) others: Vec<Arc<Entry>>,
    // Its device's first entry, once all between them are here.
    pub(super) first: Option<Hash>,
    pub(super) proven: bool,
    pub(super) bad_signature: bool,
    pub(super) closed: bool,
    pub(super) counts: bool,
}

impl Held {
    pub(super) fn lines(&self) -> impl Iterator<Item = &[u8]> {
        let others = self.others.iter().map(|other| other.line());
        std::iter::once(self.entry.line()).chain(others)
    }

    pub(super) fn signed_by(&self, key: &PublicKey) -> bool {
        let mut lines = std::iter::once(&self.entry).chain(&self.others);
        lines.any(|entry| entry.signed_by(key))
    }

    /// Keeps the line that is signed itself, if there is one; whether another came first.
    pub(super) fn choose(&mut self, key: &PublicKey) -> Option<bool> {
        if self.entry.signed_by(key) {
            self.others.clear();
            return Some(false);
        }
        let genuine = self.others.iter().position(|other| other.signed_by(key))?;
        self.entry = self.others.swap_remove(genuine);
        self.others.clear();
        Some(true)
    }
}
