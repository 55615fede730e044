//! Labels of wires, read back with poppler.

use std::path::Path;

use handover::{HandoverError, labels, write_labels};
use records::work::CutLabel;

use crate::common::{MADE, run};

fn label(wire: &str, length: &str, end: &str) -> CutLabel {
    CutLabel {
        wire: wire.into(),
        length: length.into(),
        end: end.into(),
        from: "reel R-1".into(),
        number: Some(3),
        trial: false,
    }
}

fn text(dir: &Path) -> String {
    let text = run("pdftotext", &["-layout", "l.pdf", "-"], dir);
    text.replace('\u{200B}', "")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn a_label_says_wire_length_and_hand_of_the_first_end() {
    let dir = tempfile::tempdir().unwrap();
    let mut all: Vec<CutLabel> = (1..=28)
        .map(|n| label(&format!("A{n}"), "7235", "A1:LH"))
        .collect();
    all[5].trial = true;
    all[27].number = None;
    let file = dir.path().join("l.pdf");
    let bytes = write_labels(&file, "Deck and stair", Some("Rules changed."), &all, MADE).unwrap();
    assert_eq!(std::fs::metadata(&file).unwrap().len(), bytes as u64);
    let text = text(dir.path());
    for n in 1..=28 {
        assert!(text.contains(&format!("A{n} 7235 A1:LH")), "{n}: {text}");
    }
    assert_eq!(text.matches("Deck and stair").count(), 28);
    assert_eq!(text.matches("trial wire").count(), 1);
    assert_eq!(text.matches("cut 3").count(), 27);
    assert_eq!(
        text.matches("Rules changed.").count(),
        2,
        "at the foot of both: {text}"
    );
    // Twenty-seven to a page.
    let info = run("pdfinfo", &["l.pdf"], dir.path());
    let pages = info.lines().find(|l| l.starts_with("Pages:")).unwrap();
    assert_eq!(pages.split_whitespace().last(), Some("2"), "{info}");
    assert!(text.contains("2 of 2"), "{text}");
}

#[test]
fn a_file_that_is_there_is_left_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("l.pdf");
    std::fs::write(&file, "mine").unwrap();
    let refused = write_labels(&file, "Deck", None, &[label("A1", "7231", "A1:LH")], MADE);
    assert!(
        matches!(refused, Err(HandoverError::Taken(_))),
        "{refused:?}"
    );
    assert_eq!(std::fs::read_to_string(&file).unwrap(), "mine");
}

#[test]
fn hostile_names_stay_text_within_their_own_label() {
    let evil = "#read(\"/etc/passwd\") *x* $1$ <b> \u{202e}gnp 中文";
    let long = "W".repeat(400);
    let dir = tempfile::tempdir().unwrap();
    let mut odd = label(evil, "7235", "A1:LH");
    odd.from = long.clone();
    let all = [odd, label(&long, "1", &long), label("A2", "7232", "A1:LH")];
    std::fs::write(
        dir.path().join("l.pdf"),
        labels(&format!("{evil}{long}"), None, &all, MADE).unwrap(),
    )
    .unwrap();
    let text = text(dir.path());
    assert!(text.contains("#read(\"/etc/passwd\")"), "{text}");
    assert!(text.contains("<U+202E>"), "{text}");
    assert!(!text.contains("root:"));
    assert!(text.contains("A2 7232 A1:LH"), "{text}");
    assert!(text.contains("stand for single characters"));
    // Every word lies on the sheet and in the third of it where its label is.
    let boxes = run("pdftotext", &["-bbox", "l.pdf", "-"], dir.path());
    let mut seen = 0;
    for line in boxes.lines().filter(|l| l.contains("<word ")) {
        let edge = |name: &str| -> f64 {
            let at = line.split(&format!("{name}=\"")).nth(1).unwrap();
            at.split('"').next().unwrap().parse().unwrap()
        };
        let (from, to, top) = (edge("xMin"), edge("xMax"), edge("yMin"));
        // The foot runs across the sheet.
        if top > 780.0 {
            continue;
        }
        seen += 1;
        // 9 mm of margin, then 64 mm a label, in points.
        let third = |x: f64| ((x - 25.51) / 181.42).floor();
        assert_eq!(third(from), third(to - 0.1), "{line}");
    }
    assert!(seen > 20, "{boxes}");
}
