//! Survey, 6 October: the survey file taken in, tools, a length for the quote, pictures.

use api::ApiError;
use serde_json::{Value, json};

use super::days::{left_safe, visit};
use super::stage::{Stage, Who};
use super::{astray, at, field, mm, need};

const ANN: Who = Who::Ann;

/// The survey as anybody may import it. What it lists as lengths was read later, on 26 October.
const SURVEY: &str = include_str!("../../../../fixtures/demo/survey.json");

/// A length as the file lists it: run, wire, text as typed.
pub(super) type LengthToCut = (String, u32, String);

/// The survey file, and the lengths to cut from that it lists.
fn file() -> Result<(Value, Vec<LengthToCut>), ApiError> {
    let mut survey: Value =
        serde_json::from_str(SURVEY).map_err(|e| astray(format!("the survey file: {e}")))?;
    let listed = survey
        .as_object_mut()
        .and_then(|file| file.remove("lengths"));
    let lengths: Option<Vec<_>> = listed.as_ref().and_then(Value::as_array).map(|rows| {
        rows.iter()
            .filter_map(|row| {
                let wire = u32::try_from(at(row, "/wire").as_u64()?).ok()?;
                Some((
                    at(row, "/run").as_str()?.to_owned(),
                    wire,
                    at(row, "/length").to_string(),
                ))
            })
            .collect()
    });
    let lengths = lengths.ok_or_else(|| astray("the survey file lists no lengths"))?;
    Ok((survey, lengths))
}

/// Lengths to cut from, as the file lists them.
pub(super) fn lengths_to_cut() -> Result<Vec<LengthToCut>, ApiError> {
    file().map(|(_, lengths)| lengths)
}

pub(super) fn survey(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-10-06T09:00")?;
    take_in(stage)?;
    tools(stage)?;
    let view = stage.on_job(ANN, "readJob", json!({}))?;
    let fittings = need(&view, "/fittingSets/0/subject")?.as_str();
    let fittings = fittings.unwrap_or_default();
    stage.say(ANN, &[(fittings, "driver", "", json!("6 mm hex driver"))])?;
    // A length for the quote, read before anything was final: it must never be cut from.
    measure(stage, ANN, "A", 6, "7298", "quote", "fixed", &[])?;
    visit(stage, ANN, "2026-10-06", "survey", "dry")?;
    let (run_a, run_b) = (stage.id("run A")?, stage.id("run B")?);
    let (a1, a6) = (stage.post("A1")?, stage.post("A6")?);
    let job = format!("job:{}", stage.job);
    left_safe(stage, ANN, "2026-10-06", "boards across run A, as found")?;
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
        json!({"source": {"kind": "upload", "upload": upload, "bytes": letter.len()}, "name": "EL-017.txt",
            "shows": [{"subject": job, "evidence": "engineersLetter"}]}),
    )?;
    stage.on_job(
        ANN,
        "signOff",
        json!({"stage": "survey", "statement": "Measured and photographed on site."}),
    )?;
    Ok(())
}

/// Imports the survey file without its lengths, and remembers runs, posts and gauge by their names.
fn take_in(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let (survey, _) = file()?;
    let bytes = survey.to_string().into_bytes();
    let upload = stage.upload(ANN, "survey", &bytes)?;
    let source = json!({"kind": "upload", "upload": upload, "bytes": bytes.len()});
    let imported = stage.call(ANN, "startImport", json!({"source": source}))?;
    if at(&imported, "/problems") != &json!([]) {
        return Err(astray(format!(
            "the survey was not taken whole: {imported}"
        )));
    }
    stage.job = need(&imported, "/job")?
        .as_str()
        .unwrap_or_default()
        .to_owned();
    let view = stage.on_job(ANN, "readJob", json!({}))?;
    let mut named = Vec::new();
    for run in at(&view, "/runs").as_array().into_iter().flatten() {
        named.push(("run ", run));
        let posts = at(run, "/posts").as_array().into_iter().flatten();
        named.extend(posts.map(|post| ("post ", post)));
    }
    named.extend(
        at(&view, "/tools")
            .as_array()
            .into_iter()
            .flatten()
            .map(|tool| ("tool ", tool)),
    );
    for (kind, thing) in named {
        let text = |path| Ok::<_, ApiError>(need(thing, path)?.as_str().unwrap_or_default());
        let (name, id) = (text("/name")?, text("/id")?);
        stage.ids.insert(format!("{kind}{name}"), id.to_owned());
    }
    stage.step(
        ANN,
        "survey taken in: site facts, permit of 2 September 2026, rule set of 2022, runs A and B with \
         posts, bays, floor levels, openings",
    );
    Ok(())
}

/// What is brought along besides the gauge.
fn tools(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let text = |name: &str, t: &str| field(name, json!(t));
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

/// First fields of a post that is added between the others, of their kind.
pub(super) fn added_post(name: &str) -> Vec<Value> {
    vec![
        field("name", json!(name)),
        field(
            "section",
            json!({"alongNm": 90_000_000, "acrossNm": 90_000_000}),
        ),
        field(
            "material",
            json!({"name": "hardwood", "grade": "F17", "treatment": "none",
                "modulusMpa": 14_000, "modulusOrigin": "grade, second hand"}),
        ),
        field(
            "base",
            json!({"kind": "base plate", "bolts": 4, "spacingNm": 250_000_000, "seen": true}),
        ),
        field("support", json!({"kind": "post"})),
        field("railJoint", json!("overThePost")),
        field("condition", json!("sound")),
    ]
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
