//! What the ruler is expected to show under the hung mass. Source: scenario, which computes 4.60 mm at
//! 1500 N and 5.18 mm at 1330 N for 1.998 kg in A2–A3.

use records::work::{ExpectedDown, tensions};

use crate::near;
use crate::scene::{Scene, fitted};

fn expected(s: &mut Scene, run: records::ids::ItemId) -> Vec<ExpectedDown> {
    s.with_job(|job| tensions(job, run).unwrap().expected_down)
}

#[test]
fn the_worked_job_is_expected_to_go_down_as_its_source_computes() {
    let mut s = fitted();
    let a = s.a;
    let all = expected(&mut s, a);
    // A4a is a post of its own, so each bay counts as one.
    assert_eq!(all.len(), 6);
    let wide = all.iter().find(|e| e.bay_name == "A2–A3").unwrap();
    near(wide.mass_kg, 2.0, 0.0);
    // The scenario's wires slide, and its mass is a thousandth lighter.
    let sliding = |down: Option<(f64, Option<f64>)>| down.unwrap().1.unwrap();
    near(sliding(wide.at_set_mm), 4.60, 0.01);
    near(sliding(wide.at_required_mm), 5.18, 0.011);
    // What is gripped goes down less.
    let wide = wide.at_set_mm;
    assert!(wide.unwrap().0 < sliding(wide));
    // So does a shorter bay.
    let short = all.iter().find(|e| e.bay_name == "A4–A4a").unwrap();
    assert!(sliding(short.at_set_mm) < 0.6 * sliding(wide));
}
