//! Devices with their own folders and clocks.
#![allow(
    clippy::unwrap_used,
    clippy::indexing_slicing,
    missing_docs,
    unreachable_pub,
    dead_code
)]

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

use records::Record;
use records::book::Key;
use records::clock::Clock;
use records::crew::{Person, Role};
use records::entry::Entry;
use records::ids::{BookId, Hash, PersonId};
use records::record::Founding;
use tempfile::TempDir;

#[derive(Debug)]
pub(crate) struct Ticking(AtomicI64);

impl Ticking {
    pub(crate) fn starting(at: i64) -> Arc<Self> {
        Arc::new(Ticking(AtomicI64::new(at)))
    }
}

impl Clock for Ticking {
    fn now_ms(&self) -> i64 {
        self.0.fetch_add(1000, Ordering::Relaxed)
    }
    fn offset_min(&self) -> i32 {
        600
    }
}

pub(crate) struct Device {
    dir: TempDir,
    path: PathBuf,
    pub record: Record,
    pub crew: BookId,
    followed: Option<BookId>,
    name: String,
}

impl Device {
    pub(crate) fn founder(name: &str) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("data");
        let clock = Ticking::starting(1_790_000_000_000 + name.len() as i64);
        let mut record = Record::open(&path, clock).unwrap();
        let founding = Founding {
            crew: format!("{name}'s crew"),
            person: name.into(),
            role: Role::Surveyor,
        };
        let crew = record.found_crew(&founding).unwrap();
        let person = record.person().unwrap().unwrap();
        record
            .begin_job(crew, person, "untitled", "an island")
            .unwrap();
        Device {
            dir,
            path,
            record,
            crew,
            followed: None,
            name: name.into(),
        }
    }

    pub(crate) fn open_at(dir: TempDir, path: PathBuf) -> Self {
        let clock = Ticking::starting(1_791_000_000_000);
        let record = Record::open(&path, clock).unwrap();
        let crew = record.current_crew().unwrap().unwrap();
        Device {
            dir,
            path,
            record,
            crew,
            followed: None,
            name: String::new(),
        }
    }

    pub(crate) fn dir(&self) -> &Path {
        &self.path
    }

    pub(crate) fn close(self) -> (TempDir, PathBuf) {
        (self.dir, self.path)
    }

    pub(crate) fn reopen(self) -> Self {
        let (dir, path) = self.close();
        Device::open_at(dir, path)
    }

    pub(crate) fn person(&self) -> PersonId {
        self.record.person().unwrap().unwrap()
    }

    pub(crate) fn job(&self) -> BookId {
        match self.followed {
            Some(job) => job,
            None => self.record.kept_jobs(self.crew).unwrap()[0],
        }
    }

    /// Uses the other device's crew and job from now on.
    pub(crate) fn follow(&mut self, other: &Device) {
        self.crew = other.crew;
        self.followed = Some(other.job());
        let founding = other.record.crew(other.crew).founding.unwrap();
        self.record.pin(other.crew, founding).unwrap();
        self.record
            .set_setting("crew", &other.crew.to_string())
            .unwrap();
    }

    /// Looks at this job of this crew from now on.
    pub(crate) fn followed_job(&mut self, crew: BookId, job: BookId) {
        (self.crew, self.followed) = (crew, Some(job));
    }

    pub(crate) fn admit(&mut self, other: &Device, role: Role) {
        let persons = vec![Person {
            id: other.person(),
            name: other.name.clone(),
        }];
        let (crew, person) = (self.crew, self.person());
        let key = other.record.signer().public();
        self.record.admit(crew, person, key, persons, role).unwrap();
    }

    pub(crate) fn receive(&mut self, other: &mut Device) {
        let mut lines = lines_of(&mut other.record, self.crew);
        let job = other.job();
        lines.extend(lines_of(&mut other.record, job));
        self.record.take_in(self.crew, &lines).unwrap();
    }

    pub(crate) fn job_created(&mut self) -> Hash {
        self.tips("created")[0]
    }

    pub(crate) fn tips(&mut self, field: &str) -> Vec<Hash> {
        let job = self.job();
        let key = Key {
            subject: format!("job:{job}"),
            field: field.into(),
            place: String::new(),
        };
        let view = self.record.view(job).unwrap();
        view.key(&key)
            .unwrap()
            .lines
            .iter()
            .flat_map(|l| l.tips.clone())
            .collect()
    }

    pub(crate) fn title(&mut self) -> Option<String> {
        let (job, crew) = (self.job(), self.crew);
        let crew = self.record.crew(crew).clone();
        let view = self.record.view(job).unwrap();
        let reader = records::job::Reader { view, crew: &crew };
        reader.value(records::model::fields::JOB_TITLE, &format!("job:{job}"))
    }
}

pub(crate) fn lines_of(record: &mut Record, book: BookId) -> Vec<Vec<u8>> {
    let Ok(view) = record.view(book) else {
        return Vec::new();
    };
    let mut entries: Vec<_> = view.ids().filter_map(|id| view.entry(id)).collect();
    entries.sort_by_key(|e| (e.body.device, e.body.n));
    entries.into_iter().map(|e| e.line().to_vec()).collect()
}

/// An entry of a device's own, said once more by it in another book.
pub fn said_again(
    by: &Device,
    own: &Entry,
    n: u64,
    prev: Hash,
    book: BookId,
    subject: &str,
) -> Entry {
    let mut body = own.body.clone();
    (body.book, body.subject) = (book, subject.to_owned());
    (body.n, body.prev) = (n, prev);
    body.data.insert("closes".into(), true.into());
    Entry::sign(body, by.record.signer()).unwrap()
}

/// Takes the index of a closed folder away.
pub(crate) fn without_index(path: &Path) {
    for name in ["index.db", "index.db-wal", "index.db-shm"] {
        let _ = std::fs::remove_file(path.join(name));
    }
}

/// How often a crew's book lists a job.
pub(crate) fn listings(device: &mut Device, crew: BookId, job: BookId) -> usize {
    let lines = lines_of(&mut device.record, crew).into_iter();
    let text = lines.map(|line| String::from_utf8(line).unwrap());
    text.filter(|line| line.contains(&format!("job:{job}")))
        .count()
}
