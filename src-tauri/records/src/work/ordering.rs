//! What the rule set asks of a run as it stands, before anything is ordered.
//!
//! Invariant: every finding holds a figure against a figure with its source and who must confirm.
//! Where something is missing the answer says what, and leaves out only what rests on it.

mod answer;
mod layout;
mod openings;
mod places;
mod said;
mod unmeasured;

use mechanics::assessment::{self, Assessment, BayDemand, assess};
use mechanics::rules::{Fit, Neighbour, Outcome, RuleSet, document_of, source_note};
use mechanics::{Millimetres, Newtons};

use super::convert::run_of;
use super::posts::{NO_TENSION, asked_of_posts, planned};
use super::problems::problems;
use super::tension::plan;
use super::{WorkError, gate, rules};
use crate::ids::{Hash, ItemId};
use crate::job::{Job, Run};
use crate::model::fields;
use crate::subject::Subject;
pub use answer::{
    BayRow, BeforeOrdering, Finding, NextDeflection, NextRow, OpenBay, Required, RowOutcome,
    RuleSetNote, RuleWords, Topic, Verdict,
};
pub(super) use layout::coming_floor;
pub(in crate::work) use openings::{named as named_opening, probe_passed};
use places::Standing;
pub(in crate::work) use unmeasured::goes_on;

/// Holds a run against the job's rule set and against itself.
///
/// # Errors
/// When the run is unknown, the rule set can't be read, or a figure can't be.
pub fn before_ordering(job: &Job<'_>, run: ItemId) -> Result<BeforeOrdering, WorkError> {
    let run = run_of(job, run)?;
    let mut notes = Vec::new();
    let mut answer = BeforeOrdering {
        run: run.id,
        run_name: run.name.clone(),
        rule_set: None,
        findings: Vec::new(),
        rule_words: Vec::new(),
        bays: Vec::new(),
        tension: plan(job, run, Asked::default())?,
        posts: Vec::new(),
        problems: Vec::new(),
        notes: Vec::new(),
    };
    if let Some(set) = rules::rules(job)? {
        answer.rule_set = Some(note(job, &set));
        let mut view = layout::view(job, run)?;
        if let Some(seen) = &mut view.seen {
            for one in gate::unmeasured(job, run)? {
                seen.ask_of_gate(one);
            }
        }
        answer.rule_words = said::besides(&set, view.seen.is_some());
        notes.extend(view.notes.iter().cloned());
        if let Some(seen) = &view.seen {
            let assessed = assess(&set, &seen.layout)?;
            answer.findings = findings(run, seen, &assessed);
            openings::name_untold_rail(job, run, &mut answer.findings);
            let said = said::findings(job, run, &set, seen);
            answer.findings.extend(said);
            let asked = asked_of(&set, seen, &assessed);
            answer.bays.clone_from(&asked.rows);
            answer.tension = plan(job, run, asked)?;
        }
    } else {
        notes.push(
            if job
                .reader
                .blocks(fields::JOB_RULE_SET, &Subject::Job(job.id))
            {
                "The rule set is disputed: nothing is held against one."
            } else {
                "No rule set is chosen: nothing is held against one."
            }
            .to_owned(),
        );
    }
    match planned(job, run)? {
        Some((tension, origin)) => {
            let (asked, missing) = asked_of_posts(job, run, tension, origin)?;
            answer.posts = asked;
            notes.extend(missing);
        }
        None => notes.push(NO_TENSION.to_owned()),
    }
    answer.problems = problems(job, run, &answer.tension, answer.rule_set.as_ref())?;
    answer.notes = notes;
    Ok(answer)
}

/// What the wire tables ask of a run's bays.
#[derive(Default)]
pub(super) struct Asked {
    /// The greatest row that is known: a floor where bays are open.
    pub(super) required: Option<Required>,
    /// Bays that the document's table has no figure for.
    pub(super) open: Vec<OpenBay>,
    /// Bay by bay.
    pub(super) rows: Vec<BayRow>,
}

/// Openings of a run as they stand by what is on record; none where its wires are not told far enough.
pub(super) fn standing(job: &Job<'_>, run: &Run) -> Result<Vec<Standing>, WorkError> {
    let seen = layout::view(job, run)?.seen;
    seen.map_or_else(|| Ok(Vec::new()), |seen| seen.standing())
}

/// What the wire tables ask of a run's bays; nothing where no rule set is held against it.
pub(super) fn asked(job: &Job<'_>, run: &Run) -> Result<Asked, WorkError> {
    let Some(set) = rules::rules(job)? else {
        return Ok(Asked::default());
    };
    let Some(seen) = layout::view(job, run)?.seen else {
        return Ok(Asked::default());
    };
    Ok(asked_of(&set, &seen, &assess(&set, &seen.layout)?))
}

fn asked_of(set: &RuleSet, seen: &layout::Seen, assessed: &Assessment) -> Asked {
    let rows: Vec<BayRow> = assessed
        .bays
        .iter()
        .zip(&seen.bays)
        .map(|(row, bay)| bay_row(set, row, bay))
        .collect();
    Asked {
        required: required_of(set, assessed),
        open: rows
            .iter()
            .filter(|row| assessed.without_figure.contains(&row.name))
            .map(open_bay)
            .collect(),
        rows,
    }
}

fn open_bay(row: &BayRow) -> OpenBay {
    let what = match row.outcome {
        RowOutcome::NotAllowed => "the table does not allow it",
        _ => "the table does not reach it",
    };
    let shown = match (row.most_deflection_mm, row.deflection_mass_kg) {
        (Some(most), Some(mass)) => {
            format!(" The document's other way: {most} mm at most under {mass} kg.")
        }
        _ => String::new(),
    };
    OpenBay {
        name: row.name.clone(),
        outcome: row.outcome,
        sentence: format!(
            "Bay {}: {what}, so no tension answers for it. Bring posts or wires closer, or ask \
             what will be accepted.{shown}",
            row.name
        ),
    }
}

pub(super) fn note(job: &Job<'_>, set: &RuleSet) -> RuleSetNote {
    let copy = rules::copied(job);
    RuleSetNote {
        name: set.id.clone(),
        title: set.title.clone(),
        document: set.document.clone(),
        edition: set.edition.clone(),
        attribution: set.attribution.clone(),
        caution: set.caution.clone(),
        confirm: set.confirm.clone(),
        sha256: copy.map_or(Hash::ZERO, |c| c.sha256),
        changed: rules::changed_rules(job),
        out_of_date: rules::standing_rules(job)
            .filter(|choice| matches!(choice.fit, Fit::Replaced | Fit::NotYet))
            .map(|choice| choice.sentence),
    }
}

fn required_of(set: &RuleSet, assessed: &Assessment) -> Option<Required> {
    let newtons = assessed.required_tension?;
    // Several bays may read the same row: the widest of them is the one to name.
    let row = assessed
        .bays
        .iter()
        .rev()
        .filter(|b| b.tension.outcome.limit() == Some(newtons))
        .max_by(|a, b| a.clear.value().total_cmp(&b.clear.value()))?;
    let read = row.tension.read_as.map_or_else(String::new, |r| {
        format!(
            ", row {} post distance, {} spacing, {} wire",
            r.post_clear, r.spacing, r.diameter
        )
    });
    let clause = row
        .tension
        .cite
        .as_ref()
        .map_or_else(String::new, |c| format!(", {}", c.clause));
    Some(Required {
        newtons: newtons.value(),
        origin: format!("{}{clause}, bay {}{read}", document_of(set), row.label),
        bay: row.label.clone(),
    })
}

fn findings(run: &Run, seen: &layout::Seen, assessed: &Assessment) -> Vec<Finding> {
    assessed
        .findings
        .iter()
        .filter(|f| seen.fall_known || !seen.rests_on_fall(f.topic))
        .map(|f| finding(run, seen, f))
        .collect()
}

fn finding(run: &Run, seen: &layout::Seen, f: &assessment::Finding) -> Finding {
    // A table of tensions is read by distances: these stand in the sentence, not beside newtons.
    let actual = beside(f.required, f.actual);
    Finding {
        topic: topic(f.topic),
        place: f.place.clone(),
        subject: seen.subject_of(&f.place).unwrap_or(run.subject()),
        required: f.required.map(Into::into),
        actual_origin: actual.map(|_| seen.origin_of(&f.place)),
        actual: actual.map(Into::into),
        margin: beside(f.required, f.margin).map(Into::into),
        verdict: verdict(f.verdict),
        source: f.source.clone().into(),
        confirm: f.confirm.clone(),
        sentence: f.sentence.clone(),
    }
}

/// A quantity where it is of the same unit as the one that is asked.
fn beside(
    asked: Option<assessment::Quantity>,
    found: Option<assessment::Quantity>,
) -> Option<assessment::Quantity> {
    use std::mem::discriminant;
    found.filter(|q| asked.is_none_or(|r| discriminant(&r) == discriminant(q)))
}

fn bay_row(set: &RuleSet, row: &BayDemand, bay: &layout::SeenBay) -> BayRow {
    let read = row.tension.read_as;
    let cite = row.tension.cite.as_ref().or(row.deflection.cite.as_ref());
    BayRow {
        subject: bay.first,
        bays: bay.bays.clone(),
        name: row.label.clone(),
        clear_mm: row.clear.value(),
        clear_origin: bay.clear_origin,
        spacing_mm: row.spacing.value(),
        spacing_origin: bay.spacing_origin,
        outcome: outcome(&row.tension.outcome),
        least_tension_n: row.tension.outcome.limit().map(Newtons::value),
        row_clear_mm: read.map(|r| r.post_clear.value()),
        row_spacing_mm: read.map(|r| r.spacing.value()),
        row_diameter_mm: read.map(|r| r.diameter.value()),
        longer: row.tension.longer_bay.as_ref().map(next_row),
        shorter: row.tension.shorter_bay.as_ref().map(next_row),
        wider: row.tension.wider_spacing.as_ref().map(next_row),
        most_deflection_mm: row.deflection.outcome.limit().map(Millimetres::value),
        deflection_mass_kg: row.deflection.mass_kg,
        deflection_clear_mm: row.deflection.read_as.map(|r| r.post_clear.value()),
        deflection_spacing_mm: row.deflection.read_as.map(|r| r.spacing.value()),
        deflection_longer: row.deflection.longer_bay.as_ref().map(next_deflection),
        deflection_wider: row.deflection.wider_spacing.as_ref().map(next_deflection),
        doubt: row.tension.doubt.clone(),
        source: cite.map(|c| source_note(set, c).into()),
        deflection_source: row
            .deflection
            .cite
            .as_ref()
            .map(|c| source_note(set, c).into()),
    }
}

fn next_deflection(next: &Neighbour<Millimetres>) -> NextDeflection {
    NextDeflection {
        at_mm: next.at.value(),
        distance_mm: next.distance.value(),
        outcome: outcome(&next.outcome),
        most_mm: next.outcome.limit().map(Millimetres::value),
    }
}

pub(super) fn next_row(next: &Neighbour<Newtons>) -> NextRow {
    NextRow {
        at_mm: next.at.value(),
        distance_mm: next.distance.value(),
        outcome: outcome(&next.outcome),
        newtons: next.outcome.limit().map(Newtons::value),
        difference_n: next.difference.map(Newtons::value),
    }
}

pub(super) const fn outcome<T>(outcome: &Outcome<T>) -> RowOutcome {
    match outcome {
        Outcome::Figure { .. } => RowOutcome::Figure,
        Outcome::NotAllowed => RowOutcome::NotAllowed,
        Outcome::Outside { .. } => RowOutcome::Outside,
    }
}

const fn topic(topic: assessment::Topic) -> Topic {
    match topic {
        assessment::Topic::BarrierNeeded => Topic::BarrierNeeded,
        assessment::Topic::Height => Topic::Height,
        assessment::Topic::Opening => Topic::Opening,
        assessment::Topic::FaceGap => Topic::FaceGap,
        assessment::Topic::Climbing => Topic::Climbing,
        assessment::Topic::WireTable => Topic::WireTable,
        assessment::Topic::Pool => Topic::Pool,
        assessment::Topic::Loads => Topic::Loads,
    }
}

const fn verdict(verdict: assessment::Verdict) -> Verdict {
    match verdict {
        assessment::Verdict::NotAsked => Verdict::NotAsked,
        assessment::Verdict::Asked => Verdict::Asked,
        assessment::Verdict::MeetsFigure => Verdict::MeetsFigure,
        assessment::Verdict::Short => Verdict::Short,
        assessment::Verdict::AskFirst => Verdict::AskFirst,
        assessment::Verdict::NotAllowed => Verdict::NotAllowed,
        assessment::Verdict::OutsideTable => Verdict::OutsideTable,
    }
}
