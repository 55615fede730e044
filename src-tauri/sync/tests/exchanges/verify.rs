//! Looking a shared folder over: what is sound is told, and each damage by its own kind.
//! One file past 400 lines, since every damage is done to the same sound folder.

use std::ops::ControlFlow;

use crate::devices::{Crew, Device};
use records::ids::Hash;
use records::keys::Signer;
use records::segment::{self, Header};
use sync::SharedStore;
use sync::StrangeKind;
use sync::testing::MemoryStore;
use sync::verify::{FolderFault, FolderFaultKind as Kind, Known, Verified, verify};

struct Scene {
    store: MemoryStore,
    crew: Crew,
    pin: Hash,
}

/// A folder in which Ann and Ben each published three times, with pictures of both.
fn scene() -> Scene {
    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    for round in 0..2 {
        crew.ben.say(crew.job, "title", &format!("by Ben {round}"));
        crew.ben.photograph(crew.job, &format!("Ben {round}"));
        crew.ben.exchange(&store);
        crew.ann.say(crew.job, "note", &format!("by Ann {round}"));
        crew.ann.photograph(crew.job, &format!("Ann {round}"));
        crew.ann.exchange(&store);
    }
    crew.ben.exchange(&store);
    let pin = crew
        .ann
        .record
        .lock()
        .unwrap()
        .crew(crew.crew)
        .founding
        .unwrap();
    Scene { store, crew, pin }
}

impl Scene {
    fn look(&self) -> Result<Verified, FolderFault> {
        verify(&self.store, &Known::founding(self.pin), &|_| {
            ControlFlow::Continue(())
        })
    }

    fn segments(&self, device: &Device) -> Vec<(String, Vec<u8>)> {
        let log = format!("log/{}/", device.id());
        let files = self.store.files().into_iter();
        files.filter(|(path, _)| path.starts_with(&log)).collect()
    }
}

#[test]
fn a_sound_folder_is_told_in_numbers() {
    let scene = scene();
    let before = scene.store.files();
    let found = scene.look().unwrap();
    let files = |start: &str| {
        before
            .iter()
            .filter(|(path, _)| path.starts_with(start))
            .count() as u64
    };
    assert_eq!((found.devices, found.segments), (2, files("log/")));
    assert_eq!((found.books, found.objects), (2, files("photos/")));
    let lines: usize = before
        .iter()
        .filter(|(path, _)| path.starts_with("log/"))
        .map(|(_, bytes)| bytes.iter().filter(|b| **b == b'\n').count() - 1)
        .sum();
    assert_eq!(found.entries, lines as u64);
    let rest = (
        found.awaited,
        found.unvouched,
        found.others.unknown,
        found.newer,
        found.repaired,
        found.strangers,
    );
    assert_eq!(rest, (0, 0, 0, 0, 0, 0));
    assert!(found.not_counting.is_empty() && found.forked.is_empty());
    assert_eq!(scene.store.files(), before);
}

#[test]
fn strange_files_and_strangers_are_counted_and_not_read() {
    let scene = scene();
    let eve = Device::new(50);
    eve.found("Eve");
    sync::join(&scene.store, &eve.record, "Eve").unwrap();
    let log = format!("log/{}/000000", eve.id());
    let book = scene.crew.job;
    scene.store.place(
        &format!("{log}/00000001-{book}-{}.seg", "a".repeat(32)),
        b"anything",
    );
    for path in [
        "desktop.ini",
        "log/Thumbs.db",
        "photos/holiday.jpg",
        "photos/aa/x.txt",
        "photos/holiday/sea.jpg",
        "devices/x.txt",
    ] {
        scene.store.place(path, b"strange");
    }
    scene
        .store
        .place_strange("photos/aa/link.jpg", StrangeKind::Link);
    // Beside the parts of a log, too.
    let beside = format!("log/{}/prices.csv", scene.crew.ben.id());
    scene.store.place(&beside, b"strange");
    scene.store.place(&format!("tmp/{}-abc", eve.id()), b"half");
    let found = scene.look().unwrap();
    assert_eq!((found.strangers, found.strangers_segments), (1, 1));
    assert_eq!(
        (found.others.unknown, found.unfinished, found.devices),
        (8, 1, 2)
    );
    let named = |path: &str| found.others.strange.contains(path);
    assert!(
        named(&beside) && named("photos/holiday"),
        "{:?}",
        found.others
    );
}

#[test]
fn every_truncation_and_every_flipped_byte_of_a_segment_is_a_fault() {
    let scene = scene();
    let (path, good) = scene.segments(&scene.crew.ben)[1].clone();
    for length in (0..good.len()).step_by(97).chain([good.len() - 1]) {
        scene.store.place(&path, &good[..length]);
        let fault = scene.look().unwrap_err();
        assert_eq!(
            (fault.kind, &fault.path),
            (Kind::Cut, &path),
            "{length}: {fault}"
        );
    }
    let line = good.iter().rposition(|b| *b == b'{').unwrap();
    let end = good[..line].iter().rposition(|b| *b == b'\n').unwrap() + 1;
    scene.store.place(&path, &good[..end]);
    assert_eq!(
        scene.look().unwrap_err().kind,
        Kind::Damaged,
        "cut at a line"
    );
    for at in (0..good.len() - 1).step_by(101) {
        let mut bad = good.clone();
        bad[at] ^= 1;
        scene.store.place(&path, &bad);
        let fault = scene.look().unwrap_err();
        assert_eq!(
            (fault.kind, &fault.path),
            (Kind::Damaged, &path),
            "{at}: {fault}"
        );
    }
    scene.store.place(&path, &good);
    assert!(scene.look().is_ok());
}

/// A segment of Ben's with another header or other lines, signed by Ben, under the right name.
fn remade(scene: &Scene, at: usize, change: impl Fn(&mut Header, &mut Vec<Vec<u8>>)) -> String {
    let (path, good) = scene.segments(&scene.crew.ben)[at].clone();
    let mut lines: Vec<Vec<u8>> = good
        .split_inclusive(|b| *b == b'\n')
        .map(<[u8]>::to_vec)
        .collect();
    let head = lines.remove(0);
    let mut header: Header = serde_json::from_slice(&head[129..head.len() - 1]).unwrap();
    change(&mut header, &mut lines);
    let record = scene.crew.ben.record.lock().unwrap();
    let signer: &dyn Signer = record.signer();
    let mut bytes = segment::encode(&header, &[], signer).unwrap();
    bytes.extend(lines.concat());
    let (start, _) = path.rsplit_once('-').unwrap();
    let made = format!("{start}-{}.seg", Hash::of(&bytes).short());
    scene.store.remove(&path);
    scene.store.place(&made, &bytes);
    made
}

#[test]
fn headers_and_lines_that_do_not_fit_together_are_faults_though_they_are_signed() {
    type Change = fn(&mut Header, &mut Vec<Vec<u8>>);
    let cases: [(&str, Change, Kind); 6] = [
        ("prev", |h, _| h.prev = Hash::of(b"x"), Kind::Chain),
        ("bookPrev missing", |h, _| h.book_prev = None, Kind::Chain),
        ("number", |h, _| h.no += 1, Kind::Chain),
        (
            "first and last",
            |h, _| (h.first, h.last) = (h.first + 1, h.last + 1),
            Kind::Header,
        ),
        (
            "a word changed",
            |_, lines| {
                let text = String::from_utf8(lines[0].clone()).unwrap();
                lines[0] = text.replace("by Ben 1", "by Eve 1").into_bytes();
            },
            Kind::Signature,
        ),
        (
            "a head that nobody has",
            |h, _| {
                // Of Ann: what a device says of itself is not heard beyond its own entries.
                (h.seen[0].1, h.seen[0].2) = (99, Hash::of(b"x"));
            },
            Kind::SeenMissing,
        ),
    ];
    for (name, change, kind) in cases {
        let scene = scene();
        let Crew { ann, ben, job, .. } = &scene.crew;
        // The last header of Ben tells what he saw of Ann.
        ann.say(*job, "note", "once more");
        ann.exchange(&scene.store);
        ben.exchange(&scene.store);
        ben.say(*job, "title", "by Ben 1, again");
        ben.exchange(&scene.store);
        let last = scene.segments(ben).len() - 1;
        remade(&scene, last, change);
        let fault = scene.look().unwrap_err();
        assert_eq!(fault.kind, kind, "{name}: {fault}");
        assert!(fault.advice.len() > 20, "{fault}");
    }
}

#[test]
fn an_entry_without_proof_is_a_fault() {
    let scene = scene();
    let last = scene.segments(&scene.crew.ben).len() - 1;
    remade(&scene, last, |_, lines| {
        let line = lines.last_mut().unwrap();
        line[..128].fill(b'0');
    });
    let fault = scene.look().unwrap_err();
    assert_eq!(fault.kind, Kind::Signature, "{fault}");
}

#[test]
fn a_missing_number_a_missing_end_and_another_maker_are_told() {
    let scene = scene();
    let ben = scene.segments(&scene.crew.ben);
    scene.store.remove(&ben[0].0);
    assert_eq!(scene.look().unwrap_err().kind, Kind::Gap);
    scene.store.place(&ben[0].0, &ben[0].1);

    // Ann has seen what Ben published last: she published after it.
    scene.crew.ann.say(scene.crew.job, "note", "after Ben");
    scene.crew.ann.exchange(&scene.store);
    let (path, bytes) = ben.last().unwrap();
    scene.store.remove(path);
    assert_eq!(scene.look().unwrap_err().kind, Kind::SeenMissing);
    scene.store.place(path, bytes);

    let (ann, _) = scene.segments(&scene.crew.ann).pop().unwrap();
    let number = ann
        .rsplit('/')
        .next()
        .unwrap()
        .split('-')
        .next()
        .unwrap()
        .to_owned();
    let book = scene.crew.job;
    let forged = {
        let eve = Device::new(50);
        let record = eve.record.lock().unwrap();
        let line = bytes.split(|b| *b == b'\n').next().unwrap();
        let mut header: Header = serde_json::from_slice(&line[129..]).unwrap();
        header.device = scene.crew.ann.id();
        (header.first, header.last) = (1, 0);
        segment::encode(&header, &[], record.signer()).unwrap()
    };
    scene.store.remove(&ann);
    let folder = ann.rsplit_once('/').unwrap().0;
    let path = format!("{folder}/{number}-{book}-{}.seg", Hash::of(&forged).short());
    scene.store.place(&path, &forged);
    let fault = scene.look().unwrap_err();
    assert_eq!((fault.kind, fault.path), (Kind::Header, path));
}

#[test]
fn pictures_that_are_changed_swapped_or_missing() {
    let scene = scene();
    let photos: Vec<_> = scene
        .store
        .files()
        .into_iter()
        .filter(|(p, _)| p.starts_with("photos/"))
        .collect();
    let [(one, a), (two, b)] = [&photos[0], &photos[1]];
    scene.store.place(one, b);
    scene.store.place(two, a);
    let fault = scene.look().unwrap_err();
    assert_eq!((fault.kind, &fault.path), (Kind::ObjectDamaged, one));
    scene.store.place(two, b);
    // The whole picture lies beside the damaged one, where its maker wrote it again.
    scene.store.place(&one.replace(".jpg", "-2.jpg"), a);
    let found = scene.look().unwrap();
    assert_eq!((found.repaired, found.objects), (1, photos.len() as u64));
    scene.store.remove(two);
    assert_eq!(scene.look().unwrap().awaited, 1);
}

#[test]
fn cards_and_the_file_of_the_crew() {
    let scene = scene();
    let card = format!("devices/{}.json", scene.crew.ben.id());
    let good = scene.store.get(&card, 10_000).unwrap();
    let text = String::from_utf8(good.clone()).unwrap();
    scene
        .store
        .place(&card, text.replace("Ben", "Eve").as_bytes());
    assert_eq!(scene.look().unwrap_err().kind, Kind::Card);
    scene.store.remove(&card);
    assert_eq!(scene.look().unwrap_err().kind, Kind::Card);
    scene.store.place(&card, &good);
    let other = verify(&scene.store, &Known::founding(Hash::of(b"other")), &|_| {
        ControlFlow::Continue(())
    });
    assert_eq!(other.unwrap_err().kind, Kind::Founding);
    scene.store.remove("tautbook.json");
    assert_eq!(scene.look().unwrap_err().kind, Kind::Founding);
}

#[test]
fn a_newer_segment_is_counted_and_a_fork_is_told() {
    let scene = scene();
    let last = scene.segments(&scene.crew.ben).len() - 1;
    remade(&scene, last, |header, lines| {
        header.format += 1;
        lines.clear();
    });
    assert_eq!(scene.look().unwrap().newer, 1);

    let store = MemoryStore::default();
    let crew = Crew::meet(&store);
    let twin = crew.ben.forgetful_twin(500);
    let pin = crew
        .ann
        .record
        .lock()
        .unwrap()
        .crew(crew.crew)
        .founding
        .unwrap();
    let joining = sync::join(&store, &twin.record, "Ben").unwrap();
    sync::confirm(&store, &twin.record, &joining.digits).unwrap();
    twin.exchange(&store);
    crew.ben.say(crew.job, "note", "one branch");
    twin.say(crew.job, "note", "the other");
    let before = store.files();
    crew.ben.exchange(&store);
    let branch: Vec<_> = store
        .files()
        .into_iter()
        .filter(|f| !before.contains(f))
        .collect();
    branch.iter().for_each(|(path, _)| store.remove(path));
    twin.exchange(&store);
    branch
        .iter()
        .for_each(|(path, bytes)| store.place(path, bytes));
    let found = verify(
        &store,
        &Known::founding(pin),
        &|_| ControlFlow::Continue(()),
    )
    .unwrap();
    assert_eq!(found.forked, [crew.ben.id()]);
}

#[test]
fn work_that_is_ended_says_so() {
    let scene = scene();
    let fault = verify(&scene.store, &Known::founding(scene.pin), &|_| {
        ControlFlow::Break(())
    })
    .unwrap_err();
    assert_eq!(fault.kind, Kind::Cancelled);
}

#[test]
fn an_end_that_this_device_has_seen_is_missed_though_nobody_in_the_folder_tells_of_it() {
    let scene = scene();
    let Crew { ann, ben, job, .. } = &scene.crew;
    ben.say(*job, "note", "the last of Ben");
    ben.exchange(&scene.store);
    let (path, bytes) = scene.segments(ben).pop().unwrap();
    ann.exchange(&scene.store);
    scene.store.remove(&path);
    // Ann published nothing since, so no header tells of it.
    assert!(scene.look().is_ok());
    let known = sync::verify::known(&scene.store, &ann.record).unwrap();
    let look = || verify(&scene.store, &known, &|_| ControlFlow::Continue(()));
    let fault = look().unwrap_err();
    assert_eq!(fault.kind, Kind::SeenMissing);
    let told = |words: &str| assert!(fault.what.contains(words), "{fault}");
    told("This device had 5 entries of Ben in “");
    told("; 4 are in the shared folder: 1 is gone");
    // What Ann has not shared is not missed in the folder.
    scene.store.place(&path, &bytes);
    ann.say(*job, "note", "not shared yet");
    let known = sync::verify::known(&scene.store, &ann.record).unwrap();
    let found = verify(&scene.store, &known, &|_| ControlFlow::Continue(()));
    assert!(found.is_ok(), "{found:?}");
}

#[test]
fn a_member_that_founds_the_crew_again_in_its_own_log_changes_nothing() {
    let scene = scene();
    let Crew { ann, crew, .. } = &scene.crew;
    // Read before Ann's log: logs are taken in the order of their devices.
    let eve = std::iter::repeat_with(|| Device::new(50)).find(|eve| eve.id() < ann.id());
    let eve = eve.unwrap();
    let own = eve.found("Eve");
    sync::join(&scene.store, &eve.record, "Eve").unwrap();
    ann.admit(*crew, &scene.store, &eve.id());
    ann.exchange(&scene.store);
    let before = scene.look().unwrap();
    let record = eve.record.lock().unwrap();
    let mut record = record;
    let mut body = record.own_after(own, 0).unwrap()[0].body.clone();
    body.book = *crew;
    body.subject = format!("crew:{crew}");
    body.data.insert("closes".into(), true.into());
    let forged = records::entry::Entry::sign(body, record.signer()).unwrap();
    let header = Header {
        format: segment::FORMAT,
        device: record.device(),
        no: 1,
        prev: Hash::ZERO,
        book: *crew,
        book_prev: None,
        first: 1,
        last: 1,
        seen: Vec::new(),
    };
    let bytes = segment::encode(&header, &[forged], record.signer()).unwrap();
    let path = format!(
        "log/{}/000000/00000001-{crew}-{}.seg",
        record.device(),
        Hash::of(&bytes).short()
    );
    scene.store.place(&path, &bytes);
    let after = scene.look().unwrap();
    assert_eq!((after.devices, before.devices), (3, 3));
    assert_eq!(after.entries, before.entries + 1);
    drop(record);
    // Devices that take it in keep to what they pinned.
    let state = |device: &Device| device.record.lock().unwrap().crew(*crew).clone();
    let known = state(ann);
    ann.exchange(&scene.store);
    assert_eq!(state(ann).founding, known.founding);
    assert_eq!(state(ann).members, known.members);
}

#[test]
fn what_stands_in_the_place_of_a_piece_is_named() {
    let scene = scene();
    let (path, _) = scene.segments(&scene.crew.ben).pop().unwrap();
    scene.store.remove(&path);
    scene.store.place_strange(&path, StrangeKind::Link);
    let fault = scene.look().unwrap_err();
    assert_eq!((fault.kind, &fault.path), (Kind::Damaged, &path));
    assert!(fault.advice.contains("move it away"), "{fault}");
}

#[test]
fn a_swapped_card_of_the_founder_is_named_and_not_the_log_behind_it() {
    let scene = scene();
    let card = |device: &Device| format!("devices/{}.json", device.id());
    let of_ben = scene.store.get(&card(&scene.crew.ben), 10_000).unwrap();
    let path = card(&scene.crew.ann);
    scene.store.place(&path, &of_ben);
    let fault = scene.look().unwrap_err();
    assert_eq!((fault.kind, &fault.path), (Kind::Card, &path), "{fault}");
    assert!(fault.advice.contains("move it away"), "{fault}");
}

#[test]
fn a_picture_that_lay_in_the_folder_and_is_gone_is_a_fault() {
    let scene = scene();
    let known = sync::verify::known(&scene.store, &scene.crew.ann.record).unwrap();
    let on = |_: sync::Progress| ControlFlow::Continue(());
    verify(&scene.store, &known, &on).unwrap();
    let photos = scene.store.files().into_iter();
    let mut photos = photos.filter(|(path, _)| path.starts_with("photos/"));
    scene.store.remove(&photos.next().unwrap().0);
    let fault = verify(&scene.store, &known, &on).unwrap_err();
    assert_eq!(fault.kind, Kind::ObjectMissing, "{fault}");
}
