//! Which rule sets a job may stand under, told by country and by the permit's date.
//!
//! Invariant: nothing is left out and nothing is chosen: a set whose day is not known, that counted
//! earlier or not yet, or that people changed, says so. Pure.

use mechanics::rules::{Cite, Day, Fit, RuleSet, Status, choices};
use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use super::{Own, RuleSetFile, rule_sets};
use crate::job::Job;
use crate::model::values::RuleSetCopy;
use crate::work::{self, WorkError};

/// How a rule set stands to a job's permit.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum RuleFit {
    /// The latest edition here that counted on that day.
    InForce,
    /// When the edition counts is not known, or the permit's date is not.
    NotKnown,
    /// A later edition counted on that day.
    Replaced,
    /// The edition did not count yet.
    NotYet,
}

/// A rule set that a job could stand under.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleChoice {
    /// Name in the program's library, or the id of the crew's own set: what `useRuleSet` takes.
    pub name: String,
    /// Its title.
    pub title: String,
    /// Where it is in force.
    pub jurisdiction: String,
    /// Country, two capital letters; none where a set names none.
    pub country: Option<String>,
    /// Its edition, as the document names it.
    pub edition: String,
    /// First day on which it counts; none where that is not known.
    pub first_day: Option<String>,
    /// How it stands to the permit's date.
    pub fit: RuleFit,
    /// The same in one sentence.
    pub sentence: String,
    /// That people changed or wrote it, with who and why; none where it came with the program.
    pub changed: Option<String>,
    /// What it warns of without a figure: to be asked before anything is laid out.
    pub warnings: Vec<String>,
    /// Whether any figure of it was not read in the document itself.
    pub not_read: bool,
}

/// Rule sets for a job.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleSetsFor {
    /// Day of the permit, where it is told.
    pub permit: Option<String>,
    /// What could be chosen, by country, the best fit first.
    pub choices: Vec<RuleChoice>,
    /// The job's own copy: how it stands to the permit; none where none is chosen.
    pub standing: Option<RuleChoice>,
    /// What a person asks before a run of level wires is begun, by that copy; empty where none is chosen.
    pub ask_first: Vec<String>,
}

/// Tells how every rule set of the program and of the crew stands to a job's permit.
///
/// # Errors
/// When the job's own copy can't be read.
pub fn rule_sets_for(job: &Job<'_>, own: &Own) -> Result<RuleSetsFor, WorkError> {
    let set = work::rules(job)?;
    let ask_first = set
        .as_ref()
        .map(|set| work::ask_of_level_wires(job, None, set));
    let standing = set.map(|set| {
        let choice = work::standing_rules(job);
        RuleChoice {
            changed: work::changed_rules(job),
            ..told(
                &set.id,
                &set,
                choice.as_ref().map(|c| (c.fit, c.sentence.as_str())),
            )
        }
    });
    Ok(RuleSetsFor {
        standing,
        ask_first: ask_first.unwrap_or_default(),
        ..by_day(work::permit_day(job), own)
    })
}

/// The same of a job that is still to be begun, by the day of its permit (`2026-09-02`) where that is told; none
/// where what is told is no day.
#[must_use]
pub fn rule_sets_on(permit: Option<&str>, own: &Own) -> Option<RuleSetsFor> {
    let day = match permit {
        Some(text) => Some(Day::read(text)?),
        None => None,
    };
    Some(by_day(day, own))
}

fn by_day(permit: Option<Day>, own: &Own) -> RuleSetsFor {
    let program = rule_sets();
    let files = program
        .iter()
        .chain(own.rule_sets.iter().map(|set| &set.file));
    let sets: Vec<(String, RuleSet)> = files
        .filter_map(|file| Some((file.name.clone(), serde_json::from_str(&file.text).ok()?)))
        .collect();
    RuleSetsFor {
        permit: permit.map(String::from),
        choices: all(&sets, permit),
        standing: None,
        ask_first: Vec::new(),
    }
}

/// What a job copies of a rule set of its crew.
///
/// # Errors
/// When the text is no rule set.
pub fn copy_of_own(file: &RuleSetFile) -> Result<RuleSetCopy, String> {
    let set: RuleSet = serde_json::from_str(&file.text).map_err(|e| e.to_string())?;
    let kept = set.changed.as_ref().map_or_else(String::new, |changed| {
        format!(", kept by {} on {}", changed.by, changed.on)
    });
    Ok(RuleSetCopy {
        name: set.id,
        text: file.text.clone(),
        sha256: file.sha256,
        origin: format!("rule set of the crew{kept}"),
    })
}

/// Every set among the program's editions of its country, the best fit first.
fn all(sets: &[(String, RuleSet)], permit: Option<Day>) -> Vec<RuleChoice> {
    let editions: Vec<RuleSet> = sets
        .iter()
        .filter(|(_, set)| set.changed.is_none())
        .map(|(_, set)| set.clone())
        .collect();
    let mut found: Vec<RuleChoice> = sets
        .iter()
        .map(|(name, set)| {
            let mut beside: Vec<RuleSet> = editions
                .iter()
                .filter(|other| other.id != set.id)
                .cloned()
                .collect();
            beside.push(set.clone());
            let country = set.country.clone().unwrap_or_default();
            let fit = choices(&beside, &country, permit)
                .into_iter()
                .find(|choice| choice.id == set.id);
            told(
                name,
                set,
                fit.as_ref().map(|c| (c.fit, c.sentence.as_str())),
            )
        })
        .collect();
    found.sort_by(|a, b| {
        let key = |c: &RuleChoice| (c.country.clone(), c.fit as u8, c.name.clone());
        key(a).cmp(&key(b))
    });
    found
}

fn told(name: &str, set: &RuleSet, fit: Option<(Fit, &str)>) -> RuleChoice {
    let (fit, sentence) = fit.unwrap_or((Fit::NotKnown, ""));
    let read = |cite: &Cite| cite.status == Status::Read;
    let all_read = read(&set.barrier_needed.cite)
        && set.least_heights.iter().all(|rule| read(&rule.cite))
        && set.openings.iter().all(|rule| read(&rule.cite));
    RuleChoice {
        name: name.to_owned(),
        title: set.title.clone(),
        jurisdiction: set.jurisdiction.clone(),
        country: set.country.clone(),
        edition: set.edition.clone(),
        first_day: set.in_force.as_ref().map(|own| own.from.into()),
        fit: match fit {
            Fit::InForce => RuleFit::InForce,
            Fit::NotKnown => RuleFit::NotKnown,
            Fit::Replaced => RuleFit::Replaced,
            Fit::NotYet => RuleFit::NotYet,
        },
        sentence: sentence.to_owned(),
        changed: set.changed.as_ref().map(|changed| changed.sentence(set)),
        warnings: set.warnings.iter().map(|w| w.text.clone()).collect(),
        not_read: !all_read,
    }
}
