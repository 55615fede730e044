//! Whether a rule set that people wrote or changed can be used: every fault in one sentence.
//!
//! Bounds are wide: they catch slips of unit, sign and place, and judge no rule. Invariant: a set
//! without faults can be looked up in without surprise: columns rise, every line has a cell for
//! every column, no line stands twice, and no figure is zero, negative or not a number.

use std::collections::BTreeSet;

use super::figures::{NamedFigure, all_figures, place, surface};
use super::{Cell, DeflectionTable, OpeningPlace, RuleSet, TensionTable};
use crate::units::Millimetres;

const LONGEST_TEXT: usize = 2_000;
const MOST_LINES: usize = 500;
const MOST_COLUMNS: usize = 60;

/// What is wrong with a set, in sentences that say where; empty where it can be used.
#[must_use]
pub fn faults(set: &RuleSet) -> Vec<String> {
    let mut found = Faults::default();
    texts(set, &mut found);
    figures(set, &mut found);
    if let Some(wires) = &set.wires {
        for read in &wires.read_diameter_as {
            found.length("wires.readDiameterAs", read.wire_mm, 0.5, 30.0);
            found.length("wires.readDiameterAs", read.rows_mm, 0.5, 30.0);
        }
        if let Some(table) = &wires.tension {
            tension(table, &mut found);
        }
        if let Some(table) = &wires.deflection {
            deflection(table, &mut found);
        }
        if let Some(table) = &wires.continuous_vertical {
            let at = "wires.continuousVertical";
            for line in &table.lines {
                found.length(at, line.diameter_mm, 0.5, 30.0);
                found.length(at, line.spacing_mm, 5.0, 1_000.0);
                found.cell(at, line.least_n, 100_000.0);
            }
        }
    }
    found.0
}

#[derive(Default)]
struct Faults(Vec<String>);

impl Faults {
    fn add(&mut self, sentence: String) {
        self.0.push(sentence);
    }

    fn within(&mut self, at: &str, value: f64, least: f64, most: f64, unit: &str) {
        if !value.is_finite() {
            self.add(format!("{at} is not a number."));
        } else if value < least || value > most {
            self.add(format!(
                "{at} is {value}{unit}, outside {least} to {most}{unit}."
            ));
        }
    }

    fn length(&mut self, at: &str, value: Millimetres, least: f64, most: f64) {
        self.within(at, value.value(), least, most, " mm");
    }

    fn figure(&mut self, figure: &NamedFigure<'_>) {
        let (least, most) = figure.can_be;
        let unit = figure.unit.word();
        self.within(&figure.named(), figure.value, least, most, unit);
    }

    fn cell(&mut self, at: &str, cell: Cell, most: f64) {
        if let Cell::Figure(value) = cell {
            self.within(
                &format!("a cell of {at}"),
                value,
                f64::MIN_POSITIVE,
                most,
                "",
            );
        }
    }

    fn text(&mut self, at: &str, text: &str) {
        if text.trim().is_empty() {
            self.add(format!("{at} is empty."));
        }
        if text.chars().count() > LONGEST_TEXT {
            self.add(format!("{at} is longer than {LONGEST_TEXT} characters."));
        }
    }
}

fn texts(set: &RuleSet, found: &mut Faults) {
    if set.format != 1 {
        found.add(format!(
            "format is {}, and this version reads 1.",
            set.format
        ));
    }
    let id = &set.id;
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    if id.is_empty() || id.len() > 60 || !id.chars().all(plain) {
        found.add("id must be 1 to 60 of the letters a to z, digits and hyphens.".to_owned());
    }
    for (at, text) in [
        ("title", &set.title),
        ("jurisdiction", &set.jurisdiction),
        ("document", &set.document),
        ("edition", &set.edition),
        ("attribution", &set.attribution),
        ("caution", &set.caution),
        ("confirm", &set.confirm),
    ] {
        found.text(at, text);
    }
    if let Some(country) = &set.country
        && (country.len() != 2 || !country.bytes().all(|b| b.is_ascii_uppercase()))
    {
        found.add("country must be two capital letters of ISO 3166-1, or left out.".to_owned());
    }
    let clauses = [&set.barrier_needed.cite]
        .into_iter()
        .chain(set.least_heights.iter().map(|rule| &rule.cite))
        .chain(set.openings.iter().map(|rule| &rule.cite))
        .chain(set.loads.iter().map(|rule| &rule.cite))
        .chain(set.warnings.iter().map(|rule| &rule.cite))
        .chain(set.notes.iter().map(|rule| &rule.cite));
    for cite in clauses {
        found.text("cite.clause", &cite.clause);
    }
    for warning in &set.warnings {
        found.text("warnings.text", &warning.text);
    }
    for note in &set.notes {
        found.text("notes.text", &note.text);
    }
}

fn figures(set: &RuleSet, found: &mut Faults) {
    for figure in all_figures(set) {
        found.figure(&figure);
    }
    if set.least_heights.is_empty() {
        found.add("leastHeights has no height at all.".to_owned());
    }
    let mut surfaces = BTreeSet::new();
    for rule in &set.least_heights {
        let (key, word) = surface(rule.surface);
        if !surfaces.insert(key) {
            found.add(format!(
                "the least height, {word} (leastHeights, {key}) stands twice."
            ));
        }
    }
    if !set
        .openings
        .iter()
        .any(|rule| rule.place == OpeningPlace::General)
    {
        found.add("openings has no figure for the place \"general\".".to_owned());
    }
    let mut places = BTreeSet::new();
    for rule in &set.openings {
        let (key, word, _) = place(rule.place);
        if !places.insert(key) {
            found.add(format!(
                "the sphere that must not pass, {word} (openings, {key}) stands twice."
            ));
        }
    }
    if let Some(climbing) = &set.climbing
        && climbing.to_mm <= climbing.from_mm
    {
        found.add(
            "the climbing zone must end (climbing.toMm) above where it begins (climbing.fromMm)."
                .to_owned(),
        );
    }
    for load in &set.loads {
        found.text("loads.what", &load.what);
        if let Some(area) = load.over_square_metres {
            found.within(
                "the area that a load acts over (loads.overSquareMetres)",
                area,
                0.000_1,
                100.0,
                " m²",
            );
        }
    }
}

fn columns(at: &str, columns: &[Millimetres], found: &mut Faults) {
    if columns.is_empty() || columns.len() > MOST_COLUMNS {
        found.add(format!(
            "{at}.postClearMm has {} columns, and may have 1 to {MOST_COLUMNS}.",
            columns.len()
        ));
    }
    for column in columns {
        found.length(&format!("{at}.postClearMm"), *column, 50.0, 20_000.0);
    }
    for (before, after) in columns.iter().zip(columns.iter().skip(1)) {
        if after.whole_nanometres() <= before.whole_nanometres() {
            found.add(format!(
                "{at}.postClearMm must rise, and {} stands after {}.",
                after.value(),
                before.value()
            ));
        }
    }
}

fn line(
    at: &str,
    of: (Millimetres, Millimetres),
    cells: &[Cell],
    (columns, most): (usize, f64),
    found: &mut Faults,
) {
    let (diameter, spacing) = of;
    found.length(&format!("{at}.diameterMm"), diameter, 0.5, 30.0);
    found.length(&format!("{at}.spacingMm"), spacing, 5.0, 1_000.0);
    if cells.len() != columns {
        found.add(format!(
            "the line {} at {} of {at} has {} cells for {columns} post distances.",
            diameter.value(),
            spacing.value(),
            cells.len()
        ));
    }
    for cell in cells {
        found.cell(at, *cell, most);
    }
}

fn tension(table: &TensionTable, found: &mut Faults) {
    let at = "wires.tension";
    columns(at, &table.post_clear_mm, found);
    if table.lines.is_empty() || table.lines.len() > MOST_LINES {
        found.add(format!(
            "{at} has {} lines, and may have 1 to {MOST_LINES}.",
            table.lines.len()
        ));
    }
    let mut seen = BTreeSet::new();
    for row in &table.lines {
        let of = (row.diameter_mm, row.spacing_mm);
        line(
            at,
            of,
            &row.least_n,
            (table.post_clear_mm.len(), 100_000.0),
            found,
        );
        let key = (
            row.diameter_mm.whole_nanometres().to_bits(),
            row.spacing_mm.whole_nanometres().to_bits(),
            format!("{:?}", row.lay),
        );
        if !seen.insert(key) {
            found.add(format!(
                "the line {} {:?} at {} of {at} stands twice.",
                row.diameter_mm.value(),
                row.lay,
                row.spacing_mm.value()
            ));
        }
    }
}

fn deflection(table: &DeflectionTable, found: &mut Faults) {
    let at = "wires.deflection";
    columns(at, &table.post_clear_mm, found);
    let mut seen = BTreeSet::new();
    for row in &table.lines {
        let of = (row.diameter_mm, row.spacing_mm);
        line(
            at,
            of,
            &row.most_mm,
            (table.post_clear_mm.len(), 1_000.0),
            found,
        );
        let key = (
            row.diameter_mm.whole_nanometres().to_bits(),
            row.spacing_mm.whole_nanometres().to_bits(),
        );
        if !seen.insert(key) {
            found.add(format!(
                "the line {} at {} of {at} stands twice.",
                row.diameter_mm.value(),
                row.spacing_mm.value()
            ));
        }
    }
}
