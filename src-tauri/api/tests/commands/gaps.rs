//! Gap checks of a bay: "all stop" is said of openings that passed before, too.

use crate::common::Device;
use api::ErrorCode;
use serde_json::{Value, json};

fn id(created: &Value) -> String {
    let text = created["created"].as_str().unwrap();
    text.split_once(':').unwrap().1.to_owned()
}

#[test]
fn an_opening_that_passed_is_cleared_by_a_later_check_of_the_bay() {
    let dir = tempfile::tempdir().unwrap();
    let ben = Device::new(dir.path(), "ben", "installer");
    let job = id(&ben.call("beginJob", json!({"title": "Deck", "place": "an island"})));
    let add = |thing: &str, fields: Value| {
        let ask = json!({"job": job, "thing": thing, "fields": fields});
        id(&ben.call("addThing", ask))
    };
    let run = add(
        "run",
        json!([{"field": "name", "value": "A"}, {"field": "wireCount", "value": 3}]),
    );
    let post = |name: &str, mm: i64| {
        add(
            "post",
            json!([
                {"field": "name", "value": name},
                {"field": "position", "place": run, "value": {"nm": mm * 1_000_000}},
                {"field": "role", "place": run, "value": "anchor"},
            ]),
        )
    };
    let (left, right) = (post("A1", 0), post("A2", 1400));
    let (a, b) = (left.clone().min(right.clone()), left.max(right));
    let bay = format!("bay:{a}:{b}");
    let check = |exceptions: Value| {
        ben.call(
            "checkGaps",
            json!({"job": job, "run": run, "bay": bay, "probe": {"text": "125"},
                "exceptions": exceptions, "confirmed": true}),
        );
        let progress = ben.call("progress", json!({"job": job, "run": run}));
        progress["bays"][0].clone()
    };
    let fails = check(json!([{"aboveWire": 2, "result": "passes"}]));
    assert_eq!(
        (&fails["gaps"], &fails["passesAbove"]),
        (&json!("fails"), &json!([2]))
    );
    let after = check(json!([]));
    assert_eq!(
        (&after["gaps"], &after["passesAbove"]),
        (&json!("again"), &json!([])),
        "no wire is tensioned yet"
    );
}

/// The rule set of 125 mm, the run of [`worked::Site`], its first bay.
fn first_bay(site: &crate::common::worked::Site) -> Value {
    let view = site.ann.call("readJob", json!({"job": site.job}));
    view["runs"][0]["bays"][0]["subject"].clone()
}

#[test]
fn two_failing_openings_stand_until_each_was_offered_again() {
    let site = crate::common::worked::Site::of_run(0);
    let bay = first_bay(&site);
    let check = |exceptions: Value| {
        let ask = json!({"bay": bay, "probe": {"text": "125"}, "exceptions": exceptions});
        site.call("checkGaps", ask);
        let bay = site.ask("progress")["bays"][0].clone();
        (bay["gaps"].clone(), bay["passesAbove"].clone())
    };
    let passes = |wire: u32| json!({"aboveWire": wire, "result": "passes"});
    assert_eq!(check(json!([passes(3)])), (json!("fails"), json!([3])));
    // Nobody says that 3 was offered again.
    assert_eq!(check(json!([passes(6)])), (json!("fails"), json!([3, 6])));
    let stops = json!({"aboveWire": 3, "result": "stops"});
    assert_eq!(check(json!([stops])), (json!("fails"), json!([6])));
    assert_eq!(check(json!([passes(2), passes(9)])).1, json!([2, 6, 9]));
    // All stop, said of the whole bay: asked about once, since it passed.
    let all = json!({"bay": bay, "probe": {"text": "125"}});
    let asked = site.refused("checkGaps", all.clone());
    assert_eq!(asked.code, ErrorCode::Questioned);
    let told =
        "A probe passed between wires 2 and 3, between wires 6 and 7, between wires 9 and 10 when";
    assert!(asked.message.starts_with(told), "{asked}");
    let mut yes = all;
    yes["confirmed"] = json!(true);
    site.call("checkGaps", yes);
    // No wire was read yet, so that it is to be offered again.
    assert_eq!(check(json!([])), (json!("again"), json!([])));
}

#[test]
fn where_an_opening_on_record_is_wider_than_the_probe_all_stop_is_asked_about() {
    let site = crate::common::worked::Site::of_run(0);
    let bay = first_bay(&site);
    let all = json!({"bay": bay, "probe": {"text": "125"}});
    site.call("checkGaps", all.clone());
    let rail = json!({"subject": format!("run:{}", site.run), "field": "rail",
        "value": {"undersideNm": 1_200_000_000_i64, "thicknessNm": 40_000_000_i64}});
    let level = json!({"subject": format!("run:{}", site.run), "field": "railFollowsFloor", "value": false});
    let rail = json!({"job": site.job, "claims": [rail, level], "confirmed": true});
    site.ann.call("say", rail);
    let asked = site.refused("checkGaps", all.clone());
    assert_eq!(asked.code, ErrorCode::Questioned);
    let told = asked.message.replace('\u{a0}', " ");
    assert!(
        told.starts_with("By what is on record top wire to rail"),
        "{told}"
    );
    assert!(
        told.contains(" at A6, the widest of run A, is ")
            && told.contains(" mm clear, and the probe is 125 mm."),
        "{told}"
    );
    // A smaller probe stands for less than the rules' sphere: what it would pass is asked about too.
    let mut smaller = all.clone();
    smaller["probe"] = json!({"text": "70"});
    let asked = site
        .refused("checkGaps", smaller)
        .message
        .replace('\u{a0}', " ");
    assert!(asked.contains("between wires is 72.8 mm clear"), "{asked}");
    // Of a single opening that is told apart nothing is said of the others.
    let mut one = all.clone();
    one["exceptions"] = json!([{"aboveWire": 3, "result": "stops"}]);
    site.call("checkGaps", one);
    // Told to pass there, it contradicts nothing.
    let mut passes = all.clone();
    passes["exceptions"] = json!([{"aboveWire": 12, "result": "passes"}]);
    site.call("checkGaps", passes);
    // A yes is kept with its question.
    let mut yes = all;
    yes["confirmed"] = json!(true);
    site.call("checkGaps", yes);
    let said = site
        .ann
        .call("readSubject", json!({"job": site.job, "subject": bay}));
    assert!(
        said.to_string().contains("Asked: By what is on record"),
        "{said}"
    );
}

#[test]
fn a_probe_larger_than_the_rules_sphere_is_refused_where_it_stops() {
    let site = crate::common::worked::Site::of_run(0);
    let bay = first_bay(&site);
    let ask = |exceptions: Value| json!({"bay": bay, "probe": {"text": "250"}, "exceptions": exceptions, "confirmed": true});
    let refused = site.refused("checkGaps", ask(json!([])));
    assert!(refused.message.contains("125 mm"), "{}", refused.message);
    assert_eq!(site.ask("progress")["bays"][0]["gaps"], "none");
    site.call(
        "checkGaps",
        ask(json!([{"aboveWire": 4, "result": "passes"}])),
    );
    assert_eq!(site.ask("progress")["bays"][0]["passesAbove"], json!([4]));
}

#[test]
fn a_check_follows_the_readings_that_another_device_made() {
    let dir = tempfile::tempdir().unwrap();
    let site = crate::common::worked::Site::of_run(0);
    site.short_bay();
    let ben = Device::new(dir.path(), "ben", "installer");
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    site.ann
        .call("share", json!({"folder": folder.to_str().unwrap()}));
    crate::common::meet(&site.ann, &ben, &folder, "installer");
    for wire in 1..=12 {
        site.read(wire, 1500, "final", None);
    }
    // What was read is a wire; that its ends are in is somebody's tick.
    let stage = |site: &crate::common::worked::Site| site.ask("progress")["wires"][0].clone();
    assert_eq!(stage(&site)["stage"], "read");
    assert_eq!(stage(&site)["letter"], "R");
    // What else is to be done may be skipped; this is offered in its turn.
    let mut skipped: Vec<Value> = Vec::new();
    let mut offered: Vec<String> = Vec::new();
    loop {
        let request = json!({"job": site.job, "skipped": skipped});
        let act = site.ann.call("nextAct", request)["act"].clone();
        if act.is_null() || offered.len() > 100 {
            break;
        }
        offered.push(act["sentence"].as_str().unwrap().to_owned());
        skipped.push(act["key"].clone());
    }
    let ticks = "12 wires of run A: read, and not ticked as fitted: tick what is done";
    assert!(offered.iter().any(|act| act == ticks), "{offered:?}");
    site.call(
        "tickWires",
        json!({"wires": "1-12", "act": "fitted", "done": true, "confirmed": true}),
    );
    assert_eq!(stage(&site)["stage"], "tensioned");
    site.ann.sync();
    ben.sync();
    let view = ben.call("readJob", json!({"job": site.job}));
    let bays = view["runs"][0]["bays"].as_array().unwrap().clone();
    for bay in &bays {
        let ask = json!({"job": site.job, "run": site.run, "bay": bay["subject"],
            "probe": {"text": "125"}});
        ben.call("checkGaps", ask);
    }
    let seen = ben.call("progress", json!({"job": site.job, "run": site.run}));
    assert_eq!(seen["gapsStop"], true, "{}", seen["bays"]);
    assert_eq!(seen["wires"][0]["stage"], "checked");
}
