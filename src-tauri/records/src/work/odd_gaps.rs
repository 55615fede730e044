//! What is asked before the openings of a bay are said to stop the probe: what the heights on record tell
//! otherwise, and where the probe passed when it was offered last.

use mechanics::Millimetres;

use super::convert::mm;
use super::ordering::{Finding, Topic, before_ordering};
use super::{WorkError, words};
use crate::ids::ItemId;
use crate::job::{Job, Run};
use crate::model::values::{Length, OpeningKind};
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
    let wide = |f: &Finding| {
        f.topic == Topic::Opening && here.contains(&f.subject) && stands_in_a_bay(&f.place)
    };
    let found = before_ordering(job, run.id)?.findings.into_iter();
    let told = found.filter(wide).filter_map(|f| {
        let clear = f.actual.map(|clear| Millimetres(clear.value));
        let clear = clear.filter(|clear| *clear >= mm(probe))?;
        let widest = match at_another_post(run, bay, &f.place) {
            true => format!(", the widest of run {},", run.name),
            false => String::new(),
        };
        Some(format!(
            "By what is on record {}{widest} is {clear} clear, and the probe is {}.",
            f.place,
            words::mm(probe.nm)
        ))
    });
    let passed = passed(run, passing).map(|which| {
        format!(
            "A probe passed {which} when one was offered last. Was it put right and offered again?"
        )
    });
    Ok(told.chain(passed).collect())
}

/// The run, the bay and its two posts.
fn subjects(run: &Run, bay: &Subject) -> Vec<Subject> {
    let posts = |b: &crate::job::Bay| -> [ItemId; 2] { [b.left, b.right] };
    let ends = run.bays.iter().find(|b| b.subject == *bay).map(posts);
    let ends = ends.into_iter().flatten().map(Subject::post);
    ends.chain([*bay, run.subject()]).collect()
}

/// Whether an opening of the whole run is told of a post that does not stand at the bay.
fn at_another_post(run: &Run, bay: &Subject, place: &str) -> bool {
    let ends = run.bays.iter().find(|b| b.subject == *bay);
    let ends: Vec<ItemId> = ends.into_iter().flat_map(|b| [b.left, b.right]).collect();
    let mut others = run.posts.iter().filter(|post| !ends.contains(&post.id));
    others.any(|post| place.ends_with(&format!(" at {}", post.name)))
}

/// Whether an opening is one of those that a probe is offered to in every bay; others are read on their own.
fn stands_in_a_bay(place: &str) -> bool {
    let floor = words::opening(OpeningKind::FloorToBottomWire);
    place.starts_with(floor)
        || place.starts_with("top wire to ")
        || place.ends_with("between wires")
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
