//! A sphere pushed between two wires, or between a wire and a fixed edge.
//!
//! Two wires: R = (D + d)/2, a = s/2, q the distance of the sphere's centre from a wire's resting
//! line; F(q) = 2·P(R − q)·√(1 − a²/q²), P the load of a wire pushed at mid span (see
//! `deflection`), frictionless. The force to pass is the largest F over a < q < R; a push F opens
//! the wires to 2Ra/q − d at the root q beyond that largest. A wire and an edge: the sphere rolls
//! about the edge, and the force is the wire's load times the rate at which it is pushed aside.
//! Invariant: the wire is taken as sliding unless said otherwise, which opens more. It is a guide
//! for spacing and span: a code's own test (a cone, a stated pull) is read from its table, and
//! what is built is proven with the probe.

use serde::{Deserialize, Serialize};

use crate::deflection::{Span, load_for_deflection};
use crate::error::{MechanicsError, not_negative, positive};
use crate::units::{Millimetres, Newtons};

/// What the sphere is pushed between.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Between {
    /// Two wires.
    #[serde(rename_all = "camelCase")]
    Wires {
        /// s: distance of their centres, square to them.
        spacing: Millimetres,
    },
    /// A wire and an edge that does not give: rail, floor, wall.
    #[serde(rename_all = "camelCase")]
    WireAndEdge {
        /// From the edge to the wire's centre, square to the wire.
        distance: Millimetres,
    },
}

/// An opening beside a tensioned wire.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Gap {
    /// What the sphere is pushed between.
    pub between: Between,
    /// d: diameter of the wire.
    pub wire_diameter: Millimetres,
    /// The span, as held.
    pub span: Span,
    /// Tension before the push; of two wires the lower one.
    pub tension: Newtons,
}

/// What a sphere needs to pass.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Passing {
    /// It passes without touching.
    Freely,
    /// It passes under this force.
    #[serde(rename_all = "camelCase")]
    Needs {
        /// The largest force on its way through.
        force: Newtons,
    },
}

/// An opening under a push.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Opened {
    /// Clear opening before the push.
    pub at_rest: Millimetres,
    /// Clear opening under the push; the sphere's own diameter where it passes.
    pub under_push: Millimetres,
    /// Whether the push brings the sphere through.
    pub passes: bool,
    /// How far the sphere's centre then stands before the plane of wires or edge; zero where it
    /// passes.
    pub depth: Millimetres,
}

/// Force at which a sphere passes.
///
/// # Errors
/// When a figure cannot be, or the opening is not wider than the wire.
pub fn passing_force(gap: &Gap, sphere: Millimetres) -> Result<Passing, MechanicsError> {
    let way = Way::of(gap, sphere)?;
    if way.is_free() {
        return Ok(Passing::Freely);
    }
    let (force, _) = way.largest()?;
    Ok(Passing::Needs {
        force: Newtons(force),
    })
}

/// Clear opening under a push on the sphere.
///
/// # Errors
/// As [`passing_force`], or when the push is below zero.
pub fn opening_under(
    gap: &Gap,
    sphere: Millimetres,
    push: Newtons,
) -> Result<Opened, MechanicsError> {
    let way = Way::of(gap, sphere)?;
    let push = not_negative("the push", push.value())?;
    let at_rest = Millimetres(way.rest_opening());
    if way.is_free() {
        return Ok(Opened {
            at_rest,
            under_push: at_rest,
            passes: true,
            depth: Millimetres(0.0),
        });
    }
    let (force, place) = way.largest()?;
    if push >= force {
        return Ok(Opened {
            at_rest,
            under_push: sphere,
            passes: true,
            depth: Millimetres(0.0),
        });
    }
    // From first touch (no force) towards the largest force the force only grows.
    let (mut outer, mut inner) = (way.touch(), place);
    for _ in 0..100 {
        let middle = f64::midpoint(outer, inner);
        if way.force(middle)? < push {
            outer = middle;
        } else {
            inner = middle;
        }
    }
    let place = f64::midpoint(outer, inner);
    Ok(Opened {
        at_rest,
        under_push: Millimetres(way.opening(place)),
        passes: false,
        depth: Millimetres(way.depth(place)),
    })
}

/// Least tension at which the sphere does not pass under a push; zero where a slack wire holds it.
///
/// # Errors
/// As [`passing_force`]; [`MechanicsError::OutOfRange`] where no tension up to 1 MN holds it.
pub fn least_tension(
    gap: &Gap,
    sphere: Millimetres,
    push: Newtons,
) -> Result<Newtons, MechanicsError> {
    let push = positive("the push", push.value())?;
    let holds = |tension: f64| -> Result<bool, MechanicsError> {
        let at = Gap {
            tension: Newtons(tension),
            ..*gap
        };
        Ok(match passing_force(&at, sphere)? {
            Passing::Freely => false,
            Passing::Needs { force } => force.value() >= push,
        })
    };
    if holds(0.0)? {
        return Ok(Newtons(0.0));
    }
    const MOST: f64 = 1.0e6;
    let (mut low, mut high) = (0.0, 1.0);
    while !holds(high)? {
        if high >= MOST {
            return Err(MechanicsError::OutOfRange {
                what: "the tension that would hold the sphere, in N,",
                value: f64::INFINITY,
                least: 0.0,
                most: MOST,
            });
        }
        low = high;
        high *= 2.0;
    }
    for _ in 0..60 {
        let middle = f64::midpoint(low, high);
        if holds(middle)? {
            high = middle;
        } else {
            low = middle;
        }
    }
    Ok(Newtons(high))
}

/// The sphere's way through, by one coordinate that falls from first touch to half way.
struct Way {
    gap: Gap,
    reach: f64,
    kind: Kind,
}

enum Kind {
    /// The coordinate is q, from R down to a.
    Wires { half: f64 },
    /// The coordinate is the centre's distance from the plane, from first touch down to 0.
    Edge { distance: f64, radius: f64 },
}

impl Way {
    fn of(gap: &Gap, sphere: Millimetres) -> Result<Self, MechanicsError> {
        let sphere = positive("the sphere's diameter", sphere.value())?;
        let wire = positive("the wire's diameter", gap.wire_diameter.value())?;
        positive("the span", gap.span.clear.value())?;
        not_negative("the tension", gap.tension.value())?;
        let reach = f64::midpoint(sphere, wire);
        let kind = match gap.between {
            Between::Wires { spacing } => {
                let spacing = positive("the spacing", spacing.value())?;
                positive("the opening between the wires", spacing - wire)?;
                Kind::Wires {
                    half: spacing / 2.0,
                }
            }
            Between::WireAndEdge { distance } => {
                let distance = positive("the distance of edge and wire", distance.value())?;
                positive("the opening between edge and wire", distance - wire / 2.0)?;
                Kind::Edge {
                    distance,
                    radius: sphere / 2.0,
                }
            }
        };
        Ok(Self {
            gap: *gap,
            reach,
            kind,
        })
    }

    fn is_free(&self) -> bool {
        match self.kind {
            Kind::Wires { half } => half >= self.reach,
            Kind::Edge { distance, radius } => distance >= self.reach + radius,
        }
    }

    fn rest_opening(&self) -> f64 {
        let wire = self.gap.wire_diameter.value();
        match self.kind {
            Kind::Wires { half } => 2.0 * half - wire,
            Kind::Edge { distance, .. } => distance - wire / 2.0,
        }
    }

    /// The coordinate at which sphere and wire touch first.
    fn touch(&self) -> f64 {
        match self.kind {
            Kind::Wires { .. } => self.reach,
            Kind::Edge { distance, radius } => {
                // In the plane, y from the edge: y² + z² = r², (g − y)² + z² = R².
                let y = (distance * distance + radius * radius - self.reach * self.reach)
                    / (2.0 * distance);
                (radius * radius - y * y).max(0.0).sqrt()
            }
        }
    }

    fn end(&self) -> f64 {
        match self.kind {
            Kind::Wires { half } => half,
            Kind::Edge { .. } => 0.0,
        }
    }

    fn force(&self, at: f64) -> Result<f64, MechanicsError> {
        let load = |pushed: f64| -> Result<f64, MechanicsError> {
            let pushed = Millimetres(pushed.max(0.0));
            Ok(load_for_deflection(&self.gap.span, self.gap.tension, pushed)?.value())
        };
        match self.kind {
            Kind::Wires { half } => {
                let inward = (1.0 - (half / at).powi(2)).max(0.0).sqrt();
                Ok(2.0 * load(self.reach - at)? * inward)
            }
            Kind::Edge { distance, radius } => {
                let y = (radius * radius - at * at).max(0.0).sqrt();
                let away = (distance - y).hypot(at);
                if y <= 0.0 || away <= 0.0 {
                    return Ok(0.0);
                }
                Ok(load(self.reach - away)? * at * distance / (y * away))
            }
        }
    }

    fn opening(&self, at: f64) -> f64 {
        let wire = self.gap.wire_diameter.value();
        match self.kind {
            Kind::Wires { half } => 2.0 * self.reach * half / at - wire,
            Kind::Edge { distance, radius } => {
                let y = (radius * radius - at * at).max(0.0).sqrt();
                let away = (distance - y).hypot(at);
                // The wire is pushed along the line from the sphere's centre, to R from it.
                y + (distance - y) * self.reach / away - wire / 2.0
            }
        }
    }

    /// How far the sphere's centre stands before the plane.
    fn depth(&self, at: f64) -> f64 {
        match self.kind {
            Kind::Wires { half } => (at * at - half * half).max(0.0).sqrt(),
            Kind::Edge { .. } => at,
        }
    }

    /// The largest force on the way and where it is.
    fn largest(&self) -> Result<(f64, f64), MechanicsError> {
        const STEPS: u32 = 200;
        let (from, to) = (self.touch(), self.end());
        let at = |step: f64| from + (to - from) * step / f64::from(STEPS);
        let mut best = (0.0, 0.0);
        for step in 0..=STEPS {
            let force = self.force(at(f64::from(step)))?;
            if force > best.0 {
                best = (force, f64::from(step));
            }
        }
        let (mut low, mut high) = (
            (best.1 - 1.0).max(0.0),
            (best.1 + 1.0).min(f64::from(STEPS)),
        );
        for _ in 0..80 {
            let third = (high - low) / 3.0;
            if self.force(at(low + third))? < self.force(at(high - third))? {
                low += third;
            } else {
                high -= third;
            }
        }
        let place = at(f64::midpoint(low, high));
        Ok((self.force(place)?, place))
    }
}
