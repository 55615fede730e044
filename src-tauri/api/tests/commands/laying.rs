//! Laying out wires through the list of commands: proposals, taking one, the drilling template. One file past
//! 400 lines, since all of it is asked of the same surveyed run.

use crate::common::worked::{Site, near};
use serde_json::{Value, json};

fn of_row(found: &Value, row: f64) -> Value {
    let mut all = found["proposals"].as_array().unwrap().iter();
    all.find(|p| p["rowMm"] == row).unwrap().clone()
}

fn sentences(of: &Value) -> String {
    let list = of.as_array().unwrap().iter();
    list.map(|s| s.as_str().unwrap())
        .collect::<Vec<_>>()
        .join(" ")
}

#[test]
fn run_a_is_proposed_as_the_worked_job_has_it() {
    let site = Site::surveyed(0);
    site.short_bay();
    let found = site.ask("layOut");
    assert_eq!(found["missing"], json!([]));
    assert_eq!(found["widestBay"], "A2–A3");
    near(&found["widestBayMm"], 1410.0, 1e-9);
    let chosen = of_row(&found, 80.0);
    // The worked job: 12 wires at 76 (76 … 912), top gap 73, row 1500 asks 1330 N.
    let heights: Vec<i64> = (1..=12).map(|n| n * 76_000_000).collect();
    assert_eq!(chosen["heightsNm"], json!(heights));
    near(&chosen["topGapMm"], 73.0, 1e-9);
    near(&chosen["inHandMm"], 4.0, 1e-9);
    near(&chosen["leastTensionN"], 1330.0, 1e-9);
    assert_eq!(chosen["spherePasses"], false);
    assert_eq!(chosen["next"]["outcome"], "notAllowed");
    let bays = chosen["bays"].as_array().unwrap();
    assert_eq!(bays.len(), 5);
    // A1–A2 is 1380: over the 1200 column by 180, 120 in hand before 1500.
    near(&bays[0]["overMm"], 180.0, 1e-9);
    near(&bays[0]["inHandMm"], 120.0, 1e-9);
    // Following the floor the gap is 74.4 everywhere; drilled level from A1 it is 86.4 at A6.
    let floor = chosen["floor"].as_array().unwrap();
    assert_eq!(floor.len(), 6);
    near(&floor[5]["clearMm"], 74.4, 1e-9);
    near(&floor[5]["levelMm"], 86.4, 1e-9);
    // Two 9 mm holes 42 deep from two faces of a post of 115 leave 11 of wood.
    let shared = &chosen["sharedPosts"][0];
    assert_eq!(
        (shared["post"].as_str(), shared["stays"].as_str()),
        (Some("A6"), Some("B"))
    );
    assert!(
        shared["sentence"]
            .as_str()
            .unwrap()
            .contains("Post A6 also carries run B")
    );
    assert!(shared["upMm"].is_null() && shared["downMm"].is_null());
    // B's holes are raked and reach 36.8 into the post of 115: 57.5 + 4 − 36.8 − 4.5 leaves the 20.
    near(&shared["asideMm"], 4.0, 1e-9);
    assert!(chosen["stair"].is_null());
    // Asked early; this rule set warns of nothing, it is no pool, and a fall of 1602 mm is below the climbing rule's.
    assert_eq!(found["askFirst"], json!([]));
    let high = json!({"subject": format!("job:{}", site.job), "field": "fall", "value": {"nm": 4_500_000_000_i64}});
    site.ann.call(
        "say",
        json!({"job": site.job, "claims": [high], "confirmed": true}),
    );
    let asks = site.ask("layOut")["askFirst"].to_string();
    assert!(
        asks.contains("more than 4000 mm") && asks.contains("between 150 mm and 760 mm"),
        "{asks}"
    );
}

#[test]
fn a_proposal_is_taken_in_one_act_and_only_as_it_was_shown() {
    let site = Site::surveyed(0);
    site.short_bay();
    let wishes = json!({"bottom": {"text": "60"}, "inHand": {"text": "5"}});
    let found = site.call("layOut", json!({"wishes": wishes}));
    let chosen = of_row(&found, 80.0);
    let heights = chosen["heightsNm"].clone();
    let other = site.refused(
        "takeLayout",
        json!({"wishes": wishes, "heightsNm": [60_000_000]}),
    );
    assert_eq!(other.code, api::ErrorCode::Changed);
    // Three wires of the survey were measured at the heights that stand: that is asked about.
    let take = json!({"wishes": wishes, "heightsNm": heights});
    let asked = site.refused("takeLayout", take.clone());
    assert_eq!(asked.code, api::ErrorCode::Questioned);
    assert!(
        asked.message.starts_with("3 wires were measured or cut"),
        "{}",
        asked.message
    );
    let mut said = take.clone();
    said["confirmed"] = json!(true);
    let taken = site.call("takeLayout", said);
    assert_eq!(taken["entries"].as_array().unwrap().len(), 2);
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let run = view["runs"]
        .as_array()
        .unwrap()
        .iter()
        .find(|r| r["id"] == site.run.as_str())
        .unwrap();
    assert_eq!(
        run["wires"].as_array().unwrap().len(),
        heights.as_array().unwrap().len()
    );
    let facts = site.ann.call(
        "readSubject",
        json!({"job": site.job, "subject": run["subject"]}),
    );
    let facts = facts["facts"].as_array().unwrap();
    let stands = |field: &str| {
        let fact = facts.iter().find(|f| f["field"] == field).unwrap();
        fact["words"].as_array().unwrap().last().unwrap().clone()
    };
    assert_eq!(stands("wireHeights")["value"]["nm"], heights);
    let origin = stands("wireCount")["with"]["origin"]
        .as_str()
        .unwrap()
        .to_owned();
    assert!(origin.starts_with("layout aid, Australia"), "{origin}");
    // What stands already is taken again without a question.
    site.call("takeLayout", take);
    assert_eq!(site.ask("layOut")["presentNm"], heights);
}

#[test]
fn a_layout_below_another_rail_than_the_recorded_one_is_asked_about() {
    let site = Site::surveyed(0);
    site.short_bay();
    let take = |rail: &str| {
        let wishes = json!({"rail": {"text": rail}});
        let found = site.call("layOut", json!({"wishes": wishes}));
        let heights = of_row(&found, 80.0)["heightsNm"].clone();
        json!({"job": site.job, "run": site.run, "heightsNm": heights, "wishes": wishes})
    };
    let asked = site.ann.asked_once(&site.job, "takeLayout", take("900"));
    assert!(
        asked.contains("underside is at 900 mm, and the record has it at 985 mm"),
        "{asked}"
    );
    // The rail that is recorded, however it is typed, is no other.
    let same = site.refused("takeLayout", take("98.5 cm"));
    assert!(!same.message.contains("underside"), "{same}");
}

#[test]
fn a_bottom_wire_in_another_unit_is_asked_about_as_where_heights_are_told() {
    let site = Site::surveyed(0);
    site.short_bay();
    let wishes = json!({"bottom": {"text": "7.6"}});
    let found = site.call("layOut", json!({"wishes": wishes}));
    let proposal = found["proposals"][0].clone();
    assert_eq!(proposal["heightsNm"][0], 7_600_000);
    let mut take = json!({"job": site.job, "run": site.run, "heightsNm": proposal["heightsNm"]});
    take["wishes"] = wishes;
    let asked = site.ann.asked_once(&site.job, "takeLayout", take);
    assert!(
        asked.contains("7.6 mm is unusual for the bottom wire above the floor"),
        "{asked}"
    );
}

#[test]
fn a_stair_tells_its_triangle_and_counts_square() {
    let site = Site::surveyed(1);
    let found = site.ask("layOut");
    let chosen = of_row(&found, 80.0);
    // The worked job: 8 wires, 93 plumb (75.8 square), 93 … 744.
    assert_eq!(chosen["heightsNm"].as_array().unwrap().len(), 8);
    near(&chosen["spacingMm"], 93.0, 1e-9);
    near(&chosen["spacingSquareMm"], 75.8, 0.05);
    near(&found["widestBayMm"], 1209.2, 0.05);
    let stair = &chosen["stair"];
    // Riser 178, going 250 and the wire's edge 91 plumb above the nosings: the right triangle's
    // inscribed circle 178 + 250 − √(178² + 250²) = 121.1, and more with the line higher.
    assert!(stair["sphereMm"].as_f64().unwrap() > 121.1);
    assert!(
        stair["ruleSphereMm"].is_null(),
        "the set names the sphere above the nosing line alone"
    );
    site.ann.call(
        "useRuleSet",
        json!({"job": site.job, "name": "us-irc-2018"}),
    );
    let none = site.ask("layOut");
    assert_eq!(none["proposals"], json!([]));
    assert!(sentences(&none["missing"]).contains("has no table for wires"));
    let wishes = json!({"unit": "in", "widest": {"text": "3", "unit": "in"}});
    let inches = site.call("layOut", json!({"wishes": wishes}));
    let told = inches["proposals"][0]["sentence"].as_str().unwrap();
    assert!(told.contains(" in apart") && !told.contains("mm"), "{told}");
    // The spacing wanted is told as it was asked, and what is kept before it as a tape has it.
    assert!(told.contains("in hand below 3 in"), "{told}");
    for place in [
        "/proposals/0/stair/sentence",
        "/proposals/0/bays/0/sentence",
        "/notes/0",
    ] {
        let told = inches.pointer(place).unwrap().as_str().unwrap();
        assert!(!told.contains(" mm"), "{place}: {told}");
    }
    let stair = inches["proposals"][0]["stair"].clone();
    // IRC 2018 R312: 6 in in the triangle.
    assert!(
        stair["sentence"].as_str().unwrap().contains("names 6 in"),
        "{stair}"
    );
    near(&stair["ruleSphereMm"], 152.4, 1e-9);
    // 47.96 mm: told as 48 a wire at 47.97 would let it pass.
    near(&stair["belowMm"], 47.96, 0.005);
    let wishes = json!({"widest": {"text": "76"}});
    let told = site.call("layOut", json!({"wishes": wishes}))["proposals"][0]["stair"].clone();
    assert!(
        told["sentence"]
            .as_str()
            .unwrap()
            .contains("stands below 47.9 mm or"),
        "{told}"
    );
    for height in inches["proposals"][0]["heightsNm"].as_array().unwrap() {
        assert_eq!(
            height.as_i64().unwrap() % 1_587_500,
            0,
            "a sixteenth of an inch"
        );
    }
}

#[test]
fn what_is_missing_is_named_and_what_cannot_be_is_refused() {
    let site = Site::surveyed(0);
    let empty = site.ann.call(
        "addThing",
        json!({"job": site.job, "thing": "run",
        "fields": [{"field": "name", "value": "C"}]}),
    );
    let run = empty["created"].as_str().unwrap().replace("run:", "");
    let found = site
        .ann
        .call("layOut", json!({"job": site.job, "run": run}));
    let missing = sentences(&found["missing"]);
    for word in ["No strand", "underside of the rail", "measure the bays"] {
        assert!(missing.contains(word), "{missing}");
    }
    let none = site
        .ann
        .refused("drillingTemplate", json!({"job": site.job, "run": run}));
    assert!(
        none.message.contains("No template was made"),
        "{}",
        none.message
    );
    for wishes in [
        json!({"rail": {"text": "-5"}}),
        json!({"rail": {"text": "x"}}),
        json!({"bottom": {"text": "0"}}),
        json!({"bottom": {"text": "985"}}),
        json!({"inHand": {"text": "-1"}}),
        json!({"inHand": {"text": "60"}}),
        json!({"rail": {"text": "999999999"}}),
        json!({"colour": "blue"}),
    ] {
        let refused = site.refused("layOut", json!({"wishes": wishes}));
        assert_eq!(
            refused.code,
            api::ErrorCode::Invalid,
            "{wishes}: {}",
            refused.message
        );
    }
}

#[test]
fn holes_are_put_off_the_middle_with_the_end_of_their_run() {
    let site = Site::surveyed(0);
    site.short_bay();
    let [first, last] = site.ends();
    let close = || {
        let found = site.ask("layOut");
        of_row(&found, 80.0)["sharedPosts"][0]["close"].clone()
    };
    assert_ne!(close(), 0);
    let put = |post: &Value, off: &str| json!({"post": post, "off": {"text": off}, "otherEnters": "left"});
    site.call("putAside", put(&last, "9"));
    assert_eq!(close(), 0);
    let holes = site.ask("holeSchedule");
    assert_eq!(holes["staggers"], json!([]));
    let there = holes["holes"].as_array().unwrap().iter();
    let off: Vec<&Value> = there.filter(|h| h["asideMm"] == 9.0).collect();
    assert!(!off.is_empty() && off.iter().all(|h| h["postName"] == "A6"));
    // Back in the middle they come close again.
    site.call("putAside", put(&last, "0"));
    assert_ne!(close(), 0);
    for (post, off, words) in [
        (&last, "60", "beside post"),
        (&last, "-9", "less than nothing"),
        (&json!(site.job), "9", "does not end at that post"),
    ] {
        let refused = site.refused("putAside", put(post, off));
        assert!(refused.message.contains(words), "{}", refused.message);
    }
    // Nothing that was only taken so is recorded as told: an end of nobody waits for its kind and hand.
    let subject = format!("post:{}", first.as_str().unwrap());
    let told = site
        .ann
        .call("readSubject", json!({"job": site.job, "subject": subject}));
    let facts = told["facts"].as_array().unwrap().iter();
    let end = facts.clone().find(|f| f["field"] == "end").unwrap();
    let back = json!({"job": site.job, "entry": end["words"][0]["entry"], "reason": "not seen"});
    site.ann.call("withdraw", back);
    let refused = site.refused("putAside", put(&first, "9"));
    assert!(
        refused.message.contains("tell its kind and hand first"),
        "{}",
        refused.message
    );
}

#[test]
fn a_layout_is_taken_with_the_overhang_that_it_was_asked_with() {
    let site = Site::surveyed(1);
    site.ann.call(
        "useRuleSet",
        json!({"job": site.job, "name": "us-irc-2018"}),
    );
    let wishes =
        json!({"bottom": {"text": "40"}, "overhang": {"text": "25"}, "widest": {"text": "76"}});
    let found = site.call("layOut", json!({"wishes": wishes}));
    let chosen = found["proposals"][0].clone();
    let sphere = chosen["stair"]["sphereMm"].clone();
    assert_eq!(chosen["stair"]["passes"], true);
    let take = json!({"wishes": wishes, "heightsNm": chosen["heightsNm"], "confirmed": true});
    let taken = site.call("takeLayout", take.clone());
    assert_eq!(taken["entries"].as_array().unwrap().len(), 3);
    let before = site.ask("beforeOrdering");
    let findings = before["findings"].as_array().unwrap().iter();
    let mut triangle = findings.filter(|f| f["place"].as_str().unwrap().contains("stair triangle"));
    near(
        &triangle.next().unwrap()["actual"]["value"],
        sphere.as_f64().unwrap(),
        0.05,
    );
    // Known now, it is neither asked for nor recorded again.
    let bare = json!({"bottom": {"text": "40"}, "widest": {"text": "76"}});
    let again = site.call("layOut", json!({"wishes": bare}));
    assert_eq!(again["proposals"][0]["stair"]["sphereMm"], sphere);
    assert_eq!(
        site.call("takeLayout", take)["entries"]
            .as_array()
            .unwrap()
            .len(),
        2
    );
}

#[test]
fn a_wished_rail_in_another_unit_lays_nothing_out() {
    let site = Site::surveyed(0);
    let found = |rail: &str| site.call("layOut", json!({"wishes": {"rail": {"text": rail}}}));
    let inches = found("38.8");
    assert!(
        sentences(&inches["missing"]).contains("Is the unit right?"),
        "{inches}"
    );
    assert_eq!(found("950")["missing"], json!([]));
}

#[test]
fn the_template_is_written_once_and_tells_its_faces() {
    let site = Site::surveyed(0);
    let written = site.ask("drillingTemplate");
    let file = written["file"].as_str().unwrap();
    let bytes = std::fs::read(file).unwrap();
    assert!(bytes.starts_with(b"%PDF-"));
    assert_eq!(written["bytes"], bytes.len());
    // Two ends with inserts of one hand each, and intermediate posts that are all alike.
    assert_eq!(written["faces"].as_array().unwrap().len(), 3);
    assert_eq!(written["pages"], 12);
    let again = site.refused("drillingTemplate", json!({"file": file}));
    assert_eq!(again.code, api::ErrorCode::Storage);
    assert_eq!(std::fs::read(file).unwrap(), bytes);
    let posts = site.ends();
    let one = site.call(
        "drillingTemplate",
        json!({"post": posts[0], "paper": "letter", "unit": "in"}),
    );
    assert_eq!(
        (one["faces"].as_array().unwrap().len(), &one["pages"]),
        (1, &json!(5))
    );
}

#[test]
fn a_written_template_is_handed_out_where_the_person_looks_and_overwrites_nothing() {
    let site = Site::surveyed(0);
    let file = site.ask("drillingTemplate")["file"].clone();
    let bytes = std::fs::read(file.as_str().unwrap()).unwrap();
    let name = file.as_str().unwrap().rsplit('/').next().unwrap();
    let nowhere = site.ann.refused("handOut", json!({"file": file}));
    assert_eq!(nowhere.code, api::ErrorCode::Invalid);
    assert!(nowhere.message.contains("Name a folder"), "{nowhere:?}");

    let dir = tempfile::tempdir().unwrap();
    let (downloads, other) = (dir.path().join("Downloads"), dir.path().join("other"));
    std::fs::create_dir(&downloads).unwrap();
    site.ann.app.saves_into(downloads.clone());
    let copied = site.ann.call("handOut", json!({"file": file}));
    assert_eq!(copied["file"], downloads.join(name).to_str().unwrap());
    assert_eq!(copied["bytes"], bytes.len());
    assert_eq!(std::fs::read(downloads.join(name)).unwrap(), bytes);
    // Once more is the same file; one of other bytes stays, and the copy lies beside it.
    assert_eq!(site.ann.call("handOut", json!({"file": file})), copied);
    assert_eq!(std::fs::read_dir(&downloads).unwrap().count(), 1);
    std::fs::write(downloads.join(name), b"the person's own").unwrap();
    let beside = site.ann.call("handOut", json!({"file": file}))["file"].clone();
    assert!(beside.as_str().unwrap().ends_with("-2.pdf"), "{beside}");
    assert_eq!(std::fs::read(beside.as_str().unwrap()).unwrap(), bytes);
    assert_eq!(
        std::fs::read(downloads.join(name)).unwrap(),
        b"the person's own"
    );

    let named = json!({"file": file, "to": other});
    let missing = site.ann.refused("handOut", named.clone());
    assert_eq!(missing.code, api::ErrorCode::NotFound);
    std::fs::create_dir(&other).unwrap();
    let there = site.ann.call("handOut", named)["file"].clone();
    assert_eq!(there, other.join(name).to_str().unwrap());
    for strange in ["/etc/passwd", "templates/../local.db", "journal/a.pdf", ""] {
        let refused = site.ann.refused("handOut", json!({"file": strange}));
        assert_eq!(refused.code, api::ErrorCode::Invalid, "{strange}");
    }
    let gone = site.ann.refused("handOut", json!({"file": "labels/a.pdf"}));
    assert_eq!(gone.code, api::ErrorCode::NotFound);
}

#[test]
fn a_template_of_an_unknown_run_or_of_nothing_to_drill_is_no_fault_of_a_disk() {
    let site = Site::surveyed(0);
    let unknown = json!({"job": site.job, "run": site.job});
    let refused = site.ann.refused("drillingTemplate", unknown);
    assert_eq!(refused.code, api::ErrorCode::NotFound, "{refused:?}");
    assert!(
        refused.message.contains("choose one of its runs"),
        "{refused:?}"
    );
    let named =
        json!({"job": site.job, "thing": "run", "fields": [{"field": "name", "value": "C"}]});
    let made = site.ann.call("addThing", named);
    let run = made["created"].as_str().unwrap().trim_start_matches("run:");
    let refused = site
        .ann
        .refused("drillingTemplate", json!({"job": site.job, "run": run}));
    assert_eq!(refused.code, api::ErrorCode::Invalid, "{refused:?}");
    assert!(
        refused.message.contains("has no holes to mark"),
        "{refused:?}"
    );
}

#[test]
fn the_document_of_a_handover_is_handed_out_too() {
    let site = Site::surveyed(0);
    let made = site.ann.run_task("startHandover", json!({"job": site.job}));
    let made = &made["result"];
    let dir = tempfile::tempdir().unwrap();
    let to = dir.path().to_str().unwrap();
    let copy = json!({"file": made["pdf"], "to": to});
    let copied = site.ann.call("handOut", copy)["file"].clone();
    let bytes = std::fs::read(copied.as_str().unwrap()).unwrap();
    assert!(bytes.starts_with(b"%PDF-"), "{copied}");
    let folder = std::path::Path::new(made["folder"].as_str().unwrap());
    assert_eq!(std::fs::read(folder.join("handover.pdf")).unwrap(), bytes);
    // Where a folder was named, the person knows it.
    let named = json!({"job": site.job, "folder": dir.path().join("out")});
    let named = site.ann.run_task("startHandover", named);
    assert_eq!(named["result"]["pdf"], serde_json::Value::Null);
}

#[test]
fn in_inches_three_inches_are_among_what_is_proposed_and_no_row_is_rounded_up() {
    let site = Site::surveyed(0);
    site.short_bay();
    let found = site.call("layOut", json!({"wishes": {"unit": "in"}}));
    near(&found["inHandMm"], 3.175, 1e-9);
    let chosen = of_row(&found, 80.0);
    let heights: Vec<i64> = (1..=12).map(|n| n * 76_200_000).collect();
    assert_eq!(chosen["heightsNm"], json!(heights));
    let told = chosen["sentence"].as_str().unwrap();
    // 1500 mm are 59.055 in: a bay of 59 1/16 in is over it.
    assert!(
        told.contains("in bays up to 1500 mm (59 1/32 in)"),
        "{told}"
    );
    assert!(
        told.contains("1/8 in in hand before the 100 mm (3 29/32 in) row"),
        "{told}"
    );
}
