//! Which entries still stand: one pass over a book instead of one for each question.

use std::collections::HashMap;

use crate::claims;
use crate::ids::Hash;
use crate::job::Job;

/// Whether each entry of a job stands undisputed on all keys that it claims.
#[derive(Debug)]
pub(super) struct Standing(HashMap<Hash, bool>);

impl Standing {
    pub(super) fn of(job: &Job<'_>) -> Self {
        let mut stands: HashMap<Hash, bool> = HashMap::new();
        for (_, state) in job.reader.view.keys() {
            for line in &state.lines {
                let agreed = line.standing == claims::Standing::Agreed && state.newer.is_empty();
                for id in &line.claims {
                    let here = agreed && line.tips.contains(id);
                    let so_far = stands.entry(*id).or_insert(true);
                    *so_far = *so_far && here;
                }
            }
        }
        Standing(stands)
    }

    pub(super) fn all(&self, ids: &[Hash]) -> bool {
        ids.iter()
            .all(|id| self.0.get(id).copied().unwrap_or(false))
    }
}
