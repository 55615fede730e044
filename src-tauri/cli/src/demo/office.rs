//! 12 November: what is missing, why it goes without, and the handover.

use api::ApiError;
use serde_json::{Value, json};

use super::stage::{Stage, Who};
use super::{astray, at};

const OFFICE: Who = Who::Office;

pub(super) fn hand_over(stage: &mut Stage<'_>) -> Result<(), ApiError> {
    stage.at("2026-11-12T10:10")?;
    let a6 = format!("post:{}", stage.post("A6")?);
    stage.pictures(OFFICE, &[("a6-end", &a6, "endPost")])?;
    let lacks = stage.on_job(OFFICE, "lacks", json!({}))?;
    let missing = missing(&lacks);
    stage.step(
        OFFICE,
        &format!("still missing for the handover: {}", missing.len()),
    );
    stage.told.insert("missingBefore".into(), json!(missing));
    for key in &missing {
        let reason = reason(key);
        stage.on_job(
            OFFICE,
            "waiveEvidence",
            json!({"keys": [key], "reason": reason}),
        )?;
    }
    stage.step(OFFICE, "said for each why the handover goes without it");
    stage.on_job(
        OFFICE,
        "signOff",
        json!({"stage": "handover", "statement":
            "Handed to owner and certifier; the certifier decides whether the barrier is accepted."}),
    )?;
    stage.exchange(&[OFFICE, Who::Ann, Who::Ben, OFFICE])?;
    let out = stage.out.clone();
    let written = stage.on_job(OFFICE, "startHandover", json!({"folder": out}))?;
    stage.step(
        OFFICE,
        &format!("wrote the handover: {} files", at(&written, "/files")),
    );
    stage.told.insert("handover".into(), written);
    let verified = stage.call(
        OFFICE,
        "startVerify",
        json!({"what": "handover", "folder": out}),
    )?;
    if at(&verified, "/entries").as_u64().unwrap_or(0) == 0 {
        return Err(astray(format!("the handover was not verified: {verified}")));
    }
    stage.step(
        OFFICE,
        "looked the handover over: sums, entries, pictures and document agree",
    );
    stage.told.insert("verified".into(), verified);
    Ok(())
}

fn missing(lacks: &Value) -> Vec<String> {
    let items = at(lacks, "/items").as_array();
    items
        .into_iter()
        .flatten()
        .filter(|i| at(i, "/state") == "lacking")
        .filter_map(|i| at(i, "/key").as_str().map(str::to_owned))
        .collect()
}

/// Why the worked job goes without an item, in the office's words.
fn reason(key: &str) -> &'static str {
    match key.split('/').next().unwrap_or_default() {
        "handrail" => "the stair's handrail is on the wall side, by others",
        "openingsAsked" => {
            "the base plates stand clear inside the deck's edge, and no wall stands near B3"
        }
        "permit" => "the permit drawing lies with the certifier",
        "postFixing" | "railJoint" => {
            "seen before it was covered and written down; no picture was taken"
        }
        "threadLeft" => {
            "read on run A's trial wire alone; the engagement mark was seen hidden at every end"
        }
        "tension" => {
            "not all wires were read again after A7 to A12 were brought back; they are at the next visit"
        }
        "farBay" => "every wire was read in the widest bay alone",
        "templateCheck" => "every hole was held against the run's own template on site, no picture",
        "handover" | "signOff" => "follows with this handover",
        "massCheck" | "massCheckPicture" => "the 2 kg check was made on run A alone",
        "openingPicture" => "the probe was pictured in run A alone; every bay was checked with it",
        "endPost" => "only A6, where the runs meet, was pictured close",
        "leftSafePicture" => "told to the owner on the day; no picture was taken",
        "defectafter" => "freed inside the post: nothing to see; the wire was read again",
        _ => "not pictured on the day",
    }
}
