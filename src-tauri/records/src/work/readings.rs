//! Tension readings of a run: what governs each wire, how it stands against what is asked.
//!
//! Invariant: of the readings that stand in each bay on the present piece the lowest governs; one
//! stands until a later one in the same bay takes its place (`repeats`). A reading by sound or by a
//! hung phone never governs. One without a tension gauge shows at most that a wire is below, takes
//! the place of none that a gauge told, and reads no bay. The temperature stands beside and corrects
//! nothing. One file past 400 lines, since a wire's answer is put together of all its parts in one place.

mod answer;
mod bays;
mod brought_up;
mod deflections;
mod expected;
mod gauges;
mod masses;
mod moved;
mod of_run;
mod out;
mod pulled;
mod replay;
mod standing;
mod state;
mod told;
mod turned;
mod visits;
mod warmth;

pub use expected::{ExpectedDown, TooCoarse};
pub use gauges::GaugeClear;
use mechanics::{Millimetres, Newtons};
pub use of_run::Tensions;
pub(super) use standing::{finishes, last_pass, proves};
pub use told::{odd_deflection, odd_tension, tell_deflection, tell_gauge};

use super::WorkError;
use super::convert::{mn, run_of};
use super::lengths::inside;
use super::limits::limits;
use super::ordering::{BayRow, asked};
use super::rules::{changed_rules, decided_by_another};
use super::tension::{gauge, gauge_note, most_shown, required_of, upper_of};
use crate::ids::{Hash, ItemId};
use crate::job::{Fact, Job, Run, Wire};
use crate::model::context::{ReadingTold, TensionRead};
use crate::model::values::{self, Force};
use crate::subject::Subject;
use crate::work::repeats::Line;
use bays::{Seen, ToRead};
use standing::{Raises, Taken};
use state::{state, told_by};
use visits::Visits;

pub(in crate::work) use answer::at_tension;
pub use answer::{
    Compared, DeflectionCheck, PulledAfter, Reading, ReadingState, TensionLine, Warmth,
};
pub(in crate::work) use brought_up::BroughtUp;
pub(super) use masses::{Bounds, Hung, hung};
pub(super) use moved::found_so;
pub(super) use out::{TakenOut, taken_out};
pub(super) use replay::replay;

struct Against {
    required: Option<Newtons>,
    /// What nothing may exceed.
    upper: Option<Newtons>,
    /// What was decided to be set.
    set: Option<Newtons>,
    /// Number of the pass that aims at the set tension.
    last_pass: Option<u32>,
}

/// What all wires of a run are read with.
struct OfRun<'r> {
    against: Against,
    to_read: Vec<ToRead>,
    rows: Vec<BayRow>,
    others: Vec<pulled::Other<'r>>,
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
    // Until somebody decides, readings are told and held against nothing.
    let required = required_of(run, asked.required.as_ref()).filter(|_| decided.is_some());
    let upper = upper_of(job, run)?;
    let against = Against {
        required,
        upper,
        set: decided.map(|t| mn(t.set_mn)),
        last_pass: last_pass(run),
    };
    let mut notes = Vec::new();
    if required.is_none() {
        notes.push("No required tension stands for the run: readings stay open.".to_owned());
    }
    let error = gauge.as_ref().and_then(|g| g.error);
    if error.is_none() {
        notes.push("No gauge with a stated error is on record.".to_owned());
    }
    notes.extend(changed_rules(job));
    notes.extend(decided_by_another(job, run));
    notes.extend(gauges::without_error(job));
    // What is clear of the required tension may be more than the strand carries.
    let missing = limits(job, run)?.missing;
    let upper_missing = (!missing.is_empty()).then(|| missing.join(" "));
    notes.extend(missing);
    let to_read = bays::to_read(job, run)?;
    notes.extend(asked.open.iter().map(|bay| bay.sentence.clone()));
    let lengths = inside(run).0;
    let of_run = OfRun {
        against,
        to_read,
        rows: asked.rows,
        others: pulled::others(job, run),
    };
    let mut lines = Vec::with_capacity(run.wires.len());
    for (wire, length) in run.wires.iter().zip(&lengths) {
        let length = length.length.as_ref().ok().map(|k| k.mm);
        lines.push(line(job, run, wire, length, &of_run)?);
    }
    warmth::beside(job, run, &mut lines)?;
    let set = decided.map(|t| mn(t.set_mn));
    for line in &mut lines {
        line.at_tension = line
            .shows_last()
            .zip(set)
            .is_some_and(|(now, set)| at_tension(now, set));
    }
    notes.extend(moved::mark(job, run, &mut lines, (required, upper, error))?);
    let clear = gauges::clear_from(required, error)?;
    let least = clear.or(required.map(Newtons::value));
    for line in &mut lines {
        line.read_there = line.brought_within(least);
    }
    let lowest = of_run::lowest(&lines, |line| line.governing.as_ref());
    Ok(Tensions {
        run: run.id,
        run_name: run.name.clone(),
        required_n: decided.map(|t| mn(t.required_mn).value()),
        asked_n,
        must_show_n: required.map(Newtons::value),
        open_bays: asked.open,
        set_n: set.map(Newtons::value),
        upper_n: decided.map(|t| mn(t.upper_mn).value()),
        never_above_n: upper.map(Newtons::value),
        most_shown_n: gauges::most_shown_n(&of_run.against, error)?,
        upper_missing,
        passes_n: decided.map_or_else(Vec::new, |t| {
            t.passes_mn.iter().map(|p| mn(*p).value()).collect()
        }),
        clear_from_n: clear,
        gauges: gauges::gauges(job, &of_run.against)?,
        expected_down: expected::expected(job, run, &of_run.rows, (required, set, upper))?,
        to_read: of_run.to_read.iter().map(|t| t.name.clone()).collect(),
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
    of_run: &OfRun<'_>,
) -> Result<TensionLine, WorkError> {
    let OfRun {
        against,
        to_read,
        rows,
        others,
    } = of_run;
    let taken = taken(job, run, wire, against)?;
    let piece = wire.piece_number;
    let raises = Raises::of(job, wire, &taken, against.last_pass);
    let anew: Vec<Hash> = taken
        .iter()
        .filter(|t| t.counts_on(piece) && raises.after_read(job, t))
        .map(|t| t.reading.entry)
        .collect();
    let holds = |r: &Reading| !anew.contains(&r.entry);
    // What was bad in a bay goes on being told there, and is no look at what the wire was brought to since.
    let gone = taken
        .iter()
        .filter(|t| raises.let_out_after(job, &t.line))
        .map(|t| t.reading.entry)
        .collect::<Vec<_>>();
    let newest_pass = taken
        .iter()
        .filter(|t| t.counts_on(piece) && t.reading.stage == values::Stage::Pass)
        .filter(|t| holds(&t.reading))
        .map(|t| t.reading.pass)
        .max()
        .flatten();
    let lowest = |wanted: &dyn Fn(&Reading) -> bool| standing::lowest(job, &taken, piece, wanted);
    let last_pass =
        lowest(&|r| r.stage == values::Stage::Pass && r.pass == newest_pass && holds(r));
    let again = standing::again(job, &taken, piece, against.last_pass, &anew, &gone);
    let in_force = standing::in_force(job, &taken, piece, newest_pass, against.last_pass, &anew);
    let brought_to = |r: &Reading| {
        let left = finishes(r.stage, r.pass, against.last_pass) && !again.contains(&r.entry);
        left && holds(r) && !gone.contains(&r.entry)
    };
    let looked_at = |r: &Reading| again.contains(&r.entry) && in_force.contains(&r.entry);
    let proven = |wanted: &dyn Fn(&Reading) -> bool| {
        let of_piece = taken.iter().filter(|t| t.counts_on(piece) && t.proves(job));
        of_piece.filter(|t| wanted(&t.reading)).collect::<Vec<_>>()
    };
    let standing_proven = |wanted: &dyn Fn(&Reading) -> bool| {
        let mut found = standing::in_each_bay(job, &taken, piece, wanted);
        found.retain(|t| t.proves(job));
        found
    };
    let looked = proven(&|r| again.contains(&r.entry));
    let compared = visits::compared(
        &standing_proven(&brought_to),
        &looked,
        &standing_proven(&looked_at),
    );
    let deflections = deflections::deflections(job, run, wire, length, rows, &raises)?;
    let hung = deflections::that_hold(job, wire, &deflections);
    let since = |line: &Line| !raises.let_out_after(job, line);
    let times = |of: &[&Taken<'_>], stage| {
        let hung = hung
            .iter()
            .filter(|h| h.check.stage == stage && since(&h.line));
        let lines = of.iter().map(|t| &t.line).chain(hung.map(|h| &h.line));
        lines.filter_map(Line::at).collect()
    };
    let visits = Visits {
        at_set: times(&proven(&brought_to), values::Stage::Final),
        looked: times(&looked, values::Stage::Recheck),
        by_passes: !raises.is_empty(),
    };
    let at_set = taken
        .iter()
        .filter(|t| t.counts_on(piece) && t.at_set(against.last_pass));
    let at_set: Vec<&Taken<'_>> = at_set.filter(|t| holds(&t.reading)).collect();
    // Where a gauge told the tension, nothing else tells one that would take its place.
    let by_gauge = at_set.iter().any(|t| t.proves(job));
    let within = hung.iter().filter(|h| !by_gauge && h.check.is_within());
    let at_set = at_set.into_iter().filter(|t| !by_gauge || t.proves(job));
    let at_set: Vec<(Option<Subject>, &Line)> = at_set
        .map(|t| (t.reading.bay, &t.line))
        .chain(within.map(|h| (Some(h.check.bay), &h.line)))
        .collect();
    let anywhere: Vec<&Line> = at_set.iter().map(|(_, line)| *line).collect();
    let turned_after = turned::turned_after(job, run, wire.number, &anywhere, &raises);
    let pulled_after = pulled::pulled_after(job, others, &bays::apart(to_read, &at_set));
    let governing = lowest(&|r| in_force.contains(&r.entry));
    let least_n = standing::least(job, &taken, piece, |r| in_force.contains(&r.entry));
    let (last_final, last_recheck) = (lowest(&brought_to), lowest(&looked_at));
    let stand: Vec<Hash> = standing::in_each_bay(job, &taken, piece, |_| true)
        .iter()
        .map(|t| t.reading.entry)
        .collect();
    let of_now = taken
        .iter()
        .filter(|t| t.counts_on(piece) && holds(&t.reading) && since(&t.line));
    let hung_now = hung.iter().filter(|h| !h.check.replaced && since(&h.line));
    let of_now: Vec<&Taken<'_>> = of_now.collect();
    let sags = deflections::sags(job, &hung, &of_now, against.last_pass);
    let seen = of_now.iter().map(|t| Seen::read(job, t, against.last_pass));
    let seen = seen.chain(hung_now.map(Seen::hung)).collect::<Vec<_>>();
    let not_read = bays::not_read(job, to_read, &seen);
    let mut readings: Vec<Reading> = taken.into_iter().map(|t| t.reading).collect();
    for reading in &mut readings {
        reading.anew = anew.contains(&reading.entry);
        reading.replaced = reading.piece != piece
            || reading.anew
            || (reading.counts && !stand.contains(&reading.entry));
    }
    Ok(TensionLine {
        wire: wire.number,
        subject: Subject::Wire(run.id, wire.number),
        name: format!("{}{}", run.name, wire.number),
        piece,
        state: governing.as_ref().map_or(ReadingState::Open, |g| g.state),
        not_read,
        held_by_deflection: deflections::held(&deflections, &sags, to_read),
        sags,
        turned_after,
        stands_n: None,
        brought_n: None,
        read_there: false,
        pulled_after,
        deflections,
        readings,
        governing,
        least_n,
        last_pass,
        last_final,
        last_recheck,
        at_tension: false,
        compared,
        rechecked: visits.rechecked(),
        left_ms: visits.left().map(|at| at.ms),
        looked_ms: visits.again().map(|at| at.ms),
    })
}

/// The readings of a wire, of all its pieces.
fn taken<'w>(
    job: &Job<'_>,
    run: &Run,
    wire: &'w Wire,
    against: &Against,
) -> Result<Vec<Taken<'w>>, WorkError> {
    let mut taken = Vec::with_capacity(wire.tensions.len());
    for (bay, fact) in &wire.tensions {
        let Some(told) = fact.tips.last() else {
            continue;
        };
        let line = Line::of(job, told);
        if let Some(mut reading) = reading(job, run, bay, fact, against)? {
            reading.at_ms = line.at().map_or(reading.at_ms, |at| at.ms);
            taken.push(Taken {
                reading,
                bay,
                fact,
                line,
            });
        }
    }
    Ok(taken)
}

fn force(reading: &Reading) -> f64 {
    reading.newtons.unwrap_or(f64::NEG_INFINITY)
}

fn reading(
    job: &Job<'_>,
    run: &Run,
    bay: &str,
    fact: &Fact<Force, TensionRead>,
    against: &Against,
) -> Result<Option<Reading>, WorkError> {
    let Some(told) = fact.tips.last() else {
        return Ok(None);
    };
    let Some(with) = told.with.as_ref() else {
        return Ok(None);
    };
    let tool = job.tools.iter().find(|t| Some(t.id) == with.gauge);
    let error = gauges::error_on(tool);
    let newtons = fact.value().map(|f| f.as_newtons());
    let counts = with.method.counts();
    let state = match (newtons, against.required) {
        (Some(read), Some(required)) if counts => {
            told_by(tool, with.method, state(Newtons(read), required, error)?)
        }
        _ => ReadingState::Open,
    };
    let most = against
        .upper
        .map(|upper| most_shown(upper, against.set, error));
    let most = most.transpose()?.filter(|_| counts);
    let over = newtons.zip(most).is_some_and(|(n, most)| n > most.value());
    let within = newtons
        .zip(against.upper)
        .is_some_and(|(n, upper)| n <= upper.value());
    let may_carry = newtons
        .zip(error)
        .filter(|_| over && within)
        .map(|(n, error)| (n * (1.0 + error)).ceil());
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
        newtons,
        stage: with.stage,
        pass: with.pass,
        method: with.method,
        piece: with.piece,
        gauge: tool.map(|t| gauge_note(t).name),
        gauge_error: error,
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
        warmth: None,
        remark: with.reason.clone(),
        by: job.reader.person(&told.person),
        at_ms: told.at.ms,
        counts,
        disputed: fact.blocks(),
        replaced: false,
        anew: false,
        state,
        over,
        may_carry_n: may_carry,
    }))
}

/// An edge of the band that was told with a reading, in newtons.
fn edge(with: &TensionRead, of: impl Fn(&ReadingTold) -> Option<i64>) -> Option<f64> {
    with.told.as_ref().and_then(of).map(|edge| mn(edge).value())
}
