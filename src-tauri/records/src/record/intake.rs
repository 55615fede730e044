//! Taking in entries of other devices.
//!
//! Invariant: what is refused lies in `aside/` with its reason; what is taken in is on disk before
//! it shows.

use std::cmp::Reverse;
use std::collections::{BTreeMap, HashMap, HashSet};
use std::fs::{self, OpenOptions};
use std::io::Write;
use std::sync::Arc;

use super::Record;
use crate::crew;
use crate::entry::Entry;
use crate::error::RecordError;
use crate::ids::{BookId, DeviceId, Hash};
use crate::index;
use crate::journal::Place;
use crate::keys::Signer as _;

/// A line that was not taken in, and why.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Aside {
    /// Position in the batch, from 0.
    pub position: usize,
    /// Why, in words.
    pub reason: String,
}

/// What became of a batch of lines.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Intake {
    /// Entries that are new here.
    pub new: usize,
    /// Entries that were here already.
    pub known: usize,
    /// Lines set aside.
    pub aside: Vec<Aside>,
    /// Books that changed.
    pub books: Vec<BookId>,
    /// Books that can't be read here, each with an entry that is damaged: nothing of them was
    /// taken in.
    pub damaged: Vec<(BookId, Hash)>,
}

/// Entries with their positions in a batch.
type Placed = Vec<(usize, Arc<Entry>)>;

impl Record {
    /// Takes in entry lines of books of one crew, in any order.
    ///
    /// Entries that can't be proven by their device's known key, nor by a later entry, are set
    /// aside until one comes; those whose device is not known yet wait.
    ///
    /// # Errors
    /// When the journal or index can't be written; then nothing of the batch shows.
    pub fn take_in(&mut self, crew_book: BookId, lines: &[Vec<u8>]) -> Result<Intake, RecordError> {
        self.take_lines(crew_book, None, lines)
    }

    /// Takes in entry lines as they lay in the log of one device. A log holds its own device's
    /// entries: others are set aside, since nothing there tells that they are genuine.
    ///
    /// # Errors
    /// As for [`Record::take_in`].
    pub fn take_in_log(
        &mut self,
        crew_book: BookId,
        device: DeviceId,
        lines: &[Vec<u8>],
    ) -> Result<Intake, RecordError> {
        self.take_lines(crew_book, Some(device), lines)
    }

    fn take_lines(
        &mut self,
        crew_book: BookId,
        log: Option<DeviceId>,
        lines: &[Vec<u8>],
    ) -> Result<Intake, RecordError> {
        self.catch_up()?;
        let mut report = Intake::default();
        let mut by_book: BTreeMap<BookId, Placed> = BTreeMap::new();
        let mut seen = HashSet::new();
        for (position, line) in lines.iter().enumerate() {
            match Entry::parse(line) {
                Ok(entry) if log.is_some_and(|log| log != entry.body.device) => {
                    report.aside.push(Aside {
                        position,
                        reason: "it is an entry of another device than the one whose log it lay in"
                            .to_owned(),
                    });
                }
                Ok(entry) => {
                    if !seen.insert(Hash::of(entry.line())) || self.has_line(&entry)? {
                        report.known += 1;
                        continue;
                    }
                    let book = by_book.entry(entry.body.book).or_default();
                    book.push((position, Arc::new(entry)));
                }
                Err(e) => report.aside.push(Aside {
                    position,
                    reason: e.to_string(),
                }),
            }
        }
        let mut order: Vec<BookId> = by_book.keys().copied().collect();
        order.sort_by_key(|book| *book != crew_book);
        for book in order {
            let entries = by_book.remove(&book).unwrap_or_default();
            match self.load(book) {
                Ok(()) => {}
                // One damaged job stops no other.
                Err(RecordError::Damaged(id)) => {
                    report.damaged.push((book, id));
                    continue;
                }
                Err(error) => return Err(error),
            }
            let (entries, bad) = self.split_foreign(crew_book, book, entries)?;
            report.aside.extend(bad);
            let (good, bad) = self.split_by_proof(crew_book, book, entries);
            report.aside.extend(bad);
            if good.is_empty() {
                continue;
            }
            let here = self.books.get(&book).map(|open| &open.view);
            let fresh = |id: &Hash| here.is_none_or(|view| view.entry(id).is_none());
            let ids: HashSet<Hash> = good.iter().map(|entry| entry.id).collect();
            report.new += ids.into_iter().filter(fresh).count();
            report.books.push(book);
            self.take_good(crew_book, good)?;
        }
        self.settle_owners(&report.books)?;
        // Of an end whose line was damaged the entry is here already, and its genuine line is not new.
        if self.gone && !report.books.is_empty() {
            self.ask_for_what_is_gone(false)?;
        }
        report.aside.sort_by_key(|a| a.position);
        self.keep_aside(lines, &report.aside)?;
        Ok(report)
    }

    /// Whether an entry is here and nothing is to be gained from this line of it: its proof was
    /// found, or the line is here with this very signature. Else a body that came with a wrong
    /// signature would keep the genuine line out.
    fn has_line(&mut self, entry: &Entry) -> Result<bool, RecordError> {
        match index::proven(&self.index, &entry.id)? {
            None => Ok(false),
            Some(true) => Ok(true),
            Some(false) => match self.view(entry.body.book) {
                Ok(view) => Ok(view.holds_line(entry)),
                // What is damaged takes nothing in, and is told with its book.
                Err(RecordError::Damaged(_)) => Ok(false),
                Err(error) => Err(error),
            },
        }
    }

    /// Sets apart what another crew's folder brings of a crew's own book.
    ///
    /// What it brings of a job's book is taken in: whose the job is follows from all that is here
    /// ([`Record::settle_owners`]), and what its crew does not admit does not count.
    fn split_foreign(
        &mut self,
        crew_book: BookId,
        book: BookId,
        entries: Placed,
    ) -> Result<(Placed, Vec<Aside>), RecordError> {
        let known = index::books(&self.index)?
            .into_iter()
            .find(|r| r.book == book);
        let of_crew =
            known.is_some_and(|row| row.book == row.crew) || self.pins.contains_key(&book);
        if book == crew_book || !of_crew {
            return Ok((entries, Vec::new()));
        }
        let aside = |(position, _): (usize, Arc<Entry>)| Aside {
            position,
            reason: "it belongs to another crew".to_owned(),
        };
        Ok((Vec::new(), entries.into_iter().map(aside).collect()))
    }

    /// Sets apart entries that a known key refuses and no later entry proves, be it of the batch or
    /// here before; brings back those set aside earlier that an entry of the batch proves.
    fn split_by_proof(
        &self,
        crew_book: BookId,
        book: BookId,
        entries: Placed,
    ) -> (Vec<Arc<Entry>>, Vec<Aside>) {
        let crew = self.crew(crew_book);
        let told = match book == crew_book {
            true => crew::keys(entries.iter().map(|(_, entry)| entry.as_ref())),
            false => BTreeMap::new(),
        };
        let view = self.books.get(&book).map(|open| &open.view);
        let mut sorted = entries;
        sorted.sort_by_key(|(_, entry)| Reverse(entry.body.n));
        let mut proven: HashSet<Hash> = HashSet::new();
        let mut good = Vec::new();
        let mut bad = Vec::new();
        for (position, entry) in sorted {
            let device = &entry.body.device;
            // Its own key a device knows before it knows any crew.
            let own = || (*device == self.device()).then(|| self.key.public());
            let key = crew.key(device).or_else(|| told.get(device).copied());
            let key = key.or_else(own);
            // The confirmed founding entry brings its key, and waits for whatever proves it.
            let fine = proven.contains(&entry.id)
                || self.pins.get(&book) == Some(&entry.id)
                || key.is_none_or(|key| {
                    entry.signed_by(&key) || view.is_some_and(|view| view.proves(&entry.id, &key))
                });
            if fine {
                if key.is_some() {
                    proven.insert(entry.body.prev);
                }
                good.push(entry);
            } else {
                bad.push((position, entry));
            }
        }
        self.bring_back(book, &mut good, &mut bad, proven);
        good.sort_by_key(|entry| entry.body.n);
        let aside = |(position, entry): (usize, Arc<Entry>)| Aside {
            position,
            reason: RecordError::Signature(entry.body.device).to_string(),
        };
        (good, bad.into_iter().map(aside).collect())
    }

    /// Brings back what was refused, now or earlier, and stands before a proven entry on its chain:
    /// from each of `proven` down to the first that is not here, as long as it is found.
    fn bring_back(
        &self,
        book: BookId,
        good: &mut Vec<Arc<Entry>>,
        bad: &mut Placed,
        proven: HashSet<Hash>,
    ) {
        let view = self.books.get(&book).map(|open| &open.view);
        let given: HashMap<Hash, Hash> = good.iter().map(|e| (e.id, e.body.prev)).collect();
        let held = |id: &Hash| Some(view?.entry(id)?.body.prev);
        let whole = |id: &Hash| view.is_some_and(|view| view.is_linked(id));
        let (mut open, mut walked): (Vec<Hash>, _) = (proven.into_iter().collect(), HashSet::new());
        let mut aside = None;
        while let Some(id) = open.pop() {
            if id == Hash::ZERO || whole(&id) || !walked.insert(id) {
                continue;
            }
            if let Some(prev) = given.get(&id).copied().or_else(|| held(&id)) {
                open.push(prev);
                continue;
            }
            let found = match bad.iter().position(|(_, entry)| entry.id == id) {
                Some(at) => Some(bad.swap_remove(at).1),
                None => aside
                    .get_or_insert_with(|| self.entries_aside(book))
                    .remove(&id),
            };
            if let Some(entry) = found {
                open.push(entry.body.prev);
                good.push(entry);
            }
        }
    }

    /// Entries of a book that were set aside.
    fn entries_aside(&self, book: BookId) -> HashMap<Hash, Arc<Entry>> {
        let lines = fs::read_dir(self.aside_dir()).into_iter().flatten();
        let lines = lines.flatten().map(|item| item.path());
        let lines = lines.filter(|path| path.extension().is_some_and(|ext| ext == "line"));
        let entries = lines.filter_map(|path| Entry::parse(&fs::read(path).ok()?).ok());
        let of_book = entries.filter(|entry| entry.body.book == book);
        of_book.map(|entry| (entry.id, Arc::new(entry))).collect()
    }

    fn take_good(
        &mut self,
        crew_book: BookId,
        entries: Vec<Arc<Entry>>,
    ) -> Result<(), RecordError> {
        let lines: Vec<&[u8]> = entries.iter().map(|e| e.line()).collect();
        let places = self.journal.append(&lines)?;
        let placed = entries
            .into_iter()
            .zip(places)
            .map(|(e, p)| (e, p, false))
            .collect();
        self.index_entries(crew_book, placed)
    }

    /// Brings the index and the books' views up to what the journal holds, and keeps in mind how
    /// far each device had come. Entries of one book stand together.
    ///
    /// Nothing may fail after the index has them: whoever is told of a failure takes the lines back.
    pub(super) fn index_entries(
        &mut self,
        crew: BookId,
        entries: Vec<(Arc<Entry>, Place, bool)>,
    ) -> Result<(), RecordError> {
        self.indexed(|record| {
            for of_book in entries.chunk_by(|(a, ..), (b, ..)| a.body.book == b.body.book) {
                let Some((first, ..)) = of_book.first() else {
                    continue;
                };
                let row = index::book(&record.index, first.body.book, crew)?;
                let rows: Vec<_> = of_book
                    .iter()
                    .map(|(e, p, proven)| (e.as_ref(), *p, *proven))
                    .collect();
                index::add_entries(&record.index, row, &rows)?;
                let fresh = of_book
                    .iter()
                    .map(|(e, _, proven)| (Arc::clone(e), *proven));
                record.take_into_view(row, fresh)?;
            }
            index::set_seen(&record.index, record.journal.end())
        })?;
        self.note_held(None);
        Ok(())
    }

    fn keep_aside(&self, lines: &[Vec<u8>], aside: &[Aside]) -> Result<(), RecordError> {
        for one in aside {
            let Some(line) = lines.get(one.position) else {
                continue;
            };
            let name = Hash::of(line).short();
            self.note_aside(&name, &one.reason)?;
            let path = self.aside_dir().join(format!("{name}.line"));
            fs::write(&path, line).map_err(RecordError::file("write", &path))?;
        }
        Ok(())
    }

    /// Notes in `aside/` why something was set aside.
    ///
    /// # Errors
    /// When the note can't be written.
    pub fn note_aside(&self, name: &str, reason: &str) -> Result<(), RecordError> {
        let dir = self.aside_dir();
        fs::create_dir_all(&dir).map_err(RecordError::file("make", &dir))?;
        let path = dir.join("reasons.txt");
        let mut file = OpenOptions::new()
            .append(true)
            .create(true)
            .open(&path)
            .map_err(RecordError::file("open", &path))?;
        let told = fs::read_to_string(&path).unwrap_or_default();
        let line = format!("{name}: {reason}\n");
        if told.contains(&line) {
            return Ok(());
        }
        file.write_all(line.as_bytes())
            .and_then(|()| file.sync_data())
            .map_err(RecordError::file("write", &path))
    }
}
