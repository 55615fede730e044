//! A guide over what nothing may exceed.

use serde_json::Value;

use super::three;
use crate::common::worked::Site;
use crate::plucks::PLAIN;

#[test]
fn a_guide_over_the_upper_tension_says_so() {
    let site = Site::of_run(0);
    let notes = |tension: f64, name: u32| -> Vec<String> {
        let heard = site.ann.call("hear", three(&site, 6, tension, PLAIN, name));
        let notes = heard["notes"].as_array().unwrap().iter();
        let plain = |note: &Value| note.as_str().unwrap().replace('\u{a0}', " ");
        notes.map(plain).collect()
    };
    // The run's upper tension is 1800 N.
    let proven = "over the upper tension 1800 N: turn no further, and prove it with the gauge.";
    assert_eq!(notes(2500.0, 1), [format!("This guide is {proven}")]);
    assert_eq!(
        notes(1700.0, 2),
        [format!("The upper end of this guide is {proven}")]
    );
    assert_eq!(notes(1240.0, 3), Vec::<String>::new());
}
