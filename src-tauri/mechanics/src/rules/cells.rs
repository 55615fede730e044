//! The cells of a rule set's wire tables: where each stands, what it is called, and which are far from those of a
//! set that was copied.

use super::figures::FAR;
use super::{Cell, RuleSet};
use crate::units::Millimetres;

/// A cell of a table of wires.
pub(super) struct TableCell {
    /// Where it stands in the file, as a JSON pointer (RFC 6901).
    pub(super) path: String,
    /// "wires.tension, wire 3.2 mm 1x19, spacing 80 mm, post distance 1500 mm".
    pub(super) words: String,
    /// Unit with the blank before it.
    pub(super) unit: &'static str,
    value: Cell,
}

/// Cells that are more than 1.5 times away from the same cell of the set that was copied, one sentence each: where
/// a table is coarse a digit off still lies between its neighbours.
#[must_use]
pub fn odd_cells(set: &RuleSet, copied: &RuleSet) -> Vec<String> {
    let before = cells(copied);
    let odd = |now: TableCell| {
        let was = before.iter().find(|was| was.words == now.words)?;
        let (Cell::Figure(is), Cell::Figure(was)) = (now.value, was.value) else {
            return None;
        };
        let (words, unit) = (now.words, now.unit);
        (is > was * FAR || is * FAR < was).then(|| {
            format!(
                "{words} is {is}{unit}, and {was}{unit} in the set that was copied. Is that right?"
            )
        })
    };
    cells(set).into_iter().filter_map(odd).collect()
}

/// Every cell of the tables of tension and deflection.
pub(super) fn cells(set: &RuleSet) -> Vec<TableCell> {
    let mut found = Vec::new();
    let Some(wires) = &set.wires else {
        return found;
    };
    if let Some(table) = &wires.tension {
        for (at, line) in table.lines.iter().enumerate() {
            let wire = format!("{} {}", line.diameter_mm, line.lay);
            let row = Row {
                path: format!("/wires/tension/lines/{at}/leastN"),
                words: format!("wires.tension, wire {wire}, spacing {}", line.spacing_mm),
                unit: " N",
            };
            found.extend(row.cells(&table.post_clear_mm, &line.least_n));
        }
    }
    if let Some(table) = &wires.deflection {
        for (at, line) in table.lines.iter().enumerate() {
            let wire = line.diameter_mm;
            let row = Row {
                path: format!("/wires/deflection/lines/{at}/mostMm"),
                words: format!("wires.deflection, wire {wire}, spacing {}", line.spacing_mm),
                unit: " mm",
            };
            found.extend(row.cells(&table.post_clear_mm, &line.most_mm));
        }
    }
    found
}

/// A line of a table.
struct Row {
    path: String,
    words: String,
    unit: &'static str,
}

impl Row {
    fn cells(&self, columns: &[Millimetres], cells: &[Cell]) -> Vec<TableCell> {
        let of = |(at, (post, value)): (usize, (&Millimetres, &Cell))| TableCell {
            path: format!("{}/{at}", self.path),
            words: format!("{}, post distance {post}", self.words),
            unit: self.unit,
            value: *value,
        };
        columns.iter().zip(cells).enumerate().map(of).collect()
    }
}
