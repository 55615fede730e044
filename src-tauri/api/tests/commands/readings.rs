//! Readings at the ends of wires: what can be read is taken, and nothing else; and a correction
//! replaces what its person saw.

use crate::common::Device;
use api::ErrorCode;
use serde_json::{Value, json};

struct Site {
    ann: Device,
    job: String,
    run: String,
    posts: [String; 2],
    other: String,
    _dir: tempfile::TempDir,
}

fn id(created: &Value) -> String {
    let text = created["created"].as_str().unwrap();
    text.split_once(':').unwrap().1.to_owned()
}

fn site() -> Site {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "installer");
    let job = id(&ann.call("beginJob", json!({"title": "Deck", "place": "an island"})));
    let add = |thing: &str, fields: Value| {
        id(&ann.call(
            "addThing",
            json!({"job": job, "thing": thing, "fields": fields}),
        ))
    };
    let run = |name: &str| {
        add(
            "run",
            json!([{"field": "name", "value": name}, {"field": "wireCount", "value": 3}]),
        )
    };
    let post = |run: &str, name: &str, mm: i64| {
        let place = json!({"field": "position", "place": run, "value": {"nm": mm * 1_000_000}});
        let role = json!({"field": "role", "place": run, "value": "anchor"});
        add(
            "post",
            json!([{"field": "name", "value": name}, place, role]),
        )
    };
    let (a, b) = (run("A"), run("B"));
    let posts = [post(&a, "A1", 0), post(&a, "A2", 1400)];
    let other = post(&b, "B1", 0);
    post(&b, "B2", 900);
    Site {
        job,
        run: a,
        posts,
        other,
        ann,
        _dir: dir,
    }
}

impl Site {
    fn ask(&self, mut more: Value) -> Value {
        more["job"] = json!(self.job);
        more["run"] = json!(self.run);
        if more["wires"].is_null() {
            more["wires"] = json!("1");
        }
        more
    }

    fn refused(&self, command: &str, more: Value) -> String {
        let error = self.ann.refused(command, self.ask(more));
        assert_eq!(error.code, ErrorCode::Invalid, "{}", error.message);
        error.message
    }
}

#[test]
fn what_an_end_cannot_show_is_refused_and_nothing_left_is_a_reading() {
    let site = site();
    let post = &site.posts[0];
    for (nonsense, word) in [
        (
            json!({"post": post, "markMoved": "-3"}),
            "Mark moved at an end: it is −3 mm",
        ),
        (
            json!({"post": post, "threadLeft": {"text": "-1"}}),
            "Type 0",
        ),
        (
            json!({"post": post, "turns": {"turns": -5, "flats": 0}}),
            "turns",
        ),
        (
            json!({"post": post, "turns": {"turns": 5, "flats": 99}}),
            "0 to 60",
        ),
        (json!({"post": post}), "Nothing was read"),
        (json!({"post": site.other, "markHidden": true}), "A1 and A2"),
    ] {
        let told = site.refused("readEnd", nonsense);
        assert!(told.contains(word), "{told}");
    }
    let zero =
        json!({"post": post, "threadLeft": {"text": "0"}, "markMoved": "0", "confirmed": true});
    let recorded = site.ann.call("readEnd", site.ask(zero));
    assert_eq!(recorded["entries"].as_array().unwrap().len(), 2);
}

#[test]
fn crimps_are_at_the_ends_of_their_run_and_samples_have_a_size() {
    let site = site();
    let told = site.refused("checkCrimps", json!({"post": site.other, "result": "good"}));
    assert!(told.contains("does not end at this post"), "{told}");
    let good = json!({"post": site.posts[1], "result": "good", "confirmed": true});
    site.ann.call("checkCrimps", site.ask(good));
    let sample = json!({"pullMn": 1_000_000, "heldS": 60, "markMovedNm": 0, "result": "good",
        "left": {"firstNm": -1_000_000, "secondNm": 5_000_000}});
    let error = site
        .ann
        .refused("addSampleCrimp", json!({"job": site.job, "sample": sample}));
    assert!(
        error.message.contains("first is −1 mm"),
        "{}",
        error.message
    );
    // One that slipped is asked about, and kept only for a yes.
    let mut slipped = json!({"job": site.job, "sample": {"pullMn": 3_700_000, "heldS": 60,
        "markMovedNm": 5_000_000, "result": "good"}});
    let error = site.ann.refused("addSampleCrimp", slipped.clone());
    assert_eq!(error.code, ErrorCode::Questioned);
    assert!(
        error.message.contains("the mark moved 5"),
        "{}",
        error.message
    );
    slipped["confirmed"] = json!(true);
    site.ann.call("addSampleCrimp", slipped);
}

#[test]
fn no_opening_is_above_a_wire_that_is_not_there() {
    let site = site();
    let [a, b] = &site.posts;
    let bay = format!("bay:{}:{}", a.min(b), a.max(b));
    let check = |above: u32| {
        json!({"job": site.job, "run": site.run, "bay": bay, "probe": {"text": "125"},
            "exceptions": [{"aboveWire": above, "result": "passes"}]})
    };
    let error = site.ann.refused("checkGaps", check(99));
    assert!(error.message.contains("3 wires"), "{}", error.message);
    site.ann.call("checkGaps", check(3));
}

#[test]
fn a_correction_replaces_what_was_seen_and_nothing_else() {
    let site = site();
    let subject = format!("run:{}", site.run);
    let say = |name: &str, seen: Value| {
        json!({"job": site.job,
            "claims": [{"subject": subject, "field": "name", "value": name, "seen": seen}]})
    };
    let stands = || {
        let facts = site
            .ann
            .call("readSubject", json!({"job": site.job, "subject": subject}));
        let facts = facts["facts"].as_array().unwrap().clone();
        facts.into_iter().find(|f| f["field"] == "name").unwrap()
    };
    let seen = json!([stands()["words"][0]["entry"]]);
    site.ann.call("say", say("Front", seen.clone()));
    let error = site.ann.refused("say", say("Back", seen));
    assert_eq!(error.code, ErrorCode::Changed);
    assert_eq!(stands()["words"][0]["value"], "Front");
    let seen = json!([stands()["words"][0]["entry"]]);
    site.ann.call("say", say("Back", seen));
    assert_eq!(stands()["words"][0]["value"], "Back");
}

#[test]
fn a_correction_of_what_is_not_here_is_refused() {
    let site = site();
    let ask = |over: Value| {
        json!({"job": site.job, "run": site.run, "wire": 1, "length": {"text": "1390"},
            "purpose": "cut", "posts": "railOn", "faces": "postFaces", "instrument": "tape",
            "confirmed": true, "over": over})
    };
    let refused = site.ann.refused("measure", ask(json!(["0".repeat(64)])));
    assert_eq!(refused.code, ErrorCode::Changed, "{}", refused.message);
    let first = site.ann.call("measure", ask(json!([])))["entries"].clone();
    site.ann.call("measure", ask(first.clone()));
    // A word on another wire is none on this.
    let mut other = ask(first);
    other["wire"] = json!(2);
    assert_eq!(site.ann.refused("measure", other).code, ErrorCode::Changed);
}
