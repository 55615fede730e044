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
        "enter the length at which it was cut",
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
    let sheet = site.ask("cutSheet");
    let mut lines = sheet["lines"].as_array().unwrap().iter();
    let line = lines.find(|line| line["wire"] == 1).unwrap();
    assert_eq!(line["cutDoneMm"], 7230.5);
    assert_eq!(site.ask("progress")["wires"][0]["stage"], "cut");
}
