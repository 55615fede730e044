//! What people changed in a rule set, so that it can say so wherever it is used.
//!
//! Invariant: a set that holds this is never told as the document itself.

use serde::{Deserialize, Serialize};

use super::Day;

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
    /// One sentence for screens and documents.
    #[must_use]
    pub fn sentence(&self) -> String {
        let what = match (&self.from, self.figures.len()) {
            (None, _) => "This rule set was written by its users and did not come with the \
                          program"
                .to_owned(),
            (Some(from), 0) => format!("This rule set is a copy of {from}"),
            (Some(from), 1) => format!("This rule set is {from} with 1 change"),
            (Some(from), n) => format!("This rule set is {from} with {n} changes"),
        };
        format!(
            "{what}: {}, {}. Why: {} Compare it with the document itself.",
            self.by,
            self.on,
            stopped(&self.why)
        )
    }
}

fn stopped(text: &str) -> String {
    let text = text.trim();
    if text.ends_with(['.', '!', '?']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}
