//! 27 October: tension by even passes, a pinched wire where the probe passed, 2 kg, gaps of every bay.

use api::ApiError;
use serde_json::{Value, json};

use super::days::{left_safe, visit};
use super::stage::{Stage, Who};

const BEN: Who = Who::Ben;
const RUN_A: [u32; 12] = [
    1510, 1500, 1490, 1505, 1495, 1520, 1240, 1500, 1485, 1495, 1490, 1510,
];
const RUN_B: [u32; 8] = [1480, 1505, 1490, 1500, 1515, 1495, 1485, 1500];

/// What a round sets once.
pub(super) struct Round<'a> {
    pub(super) run: &'a str,
    pub(super) bay: (&'a str, &'a str),
    pub(super) stage: &'a str,
    pub(super) pass: Option<u32>,
    pub(super) air: &'a str,
}

pub(super) fn read(
    stage: &mut Stage<'_>,
    round: &Round<'_>,
    wire: u32,
    newtons: u32,
    remark: Option<&str>,
) -> Result<(), ApiError> {
    let bay = stage.bay_place(round.bay.0, round.bay.1)?;
    let gauge = stage.id("tool G-02")?;
    let mut set = json!({"bay": bay, "stage": round.stage, "gauge": gauge, "air": round.air,
        "wireTemperature": round.air, "sun": "shade"});
    if let (Some(pass), Some(map)) = (round.pass, set.as_object_mut()) {
        map.insert("pass".into(), json!(pass));
    }
    let mut request = json!({"wire": wire, "newtons": newtons.to_string(), "round": set});
    if let (Some(remark), Some(map)) = (remark, request.as_object_mut()) {
        map.insert("remark".into(), json!(remark));
    }
    stage
        .on_run(BEN, round.run, "readTension", request)
        .map(drop)
}

/// The trial wire, tensioned before any other stands.
pub(super) fn read_alone(stage: &mut Stage<'_>, wire: u32, newtons: u32) -> Result<(), ApiError> {
    let round = Round {
        run: "A",
        bay: ("A2", "A3"),
        stage: "pass",
        pass: None,
        air: "24",
    };
    read(stage, &round, wire, newtons, Some("trial wire, alone"))
}

pub(super) fn tension(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-10-27T08:00")?;
    visit(
        stage,
        BEN,
        "2026-10-27",
        "tension and check",
        "24 °C, overcast",
    )?;
    let a1 = format!("post:{}", stage.post("A1")?);
    stage.pictures(BEN, &[("a1-engaged", &a1, "engagement")])?;
    for (run, post, wires) in [
        ("A", "A1", "1-5, 7-12"),
        ("A", "A6", "1-5, 7-12"),
        ("B", "A6", "1-8"),
        ("B", "B3", "1-8"),
    ] {
        let post = stage.post(post)?;
        let request = json!({"wires": wires, "post": post, "markHidden": true});
        stage.on_run(BEN, run, "readEnd", request)?;
    }
    for (number, target, from) in [(1, 600, "2026-10-27T08:40"), (2, 1100, "2026-10-27T09:20")] {
        stage.at(from)?;
        for (run, bay, count) in [("A", ("A2", "A3"), 12u32), ("B", ("B2", "B3"), 8)] {
            let round = Round {
                run,
                bay,
                stage: "pass",
                pass: Some(number),
                air: "24",
            };
            for wire in 1..=count {
                // A pass ends near its target; the gauge shows tens.
                read(stage, &round, wire, target + wire % 3 * 10, None)?;
            }
        }
        stage.step(
            BEN,
            &format!("pass {number} at {target} N, run A and run B"),
        );
    }
    let final_a = Round {
        run: "A",
        bay: ("A2", "A3"),
        stage: "pass",
        pass: Some(3),
        air: "24",
    };
    stage.at("2026-10-27T10:05")?;
    for (wire, newtons) in (1..).zip(RUN_A) {
        read(stage, &final_a, wire, newtons, None)?;
    }
    stage.step(
        BEN,
        "pass 3, run A, bay A2–A3: wire A7 reads 1240 N, it needs 1330",
    );
    stage.at("2026-10-27T10:20")?;
    pinched(stage)?;
    let final_b = Round {
        run: "B",
        bay: ("B2", "B3"),
        stage: "pass",
        pass: Some(3),
        air: "24",
    };
    stage.at("2026-10-27T10:55")?;
    for (wire, newtons) in (1..).zip(RUN_B) {
        read(stage, &final_b, wire, newtons, None)?;
    }
    stage.at("2026-10-27T11:35")?;
    hung_mass(stage)?;
    let (run_a, run_b) = (stage.id("run A")?, stage.id("run B")?);
    stage.pictures(
        BEN,
        &[
            ("gauge-a6", &format!("wire:{run_a}:6"), "gaugeOnWire"),
            ("gauge-b4", &format!("wire:{run_b}:4"), "gaugeOnWire"),
            ("two-kg", &format!("wire:{run_a}:6"), "massCheck"),
        ],
    )?;
    stage.at("2026-10-27T12:00")?;
    for (run, posts, wires) in [("A", ["A1", "A6"], "1-12"), ("B", ["A6", "B3"], "1-8")] {
        for post in posts {
            let post = stage.post(post)?;
            let request = json!({"wires": wires, "post": post, "nutTight": true,
                "endOut": {"text": "1"}});
            stage.on_run(BEN, run, "readEnd", request)?;
        }
    }
    stage.step(
        BEN,
        "lock nuts tight, wire ends 1 mm out of the swage, at every end",
    );
    stage.at("2026-10-27T12:10")?;
    for run in ["A", "B"] {
        let read = stage.on_run(BEN, run, "tensions", json!({}))?;
        stage.told.insert(format!("tensions{run}"), read);
    }
    stage.on_job(
        BEN,
        "signOff",
        json!({"stage": "tension", "statement": "Even passes 600, 1100, 1500 N; every wire read in the widest bay."}),
    )?;
    Ok(())
}

fn pinched(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let near = Round {
        run: "A",
        bay: ("A1", "A2"),
        stage: "pass",
        pass: Some(3),
        air: "24",
    };
    read(stage, &near, 7, 1460, Some("in the tensioner's bay"))?;
    let slack = json!([{"aboveWire": 6, "result": "passes"}]);
    offer(stage, "A", ("A2", "A3"), slack)?;
    let wire7 = format!("wire:{}:7", stage.id("run A")?);
    let answer = stage.on_job(
        BEN,
        "addThing",
        json!({"thing": "defect", "fields": [
            {"field": "found", "value": "A7 reads 1460 N at A1 and 1240 N at A3: pinched at post A3"},
            {"field": "about", "value": {"subject": wire7}},
        ]}),
    )?;
    let defect = format!("defect:{}", stage.remember("defect A7", &answer)?);
    stage.pictures(BEN, &[("a7-pinched", &defect, "defectBefore")])?;
    let far = Round {
        run: "A",
        bay: ("A2", "A3"),
        stage: "pass",
        pass: Some(3),
        air: "24",
    };
    read(stage, &far, 7, 1390, Some("freed at A3"))?;
    let a1 = stage.post("A1")?;
    let turns = json!({"wires": "7", "post": a1, "turns": {"turns": 0, "flats": 3}});
    stage.on_run(BEN, "A", "readEnd", turns)?;
    read(stage, &far, 7, 1495, Some("three flats more"))?;
    read(stage, &near, 7, 1500, Some("after three flats"))?;
    stage.say(
        BEN,
        &[(
            &defect,
            "closed",
            "",
            json!({"how": "hole at A3 eased, wire freed, three flats more: 1495 N"}),
        )],
    )?;
    stage.step(
        BEN,
        "A7 was pinched at A3, where the probe passed below it: freed 1390 N, three flats more, 1495 N",
    );
    Ok(())
}

fn hung_mass(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let bay = stage.bay_place("A2", "A3")?;
    stage.on_run(
        BEN,
        "A",
        "readDeflection",
        json!({"wire": 6, "deflection": {"text": "4.5"}, "grams": "1998",
            "round": {"bay": bay, "stage": "final", "air": "24", "wireTemperature": "24"}}),
    )?;
    stage.step(BEN, "2 kg (weighed 1.998) on A6 in bay A2–A3: 4.5 mm");
    Ok(())
}

/// Openings as built, now that there are wires: the largest of each along its run.
fn openings(stage: &mut Stage<'_>, a: &str, b: &str) -> Result<(), ApiError> {
    let square = "square to the nosing line";
    let claims: Vec<_> = [
        (a, "floorToBottomWire", "floor", 74, None),
        (a, "topWireToRail", "rail", 71, None),
        (b, "floorToBottomWire", "nosings", 74, Some(square)),
    ]
    .into_iter()
    .map(|(subject, kind, place, clear, remark)| {
        let mut with = json!({"kind": kind, "entered": format!("{clear} mm"),
            "probeNm": 125_000_000, "moment": "afterTension"});
        if let (Some(remark), Some(map)) = (remark, with.as_object_mut()) {
            map.insert("remark".into(), json!(remark));
        }
        json!({"subject": subject, "field": "opening", "place": place,
            "value": {"nm": clear * 1_000_000, "result": "stops"}, "with": with})
    })
    .collect();
    stage
        .on_job(BEN, "say", json!({"claims": claims}))
        .map(drop)
}

/// Offers the probe to a bay: the openings that are named are apart from the rest, which stops it.
fn offer(
    stage: &mut Stage<'_>,
    run: &str,
    (left, right): (&str, &str),
    apart: Value,
) -> Result<(), ApiError> {
    let (bay, probe) = (stage.bay(left, right)?, stage.id("probe 125")?);
    let ask = json!({"bay": bay, "probe": {"text": "125"}, "tool": probe, "exceptions": apart});
    stage.on_run(BEN, run, "checkGaps", ask).map(drop)
}

pub(super) fn gaps(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-10-27T13:00")?;
    for (run, left, right) in [
        ("A", "A1", "A2"),
        ("A", "A2", "A3"),
        ("A", "A3", "A4"),
        ("A", "A4", "A4a"),
        ("A", "A4a", "A5"),
        ("A", "A5", "A6"),
        ("B", "A6", "B2"),
        ("B", "B2", "B3"),
    ] {
        // There it passed before the wire was freed: that it stops now is said of that opening by name.
        let apart = match (left, right) {
            ("A2", "A3") => json!([{"aboveWire": 6, "result": "stops"}]),
            _ => json!([]),
        };
        offer(stage, run, (left, right), apart)?;
    }
    stage.step(BEN, "probe of 125 mm offered in every bay: all stop");
    let (run_a, run_b) = (stage.id("run A")?, stage.id("run B")?);
    let (a, b) = (format!("run:{run_a}"), format!("run:{run_b}"));
    openings(stage, &a, &b)?;
    let bay = stage.bay("A2", "A3")?;
    stage.pictures(
        BEN,
        &[
            ("probe", &bay, "opening"),
            ("height-a", &a, "height"),
            ("height-b", &b, "height"),
            ("a-deck", &a, "wideView"),
            ("a-outside", &a, "wideView"),
            ("b-above", &b, "wideView"),
            ("b-below", &b, "wideView"),
        ],
    )?;
    stage.at("2026-10-27T16:50")?;
    stage.on_job(
        BEN,
        "signOff",
        json!({"stage": "gaps", "statement": "A 125 mm probe was offered to every bay by hand; it stopped."}),
    )?;
    left_safe(
        stage,
        BEN,
        "2026-10-27",
        "rope and sheet at the stair; deck barrier complete",
    )?;
    let visit = format!("visit:{}", stage.id("visit 2026-10-27")?);
    stage.pictures(BEN, &[("left-safe-27", &visit, "leftSafe")])?;
    stage.at("2026-10-27T17:05")?;
    stage.exchange(&[BEN, Who::Ann, Who::Office])
}
