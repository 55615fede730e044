//! Single figures of a rule set that are a digit off: each is asked about, and none of the sets that come with the
//! program is. Figures: Australia 11.3.3 to 11.3.7, read; the usual ones are common practice.

use mechanics::rules::{RuleSet, faults, odd_cells, odd_figures};
use serde_json::{Value, json};

use crate::{all_sets, au, irc};

fn with(set: &RuleSet, at: &str, value: Value) -> RuleSet {
    let mut set = serde_json::to_value(set).unwrap();
    *set.pointer_mut(at).unwrap() = value;
    serde_json::from_value(set).unwrap()
}

#[test]
fn the_programs_own_sets_are_usual() {
    for set in all_sets() {
        assert_eq!(odd_figures(&set, None), Vec::<String>::new(), "{}", set.id);
        assert_eq!(odd_figures(&set, Some(&set)), Vec::<String>::new());
    }
}

#[test]
fn a_digit_too_many_or_too_few_is_asked_about_in_every_figure() {
    let (au, irc) = (au(), irc());
    for (set, at, slips) in [
        (&au, "/barrierNeeded/fallMm", [100.0, 10_000.0]),
        (&irc, "/barrierNeeded/withinMm", [91.44, 9_144.0]),
        (&au, "/leastHeights/0/leastMm", [100.0, 130.0]),
        (&au, "/leastHeights/1/leastMm", [86.5, 2_865.0]),
        (&au, "/openings/0/sphereMm", [12.5, 300.0]),
        (&au, "/openings/1/sphereMm", [30.0, 1_250.0]),
        (&irc, "/openings/2/sphereMm", [15.24, 1_524.0]),
        (&au, "/faceGap/mostMm", [4.0, 400.0]),
        (&au, "/climbing/fall/fallMm", [400.0, 40_000.0]),
        (&au, "/climbing/fromMm", [15.0, 700.0]),
        (&au, "/climbing/toMm", [160.0, 4_760.0]),
        (&irc, "/loads/0/newtons", [88.96, 8_896.0]),
        (&au, "/wires/deflection/massKg", [0.2, 20.0]),
        (
            &au,
            "/wires/continuousVertical/mostRailClearMm",
            [80.0, 8_000.0],
        ),
    ] {
        for slip in slips {
            let changed = with(set, at, json!(slip));
            let asked = odd_figures(&changed, Some(set));
            assert_eq!(asked.len(), 1, "{at} {slip}: {asked:?}");
            assert!(asked[0].contains(&slip.to_string()), "{at}: {asked:?}");
            // The question is put once: from there on it stands so.
            assert!(odd_figures(&changed, Some(&changed)).is_empty());
        }
    }
}

#[test]
fn a_question_says_what_is_usual_and_what_was_copied() {
    let au = au();
    let slip = with(&au, "/openings/0/sphereMm", json!(12.5));
    assert_eq!(
        odd_figures(&slip, Some(&au)),
        [
            "The sphere that must not pass, general (openings, general) is 12.5 mm; usual is 75 to 150 mm, and the \
             set that it was copied from has 125 mm."
        ]
    );
    assert_eq!(
        odd_figures(&slip, None),
        [
            "The sphere that must not pass, general (openings, general) is 12.5 mm; usual is 75 to 150 mm."
        ]
    );
    // Within what is usual, and far from what was copied.
    let far = with(&au, "/faceGap/mostMm", json!(100));
    assert_eq!(
        odd_figures(&far, Some(&au)),
        [
            "The widest gap of a face-fixed barrier (faceGap.mostMm) is 100 mm; the set that it was copied from has \
             40 mm."
        ]
    );
    assert!(odd_figures(&far, None).is_empty());
}

#[test]
fn what_a_council_asks_beyond_its_document_is_not_asked_about() {
    let au = au();
    for (at, value) in [
        ("/openings/0/sphereMm", 100.0),
        ("/openings/0/sphereMm", 130.0),
        ("/leastHeights/0/leastMm", 1200.0),
        ("/faceGap/mostMm", 30.0),
        ("/barrierNeeded/fallMm", 800.0),
        ("/climbing/toMm", 900.0),
    ] {
        let changed = with(&au, at, json!(value));
        assert_eq!(
            odd_figures(&changed, Some(&au)),
            Vec::<String>::new(),
            "{at}"
        );
    }
}

#[test]
fn a_refusal_names_the_figure_in_words_before_its_place_in_the_file() {
    let au = au();
    let said = |at, value| faults(&with(&au, at, value));
    assert_eq!(
        said("/barrierNeeded/fallMm", json!(0)),
        [
            "the fall from which a barrier is asked for (barrierNeeded.fallMm) is 0 mm, outside 50 to 20000 mm."
        ]
    );
    assert_eq!(
        said("/climbing/toMm", json!(100)),
        ["the climbing zone must end (climbing.toMm) above where it begins (climbing.fromMm)."]
    );
    assert_eq!(
        said("/leastHeights/3/leastMm", json!(5)),
        [
            "the least height, short landing (leastHeights, shortLanding) is 5 mm, outside 100 to 5000 mm."
        ]
    );
    assert_eq!(
        said("/wires/deflection/massKg", json!(0)),
        ["the mass hung at mid span (wires.deflection.massKg) is 0 kg, outside 0.1 to 100 kg."]
    );
}

#[test]
fn every_cell_of_a_copied_table_that_is_a_digit_off_is_asked_about() {
    let au = au();
    assert!(odd_cells(&au, &au).is_empty());
    let file = serde_json::to_value(&au).unwrap();
    let mut tried = 0;
    for (table, cells) in [("tension", "leastN"), ("deflection", "mostMm")] {
        let lines = file["wires"][table]["lines"].as_array().unwrap();
        for (line, row) in lines.iter().enumerate() {
            for (column, cell) in row[cells].as_array().unwrap().iter().enumerate() {
                let Some(value) = cell.as_f64() else {
                    continue;
                };
                let at = format!("/wires/{table}/lines/{line}/{cells}/{column}");
                for slip in [value * 10.0, value / 10.0] {
                    let asked = odd_cells(&with(&au, &at, json!(slip)), &au);
                    assert_eq!(asked.len(), 1, "{at} {slip}: {asked:?}");
                    tried += 1;
                }
                assert!(odd_cells(&with(&au, &at, json!(value * 1.4)), &au).is_empty());
            }
        }
    }
    assert!(tried > 100, "{tried}");
}
