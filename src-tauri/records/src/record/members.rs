//! Who belongs: admissions, keepers, ends, as this device says them.
//!
//! Invariant: what is said here counts only as far as the crew's book makes it count; an end names
//! what keeps counting, branch by branch.

use super::Record;
use super::write::{Draft, object, one};
use crate::crew::{self, Admission, Ending, Member, Person, Role};
use crate::error::RecordError;
use crate::ids::{BookId, DeviceId, Hash, PersonId};
use crate::index;
use crate::keys::PublicKey;
use crate::subject::Subject;

impl Record {
    /// Admits a device to the crew, with the persons who use it.
    ///
    /// # Errors
    /// As for [`Record::act`].
    pub fn admit(
        &mut self,
        crew_book: BookId,
        person: PersonId,
        key: PublicKey,
        persons: Vec<Person>,
        role: Role,
    ) -> Result<Hash, RecordError> {
        let admission = Admission { key, persons, role };
        let draft = Draft {
            kind: crew::ADMITTED.into(),
            subject: Subject::Device(key.device()).to_string(),
            data: object(&admission)?,
            ..Draft::default()
        };
        one(self.act(crew_book, person, vec![draft])?)
    }

    /// Names a device a keeper, who may admit and end others. It counts where the founder says it,
    /// of a device that the founder admitted: the founder's own admission goes with it, since a
    /// keeper is named before those whom keepers admit are heard of.
    ///
    /// # Errors
    /// As for [`Record::act`].
    pub fn name_keeper(
        &mut self,
        crew_book: BookId,
        person: PersonId,
        device: DeviceId,
    ) -> Result<Hash, RecordError> {
        let subject = Subject::Device(device).to_string();
        let mut drafts = Vec::new();
        if let Some(member) = self.crew(crew_book).member(&device) {
            let admission = Admission {
                key: member.key,
                persons: member.persons.clone(),
                role: member.role,
            };
            drafts.push(Draft {
                kind: crew::ADMITTED.into(),
                subject: subject.clone(),
                data: object(&admission)?,
                ..Draft::default()
            });
        }
        drafts.push(Draft {
            kind: crew::KEEPER.into(),
            subject,
            ..Draft::default()
        });
        let said = self.act(crew_book, person, drafts)?;
        one(said.into_iter().rev().collect())
    }

    /// The newest entries of a device that are known here, one for each book of the crew and each
    /// branch of its chain there; of an ended device, those that its end leaves counting.
    ///
    /// # Errors
    /// When a book can't be read.
    pub fn known_of(
        &mut self,
        crew_book: BookId,
        device: DeviceId,
    ) -> Result<Vec<crew::LastCounting>, RecordError> {
        let mut last = Vec::new();
        for row in index::books(&self.index)?
            .iter()
            .filter(|r| r.crew == crew_book)
        {
            self.load(row.book)?;
            let Some(open) = self.books.get(&row.book) else {
                continue;
            };
            let branches = open.view.branches(&device, Some(self.crew(crew_book)));
            last.extend(branches.into_iter().map(|(n, hash)| crew::LastCounting {
                book: row.book,
                n,
                hash,
            }));
        }
        Ok(last)
    }

    /// How many entries stand on the chains that end so.
    ///
    /// # Errors
    /// When a book can't be read.
    pub fn entries_up_to(&mut self, last: &[crew::LastCounting]) -> Result<usize, RecordError> {
        let mut count = 0;
        for of_book in last.chunk_by(|a, b| a.book == b.book) {
            let Some(first) = of_book.first() else {
                continue;
            };
            let view = self.view(first.book)?;
            count += view.up_to(of_book.iter().map(|one| one.hash)).len();
        }
        Ok(count)
    }

    /// Ends a device; what it recorded up to the heads known here still counts.
    ///
    /// # Errors
    /// As for [`Record::act`].
    pub fn end_device(
        &mut self,
        crew_book: BookId,
        person: PersonId,
        device: DeviceId,
    ) -> Result<Hash, RecordError> {
        let mut last = self.known_of(crew_book, device)?;
        last.sort_unstable();
        let mut drafts = Vec::new();
        for part in parts(&last) {
            drafts.push(Draft {
                kind: crew::ENDED.into(),
                subject: Subject::Device(device).to_string(),
                data: object(&Ending { last: part })?,
                ..Draft::default()
            });
        }
        one(self.act(crew_book, person, drafts)?)
    }

    /// The member that this device is, in a crew.
    #[must_use]
    pub fn own_member(&self, crew_book: BookId) -> Option<&Member> {
        self.crew(crew_book).member(&self.device())
    }
}

/// Most ends in one entry, so that it stays inside the bound of a body: one takes about 140 bytes.
const MOST_ENDS: usize = 300;

/// Ends in parts that fit into an entry each. Those of one book stay together, since of several
/// entries on one book the founder's lowest holds; at least one part, which ends the device. Of a book
/// with more branches than an entry holds, which no honest device has, the longest are named.
fn parts(last: &[crew::LastCounting]) -> Vec<Vec<crew::LastCounting>> {
    let mut parts = vec![Vec::new()];
    for of_book in last.chunk_by(|a, b| a.book == b.book) {
        let of_book = of_book
            .split_at_checked(of_book.len().saturating_sub(MOST_ENDS))
            .map_or(of_book, |(_, longest)| longest);
        match parts.last_mut() {
            Some(part) if part.len() + of_book.len() <= MOST_ENDS => part.extend(of_book),
            _ => parts.push(of_book.to_vec()),
        }
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    fn one(book: BookId, n: u64) -> crew::LastCounting {
        let hash = Hash::of(&n.to_le_bytes());
        crew::LastCounting { book, n, hash }
    }

    #[test]
    fn ends_of_very_many_books_fit_into_entries_and_a_books_own_stay_together() {
        let mut last: Vec<_> = (0..700)
            .flat_map(|n| {
                let book = BookId::random().unwrap();
                [one(book, u64::MAX >> 11), one(book, n)]
            })
            .collect();
        last.sort_unstable();
        let parts = parts(&last);
        assert_eq!(parts.concat(), last);
        for (at, part) in parts.iter().enumerate() {
            let data = object(&Ending { last: part.clone() }).unwrap();
            let bytes = serde_json::to_vec(&data).unwrap();
            // The envelope takes less than one kibibyte.
            assert!(bytes.len() + 1024 < crate::canonical::LONGEST_BODY);
            let after = parts.get(at + 1).and_then(|next| next.first());
            assert_ne!(part.last().map(|one| one.book), after.map(|one| one.book));
        }
    }

    #[test]
    fn of_more_branches_than_an_entry_holds_the_longest_are_named() {
        let book = BookId::random().unwrap();
        let mut last: Vec<_> = (1..=900).map(|n| one(book, n)).collect();
        last.sort_unstable();
        let parts = parts(&last);
        let least = parts.concat().iter().map(|one| one.n).min();
        assert_eq!((parts.concat().len(), least), (MOST_ENDS, Some(601)));
    }

    #[test]
    fn a_device_that_recorded_nothing_is_ended_all_the_same() {
        assert_eq!(parts(&[]), [vec![]]);
    }
}
