//! The triangle of riser, tread and the line above: the largest sphere that passes.
//!
//! Formula: the largest circle, in the barrier's plane, below the line and outside the steps. The
//! distance of a centre to the steps less its depth below the line falls as the depth grows, so
//! one halving finds the circle for each place along a step, and the widest place is sought.
//! With closed right triangles of legs `a`, `b` and no overhang this is the inscribed circle,
//! diameter `a + b − √(a² + b²)`.
//! Validity: closed risers, treads level and all alike, thin nosings. Open risers are an opening
//! of their own. The line is taken as rigid: a wire gives way, so the probe decides.

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive};
use crate::slope;
use crate::units::Millimetres;

/// A stair, and the line above it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct StairAsk {
    /// Height of a riser.
    pub riser: Millimetres,
    /// Going, from nosing to nosing, level.
    pub going: Millimetres,
    /// How far a tread stands out over the riser below it.
    pub overhang: Millimetres,
    /// Lower edge of the bottom wire or rail, plumb above the line of the nosings.
    pub line: Millimetres,
}

/// What passes between steps and line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct StairTriangle {
    /// Diameter of the largest sphere that passes below the line.
    pub sphere: Millimetres,
    /// Clear between the line of the nosings and the line above it, square.
    pub above_nosings: Millimetres,
    /// One sentence.
    pub sentence: String,
}

const PLACES: u32 = 180;

/// The largest sphere between steps and line.
///
/// # Errors
/// When a length cannot be, the overhang is not less than the going, or the stair is too steep.
pub fn stair_triangle(ask: &StairAsk) -> Result<StairTriangle, MechanicsError> {
    let stair = Stair::of(ask)?;
    let sphere = Millimetres(2.0 * stair.largest(ask.line.value()));
    let slope = slope::stair_slope(ask.riser, ask.going)?;
    let above_nosings = slope::square(ask.line, slope)?;
    Ok(StairTriangle {
        sphere,
        above_nosings,
        sentence: format!(
            "A sphere of {sphere} just passes between riser, tread and the line {} above the \
             nosings; {above_nosings} square above the nosings.",
            ask.line
        ),
    })
}

/// The highest line, plumb above the nosings, below which a sphere of this size just passes; none
/// where it passes under a line that lies on the nosings.
///
/// Lay the lower edge below this height: a clear opening as large as the sphere lets it pass.
///
/// # Errors
/// As for [`stair_triangle`]; `ask.line` plays no part.
pub fn highest_line(
    ask: &StairAsk,
    sphere: Millimetres,
) -> Result<Option<Millimetres>, MechanicsError> {
    let radius = positive("the sphere", sphere)? / 2.0;
    let stair = Stair::of(&StairAsk {
        line: Millimetres(0.0),
        ..*ask
    })?;
    if stair.largest(0.0) >= radius {
        return Ok(None);
    }
    // A line as high as the sphere and the whole slope lets it pass for certain.
    let (mut under, mut over) = (0.0, 4.0 * radius / stair.down.1.abs().min(stair.down.0));
    for _ in 0..60 {
        let middle = f64::midpoint(under, over);
        if stair.largest(middle) < radius {
            under = middle;
        } else {
            over = middle;
        }
    }
    Ok(Some(Millimetres(under)))
}

struct Stair {
    riser: f64,
    going: f64,
    overhang: f64,
    length: f64,
    // Unit vector down the slope.
    down: (f64, f64),
}

impl Stair {
    fn of(ask: &StairAsk) -> Result<Self, MechanicsError> {
        slope::stair_slope(ask.riser, ask.going)?;
        not_negative("the line's height above the nosings", ask.line)?;
        let (riser, going) = (ask.riser.value(), ask.going.value());
        let overhang = not_negative("the overhang", ask.overhang)?;
        positive("the going less the overhang", Millimetres(going - overhang))?;
        let length = riser.hypot(going);
        Ok(Self {
            riser,
            going,
            overhang,
            length,
            down: (going / length, -riser / length),
        })
    }

    /// Radius of the largest circle below a line this high above the nosings.
    fn largest(&self, line: f64) -> f64 {
        let at = |place: f64| self.radius_at(place * self.length, line);
        let mut best = (0.0, 0.0);
        for n in 0..PLACES {
            let place = f64::from(n) / f64::from(PLACES);
            let radius = at(place);
            if radius > best.1 {
                best = (place, radius);
            }
        }
        let mut width = 1.0 / f64::from(PLACES);
        let mut place: f64 = best.0;
        while width > 1e-9 {
            for other in [place - width, place + width] {
                let radius = at(other);
                if radius > best.1 {
                    best = (other, radius);
                }
            }
            // Only halve where neither side is better, so that the top is not left behind.
            if best.0 == place {
                width /= 2.0;
            }
            place = best.0;
        }
        best.1
    }

    /// Radius of the circle that touches the line at this place and the steps somewhere.
    fn radius_at(&self, place: f64, line: f64) -> f64 {
        let nosing = self.going + self.overhang;
        let touch = (nosing + self.down.0 * place, line + self.down.1 * place);
        // Below the line lies against the normal (riser, going) / length.
        let into = (self.down.1, -self.down.0);
        let (mut free, mut blocked) = (0.0, self.length + line + self.riser);
        for _ in 0..60 {
            let depth = f64::midpoint(free, blocked);
            let centre = (touch.0 + into.0 * depth, touch.1 + into.1 * depth);
            if self.to_steps(centre) >= depth {
                free = depth;
            } else {
                blocked = depth;
            }
        }
        free
    }

    fn to_steps(&self, point: (f64, f64)) -> f64 {
        (-3..=4)
            .flat_map(|step| {
                let (left, top) = (f64::from(step) * self.going, -f64::from(step) * self.riser);
                let right = left + self.going;
                [
                    to_segment(point, (left, top), (right + self.overhang, top)),
                    to_segment(point, (right, top), (right, top - self.riser)),
                ]
            })
            .fold(f64::INFINITY, f64::min)
    }
}

fn to_segment(point: (f64, f64), from: (f64, f64), to: (f64, f64)) -> f64 {
    let (along_x, along_y) = (to.0 - from.0, to.1 - from.1);
    let (x, y) = (point.0 - from.0, point.1 - from.1);
    let share = (x * along_x + y * along_y) / (along_x * along_x + along_y * along_y);
    let share = share.clamp(0.0, 1.0);
    (x - share * along_x).hypot(y - share * along_y)
}
