//! Tension readings of a run: what governs each wire, how it stands against what is asked.
//!
//! Invariant: of the readings that stand in each bay on the present piece the lowest governs; one
//! stands until a later one in the same bay takes its place (`repeats`). A reading by sound or by a
//! hung phone never governs. The temperature stands beside and corrects nothing.

mod answer;
mod bays;
mod deflections;
mod gauges;
mod told;

pub use gauges::GaugeClear;
use mechanics::tension::{self, reading_state};
use mechanics::{Millimetres, Newtons};
pub use told::{tell_deflection, tell_gauge};

use super::WorkError;
use super::convert::{mn, run_of};
use super::lengths::inside;
use super::ordering::{BayRow, asked};
use super::repeats;
use super::tension::{GaugeNote, gauge, gauge_note};
use crate::ids::{Hash, ItemId};
use crate::job::{Fact, Job, Run, Wire};
use crate::model::context::{ReadingTold, TensionRead};
use crate::model::values::{self, Force, Method};
use crate::subject::Subject;
pub use answer::{DeflectionCheck, Reading, ReadingState, TensionLine, Tensions};

struct Against<'a> {
    required: Option<Newtons>,
    gauge: Option<&'a GaugeNote>,
    /// Number of the pass that aims at the set tension.
    last_pass: Option<u32>,
}

/// Reads the tensions of a run.
///
/// # Errors
/// When the run is unknown or a figure can't be.
pub fn tensions(job: &Job<'_>, run: ItemId) -> Result<Tensions, WorkError> {
    let run = run_of(job, run)?;
    let gauge = gauge(job);
    let asked = asked(job, run)?;
    let asked_n = asked.required.as_ref().map(|r| r.newtons);
    let decided = run.tensions.value();
    // A table is a floor: what somebody decided below it does not lower it.
    let required = decided.map(|t| mn(t.required_mn).max(Newtons(asked_n.unwrap_or(0.0))));
    let against = Against {
        required,
        gauge: gauge.as_ref(),
        last_pass: decided.and_then(|t| u32::try_from(t.passes_mn.len()).ok()),
    };
    let mut notes = Vec::new();
    if required.is_none() {
        notes.push("No required tension stands for the run: readings stay open.".to_owned());
    }
    let error = gauge.as_ref().and_then(|g| g.error);
    if error.is_none() {
        notes.push("No gauge with a stated error is on record.".to_owned());
    }
    let to_read = bays::to_read(run);
    notes.extend(asked.open.iter().map(|bay| bay.sentence.clone()));
    let lengths = inside(run).0;
    let mut lines = Vec::with_capacity(run.wires.len());
    for (wire, length) in run.wires.iter().zip(&lengths) {
        let length = length.length.as_ref().ok().map(|k| k.mm);
        lines.push(line(
            job,
            run,
            wire,
            length,
            &against,
            &to_read,
            &asked.rows,
        )?);
    }
    let lowest = lines
        .iter()
        .filter_map(|l| Some((l.wire, l.governing.as_ref()?)))
        .min_by(|a, b| force(a.1).total_cmp(&force(b.1)));
    Ok(Tensions {
        run: run.id,
        run_name: run.name.clone(),
        required_n: decided.map(|t| mn(t.required_mn).value()),
        asked_n,
        open_bays: asked.open,
        set_n: decided.map(|t| mn(t.set_mn).value()),
        upper_n: decided.map(|t| mn(t.upper_mn).value()),
        passes_n: decided.map_or_else(Vec::new, |t| {
            t.passes_mn.iter().map(|p| mn(*p).value()).collect()
        }),
        clear_from_n: gauges::clear_from(required, error)?,
        gauges: gauges::gauges(job, &against)?,
        to_read: to_read.iter().map(|(_, name)| name.clone()).collect(),
        lowest_wire: lowest.map(|(wire, _)| wire),
        lowest: lowest.map(|(_, reading)| reading.clone()),
        lines,
        gauge,
        notes,
    })
}

fn line(
    job: &Job<'_>,
    run: &Run,
    wire: &Wire,
    length: Option<Millimetres>,
    against: &Against<'_>,
    to_read: &[(Subject, String)],
    rows: &[BayRow],
) -> Result<TensionLine, WorkError> {
    let mut readings = Vec::with_capacity(wire.tensions.len());
    let mut facts = Vec::with_capacity(wire.tensions.len());
    for (bay, fact) in &wire.tensions {
        if let Some(reading) = reading(job, run, bay, fact, against)? {
            readings.push(reading);
            facts.push((bay.as_str(), fact));
        }
    }
    let of_piece = |r: &Reading| r.piece == wire.piece_number && r.counts;
    let after = readings
        .iter()
        .any(|r| of_piece(r) && r.stage != values::Stage::Pass);
    let newest_pass = readings
        .iter()
        .filter(|r| of_piece(r) && r.stage == values::Stage::Pass)
        .map(|r| r.pass)
        .max()
        .flatten();
    // Lower passes are on the way up by plan; once the wire was read after them, only what aimed at
    // the set tension is left to stand, and what was read after all the same.
    let fell_back = |r: &Reading| {
        let told = |r: &Reading| {
            let (_, fact) = facts
                .iter()
                .find(|(_, f)| f.tips.iter().any(|t| t.id == r.entry))?;
            fact.tips.last()
        };
        let before = readings
            .iter()
            .filter(|o| of_piece(o) && o.stage != values::Stage::Pass);
        told(r).is_some_and(|new| {
            before
                .filter_map(told)
                .any(|old| repeats::follows(job, new, old))
        })
    };
    let in_force = |r: &Reading| match r.stage {
        values::Stage::Pass if after => {
            (r.pass.is_some() && r.pass == against.last_pass) || fell_back(r)
        }
        values::Stage::Pass => r.pass == newest_pass,
        values::Stage::Final | values::Stage::Recheck => true,
    };
    let standing = |wanted: &dyn Fn(&Reading) -> bool| {
        let known: Vec<(&Reading, &str, &Fact<Force, TensionRead>)> = readings
            .iter()
            .zip(&facts)
            .filter(|(r, _)| of_piece(r) && wanted(r))
            .map(|(r, (bay, fact))| (r, *bay, *fact))
            .collect();
        in_each_bay(job, &known)
    };
    let lowest = |wanted: &dyn Fn(&Reading) -> bool| {
        let least = |a: &&Reading, b: &&Reading| force(a).total_cmp(&force(b));
        standing(wanted).into_iter().min_by(least).cloned()
    };
    let last_pass = lowest(&|r| r.stage == values::Stage::Pass && r.pass == newest_pass);
    let last_final = lowest(&|r| r.stage == values::Stage::Final);
    let last_recheck = lowest(&|r| r.stage == values::Stage::Recheck);
    let governing = lowest(&in_force);
    let replaced: Vec<bool> = {
        let left: Vec<Hash> = standing(&|_| true).iter().map(|r| r.entry).collect();
        let gone =
            |r: &Reading| r.piece != wire.piece_number || (r.counts && !left.contains(&r.entry));
        readings.iter().map(gone).collect()
    };
    for (reading, replaced) in readings.iter_mut().zip(replaced) {
        reading.replaced = replaced;
    }
    let newest = readings
        .iter()
        .filter(|r| of_piece(r))
        .map(|r| r.stage)
        .max();
    let not_read = to_read
        .iter()
        .filter(|(bay, _)| {
            !readings
                .iter()
                .any(|r| of_piece(r) && Some(r.stage) == newest && r.bay == Some(*bay))
        })
        .map(|(_, name)| name.clone())
        .collect();
    Ok(TensionLine {
        wire: wire.number,
        subject: Subject::Wire(run.id, wire.number),
        name: format!("{}{}", run.name, wire.number),
        piece: wire.piece_number,
        state: governing.as_ref().map_or(ReadingState::Open, |g| g.state),
        deflections: deflections::deflections(job, run, wire, length, rows)?,
        readings,
        governing,
        last_pass,
        last_final,
        last_recheck,
        not_read,
    })
}

/// The readings that stand, bay by bay.
fn in_each_bay<'r>(
    job: &Job<'_>,
    known: &[(&'r Reading, &str, &Fact<Force, TensionRead>)],
) -> Vec<&'r Reading> {
    let mut bays: Vec<&str> = known.iter().map(|(_, bay, _)| *bay).collect();
    bays.sort_unstable();
    bays.dedup();
    let mut found = Vec::new();
    for bay in bays {
        let of: Vec<_> = known.iter().filter(|(_, at, _)| *at == bay).collect();
        let facts: Vec<&Fact<Force, TensionRead>> = of.iter().map(|(_, _, fact)| *fact).collect();
        let stands = repeats::standing(job, &facts, |told| {
            told.with.as_ref().map(|w| (w.stage, w.pass.unwrap_or(0)))
        });
        let left = |fact: &Fact<Force, TensionRead>| stands.iter().any(|s| std::ptr::eq(*s, fact));
        found.extend(
            of.iter()
                .filter(|(_, _, fact)| left(fact))
                .map(|(r, _, _)| *r),
        );
    }
    found
}

fn force(reading: &Reading) -> f64 {
    reading.newtons.unwrap_or(f64::NEG_INFINITY)
}

fn reading(
    job: &Job<'_>,
    run: &Run,
    bay: &str,
    fact: &Fact<Force, TensionRead>,
    against: &Against<'_>,
) -> Result<Option<Reading>, WorkError> {
    let Some(told) = fact.tips.last() else {
        return Ok(None);
    };
    let Some(with) = told.with.as_ref() else {
        return Ok(None);
    };
    let tool = job.tools.iter().find(|t| Some(t.id) == with.gauge);
    let error = gauges::error_on(tool, against);
    let newtons = fact.value().map(|f| f.as_newtons());
    let counts = matches!(with.method, Method::Gauge | Method::HungMass);
    let state = match (newtons, against.required) {
        (Some(read), Some(required)) if counts => state(Newtons(read), required, error)?,
        _ => ReadingState::Open,
    };
    let subject = format!("bay:{bay}").parse::<Subject>().ok();
    let in_run = run.bays.iter().find(|b| Some(b.subject) == subject);
    #[allow(clippy::cast_precision_loss)] // hundredths of a degree
    let celsius = |cdeg: Option<i64>| cdeg.map(|c| c as f64 / 100.0);
    Ok(Some(Reading {
        entry: told.id,
        bay: in_run.map(|b| b.subject),
        bay_name: in_run.map_or_else(
            || match subject {
                Some(subject) => job.name_of(&subject),
                None => "bay not told".to_owned(),
            },
            |b| b.name.clone(),
        ),
        shown_n: match newtons {
            Some(read) if read > 0.0 => {
                Some(tension::shown(Newtons(read), error.unwrap_or(0.0))?.value())
            }
            other => other,
        },
        newtons,
        stage: with.stage,
        pass: with.pass,
        method: with.method,
        piece: with.piece,
        gauge: tool.map(|t| gauge_note(t).name),
        gauge_error: tool.and(error),
        gauge_dates: tool.map(|t| gauge_note(t).dates),
        raw: with.raw.clone(),
        chart: with.chart.clone(),
        least_n: edge(with, |t| t.least_mn),
        most_n: edge(with, |t| t.most_mn),
        numbers: with
            .told
            .as_ref()
            .map_or_else(Vec::new, |t| t.numbers.clone()),
        recordings: with
            .told
            .as_ref()
            .map_or_else(Vec::new, |t| t.recordings.clone()),
        air_c: celsius(with.air_cdeg),
        wire_c: celsius(with.wire_cdeg),
        remark: with.reason.clone(),
        by: job.reader.person(&told.person),
        at_ms: told.at.ms,
        counts,
        disputed: fact.blocks(),
        replaced: false,
        state,
    }))
}

/// An edge of the band that was told with a reading, in newtons.
fn edge(with: &TensionRead, of: impl Fn(&ReadingTold) -> Option<i64>) -> Option<f64> {
    with.told.as_ref().and_then(of).map(|edge| mn(edge).value())
}

/// Without a known error nothing is clear: what reaches the required tension is at the mark.
fn state(read: Newtons, required: Newtons, error: Option<f64>) -> Result<ReadingState, WorkError> {
    let found = reading_state(read, required, error.unwrap_or(0.0))?;
    Ok(match (found, error) {
        (tension::ReadingState::Below, _) => ReadingState::Below,
        (tension::ReadingState::Clear, Some(_)) => ReadingState::Clear,
        (tension::ReadingState::AtTheMark | tension::ReadingState::Clear, _) => {
            ReadingState::AtTheMark
        }
    })
}
