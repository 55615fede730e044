//! Marks on the document's copies of pictures; originals stay as they are.

use records::ids::Hash;
use records::model::fields::*;
use records::model::values::*;
use records::record::Draft;
use records::subject::{ItemKind, Subject};
use tempfile::TempDir;

use crate::common::pictures::{fixture, photo};
use crate::common::site::{self, Built};
use crate::common::{claim, go_on, run};
use crate::flat_text;

fn arrow(x: i64, y: i64, to_x: i64, to_y: i64) -> Mark {
    Mark::Arrow { x, y, to_x, to_y }
}

fn ring(x: i64, y: i64, to_x: i64, to_y: i64) -> Mark {
    Mark::Ring { x, y, to_x, to_y }
}

fn words(x: i64, y: i64, text: &str) -> Mark {
    let text = text.to_owned();
    Mark::Text { x, y, text }
}

/// A job with one picture, and that picture; its file turns the sensor's picture upright.
fn one_picture() -> (Built, Subject, Hash) {
    let mut built = site::build("Deck and stair");
    let run_a = Subject::run(built.run_a);
    let file = fixture("orientation-6.jpg");
    let original = photo(&mut built.site, &file, "Run A", &run_a, Evidence::WideView);
    let id = built.site.with(|source| source.job.photos[0].id);
    (built, Subject::Item(ItemKind::Photo, id), original)
}

fn draft(picture: &Subject, marks: Vec<Mark>) -> Draft {
    claim(PHOTO_MARKS, picture, &Marks { marks })
}

fn write(built: &mut Built) -> (TempDir, std::path::PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    if let Ok(keep) = std::env::var("HANDOVER_KEEP") {
        run("cp", &["-r", folder.to_str().unwrap(), &keep], dir.path());
    }
    (dir, folder)
}

/// Points of the pages' print that have the colour of marks: a dark red that no picture and no page has.
fn red(folder: &std::path::Path) -> usize {
    run(
        "pdftoppm",
        &["-r", "150", "handover.pdf", "../page"],
        folder,
    );
    let beside = std::fs::read_dir(folder.parent().unwrap()).unwrap();
    let pages = beside.map(|entry| entry.unwrap().path());
    let pages = pages.filter(|path| path.extension().is_some_and(|e| e == "ppm"));
    let red = |bytes: &[u8]| {
        let near = |a: u8, b: u8| a.abs_diff(b) < 12;
        // The points are the end of the file, three bytes each.
        bytes[bytes.len() % 3..]
            .chunks_exact(3)
            .filter(|p| near(p[0], 0xb0) && near(p[1], 0x10) && near(p[2], 0x1b))
            .count()
    };
    pages.map(|page| red(&std::fs::read(page).unwrap())).sum()
}

#[test]
fn marks_stand_on_the_page_and_the_original_keeps_its_bytes() {
    let (mut built, picture, original) = one_picture();
    let (_dir, bare) = write(&mut built);
    assert_eq!(red(&bare), 0);
    let marks = vec![
        arrow(100, 100, 600, 500),
        ring(550, 450, 800, 700),
        words(300, 900, "rust at the swage"),
    ];
    built.site.act(vec![draft(&picture, marks)]);
    let (_dir, folder) = write(&mut built);
    assert!(red(&folder) > 150, "{}", red(&folder));
    let flat = flat_text(&folder);
    let told = "Marked by Ann Dunmore, 2026-10-27";
    assert!(flat.contains(told), "{flat}");
    assert!(
        flat.contains("an arrow, a ring, “rust at the swage”"),
        "{flat}"
    );
    assert!(
        flat.contains("the original lies unmarked beside this document"),
        "{flat}"
    );
    let bytes = std::fs::read(fixture("orientation-6.jpg")).unwrap();
    assert_eq!(Hash::of(&bytes), original);
    let kept = folder.join(format!("photos/{original}.jpg"));
    assert_eq!(std::fs::read(kept).unwrap(), bytes);
    // The copy within the document is the one of a picture that nobody marked.
    let copies = |folder| run("pdfimages", &["-list", "handover.pdf"], folder);
    let sizes = |list: String| {
        let lines = list.lines().skip(2).map(|line| {
            let cells: Vec<&str> = line.split_whitespace().collect();
            (
                cells[3].to_owned(),
                cells[4].to_owned(),
                cells[13].to_owned(),
            )
        });
        lines.collect::<Vec<_>>()
    };
    assert_eq!(sizes(copies(&folder)), sizes(copies(&bare)));
    handover::verify(&folder, &go_on).unwrap();
    let readme = std::fs::read_to_string(folder.join("README.txt")).unwrap();
    assert!(
        readme.contains("unmarked: arrows, rings and words"),
        "{readme}"
    );
}

#[test]
fn marks_are_data_as_well() {
    let (mut built, picture, original) = one_picture();
    let marks = vec![arrow(100, 200, 600, 500), words(300, 900, "=rust, deep")];
    built.site.act(vec![draft(&picture, marks)]);
    let (_dir, folder) = write(&mut built);
    let table = std::fs::read_to_string(folder.join("data/picture-marks.csv")).unwrap();
    let lines: Vec<&str> = table.lines().collect();
    assert_eq!(lines.len(), 3, "{table}");
    let head =
        "picture,sha256,mark,kind,from_left,from_top,to_from_left,to_from_top,words,standing";
    assert!(lines[0].starts_with(head), "{table}");
    let first = format!("1,{original},1,arrow,100,200,600,500,,agreed,Ann Dunmore,");
    assert!(lines[1].starts_with(&first), "{table}");
    let second = format!("1,{original},2,words,300,900,,,\"'=rust, deep\",agreed,");
    assert!(lines[2].starts_with(&second), "{table}");
    let state = std::fs::read_to_string(folder.join("data/state.json")).unwrap();
    assert!(
        state.contains("\"=rust, deep\""),
        "the state tells them too"
    );
}

#[test]
fn marks_drawn_apart_stand_on_a_copy_each_and_marks_taken_back_on_none() {
    let (mut built, picture, _) = one_picture();
    let mut ben = built.site.second_device("Ben Tiller");
    built
        .site
        .act(vec![draft(&picture, vec![ring(100, 100, 300, 300)])]);
    let job = built.site.job;
    let other = draft(
        &picture,
        vec![arrow(100, 100, 300, 300), arrow(1, 1, 300, 300)],
    );
    ben.record.act(job, ben.person, vec![other]).unwrap();
    built.site.receive(&mut ben);
    let (_dir, folder) = write(&mut built);
    let flat = flat_text(&folder);
    for side in ["Ann Dunmore", "Ben Tiller"] {
        let told = format!("People differ on its marks; here those of {side}");
        assert!(flat.contains(&told), "{flat}");
    }
    for side in ["a ring (Ann Dunmore,", "2 arrows (Ben Tiller,"] {
        assert!(flat.contains(side), "{flat}");
    }
    assert!(red(&folder) > 150, "{}", red(&folder));
    let table = std::fs::read_to_string(folder.join("data/picture-marks.csv")).unwrap();
    assert_eq!(table.matches(",disputed,").count(), 3, "{table}");

    let over = built.site.tips(&picture, "marks", "");
    let back = Draft {
        over,
        data: records::record::value_data("", &serde_json::Value::Null),
        ..draft(&picture, Vec::new())
    };
    built.site.act(vec![back]);
    let (_dir, folder) = write(&mut built);
    assert_eq!(red(&folder), 0);
    let flat = flat_text(&folder);
    assert!(!flat.contains("unmarked beside this document"), "{flat}");
}

#[test]
fn hostile_words_stay_words() {
    let (mut built, picture, _) = one_picture();
    let marks = vec![
        words(1000, 0, "#panic()\u{202e} *x* $y$"),
        words(0, 1000, "王🔩 <b>&amp;</b> \\"),
        words(500, 500, &"W".repeat(60)),
        arrow(0, 0, 1, 0),
        ring(0, 0, 1000, 1000),
    ];
    built.site.act(vec![draft(&picture, marks)]);
    let (_dir, folder) = write(&mut built);
    let flat = flat_text(&folder);
    assert!(flat.contains("#panic()<U+202E> *x* $y$"), "{flat}");
    assert!(flat.contains("<b>&amp;</b>"), "{flat}");
}
