//! The job's data as tables, for CSV, XLSX and the attachments.
//!
//! Invariant: a number stands as a number with its unit in the column's name; a text of people is
//! a text cell, whatever it starts with. Every line of a disputed value is a row of its own.

mod checks;
mod computed;
mod marks;
mod rows;

use records::job::things::Photo;
use records::model::values::Length;

use crate::{Left, Originals, Source};

pub(crate) use checks::{crimps, ends, hung, samples, tools};
pub(crate) use computed::{holes, rule_set, take_off};
pub(crate) use marks::marks;
pub(crate) use rows::{cuts, gaps, lengths, openings, parts, tensions};

/// A table.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Table {
    /// Name of its file, without an ending.
    pub(crate) name: &'static str,
    /// What it holds, in a few words.
    pub(crate) title: &'static str,
    /// Names of the columns.
    pub(crate) head: Vec<&'static str>,
    /// Rows.
    pub(crate) rows: Vec<Vec<Cell>>,
}

/// A cell.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Cell {
    /// Text.
    Text(String),
    /// A number.
    Number(f64),
    /// Nothing.
    Empty,
}

impl From<&str> for Cell {
    fn from(text: &str) -> Self {
        Cell::Text(text.to_owned())
    }
}
impl From<String> for Cell {
    fn from(text: String) -> Self {
        Cell::Text(text)
    }
}
impl From<Length> for Cell {
    fn from(length: Length) -> Self {
        Cell::Number(length.as_mm())
    }
}
impl<T: Into<Cell>> From<Option<T>> for Cell {
    fn from(value: Option<T>) -> Self {
        value.map_or(Cell::Empty, Into::into)
    }
}

/// Every table of a job.
pub(crate) fn tables(source: &Source<'_>, left: &Originals) -> Vec<Table> {
    let job = source.job;
    vec![
        lengths(job),
        cuts(job),
        tensions(job),
        gaps(job),
        openings(job),
        hung(job),
        samples(job),
        crimps(job),
        ends(job),
        parts(job),
        tools(job),
        take_off(job),
        holes(job),
        marks(job),
        rule_set(job),
        hash_index(source, left),
    ]
}

/// A file that entries vouch for.
pub(crate) struct HashRow {
    /// Number of the picture in the document, or name of the document.
    pub(crate) name: String,
    /// `original`, `view`, `thumb` or `document`.
    pub(crate) role: &'static str,
    pub(crate) sha256: String,
    pub(crate) bytes: u64,
    /// Media type.
    pub(crate) kind: String,
    /// Whether it goes into the folder.
    pub(crate) goes: bool,
    /// What is to be said of where it is: nothing where all is well.
    pub(crate) remark: &'static str,
    pub(crate) entry: String,
    pub(crate) caption: String,
}

/// Every object of pictures and documents, originals first.
pub(crate) fn hash_rows(source: &Source<'_>, left: &Originals) -> Vec<HashRow> {
    let mut rows = Vec::new();
    for (n, photo) in source.job.photos.iter().enumerate() {
        photo_rows(source, left, n + 1, photo, &mut rows);
    }
    for document in &source.job.documents {
        for file in &document.files {
            let sha256 = file.sha256.to_string();
            rows.push(HashRow {
                name: document.name.clone(),
                role: "document",
                goes: left.left(&sha256).is_none(),
                remark: left.left(&sha256).map_or("", Left::words),
                sha256,
                bytes: file.bytes,
                kind: file.kind.clone(),
                entry: document.entry.to_string(),
                caption: document.name.clone(),
            });
        }
    }
    rows
}

fn photo_rows(
    source: &Source<'_>,
    left: &Originals,
    number: usize,
    photo: &Photo,
    rows: &mut Vec<HashRow>,
) {
    let roles = ["original", "view", "thumb"];
    for (file, role) in photo.files.iter().zip(roles) {
        let sha256 = file.sha256.to_string();
        let original = role == "original";
        let remark = match (original, left.left(&sha256)) {
            (true, Some(why)) => why.words(),
            (false, _) if !here(source, &sha256) => Left::NotHere.words(),
            _ => "",
        };
        rows.push(HashRow {
            name: number.to_string(),
            role,
            goes: original && left.left(&sha256).is_none(),
            remark,
            sha256,
            bytes: file.bytes,
            kind: file.kind.clone(),
            entry: photo.entry.to_string(),
            caption: photo.caption.clone(),
        });
    }
}

fn here(source: &Source<'_>, sha256: &str) -> bool {
    matches!(
        records::photos::find(source.photos_dir, sha256),
        Ok(Some(_))
    )
}

fn hash_index(source: &Source<'_>, left: &Originals) -> Table {
    let rows = hash_rows(source, left)
        .into_iter()
        .map(|r| {
            #[allow(clippy::cast_precision_loss)] // files stay far below 2^53 bytes
            let bytes = Cell::Number(r.bytes as f64);
            let in_folder = if r.goes { "yes" } else { "no" };
            vec![
                r.name.into(),
                r.role.into(),
                r.sha256.into(),
                bytes,
                r.kind.into(),
                in_folder.into(),
                r.entry.into(),
                r.caption.into(),
            ]
        })
        .collect();
    Table {
        name: "hash-index",
        title: "Pictures and documents with their hashes",
        head: vec![
            "picture",
            "role",
            "sha256",
            "bytes",
            "file",
            "in_folder",
            "entry",
            "caption",
        ],
        rows,
    }
}
