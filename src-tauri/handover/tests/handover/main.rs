//! A whole handover of a small job: written, looked at with other people's tools, verified.
//!
//! One program of many files, since each further program of tests links the typesetter again.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::indexing_slicing,
    clippy::panic
)]

mod anew;
mod careful;
#[path = "../common/mod.rs"]
mod common;
mod drawing;
mod fitted;
mod hostile;
mod kept;
mod labels;
mod later;
mod looked_over;
mod marked;
mod materials;
mod pages;
mod stands;
mod tables;
mod template;
mod told;

use std::ops::ControlFlow;
use std::path::{Path, PathBuf};

use common::pictures::{fixture, photo};
use common::site::{self, Built};
use common::{go_on, run};
use handover::{HandoverError, Progress};
use records::model::values::Evidence;
use records::subject::Subject;
use tempfile::TempDir;

fn with_photos() -> Built {
    let mut built = site::build("Deck and stair");
    let a3 = Subject::post(built.posts[2]);
    let run_a = Subject::run(built.run_a);
    let shows = [
        ("orientation-1.jpg", "A3 before", a3, Evidence::DefectBefore),
        ("orientation-6.jpg", "A3 after", a3, Evidence::DefectAfter),
        (
            "orientation-3.jpg",
            "Run A from the garden",
            run_a,
            Evidence::WideView,
        ),
    ];
    for (name, caption, about, evidence) in shows {
        photo(&mut built.site, &fixture(name), caption, &about, evidence);
    }
    built
}

fn written() -> (TempDir, PathBuf, handover::Written) {
    let mut built = with_photos();
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("handover");
    let written = built.site.write(&folder).unwrap();
    if let Ok(keep) = std::env::var("HANDOVER_KEEP") {
        run("cp", &["-r", folder.to_str().unwrap(), &keep], dir.path());
    }
    (dir, folder, written)
}

#[test]
fn a_handover_is_whole_and_readable_by_other_tools() {
    let (_dir, folder, written) = written();
    assert_eq!((written.originals, written.missing), (3, 0));
    let sums = run("sha256sum", &["-c", "SHA256SUMS"], &folder);
    // The sums and their signature are in no sum.
    assert_eq!(sums.lines().count() + 2, written.files);
    assert!(sums.lines().all(|l| l.ends_with(": OK")), "{sums}");
    run("qpdf", &["--check", "handover.pdf"], &folder);
    for original in [
        "orientation-1.jpg",
        "orientation-3.jpg",
        "orientation-6.jpg",
    ] {
        let bytes = std::fs::read(fixture(original)).unwrap();
        let kept = folder.join(format!("photos/{}.jpg", records::ids::Hash::of(&bytes)));
        assert_eq!(std::fs::read(kept).unwrap(), bytes);
    }
    let readme = std::fs::read_to_string(folder.join("README.txt")).unwrap();
    for command in ["sha256sum -c SHA256SUMS", "tautbook verify --handover ."] {
        assert!(readme.contains(command), "{readme}");
        assert!(
            flat_text(&folder).contains(command),
            "{command} in the document"
        );
    }
    let flat = flat_text(&folder);
    assert!(flat.contains("it was not independently validated"));
    for caption in ["A3 before", "A3 after", "Run A from the garden"] {
        assert!(flat.contains(caption), "{caption}");
    }
    // As a reader goes on in one column, and not line by line across both.
    let read = run("pdftotext", &["handover.pdf", "-"], &folder);
    let read: Vec<&str> = read.split_whitespace().collect();
    let read = read.join(" ");
    let place = "\u{2212}40.00000°, 140.00000° ±8 m";
    assert_eq!(read.matches(place).count(), 3);
    assert!(read.contains("Ann Dunmore · 2026-10-27 09:01 (UTC+10:00)"));
    let verified = handover::verify(&folder, &go_on).unwrap();
    assert_eq!((verified.originals, verified.missing), (3, 0));
    assert_eq!(verified.signed_by.name, "Ann Dunmore");
    assert_eq!(verified.not_counting, Vec::<String>::new());
    let lines = std::fs::read_to_string(folder.join("book/job.jsonl")).unwrap();
    assert_eq!(verified.entries, lines.lines().count());
    let left: Vec<_> = std::fs::read_dir(folder.parent().unwrap())
        .unwrap()
        .collect();
    assert_eq!(left.len(), 1, "a temporary folder was left behind");
}

/// Marks of PDF/A-3b; the document is not independently validated.
#[test]
fn the_document_bears_the_marks_of_pdf_a_3b() {
    let (_dir, folder, _) = written();
    let bare = folder.parent().unwrap().join("bare.pdf");
    run(
        "qpdf",
        &[
            "--qdf",
            "--object-streams=disable",
            "handover.pdf",
            bare.to_str().unwrap(),
        ],
        &folder,
    );
    let bytes = std::fs::read(&bare).unwrap();
    let text = String::from_utf8_lossy(&bytes);
    assert!(text.contains("<pdfaid:part>3</pdfaid:part>"), "XMP part");
    assert!(
        text.contains("<pdfaid:conformance>B</pdfaid:conformance>"),
        "XMP conformance"
    );
    assert!(text.contains("/OutputIntent"), "output intent");
    assert!(
        text.contains("/AFRelationship /Data"),
        "relationship of attachments"
    );
    assert!(!text.contains("/Encrypt "));
    let fonts = run("pdffonts", &["handover.pdf"], &folder);
    let rows: Vec<&str> = fonts.lines().skip(2).collect();
    assert!(!rows.is_empty());
    for row in rows {
        // Columns from the right: object id (2), uni, sub, emb.
        let emb = row.split_whitespace().rev().nth(4).unwrap();
        assert_eq!(emb, "yes", "{row}");
    }
    let list = run("pdfdetach", &["-list", "handover.pdf"], &folder);
    let beside = std::fs::read_dir(folder.join("data")).unwrap();
    let mut beside: Vec<String> = beside
        .map(|file| file.unwrap().file_name().into_string().unwrap())
        .collect();
    // A workbook of the same tables lies beside the document alone.
    beside.retain(|name| !name.ends_with(".xlsx"));
    assert!(beside.len() > 13, "{beside:?}");
    let attached = list.lines().filter(|line| line.contains(": ")).count();
    assert_eq!(attached, beside.len(), "{list}");
    for name in &beside {
        assert!(list.contains(name), "{name} in {list}");
        let out = folder.parent().unwrap().join(name);
        run(
            "pdfdetach",
            &[
                "-savefile",
                name,
                "-o",
                out.to_str().unwrap(),
                "handover.pdf",
            ],
            &folder,
        );
        let beside = std::fs::read(folder.join("data").join(name)).unwrap();
        assert_eq!(std::fs::read(out).unwrap(), beside, "{name}");
    }
}

/// The document's text on one line, spaces alike.
fn flat_text(folder: &Path) -> String {
    let text = text_of(folder);
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The document's text, without the marks of where a long word may be broken.
fn text_of(folder: &Path) -> String {
    run("pdftotext", &["-layout", "handover.pdf", "-"], folder).replace('\u{200B}', "")
}

#[test]
fn the_document_tells_the_record_in_the_inspectors_order() {
    let (_dir, folder, _) = written();
    let text = text_of(&folder);
    let heads = [
        "1 Summary",
        "2 Drawing as built",
        "3 Posts, fixings",
        "4 Materials",
        "5 Tools",
        "6 Sample crimp",
        "7 Template check",
        "8 Engagement",
        "9 Tension",
        "10 Openings",
        "11 Heights",
        "12 Views",
        "13 Defects",
        "14 Recheck",
        "15 The edge",
        "16 Care",
        "17 Sign-offs",
        "18 Data and hashes",
    ];
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let mut at = 0;
    for head in heads {
        let rest = flat.get(at..).unwrap();
        let found = rest
            .find(head)
            .unwrap_or_else(|| panic!("{head} is not in its place"));
        at += found + head.len();
    }
    // The first page tells the lowest reading, its margin and where it was taken.
    let first = run(
        "pdftotext",
        &["-layout", "-l", "1", "handover.pdf", "-"],
        &folder,
    );
    for told in [
        "14 Quillback Rise",
        "PH-2026-0417",
        "Australia 2022",
        "1310 N",
        "−20 N",
        "wire 12",
        "bay A2–A3",
        "D. Okellan",
        "Ann Dunmore",
    ] {
        assert!(first.contains(told), "{told} on the first page");
    }
    // Numbers of the tension table are those of the state.
    let state = common::state(&folder);
    let readings: Vec<i64> = state["claims"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|c| c["field"] == "tension")
        .map(|c| c["lines"][0]["tips"][0]["value"]["mn"].as_i64().unwrap() / 1000)
        .collect();
    assert_eq!(readings.len(), 12);
    let table = flat.split("9 Tension").nth(1).unwrap();
    for reading in readings {
        assert!(table.contains(&format!("{reading} N")), "{reading} N");
    }
    // What a decision was told is printed as told.
    assert!(flat.contains("widest bay 1410 mm (measured)"));
    for word in include_str!("../../../../fixtures/verdicts.txt").lines() {
        assert!(!flat.to_lowercase().contains(word), "{word}");
    }
}

#[test]
fn what_people_dispute_is_shown_with_both_sides() {
    use records::model::fields::{JOB_CERTIFIER, RUN_HEIGHT};
    use records::model::values::Length;
    let mut built = site::build("Deck and stair");
    let run = Subject::run(built.run_a);
    // Two corrections that do not know of one another stand apart.
    built
        .site
        .one(common::claim(RUN_HEIGHT, &run, &Length::mm(1005)));
    let job = built.site.job_subject();
    built
        .site
        .one(common::claim(JOB_CERTIFIER, &job, &"P. Marrow".into()));
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    let flat = text_of(&folder)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(flat.contains("disputed"), "{flat}");
    for side in ["1020 mm", "1005 mm", "D. Okellan", "P. Marrow"] {
        assert!(flat.contains(side), "{side}");
    }
    handover::verify(&folder, &go_on).unwrap();
}

#[test]
fn a_folder_that_holds_something_is_refused_and_left_alone() {
    let mut built = site::build("Deck and stair");
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("handover");
    std::fs::create_dir(&folder).unwrap();
    std::fs::write(folder.join("mine.txt"), b"mine").unwrap();
    let refused = built.site.write(&folder).unwrap_err();
    assert!(matches!(refused, HandoverError::NotEmpty(_)), "{refused}");
    let names: Vec<_> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|e| e.unwrap().file_name())
        .collect();
    assert_eq!(names, ["mine.txt"]);
    std::fs::remove_file(folder.join("mine.txt")).unwrap();
    built.site.write(&folder).unwrap();
    handover::verify(&folder, &go_on).unwrap();
}

#[test]
fn ended_at_any_step_nothing_is_left() {
    let mut built = with_photos();
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("handover");
    let mut ended = 0;
    loop {
        let told = std::sync::atomic::AtomicUsize::new(0);
        let on = |_: Progress| {
            let now = told.fetch_add(1, std::sync::atomic::Ordering::SeqCst);
            if now >= ended {
                ControlFlow::Break(())
            } else {
                ControlFlow::Continue(())
            }
        };
        match built
            .site
            .with(|source| handover::write(source, &folder, &on))
        {
            Err(HandoverError::Cancelled) => {
                assert_eq!(
                    std::fs::read_dir(dir.path()).unwrap().count(),
                    0,
                    "after {ended}"
                );
                ended += 1;
            }
            other => {
                other.unwrap();
                break;
            }
        }
    }
    // Three pictures, document begun and done, three originals.
    assert_eq!(ended, 8);
}

#[test]
fn a_second_handover_into_the_same_folder_leaves_the_first_ones_work_alone() {
    let mut built = with_photos();
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("handover");
    // Another one into the same folder, whole, while the first is at its originals.
    let second = std::sync::OnceLock::new();
    let first = built.site.with(|source| {
        let on = |_: Progress| {
            second.get_or_init(|| handover::write(source, &folder, &go_on));
            ControlFlow::Continue(())
        };
        handover::write(source, &folder, &on)
    });
    second.into_inner().unwrap().unwrap();
    // Who comes later finds the folder full, and takes away only what is its own.
    let refused = first.unwrap_err();
    assert!(matches!(refused, HandoverError::NotEmpty(_)), "{refused}");
    handover::verify(&folder, &go_on).unwrap();
    assert_eq!(std::fs::read_dir(dir.path()).unwrap().count(), 1);
}
