//! What is asked before a wire is told as cut from a reel that it should not be from.

use api::ErrorCode;
use serde_json::{Value, json};

use super::{batch, groups, list, plan, reel, release, say};
use crate::common::worked::Site;

/// A job of two strands: the run's own, and another of 4 mm.
fn two_strands(site: &Site) -> (String, String) {
    let own = site.ann.call("readJob", json!({"job": site.job}))["strands"][0]["id"].clone();
    site.ann
        .call("useStrand", json!({"job": site.job, "name": "4.0-1x19"}));
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let other = list(&view, "/strands").iter().find(|s| s["id"] != own);
    let text = |id: &Value| id.as_str().unwrap().to_owned();
    (text(&own), text(&other.unwrap()["id"]))
}

fn tick(site: &Site, wires: &str, from: &str, confirmed: bool) -> Result<Value, api::ApiError> {
    let batch = from.trim_start_matches("batch:");
    let ask = json!({"job": site.job, "run": site.run, "wires": wires, "act": "cut", "done": true,
        "batch": batch, "confirmed": confirmed});
    site.ann.try_call("tickWires", ask)
}

/// What is asked before wires are ticked as cut; nothing is ticked.
fn asked(site: &Site, wires: &str, from: &str) -> String {
    let asked = tick(site, wires, from, false).unwrap_err();
    assert_eq!(asked.code, ErrorCode::Questioned, "{}", asked.message);
    asked.message
}

#[test]
fn a_cut_from_a_reel_of_another_strand_waits_for_a_yes_that_is_kept() {
    let site = Site::of_run(0);
    release(&site, "1-12");
    let (own, other) = two_strands(&site);
    let long = reel(&site, "R-4mm", 60);
    // A strand that is not told asks nothing.
    say(&site, &long, "strand", json!(own));
    tick(&site, "6", &long, false).unwrap();
    let claim = json!({"subject": long, "field": "strand", "value": other});
    let claims = json!({"job": site.job, "claims": [claim]});
    let questioned = site.ann.refused("say", claims.clone());
    assert_eq!(questioned.code, ErrorCode::Questioned);
    let told = "A6 was cut from R-4mm: that is told as 4 mm 1x19";
    assert!(questioned.message.contains(told), "{}", questioned.message);
    let mut confirmed = claims;
    confirmed["confirmed"] = json!(true);
    site.ann.call("say", confirmed);
    let lacking = site.ann.call("lacks", json!({"job": site.job})).to_string();
    assert!(lacking.contains(told), "{lacking}");
    let question = asked(&site, "1-2", &long);
    for told in [
        "A1 and A2: R-4mm is told as another strand (4 mm 1x19)",
        "than run A is made of (3.2 mm 1x19",
        "Choose the reel that it was cut from.",
        "Tick all the same?",
    ] {
        assert!(question.contains(told), "{told}: {question}");
    }
    tick(&site, "1-2", &long, true).unwrap();
    let wire = json!({"job": site.job, "subject": format!("wire:{}:1", site.run)});
    let kept = site.ann.call("readSubject", wire).to_string();
    assert!(
        kept.contains("Asked: R-4mm is told as another strand"),
        "{kept}"
    );
    // Ticked again as it stands, nothing is new to ask.
    tick(&site, "1", &long, false).unwrap();
    // No strand told for the reel, in a job of one in use: it counts as that one.
    say(&site, &long, "strand", Value::Null);
    tick(&site, "3", &long, false).unwrap();
}

#[test]
fn a_cut_from_a_reel_that_has_not_come_waits_for_a_yes_and_tells_that_it_came() {
    let site = Site::of_run(0);
    release(&site, "1-12");
    let from = reel(&site, "R-8", 60);
    let seen = plan(&site);
    say(&site, &from, "promised", json!("2027-03-01"));
    let told = "R-8 is promised for 2027-03-01 and no arrival is told";
    let question = asked(&site, "6", &from);
    assert!(question.contains(told), "{question}");
    // So does a plan that was on the glass since before.
    let one = super::as_seen(&groups(&seen)[0]);
    let refused = site.ann.refused("cutBatch", batch(&site, &one, false));
    assert_eq!(refused.code, ErrorCode::Questioned);
    assert!(refused.message.contains(told), "{}", refused.message);
    // Nor is anything of it thrown away.
    let away = json!({"job": site.job, "stock": from, "reason": "Kinked"});
    let refused = site.ann.refused("scrapStrand", away);
    assert!(refused.message.contains(told), "{}", refused.message);
    tick(&site, "6", &from, true).unwrap();
    tick(&site, "1", &from, false).unwrap();
    assert_eq!(super::stock(&plan(&site), &from)["state"], "started");
}
