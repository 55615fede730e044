//! What is asked before the openings of a bay are said to stop the probe: what the heights on record tell
//! otherwise, and where the probe passed when it was offered last.

use mechanics::assessment::OpeningKind;

use super::convert::mm;
use super::ordering::standing;
use super::{WorkError, words};
use crate::ids::ItemId;
use crate::job::{Job, Run};
use crate::model::values::Length;
use crate::subject::Subject;

/// What to ask before nothing in a bay is said to let a probe through, each in one sentence; none where
/// nothing speaks against it. `passing` are the lower wires of openings where it passes by what stands.
///
/// # Errors
/// When a figure of the run can't be.
pub fn odd_stops(
    job: &Job<'_>,
    run: &Run,
    bay: &Subject,
    probe: Length,
    passing: &[u32],
) -> Result<Vec<String>, WorkError> {
    let here = subjects(run, bay);
    let mut told = Vec::new();
    for opening in standing(job, run)? {
        let of_the_run = opening.of.is_none_or(|of| of == run.subject());
        let offered = of_the_run || opening.of.is_some_and(|of| here.contains(&of));
        if !offered || !in_every_bay(opening.kind) || opening.clear < mm(probe) {
            continue;
        }
        let elsewhere = opening.widest_at.is_some_and(|at| !here.contains(&at));
        let widest = match elsewhere {
            true => format!(", the widest of run {},", run.name),
            false => String::new(),
        };
        told.push(format!(
            "By what is on record {}{widest} is {} clear, and the probe is {}.",
            opening.label,
            opening.clear,
            words::mm(probe.nm)
        ));
    }
    let passed = passed(run, passing).map(|which| {
        format!(
            "A probe passed {which} when one was offered last. Was it put right and offered again?"
        )
    });
    told.extend(passed);
    Ok(told)
}

/// The bay and its two posts.
fn subjects(run: &Run, bay: &Subject) -> Vec<Subject> {
    let posts = |b: &crate::job::Bay| -> [ItemId; 2] { [b.left, b.right] };
    let ends = run.bays.iter().find(|b| b.subject == *bay).map(posts);
    let ends = ends.into_iter().flatten().map(Subject::post);
    ends.chain([*bay]).collect()
}

/// Whether an opening is one of those that a probe is offered to in every bay; others are read on their own.
const fn in_every_bay(kind: OpeningKind) -> bool {
    matches!(
        kind,
        OpeningKind::FloorToWire | OpeningKind::BetweenWires | OpeningKind::WireToRail
    )
}

/// "under the bottom wire, between wires 5 and 6 and over the top wire"; none of none.
fn passed(run: &Run, passing: &[u32]) -> Option<String> {
    let top = u32::try_from(run.wires.len()).unwrap_or(u32::MAX);
    let one = |lower: &u32| match *lower {
        0 => "under the bottom wire".to_owned(),
        lower if lower == top => "over the top wire".to_owned(),
        lower => format!("between wires {lower} and {}", lower + 1),
    };
    let named: Vec<String> = passing.iter().map(one).collect();
    (!named.is_empty()).then(|| named.join(", "))
}
