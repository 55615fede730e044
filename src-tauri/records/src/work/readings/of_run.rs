//! What the tension readings of a run come to over all its wires, as it is shown and kept.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::answer::{PulledAfter, Reading, ReadingState, TensionLine};
use super::expected::ExpectedDown;
use super::gauges::GaugeClear;
use crate::ids::ItemId;
use crate::model::values::{self, Method};
use crate::work::ordering::OpenBay;
use crate::work::tension::GaugeNote;

/// Tension readings of a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[ts(rename = "RunTensions")]
pub struct Tensions {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// Required tension decided for the run.
    pub required_n: Option<f64>,
    /// What the rule set's table asks of the bays that have a figure: readings are held against the
    /// greater of the two.
    pub asked_n: Option<f64>,
    /// What every wire has to show at least: the greater of the two; none before anything is decided.
    pub must_show_n: Option<f64>,
    /// Bays that the table has no figure for: no reading answers for them.
    pub open_bays: Vec<OpenBay>,
    /// Set tension decided.
    pub set_n: Option<f64>,
    /// Upper tension decided.
    pub upper_n: Option<f64>,
    /// What nothing may exceed: the lesser of that and of the least limit that is known.
    pub never_above_n: Option<f64>,
    /// The most that the gauge may show without its wire being over that, for what it errs; what was decided to be
    /// set may be shown. None where nothing is known.
    pub most_shown_n: Option<f64>,
    /// What is missing before anybody knows how much the wires may carry, and what to do: a reading
    /// that is clear of the required tension is not held against it; none where nothing is.
    pub upper_missing: Option<String>,
    /// Passes decided.
    pub passes_n: Vec<f64>,
    /// Least reading that is clear of the required one on the gauge that is counted.
    pub clear_from_n: Option<f64>,
    /// The same for each tension gauge of the job.
    pub gauges: Vec<GaugeClear>,
    /// The gauge that is counted.
    pub gauge: Option<GaugeNote>,
    /// What a ruler is expected to show under the hung mass, bay by bay.
    pub expected_down: Vec<ExpectedDown>,
    /// Bays to read: the widest, and the one furthest from the tensioner.
    pub to_read: Vec<String>,
    /// One line a wire.
    pub lines: Vec<TensionLine>,
    /// Lowest governing reading of the run.
    pub lowest: Option<Reading>,
    /// Wire of that reading.
    pub lowest_wire: Option<u32>,
    /// What was assumed or left out.
    pub notes: Vec<String>,
}

impl Tensions {
    /// The lowest of the readings that govern wires which were read at their set tension, with its
    /// wire; one that people differ on before all others.
    #[must_use]
    pub fn lowest_finished(&self) -> Option<(u32, &Reading)> {
        lowest(&self.lines, TensionLine::finished)
    }

    /// The least that anybody tells of those wires.
    #[must_use]
    pub fn least_finished_n(&self) -> Option<f64> {
        let finished = self.lines.iter().filter(|l| l.finished().is_some());
        finished.filter_map(|l| l.least_n).min_by(f64::total_cmp)
    }

    /// Whether a reading was taken at the set tension or after: passes on the way up are lower by
    /// plan.
    #[must_use]
    pub fn is_at_set(&self, reading: &Reading) -> bool {
        let last_pass = u32::try_from(self.passes_n.len()).ok();
        reading.stage == values::Stage::Recheck
            || super::finishes(reading.stage, reading.pass, last_pass)
    }

    /// Wires of which what governs was told by no tension gauge, and is held against nothing.
    #[must_use]
    pub fn without_gauge(&self) -> Vec<u32> {
        let open =
            |r: &Reading| r.method == Method::Gauge && r.state == ReadingState::Open && !r.disputed;
        self.must_show_n.map_or_else(Vec::new, |_| {
            let lines = self.lines.iter();
            let open = lines.filter(|l| l.finished().is_some_and(open));
            open.map(|l| l.wire).collect()
        })
    }

    /// Wires that were last read before others were turned, and those others; none where none was.
    #[must_use]
    pub fn read_before_turns(&self) -> Option<(Vec<u32>, Vec<u32>)> {
        let before: Vec<&TensionLine> = self
            .lines
            .iter()
            .filter(|l| !l.turned_after.is_empty())
            .collect();
        let mut turned: Vec<u32> = before.iter().flat_map(|l| l.turned_after.clone()).collect();
        turned.sort_unstable();
        turned.dedup();
        (!before.is_empty()).then(|| (before.iter().map(|l| l.wire).collect(), turned))
    }

    /// Other runs that were brought up after wires were last read, each with those wires; `done`: only
    /// those that all are at their set tension.
    #[must_use]
    pub fn read_before_pulls(&self, done: bool) -> Vec<(&PulledAfter, Vec<u32>)> {
        let mut found: Vec<(&PulledAfter, Vec<u32>)> = Vec::new();
        for line in &self.lines {
            for after in line.pulled_after.iter().filter(|after| after.done || !done) {
                match found.iter_mut().find(|(known, _)| known.run == after.run) {
                    Some((_, wires)) => wires.push(line.wire),
                    None => found.push((after, vec![line.wire])),
                }
            }
        }
        found
    }

    /// Wires of which a reading stands that is over what nothing may exceed, or, `for_error`, that its gauge's error
    /// may put there.
    #[must_use]
    pub fn over_upper(&self, for_error: bool) -> Vec<u32> {
        let is = |l: &&TensionLine| {
            l.over()
                .is_some_and(|r| r.may_carry_n.is_some() == for_error)
        };
        let over = self.lines.iter().filter(is);
        over.map(|l| l.wire).collect()
    }

    /// Gauges that state no error, each with the wires that rest on what they read.
    #[must_use]
    pub fn gauges_without_error(&self) -> Vec<(&str, Vec<u32>)> {
        let mut found: Vec<(&str, Vec<u32>)> = Vec::new();
        for line in &self.lines {
            let governs = line.finished().filter(|r| r.gauge_error.is_none());
            let Some(gauge) = governs.and_then(|r| r.gauge.as_deref()) else {
                continue;
            };
            match found.iter_mut().find(|(known, _)| *known == gauge) {
                Some((_, wires)) => wires.push(line.wire),
                None => found.push((gauge, vec![line.wire])),
            }
        }
        found
    }

    /// Bays to read that were not read in the newest round of the wires that are wanted, each with
    /// those wires.
    #[must_use]
    pub fn unread_bays(&self, wanted: impl Fn(&TensionLine) -> bool) -> Vec<(&str, Vec<u32>)> {
        let lines = || self.lines.iter().filter(|l| l.is_read() && wanted(l));
        let of = |bay: &String| {
            let unread = lines().filter(|l| l.not_read.contains(bay));
            unread.map(|l| l.wire).collect::<Vec<u32>>()
        };
        let bays = self.to_read.iter().map(|bay| (bay.as_str(), of(bay)));
        bays.filter(|(_, wires)| !wires.is_empty()).collect()
    }
}

/// The lowest of one reading a wire, with its wire; one that people differ on before all others.
pub(super) fn lowest<'l>(
    lines: &'l [TensionLine],
    of: impl Fn(&'l TensionLine) -> Option<&'l Reading>,
) -> Option<(u32, &'l Reading)> {
    lines
        .iter()
        .filter_map(|line| Some((line.wire, of(line)?)))
        .min_by(|a, b| super::force(a.1).total_cmp(&super::force(b.1)))
}
