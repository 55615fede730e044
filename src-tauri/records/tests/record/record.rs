//! The record of one and of two data folders: saving, reopening, rebuilding, merging, belonging.
//! One file past 400 lines, since all of it stands on one scene of two folders.

use crate::common::{Device, lines_of};
use proptest::prelude::*;
use records::crew::Role;
use records::entry::Entry;
use records::job::Reader;
use records::model::fields;
use records::record::{Draft, value_data};
use serde_json::json;

fn title(device: &mut Device, value: &str, over: Vec<records::ids::Hash>) -> records::ids::Hash {
    let draft = Draft {
        kind: "job.title".into(),
        subject: format!("job:{}", device.job()),
        over,
        data: value_data("", &json!(value)),
        ..Draft::default()
    };
    let (job, person) = (device.job(), device.person());
    device.record.act(job, person, vec![draft]).unwrap()[0]
}

/// A wire's length: a repeat, or a correction of those named.
fn length(device: &mut Device, wire: u32, nm: i64, over: Vec<records::ids::Hash>) {
    let mut data = value_data("", &json!({ "nm": nm }));
    data.insert(
        "with".into(),
        json!({"purpose": "cut", "posts": "railOn", "faces": "postFaces", "instrument": "tape"}),
    );
    let draft = Draft {
        kind: "wire.length".into(),
        subject: format!("wire:{RUN}:{wire}"),
        over,
        data,
        ..Draft::default()
    };
    let (job, person) = (device.job(), device.person());
    device.record.act(job, person, vec![draft]).unwrap();
}

/// A run that nobody created: claims on it count all the same.
const RUN: &str = "aaaaaaaaaaaaaaaaaaaaaaaaaa";

/// Words that stand of a wire's length, line by line.
fn lengths(device: &mut Device, wire: u32) -> Vec<Vec<records::ids::Hash>> {
    let job = device.job();
    let key = records::book::Key {
        subject: format!("wire:{RUN}:{wire}"),
        field: "length".into(),
        place: String::new(),
    };
    let view = device.record.view(job).unwrap();
    let lines = view.key(&key).map(|state| state.lines.as_slice());
    let lines = lines.unwrap_or_default();
    lines.iter().map(|line| line.tips.clone()).collect()
}

#[test]
fn what_was_saved_is_there_after_reopening_and_rebuilding() {
    let mut ann = Device::founder("ann");
    let first = ann.job_created();
    title(&mut ann, "Deck and stair", vec![first]);
    let before = ann.record.state_hashes().unwrap();
    let dump = ann.record.dump(ann.job()).unwrap();
    let mut ann = ann.reopen();
    assert_eq!(ann.record.state_hashes().unwrap(), before);
    ann.record.rebuild().unwrap();
    assert_eq!(ann.record.state_hashes().unwrap(), before);
    assert_eq!(ann.record.dump(ann.job()).unwrap(), dump);
    let job = ann.job();
    let crew_book = ann.crew;
    let crew = ann.record.crew(crew_book).clone();
    let view = ann.record.view(job).unwrap();
    let reader = Reader { view, crew: &crew };
    let fact = reader.one(fields::JOB_TITLE, &format!("job:{job}"), "");
    assert_eq!(fact.value().unwrap(), "Deck and stair");
}

#[test]
fn a_second_process_is_told_and_changes_nothing() {
    let ann = Device::founder("ann");
    let second = records::Record::open(ann.dir(), std::sync::Arc::new(records::clock::SystemClock));
    assert!(matches!(second, Err(records::RecordError::InUse)));
}

#[test]
fn a_newer_index_is_refused_and_left_alone() {
    let ann = Device::founder("ann");
    let (dir, path) = ann.close();
    let index = path.join("index.db");
    let db = rusqlite::Connection::open(&index).unwrap();
    db.pragma_update(None, "user_version", 99).unwrap();
    drop(db);
    let before = std::fs::read(&index).unwrap();
    let opened = records::Record::open(&path, std::sync::Arc::new(records::clock::SystemClock));
    assert!(matches!(
        opened,
        Err(records::RecordError::Newer {
            what: "index.db",
            found: 99,
            ..
        })
    ));
    assert_eq!(std::fs::read(&index).unwrap(), before);
    drop(dir);
}

#[test]
fn a_damaged_index_costs_a_rebuild_and_nothing_else() {
    let ann = Device::founder("ann");
    let before = ann.record.state_hashes().unwrap();
    let (dir, path) = ann.close();
    std::fs::write(
        path.join("index.db"),
        b"this is no database, whatever its name may say",
    )
    .unwrap();
    let _ = std::fs::remove_file(path.join("index.db-wal"));
    let again = Device::open_at(dir, path);
    assert_eq!(again.record.state_hashes().unwrap(), before);
}

#[test]
fn a_torn_act_is_set_aside_whole_and_the_chain_goes_on() {
    let mut ann = Device::founder("ann");
    let created = ann.job_created();
    let hashes = ann.record.state_hashes().unwrap();
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    let kept = std::fs::metadata(&journal).unwrap().len();
    let local = std::fs::read(path.join("local.db")).unwrap();
    // An act of three entries of which two whole lines and a part of the third reached the disk.
    let mut ann = Device::open_at(dir, path);
    let drafts: Vec<Draft> = (0..3)
        .map(|n| Draft {
            kind: "job.note".into(),
            subject: format!("job:{}", ann.job()),
            data: value_data("", &json!(format!("note {n}"))),
            ..Draft::default()
        })
        .collect();
    let (job, person) = (ann.job(), ann.person());
    ann.record.act(job, person, drafts).unwrap();
    let (dir, path) = ann.close();
    let bytes = std::fs::read(&journal).unwrap();
    std::fs::write(&journal, &bytes[..bytes.len() - 40]).unwrap();
    for name in ["index.db", "index.db-wal", "index.db-shm"] {
        let _ = std::fs::remove_file(path.join(name));
    }
    // An act that was cut was never answered, so nothing was noted of it.
    std::fs::write(path.join("local.db"), local).unwrap();
    let mut ann = Device::open_at(dir, path);
    assert_eq!(ann.record.state_hashes().unwrap(), hashes);
    assert_eq!(std::fs::metadata(&journal).unwrap().len(), kept);
    let aside = ann.record.aside_dir();
    let reasons = std::fs::read_to_string(aside.join("reasons.txt")).unwrap();
    let (name, why) = reasons.split_once(": ").unwrap();
    assert!(why.contains("was never acknowledged"), "{reasons}");
    let tail = std::fs::read(aside.join(name)).unwrap();
    assert_eq!(
        tail,
        &bytes[usize::try_from(kept).unwrap()..bytes.len() - 40]
    );
    title(&mut ann, "goes on", vec![created]);
    let ann = ann.reopen();
    assert_ne!(ann.record.state_hashes().unwrap(), hashes);
}

#[test]
fn a_device_counts_once_it_is_admitted_and_not_after_its_end() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    let created = ann.job_created();
    title(&mut ann, "one", vec![created]);
    ben.receive(&mut ann);
    let tip = ben.tips("title")[0];
    title(&mut ben, "two", vec![tip]);
    // ben is not admitted yet: what he said waits.
    ann.receive(&mut ben);
    assert_eq!(ann.title(), Some("one".into()));
    ann.admit(&ben, Role::Installer);
    assert_eq!(ann.title(), Some("two".into()));
    let (crew, person) = (ann.crew, ann.person());
    ann.record
        .end_device(crew, person, ben.record.device())
        .unwrap();
    assert_eq!(ann.title(), Some("two".into()));
    ben.receive(&mut ann);
    let tip = ben.tips("title")[0];
    title(&mut ben, "three", vec![tip]);
    ann.receive(&mut ben);
    assert_eq!(
        ann.title(),
        Some("two".into()),
        "what follows the end is set aside"
    );
}

#[test]
fn an_end_holds_whatever_the_hashes_are_and_whoever_admitted() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    let (crew, person) = (ann.crew, ann.person());
    let keeper = Draft {
        kind: "device.keeper".into(),
        subject: format!("device:{}", ben.record.device()),
        ..Draft::default()
    };
    ann.record.act(crew, person, vec![keeper]).unwrap();
    ben.receive(&mut ann);
    // One in two would be lost if an end were heard in the order of hashes.
    for round in 0..8 {
        let other = Device::founder("other");
        let by = if round % 2 == 0 { &mut ann } else { &mut ben };
        by.admit(&other, Role::Office);
        ann.receive(&mut ben);
        let device = other.record.device();
        assert!(
            ann.record.crew(crew).member(&device).is_some(),
            "round {round}"
        );
        ann.record.end_device(crew, person, device).unwrap();
        let member = ann.record.crew(crew).member(&device).unwrap();
        assert!(member.ended.is_some(), "round {round}");
        ben.receive(&mut ann);
    }
    assert!(ann.record.crew(crew).without_effect.is_empty());
}

#[test]
fn a_forged_line_is_set_aside_with_its_reason() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    let created = ben.tips("created")[0];
    title(&mut ben, "mine", vec![created]);
    let job = ben.job();
    let mut lines = lines_of(&mut ben.record, job);
    // Lines come sorted by device, and devices have new ids each time.
    let word = b"\"mine\"";
    let said = |line: &&mut Vec<u8>| line.windows(word.len()).any(|part| part == word);
    let mine = lines.iter_mut().find(said).unwrap();
    // another signature of the right shape
    for byte in mine.iter_mut().take(128) {
        *byte = b'0';
    }
    let crew = ann.crew;
    let report = ann.record.take_in(crew, &lines).unwrap();
    assert_eq!(report.aside.len(), 1);
    assert!(
        report.aside[0].reason.contains("signature"),
        "{:?}",
        report.aside
    );
    assert_ne!(ann.title(), Some("mine".into()));
    assert!(ann.record.aside_dir().join("reasons.txt").exists());
}

#[test]
fn corrections_apart_are_disputed_and_a_new_word_settles() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    let first = ann.tips("title");
    title(&mut ann, "by ann", first.clone());
    title(&mut ben, "by ben", first);
    ann.receive(&mut ben);
    ben.receive(&mut ann);
    assert_eq!(ann.title(), None);
    assert_eq!(ann.tips("title").len(), 2);
    assert_eq!(
        ann.record.dump(ann.job()).unwrap(),
        ben.record.dump(ben.job()).unwrap()
    );
    let both = ben.tips("title");
    title(&mut ben, "settled", both);
    ann.receive(&mut ben);
    assert_eq!(ann.title(), Some("settled".into()));
}

#[test]
fn a_journal_put_back_from_an_older_copy_is_read_anew_and_told() {
    let mut ann = Device::founder("ann");
    let created = ann.job_created();
    let before = ann.record.state_hashes().unwrap();
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    let older = std::fs::read(&journal).unwrap();
    let mut ann = Device::open_at(dir, path);
    title(&mut ann, "later", vec![created]);
    let (dir, path) = ann.close();
    std::fs::write(&journal, older).unwrap();
    let mut ann = Device::open_at(dir, path);
    assert_eq!(ann.record.state_hashes().unwrap(), before);
    let told = std::fs::read_to_string(ann.record.aside_dir().join("reasons.txt")).unwrap();
    assert!(
        told.contains("entries that had been saved are gone"),
        "{told}"
    );
    title(&mut ann, "goes on", vec![created]);
}

#[test]
fn stamps_do_not_run_back_over_a_restart() {
    let mut ann = Device::founder("ann");
    let created = ann.job_created();
    title(&mut ann, "before", vec![created]);
    let job = ann.job();
    let newest = |device: &mut Device| {
        let view = device.record.view(job).unwrap();
        let stamps = view.ids().filter_map(|id| Some(view.entry(id)?.body.at));
        stamps.max().unwrap()
    };
    let last = newest(&mut ann);
    // A device's clock begins anew in these tests: set back by all that has passed.
    let mut ann = ann.reopen();
    let tip = ann.tips("title")[0];
    title(&mut ann, "after", vec![tip]);
    assert!(newest(&mut ann) > last);
}

#[test]
fn a_job_whose_beginning_is_still_missing_keeps_its_crew_when_the_index_is_made_anew() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    let created = ben.tips("created")[0];
    title(&mut ben, "by ben", vec![created]);
    ann.receive(&mut ben);
    let (crew, job) = (ann.crew, ann.job());
    let ben_alone: Vec<Vec<u8>> = lines_of(&mut ben.record, job)
        .into_iter()
        .filter(|line| String::from_utf8_lossy(line).contains("by ben"))
        .collect();
    assert_eq!(ben_alone.len(), 1);

    let mut office = Device::founder("office");
    office.follow(&ann);
    let crew_lines = lines_of(&mut ann.record, crew);
    office.record.take_in(crew, &crew_lines).unwrap();
    office.record.take_in(crew, &ben_alone).unwrap();
    let before = office.record.state_hashes().unwrap();
    assert!(before.iter().any(|hash| hash.book == job));
    office.record.rebuild().unwrap();
    assert_eq!(office.record.state_hashes().unwrap(), before);

    // What was missing comes, and all is as at the others'.
    let all = lines_of(&mut ann.record, job);
    office.record.take_in(crew, &all).unwrap();
    assert_eq!(
        office.record.dump(job).unwrap(),
        ann.record.dump(job).unwrap()
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn any_order_and_any_split_give_the_same_state(
        script in prop::collection::vec(
            (any::<bool>(), 0u8..4, any::<bool>(), 0u8..4, any::<prop::sample::Index>()),
            1..14,
        ),
        order in any::<u64>(),
        split in 1usize..9,
        blank in any::<u64>(),
    ) {
        let mut ann = Device::founder("ann");
        let mut ben = Device::founder("ben");
        ben.follow(&ann);
        ann.admit(&ben, Role::Installer);
        ben.receive(&mut ann);
        let mut repeats = 0;
        for (by_ann, value, meet, what, which) in script {
            let who = if by_ann { &mut ann } else { &mut ben };
            let (wire, nm) = (1 + u32::from(value % 2), 7_300_000_000 + i64::from(value));
            let lines = lengths(who, wire);
            match what {
                // a single value, over all that stands
                0 | 1 => {
                    let over = who.tips("title");
                    title(who, &format!("title {value}"), over);
                }
                // a correction of one line of many, or of two at once, which joins them
                2 if !lines.is_empty() => {
                    let mut over = which.get(&lines).clone();
                    if value > 2 {
                        over.extend(lines.iter().flatten().copied());
                        over.sort_unstable();
                        over.dedup();
                    }
                    length(who, wire, nm, over);
                }
                // a repeat
                _ => {
                    repeats += 1;
                    length(who, wire, nm, Vec::new());
                }
            }
            if meet {
                ben.receive(&mut ann);
                ann.receive(&mut ben);
            }
        }
        ben.receive(&mut ann);
        ann.receive(&mut ben);
        let told = lengths(&mut ann, 1).len() + lengths(&mut ann, 2).len();
        prop_assert_eq!(told > 0, repeats > 0, "readings are lines of their own");
        let (crew, job) = (ann.crew, ann.job());
        let mut lines = lines_of(&mut ann.record, crew);
        lines.extend(lines_of(&mut ann.record, job));
        // A later entry of the chain proves those without a signature of their own.
        for at in 0..lines.len() - 1 {
            let book = |line: &[u8]| {
                let body = Entry::parse(line).unwrap().body;
                (body.book, body.device)
            };
            let goes_on = book(&lines[at]) == book(&lines[at + 1]);
            if goes_on && blank >> (at % 64) & 1 == 1 {
                lines[at][..128].fill(b'0');
            }
        }
        let mut s = order;
        for i in (1..lines.len()).rev() {
            s = s.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            lines.swap(i, (s >> 33) as usize % (i + 1));
        }
        let mut third = Device::founder("office");
        third.follow(&ann);
        for batch in lines.chunks(split) {
            third.record.take_in(crew, batch).unwrap();
        }
        prop_assert_eq!(third.record.dump(job).unwrap(), ann.record.dump(job).unwrap());
        prop_assert_eq!(third.record.dump(crew).unwrap(), ann.record.dump(crew).unwrap());
        third.record.rebuild().unwrap();
        prop_assert_eq!(third.record.dump(job).unwrap(), ann.record.dump(job).unwrap());
        // a second taking-in does nothing
        let again = third.record.take_in(crew, &lines).unwrap();
        prop_assert_eq!((again.new, again.known), (0, lines.len()));
    }
}
