//! Which entries still stand: one pass over a book instead of one for each question.

use std::collections::{HashMap, HashSet};

use serde_json::Value;

use super::basis::{Decision, keys};
use super::lengths::readings_since;
use crate::book::{Key, KeyState};
use crate::claims::{self, Line};
use crate::ids::Hash;
use crate::job::Job;
use crate::job::reader::said;
use crate::model::fields;

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

    /// How many values of a decision's basis were replaced, withdrawn or disputed since, or came to
    /// stand beside it: a repeat that says something else, or the first value on a key that was
    /// empty. Of a sign-off the heads that it names tell what came after it.
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
            let known = |line: &Line| line.claims.iter().any(|id| basis.contains(id));
            let (before, since): (Vec<&Line>, Vec<&Line>) =
                state.lines.iter().partition(|line| known(line));
            for line in &before {
                used.extend(line.claims.iter().filter(|id| basis.contains(*id)).copied());
                // What was replaced before the decision stands in its basis beside its successor.
                let stands = agreed(line, state) && line.tips.iter().any(|id| basis.contains(id));
                if !stands {
                    moved += 1;
                }
            }
            let since = since
                .iter()
                .filter(|line| says_else(job, &key, line, &before));
            moved += match (before.is_empty(), decision) {
                (true, Decision::SignOff) => 0,
                // However often it was said, nothing of it was known.
                (true, _) => since.count().min(1),
                (false, _) => since.count(),
            };
        }
        let gone = |id: &&Hash| !used.contains(*id) && self.0.get(*id) != Some(&true);
        moved += basis.iter().filter(gone).count();
        match decision {
            Decision::Release(run, wire) => match readings_since(run, wire, &basis) {
                Ok(since) => moved + since,
                // A reading that stands in its way came since, if nothing else did.
                Err(_) => moved.max(1),
            },
            _ => moved,
        }
    }
}

/// Whether a line that came after a decision says something that those before it do not say of the
/// key. A repeat of the same value moves nothing, nor does a distance between posts that is no
/// longer than one before it, since the longest alone counts.
fn says_else(job: &Job<'_>, key: &Key, line: &Line, before: &[&Line]) -> bool {
    let word = |id: &Hash| job.reader.view.entry(id).map(|entry| said(entry, key));
    let of_bay = key.field == fields::BAY_CLEAR.name;
    let repeats = |(new, new_with): &Word<'_>, (old, old_with): &Word<'_>| match of_bay {
        true => along(*new_with) == along(*old_with) && nm(*new) <= nm(*old),
        false => new == old,
    };
    let before: Vec<Word<'_>> = before
        .iter()
        .flat_map(|line| &line.tips)
        .filter_map(word)
        .collect();
    let says = |new: &Word<'_>| new.0.is_some_and(|value| !value.is_null());
    let mut words = line.tips.iter().filter_map(word).filter(says);
    words.any(|new| !before.iter().any(|old| repeats(&new, old)))
}

/// A value and how it came about, as they stand in an entry.
type Word<'a> = (Option<&'a Value>, Option<&'a Value>);

fn nm(value: Option<&Value>) -> Option<i64> {
    value?.get("nm")?.as_i64()
}

fn along(with: Option<&Value>) -> Option<&Value> {
    with?.get("along")
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
