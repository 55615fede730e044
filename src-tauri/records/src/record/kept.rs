//! A job's parts in memory between commands, so that what nobody spoke of is not read again.
//!
//! Invariant: the parts given out are those that a fresh reading gives. They go by the book's own
//! word of what changed and by the crew as it is; what is said of a run or on its wires reaches that
//! run alone, any other word reaches all runs, and all that is no run is read again after any word.

use std::collections::BTreeSet;

use crate::book::{BookView, Changed};
use crate::crew::Crew;
use crate::ids::ItemId;
use crate::job::{Job, Parts, Reader, Run};
use crate::subject::{ItemKind, Subject};

/// Parts as last read, and the crew whose names they hold.
#[derive(Default)]
pub(super) struct Kept {
    last: Option<(Crew, Parts)>,
}

impl Kept {
    /// The job as its book tells it now. The view is always the one that was given before.
    pub(super) fn job<'a>(&'a mut self, view: &'a mut BookView, crew: &'a Crew) -> Job<'a> {
        // Taken out first: should reading end in a panic, nothing is kept.
        let last = self.last.take();
        let changed = view.take_changed();
        let reader = Reader { view, crew };
        let last = last.filter(|(known, _)| known == crew);
        let parts = match (last, changed) {
            (Some((_, parts)), Changed::Nothing) => parts,
            (Some((_, parts)), Changed::Subjects(said)) => {
                Parts::read(&reader, unspoken(parts.runs, &said))
            }
            (None, _) | (_, Changed::Everything) => Parts::read(&reader, Vec::new()),
        };
        let (_, parts) = self.last.insert((crew.clone(), parts));
        Job::of(reader, parts)
    }
}

/// The runs that go by nothing of what was said.
fn unspoken(mut runs: Vec<Run>, said: &BTreeSet<String>) -> Vec<Run> {
    let spoken: Option<BTreeSet<ItemId>> = said.iter().map(|on| run_alone(on)).collect();
    match spoken {
        Some(spoken) => runs.retain(|run| !spoken.contains(&run.id)),
        None => runs.clear(),
    }
    runs
}

/// The only run that goes by what is said on a subject; none where others may.
fn run_alone(subject: &str) -> Option<ItemId> {
    match subject.parse().ok()? {
        Subject::Item(ItemKind::Run, run) | Subject::Wire(run, _) => Some(run),
        _ => None,
    }
}
