//! Low spots of the floor between posts: where they lie in the drawing and how they are told.
//!
//! Invariant: only a level run has them, since on a rake heights count from the nosings. A spot whose
//! place along the bay is not told stands in the bay's middle and in brackets; where people differ on
//! its level the lowest is drawn.

use records::job::{Bay, Run};
use records::model::values::Shape as RunShape;
use records::subject::Subject;

use super::lines::{Sheet, label};
use super::measures::{mm, position, signed, width};
use super::{Role, State};

/// A low spot as it is drawn, in millimetres of the run.
pub(super) struct Low {
    bay: Subject,
    /// From the middle of the run's first post.
    pub(super) along: f64,
    /// Level of the floor, up positive.
    pub(super) level: f64,
    /// Whether it is told how far along the bay it lies.
    placed: bool,
    disputed: bool,
}

/// The low spots of a run, from its first post on.
pub(super) fn low_spots(run: &Run) -> Vec<Low> {
    if run.shape == RunShape::Raked {
        return Vec::new();
    }
    let mut found: Vec<Low> = run.bays.iter().filter_map(|bay| low(run, bay)).collect();
    found.sort_by(|a, b| a.along.total_cmp(&b.along));
    found
}

fn low(run: &Run, bay: &Bay) -> Option<Low> {
    let lowest = bay.low_spot.values().min_by_key(|spot| spot.level_nm)?;
    let post = |id| run.posts.iter().find(|post| post.id == id);
    let (left, right) = (post(bay.left)?, post(bay.right)?);
    let from = position(left) + width(left) / 2.0;
    let to = (position(right) - width(right) / 2.0).max(from);
    let told = lowest.from_left_nm.map(|distance| from + mm(distance));
    Some(Low {
        bay: bay.subject,
        // A spot told beyond its bay lies at its end.
        along: told.unwrap_or(f64::midpoint(from, to)).clamp(from, to),
        level: mm(lowest.level_nm),
        placed: told.is_some(),
        disputed: bay.low_spot.blocks(),
    })
}

impl Low {
    fn text(&self) -> String {
        let apart = if self.disputed { "≠ " } else { "" };
        let text = format!("{apart}low {}", signed(self.level));
        if self.placed {
            text
        } else {
            format!("({text})")
        }
    }
}

impl Sheet<'_> {
    /// How far the lowest spot of a bay lies below the line between its posts' floors; nothing where
    /// none does.
    pub(super) fn dip(&self, bay: Subject) -> f64 {
        let of_bay = self.low.iter().filter(|low| low.bay == bay);
        of_bay
            .map(|low| self.spot(low).1 - self.base(self.spot(low).0))
            .fold(0.0, f64::max)
    }

    /// Where a low spot lies in the drawing.
    pub(super) fn spot(&self, low: &Low) -> (f64, f64) {
        (self.x0 + low.along, self.y0 - low.level)
    }

    /// Levels of the low spots, below the clear lengths of their bays.
    pub(super) fn told_low(&mut self) {
        for low in &self.low {
            let (x, y) = self.spot(low);
            let state = low.disputed.then_some(State::Disputed);
            let of = Some((low.bay, state));
            let told = label(x, y + 225.0, low.text(), Role::LowSpot, of, 0.85);
            self.shapes.push(told);
        }
    }
}
