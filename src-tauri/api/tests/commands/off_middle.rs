//! Holes off the middle of their face at every way in: what is asked, what is refused, and what the layout asks
//! first where two ends contradict each other.

use crate::common::worked::Site;
use api::ErrorCode;
use serde_json::{Value, json};

/// An end of a post as it is said, its holes so far off the middle.
fn end(hand: &str, aside: i64, side: Option<&str>) -> Value {
    let mut end = json!({"kind": "insert", "hand": hand, "tensioner": true, "angledSeat": false,
        "asideNm": aside * 1_000_000});
    if let Some(side) = side {
        end["otherEnters"] = side.into();
    }
    end
}

/// The end of run A at A6 as `say` takes it.
fn claim(site: &Site, end: Value) -> Value {
    let [_, last] = site.ends();
    let subject = format!("post:{}", last.as_str().unwrap());
    json!({"job": site.job, "claims": [{"subject": subject, "field": "end", "place": site.run, "value": end}]})
}

#[test]
fn little_wood_to_the_edge_is_asked_about_and_a_hole_beyond_it_refused_at_every_way_in() {
    let site = Site::surveyed(0);
    let [_, last] = site.ends();
    let put = |off: &str| json!({"post": last, "off": {"text": off}, "otherEnters": "right"});
    // A6 is 115 wide and the holes 9: 57.5 − 4.5 − 40 = 13.
    let little = "leaves 13 mm of wood to the edge of the face of post A6, and between holes 20 mm is wanted";
    for (request, command) in [
        (put("40"), "putAside"),
        (claim(&site, end("RH", 40, None)), "say"),
    ] {
        let asked = match command {
            "say" => site.ann.refused("say", request.clone()),
            _ => site.refused(command, request.clone()),
        };
        assert_eq!(asked.code, ErrorCode::Questioned, "{asked:?}");
        assert!(asked.message.contains(little), "{}", asked.message);
        let mut sure = request;
        sure["confirmed"] = json!(true);
        match command {
            "say" => site.ann.call("say", sure),
            _ => site.call(command, sure),
        };
        let before = site.ask("beforeOrdering");
        let mut problems = before["problems"].as_array().unwrap().iter();
        let named = problems
            .find(|p| p["code"] == "holesAtEdge")
            .expect("named");
        assert!(
            named["sentence"].as_str().unwrap().contains(little),
            "{named}"
        );
    }
    for (off, words) in [
        (53, "breaks out of the face of post A6"),
        (60, "is beside post A6"),
    ] {
        let mut say = claim(&site, end("RH", -off, None));
        say["confirmed"] = json!(true);
        let mut put = put(&off.to_string());
        put["confirmed"] = json!(true);
        for refused in [site.ann.refused("say", say), site.refused("putAside", put)] {
            assert_eq!(refused.code, ErrorCode::Invalid, "{refused:?}");
            assert!(refused.message.contains(words), "{}", refused.message);
            assert!(
                refused.message.ends_with("Nothing was saved."),
                "{}",
                refused.message
            );
        }
    }
    // 33 leaves the 20: nothing is asked.
    site.call("putAside", put("33"));
}

#[test]
fn a_distance_beyond_any_usual_post_is_refused_where_no_section_is_told() {
    let site = Site::surveyed(0);
    let named =
        json!({"job": site.job, "thing": "post", "fields": [{"field": "name", "value": "P"}]});
    let made = site.ann.call("addThing", named);
    let say = |mm: i64| {
        json!({"job": site.job, "claims": [{"subject": made["created"], "field": "end", "place": site.run,
            "value": end("RH", mm, None)}]})
    };
    let refused = site.ann.refused("say", say(-151));
    assert_eq!(refused.code, ErrorCode::Invalid, "{refused:?}");
    assert!(
        refused
            .message
            .contains("151 mm off the middle is beside post P")
            && refused.message.contains("tell the section first"),
        "{}",
        refused.message
    );
    site.ann.call("say", say(-150));
    // With the thing itself, where its section comes in the same act.
    let first = |mm: i64| {
        json!({"job": site.job, "thing": "post", "confirmed": true, "fields": [
            {"field": "name", "value": "Q"},
            {"field": "section", "value": {"alongNm": 400_000_000, "acrossNm": 400_000_000}},
            {"field": "end", "place": site.run, "value": end("RH", mm, None)}]})
    };
    let refused = site.ann.refused("addThing", first(196));
    assert!(
        refused.message.contains("breaks out of the face of post Q"),
        "{refused:?}"
    );
    site.ann.call("addThing", first(170));
}

#[test]
fn a_side_that_another_end_contradicts_is_asked_about_and_the_layout_asks_first() {
    let site = Site::surveyed(0);
    site.short_bay();
    let [_, last] = site.ends();
    let view = site.ann.call("readJob", json!({"job": site.job}));
    let b = view["runs"][1]["id"].clone();
    let of_b = |side: &str| {
        let put = json!({"job": site.job, "run": b, "post": last, "off": {"text": "3"},
            "otherEnters": side, "confirmed": true});
        site.ann.call("putAside", put)
    };
    let put = |off: &str| json!({"post": last, "off": {"text": off}, "otherEnters": "left"});
    of_b("left");
    let asked = site.refused("putAside", put("10"));
    assert_eq!(asked.code, ErrorCode::Questioned, "{asked:?}");
    for words in [
        "Post A6: the ends of runs A and B can't both be right",
        "Look again",
    ] {
        assert!(asked.message.contains(words), "{}", asked.message);
    }
    let mut sure = put("10");
    sure["confirmed"] = json!(true);
    site.call("putAside", sure);
    let told = |found: &Value| {
        let first = found["askFirst"][0].as_str().unwrap_or_default().to_owned();
        first.contains("can't both be right") && first.contains("say it anew")
    };
    let found = site.ask("layOut");
    assert!(told(&found), "{}", found["askFirst"]);
    let mut proposals = found["proposals"].as_array().unwrap().iter();
    assert!(proposals.all(|p| p["sharedPosts"][0]["asideMm"].is_null()));
    of_b("right");
    assert!(!told(&site.ask("layOut")));
}
