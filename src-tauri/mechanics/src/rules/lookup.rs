//! Table lookup: rounds post distance and spacing up, diameter down, and tells the margins.
//!
//! Invariant: a longer bay or a wider spacing never asks for less; nothing is interpolated; the
//! tension table and the deflection table are alternatives and never derived from one another.
//! Rounding compares whole nanometres, the record's resolution. Does not choose between tables.

use serde::{Deserialize, Serialize};

use super::tables::{Cell, TensionLine, WireTables};
use super::{Cite, RuleSet};
use crate::error::{MechanicsError, positive};
use crate::strand::Construction;
use crate::units::{Millimetres, Newtons};

/// Why a table has no answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Outside {
    /// The wire is thinner than the thinnest row.
    #[serde(rename_all = "camelCase")]
    TooThin {
        /// Thinnest row of this lay.
        least: Millimetres,
    },
    /// The wire is thicker than the table allows.
    #[serde(rename_all = "camelCase")]
    TooThick {
        /// Thickest the table allows.
        most: Millimetres,
    },
    /// The table has no row of this lay.
    #[serde(rename_all = "camelCase")]
    NoSuchLay {
        /// The lay asked for.
        lay: Construction,
    },
    /// The spacing is wider than the widest row.
    #[serde(rename_all = "camelCase")]
    TooWide {
        /// Widest row.
        most: Millimetres,
        /// How far beyond it.
        over: Millimetres,
    },
    /// The supports are farther apart than the last column.
    #[serde(rename_all = "camelCase")]
    TooLong {
        /// Last column.
        most: Millimetres,
        /// How far beyond it.
        over: Millimetres,
    },
    /// The rule set has no such table.
    NoTable,
}

/// What a table says of one wire in one bay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Outcome<T> {
    /// The figure: a least tension or a largest deflection.
    #[serde(rename_all = "camelCase")]
    Figure {
        /// The figure.
        limit: T,
    },
    /// The table's X: the tension needed would exceed the wire's safe load.
    NotAllowed,
    /// The table does not reach this wire or bay.
    #[serde(rename_all = "camelCase")]
    Outside {
        /// Why.
        why: Outside,
    },
}

impl<T: Copy> Outcome<T> {
    /// The figure, where there is one.
    #[must_use]
    pub const fn limit(&self) -> Option<T> {
        match self {
            Self::Figure { limit } => Some(*limit),
            Self::NotAllowed | Self::Outside { .. } => None,
        }
    }
}

/// The row and column that were read.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ReadAs {
    /// Diameter of the row.
    pub diameter: Millimetres,
    /// Spacing of the row.
    pub spacing: Millimetres,
    /// Post distance of the column.
    pub post_clear: Millimetres,
}

/// The next row or column, above or below the one that was read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Neighbour<T> {
    /// Spacing or post distance of the neighbour.
    pub at: Millimetres,
    /// Distance between the measured value and the limit that separates the two, always ≥ 0.
    ///
    /// For the demanding neighbour: what is in hand. For the easier one: what is over.
    pub distance: Millimetres,
    /// What the neighbour says.
    pub outcome: Outcome<T>,
    /// The neighbour's figure less the one read, where both are figures.
    pub difference: Option<T>,
}

/// What the tension table asks of one wire in one bay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct TensionRow {
    /// What the table says.
    pub outcome: Outcome<Newtons>,
    /// The row and column read, where the table reaches.
    pub read_as: Option<ReadAs>,
    /// The next longer post distance and the millimetres in hand before it.
    pub longer_bay: Option<Neighbour<Newtons>>,
    /// The next shorter post distance and the millimetres over it.
    pub shorter_bay: Option<Neighbour<Newtons>>,
    /// The next wider spacing and the millimetres in hand before it.
    pub wider_spacing: Option<Neighbour<Newtons>>,
    /// The next closer spacing and the millimetres over it.
    pub closer_spacing: Option<Neighbour<Newtons>>,
    /// What differs between copies of the document, where the cell is doubtful.
    pub doubt: Option<String>,
    /// Source, where there is a table.
    pub cite: Option<Cite>,
}

/// What the deflection table asks of one wire in one bay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct DeflectionRow {
    /// What the table says: the largest deflection.
    pub outcome: Outcome<Millimetres>,
    /// The mass to hang at mid span, kilograms.
    pub mass_kg: Option<f64>,
    /// The row and column read, where the table reaches.
    pub read_as: Option<ReadAs>,
    /// The next longer post distance and the millimetres in hand before it.
    pub longer_bay: Option<Neighbour<Millimetres>>,
    /// The next wider spacing and the millimetres in hand before it.
    pub wider_spacing: Option<Neighbour<Millimetres>>,
    /// Source, where there is a table.
    pub cite: Option<Cite>,
}

/// What the table of continuous vertical wires asks.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ContinuousVerticalRow {
    /// What the table says: the least tension.
    pub outcome: Outcome<Newtons>,
    /// Spacing of the row read.
    pub read_spacing: Option<Millimetres>,
    /// Millimetres in hand before the next spacing.
    pub spacing_in_hand: Option<Millimetres>,
    /// Source, where there is a table.
    pub cite: Option<Cite>,
}

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

impl TensionRow {
    fn silent(why: Outside, cite: Option<Cite>) -> Self {
        Self {
            outcome: Outcome::Outside { why },
            read_as: None,
            longer_bay: None,
            shorter_bay: None,
            wider_spacing: None,
            closer_spacing: None,
            doubt: None,
            cite,
        }
    }
}

impl DeflectionRow {
    fn silent(why: Outside, mass_kg: Option<f64>, cite: Option<Cite>) -> Self {
        Self {
            outcome: Outcome::Outside { why },
            mass_kg,
            read_as: None,
            longer_bay: None,
            wider_spacing: None,
            cite,
        }
    }
}

struct GridLine<'a> {
    diameter: Millimetres,
    spacing: Millimetres,
    cells: &'a [Cell],
}

struct Grid<'a> {
    columns: &'a [Millimetres],
    lines: Vec<GridLine<'a>>,
}

#[derive(Clone, Copy)]
struct Place {
    diameter: Millimetres,
    spacing: Millimetres,
    column: Millimetres,
}

impl Place {
    const fn read_as(self) -> ReadAs {
        ReadAs {
            diameter: self.diameter,
            spacing: self.spacing,
            post_clear: self.column,
        }
    }
}

impl Grid<'_> {
    fn place(
        &self,
        diameter: Millimetres,
        spacing: Millimetres,
        post_clear: Millimetres,
    ) -> Result<Place, Outside> {
        let thinnest = self
            .lines
            .iter()
            .map(|line| line.diameter)
            .reduce(Millimetres::min);
        let diameter = self
            .lines
            .iter()
            .map(|line| line.diameter)
            .filter(|row| !after(*row, diameter))
            .reduce(Millimetres::max)
            .ok_or_else(|| thinnest.map_or(Outside::NoTable, |least| Outside::TooThin { least }))?;
        let spacings = || self.spacings(diameter);
        let row = spacings()
            .filter(|row| !after(spacing, *row))
            .reduce(Millimetres::min)
            .ok_or_else(|| {
                let most = spacings().fold(Millimetres(0.0), Millimetres::max);
                let over = spacing - most;
                Outside::TooWide { most, over }
            })?;
        let columns = || self.columns.iter().copied();
        let column = columns()
            .filter(|column| !after(post_clear, *column))
            .reduce(Millimetres::min)
            .ok_or_else(|| {
                let most = columns().fold(Millimetres(0.0), Millimetres::max);
                let over = post_clear - most;
                Outside::TooLong { most, over }
            })?;
        Ok(Place {
            diameter,
            spacing: row,
            column,
        })
    }

    fn outcome<T>(
        &self,
        diameter: Millimetres,
        spacing: Millimetres,
        column: Millimetres,
        unit: fn(f64) -> T,
    ) -> Outcome<T> {
        let cell = self
            .lines
            .iter()
            .find(|line| same(line.diameter, diameter) && same(line.spacing, spacing))
            .and_then(|line| {
                let at = self.columns.iter().position(|c| same(*c, column))?;
                line.cells.get(at).copied()
            });
        match cell {
            Some(cell) => outcome_of(cell, unit),
            None => Outcome::Outside {
                why: Outside::NoTable,
            },
        }
    }

    fn spacings(&self, diameter: Millimetres) -> impl Iterator<Item = Millimetres> {
        self.lines
            .iter()
            .filter(move |line| same(line.diameter, diameter))
            .map(|line| line.spacing)
    }

    fn column_after(&self, column: Millimetres) -> Option<Millimetres> {
        let later = self.columns.iter().copied().filter(|c| after(*c, column));
        later.reduce(Millimetres::min)
    }

    fn column_before(&self, column: Millimetres) -> Option<Millimetres> {
        let earlier = self.columns.iter().copied().filter(|c| after(column, *c));
        earlier.reduce(Millimetres::max)
    }

    fn spacing_after(&self, place: Place) -> Option<Millimetres> {
        self.spacings(place.diameter)
            .filter(|row| after(*row, place.spacing))
            .reduce(Millimetres::min)
    }

    fn spacing_before(&self, place: Place) -> Option<Millimetres> {
        self.spacings(place.diameter)
            .filter(|row| after(place.spacing, *row))
            .reduce(Millimetres::max)
    }
}

fn outcome_of<T>(cell: Cell, unit: fn(f64) -> T) -> Outcome<T> {
    match cell {
        Cell::Figure(value) => Outcome::Figure { limit: unit(value) },
        Cell::NotAllowed => Outcome::NotAllowed,
    }
}

fn row_diameter(wires: &WireTables, diameter: Millimetres) -> Millimetres {
    wires
        .read_diameter_as
        .iter()
        .find(|rule| same(rule.wire_mm, diameter))
        .map_or(diameter, |rule| rule.rows_mm)
}

fn after(a: Millimetres, b: Millimetres) -> bool {
    a.whole_nanometres() > b.whole_nanometres()
}

fn same(a: Millimetres, b: Millimetres) -> bool {
    a.whole_nanometres() == b.whole_nanometres()
}

fn check_lengths(
    diameter: Millimetres,
    spacing: Millimetres,
    post_clear: Millimetres,
) -> Result<(), MechanicsError> {
    positive("the wire's diameter", diameter.value())?;
    positive("the wire spacing", spacing.value())?;
    positive("the clear distance of the supports", post_clear.value())?;
    Ok(())
}
