//! A gate from a survey file, through the list of commands.

use crate::common::worked::{Site, near};
use serde_json::json;

#[test]
fn a_gate_of_a_survey_is_asked_for_its_gaps() {
    let site = Site::edited(0, |survey| {
        let posts = survey["posts"].as_array_mut().unwrap();
        let first = posts.iter_mut().find(|post| post["name"] == "A1").unwrap();
        first["support"] = json!({"kind": "gatePost", "gateClear": 920, "gateLeaf": "895 mm",
            "gateLeafThick": 45, "gateHingeGap": 0});
    });
    let told = site.ask("gateGaps");
    let gate = &told["gates"][0];
    assert_eq!(told["gates"].as_array().unwrap().len(), 1);
    assert_eq!(gate["name"], "gate at A1");
    near(&gate["gaps"]["latchBeforeMm"], 25.0, 1e-9);
    assert_eq!(gate["gaps"]["hingesMm"], 0.0);
    // What is planned to be set pulls before anybody decided it.
    let moved = gate["posts"][0]["toMm"].as_f64().unwrap();
    assert!(moved > 1.0, "{gate:#}");
    near(&gate["gaps"]["widestMm"], 25.0 + moved, 1e-9);
    // What was typed of it stands beside it.
    let [first, _] = site.ends();
    let subject = format!("post:{}", first.as_str().unwrap());
    let request = json!({"job": site.job, "subject": subject});
    let facts = site.ann.call("readSubject", request);
    let support = facts["facts"].as_array().unwrap().iter();
    let support = support.clone().find(|f| f["field"] == "support").unwrap();
    let told = support.to_string();
    assert!(
        told.contains("gate clear 920 mm, leaf 895 mm, leaf thick 45 mm, hinge gap 0 mm"),
        "{support:#}"
    );
    // A post of the record stands across; one that is no gate's, or none, is none.
    let say = |value: serde_json::Value| {
        let claim = json!({"subject": subject, "field": "support", "value": value});
        let request = json!({"job": site.job, "claims": [claim], "confirmed": true});
        site.ann.call("say", request)
    };
    say(json!({"kind": "gatePost", "gateClearNm": 920_000_000, "gateAcross": first}));
    let gate = site.ask("gateGaps")["gates"][0].clone();
    assert_eq!(
        (&gate["across"], &gate["gaps"]),
        (&json!(null), &json!(null))
    );
    assert!(
        gate["missing"][0]
            .as_str()
            .unwrap()
            .contains("leaf's width")
    );
    say(json!({"kind": "post"}));
    assert_eq!(site.ask("gateGaps")["gates"], json!([]));
    let wrong = json!({"kind": "gatePost", "gateLeafNm": 0});
    let claim = json!({"subject": subject, "field": "support", "value": wrong});
    let refused = json!({"job": site.job, "claims": [claim]});
    let refused = site.ann.refused("say", refused);
    assert!(refused.message.contains("gate leaf"), "{}", refused.message);
}
