//! A guide over what nothing may exceed, and one of a span that is stiff for what it holds.

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

#[test]
fn a_span_short_and_slack_for_its_strand_is_told_with_both_figures() {
    let site = Site::of_run(0);
    // L/√(EI/T) of 1380 mm of 3.2 mm: 30 at 339 N.
    let told = |tension: f64, name: u32| {
        let heard = site.ann.call("hear", three(&site, 6, tension, PLAIN, name));
        assert!(heard["guide"].is_object(), "{heard:#}");
        let plain = |note: &Value| note.as_str().unwrap().replace('\u{a0}', " ");
        let all = |name: &str| heard[name].as_array().unwrap().clone();
        let number = all("numbers")
            .iter()
            .find(|n| n["name"] == "length to stiffness, L/√(EI/T)")
            .map(|n| n["value"].as_str().unwrap().to_owned());
        let notes: Vec<String> = all("notes").iter().map(plain).collect();
        (
            notes,
            number.unwrap(),
            heard["guide"]["newtons"].as_f64().unwrap(),
        )
    };
    let (notes, number, newtons) = told(320.0, 1);
    assert_eq!(notes.len(), 1, "{notes:?}");
    assert!(
        notes[0].starts_with(&format!(
            "The span is short and slack for this strand, so its stiffness counts for much: taken with its \
             ends held it tells {newtons} N, with its ends free to turn "
        )),
        "{notes:?}"
    );
    assert!(
        number.starts_with("29.")
            && number.ends_with("(none told below 15, a wide guide below 30)"),
        "{number}"
    );
    let (notes, number, _) = told(370.0, 2);
    assert_eq!(notes, Vec::<String>::new());
    assert!(number.starts_with("31."), "{number}");
}
