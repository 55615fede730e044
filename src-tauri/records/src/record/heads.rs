//! How far each device had come, as this device held it and as others saw it.
//!
//! Invariant: these notes lie in the local store, so that they outlive the index and files of the
//! journal. What others saw is taken from headers of segments whose signature was checked, and
//! only of devices that belong to the crew; nothing of the record follows from it.

use std::collections::{BTreeSet, HashMap, HashSet};

use rusqlite::{Connection, params};

use super::local::whole;
use super::{Record, local_store};
use crate::book::DeviceTails;
use crate::entry::Entry;
use crate::error::RecordError;
use crate::heads::{Head, NotHere, Telling, gone_whole, not_here};
use crate::ids::{BookId, DeviceId, Hash};
use crate::index;
use crate::segment::Header;

/// Ends of chains that were whole here, one for each branch.
pub(super) type Held = HashMap<(BookId, DeviceId), DeviceTails>;

/// Heads that this device held, of every book.
pub(super) fn read_held(local: &Connection) -> Result<Held, RecordError> {
    let mut held = Held::new();
    for head in read(local)?.into_iter().filter(|head| head.by.is_none()) {
        let of = held.entry((head.book, head.device)).or_default();
        of.insert((head.n, head.hash));
    }
    Ok(held)
}

/// All heads of a local store: those that were here, and those that others saw.
pub(crate) fn read(local: &Connection) -> Result<Vec<Head>, RecordError> {
    let mut statement = local.prepare_cached(
        "SELECT book, device, NULL, n, hash FROM highest
         UNION ALL SELECT book, device, teller, n, hash FROM told ORDER BY 1, 2, 3",
    )?;
    let mut rows = statement.query([])?;
    let mut heads = Vec::new();
    while let Some(row) = rows.next()? {
        let by: Option<String> = row.get(2)?;
        heads.push(Head {
            book: row.get::<_, String>(0)?.parse()?,
            device: row.get::<_, String>(1)?.parse()?,
            by: by.map(|by| by.parse()).transpose()?,
            n: row.get::<_, i64>(3)?.unsigned_abs(),
            hash: row.get::<_, String>(4)?.parse()?,
        });
    }
    Ok(heads)
}

/// The setting that names the ends for which all pieces are read again.
const GONE: &str = "gone";

impl Record {
    /// Where an end that was here is gone, lets the next exchange read every piece of every log
    /// again, this device's own first, and counts nothing as sent: the journal was cut or put back
    /// from an older copy, and what is recorded from now on would be taken for what was published.
    ///
    /// Once for each such end: what the folder does not hold either is not asked for at every
    /// opening. `anyway` says so of a journal of which only the index told that it was longer.
    pub(super) fn ask_for_what_is_gone(&mut self, anyway: bool) -> Result<(), RecordError> {
        let (gone, asked) = (self.ends_gone()?, self.asked_for()?);
        self.gone = !gone.is_empty();
        let fresh = gone.difference(&asked).count();
        if !anyway && gone == asked {
            return Ok(());
        }
        if fresh > 0 && !anyway {
            self.note_aside(
                "journal",
                &format!(
                    "entries that had been saved are gone, the ends of {fresh} chains; the next \
                     exchange fetches what the shared folder holds of them"
                ),
            )?;
        }
        let change = self.local.unchecked_transaction()?;
        if anyway || fresh > 0 {
            self.local.execute("DELETE FROM fetched", [])?;
            self.local
                .execute("DELETE FROM setting WHERE name LIKE 'sent:%'", [])?;
        }
        let text: Vec<&str> = gone.iter().map(String::as_str).collect();
        match gone.is_empty() {
            true => self.clear_setting(GONE)?,
            false => self.set_setting(GONE, &text.join("\n"))?,
        }
        Ok(change.commit()?)
    }

    /// Whether the index lost rows of entries that the journal still has: an end that was here and
    /// was not asked for yet has none, or a chain has a gap, and the line is there.
    pub(super) fn index_lost_rows(&self) -> Result<bool, RecordError> {
        let mut lost = HashSet::new();
        let asked = self.asked_for()?;
        for (book, device, hash) in self.ends_held() {
            let fresh = !asked.contains(&format!("{book} {device} {hash}"));
            if fresh && index::proven(&self.index, &hash)?.is_none() {
                lost.insert(hash);
            }
        }
        let gaps = index::gaps(&self.index)?;
        let mut found = false;
        if !lost.is_empty() || !gaps.is_empty() {
            self.journal.scan((1, 0), |_, line| {
                let entry = Entry::parse_own(line).ok().filter(|_| !found);
                found |= match entry {
                    Some(entry) if lost.contains(&entry.id) => true,
                    Some(entry) if gaps.contains(&(entry.body.book, entry.body.device)) => {
                        index::proven(&self.index, &entry.id)?.is_none()
                    }
                    _ => false,
                };
                Ok(())
            })?;
        }
        Ok(found)
    }

    /// Ends that were here and that the index does not have as proven: they were when they were
    /// noted, so without a proof the line was damaged since.
    fn ends_gone(&self) -> Result<BTreeSet<String>, RecordError> {
        let mut gone = BTreeSet::new();
        for (book, device, hash) in self.ends_held() {
            if index::proven(&self.index, &hash)? != Some(true) {
                gone.insert(format!("{book} {device} {hash}"));
            }
        }
        Ok(gone)
    }

    /// The ends that were whole here, each with its book and device.
    fn ends_held(&self) -> impl Iterator<Item = (BookId, DeviceId, Hash)> + '_ {
        self.held
            .iter()
            .flat_map(|((book, device), ends)| ends.iter().map(|(_, hash)| (*book, *device, *hash)))
    }

    fn asked_for(&self) -> Result<BTreeSet<String>, RecordError> {
        let asked = self.setting(GONE)?.unwrap_or_default();
        Ok(asked.lines().map(str::to_owned).collect())
    }

    /// Whether an end that was here is neither in the index nor among `found`.
    pub(super) fn misses_an_end(&self, found: &HashSet<Hash>) -> Result<bool, RecordError> {
        for (_, _, hash) in self.ends_held().filter(|(.., hash)| !found.contains(hash)) {
            if index::proven(&self.index, &hash)?.is_none() {
                return Ok(true);
            }
        }
        Ok(false)
    }

    /// Keeps in mind the heads that a segment's header tells. They are heard of members that have
    /// not been ended, and of this device itself.
    ///
    /// The headers must come from [`crate::segment::read`], which checks their signature.
    ///
    /// # Errors
    /// When the local store can't be written.
    pub fn note_seen<'a>(
        &self,
        crew_book: BookId,
        headers: impl IntoIterator<Item = &'a Header>,
    ) -> Result<(), RecordError> {
        let crew = self.crew(crew_book);
        let own = self.device();
        let heard = |by: &DeviceId| {
            *by == own || crew.member(by).is_some_and(|member| member.ended.is_none())
        };
        let headers = headers.into_iter().filter(|header| heard(&header.device));
        let mut headers = headers.filter(|header| !header.seen.is_empty()).peekable();
        if headers.peek().is_none() {
            return Ok(());
        }
        local_store::lightly(&self.local, |local| {
            let mut insert = local.prepare_cached(
                "INSERT INTO told (book, device, teller, n, hash) VALUES (?1, ?2, ?3, ?4, ?5)
                 ON CONFLICT (book, device, teller)
                 DO UPDATE SET n = excluded.n, hash = excluded.hash WHERE excluded.n >= told.n",
            )?;
            for header in headers {
                let (book, by) = (header.book.to_string(), header.device.to_string());
                for (device, n, hash) in &header.seen {
                    let (device, hash) = (device.to_string(), hash.to_string());
                    insert.execute(params![book, device, by, whole(*n), hash])?;
                }
            }
            Ok(())
        })
    }

    /// What somebody saw of a crew's books and is not here, or is another here; one for each device
    /// and book, in a fixed order.
    ///
    /// # Errors
    /// When the local store or the index can't be read.
    pub fn not_here(&mut self, crew_book: BookId) -> Result<Vec<NotHere>, RecordError> {
        let mut heads: HashMap<BookId, Vec<Head>> = HashMap::new();
        for head in read(&self.local)? {
            heads.entry(head.book).or_default().push(head);
        }
        let mut books = self.kept_jobs(crew_book)?;
        books.push(crew_book);
        let own = Some(self.device());
        let known: BTreeSet<BookId> = index::books(&self.index)?.iter().map(|r| r.book).collect();
        let all: Vec<Head> = heads.values().flatten().copied().collect();
        // Of a book that is gone as a whole nothing tells whose it was.
        let mut found = gone_whole(&all, &|book| known.contains(&book), own);
        for book in books {
            let Some(heads) = heads.get(&book) else {
                continue;
            };
            match self.load(book) {
                Ok(()) => {}
                // The list of jobs tells of a book that can't be read.
                Err(RecordError::Damaged(_)) => continue,
                Err(error) => return Err(error),
            }
            let Some(open) = self.books.get(&book) else {
                continue;
            };
            let crew = self.crew(crew_book);
            found.extend(not_here(&open.view, crew, heads, own, Telling::Here));
        }
        found.sort();
        Ok(found)
    }

    /// Heads of a crew's books that must lie in its shared folder too: those that others saw, and
    /// those of others, which came from there.
    ///
    /// # Errors
    /// When the local store or the index can't be read.
    pub fn heads_shared(&self, crew_book: BookId) -> Result<Vec<Head>, RecordError> {
        let own = self.device();
        let mut books = self.kept_jobs(crew_book)?;
        books.push(crew_book);
        let mut heads = read(&self.local)?;
        heads.retain(|head| books.contains(&head.book));
        heads.retain(|head| head.by.is_some() || head.device != own);
        Ok(heads)
    }

    /// Keeps in mind how far the books in memory go, or one of them, where that is further than
    /// before. An end that was whole here and is not any more stays noted until it is back.
    ///
    /// Called after the index has what the journal has, so that an act that was taken back was
    /// never here. What is saved is saved with or without this note, so a note that can't be
    /// written refuses nothing: it stays to be written, and the next saving or reading tries again.
    pub(super) fn note_held(&mut self, only: Option<BookId>) {
        let mut further = Held::new();
        let wanted = |book: &BookId| only.is_none_or(|only| only == *book);
        let books = self.books.iter().filter(|(book, _)| wanted(book));
        for (book, open) in books.filter(|(_, open)| open.view.tails_changed()) {
            for (device, tails) in open.view.tails() {
                let known = self.held.get(&(*book, *device));
                let torn = known.into_iter().flatten();
                let torn = torn.filter(|(_, id)| !open.view.is_whole(id));
                let ends: DeviceTails = tails.iter().chain(torn).copied().collect();
                if known != Some(&ends) {
                    further.insert((*book, *device), ends);
                }
            }
        }
        if !further.is_empty() && self.keep_ends(&further).is_err() {
            return;
        }
        self.held.extend(further);
        let books = self.books.iter_mut().filter(|(book, _)| wanted(book));
        books.for_each(|(_, open)| open.view.tails_noted());
    }

    fn keep_ends(&self, ends: &Held) -> Result<(), RecordError> {
        local_store::lightly(&self.local, |local| {
            let mut insert = local.prepare_cached(
                "INSERT OR IGNORE INTO highest (book, device, n, hash) VALUES (?1, ?2, ?3, ?4)",
            )?;
            let mut drop = local.prepare_cached(
                "DELETE FROM highest WHERE book = ?1 AND device = ?2 AND hash = ?3",
            )?;
            for ((book, device), ends) in ends {
                let (named, of) = (book.to_string(), device.to_string());
                for (n, hash) in ends {
                    insert.execute(params![named, of, whole(*n), hash.to_string()])?;
                }
                let known = self.held.get(&(*book, *device));
                let gone = known.into_iter().flatten();
                for (_, hash) in gone.filter(|end| !ends.contains(*end)) {
                    drop.execute(params![named, of, hash.to_string()])?;
                }
            }
            Ok(())
        })
    }
}
