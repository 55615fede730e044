//! Opening a data folder: what is left over goes, what stands twice is one.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

mod common;

use common::Device;
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
    for name in ["index.db", "index.db-wal", "index.db-shm"] {
        let _ = std::fs::remove_file(path.join(name));
    }
    let mut ann = Device::open_at(dir, path);
    assert_eq!(ann.record.state_hashes().unwrap(), before);
    let tip = ann.tips("title");
    title(&mut ann, "goes on", tip);
    let mut ann = ann.reopen();
    assert_eq!(ann.title(), Some("goes on".into()));
}
