//! The guide's table of tensions by sound: all seeds at all levels, with what the tests assert of a
//! part of them. Prints the table; simulated plucks, nothing was measured on a real wire.
#![allow(clippy::unwrap_used, clippy::indexing_slicing, missing_docs)]

// The tests use the rest of it.
#[allow(dead_code)]
#[path = "../tests/checks/plucks.rs"]
mod plucks;
#[path = "../tests/checks/sound_trial.rs"]
mod sound_trial;

use sound_trial::{trial, trial_on_site};

fn main() {
    trial("1–120", 1..121, [60, 30, 5]);
    trial("1001–1300", 1001..1301, [150, 75, 12]);
    trial_on_site(5001..5061, 25);
}
