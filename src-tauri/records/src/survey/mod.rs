//! Importing a survey file: our own JSON, or a table of lengths.
//!
//! Invariant: a file is read and checked whole before anything of it is recorded; every part that
//! does not fit is named with its path, and what it leaves is recorded, each thing in one act.
//! Reading and planning are pure: nothing here opens files or writes the record. The format is
//! described in `fixtures/demo/README.md`, section "Survey file".

mod error;
mod facts;
mod object;
mod plan;
mod problem;
mod read;
mod table;
mod tree;

pub use error::{LARGEST_FILE, SurveyError};
pub use facts::Survey;
pub use plan::{Counts, Part, Plan, PlannedAct, PlannedTensions, plan};
pub use problem::{Outcome, SurveyProblem};
pub use read::FORMAT;
pub use table::COLUMNS;

/// Reads the bytes of a survey file; what begins with a brace is JSON, all else a table.
///
/// # Errors
/// When the file as a whole can't be taken: empty, over [`LARGEST_FILE`], not UTF-8, cut, not a
/// survey, or of a newer format.
pub fn read(bytes: &[u8]) -> Result<Survey, SurveyError> {
    if u64::try_from(bytes.len()).is_ok_and(|size| size > LARGEST_FILE) {
        return Err(SurveyError::TooLarge);
    }
    let text = std::str::from_utf8(bytes).map_err(|e| SurveyError::NotText {
        at: e.valid_up_to(),
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    if text.trim().is_empty() {
        return Err(SurveyError::Empty);
    }
    let log = problem::Log::default();
    let mut survey = if text.trim_start().starts_with(['{', '[']) {
        read::survey(&tree::parse(text)?, &log)?
    } else {
        table::lengths(text, &log)?
    };
    survey.problems = log.into_problems();
    Ok(survey)
}
