//! A small but whole job through the record's public calls: a deck run and a stair run.
//!
//! Invented; the figures are scenario inputs and no check values.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic,
    missing_docs,
    unreachable_pub,
    dead_code
)]

pub mod acts;
pub mod pictures;
pub mod site;

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use handover::{HandoverError, Progress, Source, Written};
use records::Record;
use records::book::{BookView, Key};
use records::clock::Clock;
use records::crew::{Crew, Person, Role};
use records::entry::{At, FileRef};
use records::ids::{BookId, Hash, ItemId, PersonId};
use records::job::Job;
use records::model::Field;
use records::record::{Draft, Founding, new_item, value_data};
use records::subject::{ItemKind, Subject};
use serde::Serialize;
use serde_json::{Value, json};
use tempfile::TempDir;

/// 2026-10-27 09:00 in the scenario's zone.
pub const MADE: At = At {
    ms: 1_794_355_200_000,
    offset_min: 600,
    count: 0,
    suspect: false,
};

struct Ticking(AtomicI64);

impl Clock for Ticking {
    fn now_ms(&self) -> i64 {
        self.0.fetch_add(1000, Ordering::Relaxed)
    }
    fn offset_min(&self) -> i32 {
        600
    }
}

pub struct Site {
    pub dir: TempDir,
    pub record: Record,
    pub crew: BookId,
    pub job: BookId,
    pub person: PersonId,
    /// Whether handovers of it are signed.
    pub signs: bool,
    taken: i64,
}

impl Site {
    pub fn new(title: &str, place: &str) -> Site {
        let dir = tempfile::tempdir().unwrap();
        let clock = Arc::new(Ticking(AtomicI64::new(1_793_055_600_000)));
        let mut record = Record::open(&dir.path().join("data"), clock).unwrap();
        let founding = Founding {
            crew: "Ann's crew".into(),
            person: "Ann Dunmore".into(),
            role: Role::Surveyor,
        };
        let crew = record.found_crew(&founding).unwrap();
        let person = record.person().unwrap().unwrap();
        let job = record.begin_job(crew, person, title, place).unwrap();
        Site {
            dir,
            record,
            crew,
            job,
            person,
            signs: true,
            taken: 1_793_055_600_000,
        }
    }

    pub fn act(&mut self, drafts: Vec<Draft>) -> Vec<Hash> {
        self.record.act(self.job, self.person, drafts).unwrap()
    }

    pub fn one(&mut self, draft: Draft) -> Hash {
        self.act(vec![draft])[0]
    }

    pub fn new_item(&mut self, kind: ItemKind, files: Vec<FileRef>) -> ItemId {
        let id = new_item().unwrap();
        let subject = Subject::Item(kind, id);
        let draft = Draft {
            kind: format!("{}.created", subject.kind().word()),
            subject: subject.to_string(),
            files,
            data: value_data("", &json!(true)),
            ..Draft::default()
        };
        let draft = if draft.files.is_empty() {
            draft
        } else {
            let mut draft = draft;
            draft.data.insert("fields".into(), json!([]));
            draft
        };
        self.one(draft);
        id
    }

    /// Entries that stand on a key, as a correction must name them.
    pub fn tips(&mut self, subject: &Subject, field: &str, place: &str) -> Vec<Hash> {
        let key = Key {
            subject: subject.to_string(),
            field: field.into(),
            place: place.into(),
        };
        let view = self.record.view(self.job).unwrap();
        let lines = view.key(&key).map_or(&[][..], |state| &state.lines);
        lines.iter().flat_map(|l| l.tips.clone()).collect()
    }

    /// Another device of the crew, an installer's, that has all entries so far.
    pub fn second_device(&mut self, name: &str) -> Second {
        let dir = tempfile::tempdir().unwrap();
        let clock = Arc::new(Ticking(AtomicI64::new(1_793_100_000_000)));
        let mut record = Record::open(&dir.path().join("data"), clock).unwrap();
        let founding = Founding {
            crew: "its own".into(),
            person: name.into(),
            role: Role::Installer,
        };
        record.found_crew(&founding).unwrap();
        let person = record.person().unwrap().unwrap();
        let persons = vec![Person {
            id: person,
            name: name.into(),
        }];
        let key = record.signer().public();
        self.record
            .admit(self.crew, self.person, key, persons, Role::Installer)
            .unwrap();
        let mut lines = lines_of(&mut self.record, self.crew);
        lines.extend(lines_of(&mut self.record, self.job));
        let founding = self.record.crew(self.crew).founding.unwrap();
        record.pin(self.crew, founding).unwrap();
        record.take_in(self.crew, &lines).unwrap();
        record.set_setting("crew", &self.crew.to_string()).unwrap();
        Second {
            _dir: dir,
            record,
            person,
        }
    }

    /// Takes in what the other device recorded in the job.
    pub fn receive(&mut self, other: &mut Second) {
        let lines = lines_of(&mut other.record, self.job);
        self.record.take_in(self.crew, &lines).unwrap();
    }

    pub fn job_subject(&self) -> Subject {
        Subject::Job(self.job)
    }

    /// A minute after the picture before.
    pub fn next_taken(&mut self) -> i64 {
        self.taken += 60_000;
        self.taken
    }

    pub fn photos_dir(&self) -> PathBuf {
        self.record.photos_dir()
    }

    /// Reads the job and hands it on with the crew's book.
    pub fn with<T>(&mut self, use_it: impl FnOnce(&Source<'_>) -> T) -> T {
        let crew: Crew = self.record.crew(self.crew).clone();
        let crew_book: BookView = self.record.view(self.crew).unwrap().clone();
        let photos = self.record.photos_dir();
        let view = self.record.view(self.job).unwrap().clone();
        let job = Job::read(&view, &crew);
        let device = self.record.device();
        let key = self.record.signer();
        let sign = |domain: &str, bytes: &[u8]| (device, key.sign(domain, bytes));
        use_it(&Source {
            job: &job,
            crew_book: &crew_book,
            photos_dir: &photos,
            program: "tautbook 0.1.0",
            made: MADE,
            made_by: "Ann Dunmore",
            broken_off: 0,
            sign: self.signs.then_some(&sign),
        })
    }

    pub fn write(&mut self, folder: &Path) -> Result<Written, HandoverError> {
        self.with(|source| handover::write(source, folder, &go_on))
    }
}

/// Another device with its person.
pub struct Second {
    _dir: TempDir,
    pub record: Record,
    pub person: PersonId,
}

pub fn lines_of(record: &mut Record, book: BookId) -> Vec<Vec<u8>> {
    let view = record.view(book).unwrap();
    let mut entries: Vec<_> = view.ids().filter_map(|id| view.entry(id)).collect();
    entries.sort_by_key(|e| (e.body.device, e.body.n));
    entries.into_iter().map(|e| e.line().to_vec()).collect()
}

pub fn go_on(_: Progress) -> ControlFlow<()> {
    ControlFlow::Continue(())
}

pub fn claim<T: Serialize, C>(field: Field<T, C>, subject: &Subject, value: &T) -> Draft {
    placed(field, subject, "", value)
}

pub fn placed<T: Serialize, C>(
    field: Field<T, C>,
    subject: &Subject,
    place: &str,
    value: &T,
) -> Draft {
    Draft {
        kind: field.kind(),
        subject: subject.to_string(),
        data: value_data(place, &serde_json::to_value(value).unwrap()),
        ..Draft::default()
    }
}

/// A claim with its context, both checked against the field's types by the compiler.
pub fn told<T: Serialize, C: Serialize>(
    field: Field<T, C>,
    subject: &Subject,
    place: &str,
    value: &T,
    with: &C,
) -> Draft {
    let mut draft = placed(field, subject, place, value);
    draft
        .data
        .insert("with".into(), serde_json::to_value(with).unwrap());
    draft
}

/// Runs a program of the system and gives its output; a failure fails the test.
pub fn run(program: &str, arguments: &[&str], dir: &Path) -> String {
    let out = Command::new(program)
        .args(arguments)
        .current_dir(dir)
        .output()
        .unwrap_or_else(|e| panic!("{program}: {e}"));
    let text = String::from_utf8_lossy(&out.stdout).into_owned();
    let said = String::from_utf8_lossy(&out.stderr);
    assert!(
        out.status.success(),
        "{program} {arguments:?}: {text}{said}"
    );
    text
}

pub fn state(folder: &Path) -> Value {
    let text = std::fs::read(folder.join("data/state.json")).unwrap();
    serde_json::from_slice(&text).unwrap()
}
