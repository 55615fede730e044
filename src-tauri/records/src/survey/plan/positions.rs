//! Positions that do not go with the bays.
//!
//! Invariant: nothing is changed here; what does not fit is noted, never corrected. Bays and
//! inside-to-inside lengths are held against each other by `readings`. The limits are common
//! practice, no published source.

use mechanics::Millimetres;
use mechanics::plausible::fits_positions;

use super::super::facts::BayRow;
use super::super::problem::{Outcome, shown};
use super::{Layout, Planner};
use crate::subject::Subject;

/// Posts stand up to this much into a bay, both halves together, whatever their sections are.
const POSTS_MM: f64 = 400.0;

impl Planner<'_, '_> {
    /// Notes a bay of the file that does not go with the positions of its posts.
    pub(super) fn beside_positions(&self, bay: &Subject, row: &BayRow, layout: &Layout) {
        if let Some(message) = layout.apart(bay).and_then(|mm| parts(row, mm)) {
            self.log.say(&row.path, Outcome::Noted, message);
        }
    }
}

/// What to note where a bay does not fit between the middles of its posts, level or along the slope.
fn parts(row: &BayRow, (level, along): (f64, f64)) -> Option<String> {
    let clear = row.clear.as_mm();
    let fits = |apart: f64| {
        let (least, most) = (Millimetres(apart - POSTS_MM), Millimetres(apart));
        fits_positions(Millimetres(clear), least, most)
    };
    (!fits(level) && !fits(along)).then(|| {
        format!(
            "{clear} mm clear from {} to {}, and their positions are {level} mm apart: one of the \
             three is not right",
            shown(&row.from),
            shown(&row.to)
        )
    })
}
