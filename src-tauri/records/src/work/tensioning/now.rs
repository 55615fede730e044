//! What the wires of a run show now, from what was read on the way up and after.

use mechanics::Newtons;
use mechanics::tensioning::brought;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Laid, NowFrom};
use crate::ids::ItemId;
use crate::job::{Fact, Job, Run, Wire};
use crate::model::context::{OnPiece, TensionRead};
use crate::model::values::{Force, Stage, Turns};
use crate::work::WorkError;
use crate::work::readings::{Reading, tensions};
use crate::work::repeats::knew;

/// What a wire was turned since it was last read, as its turnings were told: the plan does not count
/// it, the gauge tells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TurnedSince {
    /// Whole turns at the first post.
    pub turns: i64,
    /// Sixths of a turn beyond.
    pub flats: i64,
    /// Whole turns at the last post.
    pub last_turns: i64,
    /// Sixths of a turn beyond.
    pub last_flats: i64,
}

/// The tensions of all wires as they are.
pub(in crate::work) struct State {
    pub(in crate::work) now: Vec<Newtons>,
    pub(in crate::work) from: Vec<NowFrom>,
    /// How many of the passes each wire went through: it was read in the last of them.
    pub(in crate::work) gone: Vec<usize>,
    /// Whether anything was tightened.
    pub(in crate::work) begun: bool,
}

/// Readings of passes are taken as what each wire was brought to, one after the other. Once a wire
/// was read in a final round or a recheck, the least that stands of it counts, as it governs the
/// wire elsewhere; where a reading stands over what nothing may exceed, that one.
pub(in crate::work) fn state(job: &Job<'_>, laid: &Laid<'_>) -> Result<State, WorkError> {
    let read = tensions(job, laid.run.id)?;
    let mut passes: Vec<(&Reading, usize)> = Vec::new();
    for (place, line) in read.lines.iter().enumerate() {
        let of_piece = |r: &&Reading| {
            r.piece == line.piece && r.counts && r.stage == Stage::Pass && r.newtons.is_some()
        };
        passes.extend(line.readings.iter().filter(of_piece).map(|r| (r, place)));
    }
    passes.sort_by_key(|(reading, _)| (reading.at_ms, reading.entry));
    let on_the_way: Vec<(usize, Newtons)> = passes
        .iter()
        .filter_map(|(reading, place)| Some((*place, Newtons(reading.newtons?))))
        .collect();
    let mut now = brought(&laid.frame, &on_the_way)?;
    let mut from = vec![NowFrom::Slack; now.len()];
    for (place, _) in &on_the_way {
        if let Some(from) = from.get_mut(*place) {
            *from = NowFrom::Computed;
        }
    }
    for ((line, now), from) in read.lines.iter().zip(&mut now).zip(&mut from) {
        let after = |r: &Reading| r.piece == line.piece && r.counts && r.stage != Stage::Pass;
        let read = line.least_n.filter(|_| line.readings.iter().any(after));
        let read = line.over().and_then(|over| over.newtons).or(read);
        if let Some(newtons) = read {
            *now = Newtons(newtons);
            *from = NowFrom::Read;
        }
    }
    let gone = read.lines.iter().map(|line| {
        let last = line.last_pass.as_ref().filter(|r| r.piece == line.piece);
        let in_passes = last.and_then(|r| r.pass).unwrap_or(0) as usize;
        // What was read at its set tension went through all that are planned.
        let all = if line.is_read() { laid.steps.len() } else { 0 };
        in_passes.max(all)
    });
    Ok(State {
        gone: gone.collect(),
        begun: from.iter().any(|from| *from != NowFrom::Slack),
        now,
        from,
    })
}

/// Sixths in a turn.
const FLATS: i64 = 6;

/// What a wire was turned since it was last read: the sum of its turnings on the present piece that no
/// tension reading follows by the record's order of cause.
pub(super) fn turned_since(job: &Job<'_>, run: &Run, number: u32) -> Option<TurnedSince> {
    let (first, last) = run.ends()?;
    let wire = run.wire(number)?;
    let at = |end: ItemId| {
        let of_end = wire.turns.iter().filter(|(at, _)| *at == end);
        let open = of_end.filter_map(|(_, fact)| open_turning(job, wire, fact));
        open.map(|turns| turns.turns * FLATS + turns.flats)
            .sum::<i64>()
    };
    let (first, last) = (at(first.id), at(last.id));
    (first + last > 0).then_some(TurnedSince {
        turns: first / FLATS,
        flats: first % FLATS,
        last_turns: last / FLATS,
        last_flats: last % FLATS,
    })
}

/// One turning of the piece in place, where no reading came after it.
fn open_turning(job: &Job<'_>, wire: &Wire, fact: &Fact<Turns, OnPiece>) -> Option<Turns> {
    let told = fact.told()?;
    let with = told.with.as_ref()?;
    let read = |(_, reading): (&str, &Fact<Force, TensionRead>)| {
        reading.tips.iter().any(|reading| knew(job, reading, told))
    };
    let open =
        with.to_mn.is_some() && with.piece == wire.piece_number && !wire.tensions_now().any(read);
    told.value.filter(|_| open)
}
