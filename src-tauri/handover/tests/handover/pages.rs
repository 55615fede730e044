//! What stands on one page: who signed on the first, a run's drawing beside the figures of its bays.

use std::path::Path;

use handover::Source;
use records::model::context::BayRead;
use records::model::fields::{BAY_CLEAR, DEFECT_FOUND, JOB_EVIDENCE_WAIVED, RUN_NAME};
use records::model::values::{Along, Instrument, Stage};
use records::subject::{ItemKind, Subject};

use crate::common::acts::tension;
use crate::common::site::{self, Built, mm};
use crate::common::{claim, go_on, placed, run, told};

/// The text of a page on one line, spaces alike; empty where there is no such page.
fn page(folder: &Path, n: u32) -> String {
    let n = n.to_string();
    let arguments = ["-layout", "-f", &n, "-l", &n, "handover.pdf", "-"];
    let text = run("pdftotext", &arguments, folder).replace('\u{200B}', "");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn whole(folder: &Path) -> String {
    let text = run("pdftotext", &["-layout", "handover.pdf", "-"], folder);
    let text = text.replace('\u{200B}', "");
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn written(built: &mut Built, at: &Path, name: &str) -> std::path::PathBuf {
    let folder = at.join(name);
    built.site.write(&folder).unwrap();
    folder
}

const SIGNED: &str = "tension Ann Dunmore, surveyor";

#[test]
fn what_the_making_device_lost_is_told_on_the_first_page() {
    let mut built = site::build("Deck and stair");
    let dir = tempfile::tempdir().unwrap();
    for (broken_off, told) in [
        (0, None),
        (
            1,
            Some("1 entry that was saved on it does not count any more"),
        ),
        (
            3,
            Some("3 entries that were saved on it do not count any more"),
        ),
    ] {
        let folder = dir.path().join(broken_off.to_string());
        built.site.with(|source| {
            let source = Source {
                broken_off,
                ..*source
            };
            handover::write(&source, &folder, &go_on).unwrap();
        });
        let first = page(&folder, 1);
        let damaged = first.contains("The device that made this is damaged");
        assert_eq!(damaged, told.is_some(), "{first}");
        assert!(told.is_none_or(|told| first.contains(told)), "{first}");
    }
}

#[test]
fn the_first_page_always_holds_who_signed() {
    let mut built = site::build("Deck and stair");
    let dir = tempfile::tempdir().unwrap();
    let short = written(&mut built, dir.path(), "short");
    assert!(page(&short, 1).contains(SIGNED));
    assert!(!page(&short, 1).contains("section 18 lists"));
    assert!(!whole(&short).contains("Open, all items"));
    for n in 1..=40 {
        let defect = built.site.new_item(ItemKind::Defect, Vec::new());
        let s = Subject::Item(ItemKind::Defect, defect);
        let text = format!(
            "defect {n:02} of forty: {}",
            "seen from below and told ".repeat(6)
        );
        built.site.one(claim(DEFECT_FOUND, &s, &text));
    }
    let long = written(&mut built, dir.path(), "long");
    let first = page(&long, 1);
    for words in [
        SIGNED,
        "It judges nothing",
        "Like items are told together: section 18 lists each of them",
        "40 defects not closed: defect 01 of forty",
        // The weightiest stay: readings below what is asked stand before what is only untidy.
        "Run A: below the required tension on wire 12",
    ] {
        assert!(first.contains(words), "{words} on the first page: {first}");
    }
    assert!(!first.contains("defect 40 of forty"), "{first}");
    let all = whole(&long);
    let data = all.split("18 Data and hashes").nth(1).unwrap();
    let data = data.split("Evidence that is not here").next().unwrap();
    for n in 1..=40 {
        let words = format!("defect {n:02} of forty");
        assert!(data.contains(&words), "{words} in section 18: {data}");
    }
    // So many runs that not even the row of each leaves room below.
    for n in 1..=60 {
        let id = built.site.new_item(ItemKind::Run, Vec::new());
        let name = format!("R{n}");
        built.site.one(claim(RUN_NAME, &Subject::run(id), &name));
    }
    let many = written(&mut built, dir.path(), "many");
    let first = page(&many, 1);
    assert!(first.contains(SIGNED), "{first}");
    assert!(first.contains("14 Quillback Rise"), "{first}");
}

#[test]
fn what_fails_is_open_first_and_what_is_gone_without_last() {
    let mut built = site::build("Deck and stair");
    let job = built.site.job_subject();
    for key in ["handrail", "massCheck", "floorLevels"] {
        let place = format!("{key}/{}", built.run_b);
        let why = format!("no {key} was to be had that day");
        let draft = placed(JOB_EVIDENCE_WAIVED, &job, &place, &why);
        built.site.one(draft);
    }
    let defect = built.site.new_item(ItemKind::Defect, Vec::new());
    let s = Subject::Item(ItemKind::Defect, defect);
    let found = "rail loose at A4".to_owned();
    built.site.one(claim(DEFECT_FOUND, &s, &found));
    // Over the upper tension of 1800 N, whoever said yes to it.
    let wide = Subject::bay(built.posts[1], built.posts[2]).to_string();
    let wide = wide.strip_prefix("bay:").unwrap().to_owned();
    let (run_a, gauge) = (built.run_a, built.gauge);
    tension(&mut built.site, run_a, 5, &wide, 1900, Stage::Final, gauge);
    let dir = tempfile::tempdir().unwrap();
    let folder = written(&mut built, dir.path(), "short");
    let first = page(&folder, 1);
    let open = first.split("Open").nth(1).unwrap();
    let mut last = 0;
    for words in [
        "Run A: below the required tension on wire 12",
        "Run A: over the upper tension of 1800 N on wire 5",
        "Defect not closed: rail loose at A4",
        "no final tension reading on wire",
        "lacking; the list stands in section 18 (of sections",
        "no handrail was to be had",
    ] {
        let at = open.find(words);
        let at = at.unwrap_or_else(|| panic!("{words} in {open}"));
        assert!(at > last, "{words} out of its order: {open}");
        last = at;
    }
}

#[test]
fn a_drawing_stands_on_the_page_of_its_bays() {
    let mut built = site::build("Deck and stair");
    let dir = tempfile::tempdir().unwrap();
    let bays = [(0, 1), (1, 2), (2, 3)].map(|(a, b)| Subject::bay(built.posts[a], built.posts[b]));
    let with = BayRead {
        entered: None,
        along: Along::Level,
        instrument: Instrument::Tape,
        tool: None,
        reason: None,
    };
    // The table of run A grows from try to try, so that the page ends at another place of run B.
    for n in 0..6 {
        let folder = written(&mut built, dir.path(), &format!("{n}"));
        let of_b = (1..8)
            .map(|at| page(&folder, at))
            .find(|text| text.contains("Run B, seen from the stair"))
            .unwrap();
        // 985 level at a rise of 178 on 250: 985 × √(178² + 250²) ÷ 250 = 1209.2.
        assert!(of_b.contains("985 mm 1209.2 mm"), "try {n}: {of_b}");
        for bay in &bays {
            built.site.one(told(BAY_CLEAR, bay, "", &mm(1380.0), &with));
        }
    }
}
