//! What a survey file tells of a probe that was offered to an opening: an odd push or size waits for a yes.

use records::model::values::Length;
use records::survey::Outcome;
use records::work::{odd_probe, odd_push};
use serde_json::json;

use crate::common::Device;
use crate::survey::{fixture, import};

#[test]
fn an_odd_push_or_probe_waits_for_a_yes_beside_its_line_in_the_words_of_the_screens() {
    let text = String::from_utf8(fixture("demo/survey.json")).unwrap();
    let mut file: serde_json::Value = serde_json::from_str(&text).unwrap();
    let offered = |push: i64, probe: i64| json!({"kind": "floorToBottomWire", "size": 90, "probe": probe, "result": "stops", "pushN": push});
    let openings = [(100, 125), (5, 125), (50_000, 125), (100, 12), (5, 12)];
    let openings = openings.map(|(push, probe)| offered(push, probe));
    file["posts"][1]["openings"] = openings.as_slice().into();
    let asked = |device: &mut Device, yes: bool| {
        let (planned, counts) = import(device, file.to_string().as_bytes(), yes);
        let mut asked = planned.problems;
        asked.retain(|p| p.outcome == Outcome::Questioned && !p.path.starts_with("job"));
        let told = asked.into_iter().map(|p| (p.path, p.message));
        (told.collect::<Vec<_>>(), counts)
    };
    let mut device = Device::founder("ann");
    let (found, _) = asked(&mut device, false);
    let paths: Vec<&str> = found.iter().map(|(path, _)| path.as_str()).collect();
    let beside = [1, 2, 3, 4, 4].map(|n| format!("posts[1].openings[{n}]"));
    assert_eq!(paths, beside);
    let small = Length { nm: 12_000_000 };
    let questions = [
        odd_push(5_000),
        odd_push(50_000_000),
        odd_probe(small),
        odd_probe(small),
        odd_push(5_000),
    ];
    for ((_, message), question) in found.iter().zip(questions) {
        assert!(message.starts_with(&question.unwrap()), "{message}");
    }
    // What is asked about is left out, the usual one is there, and a yes brings the rest.
    let (again, _) = asked(&mut device, false);
    assert_eq!(again, found);
    let (after, _) = asked(&mut device, true);
    assert_eq!(after, []);
    let (there, _) = asked(&mut device, false);
    assert_eq!(there, []);
}
