//! What the engineering says of a job, worked out once for the whole document.
//!
//! Each answer is that of the function which the screens ask; an error stands in its place.

use std::collections::BTreeMap;

use records::ids::ItemId;
use records::job::{Job, Run};
use records::work::{
    self, BeforeOrdering, CutSheet, HoleSchedule, Lacks, Recheck, TakeOff, Tensions, WorkError,
};

type Answer<T> = Result<T, WorkError>;

/// Answers for the whole job and for each run.
pub(super) struct Found {
    pub(super) lacks: Answer<Lacks>,
    pub(super) take_off: Answer<TakeOff>,
    runs: BTreeMap<ItemId, OfRun>,
}

/// Answers for one run.
pub(super) struct OfRun {
    pub(super) asked: Answer<BeforeOrdering>,
    pub(super) read: Answer<Tensions>,
    pub(super) sheet: Answer<CutSheet>,
    pub(super) holes: Answer<HoleSchedule>,
    pub(super) later: Answer<Recheck>,
}

impl Found {
    pub(super) fn of(job: &Job<'_>) -> Self {
        let of = |run: &Run| OfRun {
            asked: work::before_ordering(job, run.id),
            read: work::tensions(job, run.id),
            sheet: work::cut_sheet(job, run.id),
            holes: work::hole_schedule(job, run.id),
            later: work::recheck(job, run.id),
        };
        Found {
            lacks: work::lacks(job),
            take_off: work::take_off(job),
            runs: job.runs.iter().map(|run| (run.id, of(run))).collect(),
        }
    }

    /// What is said of a run of the job.
    pub(super) fn run(&self, run: &Run) -> Option<&OfRun> {
        self.runs.get(&run.id)
    }

    /// What the rule set asks of a run.
    pub(super) fn asked(&self, run: &Run) -> Option<&Answer<BeforeOrdering>> {
        self.run(run).map(|r| &r.asked)
    }

    /// The readings of a run, held against what is asked.
    pub(super) fn read(&self, run: &Run) -> Option<&Answer<Tensions>> {
        self.run(run).map(|r| &r.read)
    }

    /// What a run is expected to lose later.
    pub(super) fn later(&self, run: &Run) -> Option<&Answer<Recheck>> {
        self.run(run).map(|r| &r.later)
    }
}
