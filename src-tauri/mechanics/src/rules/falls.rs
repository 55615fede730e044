//! Where the tables of a rule set that people wrote or changed ask less for more: to be asked about.
//!
//! A longer bay or a wider spacing never asks for less ([`super::lookup`]), so a cell that does is a
//! slip of the pen until somebody says that the document prints it so. Invariant: sets that come with
//! the program have no such place. Between diameters nothing is asked: the printed table of Australia
//! (11.3.6, table a, read) itself asks up to 60 N less of a thinner wire, 7x7 of 2.5 and 3.0 mm.

use super::grid::{after, same};
use super::{Cell, RuleSet, WireTables};
use crate::strand::Construction;
use crate::units::Millimetres;

/// Most places that are named one by one.
const MOST_TOLD: usize = 6;

/// Places of a set's tables that ask less than the one before them, one sentence each; none where
/// there is none.
#[must_use]
pub fn questions(set: &RuleSet) -> Vec<String> {
    let Some(wires) = &set.wires else {
        return Vec::new();
    };
    let mut found = thinner_rows(wires);
    if let Some(table) = &wires.tension {
        let lines = table.lines.iter().map(|row| Line {
            diameter: row.diameter_mm,
            lay: Some(row.lay),
            spacing: row.spacing_mm,
            cells: &row.least_n,
        });
        let columns = &table.post_clear_mm;
        of_table(
            "wires.tension",
            columns,
            lines.collect(),
            newtons,
            &mut found,
        );
    }
    if let Some(table) = &wires.deflection {
        let lines = table.lines.iter().map(|row| Line {
            diameter: row.diameter_mm,
            lay: None,
            spacing: row.spacing_mm,
            cells: &row.most_mm,
        });
        let columns = &table.post_clear_mm;
        of_table(
            "wires.deflection",
            columns,
            lines.collect(),
            deflection,
            &mut found,
        );
    }
    if let Some(table) = &wires.continuous_vertical {
        let lines = table.lines.iter().map(|row| Line {
            diameter: row.diameter_mm,
            lay: Some(row.lay),
            spacing: row.spacing_mm,
            cells: std::slice::from_ref(&row.least_n),
        });
        let columns = [table.most_rail_clear_mm];
        of_table(
            "wires.continuousVertical",
            &columns,
            lines.collect(),
            newtons,
            &mut found,
        );
    }
    let more = found.len().saturating_sub(MOST_TOLD);
    found.truncate(MOST_TOLD);
    if more > 0 {
        found.push(format!("So do {more} more."));
    }
    found
}

/// A wire read in the rows of a thicker one, which ask less.
fn thinner_rows(wires: &WireTables) -> Vec<String> {
    wires
        .read_diameter_as
        .iter()
        .filter(|read| read.rows_mm.whole_nanometres() > read.wire_mm.whole_nanometres())
        .map(|read| {
            format!(
                "wires.readDiameterAs: a wire of {} is read in the rows of {}, a thicker one.",
                read.wire_mm, read.rows_mm
            )
        })
        .collect()
}

/// A row of a table.
struct Line<'a> {
    diameter: Millimetres,
    lay: Option<Construction>,
    spacing: Millimetres,
    cells: &'a [Cell],
}

impl Line<'_> {
    /// Whether two rows are for the same wire.
    fn of_one_wire(&self, other: &Self) -> bool {
        self.lay == other.lay && same(self.diameter, other.diameter)
    }
}

/// How much a cell asks, and how it is told.
type Asks = fn(Cell) -> (f64, String);

fn newtons(cell: Cell) -> (f64, String) {
    match cell {
        Cell::Figure(n) => (n, format!("{n} N")),
        Cell::NotAllowed => (f64::INFINITY, "X".to_owned()),
    }
}

/// What may go down further asks less.
fn deflection(cell: Cell) -> (f64, String) {
    match cell {
        Cell::Figure(mm) => (-mm, format!("{mm} mm")),
        Cell::NotAllowed => (f64::INFINITY, "X".to_owned()),
    }
}

fn of_table(
    at: &str,
    columns: &[Millimetres],
    lines: Vec<Line<'_>>,
    asks: Asks,
    found: &mut Vec<String>,
) {
    for line in &lines {
        let closer = lines
            .iter()
            .filter(|l| l.of_one_wire(line) && after(line.spacing, l.spacing))
            .max_by(|a, b| a.spacing.value().total_cmp(&b.spacing.value()));
        let mut shorter: Option<(Millimetres, Cell)> = None;
        for (n, (column, cell)) in columns.iter().zip(line.cells).enumerate() {
            let (here, told) = asks(*cell);
            let above = |cell: Cell, place: String| {
                let (than, words) = asks(cell);
                (here < than).then(|| format!("{words} {place}"))
            };
            let in_row = shorter
                .and_then(|(column, cell)| above(cell, format!("at post distance {column}")));
            let in_column =
                closer.and_then(|l| above(*l.cells.get(n)?, format!("at spacing {}", l.spacing)));
            let more: Vec<String> = [in_row, in_column].into_iter().flatten().collect();
            if !more.is_empty() {
                let lay = line.lay.map_or_else(String::new, |lay| format!(" {lay}"));
                found.push(format!(
                    "{at}, wire {}{lay}, spacing {}, post distance {column}: {told} asks less than {}.",
                    line.diameter,
                    line.spacing,
                    more.join(" and than ")
                ));
            }
            shorter = Some((*column, *cell));
        }
    }
}
