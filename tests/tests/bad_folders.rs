//! Shared folders that are missing, read-only, full of strange things, cut, newer or swapped: each
//! is said, nothing is half taken in, and the rest goes on and is counted. One file past 400 lines, since
//! all of it is one list of bad input.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod devices;

use std::fs;
use std::path::{Path, PathBuf};

use api::ErrorCode;
use devices::{Crew, Disk, files};
use records::entry::Entry;
use records::ids::Hash;
use records::keys::FileKey;
use records::segment::{self, Header};
use serde_json::{Value, json};
use tempfile::TempDir;

fn crew() -> (TempDir, Crew) {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("shared");
    fs::create_dir(&folder).unwrap();
    let crew = Crew::meet(dir.path(), &folder);
    (dir, crew)
}

/// What Ben published since `before`: the one new segment.
fn new_segment(crew: &Crew, before: &[(PathBuf, Vec<u8>)]) -> (PathBuf, Vec<u8>) {
    let mut new: Vec<_> = files(&crew.folder)
        .into_iter()
        .filter(|file| !before.contains(file) && file.0.extension().is_some_and(|e| e == "seg"))
        .collect();
    assert_eq!(new.len(), 1);
    new.remove(0)
}

/// Ben notes two things in one segment that Ann has not read.
fn published() -> (TempDir, Crew, PathBuf, Vec<u8>) {
    let (dir, crew) = crew();
    let before = files(&crew.folder);
    crew.ben.note(&crew.job, "first of ben").unwrap();
    crew.ben.note(&crew.job, "second of ben").unwrap();
    crew.ben.sync();
    let (path, bytes) = new_segment(&crew, &before);
    (dir, crew, path, bytes)
}

fn verify(crew: &Crew) -> Result<Value, api::ApiError> {
    crew.ann.run("startVerify", json!({"what": "shared"}))
}

fn waiting(report: &Value) -> Vec<(&str, u64)> {
    let list = report["waiting"].as_array().unwrap().iter();
    list.map(|w| (w["what"].as_str().unwrap(), w["count"].as_u64().unwrap()))
        .collect()
}

#[test]
fn a_folder_that_is_not_there_is_told_and_nothing_is_lost() {
    let (dir, crew) = crew();
    let away = dir.path().join("away");
    fs::rename(&crew.folder, &away).unwrap();
    // No signal is needed for anything but the exchange.
    crew.ann.note(&crew.job, "while it is away").unwrap();
    assert_eq!(crew.ann.notes(&crew.job), ["while it is away"]);
    for what in ["startSync", "startVerify"] {
        let ask = if what == "startSync" {
            json!({})
        } else {
            json!({"what": "shared"})
        };
        let error = crew.ann.run(what, ask).unwrap_err();
        assert_eq!(error.code, ErrorCode::Storage, "{error:?}");
        assert!(
            error.message.contains("Is the drive connected"),
            "{error:?}"
        );
    }
    assert!(!crew.folder.exists(), "a missing folder is not made");
    for request in [
        json!({"folder": dir.path().join("no-such")}),
        json!({"folder": "not/from/the/root"}),
    ] {
        for command in ["share", "join"] {
            let error = crew.ben.try_call(command, request.clone()).unwrap_err();
            assert!(
                matches!(error.code, ErrorCode::Storage | ErrorCode::Invalid),
                "{error:?}"
            );
        }
    }
    fs::rename(&away, &crew.folder).unwrap();
    assert_eq!(crew.ann.sync()["shared"], true);
    crew.ben.sync();
    assert_eq!(crew.ben.notes(&crew.job), ["while it is away"]);
    let other = dir.path().join("plain");
    fs::create_dir(&other).unwrap();
    let error = crew
        .ben
        .try_call("join", json!({"folder": other}))
        .unwrap_err();
    assert!(error.message.contains("share it first"), "{error:?}");
    assert!(files(&other).is_empty());
}

#[test]
fn a_read_only_folder_is_still_read_and_what_is_not_shared_is_counted() {
    let dir = tempfile::tempdir().unwrap();
    let disk = Disk::new(dir.path().join("disk"), "64m");
    let crew = Crew::meet(dir.path(), &disk.path);
    crew.ben.note(&crew.job, "from ben").unwrap();
    crew.ben.sync();
    crew.ann.note(&crew.job, "from ann").unwrap();
    crew.ann.photograph(&crew.job, 1);
    let before = files(&disk.path);
    disk.read_only(true);
    let report = crew.ann.sync();
    assert_eq!(report["fetched"]["segments"], 1, "{report}");
    assert_eq!(report["shared"], false);
    assert_eq!(
        (
            &report["unshared"]["segments"],
            &report["unshared"]["originals"]
        ),
        (&json!(1), &json!(1))
    );
    let faults = report["faults"].as_array().unwrap();
    assert!(!faults.is_empty());
    for fault in faults {
        assert!(
            fault["message"].as_str().unwrap().contains("read-only"),
            "{fault}"
        );
    }
    assert_eq!(crew.ann.notes(&crew.job), ["from ann", "from ben"]);
    assert_eq!(files(&disk.path), before);
    verify(&crew).unwrap();
    disk.read_only(false);
    assert_eq!(crew.ann.sync()["shared"], true);
    crew.ben.sync();
    assert_eq!(crew.ben.state(&crew.job), crew.ann.state(&crew.job));
}

#[test]
fn a_full_folder_takes_what_fits_and_the_rest_goes_when_there_is_room() {
    let dir = tempfile::tempdir().unwrap();
    let disk = Disk::new(dir.path().join("disk"), "256k");
    let crew = Crew::meet(dir.path(), &disk.path);
    for number in 1..=8 {
        crew.ann.photograph(&crew.job, number);
    }
    let fill = disk.path.join("in-the-way.bin");
    let mut room = fs::File::create(&fill).unwrap();
    let _ = std::io::copy(
        &mut std::io::Read::take(std::io::repeat(0), 100 << 10),
        &mut room,
    );
    let report = crew.ann.sync();
    assert_eq!(report["shared"], false, "{report}");
    let faults = report["faults"].as_array().unwrap();
    assert!(
        faults
            .iter()
            .any(|f| f["message"].as_str().unwrap().contains("Make room")),
        "{report}"
    );
    crew.ben.sync();
    verify(&crew).unwrap();
    fs::remove_file(&fill).unwrap();
    disk.resize("16m");
    assert_eq!(crew.ann.sync()["shared"], true);
    let report = crew.ben.sync();
    assert_eq!(waiting(&report), []);
    assert_eq!(crew.ben.state(&crew.job), crew.ann.state(&crew.job));
}

#[cfg(unix)]
#[test]
fn strange_files_are_counted_and_links_out_of_the_folder_lead_nowhere() {
    use std::os::unix::fs::symlink;
    let (dir, crew, path, _) = published();
    let outside = dir.path().join("outside");
    fs::create_dir(&outside).unwrap();
    fs::write(outside.join("secret.txt"), "not of this folder").unwrap();
    let shard = path.parent().unwrap();
    let strange = [
        crew.folder.join("desktop.ini"),
        crew.folder.join(".sync-marker"),
        crew.folder.join("log/Thumbs.db"),
        crew.folder.join("devices/notes.txt"),
        shard.join("readme.seg"),
    ];
    for file in &strange {
        fs::write(file, "strange").unwrap();
    }
    symlink(outside.join("secret.txt"), shard.join("00000009-link.seg")).unwrap();
    symlink(&outside, crew.folder.join("log/aaaaaaaaaaaaaaaaaaaaaaaaaa")).unwrap();
    symlink(&outside, crew.folder.join("photos/ab"))
        .or_else(|_| {
            fs::create_dir(crew.folder.join("photos"))
                .and_then(|()| symlink(&outside, crew.folder.join("photos/ab")))
        })
        .unwrap();
    let odd = shard.join("00000010-\u{202e}gpj.seg");
    fs::write(&odd, "strange").unwrap();
    let before = files(&outside);
    let report = crew.ann.sync();
    // Five files, one odd name, and links in the log, in place of a log, and among pictures; files of
    // services are counted and not named.
    assert!(report["unknown"].as_u64().unwrap() >= 8, "{report}");
    let named = report["strange"].as_array().unwrap();
    let named: Vec<&str> = named.iter().filter_map(|path| path.as_str()).collect();
    assert!(named.contains(&"devices/notes.txt"), "{report}");
    assert!(
        named.iter().any(|path| path.ends_with("<U+202E>gpj.seg")),
        "{report}"
    );
    let service = |path: &&str| {
        ["desktop.ini", ".sync-marker", "Thumbs.db"]
            .iter()
            .any(|s| path.ends_with(s))
    };
    assert!(!named.iter().any(service), "{report}");
    assert_eq!(report["fetched"]["segments"], 1, "{report}");
    assert_eq!(crew.ann.notes(&crew.job).len(), 2);
    let found = verify(&crew).unwrap();
    assert_eq!(
        (&found["unknown"], found["strange"].as_array().map(Vec::len)),
        (&json!(9), Some(6)),
        "{found}"
    );
    // Nothing was written behind a link, and nothing was taken in from there.
    crew.ann.photograph(&crew.job, 1);
    crew.ann.sync();
    assert_eq!(files(&outside), before);
    let taken = files(crew.ann.app.data());
    assert!(
        taken
            .iter()
            .all(|(_, bytes)| !bytes.windows(18).any(|part| part == b"not of this folder"))
    );
}

/// Where a segment is cut so that each part of its form is hit once.
fn cuts(bytes: &[u8]) -> Vec<(&'static str, usize)> {
    let ends: Vec<usize> = bytes
        .iter()
        .enumerate()
        .filter(|(_, b)| **b == b'\n')
        .map(|(at, _)| at + 1)
        .collect();
    vec![
        ("nothing", 0),
        ("one byte", 1),
        ("within the header's signature", 64),
        ("before the header's body", 128),
        ("at the header's body", 129),
        ("within the header", 129 + (ends[0] - 129) / 2),
        ("before the header's end", ends[0] - 1),
        ("after the header", ends[0]),
        ("within an entry's signature", ends[0] + 50),
        ("within an entry", ends[0] + 300),
        ("before the first entry's end", ends[1] - 1),
        ("after the first entry", ends[1]),
        ("within the last entry", ends[1] + 200),
        ("one byte short", bytes.len() - 1),
    ]
}

#[test]
fn a_cut_segment_of_every_kind_waits_and_stops_nothing_else() {
    let (_dir, crew, path, whole) = published();
    let state = crew.ann.state(&crew.job);
    for (class, length) in cuts(&whole) {
        fs::write(&path, &whole[..length]).unwrap();
        let report = crew.ann.sync();
        assert_eq!(waiting(&report), [("segments", 1)], "{class}: {report}");
        assert_eq!(
            (&report["faults"], &report["aside"]),
            (&json!([]), &json!([])),
            "{class}"
        );
        assert_eq!(
            crew.ann.state(&crew.job),
            state,
            "{class}: nothing of it shows"
        );
        let fault = verify(&crew).unwrap_err();
        assert_eq!(fault.code, ErrorCode::Fault);
        let kind = fault.message.split(':').next().unwrap().to_owned();
        assert!(
            ["cut", "damaged"].contains(&kind.as_str()),
            "{class}: {fault:?}"
        );
        assert!(
            fault
                .message
                .contains(path.file_name().unwrap().to_str().unwrap()),
            "{fault:?}"
        );
    }
    // Ann's own work goes on meanwhile.
    crew.ann.note(&crew.job, "from ann").unwrap();
    assert_eq!(crew.ann.sync()["shared"], true);
    fs::write(&path, &whole).unwrap();
    assert_eq!(waiting(&crew.ann.sync()), []);
    assert_eq!(
        crew.ann.notes(&crew.job),
        ["first of ben", "from ann", "second of ben"]
    );
    verify(&crew).unwrap();
}

#[test]
fn a_segment_of_a_newer_format_waits_for_an_update() {
    let (dir, crew, path, whole) = published();
    let line = whole.split(|b| *b == b'\n').next().unwrap();
    let mut header: Header = serde_json::from_slice(&line[129..]).unwrap();
    header.format += 1;
    let key = FileKey::open_or_create(&dir.path().join("ben/device.key")).unwrap();
    let newer = segment::encode(&header, &[] as &[Entry], &key).unwrap();
    let name = path.file_name().unwrap().to_str().unwrap();
    let start = name.rsplit_once('-').unwrap().0;
    fs::remove_file(&path).unwrap();
    let made = path.with_file_name(format!("{start}-{}.seg", Hash::of(&newer).short()));
    fs::write(&made, &newer).unwrap();
    let report = crew.ann.sync();
    assert_eq!(waiting(&report), [("newer", 1)], "{report}");
    assert!(
        report["waiting"][0]["words"]
            .as_str()
            .unwrap()
            .contains("update this program")
    );
    assert_eq!(report["faults"], json!([]));
    assert_eq!(crew.ann.notes(&crew.job), [""; 0]);
    // What could not be looked at is not said to be in order.
    let looked = verify(&crew).unwrap_err();
    assert_eq!(looked.code, ErrorCode::Newer);
    assert!(
        looked.message.contains("could not be looked at"),
        "{looked:?}"
    );
    fs::remove_file(&made).unwrap();
    fs::write(&path, &whole).unwrap();
    crew.ann.sync();
    assert_eq!(crew.ann.notes(&crew.job).len(), 2);
}

fn object(folder: &Path, sha256: &str) -> PathBuf {
    let two = sha256.get(..2).unwrap();
    folder.join(format!("photos/{two}/{sha256}.jpg"))
}

#[test]
fn swapped_and_cut_pictures_are_not_taken_for_the_right_ones() {
    let (_dir, crew) = crew();
    let [one, two] = [1, 2].map(|number| crew.ben.photograph(&crew.job, number));
    crew.ben.sync();
    let [at_one, at_two] = [&one, &two].map(|sha256| object(&crew.folder, sha256));
    let [a, b] = [&at_one, &at_two].map(|path| fs::read(path).unwrap());
    fs::write(&at_one, &b).unwrap();
    fs::write(&at_two, &a).unwrap();
    let report = crew.ann.sync();
    assert_eq!(waiting(&report), [("originals", 2)], "{report}");
    assert!(!crew.ann.has_object(&one) && !crew.ann.has_object(&two));
    // Entries, views and thumbs came all the same.
    assert_eq!(
        (&report["fetched"]["views"], &report["fetched"]["thumbs"]),
        (&json!(2), &json!(2))
    );
    assert_eq!(crew.ann.state(&crew.job), crew.ben.state(&crew.job));
    let fault = verify(&crew).unwrap_err();
    assert!(
        fault.message.starts_with("objectDamaged: photos/"),
        "{fault:?}"
    );
    fs::write(&at_one, &a).unwrap();
    fs::write(&at_two, &b[..b.len() / 2]).unwrap();
    let report = crew.ann.sync();
    assert_eq!(waiting(&report), [("originals", 1)], "{report}");
    assert!(crew.ann.has_object(&one) && !crew.ann.has_object(&two));
    // Its maker knows that it lies there; asked to look it over, it lays the whole one beside it.
    assert_eq!(crew.ben.sync()["published"]["originals"], 0);
    let report = crew.ben.run("startSync", json!({"everything": true}));
    assert_eq!(report.unwrap()["published"]["originals"], 1);
    assert_eq!(waiting(&crew.ann.sync()), []);
    assert!(crew.ann.has_object(&two));
    assert_eq!(verify(&crew).unwrap()["repaired"], 1);
}

#[test]
fn what_vanishes_there_does_not_vanish_here() {
    let (_dir, crew, _, _) = published();
    crew.ann.sync();
    let picture = crew.ann.photograph(&crew.job, 3);
    crew.ann.sync();
    let before = files(&crew.folder);
    let state = crew.ann.state(&crew.job);
    for folder in ["log", "photos", "devices"] {
        fs::remove_dir_all(crew.folder.join(folder)).unwrap();
    }
    assert!(verify(&crew).is_err());
    crew.ann.sync();
    assert_eq!(crew.ann.state(&crew.job), state);
    assert!(crew.ann.has_object(&picture));
    crew.ben.sync();
    assert_eq!(files(&crew.folder), before);
    verify(&crew).unwrap();
}
