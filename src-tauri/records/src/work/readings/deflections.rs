//! Deflections under a hung mass, beside the document's table and the tension they tell.

use mechanics::deflection::{DeflectionReading, TensionFromDeflection, read_tension};
use mechanics::{Millimetres, units::Kilograms};

use super::DeflectionCheck;
use crate::job::{Job, Run, Wire};
use crate::model::values;
use crate::subject::Subject;
use crate::work::convert::{mn, nm, strand_of};
use crate::work::ordering::BayRow;
use crate::work::words;

/// Uncertainty of a ruler at a hung mass, assumed (engineering.md section 3).
const RULER: Millimetres = Millimetres(0.5);

pub(super) fn deflections(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    length: Option<Millimetres>,
    rows: &[BayRow],
) -> Vec<DeflectionCheck> {
    let stiffness = strand_of(job, run).map(|(_, f)| mn(f.ea_mn));
    wire.deflections
        .iter()
        .filter_map(|(bay, fact)| {
            let told = fact.told()?;
            let read = told.value?;
            if told
                .with
                .as_ref()
                .is_some_and(|w| w.piece != wire.piece_number)
            {
                return None;
            }
            let subject = format!("bay:{bay}").parse::<Subject>().ok()?;
            let row = rows.iter().find(|r| r.subject == subject);
            #[allow(clippy::cast_precision_loss)] // a few kilograms
            let mass = Kilograms(read.mass_mg as f64 / 1e6);
            let tells = match (row, stiffness, length) {
                (Some(row), Some(axial_stiffness), Some(length)) => {
                    read_tension(&DeflectionReading {
                        clear: Millimetres(row.clear_mm),
                        run: length,
                        axial_stiffness,
                        load: mass.weight(),
                        deflection: nm(read.nm),
                        reading_error: RULER,
                    })
                    .ok()
                }
                _ => None,
            };
            let most = row.and_then(|r| r.most_deflection_mm);
            let margin = most.map(|m| m - nm(read.nm).value());
            let name = row.map_or_else(|| job.name_of(&subject), |r| r.name.clone());
            Some(DeflectionCheck {
                entry: told.id,
                sentence: deflection_words(&name, read, most, tells.as_ref()),
                bay_name: name,
                deflection_mm: nm(read.nm).value(),
                mass_kg: mass.value(),
                most_mm: most,
                table_mass_kg: row.and_then(|r| r.deflection_mass_kg),
                margin_mm: margin,
                gripped_n: tells.map(|t| t.gripped.tension.value()),
                gripped_band_n: tells
                    .and_then(|t| Some((t.gripped.least.value(), t.gripped.most?.value()))),
                sliding_n: tells.map(|t| t.sliding.tension.value()),
            })
        })
        .collect()
}

fn deflection_words(
    bay: &str,
    read: values::Deflection,
    most: Option<f64>,
    tells: Option<&TensionFromDeflection>,
) -> String {
    let limit = most.map_or_else(String::new, |m| {
        format!(" The table lets it be {m} mm at most.")
    });
    let tension = tells.map_or_else(String::new, |t| {
        format!(
            " It tells {:.0} N with the wire gripped at the posts, {:.0} N with it sliding.",
            t.gripped.tension.value(),
            t.sliding.tension.value()
        )
    });
    format!(
        "{} under {} at mid span of {bay}.{limit}{tension}",
        words::mm(read.nm),
        words::kilograms(read.mass_mg)
    )
}
