//! What the wires of a run show now, from what was read on the way up and after.

use mechanics::Newtons;
use mechanics::tensioning::brought;

use super::{Laid, NowFrom};
use crate::job::Job;
use crate::model::values::Stage;
use crate::work::WorkError;
use crate::work::readings::{Reading, tensions};

/// The tensions of all wires as they are.
pub(in crate::work) struct State {
    pub(in crate::work) now: Vec<Newtons>,
    pub(in crate::work) from: Vec<NowFrom>,
    /// Whether anything was tightened.
    pub(in crate::work) begun: bool,
}

/// Readings of passes are taken as what each wire was brought to, one after the other. Once a wire
/// was read in a final round or a recheck, the least that stands of it counts, as it governs the
/// wire elsewhere.
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
        if let Some(newtons) = read {
            *now = Newtons(newtons);
            *from = NowFrom::Read;
        }
    }
    Ok(State {
        begun: from.iter().any(|from| *from != NowFrom::Slack),
        now,
        from,
    })
}
