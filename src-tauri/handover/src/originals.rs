//! Originals of pictures and documents: which go along, and which can't.
//!
//! Invariant: one that is missing or damaged never stops a handover; it is named in the document,
//! in the index of hashes, and counted.

use std::collections::{BTreeMap, BTreeSet};

use crate::Source;

/// Why an original does not go along.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Left {
    /// This device does not have it.
    NotHere,
    /// It is here, and its bytes can't be read or are not what its name says.
    Damaged(String),
}

impl Left {
    /// In words, for tables.
    #[must_use]
    pub fn words(&self) -> &'static str {
        match self {
            Left::NotHere => "not on this device",
            Left::Damaged(_) => "damaged on this device",
        }
    }
}

/// Originals that entries name and that don't go along, by SHA-256.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Originals {
    left: BTreeMap<String, Left>,
}

impl Originals {
    /// Remembers one that stays behind.
    pub(crate) fn leave(&mut self, sha256: &str, why: Left) {
        self.left.insert(sha256.to_owned(), why);
    }

    /// Why an original does not go along; nothing where it does.
    #[must_use]
    pub fn left(&self, sha256: &str) -> Option<&Left> {
        self.left.get(sha256)
    }

    /// How many stay behind.
    #[must_use]
    pub fn count(&self) -> usize {
        self.left.len()
    }
}

/// Hashes of every original that entries name: of pictures the first object, of documents each.
pub(crate) fn named(source: &Source<'_>) -> BTreeSet<String> {
    let pictures = source.job.photos.iter().filter_map(|p| p.files.first());
    let documents = source.job.documents.iter().flat_map(|d| &d.files);
    pictures
        .chain(documents)
        .map(|f| f.sha256.to_string())
        .collect()
}
