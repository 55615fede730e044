//! What people changed in a rule set, so that it can say so wherever it is used.
//!
//! Invariant: a set that holds this is never told as the document itself.

use serde::{Deserialize, Serialize};

use super::cells::cells;
use super::figures::{all_figures, lower, whole_entry};
use super::{Day, RuleSet};

/// Most changes that are named one by one where a set is told.
const MOST_NAMED: usize = 6;
/// A longer word of a set is told as changed, and not in full.
const LONGEST_WORD: usize = 40;

/// A figure of a set that is not the one of the set it was made from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ChangedFigure {
    /// Where it stands in the file, as a JSON pointer (RFC 6901): `/openings/0/sphereMm`.
    pub path: String,
    /// What stood there; none where nothing did.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub was: Option<String>,
    /// What stands there now; none where it was left out.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub is: Option<String>,
}

/// Who changed a set or wrote it, and why.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Changed {
    /// Short name of the set it was made from; none where people wrote it themselves.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// Who.
    pub by: String,
    /// On which day.
    pub on: Day,
    /// Why, in that person's words.
    pub why: String,
    /// Every figure and word that differs from the set it was made from.
    #[serde(default)]
    pub figures: Vec<ChangedFigure>,
}

impl Changed {
    /// What screens and documents say of the `set` that holds this.
    #[must_use]
    pub fn sentence(&self, set: &RuleSet) -> String {
        let what = match (&self.from, self.figures.len()) {
            (None, _) => "This rule set was written by its users and did not come with the \
                          program"
                .to_owned(),
            (Some(from), 0) => format!("This rule set is a copy of {from}"),
            (Some(from), 1) => format!("This rule set is {from} with 1 change"),
            (Some(from), n) => format!("This rule set is {from} with {n} changes"),
        };
        let told = self.figures.iter().take(MOST_NAMED);
        let mut told: Vec<String> = told.map(|figure| figure.told(set)).collect();
        let more = self.figures.len().saturating_sub(told.len());
        if more > 0 {
            told.push(format!("{more} more"));
        }
        let named = match told.is_empty() {
            true => String::new(),
            false => format!(" Changed: {}.", told.join("; ")),
        };
        format!(
            "{what}: {}, {}.{named} Why: {} Compare it with the document itself.",
            self.by,
            self.on,
            stopped(&self.why)
        )
    }
}

impl ChangedFigure {
    /// "least height, level, from 1000 mm to 1100 mm".
    fn told(&self, set: &RuleSet) -> String {
        let (name, unit) = named(set, &self.path);
        let short = |text: &Option<String>| {
            text.as_deref()
                .is_none_or(|t| t.chars().count() <= LONGEST_WORD && !t.starts_with(['{', '[']))
        };
        let with = |text: &str| match text.parse::<f64>() {
            Ok(_) => format!("{text}{unit}"),
            Err(_) => text.to_owned(),
        };
        match (&self.was, &self.is) {
            (Some(was), Some(is)) if short(&self.was) && short(&self.is) => {
                format!("{name}, from {} to {}", with(was), with(is))
            }
            (Some(_), Some(_)) => format!("{name}, reworded"),
            (None, Some(is)) if short(&self.is) => format!("{name}, {} new", with(is)),
            (None, _) => format!("{name}, new"),
            (Some(was), None) if short(&self.was) => format!("{name}, {} left out", with(was)),
            (Some(_), None) => format!("{name}, left out"),
        }
    }
}

/// What stands at a place of a set's file, in words, with its unit; what stands beside a figure by that figure, and
/// a place without any by the names of its fields.
fn named(set: &RuleSet, path: &str) -> (String, &'static str) {
    if let Some(figure) = all_figures(set).find(|figure| figure.path == path) {
        return (figure.words(), figure.unit.word());
    }
    if let Some(cell) = cells(set).into_iter().find(|cell| cell.path == path) {
        return (cell.words, cell.unit);
    }
    let fields = |path: &str| path.trim_start_matches('/').replace('/', ".");
    let beside = all_figures(set).find_map(|figure| {
        let (entry, _) = figure.path.rsplit_once('/')?;
        let rest = path.strip_prefix(entry)?;
        rest.starts_with('/')
            .then(|| format!("{} ({})", figure.words(), fields(rest)))
    });
    let whole = || whole_entry(path).map(lower);
    (whole().or(beside).unwrap_or_else(|| fields(path)), "")
}

fn stopped(text: &str) -> String {
    let text = text.trim();
    if text.ends_with(['.', '!', '?']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}
