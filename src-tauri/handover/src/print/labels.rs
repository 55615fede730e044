//! Labels for cut wires as a PDF: "A6 7235 A1:LH", three across.
//!
//! Invariant: names reach the sheet as data, and none runs out of its own label; a long name gives way, and the
//! wire's number, its length, its end and the hand never; a length in inches that would leave its window is told in
//! millimetres.

use std::fs::{self, OpenOptions};
use std::io::Write as _;
use std::path::Path;

use mechanics::Millimetres;
use records::entry::At;
use records::work::{self, CutLabel};
use serde::Serialize;
use typst::foundations::{Bytes, Dict, IntoValue};

use super::{fonts, set};
use crate::{HandoverError, PaperSize};

const TEMPLATE: &str = include_str!("labels.typ");

/// How labels are wanted.
#[derive(Clone, Copy, Debug, Default)]
pub struct LabelsAsk {
    /// The paper.
    pub paper: PaperSize,
    /// Lengths told in inches, to the nearest sixteenth, as on screens.
    pub inches: bool,
}

#[derive(Serialize)]
struct Sheet<'a> {
    title: &'a str,
    rules: Option<&'a str>,
    paper: &'static str,
    unit: &'static str,
    labels: Vec<Told>,
}

#[derive(Serialize)]
struct Told {
    /// Name of the run, letter by letter, so that none of a mark for one is left when it is shortened.
    run: Vec<String>,
    /// What follows it: number and piece.
    wire: String,
    length: String,
    /// Name of the post at the first end, letter by letter.
    post: Vec<String>,
    /// Its hand or kind; empty where it is not known.
    hand: String,
    window: String,
    about: String,
}

/// Sets labels, in the order given; `title` is the job's, `rules` what the foot says of a rule set that
/// its users changed.
///
/// # Errors
/// [`HandoverError::Document`] with what the typesetter said.
pub fn labels(
    title: &str,
    rules: Option<&str>,
    labels: &[CutLabel],
    ask: LabelsAsk,
    made: At,
) -> Result<Vec<u8>, HandoverError> {
    let sheet = Sheet {
        title,
        rules,
        paper: match ask.paper {
            PaperSize::A4 => "a4",
            PaperSize::Letter => "us-letter",
        },
        unit: if ask.inches { "in" } else { "mm" },
        labels: labels.iter().map(|label| told(label, ask.inches)).collect(),
    };
    let fonts = fonts::fonts();
    let mut model =
        serde_json::to_value(&sheet).map_err(|e| HandoverError::Document(e.to_string()))?;
    let strange = fonts::fit(&mut model, &fonts);
    let mut inputs = Dict::new();
    inputs.insert(
        "document".into(),
        Bytes::new(model.to_string().into_bytes()).into_value(),
    );
    inputs.insert("strange".into(), strange.into_value());
    set(TEMPLATE, fonts, inputs, made)
}

fn told(label: &CutLabel, inches: bool) -> Told {
    let letters = |name: &str| name.chars().map(String::from).collect();
    let of_run = label.wire.strip_prefix(&label.run);
    let (post, hand) = label.end.rsplit_once(':').unwrap_or(("", &label.end));
    let about = [
        label.number.map(|number| format!("cut {number}")),
        label.trial.then(|| "trial wire".to_owned()),
        (!label.from.is_empty()).then(|| format!("from {}", label.from)),
    ];
    let window = label.window_mm.map(|(from, to)| window(from, to, inches));
    Told {
        run: letters(of_run.map_or("", |_| &label.run)),
        wire: of_run.unwrap_or(&label.wire).to_owned(),
        length: length(label, inches),
        post: letters(post),
        hand: hand.to_owned(),
        window: window.unwrap_or_default(),
        about: about.into_iter().flatten().collect::<Vec<_>>().join(" · "),
    }
}

/// "7235", "284 13/16 in"; in millimetres with their unit where the nearest sixteenth leaves the window.
fn length(label: &CutLabel, inches: bool) -> String {
    let mm = format!("{:.1}", label.length_mm);
    let mm = mm.strip_suffix(".0").unwrap_or(&mm);
    if !inches {
        return mm.to_owned();
    }
    let nearest = (label.length_mm / SIXTEENTH).round() * SIXTEENTH;
    let holds = |(from, to): (f64, f64)| (from..=to).contains(&nearest);
    match label.window_mm.is_none_or(holds) {
        true => Millimetres(nearest).in_inches(),
        false => format!("{mm} mm"),
    }
}

/// Shortest and longest, each rounded into the window: "7223.7 to 7245.9 mm", "284 7/16 to 285 1/4 in".
fn window(shortest: f64, longest: f64, inches: bool) -> String {
    let steps = ((shortest / SIXTEENTH).ceil(), (longest / SIXTEENTH).floor());
    if inches && steps.0 <= steps.1 {
        let told = |steps: f64| Millimetres(steps * SIXTEENTH).in_inches();
        let from = told(steps.0);
        let from = from.strip_suffix(" in").unwrap_or(&from);
        return format!("{from} to {}", told(steps.1));
    }
    let (from, to) = work::words::window(shortest, longest);
    format!("{from} to {to} mm")
}

/// Of an inch, in millimetres.
const SIXTEENTH: f64 = 25.4 / 16.0;

/// Writes labels to a new file; gives its size in bytes.
///
/// # Errors
/// [`HandoverError::Taken`] where there is a file of that name, which is left as it is;
/// [`HandoverError::Document`]; errors of files. Nothing half-written is left.
pub fn write_labels(
    file: &Path,
    title: &str,
    rules: Option<&str>,
    of: &[CutLabel],
    ask: LabelsAsk,
    made: At,
) -> Result<usize, HandoverError> {
    if file.exists() {
        return Err(HandoverError::Taken(file.to_path_buf()));
    }
    let bytes = labels(title, rules, of, ask, made)?;
    if let Some(parent) = file.parent().filter(|p| !p.as_os_str().is_empty()) {
        fs::create_dir_all(parent).map_err(HandoverError::file("make", parent))?;
    }
    let mut out = OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(file)
        .map_err(HandoverError::file("write", file))?;
    let written = out.write_all(&bytes).and_then(|()| out.sync_all());
    if let Err(error) = written {
        // The first error says more than that of tidying up.
        let _ = fs::remove_file(file);
        return Err(HandoverError::file("write", file)(error));
    }
    Ok(bytes.len())
}

#[cfg(test)]
mod tests {
    use super::{length, window};
    use records::work::CutLabel;

    #[test]
    fn inches_stay_in_the_window_that_they_tell() {
        let label = |length_mm: f64, window_mm| CutLabel {
            run: "A".into(),
            wire: "A6".into(),
            length_mm,
            window_mm,
            end: String::new(),
            from: String::new(),
            number: None,
            trial: false,
        };
        let wide = Some((7223.66, 7245.94));
        assert_eq!(length(&label(7235.0, wide), false), "7235");
        assert_eq!(length(&label(7235.4, None), false), "7235.4");
        // 7235 ÷ 25.4 · 16 = 4557.48: 4557 sixteenths.
        assert_eq!(length(&label(7235.0, wide), true), "284 13/16 in");
        assert_eq!(length(&label(7235.0, None), true), "284 13/16 in");
        // The nearest, 7234.24 mm, is shorter than what works.
        let narrow = Some((7234.9, 7235.01));
        assert_eq!(length(&label(7235.0, narrow), true), "7235 mm");
        assert_eq!(window(7223.66, 7245.94, false), "7223.7 to 7245.9 mm");
        // 4550.3 and 4564.4 sixteenths: 4551 and 4564.
        assert_eq!(window(7223.66, 7245.94, true), "284 7/16 to 285 1/4 in");
        assert_eq!(window(7234.9, 7235.01, true), "7234.9 to 7235.0 mm");
    }
}
