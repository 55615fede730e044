//! A job as the record tells it: typed reading of counted claims, and the layout that follows.
//!
//! Invariant: nothing here decides anything. A value that people dispute is no value; both sides
//! are kept for showing.

mod in_run;
pub mod layout;
pub mod reader;
pub mod things;
pub mod wires;

mod whole;

use crate::book::{BookView, Key};

pub use in_run::PostInRun;
pub use layout::{Bay, Run};
pub use reader::{Fact, Reader, Standing, Told};
pub use things::PostFacts;
pub use whole::{Job, Parts};
pub(crate) use whole::{live, shortened};
pub use wires::{Wire, WireLength};

/// The text that a key gives, where people agree on it.
#[must_use]
pub fn first_text(view: &BookView, key: &Key) -> Option<String> {
    reader::values(view, key)
        .into_iter()
        .find_map(|v| v.as_str().map(str::to_owned))
}
