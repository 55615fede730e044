//! Devices with their own folders and clocks, and what people do with them.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs,
    unreachable_pub,
    dead_code
)]

pub mod scene;

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicI64, Ordering};
use std::sync::{Arc, Mutex};

use records::Record;
use records::clock::Clock;
use records::crew::{Person, Role};
use records::entry::FileRef;
use records::ids::{BookId, DeviceId, Hash, PersonId};
use records::photos;
use records::record::{Draft, Founding};
use serde_json::{Map, Value};
use sync::{Options, Report, SharedStore, SyncError, exchange};
use tempfile::TempDir;

pub struct Ticking(AtomicI64);

impl Clock for Ticking {
    fn now_ms(&self) -> i64 {
        self.0.fetch_add(1000, Ordering::Relaxed)
    }
    fn offset_min(&self) -> i32 {
        600
    }
}

pub struct Device {
    _dir: TempDir,
    path: PathBuf,
    pub record: Mutex<Record>,
}

impl Device {
    pub fn new(start: i64) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("data");
        Self::open(dir, path, start)
    }

    pub fn open(dir: TempDir, path: PathBuf, start: i64) -> Self {
        let clock = Arc::new(Ticking(AtomicI64::new(1_790_000_000_000 + start)));
        let record = Mutex::new(Record::open(&path, clock).unwrap());
        Self {
            _dir: dir,
            path,
            record,
        }
    }

    /// A device that has this one's key and nothing else, as after a loss of its data.
    pub fn forgetful_twin(&self, start: i64) -> Self {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("data");
        std::fs::create_dir(&path).unwrap();
        std::fs::copy(self.path.join("device.key"), path.join("device.key")).unwrap();
        Self::open(dir, path, start)
    }

    /// Closes the record, so that its files may be touched.
    pub fn closed(self) -> Closed {
        Closed {
            dir: self._dir,
            path: self.path,
        }
    }

    pub fn id(&self) -> DeviceId {
        self.record.lock().unwrap().device()
    }

    pub fn path(&self) -> &Path {
        &self.path
    }

    pub fn found(&self, person: &str) -> BookId {
        let founding = Founding {
            crew: "Taut and True".into(),
            person: person.into(),
            role: Role::Surveyor,
        };
        self.record.lock().unwrap().found_crew(&founding).unwrap()
    }

    pub fn person(&self) -> PersonId {
        self.record.lock().unwrap().person().unwrap().unwrap()
    }

    pub fn begin_job(&self, crew: BookId, title: &str) -> BookId {
        let person = self.person();
        let mut record = self.record.lock().unwrap();
        record
            .begin_job(crew, person, title, "14 Quillback Rise")
            .unwrap()
    }

    /// Says a value about a job.
    pub fn say(&self, book: BookId, field: &str, value: &str) -> Hash {
        let draft = Draft {
            kind: format!("job.{field}"),
            subject: format!("job:{book}"),
            data: value_data(value),
            ..Draft::default()
        };
        self.act(book, draft)
    }

    /// Keeps three files and an entry that names them.
    pub fn photograph(&self, book: BookId, what: &str) -> Vec<FileRef> {
        let dir = self.record.lock().unwrap().photos_dir();
        let files: Vec<FileRef> = [("original.jpg", 5000), ("view.jpg", 800), ("thumb.jpg", 90)]
            .into_iter()
            .map(|(kind, repeat)| {
                let bytes = format!("{kind} of {what};").repeat(repeat).into_bytes();
                let stored = photos::store(&dir, &bytes, "jpg").unwrap();
                FileRef {
                    sha256: stored.sha256.parse().unwrap(),
                    bytes: bytes.len() as u64,
                    kind: kind.into(),
                }
            })
            .collect();
        let draft = Draft {
            kind: "job.note".into(),
            subject: format!("job:{book}"),
            files: files.clone(),
            data: value_data(what),
            ..Draft::default()
        };
        self.act(book, draft);
        files
    }

    fn act(&self, book: BookId, draft: Draft) -> Hash {
        let person = self.person();
        self.record
            .lock()
            .unwrap()
            .act(book, person, vec![draft])
            .unwrap()[0]
    }

    pub fn admit(&self, crew: BookId, store: &dyn SharedStore, device: &DeviceId) {
        let applicant = sync::applicant(store, &self.record, crew, device).unwrap();
        let id = applicant
            .card
            .person
            .unwrap_or_else(|| PersonId::random().unwrap());
        let person = Person {
            id,
            name: applicant.card.name,
        };
        let own = self.person();
        let mut record = self.record.lock().unwrap();
        record
            .admit(crew, own, applicant.card.key, vec![person], Role::Installer)
            .unwrap();
    }

    pub fn exchange(&self, store: &dyn SharedStore) -> Report {
        self.try_exchange(store).unwrap()
    }

    pub fn try_exchange(&self, store: &dyn SharedStore) -> Result<Report, SyncError> {
        let options = Options {
            all_jobs: true,
            ..Options::default()
        };
        exchange(store, &self.record, &options)
    }

    /// The state's hash of every book kept here.
    pub fn state(&self) -> Vec<(BookId, Hash)> {
        let hashes = self.record.lock().unwrap().state_hashes().unwrap();
        hashes
            .into_iter()
            .map(|state| (state.book, state.hash))
            .collect()
    }

    pub fn has_file(&self, file: &FileRef) -> bool {
        let dir = self.record.lock().unwrap().photos_dir();
        photos::read(&dir, &file.sha256.to_string()).is_ok()
    }
}

/// A device whose program is not running.
pub struct Closed {
    dir: TempDir,
    path: PathBuf,
}

impl Closed {
    pub fn opened(self, start: i64) -> Device {
        Device::open(self.dir, self.path, start)
    }
}

/// Ann founded the crew and shared it, Ben joined and was admitted; both know one job.
pub struct Crew {
    pub ann: Device,
    pub ben: Device,
    pub crew: BookId,
    pub job: BookId,
}

impl Crew {
    pub fn meet(store: &dyn SharedStore) -> Self {
        let ann = Device::new(0);
        let ben = Device::new(7);
        let crew = ann.found("Ann");
        let job = ann.begin_job(crew, "Quillback Rise");
        sync::share_crew(store, &ann.record, crew).unwrap();
        ann.exchange(store);
        let joining = sync::join(store, &ben.record, "Ben").unwrap();
        sync::confirm(store, &ben.record, &joining.digits).unwrap();
        ann.admit(crew, store, &ben.id());
        ann.exchange(store);
        ben.exchange(store);
        Self {
            ann,
            ben,
            crew,
            job,
        }
    }
}

fn value_data(value: &str) -> Map<String, Value> {
    Map::from_iter([("value".to_owned(), Value::String(value.to_owned()))])
}

/// Takes the index of a closed folder away.
pub fn without_index(path: &Path) {
    for end in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(path.join(format!("index.db{end}")));
    }
}
