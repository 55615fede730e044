//! Whose the jobs are, where several crews share a data folder.
//!
//! Invariant: it follows from the entries that are here, never from whose folder brought them
//! first. Entries stay where they are; what a job's crew does not admit does not count.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::Record;
use crate::book::{BookView, Here, listing, owner, reading};
use crate::crew::Crew;
use crate::entry::Entry;
use crate::error::RecordError;
use crate::ids::BookId;
use crate::index::{self, BookRow};
use crate::journal::Place;

impl Record {
    /// Gives each job to the crew it belongs to, after entries of `books` came in.
    pub(super) fn settle_owners(&mut self, books: &[BookId]) -> Result<(), RecordError> {
        let given = self.owners_to_change(books)?;
        if given.is_empty() {
            return Ok(());
        }
        self.indexed(|record| record.give_all(&given))
    }

    /// As [`Record::settle_owners`], within a change of the index that is under way.
    pub(super) fn settle_owners_within(&mut self, books: &[BookId]) -> Result<(), RecordError> {
        let given = self.owners_to_change(books)?;
        self.give_all(&given)
    }

    fn give_all(&mut self, given: &[(BookId, BookId)]) -> Result<(), RecordError> {
        given
            .iter()
            .try_for_each(|(crew, job)| self.give_to(*crew, *job))
    }

    fn owners_to_change(&mut self, books: &[BookId]) -> Result<Vec<(BookId, BookId)>, RecordError> {
        let rows = index::books(&self.index)?;
        let (crews, jobs): (Vec<_>, Vec<_>) = rows.into_iter().partition(|r| r.book == r.crew);
        let mut given = Vec::new();
        if crews.len() < 2 {
            return Ok(given);
        }
        let all = crews.iter().any(|row| books.contains(&row.book));
        for row in jobs {
            if !(all || books.contains(&row.book)) || self.is_settled(row)? {
                continue;
            }
            match self.load(row.book) {
                Ok(()) => {}
                // Whose it is shows when it can be read again.
                Err(RecordError::Damaged(_)) => continue,
                Err(error) => return Err(error),
            }
            let job = self.books.get(&row.book).map(|open| &open.view);
            let owner = job.and_then(|job| owner(job, &self.crews_here()));
            given.extend(owner.filter(|to| *to != row.crew).map(|to| (to, row.book)));
        }
        Ok(given)
    }

    /// Whether nothing here speaks for another crew than the job's: that one's book lists the job,
    /// no other's does, and nobody began it for another. It spares reading all jobs.
    fn is_settled(&self, row: BookRow) -> Result<bool, RecordError> {
        let created = listing(row.book);
        let crews = self.crews_here().into_iter();
        let crews = crews.filter(|(_, view, _)| view.key(&created).is_some());
        let mut named: BTreeSet<BookId> = crews.map(|(crew, ..)| crew).collect();
        if named != BTreeSet::from([row.crew]) {
            return Ok(false);
        }
        for place in index::firsts(&self.index, row)? {
            // A damaged line is told when its book is read; it gives no sign.
            let line = self.journal.read(place).ok();
            let entry = line.and_then(|line| Entry::parse_own(&line).ok());
            named.extend(entry.and_then(|entry| Some(reading::crew_of(&entry)?.0)));
        }
        Ok(named == BTreeSet::from([row.crew]))
    }

    /// The crew of a job that has no row yet, from its entries.
    pub(super) fn owner_of(&self, job: BookId, entries: &[(Arc<Entry>, Place)]) -> Option<BookId> {
        let mut view = BookView::of_job(job);
        let entries = entries.iter().map(|(entry, _)| (Arc::clone(entry), false));
        view.take(entries, &Crew::default());
        owner(&view, &self.crews_here())
    }

    fn crews_here(&self) -> Vec<Here<'_>> {
        let open = self.books.values().filter(|o| o.row.book == o.row.crew);
        open.map(|o| (o.row.book, &o.view, self.crew(o.row.book)))
            .collect()
    }
}
