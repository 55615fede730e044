//! This device's own chain: what it goes on from, and what it signs again after damage.

use std::path::{Path, PathBuf};

use crate::common::{Device, Ticking, lines_of, listings, without_index};
use records::Record;
use records::record::{Draft, value_data};
use serde_json::json;

/// The journal's lines, and its file.
fn journal(path: &Path) -> (Vec<String>, PathBuf) {
    let file = path.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&file).unwrap();
    let lines = text.split_inclusive('\n').map(str::to_owned);
    (lines.collect(), file)
}

fn note(device: &mut Device, text: &str) -> Result<(), records::RecordError> {
    let (job, person) = (device.job(), device.person());
    let draft = Draft {
        kind: "job.note".into(),
        subject: format!("job:{job}"),
        data: value_data("", &json!(text)),
        ..Draft::default()
    };
    device.record.act(job, person, vec![draft]).map(|_| ())
}

/// The same folder after its last line lost its signature, and its index.
fn with_a_damaged_end(ann: Device) -> (Device, String) {
    let (dir, path) = ann.close();
    let (lines, file) = journal(&path);
    let (last, before) = lines.split_last().unwrap();
    let (_, body) = last.split_once(' ').unwrap();
    let damaged = format!("{}{} {body}", before.concat(), "0".repeat(128));
    std::fs::write(&file, damaged).unwrap();
    without_index(&path);
    (Device::open_at(dir, path), last.clone())
}

#[test]
fn a_listing_that_was_saved_and_is_gone_is_not_signed_a_second_time() {
    let mut ann = Device::founder("ann");
    let (crew, job) = (ann.crew, ann.job());
    let saved = lines_of(&mut ann.record, crew);
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    std::fs::write(&journal, lines[..lines.len() - 1].concat()).unwrap();
    without_index(&path);
    let mut ann = Device::open_at(dir, path);
    assert_eq!(listings(&mut ann, crew, job), 0);
    // It is in the folder, as an exchange finds.
    let mut found = ann;
    found.record.take_in(crew, &saved).unwrap();
    found.record.list_unlisted(Some(crew)).unwrap();
    assert_eq!(listings(&mut found, crew, job), 1);
    let own = found.record.device();
    let view = found.record.view(crew).unwrap();
    assert!(view.forked().is_empty() && view.heads().contains_key(&own));
}

#[test]
fn a_listing_that_is_gone_everywhere_is_signed_again_once_the_folder_was_read() {
    let ann = Device::founder("ann");
    let (crew, job) = (ann.crew, ann.job());
    let (dir, path) = ann.close();
    let journal = path.join("journal/00000001.jsonl");
    let text = std::fs::read_to_string(&journal).unwrap();
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    std::fs::write(&journal, lines[..lines.len() - 1].concat()).unwrap();
    let mut ann = Device::open_at(dir, path);
    assert_eq!(listings(&mut ann, crew, job), 0);
    ann.record.list_unlisted(Some(crew)).unwrap();
    ann.record.list_unlisted(Some(crew)).unwrap();
    assert_eq!(listings(&mut ann, crew, job), 1);
}

/// An own act of three entries, and the line of the entry before it.
fn long_act(ann: &mut Device) -> Vec<Vec<u8>> {
    let (job, person) = (ann.job(), ann.person());
    let note = |text: &str| Draft {
        kind: "job.note".into(),
        subject: format!("job:{job}"),
        data: value_data("", &json!(text)),
        ..Draft::default()
    };
    let drafts = ["1", "2", "3"].map(note).to_vec();
    ann.record.act(job, person, drafts).unwrap();
    let own = ann.record.own_after(job, 0).unwrap();
    own.iter().map(|entry| entry.line().to_vec()).collect()
}

#[test]
fn a_part_of_an_own_act_that_came_back_stays_and_nothing_is_signed_on_top_of_it() {
    let mut ann = Device::founder("ann");
    let (crew, job, person) = (ann.crew, ann.job(), ann.person());
    let founded = lines_of(&mut ann.record, crew);
    let lines = long_act(&mut ann);
    let founding = ann.record.crew(crew).founding.unwrap();
    let whole = ann.record.state_hashes().unwrap();
    let (_old, path) = ann.close();
    let dir = tempfile::tempdir().unwrap();
    let anew = dir.path().join("anew");
    std::fs::create_dir(&anew).unwrap();
    std::fs::copy(path.join("device.key"), anew.join("device.key")).unwrap();
    let open = || records::Record::open(&anew, Ticking::starting(1_790_500_000_000)).unwrap();
    let mut record = open();
    record.pin(crew, founding).unwrap();
    record.take_in(crew, &founded).unwrap();
    // Two pieces of the log hold the act, and the second has not come.
    let (first, second) = lines.split_at(3);
    record.take_in(crew, first).unwrap();
    drop(record);
    without_index(&anew);
    let mut record = open();
    assert_eq!(record.own_after(job, 0).unwrap().len(), 3);
    let act = |record: &mut records::Record| {
        let note = Draft {
            kind: "job.note".into(),
            subject: format!("job:{job}"),
            data: value_data("", &json!("on top")),
            ..Draft::default()
        };
        record.act(job, person, vec![note])
    };
    let refused = act(&mut record).unwrap_err().to_string();
    assert!(
        refused.contains("earlier entries of this device"),
        "{refused}"
    );
    record.take_in(crew, second).unwrap();
    assert_eq!(record.state_hashes().unwrap(), whole);
    act(&mut record).unwrap();
}

#[test]
fn an_own_last_entry_whose_signature_was_damaged_is_signed_again() {
    let mut ann = Device::founder("ann");
    note(&mut ann, "kept").unwrap();
    let before = ann.record.state_hashes().unwrap();
    let (mut ann, genuine) = with_a_damaged_end(ann);
    // The very line, since a signature follows from key and body alone.
    assert_eq!(journal(ann.dir()).0.last(), Some(&genuine));
    assert_eq!(ann.record.state_hashes().unwrap(), before);
    note(&mut ann, "goes on").unwrap();
    ann.record.rebuild().unwrap();
    let mut ann = ann.reopen();
    let crew = ann.crew;
    assert!(!ann.record.misses_own(crew).unwrap());
}

#[test]
fn nothing_is_signed_on_top_of_an_own_entry_that_nothing_proves() {
    let mut ann = Device::founder("ann");
    note(&mut ann, "kept").unwrap();
    let (dir, path) = {
        // Nobody noted how far it came, so nothing tells that it is genuine.
        let (dir, path) = ann.close();
        let local = rusqlite::Connection::open(path.join("local.db")).unwrap();
        local.execute("DELETE FROM highest", []).unwrap();
        (dir, path)
    };
    let (lines, file) = journal(&path);
    let (last, before) = lines.split_last().unwrap();
    let (_, body) = last.split_once(' ').unwrap();
    let damaged = format!("{}{} {body}", before.concat(), "0".repeat(128));
    std::fs::write(&file, damaged).unwrap();
    without_index(&path);
    let mut ann = Device::open_at(dir, path);
    let crew = ann.crew;
    let refused = note(&mut ann, "on top").unwrap_err().to_string();
    assert!(
        refused.contains("does not carry its signature"),
        "{refused}"
    );
    assert!(ann.record.misses_own(crew).unwrap());
    ann.record
        .take_in(crew, &[last.clone().into_bytes()])
        .unwrap();
    note(&mut ann, "on top").unwrap();
    assert!(!ann.record.misses_own(crew).unwrap());
}

#[test]
fn where_a_person_chose_so_a_device_goes_on_before_a_gap_and_both_branches_count_later() {
    let mut ann = Device::founder("ann");
    for text in ["one", "two", "three"] {
        note(&mut ann, text).unwrap();
    }
    let (dir, path) = ann.close();
    let (mut lines, file) = journal(&path);
    let lost = lines.remove(lines.len() - 2);
    std::fs::write(&file, lines.concat()).unwrap();
    without_index(&path);
    let mut ann = Device::open_at(dir, path);
    let (crew, job) = (ann.crew, ann.job());
    assert!(note(&mut ann, "refused").is_err());
    ann.record.go_on_before_gaps(crew).unwrap();
    note(&mut ann, "two again").unwrap();
    let mut ann = ann.reopen();
    note(&mut ann, "four").unwrap();
    assert!(!ann.record.misses_own(crew).unwrap());
    let counting = |ann: &mut Device| {
        let view = ann.record.view(job).unwrap();
        let notes = view.ids().filter_map(|id| view.entry(id));
        let notes = notes.filter(|e| e.body.kind == "job.note" && view.counts(&e.id));
        let mut notes: Vec<String> = notes.map(|e| e.body.data["value"].to_string()).collect();
        notes.sort();
        notes
    };
    assert_eq!(counting(&mut ann), ["\"four\"", "\"one\"", "\"two again\""]);
    ann.record.take_in(crew, &[lost.into_bytes()]).unwrap();
    assert_eq!(counting(&mut ann).len(), 5);
    note(&mut ann, "on").unwrap();
    assert_eq!(counting(&mut ann).len(), 6);
}

#[test]
fn a_folder_that_came_without_its_settings_knows_who_uses_it() {
    let ann = Device::founder("ann");
    let (person, crew) = (ann.person(), ann.crew);
    let (_dir, path) = ann.close();
    for end in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(path.join(format!("local.db{end}")));
    }
    let clock = Ticking::starting(1_791_000_000_000);
    let record = Record::open(&path, clock).unwrap();
    assert_eq!(record.setting("person").unwrap(), None);
    record.settle_local().unwrap();
    let noted = record.setting("person").unwrap();
    assert_eq!(noted, Some(person.to_string()));
    assert_eq!(record.current_crew().unwrap(), Some(crew));
}
