//! Before ordering: rows, tensions, demand on the posts, what is counted and drilled.

use api::App;
use serde_json::{Value, json};

use crate::WORKED;
use crate::look::{at, list, near, num, one, text};

#[test]
fn as_surveyed_the_long_bay_leaves_no_room() {
    let found = at(&WORKED.told, "/asSurveyed");
    let bay = one(found, "/bays", "name", "A4–A5");
    assert_eq!(
        (num(bay, "/clearMm"), num(bay, "/rowClearMm")),
        (1560.0, 1800.0)
    );
    assert_eq!(num(bay, "/leastTensionN"), 1725.0);
    let plan = at(found, "/tension");
    assert_eq!(num(plan, "/required/newtons"), 1725.0);
    assert_eq!(text(plan, "/required/bay"), "A4–A5");
    // 1725 ÷ 0.96; 8500 N × 0.65 ÷ 3.
    near(num(plan, "/room/clearFromN"), 1797.0, 0.5);
    near(num(plan, "/upperExactN"), 1842.0, 0.5);
    assert_eq!(num(plan, "/upperN"), 1800.0);
    assert_eq!(at(plan, "/room/enough"), &json!(false));
    // What does not fit says where its figures are from and who must confirm.
    let problem = one(found, "/problems", "code", "tension");
    assert!(text(problem, "/source").contains("bay A4–A5"), "{problem}");
    assert!(
        text(problem, "/source").contains("upper: strand with its terminals: breaking load 8500 N"),
        "{problem}"
    );
    assert!(!text(problem, "/confirm").is_empty(), "{problem}");
}

#[test]
fn with_the_added_post_the_widest_bay_asks_1330() {
    let found = WORKED.on_run("A", "beforeOrdering");
    assert_eq!(num(&found, "/tension/required/newtons"), 1330.0);
    assert_eq!(text(&found, "/tension/required/bay"), "A2–A3");
    let bay = one(&found, "/bays", "name", "A2–A3");
    assert_eq!(
        (num(bay, "/clearMm"), num(bay, "/rowClearMm")),
        (1410.0, 1500.0)
    );
    assert_eq!(
        (num(bay, "/spacingMm"), num(bay, "/rowSpacingMm")),
        (77.0, 80.0)
    );
    assert_eq!(num(bay, "/mostDeflectionMm"), 5.0);
    for bay in ["A4–A4a", "A4a–A5"] {
        assert_eq!(num(one(&found, "/bays", "name", bay), "/clearMm"), 735.0);
    }
    let plan = at(&found, "/tension");
    for (path, expected) in [
        ("/decidedRequiredN", 1330.0),
        ("/decidedSetN", 1500.0),
        ("/decidedUpperN", 1800.0),
    ] {
        assert_eq!(num(plan, path), expected, "{path}");
    }
    assert_eq!(at(plan, "/decidedPassesN"), &json!([600.0, 1100.0, 1500.0]));
    assert_eq!(at(plan, "/setAboveUpper"), &json!(false));
    assert_eq!(text(plan, "/gauge/name"), "G-02");
    assert_eq!(num(plan, "/gauge/error"), 0.04);
}

#[test]
fn on_the_stair_rows_are_read_along_the_slope_and_square_to_the_wires() {
    let found = WORKED.on_run("B", "beforeOrdering");
    for name in ["A6–B2", "B2–B3"] {
        let bay = one(&found, "/bays", "name", name);
        near(num(bay, "/clearMm"), 1209.2, 0.05);
        near(num(bay, "/spacingMm"), 75.8, 0.05);
        assert_eq!(
            (num(bay, "/rowClearMm"), num(bay, "/rowSpacingMm")),
            (1500.0, 80.0)
        );
        assert_eq!(num(bay, "/leastTensionN"), 1330.0);
    }
    assert_eq!(num(&found, "/tension/required/newtons"), 1330.0);
    let height = list(&found, "/findings")
        .iter()
        .find(|f| f["topic"] == "height")
        .unwrap();
    // Underside 836, rail 45 square or 55 plumb: 891, where 865 are asked.
    assert_eq!(num(height, "/actual/value"), 891.0);
    assert_eq!(num(height, "/required/value"), 865.0);
    assert_eq!(num(height, "/margin/value"), 26.0);
    assert_eq!(text(height, "/verdict"), "meetsFigure");
    // Two bays and a post, 2060 level: 2528.8 along the slope, and nothing says that the lengths
    // of 2526 to 2533 disagree with it.
    let slope = (178.0_f64 / 250.0).atan();
    near(2060.0 / slope.cos(), 2528.8, 0.05);
    let codes: Vec<_> = at(&found, "/problems")
        .as_array()
        .unwrap()
        .iter()
        .map(|p| &p["code"])
        .collect();
    assert!(!codes.contains(&&json!("baysDisagree")), "{codes:?}");
}

fn held<'v>(found: &'v Value, post: &str, how: &str) -> &'v Value {
    one(one(found, "/posts", "name", post), "/held", "held", how)
}

#[test]
fn demand_on_the_end_posts() {
    let found = WORKED.on_run("A", "beforeOrdering");
    for post in ["A1", "A6"] {
        let free = held(&found, post, "free");
        near(num(free, "/baseMomentNm"), 8892.0, 0.5);
        near(num(free, "/baseStressMpa"), 35.1, 0.05);
        near(num(free, "/tipMm"), 10.5, 0.05);
        let railed = held(&found, post, "withRail");
        near(num(railed, "/baseMomentNm"), 5995.0, 0.5);
        near(num(railed, "/baseStressMpa"), 23.6, 0.0501);
        near(num(railed, "/tipMm"), 5.8, 0.05);
        near(num(railed, "/fixingForceN") / 1e3, 24.0, 0.05);
    }
    // Drawn as 90, which is why they were changed at survey: tried on a copy of the record.
    let note = WORKED.state.of_thing("post", "A1", "note", "");
    assert!(note.as_str().unwrap().starts_with("Drawn as 90"), "{note}");
    let app = App::open(&WORKED.copy).unwrap();
    let slender = json!({"subject": format!("post:{}", WORKED.state.id("post", "A1")),
        "field": "section", "value": {"alongNm": 90_000_000, "acrossNm": 90_000_000}});
    let said = json!({"job": WORKED.job, "claims": [slender]});
    api::dispatch(&app, "say", said).unwrap();
    let run = json!({"job": WORKED.job, "run": WORKED.state.id("run", "A")});
    let found = api::dispatch(&app, "beforeOrdering", run).unwrap();
    near(
        num(held(&found, "A1", "free"), "/baseStressMpa"),
        73.2,
        0.05,
    );
    near(
        num(held(&found, "A6", "free"), "/baseStressMpa"),
        35.1,
        0.05,
    );
}

#[test]
fn parts_are_counted_ordered_and_arrived() {
    let at_order = at(&WORKED.told, "/takeOff");
    let in_the_end = WORKED.on_job("takeOff");
    for taken in [at_order, &in_the_end] {
        assert_eq!(num(taken, "/wires"), 20.0);
        assert_eq!(num(taken, "/throughHoles"), 60.0 + 8.0);
        assert_eq!(num(taken, "/insertHoles"), 40.0);
        let total = |part: &str, hand: &str| -> f64 {
            let found: Vec<_> = list(taken, "/lines")
                .iter()
                .filter(|line| text(line, "/part").starts_with(part))
                .filter(|line| hand.is_empty() || line["hand"] == hand)
                .collect();
            assert_eq!(found.len(), 1, "{part} {hand}: {taken}");
            num(found[0], "/total")
        };
        for (part, hand, count) in [
            ("terminal", "LH", 23.0),
            ("terminal", "RH", 23.0),
            ("insert", "LH", 21.0),
            ("insert", "RH", 21.0),
            ("lock nut", "LH", 23.0),
            ("lock nut", "RH", 23.0),
            ("angled seat", "", 17.0),
            ("grommet half", "", 136.0),
        ] {
            assert_eq!(total(part, hand), count, "{part} {hand}");
        }
        let terminal = list(taken, "/lines")
            .iter()
            .find(|line| text(line, "/part").contains("terminal"))
            .unwrap();
        for (path, count) in [
            ("/needed", 20.0),
            ("/sample", 1.0),
            ("/scrap", 1.0),
            ("/over", 1.0),
        ] {
            assert_eq!(num(terminal, path), count, "{path}");
        }
    }
    let s = &WORKED.state;
    for (batch, ordered, left, right) in [
        ("terminals M6", 23, 23, 23),
        ("inserts M6", 21, 21, 21),
        ("lock nuts M6", 23, 23, 23),
        ("angled seats", 17, 17, 0),
        ("grommet halves", 136, 136, 0),
        ("3.2 mm 1x19, reel R-1", 1, 1, 0),
        ("3.2 mm 1x19, reel R-2", 1, 1, 0),
    ] {
        assert_eq!(s.of_thing("batch", batch, "ordered", ""), &json!(ordered));
        let arrival = s.of_thing("batch", batch, "arrival", "");
        assert_eq!(num(arrival, "/countedLeft"), f64::from(left), "{batch}");
        assert_eq!(num(arrival, "/countedRight"), f64::from(right), "{batch}");
        assert_eq!(at(arrival, "/tried"), &json!(right > 0), "{batch}");
    }
}

#[test]
fn holes_are_listed_and_one_was_drilled_high() {
    for (run, inserts, through) in [("A", 24, 60), ("B", 16, 8)] {
        let schedule = WORKED.on_run(run, "holeSchedule");
        assert_eq!(num(&schedule, "/insertHoles"), f64::from(inserts));
        assert_eq!(num(&schedule, "/throughHoles"), f64::from(through));
        let blind: Vec<_> = list(&schedule, "/holes")
            .iter()
            .filter(|hole| hole["through"] == false)
            .collect();
        assert_eq!(blind.len(), inserts as usize);
        for hole in blind {
            assert_eq!(
                (num(hole, "/diameterMm"), num(hole, "/depthMm")),
                (9.0, 42.0)
            );
        }
    }
    // 85 as drilled: the probe stops, yet the table reads the 100 row and allows no such bay.
    let rows = &WORKED.told;
    for (bay, row, outcome) in [
        ("A1–A2", 80.0, "figure"),
        ("A2–A3", 100.0, "notAllowed"),
        ("A3–A4", 100.0, "notAllowed"),
        ("A4–A4a", 80.0, "figure"),
    ] {
        let read = one(rows, "/withHoleHigh", "name", bay);
        assert_eq!(num(read, "/rowSpacingMm"), row, "{bay}");
        assert_eq!(text(read, "/outcome"), outcome, "{bay}");
        assert_eq!(
            num(read, "/spacingMm"),
            if row > 80.0 { 85.0 } else { 76.0 }
        );
    }
    let s = &WORKED.state;
    let run = s.id("run", "A");
    let drilled = |lower: u32| {
        let place = format!("{run}/{lower}");
        num(s.of_thing("post", "A3", "drilled", &place), "/nm") / 1e6
    };
    assert_eq!((drilled(5), drilled(6)), (77.0, 75.0));
    let view = WORKED.on_job("readJob");
    let defects = list(&view, "/defects");
    assert_eq!(defects.len(), 2);
    for (what, how) in [
        ("85 below and 67 above", "77 below, 75 above"),
        ("pinched at post A3", "1495"),
    ] {
        let defect = defects
            .iter()
            .find(|d| text(d, "/found").contains(what))
            .unwrap();
        assert!(text(defect, "/closed").contains(how), "{defect}");
    }
}
