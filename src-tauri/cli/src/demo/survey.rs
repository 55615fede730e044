//! Survey, 6 October: job, site, runs, posts, bays, openings, a length for the quote, pictures.

use api::ApiError;
use serde_json::{Value, json};

use super::stage::{Stage, Who};
use super::{at, field, field_at, mm};

const ANN: Who = Who::Ann;

pub(super) fn survey(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-10-06T09:00")?;
    let begun = stage.call(
        ANN,
        "beginJob",
        json!({"title": "Deck and stair, Quillback Rise", "place": "14 Quillback Rise, Port Hesper"}),
    )?;
    stage.job = stage.remember("job", &begun)?;
    site(stage)?;
    library_and_tools(stage)?;
    run_a(stage)?;
    run_b(stage)?;
    measured(stage)?;
    stage.step(
        ANN,
        "surveyed runs A and B: posts, bays, floor levels, openings",
    );
    let (run_a, run_b) = (stage.id("run A")?, stage.id("run B")?);
    let (a1, a6) = (stage.post("A1")?, stage.post("A6")?);
    let job = format!("job:{}", stage.job);
    stage.pictures(
        ANN,
        &[
            ("a1-base", &format!("post:{a1}"), "postFixing"),
            ("a6-rail-joint", &format!("post:{a6}"), "railJoint"),
            ("a-before", &format!("run:{run_a}"), "wideView"),
            ("b-before", &format!("run:{run_b}"), "wideView"),
            ("below", &format!("run:{run_a}"), "below"),
            ("letter", &job, "engineersLetter"),
        ],
    )?;
    // The letter came a day later, before the survey was signed.
    stage.at("2026-10-07T15:30")?;
    let letter = b"Engineer's letter EL-017 (drawn up for the worked job).\nPosts A1, A6 and B3: 115 x 115, as proposed.\n";
    let upload = stage.upload(ANN, "letter-document", letter)?;
    stage.on_job(
        ANN,
        "addDocument",
        json!({"upload": upload, "bytes": letter.len(), "name": "EL-017.txt",
            "shows": [{"subject": job, "evidence": "engineersLetter"}]}),
    )?;
    stage.on_job(
        ANN,
        "signOff",
        json!({"stage": "survey", "statement": "Measured and photographed on site."}),
    )?;
    Ok(())
}

fn site(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let job = format!("job:{}", stage.job);
    let text = |t: &str| json!(t);
    let said: Vec<(&str, Value)> = vec![
        ("owner", text("R. Ambrose-Finch")),
        ("certifier", text("D. Okellan")),
        ("permit", text("PH 2026/118")),
        ("permitDate", text("2026-09-02")),
        ("buildingClass", text("1a")),
        ("fall", mm(1602)),
        ("below", text("paving")),
        ("pool", json!(false)),
        ("children", json!(false)),
        ("saltDistance", mm(900_000)),
        ("chlorine", json!(false)),
        ("washedByRain", json!(true)),
        ("steel", text("316: surf at 900 m")),
        (
            "dissimilarMetals",
            text("galvanised bolts apart from the wire fittings"),
        ),
        ("climbables", text("nothing fixed near the barrier")),
        ("drillingHazards", text("none found in the posts")),
        ("access", text("from the garden, stair in use")),
        (
            "allowances",
            json!({
                "terminals": {"sample": 1, "scrap": 1, "over": 1},
                "inserts": {"sample": 0, "scrap": 0, "over": 1},
                "lockNuts": {"sample": 1, "scrap": 1, "over": 1},
                "angledSeats": {"sample": 0, "scrap": 0, "over": 1},
                "linings": {"sample": 0, "scrap": 0, "over": 0},
                "sampleStrandNm": 0, "scrapStrandNm": 0
            }),
        ),
    ];
    let claims: Vec<(&str, &str, &str, Value)> = said
        .into_iter()
        .map(|(f, v)| (job.as_str(), f, "", v))
        .collect();
    stage.say(ANN, &claims)?;
    stage.on_job(ANN, "useRuleSet", json!({"name": "au-2022"}))?;
    stage.step(
        ANN,
        "site facts, permit of 2 September 2026, rule set of 2022",
    );
    Ok(())
}

fn library_and_tools(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let strand = stage.on_job(ANN, "useStrand", json!({"name": "3.2-1x19-worked"}))?;
    stage.remember("strand", &strand)?;
    let set = stage.on_job(ANN, "useFittingSet", json!({"name": "m6-insert-worked"}))?;
    stage.remember("fitting set", &set)?;
    let text = |name: &str, t: &str| field(name, json!(t));
    stage.add(
        ANN,
        "tool",
        "gauge",
        vec![
            text("name", "G-02"),
            text("kind", "tensionGauge"),
            text("range", "300 to 2500 N"),
            field("errorPer10000", json!(400)),
            text("comparedWith", "load cell L-1"),
            text("comparedOn", "2026-08-18"),
            text("due", "2027-08-18"),
            text("certificate", "G-02/2026"),
        ],
    )?;
    for (name, kind, more) in [
        ("press P-1", "press", None),
        ("die D-6", "die", None),
        ("probe 125", "probe", Some(field("size", mm(125)))),
        ("mass 2 kg", "mass", Some(field("massMg", json!(1_998_000)))),
        ("tape T-1", "tape", None),
    ] {
        let mut fields = vec![
            text("name", name),
            text("kind", kind),
            text("comparedOn", "2026-08-18"),
        ];
        fields.extend(more);
        stage.add(ANN, "tool", name, fields)?;
    }
    Ok(())
}

fn heights(step: i64, count: i64) -> Value {
    let nm: Vec<i64> = (1..=count).map(|n| n * step * 1_000_000).collect();
    json!({"nm": nm})
}

fn run_a(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let (strand, set) = (stage.id("strand")?, stage.id("fitting set")?);
    let run = stage.add(
        ANN,
        "run",
        "run A",
        vec![
            field("name", json!("A")),
            field("surface", json!("deck")),
            field("shape", json!("level")),
            field("height", mm(1020)),
            field(
                "rail",
                json!({"undersideNm": 985_000_000, "thicknessNm": 35_000_000,
                    "stiffnessNPerM": 500_000, "stiffnessHeightNm": 1_000_000_000}),
            ),
            field("wireCount", json!(12)),
            field("wireHeights", heights(76, 12)),
            field("strand", json!(strand)),
            field("fittingSet", json!(set)),
            field("lining", json!("grommetHalves")),
            field("trialWire", json!(6)),
        ],
    )?;
    let posts: [(&str, i64, i64, &str, Option<&str>); 6] = [
        ("A1", 0, 0, "anchor", Some("LH")),
        ("A2", 1_482_500, -3, "intermediate", None),
        ("A3", 2_982_500, -5, "intermediate", None),
        ("A4", 4_467_500, -8, "intermediate", None),
        ("A5", 6_117_500, -10, "intermediate", None),
        ("A6", 7_415_000, -12, "anchor", Some("RH")),
    ];
    for (name, um, floor, role, hand) in posts {
        let mut fields = post_fields(name, role == "anchor");
        fields.push(field_at("position", &run, json!({"nm": um * 1000})));
        fields.push(field_at("role", &run, json!(role)));
        fields.push(field("floor", mm(floor)));
        fields.push(field("railJoint", json!("overThePost")));
        if let Some(hand) = hand {
            let end =
                json!({"kind": "insert", "hand": hand, "tensioner": true, "angledSeat": false});
            fields.push(field_at("end", &run, end));
        }
        stage.add(ANN, "post", &format!("post {name}"), fields)?;
    }
    Ok(())
}

/// First fields that every post of the worked job has.
pub(super) fn post_fields(name: &str, anchor: bool) -> Vec<Value> {
    let side = if anchor { 115_000_000 } else { 90_000_000 };
    vec![
        field("name", json!(name)),
        field("section", json!({"alongNm": side, "acrossNm": side})),
        field(
            "material",
            json!({"name": "hardwood", "grade": "F17", "treatment": "none",
                "modulusMpa": 14_000, "modulusOrigin": "grade, second hand"}),
        ),
        field(
            "base",
            json!({"kind": "base plate", "bolts": 4, "spacingNm": 250_000_000, "seen": true}),
        ),
        field("condition", json!("sound")),
    ]
}

fn run_b(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let (strand, set) = (stage.id("strand")?, stage.id("fitting set")?);
    let run = stage.add(
        ANN,
        "run",
        "run B",
        vec![
            field("name", json!("B")),
            field("surface", json!("stair")),
            field("shape", json!("raked")),
            field("height", mm(891)),
            field(
                "slope",
                json!({"riseNm": 178_000_000, "goingNm": 250_000_000, "risers": 9}),
            ),
            field(
                "rail",
                json!({"undersideNm": 836_000_000, "thicknessNm": 45_000_000,
                    "stiffnessNPerM": 500_000, "stiffnessHeightNm": 863_500_000}),
            ),
            field("wireCount", json!(8)),
            field("wireHeights", heights(93, 8)),
            field("strand", json!(strand)),
            field("fittingSet", json!(set)),
            field("lining", json!("grommetHalves")),
            field("trialWire", json!(4)),
        ],
    )?;
    let a6 = format!("post:{}", stage.post("A6")?);
    let seat =
        |hand: &str| json!({"kind": "insert", "hand": hand, "tensioner": true, "angledSeat": true});
    stage.say(
        ANN,
        &[
            (&a6, "position", &run, mm(0)),
            (&a6, "role", &run, json!("anchor")),
            (&a6, "end", &run, seat("LH")),
        ],
    )?;
    for (name, um, role) in [
        ("B2", 1_087_500_i64, "intermediate"),
        ("B3", 2_175_000, "anchor"),
    ] {
        let mut fields = post_fields(name, role == "anchor");
        fields.push(field_at("position", &run, json!({"nm": um * 1000})));
        fields.push(field_at("role", &run, json!(role)));
        if role == "anchor" {
            fields.push(field_at("end", &run, seat("RH")));
        }
        stage.add(ANN, "post", &format!("post {name}"), fields)?;
    }
    Ok(())
}

fn measured(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    for (left, right, clear) in [
        ("A1", "A2", "1380"),
        ("A2", "A3", "1410"),
        ("A3", "A4", "1395"),
        ("A4", "A5", "1560"),
        ("A5", "A6", "1195"),
        ("A6", "B2", "985"),
        ("B2", "B3", "985"),
    ] {
        measure_bay(stage, ANN, left, right, clear)?;
    }
    let (run_a, run_b) = (stage.id("run A")?, stage.id("run B")?);
    let opening = |run: &str, place: &str, kind: &str, mm: i64, entered: &str| {
        json!({"subject": format!("run:{run}"), "field": "opening", "place": place,
            "value": {"nm": mm * 1_000_000}, "with": {"kind": kind, "entered": entered}})
    };
    let a1 = format!("post:{}", stage.post("A1")?);
    let claims = vec![
        opening(&run_a, "floor", "floorToBottomWire", 76, "76 mm"),
        opening(&run_a, "rail", "topWireToRail", 73, "73 mm"),
        opening(&run_b, "triangle", "stairTriangle", 93, "93 mm"),
        json!({"subject": a1, "field": "opening", "place": "wall",
            "value": {"nm": 62_000_000}, "with": {"kind": "endPostToWall", "entered": "62 mm"}}),
    ];
    stage.on_job(ANN, "say", json!({"claims": claims}))?;
    // A length for the quote, read before anything was final: it must never be cut from.
    measure(stage, ANN, "A", 6, "7298", "quote", "fixed", &[])?;
    Ok(())
}

pub(super) fn measure_bay(
    stage: &mut Stage<'_>,
    who: Who,
    left: &str,
    right: &str,
    clear: &str,
) -> Result<(), ApiError> {
    let bay = stage.bay(left, right)?;
    stage.on_job(
        who,
        "measureBay",
        json!({"bay": bay, "length": {"text": clear}, "along": "level", "instrument": "tape"}),
    )?;
    Ok(())
}

#[allow(clippy::too_many_arguments)] // the parts of a reading, each once
pub(super) fn measure(
    stage: &mut Stage<'_>,
    who: Who,
    run: &str,
    wire: u32,
    text: &str,
    purpose: &str,
    posts: &str,
    over: &[String],
) -> Result<String, ApiError> {
    let faces = if posts == "insertsIn" {
        "insertFaces"
    } else {
        "postFaces"
    };
    let answer = stage.on_run(
        who,
        run,
        "measure",
        json!({"wire": wire, "length": {"text": text}, "purpose": purpose, "posts": posts,
            "faces": faces, "instrument": "tape", "over": over}),
    )?;
    Ok(at(&answer, "/entries/0")
        .as_str()
        .unwrap_or_default()
        .to_owned())
}
