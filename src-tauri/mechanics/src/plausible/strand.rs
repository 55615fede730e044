//! A strand's figures as they come in: asked about where they are far from what strand of its size has.
//!
//! Invariant: a questioned figure is never changed. What is usual is common practice, no published
//! source.

use std::ops::RangeInclusive;

use crate::strand::Construction;
use crate::units::{Millimetres, Newtons};

/// Usual breaking load of stainless strand over its whole circle, N/mm².
pub const BREAKING_USUAL: RangeInclusive<f64> = 600.0..=1400.0;

/// Asks about a breaking load that is far from what strand of this diameter holds: pounds or
/// kilograms taken for newtons, a digit too many.
///
/// The load over the area of the whole circle, π·d²/4 in mm², so that every lay stands beside one
/// band.
#[must_use]
pub fn question_breaking(diameter: Millimetres, load: Newtons) -> Option<String> {
    let area = std::f64::consts::PI * diameter.value().powi(2) / 4.0;
    let (least, most) = (BREAKING_USUAL.start() * area, BREAKING_USUAL.end() * area);
    (!(least..=most).contains(&load.value())).then(|| {
        format!(
            "A breaking load of {load} is unusual for strand of {diameter}, where {} to {} is common. Is the unit right?",
            Newtons(least.round()),
            Newtons(most.round())
        )
    })
}

/// Usual axial stiffness of stainless strand over its whole circle, N/mm²: the softest lay of many
/// wires to a bar of steel.
pub const STIFFNESS_USUAL: RangeInclusive<f64> = 20_000.0..=160_000.0;

/// The same of a strand whose lay is known: over the area of its wires 120 to 150 GPa are usual for 1x19
/// and 70 to 115 GPa for strands of strands (common practice), of which the wires fill some 76 and 57 hundredths
/// of the circle. A modulus that was taken on the whole circle lies above.
fn stiffness_usual(lay: Option<Construction>) -> RangeInclusive<f64> {
    match lay {
        Some(Construction::OneByNineteen) => 70_000.0..=116_000.0,
        Some(Construction::SevenBySeven | Construction::SevenByNineteen) => 35_000.0..=75_000.0,
        None => STIFFNESS_USUAL,
    }
}

/// Asks about an axial stiffness EA that is far from what strand of this diameter and lay has.
///
/// Over the area of the whole circle, as [`question_breaking`].
#[must_use]
pub fn question_stiffness(
    diameter: Millimetres,
    lay: Option<Construction>,
    stiffness: Newtons,
) -> Option<String> {
    let area = std::f64::consts::PI * diameter.value().powi(2) / 4.0;
    let kilonewtons = |newtons: f64| format!("{:.0}\u{a0}kN", newtons / 1e3);
    let usual = stiffness_usual(lay);
    let (least, most) = (usual.start() * area, usual.end() * area);
    (!(least..=most).contains(&stiffness.value())).then(|| {
        format!(
            "An axial stiffness of {} is unusual for strand of {diameter}, where {} to {} is common. Is the unit right?",
            kilonewtons(stiffness.value()),
            kilonewtons(least),
            kilonewtons(most)
        )
    })
}
