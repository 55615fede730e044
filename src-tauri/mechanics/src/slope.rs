//! Rake geometry: level and plumb measures turned along and square to the wires.
//!
//! Invariant: slopes stay within ±75°, so no cosine comes near zero. Does not derive a cut
//! length from an angle: half a degree at 35° over 2 m is 15 mm, so lengths are measured.

use crate::error::{MechanicsError, finite, positive, within};
use crate::units::{Degrees, Millimetres};

/// Steepest slope that is answered.
pub const STEEPEST: Degrees = Degrees(75.0);

/// Slope of a stair from its riser and going: atan(rise/going).
///
/// # Errors
/// When riser or going is not above zero, or the slope is steeper than [`STEEPEST`].
pub fn stair_slope(riser: Millimetres, going: Millimetres) -> Result<Degrees, MechanicsError> {
    let rise = positive("the riser", riser)?;
    let run = positive("the going", going)?;
    let slope = Degrees((rise / run).atan().to_degrees());
    checked(slope)?;
    Ok(slope)
}

/// Level length laid along the slope: level / cos.
///
/// # Errors
/// When the slope is steeper than [`STEEPEST`].
pub fn along(level: Millimetres, slope: Degrees) -> Result<Millimetres, MechanicsError> {
    finite("the level length", level.value())?;
    Ok(level / checked(slope)?.cos())
}

/// Length along the slope laid level: along × cos.
///
/// # Errors
/// When the slope is steeper than [`STEEPEST`].
pub fn level(along: Millimetres, slope: Degrees) -> Result<Millimetres, MechanicsError> {
    finite("the length along the slope", along.value())?;
    Ok(along * checked(slope)?.cos())
}

/// Plumb distance of two wires or of a rail's faces taken square to the wires: plumb × cos.
///
/// # Errors
/// When the slope is steeper than [`STEEPEST`].
pub fn square(plumb: Millimetres, slope: Degrees) -> Result<Millimetres, MechanicsError> {
    finite("the plumb distance", plumb.value())?;
    Ok(plumb * checked(slope)?.cos())
}

/// Distance square to the wires taken plumb: square / cos.
///
/// # Errors
/// When the slope is steeper than [`STEEPEST`].
pub fn plumb(square: Millimetres, slope: Degrees) -> Result<Millimetres, MechanicsError> {
    finite("the square distance", square.value())?;
    Ok(square / checked(slope)?.cos())
}

/// Height of a raked rail's top above the nosings: underside plumb + depth square / cos.
///
/// # Errors
/// When the slope is steeper than [`STEEPEST`].
pub fn rail_top(
    underside_plumb: Millimetres,
    depth_square: Millimetres,
    slope: Degrees,
) -> Result<Millimetres, MechanicsError> {
    Ok(underside_plumb + plumb(depth_square, slope)?)
}

/// Difference of one wire's hole heights on the two faces of a post: width × tan.
///
/// # Errors
/// When the slope is steeper than [`STEEPEST`].
pub fn hole_height_difference(
    post_width: Millimetres,
    slope: Degrees,
) -> Result<Millimetres, MechanicsError> {
    positive("the post's width", post_width)?;
    Ok(post_width * checked(slope)?.tan())
}

fn checked(slope: Degrees) -> Result<f64, MechanicsError> {
    within("the slope", slope, -STEEPEST.value(), STEEPEST.value()).map(f64::to_radians)
}
