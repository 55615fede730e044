//! 10 November: the wires are read again, and what fell is brought back.

use api::ApiError;
use serde_json::json;

use super::at;
use super::checks::{Round, read};
use super::days::{left_safe, visit};
use super::stage::{Stage, Who};

const BEN: Who = Who::Ben;
const RUN_A: [u32; 12] = [
    1420, 1410, 1410, 1400, 1390, 1385, 1375, 1365, 1355, 1345, 1320, 1310,
];
const RUN_B: [u32; 8] = [1400, 1415, 1410, 1420, 1425, 1415, 1405, 1420];
/// After the flats: wires A7 to A12.
const AGAIN: [(u32, u32, i64); 6] = [
    (7, 1460, 3),
    (8, 1450, 3),
    (9, 1445, 3),
    (10, 1445, 3),
    (11, 1470, 5),
    (12, 1500, 6),
];

pub(super) fn recheck(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-11-10T09:10")?;
    visit(stage, BEN, "2026-11-10", "recheck on day 14", "23 °C, dry")?;
    let round = |run, bay| Round {
        run,
        bay,
        stage: "recheck",
        pass: None,
        air: "23",
    };
    let (a, b) = (round("A", ("A2", "A3")), round("B", ("B2", "B3")));
    for (wire, newtons) in (1..).zip(RUN_A) {
        read(stage, &a, wire, newtons, None)?;
    }
    for (wire, newtons) in (1..).zip(RUN_B) {
        read(stage, &b, wire, newtons, None)?;
    }
    for run in ["A", "B"] {
        let read = stage.on_run(BEN, run, "tensions", json!({}))?;
        stage.told.insert(format!("recheck{run}"), read);
    }
    let fell = stage.on_run(BEN, "A", "recheck", json!({}))?;
    stage
        .told
        .insert("toTurnA".into(), at(&fell, "/toTurn").clone());
    stage.step(BEN, "recheck: A11 at 1320 and A12 at 1310 N are below 1330");
    let run_a = stage.id("run A")?;
    let wire12 = format!("wire:{run_a}:12");
    stage.pictures(
        BEN,
        &[
            ("recheck-a12", &wire12, "recheck"),
            ("mark-recheck", &wire12, "recheck"),
        ],
    )?;
    stage.at("2026-11-10T09:50")?;
    let a1 = stage.post("A1")?;
    for (wire, newtons, flats) in AGAIN {
        let turns =
            json!({"wires": wire.to_string(), "post": a1, "turns": {"turns": 0, "flats": flats}});
        stage.on_run(BEN, "A", "readEnd", turns)?;
        read(
            stage,
            &a,
            wire,
            newtons,
            Some(&format!("after {flats} flats")),
        )?;
    }
    for (run, wires, posts) in [("A", "1-12", ["A1", "A6"]), ("B", "1-8", ["A6", "B3"])] {
        for post in posts {
            let post = stage.post(post)?;
            let moved = json!({"wires": wires, "post": post, "markMoved": "0"});
            stage.on_run(BEN, run, "readEnd", moved)?;
        }
    }
    stage.step(
        BEN,
        "A7 to A10 three flats, A11 five, A12 six; no mark moved",
    );
    left_safe(stage, BEN, "2026-11-10", "nothing open: both runs stand")?;
    stage.on_job(
        BEN,
        "signOff",
        json!({"stage": "recheck", "statement": "Read again on day 14; A7 to A12 brought back; marks not moved."}),
    )?;
    stage.exchange(&[BEN, Who::Ann, Who::Office])
}
