//! Pieces whose lines were changed, logs that can't be listed, and what is shared of whom.

use crate::devices::scene::{Scene, scene};
use crate::devices::{Crew, Device};
use records::ids::DeviceId;
use sync::testing::MemoryStore;
use sync::{SharedStore, WaitingFor};

/// A piece as its maker signed it, with another value in its last line, under the name of its content.
fn with_another_value(path: &str, bytes: &[u8]) -> (String, Vec<u8>) {
    let text = String::from_utf8(bytes.to_vec()).unwrap();
    assert!(text.contains("what Ben says"));
    let forged = text.replace("what Ben says", "what Ben saws").into_bytes();
    let (start, _) = path.rsplit_once('-').unwrap();
    let hash = records::ids::Hash::of(&forged).short();
    (format!("{start}-{hash}.seg"), forged)
}

#[test]
fn a_piece_whose_lines_were_refused_is_missed_until_the_genuine_one_is_there() {
    let scene = scene();
    let (path, forged) = with_another_value(&scene.path, &scene.bytes);
    scene.store.remove(&scene.path);
    scene.store.place(&path, &forged);
    for _ in 0..2 {
        let report = scene.ann();
        assert_eq!(report.aside.len(), 1, "{report:?}");
        scene.assert_waiting(&report, WaitingFor::Damaged);
    }
    scene.store.place(&scene.path, &scene.bytes);
    let report = scene.ann();
    assert!(report.waiting.is_empty(), "{report:?}");
    scene.assert_whole();
    // Beside the genuine one the false one is told once more, and then no longer.
    scene.ann();
    let report = scene.ann();
    assert!(
        !report.needs_attention() && report.waiting.is_empty(),
        "{report:?}"
    );
    scene.crew.ben.exchange(&scene.store);
    let report = scene.crew.ben.exchange(&scene.store);
    assert!(
        !report.needs_attention() && report.waiting.is_empty(),
        "{report:?}"
    );
}

#[test]
fn a_device_that_lost_its_data_takes_no_changed_line_for_its_own() {
    let scene = scene();
    let (path, forged) = with_another_value(&scene.path, &scene.bytes);
    scene.store.remove(&scene.path);
    scene.store.place(&path, &forged);
    let twin = scene.crew.ben.forgetful_twin(900_000);
    let joining = sync::join(&scene.store, &twin.record, "Ben").unwrap();
    sync::confirm(&scene.store, &twin.record, &joining.digits).unwrap();
    let report = twin.exchange(&scene.store);
    assert!(report.needs_attention(), "{report:?}");
    assert_eq!(report.published.segments, 0, "{report:?}");
    let title = |device: &Device| {
        let mut record = device.record.lock().unwrap();
        let view = record.view(scene.crew.job).unwrap();
        let entries = view.ids().filter_map(|id| view.entry(id));
        let mut values = entries.filter(|entry| entry.body.kind == "job.title");
        values.next().map(|entry| entry.body.data["value"].clone())
    };
    assert_eq!(title(&twin), None);
    scene.store.place(&scene.path, &scene.bytes);
    scene.store.remove(&path);
    let report = twin.exchange(&scene.store);
    assert!(!report.needs_attention(), "{report:?}");
    assert_eq!(title(&twin), Some("what Ben says".into()));
}

/// A folder of which no listing gives all names.
struct Endless(MemoryStore);

impl SharedStore for Endless {
    fn list(&self, folder: &str) -> Result<sync::Listing, sync::SyncError> {
        let mut listing = self.0.list(folder)?;
        listing.cut = folder.ends_with("/000000");
        Ok(listing)
    }

    fn get(&self, path: &str, at_most: u64) -> Result<Vec<u8>, sync::SyncError> {
        self.0.get(path, at_most)
    }

    fn put_new(&self, path: &str, bytes: &[u8]) -> Result<sync::Put, sync::SyncError> {
        self.0.put_new(path, bytes)
    }

    fn exists(&self, path: &str) -> Result<bool, sync::SyncError> {
        self.0.exists(path)
    }

    fn settle(&self) -> Result<(), sync::SyncError> {
        self.0.settle()
    }
}

#[test]
fn where_an_own_log_can_not_be_listed_to_its_end_nothing_is_published_and_it_is_told() {
    let scene = scene();
    let Scene { store, crew, .. } = scene;
    let before = store.files().len();
    let store = Endless(store);
    crew.ann.say(crew.job, "note", "kept here");
    let report = crew.ann.exchange(&store);
    let told = report.faults.iter().map(|fault| &fault.message);
    let told: Vec<_> = told
        .filter(|told| told.contains("not all could be read"))
        .collect();
    // Her own log, and Ben's.
    assert_eq!(told.len(), 2, "{report:?}");
    assert!(!report.shared);
    assert_eq!(store.0.files().len(), before);
    let report = crew.ann.exchange(&store.0);
    assert!(report.shared && !report.needs_attention(), "{report:?}");
}

#[test]
fn pictures_of_a_device_after_its_end_are_not_fetched() {
    let scene = scene();
    let Scene { store, crew, .. } = scene;
    let before = crew.ben.photograph(crew.job, "a post base");
    crew.ben.exchange(&store);
    crew.ann.exchange(&store);
    let (person, ben) = (crew.ann.person(), crew.ben.id());
    let end = |record: &mut records::Record| record.end_device(crew.crew, person, ben);
    end(&mut crew.ann.record.lock().unwrap()).unwrap();
    let after = crew.ben.photograph(crew.job, "by whoever found the phone");
    crew.ben.exchange(&store);
    let report = crew.ann.exchange(&store);
    assert!(before.iter().all(|file| crew.ann.has_file(file)));
    assert!(!after.iter().any(|file| crew.ann.has_file(file)));
    assert!(report.waiting.is_empty(), "{report:?}");
}

#[test]
fn pictures_of_another_crews_job_stay_out_of_this_crews_folder() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let other = MemoryStore::default();
    let beta = crew.ben.found("Ben");
    let job = crew.ben.begin_job(beta, "of another client");
    sync::share_crew(&other, &crew.ben.record, beta).unwrap();
    sync::choose_job(&crew.ben.record, job).unwrap();
    let files = crew.ben.photograph(job, "a client's house");
    let report = crew.ben.exchange(&store);
    assert!(report.shared, "{report:?}");
    let there = store.files();
    for file in &files {
        let name = file.sha256.to_string();
        assert!(!there.iter().any(|(path, _)| path.contains(&name)));
    }
    crew.ben.exchange(&other);
    let name = files[0].sha256.to_string();
    assert!(other.files().iter().any(|(path, _)| path.contains(&name)));
}

#[test]
fn an_own_original_that_is_gone_before_it_was_shared_is_told() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let files = crew.ben.photograph(crew.job, "a post base");
    let dir = crew.ben.record.lock().unwrap().photos_dir();
    let hash = files[0].sha256.to_string();
    let path = records::photos::find(&dir, &hash).unwrap().unwrap();
    let bytes = std::fs::read(&path).unwrap();
    std::fs::write(&path, &bytes[..1000]).unwrap();
    for gone in [false, true] {
        if gone {
            std::fs::remove_file(&path).unwrap();
        }
        let report = crew.ben.exchange(&store);
        assert!(
            !report.shared && report.needs_attention(),
            "{gone} {report:?}"
        );
    }
    std::fs::write(&path, bytes).unwrap();
    let report = crew.ben.exchange(&store);
    assert!(report.shared && !report.needs_attention(), "{report:?}");
}

#[test]
fn pictures_of_a_device_that_waits_for_its_admission_go_out_beside_its_entries() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let person = crew.ben.person().to_string();
    {
        let mut record = crew.ben.record.lock().unwrap();
        record.set_setting("person", &person).unwrap();
        record.take_new_identity().unwrap();
    }
    let files = crew.ben.photograph(crew.job, "before it is admitted again");
    let report = crew.ben.exchange(&store);
    assert!(report.shared, "{report:?}");
    let there = store.files();
    for file in &files {
        let name = file.sha256.to_string();
        assert!(there.iter().any(|(path, _)| path.contains(&name)));
    }
}

fn joined(store: &MemoryStore, name: &str, start: i64) -> Device {
    let device = Device::new(start);
    let joining = sync::join(store, &device.record, name).unwrap();
    sync::confirm(store, &device.record, &joining.digits).unwrap();
    device
}

/// A claim on the job's title over what stands there.
fn retitle(device: &Device, job: records::ids::BookId, title: &str) {
    let person = device.person();
    let mut record = device.record.lock().unwrap();
    let view = record.view(job).unwrap();
    let key = records::book::Key {
        subject: format!("job:{job}"),
        field: "title".into(),
        place: String::new(),
    };
    let tips = view.key(&key).map(|state| state.lines.clone());
    let over = tips.into_iter().flatten().flat_map(|line| line.tips);
    let draft = records::record::Draft {
        kind: "job.title".into(),
        subject: format!("job:{job}"),
        over: over.collect(),
        data: records::record::value_data("", &title.into()),
        ..Default::default()
    };
    record.act(job, person, vec![draft]).unwrap();
}

#[test]
fn a_word_that_rests_on_a_device_that_was_admitted_in_vain_reads_the_same_everywhere() {
    let store = MemoryStore::default();
    let Crew {
        ann,
        ben,
        crew,
        job,
    } = Crew::meet(&store);
    let kim = joined(&store, "Kim", 100);
    ann.admit(crew, &store, &kim.id());
    let keeper: DeviceId = kim.id();
    let person = ann.person();
    ann.record
        .lock()
        .unwrap()
        .name_keeper(crew, person, keeper)
        .unwrap();
    ann.exchange(&store);
    kim.exchange(&store);
    let max = joined(&store, "Max", 200);
    kim.admit(crew, &store, &max.id());
    kim.exchange(&store);
    max.exchange(&store);
    retitle(&max, job, "by Max");
    max.exchange(&store);
    ben.exchange(&store);
    retitle(&ben, job, "by Ben");
    ben.exchange(&store);
    // Ann has not heard of Max when she ends Kim's device.
    ann.record
        .lock()
        .unwrap()
        .end_device(crew, person, keeper)
        .unwrap();
    for _ in 0..2 {
        ann.exchange(&store);
        ben.exchange(&store);
    }
    let zoe = joined(&store, "Zoe", 300);
    ann.admit(crew, &store, &zoe.id());
    ann.exchange(&store);
    zoe.exchange(&store);
    ben.exchange(&store);
    assert_eq!(ann.state(), ben.state());
    let of = |device: &Device| {
        let states = device.state();
        states.into_iter().find(|(book, _)| *book == job)
    };
    assert_eq!(of(&zoe), of(&ann));
}

#[test]
fn what_an_ended_device_says_that_it_saw_is_heard_no_more() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let (ann, ben) = (&crew.ann, &crew.ben);
    let header = records::segment::Header {
        format: 1,
        device: ben.id(),
        no: 9,
        prev: records::ids::Hash::ZERO,
        book: crew.job,
        book_prev: None,
        first: 1,
        last: 1,
        seen: vec![(ann.id(), 1, records::ids::Hash::of(b"another"))],
    };
    let mut record = ann.record.lock().unwrap();
    record.note_seen(crew.crew, [&header]).unwrap();
    assert_eq!(record.not_here(crew.crew).unwrap().len(), 1);
    let person = record.person().unwrap().unwrap();
    record.end_device(crew.crew, person, ben.id()).unwrap();
    assert_eq!(record.not_here(crew.crew).unwrap(), []);
}
