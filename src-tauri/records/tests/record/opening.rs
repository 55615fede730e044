//! Opening a data folder: what is left over goes, what stands twice is one.

use std::path::Path;

use crate::common::{Device, Ticking, listings, without_index};
use records::ids::Hash;
use records::record::{Draft, value_data};
use serde_json::json;

fn title(device: &mut Device, value: &str, over: Vec<Hash>) {
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

#[test]
fn what_a_torn_import_left_is_gone_after_opening_and_an_original_is_not() {
    let ann = Device::founder("ann");
    let photos = ann.record.photos_dir();
    let kept = records::photos::store(&photos, b"a picture of a post base", "jpg").unwrap();
    let left = photos.join("tmp").join(format!("{}-1-0", kept.sha256));
    let beside = photos.join("aa").join("notes.txt");
    std::fs::create_dir_all(photos.join("aa")).unwrap();
    std::fs::write(&left, b"a pict").unwrap();
    std::fs::write(&beside, b"a person's own").unwrap();
    // A second process is told and sweeps nothing.
    let second = records::Record::open(ann.dir(), std::sync::Arc::new(records::clock::SystemClock));
    assert!(second.is_err() && left.exists());
    let ann = ann.reopen();
    assert!(!left.exists() && beside.exists());
    let photos = ann.record.photos_dir();
    let read = records::photos::read(&photos, &kept.sha256).unwrap();
    assert_eq!(read, b"a picture of a post base");
}

#[test]
fn a_line_that_stands_twice_in_the_journal_is_one_entry_when_the_index_is_made_anew() {
    let mut ann = Device::founder("ann");
    let created = ann.job_created();
    title(&mut ann, "Deck", vec![created]);
    let before = ann.record.state_hashes().unwrap();
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    let last = text.lines().next_back().unwrap();
    std::fs::write(&journal, format!("{text}{last}\n")).unwrap();
    without_index(&path);
    let mut ann = Device::open_at(dir, path);
    assert_eq!(ann.record.state_hashes().unwrap(), before);
    let tip = ann.tips("title");
    title(&mut ann, "goes on", tip);
    let mut ann = ann.reopen();
    assert_eq!(ann.title(), Some("goes on".into()));
}

#[test]
fn a_newer_index_keeps_all_else_as_it_is() {
    let ann = Device::founder("ann");
    let (dir, path) = ann.close();
    let left = path.join("photos").join("tmp").join("left");
    std::fs::create_dir_all(left.parent().unwrap()).unwrap();
    std::fs::write(&left, b"a pict").unwrap();
    let set = |name: &str, sql: &str| {
        let db = rusqlite::Connection::open(path.join(name)).unwrap();
        db.execute_batch(sql).unwrap();
    };
    set("index.db", "PRAGMA user_version = 99;");
    set("local.db", "DROP TABLE told; PRAGMA user_version = 1;");
    let local = std::fs::read(path.join("local.db")).unwrap();
    let open = || records::Record::open(&path, std::sync::Arc::new(records::clock::SystemClock));
    let error = open().unwrap_err();
    assert!(
        error.to_string().contains("index.db is of form 99"),
        "{error}"
    );
    assert_eq!(std::fs::read(path.join("local.db")).unwrap(), local);
    assert!(left.exists());
    set("local.db", "PRAGMA user_version = 99;");
    set("index.db", "PRAGMA user_version = 3;");
    let error = open().unwrap_err();
    assert!(
        error.to_string().contains("local.db is of form 99"),
        "{error}"
    );
    drop(dir);
}

/// What the folder remembers of having published.
fn sent(device: &Device) -> (usize, usize) {
    let record = &device.record;
    (
        record.published("folder").unwrap().len(),
        record.settings("sent:").unwrap().len(),
    )
}

#[test]
fn a_key_that_took_the_others_place_begins_with_nothing_sent() {
    let ann = Device::founder("ann");
    let book = ann.job();
    let published = records::record::Published {
        tail: None,
        no: 1,
        book,
        sha256: Hash::of(b"a piece"),
        first: 1,
        last: 1,
        header: "{}".into(),
        bytes: None,
    };
    ann.record.note_published("folder", &published).unwrap();
    ann.record
        .set_setting(&format!("sent:{book}"), "1")
        .unwrap();
    let ann = ann.reopen();
    assert_eq!(sent(&ann), (1, 1));
    // As if the program had stopped right after the new key was named.
    let own = ann.record.device();
    ann.record.set_setting("changing device", "1").unwrap();
    let (dir, path) = ann.close();
    std::fs::write(path.join("device.key"), "5".repeat(64)).unwrap();
    let ann = Device::open_at(dir, path);
    assert_ne!(ann.record.device(), own);
    assert!(ann.record.key_lost().is_none());
    assert_eq!(sent(&ann), (0, 0));
    // The change is over: the next key that lies there unasked is not taken.
    let now = ann.record.device();
    let (dir, path) = ann.close();
    std::fs::write(path.join("device.key"), "6".repeat(64)).unwrap();
    let ann = Device::open_at(dir, path);
    assert_eq!(ann.record.device(), now);
    assert!(ann.record.key_lost().is_some());
}

#[test]
fn a_damaged_key_makes_no_other_device_until_a_person_asks_for_one() {
    let ann = Device::founder("ann");
    let (own, job, person) = (ann.record.device(), ann.job(), ann.person());
    let (dir, path) = ann.close();
    let whole = std::fs::read_to_string(path.join("device.key")).unwrap();
    let mut changed = whole.clone();
    let last = changed.pop().unwrap();
    changed.push(if last == '0' { '1' } else { '0' });
    std::fs::write(path.join("device.key"), &changed).unwrap();
    let mut ann = Device::open_at(dir, path);
    assert_eq!(ann.record.device(), own);
    let told = ann.record.key_lost().unwrap();
    assert!(told.contains("another device's"), "{told}");
    let note = || Draft {
        kind: "job.note".into(),
        subject: format!("job:{job}"),
        data: value_data("", &json!("by whom?")),
        ..Draft::default()
    };
    assert!(ann.record.act(job, person, vec![note()]).is_err());
    // The right file back: the device is the one that it was, also where it is back before a new
    // identity is asked for.
    std::fs::write(ann.dir().join("device.key"), &whole).unwrap();
    let refused = ann.record.take_new_identity().unwrap_err().to_string();
    assert!(refused.contains("there again"), "{refused}");
    let ann = ann.reopen();
    assert!(ann.record.key_lost().is_none());
    // And of the damaged one a person may make a new beginning; it is kept beside.
    let (dir, path) = ann.close();
    std::fs::write(path.join("device.key"), &changed).unwrap();
    let mut ann = Device::open_at(dir, path);
    let taken = ann.record.take_new_identity().unwrap();
    assert_ne!(taken, own);
    let ann = ann.reopen();
    assert_eq!(ann.record.device(), taken);
    assert!(ann.record.key_lost().is_none());
    let beside = std::fs::read_dir(ann.dir())
        .unwrap()
        .map(|e| e.unwrap().file_name());
    let keys: Vec<_> = beside
        .filter(|n| n.to_string_lossy().ends_with(".key"))
        .collect();
    assert_eq!(keys.len(), 2, "{keys:?}");
}

#[test]
fn without_its_note_a_folder_is_the_device_that_wrote_in_it_and_no_other() {
    let ann = Device::founder("ann");
    let own = ann.record.device();
    let forget = |path: &Path| {
        for end in ["", "-wal", "-shm"] {
            let _ = std::fs::remove_file(path.join(format!("local.db{end}")));
        }
    };
    let (dir, path) = ann.close();
    let whole = std::fs::read_to_string(path.join("device.key")).unwrap();
    forget(&path);
    std::fs::write(path.join("device.key"), "5".repeat(64)).unwrap();
    // Twice: what was found the first time is no note either.
    let ann = Device::open_at(dir, path).reopen();
    assert!(ann.record.key_lost().is_some());
    let (dir, path) = ann.close();
    std::fs::write(path.join("device.key"), whole).unwrap();
    let ann = Device::open_at(dir, path);
    assert_eq!(ann.record.device(), own);
    assert!(ann.record.key_lost().is_none());
    let (dir, path) = ann.close();
    forget(&path);
    let ann = Device::open_at(dir, path);
    assert_eq!(ann.record.device(), own);
    assert!(ann.record.key_lost().is_none());
}

#[test]
fn an_identity_that_can_not_be_noted_is_not_taken() {
    let mut ann = Device::founder("ann");
    let before = ann.record.device();
    let key = std::fs::read(ann.dir().join("device.key")).unwrap();
    let db = rusqlite::Connection::open(ann.dir().join("local.db")).unwrap();
    // The local store refuses while another holds it.
    db.execute_batch("BEGIN IMMEDIATE").unwrap();
    assert!(ann.record.take_new_identity().is_err());
    db.execute_batch("ROLLBACK").unwrap();
    drop(db);
    assert_eq!(ann.record.device(), before);
    assert_eq!(std::fs::read(ann.dir().join("device.key")).unwrap(), key);
    let kept = |ann: &Device| ann.dir().join(format!("device-{before}.key"));
    assert!(!kept(&ann).exists());
    assert_ne!(ann.record.take_new_identity().unwrap(), before);
    assert!(kept(&ann).exists());
}

#[test]
fn a_job_whose_listing_was_cut_off_is_listed_at_the_next_opening_and_once() {
    let mut ann = Device::founder("ann");
    let (crew, job) = (ann.crew, ann.job());
    let hashes = ann.record.state_hashes().unwrap();
    let listings = |device: &mut Device| listings(device, crew, job);
    assert_eq!(listings(&mut ann), 1);
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    let bytes = std::fs::read(&journal).unwrap();
    std::fs::write(&journal, &bytes[..bytes.len() - 40]).unwrap();
    without_index(&path);
    // The write was never acknowledged, so nobody noted how far it came.
    let local = rusqlite::Connection::open(path.join("local.db")).unwrap();
    local.execute("DELETE FROM highest", []).unwrap();
    drop(local);
    let mut ann = Device::open_at(dir, path);
    assert_eq!(listings(&mut ann), 1);
    let mut ann = ann.reopen();
    assert_eq!(listings(&mut ann), 1);
    let told = ann.record.listed_jobs(crew).unwrap();
    assert_eq!(told[0].title, "untitled");
    let again = ann.record.state_hashes().unwrap();
    let of_job = |hashes: &[records::record::StateHash]| {
        hashes
            .iter()
            .find(|one| one.book == job)
            .map(|one| one.hash)
    };
    assert_eq!(of_job(&again), of_job(&hashes));
}

#[cfg(unix)]
#[test]
fn a_folder_that_was_moved_away_under_the_program_is_no_damage_and_takes_no_act() {
    let mut ann = Device::founder("ann");
    let created = ann.job_created();
    title(&mut ann, "Deck", vec![created]);
    let mut ann = ann.reopen();
    let (path, away) = (ann.dir().to_owned(), ann.dir().with_file_name("away"));
    std::fs::rename(&path, &away).unwrap();
    let (job, person) = (ann.job(), ann.person());
    let note = || Draft {
        kind: "job.note".into(),
        subject: format!("job:{job}"),
        data: value_data("", &json!("while it was away")),
        ..Draft::default()
    };
    // The job's book is not in memory yet, and after that it is.
    for _ in 0..2 {
        let error = ann.record.act(job, person, vec![note()]).unwrap_err();
        assert!(
            matches!(error, records::RecordError::File { .. }),
            "{error}"
        );
        assert!(error.to_string().contains("was taken away"), "{error}");
        std::fs::rename(&away, &path).unwrap();
        ann.record.view(job).unwrap();
        std::fs::rename(&path, &away).unwrap();
    }
    std::fs::rename(&away, &path).unwrap();
    ann.record.act(job, person, vec![note()]).unwrap();
    let before = ann.record.state_hashes().unwrap();
    let ann = ann.reopen();
    assert_eq!(ann.record.state_hashes().unwrap(), before);
    let text = std::fs::read_to_string(path.join("journal/00000001.jsonl")).unwrap();
    assert_eq!(text.matches("while it was away").count(), 1);
}

#[test]
fn an_own_line_that_the_own_key_refuses_is_set_aside_before_any_crew_is_known() {
    let (mut ann, eve) = (Device::founder("ann"), Device::founder("eve"));
    let job = ann.job();
    let own = ann.record.own_after(job, 0).unwrap();
    let mut body = own[0].body.clone();
    body.at.count += 1;
    let forged = records::entry::Entry::sign(body, eve.record.signer()).unwrap();
    let crew = ann.crew;
    let (_dir, path) = ann.close();
    let dir = tempfile::tempdir().unwrap();
    let anew = dir.path().join("anew");
    std::fs::create_dir(&anew).unwrap();
    std::fs::copy(path.join("device.key"), anew.join("device.key")).unwrap();
    let clock = Ticking::starting(1_790_500_000_000);
    let mut anew = records::Record::open(&anew, clock).unwrap();
    let taken = anew.take_in(crew, &[forged.line().to_vec()]).unwrap();
    assert_eq!((taken.new, taken.aside.len()), (0, 1), "{taken:?}");
    let genuine = anew.take_in(crew, &[own[0].line().to_vec()]).unwrap();
    assert_eq!((genuine.new, genuine.aside.len()), (1, 0), "{genuine:?}");
}

#[test]
fn rows_that_the_index_lost_are_told_and_come_back_from_the_journal() {
    use records::verify::{FaultKind, moment_of, verify};
    let mut ann = Device::founder("ann");
    for value in ["one", "two", "three"] {
        let tips = ann.tips("title");
        title(&mut ann, value, tips);
    }
    let before = ann.record.state_hashes().unwrap();
    // The newest two, and one within a chain.
    for some in ["LIMIT 2", "LIMIT 1 OFFSET 1"] {
        let (dir, path) = ann.close();
        let index = rusqlite::Connection::open(path.join("index.db")).unwrap();
        let lost = format!(
            "DELETE FROM entry WHERE offset IN (SELECT offset FROM entry ORDER BY offset DESC {some})"
        );
        assert!(index.execute(&lost, []).unwrap() > 0);
        drop(index);
        let moment = moment_of(&path).unwrap().unwrap();
        let on = |_| std::ops::ControlFlow::Continue(());
        let fault = verify(&path, &moment, &on).unwrap_err();
        assert_eq!(fault.kind, FaultKind::IndexDiffers, "{fault}");
        drop(moment);
        ann = Device::open_at(dir, path);
        assert_eq!(ann.record.state_hashes().unwrap(), before, "{some}");
    }
    let tips = ann.tips("title");
    title(&mut ann, "goes on", tips);
    let (job, own) = (ann.job(), ann.record.device());
    let view = ann.record.view(job).unwrap();
    assert!(view.forked().is_empty() && view.heads()[&own].0 == 5);
}
