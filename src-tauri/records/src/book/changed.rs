//! What of a book is otherwise than before.
//!
//! Kept by the view itself, where entries come to count, so that nobody who brings them can forget
//! to tell.

use std::collections::BTreeSet;

use super::{BookView, Key};
use crate::ids::Hash;

/// What may read otherwise since somebody last asked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum Changed {
    /// No entry came.
    Nothing,
    /// Entries came, and these subjects may read otherwise; none where nothing came to count.
    Subjects(BTreeSet<String>),
    /// All of it: nobody asked before, or all entries were judged anew.
    Everything,
}

impl Changed {
    /// Entries were taken in, and what is said on these keys may have changed.
    pub(super) fn add(&mut self, keys: &BTreeSet<Key>) {
        let subjects = keys.iter().map(|key| key.subject.clone());
        match self {
            Changed::Everything => {}
            Changed::Subjects(before) => before.extend(subjects),
            Changed::Nothing => *self = Changed::Subjects(subjects.collect()),
        }
    }
}

impl BookView {
    /// What may read otherwise since this was last asked; everything, at first.
    pub(crate) fn take_changed(&mut self) -> Changed {
        std::mem::replace(&mut self.changed, Changed::Nothing)
    }

    /// Entries of which another line than the first one came to be proven since this was last asked.
    pub(crate) fn take_chosen(&mut self) -> BTreeSet<Hash> {
        std::mem::take(&mut self.chosen)
    }
}
