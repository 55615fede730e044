//! What a tension asks of the studs' threads, told where nobody stated what they may carry.
//!
//! Invariant: a demand beside which no figure stands; it bounds no tension and never says that a thread
//! holds.

use mechanics::Newtons;
use mechanics::tension::{UpperKind, UpperPart};
use mechanics::thread::{Thread, stress};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::job::{Job, Run};
use crate::model::values::Hand;
use crate::work::WorkError;
use crate::work::convert::{ends_of, nm, terminal_for};
use crate::work::words;

/// What a straight pull asks of one thread of the run's ends.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ThreadAsked {
    /// The thread: "M6 × 1, LH and RH", "6.35 mm × 1.27 mm (20 turns per inch), LH".
    pub thread: String,
    /// The pull, newtons.
    pub tension_n: f64,
    /// Which tension that is, in words.
    pub tension_origin: String,
    /// Its stress area, square millimetres; none where diameter and pitch can't be together.
    pub area_mm2: Option<f64>,
    /// The pull over that area, newtons per square millimetre.
    pub stress_mpa: Option<f64>,
    /// One sentence.
    pub sentence: String,
}

/// The tensions that a run may be planned to, as far as they are known.
pub(in crate::work) struct Pulls {
    /// As decided.
    pub(in crate::work) set: Option<Newtons>,
    /// What would be set.
    pub(in crate::work) suggested: Option<Newtons>,
    /// What would have to be set at least.
    pub(in crate::work) least: Option<Newtons>,
    /// What is required.
    pub(in crate::work) required: Option<Newtons>,
}

impl Pulls {
    /// The first that is known, and which it is.
    fn planned(&self) -> Option<(Newtons, &'static str)> {
        let set = self.set.map(|n| (n, "set tension of the run"));
        let suggested = self
            .suggested
            .map(|n| (n, "set tension as suggested, none decided"));
        let least = self
            .least
            .map(|n| (n, "least that would be set, none decided"));
        let required = self.required.map(|n| (n, "required tension, none decided"));
        set.or(suggested).or(least).or(required)
    }
}

/// What the planned tension asks of the threads at a run's ends, each size once; nothing where their limit is
/// one of the parts that are stated, no end has a thread, or no fitting set tells its size.
pub(in crate::work) fn threads_asked(
    job: &Job<'_>,
    run: &Run,
    stated: &[UpperPart],
    pulls: Pulls,
) -> Result<Vec<ThreadAsked>, WorkError> {
    let stated = stated.iter().any(|part| part.kind == UpperKind::Thread);
    let Some((tension, origin)) = pulls.planned().filter(|_| !stated) else {
        return Ok(Vec::new());
    };
    let Some(ends) = ends_of(job, run) else {
        return Ok(Vec::new());
    };
    let mut sizes: Vec<(i64, i64, Vec<Hand>)> = Vec::new();
    for end in [ends.first, ends.last] {
        if !end.kind.has_thread() {
            continue;
        }
        // What a set has of another kind of end is no figure of this one's thread.
        let figures = terminal_for(job, run, end.hand).filter(|of| of.kind == end.kind);
        let size = figures.and_then(|of| of.told("threadDiameterNm").zip(of.told("pitchNm")));
        let Some((diameter, turn)) = size else {
            continue;
        };
        let hand = end.hand;
        let same = |size: &&mut (i64, i64, Vec<Hand>)| (size.0, size.1) == (diameter, turn);
        match sizes.iter_mut().find(same) {
            Some((_, _, hands)) if hands.contains(&hand) => {}
            Some((_, _, hands)) => hands.push(hand),
            None => sizes.push((diameter, turn, vec![hand])),
        }
    }
    let asked = |(diameter, turn, hands): (i64, i64, Vec<Hand>)| {
        let hands: Vec<&str> = hands.into_iter().map(words::hand).collect();
        let known = Thread::new(nm(diameter), nm(turn)).ok();
        let size = known.map_or_else(
            || format!("{} mm × {} mm", nm(diameter).value(), nm(turn).value()),
            |thread| thread.to_string(),
        );
        let thread = format!("{size}, {}", hands.join(" and "));
        let figures = match known {
            Some(known) => Some((known.stress_area().value(), stress(tension, known)?.value())),
            None => None,
        };
        let asks = match figures.zip(known) {
            Some(((area, asks), known)) => format!(
                "a straight pull of {tension} ({origin}) asks {asks:.1} N/mm² of {thread}, over the \
                 stress area of {area:.1} mm² ({}); the twist of turning it in is not counted",
                known.area_from()
            ),
            None => format!(
                "a thread of {thread} can't be, so what {tension} ({origin}) asks of it is not worked \
                 out"
            ),
        };
        Ok(ThreadAsked {
            sentence: format!(
                "No limit of the thread is stated: {asks}. That is a demand with no figure beside it: \
                 ask the maker what the thread may carry."
            ),
            thread,
            tension_n: tension.value(),
            tension_origin: origin.to_owned(),
            area_mm2: figures.map(|(area, _)| area),
            stress_mpa: figures.map(|(_, asks)| asks),
        })
    };
    sizes.into_iter().map(asked).collect()
}
