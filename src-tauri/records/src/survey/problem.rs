//! What was found wrong in a survey, each with its path in the file.

use std::cell::{Cell, RefCell};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// What became of the part of the file that a problem is about.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
#[ts(rename = "SurveyOutcome")]
pub enum Outcome {
    /// Not recorded: it can't be.
    Refused,
    /// Not recorded until a person confirms it.
    Questioned,
    /// Not known to this version and left out; the rest of its thing was recorded.
    Ignored,
    /// Recorded, with a doubt about how the parts fit together.
    Noted,
}

/// One thing that is wrong or odd.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SurveyProblem {
    /// Where in the file: `runs[0].posts[2].position`, or `line 3, length`.
    pub path: String,
    /// What became of it.
    pub outcome: Outcome,
    /// What is wrong and what to do.
    pub message: String,
}

/// Collects problems while a file is read.
#[derive(Debug, Default)]
pub(crate) struct Log {
    problems: RefCell<Vec<SurveyProblem>>,
    refused: Cell<usize>,
}

impl Log {
    pub(crate) fn say(&self, path: &str, outcome: Outcome, message: impl Into<String>) {
        if outcome == Outcome::Refused {
            self.refused.set(self.refused.get() + 1);
        }
        self.problems.borrow_mut().push(SurveyProblem {
            path: path.to_owned(),
            outcome,
            message: message.into(),
        });
    }

    pub(crate) fn refuse(&self, path: &str, message: impl Into<String>) {
        self.say(path, Outcome::Refused, message);
    }

    /// Refusals so far: a thing is whole when reading it added none.
    pub(crate) fn refused(&self) -> usize {
        self.refused.get()
    }

    pub(crate) fn into_problems(self) -> Vec<SurveyProblem> {
        self.problems.into_inner()
    }
}

/// Line of a table that a path names.
pub(crate) fn line_of(path: &str) -> Option<usize> {
    let digits = path.strip_prefix("line ")?.split(',').next()?;
    digits.parse().ok()
}

/// Text of a file as it may be shown: no control or direction marks, not long.
pub(crate) fn shown(text: &str) -> String {
    crate::photos::visible(text, 60)
}
