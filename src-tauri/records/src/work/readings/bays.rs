//! Which bays of a run are to be read.

use mechanics::Millimetres;

use super::deflections::Hung;
use super::finishes;
use super::standing::Taken;
use crate::job::{Bay, Job, Run};
use crate::model::values::Stage;
use crate::subject::Subject;
use crate::work::WorkError;
use crate::work::convert::{ends_of, slope_of, turns_there};
use crate::work::repeats::Line;
use crate::work::supports::{clear_along, spans};

/// A bay to read, or any of several that are alike in what makes them so.
pub(super) struct ToRead {
    /// The bays; the first of them is named.
    pub(super) bays: Vec<Subject>,
    pub(super) name: String,
}

/// The widest bay as the table counts it, in its widest part as built, and the bay furthest from a
/// tensioner, each once. Of bays as wide, or as far, any one will do.
pub(super) fn to_read(job: &Job<'_>, run: &Run) -> Result<Vec<ToRead>, WorkError> {
    let mut found: Vec<ToRead> = Vec::new();
    for bays in [widest(run)?, furthest(job, run)] {
        let Some(first) = bays.first() else {
            continue;
        };
        if !found.iter().any(|t| t.bays.first() == Some(&first.subject)) {
            found.push(ToRead {
                name: first.name.clone(),
                bays: bays.iter().map(|b| b.subject).collect(),
            });
        }
    }
    Ok(found)
}

fn widest(run: &Run) -> Result<Vec<&Bay>, WorkError> {
    let slope = slope_of(run)?;
    let along = |bay: &Bay| -> Result<f64, WorkError> {
        Ok(clear_along(bay, slope)?.map_or(0.0, Millimetres::value))
    };
    let mut sums = Vec::new();
    for span in spans(run) {
        let mut parts = Vec::new();
        for bay in span.bays {
            parts.push((along(bay)?, bay));
        }
        sums.push((parts.iter().map(|(mm, _)| mm).sum::<f64>(), parts));
    }
    let parts = most(sums).into_iter().flat_map(most);
    Ok(parts.collect())
}

/// All that go with the largest figure.
fn most<T>(of: Vec<(f64, T)>) -> Vec<T> {
    let largest = of.iter().map(|(mm, _)| *mm).fold(0.0, f64::max);
    let held = of.into_iter().filter(|(mm, _)| *mm >= largest);
    held.map(|(_, one)| one).collect()
}

/// The last bay as seen from the one tensioner; with one at both ends the middle bay, or either of
/// two.
fn furthest<'r>(job: &Job<'_>, run: &'r Run) -> Vec<&'r Bay> {
    let (last, half) = (run.bays.len().saturating_sub(1), run.bays.len() / 2);
    let turned = ends_of(job, run).map(|ends| [&ends.first, &ends.last].map(turns_there));
    let at = match turned.map_or((true, true), |[first, last]| (first, last)) {
        (true, false) => [last, last],
        (false, true) => [0, 0],
        _ => [last / 2, half],
    };
    let mut found: Vec<&Bay> = at.iter().filter_map(|at| run.bays.get(*at)).collect();
    found.dedup_by_key(|bay| bay.subject);
    found
}

/// Readings of a wire by the bays that are to be read; all together where none of them was read there.
pub(super) fn apart<'l>(
    to_read: &[ToRead],
    readings: &[(Option<Subject>, &'l Line)],
) -> Vec<Vec<&'l Line>> {
    let there = |bays: &[Subject]| {
        let here = readings
            .iter()
            .filter(|(bay, _)| bay.is_some_and(|bay| bays.contains(&bay)));
        here.map(|(_, line)| *line).collect::<Vec<_>>()
    };
    let found: Vec<Vec<&Line>> = to_read.iter().map(|t| there(&t.bays)).collect();
    if found.iter().any(|bay| !bay.is_empty()) {
        return found;
    }
    vec![readings.iter().map(|(_, line)| *line).collect()]
}

/// A reading or a mass that hung, as it may stand for its bay being read.
pub(super) struct Seen<'l> {
    bay: Option<Subject>,
    stage: Stage,
    pass: Option<u32>,
    /// Taken at the set tension.
    finishes: bool,
    /// By what shows a tension.
    proves: bool,
    line: &'l Line,
}

impl<'l> Seen<'l> {
    /// What was read with a gauge, or heard.
    pub(super) fn read(job: &Job<'_>, taken: &'l Taken<'_>, last_pass: Option<u32>) -> Self {
        let of = &taken.reading;
        Seen {
            bay: of.bay,
            stage: of.stage,
            pass: of.pass,
            finishes: finishes(of.stage, of.pass, last_pass),
            proves: taken.proves(job),
            line: &taken.line,
        }
    }

    /// What hung, with the round and pass that were told with it.
    pub(super) fn hung(hung: &'l Hung<'_>) -> Self {
        Seen {
            bay: Some(hung.check.bay),
            stage: hung.stage,
            pass: hung.pass,
            finishes: hung.check.stage == Stage::Final,
            proves: true,
            line: &hung.line,
        }
    }
}

/// Names of the bays to read that were not read in the newest round nor since, neither with a gauge nor under a
/// mass, of what holds since the wire was last let out.
pub(super) fn not_read(job: &Job<'_>, to_read: &[ToRead], seen: &[Seen<'_>]) -> Vec<String> {
    let finals: Vec<&Seen<'_>> = seen
        .iter()
        .filter(|s| s.stage == Stage::Final && s.proves)
        .collect();
    // A pass before the last is another round than the last, which is as good as a final one; where a
    // final round came after it other wires were brought up in between, and it is none of that. A bay
    // that is touched up after its final reading is read.
    let as_final = |s: &Seen<'_>| {
        let touched_up = || {
            let knew = |old: &&Seen<'_>| s.line.knew_line(job, old.line);
            finals.is_empty() || finals.iter().any(knew)
        };
        s.finishes && (s.stage != Stage::Pass || touched_up())
    };
    let round = |s: &Seen<'_>| match as_final(s) {
        true => (Stage::Final, 0),
        false => (s.stage, s.pass.unwrap_or(0)),
    };
    let newest = seen.iter().map(round).max();
    let of_newest = |s: &&Seen<'_>| Some(round(s)) == newest;
    // At the set tension after the newest round was begun is as good as in it, whatever the round is called.
    let since = |s: &Seen<'_>| {
        let mut newer = seen.iter().filter(of_newest);
        as_final(s) && newer.any(|old| s.line.knew_line(job, old.line))
    };
    let read = |bay: Subject| {
        let mut there = seen.iter().filter(|s| s.proves && s.bay == Some(bay));
        there.any(|s| of_newest(&s) || since(s))
    };
    let left = to_read.iter().filter(|t| !t.bays.iter().any(|b| read(*b)));
    left.map(|t| t.name.clone()).collect()
}
