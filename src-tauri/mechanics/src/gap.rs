//! A sphere pushed between two wires, or between a wire and a fixed edge.
//!
//! Two wires: R = (D + d)/2, a = s/2, q the distance of the sphere's centre from a wire's resting
//! line; F(q) = 2·P(R − q)·√(1 − a²/q²), P the load of a wire pushed at mid span (see
//! `deflection`), frictionless. The force to pass is the largest F over a < q < R; a push F opens
//! the wires to 2Ra/q − d at the root q beyond that largest.
//!
//! A wire and an edge that does not give, taken as a flat face (floor, underside of a rail): the
//! centre keeps r = D/2 from the face, on which the sphere slides, and the wire, g from the face,
//! lies a = g − r off the centre's line. By the same geometry one wire holds by
//! F(q) = P(R − q)·√(1 − a²/q²) and is laid aside to r + Ra/q − d/2 from the face. About an edge
//! with no depth the sphere would roll and need more force; the face is the careful assumption.
//! The wire stays on its own side. Where g ≤ r it lies on the centre's line or between that and the
//! face: a push does not lay it aside, the opening does not widen, and a sphere slides over the wire
//! into the next opening. To come through here the wire would have to be carried ahead of the
//! sphere, to ρ² = (r − g)² + (R − z)² with the centre z before the plane, held by
//! P(ρ)·(R − z)/ρ ≥ P(R − z), P(ρ)/ρ growing with ρ: the force told is that lower bound, P(R) half
//! way, which is also what F tends to as g falls to r. So the force never falls as the wire comes
//! nearer.
//! Invariant: the wire is taken as sliding unless said otherwise, which opens more. It is a guide
//! for spacing and span: a code's own test (a cone, a stated pull) is read from its table, and
//! what is built is proven with the probe. Formulas: statics of a frictionless contact, derived
//! here; checked by minimising the energy.

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
/// Statics of a frictionless contact, derived here; for a wire that does not stretch F = (8TR/L)·(1 − (s/(D +
/// d))^(2/3))^(3/2). Holds for a sphere at mid span of straight wires; no rule's own test.
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
/// As [`passing_force`].
///
/// # Errors
/// As [`passing_force`], or when the push is below zero.
pub fn opening_under(
    gap: &Gap,
    sphere: Millimetres,
    push: Newtons,
) -> Result<Opened, MechanicsError> {
    let way = Way::of(gap, sphere)?;
    let push = not_negative("the push", push)?;
    let at_rest = Millimetres(way.rest_opening);
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
    let (mut outer, mut inner) = (way.reach, place);
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
/// As [`passing_force`], solved for T0.
///
/// # Errors
/// As [`passing_force`]; [`MechanicsError::NotHeld`] where no tension up to 1 MN holds it.
pub fn least_tension(
    gap: &Gap,
    sphere: Millimetres,
    push: Newtons,
) -> Result<Newtons, MechanicsError> {
    let push = positive("the push", push)?;
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
            return Err(MechanicsError::NotHeld {
                sphere,
                push: Newtons(push),
                most: Newtons(MOST),
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

/// Whether the sphere meets the wire of an opening beside an edge head on: the wire lies no further
/// from the edge than the sphere's middle, so that a push does not lay it aside. False between
/// two wires.
///
/// Geometry of [`passing_force`].
///
/// # Errors
/// As [`passing_force`].
pub fn meets_head_on(gap: &Gap, sphere: Millimetres) -> Result<bool, MechanicsError> {
    let way = Way::of(gap, sphere)?;
    Ok(way.edge.is_some() && way.half <= 0.0)
}

/// The sphere's way through, by q, the distance of its centre from a wire's resting line, that
/// falls from R at first touch to a half way.
struct Way {
    gap: Gap,
    /// R.
    reach: f64,
    /// a: how far the wire lies off the line along which the centre moves; 0 where it lies on it or
    /// on the edge's side of it.
    half: f64,
    /// Radius of the sphere, which its centre keeps from the edge; none between two wires.
    edge: Option<f64>,
    rest_opening: f64,
}

impl Way {
    fn of(gap: &Gap, sphere: Millimetres) -> Result<Self, MechanicsError> {
        let sphere = positive("the sphere's diameter", sphere)?;
        let wire = positive("the wire's diameter", gap.wire_diameter)?;
        positive("the span", gap.span.clear)?;
        not_negative("the tension", gap.tension)?;
        let (half, edge, rest_opening) = match gap.between {
            Between::Wires { spacing } => {
                let spacing = positive("the spacing", spacing)?;
                let rest = positive("the opening between the wires", Millimetres(spacing - wire))?;
                (spacing / 2.0, None, rest)
            }
            Between::WireAndEdge { distance } => {
                let distance = positive("the distance of edge and wire", distance)?;
                let rest = positive(
                    "the opening between edge and wire",
                    Millimetres(distance - wire / 2.0),
                )?;
                let radius = sphere / 2.0;
                ((distance - radius).max(0.0), Some(radius), rest)
            }
        };
        Ok(Self {
            gap: *gap,
            reach: f64::midpoint(sphere, wire),
            half,
            edge,
            rest_opening,
        })
    }

    fn is_free(&self) -> bool {
        self.half >= self.reach
    }

    fn force(&self, at: f64) -> Result<f64, MechanicsError> {
        let pushed = Millimetres((self.reach - at).max(0.0));
        let load = load_for_deflection(&self.gap.span, self.gap.tension, pushed)?.value();
        let wires = if self.edge.is_some() { 1.0 } else { 2.0 };
        let inward = if self.half > 0.0 {
            (1.0 - (self.half / at).powi(2)).max(0.0).sqrt()
        } else {
            1.0
        };
        Ok(wires * load * inward)
    }

    /// Clear opening in the plane of wires or edge.
    fn opening(&self, at: f64) -> f64 {
        let wire = self.gap.wire_diameter.value();
        // A wire is pushed along the line from the sphere's centre, to R from it.
        match self.edge {
            None => 2.0 * self.reach * self.half / at - wire,
            Some(radius) if self.half > 0.0 => radius + self.reach * self.half / at - wire / 2.0,
            Some(_) => self.rest_opening,
        }
    }

    /// How far the sphere's centre stands before the plane.
    fn depth(&self, at: f64) -> f64 {
        (at * at - self.half * self.half).max(0.0).sqrt()
    }

    /// The largest force on the way and where it is.
    fn largest(&self) -> Result<(f64, f64), MechanicsError> {
        const STEPS: u32 = 200;
        let (from, to) = (self.reach, self.half);
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
