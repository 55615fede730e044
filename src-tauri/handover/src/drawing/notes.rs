//! Figures in a drawing: clear distances, height, and openings that are out of the ordinary.

use records::model::values::{Along, ProbeResult};
use records::subject::Subject;

use super::lines::{Sheet, label, plain};
use super::measures::{height_of, mm, number, width};
use super::{Anchor, Is, Role, Shape, State};

/// A drilled spacing this far from the layout's is worth a word in the drawing, in mm.
const ODD: f64 = 3.0;

impl Sheet<'_> {
    /// Clear distances under the bays, and the height.
    pub(super) fn lengths(&mut self) {
        for bay in &self.run.bays {
            let (Some((left, right)), Some(clear)) = (self.ends(bay), bay.clear) else {
                continue;
            };
            let (a, b) = (
                self.x(left) + width(left) / 2.0,
                self.x(right) - width(right) / 2.0,
            );
            let slope = bay.along == Along::Slope;
            let offset = if self.raked() {
                self.ground.rise + 70.0
            } else {
                // The floor may lie lower between the posts.
                55.0 + self.dip(bay.subject)
            };
            let (y1, y2) = if slope || !self.raked() {
                (self.base(a) + offset, self.base(b) + offset)
            } else {
                let y = self.base(a).max(self.base(b)) + 60.0;
                (y, y)
            };
            self.shapes.push(Shape::Line {
                x1: a,
                y1,
                x2: b,
                y2,
                width: None,
                is: plain(Role::Dimension),
            });
            for (x, y) in [(a, y1), (b, y2)] {
                self.shapes.push(Shape::Line {
                    x1: x,
                    y1: y - 22.0,
                    x2: x,
                    y2: y + 22.0,
                    width: None,
                    is: plain(Role::Dimension),
                });
            }
            let mut text = number(clear.as_mm());
            if !bay.measured {
                text = format!("({text})");
            }
            if slope {
                text.push_str(" along");
            }
            let state = self.states.bays.get(&bay.subject).copied();
            let at = (f64::midpoint(a, b), f64::midpoint(y1, y2) + 80.0);
            self.shapes.push(label(
                at.0,
                at.1,
                text,
                Role::BayLength,
                Some((bay.subject, state)),
                1.0,
            ));
        }
        let (Some(first), Some(height)) = (self.run.bays.first(), self.run.height) else {
            return;
        };
        let Some((left, right)) = self.ends(first) else {
            return;
        };
        let x = f64::midpoint(self.x(left), self.x(right));
        let text = format!("{} high", number(height.as_mm()));
        // On a rake the rail rises beside the text, too.
        let y = self.base(x) - self.top - 130.0 - self.ground.fall.abs() * 120.0;
        self.shapes
            .push(label(x, y, text, Role::Height, None, 0.85));
    }

    /// How each bay's gaps stand, above it, and a sign in each opening where the probe passes.
    pub(super) fn gaps(&mut self) {
        for bay in &self.run.bays {
            let Some((left, right)) = self.ends(bay) else {
                continue;
            };
            let x = f64::midpoint(
                self.x(left) + width(left) / 2.0,
                self.x(right) - width(right) / 2.0,
            );
            let state = self.states.bays.get(&bay.subject).copied();
            if let Some(state) = state.filter(|s| *s != State::None) {
                let y = self.base(x) - self.top - 60.0;
                let is = self.is(Role::Bay, bay.subject, Some(&state));
                self.mark(x, y, state, is);
            }
            let passes = self.states.passes.get(&bay.subject);
            for lower in passes.into_iter().flatten() {
                let low = height_of(self.run, *lower).unwrap_or(0.0);
                let high = height_of(self.run, lower + 1).unwrap_or(self.top);
                let y = self.base(x) - f64::midpoint(low, high);
                let is = self.is(Role::Opening, bay.subject, Some(&State::Passes));
                self.mark(x, y, State::Passes, is);
            }
        }
    }

    fn mark(&mut self, x: f64, y: f64, state: State, is: Is) {
        let mark = state.letter().into();
        self.shapes.push(Shape::Mark { x, y, mark, is });
    }

    /// Drilled spacings that differ from the layout, and openings a probe passed.
    pub(super) fn odd(&mut self) {
        for post in &self.run.posts {
            let x = self.x(post) + width(post) / 2.0 + 14.0;
            let subject = Subject::post(post.id);
            for (wire, spacing) in &post.drilled {
                let (Some(told), Some(low)) = (spacing.shown(), height_of(self.run, *wire)) else {
                    continue;
                };
                let planned = height_of(self.run, wire + 1).map(|high| high - low);
                let odd = planned.is_some_and(|p| (p - told.as_mm()).abs() > ODD);
                if odd || spacing.blocks() {
                    let middle = low + planned.unwrap_or_else(|| told.as_mm()) / 2.0;
                    let y = self.base(self.x(post)) - middle + 18.0;
                    let state = spacing.blocks().then_some(State::Disputed);
                    let text = number(told.as_mm());
                    let apart = state.map_or(String::new(), |s| format!("{} ", s.letter()));
                    self.note(x, y, format!("{apart}{text}"), subject, state);
                }
            }
            let passed = |result: &Option<ProbeResult>| *result == Some(ProbeResult::Passes);
            let mut y = self.foot(post) + 150.0;
            for (_, opening) in &post.openings {
                let state = if opening.blocks() {
                    State::Disputed
                } else if opening.value().is_some_and(|v| passed(&v.result)) {
                    State::Passes
                } else {
                    continue;
                };
                let size = opening.shown().map_or(0.0, |v| mm(v.nm));
                let text = format!("{} {}", state.letter(), number(size));
                self.note(x, y, text, subject, Some(state));
                y += 60.0;
            }
        }
    }

    /// What rests on a set that people changed says so, in the drawing too.
    pub(super) fn changed_rules(&mut self, y: f64) {
        self.shapes.push(Shape::Text {
            x: 40.0,
            y: y + 40.0,
            text: "Rule set changed by its users".into(),
            anchor: Anchor::Start,
            size: Some(0.85),
            is: plain(Role::RuleSet),
        });
    }

    fn note(&mut self, x: f64, y: f64, text: String, subject: Subject, state: Option<State>) {
        self.shapes.push(Shape::Text {
            x,
            y,
            text,
            anchor: Anchor::Start,
            size: Some(0.85),
            is: Is {
                role: Role::Opening,
                subject: Some(subject.to_string()),
                state,
            },
        });
    }
}
