//! Folders in which names lie and bytes change: what they cost, what is told, and how it is mended.

use std::ops::ControlFlow;

use crate::devices::{Crew, Device};
use records::keys::Signer;
use records::segment::{self, Header};
use sync::testing::{Faulty, MemoryStore};
use sync::verify::{FolderFaultKind, Known, verify};
use sync::{Depth, FolderStore, Options, Report, SharedStore, WaitingFor, exchange, name};

fn look_over(device: &Device, store: &dyn SharedStore) -> Report {
    let options = Options {
        all_jobs: true,
        depth: Depth::Everything,
        ..Options::default()
    };
    exchange(store, &device.record, &options).unwrap()
}

/// The files that `act` added to the folder.
fn added(store: &MemoryStore, act: impl FnOnce()) -> Vec<(String, Vec<u8>)> {
    let before = store.files();
    act();
    let after = store.files().into_iter();
    after.filter(|file| !before.contains(file)).collect()
}

/// The bytes with one digit of the last number changed, so that every length stays.
fn changed(bytes: &[u8]) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    let at = bytes.len() - bytes.len() / 4;
    bytes[at] ^= 1;
    bytes
}

#[test]
fn a_stray_name_with_the_highest_number_costs_nothing_and_tells_nothing() {
    let store = Faulty::new(MemoryStore::default());
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    let shard = |no: u32| format!("log/{}/{:06}", ben.id(), no / name::PER_SHARD);
    let file = |no: u32| format!("{no:08}-{}-{}.seg", "b".repeat(26), "c".repeat(32));
    let last = name::LAST_NO;
    let strays = [
        format!("{}/{}", shard(0), file(last)),
        format!("{}/{}", shard(0), file(99_999_999)),
        format!("{}/{}", shard(last), file(last)),
    ];
    for path in &strays {
        store.inner().place(path, b"");
    }
    ann.exchange(&store);
    ben.say(job, "note", "more");
    ben.exchange(&store);
    store.fail_at(0);
    let report = ann.exchange(&store);
    assert_eq!(
        (report.others.unknown, report.waiting.len()),
        (2, 0),
        "{report:?}"
    );
    assert!(store.calls().lists < 15, "{:?}", store.calls());
    // One that somebody lists all the same is nothing that is waited for once it is gone.
    let report = look_over(&ann, &store);
    let told: Vec<_> = report.waiting.iter().map(|w| (w.what, w.count)).collect();
    assert_eq!(told, [(WaitingFor::Segments, 1)]);
    strays.iter().for_each(|path| store.inner().remove(path));
    for _ in 0..2 {
        store.fail_at(0);
        let report = ann.exchange(&store);
        assert_eq!(
            (report.others.unknown, report.waiting.len()),
            (0, 0),
            "{report:?}"
        );
        assert!(store.calls().lists < 15, "{:?}", store.calls());
    }
    assert_eq!(ann.state(), ben.state());
}

#[test]
fn a_changed_piece_of_the_same_length_is_told_and_its_maker_writes_it_again() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    let new = added(&store, || {
        ben.say(job, "title", "what Ben says");
        ben.exchange(&store);
    });
    let (path, good) = &new[0];
    // In a line, in the header, and in the signature before it.
    let header = good.iter().position(|b| *b == b'{').unwrap() + 20;
    for at in [good.len() - 40, header, 5] {
        let mut bad = good.clone();
        bad[at] ^= 1;
        store.place(path, &bad);
        for _ in 0..2 {
            let report = ann.exchange(&store);
            let told: Vec<_> = report.waiting.iter().map(|w| (w.what, w.count)).collect();
            assert_eq!(told, [(WaitingFor::Damaged, 1)], "{at}: {report:?}");
            assert!(
                report.waiting[0]
                    .words
                    .contains("with everything looked over")
            );
        }
        assert_ne!(ann.state(), ben.state());
    }
    // What is only listed has the right length, so it is taken for whole.
    assert!(ben.exchange(&store).published.is_empty());
    let repaired = added(&store, || {
        let report = look_over(&ben, &store);
        assert_eq!(
            (report.published.segments, report.shared),
            (1, true),
            "{report:?}"
        );
    });
    assert_eq!(repaired.len(), 1);
    assert_eq!(
        (&repaired[0].0, &repaired[0].1),
        (&path.replace(".seg", "-2.seg"), good)
    );
    let report = ann.exchange(&store);
    assert!(
        report.waiting.is_empty() && report.faults.is_empty(),
        "{report:?}"
    );
    assert_eq!(ann.state(), ben.state());
    // The second file may be damaged as well.
    store.place(&repaired[0].0, &changed(good));
    let again = added(&store, || drop(look_over(&ben, &store)));
    assert_eq!(again[0].0, path.replace(".seg", "-3.seg"));
    assert!(look_over(&ben, &store).published.is_empty());
}

#[test]
fn a_changed_picture_of_the_same_length_is_written_again_by_whoever_has_it() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    let files = ben.photograph(job, "the corner");
    ben.exchange(&store);
    let damaged = |file: &records::entry::FileRef| {
        let hash = file.sha256.to_string();
        let path = format!("photos/{}/{hash}.jpg", &hash[..2]);
        let good = store.get(&path, file.bytes).unwrap();
        store.place(&path, &changed(&good));
        (path, good)
    };
    let made: Vec<_> = files.iter().map(damaged).collect();
    let report = ann.exchange(&store);
    assert_eq!(report.waiting.len(), 3, "{report:?}");
    assert!(ben.exchange(&store).published.is_empty());
    let report = look_over(&ben, &store);
    let counts = report.published;
    assert_eq!((counts.thumbs, counts.views, counts.originals), (1, 1, 1));
    for (path, good) in &made {
        let second = store.get(&path.replace(".jpg", "-2.jpg"), 1 << 20).unwrap();
        assert_eq!(&second, good);
    }
    assert!(ann.exchange(&store).waiting.is_empty());
    assert!(files.iter().all(|file| ann.has_file(file)));
    assert!(look_over(&ben, &store).published.is_empty());
}

#[test]
fn pictures_that_are_known_to_lie_there_are_not_listed_again() {
    let store = Faulty::new(MemoryStore::default());
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    for at in 0..20 {
        ann.photograph(job, &format!("picture {at}"));
    }
    ann.exchange(&store);
    ben.exchange(&store);
    let folders = |store: &MemoryStore| -> usize {
        let files = store.files().into_iter();
        let folders: std::collections::BTreeSet<String> = files
            .filter_map(|(path, _)| Some(path.strip_prefix("photos/")?.get(..2)?.to_owned()))
            .collect();
        folders.len()
    };
    assert!(folders(store.inner()) > 30);
    for device in [&ann, &ben] {
        store.fail_at(0);
        assert!(device.exchange(&store).shared);
        assert!(store.calls().lists < 12, "{:?}", store.calls());
    }
    // A new one lists its own folder; what lies beside it is seen then.
    ann.photograph(job, "one more");
    store.fail_at(0);
    assert!(ann.exchange(&store).shared);
    assert!(store.calls().lists < 20, "{:?}", store.calls());
    store.fail_at(0);
    assert!(look_over(&ann, &store).shared);
    assert!(store.calls().lists > 30, "{:?}", store.calls());
}

#[test]
fn stray_cards_hide_the_founder_neither_from_a_joiner_nor_from_a_look_over() {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    for at in 0..100_u8 {
        let end: String = [at / 26, at % 26]
            .map(|n| char::from(b'a' + n))
            .iter()
            .collect();
        let device = format!("{}{end}", "a".repeat(24));
        store.place(&format!("devices/{device}.json"), b"");
    }
    let cat = Device::new(90);
    let joining = sync::join(&store, &cat.record, "Cat").unwrap();
    sync::confirm(&store, &cat.record, &joining.digits).unwrap();
    crew.ann.admit(crew.crew, &store, &cat.id());
    crew.ann.exchange(&store);
    let report = cat.exchange(&store);
    assert!(
        report.waiting.is_empty() && report.new_entries > 0,
        "{report:?}"
    );
    assert_eq!(cat.state(), crew.ann.state());
    let known = sync::verify::known(&store, &cat.record).unwrap();
    assert_eq!(known.founder, Some(crew.ann.id()));
    for known in [Known::founding(known.founding), known] {
        let found = verify(&store, &known, &|_| ControlFlow::Continue(())).unwrap();
        assert_eq!(found.devices, 3);
    }
}

#[test]
fn a_piece_of_the_own_log_of_a_newer_version_is_no_damage() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    let before = added(&store, || {
        ben.say(job, "note", "by the version before");
        ben.exchange(&store);
    });
    let line = before[0].1.split(|b| *b == b'\n').next().unwrap();
    let mut header: Header = serde_json::from_slice(&line[129..]).unwrap();
    (header.format, header.no) = (segment::FORMAT + 1, header.no + 1);
    let bytes = {
        let record = ben.record.lock().unwrap();
        let signer: &dyn Signer = record.signer();
        segment::encode(&header, &[], signer).unwrap()
    };
    let start = &before[0].0[..before[0].0.len() - 32 - 4];
    let start = start.replace(
        &format!("{:08}-", header.no - 1),
        &format!("{:08}-", header.no),
    );
    let hash = records::ids::Hash::of(&bytes).short();
    store.place(&format!("{start}{hash}.seg"), &bytes);
    ben.say(job, "note", "by this version");
    let report = ben.exchange(&store);
    let told: Vec<_> = report.waiting.iter().map(|w| (w.what, w.count)).collect();
    assert_eq!(told, [(WaitingFor::Newer, 1)], "{report:?}");
    assert!(report.faults.is_empty() && !report.shared && report.published.is_empty());
    assert!(report.waiting[0].words.contains("update this program"));
    ann.exchange(&store);
}

#[test]
fn a_file_larger_than_any_picture_is_a_fault_and_never_read() {
    let dir = tempfile::tempdir().unwrap();
    let device = "a".repeat(26);
    let store = FolderStore::open(dir.path(), &device).unwrap();
    let crew = Crew::meet(&store);
    let known = sync::verify::known(&store, &crew.ann.record).unwrap();
    let path = format!("photos/ab/{}.jpg", "ab".repeat(32));
    std::fs::create_dir_all(dir.path().join("photos/ab")).unwrap();
    let file = std::fs::File::create(dir.path().join(&path)).unwrap();
    file.set_len(200 << 30).unwrap();
    let fault = verify(&store, &known, &|_| ControlFlow::Continue(())).unwrap_err();
    assert_eq!(
        (fault.kind, &fault.path),
        (FolderFaultKind::ObjectDamaged, &path)
    );
    assert!(fault.what.contains("214748364800 bytes"), "{fault}");
}

#[test]
fn a_damaged_file_on_this_device_is_fetched_again_when_everything_is_looked_over() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    let files = ann.photograph(job, "a post base");
    ann.exchange(&store);
    let dir = ann.record.lock().unwrap().photos_dir();
    let damage = || {
        let path = records::photos::find(&dir, &files[0].sha256.to_string());
        let path = path.unwrap().unwrap();
        let bytes = std::fs::read(&path).unwrap();
        std::fs::write(&path, changed(&bytes)).unwrap();
    };
    damage();
    // Its length is right, so a short look takes it for whole.
    assert!(ann.exchange(&store).fetched.is_empty());
    let report = look_over(&ann, &store);
    assert_eq!(report.fetched.originals, 1, "{report:?}");
    assert!(report.shared && report.faults.is_empty(), "{report:?}");
    assert!(ann.has_file(&files[0]));
    let reasons = std::fs::read_to_string(ann.path().join("aside/reasons.txt")).unwrap();
    assert!(reasons.contains("fetched anew"), "{reasons}");
    let kept = std::fs::read_dir(dir.join(&files[0].sha256.to_string()[..2])).unwrap();
    let mut kept = kept.map(|item| item.unwrap().file_name().into_string().unwrap());
    assert!(kept.any(|name| name.contains(".damaged-")), "kept beside");
    assert!(look_over(&ann, &store).fetched.is_empty());
    // And where nobody has it whole, it is told.
    let sha256 = files[0].sha256.to_string();
    store.remove(&format!("photos/{}/{sha256}.jpg", &sha256[..2]));
    damage();
    let report = look_over(&ann, &store);
    assert!(!report.shared && report.fetched.is_empty(), "{report:?}");
    let fault = &report.faults[0].message;
    assert!(fault.contains("no whole one"), "{fault}");
    drop(ben);
}

#[test]
fn a_made_up_name_too_large_for_a_piece_hides_no_damage_and_is_counted() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    let files = ann.photograph(job, "a post base");
    ann.exchange(&store);
    for note in ["more", "and more"] {
        ben.say(job, "note", note);
        ben.exchange(&store);
    }
    ann.exchange(&store);
    let known = sync::verify::known(&store, &ann.record).unwrap();
    let look = |known: &Known| verify(&store, known, &|_| ControlFlow::Continue(()));
    let before = look(&known).unwrap().others.unknown;
    let log = format!("log/{}/", ben.id());
    let all = store.files();
    let of_ben: Vec<_> = all
        .iter()
        .filter(|(path, _)| path.starts_with(&log))
        .collect();
    let large = vec![b'x'; (1 << 20) + 1];
    let made_up = format!(
        "{log}000000/{:08}-{job}-{}.seg",
        of_ben.len() + 1,
        "0".repeat(32)
    );
    store.place(&made_up, &large);
    assert_eq!(look(&known).unwrap().others.unknown, before + 1);
    let report = ann.exchange(&store);
    assert!(
        report.aside[0].reason.contains("move it away"),
        "{report:?}"
    );
    let picture = files[0].sha256.to_string();
    let picture = format!("photos/{}/{picture}.jpg", &picture[..2]);
    let bytes = all.iter().find(|(path, _)| *path == picture).unwrap();
    store.place(&picture, &changed(&bytes.1));
    assert_eq!(
        look(&known).unwrap_err().kind,
        FolderFaultKind::ObjectDamaged
    );
    store.place(&picture, &bytes.1);
    // The newest piece itself: this device took it in, so that it is known to have been one.
    store.remove(&made_up);
    let (newest, good) = of_ben.last().unwrap();
    store.place(newest, &large);
    let fault = look(&known).unwrap_err();
    assert_eq!(
        (fault.kind, &fault.path),
        (FolderFaultKind::Damaged, newest)
    );
    store.place(newest, good);
    // An older one: the header of the next tells of it, to one who has no notes.
    let (older, _) = of_ben[of_ben.len() - 2];
    store.place(older, &large);
    let nothing = Known::founding(known.founding);
    let fault = look(&nothing).unwrap_err();
    assert_eq!((fault.kind, &fault.path), (FolderFaultKind::Damaged, older));
}

#[test]
fn every_device_that_asks_is_reached_however_many_cards_lie_there() {
    let store = MemoryStore::default();
    let Crew { ann, crew, .. } = Crew::meet(&store);
    let strangers: Vec<Device> = (0..34).map(|n| Device::new(40 + n)).collect();
    for (n, stranger) in strangers.iter().enumerate() {
        sync::join(&store, &stranger.record, &format!("Stranger {n}")).unwrap();
    }
    let ids =
        |found: &[sync::Applicant]| -> Vec<_> { found.iter().map(|a| a.card.device).collect() };
    let (first, more) = sync::applicants(&store, &ann.record, crew, None).unwrap();
    assert_eq!((first.len(), more), (32, 2));
    let last = first[31].card.device;
    let (rest, more) = sync::applicants(&store, &ann.record, crew, Some(&last)).unwrap();
    assert_eq!((rest.len(), more), (2, 0));
    let mut listed = [ids(&first), ids(&rest)].concat();
    listed.sort_by_key(ToString::to_string);
    let mut asked: Vec<_> = strangers.iter().map(Device::id).collect();
    asked.sort_by_key(ToString::to_string);
    assert_eq!(listed, asked);
    let end = sync::applicants(&store, &ann.record, crew, Some(&rest[1].card.device)).unwrap();
    assert_eq!((end.0.len(), end.1), (0, 0));
}
