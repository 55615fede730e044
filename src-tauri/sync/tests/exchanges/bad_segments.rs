//! Segments and pictures that are cut, damaged, renamed, forged or too new.

use crate::devices::scene::{Scene, scene};
use crate::devices::{Crew, Device};
use records::keys::Signer;
use records::segment::{self, Header};
use sync::testing::MemoryStore;
use sync::{Depth, Options, SharedStore, WaitingFor, exchange};

#[test]
fn a_cut_segment_waits_and_is_taken_in_when_it_is_whole() {
    for length in [0, 1, 100, 600] {
        let scene = scene();
        let cut = scene.bytes.get(..length).unwrap();
        scene.store.place(&scene.path, cut);
        for _ in 0..2 {
            let report = scene.ann();
            scene.assert_waiting(&report, WaitingFor::Segments);
            assert!(report.faults.is_empty(), "{report:?}");
            let words = &report.waiting[0].words;
            assert_eq!(
                words,
                "1 piece of the log of Ben is not all there yet: exchange again later; what stays so is named when the folder is looked over"
            );
        }
        scene.store.place(&scene.path, &scene.bytes);
        assert!(scene.ann().waiting.is_empty());
        scene.assert_whole();
    }
}

#[test]
fn a_cut_segment_stops_neither_others_nor_the_own_ones() {
    let scene = scene();
    let Crew { ann, ben, job, .. } = &scene.crew;
    ben.photograph(*job, "later");
    ben.exchange(&scene.store);
    scene.store.place(&scene.path, b"cut");
    ann.say(*job, "note", "from Ann");
    let report = scene.ann();
    assert_eq!(
        (report.published.segments, report.fetched.segments),
        (1, 1),
        "{report:?}"
    );
    assert!(report.shared);
}

#[test]
fn its_maker_sees_the_damage_and_writes_the_piece_again_beside_it() {
    let scene = scene();
    scene.store.place(&scene.path, b"cut");
    let report = scene.crew.ben.exchange(&scene.store);
    assert_eq!(report.published.segments, 1, "{report:?}");
    assert_eq!(scene.store.get(&scene.path, 100).unwrap(), b"cut");
    let report = scene.ann();
    assert!(report.waiting.is_empty(), "{report:?}");
    scene.assert_whole();
    let files = scene.store.files();
    assert!(scene.crew.ben.exchange(&scene.store).published.is_empty());
    assert_eq!(scene.store.files(), files);
}

#[test]
fn a_damaged_picture_is_not_taken_for_the_right_one_and_is_written_again() {
    let store = MemoryStore::default();
    let Crew { ann, ben, job, .. } = Crew::meet(&store);
    let files = ben.photograph(job, "rail joint");
    ben.exchange(&store);
    let original = files[0].sha256.to_string();
    let path = format!("photos/{}/{original}.jpg", original.get(..2).unwrap());
    let whole = store.get(&path, 1 << 20).unwrap();
    let mut flipped = whole.clone();
    flipped[7] ^= 1;
    for damaged in [&whole[..10], &[], &flipped] {
        store.place(&path, damaged);
        let report = ann.exchange(&store);
        let waiting: Vec<_> = report.waiting.iter().map(|w| (w.what, w.count)).collect();
        assert_eq!(waiting, [(WaitingFor::Originals, 1)]);
        assert!(!ann.has_file(&files[0]) && ann.has_file(&files[1]));
    }
    store.place(&path, &whole[..10]);
    // Ben knows that it lies there, and looks again only when asked to.
    assert!(ben.exchange(&store).published.is_empty());
    let everything = Options {
        all_jobs: true,
        depth: Depth::Everything,
        ..Options::default()
    };
    let report = exchange(&store, &ben.record, &everything).unwrap();
    assert_eq!(report.published.originals, 1);
    assert!(ann.exchange(&store).waiting.is_empty());
    assert!(ann.has_file(&files[0]));
    assert_eq!(store.get(&path, 100).unwrap(), &whole[..10]);
}

#[test]
fn a_wrong_name_with_valid_content_counts() {
    type Rename = fn(&str) -> String;
    let renames: [(&str, Rename); 4] = [
        ("conflict copy", |p| {
            p.replace(".seg", ".sync-conflict-20261101-120000-ABCDEFG.seg")
        }),
        ("upper case", |p| {
            let (folder, file) = p.rsplit_once('/').unwrap();
            format!("{folder}/{}", file.to_uppercase())
        }),
        ("note added", |p| {
            p.replace(".seg", " (ben's conflicted copy 2026).seg")
        }),
        ("another hash in the name", |p| {
            let (start, _) = p.rsplit_once('-').unwrap();
            format!("{start}-{}.seg", "0".repeat(32))
        }),
    ];
    for (what, rename) in renames {
        let scene = scene();
        scene.store.remove(&scene.path);
        scene.store.place(&rename(&scene.path), &scene.bytes);
        let report = scene.ann();
        assert_eq!(report.fetched.segments, 1, "{what}: {report:?}");
        scene.assert_whole();
    }
}

#[test]
fn a_cut_segment_with_a_whole_conflict_copy_is_no_loss() {
    let scene = scene();
    scene.store.place(&scene.path, b"cut");
    let copy = scene
        .path
        .replace(".seg", ".sync-conflict-20261101-120000-ABCDEFG.seg");
    scene.store.place(&copy, &scene.bytes);
    assert!(scene.ann().waiting.is_empty());
    scene.assert_whole();
}

#[test]
fn a_segment_of_a_newer_format_waits_for_an_update() {
    let scene = scene();
    let line = scene.bytes.split(|b| *b == b'\n').next().unwrap();
    let body: serde_json::Value = serde_json::from_slice(line.get(129..).unwrap()).unwrap();
    let mut header: Header = serde_json::from_value(body).unwrap();
    let file = std::fs::read(scene.crew.ben.path().join("device.key")).unwrap();
    assert!(!file.is_empty());
    header.format = segment::FORMAT + 1;
    let bytes = {
        let record = scene.crew.ben.record.lock().unwrap();
        let signer: &dyn Signer = record.signer();
        segment::encode(&header, &[], signer).unwrap()
    };
    let hash = records::ids::Hash::of(&bytes).short();
    let (start, _) = scene.path.rsplit_once('-').unwrap();
    scene.store.remove(&scene.path);
    scene.store.place(&format!("{start}-{hash}.seg"), &bytes);
    let report = scene.ann();
    scene.assert_waiting(&report, WaitingFor::Newer);
    assert!(report.waiting[0].words.contains("update this program"));
    assert!(report.faults.is_empty());
}

#[test]
fn what_another_signed_is_set_aside_with_its_reason() {
    let scene = scene();
    let eve = Device::new(50);
    eve.found("Eve");
    let forged = {
        let record = eve.record.lock().unwrap();
        let line = scene.bytes.split(|b| *b == b'\n').next().unwrap();
        let body: serde_json::Value = serde_json::from_slice(line.get(129..).unwrap()).unwrap();
        let mut header: Header = serde_json::from_value(body).unwrap();
        header.no += 1;
        segment::encode(&header, &[], record.signer()).unwrap()
    };
    let hash = records::ids::Hash::of(&forged).short();
    let (start, _) = scene.path.rsplit_once('-').unwrap();
    let path = format!("{start}-{hash}.seg");
    scene.store.place(&path, &forged);
    let report = scene.ann();
    assert_eq!(report.aside.len(), 1, "{report:?}");
    assert_eq!(report.aside[0].path, path);
    assert!(
        report.aside[0].reason.contains("not signed by its device"),
        "{report:?}"
    );
    scene.assert_whole();
}

/// The least integer that JSON parsers hold, whose opposite they don't, and its neighbours.
const EXTREME: [&str; 4] = [
    "-9223372036854775808",
    "9223372036854775807",
    "18446744073709551615",
    "-9007199254740992",
];

#[test]
fn extreme_figures_of_a_stranger_stop_no_exchange_and_no_list_of_who_asks() {
    for figure in EXTREME {
        let scene = scene();
        let (folder, _) = scene.path.rsplit_once('/').unwrap();
        let unsigned = format!("{} {figure}\n", "0".repeat(128)).into_bytes();
        let hash = records::ids::Hash::of(&unsigned).short();
        let path = format!("{folder}/00000050-{}-{hash}.seg", scene.crew.job);
        scene.store.place(&path, &unsigned);
        let stranger = Device::new(50);
        let eve = stranger.id();
        let key =
            serde_json::to_string(&stranger.record.lock().unwrap().signer().public()).unwrap();
        let card = format!(
            "{{\"device\":\"{eve}\",\"format\":1,\"key\":{key},\"name\":\"Eve\",\"signature\":\"{}\",\"x\":{figure}}}\n",
            "0".repeat(128),
        );
        scene
            .store
            .place(&format!("devices/{eve}.json"), card.as_bytes());
        for _ in 0..2 {
            let report = scene.ann();
            assert_eq!(report.aside[0].path, path, "{figure}: {report:?}");
            assert!(report.shared && report.faults.is_empty(), "{report:?}");
        }
        scene.assert_whole();
        let Crew { ann, crew, .. } = &scene.crew;
        let (asking, more) = sync::applicants(&scene.store, &ann.record, *crew, None).unwrap();
        assert_eq!((asking.len(), more), (0, 0), "{figure}");
    }
}

#[test]
fn an_entry_with_an_extreme_figure_is_set_aside_and_the_rest_is_taken_in() {
    for figure in EXTREME {
        let scene = scene();
        let Crew { ben, job, .. } = &scene.crew;
        let first = scene.bytes.split(|b| *b == b'\n').next().unwrap();
        let mut header: Header = serde_json::from_slice(first.get(129..).unwrap()).unwrap();
        let (path, bytes) = {
            let mut record = ben.record.lock().unwrap();
            let said = record.own_after(*job, 0).unwrap();
            let mut body = said.last().unwrap().body.clone();
            (body.n, body.prev) = (body.n + 1, said.last().unwrap().id);
            body.data.insert("value".into(), "figure".into());
            let body = serde_json::to_value(&body).unwrap();
            let line = records::canonical::encode(&body).unwrap();
            let line = String::from_utf8(line).unwrap();
            let line = line.replace("\"value\":\"figure\"", &format!("\"value\":{figure}"));
            assert!(line.contains(figure));
            header.prev = records::ids::Hash::of(&scene.bytes);
            header.no += 1;
            (header.first, header.last) = (header.last + 1, header.last + 1);
            let mut bytes = segment::encode(&header, &[], record.signer()).unwrap();
            let signature = record.signer().sign("tautbook-entry-1\n", line.as_bytes());
            bytes.extend(format!("{signature} {line}\n").into_bytes());
            let (folder, _) = scene.path.rsplit_once('/').unwrap();
            let hash = records::ids::Hash::of(&bytes).short();
            (format!("{folder}/{:08}-{job}-{hash}.seg", header.no), bytes)
        };
        scene.store.place(&path, &bytes);
        for _ in 0..2 {
            let report = scene.ann();
            assert!(report.shared && report.faults.is_empty(), "{report:?}");
            assert_eq!(report.aside.len(), 1, "{figure}: {report:?}");
            let told = &report.aside[0];
            assert!(told.reason.contains("not an integer within"), "{told:?}");
        }
        scene.assert_whole();
    }
}

#[test]
fn a_line_of_another_device_in_a_log_is_set_aside() {
    let scene = scene();
    let (ann, ben, job) = (&scene.crew.ann, &scene.crew.ben, scene.crew.job);
    let cleo = Device::new(50);
    cleo.found("Cleo");
    // Ann does not know Cleo's key, so nothing could tell a wrong signature from a right one.
    let line = {
        let record = cleo.record.lock().unwrap();
        let mut body = ben.record.lock().unwrap().own_after(job, 0).unwrap()[0]
            .body
            .clone();
        (body.device, body.n) = (record.device(), 1);
        body.prev = records::ids::Hash::ZERO;
        records::entry::Entry::sign(body, record.signer()).unwrap()
    };
    let id = line.id;
    let made = {
        let record = ben.record.lock().unwrap();
        let first = scene.bytes.split(|b| *b == b'\n').next().unwrap();
        let body: serde_json::Value = serde_json::from_slice(first.get(129..).unwrap()).unwrap();
        let mut header: Header = serde_json::from_value(body).unwrap();
        header.prev = records::ids::Hash::of(&scene.bytes);
        header.no += 1;
        (header.first, header.last) = (1, 1);
        header.book = job;
        segment::encode(&header, &[line], record.signer()).unwrap()
    };
    let hash = records::ids::Hash::of(&made).short();
    let (folder, name) = scene.path.rsplit_once('/').unwrap();
    let no: u32 = name.split('-').next().unwrap().parse().unwrap();
    let path = format!("{folder}/{:08}-{job}-{hash}.seg", no + 1);
    scene.store.place(&path, &made);
    let report = scene.ann();
    assert_eq!(report.aside.len(), 1, "{report:?}");
    assert_eq!(report.aside[0].path, path);
    assert!(
        report.aside[0].reason.contains("another device"),
        "{report:?}"
    );
    let mut record = ann.record.lock().unwrap();
    assert!(record.view(job).unwrap().entry(&id).is_none());
    drop(record);
    scene.assert_whole();
}

#[test]
fn a_file_too_large_for_a_segment_is_set_aside_unread() {
    let scene = scene();
    let (start, _) = scene.path.rsplit_once('-').unwrap();
    scene.store.place(
        &format!("{start}-{}.seg", "f".repeat(32)),
        &vec![b'x'; (1 << 20) + 1],
    );
    let report = scene.ann();
    assert_eq!(
        (report.aside.len(), report.faults.len()),
        (1, 0),
        "{report:?}"
    );
    scene.assert_whole();
}

#[test]
fn what_stays_cut_for_an_hour_is_told_as_damaged() {
    let scene = scene();
    scene.store.place(&scene.path, &scene.bytes[..200]);
    for _ in 0..2 {
        assert!(!scene.ann().needs_attention());
    }
    let Scene {
        store,
        crew,
        path,
        bytes,
    } = scene;
    let ann = crew.ann.closed().opened(7_200_000);
    let report = ann.exchange(&store);
    assert!(report.needs_attention(), "{report:?}");
    let told = &report.aside[0];
    assert_eq!(told.path, path);
    assert!(told.reason.contains("cut at 200 bytes"), "{}", told.reason);
    assert!(told.reason.contains("exchange on that device"));
    // One that still grows is on its way.
    store.place(&path, &bytes[..300]);
    assert!(!ann.exchange(&store).needs_attention());
    store.place(&path, &bytes);
    assert!(!ann.exchange(&store).needs_attention());
    assert_eq!(ann.state(), crew.ben.state());
}
