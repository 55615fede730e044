//! Lengths as a table: comma, semicolon or tab between, decimal commas, BOM and CRLF welcome.
//!
//! Invariant: a row is one reading, taken whole or refused with its line; the separator is the one
//! for which the first line names run, wire and length.

use std::collections::BTreeMap;

use super::error::SurveyError;
use super::facts::{LengthRow, Survey};
use super::object::{Bounds, length_of, text_of, word_of};
use super::problem::{Log, Outcome, shown};
use crate::model::context::LengthRead;
use crate::model::entered::LengthUnit;
use crate::model::values::{Faces, Instrument, PostState, Purpose};
use crate::subject::MOST_WIRES;

/// Columns that are known, in the order that is recommended.
pub const COLUMNS: [&str; 9] = [
    "run",
    "wire",
    "length",
    "unit",
    "purpose",
    "posts",
    "faces",
    "instrument",
    "tool",
];

/// Reads a table of lengths.
pub(crate) fn lengths(text: &str, log: &Log) -> Result<Survey, SurveyError> {
    // Lines may end in any of three ways; a lone \r is one of them.
    let text = &text.replace("\r\n", "\n").replace('\r', "\n");
    let (separator, header) = header(text)?;
    let mut columns = BTreeMap::new();
    for (at, name) in header.iter().enumerate() {
        match COLUMNS.iter().find(|known| *known == name) {
            Some(known) => {
                if columns.insert(*known, at).is_some() {
                    return Err(SurveyError::ColumnTwice(name.clone()));
                }
            }
            None if name.is_empty() => {}
            None => log.say(
                &format!("line 1, {}", shown(name)),
                Outcome::Ignored,
                "is a column that is not known here and was left out",
            ),
        }
    }
    let mut survey = Survey {
        table: true,
        ..Survey::default()
    };
    let mut any = false;
    for (line, row) in (2..).zip(text.lines().skip(1)) {
        let row = cells(row, separator);
        if row.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        any = true;
        if row.iter().any(|cell| cell.contains('\n')) {
            log.refuse(
                &format!("line {line}"),
                "has a quote that opens a cell and is not closed in this line",
            );
            continue;
        }
        if row.len() != header.len() {
            log.refuse(
                &format!("line {line}"),
                format!(
                    "has {} cells where the first line has {}; a decimal comma needs semicolons \
                     or tabs between the cells",
                    row.len(),
                    header.len()
                ),
            );
            continue;
        }
        let cell = |name: &str| {
            columns
                .get(name)
                .and_then(|at| row.get(*at))
                .map_or("", str::trim)
        };
        survey.lengths.extend(reading(&cell, line, log));
    }
    if !any {
        return Err(SurveyError::NoRows);
    }
    Ok(survey)
}

/// The cells of one line. A row is a line: a quote that is not closed takes no other line with it, and
/// its cell ends with the line's own end.
fn cells(line: &str, separator: u8) -> csv::StringRecord {
    let mut row = csv::StringRecord::new();
    let line = format!("{line}\n");
    // In memory and in UTF-8 there is nothing to fail; an empty line has no cells.
    let _ = csv::ReaderBuilder::new()
        .delimiter(separator)
        .flexible(true)
        .has_headers(false)
        .buffer_capacity(line.len())
        .from_reader(line.as_bytes())
        .read_record(&mut row);
    row
}

/// The separator and the names of the columns.
fn header(text: &str) -> Result<(u8, Vec<String>), SurveyError> {
    let first = text.lines().next().unwrap_or_default();
    for separator in [b';', b'\t', b','] {
        let names: Vec<String> = first
            .split(char::from(separator))
            .map(|name| name.trim().trim_matches('"').trim().to_lowercase())
            .collect();
        let has = |name: &str| names.iter().any(|n| n == name);
        if has("run") && has("wire") && has("length") {
            return Ok((separator, names));
        }
    }
    Err(SurveyError::NoHeader)
}

fn reading<'r>(cell: &impl Fn(&str) -> &'r str, line: u64, log: &Log) -> Option<LengthRow> {
    let path = format!("line {line}");
    let at = |name: &str| format!("{path}, {name}");
    let before = log.refused();
    let must = |name: &str| {
        let text = cell(name);
        if text.is_empty() {
            log.refuse(&at(name), "is missing");
            return None;
        }
        text_of(text, &at(name), log)
    };
    let run = must("run");
    let wire = must("wire").and_then(|text| {
        let number = text.parse::<u32>().ok();
        let number = number.filter(|n| (1..=MOST_WIRES).contains(n));
        if number.is_none() {
            let message = format!("{:?} is no wire from 1 to {MOST_WIRES}", shown(&text));
            log.refuse(&at("wire"), message);
        }
        number
    });
    let unit = match cell("unit") {
        "" | "mm" => Some(LengthUnit::Millimetres),
        "in" => Some(LengthUnit::Inches),
        other => {
            let message = format!("{:?} is no unit here; write mm or in", shown(other));
            log.refuse(&at("unit"), message);
            None
        }
    };
    let length = must("length")
        .zip(unit)
        .and_then(|(text, unit)| length_of(&text, unit, Bounds::Size, &at("length"), log));
    let purpose = must("purpose").and_then(|t| word_of(Purpose::ALL, &t, &at("purpose"), log));
    let posts = must("posts").and_then(|t| word_of(PostState::ALL, &t, &at("posts"), log));
    let faces = must("faces").and_then(|t| word_of(Faces::ALL, &t, &at("faces"), log));
    let instrument =
        must("instrument").and_then(|t| word_of(Instrument::ALL, &t, &at("instrument"), log));
    let tool = Some(cell("tool").to_owned()).filter(|t| !t.is_empty());
    let length = length?;
    (log.refused() == before).then_some(LengthRow {
        run: run?,
        wire: wire?,
        length: length.length,
        with: LengthRead {
            entered: Some(length.entered),
            purpose: purpose?,
            posts: posts?,
            faces: faces?,
            proud_nm: None,
            instrument: instrument?,
            tool: None,
            spread_nm: None,
            reason: None,
        },
        tool,
        path,
    })
}
