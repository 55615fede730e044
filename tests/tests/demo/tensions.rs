//! Readings by pass, the pinched wire, the hung mass, gaps, and the recheck two weeks later.

use mechanics::deflection::{Held, deflection_under_load, span};
use mechanics::units::Kilograms;
use mechanics::{Millimetres, Newtons};
use serde_json::{Value, json};

use crate::WORKED;
use crate::look::{at, by_wire, list, near, num, one, text};

const FINAL_A: [f64; 12] = [
    1510., 1500., 1490., 1505., 1495., 1520., 1495., 1500., 1485., 1495., 1490., 1510.,
];
const FINAL_B: [f64; 8] = [1480., 1505., 1490., 1500., 1515., 1495., 1485., 1500.];
const RECHECK_A: [f64; 12] = [
    1420., 1410., 1410., 1400., 1390., 1385., 1375., 1365., 1355., 1345., 1320., 1310.,
];
const AFTER_A: [f64; 12] = [
    1420., 1410., 1410., 1400., 1390., 1385., 1460., 1450., 1445., 1445., 1470., 1500.,
];

fn told(which: &str) -> &'static Value {
    at(&WORKED.told, &format!("/{which}"))
}

fn line<'v>(found: &'v Value, name: &str) -> &'v Value {
    one(found, "/lines", "name", name)
}

/// Readings of a wire in a bay at a stage, oldest first.
fn readings(found: &Value, name: &str, bay: &str, stage: &str) -> Vec<f64> {
    let all = list(line(found, name), "/readings").iter();
    all.filter(|r| r["bayName"] == bay && r["stage"] == stage)
        .map(|r| num(r, "/newtons"))
        .collect()
}

fn states(found: &Value) -> Vec<&str> {
    let lines = list(found, "/lines").iter();
    lines.map(|line| text(line, "/state")).collect()
}

#[test]
fn every_wire_is_clear_after_three_even_passes() {
    for (run, count, last) in [("A", 12, &FINAL_A[..]), ("B", 8, &FINAL_B[..])] {
        let found = told(&format!("tensions{run}"));
        for (path, expected) in [
            ("/requiredN", 1330.0),
            ("/setN", 1500.0),
            ("/upperN", 1800.0),
        ] {
            assert_eq!(num(found, path), expected, "{path}");
        }
        assert_eq!(at(found, "/passesN"), &json!([600.0, 1100.0, 1500.0]));
        // 1330 ÷ 0.96.
        assert_eq!(num(found, "/clearFromN"), 1385.0);
        assert_eq!(by_wire(found, "/governing/newtons"), last, "run {run}");
        assert_eq!(states(found), vec!["clear"; count], "run {run}");
        for wire in list(found, "/lines") {
            for pass in 1..=3 {
                let mut of_pass = list(wire, "/readings").iter().filter(|r| r["pass"] == pass);
                assert!(of_pass.next().is_some(), "{wire}: pass {pass}");
            }
            for reading in list(wire, "/readings") {
                assert_eq!(
                    (num(reading, "/airC"), text(reading, "/gauge")),
                    (24.0, "G-02")
                );
            }
        }
    }
    assert!(list(told("tensionsA"), "/toRead").contains(&json!("A2–A3")));
}

#[test]
fn a_pinched_wire_reads_low_beyond_the_post_until_it_is_freed() {
    let found = told("tensionsA");
    let far = readings(found, "A7", "A2–A3", "pass");
    assert_eq!(far[far.len() - 3..], [1240.0, 1390.0, 1495.0]);
    let near_bay = readings(found, "A7", "A1–A2", "pass");
    assert_eq!(near_bay, [1460.0, 1500.0]);
    let low = list(line(found, "A7"), "/readings")
        .iter()
        .find(|r| r["newtons"] == 1240.0)
        .unwrap();
    assert_eq!(text(low, "/state"), "below");
    let run = WORKED.state.id("run", "A");
    let turned = WORKED.state.words(
        &format!("wire:{run}:7"),
        "turns",
        WORKED.state.id("post", "A1"),
    );
    assert_eq!(at(turned[0], "/value"), &json!({"turns": 0, "flats": 3}));
}

#[test]
fn two_kilograms_go_down_as_the_tension_tells() {
    let found = WORKED.on_run("A", "tensions");
    let hung = &list(line(&found, "A6"), "/deflections")[0];
    assert_eq!(text(hung, "/bayName"), "A2–A3");
    near(num(hung, "/massKg"), 1.998, 1e-9);
    assert_eq!(
        (num(hung, "/deflectionMm"), num(hung, "/mostMm")),
        (4.5, 5.0)
    );
    // Sliding through its posts, 1500 N computes 4.60 and 1330 N 5.18: 4.5 tells a little more than
    // 1500, and that tension computes 4.5 again.
    let bay = span(
        Millimetres(1410.0),
        Millimetres(7300.0),
        Newtons(794_597.0),
        Held::Sliding,
    );
    let load = Kilograms(num(hung, "/massKg")).weight();
    let goes_down = |newtons| {
        deflection_under_load(&bay, Newtons(newtons), load)
            .unwrap()
            .value()
    };
    near(goes_down(1500.0), 4.60, 0.005);
    near(goes_down(1330.0), 5.18, 0.005);
    near(goes_down(num(hung, "/slidingN")), 4.5, 0.005);
    assert!(num(hung, "/grippedN") < num(hung, "/slidingN"));
}

#[test]
fn the_probe_passes_below_the_pinched_wire_and_then_stops_in_every_bay() {
    for (run, bays) in [("A", 6), ("B", 2)] {
        let found = WORKED.on_run(run, "progress");
        assert_eq!(list(&found, "/bays").len(), bays);
        for bay in list(&found, "/bays") {
            assert_eq!(text(bay, "/gaps"), "allStop", "{bay}");
        }
    }
    let s = &WORKED.state;
    let (a2, a3) = (s.id("post", "A2"), s.id("post", "A3"));
    let bay = format!("bay:{}:{}", a2.min(a3), a2.max(a3));
    let run = s.id("run", "A");
    let words = s.words(&bay, "gaps", run);
    let opening = s.words(&bay, "gaps", &format!("{run}/6"));
    for (words, what) in [(&words, "the bay"), (&opening, "between wires 6 and 7")] {
        let results: Vec<&str> = words
            .iter()
            .map(|word| text(word, "/value/result"))
            .collect();
        assert_eq!(results, ["passes", "stops"], "{what}: {words:?}");
    }
    for word in words.iter().chain(&opening) {
        assert_eq!(num(word, "/with/probeNm"), 125e6);
        assert_eq!(text(word, "/with/tool"), s.id("tool", "probe 125"));
    }
    // No probe was offered and no opening measured between wires before there were wires.
    let last_cut = (1..=12)
        .flat_map(|wire| s.words(&format!("wire:{run}:{wire}"), "cut", "1"))
        .map(|word| num(word, "/at/ms"))
        .fold(0.0, f64::max);
    assert!(last_cut > 0.0);
    let run = format!("run:{run}");
    for (subject, field, place) in [
        (&bay, "gaps", s.id("run", "A")),
        (&run, "opening", "floor"),
        (&run, "opening", "rail"),
    ] {
        for word in s.words(subject, field, place) {
            assert!(num(word, "/at/ms") > last_cut, "{field} {place}: {word}");
        }
    }
}

#[test]
fn the_recheck_finds_two_below_and_brings_six_back() {
    let found = told("recheckA");
    assert_eq!(by_wire(found, "/lastRecheck/newtons"), RECHECK_A);
    assert_eq!(states(found)[10..], ["below", "below"], "A11 and A12");
    assert_eq!(states(found)[..5], ["clear"; 5]);
    // 1385 is clear to the newton; 1375 to 1345 lie within what the gauge may err of 1330.
    assert_eq!(states(found)[5], "clear");
    assert_eq!(states(found)[6..10], ["atTheMark"; 4]);
    assert_eq!(
        (num(found, "/lowest/newtons"), num(found, "/lowestWire")),
        (1310.0, 12.0)
    );
    let b = by_wire(told("recheckB"), "/lastRecheck/newtons");
    assert_eq!(b.len(), 8);
    assert!(b.iter().all(|newtons| *newtons >= 1400.0), "{b:?}");
    assert_eq!(states(told("recheckB")), ["clear"; 8]);

    let after = WORKED.on_run("A", "tensions");
    assert_eq!(by_wire(&after, "/governing/newtons"), AFTER_A);
    assert_eq!(states(&after), ["clear"; 12]);
    let s = &WORKED.state;
    let run = s.id("run", "A");
    for (wire, flats) in [(7, 3), (8, 3), (9, 3), (10, 3), (11, 5), (12, 6)] {
        let subject = format!("wire:{run}:{wire}");
        let turned = s.words(&subject, "turns", s.id("post", "A1"));
        let last = at(turned.last().unwrap(), "/value");
        assert_eq!(last, &json!({"turns": 0, "flats": flats}), "A{wire}");
    }
    for (run, count, posts) in [("A", 12, ["A1", "A6"]), ("B", 8, ["A6", "B3"])] {
        for wire in 1..=count {
            for post in posts {
                let subject = format!("wire:{}:{wire}", s.id("run", run));
                let moved = s.said(&subject, "markMoved", s.id("post", post));
                assert_eq!(num(moved, "/nm"), 0.0, "{run}{wire}");
            }
        }
    }
    for reading in list(line(&after, "A12"), "/readings") {
        if reading["stage"] == "recheck" {
            assert_eq!(num(reading, "/airC"), 23.0);
        }
    }
    // Two weeks after the passes.
    let day = |stage: &str| {
        let all = list(line(&after, "A1"), "/readings").iter();
        let of = all.filter(|r| r["stage"] == stage).map(|r| num(r, "/atMs"));
        (of.fold(0.0, f64::max) / 86_400_000.0).floor()
    };
    assert_eq!(day("recheck") - day("pass"), 14.0);
}

#[test]
fn the_recheck_names_the_wires_to_turn() {
    assert_eq!(at(&WORKED.told, "/toTurnA"), &json!([7, 8, 9, 10, 11, 12]));
}
