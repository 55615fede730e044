//! What a rule set says in words: findings where it asks something of the run, the rest beside them.
//!
//! Invariant: no sentence of the chosen set goes untold: what is about a stair, a corner or a wire's
//! end is a finding of the runs that have one, to be shown later; everything else is told as it is.

use mechanics::rules::{NoteAbout, RuleNote, RuleSet, Surface, source_note};

use super::answer::{Finding, RuleWords, Topic, Verdict};
use super::layout::Seen;
use crate::job::{Job, Run};
use crate::model::values::Length;
use crate::work::checked::most_end_out;
use crate::work::corners::turns_at;
use crate::work::figures::{Quantity, Unit};

/// Findings of a run by what the set says of such runs.
pub(super) fn findings(job: &Job<'_>, run: &Run, set: &RuleSet, seen: &Seen) -> Vec<Finding> {
    let asked = |note: &RuleNote| match note.about? {
        NoteAbout::Handrail => {
            let stair = seen.layout.surface == Surface::Stair;
            stair.then(|| finding(run, set, note, Topic::Handrail, None, ""))
        }
        NoteAbout::Corner => {
            let at = turns_at(job, run);
            let here = format!(
                " Run {} turns at {}{}.",
                run.name,
                at.join(", "),
                longest(seen)
            );
            (!at.is_empty()).then(|| finding(run, set, note, Topic::Corner, None, &here))
        }
        NoteAbout::WireEnd => {
            let most = most_end_out(job, run).map(Length::as_mm);
            Some(finding(run, set, note, Topic::WireEnd, most, ""))
        }
    };
    set.notes.iter().filter_map(asked).collect()
}

/// What the set says besides; all of it while nothing of the run can be held against it.
pub(super) fn besides(set: &RuleSet, held: bool) -> Vec<RuleWords> {
    let rest = set.notes.iter().filter(|n| !held || n.about.is_none());
    rest.map(|note| RuleWords {
        text: note.text.clone(),
        source: source_note(set, &note.cite).into(),
    })
    .collect()
}

fn finding(
    run: &Run,
    set: &RuleSet,
    note: &RuleNote,
    topic: Topic,
    most_mm: Option<f64>,
    here: &str,
) -> Finding {
    Finding {
        topic,
        place: run.name.clone(),
        subject: run.subject(),
        required: most_mm.map(|value| Quantity {
            value,
            unit: Unit::Millimetres,
        }),
        actual: None,
        actual_origin: None,
        margin: None,
        verdict: Verdict::Asked,
        source: source_note(set, &note.cite).into(),
        confirm: set.confirm.clone(),
        sentence: format!("{}{here}", note.text),
    }
}

/// Which bay is the longest.
fn longest(seen: &Seen) -> String {
    let bays = seen.layout.bays.iter();
    let longest = bays.max_by(|a, b| a.clear.value().total_cmp(&b.clear.value()));
    longest.map_or_else(String::new, |bay| {
        format!("; its longest bay is {}, {}", bay.label, bay.clear)
    })
}
