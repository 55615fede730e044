//! A full-size drilling template as data: pages, marks, joins and bars to measure.
//!
//! Heights grow upwards from the floor line, places on a page are millimetres from its upper left
//! corner. Invariant: on every page a mark lies at its true distance from all other marks of the
//! page, and each mark is on at least one page. Does not draw: the PDF is made elsewhere.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive, within};
use crate::units::Millimetres;

/// The line that every page carries.
pub const MEASURE_FIRST: &str = "Measure both bars before drilling. If one is not 100 mm, print \
                                 again at full size, without fitting to the page.";

/// Length of the bars.
pub const BAR: Millimetres = Millimetres(100.0);

const MOST_HEIGHT: f64 = 6_000.0;

/// How far a mark's cross reaches beyond its hole.
const CROSS: Millimetres = Millimetres(6.0);

/// From the margin to what the upright bar leaves free.
const BESIDE_BAR: Millimetres = Millimetres(15.0);

/// A sheet of paper and what of it is used.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Paper {
    /// Width.
    pub width: Millimetres,
    /// Height.
    pub height: Millimetres,
    /// Left free on all sides.
    pub margin: Millimetres,
    /// Left free for title and words above the marks.
    pub header: Millimetres,
    /// What two pages have in common.
    pub overlap: Millimetres,
}

impl Paper {
    /// A4 (ISO 216: 210 × 297 mm), margins that usual printers keep.
    pub const A4: Self = Self {
        width: Millimetres(210.0),
        height: Millimetres(297.0),
        margin: Millimetres(10.0),
        header: Millimetres(25.0),
        overlap: Millimetres(20.0),
    };

    /// US letter (ANSI/ASME Y14.1 size A: 8.5 × 11 in), the same margins.
    pub const LETTER: Self = Self {
        width: Millimetres(215.9),
        height: Millimetres(279.4),
        ..Self::A4
    };

    /// How far off the middle of the face the paper holds a mark of this diameter, with its cross and
    /// clear of the upright bar.
    #[must_use]
    pub fn beside_the_middle(&self, diameter: Millimetres) -> Millimetres {
        self.width / 2.0 - self.margin - BESIDE_BAR - CROSS - diameter / 2.0
    }
}

/// A mark to drill at.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct TemplateMark {
    /// Its name ("A wire 3, LH").
    pub label: String,
    /// Height above the floor line on this face.
    pub height: Millimetres,
    /// How far it lies off the middle of the face, to the right of someone who looks at it; to the left
    /// below zero.
    pub aside: Millimetres,
    /// Diameter of the hole.
    pub diameter: Millimetres,
}

/// A mark on a page.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PlacedMark {
    /// Its name.
    pub label: String,
    /// Height above the floor line, to be printed beside it.
    pub height: Millimetres,
    /// Diameter of the hole.
    pub diameter: Millimetres,
    /// From the page's left edge.
    pub x: Millimetres,
    /// From the page's upper edge.
    pub y: Millimetres,
}

/// A line on two neighbouring pages that have to be laid over each other.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Join {
    /// The same on both pages ("a1").
    pub label: String,
    /// Height above the floor line.
    pub height: Millimetres,
    /// From the page's upper edge.
    pub y: Millimetres,
}

/// A bar to measure.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Bar {
    /// One end, from the left.
    pub x: Millimetres,
    /// One end, from above.
    pub y: Millimetres,
    /// Other end, from the left.
    pub to_x: Millimetres,
    /// Other end, from above.
    pub to_y: Millimetres,
}

/// One page.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct TemplatePage {
    /// Its number, from 1 at the floor.
    pub number: u32,
    /// Height at its lower end.
    pub from: Millimetres,
    /// Height at its upper end.
    pub to: Millimetres,
    /// Where the paper is cut off to stand on the floor, from above; on the first page only.
    pub floor_line: Option<Millimetres>,
    /// The marks, from the bottom.
    pub marks: Vec<PlacedMark>,
    /// Lines to lay over those of the neighbouring pages.
    pub joins: Vec<Join>,
    /// A level and an upright bar, since printers may stretch one way only.
    pub bars: [Bar; 2],
}

/// A template.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Template {
    /// Post, face and way up, in words.
    pub title: String,
    /// The paper.
    pub paper: Paper,
    /// What every page says.
    pub words: String,
    /// Pages from the floor upwards.
    pub pages: Vec<TemplatePage>,
}

/// Lays marks out over as many pages as they need.
///
/// # Errors
/// When there is no mark, a height cannot be, or the paper has no room between its margins.
pub fn template(
    title: &str,
    marks: &[TemplateMark],
    paper: Paper,
) -> Result<Template, MechanicsError> {
    let room = paper.height - paper.margin * 2.0 - paper.header;
    not_negative("the paper's margin", paper.margin)?;
    not_negative("the paper's header", paper.header)?;
    not_negative("the overlap", paper.overlap)?;
    let advance = positive("the paper less margins and overlap", room - paper.overlap)?;
    let wide = paper.width - paper.margin * 2.0;
    // Both bars and the line of marks need their place beside each other.
    within("the paper's width less margins", wide, 140.0, 10_000.0)?;
    within("the paper's height less margins", room, 110.0, 10_000.0)?;
    let mut sorted = marks.to_vec();
    sorted.sort_by(|a, b| a.height.value().total_cmp(&b.height.value()));
    let Some(highest) = sorted.last().map(|mark| mark.height) else {
        return Err(MechanicsError::NothingToMark);
    };
    for mark in &sorted {
        within("a mark's height", mark.height, 0.0, MOST_HEIGHT)?;
        positive("a hole's diameter", mark.diameter)?;
        let most = paper.beside_the_middle(mark.diameter).value();
        within("a mark off the middle", mark.aside, -most, most)?;
    }
    let mut pages: Vec<TemplatePage> = Vec::new();
    let mut number = 0_u32;
    loop {
        let from = Millimetres(advance * f64::from(number));
        number += 1;
        let last = (from + room).whole_nanometres() >= highest.whole_nanometres();
        pages.push(page(&sorted, paper, number, from, room, last));
        if last {
            break;
        }
    }
    Ok(Template {
        title: title.to_owned(),
        paper,
        words: MEASURE_FIRST.to_owned(),
        pages,
    })
}

fn page(
    marks: &[TemplateMark],
    paper: Paper,
    number: u32,
    from: Millimetres,
    room: Millimetres,
    last: bool,
) -> TemplatePage {
    let to = from + room;
    let lower_edge = paper.height - paper.margin;
    let y = |height: Millimetres| lower_edge - (height - from);
    let inside = |height: Millimetres| {
        height.whole_nanometres() >= from.whole_nanometres()
            && height.whole_nanometres() <= to.whole_nanometres()
    };
    // Two lines in each overlap: one alone would let the pages turn against each other.
    let seam = |page: u32, lower: Millimetres| {
        [(1, lower), (2, lower + paper.overlap)].map(|(line, height)| Join {
            label: format!("{}{line}", letter(page)),
            height,
            y: y(height),
        })
    };
    let below = (number > 1).then(|| seam(number - 1, from));
    let above = (!last).then(|| seam(number, to - paper.overlap));
    let left = paper.margin + Millimetres(10.0);
    let bar_top = paper.margin + paper.header + Millimetres(5.0);
    TemplatePage {
        number,
        from,
        to,
        floor_line: (number == 1).then(|| y(Millimetres(0.0))),
        marks: marks
            .iter()
            .filter(|mark| inside(mark.height))
            .map(|mark| PlacedMark {
                label: mark.label.clone(),
                height: mark.height,
                diameter: mark.diameter,
                x: paper.width / 2.0 + mark.aside,
                y: y(mark.height),
            })
            .collect(),
        joins: below.into_iter().chain(above).flatten().collect(),
        bars: [
            Bar {
                x: left,
                y: paper.margin + paper.header - Millimetres(5.0),
                to_x: left + BAR,
                to_y: paper.margin + paper.header - Millimetres(5.0),
            },
            Bar {
                x: left,
                y: bar_top,
                to_x: left,
                to_y: bar_top + BAR,
            },
        ],
    }
}

fn letter(page: u32) -> char {
    char::from_u32(u32::from(b'a') + (page - 1) % 26).unwrap_or('a')
}
