//! What decisions were made on, and whether it has moved since.

use crate::common::surveyed::{Site, site};
use api::ErrorCode;
use serde_json::{Value, json};

#[test]
fn a_release_is_marked_by_each_thing_that_it_was_worked_out_from_and_by_nothing_else() {
    let site = site();
    site.decided();
    let view = site.run();
    let run = format!("run:{}", site.run);
    let first = view["posts"][0]["subject"].as_str().unwrap().to_owned();
    let place = site.run.as_str();
    let stands = || site.line(12)["issued"]["basisStands"].clone();
    let release = |before: &str| {
        site.issue(12);
        assert_eq!(stands(), true, "released before {before}");
    };
    release("anything else");
    // A post's condition and a run's floor surface are in no cut.
    site.say(&first, "condition", "", json!("split"));
    site.say(&run, "surface", "", json!("balcony"));
    assert_eq!(stands(), true);
    let rail = json!({"undersideNm": 985_000_000, "thicknessNm": 35_000_000,
        "stiffnessNPerM": 300_000, "stiffnessHeightNm": 1_000_000_000});
    let strand = site.ann.call(
        "useStrand",
        json!({"job": site.job, "name": strand_key(&site)}),
    );
    let strand = strand["created"].as_str().unwrap();
    let strand = strand.trim_start_matches("strand:");
    let end = json!({"kind": "insert", "hand": "LH", "tensioner": true, "angledSeat": true});
    let section = json!({"alongNm": 90_000_000, "acrossNm": 90_000_000});
    let material = json!({"name": "hardwood", "modulusMpa": 12_000});
    for (subject, field, place, value) in [
        (&run, "rail", "", rail),
        (&run, "strand", "", json!(strand)),
        (&first, "end", place, end),
        (&first, "section", "", section),
        (&first, "material", "", material),
        (&first, "position", place, json!({"nm": 1_000_000})),
    ] {
        release(field);
        site.say(subject, field, place, value);
        assert_eq!(stands(), false, "{field}");
    }
}

fn strand_key(site: &Site) -> Value {
    site.ann.call("libraries", json!({}))["strands"][0]["key"].clone()
}

#[test]
fn tensions_and_sign_offs_tell_when_their_ground_moved() {
    let site = site();
    site.decided();
    let sign = || {
        site.ann.call(
            "signOff",
            json!({"job": site.job, "stage": "beforeOrdering", "statement": "order may go out"}),
        )
    };
    let signed = || {
        let view = site.ann.call("readJob", json!({"job": site.job}));
        let all = view["signOffs"].as_array().unwrap().clone();
        all.last().unwrap().clone()
    };
    sign();
    assert_eq!(site.run()["tensionsMoved"], false);
    assert_eq!(signed()["moved"], false);
    // The clock of these devices stands ten hours east: a screen elsewhere names it.
    assert_eq!(signed()["offsetMin"], 600);
    let entry = signed()["entry"].clone();
    let told = site.ann.call(
        "readSubject",
        json!({"job": site.job, "subject": format!("job:{}", site.job)}),
    );
    let facts = told["facts"].as_array().unwrap().iter();
    let words = facts.flat_map(|f| f["words"].as_array().unwrap().clone());
    let word = words.into_iter().find(|w| w["entry"] == entry).unwrap();
    let with = word["with"].to_string();
    for part in ["Tautbook ", "ruleSet", "set tension of run A", "1500 N"] {
        assert!(with.contains(part), "{part}: {with}");
    }
    // Another clear distance: the tensions rest on it, the sign-off on the tensions.
    let bay = site.run()["bays"][0]["subject"].clone();
    let reading = site
        .ann
        .call("readSubject", json!({"job": site.job, "subject": bay}));
    let over = reading["facts"][0]["words"][0]["entry"].clone();
    site.ann.call(
        "measureBay",
        json!({"job": site.job, "bay": bay, "length": {"text": "1390"}, "along": "level",
            "instrument": "tape", "over": [over]}),
    );
    assert_eq!(site.run()["tensionsMoved"], true);
    assert_eq!(signed()["moved"], false);
    site.decided();
    assert_eq!(site.run()["tensionsMoved"], false);
    assert_eq!(signed()["moved"], true);
}

#[test]
fn a_wire_whose_ground_moved_is_not_ticked_as_cut_without_a_question() {
    let site = site();
    site.decided();
    site.issue(12);
    let length = site.ann.call(
        "readSubject",
        json!({"job": site.job, "subject": format!("wire:{}:12", site.run)}),
    );
    let mut facts = length["facts"].as_array().unwrap().iter();
    let length = facts.find(|f| f["field"] == "length").unwrap();
    let over = length["words"][0]["entry"].clone();
    site.ann.call(
        "measure",
        site.on_run(
            json!({"wire": 12, "length": {"text": "7301"}, "purpose": "cut",
            "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape", "over": [over]}),
        ),
    );
    let tick = |confirmed: bool| {
        let request = json!({"wires": "12", "act": "cut", "done": true, "confirmed": confirmed});
        site.ann.try_call("tickWires", site.on_run(request))
    };
    let question = tick(false).unwrap_err();
    assert_eq!(question.code, ErrorCode::Questioned);
    assert!(
        question.message.contains("A12") && question.message.contains("since it was released"),
        "{}",
        question.message
    );
    assert_eq!(site.line(12)["cutDoneMm"], Value::Null);
    tick(true).unwrap();
    assert_eq!(site.line(12)["cutDoneMm"], site.line(12)["issued"]["cutMm"]);
}

impl Site {
    fn measure(&self, wire: u64, length: &str, purpose: &str) {
        self.ann.call(
            "measure",
            self.on_run(
                json!({"wire": wire, "length": {"text": length}, "purpose": purpose,
                "posts": "insertsIn", "faces": "insertFaces", "instrument": "tape",
                "confirmed": true}),
            ),
        );
    }

    fn tick(&self, wire: u64, confirmed: bool) -> Result<Value, api::ApiError> {
        let request = json!({"wires": wire.to_string(), "act": "cut", "done": true,
            "confirmed": confirmed});
        self.ann.try_call("tickWires", self.on_run(request))
    }

    fn stands(&self, wire: u64) -> bool {
        self.line(wire)["issued"]["basisStands"] == true
    }
}

#[test]
fn a_release_is_marked_by_another_reading_that_its_length_comes_from_and_by_no_repeat() {
    let site = site();
    site.decided();
    let inside = |wire| site.line(wire)["insideMm"].as_f64().unwrap();
    let read = inside(12);
    assert_eq!(site.line(12)["insideOrigin"], "measured");
    assert_eq!(site.line(11)["insideOrigin"], "interpolated");
    site.issue(12);
    site.issue(11);
    let (same, longer) = (format!("{read}"), format!("{}", read + 60.0));
    // The same again, and one that no cut is made from.
    site.measure(12, &same, "cut");
    site.measure(12, &longer, "quote");
    assert!(site.stands(12) && site.stands(11));
    site.measure(12, &longer, "cut");
    assert!(!site.stands(12) && !site.stands(11), "{}", site.line(12));
    for wire in [12, 11] {
        let question = site.tick(wire, false).unwrap_err();
        assert_eq!(question.code, ErrorCode::Questioned);
        assert_eq!(site.line(wire)["cutDoneMm"], Value::Null);
    }
    site.issue(11);
    assert!(site.stands(11));
    // A length of its own, where there was none.
    site.measure(11, &format!("{:.0}", inside(11) + 1.0), "cut");
    assert!(!site.stands(11));
    site.tick(11, true).unwrap();
}

#[test]
fn a_released_cut_outside_its_window_is_questioned_though_each_reading_was_known() {
    let site = site();
    site.decided();
    let read = site.line(12)["insideMm"].as_f64().unwrap();
    let longer = format!("{}", read + 40.0);
    site.measure(12, &longer, "cut");
    site.issue(12);
    assert_eq!(site.line(12)["outside"], Value::Null);
    for _ in 0..6 {
        site.measure(12, &longer, "cut");
    }
    let line = site.line(12);
    // The same value moves no ground; what it comes to by now does.
    let moved = line["issued"]["moved"].as_str().unwrap();
    assert!(moved.starts_with("the sheet gives "), "{line}");
    assert!(!site.stands(12) && line["outside"].is_string(), "{line}");
    let question = site.tick(12, false).unwrap_err();
    assert_eq!(question.code, ErrorCode::Questioned);
    assert!(question.message.contains(moved), "{question}");
    site.tick(12, true).unwrap();
}

#[test]
fn tensions_are_marked_by_a_longer_bay_and_by_the_first_value_of_what_was_not_told() {
    let site = site();
    let sign =
        json!({"job": site.job, "stage": "beforeOrdering", "statement": "as far as it goes"});
    site.ann.call("signOff", sign);
    site.decided();
    let moved = || site.run()["tensionsMoved"] == true;
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let signed = &view["signOffs"].as_array().unwrap()[0];
    assert_eq!(signed["moved"], false, "the heads tell what came after it");
    let bay = site.run()["bays"][0].clone();
    let clear = bay["clearMm"].as_f64().unwrap();
    let measure = |length: f64| {
        site.ann.call(
            "measureBay",
            json!({"job": site.job, "bay": bay["subject"], "length": {"text": format!("{length}")},
                "along": "level", "instrument": "tape", "confirmed": true}),
        )
    };
    measure(clear);
    measure(clear - 3.0);
    assert!(!moved(), "the longest counts");
    measure(clear + 3.0);
    assert!(moved());
    site.decided();
    assert!(!moved());
    let post = site.run()["posts"][0]["subject"]
        .as_str()
        .unwrap()
        .to_owned();
    site.say(&post, "tensionLimit", "", json!({"mn": 1_000_000}));
    assert!(moved());
    site.decided();
    assert!(!moved());
}
