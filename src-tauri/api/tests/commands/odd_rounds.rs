//! What a round of readings, a push and an own figure are asked about before they are kept, and masses and
//! layouts in another unit or closer than anything is.

use crate::common::worked::{Site, decide, sentences};
use crate::heard::sent;
use serde_json::{Value, json};

fn on_run(site: &Site, mut request: Value) -> Value {
    request["job"] = json!(site.job);
    request["run"] = json!(site.run);
    request
}

#[test]
fn a_repeat_and_a_pass_that_nobody_plans_wait_for_a_yes() {
    let site = Site::of_run(0);
    site.cut("6");
    decide(&site, 1330, 1500, 1800.0, &[600, 1100, 1500]);
    let bay = site.layout()["bays"][1]["place"].clone();
    let read = |newtons: &str, pass: u32, more: Value| {
        let round = json!({"bay": bay, "stage": "pass", "pass": pass});
        let mut request = on_run(
            &site,
            json!({"wire": 6, "newtons": newtons, "round": round}),
        );
        request
            .as_object_mut()
            .unwrap()
            .extend(more.as_object().unwrap().clone());
        request
    };
    let yes = json!({"confirmed": true});
    // What else is asked of the first reading is answered.
    site.ann.call("readTension", read("600", 1, yes));
    let none = site
        .ann
        .refused("readTension", read("610", 1, json!({"repeat": 0})));
    assert!(none.message.contains("counted from 1"), "{}", none.message);
    for usual in [1, 20] {
        let again = read("610", 1, json!({"repeat": usual}));
        site.ann.call("readTension", again);
    }
    let many = read("610", 1, json!({"repeat": 1000}));
    let asked = site.ann.asked_once(&site.job, "readTension", many);
    assert!(asked.contains("Repeat 1000 of one reading"), "{asked}");
    // One pass more than those that are decided may be gone over; a pass that was begun is known.
    site.ann.call("readTension", read("1490", 4, json!({})));
    let asked = site
        .ann
        .asked_once(&site.job, "readTension", read("1490", 33, json!({})));
    assert!(
        asked.contains("Pass 33 would be told, and ") && asked.contains("planned for run A"),
        "{asked}"
    );
    site.ann.call("readTension", read("1495", 33, json!({})));
    let round = json!({"bay": bay, "stage": "pass", "pass": 40});
    let hung = json!({"wire": 6, "deflection": {"text": "6"}, "grams": "2000", "round": round});
    let asked = site
        .ann
        .asked_once(&site.job, "readDeflection", on_run(&site, hung));
    assert!(asked.contains("Pass 40 would be told"), "{asked}");
}

#[test]
fn a_push_that_no_hand_gives_and_an_insert_that_holds_nothing_wait_for_a_yes() {
    let site = Site::of_run(0);
    let bay = site.layout()["bays"][1]["subject"].clone();
    for push in ["1", "15"] {
        let offer = json!({"bay": bay, "probe": {"text": "100"}, "push": push});
        let asked = site
            .ann
            .asked_once(&site.job, "checkGaps", on_run(&site, offer));
        assert!(
            asked.contains(&format!("A push of {push} N on a probe is unusual")),
            "{asked}"
        );
    }
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let set = view["fittingSets"][0]["subject"].clone();
    for (field, name) in [
        ("insertPull", "insertPullMn"),
        ("threadLimit", "threadLimitMn"),
    ] {
        let claim = json!({"subject": set, "field": field, "value": {"mn": 1_000}});
        let say = json!({"job": site.job, "claims": [claim]});
        let asked = site.ann.asked_once(&site.job, "say", say);
        assert!(
            asked.contains("0.001\u{a0}kN is unusual here, where 0.5 to"),
            "{asked}"
        );
        // The same of the crew's own set.
        let mut sheet = crate::own_library::fitting();
        sheet["set"][name] = json!({"n": 1_000, "origin": "sheet T-4, page 5"});
        let keep = json!({"name": "M6, as bought", "sheet": sheet});
        let asked = site.ann.refused("keepFittingSet", keep);
        assert!(
            asked.message.contains("0.001\u{a0}kN is unusual here"),
            "{}",
            asked.message
        );
    }
}

#[test]
fn a_mass_is_read_in_the_unit_that_stands_behind_it() {
    let site = Site::of_run(0);
    site.cut("1-12");
    let bay = site.layout()["bays"][1]["place"].clone();
    let hang = |wire: u32, typed: &str| {
        let round = json!({"bay": bay, "stage": "final"});
        on_run(
            &site,
            json!({"wire": wire, "deflection": {"text": "4.5"}, "grams": typed, "round": round,
                "confirmed": true}),
        )
    };
    for (wire, typed, mg, told) in [
        (1, "2000", 2_000_000, "4.5 mm under 2000 g"),
        (2, "2003 g", 2_003_000, "4.5 mm under 2003 g"),
        (3, "2 kg", 2_000_000, "4.5 mm under 2 kg"),
    ] {
        site.ann.call("readDeflection", hang(wire, typed));
        let subject = format!("wire:{}:{wire}", site.run);
        let found = site
            .ann
            .call("readSubject", json!({"job": site.job, "subject": subject}));
        let facts = found["facts"].as_array().unwrap();
        let fact = facts.iter().find(|f| f["field"] == "deflection").unwrap();
        let word = &fact["words"][0];
        assert_eq!(word["value"]["massMg"], mg, "{word}");
        assert_eq!(word["with"]["entered"], told);
    }
    for other in ["4.4 lb", "71 oz", "kg"] {
        let refused = site.ann.refused("readDeflection", hang(4, other));
        assert!(
            refused
                .message
                .contains("Type grams as weighed, like 1998, or kilograms"),
            "{}",
            refused.message
        );
    }
}

#[test]
fn two_samples_of_a_swing_are_counted() {
    let site = Site::of_run(0);
    let motion = sent(&site, b"ms;x\n0;0.1\n12500;0.2\n", 7);
    let hear = json!({"wire": 6, "length": {"text": "1380"}, "held": "pinched",
        "by": {"kind": "swing", "motion": motion, "grams": "205 g"}});
    let heard = site.call("hear", hear);
    let told = heard.to_string();
    assert!(
        told.contains("has 2 samples over 12.5 s, up to 12.5 s apart")
            && !told.contains("covers 0 s"),
        "{told}"
    );
}

#[test]
fn a_layout_closer_than_can_be_names_what_was_typed() {
    let site = Site::surveyed(0);
    site.short_bay();
    let typed = |text: &str| {
        let wishes = json!({"widest": {"text": text}});
        let found = site.call("layOut", json!({"wishes": wishes}));
        assert_eq!(found["proposals"], json!([]));
        sentences(&found["missing"])
    };
    let none = typed("1");
    assert!(
        none.starts_with("No number of wires up to 200 is no more than 1 mm apart")
            && none.ends_with("or leave it out."),
        "{none}"
    );
    // Without a table it is the number of wires.
    site.ann.call(
        "useRuleSet",
        json!({"job": site.job, "name": "us-irc-2018"}),
    );
    let none = typed("1");
    assert!(
        none.starts_with("No number of wires up to 200 keeps to the widest spacing of 1 mm")
            && none.ends_with("type a wider spacing, or keep less in hand."),
        "{none}"
    );
}

#[test]
fn a_refused_figure_of_a_layout_carries_its_unit() {
    let site = Site::surveyed(0);
    site.short_bay();
    let wishes = |wishes: Value| site.refused("layOut", json!({"wishes": wishes}));
    let high = wishes(json!({"bottom": {"text": "10000"}}));
    assert!(
        high.message.contains(" mm; enter it again"),
        "{}",
        high.message
    );
    let kept = wishes(json!({"inHand": {"text": "500"}}));
    assert!(
        kept.message.contains(" mm; enter it again"),
        "{}",
        kept.message
    );
}
