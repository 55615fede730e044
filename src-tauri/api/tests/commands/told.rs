//! How a reading came about, as the commands take it: tool, press, die, spread, repeat, cause.

use crate::common::worked::Site;
use serde_json::{Value, json};

/// The newest word on a field of a subject.
fn word(site: &Site, subject: &str, field: &str) -> Value {
    let request = json!({"job": site.job, "subject": subject});
    let view = site.ann.call("readSubject", request);
    let facts = view["facts"].as_array().unwrap();
    let of_field = facts.iter().filter(|f| f["field"] == field);
    let words = of_field.flat_map(|f| f["words"].as_array().unwrap());
    let newest = words.max_by_key(|w| w["atMs"].as_i64().unwrap());
    newest.unwrap().clone()
}

pub(crate) fn tool(site: &Site, name: &str, kind: &str) -> String {
    let fields = json!([{"field": "name", "value": name}, {"field": "kind", "value": kind}]);
    let request = json!({"job": site.job, "thing": "tool", "fields": fields});
    let made = site.ann.call("addThing", request);
    let (_, id) = made["created"].as_str().unwrap().split_once(':').unwrap();
    id.to_owned()
}

pub(crate) fn sample(site: &Site, press: &str, die: &str) -> String {
    let size = json!({"firstNm": 6_300_000, "secondNm": 6_320_000});
    let sample = json!({"pullMn": 3_700_000, "heldS": 60, "markMovedNm": 0, "result": "good",
        "left": size, "right": size});
    let with = json!({"piece": 1, "press": press, "die": die});
    let request = json!({"job": site.job, "sample": sample, "with": with});
    let made = site.ann.call("addSampleCrimp", request);
    made["entries"][0].as_str().unwrap().to_owned()
}

#[test]
fn a_crimp_keeps_its_press_die_and_batch_and_those_of_its_sample_otherwise() {
    let site = Site::surveyed(0);
    let [left, _] = site.ends();
    let [press, other, die] = [("P-1", "press"), ("P-2", "press"), ("D-6", "die")]
        .map(|(name, kind)| tool(&site, name, kind));
    let sample = sample(&site, &press, &die);
    let crimp = |more: Value| {
        let mut request = json!({"wires": "1", "post": left, "result": "good", "sample": sample,
            "confirmed": true});
        let own = more.as_object().unwrap().clone();
        request.as_object_mut().unwrap().extend(own);
        site.call("checkCrimps", request);
        word(&site, &format!("wire:{}:1", site.run), "crimp")["with"].clone()
    };
    // One that is withdrawn is none.
    let gone = tool(&site, "P-3", "press");
    let gone = self::sample(&site, &gone, &die);
    let taken = json!({"job": site.job, "entry": gone, "reason": "Typed by mistake"});
    site.ann.call("withdraw", taken);
    let request = json!({"wires": "1", "post": left, "result": "good", "sample": gone,
        "confirmed": true});
    let refused = site.refused("checkCrimps", request);
    assert!(
        refused
            .message
            .starts_with("The job has no such sample crimp"),
        "{refused}"
    );
    let as_sample = crimp(json!({}));
    assert_eq!(
        (&as_sample["press"], &as_sample["die"]),
        (&json!(press), &json!(die))
    );
    let told = crimp(json!({"press": other, "batch": press}));
    assert_eq!((&told["press"], &told["die"]), (&json!(other), &json!(die)));
    assert_eq!(told["batch"], json!(press));
    assert_eq!(told["sample"], json!(sample));
}

#[test]
fn a_later_sample_names_the_one_that_it_follows() {
    // With tensions decided: a sample shows something against an upper one alone.
    let site = Site::of_run(0);
    let (press, die) = (tool(&site, "P-1", "press"), tool(&site, "D-6", "die"));
    let first = sample(&site, &press, &die);
    sample(&site, &press, &die);
    let request = json!({"job": site.job});
    let state = site.ann.call("readState", request);
    let text = state.to_string();
    assert!(text.contains(&first), "the first one stands in the state");
    let lacks = site.ann.call("lacks", json!({"job": site.job}));
    let mut items = lacks["items"].as_array().unwrap().iter();
    let item = items.find(|i| i["key"] == "sampleCrimp").unwrap();
    assert_eq!(
        item["detail"], "3700 N for 60 s, mark moved 0 mm",
        "one governs"
    );
}

#[test]
fn crimps_ask_for_a_sample_of_their_own_day_that_none_failed_after() {
    let site = Site::of_run(0);
    let (press, die) = (tool(&site, "P-1", "press"), tool(&site, "D-6", "die"));
    let [left, _] = site.ends();
    site.cut("1-4");
    let crimp = |wire: &str, sample: &str| {
        json!({"job": site.job, "run": site.run, "wires": wire, "post": left, "result": "good",
            "sample": sample})
    };
    let first = sample(&site, &press, &die);
    site.ann.call("checkCrimps", crimp("1", &first));
    site.ann.days_later(1);
    let asked = site
        .ann
        .asked_once(&site.job, "checkCrimps", crimp("2", &first));
    assert!(asked.contains("not of today"), "{asked}");
    let second = sample(&site, &press, &die);
    site.ann.call("checkCrimps", crimp("3", &second));
    let slipped = json!({"job": site.job, "with": {"piece": 1, "press": press, "die": die},
        "sample": {"pullMn": 3_700_000, "heldS": 60, "markMovedNm": 2_000_000, "result": "reject"}});
    site.ann.call("addSampleCrimp", slipped);
    let asked = site
        .ann
        .asked_once(&site.job, "checkCrimps", crimp("4", &second));
    assert!(asked.contains("followed by one that failed"), "{asked}");
    // Another press and die are not that one's.
    let (press, die) = (tool(&site, "P-2", "press"), tool(&site, "D-7", "die"));
    let other = sample(&site, &press, &die);
    site.ann.call("checkCrimps", crimp("4", &other));
}

#[test]
fn nut_wire_end_spread_repeat_and_probe_are_kept_as_told() {
    let site = Site::of_run(0);
    let [left, _] = site.ends();
    let wire = format!("wire:{}:2", site.run);
    let read = json!({"wires": "2", "post": left, "nutTight": true, "endOut": {"text": "1.5"}});
    site.call("readEnd", read);
    assert_eq!(word(&site, &wire, "nutTight")["value"], true);
    let out = word(&site, &wire, "endOut");
    assert_eq!(out["value"], json!({"nm": 1_500_000}));
    assert_eq!(out["with"]["entered"], "1.5 mm");
    let nothing = json!({"wires": "2", "post": left});
    let refused = site.refused("readEnd", nothing);
    assert!(
        refused.message.contains("whether the nut is tight"),
        "{}",
        refused.message
    );

    let length = json!({"wire": 2, "length": {"text": "7295"}, "purpose": "cut", "posts": "railOn",
        "faces": "postFaces", "instrument": "tape", "spread": {"text": "1.5"}});
    site.call("measure", length);
    assert_eq!(word(&site, &wire, "length")["with"]["spreadNm"], 1_500_000);

    let view = site.ann.call("readJob", json!({"job": site.job}));
    let bay = &view["runs"][0]["bays"][1];
    let round = json!({"bay": bay["place"], "stage": "final"});
    let request = json!({"wire": 2, "newtons": "1490", "round": round, "repeat": 2,
        "confirmed": true});
    site.call("readTension", request);
    assert_eq!(word(&site, &wire, "tension")["with"]["repeat"], 2);

    let probe = tool(&site, "probe 125", "probe");
    let gaps =
        json!({"bay": bay["subject"], "probe": {"text": "125"}, "tool": probe, "push": "40"});
    site.call("checkGaps", gaps);
    let with = word(&site, bay["subject"].as_str().unwrap(), "gaps")["with"].clone();
    assert_eq!(
        (&with["tool"], &with["pushMn"]),
        (&json!(probe), &json!(40_000))
    );
}

#[test]
fn a_piece_is_taken_out_with_its_cause_and_what_it_cost() {
    let site = Site::surveyed(0);
    let taken = json!({"wire": 3, "reason": "kinked at A3", "cause": "kinked",
        "used": {"terminalsLeft": 1}});
    site.call("remakeWire", taken);
    let piece = word(&site, &format!("wire:{}:3", site.run), "piece");
    assert_eq!(
        piece["value"],
        json!({"number": 2, "reason": "kinked at A3"})
    );
    assert_eq!(piece["with"]["cause"], "kinked");
    assert_eq!(piece["with"]["used"]["terminalsLeft"], 1);
}
