//! Journals of which a part is damaged or gone, and lines that came with a wrong signature: the rest
//! goes on, and what is genuine wins.

use crate::common::{Device, lines_of};
use records::crew::Role;
use records::ids::Hash;
use records::record::{Draft, value_data};
use serde_json::json;

#[test]
fn a_damaged_crew_stops_neither_its_own_rebuild_nor_another_crew() {
    let mut ann = Device::founder("ann");
    let damaged = ann.crew;
    let job = ann.job();
    let founding = records::record::Founding {
        crew: "Reef".into(),
        person: "Ann".into(),
        role: records::crew::Role::Office,
    };
    let other = ann.record.found_crew(&founding).unwrap();
    let (dir, path) = ann.close();
    let index = std::fs::read(path.join("index.db")).unwrap();
    let mut ann = Device::open_at(dir, path);
    ann.followed_job(damaged, job);
    let created = ann.job_created();
    title_as(&mut ann, damaged, "later", created);
    let (dir, path) = ann.close();
    // The index is older than the journal, so that opening has to take something in, too.
    for name in ["index.db-wal", "index.db-shm"] {
        let _ = std::fs::remove_file(path.join(name));
    }
    std::fs::write(path.join("index.db"), index).unwrap();
    let journal = path.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    std::fs::write(&journal, text.replacen("ann's crew", "Ann's crew", 1)).unwrap();

    let mut ann = Device::open_at(dir, path);
    let told = ann.record.damaged_crews().unwrap();
    assert_eq!(
        told.iter().map(|(book, _)| *book).collect::<Vec<_>>(),
        [damaged]
    );
    assert!(
        told[0].1.to_string().contains("run `rebuild`"),
        "{}",
        told[0].1
    );
    assert!(matches!(
        ann.record.job(job).map(|_| ()),
        Err(records::RecordError::Damaged(_))
    ));
    let person = ann
        .record
        .crew(other)
        .members
        .values()
        .next()
        .unwrap()
        .persons[0]
        .id;
    ann.record
        .begin_job(other, person, "goes on", "here")
        .unwrap();
    ann.record.rebuild().unwrap();
    assert!(ann.record.damaged_crews().unwrap().is_empty());
    // The founding entry is whole; what came after the damaged one waits.
    assert!(ann.record.crew(damaged).founding.is_some());
    // It is told at every opening, and not only by the rebuild that first met it.
    for _ in 0..2 {
        let told = ann.record.broken_off_told().unwrap().unwrap();
        assert!(told.contains("not count any more"), "{told}");
        ann.record.rebuild().unwrap();
    }
    let (dir, path) = ann.close();
    let damaged_text = std::fs::read_to_string(&journal).unwrap();
    std::fs::write(
        &journal,
        damaged_text.replacen("Ann's crew", "ann's crew", 1),
    )
    .unwrap();
    let mut ann = Device::open_at(dir, path);
    ann.record.rebuild().unwrap();
    ann.followed_job(damaged, job);
    assert_eq!(ann.title(), Some("later".into()));
    assert_eq!(ann.record.broken_off_told().unwrap(), None);
}

fn title_as(device: &mut Device, crew: records::ids::BookId, value: &str, over: Hash) {
    let draft = Draft {
        kind: "job.title".into(),
        subject: format!("job:{}", device.job()),
        over: vec![over],
        data: value_data("", &json!(value)),
        ..Draft::default()
    };
    let person = device.record.own_member(crew).unwrap().persons[0].id;
    let job = device.job();
    device.record.act(job, person, vec![draft]).unwrap();
}

#[test]
fn a_file_of_the_journal_that_is_gone_is_damage_of_its_books_alone() {
    let mut ann = Device::founder("ann");
    let job = ann.job();
    let (dir, path) = ann.close();
    let (first, second) = (
        path.join("journal/00000001.jsonl"),
        path.join("journal/00000002.jsonl"),
    );
    std::fs::write(&second, b"").unwrap();
    ann = Device::open_at(dir, path);
    let founding = records::record::Founding {
        crew: "Reef".into(),
        person: "Ann".into(),
        role: records::crew::Role::Office,
    };
    let other = ann.record.found_crew(&founding).unwrap();
    let (dir, path) = ann.close();
    std::fs::remove_file(first).unwrap();
    let mut ann = Device::open_at(dir, path);
    assert!(matches!(
        ann.record.job(job).map(|_| ()),
        Err(records::RecordError::Damaged(_))
    ));
    assert_eq!(ann.record.crew_books(), [other]);
}

fn title(device: &mut Device, value: &str) {
    let over = device.tips("title");
    let draft = Draft {
        kind: "job.title".into(),
        subject: format!("job:{}", device.job()),
        over,
        data: value_data("", &json!(value)),
        ..Draft::default()
    };
    let (job, person) = (device.job(), device.person());
    device.record.act(job, person, vec![draft]).unwrap();
}

/// The same lines, with another signature of the right form on those that hold a word.
fn forged(lines: &[Vec<u8>], word: &str) -> Vec<Vec<u8>> {
    let mut lines = lines.to_vec();
    let holds = |line: &&mut Vec<u8>| String::from_utf8_lossy(line).contains(word);
    for line in lines.iter_mut().filter(holds) {
        line[..128].fill(b'0');
    }
    lines
}

/// What is said of a folder that was looked over; the signature of every entry is its own.
fn all_genuine(device: Device) -> Device {
    let (dir, path) = device.close();
    let moment = records::verify::moment_of(&path).unwrap().unwrap();
    let found = records::verify::verify(&path, &moment, &|_| std::ops::ControlFlow::Continue(()));
    found.unwrap();
    drop(moment);
    let mut device = Device::open_at(dir, path);
    let (job, crew) = (device.job(), device.crew);
    let crew = device.record.crew(crew).clone();
    let view = device.record.view(job).unwrap();
    for entry in view.ids().filter_map(|id| view.entry(id)) {
        let key = crew.member(&entry.body.device).unwrap().key;
        assert!(entry.signed_by(&key), "{}", entry.id);
    }
    device
}

#[test]
fn a_wrong_signature_that_came_first_does_not_keep_the_genuine_line_out() {
    // Whether Ben is admitted between the two lines, or after both.
    for admitted in 1..=2 {
        for reopened in [false, true] {
            let mut ann = Device::founder("ann");
            let mut ben = Device::founder("ben");
            ben.follow(&ann);
            let (crew, job) = (ann.crew, ann.job());
            ben.receive(&mut ann);
            title(&mut ben, "mine");
            let genuine = lines_of(&mut ben.record, job);
            let report = ann.record.take_in(crew, &forged(&genuine, "mine")).unwrap();
            assert_eq!((report.new, report.aside.len()), (1, 0));
            if admitted == 1 {
                ann.admit(&ben, Role::Installer);
                assert_eq!(ann.title(), Some("untitled".into()));
            }
            let report = ann.record.take_in(crew, &genuine).unwrap();
            assert_eq!((report.new, report.aside.len()), (0, 0));
            if admitted == 2 {
                ann.admit(&ben, Role::Installer);
            }
            assert_eq!(ann.title(), Some("mine".into()), "{admitted}");
            let again = ann.record.take_in(crew, &genuine).unwrap();
            assert_eq!((again.new, again.known), (0, genuine.len()));
            let before = ann.record.state_hashes().unwrap();
            if reopened {
                ann = ann.reopen();
                ann.followed_job(crew, job);
            }
            ann.record.rebuild().unwrap();
            assert_eq!(ann.record.state_hashes().unwrap(), before);
            let mut ann = all_genuine(ann);
            ann.followed_job(crew, job);
            assert_eq!(ann.title(), Some("mine".into()));
        }
    }
}

#[test]
fn a_wrong_signature_that_comes_second_changes_nothing() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    let (crew, job) = (ann.crew, ann.job());
    ben.receive(&mut ann);
    title(&mut ben, "mine");
    let genuine = lines_of(&mut ben.record, job);
    let both = [genuine.clone(), forged(&genuine, "mine")].concat();
    let report = ann.record.take_in(crew, &both).unwrap();
    assert_eq!((report.new, report.aside.len()), (1, 0));
    ann.admit(&ben, Role::Installer);
    assert_eq!(ann.title(), Some("mine".into()));
    // Now that the key is known and the entry is proven, another line of it is of no use.
    let report = ann.record.take_in(crew, &forged(&genuine, "mine")).unwrap();
    assert_eq!((report.new, report.known), (0, genuine.len()));
    all_genuine(ann);
}

fn without_index(path: &std::path::Path) {
    for name in ["index.db", "index.db-wal", "index.db-shm"] {
        let _ = std::fs::remove_file(path.join(name));
    }
}

/// The signature of the line is another one from now on; its body stays as it is.
fn blank(line: &mut [u8]) {
    line[..128].fill(b'0');
}

#[test]
fn a_changed_signature_that_a_later_entry_makes_good_costs_nothing() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    for value in ["one", "two", "three"] {
        title(&mut ann, value);
    }
    let crew = ann.crew;
    for device in [ann, ben] {
        // Of Ann's crew, for Ben received no more than that.
        let before = device.record.dump(crew).unwrap();
        let hashes = device.record.state_hashes().unwrap();
        let (mut dir, path) = device.close();
        let journal = path.join("journal/00000001.jsonl");
        let good = std::fs::read(&journal).unwrap();
        let lines: Vec<&[u8]> = good.split_inclusive(|b| *b == b'\n').collect();
        let own = |line: &[u8]| {
            let body = records::entry::Entry::parse(line).unwrap().body;
            (body.book, body.device)
        };
        for at in 0..lines.len() {
            if lines[at + 1..]
                .iter()
                .all(|later| own(later) != own(lines[at]))
            {
                continue;
            }
            let mut bad: Vec<Vec<u8>> = lines.iter().map(|line| line.to_vec()).collect();
            blank(&mut bad[at]);
            std::fs::write(&journal, bad.concat()).unwrap();
            without_index(&path);
            let mut opened = Device::open_at(dir, path.clone());
            assert_eq!(opened.record.dump(crew).unwrap(), before, "line {at}");
            assert_eq!(opened.record.state_hashes().unwrap(), hashes, "line {at}");
            assert!(opened.record.crew(crew).founding.is_some());
            // Without the pins, too, for those that can't be asked again.
            opened.record.rebuild().unwrap();
            assert_eq!(opened.record.state_hashes().unwrap(), hashes, "line {at}");
            dir = opened.close().0;
            let local = path.join("local.db");
            let kept = std::fs::read(&local).unwrap();
            for name in ["local.db", "local.db-wal", "local.db-shm"] {
                let _ = std::fs::remove_file(path.join(name));
            }
            without_index(&path);
            let record = records::Record::open(&path, crate::common::Ticking::starting(0)).unwrap();
            assert_eq!(record.dump(crew).unwrap(), before, "line {at}, no local.db");
            drop(record);
            std::fs::write(&local, kept).unwrap();
        }
        std::fs::write(&journal, &good).unwrap();
    }
}
