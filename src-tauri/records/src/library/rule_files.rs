//! Rule sets that people wrote or changed: checked whole, marked with who and why, kept as text.
//!
//! The form of the file is told in `data/README.md`. Invariant: what comes out names who kept it,
//! why, and every figure that differs from the set it was made from; a changed figure no longer
//! says that it was read in the document. Does not record anything.

use mechanics::rules::{
    Changed, ChangedFigure, Day, FigureUnit, RuleSet, faults, named_figures, odd_cells,
    odd_figures, questions,
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};
use ts_rs::TS;

use super::{RuleSetFile, rule_set};
use crate::model::unfit::plainly;

/// Largest file that is taken: an entry holds 64 KiB with all that stands around it.
pub const LARGEST_RULE_SET: usize = 48 * 1024;

/// Most changes that are listed one by one.
const MOST_LISTED: usize = 200;

/// Why a rule set's file can't be kept. Nothing was kept then.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RuleFileError {
    /// More than an entry can hold.
    #[error(
        "the rule set has {bytes} bytes and may have {LARGEST_RULE_SET}; leave out lines of tables \
         that are not used"
    )]
    TooLarge {
        /// Its size.
        bytes: usize,
    },
    /// Not JSON, or not of this form; an unknown field is named with its line.
    #[error("this is no rule set: {}; to start from one, save the file of a set under Rule sets, or print it: `tautbook rules show au-2022`", plainly(.0))]
    NotThisForm(String),
    /// Figures that can't be used.
    #[error("{} of this rule set can't be used: {}", count(.0.len()), .0.join(" "))]
    Faults(Vec<String>),
    /// Figures that are far from what is usual or from the set that was copied, and places of tables that
    /// ask less for a longer bay or a wider spacing; nobody said that it is meant so.
    #[error("{} Does the document print it so?", .0.join(" "))]
    Questions(Vec<String>),
    /// A change of something that is not there.
    #[error("the rule set has no figure at {0}; look at its list of figures again")]
    NoSuchFigure(String),
    /// Nobody said why.
    #[error("say why the rule set was changed or written: every document prints it")]
    NoReason,
    /// Nothing differs.
    #[error("nothing differs from {0}; choose that one for the job")]
    Unchanged(String),
}

fn count(n: usize) -> String {
    match n {
        1 => "1 thing".to_owned(),
        n => format!("{n} things"),
    }
}

/// Who keeps a set, when, and why.
#[derive(Clone, Debug)]
pub struct Author<'a> {
    /// Who.
    pub by: &'a str,
    /// On which day.
    pub on: Day,
    /// Why, in that person's words.
    pub why: &'a str,
    /// Whether that person said that what is odd in a table is meant so.
    pub confirmed: bool,
}

/// One figure to change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct RuleChange {
    /// Where it stands, as [`RuleFigure::path`] has it.
    pub path: String,
    /// What shall stand there, in millimetres.
    pub value: f64,
}

/// A figure of a rule set that a screen may change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleFigure {
    /// Where it stands, as a JSON pointer.
    pub path: String,
    /// What it is, in words.
    pub what: String,
    /// The figure, millimetres.
    pub mm: f64,
    /// Clause that it is from.
    pub clause: String,
    /// How it came to be known: `read`, `secondHand`, `memory`, `commonPractice`, `own`.
    pub status: String,
}

/// The file with some figures changed, ready to be kept.
///
/// # Errors
/// When a figure is not there, nothing differs, nobody says why, or the result can't be used.
pub fn changed(
    base: &RuleSetFile,
    title: &str,
    changes: &[RuleChange],
    author: &Author<'_>,
) -> Result<String, RuleFileError> {
    let mut value = parsed(&base.text)?;
    let before = parsed_set(&base.text)?;
    // What is told as changed is told against the program's set, however often it was changed.
    let origin = rule_set(&base.name).or_else(|| {
        let from = value.pointer("/changed/from").and_then(Value::as_str)?;
        rule_set(from)
    });
    for change in changes {
        let place = value
            .pointer_mut(&change.path)
            .filter(|found| found.is_number())
            .ok_or_else(|| RuleFileError::NoSuchFigure(change.path.clone()))?;
        *place = number(change.value);
    }
    if !title.trim().is_empty() {
        set(&mut value, "title", json!(title.trim()));
    }
    finish(value, origin.as_ref(), Some(&before), author)
}

/// A file that people wrote, ready to be kept; held against the set it was made from where its id
/// or its `changed.from` names one that comes with the program.
///
/// # Errors
/// When it is too large, not of this form, can't be used, or nobody says why.
pub fn kept(text: &str, author: &Author<'_>) -> Result<String, RuleFileError> {
    if text.len() > LARGEST_RULE_SET {
        return Err(RuleFileError::TooLarge { bytes: text.len() });
    }
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let read = parsed_set(text)?;
    let from = read.changed.as_ref().and_then(|c| c.from.clone());
    let base = rule_set(&read.id).or_else(|| rule_set(from.as_deref()?));
    let before = base
        .as_ref()
        .map(|base| parsed_set(&base.text))
        .transpose()?;
    finish(parsed(text)?, base.as_ref(), before.as_ref(), author)
}

fn parsed(text: &str) -> Result<Value, RuleFileError> {
    serde_json::from_str(text).map_err(|error| RuleFileError::NotThisForm(error.to_string()))
}

fn parsed_set(text: &str) -> Result<RuleSet, RuleFileError> {
    serde_json::from_str(text).map_err(|error| RuleFileError::NotThisForm(error.to_string()))
}

/// `base` is what the changes are told against, `before` the set that was copied.
fn finish(
    mut value: Value,
    base: Option<&RuleSetFile>,
    before: Option<&RuleSet>,
    author: &Author<'_>,
) -> Result<String, RuleFileError> {
    let why = author.why.trim();
    if why.is_empty() {
        return Err(RuleFileError::NoReason);
    }
    drop_field(&mut value, "changed");
    let mut figures = Vec::new();
    if let Some(base) = base {
        let mut was = parsed(&base.text)?;
        // What the base itself was changed by stays told through its own name.
        drop_field(&mut was, "changed");
        for (at, before) in ["id", "title"].map(|at| (at, was.get(at).cloned())) {
            if let Some(before) = before.filter(|_| value.get(at).is_some()) {
                set(&mut was, at, value.get(at).cloned().unwrap_or(before));
            }
        }
        differences("", Some(&was), Some(&value), &mut figures);
        // That a figure is the crew's own follows from the figure.
        figures.retain(|f| !f.path.ends_with("/cite/status") || f.is.as_deref() != Some("own"));
        if figures.is_empty() {
            return Err(RuleFileError::Unchanged(base.title.clone()));
        }
        own_status(&mut value, &figures);
        name_apart(&mut value, base);
    }
    figures.truncate(MOST_LISTED);
    let changed = Changed {
        from: base.map(|base| base.name.clone()),
        by: author.by.to_owned(),
        on: author.on,
        why: why.to_owned(),
        figures,
    };
    let told = serde_json::to_value(&changed)
        .map_err(|error| RuleFileError::NotThisForm(error.to_string()))?;
    set(&mut value, "changed", told);
    let whole: RuleSet = serde_json::from_value(value.clone())
        .map_err(|error| RuleFileError::NotThisForm(error.to_string()))?;
    let found = faults(&whole);
    if !found.is_empty() {
        return Err(RuleFileError::Faults(found));
    }
    let mut asked = odd_figures(&whole, before);
    asked.extend(
        before
            .into_iter()
            .flat_map(|before| odd_cells(&whole, before)),
    );
    let falls = questions(&whole);
    if !falls.is_empty() {
        asked.push("A longer bay or a wider spacing never asks for less.".to_owned());
        asked.extend(falls);
    }
    if !asked.is_empty() && !author.confirmed {
        return Err(RuleFileError::Questions(asked));
    }
    let text = serde_json::to_string(&value)
        .map_err(|error| RuleFileError::NotThisForm(error.to_string()))?;
    if text.len() > LARGEST_RULE_SET {
        return Err(RuleFileError::TooLarge { bytes: text.len() });
    }
    Ok(text)
}

fn set(value: &mut Value, field: &str, to: Value) {
    if let Some(object) = value.as_object_mut() {
        object.insert(field.to_owned(), to);
    }
}

fn drop_field(value: &mut Value, field: &str) {
    if let Some(object) = value.as_object_mut() {
        object.remove(field);
    }
}

/// A whole number is written as one, so that 1000 does not come back as 1000.0.
fn number(value: f64) -> Value {
    #[allow(clippy::cast_possible_truncation)] // whole and small, looked at before
    match value.fract() == 0.0 && value.abs() < 1e12 {
        true => json!(value as i64),
        false => json!(value),
    }
}

/// A set that differs from the program's never stands under its id or its title.
fn name_apart(value: &mut Value, base: &RuleSetFile) {
    let text = |value: &Value, at: &str| value.get(at).and_then(Value::as_str).map(str::to_owned);
    if text(value, "id").is_some_and(|id| rule_set(&id).is_some()) {
        let id: String = format!("own-{}", base.name).chars().take(60).collect();
        set(value, "id", json!(id));
    }
    if text(value, "title").is_some_and(|title| title == base.title) {
        set(value, "title", json!(format!("{} (changed)", base.title)));
    }
}

/// Every leaf that differs; numbers are compared as numbers.
fn differences(at: &str, was: Option<&Value>, is: Option<&Value>, found: &mut Vec<ChangedFigure>) {
    match (was, is) {
        (Some(Value::Object(before)), Some(Value::Object(after))) => {
            let names = before
                .keys()
                .chain(after.keys().filter(|k| !before.contains_key(*k)));
            for name in names {
                let at = format!("{at}/{name}");
                differences(&at, before.get(name), after.get(name), found);
            }
        }
        (Some(Value::Array(before)), Some(Value::Array(after))) => {
            for n in 0..before.len().max(after.len()) {
                differences(&format!("{at}/{n}"), before.get(n), after.get(n), found);
            }
        }
        (before, after) => {
            let same = match (
                before.and_then(Value::as_f64),
                after.and_then(Value::as_f64),
            ) {
                (Some(before), Some(after)) => before.to_bits() == after.to_bits(),
                _ => before == after,
            };
            if !same {
                found.push(ChangedFigure {
                    path: at.to_owned(),
                    was: before.map(told),
                    is: after.map(told),
                });
            }
        }
    }
}

fn told(value: &Value) -> String {
    let text = match value {
        Value::String(text) => text.clone(),
        other => other.to_string(),
    };
    match text.char_indices().nth(200) {
        Some((end, _)) => format!("{}…", text.get(..end).unwrap_or_default()),
        None => text,
    }
}

/// A changed figure whose citation was left as it stood is the crew's own, not the document's.
fn own_status(value: &mut Value, figures: &[ChangedFigure]) {
    let cited: Vec<&str> = figures
        .iter()
        .filter_map(|f| f.path.split_once("/cite").map(|(of, _)| of))
        .collect();
    for figure in figures {
        let mut at = figure.path.as_str();
        while let Some((above, _)) = at.rsplit_once('/') {
            at = above;
            let Some(cite) = value.pointer_mut(&format!("{at}/cite")) else {
                continue;
            };
            if !cited.contains(&at) {
                set(cite, "status", json!("own"));
            }
            break;
        }
    }
}

/// Figures of a set that can be changed one by one; cells of tables are changed in the file.
///
/// # Errors
/// When the text is no rule set.
pub fn figures(file: &RuleSetFile) -> Result<Vec<RuleFigure>, RuleFileError> {
    let set = parsed_set(&file.text)?;
    let lengths = named_figures(&set).into_iter();
    let told = lengths
        .filter(|figure| figure.unit == FigureUnit::Millimetres)
        .map(|figure| {
            let status = serde_json::to_value(figure.cite.status).ok();
            let status = status.as_ref().and_then(Value::as_str);
            RuleFigure {
                mm: figure.value,
                clause: figure.cite.clause.clone(),
                status: status.unwrap_or_default().to_owned(),
                path: figure.path,
                what: figure.what,
            }
        });
    Ok(told.collect())
}
