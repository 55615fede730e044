//! Acts: what each asks of the record before it is said, and the claims that it says.
//!
//! Invariant: all is asked before anything is recorded, and the claims of one act are recorded
//! together or not at all. It does no locking, knows no caller and no tasks: the record is handed
//! in, and what is wrong goes back as a refusal or a question.

mod asked;
pub(crate) mod checks;
pub(crate) mod cut_plan;
pub(crate) mod cutting;
pub(crate) mod decide;
pub(crate) mod exchange;
pub(crate) mod import;
pub(crate) mod jobs;
pub(crate) mod kept;
pub(crate) mod laying;
pub(crate) mod layout;
pub(crate) mod library;
pub(crate) mod marks;
pub(crate) mod measure;
pub(crate) mod members;
pub(crate) mod office;
pub(crate) mod own;
pub(crate) mod pictures;
pub(crate) mod posts;
pub(crate) mod say;
pub(crate) mod settle;
pub(crate) mod signing;
pub(crate) mod trial;
pub(crate) mod turning;
pub(crate) mod verify;

use crate::{ApiError, ErrorCode};

/// All questions go back to the person at once, since one yes answers them all; without any the act
/// goes on.
pub(crate) fn ask(questions: impl IntoIterator<Item = String>) -> Result<(), ApiError> {
    let all: Vec<String> = questions.into_iter().collect();
    if all.is_empty() {
        return Ok(());
    }
    Err(ApiError::new(ErrorCode::Questioned, all.join(" ")))
}
