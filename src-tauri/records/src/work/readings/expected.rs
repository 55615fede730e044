//! How far the wires of each bay are expected to go down under the hung mass, said before it is hung.
//!
//! A guide beside the document's own limit, which alone decides. From a wire that is gripped at the
//! posts, which is how a reading is told first, to one that slides through all of them.

use mechanics::deflection::{Held, deflection_under_load, span};
use mechanics::units::Kilograms;
use mechanics::{Millimetres, Newtons};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::job::{Job, Run};
use crate::subject::Subject;
use crate::work::WorkError;
use crate::work::convert::{mn, no_slope, slope_of, strand_of};
use crate::work::ordering::BayRow;
use crate::work::supports::{clear_along, whole_length};

/// The mass where the document's table names none (common practice).
const USUAL: Kilograms = Kilograms(2.0);

/// Gripped at the posts, and sliding through all of them.
type Down = (f64, Option<f64>);

/// What a ruler at mid span of a bay is expected to show under the mass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ExpectedDown {
    /// The bay.
    pub bay: Subject,
    /// Its name.
    pub bay_name: String,
    /// The table's mass, else two kilograms.
    pub mass_kg: f64,
    /// Square to a wire at what it has to show at least, millimetres: gripped, and sliding where every
    /// bay is known.
    pub at_required_mm: Option<Down>,
    /// The same at its set tension.
    pub at_set_mm: Option<Down>,
}

/// For each bay whose clear distance is known and that the table counts as one; none without a strand, or
/// on a rake whose slope is not told.
///
/// # Errors
/// When a figure of the run can't be.
pub(super) fn expected(
    job: &Job<'_>,
    run: &Run,
    rows: &[BayRow],
    (required, set): (Option<Newtons>, Option<Newtons>),
) -> Result<Vec<ExpectedDown>, WorkError> {
    let Some(stiffness) = strand_of(job, run).map(|(_, figures)| mn(figures.ea_mn)) else {
        return Ok(Vec::new());
    };
    if no_slope(run).is_some() {
        return Ok(Vec::new());
    }
    let slope = slope_of(run)?;
    let known = run.bays.iter().all(|bay| bay.longest.is_some());
    let whole = whole_length(run)?;
    let mut found = Vec::new();
    for bay in &run.bays {
        let Some(clear) = clear_along(bay, slope)? else {
            continue;
        };
        let row = rows.iter().find(|row| row.bays.contains(&bay.subject));
        // Of several that count as one, the table's limit holds at their own mid span.
        if row.is_some_and(|row| row.bays.len() > 1) {
            continue;
        }
        let mass = row
            .and_then(|row| row.deflection_mass_kg)
            .map_or(USUAL, Kilograms);
        // On a rake only a part of the weight lies across the wire.
        let load = mass.weight() * slope.radians().cos();
        let down = |tension: Option<Newtons>| -> Result<Option<Down>, WorkError> {
            let Some(tension) = tension else {
                return Ok(None);
            };
            let held = |held| {
                let span = span(clear, whole.max(clear), stiffness, held);
                deflection_under_load(&span, tension, load).map(Millimetres::value)
            };
            let sliding = known.then(|| held(Held::Sliding)).transpose()?;
            Ok(Some((held(Held::Gripped)?, sliding)))
        };
        found.push(ExpectedDown {
            bay: bay.subject,
            bay_name: bay.name.clone(),
            mass_kg: mass.value(),
            at_required_mm: down(required)?,
            at_set_mm: down(set)?,
        });
    }
    Ok(found)
}
