//! The entries of all logs together: proven, linked, and as far as others have seen them.

use std::collections::BTreeSet;
use std::sync::Arc;

use records::book::{BookView, Why};
use records::crew;
use records::entry::Entry;
use records::heads::{Head, Telling, not_here};
use records::ids::{BookId, DeviceId};

use super::log::Log;
use super::members::Told;
use super::{FolderFault, FolderFaultKind, MAKER, Verified, fault};
use crate::name::{self, log_folder};

/// Holds every book to its entries' devices; answers with the books.
pub(super) fn check(
    crew_book: BookId,
    told: &Told,
    known: &[Head],
    found: &mut Verified,
) -> Result<Vec<BookView>, FolderFault> {
    let books: BTreeSet<BookId> = told.members.values().flat_map(|log| log.books()).collect();
    let mut views = vec![told.view.clone()];
    for book in books.iter().filter(|book| **book != crew_book) {
        let mut view = BookView::of_job(*book);
        let entries = told.members.values().flat_map(|log| log.entries(*book));
        let entries: Vec<(Arc<Entry>, bool)> = entries.map(|entry| (entry, false)).collect();
        view.take(entries, &told.crew);
        views.push(view);
    }
    for view in &views {
        check_book(view, told, found)?;
    }
    let acts = told.crew.without_effect.iter();
    for act in acts.filter_map(|id| told.view.entry(id)) {
        let why = crew::no_effect(&told.crew, act);
        found.not_counting.push(format!("{}: {why}", act.id));
    }
    found.books = views.len() as u64;
    found.not_counting.sort();
    seen_are_here(told, &views, known)?;
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

/// A missing end is found only against what others have seen, or the device that looks.
fn seen_are_here(told: &Told, views: &[BookView], known: &[Head]) -> Result<(), FolderFault> {
    let of_log = |(by, log): (&DeviceId, &Log)| -> Vec<Head> {
        let seen = log.seen.iter();
        seen.map(|seen| Head {
            book: seen.book,
            device: seen.device,
            by: Some(*by),
            n: seen.n,
            hash: seen.hash,
        })
        .collect()
    };
    let mut heads: Vec<Head> = told.members.iter().flat_map(of_log).collect();
    heads.extend(known);
    // Pieces of a newer version were not read, so that what they hold is not missing.
    let newer = |device: &DeviceId| told.members.get(device).is_some_and(|log| log.newer);
    heads.retain(|head| !newer(&head.device));
    let empty: Vec<BookView> = heads
        .iter()
        .map(|head| head.book)
        .filter(|book| views.iter().all(|view| view.book != *book))
        .collect::<BTreeSet<_>>()
        .into_iter()
        .map(BookView::of_job)
        .collect();
    let mut found = Vec::new();
    for view in views.iter().chain(&empty) {
        found.extend(not_here(view, &told.crew, &heads, None, Telling::Folder));
    }
    found.sort();
    match found.into_iter().next() {
        None => Ok(()),
        Some(one) => {
            let what = format!("{} (book {})", one.words, one.book);
            Err(fault(FolderFaultKind::SeenMissing, name::LOG, what, MAKER))
        }
    }
}
