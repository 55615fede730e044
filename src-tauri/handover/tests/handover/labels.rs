//! Labels of wires, read back with poppler.

use std::path::Path;

use handover::{HandoverError, LabelsAsk, PaperSize, labels, write_labels};
use records::work::CutLabel;

use crate::common::{MADE, run};

fn label(wire: &str, length_mm: f64, end: &str) -> CutLabel {
    CutLabel {
        wire: wire.into(),
        length_mm,
        window_mm: Some((length_mm - 11.34, length_mm + 10.94)),
        end: end.into(),
        from: "reel R-1".into(),
        number: Some(3),
        trial: false,
    }
}

const MM: LabelsAsk = LabelsAsk {
    paper: PaperSize::A4,
    inches: false,
};

fn text(dir: &Path) -> String {
    let text = run("pdftotext", &["-layout", "l.pdf", "-"], dir);
    text.replace('\u{200B}', "")
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ")
}

/// Left, right and upper edge of each word, in points.
fn words_at(dir: &Path) -> Vec<(f64, f64, f64)> {
    let boxes = run("pdftotext", &["-bbox", "l.pdf", "-"], dir);
    let words = boxes.lines().filter(|l| l.contains("<word "));
    words
        .map(|line| {
            let edge = |name: &str| -> f64 {
                let at = line.split(&format!("{name}=\"")).nth(1).unwrap();
                at.split('"').next().unwrap().parse().unwrap()
            };
            (edge("xMin"), edge("xMax"), edge("yMin"))
        })
        .collect()
}

/// The foot runs across the sheet.
fn on_labels((_, _, top): &(f64, f64, f64)) -> bool {
    *top < 740.0
}

#[test]
fn a_label_says_wire_length_and_hand_of_the_first_end() {
    let dir = tempfile::tempdir().unwrap();
    let mut all: Vec<CutLabel> = (1..=28)
        .map(|n| label(&format!("A{n}"), 7235.0, "A1:LH"))
        .collect();
    all[5].trial = true;
    all[27].number = None;
    let file = dir.path().join("l.pdf");
    let bytes = write_labels(
        &file,
        "Deck and stair",
        Some("Rules changed."),
        &all,
        MM,
        MADE,
    )
    .unwrap();
    assert_eq!(std::fs::metadata(&file).unwrap().len(), bytes as u64);
    let text = text(dir.path());
    for n in 1..=28 {
        assert!(text.contains(&format!("A{n} 7235 A1:LH")), "{n}: {text}");
    }
    assert_eq!(text.matches("Deck and stair").count(), 28);
    assert_eq!(text.matches("7223.7 to 7245.9 mm").count(), 28);
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
fn labels_come_in_inches_and_on_letter_paper() {
    let dir = tempfile::tempdir().unwrap();
    let all: Vec<CutLabel> = (1..=25)
        .map(|n| label(&format!("A{n}"), 7235.0, "A1:LH"))
        .collect();
    let ask = LabelsAsk {
        paper: PaperSize::Letter,
        inches: true,
    };
    let pdf = labels("Deck and stair", None, &all, ask, MADE).unwrap();
    std::fs::write(dir.path().join("l.pdf"), pdf).unwrap();
    let text = text(dir.path());
    for n in 1..=25 {
        assert!(text.contains(&format!("A{n} 284 27/32 in A1:LH")), "{text}");
    }
    assert_eq!(
        text.matches("284 13/32 to 285 1/4 in").count(),
        25,
        "{text}"
    );
    assert_eq!(text.matches("nearest 1/32 in").count(), 2, "{text}");
    assert!(!text.contains("7235"), "{text}");
    let info = run("pdfinfo", &["l.pdf"], dir.path());
    assert!(info.contains("612 x 792 pts (letter)"), "{info}");
    // Twenty-four to a page.
    assert!(text.contains("2 of 2"), "{text}");
    let mut seen = 0;
    for (from, to, _) in words_at(dir.path()).into_iter().filter(on_labels) {
        seen += 1;
        // 9 mm of margin, then 66 mm a label of 215.9 mm of paper, in points.
        let third = |x: f64| ((x - 25.51) / 187.0).floor();
        assert!(
            to < 612.0 - 25.5 && third(from) == third(to - 0.1),
            "{from} {to}"
        );
    }
    assert!(seen > 200);
}

#[test]
fn a_file_that_is_there_is_left_as_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("l.pdf");
    std::fs::write(&file, "mine").unwrap();
    let refused = write_labels(
        &file,
        "Deck",
        None,
        &[label("A1", 7231.0, "A1:LH")],
        MM,
        MADE,
    );
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
    let mut odd = label(evil, 7235.0, "A1:LH");
    odd.from = long.clone();
    let all = [odd, label(&long, 20.0, &long), label("A2", 7232.0, "A1:LH")];
    std::fs::write(
        dir.path().join("l.pdf"),
        labels(&format!("{evil}{long}"), None, &all, MM, MADE).unwrap(),
    )
    .unwrap();
    let text = text(dir.path());
    assert!(text.contains("#read(\"/etc/passwd\")"), "{text}");
    assert!(text.contains("<U+202E>"), "{text}");
    assert!(!text.contains("root:"));
    assert!(text.contains("A2 7232 A1:LH"), "{text}");
    assert!(text.contains("stand for single characters"));
    // Every word lies on the sheet and in the third of it where its label is.
    let mut seen = 0;
    for (from, to, _) in words_at(dir.path()).into_iter().filter(on_labels) {
        seen += 1;
        // 9 mm of margin, then 64 mm a label, in points.
        let third = |x: f64| ((x - 25.51) / 181.42).floor();
        assert_eq!(third(from), third(to - 0.1), "{from} {to}");
    }
    assert!(seen > 20);
}
