//! Whether a wire was read again long enough after it was last brought up.

use crate::entry::At;
use crate::job::Wire;
use crate::model::context::TensionRead;
use crate::model::values::{Method, Stage};

/// Common practice: a recheck comes one to two weeks after the wire was last brought up.
const LEAST_DAYS: i64 = 7;

/// Whether the present piece was read again at least a week after the round before, by the days
/// that the devices noted.
pub(super) fn came_back(wire: &Wire) -> bool {
    let here = |with: &TensionRead| {
        with.piece == wire.piece_number && matches!(with.method, Method::Gauge | Method::HungMass)
    };
    let mut rounds: Vec<(At, Stage)> = Vec::new();
    let mut add = |at: At, with: Option<&TensionRead>| {
        rounds.extend(with.filter(|w| here(w)).map(|w| (at, w.stage)));
    };
    for (_, fact) in &wire.tensions {
        fact.tips.iter().for_each(|t| add(t.at, t.with.as_ref()));
    }
    for (_, fact) in &wire.deflections {
        fact.tips.iter().for_each(|t| add(t.at, t.with.as_ref()));
    }
    let again = rounds.iter().filter(|(_, stage)| *stage == Stage::Recheck);
    again.into_iter().any(|(at, _)| {
        let before = rounds
            .iter()
            .filter(|(then, stage)| *stage != Stage::Recheck && then.ms <= at.ms);
        let last = before.max_by_key(|(then, _)| then.ms);
        last.is_some_and(|(then, _)| day(*at) - day(*then) >= LEAST_DAYS)
    })
}

/// Days since 1970 on the clock that stood by.
fn day(at: At) -> i64 {
    (at.ms + i64::from(at.offset_min) * 60_000).div_euclid(86_400_000)
}
