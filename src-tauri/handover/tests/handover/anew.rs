//! A wire that was let out and brought up anew, as the document tells it.

use records::model::values::Stage;

use crate::common::acts::tension;
use crate::common::site;
use crate::stands::{bay, pass};
use crate::told::{flat, section};

#[test]
fn a_wire_that_was_let_out_is_not_told_as_put_right() {
    let mut built = site::build("Deck and stair");
    let (run_a, gauge, wide) = (built.run_a, built.gauge, bay(&built, 1));
    for (wire, newtons) in [(5, 1200), (6, 1500)] {
        tension(
            &mut built.site,
            run_a,
            wire,
            &wide,
            newtons,
            Stage::Final,
            gauge,
        );
    }
    pass(&mut built, 5, &wide, 600, 1);
    let text = flat(&mut built);
    let summary = section(&text, "1 Summary", "Open");
    assert!(
        summary.contains("1200 N, wire 5, 2026-10-27, final, not read again there"),
        "{summary}"
    );
    let told = section(&text, "9 Tension", "10 Openings");
    assert!(
        told.contains("1200 N, below, before it was brought up anew"),
        "{told}"
    );
    // Read at its set tension again, it was put right.
    tension(&mut built.site, run_a, 5, &wide, 1500, Stage::Final, gauge);
    let text = flat(&mut built);
    let summary = section(&text, "1 Summary", "Open");
    assert!(!summary.contains("not read again there"), "{summary}");
    assert!(
        summary.contains("lowest before it was put right"),
        "{summary}"
    );
}
