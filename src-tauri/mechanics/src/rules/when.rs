//! Which rule sets a job may stand under: by country and by the permit's date.
//!
//! Invariant: a set whose dates are not known is offered with that said, never left out and never
//! taken as in force. A person chooses; nothing here chooses for them.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{Cite, RuleSet, Status};

/// A day of the calendar, written as 2026-09-02.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Day {
    year: u16,
    month: u8,
    day: u8,
}

impl Day {
    /// A day that the calendar has; none where it has not.
    #[must_use]
    pub const fn new(year: u16, month: u8, day: u8) -> Option<Self> {
        let leap =
            year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
        let last = match month {
            1 | 3 | 5 | 7 | 8 | 10 | 12 => 31,
            4 | 6 | 9 | 11 => 30,
            2 if leap => 29,
            2 => 28,
            _ => return None,
        };
        if year < 1000 || year > 9999 || day == 0 || day > last {
            return None;
        }
        Some(Self { year, month, day })
    }

    /// Reads a day from its ten characters.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let mut parts = text.split('-');
        let mut part = |length: usize| {
            let part = parts.next()?;
            let digits = part.len() == length && part.bytes().all(|byte| byte.is_ascii_digit());
            digits.then_some(part)
        };
        let (year, month, day) = (part(4)?, part(2)?, part(2)?);
        if parts.next().is_some() {
            return None;
        }
        Self::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?)
    }
}

impl TryFrom<String> for Day {
    type Error = String;

    fn try_from(text: String) -> Result<Self, String> {
        Self::read(&text).ok_or_else(|| format!("a day is written as 2026-09-02, and is {text:?}"))
    }
}

impl From<Day> for String {
    fn from(day: Day) -> Self {
        day.to_string()
    }
}

impl fmt::Display for Day {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:04}-{:02}-{:02}", self.year, self.month, self.day)
    }
}

/// From when an edition counts.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct InForce {
    /// The same for all editions of one document: a later one takes the place of an earlier one.
    pub series: String,
    /// First day.
    pub from: Day,
    /// Source.
    pub cite: Cite,
}

/// How a set stands to a permit's date.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Fit {
    /// The latest edition here that counted on that day.
    InForce,
    /// When the edition counts is not known, or the permit's date is not.
    NotKnown,
    /// A later edition counted on that day.
    Replaced,
    /// The edition did not count yet.
    NotYet,
}

/// A set that could be chosen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Choice {
    /// Short name of the set.
    pub id: String,
    /// Its title.
    pub title: String,
    /// How it stands to the date.
    pub fit: Fit,
    /// One sentence, with how the date came to us.
    pub sentence: String,
}

/// Sets of a country (two capital letters of ISO 3166-1), the best fit first, then by name.
///
/// A set without a country is offered for every one: a person may have written it.
#[must_use]
pub fn choices(sets: &[RuleSet], country: &str, permit: Option<Day>) -> Vec<Choice> {
    let here = || {
        sets.iter()
            .filter(|set| set.country.as_deref().is_none_or(|of| of == country))
    };
    let mut choices: Vec<Choice> = here()
        .map(|set| {
            let (fit, sentence) = stands(set, here(), permit);
            Choice {
                id: set.id.clone(),
                title: set.title.clone(),
                fit,
                sentence,
            }
        })
        .collect();
    choices.sort_by(|a, b| a.fit.cmp(&b.fit).then_with(|| a.id.cmp(&b.id)));
    choices
}

fn stands<'a>(
    set: &RuleSet,
    others: impl Iterator<Item = &'a RuleSet>,
    permit: Option<Day>,
) -> (Fit, String) {
    let edition = format!("{}, edition {}", set.document, set.edition);
    let Some(own) = &set.in_force else {
        return (
            Fit::NotKnown,
            format!("{edition}: from when it counts is not known here; ask the authority."),
        );
    };
    let Some(permit) = permit else {
        return (
            Fit::NotKnown,
            format!("{edition}: enter the permit's date, which fixes the edition."),
        );
    };
    let known = match own.cite.status {
        Status::Read => "",
        Status::SecondHand => " (second hand)",
        Status::Memory => " (from memory)",
        Status::CommonPractice => " (common practice)",
        Status::Own => " (as the crew entered it)",
    };
    if permit < own.from {
        return (
            Fit::NotYet,
            format!(
                "{edition}: counts from {}{known}, after the permit of {permit}.",
                own.from
            ),
        );
    }
    let later = others
        .filter_map(|other| Some((other, other.in_force.as_ref()?)))
        .filter(|(_, other)| {
            other.series == own.series && other.from > own.from && other.from <= permit
        })
        .max_by_key(|(_, other)| other.from);
    match later {
        Some((other, when)) => (
            Fit::Replaced,
            format!(
                "{edition}: {} counts from {}, before the permit of {permit}.",
                other.edition, when.from
            ),
        ),
        None => (
            Fit::InForce,
            format!(
                "{edition}: counts from {}{known}; the permit is of {permit}.",
                own.from
            ),
        ),
    }
}
