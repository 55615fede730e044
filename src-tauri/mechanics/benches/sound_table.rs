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
    let of_120 = [
        (60.0, 60),
        (40.0, 60),
        (30.0, 60),
        (20.0, 60),
        (10.0, 30),
        (5.0, 5),
    ];
    trial("1–120", 1..121, &of_120);
    let of_300 = [
        (60.0, 150),
        (40.0, 150),
        (30.0, 150),
        (20.0, 150),
        (10.0, 75),
        (5.0, 12),
    ];
    trial("1001–1300", 1001..1301, &of_300);
    trial_on_site(5001..5061, 25);
}
