//! Cells of a copied set's wire tables that are far from those of the set that was copied.

use super::figures::FAR;
use super::{Cell, RuleSet};
use crate::units::Millimetres;

/// A cell with its wire, spacing and post distance.
struct Placed {
    place: (String, Millimetres, Millimetres),
    value: f64,
}

/// Cells that are more than 1.5 times away from the same cell of the set that was copied, one sentence each: where
/// a table is coarse a digit off still lies between its neighbours.
#[must_use]
pub fn odd_cells(set: &RuleSet, copied: &RuleSet) -> Vec<String> {
    let mut found = odd_in("tension", " N", &tension(set), &tension(copied));
    found.extend(odd_in(
        "deflection",
        " mm",
        &deflection(set),
        &deflection(copied),
    ));
    found
}

fn odd_in(table: &str, unit: &str, now: &[Placed], before: &[Placed]) -> Vec<String> {
    let far = |is: &&Placed| {
        let was = before.iter().find(|was| was.place == is.place)?.value;
        (is.value > was * FAR || is.value * FAR < was).then_some(was)
    };
    let told = |is: &Placed, was: f64| {
        let (wire, spacing, post) = &is.place;
        format!(
            "wires.{table}, wire {wire}, spacing {spacing}, post distance {post} is {}{unit}, and {was}{unit} in the \
             set that was copied. Is that right?",
            is.value
        )
    };
    now.iter()
        .filter_map(|is| Some(told(is, far(&is)?)))
        .collect()
}

fn tension(set: &RuleSet) -> Vec<Placed> {
    let table = set.wires.as_ref().and_then(|wires| wires.tension.as_ref());
    let lines = table.into_iter().flat_map(|table| {
        let of = |line| (line, table.post_clear_mm.as_slice());
        table.lines.iter().map(of)
    });
    let cells = lines.flat_map(|(line, columns)| {
        let wire = format!("{} {}", line.diameter_mm, line.lay);
        placed(&wire, line.spacing_mm, columns, &line.least_n)
    });
    cells.collect()
}

fn deflection(set: &RuleSet) -> Vec<Placed> {
    let table = set
        .wires
        .as_ref()
        .and_then(|wires| wires.deflection.as_ref());
    let lines = table.into_iter().flat_map(|table| {
        let of = |line| (line, table.post_clear_mm.as_slice());
        table.lines.iter().map(of)
    });
    let cells = lines.flat_map(|(line, columns)| {
        let wire = line.diameter_mm.to_string();
        placed(&wire, line.spacing_mm, columns, &line.most_mm)
    });
    cells.collect()
}

fn placed(
    wire: &str,
    spacing: Millimetres,
    columns: &[Millimetres],
    cells: &[Cell],
) -> Vec<Placed> {
    let of = |(cell, post): (&Cell, &Millimetres)| match cell {
        Cell::Figure(value) => Some(Placed {
            place: (wire.to_owned(), spacing, *post),
            value: *value,
        }),
        Cell::NotAllowed => None,
    };
    cells.iter().zip(columns).filter_map(of).collect()
}
