//! The rule set that a job copied, read from that copy and from nowhere else.

use mechanics::rules::RuleSet;

use super::WorkError;
use crate::ids::Hash;
use crate::job::Job;
use crate::model::fields;
use crate::model::values::RuleSetCopy;

/// The job's own copy of its rule set; none where none is chosen or people disagree.
///
/// # Errors
/// When the copy's text is not what its hash says, or can't be read.
pub fn rules(job: &Job<'_>) -> Result<Option<RuleSet>, WorkError> {
    let Some(copy) = copied(job) else {
        return Ok(None);
    };
    let broken = |reason: String| WorkError::RuleSet {
        name: copy.name.clone(),
        reason,
    };
    if Hash::of(copy.text.as_bytes()) != copy.sha256 {
        return Err(broken("its text does not match its hash".into()));
    }
    serde_json::from_str(&copy.text)
        .map(Some)
        .map_err(|e| broken(e.to_string()))
}

/// The copy as it stands in the job's book.
pub(super) fn copied(job: &Job<'_>) -> Option<RuleSetCopy> {
    job.reader.value(fields::JOB_RULE_SET, &job.subject())
}
