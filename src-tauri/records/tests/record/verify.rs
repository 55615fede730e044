//! Looking a data folder over: what is sound is told, and each damage by its own kind.
//! One file past 400 lines, since every damage is done to the same sound record.

use std::fs;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use crate::common::{Device, lines_of};
use records::crew::Role;
use records::entry::FileRef;
use records::photos;
use records::record::{Draft, value_data};
use records::verify::{Fault, FaultKind, IndexStands, Summary, moment_of, verify};
use serde_json::json;
use tempfile::TempDir;

fn say(device: &mut Device, text: &str, files: Vec<FileRef>) {
    let draft = Draft {
        kind: "job.note".into(),
        subject: format!("job:{}", device.job()),
        files,
        data: value_data("", &json!(text)),
        ..Draft::default()
    };
    let (job, person) = (device.job(), device.person());
    device.record.act(job, person, vec![draft]).unwrap();
}

fn keep(device: &Device, bytes: &[u8]) -> FileRef {
    let stored = photos::store(&device.record.photos_dir(), bytes, "jpg").unwrap();
    FileRef {
        sha256: stored.sha256.parse().unwrap(),
        bytes: bytes.len() as u64,
        kind: "original.jpg".into(),
    }
}

/// Ann's folder: two books, some notes, a picture, and what Ben recorded; nobody has it open.
fn closed() -> (TempDir, PathBuf) {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    say(&mut ben, "from ben", vec![]);
    ann.receive(&mut ben);
    let file = keep(&ann, b"a picture of a post base");
    say(&mut ann, "with a picture", vec![file]);
    say(&mut ann, "last", vec![]);
    ann.close()
}

fn look(dir: &Path) -> Result<Summary, Fault> {
    let moment = moment_of(dir).unwrap()?;
    verify(dir, &moment, &|_| ControlFlow::Continue(()))
}

fn journal(dir: &Path) -> PathBuf {
    dir.join("journal/00000001.jsonl")
}

fn forget_index(dir: &Path) {
    for name in ["index.db", "index.db-wal", "index.db-shm"] {
        let _ = fs::remove_file(dir.join(name));
    }
}

fn everything(dir: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut found = Vec::new();
    let mut open = vec![dir.to_path_buf()];
    while let Some(dir) = open.pop() {
        for item in fs::read_dir(dir).unwrap() {
            let path = item.unwrap().path();
            if path.is_dir() {
                open.push(path);
            } else if !path.to_string_lossy().contains("index.db") {
                found.push((path.clone(), fs::read(&path).unwrap()));
            }
        }
    }
    found.sort();
    found
}

#[test]
fn a_sound_folder_is_told_in_numbers_and_nothing_in_it_changes() {
    let (_dir, path) = closed();
    let before = everything(&path);
    let found = look(&path).unwrap();
    let entries = fs::read_to_string(journal(&path)).unwrap().lines().count() as u64;
    assert_eq!((found.journal_files, found.entries), (1, entries));
    assert_eq!((found.crews, found.jobs, found.signatures), (1, 1, entries));
    assert_eq!((found.objects, found.awaited, found.strange), (1, 0, 0));
    assert_eq!(found.index, IndexStands::Same);
    assert_eq!(found.not_counting, []);
    assert_eq!(everything(&path), before);
    forget_index(&path);
    assert_eq!(look(&path).unwrap().index, IndexStands::None);
}

#[test]
fn an_open_record_is_looked_over_while_it_goes_on() {
    let (dir, path) = closed();
    let mut ann = Device::open_at(dir, path.clone());
    let moment = ann.record.moment().unwrap();
    say(&mut ann, "after the moment", vec![]);
    let at_moment = verify(&path, &moment, &|_| ControlFlow::Continue(())).unwrap();
    let now = ann.record.moment().unwrap();
    let after = verify(&path, &now, &|_| ControlFlow::Continue(())).unwrap();
    assert_eq!(after.entries, at_moment.entries + 1);
    assert_eq!(
        (at_moment.index, after.index),
        (IndexStands::Same, IndexStands::Same)
    );
    assert!(matches!(moment_of(&path), Err(records::RecordError::InUse)));
}

#[test]
fn every_changed_byte_of_an_entry_is_a_fault_with_and_without_the_index() {
    let (_dir, path) = closed();
    let good = fs::read(journal(&path)).unwrap();
    let kept = fs::read(path.join("index.db")).unwrap();
    for index in [true, false] {
        if !index {
            forget_index(&path);
        }
        for at in (0..good.len()).step_by(211) {
            let mut bad = good.clone();
            bad[at] ^= 1;
            fs::write(journal(&path), &bad).unwrap();
            let found = look(&path);
            // A signature by Ben may be wrong where a later one of his proves the entry.
            let line = good[..at].iter().filter(|b| **b == b'\n').count();
            let start = good[..at]
                .iter()
                .rposition(|b| *b == b'\n')
                .map_or(0, |p| p + 1);
            let signature = at - start < 128;
            match found {
                Err(fault) => assert!(fault.place.starts_with("journal/"), "{at}: {fault}"),
                Ok(found) => assert!(
                    signature && found.signatures < found.entries,
                    "{at}, line {line}"
                ),
            }
        }
        fs::write(journal(&path), &good).unwrap();
    }
    assert!(!kept.is_empty() && look(&path).is_ok());
}

/// What Ben recorded and was whole here: a line of it that hangs elsewhere, or is gone, is no entry on its way.
#[test]
fn a_chain_that_was_whole_and_is_not_is_a_fault_whoever_recorded_it() {
    let changes: [fn(&str, &str) -> String; 4] = [
        |line, member| line.replacen(&format!("\"{member}\":\""), &format!("\"{member}\":\"a"), 1),
        |line, member| {
            let (before, after) = line.split_once(&format!("\"{member}\":\"")).unwrap();
            let turned = if after.starts_with('a') { "b" } else { "a" };
            let rest: String = after.chars().skip(1).collect();
            format!("{before}\"{member}\":\"{turned}{rest}")
        },
        |line, _| line.replacen("\"n\":", "\"n\":7", 1),
        |_, _| String::new(),
    ];
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    say(&mut ben, "one", vec![]);
    say(&mut ben, "two", vec![]);
    ann.receive(&mut ben);
    let (_dir, path) = ann.close();
    let good = fs::read_to_string(journal(&path)).unwrap();
    look(&path).unwrap();
    forget_index(&path);
    let line = good
        .split_inclusive('\n')
        .find(|l| l.contains("\"one\""))
        .unwrap();
    for member in ["book", "device", "prev", "kind"] {
        for (which, change) in changes.iter().enumerate() {
            fs::write(
                journal(&path),
                good.replacen(line, &change(line, member), 1),
            )
            .unwrap();
            let fault = look(&path).unwrap_err();
            let kinds = [
                FaultKind::Chain,
                FaultKind::NotAnEntry,
                FaultKind::Signature,
                FaultKind::Missing,
            ];
            assert!(kinds.contains(&fault.kind), "{member} {which}: {fault}");
            assert!(
                fault.place.starts_with("journal"),
                "{member} {which}: {fault}"
            );
        }
    }
    // The end itself.
    let end = good
        .split_inclusive('\n')
        .find(|l| l.contains("\"two\""))
        .unwrap();
    fs::write(journal(&path), good.replacen(end, "", 1)).unwrap();
    assert_eq!(look(&path).unwrap_err().kind, FaultKind::Missing);
    fs::write(journal(&path), &good).unwrap();
    look(&path).unwrap();
}

type Damage = fn(&Path);

#[test]
fn each_damage_has_its_kind_and_says_what_to_do() {
    let cases: [(&str, Damage, FaultKind); 17] = [
        (
            "no journal",
            |d| fs::remove_dir_all(d.join("journal")).unwrap(),
            FaultKind::Missing,
        ),
        (
            "a missing journal file",
            |d| {
                fs::rename(journal(d), d.join("journal/00000002.jsonl")).unwrap();
            },
            FaultKind::Missing,
        ),
        (
            "a journal cut at a line",
            |d| {
                let text = fs::read(journal(d)).unwrap();
                let end = text[..text.len() - 1]
                    .iter()
                    .rposition(|b| *b == b'\n')
                    .unwrap()
                    + 1;
                fs::write(journal(d), &text[..end]).unwrap();
            },
            FaultKind::Missing,
        ),
        (
            "a saved line cut in its middle",
            |d| {
                let text = fs::read(journal(d)).unwrap();
                fs::write(journal(d), &text[..text.len() - 40]).unwrap();
            },
            FaultKind::Missing,
        ),
        (
            "a torn last line",
            |d| {
                let mut text = fs::read(journal(d)).unwrap();
                text.extend_from_slice(&[b'a'; 40]);
                fs::write(journal(d), text).unwrap();
            },
            FaultKind::Torn,
        ),
        (
            "a line that is no entry",
            |d| {
                let mut text = fs::read(journal(d)).unwrap();
                text.extend_from_slice(b"hello\n");
                fs::write(journal(d), text).unwrap();
            },
            FaultKind::NotAnEntry,
        ),
        (
            "a body with a space in it",
            |d| {
                forget_index(d);
                let text = fs::read_to_string(journal(d)).unwrap();
                fs::write(journal(d), text.replacen("\"at\":{", "\"at\": {", 1)).unwrap();
            },
            FaultKind::NotCanonical,
        ),
        (
            "another word in an entry",
            |d| {
                let text = fs::read_to_string(journal(d)).unwrap();
                fs::write(journal(d), text.replacen("\"last\"", "\"lost\"", 1)).unwrap();
            },
            FaultKind::Changed,
        ),
        (
            "another word in the last entry, without the index",
            |d| {
                forget_index(d);
                let text = fs::read_to_string(journal(d)).unwrap();
                fs::write(journal(d), text.replacen("\"last\"", "\"lost\"", 1)).unwrap();
            },
            FaultKind::Signature,
        ),
        (
            "an entry of this device gone from the middle, without the index",
            |d| {
                forget_index(d);
                let text = fs::read_to_string(journal(d)).unwrap();
                let kept: String = text
                    .split_inclusive('\n')
                    .filter(|l| !l.contains("with a picture"))
                    .collect();
                fs::write(journal(d), kept).unwrap();
            },
            FaultKind::Chain,
        ),
        (
            "an index that tells something else",
            |d| {
                let db = rusqlite::Connection::open(d.join("index.db")).unwrap();
                let changed = db.execute(
                    "UPDATE claim SET standing = 'withdrawn' WHERE field = 'title'",
                    [],
                );
                assert!(changed.unwrap() > 0);
            },
            FaultKind::IndexDiffers,
        ),
        (
            "an index that is no database",
            |d| {
                forget_index(d);
                fs::write(
                    d.join("index.db"),
                    "this is no database, whatever its name may say",
                )
                .unwrap();
            },
            FaultKind::IndexUnreadable,
        ),
        (
            "a changed picture",
            |d| fs::write(picture(d), b"another picture").unwrap(),
            FaultKind::ObjectDamaged,
        ),
        (
            "a picture that is gone",
            |d| fs::remove_file(picture(d)).unwrap(),
            FaultKind::ObjectMissing,
        ),
        (
            "a key that is none",
            |d| fs::write(d.join("device.key"), "no key").unwrap(),
            FaultKind::Key,
        ),
        (
            "a key that is another device's, as by one changed digit",
            |d| fs::write(d.join("device.key"), "5".repeat(64)).unwrap(),
            FaultKind::Key,
        ),
        (
            "a key that is gone",
            |d| fs::remove_file(d.join("device.key")).unwrap(),
            FaultKind::Key,
        ),
    ];
    for (name, damage, kind) in cases {
        let (_dir, path) = closed();
        damage(&path);
        let before = everything(&path);
        let fault = look(&path).unwrap_err();
        assert_eq!(fault.kind, kind, "{name}: {fault}");
        assert!(
            !fault.place.is_empty() && fault.advice.len() > 20,
            "{name}: {fault}"
        );
        assert_eq!(everything(&path), before, "{name}: nothing is changed");
    }
}

/// Of a key and of an entry both damaged, the entry is told.
#[test]
fn a_key_is_told_after_what_is_recorded() {
    for key in ["no key".to_owned(), "5".repeat(64)] {
        let (_dir, path) = closed();
        fs::write(path.join("device.key"), &key).unwrap();
        let picture = picture(&path);
        fs::remove_file(&picture).unwrap();
        let fault = look(&path).unwrap_err();
        assert_eq!(fault.kind, FaultKind::ObjectMissing, "{key}: {fault}");
    }
}

fn picture(dir: &Path) -> PathBuf {
    everything(&dir.join("photos"))[0].0.clone()
}

#[test]
fn of_a_damaged_database_one_thing_is_advised() {
    for (name, kind, advised) in [
        ("local.db", FaultKind::LocalUnreadable, "rebuild --local"),
        ("index.db", FaultKind::IndexUnreadable, "`rebuild`"),
    ] {
        let (_dir, path) = closed();
        fs::write(path.join(name), b"no database at all").unwrap();
        let fault = look(&path).unwrap_err();
        assert_eq!(fault.kind, kind);
        let told = fault.to_string();
        assert_eq!(told.matches("rebuild").count(), 1, "{told}");
        assert!(told.contains(advised), "{told}");
    }
}

#[test]
fn an_own_act_that_was_cut_is_torn_and_opening_mends_it() {
    let (dir, path) = closed();
    let whole = fs::read(journal(&path)).unwrap();
    let local = fs::read(path.join("local.db")).unwrap();
    let mut ann = Device::open_at(dir, path.clone());
    let drafts = (0..2).map(|n| Draft {
        kind: "job.note".into(),
        subject: format!("job:{}", ann.job()),
        data: value_data("", &json!(format!("part {n}"))),
        ..Draft::default()
    });
    let (job, person, drafts) = (ann.job(), ann.person(), drafts.collect());
    ann.record.act(job, person, drafts).unwrap();
    let (dir, path) = ann.close();
    let text = fs::read(journal(&path)).unwrap();
    let first_line = text[whole.len()..]
        .iter()
        .position(|b| *b == b'\n')
        .unwrap()
        + 1;
    fs::write(journal(&path), &text[..whole.len() + first_line]).unwrap();
    forget_index(&path);
    // An act that was cut was never answered, so nothing was noted of it.
    fs::write(path.join("local.db"), local).unwrap();
    assert_eq!(look(&path).unwrap_err().kind, FaultKind::Torn);
    let (_dir, path) = Device::open_at(dir, path).close();
    assert_eq!(look(&path).unwrap().index, IndexStands::Same);
    assert_eq!(fs::read(journal(&path)).unwrap(), whole);
}

#[test]
fn what_does_not_count_is_listed_with_its_reason_and_is_no_fault() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ben.receive(&mut ann);
    say(&mut ben, "before he is admitted", vec![]);
    ann.receive(&mut ben);
    let device = ben.record.device();
    let (_dir, path) = ann.close();
    let found = look(&path).unwrap();
    let told: Vec<_> = found
        .not_counting
        .iter()
        .map(|n| (n.device, n.n, n.why.as_str()))
        .collect();
    assert_eq!(
        told,
        [(device, 1, "its device is not admitted to the crew")]
    );
}

#[test]
fn a_job_whose_beginning_is_missing_is_judged_as_the_record_judges_it() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    say(&mut ben, "from ben", vec![]);
    let (crew, job) = (ann.crew, ann.job());
    let mut office = Device::founder("office");
    office.follow(&ann);
    let crew_lines = lines_of(&mut ann.record, crew);
    office.record.take_in(crew, &crew_lines).unwrap();
    let of_ben: Vec<Vec<u8>> = lines_of(&mut ben.record, job)
        .into_iter()
        .filter(|line| String::from_utf8_lossy(line).contains("from ben"))
        .collect();
    office.record.take_in(crew, &of_ben).unwrap();
    assert_eq!(office.record.dump(job).unwrap().len(), 1);
    let (_dir, path) = office.close();
    let found = look(&path).unwrap();
    assert_eq!(
        (found.index, found.not_counting),
        (IndexStands::Same, vec![])
    );
    // Made anew, the index says the same.
    forget_index(&path);
    let (_dir, path) = Device::open_at(_dir, path).close();
    assert_eq!(look(&path).unwrap().index, IndexStands::Same);
}

#[test]
fn objects_of_others_are_awaited_and_strange_files_are_counted() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    let file = keep(&ben, b"on ben's device only");
    say(&mut ben, "a picture", vec![file]);
    ann.receive(&mut ben);
    let lines = {
        let job = ben.job();
        lines_of(&mut ben.record, job)
    };
    let (_dir, path) = ann.close();
    fs::create_dir_all(path.join("photos/aa")).unwrap();
    fs::write(path.join("photos/aa/holiday.jpg"), b"x").unwrap();
    fs::write(path.join("photos/notes.txt"), b"x").unwrap();
    let found = look(&path).unwrap();
    assert_eq!((found.awaited, found.strange, found.objects), (1, 2, 0));
    assert!(!lines.is_empty() && found.entries > lines.len() as u64);
}

#[test]
fn work_that_is_ended_says_so() {
    let (_dir, path) = closed();
    let moment = moment_of(&path).unwrap().unwrap();
    let fault = verify(&path, &moment, &|_| ControlFlow::Break(())).unwrap_err();
    assert_eq!(fault.kind, FaultKind::Cancelled);
}

#[test]
fn a_line_that_is_no_entry_is_a_fault_until_what_it_held_is_here_again() {
    let (dir, path) = closed();
    let text = fs::read_to_string(journal(&path)).unwrap();
    let line = text.lines().find(|l| l.contains("from ben")).unwrap();
    let changed = text.replace(line, &line.replace("from ben", "from b\"n"));
    fs::write(journal(&path), changed).unwrap();
    assert_eq!(look(&path).unwrap_err().kind, FaultKind::NotAnEntry);
    let mut ann = Device::open_at(dir, path.clone());
    assert_eq!(ann.record.rebuild().unwrap(), 1);
    let (dir, path) = ann.close();
    let fault = look(&path).unwrap_err();
    assert_eq!(fault.kind, FaultKind::NotAnEntry, "Ben's entry is missing");
    let mut ann = Device::open_at(dir, path.clone());
    let crew = ann.crew;
    let line = format!("{line}\n").into_bytes();
    assert_eq!(ann.record.take_in(crew, &[line]).unwrap().new, 1);
    let (_dir, path) = ann.close();
    let found = look(&path).unwrap();
    assert_eq!((found.mended, found.not_counting), (1, vec![]));
}

#[test]
fn acts_on_who_belongs_without_effect_are_told_with_who_tried() {
    let mut ann = Device::founder("ann");
    let mut ben = Device::founder("ben");
    ben.follow(&ann);
    ann.admit(&ben, Role::Installer);
    ben.receive(&mut ann);
    let (crew, person) = (ann.crew, ben.person());
    let (own, founder) = (ben.record.device(), ann.record.device());
    ben.record.name_keeper(crew, person, own).unwrap();
    ben.record.end_device(crew, person, founder).unwrap();
    ann.receive(&mut ben);
    let (_dir, path) = ann.close();
    let found = look(&path).unwrap();
    let told: Vec<&str> = found.not_counting.iter().map(|n| n.why.as_str()).collect();
    assert_eq!(told.len(), 3, "{told:?}");
    assert!(told.iter().all(|why| why.starts_with("ben ")), "{told:?}");
    assert!(
        told.iter()
            .any(|why| why.contains("names a keeper, without effect"))
    );
}
