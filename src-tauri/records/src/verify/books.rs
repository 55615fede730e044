//! The books of the journal, held anew in memory, and whether their chains and signatures hold.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::Arc;

use rusqlite::Connection;

use super::journal::{Read, words};
use super::moment::Known;
use super::{Fault, FaultKind, NotCounting, OnProgress, Summary, tell};
use crate::book::{BookView, Here, Key, Signs, Why, broken_off_words, owner};
use crate::crew::{self, Crew};
use crate::entry::Entry;
use crate::error::RecordError;
use crate::heads::{Head, NotHere, Telling, gone_whole, not_here};
use crate::ids::{BookId, DeviceId, Hash};
use crate::index;
use crate::journal::Place;
use crate::migrate;

/// All books of a journal. Crews' books come before the jobs'.
pub(super) struct Books {
    pub(super) books: Vec<Book>,
    crews: HashMap<BookId, Crew>,
}

/// One book, read from its entries alone.
pub(super) struct Book {
    pub(super) view: BookView,
    /// The crew's book; none while nothing here tells whose the job is.
    pub(super) crew: Option<BookId>,
}

/// Sorts entries into books and judges them from nothing but what the device has confirmed.
pub(super) fn of(entries: &[Read], known: &Known, on: &OnProgress<'_>) -> Result<Books, Fault> {
    let mut found: BTreeMap<BookId, Vec<(Arc<Entry>, bool)>> = BTreeMap::new();
    let mut signs = Signs::default();
    for read in entries {
        let (entry, book) = (&read.entry, read.entry.body.book);
        let of_book = found.entry(book).or_default();
        of_book.push((Arc::clone(entry), false));
        signs.hear(entry);
    }
    let is_crew = |book: &BookId| signs.crew_of(*book, &known.pins) == Some(*book);
    let mut order: Vec<BookId> = found.keys().copied().collect();
    order.sort_by_cached_key(|book| !is_crew(book));
    let of = order.len();
    let mut books = Books {
        books: Vec::new(),
        crews: HashMap::new(),
    };
    for (done, book) in order.into_iter().enumerate() {
        tell(on, "chains and signatures", done, of)?;
        let entries = found.remove(&book).unwrap_or_default();
        if is_crew(&book) {
            let founding = signs.founding(book, &known.pins, known.own);
            let mut view = BookView::of_crew(book, founding);
            view.take(entries, &Crew::default());
            let crew = crew::evaluate(&view);
            view.judge(&crew);
            books.crews.insert(book, crew);
            books.add(view, Some(book));
        } else {
            let mut view = BookView::of_job(book);
            view.take(entries, &Crew::default());
            let crew_book = books
                .owner(&view)
                .or_else(|| signs.crew_of(book, &known.pins));
            view.judge(&books.crew_with(crew_book));
            books.add(view, crew_book);
        }
    }
    Ok(books)
}

impl Books {
    fn add(&mut self, view: BookView, crew: Option<BookId>) {
        self.books.push(Book { view, crew });
    }

    fn crew(&self, book: &Book) -> Crew {
        self.crew_with(book.crew)
    }

    fn crew_with(&self, crew_book: Option<BookId>) -> Crew {
        let crew = crew_book.and_then(|book| self.crews.get(&book));
        crew.cloned().unwrap_or_default()
    }

    fn owner(&self, job: &BookView) -> Option<BookId> {
        let here = |book: &'_ Book| Some((book.view.book, self.crews.get(&book.view.book)?));
        let here = self.books.iter().filter_map(|b| Some((&b.view, here(b)?)));
        let crews: Vec<Here<'_>> = here.map(|(view, (id, crew))| (id, view, crew)).collect();
        owner(job, &crews)
    }

    /// Holds what this device had and what others saw against what is here. What it had itself and
    /// is gone is a fault; what others saw may still be on its way.
    pub(super) fn ends_are_here(&self, known: &Known, summary: &mut Summary) -> Result<(), Fault> {
        for book in &self.books {
            let crew = self.crew(book);
            let told = not_here(&book.view, &crew, &known.heads, known.own, Telling::Here);
            summary.not_here.extend(told);
        }
        let here = |book| self.books.iter().any(|one| one.view.book == book);
        summary
            .not_here
            .extend(gone_whole(&known.heads, &here, known.own));
        summary.not_here.sort();
        let gone = |one: &&NotHere| one.by.is_none() && !one.differs;
        match summary.not_here.iter().find(gone) {
            None => Ok(()),
            Some(gone) => Err(Fault::damaged(
                FaultKind::Missing,
                "journal",
                gone.words.clone(),
            )),
        }
    }

    /// Holds the ends of chains that were whole here against what is whole now: an end may be here though what
    /// stands before it was changed or lost, whoever recorded it.
    pub(super) fn chains_are_whole(&self, known: &Known, entries: &[Read]) -> Result<(), Fault> {
        let Some(own) = known.own else {
            return Ok(());
        };
        for book in &self.books {
            let crew = self.crew(book);
            // What a device of another crew said was proven by that crew's book alone.
            let of = |head: &&Head| {
                let here = head.by.is_none() && head.book == book.view.book;
                here && crew.key(&head.device).is_some()
            };
            let noted = known.heads.iter().filter(of);
            let noted: Vec<_> = noted.map(|head| (head.device, head.n, head.hash)).collect();
            let key = crew.key(&own);
            let broken = book.view.broken_off((own, key.as_ref()), &noted, &crew);
            if let Some(left) = broken_off_words(broken) {
                let behind = book.view.behind_a_gap(&noted);
                let behind = behind.and_then(|id| entries.iter().find(|r| r.entry.id == id));
                return Err(broken_chain(&left, behind));
            }
        }
        Ok(())
    }

    /// Holds every chain and signature to the entries' own devices; the first fault is the one that
    /// comes first in the journal.
    pub(super) fn prove(
        &self,
        own: Option<DeviceId>,
        entries: &[Read],
        summary: &mut Summary,
    ) -> Result<(), Fault> {
        let places: HashMap<Hash, Place> = entries.iter().map(|r| (r.entry.id, r.place)).collect();
        let mut faults: Vec<(Place, Fault)> = Vec::new();
        faults.extend(entries.iter().filter_map(|read| self.founds_nothing(read)));
        for book in &self.books {
            let crew = self.crew(book);
            let is_crew = book.view.is_crew();
            summary.crews += u64::from(is_crew && crew.founding.is_some());
            summary.jobs += u64::from(!is_crew);
            let mut left: HashSet<Hash> = HashSet::new();
            for (id, why) in book.view.not_counting(&crew) {
                let (Some(entry), Some(place)) = (book.view.entry(&id), places.get(&id)) else {
                    continue;
                };
                left.insert(id);
                if let Some(fault) = fault_of(own, entry, why, *place) {
                    faults.push((*place, fault));
                }
                summary.not_counting.push(NotCounting {
                    book: book.view.book,
                    device: entry.body.device,
                    n: entry.body.n,
                    entry: id,
                    why: why.words().to_owned(),
                });
            }
            let crew_acts = is_crew.then_some(&crew.without_effect);
            let acts = crew_acts.into_iter().flatten();
            let acts = acts.filter(|id| !left.contains(*id));
            for act in acts.filter_map(|id| book.view.entry(id)) {
                summary.not_counting.push(NotCounting {
                    book: book.view.book,
                    device: act.body.device,
                    n: act.body.n,
                    entry: act.id,
                    why: crew::no_effect(&crew, act),
                });
            }
            self.check_signatures(own, book, &crew, &places, summary, &mut faults);
        }
        summary.not_counting.sort();
        faults.sort_by_key(|(place, _)| *place);
        match faults.into_iter().next() {
            None => Ok(()),
            Some((_, fault)) => Err(fault),
        }
    }

    /// A founding entry brings its own key, so that nothing founds a crew that it does not prove
    /// itself, or a later entry of its chain.
    fn founds_nothing(&self, read: &Read) -> Option<(Place, Fault)> {
        let body = &read.entry.body;
        let founding = body.kind == crew::FOUNDED && body.n == 1;
        let founded = |crew: &Crew| crew.founding.is_some();
        let known = self.crews.get(&body.book).is_some_and(founded);
        if !founding || known || self.is_job(body.book) {
            return None;
        }
        let what = "the founding entry of a crew is not signed by the key in it";
        let fault = Fault::damaged(FaultKind::Signature, words(read.place), what);
        Some((read.place, fault))
    }

    fn is_job(&self, book: BookId) -> bool {
        let mut books = self.books.iter();
        books.any(|one| one.view.book == book && !one.view.is_crew())
    }

    /// Counts entries by their own signature. One of another device may be proven by a later entry
    /// alone; what this device wrote was signed here, so a wrong signature is damage.
    fn check_signatures(
        &self,
        own: Option<DeviceId>,
        book: &Book,
        crew: &Crew,
        places: &HashMap<Hash, Place>,
        summary: &mut Summary,
        faults: &mut Vec<(Place, Fault)>,
    ) {
        for entry in book.view.ids().filter_map(|id| book.view.entry(id)) {
            let key = crew.key(&entry.body.device);
            let Some(key) = key else { continue };
            if entry.signed_by(&key) {
                summary.signatures += 1;
            } else if Some(entry.body.device) == own
                && let Some(place) = places.get(&entry.id)
            {
                let what = format!("the signature of entry {} was changed", entry.id);
                faults.push((
                    *place,
                    Fault::damaged(FaultKind::Signature, words(*place), what),
                ));
            }
        }
    }

    /// The projection rows of every book, made anew in an index that lives in memory only.
    pub(super) fn dumps(&self) -> Result<BTreeMap<BookId, Vec<String>>, RecordError> {
        let db = Connection::open_in_memory()?;
        migrate::run(&db, migrate::INDEX)?;
        let mut dumps = BTreeMap::new();
        for book in &self.books {
            // A book that names no crew is not in the index.
            let Some(crew) = book.crew else { continue };
            let row = index::book(&db, book.view.book, crew)?;
            let keys = book
                .view
                .keys()
                .map(|(key, _): (&Key, _)| key.clone())
                .collect();
            index::project(&db, row, &book.view, &keys)?;
            if book.view.is_crew() {
                index::project_crew(&db, row, &self.crew(book))?;
            }
            dumps.insert(book.view.book, index::dump(&db, row)?);
        }
        Ok(dumps)
    }
}

/// What is left of a chain that was whole here, in words; `behind` is the first entry behind the gap.
fn broken_chain(left: &str, behind: Option<&Read>) -> Fault {
    match behind {
        Some(read) => Fault::damaged(
            FaultKind::Chain,
            words(read.place),
            format!(
                "what stands before entry {} was changed or is gone: {left}",
                read.entry.id
            ),
        ),
        None => Fault::damaged(
            FaultKind::Missing,
            "journal",
            format!("the end of a chain was changed or is gone: {left}"),
        ),
    }
}

/// Whether an entry that does not count shows damage; most others only wait for something.
fn fault_of(own: Option<DeviceId>, entry: &Entry, why: Why, place: Place) -> Option<Fault> {
    let kind = match why {
        Why::NotProven => FaultKind::Signature,
        // What this device wrote is here from its first entry on.
        Why::EarlierMissing if Some(entry.body.device) == own => FaultKind::Chain,
        _ => return None,
    };
    let what = match kind {
        FaultKind::Signature => {
            format!("no signature by its device proves entry {}", entry.id)
        }
        _ => format!(
            "entry {} does not follow the one before it, which is not here",
            entry.id
        ),
    };
    Some(Fault::damaged(kind, words(place), what))
}
