//! Which entries still stand: one pass over a book instead of one for each question.

use std::collections::{HashMap, HashSet};

use super::basis::{Decision, keys};
use crate::book::KeyState;
use crate::claims::{self, Line};
use crate::ids::Hash;
use crate::job::Job;

/// Whether entries of a job stand undisputed.
///
/// An entry may claim several keys, as a creation does. Of those that a decision uses it is asked
/// for these keys alone: a post that is renamed moves no cut, one that is shifted does. An entry
/// that claims none of them is asked for all that it claims.
#[derive(Debug)]
pub struct Stands(HashMap<Hash, bool>);

impl Stands {
    /// Looks over a job.
    #[must_use]
    pub fn of(job: &Job<'_>) -> Self {
        let mut all = HashMap::new();
        for (_, state) in job.reader.view.keys() {
            note(&mut all, state);
        }
        Stands(all)
    }

    /// How many values of a decision's basis were replaced, withdrawn or disputed since.
    #[must_use]
    pub fn moved(&self, job: &Job<'_>, decision: Decision<'_>, basis: &[Hash]) -> usize {
        if basis.is_empty() {
            return 0;
        }
        let basis: HashSet<Hash> = basis.iter().copied().collect();
        let mut used = HashSet::new();
        let mut moved = 0;
        for key in keys(job, decision) {
            let Some(state) = job.reader.view.key(&key) else {
                continue;
            };
            for line in &state.lines {
                let known = || line.claims.iter().filter(|id| basis.contains(*id));
                used.extend(known().copied());
                let touched = known().next().is_some();
                // What was replaced before the decision stands in its basis beside its successor.
                let stands = agreed(line, state) && line.tips.iter().any(|id| basis.contains(id));
                if touched && !stands {
                    moved += 1;
                }
            }
        }
        let gone = |id: &&Hash| !used.contains(*id) && self.0.get(*id) != Some(&true);
        moved + basis.iter().filter(gone).count()
    }
}

fn note(stands: &mut HashMap<Hash, bool>, state: &KeyState) {
    for line in &state.lines {
        let agreed = agreed(line, state);
        for id in &line.claims {
            let here = agreed && line.tips.contains(id);
            let so_far = stands.entry(*id).or_insert(true);
            *so_far = *so_far && here;
        }
    }
}

/// A withdrawal is a word like others: a decision may rest on a value that is not there.
fn agreed(line: &Line, state: &KeyState) -> bool {
    line.standing != claims::Standing::Disputed && state.newer.is_empty()
}
