//! Heads that others saw: told after an exchange for as long as they are not here.

use crate::devices::{Crew, Device};
use records::ids::Hash;
use records::segment::{self, Header};
use sync::SharedStore;
use sync::testing::{Faulty, MemoryStore};

/// Ann's newest piece, which Ben has read and told of, is gone from the folder; Cleo comes after.
struct Scene {
    store: MemoryStore,
    crew: Crew,
    cleo: Device,
    gone: (String, Vec<u8>),
}

fn newest(store: &MemoryStore, device: &Device) -> (String, Vec<u8>) {
    let log = format!("log/{}/", device.id());
    let mut files = store.files().into_iter();
    files.rfind(|(path, _)| path.starts_with(&log)).unwrap()
}

fn scene() -> Scene {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let cleo = Device::new(40);
    let joining = sync::join(&store, &cleo.record, "Cleo").unwrap();
    sync::confirm(&store, &cleo.record, &joining.digits).unwrap();
    crew.ann.admit(crew.crew, &store, &cleo.id());
    crew.ann.exchange(&store);
    crew.ann.say(crew.job, "note", "one");
    crew.ann.say(crew.job, "note", "two");
    crew.ann.exchange(&store);
    let gone = newest(&store, &crew.ann);
    crew.ben.exchange(&store);
    crew.ben.say(crew.job, "note", "Ben has read it");
    crew.ben.exchange(&store);
    store.remove(&gone.0);
    Scene {
        store,
        crew,
        cleo,
        gone,
    }
}

const WORDS: &str = "Ben saw 3 entries of Ann in “Quillback Rise”; 1 is here: waiting for 2";

fn words(report: &sync::Report) -> Vec<&str> {
    report
        .not_here
        .iter()
        .map(|one| one.words.as_str())
        .collect()
}

#[test]
fn what_somebody_saw_is_told_until_it_is_here_and_costs_no_reading() {
    let scene = scene();
    let store = Faulty::new(scene.store.clone());
    let first = scene.cleo.exchange(&store);
    assert_eq!(words(&first), [WORDS]);
    // Nothing else shows it: no number of Ann's log is missing.
    assert!(
        first.waiting.is_empty() && !first.needs_attention(),
        "{first:?}"
    );
    store.fail_at(0);
    let second = scene.cleo.exchange(&store);
    assert_eq!(words(&second), [WORDS]);
    assert_eq!(
        store.calls().gets,
        1,
        "only the file that says whose folder it is"
    );
    // Ben has what he saw.
    let of_ben = scene.crew.ben.exchange(&scene.store);
    assert_eq!(words(&of_ben), Vec::<&str>::new());
    scene.store.place(&scene.gone.0, &scene.gone.1);
    assert_eq!(
        words(&scene.cleo.exchange(&scene.store)),
        Vec::<&str>::new()
    );
    assert_eq!(scene.cleo.state(), scene.crew.ben.state());
}

#[test]
fn it_outlives_the_index_and_the_notes_of_what_was_fetched() {
    let scene = scene();
    scene.cleo.exchange(&scene.store);
    let path = scene.cleo.path().to_owned();
    let closed = scene.cleo.closed();
    for end in ["", "-wal", "-shm"] {
        let _ = std::fs::remove_file(path.join(format!("index.db{end}")));
    }
    let cleo = closed.opened(900);
    assert_eq!(words(&cleo.exchange(&scene.store)), [WORDS]);
    cleo.record.lock().unwrap().rebuild().unwrap();
    assert_eq!(words(&cleo.exchange(&scene.store)), [WORDS]);
}

/// Ben's newest piece with another header, signed by `by`, in Ben's log.
fn remade(scene: &Scene, by: &Device, change: impl Fn(&mut Header)) {
    let (path, good) = newest(&scene.store, &scene.crew.ben);
    let head = good.split(|b| *b == b'\n').next().unwrap();
    let mut header: Header = serde_json::from_slice(&head[129..]).unwrap();
    change(&mut header);
    let record = by.record.lock().unwrap();
    let mut bytes = segment::encode(&header, &[], record.signer()).unwrap();
    bytes.extend_from_slice(&good[head.len() + 1..]);
    let (start, _) = path.rsplit_once('-').unwrap();
    scene.store.remove(&path);
    let made = format!("{start}-{}.seg", Hash::of(&bytes).short());
    scene.store.place(&made, &bytes);
}

#[test]
fn another_hash_under_a_number_that_is_here_is_told() {
    let scene = scene();
    scene.store.place(&scene.gone.0, &scene.gone.1);
    remade(&scene, &scene.crew.ben, |header| {
        header.seen[0].2 = Hash::of(b"another")
    });
    let report = scene.cleo.exchange(&scene.store);
    assert_eq!(
        words(&report),
        [
            "Ben saw another entry 3 of Ann in “Quillback Rise” than the one that is here: what Ann \
          recorded went two ways"
        ]
    );
    assert!(report.not_here[0].differs && report.needs_attention());
}

#[test]
fn a_head_that_its_device_did_not_sign_or_that_a_stranger_tells_is_not_heard() {
    let scene = scene();
    // Signed by Cleo, who belongs to the crew and whose log this is not.
    remade(&scene, &scene.cleo, |header| header.seen[0].1 = 99);
    let report = scene.cleo.exchange(&scene.store);
    assert_eq!(words(&report), Vec::<&str>::new(), "{report:?}");

    let scene = self::scene();
    scene.store.place(&scene.gone.0, &scene.gone.1);
    let eve = Device::new(60);
    let header = Header {
        format: segment::FORMAT,
        device: eve.id(),
        no: 1,
        prev: Hash::ZERO,
        book: scene.crew.job,
        book_prev: None,
        first: 1,
        last: 1,
        seen: vec![(scene.crew.ann.id(), 99, Hash::of(b"x"))],
    };
    let own = eve.found("Eve");
    let bytes = {
        let mut record = eve.record.lock().unwrap();
        let entries = record.own_after(own, 0).unwrap();
        segment::encode(&header, &entries[..1], record.signer()).unwrap()
    };
    let name = format!(
        "00000001-{}-{}.seg",
        scene.crew.job,
        Hash::of(&bytes).short()
    );
    scene
        .store
        .place(&format!("log/{}/000000/{name}", eve.id()), &bytes);
    let report = scene.cleo.exchange(&scene.store);
    assert_eq!(report.strangers.len(), 1);
    assert_eq!(words(&report), Vec::<&str>::new());
    assert!(scene.store.exists(&scene.gone.0).unwrap());
}

#[test]
fn a_device_that_lost_its_end_is_told_by_what_others_saw() {
    let scene = scene();
    let twin = scene.crew.ann.forgetful_twin(5000);
    let joining = sync::join(&scene.store, &twin.record, "Ann").unwrap();
    sync::confirm(&scene.store, &twin.record, &joining.digits).unwrap();
    let report = twin.exchange(&scene.store);
    assert_eq!(
        words(&report),
        ["Ben saw 3 entries of this device in “Quillback Rise”; 1 is here: waiting for 2"]
    );
}
