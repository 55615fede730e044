//! A wire that runs on round a corner post.
//!
//! Invariant: the length is made of measured straight legs; the bend only takes off.
//! Does not say whether a wire may run on round a corner: many rules and makers forbid it.

use crate::error::{MechanicsError, not_negative, positive, within};
use crate::units::{Degrees, Millimetres, Newtons};

/// What a bend of radius r over φ saves against two straight legs to the corner's point.
///
/// 2·r·tan(φ/2) − r·φ.
///
/// # Errors
/// When the radius is below zero or the bend is not within 0° to 150°.
pub fn bend_saving(radius: Millimetres, bend: Degrees) -> Result<Millimetres, MechanicsError> {
    let radius = not_negative("the bend's radius", radius.value())?;
    let angle = bend_radians(bend)?;
    Ok(Millimetres(
        2.0 * radius * (angle / 2.0).tan() - radius * angle,
    ))
}

/// Length of a wire through corners: the straight legs less what each bend saves.
///
/// # Errors
/// When a leg is not above zero or a bend cannot be.
pub fn length_through(
    legs: &[Millimetres],
    bends: &[(Millimetres, Degrees)],
) -> Result<Millimetres, MechanicsError> {
    let mut length = Millimetres(0.0);
    for leg in legs {
        length += Millimetres(positive("a leg", leg.value())?);
    }
    for (radius, bend) in bends {
        length -= bend_saving(*radius, *bend)?;
    }
    Ok(length)
}

/// Tension left behind a bend with friction: T·e^(−μ·φ) (Euler–Eytelwein).
///
/// # Errors
/// When the tension or the friction is below zero, or the bend is not within 0° to 150°.
pub fn tension_behind(
    tension: Newtons,
    friction: f64,
    bend: Degrees,
) -> Result<Newtons, MechanicsError> {
    let tension = not_negative("the tension", tension.value())?;
    let friction = not_negative("the friction", friction)?;
    Ok(Newtons(tension * (-friction * bend_radians(bend)?).exp()))
}

fn bend_radians(bend: Degrees) -> Result<f64, MechanicsError> {
    within("the bend in degrees", bend.value(), 0.0, 150.0).map(f64::to_radians)
}
