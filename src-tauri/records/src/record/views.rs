//! Reading: crews, jobs, keys, and the state with its hash.

use std::collections::BTreeSet;

use super::Record;
use crate::book::{BookView, Key, Why, broken_off_words};
use crate::crew::Crew;
use crate::entry::Entry;
use crate::error::RecordError;
use crate::ids::{BookId, Hash, ItemId};
use crate::index;
use crate::job::things::Tool;
use crate::job::{Job, Run};
use crate::keys::Signer as _;
use crate::subject::Subject;

/// A job as the crew's book lists it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ListedJob {
    /// The job.
    pub job: BookId,
    /// Its title.
    pub title: String,
    /// Its address.
    pub place: String,
    /// Whether its book is kept on this device.
    pub kept: bool,
}

/// Hash over the sorted projection rows of a book.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct StateHash {
    /// The book.
    pub book: BookId,
    /// SHA-256 over the rows, one a line.
    pub hash: Hash,
}

impl Record {
    /// A crew that this device knows; empty where the book is none.
    #[must_use]
    pub fn crew(&self, crew_book: BookId) -> &Crew {
        self.crews.get(&crew_book).unwrap_or(&self.no_crew)
    }

    /// Books of all crews whose entries are here.
    #[must_use]
    pub fn crew_books(&self) -> Vec<BookId> {
        let mut books: Vec<BookId> = self.crews.keys().copied().collect();
        books.sort_unstable();
        books
    }

    /// The crew that new jobs go to.
    ///
    /// # Errors
    /// When the local store can't be read.
    pub fn current_crew(&self) -> Result<Option<BookId>, RecordError> {
        match self.setting("crew")? {
            Some(text) => Ok(Some(text.parse()?)),
            None => Ok(self.crew_books().first().copied()),
        }
    }

    /// Jobs of a crew that are kept here.
    ///
    /// # Errors
    /// When the index can't be read.
    pub fn kept_jobs(&self, crew_book: BookId) -> Result<Vec<BookId>, RecordError> {
        Ok(index::books(&self.index)?
            .into_iter()
            .filter(|row| row.crew == crew_book && row.book != crew_book)
            .map(|row| row.book)
            .collect())
    }

    /// The crew book that a job belongs to.
    ///
    /// # Errors
    /// When the job is not kept here.
    pub fn crew_of_job(&self, job: BookId) -> Result<BookId, RecordError> {
        index::books(&self.index)?
            .into_iter()
            .find(|row| row.book == job)
            .map(|row| row.crew)
            .ok_or_else(|| RecordError::Unknown {
                what: "job",
                id: job.to_string(),
            })
    }

    /// Jobs that a crew's book lists, by title.
    ///
    /// # Errors
    /// When the index can't be read.
    pub fn listed_jobs(&mut self, crew_book: BookId) -> Result<Vec<ListedJob>, RecordError> {
        let kept = self.kept_jobs(crew_book)?;
        let view = self.view(crew_book)?;
        let mut jobs: Vec<ListedJob> = Vec::new();
        let mut told = BTreeSet::new();
        for (key, state) in view.keys().filter(|(k, _)| k.field == "created") {
            let Ok(Subject::Job(job)) = key.subject.parse() else {
                continue;
            };
            told.insert(job);
            if state
                .lines
                .iter()
                .all(|l| l.standing == crate::claims::Standing::Withdrawn)
            {
                continue;
            }
            let text = |field: &str| {
                let key = Key {
                    subject: key.subject.clone(),
                    field: field.to_owned(),
                    place: String::new(),
                };
                crate::job::first_text(view, &key).unwrap_or_default()
            };
            jobs.push(ListedJob {
                job,
                title: text("title"),
                place: text("place"),
                kept: kept.contains(&job),
            });
        }
        // Listing is the second act of beginning a job, and the device may have stopped between.
        for job in kept.into_iter().filter(|job| !told.contains(job)) {
            let text = |record: &mut Self, field: &str| {
                let key = Key {
                    subject: Subject::Job(job).to_string(),
                    field: field.to_owned(),
                    place: String::new(),
                };
                let view = record.view(job).ok()?;
                crate::job::first_text(view, &key)
            };
            jobs.push(ListedJob {
                job,
                title: text(self, "title").unwrap_or_default(),
                place: text(self, "place").unwrap_or_default(),
                kept: true,
            });
        }
        jobs.sort_by(|a, b| a.title.cmp(&b.title).then(a.job.cmp(&b.job)));
        Ok(jobs)
    }

    /// A book in memory, read from the journal when it is not there yet.
    ///
    /// # Errors
    /// When nothing of the book is here, or the journal can't be read.
    pub fn view(&mut self, book: BookId) -> Result<&BookView, RecordError> {
        self.load(book)?;
        self.books
            .get(&book)
            .map(|open| &open.view)
            .ok_or_else(|| RecordError::Unknown {
                what: "book",
                id: book.to_string(),
            })
    }

    /// Entries of a book that can't count since something was damaged or lost on this device.
    ///
    /// # Errors
    /// As for [`Record::view`].
    pub fn broken_off(&mut self, book: BookId) -> Result<usize, RecordError> {
        let (me, key) = (self.device(), self.key.public());
        let crew = self.crew_of_job(book)?;
        let crew = self.crew(crew).clone();
        let noted = self.held.iter().filter(|((of, _), _)| *of == book);
        let noted: Vec<_> = noted
            .flat_map(|((_, by), ends)| ends.iter().map(|(n, id)| (*by, *n, *id)))
            .collect();
        Ok(self.view(book)?.broken_off((me, Some(&key)), &noted, &crew))
    }

    /// The same over every book that can be read, as a sentence that says what to do; none where all is whole.
    ///
    /// # Errors
    /// When the index can't be read.
    pub fn broken_off_told(&mut self) -> Result<Option<String>, RecordError> {
        let mut all = 0;
        for row in index::books(&self.index)? {
            // One that is damaged as it stands is told where it is asked for.
            all += self.broken_off(row.book).unwrap_or_default();
        }
        Ok(told_of_broken_off(all))
    }

    /// Entries of a job and of its crew's book that can't count any more: what an answer about the job lacks.
    ///
    /// # Errors
    /// As for [`Record::view`].
    pub fn broken_off_of_job(&mut self, job: BookId) -> Result<usize, RecordError> {
        let crew = self.crew_of_job(job)?;
        Ok(self.broken_off(job)? + self.broken_off(crew)?)
    }

    /// Entries of every book that can be read which a newer version made, as a sentence that says what to
    /// do; none where there are none.
    ///
    /// # Errors
    /// When the index can't be read.
    pub fn newer_told(&mut self) -> Result<Option<String>, RecordError> {
        let mut all = 0;
        for row in index::books(&self.index)? {
            let crew = self.crew(row.crew).clone();
            // One that is damaged as it stands is told where it is asked for.
            let left = self.view(row.book).map(|view| view.not_counting(&crew));
            let newer = |(_, why): &(Hash, Why)| *why == Why::NotUnderstood;
            all += left.unwrap_or_default().into_iter().filter(newer).count();
        }
        let entries = match all {
            0 => return Ok(None),
            1 => "1 entry was recorded by a newer version and does".to_owned(),
            more => format!("{more} entries were recorded by a newer version and do"),
        };
        Ok(Some(format!(
            "{entries} not count on this device: nothing of it is lost. Update the program to see it."
        )))
    }

    /// A job as its book tells it.
    ///
    /// # Errors
    /// As for [`Record::view`].
    pub fn job(&mut self, job: BookId) -> Result<Job<'_>, RecordError> {
        self.load(job)?;
        let open = self
            .books
            .get_mut(&job)
            .filter(|open| open.row.book != open.row.crew)
            .ok_or_else(|| RecordError::Unknown {
                what: "job",
                id: job.to_string(),
            })?;
        let crew = self.crews.get(&open.row.crew).unwrap_or(&self.no_crew);
        Ok(open.kept.job(&mut open.view, crew))
    }

    /// One run of a job, without reading the rest of it.
    ///
    /// # Errors
    /// As for [`Record::view`]; [`RecordError::Unknown`] when the job has no such run.
    pub fn run(&mut self, job: BookId, run: ItemId) -> Result<Run, RecordError> {
        let (view, crew) = self.job_book(job)?;
        Job::read_run(view, crew, run).ok_or_else(|| RecordError::Unknown {
            what: "run",
            id: run.to_string(),
        })
    }

    /// One tool of a job, without reading the rest of it; nothing where the job has no such tool.
    ///
    /// # Errors
    /// As for [`Record::view`].
    pub fn tool(&mut self, job: BookId, tool: ItemId) -> Result<Option<Tool>, RecordError> {
        let (view, crew) = self.job_book(job)?;
        Ok(Job::read_tool(view, crew, tool))
    }

    fn job_book(&mut self, job: BookId) -> Result<(&BookView, &Crew), RecordError> {
        self.load(job)?;
        let open = self
            .books
            .get(&job)
            .filter(|open| open.row.book != open.row.crew)
            .ok_or_else(|| RecordError::Unknown {
                what: "job",
                id: job.to_string(),
            })?;
        Ok((&open.view, self.crew(open.row.crew)))
    }

    /// Own entries of a book after number `n`, in order, along the chain that this device continues.
    ///
    /// # Errors
    /// As for [`Record::view`].
    pub fn own_after(&mut self, book: BookId, n: u64) -> Result<Vec<Entry>, RecordError> {
        self.load(book)?;
        let mut at = self.own_head(book).map(|(_, hash)| hash);
        let view = self.view(book)?;
        let mut found = Vec::new();
        while let Some(entry) = at.and_then(|id| view.entry(&id)) {
            if entry.body.n <= n {
                break;
            }
            found.push(entry.clone());
            at = Some(entry.body.prev);
        }
        found.reverse();
        Ok(found)
    }

    /// How many own entries of a book are here with a number above `n`, on whichever chain.
    ///
    /// # Errors
    /// As for [`Record::view`].
    pub fn own_count_after(&mut self, book: BookId, n: u64) -> Result<u64, RecordError> {
        let device = self.device();
        let own = self.view(book)?.entries();
        let own = own.filter(|entry| entry.body.device == device && entry.body.n > n);
        Ok(own.count() as u64)
    }

    /// Sorted projection rows of a book, one text line each.
    ///
    /// # Errors
    /// When the index can't be read.
    pub fn dump(&self, book: BookId) -> Result<Vec<String>, RecordError> {
        match index::books(&self.index)?
            .into_iter()
            .find(|r| r.book == book)
        {
            Some(row) => index::dump(&self.index, row),
            None => Err(RecordError::Unknown {
                what: "book",
                id: book.to_string(),
            }),
        }
    }

    /// The state's hash of every book, sorted by book.
    ///
    /// # Errors
    /// When the index can't be read.
    pub fn state_hashes(&self) -> Result<Vec<StateHash>, RecordError> {
        index::books(&self.index)?
            .into_iter()
            .map(|row| {
                let rows = index::dump(&self.index, row)?;
                Ok(StateHash {
                    book: row.book,
                    hash: Hash::of(rows.join("\n").as_bytes()),
                })
            })
            .collect()
    }
}

/// What is to be done where so many entries do not count any more; none of none.
#[must_use]
pub fn told_of_broken_off(entries: usize) -> Option<String> {
    broken_off_words(entries).map(|entries| {
        format!(
            "{entries}: the journal of this device is damaged. Keep a copy of the data folder, then exchange: \
             what the shared folder holds of them comes back."
        )
    })
}
