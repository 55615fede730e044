//! What to ask about the clear distance of a bay, before it is kept.
//!
//! Invariant: as in `odd`, the rule is `mechanics::plausible`; here is chosen only what a bay is held against.

use mechanics::Millimetres;
use mechanics::plausible::{BAY_USUAL, Beside, fits_positions, question_length, question_usual};

use super::WorkError;
use super::convert::mm;
use super::lengths::inside;
use crate::job::Run;
use crate::model::values::Length;
use crate::subject::Subject;

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
    Ok(asked
        .or_else(|| longer_than_run(run, mm(length)))
        .or_else(|| beside_earlier(run, bay, mm(length)))
        // One that was read before was asked about then.
        .or_else(|| unusual_bay(length).filter(|_| read_before(run, bay).is_none())))
}

/// What to ask about a clear distance that has nothing beside it: whether bays are as long as that;
/// none where it is usual.
#[must_use]
pub fn unusual_bay(length: Length) -> Option<String> {
    question_usual("a bay", mm(length), &BAY_USUAL)
}

/// What to ask about a bay that was measured before as another: the longest that anybody tells counts,
/// so a slip of the tape is put right by correcting it.
fn beside_earlier(run: &Run, bay: &Subject, length: Millimetres) -> Option<String> {
    let (name, told) = read_before(run, bay)?;
    (!fits_positions(length, told, told)).then(|| {
        format!(
            "Bay {name} was measured before as {told}, {} apart. The longest counts; correct the wrong \
             one instead. Keep both all the same?",
            (length - told).abs()
        )
    })
}

/// What the bay was measured as before, with its name.
fn read_before<'a>(run: &'a Run, bay: &Subject) -> Option<(&'a str, Millimetres)> {
    let own = run.bays.iter().find(|b| b.subject == *bay && b.measured)?;
    Some((own.name.as_str(), mm(own.clear?)))
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
