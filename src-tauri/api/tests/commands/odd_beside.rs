//! Figures that would make the work lighter, words on what is not there and readings that no tool gives
//! are asked about or refused before they are kept. One file past 400 lines, since all of it asks of the same
//! worked site.

use crate::common::Device;
use crate::common::worked::Site;
use crate::common::{MM, nm};
use api::ErrorCode;
use serde_json::{Value, json};

#[test]
fn figures_that_would_make_the_work_lighter_wait_for_a_yes() {
    let site = Site::of_run(0);
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let layout = &view["runs"][0];
    let (a3, run) = (&layout["posts"][2]["subject"], format!("run:{}", site.run));
    let tool = view["tools"][0]["subject"].clone();
    let place = |wire: u32| format!("{}/{wire}", site.run);
    let one = |subject: &Value, field: &str, place: &str, value: Value| json!({"job": site.job, "claims": [{"subject": subject, "field": field, "place": place, "value": value}]});
    let rail = |stiffness: i64, underside: i64| {
        json!({"undersideNm": underside * MM, "thicknessNm": 35 * MM,
        "stiffnessNPerM": stiffness, "stiffnessHeightNm": 1_000 * MM})
    };
    let run = json!(run);
    for (request, words) in [
        (
            one(&run, "rail", "", rail(500_000_000, 985)),
            "500000\u{a0}N/mm is unusual",
        ),
        (
            one(&run, "rail", "", rail(500_000, 885)),
            "its rail's top lies at 920",
        ),
        (one(&run, "rail", "", rail(500_000, 985)), ""),
        (
            one(&run, "height", "", nm(1_200)),
            "The run's height is told as 1200",
        ),
        (one(&run, "height", "", nm(1_020)), ""),
        (
            one(&tool, "errorPer10000", "", json!(4)),
            "0.04\u{a0}% is unusual",
        ),
        (
            one(&tool, "due", "", json!("2020-01-01")),
            "before it was compared",
        ),
        (
            one(
                a3,
                "material",
                "",
                json!({"name": "hardwood", "modulusMpa": 140_000}),
            ),
            "140\u{a0}GPa",
        ),
        (one(a3, "drilled", &place(5), nm(85)), ""),
        (
            one(a3, "drilled", &place(5), nm(9)),
            "40 to 150 mm is common",
        ),
        (one(a3, "drilled", &place(5), nm(85)), ""),
        (
            one(a3, "drilled", &place(5), nm(76)),
            "a hole that moves makes the gap beside it wider",
        ),
        (
            one(a3, "role", &site.run, json!("anchor")),
            "an anchor within run A",
        ),
        (
            one(
                &json!(format!("job:{}", site.job)),
                "permitDate",
                "",
                json!("1826-03-02"),
            ),
            "A permit of 1826",
        ),
    ] {
        match words {
            "" => drop(site.ann.call("say", request)),
            words => {
                let asked = site.ann.asked_once(&site.job, "say", request);
                assert!(asked.contains(words), "{asked}");
            }
        }
    }
    // A hole that moves changes both gaps.
    let both = json!({"job": site.job, "claims": [
        {"subject": a3, "field": "drilled", "place": place(5), "value": nm(85)},
        {"subject": a3, "field": "drilled", "place": place(6), "value": nm(67)},
    ]});
    site.ann.call("say", both);
    let put_right = json!({"job": site.job, "claims": [
        {"subject": a3, "field": "drilled", "place": place(5), "value": nm(77)},
        {"subject": a3, "field": "drilled", "place": place(6), "value": nm(75)},
    ]});
    site.ann.call("say", put_right);
    let nothing = site
        .ann
        .refused("say", one(a3, "drilled", &place(5), nm(0)));
    assert_eq!(nothing.code, ErrorCode::Invalid, "{}", nothing.message);
    assert!(
        nothing.message.contains("more than 0"),
        "{}",
        nothing.message
    );
}

#[test]
fn a_word_on_what_is_not_there_is_refused() {
    let site = Site::surveyed(0);
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let post = view["runs"][0]["posts"][2]["subject"].as_str().unwrap();
    let far = view["runs"][0]["posts"][5]["id"].as_str().unwrap();
    let mut apart = [post.split(':').nth(1).unwrap(), far];
    apart.sort_unstable();
    let of_b = view["runs"][1]["posts"][1]["subject"].as_str().unwrap();
    let none = "a".repeat(26);
    let (run, wires) = (format!("run:{}", site.run), site.run.clone());
    let drilled = |place: &str| (post.to_owned(), "drilled", place.to_owned(), nm(76));
    for (subject, field, place, value) in [
        (format!("run:{none}"), "height", String::new(), nm(1_020)),
        (format!("post:{none}"), "floor", String::new(), nm(-5)),
        (
            format!("wire:{wires}:99"),
            "note",
            String::new(),
            json!("seen"),
        ),
        (
            format!("bay:{}", apart.join(":")),
            "note",
            String::new(),
            json!("seen"),
        ),
        (
            post.to_owned(),
            "role",
            "zzz".to_owned(),
            json!("intermediate"),
        ),
        (run.clone(), "height", "somewhere".to_owned(), nm(1_020)),
        drilled(&format!("{wires}/12")),
        drilled(&format!("{wires}/0")),
        drilled(""),
        drilled("nonsense"),
        (of_b.to_owned(), "drilled", format!("{wires}/5"), nm(76)),
        (run.clone(), "name", String::new(), json!("  ")),
        (
            format!("job:{}", site.job),
            "title",
            String::new(),
            json!(""),
        ),
    ] {
        let claim = json!({"subject": subject, "field": field, "place": place, "value": value});
        let say = json!({"job": site.job, "claims": [claim], "confirmed": true});
        let refused = site.ann.refused("say", say);
        assert_eq!(
            refused.code,
            ErrorCode::Invalid,
            "{subject} {field} {place}"
        );
        let told = &refused.message;
        assert!(told.ends_with("Nothing was saved."), "{told}");
    }
    for (thing, fields) in [
        ("post", json!([])),
        ("post", json!([{"field": "name", "value": ""}])),
        ("run", json!([{"field": "wireCount", "value": 12}])),
        ("defect", json!([{"field": "found", "value": " "}])),
    ] {
        let add = json!({"job": site.job, "thing": thing, "fields": fields});
        let refused = site.ann.refused("addThing", add);
        assert_eq!(
            refused.code,
            ErrorCode::Invalid,
            "{thing}: {}",
            refused.message
        );
    }
}

#[test]
fn a_run_that_loses_its_anchor_or_its_heights_is_told_so_at_once() {
    let site = Site::surveyed(0);
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let (post, run) = (
        &view["runs"][0]["posts"][0]["subject"],
        format!("run:{}", site.run),
    );
    for (subject, field, place, value, words) in [
        (
            post,
            "role",
            &*site.run,
            json!("intermediate"),
            "has 1 of the two anchors",
        ),
        (post, "role", &*site.run, json!("anchor"), ""),
        (
            &json!(run),
            "wireHeights",
            "",
            json!({"nm": [76 * MM]}),
            "12 wires and 1 heights",
        ),
        (&json!(run), "wireHeights", "", json!({"nm": [80 * MM]}), ""),
    ] {
        let claim = json!({"subject": subject, "field": field, "place": place, "value": value});
        let say = json!({"job": site.job, "claims": [claim], "confirmed": true});
        let remarks = site.ann.call("say", say)["remarks"].to_string();
        match words {
            "" => assert_eq!(remarks, "null", "nothing new"),
            words => assert!(remarks.contains(words), "{remarks}"),
        }
    }
}

#[test]
fn readings_no_tool_gives_wait_for_a_yes_or_are_refused() {
    let site = Site::of_run(0);
    site.cut("6");
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let (gauge, bay) = (&view["tools"][0]["id"], &view["runs"][0]["bays"][0]);
    let on_run = |mut more: Value| {
        more["job"] = json!(site.job);
        more["run"] = json!(site.run);
        more
    };
    let round = json!({"bay": bay["place"], "stage": "final", "gauge": gauge});
    let read = |newtons: &str| on_run(json!({"wire": 6, "newtons": newtons, "round": round}));
    let end = &site.ends()[0];
    let sample = json!({"job": site.job, "sample": {"pullMn": 3_700_000, "heldS": 60, "markMovedNm": 0,
        "result": "good", "left": {"firstNm": 6_300, "secondNm": 6_300_000}}, "with": {}});
    let gaps = |more: Value| {
        let mut all = on_run(json!({"bay": bay["subject"], "probe": {"text": "100"}}));
        all.as_object_mut()
            .unwrap()
            .extend(more.as_object().unwrap().clone());
        all
    };
    for (command, request, words) in [
        (
            "readTension",
            read("1.5"),
            "is outside what G-02 reads, from 300",
        ),
        ("readTension", read("280"), "is outside what G-02 reads"),
        (
            "readEnd",
            on_run(json!({"wires": "6", "post": end, "turns": {"turns": 100, "flats": 0}})),
            "100 turns",
        ),
        ("addSampleCrimp", sample, "unusual for a pressed shank"),
        (
            "checkGaps",
            gaps(json!({"push": "99999"})),
            "A push of 99999",
        ),
    ] {
        let asked = site.ann.asked_once(&site.job, command, request);
        assert!(asked.contains(words), "{asked}");
    }
    let twice = json!([{"aboveWire": 3, "result": "passes"}, {"aboveWire": 3, "result": "stops"}]);
    let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_500_000, "upperMn": 1_800_000,
        "requiredOrigin": "", "upperOrigin": "", "passesMn": [600_000, 500_000, 1_500_000]});
    for (command, request, words) in [
        (
            "checkGaps",
            gaps(json!({"tool": gauge})),
            "G-02 is no probe",
        ),
        (
            "checkGaps",
            gaps(json!({"exceptions": twice})),
            "told twice",
        ),
        (
            "checkGaps",
            gaps(json!({"push": "-1"})),
            "no force that is read here",
        ),
        (
            "setTensions",
            on_run(json!({"tensions": tensions, "confirmed": true})),
            "rising order",
        ),
        (
            "tickWires",
            on_run(json!({"wires": "12-1", "act": "cut", "done": true})),
            "names no wires",
        ),
    ] {
        let refused = site.ann.refused(command, request);
        assert_eq!(refused.code, ErrorCode::Invalid, "{}", refused.message);
        assert!(refused.message.contains(words), "{}", refused.message);
    }
}

#[test]
fn a_sheet_of_the_crew_s_own_is_asked_about_by_the_same_rule() {
    let site = Site::surveyed(0);
    let figure = |n: i64| json!({"n": n, "origin": "sheet T-4"});
    for (name, n, words) in [
        ("breakingMn", 85_000_000_i64, "breaking load"),
        ("eaMn", 7_945_970_000, "axial stiffness"),
        ("stretchPpm", 3_000, "3000\u{a0}ppm"),
    ] {
        let mut figures = json!({"diameterNm": figure(3_200_000)});
        figures[name] = figure(n);
        let keep = json!({"name": name, "sheet": {"construction": "1x19", "figures": figures}});
        let asked = site.ann.asked_once(&site.job, "keepStrand", keep);
        assert!(asked.contains(words), "{asked}");
    }
    let sheet = json!({"kind": "insert", "left": {}, "right": {}, "set": {"permille": figure(65)}});
    let keep = json!({"name": "M6", "sheet": sheet});
    let asked = site.ann.asked_once(&site.job, "keepFittingSet", keep);
    assert!(asked.contains("Terminal efficiency: 6.5"), "{asked}");
    // A stud of 72 mm with a digit too many, and a hole that fills its post.
    let left = json!({"overallNm": figure(720_000_000)});
    let sheet = json!({"kind": "insert", "left": left, "right": {}, "set": {"throughHoleNm": figure(90_000_000)}});
    let keep = json!({"name": "M6 long", "sheet": sheet});
    let asked = site.ann.asked_once(&site.job, "keepFittingSet", keep);
    for told in [
        "of the left-hand terminal: 720 mm is unusual, where 30 to 250 mm is common",
        "Hole through a post: 90 mm is unusual here, where 3 to 30 mm is common",
    ] {
        assert!(asked.contains(told), "{told}: {asked}");
    }
}

#[test]
fn a_wire_that_is_not_made_by_the_record_shows_no_tension_without_a_yes() {
    let site = Site::of_run(0);
    let bay = site.ann.call("readJob", json!({"job": site.job}))["runs"][0]["bays"][1].clone();
    let read = |wire: u32| {
        let round = json!({"bay": bay["place"], "stage": "final", "air": "20"});
        json!({"job": site.job, "run": site.run, "wire": wire, "newtons": "1400", "round": round})
    };
    let asked = site.ann.asked_once(&site.job, "readTension", read(3));
    assert!(asked.contains("Wire A3 is not ticked as cut."), "{asked}");
    // It was read then: who reads on is asked no more.
    site.ann.call("readTension", read(3));
    site.cut("6");
    let asked = site.ann.asked_once(&site.job, "readTension", read(6));
    assert!(
        asked.contains("Wire A6 is not ticked as pressed at both ends"),
        "{asked}"
    );
    site.cut("7");
    for act in ["leftEndPressed", "threaded", "rightEndPressed"] {
        let tick = json!({"job": site.job, "run": site.run, "wires": "7", "act": act, "done": true,
            "confirmed": true});
        site.ann.call("tickWires", tick);
    }
    site.ann.call("readTension", read(7));
    // Made anew, nothing of it is pressed; and what was looked at before was another piece.
    let anew = json!({"job": site.job, "run": site.run, "wire": 7, "reason": "Kinked wire"});
    site.ann.call("remakeWire", anew);
    let asked = site.ann.asked_once(&site.job, "readTension", read(7));
    assert!(asked.contains("Wire A7 is not ticked as"), "{asked}");
    let tick = json!({"job": site.job, "run": site.run, "wires": "7", "act": "rightEndPressed",
        "done": true});
    // Nobody looked at anything in this run yet: that goes before what was looked at on another piece.
    let refused = site.ann.refused("tickWires", tick.clone());
    assert!(
        refused.message.contains("this is not ticked: sleeves on")
            && !refused.message.contains("not among"),
        "{}",
        refused.message
    );
    let looked = json!({"subject": format!("run:{}", site.run), "field": "beforeSecondEnd",
        "value": {"sleevesOn": true, "throughAllPosts": true, "nutsOn": true, "handTried": true,
            "studPasses": true}});
    site.ann
        .call("say", json!({"job": site.job, "claims": [looked]}));
    let asked = site.ann.asked_once(&site.job, "tickWires", tick);
    assert!(
        asked.contains("Wire A7 is not among the wires that were ticked as threaded")
            && asked.contains("no way back"),
        "{asked}"
    );
}

#[test]
fn the_look_before_the_second_ends_is_for_the_wires_that_are_threaded_by_then() {
    let dir = tempfile::tempdir().unwrap();
    let site = Site::of_run(0);
    site.cut("1-6");
    // Another device, whose clock is two hours ahead, tells the look.
    let ben = Device::new(dir.path(), "ben", "installer");
    ben.ahead(2 * 3600);
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    site.ann.call("share", json!({"folder": folder}));
    crate::common::meet(&site.ann, &ben, &folder, "installer");
    let tick = |wires: &str, act: &str| json!({"job": site.job, "run": site.run, "wires": wires, "act": act, "done": true});
    let look = |by: &Device| {
        let looked = json!({"subject": format!("run:{}", site.run), "field": "beforeSecondEnd",
            "value": {"sleevesOn": true, "throughAllPosts": true, "nutsOn": true, "handTried": true,
                "studPasses": true}});
        by.call("say", json!({"job": site.job, "claims": [looked]}));
    };
    let both = || {
        for device in [&site.ann, &ben, &site.ann] {
            device.sync();
        }
    };
    site.ann.call("tickWires", tick("1-2", "threaded"));
    both();
    look(&ben);
    both();
    site.ann.call("tickWires", tick("1-2", "rightEndPressed"));
    // Threaded since, by a clock that is behind; one was never ticked as threaded.
    site.ann.call("tickWires", tick("3-4", "threaded"));
    let asked = |wires: &str| {
        site.ann
            .refused("tickWires", tick(wires, "rightEndPressed"))
    };
    let not_among = "not among the wires that were ticked as threaded when run A was looked at";
    for (wires, which) in [("3-4", "A3 and Wire A4 are"), ("5", "Wire A5 is")] {
        let refused = asked(wires);
        assert_eq!(refused.code, ErrorCode::Questioned);
        assert!(refused.message.contains(not_among), "{}", refused.message);
        let named = refused.message.replace("A4 are", "Wire A4 are");
        assert!(named.contains(which), "{named}");
    }
    // A crimp at the second end says that it is pressed.
    let crimp = json!({"job": site.job, "run": site.run, "wires": "3", "post": site.ends()[1],
        "result": "good"});
    let refused = site.ann.refused("checkCrimps", crimp);
    assert!(refused.message.contains(not_among), "{}", refused.message);
    // Looked at once more, it is asked about no more; a tick said twice changes nothing.
    look(&site.ann);
    site.ann.call("tickWires", tick("3", "threaded"));
    site.ann.call("tickWires", tick("3-4", "rightEndPressed"));
    let evidence = || {
        let lacks = site.ann.call("lacks", json!({"job": site.job}));
        let items = lacks["items"].as_array().unwrap().iter();
        let mut of_run = items.filter(|i| i["key"] == format!("beforeSecondEnd/{}", site.run));
        of_run.next().unwrap().clone()
    };
    assert_eq!(evidence()["state"], "there");
    // Pressed all the same: a look that comes after is none for it.
    let mut all_the_same = tick("5", "rightEndPressed");
    all_the_same["confirmed"] = json!(true);
    site.ann.call("tickWires", all_the_same);
    assert_eq!(evidence()["detail"], "not before wire 5 was pressed");
    site.ann.call("tickWires", tick("5", "threaded"));
    look(&site.ann);
    assert_eq!(evidence()["detail"], "not before wire 5 was pressed");
    // Pulled out and threaded anew, it is to be looked at anew.
    site.ann.call("tickWires", tick("6", "threaded"));
    look(&site.ann);
    let mut out = tick("6", "threaded");
    out["done"] = json!(false);
    site.ann.call("tickWires", out);
    site.ann.call("tickWires", tick("6", "threaded"));
    assert!(asked("6").message.contains(not_among));
}

#[test]
fn a_handover_goes_to_a_whole_path() {
    let site = Site::of_run(0);
    let request = json!({"job": site.job, "folder": "relative"});
    let refused = site.ann.refused("startHandover", request);
    assert!(
        refused.message.contains("whole path"),
        "{}",
        refused.message
    );
    assert!(!std::path::Path::new("relative").exists());
}

#[test]
fn a_stage_is_signed_with_what_by_the_record_is_not_that_far() {
    let site = Site::of_run(0);
    site.cut("6");
    let sign = |stage: &str| {
        let request = json!({"job": site.job, "stage": stage, "statement": "All wires read."});
        site.ann.call("signOff", request)
    };
    let cut = sign("cutting")["remarks"].to_string();
    assert!(
        cut.contains("wires of run A not cut by the record: 1–5, 7–12."),
        "{cut}"
    );
    let read = sign("tension")["remarks"].to_string();
    assert!(
        read.contains("not tensioned by the record: 1–12."),
        "{read}"
    );
    // What is over or below is graver than what is not that far yet.
    let wide = site.ann.call("readJob", json!({"job": site.job}))["runs"][0]["bays"][1].clone();
    for (wire, newtons) in [(4, "2500"), (3, "1000")] {
        let round = json!({"bay": wide["place"], "stage": "final", "air": "20"});
        let read = json!({"job": site.job, "run": site.run, "wire": wire, "newtons": newtons,
            "round": round, "confirmed": true});
        site.ann.call("readTension", read);
    }
    for stage in ["tension", "recheck"] {
        let told = sign(stage)["remarks"].to_string();
        assert!(
            told.contains("below the required tension: 3.")
                && told.contains("over the upper tension: 4."),
            "{told}"
        );
    }
    assert_eq!(sign("survey")["remarks"], Value::Null);
    let state = site.ann.call("readState", json!({"job": site.job}));
    assert!(
        state
            .to_string()
            .contains("wires of run A not tensioned by the record")
    );
}

#[test]
fn a_figure_that_released_lengths_were_worked_out_with_is_changed_on_a_yes() {
    let site = Site::of_run(0);
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let set = format!(
        "fittingSet:{}",
        view["runs"][0]["fittingSet"].as_str().unwrap()
    );
    let insertion = json!({"job": site.job, "claims": [{"subject": set, "field": "name",
        "value": "another name"}]});
    let release = json!({"wires": "6", "beforeTrial": "one reel only", "confirmed": true});
    site.call("issueCuts", release);
    // A name changes no cut.
    site.ann.call("say", insertion);
    let told = site
        .ann
        .call("readSubject", json!({"job": site.job, "subject": set}));
    let of = |field: &str| {
        let facts = told["facts"].as_array().unwrap().iter();
        let fact = facts.into_iter().find(|f| f["field"] == field).unwrap();
        fact["words"][0]["value"].clone()
    };
    let terminals = |value: Value| json!({"job": site.job, "claims": [{"subject": set, "field": "terminals", "value": value}]});
    // The same figures once more put nothing out of date.
    site.ann.call("say", terminals(of("terminals")));
    let mut longer = of("terminals");
    let left = longer["left"]["insertionNm"].as_i64();
    longer["left"]["insertionNm"] = json!(left.unwrap() + 1_000_000);
    let asked = site
        .ann
        .asked_once(&site.job, "say", terminals(longer.clone()));
    assert!(
        asked.contains("1 released length of run A was worked out with another terminals"),
        "{asked}"
    );
    // Once it is cut there is nothing that goes out of date.
    let tick = json!({"wires": "6", "act": "cut", "done": true, "confirmed": true});
    site.call("tickWires", tick);
    longer["left"]["insertionNm"] = json!(left.unwrap());
    site.ann.call("say", terminals(longer));
}
