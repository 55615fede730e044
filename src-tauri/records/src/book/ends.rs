//! What still counts of devices that were ended.
//!
//! An end names a device's last counting entry in each book; that one and all before it on its
//! chain count. Each chain is walked once, whatever the number of entries that ask.

use std::cell::RefCell;
use std::collections::{HashMap, HashSet};

use super::BookView;
use crate::crew::Crew;
use crate::entry::Entry;
use crate::ids::{DeviceId, Hash};

/// The entries within the ends of devices, found as they are asked for.
pub(super) struct Ends<'a> {
    crew: &'a Crew,
    within: RefCell<HashMap<DeviceId, HashSet<Hash>>>,
}

impl<'a> Ends<'a> {
    pub(super) fn of(crew: &'a Crew) -> Self {
        Ends {
            crew,
            within: RefCell::default(),
        }
    }

    /// Whether an entry of the book stands before its device's end, or the device has none.
    pub(super) fn count(&self, view: &BookView, entry: &Entry) -> bool {
        let device = entry.body.device;
        let member = self.crew.member(&device);
        let Some(last) = member.and_then(|member| member.ended.as_ref()) else {
            return true;
        };
        let mut last = last.iter().filter(|last| last.book == view.book);
        // What came after the end is asked about each time, and needs no walk.
        if !last.any(|last| last.n >= entry.body.n) {
            return false;
        }
        let mut within = self.within.borrow_mut();
        let within = within
            .entry(device)
            .or_insert_with(|| view.within_ends(self.crew, &device));
        within.contains(&entry.id)
    }
}

impl BookView {
    /// Whether an entry stands before its device's end, or the device has none.
    #[must_use]
    pub fn within_end(&self, crew: &Crew, entry: &Entry) -> bool {
        Ends::of(crew).count(self, entry)
    }

    /// Entries that a device's ends leave counting here: down each named chain, as long as the
    /// numbers fall. An end that names a higher number than its entry has gives no more for it.
    fn within_ends(&self, crew: &Crew, device: &DeviceId) -> HashSet<Hash> {
        let mut within = HashSet::new();
        let member = crew.member(device);
        let last = member.and_then(|member| member.ended.as_ref());
        for last in last.into_iter().flatten().filter(|l| l.book == self.book) {
            let mut least = None;
            let mut at = last.hash;
            while let Some(held) = self.held.get(&at) {
                #[cfg(test)]
                steps::one();
                let n = held.entry.body.n;
                if least.is_none_or(|least| n < least) {
                    least = Some(n);
                    if n <= last.n {
                        within.insert(at);
                    }
                }
                at = held.entry.body.prev;
            }
        }
        within
    }
}

#[cfg(test)]
mod steps {
    use std::cell::Cell;

    thread_local! { static DONE: Cell<usize> = const { Cell::new(0) }; }

    pub(super) fn one() {
        DONE.set(DONE.get() + 1);
    }

    pub(super) fn taken() -> usize {
        DONE.take()
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::crew::{LastCounting, Member, Person, Role};
    use crate::entry::tests::body;
    use crate::keys::{FileKey, Signer as _};

    /// A chain of entries of one device, and a crew that ended it after `last` of them.
    fn ended(length: u64, last: u64) -> (BookView, Crew, Vec<Entry>) {
        let key = FileKey::from_secret(&[7; 32]).unwrap();
        let device = key.public().device();
        let mut chain: Vec<Entry> = Vec::new();
        for n in 1..=length {
            let mut body = body(device);
            body.n = n;
            body.prev = chain.last().map_or(Hash::ZERO, |entry| entry.id);
            body.data.insert("closes".into(), true.into());
            if let Some(first) = chain.first() {
                (body.book, body.person) = (first.body.book, first.body.person);
            }
            chain.push(Entry::sign(body, &key).unwrap());
        }
        let (book, person) = (chain[0].body.book, chain[0].body.person);
        let end = &chain[usize::try_from(last).unwrap() - 1];
        let mut crew = Crew::default();
        crew.members.insert(
            device,
            Member {
                key: key.public(),
                persons: vec![Person {
                    id: person,
                    name: "Ben".into(),
                }],
                role: Role::Installer,
                keeper: false,
                ended: Some(vec![LastCounting {
                    book,
                    n: end.body.n,
                    hash: end.id,
                }]),
            },
        );
        let mut view = BookView::of_job(book);
        let entries = chain.iter().map(|e| (Arc::new(e.clone()), true));
        view.take(entries, &Crew::default());
        (view, crew, chain)
    }

    #[test]
    fn what_stands_up_to_the_end_is_within_it_and_nothing_after() {
        let (view, crew, chain) = ended(9, 6);
        let within: Vec<u64> = chain
            .iter()
            .filter(|entry| view.within_end(&crew, entry))
            .map(|entry| entry.body.n)
            .collect();
        assert_eq!(within, [1, 2, 3, 4, 5, 6]);
    }

    #[test]
    fn an_end_that_names_a_wrong_number_gives_no_more() {
        let (view, mut crew, chain) = ended(9, 6);
        let device = chain[0].body.device;
        let last = crew.members.get_mut(&device).unwrap().ended.as_mut();
        last.unwrap()[0].n = 4;
        let within = |n: usize| view.within_end(&crew, &chain[n - 1]);
        assert_eq!((within(4), within(5)), (true, false));
    }

    #[test]
    fn judging_a_book_walks_an_ended_devices_chain_once() {
        let (mut view, crew, chain) = ended(400, 400);
        steps::taken();
        view.judge(&crew);
        assert!(steps::taken() <= chain.len());
        steps::taken();
        assert_eq!(view.not_counting(&crew).len(), view.waiting.len());
        assert!(steps::taken() <= chain.len());
    }
}
