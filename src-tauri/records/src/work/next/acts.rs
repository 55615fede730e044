//! The acts in their order, each with what is still to do in it.

use std::collections::BTreeSet;

use super::asking;
use super::checking::{
    defects, engage, evidence, finals, found_again, gap_checks, let_out, other_bays, passes, raise,
    read_again, rechecks,
};
use super::making::{
    cut, decide_again, fit, issue, issue_another, issue_trial, layout, mark_insertion, measure,
    order, press_first, press_second, read_trial, remake, sample, thread, tick_read, to_issue,
    trial,
};
use super::{NextAct, NextWhat};
use crate::ids::ItemId;
use crate::job::{Job, Run, Wire};
use crate::model::fields;
use crate::subject::Subject;
use crate::work::checked::is_rejected;
use crate::work::cuts::{CutSheet, cut_sheet};
use crate::work::disputes::disputes;
use crate::work::offered::Offered;
use crate::work::progress::BayGaps;
use crate::work::readings::{Tensions, tensions};
use crate::work::{AnotherTrial, WorkError, learned, rules};

/// What is worked out once for a run.
pub(super) struct Seen<'a> {
    pub(super) run: &'a Run,
    pub(super) sheet: CutSheet,
    pub(super) readings: Tensions,
    /// What the gap checks of each bay come to.
    pub(super) gaps: Vec<BayGaps>,
    /// One more trial wire, where it is worth its cost and wires are left to release.
    pub(super) another: Option<AnotherTrial>,
    /// Wires with a rejected end.
    rejected: BTreeSet<u32>,
}

impl Seen<'_> {
    /// Whether an end of the wire's present piece is rejected.
    pub(super) fn is_rejected(&self, wire: &Wire) -> bool {
        self.rejected.contains(&wire.number)
    }
}

/// The first act in order for which `wanted` says yes.
pub(super) fn first(
    job: &Job<'_>,
    wanted: impl Fn(&NextAct) -> bool,
) -> Result<Option<NextAct>, WorkError> {
    if let Some(act) = before_runs(job).into_iter().find(|a| wanted(a)) {
        return Ok(Some(act));
    }
    let mut seen = Vec::with_capacity(job.runs.len());
    let mut wrong = Vec::new();
    for run in &job.runs {
        match seen_of(job, run) {
            Ok(one) => seen.push(one),
            Err(why @ WorkError::RuleSet { .. }) => return Err(why),
            // A slip in one run stops the work on no other.
            Err(why) => wrong.push(put_right(run, &why)),
        }
    }
    if let Some(act) = wrong.into_iter().find(|a| wanted(a)) {
        return Ok(Some(act));
    }
    // People stand beside it.
    let mut stop = seen.iter().flat_map(|s| let_out(job, s));
    if let Some(act) = stop.find(|a| wanted(a)) {
        return Ok(Some(act));
    }
    if let Some(act) = of_survey(job, &seen, &wanted) {
        return Ok(Some(act));
    }
    type Step = fn(&Job<'_>, &Seen<'_>) -> Vec<NextAct>;
    let steps: &[Step] = &[
        layout,
        measure,
        order,
        decide_again,
        issue_trial,
        trial,
        cut,
        sample,
        remake,
        mark_insertion,
        press_first,
        thread,
        press_second,
        fit,
        read_trial,
        issue_another,
        issue,
        passes,
        finals,
        engage,
        raise,
        found_again,
        tick_read,
        read_again,
        other_bays,
        gap_checks,
    ];
    for step in steps {
        let found = seen.iter().flat_map(|s| step(job, s)).find(|a| wanted(a));
        if found.is_some() {
            return Ok(found);
        }
    }
    if let Some(act) = defects(job).into_iter().find(|a| wanted(a)) {
        return Ok(Some(act));
    }
    let evidence = evidence(job)?;
    if let Some(act) = evidence.into_iter().find(|a| wanted(a)) {
        return Ok(Some(act));
    }
    let recheck = seen.iter().flat_map(rechecks).find(|a| wanted(a));
    if recheck.is_some() {
        return Ok(recheck);
    }
    let handed = job
        .sign_offs
        .iter()
        .any(|(stage, fact)| stage == "handover" && fact.value().is_some());
    let act = act(
        NextWhat::HandOver,
        "",
        None,
        Subject::Job(job.id),
        "Hand over".into(),
    );
    Ok((!handed && wanted(&act)).then_some(act))
}

/// A run's posts and what stands without its heights, then one fact after the other that the survey asks for:
/// a layout goes by them.
fn of_survey(
    job: &Job<'_>,
    seen: &[Seen<'_>],
    wanted: &impl Fn(&NextAct) -> bool,
) -> Option<NextAct> {
    let heights = Some(fields::RUN_WIRE_HEIGHTS.name);
    let drawn = |act: &NextAct| act.field.is_none() || act.field.as_deref() == heights;
    let first = |one: &Seen<'_>| layout(job, one).into_iter().find(drawn);
    if let Some(act) = seen.iter().filter_map(first).find(wanted) {
        return Some(act);
    }
    let runs = seen.iter().map(|one| one.run);
    let mut asks = asking::asks(job, runs);
    asks.retain(wanted);
    let left = count(asks.len());
    let first = asks.into_iter().next()?;
    Some(NextAct { left, ..first })
}

fn seen_of<'a>(job: &Job<'_>, run: &'a Run) -> Result<Seen<'a>, WorkError> {
    let offered = Offered::of(job, run)?;
    let bays = run.bays.iter();
    let sheet = cut_sheet(job, run.id)?;
    let another = match sheet.taught.is_some() && !to_issue(&sheet).is_empty() {
        true => learned(job, run.id)?.another,
        false => None,
    };
    Ok(Seen {
        run,
        another: another.filter(|another| another.worth),
        gaps: bays.map(|b| offered.bay(&b.subject).gaps).collect(),
        sheet,
        readings: tensions(job, run.id)?,
        rejected: run
            .wires
            .iter()
            .filter(|w| is_rejected(job, w))
            .map(|w| w.number)
            .collect(),
    })
}

/// A run of which nothing can be worked out.
pub(super) fn put_right(run: &Run, why: &WorkError) -> NextAct {
    act(
        NextWhat::FinishLayout,
        "/figures",
        Some(run.id),
        run.subject(),
        format!("Run {}: put right what can't be: {why}", run.name),
    )
}

pub(super) fn act(
    what: NextWhat,
    suffix: &str,
    run: Option<ItemId>,
    subject: Subject,
    sentence: String,
) -> NextAct {
    let word = serde_json::to_value(what)
        .ok()
        .and_then(|v| v.as_str().map(str::to_owned))
        .unwrap_or_default();
    NextAct {
        what,
        key: format!("{word}/{subject}{suffix}"),
        run,
        subject,
        sentence,
        figure: None,
        field: None,
        stage: None,
        bay: None,
        wires: Vec::new(),
        left: 1,
    }
}

fn before_runs(job: &Job<'_>) -> Vec<NextAct> {
    let subject = Subject::Job(job.id);
    let mut found = Vec::new();
    let disputes: Vec<_> = disputes(job)
        .into_iter()
        .filter(|d| !d.newer && d.in_layout)
        .collect();
    let left = count(disputes.len());
    for dispute in disputes {
        let about = dispute.subject.parse().unwrap_or(subject);
        let mut one = act(
            NextWhat::Settle,
            &format!("/{}/{}", dispute.field, dispute.place),
            None,
            about,
            format!("Settle {}, {}", dispute.subject_name, dispute.field_name),
        );
        one.left = left;
        found.push(one);
    }
    // Where people differ on it that is settled.
    let differ = job
        .reader
        .blocks(fields::JOB_RULE_SET, &Subject::Job(job.id));
    if rules::copied(job).is_none() && !differ {
        found.push(act(
            NextWhat::ChooseRuleSet,
            "",
            None,
            subject,
            "Choose the rules in force on the permit's date".into(),
        ));
    }
    if job.runs.is_empty() {
        found.extend(asking::early(job));
        found.push(act(
            NextWhat::AddRun,
            "",
            None,
            subject,
            "Draw the first run".into(),
        ));
    }
    found
}

pub(super) fn count(of: usize) -> u32 {
    u32::try_from(of).unwrap_or(u32::MAX)
}
