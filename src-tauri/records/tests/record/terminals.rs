//! Terminals of a fitting set: which kind has which figure, and values that were kept before there were kinds.

use std::collections::BTreeMap;

use records::model::TERMINAL_FIGURES;
use records::model::values::{EndKind, Terminals};

/// The table that the screens are held to as well.
const OF_KINDS: &str = include_str!(concat!(
    env!("CARGO_MANIFEST_DIR"),
    "/../../fixtures/typed/end-kinds.json"
));

/// A pair as it was written when every terminal had all figures of a stud, its right hand told as another kind.
const OLD: &str = r#"{"left":{"hand":"LH","kind":"insert","overallNm":72000000,"insertionNm":32000000,"growthNm":0,"threadNm":30000000,"leastEngagementNm":8000000,"startNm":2000000,"reserveNm":4000000,"lockNutNm":3200000,"threadDiameterNm":6000000,"pitchNm":1000000,"holeNm":9000000,"holeDepthNm":42000000,"seatNm":0},"right":{"hand":"RH","kind":"fixedEnd","overallNm":72000000,"insertionNm":32000000,"growthNm":0,"threadNm":30000000,"leastEngagementNm":8000000,"startNm":2000000,"reserveNm":4000000,"lockNutNm":3200000,"threadDiameterNm":6000000,"pitchNm":1000000,"holeNm":9000000,"holeDepthNm":42000000,"seatNm":0},"unequalStartNm":0,"origins":{"unequalStartNm":"example: both ends start alike"},"origin":"example figures"}"#;

#[test]
fn every_kind_of_end_has_the_figures_that_the_shared_table_says() {
    let told: BTreeMap<String, Vec<EndKind>> = serde_json::from_str(OF_KINDS).unwrap();
    let ours: BTreeMap<String, Vec<EndKind>> = TERMINAL_FIGURES
        .iter()
        .map(|figure| {
            let kinds = EndKind::ALL.iter().copied();
            let has = kinds.filter(|kind| figure.is_of(*kind)).collect();
            (figure.name.to_owned(), has)
        })
        .collect();
    let sorted = |mut all: BTreeMap<String, Vec<EndKind>>| {
        for kinds in all.values_mut() {
            kinds.sort_by_key(|kind| format!("{kind:?}"));
        }
        all
    };
    assert_eq!(sorted(ours), sorted(told));
}

#[test]
fn a_pair_of_the_time_before_reads_and_is_written_as_it_stood() {
    let old: serde_json::Value = serde_json::from_str(OLD).unwrap();
    let read: Terminals = serde_json::from_value(old.clone()).unwrap();
    let again = serde_json::to_value(&read).unwrap();
    assert_eq!(again, old);
    // Its right hand copied a stud, and of those figures none is taken for the fixed end's own.
    let right = &read.right;
    assert_eq!(right.told("overallNm"), None);
    assert_eq!(right.told("threadNm"), None);
    assert_eq!(
        right.untold(),
        ["way from the post's face to the mouth of its shank"]
    );
}
