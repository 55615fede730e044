//! The cut plan walked through the list of commands: reels arrive, the plan, cuts by batch, a wire
//! made anew, planned again; stock follows what was cut and thrown away.
//! Lengths and what is left: the worked job, a consistency check of the whole chain.
//! One file past 400 lines, since every walk tells of the same stock by the same few helpers.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

mod common;
#[path = "cut_plan/labels.rs"]
mod labels;
#[path = "cut_plan/reels.rs"]
mod reels;

use api::ErrorCode;
use common::worked::{Site, near};
use serde_json::{Value, json};

fn plan(site: &Site) -> Value {
    site.ann.call("cutPlan", json!({"job": site.job}))
}

/// A delivery of strand; its id as a stock.
fn reel(site: &Site, name: &str, metres: i64) -> String {
    let field = |name: &str, value: Value| json!({"field": name, "value": value});
    let fields = [
        field("name", json!(name)),
        field("kind", json!("strand")),
        field("metres", json!({"nm": metres * 1_000_000_000})),
    ];
    let made = site.ann.call(
        "addThing",
        json!({"job": site.job, "thing": "batch", "fields": fields}),
    );
    made["created"].as_str().unwrap().to_owned()
}

fn say(site: &Site, subject: &str, field: &str, value: Value) {
    let claim = json!({"subject": subject, "field": field, "value": value});
    site.ann
        .call("say", json!({"job": site.job, "claims": [claim]}));
}

fn rules(site: &Site, value: Value) {
    say(site, &format!("job:{}", site.job), "cutting", value);
}

fn release(site: &Site, wires: &str) {
    let early = json!({"wires": wires, "beforeTrial": "one reel only"});
    site.call("issueCuts", early);
}

fn list<'a>(value: &'a Value, at: &str) -> &'a Vec<Value> {
    value.pointer(at).unwrap().as_array().unwrap()
}

/// The cuts of a group as they are ticked off.
fn as_seen(group: &Value) -> Vec<Value> {
    list(group, "/cuts")
        .iter()
        .map(|cut| {
            json!({"run": cut["run"], "wire": cut["wire"], "piece": cut["piece"],
                "cutMm": cut["cutMm"], "stock": group["stock"]})
        })
        .collect()
}

fn batch(site: &Site, cuts: &[Value], confirmed: bool) -> Value {
    json!({"job": site.job, "cuts": cuts, "confirmed": confirmed})
}

fn cut(site: &Site, group: &Value) {
    site.ann
        .call("cutBatch", batch(site, &as_seen(group), false));
}

fn stock<'a>(plan: &'a Value, id: &str) -> &'a Value {
    let found = list(plan, "/stock").iter().find(|s| s["id"] == id);
    found.unwrap_or_else(|| panic!("no {id} in {plan:#}"))
}

fn left(plan: &Value, id: &str) -> f64 {
    stock(plan, id)["leftMm"].as_f64().unwrap()
}

fn groups(plan: &Value) -> &Vec<Value> {
    list(plan, "/strands/0/groups")
}

fn in_plan(plan: &Value) -> usize {
    groups(plan).iter().map(|g| list(g, "/cuts").len()).sum()
}

#[test]
fn from_the_reel_that_came_to_the_wire_made_anew() {
    let site = Site::of_run(0);
    // Nothing is released: every wire is named with what to do.
    let first = plan(&site);
    assert_eq!(in_plan(&first), 0);
    let waits = &list(&first, "/notReady")[0];
    assert_eq!(waits["names"], "A1–12");
    let reason = waits["reason"].as_str().unwrap();
    assert!(
        reason.contains("Release it on the cut sheet of run A"),
        "{reason}"
    );
    near(&first["strands"][0]["notReadyMm"], 86_815.0, 0.01);

    // Released, and no strand has come: each wire is named with what to do.
    release(&site, "1-12");
    let none = plan(&site);
    assert_eq!(in_plan(&none), 0);
    let missing = list(&none, "/strands/0/noStock");
    assert_eq!(missing.len(), 12);
    assert_eq!(missing[0]["name"], "A1");
    let reason = missing[0]["reason"].as_str().unwrap();
    assert!(reason.contains("no strand in stock") && reason.contains("Deliveries"));

    // Two reels of 60 m; trial wire first; no plan takes fewer.
    let (r1, r2) = (reel(&site, "R-1", 60), reel(&site, "R-2", 60));
    let planned = plan(&site);
    assert_eq!(in_plan(&planned), 12);
    let trial = &groups(&planned)[0];
    assert_eq!(
        (&trial["trial"], list(trial, "/cuts").len()),
        (&json!(true), 1)
    );
    let one = &trial["cuts"][0];
    assert_eq!((&one["name"], &one["end"]), (&json!("A6"), &json!("A1:LH")));
    assert_eq!(
        (&one["cutMm"], &one["leftMm"]),
        (&json!(7235.0), &json!(52_765.0))
    );
    // What it must lie between stands with it, as it was told with the release.
    let issued = site.line(6)["issued"].clone();
    assert_eq!(
        (&one["shortestMm"], &one["longestMm"]),
        (&issued["shortestMm"], &issued["longestMm"])
    );
    near(&one["shortestMm"], 7223.7, 0.1);
    near(&one["longestMm"], 7245.9, 0.1);
    let reels = &planned["strands"][0]["reels"];
    assert_eq!(
        (
            &reels["planned"],
            &reels["atLeast"],
            &reels["leastPossible"]
        ),
        (&json!(2), &json!(2), &json!(true))
    );
    let sentence = planned["strands"][0]["sentence"].as_str().unwrap();
    assert!(sentence.contains("the least possible"), "{sentence}");
    assert!(planned["notes"][0].as_str().unwrap().contains("no kerf"));

    // The trial wire is cut; the rest is planned again from what is left.
    cut(&site, trial);
    let again = plan(&site);
    assert_eq!(in_plan(&again), 11);
    let from = trial["stock"].as_str().unwrap();
    near(&stock(&again, from)["leftMm"], 52_765.0, 1e-6);
    assert_eq!(stock(&again, from)["state"], "started");
    assert_eq!(stock(&again, from)["cuts"][0]["name"], "A6");
    let wire = site.line(6);
    assert_eq!(wire["cutDoneMm"], 7235.0);

    // The rest, batch by batch.
    for group in groups(&again) {
        cut(&site, group);
    }
    let done = plan(&site);
    assert_eq!(in_plan(&done), 0);
    // Run B has no tension yet; of run A nothing waits.
    assert!(
        list(&done, "/notReady")
            .iter()
            .all(|n| n["run"] != site.run.as_str())
    );
    assert!((left(&done, &r1) + left(&done, &r2) - (120_000.0 - 86_815.0)).abs() < 1e-6);

    // A3 is spoilt: a new piece, released anew, and planned from what is left of the reels.
    site.call(
        "remakeWire",
        json!({"wire": 3, "reason": "Terminal rejected"}),
    );
    let out = plan(&site);
    assert_eq!(out["notReady"][0]["names"], "A3", "{out:#}");
    let taken = &out["takenOut"][0];
    assert_eq!(
        (&taken["name"], &taken["cutMm"]),
        (&json!("A3"), &json!(7233.0))
    );
    assert_eq!(taken["reason"], "Terminal rejected");
    release(&site, "3");
    let anew = plan(&site);
    assert_eq!(in_plan(&anew), 1);
    let group = &groups(&anew)[0];
    assert_eq!(group["cuts"][0]["name"], "A3 piece 2");
    let id = group["stock"].as_str().unwrap();
    let before = left(&anew, id);
    cut(&site, group);
    let end = plan(&site);
    near(&json!(left(&end, id)), before - 7233.0, 1e-6);
    let spoilt = list(stock(&end, id), "/cuts")
        .iter()
        .chain(list(&end, "/stock").iter().flat_map(|s| list(s, "/cuts")));
    assert!(
        spoilt
            .clone()
            .any(|c| c["name"] == "A3" && c["takenOut"] == json!(true))
    );

    // A tick taken back: the strand is there again, and the wire is planned.
    site.call(
        "tickWires",
        json!({"wires": "3", "act": "cut", "done": false}),
    );
    let back = plan(&site);
    near(&json!(left(&back, id)), before, 1e-6);
    assert_eq!(groups(&back)[0]["cuts"][0]["name"], "A3 piece 2");
}

#[test]
fn kerf_and_trim_are_lost_once_and_told_with_the_cut() {
    let site = Site::of_run(0);
    let r = reel(&site, "R", 60);
    rules(
        &site,
        json!({"kerfNm": 2_000_000, "endTrimNm": 50_000_000, "leastUsableNm": 600_000_000}),
    );
    release(&site, "1-12");
    let planned = plan(&site);
    assert_eq!(list(&planned, "/notes").len(), 0);
    assert_eq!(
        groups(&planned)[0]["cuts"][0]["leftMm"],
        60_000.0 - 50.0 - 7237.0
    );
    cut(&site, &groups(&planned)[0]);
    let once = plan(&site);
    near(&json!(left(&once, &r)), 60_000.0 - 50.0 - 7237.0, 1e-6);
    // Other rules later do not change what was lost then.
    rules(
        &site,
        json!({"kerfNm": 0, "endTrimNm": 0, "leastUsableNm": 600_000_000}),
    );
    let later = plan(&site);
    near(&json!(left(&later, &r)), 60_000.0 - 50.0 - 7237.0, 1e-6);
    near(&stock(&later, &r)["lostMm"], 52.0, 1e-6);
    // Five more wires do not fit beside it: seven of eight, and the rest is named.
    assert_eq!(in_plan(&later), 7);
    assert_eq!(list(&later, "/strands/0/noStock").len(), 4);
    assert_eq!(later["strands"][0]["reels"]["leastPossible"], false);
    // A reel that could be ordered is planned, and can't be ticked off.
    rules(
        &site,
        json!({"kerfNm": 0, "endTrimNm": 0, "leastUsableNm": 600_000_000, "newReelNm": 60_000_000_000_i64}),
    );
    let ordered = plan(&site);
    assert_eq!(in_plan(&ordered), 11);
    let to_order: Vec<&Value> = groups(&ordered)
        .iter()
        .filter(|g| g["stock"].is_null())
        .collect();
    assert_eq!(to_order[0]["name"], "reel to order 1");
    let mut cuts = as_seen(to_order[0]);
    cuts.truncate(1);
    cuts[0]["stock"] = json!("reel to order 1");
    let refused = site.ann.refused("cutBatch", batch(&site, &cuts, true));
    assert_eq!(refused.code, ErrorCode::Changed);
}

#[test]
fn what_is_scrapped_or_kept_is_followed() {
    let site = Site::of_run(0);
    let r = reel(&site, "R", 60);
    let scrap = |more: Value| {
        let mut request = json!({"job": site.job, "stock": r, "reason": "Kinked"});
        for (name, value) in more.as_object().unwrap() {
            request[name] = value.clone();
        }
        site.ann.try_call("scrapStrand", request)
    };
    scrap(json!({"length": {"text": "2500"}})).unwrap();
    scrap(json!({"length": {"text": "500"}})).unwrap();
    assert!((left(&plan(&site), &r) - 57_000.0).abs() < 1e-6);
    let much = scrap(json!({"length": {"text": "57001"}})).unwrap_err();
    assert!(
        much.message.contains("R has 57000 mm left"),
        "{}",
        much.message
    );
    for bad in ["0", "-5", "x", "2000000"] {
        let refused = scrap(json!({"length": {"text": bad}})).unwrap_err();
        assert_eq!(refused.code, ErrorCode::Invalid, "{bad}");
    }
    assert!(scrap(json!({"reason": " "})).is_err());

    // A wire cut and taken out: scrap, until a length of it is kept.
    release(&site, "6");
    cut(&site, &groups(&plan(&site))[0]);
    let early = json!({"wire": 6, "piece": 1, "length": {"text": "7000"}});
    let refused = site.refused("keepOffcut", early.clone());
    assert!(
        refused.message.contains("still in its place"),
        "{}",
        refused.message
    );
    site.call("remakeWire", json!({"wire": 6, "reason": "Cut too short"}));
    let long = json!({"wire": 6, "piece": 1, "length": {"text": "7236"}});
    assert!(
        site.refused("keepOffcut", long)
            .message
            .contains("cut at 7235 mm")
    );
    site.call("keepOffcut", early);
    let kept = plan(&site);
    let id = format!("wire:{}:6/1", site.run);
    assert_eq!(stock(&kept, &id)["kind"], "offcut");
    assert_eq!(
        stock(&kept, &id)["batch"],
        json!(r.trim_start_matches("batch:"))
    );
    near(&kept["takenOut"][0]["keptMm"], 7000.0, 1e-6);
    // It is thrown away after all.
    let whole = json!({"job": site.job, "stock": id, "reason": "Lost", "length": {"text": "1"}});
    assert!(
        site.ann
            .refused("scrapStrand", whole)
            .message
            .contains("thrown away whole")
    );
    site.ann.call(
        "scrapStrand",
        json!({"job": site.job, "stock": id, "reason": "Lost"}),
    );
    let gone = plan(&site);
    assert!(list(&gone, "/stock").iter().all(|s| s["id"] != json!(id)));
    assert_eq!(gone["takenOut"][0]["keptMm"], Value::Null);
    // All that is left of the reel: nothing remains to be cut from.
    scrap(json!({})).unwrap();
    assert_eq!(stock(&plan(&site), &r)["state"], "usedUp");
    assert!(scrap(json!({})).is_err());
}

#[test]
fn scrap_and_strand_inside_a_terminal_are_no_stock_without_a_yes() {
    let site = Site::of_run(0);
    reel(&site, "R", 60);
    release(&site, "6");
    cut(&site, &groups(&plan(&site))[0]);
    let remake = |cause: &str| {
        site.call(
            "remakeWire",
            json!({"wire": 6, "cause": cause, "reason": "as it was seen"}),
        )
    };
    let pressed = json!({"wires": "6", "act": "leftEndPressed", "done": true, "confirmed": true});
    site.call("tickWires", pressed);
    remake("kinked");
    let keep = |mm: &str, confirmed: bool| json!({"wire": 6, "piece": 1, "length": {"text": mm}, "confirmed": confirmed});
    let whole = site.refused("keepOffcut", keep("7231", false));
    assert_eq!(whole.code, ErrorCode::Questioned);
    for part in [
        "taken out as kinked",
        "cut at 7235 mm and is ticked as pressed",
    ] {
        assert!(whole.message.contains(part), "{whole:?}");
    }
    let shorter = site.refused("keepOffcut", keep("3000", false));
    assert!(!shorter.message.contains("pressed"), "{shorter:?}");
    site.call("keepOffcut", keep("3000", true));

    // Why it was taken out stays known when the next one is taken out too.
    release(&site, "6");
    remake("galled");
    let told = plan(&site);
    let out = &told["takenOut"][0];
    assert_eq!(
        (&out["piece"], &out["cause"]),
        (&json!(1), &json!("kinked"))
    );
    assert_eq!(out["reason"], "as it was seen");
}

/// The stair's short wire comes out of a long wire that was taken out, before any reel.
#[test]
fn an_offcut_is_cut_first_and_its_heat_stays_known() {
    let site = Site::of_run(1);
    let r = reel(&site, "R", 60);
    release(&site, "1-8");
    let planned = plan(&site);
    for group in groups(&planned) {
        cut(&site, group);
    }
    site.call("remakeWire", json!({"wire": 8, "reason": "Wrong hand"}));
    site.call(
        "keepOffcut",
        json!({"wire": 8, "piece": 1, "length": {"text": "2471.5"}}),
    );
    site.call("remakeWire", json!({"wire": 1, "reason": "Kinked"}));
    release(&site, "1");
    let again = plan(&site);
    let group = &groups(&again)[0];
    let id = format!("wire:{}:8/1", site.run);
    assert_eq!(
        (&group["stock"], &group["kind"]),
        (&json!(id), &json!("offcut"))
    );
    assert_eq!(group["cuts"][0]["cutMm"], 2471.0);
    let reel_before = left(&again, &r);
    cut(&site, group);
    let after = plan(&site);
    near(&json!(left(&after, &r)), reel_before, 1e-6);
    assert_eq!(stock(&after, &id)["state"], "usedUp");
    let subject = format!("wire:{}:1", site.run);
    let told = site
        .ann
        .call("readSubject", json!({"job": site.job, "subject": subject}));
    let mut facts = list(&told, "/facts").iter();
    let made = facts
        .find(|f| f["field"] == "cut" && f["place"] == "2")
        .unwrap();
    let value = &made["words"][0]["value"];
    assert_eq!(value["batch"], json!(r.trim_start_matches("batch:")));
    assert_eq!(value["offcut"]["piece"], 1);
}

#[test]
fn a_batch_is_ticked_as_it_was_seen_or_not_at_all() {
    let site = Site::of_run(0);
    let r = reel(&site, "R", 15);
    release(&site, "1-12");
    let planned = plan(&site);
    // Two of 7 m fit, and ten wires are left: the trial wire is one of the two all the same.
    assert_eq!(in_plan(&planned), 2);
    assert_eq!(groups(&planned)[0]["cuts"][0]["name"], "A6");
    assert_eq!(list(&planned, "/strands/0/noStock").len(), 10);
    assert_eq!(planned["strands"][0]["reels"]["leastPossible"], false);
    assert_eq!(groups(&planned)[1]["cuts"][0]["number"], 2);
    let left_after = 15_000.0 - 7_235.0 - groups(&planned)[1]["cuts"][0]["cutMm"].as_f64().unwrap();
    near(
        &planned["strands"][0]["after"][0]["leftMm"],
        left_after,
        1e-6,
    );
    let cuts = as_seen(&groups(&planned)[0]);
    let nothing = |request: Value, code: ErrorCode, why: &str| {
        let refused = site.ann.refused("cutBatch", request);
        assert_eq!(refused.code, code, "{}", refused.message);
        assert!(refused.message.contains(why), "{}", refused.message);
        assert!((left(&plan(&site), &r) - 15_000.0).abs() < 1e-6);
    };
    let with = |name: &str, value: Value| {
        let mut one = cuts[0].clone();
        one[name] = value;
        batch(&site, &[one], false)
    };
    nothing(batch(&site, &[], false), ErrorCode::Invalid, "Name 1 to");
    nothing(
        with("cutMm", json!(7230.0)),
        ErrorCode::Changed,
        "when it was shown",
    );
    nothing(
        with("piece", json!(2)),
        ErrorCode::Changed,
        "is at piece 1 now, not 2",
    );
    nothing(
        with("wire", json!(99)),
        ErrorCode::Invalid,
        "There is no wire A99",
    );
    nothing(
        with("stock", json!("batch:x")),
        ErrorCode::Changed,
        "no longer there",
    );
    let twice = [cuts[0].clone(), cuts[0].clone()];
    nothing(
        batch(&site, &twice, false),
        ErrorCode::Invalid,
        "stands twice",
    );
    // One reel, three wires: the third is asked about, and taken where a person says so.
    let mut three = cuts.clone();
    for wire in [11, 12] {
        let mut one = cuts[0].clone();
        one["wire"] = json!(wire);
        one["cutMm"] = site.line(wire)["issued"]["cutMm"].clone();
        three.push(one);
    }
    three.dedup_by(|a, b| a["wire"] == b["wire"]);
    nothing(
        batch(&site, &three, false),
        ErrorCode::Questioned,
        "mm left by the record",
    );
    site.ann.call("cutBatch", batch(&site, &three, true));
    let over = plan(&site);
    assert_eq!(stock(&over, &r)["state"], "usedUp");
    let told = stock(&over, &r)["problem"].as_str().unwrap();
    assert!(told.contains("more was taken from R than it had"), "{told}");
    let again = site
        .ann
        .refused("cutBatch", batch(&site, &three[..1], true));
    assert!(
        again.message.contains("ticked as cut already"),
        "{}",
        again.message
    );
}

#[test]
fn a_wire_whose_ground_moved_leaves_the_plan_with_its_reason() {
    let site = Site::of_run(0);
    reel(&site, "R", 60);
    release(&site, "1-12");
    let seen = plan(&site);
    assert_eq!(in_plan(&seen), 8);
    let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_400_000, "upperMn": 1_800_000,
        "requiredOrigin": "", "upperOrigin": "", "passesMn": [1_400_000]});
    site.call(
        "setTensions",
        json!({"tensions": tensions, "confirmed": true}),
    );
    let moved = plan(&site);
    assert_eq!(in_plan(&moved), 0);
    let reason = moved["notReady"][0]["reason"].as_str().unwrap();
    assert!(reason.contains("release it again"), "{reason}");
    // Ticking what was on the glass asks first.
    let asked = site
        .ann
        .refused("cutBatch", batch(&site, &as_seen(&groups(&seen)[0]), false));
    assert_eq!(asked.code, ErrorCode::Questioned, "{}", asked.message);
}

#[test]
fn strands_are_planned_apart_and_odd_deliveries_are_named() {
    let site = Site::of_run(0);
    release(&site, "6");
    let empty = reel(&site, "E", 0);
    let unknown = reel(&site, "U", 60);
    say(&site, &unknown, "metres", Value::Null);
    let negative = json!({"job": site.job, "claims": [{"subject": unknown, "field": "metres", "value": {"nm": -1}}]});
    assert!(site.ann.try_call("say", negative).is_err());
    let told = plan(&site);
    for (id, why) in [(&empty, "told with no length"), (&unknown, "are not told")] {
        assert_eq!(stock(&told, id)["state"], "notKnown");
        let problem = stock(&told, id)["problem"].as_str().unwrap();
        assert!(problem.contains(why), "{problem}");
    }
    assert_eq!(list(&told, "/strands/0/noStock").len(), 1);
    // A wire that no reel can give is named with the longest there is.
    reel(&site, "S", 6);
    let told = plan(&site);
    let reason = told["strands"][0]["noStock"][0]["reason"].as_str().unwrap();
    assert!(reason.contains("gives 6000 mm"), "{reason}");
    // Another strand: its reel gives nothing to this run.
    site.ann
        .call("useStrand", json!({"job": site.job, "name": "4.0-1x19"}));
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let strands: Vec<&str> = list(&view, "/strands")
        .iter()
        .map(|s| s["id"].as_str().unwrap())
        .collect();
    let used = told["strands"][0]["strand"].as_str().unwrap();
    let other = strands.iter().find(|s| **s != used).unwrap();
    let long = reel(&site, "L", 60);
    say(&site, &long, "strand", json!(other));
    let apart = plan(&site);
    assert_eq!(list(&apart, "/strands/0/noStock").len(), 1);
    let line = site.line(6);
    let wrong = json!({"run": site.run, "wire": 6, "piece": 1, "cutMm": line["issued"]["cutMm"], "stock": long});
    let refused = site.ann.refused("cutBatch", batch(&site, &[wrong], true));
    assert!(
        refused.message.contains("another strand"),
        "{}",
        refused.message
    );
    say(&site, &long, "strand", json!(used));
    assert_eq!(in_plan(&plan(&site)), 1);
}
