//! Wires of a run that no cut is computed for: cut on site, and told as cut with their reel.

use api::ErrorCode;
use serde_json::json;

use crate::common::worked::Site;

#[test]
fn a_wire_round_a_corner_is_told_as_cut_at_the_length_on_site() {
    let site = Site::of_run(0);
    let ask = |length: &str, confirmed: bool| {
        json!({"job": site.job, "run": site.run, "wires": "1", "act": "cut", "done": true,
            "onSite": {"text": length}, "confirmed": confirmed})
    };
    // Where a cut is computed it goes by its release.
    let computed = site.ann.refused("tickWires", ask("7232", false));
    assert!(
        computed.message.contains("is computed: release it"),
        "{}",
        computed.message
    );
    let post = site.layout()["posts"][2]["id"].as_str().unwrap().to_owned();
    let corner = json!({"subject": format!("post:{post}"), "field": "role", "place": site.run,
        "value": "corner"});
    site.ann
        .call("say", json!({"job": site.job, "claims": [corner]}));
    let tick = json!({"job": site.job, "run": site.run, "wires": "1", "act": "cut", "done": true});
    let refused = site.ann.refused("tickWires", tick);
    for told in [
        "goes round a corner",
        "touch it on the cut sheet and enter the length",
        "Nothing was ticked",
    ] {
        assert!(
            refused.message.contains(told),
            "{told}: {}",
            refused.message
        );
    }
    let odd = site.ann.refused("tickWires", ask("6232", false));
    assert_eq!(odd.code, ErrorCode::Questioned);
    assert!(
        odd.message.contains("off the 7294 mm inside to inside"),
        "{}",
        odd.message
    );
    for wrong in ["0", "-3", "metre", "99999999"] {
        let refused = site.ann.refused("tickWires", ask(wrong, true));
        assert_eq!(
            refused.code,
            ErrorCode::Invalid,
            "{wrong}: {}",
            refused.message
        );
    }
    site.ann.call("tickWires", ask("7230.5", false));
    assert_eq!(site.line(1)["cutDoneMm"], 7230.5);
    assert_eq!(site.ask("progress")["wires"][0]["stage"], "cut");
    // No deduction is learned of what is cut on site, and no trial wire is asked for.
    let learned = site.ask("learned");
    assert_eq!(learned["waiting"], json!(null));
    assert_eq!(learned["taught"], json!(null));
}

#[test]
fn one_yes_answers_all_that_is_odd_about_a_cut_on_site_and_is_kept() {
    let site = Site::of_run(0);
    let corner = site.layout()["posts"][2]["id"].as_str().unwrap().to_owned();
    say(&site, "role", &format!("post:{corner}"), json!("corner"));
    let field = |field: &str, value: serde_json::Value| json!({"field": field, "value": value});
    let fields = json!([
        field("name", json!("Reel R1")),
        field("kind", json!("strand")),
        field("metres", json!({"nm": 3_000_000_000_i64})),
    ]);
    let reel = json!({"job": site.job, "thing": "batch", "fields": fields});
    let reel = site.ann.call("addThing", reel)["created"]
        .as_str()
        .unwrap()
        .to_owned();
    let reel = reel.trim_start_matches("batch:").to_owned();
    let mut ask = json!({"job": site.job, "run": site.run, "wires": "2", "act": "cut", "done": true,
        "batch": reel, "onSite": {"text": "6232"}});
    let odd = site.ann.refused("tickWires", ask.clone());
    assert_eq!(odd.code, ErrorCode::Questioned);
    for told in [
        "inside to inside",
        "Reel R1",
        "Keep it as cut all the same?",
    ] {
        assert!(odd.message.contains(told), "{told}: {}", odd.message);
    }
    ask["confirmed"] = json!(true);
    site.ann.call("tickWires", ask.clone());
    let wire = json!({"job": site.job, "subject": format!("wire:{}:2", site.run)});
    let kept = site.ann.call("readSubject", wire).to_string();
    assert!(
        kept.contains("Kept all the same") && kept.contains("Reel R1"),
        "{kept}"
    );
    // Any other act has no length of its own, and jumps no question by one.
    ask["act"] = json!("threaded");
    let refused = site.ann.refused("tickWires", ask);
    assert!(
        refused.message.contains("Only a cut has a length on site"),
        "{}",
        refused.message
    );
}

#[test]
fn a_wire_that_was_released_at_another_length_is_asked_about() {
    let site = Site::of_run(0);
    let release = json!({"wires": "1", "beforeTrial": "one reel only", "confirmed": true});
    site.call("issueCuts", release);
    let corner = site.layout()["posts"][2]["id"].as_str().unwrap().to_owned();
    say(&site, "role", &format!("post:{corner}"), json!("corner"));
    let mut ask = json!({"job": site.job, "run": site.run, "wires": "1", "act": "cut", "done": true,
        "onSite": {"text": "7290"}});
    let asked = site.ann.refused("tickWires", ask.clone());
    for told in ["Wire A1: it was released at", "is told as cut at 7290 mm"] {
        assert!(asked.message.contains(told), "{told}: {}", asked.message);
    }
    ask["confirmed"] = json!(true);
    site.ann.call("tickWires", ask);
    assert_eq!(site.line(1)["cutDoneMm"], 7290.0);
}

#[test]
fn where_nothing_may_be_cut_no_length_on_site_is_taken() {
    let site = Site::of_run(0);
    let ask = json!({"job": site.job, "run": site.run, "wires": "1", "act": "cut", "done": true,
        "onSite": {"text": "7230"}, "confirmed": true});
    let last = site.layout()["posts"].as_array().unwrap().last().unwrap()["id"].clone();
    let glass = json!({"kind": "glassEdge"});
    say(
        &site,
        "support",
        &format!("post:{}", last.as_str().unwrap()),
        glass,
    );
    let refused = site.ann.refused("tickWires", ask.clone());
    assert_eq!(refused.code, ErrorCode::Invalid);
    for told in ["can never hold the wires' pull", "Nothing was ticked"] {
        assert!(refused.message.contains(told), "{}", refused.message);
    }
    assert!(
        !refused.message.contains("enter the length"),
        "{}",
        refused.message
    );
    assert_eq!(site.ask("progress")["wires"][0]["stage"], json!("measured"));
}

fn say(site: &Site, field: &str, subject: &str, value: serde_json::Value) {
    let place = if field == "role" {
        site.run.clone()
    } else {
        String::new()
    };
    let claim = json!({"subject": subject, "field": field, "place": place, "value": value});
    site.ann
        .call("say", json!({"job": site.job, "claims": [claim]}));
}

/// Run A with a fixed end at A6, its figures from a set of the library.
fn with_a_fixed_end(set: &str) -> Site {
    let site = Site::edited(0, |survey| {
        let run = &mut survey["runs"][0];
        run["fittingSet"] = json!(set);
        let last = run["posts"].as_array().unwrap().len() - 1;
        run["posts"][last]["end"] = json!({"kind": "fixedEnd"});
    });
    let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_500_000, "upperMn": 1_800_000,
        "requiredOrigin": "", "upperOrigin": "", "passesMn": [600_000, 1_100_000, 1_500_000]});
    site.call(
        "setTensions",
        json!({"tensions": tensions, "confirmed": true}),
    );
    site
}

#[test]
fn a_fixed_end_that_the_set_does_not_have_is_cut_on_site_as_before() {
    let site = with_a_fixed_end("m6-insert-worked");
    let tick = json!({"wires": "1", "act": "cut", "done": true});
    let refused = site.refused("tickWires", tick);
    assert!(
        refused.message.contains("fixed end") && refused.message.contains("enter the length"),
        "{}",
        refused.message
    );
    let cut = json!({"wires": "1", "act": "cut", "done": true, "onSite": {"text": "7230"}});
    site.call("tickWires", cut);
    assert_eq!(site.line(1)["cutDoneMm"], 7230.0);
}

#[test]
fn a_run_with_a_fixed_end_is_released_cut_and_turned_at_its_thread_alone() {
    let site = with_a_fixed_end("m6-insert-fixed-end");
    assert_eq!(site.line(1)["refused"], json!(null));
    // Longest: D − y + 52.8 = S + W + (Lc − W)·k, k of 1500 N; shortest: caught by hand at 2 of thread and 30 N.
    // S = (110 − 32) + (60 − 32 + 0 from the face), W = 64, EA 794 597 N, stretch 300 parts per million.
    let figure = |name: &str| site.line(1)[name].as_f64().unwrap();
    let (inside, inward) = (figure("insideMm"), figure("inwardMm"));
    assert!((inside - 7294.0).abs() < 0.05, "{inside}");
    let (s, w, ea) = (106.0, 64.0, 794_597.0);
    let tight = (1.0 + 1500.0 / ea) * (1.0 + 300e-6);
    let longest = (inside - inward + 52.8 - s - w) / tight + w;
    let shortest = (inside + 2.0 - s - w) / (1.0 + 30.0 / ea) + w;
    assert!((figure("longestMm") - longest).abs() < 1e-3, "{longest}");
    assert!((figure("shortestMm") - shortest).abs() < 1e-3, "{shortest}");
    site.cut("1");
    let cut = figure("cutDoneMm");
    // The middle, on the tape's millimetres.
    assert!((cut - (longest + shortest) / 2.0).abs() <= 0.5, "{cut}");
    let [first, last] = site.ends();
    // What only a thread shows is refused at the fixed end, and what any end shows is kept.
    for told in [
        json!({"threadLeft": {"text": "20"}}),
        json!({"turns": {"turns": 5, "flats": 0}}),
        json!({"markHidden": true}),
        json!({"nutTight": true}),
    ] {
        let mut read = told.clone();
        read["wires"] = json!("1");
        read["post"] = last.clone();
        let refused = site.refused("readEnd", read.clone());
        assert_eq!(refused.code, ErrorCode::Invalid);
        assert!(
            refused.message.contains("A6 end of run A is a fixed end"),
            "{}",
            refused.message
        );
        read["post"] = first.clone();
        read["confirmed"] = json!(true);
        site.call("readEnd", read);
    }
    let out = json!({"wires": "1", "post": last, "endOut": {"text": "1"}});
    site.call("readEnd", out);
    // Told once, a turning is of the end that has a thread.
    let turn = json!({"wire": 1, "turns": {"turns": 3, "flats": 2}, "toMn": 600_000});
    site.call("turnWire", turn.clone());
    let mut both = turn;
    both["last"] = json!({"turns": 1, "flats": 0});
    let refused = site.refused("turnWire", both);
    assert!(
        refused.message.contains("nothing turns there"),
        "{}",
        refused.message
    );
}
