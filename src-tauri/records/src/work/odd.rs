//! What to ask about a length that somebody reads now, before it is kept.
//!
//! Invariant: the rule is `mechanics::plausible`; here is chosen only what a length is held against.
//! Changes and refuses nothing.

use mechanics::Millimetres;
use mechanics::plausible::{Beside, REFUSE_FROM, question_length};

use super::WorkError;
use super::convert::mm;
use super::cuts::{CutLine, cut_sheet};
use super::lengths::inside;
use crate::job::{Job, Run};
use crate::model::values::Length;
use crate::subject::Subject;

/// Longest length that is taken at all, in millimetres.
pub const LONGEST_MM: f64 = REFUSE_FROM.0;

/// All that is to be asked about a wire's length, so that one answer is an answer to each: beside the
/// nearest wire that was read, and beside a cut that was released or made already. Nothing where
/// nothing is odd.
///
/// # Errors
/// When the length can't be, or a figure of the run can't.
pub fn odd_length(
    job: &Job<'_>,
    run: &Run,
    wire: u32,
    length: Length,
) -> Result<Vec<String>, WorkError> {
    let nearest = run
        .wires
        .iter()
        .filter(|w| w.number != wire)
        .filter_map(|w| {
            let last = w.lengths.last()?.tips.last()?.value?;
            Some((w.number.abs_diff(wire), w.number, last))
        })
        .min_by_key(|(apart, number, _)| (*apart, *number))
        .map(|(_, number, last)| (format!("wire {number}"), mm(last)));
    let beside = nearest.as_ref().map(|(name, length)| Beside {
        name,
        length: *length,
        alike: true,
    });
    let odd = question_length(mm(length), beside)?;
    let sheet = cut_sheet(job, run.id)?;
    let line = sheet.lines.iter().find(|line| line.wire == wire);
    Ok(odd
        .map(|asked| asked.sentence().to_owned())
        .into_iter()
        .chain(line.and_then(|line| leaves_its_window(line, length)))
        .collect())
}

/// What to ask about the clear distance of a bay, beside what is known of it, else of the run's
/// other bays; none where nothing is odd.
///
/// # Errors
/// When the length can't be.
pub fn odd_bay(run: &Run, bay: &Subject, length: Length) -> Result<Option<String>, WorkError> {
    // What positions or an earlier reading say of this bay, else its neighbours.
    let own = run.bays.iter().filter(|b| b.subject == *bay);
    let others = run.bays.iter().filter(|b| b.subject != *bay);
    let known = own
        .chain(others)
        .find_map(|b| Some((format!("bay {}", b.name), mm(b.clear.filter(|c| c.nm > 0)?))));
    let beside = known.as_ref().map(|(name, length)| Beside {
        name,
        length: *length,
        alike: false,
    });
    let asked = question_length(mm(length), beside)?;
    let asked = asked.map(|asked| asked.sentence().to_owned());
    Ok(asked.or_else(|| longer_than_run(run, mm(length))))
}

/// Asks where a bay would be longer than the wires that run through it.
fn longer_than_run(run: &Run, bay: Millimetres) -> Option<String> {
    let known = inside(run).0.into_iter().filter_map(|i| i.length.ok());
    let longest = known.map(|known| known.mm).reduce(Millimetres::max)?;
    (bay > longest).then(|| {
        format!(
            "{bay} is longer than the wires of run {}, {longest} inside to inside. Is it right?",
            run.name
        )
    })
}

/// Asks where a wire is released or cut already and the new length leaves that cut outside the
/// window that it opens.
fn leaves_its_window(line: &CutLine, length: Length) -> Option<String> {
    let issued = line.issued.as_ref().map(|issued| issued.cut_mm);
    let cut = line.cut_done_mm.or(issued)?;
    let moved = length.as_mm() - line.inside_mm?;
    let (shortest, longest) = (line.shortest_mm? + moved, line.longest_mm? + moved);
    if (shortest..=longest).contains(&cut) {
        return None;
    }
    let done = match line.cut_done_mm {
        Some(_) => "is cut at",
        None => "is released at",
    };
    Some(format!(
        "{} {done} {cut:.0} mm; with this length it would have to lie within {shortest:.1} and \
         {longest:.1}. Was it read rightly?",
        line.name
    ))
}
