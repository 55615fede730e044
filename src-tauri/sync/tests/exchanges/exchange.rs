//! Two devices and a folder: what one records, the other has.
//!
//! One file past 400 lines, since each test tells how the same two devices go on.

use std::sync::atomic::{AtomicU64, Ordering};

use crate::devices::{Crew, Device};
use sync::testing::{Calls, Faulty, MemoryStore};
use sync::{Depth, Options, SharedStore, SyncError, WaitingFor, exchange};

#[test]
fn what_one_records_the_other_has() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    assert_eq!(ann.state(), ben.state());
    ben.say(job, "title", "Quillback Rise, deck");
    let files = ben.photograph(job, "post base A1");
    assert_ne!(ann.state(), ben.state());
    let published = ben.exchange(&store);
    assert!(published.shared, "{published:?}");
    assert_eq!(published.published.segments, 1);
    assert_eq!(
        (
            published.published.thumbs,
            published.published.views,
            published.published.originals
        ),
        (1, 1, 1)
    );
    let fetched = ann.exchange(&store);
    assert_eq!((fetched.new_entries, fetched.fetched.segments), (2, 1));
    assert_eq!(ann.state(), ben.state());
    assert!(files.iter().all(|file| ann.has_file(file)));
    assert!(
        fetched.waiting.is_empty() && !fetched.needs_attention(),
        "{fetched:?}"
    );
}

#[test]
fn an_exchange_with_nothing_new_writes_nothing_and_reads_listings() {
    let memory = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&memory);
    ben.photograph(job, "gauge");
    ben.exchange(&memory);
    ann.exchange(&memory);
    ben.exchange(&memory);
    let files = memory.files();
    let store = Faulty::new(memory.clone());
    for device in [&ann, &ben] {
        let state = device.state();
        store.fail_at(0);
        let report = device.exchange(&store);
        let Calls {
            gets,
            puts,
            settles,
            ..
        } = store.calls();
        // The one file read says whose folder it is.
        assert_eq!((gets, puts, settles), (1, 0, 0));
        assert!(report.published.is_empty() && report.fetched.is_empty() && report.shared);
        assert_eq!(
            (report.new_entries, &report.waiting, report.others.unknown),
            (0, &vec![], 0)
        );
        assert_eq!(device.state(), state);
    }
    assert_eq!(memory.files(), files);
}

#[test]
fn whatever_call_fails_nothing_is_lost_and_the_next_exchange_makes_it_good() {
    let mut call = 0;
    loop {
        call += 1;
        let store = Faulty::new(MemoryStore::default());
        let Crew { ann, ben, job, .. } = Crew::meet(&store);
        ben.say(job, "title", "new");
        let files = ben.photograph(job, "defect");
        store.fail_at(call);
        let outcome = ben.try_exchange(&store);
        let met = store.met_fault();
        let told = match &outcome {
            Ok(report) => report.faults.iter().any(|fault| fault.retryable),
            Err(error) => error.is_temporary(),
        };
        assert_eq!(told, met, "call {call}: {outcome:?}");
        store.fail_at(0);
        let good = ben.exchange(&store);
        assert!(
            good.shared && good.faults.is_empty(),
            "call {call}: {good:?}"
        );
        ann.exchange(&store);
        assert_eq!(ann.state(), ben.state(), "call {call}");
        assert!(files.iter().all(|file| ann.has_file(file)), "call {call}");
        if !met {
            break;
        }
    }
    assert!(call > 10, "only {call} calls");
}

#[test]
fn whatever_read_fails_the_next_exchange_takes_it_in() {
    let mut call = 0;
    loop {
        call += 1;
        let store = Faulty::new(MemoryStore::default());
        let Crew { ann, ben, job, .. } = Crew::meet(&store);
        ben.say(job, "title", "new");
        let files = ben.photograph(job, "defect");
        ben.exchange(&store);
        store.fail_at(call);
        let outcome = ann.try_exchange(&store);
        let met = store.met_fault();
        store.fail_at(0);
        let good = ann.exchange(&store);
        assert!(
            good.faults.is_empty() && good.waiting.is_empty(),
            "call {call}: {good:?}"
        );
        assert_eq!(ann.state(), ben.state(), "call {call}, first {outcome:?}");
        assert!(files.iter().all(|file| ann.has_file(file)), "call {call}");
        if !met {
            break;
        }
    }
    assert!(call > 8, "only {call} calls");
}

#[test]
fn small_pictures_and_facts_go_before_large_files() {
    struct Order(MemoryStore, std::sync::Mutex<Vec<String>>);
    impl SharedStore for Order {
        fn list(&self, folder: &str) -> Result<sync::Listing, SyncError> {
            self.0.list(folder)
        }
        fn get(&self, path: &str, at_most: u64) -> Result<Vec<u8>, SyncError> {
            self.0.get(path, at_most)
        }
        fn put_new(&self, path: &str, bytes: &[u8]) -> Result<sync::Put, SyncError> {
            self.1.lock().unwrap().push(path.to_owned());
            self.0.put_new(path, bytes)
        }
        fn exists(&self, path: &str) -> Result<bool, SyncError> {
            self.0.exists(path)
        }
        fn settle(&self) -> Result<(), SyncError> {
            self.0.settle()
        }
    }
    let store = Order(MemoryStore::default(), std::sync::Mutex::default());
    let Crew { ben, job, .. } = Crew::meet(&store);
    let mut expected = [Vec::new(), vec!["log".to_owned()], Vec::new(), Vec::new()];
    for n in 0..6 {
        for file in ben.photograph(job, &format!("photo {n}")) {
            let at = match file.kind.as_str() {
                "thumb.jpg" => 0,
                "view.jpg" => 2,
                _ => 3,
            };
            expected[at].push(file.sha256.to_string());
        }
    }
    store.1.lock().unwrap().clear();
    ben.exchange(&store);
    let written = store.1.lock().unwrap().clone();
    let class = |path: &String| {
        let found = expected
            .iter()
            .position(|names| names.iter().any(|name| path.contains(name)));
        found.unwrap()
    };
    let classes: Vec<usize> = written.iter().map(class).collect();
    assert_eq!(classes.len(), 19);
    assert!(classes.is_sorted(), "{classes:?}");
}

#[test]
fn jobs_that_are_not_kept_are_passed_by_name_and_come_when_chosen() {
    let memory = MemoryStore::default();
    let Crew { ann, ben, crew, .. } = Crew::meet(&memory);
    let pool = ann.begin_job(crew, "Pool fence");
    ann.say(pool, "note", "ask first");
    ann.exchange(&memory);
    let store = Faulty::new(memory);
    let only_kept = Options::default();
    let report = exchange(&store, &ben.record, &only_kept).unwrap();
    assert_eq!(report.passed_over, 1);
    assert!(
        ben.record
            .lock()
            .unwrap()
            .kept_jobs(crew)
            .unwrap()
            .iter()
            .all(|job| *job != pool)
    );
    store.fail_at(0);
    let again = exchange(&store, &ben.record, &only_kept).unwrap();
    assert_eq!((again.passed_over, store.calls().gets), (1, 1));
    sync::choose_job(&ben.record, pool).unwrap();
    let chosen = exchange(&store, &ben.record, &only_kept).unwrap();
    assert_eq!((chosen.passed_over, chosen.fetched.segments), (0, 1));
    assert_eq!(ann.state(), ben.state());
}

#[test]
fn strangers_are_counted_and_not_read() {
    let memory = MemoryStore::default();
    let Crew { ann, .. } = Crew::meet(&memory);
    let eve = Device::new(99);
    let id = eve.id().to_string();
    for no in 1..=3 {
        memory.place(
            &format!(
                "log/{id}/000000/{no:08}-{}-{}.seg",
                "b".repeat(26),
                "c".repeat(32)
            ),
            b"anything",
        );
    }
    let store = Faulty::new(memory);
    let report = ann.exchange(&store);
    assert_eq!(store.calls().gets, 1);
    let strangers: Vec<_> = report
        .strangers
        .iter()
        .map(|s| (s.device.clone(), s.has_card, s.segments))
        .collect();
    assert_eq!(strangers, [(id, false, 3)]);
}

#[test]
fn nothing_of_a_crew_is_taken_in_before_the_digits_are_confirmed() {
    let store = MemoryStore::default();
    let Crew { ann, crew, .. } = Crew::meet(&store);
    let cleo = Device::new(20);
    assert!(matches!(
        cleo.try_exchange(&store),
        Err(SyncError::NotConfirmed)
    ));
    let joining = sync::join(&store, &cleo.record, "Cleo").unwrap();
    assert!(matches!(
        cleo.try_exchange(&store),
        Err(SyncError::NotConfirmed)
    ));
    let wrong = sync::confirm(&store, &cleo.record, "0000 0000 0000 0000");
    assert!(matches!(wrong, Err(SyncError::OtherDigits)));
    assert!(matches!(
        cleo.try_exchange(&store),
        Err(SyncError::NotConfirmed)
    ));
    assert!(cleo.state().is_empty());
    let applicant = sync::applicant(&store, &ann.record, crew, &cleo.id()).unwrap();
    assert_eq!(applicant.digits, joining.digits);
    sync::confirm(&store, &cleo.record, &joining.digits).unwrap();
    let report = cleo.exchange(&store);
    assert!(report.new_entries > 0);
    let names: Vec<String> = sync::applicants(&store, &ann.record, crew, None)
        .unwrap()
        .0
        .into_iter()
        .map(|applicant| applicant.card.name)
        .collect();
    assert_eq!(names, ["Cleo"]);
}

#[test]
fn the_folder_of_another_crew_is_not_written() {
    let (one, two) = (MemoryStore::default(), MemoryStore::default());
    let Crew { ann, crew, .. } = Crew::meet(&one);
    Crew::meet(&two);
    let before = two.files();
    assert!(matches!(
        ann.try_exchange(&two),
        Err(SyncError::NotConfirmed)
    ));
    assert!(matches!(
        sync::share_crew(&two, &ann.record, crew),
        Err(SyncError::OtherCrew)
    ));
    assert_eq!(two.files(), before);
}

#[test]
fn a_device_that_lost_its_data_learns_from_its_own_log_before_it_writes() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    ben.say(job, "title", "one");
    ben.exchange(&store);
    ann.exchange(&store);
    let twin = ben.forgetful_twin(5000);
    let joining = sync::join(&store, &twin.record, "Ben").unwrap();
    sync::confirm(&store, &twin.record, &joining.digits).unwrap();
    let report = twin.exchange(&store);
    assert!(!report.forked && report.shared, "{report:?}");
    assert_eq!(twin.state(), ann.state());
    twin.say(job, "title", "two");
    let report = twin.exchange(&store);
    assert_eq!((report.published.segments, report.forked), (1, false));
    let taken = ann.exchange(&store);
    assert_eq!(taken.new_entries, 1);
    assert_eq!(twin.state(), ann.state());
}

#[test]
fn a_device_that_wrote_before_it_read_its_own_log_is_forked_and_both_branches_are_shared() {
    let store = MemoryStore::default();
    let Crew {
        ann,
        ben,
        crew,
        job,
    } = Crew::meet(&store);
    ben.say(job, "title", "first");
    ben.exchange(&store);
    ann.exchange(&store);
    let twin = ben.forgetful_twin(5000);
    let joining = sync::join(&store, &twin.record, "Ben").unwrap();
    sync::confirm(&store, &twin.record, &joining.digits).unwrap();
    // The twin gets the others' books by another way and writes before it has met its own log.
    let mut lines = Vec::new();
    for book in [crew, job] {
        lines.extend(ann.record.lock().unwrap().own_after(book, 0).unwrap());
    }
    let lines: Vec<Vec<u8>> = lines.iter().map(|entry| entry.line().to_vec()).collect();
    let person = ben.person();
    {
        let mut record = twin.record.lock().unwrap();
        record.take_in(crew, &lines).unwrap();
        record.set_setting("person", &person.to_string()).unwrap();
    }
    twin.say(job, "title", "second");
    let report = twin.exchange(&store);
    assert!(report.forked && report.needs_attention(), "{report:?}");
    assert_eq!(report.published.segments, 1, "{report:?}");
    let again = twin.exchange(&store);
    assert!(again.forked && again.published.is_empty(), "{again:?}");
    ann.exchange(&store);
    ben.exchange(&store);
    assert_eq!(ann.state(), twin.state());
    assert_eq!(ann.state(), ben.state());
}

#[test]
fn the_record_is_free_whenever_the_folder_is_read_or_written() {
    struct Patient<'a>(
        MemoryStore,
        &'a std::sync::Mutex<records::Record>,
        AtomicU64,
    );
    impl Patient<'_> {
        fn wait_for_record(&self) {
            let begun = std::time::Instant::now();
            while self.1.try_lock().is_err() {
                // Another worker may hold it for a moment; whoever waits here may not.
                assert!(
                    begun.elapsed().as_secs() < 5,
                    "the record is held over folder I/O"
                );
                std::thread::yield_now();
            }
            self.2.fetch_add(1, Ordering::SeqCst);
        }
    }
    impl SharedStore for Patient<'_> {
        fn list(&self, folder: &str) -> Result<sync::Listing, SyncError> {
            self.wait_for_record();
            self.0.list(folder)
        }
        fn get(&self, path: &str, at_most: u64) -> Result<Vec<u8>, SyncError> {
            self.wait_for_record();
            self.0.get(path, at_most)
        }
        fn put_new(&self, path: &str, bytes: &[u8]) -> Result<sync::Put, SyncError> {
            self.wait_for_record();
            self.0.put_new(path, bytes)
        }
        fn exists(&self, path: &str) -> Result<bool, SyncError> {
            self.wait_for_record();
            self.0.exists(path)
        }
        fn settle(&self) -> Result<(), SyncError> {
            self.wait_for_record();
            self.0.settle()
        }
    }
    let memory = MemoryStore::default();
    let Crew {
        ann,
        ben,
        job,
        crew,
    } = Crew::meet(&memory);
    ben.photograph(job, "one");
    ben.exchange(&memory);
    ann.photograph(job, "two");
    let store = Patient(memory.clone(), &ann.record, AtomicU64::new(0));
    ann.exchange(&store);
    sync::share_crew(&store, &ann.record, crew).unwrap();
    sync::applicants(&store, &ann.record, crew, None).unwrap();
    let cleo = Device::new(30);
    let store = Patient(memory, &cleo.record, AtomicU64::new(0));
    let joining = sync::join(&store, &cleo.record, "Cleo").unwrap();
    sync::confirm(&store, &cleo.record, &joining.digits).unwrap();
    cleo.exchange(&store);
    assert!(store.2.load(Ordering::SeqCst) > 10);
}

#[test]
fn stopping_keeps_what_was_done_and_says_so() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    for n in 0..20 {
        ben.photograph(job, &format!("photo {n}"));
    }
    let asked = AtomicU64::new(0);
    let stop = || asked.fetch_add(1, Ordering::SeqCst) > 25;
    let options = Options {
        stop: &stop,
        depth: Depth::Newest,
        ..Options::default()
    };
    let report = exchange(&store, &ben.record, &options).unwrap();
    assert!(report.cancelled && !report.shared);
    assert!(!report.unshared.is_empty());
    let rest = ben.exchange(&store);
    assert!(rest.shared && !rest.cancelled);
    ann.exchange(&store);
    assert_eq!(ann.state(), ben.state());
}

#[test]
fn a_missing_piece_in_the_middle_is_waited_for_and_found() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    for n in 0..3 {
        ben.say(job, "title", &format!("title {n}"));
        ben.exchange(&store);
    }
    let log = format!("log/{}/", ben.id());
    let files = store.files();
    let segments: Vec<_> = files
        .iter()
        .filter(|(path, _)| path.starts_with(&log))
        .collect();
    assert_eq!(segments.len(), 3);
    store.remove(&segments[1].0);
    let report = ann.exchange(&store);
    let waiting: Vec<_> = report
        .waiting
        .iter()
        .map(|w| (w.what, w.whose.as_str(), w.count))
        .collect();
    assert_eq!(waiting, [(WaitingFor::Segments, "Ben", 1)]);
    // The one who made it sees that it is gone and puts it back.
    let back = ben.exchange(&store);
    assert_eq!(back.published.segments, 1);
    assert_eq!(store.files(), files);
    assert!(ann.exchange(&store).waiting.is_empty());
    assert_eq!(ann.state(), ben.state());
}

#[test]
fn a_device_that_forgot_gives_no_number_while_its_own_log_has_a_gap() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    for n in 0..3 {
        ben.say(job, "title", &format!("title {n}"));
        ben.exchange(&store);
    }
    ann.exchange(&store);
    let log = format!("log/{}/", ben.id());
    let (path, bytes) = store
        .files()
        .into_iter()
        .filter(|(path, _)| path.starts_with(&log))
        .nth(1)
        .unwrap();
    let twin = ben.forgetful_twin(5000);
    let joining = sync::join(&store, &twin.record, "Ben").unwrap();
    sync::confirm(&store, &twin.record, &joining.digits).unwrap();
    for damaged in [Some(&bytes[..50]), None] {
        store.remove(&path);
        if let Some(damaged) = damaged {
            store.place(&path, damaged);
        }
        let report = twin.exchange(&store);
        let waiting: Vec<_> = report
            .waiting
            .iter()
            .map(|w| (w.whose.as_str(), w.count))
            .collect();
        assert_eq!(waiting, [("this device", 1)], "{report:?}");
        assert!(report.published.is_empty());
    }
    store.place(&path, &bytes);
    let report = twin.exchange(&store);
    assert!(
        report.waiting.is_empty() && report.shared && !report.forked,
        "{report:?}"
    );
    assert_eq!(twin.state(), ann.state());
}

#[test]
fn a_damaged_job_is_told_and_the_others_go_on_and_a_rebuild_brings_it_back() {
    let store = MemoryStore::default();
    let Crew {
        ann,
        ben,
        crew,
        job,
    } = Crew::meet(&store);
    let other = ann.begin_job(crew, "Sorrel Lane");
    ann.say(job, "below", "paving below here");
    ann.exchange(&store);
    ben.exchange(&store);
    ben.say(other, "below", "grass");
    ben.say(job, "steel", "316");
    ben.exchange(&store);
    let sound = ben.state();

    let journal = ann.path().join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    let ann = ann.closed();
    std::fs::write(
        &journal,
        text.replace("paving below here", "paving below hare"),
    )
    .unwrap();
    let ann = ann.opened(500);
    ann.say(other, "access", "by the lane");
    let report = ann.exchange(&store);
    assert!(
        report
            .faults
            .iter()
            .any(|fault| fault.message.contains("run `rebuild`")),
        "{report:?}"
    );
    assert!(!report.shared);
    // What was said of the other job went out, and what Ben said of it came in.
    assert_eq!((report.published.segments, report.new_entries), (1, 1));
    ben.exchange(&store);

    // The advice is true: the damaged entry and what could not be taken come from the folder.
    ann.record.lock().unwrap().rebuild().unwrap();
    let report = ann.exchange(&store);
    assert!(report.faults.is_empty() && !report.forked, "{report:?}");
    assert_eq!(report.new_entries, 2);
    assert_eq!(ann.state(), ben.state());
    assert_ne!(ann.state(), sound, "the access to the other job is new");
}
