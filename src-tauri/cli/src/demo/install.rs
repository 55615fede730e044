//! 26 October: lengths to cut from, a dispute, a hole drilled wrong, cutting, pressing, a remake.

use api::{ApiError, ErrorCode};
use serde_json::json;

use super::checks::read_alone;
use super::days::left_safe;
use super::stage::{Stage, Who};
use super::survey::{lengths_to_cut, measure};
use super::{astray, at, mm, need};

const ANN: Who = Who::Ann;
const BEN: Who = Who::Ben;

pub(super) fn measure_to_cut(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-10-26T08:10")?;
    for (run, wire, text) in lengths_to_cut()? {
        let entry = measure(stage, ANN, &run, wire, &text, "cut", "insertsIn", &[])?;
        stage.ids.insert(format!("{run}{wire} first"), entry);
    }
    stage.step(
        ANN,
        "measured wires A1, A6, A12 and all of run B, rail on, inserts in",
    );
    stage.exchange(&[ANN, BEN])
}

pub(super) fn dispute(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-10-26T08:30")?;
    let first = stage.id("A12 first")?;
    measure(
        stage,
        ANN,
        "A",
        12,
        "7303",
        "cut",
        "insertsIn",
        std::slice::from_ref(&first),
    )?;
    measure(stage, BEN, "A", 12, "7309", "cut", "fixed", &[first])?;
    stage.step(
        BEN,
        "wire A12: 7305 corrected apart to 7303 (Ann) and 7309 (Ben, before the rail)",
    );
    stage.exchange(&[ANN, BEN, ANN])?;
    let mut both = Vec::new();
    for who in [ANN, BEN] {
        let view = stage.on_job(who, "readJob", json!({}))?;
        let words = need(&view, "/unsettled/0/fact/words")?;
        let words = words.as_array().map(Vec::as_slice).unwrap_or_default();
        let [one, other] = words else {
            return Err(astray(format!(
                "the dispute shows {} words on {}",
                words.len(),
                who.name()
            )));
        };
        let text = |word| {
            Ok::<_, ApiError>(
                need(word, "/entry")?
                    .as_str()
                    .unwrap_or_default()
                    .to_owned(),
            )
        };
        both = vec![text(one)?, text(other)?];
        let values = json!([need(one, "/value")?, need(other, "/value")?]);
        stage.told.insert("disputed".into(), values);
    }
    let words = stage.refused_on_run(
        BEN,
        "A",
        "issueCuts",
        json!({"wires": "12", "beforeTrial": "to see that it is refused"}),
        ErrorCode::Disputed,
    )?;
    stage.told.insert("disputedCutRefused".into(), json!(words));
    measure(stage, BEN, "A", 12, "7305", "cut", "insertsIn", &both)?;
    stage.step(
        BEN,
        "measured A12 again with the rail on: 7305; the dispute is settled",
    );
    stage.exchange(&[BEN, ANN])
}

pub(super) fn drill(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-10-26T09:20")?;
    let (a3, run) = (stage.post("A3")?, stage.id("run A")?);
    let (post, wire6) = (format!("post:{a3}"), format!("wire:{run}:6"));
    let (below, above) = (format!("{run}/5"), format!("{run}/6"));
    stage.say(
        BEN,
        &[
            (&post, "drilled", &below, mm(85)),
            (&post, "drilled", &above, mm(67)),
        ],
    )?;
    let found = stage.on_run(BEN, "A", "beforeOrdering", json!({}))?;
    stage
        .told
        .insert("withHoleHigh".into(), need(&found, "/bays")?.clone());
    let answer = stage.on_job(
        BEN,
        "addThing",
        json!({"thing": "defect", "fields": [
            {"field": "found", "value": "A3: wire 6 drilled 9 mm high, 85 below and 67 above; 85 reads the 100 row"},
            {"field": "about", "value": {"subject": wire6}},
        ]}),
    )?;
    let defect = stage.remember("defect A3", &answer)?;
    let subject = format!("defect:{defect}");
    stage.pictures(BEN, &[("wire6-before", &subject, "defectBefore")])?;
    stage.at("2026-10-26T11:00")?;
    stage.say(
        BEN,
        &[
            (&post, "drilled", &below, mm(77)),
            (&post, "drilled", &above, mm(75)),
            (
                &subject,
                "closed",
                "",
                json!({"how": "plugged and redrilled: 77 below, 75 above"}),
            ),
        ],
    )?;
    stage.pictures(BEN, &[("wire6-after", &subject, "defectAfter")])?;
    stage.step(
        BEN,
        "A3 wire 6 was drilled 9 mm high; plugged and redrilled, defect closed",
    );
    Ok(())
}

fn sample(stage: &mut Stage<'_>) -> Result<String, ApiError> {
    stage.at("2026-10-26T12:45")?;
    let size = json!({"firstNm": 6_300_000, "secondNm": 6_320_000});
    let (press, die) = (stage.id("press P-1")?, stage.id("die D-6")?);
    let batch = stage.id("terminals M6")?;
    let answer = stage.on_job(
        BEN,
        "addSampleCrimp",
        json!({"sample": {"pullMn": 3_700_000, "heldS": 60, "markMovedNm": 0, "result": "good",
                "left": size, "right": size},
            "with": {"piece": 1, "press": press, "die": die, "batch": batch}}),
    )?;
    let job = format!("job:{}", stage.job);
    stage.pictures(
        BEN,
        &[
            ("crimp-axis-1", &job, "sampleCrimp"),
            ("crimp-axis-2", &job, "sampleCrimp"),
            ("crimp-pull", &job, "sampleCrimp"),
        ],
    )?;
    stage.step(
        BEN,
        "sample crimp of both hands: 3700 N held 60 s, mark moved 0",
    );
    Ok(at(&answer, "/entries/0")
        .as_str()
        .unwrap_or_default()
        .to_owned())
}

fn tick(stage: &mut Stage<'_>, run: &str, wires: &str, act: &str) -> Result<(), ApiError> {
    let request = json!({"wires": wires, "act": act, "done": true});
    stage.on_run(BEN, run, "tickWires", request).map(drop)
}

fn cut(stage: &mut Stage<'_>, run: &str, wires: &str, reel: &str) -> Result<(), ApiError> {
    let reel = stage.id(reel)?;
    let request = json!({"wires": wires, "act": "cut", "done": true, "batch": reel});
    stage.on_run(BEN, run, "tickWires", request).map(drop)
}

/// No way leads back after the press: looked at for the wires that are threaded and not pressed yet.
fn before_second_end(stage: &mut Stage<'_>, run: &str) -> Result<(), ApiError> {
    let run = format!("run:{}", stage.id(&format!("run {run}"))?);
    let all = json!({"sleevesOn": true, "throughAllPosts": true, "nutsOn": true,
        "handTried": true, "studPasses": true});
    stage.say(BEN, &[(&run, "beforeSecondEnd", "", all)])
}

fn crimps(
    stage: &mut Stage<'_>,
    run: &str,
    wires: &str,
    post: &str,
    sample: &str,
    reject: Option<&str>,
) -> Result<(), ApiError> {
    let post = stage.post(post)?;
    let result = if reject.is_some() { "reject" } else { "good" };
    let batch = stage.id("terminals M6")?;
    let mut request = json!({"wires": wires, "post": post, "result": result, "sample": sample,
        "batch": batch});
    if let (Some(why), Some(map)) = (reject, request.as_object_mut()) {
        map.insert("reason".into(), json!(why));
    }
    stage.on_run(BEN, run, "checkCrimps", request).map(drop)
}

pub(super) fn cut_and_press(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let sample = sample(stage)?;
    for run in ["A", "B"] {
        let sheet = stage.on_run(BEN, run, "cutSheet", json!({}))?;
        stage.told.insert(format!("cutSheet{run}"), sheet);
    }
    // The trial wire goes through all of it before any other is cut.
    stage.at("2026-10-26T12:50")?;
    stage.on_run(BEN, "A", "issueCuts", json!({"wires": "6"}))?;
    cut(stage, "A", "6", "R-1")?;
    let wire6 = format!("wire:{}:6", stage.id("run A")?);
    tick(stage, "A", "6", "insertionMarked")?;
    stage.at("2026-10-26T13:03")?;
    stage.pictures(BEN, &[("mark-a6", &wire6, "crimps")])?;
    for (act, post) in [
        ("leftEndPressed", Some("A1")),
        ("threaded", None),
        ("rightEndPressed", Some("A6")),
        ("fitted", None),
        ("witnessMarked", None),
    ] {
        tick(stage, "A", "6", act)?;
        if act == "threaded" {
            before_second_end(stage, "A")?;
        }
        if let Some(post) = post {
            crimps(stage, "A", "6", post, &sample, None)?;
        }
    }
    read_alone(stage, 6, 1500)?;
    for (post, left) in [("A1", "14.0"), ("A6", "14.5")] {
        let post = stage.post(post)?;
        let request =
            json!({"wires": "6", "post": post, "threadLeft": {"text": left}, "markHidden": true});
        stage.on_run(BEN, "A", "readEnd", request)?;
    }
    stage.step(
        BEN,
        "trial wire A6 cut at 7235 and fitted: alone at 1500 N, thread left LH 14.0, RH 14.5",
    );
    learn(stage)?;
    stage.at("2026-10-26T13:30")?;
    let computed = json!({"wires": "1-5, 7-12", "deduction": "computed"});
    stage.on_run(BEN, "A", "issueCuts", computed)?;
    cut(stage, "A", "1-5, 7-8", "R-1")?;
    cut(stage, "A", "9-12", "R-2")?;
    stage.on_run(BEN, "B", "issueCuts", json!({"wires": "4"}))?;
    cut(stage, "B", "4", "R-2")?;
    let rest = json!({"wires": "1-3, 5-8", "beforeTrial": "same fittings as A6, which came out as computed"});
    stage.on_run(BEN, "B", "issueCuts", rest)?;
    cut(stage, "B", "1-3, 5-8", "R-2")?;
    for (run, wires, left, right) in [("A", "1-5, 7-12", "A1", "A6"), ("B", "1-8", "A6", "B3")] {
        tick(stage, run, wires, "insertionMarked")?;
        tick(stage, run, wires, "leftEndPressed")?;
        crimps(stage, run, wires, left, &sample, None)?;
        tick(stage, run, wires, "threaded")?;
        before_second_end(stage, run)?;
        let rest = if run == "B" { "1-2, 4-8" } else { wires };
        tick(stage, run, rest, "rightEndPressed")?;
        crimps(stage, run, rest, right, &sample, None)?;
        tick(stage, run, rest, "fitted")?;
        tick(stage, run, rest, "witnessMarked")?;
    }
    stage.step(BEN, "cut, pressed and threaded run A and run B");
    remake(stage, &sample)?;
    stage.at("2026-10-26T17:05")?;
    left_safe(
        stage,
        BEN,
        "2026-10-26",
        "boards across run A, stair closed",
    )?;
    let visit = format!("visit:{}", stage.id("visit 2026-10-26")?);
    stage.pictures(BEN, &[("left-safe-26", &visit, "leftSafe")])?;
    stage.on_job(
        BEN,
        "signOff",
        json!({"stage": "cutting", "statement": "All wires cut, pressed and threaded; B3 made anew."}),
    )?;
    stage.exchange(&[BEN, ANN])
}

/// What A6 teaches, told; the crew keeps the computed deduction.
fn learn(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let learned = stage.on_run(BEN, "A", "learned", json!({}))?;
    for (key, figure) in [
        ("trialTakesUpMm", "takesUpMm"),
        ("trialExpectedMm", "expectedMm"),
    ] {
        let value = at(&learned, &format!("/readings/0/{figure}")).clone();
        stage.told.insert(key.into(), value);
    }
    stage.step(
        BEN,
        "A6 takes up 0.5 mm more than computed; the others are cut by the computed deduction",
    );
    Ok(())
}

fn remake(stage: &mut Stage<'_>, sample: &str) -> Result<(), ApiError> {
    stage.at("2026-10-26T14:15")?;
    let why = "mark 5 mm out: 27 of 32 in";
    tick(stage, "B", "3", "rightEndPressed")?;
    crimps(stage, "B", "3", "B3", sample, Some(why))?;
    stage.at("2026-10-26T14:20")?;
    let wire3 = format!("wire:{}:3", stage.id("run B")?);
    stage.pictures(BEN, &[("b3-reject", &wire3, "crimps")])?;
    let taken_out = json!({"wire": 3, "reason": why, "cause": "terminalRejected",
        "used": {"terminalsLeft": 1, "terminalsRight": 1}});
    stage.on_run(BEN, "B", "remakeWire", taken_out)?;
    stage.on_run(BEN, "B", "issueCuts", json!({"wires": "3"}))?;
    cut(stage, "B", "3", "R-2")?;
    for act in ["insertionMarked", "leftEndPressed", "threaded"] {
        tick(stage, "B", "3", act)?;
    }
    // Looked at once more: the look before was not at this piece.
    before_second_end(stage, "B")?;
    tick(stage, "B", "3", "rightEndPressed")?;
    tick(stage, "B", "3", "fitted")?;
    tick(stage, "B", "3", "witnessMarked")?;
    crimps(stage, "B", "3", "A6", sample, None)?;
    crimps(stage, "B", "3", "B3", sample, None)?;
    stage.step(BEN, "B3: lower end rejected, mark 5 mm out; wire made anew");
    Ok(())
}
