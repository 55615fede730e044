//! Before ordering, the order, and how the three devices meet.

use api::{ApiError, ErrorCode};
use serde_json::{Value, json};

use super::days::visit;
use super::stage::{Stage, Who};
use super::survey::{added_post, measure_bay};
use super::{astray, at, field, field_at, mm, need};

const ANN: Who = Who::Ann;

/// Two reels of 60 m.
const REELS: [&str; 2] = ["R-1", "R-2"];

pub(super) fn before_ordering(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-10-08T14:00")?;
    let first = stage.on_run(ANN, "A", "beforeOrdering", json!({}))?;
    let asked = required(&first)?;
    stage.told.insert("asSurveyed".into(), first);
    stage.step(
        ANN,
        &format!("run A as surveyed: the table asks {asked} N in bay A4–A5"),
    );
    let refused = json!({"tensions": tensions(asked, 2000.0, 1800.0)});
    stage.refused_on_run(ANN, "A", "setTensions", refused, ErrorCode::Invalid)?;
    add_post(stage)?;
    for run in ["A", "B"] {
        let found = stage.on_run(ANN, run, "beforeOrdering", json!({}))?;
        let asked = required(&found)?;
        stage.told.insert(format!("required{run}N"), json!(asked));
        stage.on_run(
            ANN,
            run,
            "setTensions",
            // Asked about what is lost later, its people mean to come back in time.
            json!({"tensions": tensions(asked, 1500.0, 1800.0), "confirmed": true}),
        )?;
        stage.step(
            ANN,
            &format!("run {run}: required {asked} N, set 1500 N, upper 1800 N"),
        );
    }
    let sheet = stage.on_run(ANN, "A", "cutSheet", json!({}))?;
    let refused = at(&sheet, "/lines")
        .as_array()
        .and_then(|l| l.iter().find(|l| at(l, "/wire") == 6))
        .and_then(|l| at(l, "/refused/code").as_str())
        .unwrap_or("none")
        .to_owned();
    if refused != "quoteOnly" {
        return Err(astray(format!(
            "a quote length was not refused for cutting: {refused}"
        )));
    }
    stage.step(ANN, "wire A6 was read for the quote: not for cutting");
    let parts = stage.on_job(ANN, "takeOff", json!({}))?;
    stage.told.insert("takeOff".into(), parts);
    for run in ["A", "B"] {
        stage.on_run(ANN, run, "holeSchedule", json!({}))?;
    }
    stage.on_job(
        ANN,
        "signOff",
        json!({"stage": "beforeOrdering", "statement":
            "Engineer's letter EL-017 received for the posts; post A4a added; order may go out."}),
    )?;
    for reel in REELS {
        stage.add(
            ANN,
            "batch",
            reel,
            vec![
                field("name", json!(format!("3.2 mm 1x19, reel {reel}"))),
                field("kind", json!("strand")),
                field("grade", json!("316")),
                field("reel", json!(reel)),
                field("heat", json!("H 4471")),
                field("lay", json!("1x19")),
                field("promised", json!("2026-10-23")),
                field("metres", mm(60_000)),
                field("ordered", json!(1)),
            ],
        )?;
    }
    for (name, kind, ordered) in [
        ("terminals M6", "terminal", 23),
        ("inserts M6", "insert", 21),
        ("lock nuts M6", "lockNut", 23),
        ("angled seats", "seat", 17),
        ("grommet halves", "grommet", 136),
    ] {
        let mut fields = vec![
            field("name", json!(name)),
            field("kind", json!(kind)),
            field("ordered", json!(ordered)),
            field("promised", json!("2026-10-23")),
        ];
        if name.ends_with("M6") {
            fields.push(field("thread", json!("M6 × 1")));
        }
        stage.add(ANN, "batch", name, fields)?;
    }
    stage.step(
        ANN,
        "ordered: 23 + 23 terminals, 21 + 21 inserts, 23 + 23 nuts, 17 seats, two reels",
    );
    Ok(())
}

fn required(found: &Value) -> Result<f64, ApiError> {
    let path = "/tension/required/newtons";
    need(found, path)?
        .as_f64()
        .ok_or_else(|| astray(format!("{path} is no number: {found}")))
}

fn tensions(required: f64, set: f64, upper: f64) -> Value {
    let mn = |n: f64| json!(records::model::values::Force::from_newtons(n).mn);
    json!({
        "requiredMn": mn(required), "setMn": mn(set), "upperMn": mn(upper),
        "requiredOrigin": "table of the rule set, widest bay",
        "upperOrigin": "8500 N × 0.65 ÷ 3 = 1841 N, shown as 1800 N",
        "passesMn": [mn(600.0), mn(1100.0), mn(set)],
    })
}

/// The 1560 bay reads a row that leaves no room under the upper tension: a post goes in.
fn add_post(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let run = stage.id("run A")?;
    let mut fields = added_post("A4a");
    fields.push(field_at("position", &run, json!({"nm": 5_292_500_000_i64})));
    fields.push(field_at("role", &run, json!("intermediate")));
    fields.push(field("floor", mm(-9)));
    stage.add(ANN, "post", "post A4a", fields)?;
    measure_bay(stage, ANN, "A4", "A4a", "735")?;
    measure_bay(stage, ANN, "A4a", "A5", "735")?;
    stage.step(ANN, "post A4a added in bay A4–A5: 735 + 90 + 735");
    Ok(())
}

pub(super) fn meet(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-10-25T18:00")?;
    let folder = stage.shared.clone();
    stage.call(ANN, "share", json!({"folder": folder}))?;
    stage.step(ANN, "shared a folder with the crew");
    stage.exchange(&[ANN])?;
    for who in [Who::Ben, Who::Office] {
        let joining = stage.call(who, "join", json!({"folder": folder}))?;
        let asks = stage.call(ANN, "applicants", json!({}))?;
        let seen = at(&asks, "/devices")
            .as_array()
            .and_then(|d| {
                d.iter()
                    .find(|d| at(d, "/device") == at(&joining, "/device"))
            })
            .map(|d| at(d, "/digits").clone());
        if seen.as_ref() != Some(at(&joining, "/digits")) {
            return Err(astray("the digits on the two screens differ"));
        }
        let digits = at(&joining, "/digits")
            .as_str()
            .unwrap_or_default()
            .to_owned();
        stage.step(who, &format!("asks to join; both screens show {digits}"));
        stage.call(
            ANN,
            "admit",
            json!({"device": at(&joining, "/device"), "digits": digits, "role": who.role()}),
        )?;
        stage.call(who, "confirmJoin", json!({"digits": digits}))?;
    }
    stage.exchange(&[ANN, Who::Ben, Who::Office])?;
    Ok(())
}

pub(super) fn arrival(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    let ben = Who::Ben;
    stage.at("2026-10-26T07:40")?;
    visit(
        stage,
        ben,
        "2026-10-26",
        "drill, cut and press",
        "dry, light wind",
    )?;
    let counted = |left: i64, right: i64| {
        json!({"countedLeft": left, "countedRight": right, "tried": right > 0,
            "remark": "all there", "short": 0, "wrong": 0})
    };
    for (name, value) in [
        ("terminals M6", counted(23, 23)),
        ("inserts M6", counted(21, 21)),
        ("lock nuts M6", counted(23, 23)),
        ("angled seats", counted(17, 0)),
        ("grommet halves", counted(136, 0)),
        ("R-1", counted(1, 0)),
        ("R-2", counted(1, 0)),
    ] {
        let batch = format!("batch:{}", stage.id(name)?);
        stage.say(ben, &[(&batch, "arrival", "", value)])?;
    }
    let terminals = format!("batch:{}", stage.id("terminals M6")?);
    stage.say(
        ben,
        &[(&terminals, "leftMark", "", json!("groove on the shank"))],
    )?;
    let reel = format!("batch:{}", stage.id("R-1")?);
    let (a4a, a3) = (stage.post("A4a")?, stage.post("A3")?);
    stage.pictures(
        ben,
        &[
            ("a4a-added", &format!("post:{a4a}"), "postAdded"),
            ("arrival", &terminals, "materials"),
            ("reel", &reel, "materials"),
            ("template", &format!("post:{a3}"), "templateCheck"),
        ],
    )?;
    stage.step(ben, "counted the delivery, one of each hand tried");
    Ok(())
}
