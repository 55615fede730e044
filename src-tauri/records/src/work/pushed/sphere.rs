//! Which sphere is pushed through a run's openings, where nobody types one.

use mechanics::Millimetres;
use mechanics::rules::document_of;

use crate::job::{Job, Run};
use crate::model::values::ToolKind;
use crate::work::convert::mm;
use crate::work::{WorkError, rules};

/// The rule set's sphere for the run, else the job's probe.
pub(super) fn sphere_of(
    job: &Job<'_>,
    run: &Run,
) -> Result<(Option<Millimetres>, String), WorkError> {
    let set = rules::rules(job)?;
    if let Some(set) = &set
        && let Some(rule) = rules::sphere(set, run)
    {
        return Ok((
            Some(rule.sphere_mm),
            format!("sphere of {}, {}", document_of(set), rule.cite.clause),
        ));
    }
    let probe = job
        .tools
        .iter()
        .rfind(|t| t.kind == Some(ToolKind::Probe) && t.size.is_some());
    Ok(match probe.and_then(|p| Some((p, p.size?))) {
        Some((probe, size)) => (Some(mm(size)), format!("probe {}", probe.name)),
        None => (None, String::new()),
    })
}
