//! Posts and openings under a push, walked through the list of commands on the worked job.

use crate::common::worked::{Site, near};
use serde_json::{Value, json};

fn post<'v>(answer: &'v Value, name: &str) -> &'v Value {
    let posts = answer["posts"].as_array().unwrap();
    posts.iter().find(|p| p["name"] == name).unwrap()
}

#[test]
fn a_post_is_asked_pulled_and_asked_again() {
    let site = Site::of_run(0);
    let before = site.ask("postsAsked");
    // scenario: "12 × 1500 N on the 115 post: free 8892 N·m, 35.1 MPa; with the rail 5995 N·m"
    let a1 = post(&before, "A1");
    near(&a1["held"][0]["baseMomentNm"], 8892.0, 0.5);
    near(&a1["held"][1]["baseMomentNm"], 5995.0, 0.5);
    assert_eq!(a1["held"][2]["held"], "propped");
    assert!(a1["sentence"].as_str().unwrap().contains("ask an engineer"));
    let tip = |answer: &Value| post(answer, "A1")["held"][0]["tipMm"].as_f64().unwrap();

    let [first, last] = site.ends();
    let pull = |newtons: &str, moved: &str, rail_on: bool| {
        json!({"post": first, "newtons": newtons, "at": {"text": "1000"},
            "moved": {"text": moved}, "railOn": rail_on})
    };
    // Bad input is refused in words, and an odd reading is questioned once.
    for (newtons, moved, says) in [
        ("0", "3", "no pull"),
        ("-5", "3", "no pull"),
        ("90000", "3", "no pull"),
        ("soft", "3", "newtons"),
        ("300", "0", "not seen to move"),
        ("300", "NaN", "millimetres"),
    ] {
        let refused = site.refused("readPull", pull(newtons, moved, false));
        assert!(
            refused.message.contains(says),
            "{newtons} {moved}: {}",
            refused.message
        );
    }
    let odd = site.refused("readPull", pull("300", "0.02", false));
    assert!(odd.message.contains("steel"), "{}", odd.message);
    let odd = site.refused("readPull", pull("500", "60", false));
    assert!(
        odd.message.contains("times what such a post bends"),
        "{}",
        odd.message
    );
    let mut high = pull("300", "3", false);
    high["at"] = json!({"text": "3000"});
    let odd = site.refused("readPull", high);
    assert!(
        odd.message.contains("lies above post A1"),
        "{}",
        odd.message
    );
    let mut other = pull("300", "3", false);
    other["post"] = json!("not a post");
    site.refused("readPull", other);

    let inward = site.line(12)["inwardMm"].as_f64().unwrap();
    site.call("readPull", pull("300", "3", false));
    let pulled = site.ask("postsAsked");
    assert!(tip(&pulled) > tip(&before));
    assert!(
        post(&pulled, "A1")["pulled"][0]
            .as_str()
            .unwrap()
            .contains("as pulled")
    );
    assert!(site.line(12)["inwardMm"].as_f64().unwrap() > inward);
    site.call("readPull", pull("300", "0.4", true));
    let rail = post(&site.ask("postsAsked"), "A1")["held"][1]["tipMm"].clone();
    assert!(rail.as_f64() < post(&pulled, "A1")["held"][1]["tipMm"].as_f64());
    // Plain words can't go past the command's rules.
    let said = json!({"job": site.job, "claims": [{"subject": format!("post:{}", first.as_str().unwrap()),
        "field": "pull", "place": site.run, "value": {"mn": 1, "atNm": 1, "movedNm": 1, "railOn": false}}]});
    assert!(site.ann.refused("say", said).message.contains("readPull"));

    // Far from the pull that stands: asked, and not where it corrects that one.
    let subject = format!("post:{}", first.as_str().unwrap());
    let all = json!({"job": site.job, "subject": subject});
    let words = |all: &Value| -> Vec<Value> {
        let facts = all["facts"].as_array().unwrap().iter();
        let pulls = facts.filter(|f| f["field"] == "pull");
        pulls
            .flat_map(|f| f["words"].as_array().unwrap().clone())
            .collect()
    };
    let all = site.ann.call("readSubject", all);
    let stands = words(&all);
    let off = stands
        .iter()
        .find(|w| w["value"]["railOn"] == false)
        .unwrap();
    let mut other = pull("300", "1.2", false);
    let odd = site.refused("readPull", other.clone());
    assert!(
        odd.message.contains("would move it 3 mm, not 1.2 mm"),
        "{}",
        odd.message
    );
    other["over"] = json!([off["entry"]]);
    site.call("readPull", other);
    // Its base still turns: movement goes by that, the moment with the rail as if it did not.
    let after = post(&site.ask("postsAsked"), "A1").clone();
    let by = after["held"][1]["byBase"].as_array().unwrap();
    assert_eq!(by.len(), 2);
    assert!(by[0]["baseMomentNm"].as_f64() < after["held"][1]["baseMomentNm"].as_f64());
    assert_eq!(by[0]["tipMm"], after["held"][1]["tipMm"]);

    // The angle of both runs at A6 is a plain fact; untold each figure is the greatest over all.
    let shared = post(&pulled, "A6")["together"]["held"][0]["baseMomentNm"].clone();
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let mut runs: Vec<String> = (0..2)
        .map(|n| view["runs"][n]["id"].as_str().unwrap().to_owned())
        .collect();
    runs.sort();
    let angle = |cdeg: i64| {
        json!({"job": site.job, "claims": [{"subject": format!("post:{}", last.as_str().unwrap()),
            "field": "angle", "place": runs.join("/"), "value": {"cdeg": cdeg}}]})
    };
    assert!(
        site.ann
            .refused("say", angle(18_001))
            .message
            .contains("180.01° and must lie within 0° to 180°")
    );
    site.ann.call("say", angle(9000));
    let square = post(&site.ask("postsAsked"), "A6")["together"].clone();
    assert_eq!(square["runs"][0]["angleDeg"], 90.0);
    assert!(square["held"][0]["baseMomentNm"].as_f64() < shared.as_f64());
    // Before ordering shows the same posts.
    let ordering = site.ask("beforeOrdering");
    assert_eq!(post(&ordering, "A6")["together"], square);
}

#[test]
fn a_run_is_pushed_and_drawn() {
    let site = Site::of_run(0);
    let answer = site.call("underPush", json!({"push": "40"}));
    let pushed = &answer["pushed"];
    assert_eq!(pushed["sphereMm"], 125.0);
    assert_eq!(pushed["bays"].as_array().unwrap().len(), 5);
    let drawings = answer["sections"].as_array().unwrap();
    assert_eq!(drawings.len(), 5);
    for (bay, drawing) in pushed["bays"].as_array().unwrap().iter().zip(drawings) {
        let shapes = drawing["shapes"].as_array().unwrap();
        let texts: Vec<&str> = shapes.iter().filter_map(|s| s["text"].as_str()).collect();
        for opening in bay["openings"].as_array().unwrap() {
            let force = format!(", {:.0} N", opening["forceN"].as_f64().unwrap());
            assert!(
                texts.iter().any(|t| t.ends_with(&force)),
                "{force} in {texts:?}"
            );
        }
        assert!(shapes.iter().any(|s| s["role"] == "sphere"));
        let weakest = shapes.iter().filter(|s| s["role"] == "opening").count();
        assert_eq!(weakest, 1);
        // Everything drawn lies on the sheet.
        for shape in shapes {
            for (key, most) in [
                ("x1", "width"),
                ("x2", "width"),
                ("x", "width"),
                ("y1", "height"),
                ("y2", "height"),
                ("y", "height"),
            ] {
                if let Some(at) = shape[key].as_f64() {
                    assert!(
                        at >= 0.0 && at <= drawing[most].as_f64().unwrap(),
                        "{shape}"
                    );
                }
            }
        }
    }
    // A wider sphere needs more force; a push beyond it brings it through.
    let force = |answer: &Value| {
        answer["pushed"]["bays"][1]["openings"][6]["forceN"]
            .as_f64()
            .unwrap()
    };
    let wider = site.call("underPush", json!({"sphere": {"text": "150"}}));
    assert!(force(&wider) > force(&answer));
    let hard = site.call("underPush", json!({"push": "9000"}));
    assert_eq!(hard["pushed"]["bays"][1]["openings"][6]["passes"], true);
    for bad in [
        json!({"push": "-1"}),
        json!({"push": "1e9"}),
        json!({"push": "20000"}),
        json!({"sphere": {"text": "0"}}),
        json!({"sphere": {"text": "round"}}),
    ] {
        let refused = site.refused("underPush", bad.clone());
        assert!(!refused.message.is_empty(), "{bad}");
        assert!(
            refused.message.contains("Type"),
            "{bad}: {}",
            refused.message
        );
    }
}
