//! Beginning: a crew with its founder, and a job with its listing in the crew's book.
//!
//! Invariant: a job and its listing are one write, so that a refusal leaves neither. Where the
//! program stopped within that write, the next opening lists the job.

use std::collections::BTreeSet;

use serde_json::{Map, Value, json};

use super::write::{object, one};
use super::{Draft, Founding, Record, value_data};
use crate::book::BookView;
use crate::crew::{self, Admission, Person};
use crate::error::RecordError;
use crate::ids::{BookId, DeviceId, PersonId};
use crate::index;
use crate::keys::Signer as _;
use crate::subject::Subject;

const CREATED: &str = "job.created";
const CREW: &str = "crew";

impl Record {
    /// Founds a crew with this device as its founder.
    ///
    /// # Errors
    /// As for [`Record::act`].
    pub fn found_crew(&mut self, founding: &Founding) -> Result<BookId, RecordError> {
        let book = BookId::random()?;
        let person = PersonId::random()?;
        let admission = Admission {
            key: self.key.public(),
            persons: vec![Person {
                id: person,
                name: founding.person.clone(),
            }],
            role: founding.role,
        };
        let subject = Subject::Crew(book).to_string();
        let drafts = vec![
            Draft {
                kind: crew::FOUNDED.into(),
                subject: subject.clone(),
                data: object(&admission)?,
                ..Draft::default()
            },
            Draft {
                kind: "crew.name".into(),
                subject,
                data: value_data("", &json!(founding.crew)),
                ..Draft::default()
            },
        ];
        let founding = one(self.append_act(book, book, person, drafts)?)?;
        let noted = self.set_pin(book, founding).and_then(|()| {
            self.set_setting("person", &person.to_string())?;
            self.set_setting(CREW, &book.to_string())
        });
        match noted {
            // The crew is on disk, and without these notes it is this folder's only one: refusing
            // now would make the person found a second one.
            Err(_) if self.person()? == Some(person) => Ok(book),
            noted => noted.map(|()| book),
        }
    }

    /// Begins a job: its own book, and its listing in the crew's.
    ///
    /// # Errors
    /// As for [`Record::act`].
    pub fn begin_job(
        &mut self,
        crew_book: BookId,
        person: PersonId,
        title: &str,
        place: &str,
    ) -> Result<BookId, RecordError> {
        let founding = self
            .crew(crew_book)
            .founding
            .ok_or_else(|| RecordError::Unknown {
                what: CREW,
                id: crew_book.to_string(),
            })?;
        let job = BookId::random()?;
        let fields = json!([
            {"field": "title", "value": title},
            {"field": "place", "value": place},
        ]);
        let mut data = value_data("", &json!(true));
        data.insert("fields".into(), fields);
        let listing = created(job, data.clone());
        data.insert(
            CREW.into(),
            json!({"book": crew_book, "founding": founding}),
        );
        let acts = vec![(job, vec![created(job, data)]), (crew_book, vec![listing])];
        self.append_acts(crew_book, person, acts)?;
        Ok(job)
    }

    /// Lists jobs that this device began and no entry of their crew's book names: the program had
    /// stopped between the two lines. Without it nobody else would ever hear of them.
    ///
    /// Where an own end of the crew's book is gone, the listing may have been there and be in the
    /// folder: signed a second time it would fork the chain. That crew is left until an exchange has
    /// read this device's log to its end and names it as `read`.
    ///
    /// # Errors
    /// When a book can't be read or the journal can't be written.
    pub fn list_unlisted(&mut self, read: Option<BookId>) -> Result<(), RecordError> {
        let own = self.device();
        for crew_book in self.crew_books() {
            let mut here = true;
            for (_, end) in self.held.get(&(crew_book, own)).into_iter().flatten() {
                here &= index::proven(&self.index, end)? == Some(true);
            }
            if !here && read != Some(crew_book) {
                continue;
            }
            self.load(crew_book)?;
            // What is refused there must not keep the others from being exchanged.
            if self.hangs_in(crew_book) || !self.stands_on_own(crew_book) {
                continue;
            }
            let view = self.view(crew_book)?;
            let entries = view.ids().filter_map(|id| view.entry(id));
            let listed: BTreeSet<String> = entries
                .filter(|entry| entry.body.kind == CREATED)
                .map(|entry| entry.body.subject.clone())
                .collect();
            for job in self.kept_jobs(crew_book)? {
                if listed.contains(&Subject::Job(job).to_string()) {
                    continue;
                }
                // A piece with a job's entries is made after the one that lists it.
                if read != Some(crew_book) && self.was_published(job)? {
                    continue;
                }
                // A damaged one is told in the list of jobs.
                let first = match self.view(job) {
                    Ok(view) => creation(view, own),
                    Err(_) => None,
                };
                let Some((person, mut data)) = first else {
                    continue;
                };
                data.remove(CREW);
                data.remove("closes");
                self.append_act(crew_book, crew_book, person, vec![created(job, data)])?;
            }
        }
        Ok(())
    }
}

/// Who began a job on a device, and what the entry that begins it tells.
fn creation(view: &BookView, own: DeviceId) -> Option<(PersonId, Map<String, Value>)> {
    let mut entries = view.ids().filter_map(|id| view.entry(id));
    let first = entries.find(|entry| {
        let body = &entry.body;
        body.device == own && body.n == 1 && body.kind == CREATED
    })?;
    Some((first.body.person, first.body.data.clone()))
}

fn created(job: BookId, data: Map<String, Value>) -> Draft {
    Draft {
        kind: CREATED.into(),
        subject: Subject::Job(job).to_string(),
        data,
        ..Draft::default()
    }
}
