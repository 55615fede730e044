//! Where the parts of a run stand in its drawing.
//!
//! One file past 400 lines, since every part is placed on the same sheet and read beside the others.

use records::job::{Bay, PostInRun, Run};
use records::model::values::{PostRole, Shape as RunShape};
use records::subject::Subject;

use super::low::{Low, low_spots};
use super::measures::{
    Ground, end_words, floor, height_of, level_at, mm, number, position, signed, top_of,
    wall_beside, width,
};
use super::{Anchor, Drawing, Is, Role, Shape, State, States};

/// Room beside the run for wire numbers and letters.
const SIDE: f64 = 240.0;
/// Room above for names.
const ABOVE: f64 = 210.0;
/// Room below for clear distances and levels.
const BELOW: f64 = 260.0;
/// The same on a rake, whose floor levels are told by its steps.
const BELOW_RAKE: f64 = 200.0;
/// How much a name moves up for each part of slope, to clear the rising rail.
const NAME_CLEAR: f64 = 120.0;
/// Room for the line that says that the rule set was changed.
const CHANGED: f64 = 90.0;
/// Width of a wall as drawn.
const WALL: f64 = 50.0;
pub(super) struct Sheet<'a> {
    pub(super) run: &'a Run,
    pub(super) states: &'a States,
    pub(super) ground: Ground,
    pub(super) low: Vec<Low>,
    /// Drawing place of the first post's middle.
    pub(super) x0: f64,
    /// Drawing place of the floor at the first post.
    pub(super) y0: f64,
    pub(super) top: f64,
    pub(super) shapes: Vec<Shape>,
}

pub(super) fn draw(run: &Run, states: &States) -> Drawing {
    let ground = Ground::of(run);
    let top = top_of(run);
    let wall = wall_beside(run.posts.first()).map_or(0.0, |gap| gap + WALL);
    let reach = run.posts.last().map_or(0.0, position);
    let half = |p: Option<&PostInRun>| p.map_or(0.0, |p| width(p) / 2.0);
    let drop = ground.fall * reach;
    let left = SIDE + half(run.posts.first()) + wall;
    let low = low_spots(run);
    let mut floors: Vec<f64> = run.posts.iter().map(floor).collect();
    floors.extend(low.iter().map(|spot| spot.level));
    let highest = floors.iter().copied().fold(0.0, f64::max);
    let lowest = floors.iter().copied().fold(0.0, f64::min);
    let rises = if run.shape == RunShape::Raked {
        (drop.min(0.0), drop.max(0.0))
    } else {
        (-highest, -lowest)
    };
    let mut sheet = Sheet {
        run,
        states,
        low,
        x0: left,
        y0: ABOVE + ground.fall.abs() * NAME_CLEAR + top - rises.0,
        ground,
        top,
        shapes: Vec::new(),
    };
    sheet.bays();
    sheet.floor();
    sheet.walls();
    sheet.rail();
    sheet.wires();
    sheet.posts();
    sheet.lengths();
    sheet.gaps();
    sheet.odd();
    let below = sheet.raked_room();
    let mut height = sheet.y0 + rises.1 + below;
    if states.rules_changed {
        sheet.changed_rules(height);
        height += CHANGED;
    }
    Drawing {
        width: left
            + reach
            + half(run.posts.last())
            + wall_beside(run.posts.last().filter(|_| run.posts.len() > 1))
                .map_or(0.0, |gap| gap + WALL)
            + SIDE,
        height,
        shapes: sheet.shapes,
    }
}

impl Sheet<'_> {
    pub(super) fn raked(&self) -> bool {
        self.ground.fall != 0.0
    }

    fn raked_room(&self) -> f64 {
        if self.raked() { BELOW_RAKE } else { BELOW }
    }

    pub(super) fn x(&self, post: &PostInRun) -> f64 {
        self.x0 + position(post)
    }

    /// Floor or nosing line at a place, drawing y.
    pub(super) fn base(&self, at: f64) -> f64 {
        if self.raked() {
            return self.y0 + self.ground.fall * (at - self.x0);
        }
        let level = level_at(&self.run.posts, at - self.x0);
        self.y0 - level
    }

    /// The line that heights count from at a place, drawing y: the floor's, or level from the first
    /// post's floor where the record tells so.
    fn line(&self, follows_floor: Option<bool>, at: f64) -> f64 {
        let level = !self.raked() && follows_floor == Some(false);
        let first = self.run.posts.first().filter(|_| level);
        self.base(first.map_or(at, |post| self.x(post)))
    }

    /// Where a post meets the floor, drawing y.
    pub(super) fn foot(&self, post: &PostInRun) -> f64 {
        let at = self.x(post);
        if !self.raked() || self.ground.going <= 0.0 {
            return self.base(at);
        }
        // On a stair a post stands on the tread below the nosing line.
        let along = (at - self.x0) / self.ground.going;
        let step = if self.ground.fall > 0.0 {
            along.ceil()
        } else {
            along.floor()
        };
        self.y0 + self.ground.fall.signum() * step * self.ground.rise
    }

    fn bays(&mut self) {
        for bay in &self.run.bays {
            let Some((left, right)) = self.ends(bay) else {
                continue;
            };
            let (a, b) = (
                self.x(left) + width(left) / 2.0,
                self.x(right) - width(right) / 2.0,
            );
            let (y1, y2) = (self.base(a), self.base(b));
            let upper = y1.min(y2) - self.top;
            let is = self.is(Role::Bay, bay.subject, self.states.bays.get(&bay.subject));
            self.shapes.push(Shape::Box {
                x: a,
                y: upper,
                w: (b - a).max(0.0),
                h: y1.max(y2) - upper,
                is,
            });
        }
    }

    fn floor(&mut self) {
        if self.raked() {
            self.stair();
            return;
        }
        let mut points: Vec<(f64, f64)> = self
            .run
            .posts
            .iter()
            .map(|p| (self.x(p), self.base(self.x(p))))
            .collect();
        points.extend(self.low.iter().map(|low| self.spot(low)));
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        if let (Some(first), Some(last)) = (points.first().copied(), points.last().copied()) {
            points.insert(0, (first.0 - SIDE / 2.0, first.1));
            points.push((last.0 + SIDE / 2.0, last.1));
        }
        self.path(&points, Role::Floor);
        self.told_low();
        if self.run.posts.iter().all(|p| floor(p) == 0.0) {
            return;
        }
        for post in self.run.posts.iter().filter(|p| p.floor.is_some()) {
            let text = signed(floor(post));
            let (x, y) = (self.x(post), self.base(self.x(post)) + 225.0);
            self.shapes
                .push(label(x, y, text, Role::FloorLevel, None, 0.85));
        }
    }

    fn stair(&mut self) {
        let (Some(first), Some(last)) = (self.run.posts.first(), self.run.posts.last()) else {
            return;
        };
        let (from, to) = (self.x(first), self.x(last));
        let is = plain(Role::Nosing);
        let line = (self.base(from), self.base(to));
        self.shapes.push(Shape::Line {
            x1: from,
            y1: line.0,
            x2: to,
            y2: line.1,
            width: None,
            is,
        });
        if self.ground.going <= 0.0 {
            return;
        }
        let needed = ((to - from) / self.ground.going).ceil();
        let told = self.ground.steps.map_or(needed, f64::from);
        let count = needed.min(told.max(1.0)).min(60.0);
        let sign = self.ground.fall.signum();
        let mut points = vec![(from - SIDE / 2.0, self.y0), (from, self.y0)];
        let mut step = 1.0;
        while step <= count {
            let (x, y) = (
                from + step * self.ground.going,
                self.y0 + sign * step * self.ground.rise,
            );
            let before = (x - self.ground.going, y - sign * self.ground.rise);
            if sign > 0.0 {
                points.push((before.0, y));
            } else {
                points.push((x, before.1));
            }
            points.push((x, y));
            step += 1.0;
        }
        if let Some(end) = points.last().copied() {
            points.push((end.0 + SIDE / 2.0, end.1));
        }
        self.path(&points, Role::Stair);
    }

    fn walls(&mut self) {
        let ends = [(self.run.posts.first(), -1.0), (self.run.posts.last(), 1.0)];
        for (post, side) in ends {
            let (Some(post), Some(gap)) = (post, wall_beside(post)) else {
                continue;
            };
            let face = self.x(post) + side * (width(post) / 2.0 + gap);
            let foot = self.foot(post);
            let x = if side < 0.0 { face - WALL } else { face };
            self.shapes.push(Shape::Box {
                x,
                y: foot - self.top - 60.0,
                w: WALL,
                h: self.top + 60.0,
                is: plain(Role::Wall),
            });
            let (x, y) = (self.x(post) + side * width(post) / 2.0, foot + 135.0);
            let anchor = if side < 0.0 {
                Anchor::End
            } else {
                Anchor::Start
            };
            self.shapes.push(Shape::Text {
                x,
                y,
                text: number(gap),
                anchor,
                size: Some(0.85),
                is: Is {
                    role: Role::Opening,
                    subject: Some(Subject::post(post.id).to_string()),
                    state: None,
                },
            });
        }
    }

    fn rail(&mut self) {
        let (Some(rail), Some(first), Some(last)) =
            (self.run.rail, self.run.posts.first(), self.run.posts.last())
        else {
            return;
        };
        let steep = 1.0 / self.ground.fall.hypot(1.0);
        let plumb = mm(rail.thickness_nm) / steep.max(0.1);
        let middle = mm(rail.underside_nm) + plumb / 2.0;
        let (a, b) = (
            self.x(first) - width(first) / 2.0,
            self.x(last) + width(last) / 2.0,
        );
        let line = |at| self.line(self.run.rail_follows_floor, at) - middle;
        let (y1, y2) = (line(a), line(b));
        self.shapes.push(Shape::Line {
            x1: a,
            y1,
            x2: b,
            y2,
            width: Some(mm(rail.thickness_nm)),
            is: plain(Role::Rail),
        });
    }

    fn wires(&mut self) {
        let (Some(first), Some(last)) = (self.run.posts.first(), self.run.posts.last()) else {
            return;
        };
        let (a, b) = (self.x(first), self.x(last));
        let (left, right) = (a - width(first) / 2.0, b + width(last) / 2.0);
        let wall = |p: &PostInRun| wall_beside(Some(p)).map_or(0.0, |gap| gap + WALL);
        let (left, right) = (left - wall(first) - 28.0, right + wall(last) + 70.0);
        for wire in &self.run.wires {
            let Some(height) = height_of(self.run, wire.number) else {
                continue;
            };
            let state = self
                .states
                .wires
                .get(&wire.number)
                .map(|w| w.state)
                .unwrap_or_default();
            let subject = Subject::Wire(self.run.id, wire.number);
            let is = |role| Is {
                role,
                subject: Some(subject.to_string()),
                state: Some(state),
            };
            let line = |at| self.line(self.run.follows_floor, at) - height;
            let (y1, y2) = (line(a), line(b));
            self.shapes.push(Shape::Line {
                x1: a,
                y1,
                x2: b,
                y2,
                width: None,
                is: is(Role::Wire),
            });
            self.shapes.push(Shape::Text {
                x: left,
                y: y1 + 18.0,
                text: wire.number.to_string(),
                anchor: Anchor::End,
                size: Some(0.85),
                is: is(Role::WireNumber),
            });
            if !state.letter().is_empty() {
                self.shapes.push(Shape::Mark {
                    x: right,
                    y: y2,
                    mark: state.letter().into(),
                    is: is(Role::Wire),
                });
            }
        }
    }

    fn posts(&mut self) {
        for post in &self.run.posts {
            let (x, foot) = (self.x(post), self.foot(post));
            let rail = self.line(self.run.rail_follows_floor, x);
            let upper = rail - self.run.rail.map_or(self.top, |r| mm(r.underside_nm));
            let subject = Subject::post(post.id);
            let state = self.states.posts.get(&subject);
            let is = self.is(Role::Post, subject, state);
            let w = width(post);
            self.shapes.push(Shape::Box {
                x: x - w / 2.0,
                y: upper,
                w,
                h: (foot - upper).max(1.0),
                is,
            });
            // On a rake the rail rises beside the name.
            let clear = 30.0 + self.ground.fall.abs() * NAME_CLEAR;
            let y = self.base(x) - self.top - clear;
            if let Some(state) = state.filter(|s| !s.letter().is_empty()) {
                // Below its foot nothing else stands.
                self.shapes.push(Shape::Mark {
                    x,
                    y: foot + 75.0,
                    mark: state.letter().into(),
                    is: self.is(Role::Post, subject, Some(state)),
                });
            }
            let name = post.name.clone();
            self.shapes.push(label(
                x,
                y,
                name,
                Role::PostName,
                Some((subject, state.copied())),
                1.0,
            ));
            if let Some(end) = post.end.shown().filter(|_| post.role == PostRole::Anchor) {
                let text = end_words(end);
                self.shapes.push(label(
                    x,
                    y - 80.0,
                    text,
                    Role::End,
                    Some((subject, None)),
                    0.75,
                ));
            }
        }
    }

    fn path(&mut self, points: &[(f64, f64)], role: Role) {
        for (a, b) in points.iter().zip(points.iter().skip(1)) {
            self.shapes.push(Shape::Line {
                x1: a.0,
                y1: a.1,
                x2: b.0,
                y2: b.1,
                width: None,
                is: plain(role),
            });
        }
    }

    pub(super) fn ends(&self, bay: &Bay) -> Option<(&PostInRun, &PostInRun)> {
        let find = |id| self.run.posts.iter().find(|p| p.id == id);
        Some((find(bay.left)?, find(bay.right)?))
    }

    pub(super) fn is(&self, role: Role, subject: Subject, state: Option<&State>) -> Is {
        Is {
            role,
            subject: Some(subject.to_string()),
            state: state.copied(),
        }
    }
}

pub(super) fn plain(role: Role) -> Is {
    Is {
        role,
        subject: None,
        state: None,
    }
}

pub(super) fn label(
    x: f64,
    y: f64,
    text: String,
    role: Role,
    of: Option<(Subject, Option<State>)>,
    size: f64,
) -> Shape {
    Shape::Text {
        x,
        y,
        text,
        anchor: Anchor::Middle,
        size: Some(size),
        is: Is {
            role,
            subject: of.map(|(s, _)| s.to_string()),
            state: of.and_then(|(_, state)| state),
        },
    }
}
