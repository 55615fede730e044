//! Readings below the lowest that stands: told beside it, so that nothing put right is hidden.
//!
//! Invariant: which readings stand is worked out by the record's own work; a lower reading is said
//! to be put right only where a later one in its bay, or a new piece, took its place, and where the wire
//! was read at its set tension after it was brought up anew.

use records::model::values::Stage;
use records::work;

use super::reading::Reading;
use super::words;

/// The lowest reading under `stands` of the rounds that count, one for those after the passes and
/// one for the last pass; those that nothing took the place of are said to be so.
pub(super) fn lower(reading: &Reading<'_>, read: &work::Tensions, stands: f64) -> String {
    let after = [Stage::Final, Stage::Recheck];
    let mut told = Vec::new();
    for again in [true, false] {
        for stages in [&after[..], &[Stage::Pass]] {
            told.extend(lowest(reading, read, stands, stages, again));
        }
    }
    told.join("; ")
}

fn lowest(
    reading: &Reading<'_>,
    read: &work::Tensions,
    stands: f64,
    stages: &[Stage],
    again: bool,
) -> Option<String> {
    let of_line = |line: &'_ work::TensionLine| {
        let found = line.readings.iter().filter_map(|r| {
            let newtons = r.newtons.filter(|n| r.counts && *n < stands)?;
            let here = stages.contains(&r.stage) && read.is_at_set(r);
            let put_right = r.replaced && (!r.anew || line.finished().is_some());
            (here && again == put_right).then(|| (newtons, line.wire, r.clone()))
        });
        found.collect::<Vec<_>>()
    };
    let (newtons, wire, r) = read
        .lines
        .iter()
        .flat_map(of_line)
        .min_by(|a, b| a.0.total_cmp(&b.0))?;
    let stage = match (r.stage, r.pass) {
        (Stage::Pass, Some(n)) => format!("pass {n}"),
        (stage, _) => words::stage(stage).into(),
    };
    let left = if again { "" } else { ", not read again there" };
    let day = day(reading, &r);
    Some(format!("{newtons:.0} N, wire {wire}, {day}, {stage}{left}"))
}

/// Local day of the entry that holds a reading.
pub(super) fn day(reading: &Reading<'_>, one: &work::Reading) -> String {
    let entry = reading.job.reader.view.entry(&one.entry);
    entry.map_or_else(String::new, |e| words::day(e.body.at))
}
