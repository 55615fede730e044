//! A bay in section, wires seen end on, with the sphere where it is held least.
//!
//! Owns what is drawn and where: to scale, floor below, rail above, each opening with its figures
//! beside it. Invariant: every figure is one of the answer's; nothing is computed here but places.

use records::work::{BayPushed, GapBetween, Pushed, UnderPush};

use super::lines::plain;
use super::{Anchor, Drawing, Is, Role, Shape, State, number};

/// Room above and below.
const RIM: f64 = 70.0;
/// Half of a wire as drawn end on: its own size would not show.
const DOT: f64 = 9.0;
/// Length of the lines on which the figures stand.
const LEADER: f64 = 620.0;
/// Sides of the polygon that stands for the sphere.
const SIDES: u32 = 36;

/// Draws a bay in section under the push; empty where its openings are not known.
#[must_use]
pub fn section(pushed: &Pushed, bay: &BayPushed) -> Drawing {
    let wire = pushed.wire_mm.unwrap_or(0.0);
    let sphere = pushed.sphere_mm.unwrap_or(0.0);
    if bay.openings.is_empty() {
        return Drawing::default();
    }
    let clear: f64 = bay.openings.iter().map(|o| o.at_rest_mm.max(0.0)).sum();
    let wires = bay
        .openings
        .iter()
        .filter(|o| o.between != GapBetween::WireAndRail)
        .count();
    #[allow(clippy::cast_precision_loss)] // at most 200 wires
    let tall = clear + wire * wires as f64;
    let mut sheet = Sheet {
        plane: sphere + 130.0,
        floor: RIM + tall,
        shapes: Vec::new(),
    };
    sheet.line((0.0, 0.0), (LEADER / 2.0, 0.0), plain(Role::Floor));
    let mut up = 0.0;
    for opening in &bay.openings {
        let (from, to) = (up, up + opening.at_rest_mm.max(0.0));
        sheet.figures(
            opening,
            f64::midpoint(from, to),
            Some(opening.lower) == bay.weakest,
        );
        if Some(opening.lower) == bay.weakest && sphere > 0.0 {
            sheet.sphere(opening, (from, to), sphere);
        }
        if opening.between == GapBetween::WireAndRail {
            sheet.line((-DOT * 4.0, to), (LEADER / 2.0, to), plain(Role::Rail));
        } else {
            sheet.wire(opening.lower + 1, to + wire / 2.0);
        }
        up = to + wire;
    }
    Drawing {
        width: sheet.plane + LEADER + RIM,
        height: sheet.floor + RIM,
        shapes: sheet.shapes,
    }
}

struct Sheet {
    /// Drawing place of the wires' plane.
    plane: f64,
    /// Drawing place of the floor.
    floor: f64,
    shapes: Vec<Shape>,
}

impl Sheet {
    /// A line between places told as distance behind the plane and height above the floor.
    fn line(&mut self, a: (f64, f64), b: (f64, f64), is: Is) {
        self.shapes.push(Shape::Line {
            x1: self.plane + a.0,
            y1: self.floor - a.1,
            x2: self.plane + b.0,
            y2: self.floor - b.1,
            width: None,
            is,
        });
    }

    fn wire(&mut self, number: u32, at: f64) {
        self.line((-DOT, at), (DOT, at), plain(Role::Wire));
        self.shapes.push(Shape::Text {
            x: self.plane - DOT - 20.0,
            y: self.floor - at + 14.0,
            text: number.to_string(),
            anchor: Anchor::End,
            size: Some(0.85),
            is: plain(Role::WireNumber),
        });
    }

    fn figures(&mut self, opening: &UnderPush, at: f64, weakest: bool) {
        self.line((DOT * 4.0, at), (LEADER, at), plain(Role::Dimension));
        let role = if weakest {
            Role::Opening
        } else {
            Role::BayLength
        };
        let passes = opening.passes_freely || opening.passes == Some(true);
        self.shapes.push(Shape::Text {
            x: self.plane + DOT * 5.0,
            y: self.floor - at - 8.0,
            text: words(opening),
            anchor: Anchor::Start,
            size: None,
            is: Is {
                role,
                subject: None,
                state: passes.then_some(State::Passes),
            },
        });
    }

    /// The sphere where the push holds it, and the wires beside it as they give.
    fn sphere(&mut self, opening: &UnderPush, (from, to): (f64, f64), sphere: f64) {
        let Some((under, depth)) = opening.under_push_mm.zip(opening.depth_mm) else {
            return;
        };
        let radius = sphere / 2.0;
        let gives = (under - (to - from)).max(0.0);
        // Beside an edge the sphere rests on it: as high as the depth leaves of its radius.
        let rest = (radius * radius - depth * depth).max(0.0).sqrt();
        let (middle, down, up) = match opening.between {
            GapBetween::Wires => (f64::midpoint(from, to), gives / 2.0, gives / 2.0),
            GapBetween::FloorAndWire => (from + rest, 0.0, gives),
            GapBetween::WireAndRail => (to - rest, gives, 0.0),
        };
        let corner = |n: u32| {
            let turn = std::f64::consts::TAU * f64::from(n) / f64::from(SIDES);
            (-depth + radius * turn.cos(), middle + radius * turn.sin())
        };
        for n in 0..SIDES {
            self.line(corner(n), corner(n + 1), plain(Role::Sphere));
        }
        for (at, moved) in [(from, -down), (to, up)] {
            if moved != 0.0 {
                let is = Is {
                    role: Role::Wire,
                    subject: None,
                    state: Some(State::Below),
                };
                self.line((-DOT, at + moved), (DOT, at + moved), is);
            }
        }
    }
}

/// "76.8 → 85.9 mm, 111 N": clear at rest and under the push, and the force to pass.
fn words(opening: &UnderPush) -> String {
    let rest = number(opening.at_rest_mm);
    match (opening.force_n, opening.under_push_mm) {
        _ if opening.passes_freely => format!("{rest} mm, passes"),
        (Some(force), Some(under)) => {
            format!("{rest} → {} mm, {force:.0} N", number(under))
        }
        _ => format!("{rest} mm"),
    }
}
