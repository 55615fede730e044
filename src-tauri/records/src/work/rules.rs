//! The rule set that a job copied, read from that copy and from nowhere else.

use mechanics::rules::{
    Choice, Day, OpeningRule, RuleSet, Surface as RuleSurface, choices, questions, sphere_beside,
};

use serde_json::Value;

use super::WorkError;
use crate::book::Key;
use crate::ids::Hash;
use crate::job::reader::said;
use crate::job::{Job, Run};
use crate::library;
use crate::model::fields;
use crate::model::values::{RuleSetCopy, Surface};
use crate::subject::Subject;

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

/// What a job whose rule set did not come with the program says wherever it is used, in
/// words; none where it did, and where none is chosen.
#[must_use]
pub fn changed_rules(job: &Job<'_>) -> Option<String> {
    let copy = copied(job)?;
    let set = rules(job).ok()??;
    if let Some(changed) = &set.changed {
        let falls = questions(&set);
        let falls = falls.first().map_or_else(String::new, |first| {
            format!(" Its tables ask less for more: {first}")
        });
        return Some(format!("{}{falls}", changed.sentence(&set)));
    }
    let of_the_program = copy.origin.starts_with(library::OF_THE_PROGRAM)
        || library::rule_sets()
            .iter()
            .any(|file| file.sha256 == copy.sha256);
    (!of_the_program).then(|| {
        format!(
            "This rule set did not come with the program ({}). Compare it with the document itself.",
            copy.origin
        )
    })
}

/// How the job's rule set stands to the permit's date, among the program's editions; none where
/// none is chosen.
#[must_use]
pub fn standing_rules(job: &Job<'_>) -> Option<Choice> {
    let own = rules(job).ok()??;
    let mut sets: Vec<RuleSet> = library::rule_sets()
        .iter()
        .filter_map(|file| serde_json::from_str(&file.text).ok())
        .filter(|set: &RuleSet| set.id != own.id)
        .collect();
    let (id, country) = (own.id.clone(), own.country.clone().unwrap_or_default());
    sets.push(own);
    choices(&sets, &country, permit_day(job))
        .into_iter()
        .find(|choice| choice.id == id)
}

/// Said of a run whose tensions were decided by another rule set than the one that stands, before there was one, or
/// where people differ on it or none stands any more. None where they rest on this very one, and where nothing tells
/// what they rest on.
#[must_use]
pub fn decided_by_another(job: &Job<'_>, run: &Run) -> Option<String> {
    let basis = &run.tensions.told()?.basis;
    if job
        .reader
        .blocks(fields::JOB_RULE_SET, &Subject::Job(job.id))
    {
        return Some(format!(
            "People differ on the rule set, and the tensions of run {} rest on one: settle that first.",
            run.name
        ));
    }
    let rested = rested_on(job, basis);
    let Some(now) = copied(job) else {
        let before = called(rested?);
        return Some(format!(
            "The tensions of run {} were decided by {before}, and no rule set stands now: choose one.",
            run.name
        ));
    };
    let by = match rested {
        Some(before) if of(before, "sha256") == Some(&now.sha256.to_string()) => return None,
        Some(before) => format!("by {}", called(before)),
        None if basis.is_empty() => return None,
        None => "before a rule set was chosen".to_owned(),
    };
    Some(format!(
        "The tensions of run {} were decided {by}, and {} stands now: look at its rows and decide them again.",
        run.name,
        title(&now.text, now.sha256)
    ))
}

/// The rule set that a decision rests on, of the words in its basis.
fn rested_on<'j>(job: &'j Job<'_>, basis: &[Hash]) -> Option<&'j Value> {
    let key = Key {
        subject: job.subject().to_string(),
        field: fields::JOB_RULE_SET.name.to_owned(),
        place: String::new(),
    };
    let told = basis.iter().filter_map(|id| job.reader.view.entry(id));
    let mut copies = told.filter_map(|entry| said(entry, &key).0);
    copies.next_back()
}

fn of<'v>(copy: &'v Value, name: &str) -> Option<&'v str> {
    copy.get(name)?.as_str()
}

fn called(copy: &Value) -> String {
    let text = of(copy, "text").unwrap_or_default();
    title(text, Hash::of(text.as_bytes()))
}

/// What a rule set calls itself; one that was changed with the beginning of its hash, since it may be kept again under
/// its title with other figures.
fn title(text: &str, sha256: Hash) -> String {
    match serde_json::from_str::<RuleSet>(text) {
        Ok(set) if set.changed.is_some() => format!("{} ({})", set.title, sha256.short()),
        Ok(set) => set.title,
        Err(_) => "another rule set".to_owned(),
    }
}

/// What is asked before a rule set is chosen for a job of which something rests on another one; none where nothing
/// does.
#[must_use]
pub fn question_rules(job: &Job<'_>, chosen: &RuleSetCopy) -> Option<String> {
    let sha256 = chosen.sha256.to_string();
    let rests = |basis: &[Hash]| {
        rested_on(job, basis).is_some_and(|copy| of(copy, "sha256") != Some(&*sha256))
    };
    let decided = |run: &&Run| run.tensions.told().is_some_and(|told| rests(&told.basis));
    let runs: Vec<&Run> = job.runs.iter().filter(decided).collect();
    let wires = runs.iter().flat_map(|run| &run.wires);
    let released = wires.filter(|w| w.issued.value().is_some() && !w.is_cut());
    let released = released.count();
    let signed = job.sign_offs.iter().filter_map(|(_, fact)| fact.told());
    let signed = signed.filter(|told| rests(&told.basis)).count();
    let s = |count: usize| if count == 1 { "" } else { "s" };
    let mut resting = Vec::new();
    if !runs.is_empty() {
        let names: Vec<&str> = runs.iter().map(|run| run.name.as_str()).collect();
        resting.push(format!("the tensions of run {}", names.join(", ")));
    }
    if released > 0 {
        resting.push(format!(
            "{released} wire{} released and not cut",
            s(released)
        ));
    }
    if signed > 0 {
        resting.push(format!("{signed} sign-off{}", s(signed)));
    }
    if resting.is_empty() {
        return None;
    }
    let chosen = title(&chosen.text, chosen.sha256);
    let again = match runs.is_empty() {
        true => String::new(),
        false => format!(": look at the rows of {chosen} and decide the tensions again"),
    };
    Some(format!(
        "Not {chosen} but another rule set stands behind {}. They stay as they are and are marked{again}.",
        resting.join(", ")
    ))
}

/// Day of the permit, where people agree on it.
#[must_use]
pub fn permit_day(job: &Job<'_>) -> Option<Day> {
    let day = job.reader.value(fields::JOB_PERMIT_DATE, &job.subject())?;
    Day::read(&String::from(day))
}

/// The copy as it stands in the job's book.
pub(super) fn copied(job: &Job<'_>) -> Option<RuleSetCopy> {
    job.reader.value(fields::JOB_RULE_SET, &job.subject())
}

/// The sphere that must not pass between the wires of a run, wherever one is held against it: by
/// what it stands on, and the smaller one where that is not told or people differ.
pub(super) fn sphere<'s>(set: &'s RuleSet, run: &Run) -> Option<&'s OpeningRule> {
    sphere_beside(set, run.surface.map(surface))
}

/// What a run stands on, as the rules know it.
pub(super) const fn surface(told: Surface) -> RuleSurface {
    match told {
        Surface::Stair => RuleSurface::Stair,
        Surface::Ramp => RuleSurface::Ramp,
        Surface::Deck | Surface::Balcony | Surface::Landing => RuleSurface::Level,
    }
}
