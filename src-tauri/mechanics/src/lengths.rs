//! Inside-to-inside lengths of every wire from the few that were measured.
//!
//! Owns interpolation over posts out of plumb and its spread, and the checks of lengths against
//! each other and against the bays. Invariant: a wire that was not measured is marked
//! interpolated and carries a larger or equal spread for its bow; nothing is extrapolated.
//! Does not know the purpose of a length or the state of the posts.

mod straight;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, finite, not_negative, positive};
use crate::figure::Origin;
use crate::units::Millimetres;

pub use straight::straight_advice;

/// A measured length of one wire.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct LengthReading {
    /// Number of the wire, from the bottom.
    pub wire: u32,
    /// Inside to inside, along the wire.
    pub length: Millimetres,
    /// Standard deviation of the reading.
    pub spread: Millimetres,
}

/// The length of one wire.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct WireLength {
    /// Number of the wire, from the bottom.
    pub wire: u32,
    /// Inside to inside, along the wire.
    pub length: Millimetres,
    /// Measured or interpolated.
    pub origin: Origin,
    /// Standard deviation.
    pub spread: Millimetres,
}

/// The lengths of all wires of a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct RunLengths {
    /// One per wire, from the bottom.
    pub wires: Vec<WireLength>,
    /// Bow B of the posts, where bottom, top and exactly one wire between were measured.
    pub bow: Option<Millimetres>,
}

/// What to do about lengths that do not go together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum LengthAdvice {
    /// Bottom and top differ and nothing between was measured.
    #[serde(rename_all = "camelCase")]
    MeasureMiddle {
        /// Top less bottom.
        difference: Millimetres,
        /// The wire nearest the middle.
        wire: u32,
        /// One sentence.
        sentence: String,
    },
    /// Of three measured neighbours the middle one lies off the straight line between the others.
    #[serde(rename_all = "camelCase")]
    OffTheLine {
        /// The wire of the three that was most likely misread.
        wire: u32,
        /// The three, from the bottom.
        three: [u32; 3],
        /// Length of the middle one less that of the line.
        off: Millimetres,
        /// One sentence.
        sentence: String,
    },
    /// The lengths do not agree with the bays and posts between.
    #[serde(rename_all = "camelCase")]
    BaysDisagree {
        /// Sum of the bays and the widths of the posts between.
        sum: Millimetres,
        /// The wire whose measured length is furthest from that sum.
        wire: u32,
        /// Its length.
        length: Millimetres,
        /// That length less the sum.
        difference: Millimetres,
        /// One sentence.
        sentence: String,
    },
}

/// Difference from which every wire, or at least the middle, is measured (common practice).
pub const MEASURE_EVERY_WIRE_FROM: Millimetres = Millimetres(6.0);

/// How far the length of a wire may lie off the straight line between the measured wires around it: end
/// posts lean, and bow by less than this (common practice).
pub const STRAIGHT_WITHIN: Millimetres = Millimetres(5.0);

/// Spread assumed for the bow of the posts where it was not measured.
pub const ASSUMED_BOW_SPREAD: Millimetres = Millimetres(2.0);

/// Lengths of all wires whose heights are given from the bottom.
///
/// Two readings: straight line, bow unknown with `bow_spread`:
/// D(ζ) = D_b + (D_t − D_b)·ζ, var = (1 − ζ)²s² + ζ²s² + (4ζ(1 − ζ)·s_B)².
/// Three: the bow follows, D(ζ) = … + 4·B·ζ(1 − ζ). More: straight between neighbours, the
/// bow's spread shrunk with the square of their distance.
///
/// # Errors
/// When fewer than two wires are measured (of more than one), a wire is measured twice or
/// unknown, heights do not rise, or the bottom or top wire is missing.
pub fn interpolate(
    heights: &[Millimetres],
    readings: &[LengthReading],
    bow_spread: Millimetres,
) -> Result<RunLengths, MechanicsError> {
    let bow_spread = not_negative("the bow's spread", bow_spread)?;
    check_heights(heights)?;
    let points = known_points(heights, readings)?;
    if points.len() < heights.len().min(2) {
        return Err(MechanicsError::TooFewReadings {
            got: points.len(),
            needed: heights.len().min(2),
        });
    }
    let three = match points.as_slice() {
        [bottom, middle, top] => Some((*bottom, *middle, *top)),
        _ => None,
    };
    let mut wires = Vec::with_capacity(heights.len());
    for (number, height) in (1_u32..).zip(heights) {
        let measured = points.iter().find(|point| point.wire == number);
        let wire = match (measured, three) {
            (Some(point), _) => point.as_measured(),
            (None, Some((bottom, middle, top))) => {
                check_between(number, height.value(), bottom, top)?;
                through_three(number, height.value(), bottom, middle, top)
            }
            (None, None) => between_neighbours(number, height.value(), &points, bow_spread)?,
        };
        wires.push(wire);
    }
    let bow = three.map(|(bottom, middle, top)| {
        let zeta = (middle.height - bottom.height) / (top.height - bottom.height);
        let straight = bottom.length + (top.length - bottom.length) * zeta;
        Millimetres((middle.length - straight) / (4.0 * zeta * (1.0 - zeta)))
    });
    Ok(RunLengths { wires, bow })
}

/// Asks for a reading at the middle where bottom and top differ and nothing between was read.
#[must_use]
pub fn middle_advice(wire_count: u32, readings: &[LengthReading]) -> Option<LengthAdvice> {
    let bottom = readings.iter().min_by_key(|reading| reading.wire)?;
    let top = readings.iter().max_by_key(|reading| reading.wire)?;
    let difference = top.length - bottom.length;
    let middle_known = readings
        .iter()
        .any(|reading| reading.wire > bottom.wire && reading.wire < top.wire);
    if middle_known
        || top.wire.saturating_sub(bottom.wire) < 2
        || difference.abs() < MEASURE_EVERY_WIRE_FROM
    {
        return None;
    }
    let wire = wire_count.div_ceil(2).clamp(bottom.wire + 1, top.wire - 1);
    Some(LengthAdvice::MeasureMiddle {
        difference,
        wire,
        sentence: format!(
            "Bottom and top differ by {}: measure wire {wire} in the middle as well.",
            difference.abs()
        ),
    })
}

/// Compares lengths with the bays and the widths of the posts between the ends.
///
/// Every length is held against the sum, and the one furthest from it is named: the wires between rest
/// on it. `tolerance` is an input.
///
/// # Errors
/// When a bay or post width is not above zero.
pub fn bays_advice(
    bays: &[Millimetres],
    widths_between: &[Millimetres],
    readings: &[LengthReading],
    tolerance: Millimetres,
) -> Result<Option<LengthAdvice>, MechanicsError> {
    for bay in bays {
        positive("a bay", *bay)?;
    }
    for width in widths_between {
        positive("a post's width", *width)?;
    }
    let sum: Millimetres = bays.iter().chain(widths_between).copied().sum();
    let off = |reading: &&LengthReading| (reading.length - sum).abs().value();
    let Some(furthest) = readings.iter().max_by(|a, b| off(a).total_cmp(&off(b))) else {
        return Ok(None);
    };
    let (wire, length) = (furthest.wire, furthest.length);
    let difference = length - sum;
    if difference.abs() <= tolerance {
        return Ok(None);
    }
    Ok(Some(LengthAdvice::BaysDisagree {
        sum,
        wire,
        length,
        difference,
        sentence: format!(
            "Bays and posts between add up to {sum}, and wire {wire} is {length} inside to inside, \
             {} apart: measure one of them again.",
            difference.abs()
        ),
    }))
}

#[derive(Clone, Copy)]
struct Point {
    wire: u32,
    height: f64,
    length: f64,
    spread: f64,
}

impl Point {
    const fn as_measured(&self) -> WireLength {
        WireLength {
            wire: self.wire,
            length: Millimetres(self.length),
            origin: Origin::Measured,
            spread: Millimetres(self.spread),
        }
    }
}

fn check_heights(heights: &[Millimetres]) -> Result<(), MechanicsError> {
    let mut below: Option<f64> = None;
    for (wire, height) in (1_u32..).zip(heights) {
        let height = finite("a wire's height", height.value())?;
        if below.is_some_and(|below| height <= below) {
            return Err(MechanicsError::HeightsNotRising { wire });
        }
        below = Some(height);
    }
    Ok(())
}

fn known_points(
    heights: &[Millimetres],
    readings: &[LengthReading],
) -> Result<Vec<Point>, MechanicsError> {
    let mut points: Vec<Point> = Vec::with_capacity(readings.len());
    for reading in readings {
        let wire = reading.wire;
        let height = wire
            .checked_sub(1)
            .and_then(|index| heights.get(usize::try_from(index).ok()?))
            .ok_or(MechanicsError::UnknownWire { wire })?;
        if points.iter().any(|point| point.wire == wire) {
            return Err(MechanicsError::TwoReadings { wire });
        }
        points.push(Point {
            wire,
            height: height.value(),
            length: positive("an inside-to-inside length", reading.length)?,
            spread: not_negative("a length's spread", reading.spread)?,
        });
    }
    points.sort_by_key(|point| point.wire);
    Ok(points)
}

fn check_between(wire: u32, height: f64, bottom: Point, top: Point) -> Result<(), MechanicsError> {
    if height < bottom.height || height > top.height {
        return Err(MechanicsError::OutsideReadings { wire });
    }
    Ok(())
}

fn through_three(wire: u32, height: f64, bottom: Point, middle: Point, top: Point) -> WireLength {
    let basis = |of: Point, a: Point, b: Point| {
        (height - a.height) * (height - b.height)
            / ((of.height - a.height) * (of.height - b.height))
    };
    let parts = [
        (bottom, basis(bottom, middle, top)),
        (middle, basis(middle, bottom, top)),
        (top, basis(top, bottom, middle)),
    ];
    let length = parts
        .iter()
        .map(|(point, share)| point.length * share)
        .sum();
    let variance: f64 = parts
        .iter()
        .map(|(point, share)| (point.spread * share).powi(2))
        .sum();
    WireLength {
        wire,
        length: Millimetres(length),
        origin: Origin::Interpolated,
        spread: Millimetres(variance.sqrt()),
    }
}

fn between_neighbours(
    wire: u32,
    height: f64,
    points: &[Point],
    bow_spread: f64,
) -> Result<WireLength, MechanicsError> {
    let outside = MechanicsError::OutsideReadings { wire };
    let below = points.iter().rfind(|point| point.height <= height);
    let above = points.iter().find(|point| point.height >= height);
    let (Some(below), Some(above), Some(first), Some(last)) =
        (below, above, points.first(), points.last())
    else {
        return Err(outside);
    };
    let apart = above.height - below.height;
    let zeta = (height - below.height) / apart;
    // A parabola's bow over part of its length falls with the square of that part.
    let share = (apart / (last.height - first.height)).powi(2);
    let bow = 4.0 * zeta * (1.0 - zeta) * bow_spread * share;
    let variance =
        ((1.0 - zeta) * below.spread).powi(2) + (zeta * above.spread).powi(2) + bow.powi(2);
    Ok(WireLength {
        wire,
        length: Millimetres(below.length + (above.length - below.length) * zeta),
        origin: Origin::Interpolated,
        spread: Millimetres(variance.sqrt()),
    })
}
