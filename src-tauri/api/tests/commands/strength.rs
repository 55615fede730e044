//! What is suggested and kept as the tensions of a run, from what is known of its strength and losses.
//! Source of every figure: the worked job, a consistency check of the whole chain.

use crate::common::worked::{Site, decide, sentences, strong};
use serde_json::{Value, json};

/// The thin strand of the library, which comes without a breaking load, on a gauge to 3000 N.
fn without_strength() -> Site {
    Site::edited(0, |survey| {
        survey["runs"][0]["strand"] = json!("2.5-1x19");
        survey["tools"][0]["rangeFromN"] = json!(200);
        survey["tools"][0]["rangeToN"] = json!(3000);
    })
}

#[test]
fn the_range_of_a_gauge_is_no_strength_of_a_strand() {
    let site = without_strength();
    let plan = site.ask("tensionPlan");
    assert_eq!(plan["upperN"], Value::Null);
    assert_eq!(plan["upperExactN"], Value::Null);
    assert_eq!(plan["suggestedN"], Value::Null);
    assert_eq!(plan["room"], Value::Null);
    let origin = plan["upperOrigin"].as_str().unwrap();
    assert!(origin.starts_with("not told"), "{origin}");
    assert!(sentences(&plan["issues"]).contains("breaking load from the mill sheet"));
    // What the gauge can't show still stands as a limit beside it.
    assert_eq!(plan["parts"][0]["name"], "gauge's range");
    assert_eq!(plan["ceilingN"], 3000.0);

    let tensions = json!({"requiredMn": 1_725_000, "setMn": 2_000_000, "upperMn": 3_000_000,
        "requiredOrigin": "", "upperOrigin": "gauge", "passesMn": [2_000_000]});
    let asked = site.refused("setTensions", json!({"tensions": tensions}));
    assert_eq!(asked.code, api::ErrorCode::Questioned);
    assert!(asked.message.contains("breaking load"), "{}", asked.message);
    let yes = json!({"tensions": tensions, "confirmed": true});
    site.call("setTensions", yes);
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let kept = view["runs"][0]["tensions"]["upperOrigin"].as_str().unwrap();
    assert!(
        kept.contains("typed by who decided: gauge") && kept.contains("no breaking load is told"),
        "{kept}"
    );
    let plan = site.ask("tensionPlan");
    assert_eq!(
        (&plan["upperN"], &plan["suggestedN"]),
        (&Value::Null, &Value::Null)
    );
    assert!(
        plan["suggestion"]
            .as_str()
            .unwrap()
            .contains("breaking load")
    );

    // A reading may be clear of what is required; that nobody knows the strand's strength stands by.
    site.read(1, 2950, "final", None);
    let read = site.ask("tensions");
    assert_eq!(read["lines"][0]["state"], "clear");
    assert!(
        sentences(&read["notes"]).contains("breaking load"),
        "{}",
        read["notes"]
    );
    assert!(
        read["upperMissing"]
            .as_str()
            .unwrap()
            .contains("breaking load")
    );
    assert!(sentences(&site.ask("tensioning")["notes"]).contains("breaking load"));
    // Once it is told, the limit is its own.
    let told = Site::of_run(0).ask("tensions");
    assert_eq!(told["upperMissing"], Value::Null);
    assert!(!sentences(&told["notes"]).contains("breaking load"));
}

#[test]
fn the_set_tension_suggested_is_required_and_loss_and_the_gauges_error() {
    let site = Site::surveyed(0);
    site.short_bay();
    strong(&site);
    let plan = site.ask("tensionPlan");
    let set = plan["suggestedN"].as_f64().unwrap();
    let room = |name: &str| plan["room"][name].as_f64().unwrap();
    assert!(
        set >= room("clearFromN") && set <= room("clearToN"),
        "{plan}"
    );
    assert_eq!(plan["leastSetN"].as_f64(), Some(set));
    // Decided as suggested, it leaves what is required after what that very tension loses, and asks
    // nothing more.
    decide(&site, 1330, set as u64, 2400.0, &[set as u64]);
    let plan = site.ask("tensionPlan");
    assert_eq!(plan["suggestedN"].as_f64(), Some(set));
    let loss = plan["laterLossN"].as_f64().unwrap();
    // 12.71 N for each kelvin of this strand between posts that do not give; in no figure here.
    let warmth = plan["temperature"].as_str().unwrap();
    assert!(
        warmth.contains("up to 12.7\u{a0}N, 30\u{a0}K take 381\u{a0}N")
            && warmth.contains("not counted"),
        "{warmth}"
    );
    let left = set * 0.96 - loss;
    assert!(left >= 1330.0, "{left}");
    // In steps of 50 N; one step less would not do.
    assert_eq!(set % 50.0, 0.0);
    assert!((set - 50.0) * 0.96 - loss < 1330.0, "{set}, {loss}");
    let again = json!({"requiredMn": 1_330_000, "setMn": set as u64 * 1000,
        "upperMn": 2_400_000, "requiredOrigin": "", "upperOrigin": "", "passesMn": []});
    site.call("setTensions", json!({"tensions": again}));
    // Where the loss leaves no room, nothing is suggested and that is said.
    decide(&site, 1330, 1500, 1800.0, &[1500]);
    let plan = site.ask("tensionPlan");
    assert_eq!(plan["suggestedN"], Value::Null);
    let why = plan["suggestion"].as_str().unwrap();
    assert!(
        why.contains("no room") && why.contains("lost by the first recheck"),
        "{why}"
    );
}

#[test]
fn passes_that_nobody_told_are_the_usual_steps_everywhere() {
    let site = Site::edited(0, |survey| {
        survey["runs"][0]["tensions"] = json!({"required": 1725, "set": 1750, "upper": 1800,
            "requiredOrigin": "table", "upperOrigin": "strand"});
    });
    let kept = |site: &Site| {
        let view = site.ann.call("readJob", json!({"job": site.job}));
        view["runs"][0]["tensions"]["passesMn"].clone()
    };
    // Two fifths and nearly three quarters, as a gauge of 4 % can show them.
    assert_eq!(kept(&site), json!([700_000, 1_300_000, 1_750_000]));
    // The same file once more says nothing new.
    assert!(sentences(&site.again()).is_empty());
    decide(&site, 1330, 1500, 1800.0, &[]);
    assert_eq!(kept(&site), json!([600_000, 1_100_000, 1_500_000]));
    let site = Site::surveyed(0);
    site.short_bay();
    strong(&site);
    let plan = site.ask("tensionPlan");
    let usual = plan["usualPassesN"].as_array().unwrap().clone();
    assert_eq!(usual.last(), Some(&plan["suggestedN"]));
    let set = plan["suggestedN"].as_f64().unwrap() as u64;
    decide(&site, 1330, set, 2400.0, &[]);
    let told: Vec<Value> = kept(&site)
        .as_array()
        .unwrap()
        .iter()
        .map(|mn| json!(mn.as_f64().unwrap() / 1000.0))
        .collect();
    assert_eq!(told, usual);
}

#[test]
fn the_most_that_is_lost_is_not_rounded_down() {
    let site = Site::of_run(0);
    let (plan, again) = (site.ask("tensionPlan"), site.ask("recheck"));
    for (exact, told) in [("laterLossN", "lossN"), ("laterLossInAllN", "lossInAllN")] {
        let (exact, told) = (plan[exact].as_f64().unwrap(), again[told].as_f64().unwrap());
        assert!(told >= exact && told - exact < 50.0, "{told} of {exact}");
    }
}

#[test]
fn the_next_act_tells_a_reading_as_it_was_read() {
    let site = Site::of_run(0);
    site.short_bay();
    for n in 1..=12 {
        site.read(n, if n == 3 { 1325 } else { 1500 }, "final", None);
    }
    let mut skipped = Vec::new();
    loop {
        let asked = json!({"job": site.job, "skipped": skipped});
        let act = site.ann.call("nextAct", asked)["act"].clone();
        assert!(!act.is_null(), "no wire is to be raised: {skipped:?}");
        if act["what"] == "raise" {
            let words = act["sentence"].as_str().unwrap();
            assert!(words.contains("A3 is below: 1325 N"), "{words}");
            break;
        }
        skipped.push(act["key"].clone());
    }
    let read = site.ask("tensions");
    assert_eq!(read["lines"][2]["governing"]["newtons"], 1325.0);
    assert_eq!(read["lines"][2]["governing"]["shownN"], Value::Null);
}
