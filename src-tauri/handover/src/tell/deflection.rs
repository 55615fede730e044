//! The row of the deflection table of a bay, beside that of the tension table.

use records::work::{BayRow, NextDeflection, NextRow};

use super::words;

/// The row of the deflection table and what is in hand before its next ones, where it is not the
/// row of the tension table: the two have columns of their own.
pub(super) fn row_apart(row: &BayRow) -> Option<String> {
    let (clear, spacing) = (row.deflection_clear_mm?, row.deflection_spacing_mm?);
    let next = |here: Option<&NextDeflection>| here.map(|n| n.distance_mm);
    let beside = |there: Option<&NextRow>| there.map(|n| n.distance_mm);
    let alike = row.row_clear_mm == Some(clear)
        && row.row_spacing_mm == Some(spacing)
        && next(row.deflection_longer.as_ref()) == beside(row.longer.as_ref());
    if alike {
        return None;
    }
    let mut told = format!(
        "its row {} / {}",
        words::number(clear),
        words::number(spacing)
    );
    if let Some(longer) = &row.deflection_longer {
        told.push_str(&format!(
            ", next {} mm on",
            words::number(longer.distance_mm)
        ));
    }
    Some(told)
}
