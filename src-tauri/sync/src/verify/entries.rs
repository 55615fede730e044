//! The entries of all logs together: proven, linked, and as far as others have seen them.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use records::book::{BookView, Why};
use records::entry::Entry;
use records::ids::BookId;

use super::members::Told;
use super::{FolderFault, FolderFaultKind, MAKER, Verified, fault};
use crate::name::log_folder;

/// Holds every book to its entries' devices; answers with the books.
pub(super) fn check(
    crew_book: BookId,
    told: &Told,
    found: &mut Verified,
) -> Result<Vec<BookView>, FolderFault> {
    let books: BTreeSet<BookId> = told.members.values().flat_map(|log| log.books()).collect();
    let mut views = vec![told.view.clone()];
    for book in books.iter().filter(|book| **book != crew_book) {
        let mut view = BookView::new(*book, false);
        let entries = told.members.values().flat_map(|log| log.entries(*book));
        let entries: Vec<(Arc<Entry>, bool)> = entries.map(|entry| (entry, false)).collect();
        view.take(entries, &told.crew);
        views.push(view);
    }
    for view in &views {
        check_book(view, told, found)?;
    }
    found.books = views.len() as u64;
    found.not_counting.sort();
    seen_are_here(told, &views)?;
    Ok(views)
}

fn check_book(view: &BookView, told: &Told, found: &mut Verified) -> Result<(), FolderFault> {
    let mut left: Vec<_> = view
        .not_counting(&told.crew)
        .into_iter()
        .filter_map(|(id, why)| view.entry(&id).map(|entry| (entry, why)))
        .collect();
    left.sort_by_key(|(entry, _)| (entry.body.device, entry.body.n, entry.id));
    for (entry, why) in left {
        let kind = match why {
            Why::NotProven => FolderFaultKind::Signature,
            Why::EarlierMissing => FolderFaultKind::Chain,
            _ => {
                found
                    .not_counting
                    .push(format!("{}: {}", entry.id, why.words()));
                continue;
            }
        };
        let path = log_folder(&entry.body.device.to_string());
        let what = format!(
            "entry {} of book {}: {}",
            entry.body.n,
            view.book,
            why.words()
        );
        return Err(fault(kind, &path, what, MAKER));
    }
    Ok(())
}

/// A missing end is found only against what others have seen.
fn seen_are_here(told: &Told, views: &[BookView]) -> Result<(), FolderFault> {
    let views: BTreeMap<BookId, &BookView> = views.iter().map(|view| (view.book, view)).collect();
    for seen in told.members.values().flat_map(|log| &log.seen) {
        let here = views
            .get(&seen.book)
            .is_some_and(|view| view.entry(&seen.hash).is_some());
        // Of a device that was never admitted nothing is read, so nothing can be missed.
        if !here && told.crew.member(&seen.device).is_some() {
            let path = log_folder(&seen.device.to_string());
            let what = format!(
                "entry {} of book {} was seen by another device ({}) and is not here",
                seen.n, seen.book, seen.path
            );
            return Err(fault(FolderFaultKind::SeenMissing, &path, what, MAKER));
        }
    }
    Ok(())
}
