//! A phone clamped at mid span as a known mass: tension from the frequency of its swing.
//!
//! T = π²·f²·L·(M + mL/3)·(1 − (4/ξ)·tanh(ξ/4)), ξ = L·√(T/EI): the static shape of a clamped
//! stiff string under a load at its middle, carried by the hung mass and a third of the wire's.
//! Invariant: the strand's EI is carried as its two bounds, and the pull that the mass itself
//! puts on a slack wire counts in the lower edge. Does not take the frequency from samples:
//! see the motion.

use serde::{Deserialize, Serialize};

use super::motion::{MotionSample, Swing, swing};
use super::refusal::Refusal;
use super::stiff::bending_bounds;
use super::{BUDGET, FreeSpan, GUIDE, LEAST_SLENDERNESS, WIDE_SLENDERNESS};
use super::{refused_before, slenderness, tension_range};
use crate::error::{MechanicsError, not_negative, positive};
use crate::units::{Hertz, Kilograms, NewtonSquareMetres, Newtons};

/// A mass clamped at mid span.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct HungMass {
    /// The span.
    pub span: FreeSpan,
    /// EA of the strand, for what the mass itself pulls.
    pub axial_stiffness: Newtons,
    /// M: phone, clamp and whatever hangs with them, as weighed.
    pub mass: Kilograms,
}

/// What a swing tells.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum SwingAnswer {
    /// A tension, as a guide.
    #[serde(rename_all = "camelCase")]
    Guide {
        /// The reading.
        reading: SwingReading,
    },
    /// No tension.
    #[serde(rename_all = "camelCase")]
    Refused {
        /// Why.
        refusal: Refusal,
    },
}

/// A tension read from a swing: a guide for evening up, never evidence.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct SwingReading {
    /// Frequency it rests on.
    pub frequency: Hertz,
    /// Middle between the two bounds of bending.
    pub tension: Newtons,
    /// Strand's wires slipping: the higher answer.
    pub slipping: Newtons,
    /// Strand as a solid bar: the lower answer.
    pub solid: Newtons,
    /// Lower edge of the band, less what the hung mass itself pulls where the wire is gripped.
    pub least: Newtons,
    /// Upper edge of the band.
    pub most: Newtons,
    /// L/√(EI/T) with the largest EI of the strand and the tension that it tells.
    pub slenderness: f64,
    /// The wire is so short for its stiffness that both bounds of bending lie far apart.
    pub wide: bool,
    /// What was hung, and where.
    pub hung: HungMass,
    /// The motion, where the frequency was taken from one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub swing: Option<Swing>,
    /// What to say beside it: [`GUIDE`].
    pub standing: String,
}

/// Swings at or above this are not answered.
const FASTEST: Hertz = Hertz(42.0);
/// Wire of the span over hung mass; above, the shape is no longer that of the load at its middle.
const LIGHTEST_RATIO: f64 = 1.5;
/// Over what a wire without tension reads, so that bending and noise do not lift one past it.
const SLACK_MARGIN: f64 = 1.1;

/// Tension from the frequency of the swing at a bending stiffness; zero where bending is all.
///
/// # Errors
/// When an input cannot be.
pub fn swing_tension(
    hung: &HungMass,
    frequency: Hertz,
    bending: NewtonSquareMetres,
) -> Result<Newtons, MechanicsError> {
    let per_square = per_square_hertz(hung)?;
    let frequency = positive("the frequency of the swing", frequency)?;
    let bending = not_negative("the bending stiffness EI", bending)?;
    let bare = per_square * frequency * frequency;
    // What is read, T over the string's share, grows with T; bending alone reads more than zero.
    let (mut low, mut high) = (0.0, bare);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            break;
        }
        if middle < bare * string_share(hung, middle, bending) {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(Newtons(high))
}

/// Reads the tension from the frequency of the swing, with its band.
///
/// # Errors
/// When an input cannot be. A swing that tells no tension is an answer.
pub fn read_swing(hung: &HungMass, frequency: Hertz) -> Result<SwingAnswer, MechanicsError> {
    Ok(match tell(hung, frequency)? {
        Ok(reading) => SwingAnswer::Guide { reading },
        Err(refusal) => SwingAnswer::Refused { refusal },
    })
}

/// Reads the tension from the samples of a motion sensor, along whichever axis swings.
///
/// # Errors
/// When an input cannot be. Motion that tells no tension is an answer.
pub fn read_motion(
    hung: &HungMass,
    samples: &[MotionSample],
) -> Result<SwingAnswer, MechanicsError> {
    check(hung)?;
    let refused = |refusal| Ok(SwingAnswer::Refused { refusal });
    // Of a span that is never answered no motion need be looked at.
    if let Some(refusal) = refused_hung(hung)? {
        return refused(refusal);
    }
    let swing = match swing(samples) {
        Ok(swing) => swing,
        Err(refusal) => return refused(refusal),
    };
    // A swing above half the sampling shows mirrored below it; that comes before what the mirror would tell.
    let other = swing.rate - swing.frequency;
    let bounds = bending_bounds(hung.span.diameter, hung.span.construction)?;
    if swing_tension(hung, other, bounds.solid)? <= tension_range(&hung.span, &bounds)?.1 {
        return refused(Refusal::SensorTooSlow {
            rate: swing.rate,
            other,
        });
    }
    Ok(match read_swing(hung, swing.frequency)? {
        SwingAnswer::Guide { reading } => SwingAnswer::Guide {
            reading: SwingReading {
                swing: Some(swing),
                ..reading
            },
        },
        SwingAnswer::Refused { refusal } => SwingAnswer::Refused { refusal },
    })
}

/// Axes that both tell a swing tell the same one within this share.
const AXES_AGREE: f64 = 0.03;

/// Reads the tension from a motion sensor of several axes: from the one whose swing explains most.
///
/// Axes that tell different swings tell none. Where no axis tells one, the reason is that of the
/// axis that moved most.
///
/// # Errors
/// As [`read_motion`].
pub fn read_axes(
    hung: &HungMass,
    axes: &[Vec<MotionSample>],
) -> Result<SwingAnswer, MechanicsError> {
    check(hung)?;
    let (mut told, mut refusals): (Vec<SwingReading>, Vec<(f64, Refusal)>) = Default::default();
    for axis in axes {
        match read_motion(hung, axis)? {
            SwingAnswer::Guide { reading } => told.push(reading),
            SwingAnswer::Refused { refusal } => refusals.push((moved(axis), refusal)),
        }
    }
    let share = |reading: &SwingReading| reading.swing.map_or(0.0, |swing| swing.share);
    told.sort_by(|a, b| share(b).total_cmp(&share(a)));
    let refused = |refusal| Ok(SwingAnswer::Refused { refusal });
    let Some(best) = told.first() else {
        let most = refusals.into_iter().max_by(|a, b| a.0.total_cmp(&b.0));
        return refused(most.map_or(Refusal::Empty, |(_, refusal)| refusal));
    };
    let apart = |other: &SwingReading| (other.frequency / best.frequency - 1.0).abs();
    if told.iter().any(|other| apart(other) > AXES_AGREE) {
        return refused(Refusal::NoSwing);
    }
    Ok(SwingAnswer::Guide {
        reading: best.clone(),
    })
}

/// How much an axis moved: its variance; above all others where that is no number, so that damage is told.
fn moved(axis: &[MotionSample]) -> f64 {
    let count = axis.len().max(1) as f64;
    let mean = axis.iter().map(|s| s.acceleration).sum::<f64>() / count;
    let sum: f64 = axis.iter().map(|s| (s.acceleration - mean).powi(2)).sum();
    let variance = sum / count;
    if variance.is_finite() {
        variance
    } else {
        f64::INFINITY
    }
}

fn tell(
    hung: &HungMass,
    frequency: Hertz,
) -> Result<Result<SwingReading, Refusal>, MechanicsError> {
    check(hung)?;
    positive("the frequency of the swing", frequency)?;
    if let Some(refusal) = refused_hung(hung)? {
        return Ok(Err(refusal));
    }
    if frequency >= FASTEST {
        return Ok(Err(Refusal::SwingTooFast {
            frequency,
            limit: FASTEST,
        }));
    }
    let bounds = bending_bounds(hung.span.diameter, hung.span.construction)?;
    let slipping = swing_tension(hung, frequency, bounds.slipping)?;
    let solid = swing_tension(hung, frequency, bounds.solid)?;
    let slender = slenderness(&hung.span, &bounds, solid);
    if slender < LEAST_SLENDERNESS {
        return Ok(Err(Refusal::TooStiff {
            slenderness: slender,
            least: LEAST_SLENDERNESS,
        }));
    }
    let tension = (slipping + solid) / 2.0;
    let range = tension_range(&hung.span, &bounds)?;
    if slipping > range.1 {
        return Ok(Err(Refusal::OutsideRange {
            tension,
            least: range.0,
            most: range.1,
        }));
    }
    let Some(relieved) = without_own_pull(hung, solid) else {
        return Ok(Err(Refusal::TooSlackForMass {
            tension,
            least: least_taut(hung) * SLACK_MARGIN,
        }));
    };
    Ok(Ok(SwingReading {
        frequency,
        tension,
        slipping,
        solid,
        least: relieved.min(tension * (1.0 - BUDGET)),
        most: slipping.max(tension * (1.0 + BUDGET)),
        slenderness: slender,
        wide: slender < WIDE_SLENDERNESS,
        hung: *hung,
        swing: None,
        standing: GUIDE.to_owned(),
    }))
}

/// What is refused before anything swings: the span, and a mass too light beside its wire.
fn refused_hung(hung: &HungMass) -> Result<Option<Refusal>, MechanicsError> {
    if let Some(refusal) = refused_before(&hung.span)? {
        return Ok(Some(refusal));
    }
    let ratio = wire_mass(hung) / hung.mass.value();
    let limit = LIGHTEST_RATIO;
    Ok((ratio > limit).then_some(Refusal::PhoneTooLight { ratio, limit }))
}

fn check(hung: &HungMass) -> Result<(), MechanicsError> {
    per_square_hertz(hung)?;
    positive("the strand's stiffness EA", hung.axial_stiffness)?;
    Ok(())
}

/// π²·L·(M + mL/3): the tension of a bare string per hertz squared.
fn per_square_hertz(hung: &HungMass) -> Result<f64, MechanicsError> {
    let length = positive("the span", hung.span.length)? * 1.0e-3;
    positive("the mass per metre", hung.span.mass)?;
    let mass = positive("the hung mass", hung.mass)?;
    Ok(std::f64::consts::PI.powi(2) * length * (mass + wire_mass(hung) / 3.0))
}

fn wire_mass(hung: &HungMass) -> f64 {
    hung.span.mass.value() * hung.span.length.value() * 1.0e-3
}

/// 1 − (4/ξ)·tanh(ξ/4).
fn string_share(hung: &HungMass, tension: f64, bending: f64) -> f64 {
    if bending == 0.0 {
        return 1.0;
    }
    let quarter = hung.span.length.value() * 1.0e-3 * (tension / bending).sqrt() / 4.0;
    // Below this the difference of two nearly equal numbers is lost: its series instead.
    if quarter < 1.0e-3 {
        quarter * quarter / 3.0
    } else {
        1.0 - quarter.tanh() / quarter
    }
}

/// Tension before the mass was hung, from the stiffness that a swing up and down shows.
///
/// With u = δ/L, W = 4·T0·u + 8·EA·u³ and the stiffness 4T/L read is 4·T0/L + 24·EA·u²/L, so
/// T = W/(4u) + 4·EA·u². Where two T0 could read alike there is no answer.
fn without_own_pull(hung: &HungMass, read: Newtons) -> Option<Newtons> {
    let (weight, stiffness) = (hung.mass.weight().value(), hung.axial_stiffness.value());
    if read < least_taut(hung) * SLACK_MARGIN {
        return None;
    }
    let (mut low, mut high) = (0.0, (weight / (32.0 * stiffness)).cbrt());
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if weight / (4.0 * middle) + 4.0 * stiffness * middle * middle > read.value() {
            low = middle;
        } else {
            high = middle;
        }
    }
    let sag = f64::midpoint(low, high);
    Some(Newtons(weight / (4.0 * sag) - 2.0 * stiffness * sag * sag))
}

/// What a wire without any tension reads with this mass on it: 3/2·∛(EA·W²), where W = 8·EA·u³.
///
/// Below it a nearly slack wire and a tauter one read alike.
fn least_taut(hung: &HungMass) -> Newtons {
    let (weight, stiffness) = (hung.mass.weight().value(), hung.axial_stiffness.value());
    Newtons(1.5 * (stiffness * weight * weight).cbrt())
}
