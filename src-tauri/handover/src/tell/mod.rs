//! The document as a model: sections of plain blocks, made from the record.
//!
//! Owns what the document says and in which order. Invariant: every text of people is data; a
//! decision prints the numbers it was told; nothing here judges whether a barrier will do. How it
//! looks is decided in `print`.

mod asked;
mod barrier;
mod cautions;
mod close;
mod cuts;
mod deflection;
mod disputes;
mod earlier;
mod evidence;
mod found;
mod holes;
mod later;
mod marked;
mod materials;
mod open;
mod openings;
mod parts;
mod posts;
mod reading;
mod rounds;
mod said;
mod second_end;
mod signed;
mod summary;
mod tension;
mod wires;
pub(crate) mod words;

use std::collections::BTreeMap;

use records::ids::Hash;
use records::job::things::Photo;
use records::model::values::{Evidence, Mark};
use serde::Serialize;

use crate::drawing::{self, States};
use crate::{Originals, Source, visible};
use reading::Reading;

/// Number of the section of data and hashes, the last.
const DATA: usize = 18;

/// The whole document.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Document {
    /// Title.
    pub title: String,
    /// Title of the job and its address.
    pub job: String,
    /// Address.
    pub place: String,
    /// When and by whom it was made, with the program.
    pub made: String,
    /// Sections in the inspector's order.
    pub sections: Vec<Section>,
}

/// A section.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Section {
    /// Heading.
    pub title: String,
    /// Whether it starts a page.
    pub new_page: bool,
    /// What it holds.
    pub blocks: Vec<Block>,
}

/// A block of a section.
#[derive(Clone, Debug, Serialize)]
#[serde(tag = "kind", rename_all = "camelCase")]
pub enum Block {
    /// A heading within the section.
    Head {
        /// The heading.
        text: String,
    },
    /// Names with their values.
    Facts {
        /// The rows.
        rows: Vec<Fact>,
    },
    /// A table.
    Table {
        /// Heads of the columns.
        head: Vec<String>,
        /// Widths of the columns against each other.
        widths: Vec<f64>,
        /// Rows.
        rows: Vec<Row>,
    },
    /// A paragraph.
    Text {
        /// The paragraph.
        text: String,
        /// Whether it is a remark in small type.
        small: bool,
    },
    /// A list.
    List {
        /// Its points.
        items: Vec<String>,
    },
    /// Open items on the first page, folded where they leave no room for who signed; what finds no
    /// room even so is counted.
    Open {
        /// All of them, the weightiest first.
        items: Vec<String>,
        /// The same ever shorter: like items told together in one line each, the least grave first.
        folded: Vec<Vec<String>>,
        /// Where the whole list stands.
        whole: String,
    },
    /// The same items, printed only where the first page could not hold all of them.
    OpenWhole {
        /// All of them.
        items: Vec<String>,
    },
    /// Blocks that stay on one page where a page holds them.
    Together {
        /// The blocks.
        blocks: Vec<Block>,
    },
    /// A caution.
    Caution {
        /// What to do.
        text: String,
    },
    /// A run's drawing, as SVG.
    Drawing {
        /// The picture.
        svg: String,
        /// What it shows, for who can't see it.
        alt: String,
        /// What stands below.
        caption: String,
    },
    /// Pictures.
    Photos {
        /// The pictures.
        items: Vec<Picture>,
    },
}

/// A name with its value.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Fact {
    /// Name.
    pub name: String,
    /// Value, with unit.
    pub value: String,
    /// Origin, or what else belongs to it.
    pub note: String,
}

/// A row of a table.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Row {
    /// Cells.
    pub cells: Vec<String>,
    /// Whether it must be seen: set in bold with a sign before it.
    pub marked: bool,
}

/// A picture with what is known of it.
#[derive(Clone, Debug, Serialize)]
#[serde(rename_all = "camelCase")]
pub struct Picture {
    /// Hash of the original, under which the embedded picture is found.
    pub sha256: String,
    /// Number in this document.
    pub number: usize,
    /// What it shows.
    pub shows: String,
    /// Caption as written.
    pub caption: String,
    /// When.
    pub taken: String,
    /// Where.
    pub place: String,
    /// Who recorded it.
    pub by: String,
    /// Marks that are drawn on the document's copy of it.
    pub marks: Vec<Mark>,
    /// Who marked it, when and how; empty where nobody did.
    pub marked: String,
}

/// Makes the document of a job; `left` are the originals that don't go along.
#[must_use]
pub fn document(source: &Source<'_>, left: &Originals) -> Document {
    let reading = Reading::of(source, left);
    let states: BTreeMap<_, States> = source
        .job
        .runs
        .iter()
        .map(|run| (run.id, drawing::states(source.job, run)))
        .collect();
    let mut sections = vec![
        summary::section(&reading, &states),
        barrier::drawings(&reading, &states),
        posts::posts(&reading),
        materials::batches(&reading),
        materials::tools(&reading),
        wires::crimps(&reading),
        wires::template(&reading),
        wires::engagement(&reading),
        tension::section(&reading),
        openings::section(&reading),
        openings::heights(&reading),
        evidence::views(&reading),
        evidence::defects(&reading),
        tension::recheck(&reading),
        evidence::visits(&reading),
        close::care(&reading),
        signed::sign_offs(&reading),
        close::data(&reading),
    ];
    if let Some(data) = sections.last_mut() {
        let items = open::texts(&open::items(&reading, &states));
        data.blocks.insert(0, Block::OpenWhole { items });
    }
    for (index, section) in sections.iter_mut().enumerate() {
        finish(&reading, index + 1, section);
    }
    Document {
        title: "Handover record".into(),
        job: visible::line(&reading.text(records::model::fields::JOB_TITLE)),
        place: visible::line(&reading.text(records::model::fields::JOB_PLACE)),
        made: format!(
            "Made {} by {} with {}",
            words::when(source.made),
            source.made_by,
            source.program
        ),
        sections,
    }
}

/// Hashes of the pictures that the document embeds, by original.
#[must_use]
pub(crate) fn pictures_of(document: &Document) -> Vec<String> {
    document
        .sections
        .iter()
        .flat_map(|s| &s.blocks)
        .filter_map(|b| match b {
            Block::Photos { items } => Some(items),
            _ => None,
        })
        .flatten()
        .map(|p| p.sha256.clone())
        .collect()
}

pub(crate) fn original(photo: &Photo) -> Option<Hash> {
    photo.files.first().map(|f| f.sha256)
}

impl Block {
    fn text(text: impl Into<String>) -> Block {
        Block::Text {
            text: text.into(),
            small: false,
        }
    }
    fn remark(text: impl Into<String>) -> Block {
        Block::Text {
            text: text.into(),
            small: true,
        }
    }
    fn head(text: impl Into<String>) -> Block {
        Block::Head { text: text.into() }
    }
    /// A table; columns in which no row has anything are left out.
    fn table(head: &[&str], widths: &[f64], rows: Vec<Row>) -> Block {
        let told = |column: usize| {
            rows.iter()
                .any(|r| r.cells.get(column).is_some_and(|c| !c.is_empty()))
        };
        let kept: Vec<bool> = (0..head.len()).map(told).collect();
        let only = |column: usize| kept.get(column).copied().unwrap_or(true);
        let columns = head.iter().zip(widths).enumerate();
        let (head, widths) = columns
            .filter(|(n, _)| only(*n))
            .map(|(_, (head, width))| ((*head).to_owned(), *width))
            .unzip();
        let rows = rows
            .iter()
            .map(|row| Row {
                cells: row
                    .cells
                    .iter()
                    .enumerate()
                    .filter(|(n, _)| only(*n))
                    .map(|(_, cell)| cell.clone())
                    .collect(),
                marked: row.marked,
            })
            .collect();
        Block::Table { head, widths, rows }
    }
}

impl Row {
    fn of(cells: impl IntoIterator<Item = String>) -> Row {
        Row {
            cells: cells.into_iter().collect(),
            marked: false,
        }
    }
    fn marked(mut self, marked: bool) -> Row {
        self.marked = marked;
        self
    }
}

/// Rows that tell the same of several wires become one, with the wires before them as ranges.
fn by_wires(rows: impl IntoIterator<Item = (u32, Row)>) -> Vec<Row> {
    let mut alike: Vec<(Vec<u32>, Row)> = Vec::new();
    for (wire, row) in rows {
        match alike.iter_mut().find(|(_, known)| *known == row) {
            Some((wires, _)) if wires.last() != Some(&wire) => wires.push(wire),
            _ => alike.push((vec![wire], row)),
        }
    }
    alike
        .into_iter()
        .map(|(wires, mut row)| {
            row.cells.insert(0, words::ranges(&wires));
            row
        })
        .collect()
}

impl Fact {
    fn of(name: &str, value: impl Into<String>) -> Fact {
        Fact {
            name: name.into(),
            value: value.into(),
            note: String::new(),
        }
    }
    fn with(mut self, note: impl Into<String>) -> Fact {
        self.note = note.into();
        self
    }
}

/// Adds what a section goes without, and says so when it has nothing.
///
/// The first page and the last section list all of it already.
fn finish(reading: &Reading<'_>, number: usize, section: &mut Section) {
    let waived = match number {
        1 | DATA => Vec::new(),
        _ => reading.waived(number),
    };
    if !waived.is_empty() {
        section.blocks.push(Block::head("Gone without"));
        section.blocks.push(Block::List { items: waived });
    }
    if section.blocks.is_empty() {
        section.blocks.push(Block::text("Nothing on record."));
    }
}

/// A section whose pictures come last.
fn section(
    reading: &Reading<'_>,
    title: &str,
    mut blocks: Vec<Block>,
    shows: &[Evidence],
) -> Section {
    let items = reading.photos(shows);
    if !items.is_empty() {
        blocks.push(Block::Photos { items });
    }
    Section {
        title: title.into(),
        new_page: false,
        blocks,
    }
}
