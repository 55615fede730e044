//! Tension from the sound of a plucked wire, and from the swing of a phone hung at mid span.
//!
//! Owns the stiff string, the estimate from three plucks with its gate, and the hung mass.
//! Invariant: what is told here evens wires up and proves nothing; no answer of this module ticks
//! a table, and where the gate fails there is a reason in place of a number. Does not record,
//! read files or keep readings; stereo is split by the caller.

mod answer;
mod comb;
pub mod even;
mod fit;
mod motion;
mod phone;
mod pluck;
mod refusal;
mod screen;
mod spectrum;
mod stiff;
mod words;

use answer::{combine, refused};
use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, positive};
use crate::strand::{Construction, metallic_area};
use crate::units::{KilogramsPerMetre, Millimetres, Newtons};

pub use answer::{PluckAnswer, SoundAnswer, SoundReading};
pub use fit::{Partial, StringFit, fit_partials};
pub use motion::{MotionSample, Swing, swing};
pub use phone::{
    HungMass, SwingAnswer, SwingReading, read_axes, read_motion, read_swing, swing_tension,
};
pub use pluck::{PluckReading, Recording};
pub use refusal::Refusal;
pub use stiff::{BendingBounds, EndHold, SoundingLength, bending_bounds, frequency};

/// How the wire is held at the ends of the span that sounds.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Supports {
    /// Pinched at both ends, by hand or clamp, and measured from pinch to pinch.
    Pinched,
    /// Through sleeves.
    Sleeved,
    /// Loose in its holes.
    Loose,
    /// Nobody said.
    NotSaid,
}

/// A span of wire that is free to swing between its pinches.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct FreeSpan {
    /// L: from pinch to pinch, along the wire.
    pub length: Millimetres,
    /// m: mass per length of the strand.
    pub mass: KilogramsPerMetre,
    /// Nominal diameter.
    pub diameter: Millimetres,
    /// Lay.
    pub construction: Construction,
    /// How the ends of the span are held.
    pub supports: Supports,
}

/// Band of a reading by sound, ±: mass, length and ends of the span (a budget, not measured).
pub const BUDGET: f64 = 0.10;
/// What stands beside every answer.
pub const GUIDE: &str = "a guide only; prove with gauge or 2 kg";
/// Plucks asked for.
const PLUCKS: usize = 3;
/// L/√(EI/T) below which nothing is answered.
pub const LEAST_SLENDERNESS: f64 = 15.0;
/// L/√(EI/T) below which what is told is wide: held and free ends, or the bounds of bending, lie apart.
pub const WIDE_SLENDERNESS: f64 = 30.0;
/// Least tension that is looked for.
const LEAST_TENSION: f64 = 50.0;
/// Largest that is looked for, as stress on the metallic area, MPa: about half of what breaks it.
const MOST_STRESS: f64 = 700.0;
/// Least span up to 3.2 mm, and from there to 5 mm.
const SPANS: [(f64, f64); 2] = [(3.2, 800.0), (5.0, 1200.0)];

/// Reads the tension of a wire from three plucks or more, each its own recording.
///
/// Two of three must pass the gate and lie within 3 % of one another; of more, over half.
///
/// # Errors
/// When length, mass, diameter or a sampling rate cannot be. What cannot be heard is an answer.
pub fn read_plucks(
    wire: &FreeSpan,
    plucks: &[Recording<'_>],
) -> Result<SoundAnswer, MechanicsError> {
    if let Some(refusal) = refused_before(wire)? {
        return Ok(refused(refusal, Vec::new()));
    }
    if plucks.len() < PLUCKS {
        return Ok(refused(
            Refusal::TooFewPlucks {
                taken: plucks.len(),
                needed: PLUCKS,
            },
            Vec::new(),
        ));
    }
    let mut answers = Vec::with_capacity(plucks.len());
    for pluck in plucks {
        answers.push(read_pluck(wire, pluck)?);
    }
    combine(wire, answers)
}

/// Reads one pluck: what [`read_plucks`] puts together, and no answer by itself.
///
/// # Errors
/// As [`read_plucks`].
pub fn read_pluck(
    wire: &FreeSpan,
    pluck: &Recording<'_>,
) -> Result<Result<PluckReading, Refusal>, MechanicsError> {
    if let Some(refusal) = refused_before(wire)? {
        return Ok(Err(refusal));
    }
    let bounds = bending_bounds(wire.diameter, wire.construction)?;
    let range = tension_range(wire, &bounds)?;
    let rate = positive("the sampling rate", pluck.rate)?;
    let reading = match pluck::read(pluck.samples, rate, &sounding(wire), &bounds, range) {
        Ok(reading) => reading,
        Err(refusal) => return Ok(Err(refusal)),
    };
    let tension = reading.fit.clamped;
    let slenderness = slenderness(wire, &bounds, tension);
    if slenderness < LEAST_SLENDERNESS {
        return Ok(Err(Refusal::TooStiff {
            slenderness,
            least: LEAST_SLENDERNESS,
        }));
    }
    // A best answer at the very edge of the search may be the foot of one beyond it.
    if tension < range.0 * 1.01 || tension > range.1 / 1.01 {
        return Ok(Err(Refusal::OutsideRange {
            tension,
            least: range.0,
            most: range.1,
        }));
    }
    Ok(Ok(reading))
}

/// Cuts one recording of several plucks into one recording each, at every sudden rise.
///
/// # Errors
/// When the sampling rate is not above zero.
pub fn split_plucks<'a>(recording: &Recording<'a>) -> Result<Vec<Recording<'a>>, MechanicsError> {
    let rate = positive("the sampling rate", recording.rate)?;
    Ok(screen::cut(recording.samples, rate)
        .into_iter()
        .map(|samples| Recording {
            samples,
            rate: recording.rate,
        })
        .collect())
}

/// What is refused before anything is heard: supports, span and strand.
///
/// # Errors
/// When length, mass or diameter is not above zero.
pub fn refused_before(wire: &FreeSpan) -> Result<Option<Refusal>, MechanicsError> {
    let length = positive("the sounding length", wire.length)?;
    positive("the mass per metre", wire.mass)?;
    let diameter = positive("the strand's diameter", wire.diameter)?;
    let unheld = match wire.supports {
        Supports::Pinched => None,
        Supports::Sleeved => Some(Refusal::Sleeved),
        Supports::Loose => Some(Refusal::LooseSupports),
        Supports::NotSaid => Some(Refusal::SupportsNotSaid),
    };
    if unheld.is_some() {
        return Ok(unheld);
    }
    let Some((_, least)) = SPANS.iter().find(|(most, _)| diameter <= *most) else {
        return Ok(Some(Refusal::StrandTooThick {
            diameter: wire.diameter,
            most: Millimetres(5.0),
        }));
    };
    if length < *least {
        return Ok(Some(Refusal::SpanTooShort {
            length: wire.length,
            least: Millimetres(*least),
        }));
    }
    Ok(None)
}

fn sounding(wire: &FreeSpan) -> SoundingLength {
    SoundingLength {
        length: wire.length,
        mass: wire.mass,
    }
}

/// L/√(EI/T) with the largest EI.
fn slenderness(wire: &FreeSpan, bounds: &BendingBounds, tension: Newtons) -> f64 {
    wire.length.value() * 1.0e-3 / (bounds.solid.value() / tension.value()).sqrt()
}

/// Tensions that are looked for: slender enough for the formula, and within what the strand bears.
fn tension_range(
    wire: &FreeSpan,
    bounds: &BendingBounds,
) -> Result<(Newtons, Newtons), MechanicsError> {
    let length = wire.length.value() * 1.0e-3;
    let slender = 0.8 * LEAST_SLENDERNESS.powi(2) * bounds.solid.value() / (length * length);
    let area = metallic_area(wire.diameter, wire.construction)?;
    Ok((
        Newtons(LEAST_TENSION.max(slender)),
        Newtons(MOST_STRESS * area.value()),
    ))
}
