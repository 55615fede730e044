//! Tables of lengths whose rows are wrong by many: who is asked about, and in which order.

use records::survey::Outcome;

use crate::common::Device;
use crate::survey::{import, without_lengths};

#[test]
fn many_rows_in_another_unit_are_asked_about_and_the_good_ones_are_not() {
    let mut device = Device::founder("ann");
    import(&mut device, &without_lengths(), true);
    // The first row can't be read at all; most of the others are inches beside the job's millimetres.
    let table = "run;wire;length;unit;purpose;posts;faces;instrument\n\
                 A;1;287.2;mm;cut;insertsIn;insertFaces;tape\n\
                 A;2;7300;mm;cut;insertsIn;insertFaces;tape\n\
                 A;3;287.4;mm;cut;insertsIn;insertFaces;tape\n\
                 A;four;7300;mm;cut;insertsIn;insertFaces;tape\n\
                 A;5;287.3;mm;cut;insertsIn;insertFaces;tape\n\
                 A;6;7301;mm;cut;insertsIn;insertFaces;tape\n\
                 A;7;287.5;mm;cut;insertsIn;insertFaces;tape\n";
    let (planned, counts) = import(&mut device, table.as_bytes(), false);
    let told: Vec<(&str, Outcome)> = planned
        .problems
        .iter()
        .map(|problem| (problem.path.as_str(), problem.outcome))
        .collect();
    assert_eq!(
        told,
        [
            ("line 2, length", Outcome::Questioned),
            ("line 4, length", Outcome::Questioned),
            ("line 5, wire", Outcome::Refused),
            ("line 6, length", Outcome::Questioned),
            ("line 8, length", Outcome::Questioned),
        ]
    );
    let asked = &planned.problems[0].message;
    assert!(asked.contains("Inches"), "{asked}");
    assert_eq!(counts.lengths, 2);
}
