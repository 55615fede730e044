//! What is suggested and kept as the tensions of a run, from what is known of its strength and losses.
//! Source of every figure: the worked job, a consistency check of the whole chain.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod common;

use common::worked::Site;
use serde_json::{Value, json};

#[test]
fn the_next_act_tells_a_reading_as_it_was_read() {
    let site = Site::of_run(0);
    for n in 1..=12 {
        site.read(n, if n == 3 { 1325 } else { 1500 }, "final", None);
    }
    let mut skipped = Vec::new();
    loop {
        let asked = json!({"job": site.job, "skipped": skipped});
        let act = site.ann.call("nextAct", asked)["act"].clone();
        assert!(!act.is_null(), "no wire is to be raised: {skipped:?}");
        if act["what"] == "raise" {
            let words = act["sentence"].as_str().unwrap();
            assert!(words.contains("A3 is below: 1325 N"), "{words}");
            break;
        }
        skipped.push(act["key"].clone());
    }
    let read = site.ask("tensions");
    assert_eq!(read["lines"][2]["governing"]["newtons"], 1325.0);
    assert_eq!(read["lines"][2]["governing"]["shownN"], Value::Null);
}
