//! Odd figures are asked about before they are kept, whichever way a plain fact comes in. One file
//! past 400 lines, since it is one table of questions.

use std::path::Path;

use crate::common::worked::Site;
use crate::common::{Device, MM, nm};
use crate::told;
use api::ErrorCode;
use serde_json::{Value, json};

#[test]
fn first_fields_far_from_what_is_built_wait_for_a_yes() {
    let site = Site::surveyed(0);
    let add =
        |thing: &str, fields: Value| json!({"job": site.job, "thing": thing, "fields": fields});
    let run = json!([
        {"field": "name", "value": "C"},
        {"field": "height", "value": nm(40)},
        {"field": "wireHeights", "value": {"nm": [76 * MM, 150_000 * MM]}},
    ]);
    let asked = site.ann.asked_once(&site.job, "addThing", add("run", run));
    for told in [
        "Top of the barrier above the floor or nosings: 40 mm is unusual here",
        "Heights of the wires: 150000 mm is over 100 m. Is it right?",
    ] {
        assert!(asked.contains(told), "{asked}");
    }
    let post = json!([
        {"field": "name", "value": "C1"},
        {"field": "section", "value": {"alongNm": 4 * MM, "acrossNm": 4 * MM}},
    ]);
    let asked = site
        .ann
        .asked_once(&site.job, "addThing", add("post", post));
    assert!(asked.starts_with("Cross section: 4 mm"), "{asked}");
    // A reel is as long as it is.
    let reel = json!([
        {"field": "name", "value": "Reel 7"},
        {"field": "kind", "value": "strand"},
        {"field": "metres", "value": nm(305_000)},
    ]);
    site.ann.call("addThing", add("batch", reel));
}

#[test]
fn fewer_wires_than_are_told_of_and_a_second_run_or_post_of_a_name_wait_for_a_yes() {
    let site = Site::surveyed(0);
    let run = format!("run:{}", site.run);
    let say = |subject: &str, field: &str, value: Value| json!({"job": site.job, "claims": [{"subject": subject, "field": field, "value": value}]});
    // The survey reads wires 1, 6 and 12.
    let asked = site
        .ann
        .asked_once(&site.job, "say", say(&run, "wireCount", json!(8)));
    assert!(asked.contains("wire 12 of run A"), "{asked}");
    let asked = site
        .ann
        .asked_once(&site.job, "say", say(&run, "wireCount", json!(0)));
    assert!(asked.contains("wires 1, 6, 12 of run A"), "{asked}");
    site.ann.call("say", say(&run, "wireCount", json!(12)));
    let add =
        |thing: &str, fields: Value| json!({"job": site.job, "thing": thing, "fields": fields});
    let named = |name: &str| json!([{"field": "name", "value": name}]);
    let asked = site
        .ann
        .asked_once(&site.job, "addThing", add("run", named(" a ")));
    assert!(
        asked.contains("A run named a stands in this job already"),
        "{asked}"
    );
    let asked = site
        .ann
        .asked_once(&site.job, "addThing", add("post", named("A3")));
    assert!(
        asked.contains("A post named A3 stands in this job already"),
        "{asked}"
    );
    let none = json!([{"field": "name", "value": "C"}, {"field": "wireCount", "value": 0}]);
    let asked = site.ann.asked_once(&site.job, "addThing", add("run", none));
    assert!(asked.contains("no wires at all"), "{asked}");
    // The same name said again of the same run is no second one.
    site.ann.call("say", say(&run, "name", json!("A")));
}

#[test]
fn a_refused_figure_ends_its_sentence_once() {
    let site = Site::surveyed(1);
    let slope = json!({"riseNm": 2000 * MM, "goingNm": 10 * MM, "risers": 9});
    let claim = json!({"subject": format!("run:{}", site.run), "field": "slope", "value": slope});
    let refused = site
        .ann
        .refused("say", json!({"job": site.job, "claims": [claim]}));
    assert!(
        refused
            .message
            .ends_with("in another unit. Nothing was saved."),
        "{}",
        refused.message
    );
}

#[test]
fn values_over_a_hundred_metres_or_in_another_unit_wait_for_a_yes() {
    let site = Site::surveyed(0);
    let job = format!("job:{}", site.job);
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let posts = view["runs"][0]["posts"].as_array().unwrap();
    let post = format!("post:{}", posts[5]["id"].as_str().unwrap());
    let one = |subject: &str, field: &str, place: &str, value: Value| json!({"subject": subject, "field": field, "place": place, "value": value});
    let say = |claims: &[Value]| json!({"job": site.job, "claims": claims});

    let inches = one(&job, "fall", "", nm(63));
    let asked = site.ann.asked_once(&site.job, "say", say(&[inches]));
    assert!(
        asked.contains("25 times less than what is told now") && asked.contains("Inches?"),
        "{asked}"
    );
    let both = [
        one(&job, "fall", "", nm(1_602)),
        one(&post, "position", &site.run, nm(188_341)),
    ];
    let asked = site.ann.asked_once(&site.job, "say", say(&both));
    assert!(asked.contains("Millimetres?"), "{asked}");
    assert!(
        asked.contains("Middle of the post along a run: 188341 mm"),
        "{asked}"
    );
    // A repeat replaces nothing, so it is held against none.
    for size in [75, 3] {
        let mut opening = one(&post, "opening", "gateLeaf", nm(size));
        opening["with"] = json!({"kind": "gateLeaf"});
        site.ann.call("say", say(&[opening]));
    }
    // What came meanwhile is told before anything is asked: a yes to it would not be one.
    let mut late = one(&job, "fall", "", nm(63));
    late["seen"] = json!([]);
    let refused = site.ann.refused("say", say(&[late]));
    assert_eq!(refused.code, ErrorCode::Changed, "{}", refused.message);
}

#[test]
fn first_figures_in_another_unit_wait_for_a_yes_whichever_way_they_come() {
    let site = Site::surveyed(0);
    let layout = || site.ann.call("readJob", json!({"job": site.job}))["runs"][0].clone();
    // Wire to wire 7.6: centimetres.
    let heights: Vec<i64> = (0..3).map(|i| 76 * MM + i * 7_600_000).collect();
    let run = json!([{"field": "name", "value": "C"}, {"field": "wireHeights", "value": {"nm": heights}}]);
    let add = json!({"job": site.job, "thing": "run", "fields": run});
    let asked = site.ann.asked_once(&site.job, "addThing", add);
    assert!(
        asked.contains("7.6 mm is unusual for wire 1 to wire 2, where 40 to 150 mm is common"),
        "{asked}"
    );
    // A post in metres stands beside the first one.
    let post = layout()["posts"][2]["subject"].clone();
    let place = json!({"subject": post, "field": "position", "place": site.run, "value": {"nm": 1_395_000}});
    let say = json!({"job": site.job, "claims": [place]});
    let refused = site.ann.refused("say", say);
    assert_eq!(refused.code, ErrorCode::Questioned, "{}", refused.message);
    assert!(refused.message.contains("from A1"), "{}", refused.message);
    // Bays in metres and centimetres, beside their positions.
    let bay = layout()["bays"][0]["subject"].clone();
    for (text, words) in [
        ("1.38", "Metres? It would be 1380 mm."),
        ("138", "Centimetres?"),
    ] {
        let read = json!({"job": site.job, "bay": bay, "length": {"text": text}, "along": "level",
            "instrument": "tape"});
        let refused = site.ann.refused("measureBay", read);
        assert_eq!(refused.code, ErrorCode::Questioned, "{}", refused.message);
        assert!(refused.message.contains(words), "{}", refused.message);
    }
}

#[test]
fn the_first_bays_of_a_run_are_held_against_what_is_usual() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let id = |recorded: &Value| {
        let created = recorded["created"].as_str().unwrap();
        created.split(':').nth(1).unwrap().to_owned()
    };
    let job = id(&ann.call("beginJob", json!({"title": "Deck", "place": "an island"})));
    let fields = json!([{"field": "name", "value": "A"}]);
    let run = id(&ann.call(
        "addThing",
        json!({"job": job, "thing": "run", "fields": fields}),
    ));
    for (name, mm) in [("A1", 0), ("A2", 253), ("A3", 509)] {
        let fields = json!([{"field": "name", "value": name},
            {"field": "position", "place": run, "value": {"nm": mm * MM}}]);
        let add = json!({"job": job, "thing": "post", "fields": fields, "confirmed": true});
        ann.call("addThing", add);
    }
    let view = ann.call("readJob", json!({"job": job}));
    let bay = view["runs"][0]["bays"][0]["subject"].clone();
    let mut read = json!({"job": job, "bay": bay, "length": {"text": "138"}, "along": "level",
        "instrument": "tape"});
    let asked = ann.asked_once(&job, "measureBay", read.clone());
    assert!(
        asked.contains("138 mm is unusual for a bay, where 300 to 3000 mm is common"),
        "{asked}"
    );
    // The same bay again was answered once.
    read["length"]["text"] = json!("140");
    ann.call("measureBay", read);
}

#[test]
fn the_first_wire_is_held_against_bays_and_posts_and_the_next_is_not_blamed() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    let mut survey: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    survey.as_object_mut().unwrap().remove("lengths");
    let bare = dir.path().join("bare.json");
    std::fs::write(&bare, survey.to_string()).unwrap();
    let ended = ann.run_task(
        "startImport",
        json!({"source": {"kind": "file", "path": bare}}),
    );
    let job = ended["result"]["job"].as_str().unwrap().to_owned();
    let view = ann.call("readJob", json!({"job": job}));
    let run = view["runs"][0]["id"].clone();
    let read = |wire: u32, text: &str| {
        json!({"job": job, "run": run, "wire": wire, "length": {"text": text}, "purpose": "cut",
            "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape"})
    };
    // 7300 mm between the ends: 287.4 in, 730 cm, 7.3 m.
    for (text, words) in [
        ("287.4", "Inches?"),
        ("730", "Centimetres?"),
        ("7.3", "Metres?"),
    ] {
        let refused = ann.refused("measure", read(1, text));
        assert_eq!(refused.code, ErrorCode::Questioned, "{}", refused.message);
        assert!(
            refused.message.contains(words)
                && refused
                    .message
                    .contains("what bays and posts of run A add up to"),
            "{}",
            refused.message
        );
    }
    let mut wrong = read(1, "287.4");
    wrong["confirmed"] = json!(true);
    ann.call("measure", wrong);
    ann.call("measure", read(6, "7300"));
}

#[test]
fn a_tool_no_tool_is_like_waits_for_a_yes() {
    let site = Site::surveyed(0);
    let gauge = json!([
        {"field": "name", "value": "G-9"},
        {"field": "rangeFrom", "value": {"mn": 2_500_000}},
        {"field": "rangeTo", "value": {"mn": 300_000}},
        {"field": "errorPer10000", "value": 4_000},
        {"field": "comparedOn", "value": "2999-01-01"},
    ]);
    let add = json!({"job": site.job, "thing": "tool", "fields": gauge});
    let asked = site.ann.asked_once(&site.job, "addThing", add);
    for words in [
        "No kind is told",
        "nothing lies between",
        "40\u{a0}%",
        "has not come yet",
    ] {
        assert!(asked.contains(words), "{asked}");
    }
    // Said later, beside what stands.
    let tool = site.ann.call("readJob", json!({"job": site.job}))["tools"][0]["subject"].clone();
    let told = site
        .ann
        .call("readSubject", json!({"job": site.job, "subject": tool}));
    assert!(
        told["facts"]
            .as_array()
            .unwrap()
            .iter()
            .any(|f| f["field"] == "rangeTo"),
        "{told}"
    );
    let claim = json!({"subject": tool, "field": "rangeFrom", "value": {"mn": 900_000_000}});
    let refused = site
        .ann
        .refused("say", json!({"job": site.job, "claims": [claim]}));
    assert!(
        refused.message.contains("nothing lies between"),
        "{}",
        refused.message
    );
    let bay = site.ann.call("readJob", json!({"job": site.job}))["runs"][0]["bays"][0].clone();
    let offer = json!({"job": site.job, "run": site.run, "bay": bay["subject"],
        "probe": {"text": "4.92"}});
    let asked = site.ann.asked_once(&site.job, "checkGaps", offer);
    assert!(asked.contains("4.9 mm is unusual for a probe"), "{asked}");
    let round = json!({"bay": bay["place"], "stage": "final", "air": "75"});
    let read =
        json!({"job": site.job, "run": site.run, "wire": 1, "newtons": "1400", "round": round});
    let refused = site.ann.refused("readTension", read);
    assert!(
        refused.message.contains("degrees Celsius"),
        "{}",
        refused.message
    );
}

#[test]
fn a_tick_that_contradicts_what_is_known_waits_for_a_yes_which_is_kept() {
    let site = Site::of_run(0);
    let tick = |wires: &str, act: &str| json!({"job": site.job, "run": site.run, "wires": wires, "act": act, "done": true});
    let asked = site
        .ann
        .asked_once(&site.job, "tickWires", tick("1-11", "fitted"));
    assert!(
        asked.contains("A1, A2, A3 and 8 more are not ticked as cut."),
        "{asked}"
    );
    let wire = format!("wire:{}:1", site.run);
    let told = site
        .ann
        .call("readSubject", json!({"job": site.job, "subject": wire}));
    assert!(told.to_string().contains("Kept all the same."), "{told}");
    // The same tick again asks nothing, and taking it back neither.
    site.ann.call("tickWires", tick("1", "fitted"));
    let mut back = tick("1-11", "fitted");
    back["done"] = json!(false);
    site.ann.call("tickWires", back);

    site.cut("6");
    // Fitted is what both its ends are in: a wire that nobody pressed is not.
    let asked = site
        .ann
        .asked_once(&site.job, "tickWires", tick("6", "fitted"));
    assert!(
        asked.contains("Wire A6 is not ticked as pressed at both ends"),
        "{asked}"
    );
    let mut back = tick("6", "fitted");
    back["done"] = json!(false);
    site.ann.call("tickWires", back);
    let asked = site
        .ann
        .asked_once(&site.job, "tickWires", tick("6", "rightEndPressed"));
    assert!(
        asked.contains("sleeves on") && asked.contains("no way back") && !asked.contains("cut"),
        "{asked}"
    );
    let looked = json!({"subject": format!("run:{}", site.run), "field": "beforeSecondEnd",
        "value": {"sleevesOn": true, "throughAllPosts": true, "nutsOn": true, "handTried": true,
            "studPasses": true}});
    site.ann
        .call("say", json!({"job": site.job, "claims": [looked]}));
    let crimp = json!({"job": site.job, "run": site.run, "wires": "6-7", "post": site.ends()[0],
        "result": "good"});
    let asked = site.ann.asked_once(&site.job, "checkCrimps", crimp.clone());
    assert!(asked.contains("Wire A7 is not ticked as cut"), "{asked}");
    assert!(
        asked.contains("No sample crimp of the day is referred to: none is on record."),
        "{asked}"
    );
    let mut unknown = crimp.clone();
    unknown["sample"] = json!("00".repeat(32));
    let refused = site.ann.refused("checkCrimps", unknown);
    assert!(
        refused
            .message
            .starts_with("The job has no such sample crimp"),
        "{refused}"
    );
    let mut reject = crimp;
    reject["result"] = json!("reject");
    reject["reason"] = json!("Mark not at the mouth");
    site.ann.call("checkCrimps", reject);
    // One end ticked, a crimp looked at at the other: both are pressed.
    let [press, die] =
        [("P-1", "press"), ("D-6", "die")].map(|(n, kind)| told::tool(&site, n, kind));
    let other = json!({"job": site.job, "run": site.run, "wires": "6", "post": site.ends()[1],
        "result": "good", "sample": told::sample(&site, &press, &die)});
    site.ann.call("checkCrimps", other);
    site.ann.call("tickWires", tick("6", "fitted"));
}

#[test]
fn an_import_asks_by_the_same_rule() {
    let site = Site::surveyed(0);
    let dir = tempfile::tempdir().unwrap();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../fixtures/demo/survey.json");
    let text = std::fs::read_to_string(path).unwrap();
    assert!(text.contains("\"fall\": 1602"));
    let changed = dir.path().join("survey.json");
    std::fs::write(&changed, text.replace("\"fall\": 1602", "\"fall\": 63")).unwrap();
    let source = json!({"kind": "file", "path": changed});
    let ask = json!({"source": source, "job": site.job});
    let ended = site.ann.run_task("startImport", ask);
    let problems = ended["result"]["problems"].as_array().unwrap();
    let told = problems.iter().find(|p| p["path"] == "job.fall").unwrap();
    assert_eq!(told["outcome"], "questioned", "{told}");
    let claim = json!({"subject": format!("job:{}", site.job), "field": "fall", "value": nm(63)});
    let said = site
        .ann
        .refused("say", json!({"job": site.job, "claims": [claim]}));
    let rule = "63 mm is 25 times less than what is told now";
    for message in [told["message"].as_str().unwrap(), &said.message] {
        assert!(message.contains(rule), "{message}");
    }
}

#[test]
fn runs_of_whose_wires_two_would_have_one_name_wait_for_a_yes() {
    let site = Site::surveyed(0);
    let add = |name: &str| json!({"job": site.job, "thing": "run", "fields": [{"field": "name", "value": name}]});
    site.ann.call("addThing", add("C"));
    let asked = site.ann.asked_once(&site.job, "addThing", add("C1"));
    assert!(
        asked.contains("Wire 1 of run C1 would be C11, as wire 11 of run C is."),
        "{asked}"
    );
    for apart in ["C12x", "CD", "D2"] {
        site.ann.call("addThing", add(apart));
    }
    let asked = site.ann.asked_once(&site.job, "addThing", add("D"));
    assert!(asked.contains("Wire 1 of run D2 would be D21"), "{asked}");
}
