//! What this device publishes, and what keeps it from publishing.
//! One file past 400 lines, since every loss of an own log is met by the same device and folder.

use std::path::Path;

use crate::devices::{Crew, Device, without_index};
use records::record::Draft;
use sync::testing::MemoryStore;
use sync::{Options, Report, SharedStore};

/// Ann's journal without its last `lines`, as an older copy of it; with `index`, without her index
/// as well.
fn cut(ann: Device, lines: usize, index: bool) -> Device {
    let path = ann.path().to_owned();
    let closed = ann.closed();
    let journal = path.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    let all: Vec<&str> = text.split_inclusive('\n').collect();
    std::fs::write(&journal, all[..all.len() - lines].concat()).unwrap();
    if index {
        without_index(&path);
    }
    closed.opened(90_000)
}

/// Takes the signature of the last line of a closed folder's journal away.
fn damage_last_signature(path: &Path) {
    let journal = path.join("journal/00000001.jsonl");
    let mut bytes = std::fs::read(&journal).unwrap();
    let before = &bytes[..bytes.len() - 1];
    let at = before.iter().rposition(|byte| *byte == b'\n').unwrap() + 1;
    bytes[at..at + 128].fill(b'0');
    std::fs::write(&journal, bytes).unwrap();
}

fn notes_of(device: &Device, crew: &records::ids::BookId) -> Vec<String> {
    let mut record = device.record.lock().unwrap();
    let view = record.view(*crew).unwrap();
    let notes = view.ids().filter_map(|id| view.entry(id));
    let notes = notes.filter(|entry| entry.body.kind == "job.note" && view.counts(&entry.id));
    let text = |value: &serde_json::Value| value.as_str().unwrap().to_owned();
    let mut notes: Vec<String> = notes.map(|entry| text(&entry.body.data["value"])).collect();
    notes.sort();
    notes
}

#[test]
fn what_is_recorded_after_the_journal_became_shorter_is_shared_and_what_was_lost_comes_back() {
    for index in [false, true] {
        let store = MemoryStore::default();
        let Crew { ann, ben, job, .. } = Crew::meet(&store);
        for note in ["1", "2", "3"] {
            ann.say(job, "note", note);
        }
        assert!(ann.exchange(&store).shared);
        let ann = cut(ann, 2, index);
        ann.say(job, "note", "after");
        let report = ann.exchange(&store);
        assert_eq!(
            (report.new_entries, report.published.segments),
            (2, 1),
            "{report:?}"
        );
        assert!(report.forked && report.shared && report.not_here.is_empty());
        ben.exchange(&store);
        assert_eq!(notes_of(&ben, &job), ["1", "2", "3", "after"]);
        assert_eq!(ann.state(), ben.state());
        let again = ann.exchange(&store);
        assert_eq!(
            (again.new_entries, again.published.segments),
            (0, 0),
            "{again:?}"
        );
    }
}

#[test]
fn entries_of_others_that_are_gone_are_fetched_again() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    ben.say(job, "note", "of Ben");
    ben.exchange(&store);
    ann.exchange(&store);
    let ann = cut(ann, 1, false);
    assert_eq!(notes_of(&ann, &job), [] as [String; 0]);
    let report = ann.exchange(&store);
    assert_eq!(report.new_entries, 1, "{report:?}");
    assert!(report.shared && !report.needs_attention(), "{report:?}");
    assert_eq!(ann.state(), ben.state());
}

#[test]
fn shared_is_not_said_while_what_was_published_is_neither_here_nor_there() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    ann.say(job, "note", "kept");
    ann.exchange(&store);
    for note in ["lost 1", "lost 2"] {
        ann.say(job, "note", note);
    }
    ann.exchange(&store);
    let log = format!("log/{}/", ann.id());
    let files = store.files();
    let newest = files.iter().rfind(|(path, _)| path.starts_with(&log));
    let (path, bytes) = newest.unwrap();
    store.remove(path);
    let ann = cut(ann, 2, false);
    let report = ann.exchange(&store);
    assert!(!report.shared && !report.faults.is_empty(), "{report:?}");
    let gone = &report.not_here[0];
    assert!(gone.by.is_none() && report.needs_attention(), "{gone:?}");
    // What is recorded now goes out all the same.
    ann.say(job, "note", "after");
    let report = ann.exchange(&store);
    assert_eq!(report.published.segments, 1, "{report:?}");
    assert!(!report.shared);
    ben.exchange(&store);
    assert_eq!(notes_of(&ben, &job), ["after", "kept"]);
    // The piece is there again: both branches count.
    store.place(path, bytes);
    let report = ann.exchange(&store);
    assert!(report.shared && report.forked, "{report:?}");
    ben.exchange(&store);
    assert_eq!(notes_of(&ann, &job), ["after", "kept", "lost 1", "lost 2"]);
    assert_eq!(ann.state(), ben.state());
}

#[test]
fn what_is_recorded_while_an_exchange_runs_is_not_said_to_be_sent() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    crew.ann.say(crew.job, "note", "before");
    let said = std::sync::atomic::AtomicBool::new(false);
    let report = sync::exchange(
        &store,
        &crew.ann.record,
        &Options {
            all_jobs: true,
            progress: &|step| {
                let publishing = step.what == "Publishing what was recorded here";
                if publishing && !said.swap(true, std::sync::atomic::Ordering::Relaxed) {
                    crew.ann.say(crew.job, "note", "meanwhile");
                }
            },
            ..Options::default()
        },
    )
    .unwrap();
    assert!(report.shared && said.into_inner());
    let made = report.made_to.iter().find(|(book, _)| *book == crew.job);
    let mut record = crew.ann.record.lock().unwrap();
    let left = record.own_after(crew.job, made.unwrap().1).unwrap();
    assert_eq!(left.len(), 1, "the one that came meanwhile");
}

#[test]
fn a_cut_file_in_the_own_log_is_named_with_the_way_out() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let (device, job) = (crew.ann.id(), crew.job);
    let hash = "a".repeat(32);
    let path = format!("log/{device}/000000/00000009-{job}-{hash}.seg");
    store.put_new(&path, &[b'x'; 300]).unwrap();
    crew.ann.say(job, "note", "not to be published");
    let report = crew.ann.exchange(&store);
    assert!(!report.shared && report.needs_attention(), "{report:?}");
    let fault = &report.faults[0];
    assert!(fault.message.contains(&path), "{}", fault.message);
    assert!(fault.message.contains("by hand"), "{}", fault.message);
    store.remove(&path);
    let report = crew.ann.exchange(&store);
    assert!(report.shared && report.faults.is_empty(), "{report:?}");
    crew.ben.exchange(&store);
    assert_eq!(crew.ann.state(), crew.ben.state());
}

#[test]
fn nothing_is_signed_on_top_of_a_gap_in_the_own_chain() {
    let store = MemoryStore::default();
    let Crew { ann, job, .. } = Crew::meet(&store);
    let before: Vec<String> = store.files().into_iter().map(|(path, _)| path).collect();
    for note in ["1", "2", "3"] {
        ann.say(job, "note", note);
        ann.exchange(&store);
    }
    let files = store.files();
    let first = files.iter().find(|(path, _)| !before.contains(path));
    let (path, bytes) = first.unwrap();
    store.remove(path);
    let ann = cut(ann, 3, true);
    ann.exchange(&store);
    let person = ann.person();
    let note = || {
        let draft = Draft {
            kind: "job.note".into(),
            subject: format!("job:{job}"),
            data: [("value".to_owned(), "4".into())].into_iter().collect(),
            ..Draft::default()
        };
        ann.record.lock().unwrap().act(job, person, vec![draft])
    };
    let refused = note().unwrap_err().to_string();
    assert!(
        refused.contains("earlier entries of this device"),
        "{refused}"
    );
    let crew = ann.record.lock().unwrap().current_crew().unwrap().unwrap();
    assert!(ann.record.lock().unwrap().misses_own(crew).unwrap());
    store.place(path, bytes);
    ann.exchange(&store);
    note().unwrap();
    assert_eq!(notes_of(&ann, &job), ["1", "2", "3", "4"]);
    assert!(!ann.record.lock().unwrap().misses_own(crew).unwrap());
}

#[test]
fn the_end_of_a_chain_whose_signature_was_damaged_comes_back_with_an_exchange() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    ben.say(job, "note", "of Ben");
    ben.exchange(&store);
    ann.exchange(&store);
    let path = ann.path().to_owned();
    let closed = ann.closed();
    damage_last_signature(&path);
    without_index(&path);
    let ann = closed.opened(90_000);
    assert_eq!(notes_of(&ann, &job), [] as [String; 0]);
    let reasons = std::fs::read_to_string(path.join("aside/reasons.txt")).unwrap();
    assert!(reasons.contains("the next exchange fetches"), "{reasons}");
    let report = ann.exchange(&store);
    assert!(report.shared && !report.needs_attention(), "{report:?}");
    assert_eq!(notes_of(&ann, &job), ["of Ben"]);
    assert_eq!(ann.state(), ben.state());
}

/// Ann published `notes` one and two in one piece, and lost both the second and the piece.
fn with_a_piece_gone(notes: &[&str], then: bool) -> (MemoryStore, Crew, Report) {
    let store = MemoryStore::default();
    let Crew {
        ann,
        ben,
        crew,
        job,
    } = Crew::meet(&store);
    let before = store.files();
    ann.say(job, "note", "one");
    ann.say(job, "note", "two");
    ann.exchange(&store);
    let files = store.files();
    let piece = files.iter().find(|file| !before.contains(file)).unwrap();
    store.remove(&piece.0);
    store.place(&piece.0, &piece.1[..300]);
    let ann = cut(ann, 1, false);
    if then {
        ann.exchange(&store);
    }
    for note in notes {
        ann.say(job, "note", note);
    }
    let report = ann.exchange(&store);
    let crew = Crew {
        ann,
        ben,
        crew,
        job,
    };
    (store, crew, report)
}

#[test]
fn what_takes_the_numbers_of_a_lost_piece_is_published_all_the_same() {
    // As many as were lost, one more, and more, before the loss was met and after it.
    for then in [false, true] {
        for count in 1..=3 {
            let notes = &["two again", "three", "four"][..count];
            let (store, crew, report) = with_a_piece_gone(notes, then);
            assert!(!report.shared, "{report:?}");
            crew.ben.exchange(&store);
            let mut expected = vec!["one"];
            expected.extend(notes);
            expected.sort_unstable();
            assert_eq!(notes_of(&crew.ben, &crew.job), expected, "{then} {count}");
        }
    }
}

#[test]
fn pieces_that_an_older_version_noted_are_not_published_a_second_time() {
    let store = MemoryStore::default();
    let Crew { ann, job, .. } = Crew::meet(&store);
    ann.say(job, "note", "one");
    ann.exchange(&store);
    let path = ann.path().to_owned();
    let closed = ann.closed();
    let local = rusqlite::Connection::open(path.join("local.db")).unwrap();
    let rows = local
        .execute("UPDATE published SET tail = NULL", [])
        .unwrap();
    assert!(rows > 1);
    drop(local);
    let ann = closed.opened(90_000);
    let files = store.files();
    let report = ann.exchange(&store);
    assert!(
        report.shared && report.published.segments == 0,
        "{report:?}"
    );
    assert_eq!(store.files(), files);
    let _closed = ann.closed();
    let local = rusqlite::Connection::open(path.join("local.db")).unwrap();
    let without = "SELECT count(*) FROM published WHERE tail IS NULL";
    let left: i64 = local.query_row(without, [], |row| row.get(0)).unwrap();
    assert_eq!(left, 0);
}

/// Ben saves four notes; the line of the second is damaged, and the index is made anew.
fn with_a_damaged_line(ben: Device, job: records::ids::BookId) -> Device {
    for note in ["one", "two", "three", "four"] {
        ben.say(job, "note", note);
    }
    let path = ben.path().to_owned();
    let closed = ben.closed();
    let journal = path.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    std::fs::write(&journal, text.replace("\"two\"", "\"twu\"")).unwrap();
    without_index(&path);
    closed.opened(90_000)
}

#[test]
fn whole_entries_before_a_damaged_one_are_published_and_the_gap_is_told() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    let ben = with_a_damaged_line(ben, job);
    for _ in 0..2 {
        let report = ben.exchange(&store);
        assert!(!report.shared, "{report:?}");
        assert!(report.faults[0].message.contains("damaged or missing here"));
    }
    ann.exchange(&store);
    assert_eq!(notes_of(&ann, &job), ["one"]);
    // What stands after the gap came too, and counts once the gap is closed.
    let mut record = ann.record.lock().unwrap();
    let view = record.view(job).unwrap();
    let own = view.ids().filter_map(|id| view.entry(id));
    assert_eq!(own.filter(|entry| entry.body.device == ben.id()).count(), 3);
}

#[test]
fn a_line_whose_signature_was_damaged_is_published_whole() {
    for index in [false, true] {
        let store = MemoryStore::default();
        let Crew { ann, ben, job, .. } = Crew::meet(&store);
        ben.say(job, "note", "of Ben");
        let path = ben.path().to_owned();
        let closed = ben.closed();
        damage_last_signature(&path);
        if index {
            without_index(&path);
        }
        let ben = closed.opened(90_000);
        let report = ben.exchange(&store);
        assert!(report.shared && !report.needs_attention(), "{report:?}");
        let report = ann.exchange(&store);
        assert!(!report.needs_attention(), "{report:?}");
        assert_eq!(notes_of(&ann, &job), ["of Ben"], "index gone: {index}");
        let again = ben.exchange(&store);
        assert!(again.shared && again.published.segments == 0, "{again:?}");
    }
}

#[test]
fn a_device_that_lost_its_data_lists_no_job_of_which_a_piece_is_there() {
    let store = MemoryStore::default();
    let Crew { ann, crew, .. } = Crew::meet(&store);
    let job = ann.begin_job(crew, "a second one");
    ann.exchange(&store);
    let log = format!("log/{}/", ann.id());
    // The piece with the listing is still arriving; the job's own is there.
    let pieces = store.files().into_iter();
    let mut pieces = pieces.filter(|(path, bytes)| {
        let lists = String::from_utf8_lossy(bytes).contains(&format!("job:{job}"));
        path.starts_with(&log) && path.contains(&crew.to_string()) && lists
    });
    let (path, bytes) = pieces.next().unwrap();
    store.remove(&path);
    let twin = ann.forgetful_twin(900_000);
    let joining = sync::join(&store, &twin.record, "Ann").unwrap();
    sync::confirm(&store, &twin.record, &joining.digits).unwrap();
    twin.exchange(&store);
    let twin = twin.closed().opened(950_000);
    store.place(&path, &bytes);
    let report = twin.exchange(&store);
    assert!(!report.forked, "{report:?}");
}

#[test]
fn where_a_person_chose_to_go_on_before_a_gap_what_follows_is_shared() {
    let store = MemoryStore::default();
    let Crew {
        ann,
        ben,
        crew,
        job,
    } = Crew::meet(&store);
    let ben = with_a_damaged_line(ben, job);
    assert!(!ben.exchange(&store).shared);
    ben.record.lock().unwrap().go_on_before_gaps(crew).unwrap();
    ben.say(job, "note", "two again");
    for _ in 0..2 {
        let report = ben.exchange(&store);
        assert!(report.shared && !report.needs_attention(), "{report:?}");
    }
    ann.exchange(&store);
    assert_eq!(notes_of(&ann, &job), ["one", "two again"]);
    let mut record = ben.record.lock().unwrap();
    let end = record.own_end(job).unwrap();
    assert_eq!(
        (end.1, record.own_after(job, end.0).unwrap()),
        (true, vec![])
    );
}

#[test]
fn a_crew_whose_book_takes_no_act_is_exchanged_all_the_same() {
    let store = MemoryStore::default();
    let Crew { ann, crew, job, .. } = Crew::meet(&store);
    let second = ann.begin_job(crew, "its listing is damaged");
    let third = ann.begin_job(crew, "listed after it");
    let path = ann.path().to_owned();
    let closed = ann.closed();
    let journal = path.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    let lists = |line: &str| {
        line.contains(&format!("\"book\":\"{crew}\"")) && line.contains(&format!("job:{second}"))
    };
    let kept: String = text
        .split_inclusive('\n')
        .filter(|line| !lists(line))
        .collect();
    assert!(kept.len() < text.len());
    std::fs::write(&journal, kept).unwrap();
    without_index(&path);
    let ann = closed.opened(90_000);
    ann.say(job, "note", "goes out");
    let report = ann.exchange(&store);
    assert!(
        !report.shared && report.published.segments > 0,
        "{report:?}"
    );
    assert!(
        store
            .files()
            .iter()
            .any(|(path, _)| path.contains(&third.to_string()))
    );
}
