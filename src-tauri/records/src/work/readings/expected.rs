//! How far the wires of each bay are expected to go down under the hung mass, said before it is hung.
//!
//! A guide beside the document's own limit, which alone decides. From a wire that is gripped at the
//! posts, which is how a reading is told first, to one that slides through all of them.

use mechanics::deflection::{Held, Span, deflection_under_load, ruler_room, span};
use mechanics::units::Kilograms;
use mechanics::{Millimetres, Newtons};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::deflections::RULER;
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
    /// That a ruler leaves more open here than lies between required and upper tension, with what to do
    /// instead; none where it tells enough, or where one of the two tensions is not known.
    pub too_coarse: Option<TooCoarse>,
}

/// A deflection so small that half a millimetre of the ruler makes more of the tension than there is room.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TooCoarse {
    /// The deflection looked at, millimetres.
    pub down_mm: f64,
    /// Tension that half a millimetre more of it tells, newtons.
    pub least_n: f64,
    /// The same of half a millimetre less; none where that leaves no deflection.
    pub most_n: Option<f64>,
    /// Upper tension less required.
    pub room_n: f64,
    /// Mass under which the ruler tells enough, kilograms; none where none up to ten times the usual does,
    /// and where the table's own limit goes with its own mass.
    pub from_kg: Option<f64>,
    /// One sentence or two.
    pub sentence: String,
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
    (required, set, upper): (Option<Newtons>, Option<Newtons>, Option<Newtons>),
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
            too_coarse: None,
        });
        if let (Some(required), Some(upper)) = (required, upper) {
            let gripped = span(clear, clear, stiffness, Held::Gripped);
            let looked = Look {
                name: &bay.name,
                span: &gripped,
                load,
                mass,
                limit: row.and_then(|row| row.most_deflection_mm).map(Millimetres),
                clear,
                required,
                set: set.unwrap_or(required),
                upper,
            };
            if let Some(last) = found.last_mut() {
                last.too_coarse = looked.too_coarse()?;
            }
        }
    }
    name_finer(&mut found);
    Ok(found)
}

/// A bay that is looked at for whether a ruler tells enough there.
struct Look<'a> {
    name: &'a str,
    span: &'a Span,
    load: Newtons,
    mass: Kilograms,
    /// The table's largest deflection.
    limit: Option<Millimetres>,
    clear: Millimetres,
    required: Newtons,
    /// What the wire stands at when the mass is hung.
    set: Newtons,
    upper: Newtons,
}

impl Look<'_> {
    /// The wire's tension under a load at mid span: P·√((L/2)² + δ²) ÷ 2δ.
    fn under(&self, load: Newtons) -> Result<Newtons, WorkError> {
        let down = deflection_under_load(self.span, self.set, load)?.value();
        let leg = (self.clear.value() / 2.0).hypot(down);
        Ok(load * (leg / (2.0 * down)))
    }

    /// Whether half a millimetre of the ruler makes more than the room, at what the required tension lets the
    /// wire go down, or at the table's own limit.
    fn too_coarse(&self) -> Result<Option<TooCoarse>, WorkError> {
        let room = self.upper - self.required;
        if room.value() <= 0.0 {
            return Ok(None);
        }
        let at_required = deflection_under_load(self.span, self.required, self.load)?;
        let at = [
            (
                Some(at_required),
                format!("at the {} required", self.required),
            ),
            (self.limit, "at the table's limit".to_owned()),
        ];
        for (down, place) in at {
            // A limit that only a slack wire reaches tells no tension.
            let told = down.and_then(|d| ruler_room(self.span, self.load, d, RULER, room).ok());
            let Some(told) = told.filter(|told| !told.enough) else {
                continue;
            };
            let open = match told.band.most {
                Some(most) => format!(
                    "anything from {:.0} to {:.0} N",
                    told.band.least.value(),
                    most.value()
                ),
                None => format!("anything from {:.0} N on", told.band.least.value()),
            };
            // The table's limit goes with its own mass: under more the wire would stand over it. And no mass is
            // named that pulls the wire over the upper tension.
            let from = told.enough_from.filter(|_| self.limit.is_none());
            let from = match from {
                Some(load) if self.under(load)? <= self.upper => Some(load),
                _ => None,
            };
            let from_kg =
                from.map(|load| (self.mass.value() * (load / self.load) * 10.0).ceil() / 10.0);
            let more = from_kg.map_or_else(String::new, |kg| format!(", or hang {kg} kg"));
            return Ok(Some(TooCoarse {
                down_mm: told.deflection.value(),
                least_n: told.band.least.value(),
                most_n: told.band.most.map(Newtons::value),
                room_n: room.value(),
                from_kg,
                sentence: format!(
                    "In {} a ruler is too coarse for {} kg: {place} the wire goes down {}, and half a \
                     millimetre makes {open} of it, more than the {room} between required and upper. \
                     Take a gauge here{more}.",
                    self.name,
                    self.mass.value(),
                    told.deflection,
                ),
            }));
        }
        Ok(None)
    }
}

/// Names the bays in which a ruler tells enough beside those in which it does not.
fn name_finer(found: &mut [ExpectedDown]) {
    let fine: Vec<String> = found
        .iter()
        .filter(|bay| bay.too_coarse.is_none() && bay.at_required_mm.is_some())
        .map(|bay| bay.bay_name.clone())
        .collect();
    let words = match fine.as_slice() {
        [] => " No bay of this run whose distance is known is long enough.".to_owned(),
        names => format!(" The mass tells enough in {}.", names.join(", ")),
    };
    for bay in found.iter_mut() {
        if let Some(coarse) = &mut bay.too_coarse {
            coarse.sentence.push_str(&words);
        }
    }
}
