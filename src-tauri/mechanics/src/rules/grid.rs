//! Rows and columns of a printed table, and the rounding to the demanding side.
//!
//! Invariant: post distance and spacing go up to a row, the diameter goes down to one; compared
//! in whole nanometres, the record's resolution. Does not know what the cells stand for.

use super::answers::{Outcome, Outside, ReadAs};
use super::tables::Cell;
use crate::units::Millimetres;

pub(super) struct GridLine<'a> {
    pub(super) diameter: Millimetres,
    pub(super) spacing: Millimetres,
    pub(super) cells: &'a [Cell],
}

pub(super) struct Grid<'a> {
    pub(super) columns: &'a [Millimetres],
    pub(super) lines: Vec<GridLine<'a>>,
}

#[derive(Clone, Copy)]
pub(super) struct Place {
    pub(super) diameter: Millimetres,
    pub(super) spacing: Millimetres,
    pub(super) column: Millimetres,
}

impl Place {
    pub(super) const fn read_as(self) -> ReadAs {
        ReadAs {
            diameter: self.diameter,
            spacing: self.spacing,
            post_clear: self.column,
        }
    }
}

impl Grid<'_> {
    pub(super) fn place(
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

    pub(super) fn outcome<T>(
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

    pub(super) fn column_after(&self, column: Millimetres) -> Option<Millimetres> {
        let later = self.columns.iter().copied().filter(|c| after(*c, column));
        later.reduce(Millimetres::min)
    }

    pub(super) fn column_before(&self, column: Millimetres) -> Option<Millimetres> {
        let earlier = self.columns.iter().copied().filter(|c| after(column, *c));
        earlier.reduce(Millimetres::max)
    }

    pub(super) fn spacing_after(&self, place: Place) -> Option<Millimetres> {
        self.spacings(place.diameter)
            .filter(|row| after(*row, place.spacing))
            .reduce(Millimetres::min)
    }

    pub(super) fn spacing_before(&self, place: Place) -> Option<Millimetres> {
        self.spacings(place.diameter)
            .filter(|row| after(place.spacing, *row))
            .reduce(Millimetres::max)
    }
}

pub(super) fn outcome_of<T>(cell: Cell, unit: fn(f64) -> T) -> Outcome<T> {
    match cell {
        Cell::Figure(value) => Outcome::Figure { limit: unit(value) },
        Cell::NotAllowed => Outcome::NotAllowed,
    }
}

pub(super) fn after(a: Millimetres, b: Millimetres) -> bool {
    a.whole_nanometres() > b.whole_nanometres()
}

pub(super) fn same(a: Millimetres, b: Millimetres) -> bool {
    a.whole_nanometres() == b.whole_nanometres()
}
