//! Labels of wires, read back with poppler.

use std::path::Path;

use handover::{HandoverError, LabelsAsk, PaperSize, labels, write_labels};
use records::work::CutLabel;

use crate::common::{MADE, run};

fn label(wire: &str, length_mm: f64, end: &str) -> CutLabel {
    CutLabel {
        run: wire.trim_end_matches(|c: char| c.is_ascii_digit()).into(),
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
        assert!(text.contains(&format!("A{n} 284 13/16 in A1:LH")), "{text}");
    }
    assert_eq!(text.matches("284 7/16 to 285 1/4 in").count(), 25, "{text}");
    assert_eq!(text.matches("nearest 1/16 in").count(), 2, "{text}");
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
    let mut odd = label(&format!("{evil}7"), 7235.0, "A1:LH");
    odd.from = long.clone();
    let mut longest = label(&format!("{long}12"), 20.0, &format!("{long}:RH"));
    longest.window_mm = None;
    let all = [odd, longest, label("A2", 7232.0, "A1:LH")];
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
    let labels = by_label(dir.path(), 595.28, 9);
    assert!(labels[0].contains("7 7235 A1:LH"), "{labels:?}");
    assert!(
        labels[1].contains("…WW12 20") && labels[1].contains(":RH"),
        "{labels:?}"
    );
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

/// What stands on each label, from the first, by where each word lies; every word lies within one of them. So many
/// rows of 29.8 mm below a margin of 10 mm, three columns between margins of 9 mm.
fn by_label(dir: &Path, paper: f64, rows: usize) -> Vec<String> {
    const PT: f64 = 72.0 / 25.4;
    let boxes = run("pdftotext", &["-bbox", "l.pdf", "-"], dir);
    let mut labels: Vec<Vec<(i64, i64, String)>> = vec![Vec::new(); rows * 3];
    for line in boxes.lines().filter(|l| l.contains("<word ")) {
        let edge = |name: &str| -> f64 {
            let at = line.split(&format!("{name}=\"")).nth(1).unwrap();
            at.split('"').next().unwrap().parse().unwrap()
        };
        let column = |x: f64| ((x - 9.0 * PT) / ((paper - 18.0 * PT) / 3.0)).floor();
        let row = |y: f64| ((y - 10.0 * PT) / (29.8 * PT)).floor();
        let at = (row(edge("yMin")), column(edge("xMin")));
        if at.0 >= rows as f64 {
            continue;
        }
        assert_eq!(at, (row(edge("yMax")), column(edge("xMax"))), "{line}");
        // What a line of 6 pt takes of its face: nothing is set smaller.
        let height = edge("yMax") - edge("yMin");
        assert!(height >= 6.0, "{line}");
        let text = line.split('>').nth(1).unwrap().split('<').next().unwrap();
        let text = text
            .replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&quot;", "\"");
        let text = text.replace('\u{200B}', "");
        let (line, along) = (edge("yMin").round() as i64, edge("xMin").round() as i64);
        labels[at.0 as usize * 3 + at.1 as usize].push((line, along, text));
    }
    let read = |mut words: Vec<(i64, i64, String)>| {
        words.sort();
        let words: Vec<String> = words.into_iter().map(|(.., text)| text).collect();
        words.join(" ")
    };
    labels.into_iter().map(read).collect()
}

/// A name of so many letters that ends otherwise than it begins.
fn name_of(letters: usize) -> String {
    let words = "Upper terrace, garden side by the kitchen door ";
    words
        .repeat(5)
        .chars()
        .take(letters)
        .collect::<String>()
        .trim()
        .to_owned()
}

#[test]
fn a_long_name_of_a_run_gives_way_and_wire_length_end_and_hand_stand_in_full() {
    let stair = "Stair to garden (lower flight)";
    assert_eq!(stair.chars().count(), 30);
    let rtl = "\u{5de}\u{5d3}\u{5e8}\u{5d2}\u{5d5}\u{5ea} ".repeat(9);
    let names = [
        "A".to_owned(),
        stair.to_owned(),
        name_of(46),
        name_of(200),
        "W".repeat(200),
        "中".repeat(120),
        rtl,
        "#panic() *x* $1$ \u{202e}gnp ".repeat(6),
    ];
    let of_name = |name: &String| {
        let mut one = label(&format!("{name}10"), 7236.0, "A1:LH");
        (one.run, one.trial) = (name.clone(), true);
        let mut piece = label(&format!("{name}112 piece 2"), 7235.4, "Gate post north:eye");
        piece.run = name.clone();
        [one, piece]
    };
    let all: Vec<CutLabel> = names.iter().flat_map(of_name).collect();
    for (paper, width, rows) in [(PaperSize::A4, 595.28, 9), (PaperSize::Letter, 612.0, 8)] {
        for (inches, whole, part) in [
            (false, "10 7236 A1:LH", "7235.4"),
            (true, "10 284 7/8 in A1:LH", "284 7/8 in"),
        ] {
            let dir = tempfile::tempdir().unwrap();
            let ask = LabelsAsk { paper, inches };
            let pdf = labels("Deck and stair", None, &all, ask, MADE).unwrap();
            std::fs::write(dir.path().join("l.pdf"), pdf).unwrap();
            let labels = by_label(dir.path(), width, rows);
            for (at, name) in names.iter().enumerate() {
                let (one, piece) = (&labels[at * 2], &labels[at * 2 + 1]);
                assert!(one.contains(whole), "{name}: {one}");
                assert!(one.contains("trial wire"), "{name}: {one}");
                assert!(
                    piece.contains(&format!("112 piece 2 {part} Gate post north:eye")),
                    "{name}: {piece}"
                );
                assert_eq!(
                    one.contains('…'),
                    name.chars().count() > 20,
                    "{name}: {one}"
                );
            }
            // What is left of a name tells runs apart that begin alike, and the whole stands below where it fits.
            assert!(labels[2].starts_with("Stair"), "{}", labels[2]);
            assert!(labels[2].contains(stair), "{}", labels[2]);
            assert!(labels[4].contains(&name_of(46)), "{}", labels[4]);
        }
    }
}

#[test]
fn a_long_name_of_a_post_wraps_and_the_hand_stands() {
    let post = name_of(120);
    let mut one = label("Lower terrace12", 7236.0, &format!("{post}:RH"));
    one.run = "Lower terrace".to_owned();
    let dir = tempfile::tempdir().unwrap();
    let pdf = labels("Deck", None, &[one], MM, MADE).unwrap();
    std::fs::write(dir.path().join("l.pdf"), pdf).unwrap();
    let labels = by_label(dir.path(), 595.28, 9);
    assert!(labels[0].contains("Lower terrace12 7236"), "{}", labels[0]);
    assert!(labels[0].contains(&format!("{post}:RH")), "{}", labels[0]);
}
