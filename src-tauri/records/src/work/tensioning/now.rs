//! What the wires of a run show now, from what was read on the way up and after.

use mechanics::Newtons;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::out;
use super::{Laid, NowFrom};
use crate::ids::ItemId;
use crate::job::{Fact, Job, Run, Wire};
use crate::model::context::{OnPiece, TensionRead};
use crate::model::values::{Deflection, Force, Stage, Turns};
use crate::work::WorkError;
use crate::work::readings::{Hung, Reading, found_so, hung, replay, taken_out, tensions};
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
    /// Places of wires of which a reading stands that is over the upper tension, or may be for what its gauge errs.
    pub(super) read_over: Vec<usize>,
    /// Places of wires that were let out and are to be read where they were over, before anything is turned.
    pub(super) read_first: Vec<usize>,
    /// Said where nobody told how the wires came to what they showed.
    pub(super) found_so: Option<String>,
    /// Whether anything was tightened.
    pub(in crate::work) begun: bool,
    /// Of the wires read under a hung mass alone, by how much more than told they may stand at.
    pub(super) may_be_more: Vec<(usize, Newtons)>,
    /// Places of wires that hung under a mass alone, where that tells too little to count turns by.
    pub(super) coarse: Vec<usize>,
    /// Places of wires whose piece was taken out after a mass alone had told its tension.
    pub(super) out_by_mass: Vec<usize>,
}

/// What was read is told over in its order (`replay`). Once a wire was read in a final round or a recheck, the
/// least that stands of it counts, as it governs the wire elsewhere, unless others brought it away from that
/// since, or it was turned after that and read in another bay or round: that turning brought all its bays along. Where a reading
/// stands over what nothing may exceed, that one. A wire that no gauge read since stands at
/// what a hung mass tells. A piece that was taken out pulls no more: the others rise.
pub(in crate::work) fn state(job: &Job<'_>, laid: &Laid<'_>) -> Result<State, WorkError> {
    let read = tensions(job, laid.run.id)?;
    let bounds = laid.bounds(read.must_show_n.map(Newtons))?;
    let hung: Vec<Option<Hung<'_>>> = read.lines.iter().map(|l| hung(&bounds, l)).collect();
    let out = taken_out(laid.run, &read.lines);
    let error = laid.error_told.then_some(laid.error);
    let replayed = replay(job, laid.run, &laid.frame, &read.lines, (&bounds, error))?;
    let mut now = replayed.now.clone();
    let mut from = vec![NowFrom::Slack; now.len()];
    let mut read_ms = vec![None; now.len()];
    let mut read_over = Vec::new();
    let mut read_first = Vec::new();
    let lines = read.lines.iter().enumerate();
    let brought: Vec<_> = lines
        .map(|(at, line)| replayed.brought_to(at, line))
        .collect();
    let places = read.lines.iter().zip(&hung).zip(brought).zip(&mut now);
    for (place, ((((line, hung), brought), now), (from, read_ms))) in places
        .zip(from.iter_mut().zip(read_ms.iter_mut()))
        .enumerate()
    {
        let of_piece = |r: &&Reading| r.piece == line.piece && r.counts && r.newtons.is_some();
        if line.readings.iter().any(|r| of_piece(&r)) {
            *from = NowFrom::Computed;
        }
        let after = |r: &Reading| r.piece == line.piece && r.counts && r.stage != Stage::Pass;
        let over = line.over().and_then(|over| Some((over.newtons?, over)));
        match over {
            Some(_) if line.read_there => read_first.push(place),
            Some(_) => read_over.push(place),
            None => {}
        }
        let brought = brought.map(|least| (least, line.readings.iter().rfind(|r| of_piece(r))));
        if line.stands_n.is_some() && (over.is_none() || brought.is_some()) {
            *from = NowFrom::Computed;
            continue;
        }
        if let Some((least, newest)) = brought {
            *now = least;
            *from = NowFrom::Computed;
            *read_ms = newest.map(|reading| reading.at_ms);
            continue;
        }
        let least = line.least_n.zip(line.governing.as_ref());
        let least = least.filter(|_| line.readings.iter().any(after));
        if let Some((newtons, reading)) = over.or(least) {
            *now = Newtons(newtons);
            *from = NowFrom::Read;
            *read_ms = Some(reading.at_ms);
        }
        let Some(hung) = hung.as_ref().filter(|_| over.is_none()) else {
            continue;
        };
        if let Some(told) = hung.at_set.first() {
            *now = told.tension;
            *read_ms = Some(told.check.at_ms);
        }
        // What it fell by since, as others came up, no mass told.
        let stands = hung
            .last()
            .is_some_and(|told| (told.tension - *now).abs().value() < 0.5);
        *from = if stands {
            NowFrom::Mass
        } else {
            NowFrom::Computed
        };
    }
    out::rise(laid, &out, &read_ms, &mut now, &mut from)?;
    let unknown = out::by_mass_alone(laid.run, &read.lines, &read_ms);
    let gone = read.lines.iter().map(|line| {
        let last = line.last_pass.as_ref().filter(|r| r.piece == line.piece);
        let by_gauge = last.and_then(|r| r.pass).unwrap_or(0);
        let in_passes = by_gauge.max(line.hung_pass().unwrap_or(0)) as usize;
        // What was read at its set tension went through all that are planned.
        let all = if line.is_read() { laid.steps.len() } else { 0 };
        in_passes.min(laid.steps.len()).max(all)
    });
    let masses = || {
        let told = hung.iter().enumerate();
        told.filter_map(|(place, hung)| Some((place, hung.as_ref()?)))
    };
    Ok(State {
        gone: gone.collect(),
        found_so: found_so(laid.run, &read.lines, &bounds),
        read_over,
        read_first,
        begun: from.iter().any(|from| *from != NowFrom::Slack),
        now,
        from,
        may_be_more: masses()
            .filter_map(|(place, hung)| Some((place, hung.last()?.may_be_more())))
            .collect(),
        coarse: masses()
            .filter(|(_, hung)| hung.last().is_none())
            .map(|(place, _)| place)
            .collect(),
        out_by_mass: unknown,
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
    let hung = |(_, mass): &(String, Fact<Deflection, TensionRead>)| {
        let on_piece = |with: &TensionRead| with.piece == wire.piece_number;
        let mut tips = mass
            .tips
            .iter()
            .filter(|tip| tip.with.as_ref().is_none_or(on_piece));
        tips.any(|mass| knew(job, mass, told))
    };
    let read = wire.tensions_now().any(read) || wire.deflections.iter().any(hung);
    let open = with.to_mn.is_some() && with.piece == wire.piece_number && !read;
    told.value.filter(|_| open)
}
