//! Table lookup: rounds post distance and spacing up, diameter down, and tells the margins.
//!
//! Invariant: a longer bay or a wider spacing never asks for less; nothing is interpolated; the
//! tension table and the deflection table are alternatives and never derived from one another.
//! Does not choose between tables.

use super::RuleSet;
use super::answers::{
    ContinuousVerticalRow, DeflectionRow, Neighbour, Outcome, Outside, TensionRow,
};
use super::grid::{Grid, GridLine, after, outcome_of, same};
use super::tables::{TensionLine, WireTables};
use crate::error::{MechanicsError, positive};
use crate::strand::Construction;
use crate::units::{Millimetres, Newtons};

/// Least tension of a wire between posts (or of a vertical wire on two supports between rails).
///
/// `spacing` is centre to centre, square to the wires; `post_clear` is face to face, along the wire.
///
/// # Errors
/// When a length is not above zero.
pub fn look_up_tension(
    set: &RuleSet,
    diameter: Millimetres,
    lay: Construction,
    spacing: Millimetres,
    post_clear: Millimetres,
) -> Result<TensionRow, MechanicsError> {
    check_lengths(diameter, spacing, post_clear)?;
    let Some((wires, table)) = set
        .wires
        .as_ref()
        .and_then(|wires| Some((wires, wires.tension.as_ref()?)))
    else {
        return Ok(TensionRow::silent(Outside::NoTable, None));
    };
    let cite = Some(table.cite.clone());
    let lay_lines: Vec<&TensionLine> = table.lines.iter().filter(|line| line.lay == lay).collect();
    if lay_lines.is_empty() {
        return Ok(TensionRow::silent(Outside::NoSuchLay { lay }, cite));
    }
    let grid = Grid {
        columns: &table.post_clear_mm,
        lines: lay_lines
            .iter()
            .map(|line| GridLine {
                diameter: line.diameter_mm,
                spacing: line.spacing_mm,
                cells: &line.least_n,
            })
            .collect(),
    };
    let rows_of = row_diameter(wires, diameter);
    let place = match grid.place(rows_of, spacing, post_clear) {
        Ok(place) => place,
        Err(why) => return Ok(TensionRow::silent(why, cite)),
    };
    let at = |spacing_at, column_at| grid.outcome(place.diameter, spacing_at, column_at, Newtons);
    let outcome = at(place.spacing, place.column);
    let difference = |other: &Outcome<Newtons>| Some(other.limit()? - outcome.limit()?);
    let neighbour = |at_length: Millimetres, distance, other: Outcome<Newtons>| Neighbour {
        at: at_length,
        distance,
        difference: difference(&other),
        outcome: other,
    };
    let longer_bay = grid
        .column_after(place.column)
        .map(|next| neighbour(next, place.column - post_clear, at(place.spacing, next)));
    let shorter_bay = grid
        .column_before(place.column)
        .map(|next| neighbour(next, post_clear - next, at(place.spacing, next)));
    let wider_spacing = grid
        .spacing_after(place)
        .map(|next| neighbour(next, place.spacing - spacing, at(next, place.column)));
    let closer_spacing = grid
        .spacing_before(place)
        .map(|next| neighbour(next, spacing - next, at(next, place.column)));
    let doubt = table
        .doubtful
        .iter()
        .find(|cell| {
            cell.lay == lay
                && same(cell.diameter_mm, place.diameter)
                && same(cell.spacing_mm, place.spacing)
                && same(cell.post_clear_mm, place.column)
        })
        .map(|cell| cell.note.clone());
    Ok(TensionRow {
        read_as: Some(place.read_as()),
        longer_bay,
        shorter_bay,
        wider_spacing,
        closer_spacing,
        doubt,
        cite,
        outcome,
    })
}

/// Largest deflection of a wire under the table's mass at mid span; the table knows no lay.
///
/// # Errors
/// When a length is not above zero.
pub fn look_up_deflection(
    set: &RuleSet,
    diameter: Millimetres,
    spacing: Millimetres,
    post_clear: Millimetres,
) -> Result<DeflectionRow, MechanicsError> {
    check_lengths(diameter, spacing, post_clear)?;
    let Some((wires, table)) = set
        .wires
        .as_ref()
        .and_then(|wires| Some((wires, wires.deflection.as_ref()?)))
    else {
        return Ok(DeflectionRow::silent(Outside::NoTable, None, None));
    };
    let cite = Some(table.cite.clone());
    let grid = Grid {
        columns: &table.post_clear_mm,
        lines: table
            .lines
            .iter()
            .map(|line| GridLine {
                diameter: line.diameter_mm,
                spacing: line.spacing_mm,
                cells: &line.most_mm,
            })
            .collect(),
    };
    let rows_of = row_diameter(wires, diameter);
    let place = match grid.place(rows_of, spacing, post_clear) {
        Ok(place) => place,
        Err(why) => return Ok(DeflectionRow::silent(why, Some(table.mass_kg), cite)),
    };
    let at =
        |spacing_at, column_at| grid.outcome(place.diameter, spacing_at, column_at, Millimetres);
    let outcome = at(place.spacing, place.column);
    let neighbour = |at_length: Millimetres, distance, other: Outcome<Millimetres>| Neighbour {
        at: at_length,
        distance,
        difference: other
            .limit()
            .zip(outcome.limit())
            .map(|(theirs, ours)| theirs - ours),
        outcome: other,
    };
    Ok(DeflectionRow {
        mass_kg: Some(table.mass_kg),
        read_as: Some(place.read_as()),
        longer_bay: grid
            .column_after(place.column)
            .map(|next| neighbour(next, place.column - post_clear, at(place.spacing, next))),
        wider_spacing: grid
            .spacing_after(place)
            .map(|next| neighbour(next, place.spacing - spacing, at(next, place.column))),
        cite,
        outcome,
    })
}

/// Least tension of a continuous vertical wire; the spacing is rounded up to a row.
///
/// The table states single diameters, so a thinner wire than its rows is outside it.
///
/// # Errors
/// When a length is not above zero.
pub fn look_up_continuous_vertical(
    set: &RuleSet,
    diameter: Millimetres,
    lay: Construction,
    spacing: Millimetres,
    rail_clear: Millimetres,
) -> Result<ContinuousVerticalRow, MechanicsError> {
    check_lengths(diameter, spacing, rail_clear)?;
    let silent = |why, cite| ContinuousVerticalRow {
        outcome: Outcome::Outside { why },
        read_spacing: None,
        spacing_in_hand: None,
        cite,
    };
    let Some(table) = set
        .wires
        .as_ref()
        .and_then(|wires| wires.continuous_vertical.as_ref())
    else {
        return Ok(silent(Outside::NoTable, None));
    };
    let cite = Some(table.cite.clone());
    if after(diameter, table.most_diameter_mm) {
        let most = table.most_diameter_mm;
        return Ok(silent(Outside::TooThick { most }, cite));
    }
    if after(rail_clear, table.most_rail_clear_mm) {
        let most = table.most_rail_clear_mm;
        let over = rail_clear - most;
        return Ok(silent(Outside::TooLong { most, over }, cite));
    }
    let of_lay: Vec<_> = table.lines.iter().filter(|line| line.lay == lay).collect();
    let Some(diameter_row) = of_lay
        .iter()
        .map(|line| line.diameter_mm)
        .filter(|row| !after(*row, diameter))
        .reduce(Millimetres::max)
    else {
        let why = match of_lay
            .iter()
            .map(|line| line.diameter_mm)
            .reduce(Millimetres::min)
        {
            Some(least) => Outside::TooThin { least },
            None => Outside::NoSuchLay { lay },
        };
        return Ok(silent(why, cite));
    };
    let rows = of_lay
        .iter()
        .filter(|line| same(line.diameter_mm, diameter_row));
    let row = rows
        .clone()
        .filter(|line| !after(spacing, line.spacing_mm))
        .min_by(|a, b| a.spacing_mm.value().total_cmp(&b.spacing_mm.value()));
    let Some(row) = row else {
        let most = rows
            .map(|line| line.spacing_mm)
            .fold(Millimetres(0.0), Millimetres::max);
        let over = spacing - most;
        return Ok(silent(Outside::TooWide { most, over }, cite));
    };
    Ok(ContinuousVerticalRow {
        outcome: outcome_of(row.least_n, Newtons),
        read_spacing: Some(row.spacing_mm),
        spacing_in_hand: Some(row.spacing_mm - spacing),
        cite,
    })
}

fn row_diameter(wires: &WireTables, diameter: Millimetres) -> Millimetres {
    wires
        .read_diameter_as
        .iter()
        .find(|rule| same(rule.wire_mm, diameter))
        .map_or(diameter, |rule| rule.rows_mm)
}

fn check_lengths(
    diameter: Millimetres,
    spacing: Millimetres,
    post_clear: Millimetres,
) -> Result<(), MechanicsError> {
    positive("the wire's diameter", diameter)?;
    positive("the wire spacing", spacing)?;
    positive("the clear distance of the supports", post_clear)?;
    Ok(())
}
