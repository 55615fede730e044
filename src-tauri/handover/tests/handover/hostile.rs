//! Texts of people that look like something else: markup, formulas, hidden signs, very long words.

use records::model::fields;
use records::model::values::Evidence;
use records::subject::Subject;

use crate::common::pictures::{fixture, photo};
use crate::common::{self, go_on, run, site};
use crate::text_of;

#[test]
fn hostile_texts_stay_text() {
    let evil = "#read(\"/etc/passwd\") *x* $1$ \\ <b>&amp; \u{202e}gnp\u{0007} 中文 =1+1";
    let mut built = site::build(evil);
    let post = Subject::post(built.posts[1]);
    let formula = "=HYPERLINK(\"http://x\",\"y\")".to_owned();
    let spare = built
        .site
        .new_item(records::subject::ItemKind::Batch, Vec::new());
    let batch = Subject::Item(records::subject::ItemKind::Batch, spare);
    built
        .site
        .one(common::claim(fields::BATCH_NAME, &batch, &formula));
    photo(
        &mut built.site,
        &fixture("no-offset.jpg"),
        "</text><script>\u{200b}",
        &post,
        Evidence::WideView,
    );
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    let flat = text_of(&folder)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(
        flat.contains(
            "#read(\"/etc/passwd\") *x* $1$ \\ <b>&amp; <U+202E>gnp<U+0007> <U+4E2D><U+6587> =1+1"
        ),
        "{flat}"
    );
    assert!(flat.contains("</text><script><U+200B>"));
    assert!(!flat.contains("root:"));
    let parts = std::fs::read_to_string(folder.join("data/parts.csv")).unwrap();
    assert!(parts.contains("\"'=HYPERLINK("), "{parts}");
    run(
        "unzip",
        &["-q", "data/tables.xlsx", "-d", "../sheets"],
        &folder,
    );
    let found = run(
        "sh",
        &[
            "-c",
            "cat sheets/xl/worksheets/*.xml | grep -c '<f>' || true",
        ],
        dir.path(),
    );
    assert_eq!(found.trim(), "0", "no formula in the workbook");
    handover::verify(&folder, &go_on).unwrap();
}

/// A text that tries everything at once, with a mark of its own.
fn evil(mark: usize) -> String {
    format!(
        "E{mark}E #eval(\"1\") <b>&amp; $x$ @{{y}} \u{202e}abc\u{2066} 王小明 محمد 🔩 {}",
        "x".repeat(300)
    )
}

/// Every field that takes a text, on every sort of thing: nothing of it acts, nothing is cut off
/// at the paper's edge, and what the typefaces do not have is explained once.
#[test]
fn hostile_texts_in_every_field_stay_within_their_columns() {
    let mut built = site::build("Deck and stair");
    let post = Subject::post(built.posts[1]);
    photo(
        &mut built.site,
        &fixture("no-offset.jpg"),
        "a caption",
        &post,
        Evidence::WideView,
    );
    let texts: Vec<_> = fields::ALL
        .iter()
        .filter(|f| (f.value_fits)(&serde_json::json!("any text")).is_ok())
        .filter(|f| (f.context_fits)(&serde_json::json!({})).is_ok())
        .collect();
    assert!(texts.len() >= 35, "{}", texts.len());
    let things = built.things();
    let mut said = 0;
    for (mark, field) in texts.iter().enumerate() {
        let Some(subject) = things.iter().find(|s| s.kind() == field.subject) else {
            continue;
        };
        let draft = records::record::Draft {
            kind: format!("{}.{}", field.subject.word(), field.name),
            subject: subject.to_string(),
            data: records::record::value_data("", &serde_json::json!(evil(mark))),
            over: built.site.tips(subject, field.name, ""),
            ..records::record::Draft::default()
        };
        built.site.one(draft);
        said += 1;
    }
    assert!(said >= 30, "{said} of {}", texts.len());
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    handover::verify(&folder, &go_on).unwrap();
    run("qpdf", &["--check", "handover.pdf"], &folder);
    let text = text_of(&folder);
    for mark in texts.iter().enumerate().filter_map(|(mark, f)| {
        let shown = [
            "owner",
            "certifier",
            "permit",
            "buildingClass",
            "below",
            "steel",
        ];
        shown.contains(&f.name).then_some(mark)
    }) {
        assert!(text.contains(&format!("E{mark}E")), "field {mark}");
    }
    let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        flat.contains("<U+202E>abc<U+2066> <U+738B><U+5C0F><U+660E>"),
        "{flat}"
    );
    assert!(flat.contains("<U+1F529>"), "{flat}");
    assert_eq!(flat.matches("stand for single characters").count(), 1);
    // Nothing reaches past the margins of 19 mm on a page 210 mm wide.
    let boxes = run("pdftotext", &["-bbox", "handover.pdf", "-"], &folder);
    let right = 595.3 - 19.0 / 25.4 * 72.0 + 1.0;
    let mut words = 0;
    for line in boxes.lines().filter(|l| l.contains("<word ")) {
        let at = line.split("xMax=\"").nth(1).unwrap();
        let at: f64 = at.split('"').next().unwrap().parse().unwrap();
        assert!(at <= right, "past the margin: {line}");
        words += 1;
    }
    assert!(words > 1000, "{words}");
}

#[test]
fn a_very_long_note_is_set_over_pages() {
    let mut built = site::build("Deck and stair");
    let job = built.site.job_subject();
    let note = "a long story of the day, told in full; ".repeat(100);
    built.site.one(common::claim(fields::JOB_NOTE, &job, &note));
    // In a list of facts as in a table of notes; of the widest letters, more than a page holds.
    let below = "WWWWWWWW ".repeat(440);
    built
        .site
        .one(common::claim(fields::JOB_BELOW, &job, &below));
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    let text = text_of(&folder);
    assert!(text.matches("told in").count() >= 99, "{text}");
    // Told in two places. A4 is 841.89 points high, and the foot of a page begins 20 mm above its edge.
    let boxes = run("pdftotext", &["-bbox", "handover.pdf", "-"], &folder);
    let mut words = 0;
    for line in boxes
        .lines()
        .filter(|line| line.contains(">WWWWWWWW</word>"))
    {
        let at = line.split("yMax=\"").nth(1).unwrap();
        let at: f64 = at.split('"').next().unwrap().parse().unwrap();
        assert!(at < 841.89 - 20.0 / 25.4 * 72.0, "off the page: {line}");
        words += 1;
    }
    assert!(words >= 440, "{words}");
}

#[test]
fn many_short_lines_go_on_the_next_page_in_a_fact_and_in_a_table() {
    let mut built = site::build("Harbour Lane 5");
    let dir = tempfile::tempdir().unwrap();
    let job = built.site.job_subject();
    let lines = |word: &str| -> String { (0..120).map(|n| format!("{word} {n}\n")).collect() };
    // A fact, and a note, which stands in a table of rows.
    let fact = common::claim(fields::JOB_BELOW, &job, &lines("factline"));
    let note = common::claim(fields::JOB_NOTE, &job, &lines("noteline"));
    built.site.one(fact);
    built.site.one(note);
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    let boxes = run("pdftotext", &["-bbox", "handover.pdf", "-"], &folder);
    for word in [">factline</word>", ">noteline</word>"] {
        let bottoms: Vec<f64> = boxes
            .lines()
            .filter(|line| line.contains(word))
            .map(|line| line.split("yMax=\"").nth(1).unwrap())
            .map(|at| at.split('"').next().unwrap().parse().unwrap())
            .collect();
        assert!(bottoms.len() >= 120, "{word}: {}", bottoms.len());
        // A4 is 841.89 points high, and the foot of a page begins 20 mm above its edge.
        let foot = 841.89 - 20.0 / 25.4 * 72.0;
        assert!(bottoms.iter().all(|at| *at < foot), "{word}: off the page");
    }
}

#[test]
fn names_in_other_scripts_are_printed_where_a_face_has_them() {
    let mut built = site::build("Zoë Łukasz Ωμέγα Алексей");
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("out");
    built.site.write(&folder).unwrap();
    let flat = text_of(&folder)
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    assert!(flat.contains("Zoë Łukasz Ωμέγα Алексей"), "{flat}");
    assert!(!flat.contains("stand for single characters"), "{flat}");
}

#[test]
fn a_folder_that_is_no_handover_is_called_so() {
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("holiday.jpg"), b"x").unwrap();
    for wrong in [dir.path().to_path_buf(), dir.path().join("mistyped")] {
        let fault = handover::verify(&wrong, &go_on).unwrap_err().to_string();
        assert!(fault.contains("this is no handover folder"), "{fault}");
        assert!(!fault.contains("listed"), "{fault}");
    }
}
