//! Labels for cut wires as a PDF: "A6 7235 A1:LH", three across, nine down.
//!
//! Invariant: names reach the sheet as data, and none runs out of its own label.

use std::fs::{self, OpenOptions};
use std::io::Write as _;
use std::path::Path;

use records::entry::At;
use records::work::CutLabel;
use serde::Serialize;
use typst::foundations::{Bytes, Dict, IntoValue};

use super::{fonts, set};
use crate::HandoverError;

const TEMPLATE: &str = include_str!("labels.typ");

#[derive(Serialize)]
struct Sheet<'a> {
    title: &'a str,
    rules: Option<&'a str>,
    labels: Vec<Told>,
}

#[derive(Serialize)]
struct Told {
    line: String,
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
    made: At,
) -> Result<Vec<u8>, HandoverError> {
    let sheet = Sheet {
        title,
        rules,
        labels: labels.iter().map(told).collect(),
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

fn told(label: &CutLabel) -> Told {
    let parts = [&label.wire, &label.length, &label.end];
    let line: Vec<&str> = parts
        .iter()
        .map(|part| part.as_str())
        .filter(|part| !part.is_empty())
        .collect();
    let about = [
        label.number.map(|number| format!("cut {number}")),
        (!label.from.is_empty()).then(|| format!("from {}", label.from)),
        label.trial.then(|| "trial wire".to_owned()),
    ];
    Told {
        line: line.join(" "),
        about: about.into_iter().flatten().collect::<Vec<_>>().join(" · "),
    }
}

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
    made: At,
) -> Result<usize, HandoverError> {
    if file.exists() {
        return Err(HandoverError::Taken(file.to_path_buf()));
    }
    let bytes = labels(title, rules, of, made)?;
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
