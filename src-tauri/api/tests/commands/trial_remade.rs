//! What a trial wire goes on teaching once its piece is taken out, and readings that tell no one state of it.
//! Source: the worked job, a consistency check of the whole chain; which causes are not trusted is a choice of
//! this project.

use crate::common::worked::{Site, near};
use crate::common::{Device, meet};
use api::ErrorCode;
use serde_json::{Value, json};

/// A6 cut at 7235, alone at its tension: so much thread left.
fn trial_read(left: &str, right: &str) -> Site {
    let site = Site::of_run(0);
    site.cut("6");
    site.read(6, 1500, "pass", Some(1));
    site.thread_left(6, left, right);
    site
}

fn remake(site: &Site, cause: Option<&str>) {
    let mut request = json!({"wire": 6, "reason": "it hung too long"});
    if let Some(cause) = cause {
        request["cause"] = json!(cause);
    }
    site.call("remakeWire", request);
}

fn notes(site: &Site) -> String {
    site.ask("cutSheet")["notes"].to_string()
}

#[test]
fn a_piece_that_was_taken_out_goes_on_teaching() {
    let site = trial_read("7.0", "7.5");
    let learned = site.line(1)["learned"].clone();
    remake(&site, Some("terminalRejected"));
    let taught = site.ask("cutSheet")["taught"].clone();
    assert_eq!(taught["from"], "A6 piece 1");
    let sentence = taught["sentence"].as_str().unwrap();
    assert!(
        sentence.starts_with(
            "A6 piece 1 takes up 114.2 mm, 99.7 mm expected. Learned: those that are left"
        ),
        "{sentence}"
    );
    assert_eq!(site.line(1)["learned"], learned);
    // The new piece of the wire itself is a cut that is left.
    assert_eq!(site.line(6)["aimMm"], 7235.0);
    assert_eq!(site.line(6)["learned"]["aimMm"], 7228.0);
    let unsaid = site.refused("issueCuts", json!({"wires": "6"}));
    assert_eq!(unsaid.code, ErrorCode::Changed);
    let against = site.refused("issueCuts", json!({"wires": "6", "deduction": "computed"}));
    assert_eq!(against.code, ErrorCode::Questioned);
    let told = site.ask("learned");
    assert_eq!(told["waiting"], Value::Null);
    let reading = &told["readings"][0];
    assert_eq!(
        (&reading["wire"], &reading["name"], &reading["takenOut"]),
        (&json!(6), &json!("A6 piece 1"), &json!(true))
    );
    site.call(
        "issueCuts",
        json!({"wires": "6", "deduction": "learned", "confirmed": true}),
    );
    // Fitted and read, the new piece teaches beside the old one, each by its own name.
    let tick = json!({"wires": "6", "act": "cut", "done": true, "confirmed": true});
    site.call("tickWires", tick);
    site.read(6, 1500, "pass", Some(1));
    site.thread_left(6, "14.0", "14.5");
    let told = site.ask("learned");
    let names: Vec<&Value> = told["readings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|r| &r["name"])
        .collect();
    assert_eq!(names, ["A6 piece 1", "A6"]);
    near(&told["readings"][0]["takesUpMm"], 114.2, 0.05);
    near(&told["readings"][1]["takesUpMm"], 107.2, 0.05);
    let questions = told["taught"]["questions"].to_string();
    assert!(
        questions.contains("Wires A6 piece 1 and A6 disagree by 7 mm")
            && questions.contains("read A6 again"),
        "{questions}"
    );
}

#[test]
fn of_a_piece_that_can_not_be_read_again_one_more_wire_is_asked_for() {
    let site = trial_read("0.5", "0.5");
    remake(&site, None);
    let questions = site.ask("learned")["taught"]["questions"].to_string();
    assert!(
        questions.contains("Wire A6 piece 1, taken out, took up")
            && questions.contains("fit and read one more wire"),
        "{questions}"
    );
    assert!(!questions.contains("Read the thread"), "{questions}");
}

#[test]
fn a_piece_taken_out_for_its_cut_teaches_nothing_and_is_asked_about() {
    let site = trial_read("7.0", "7.5");
    site.call(
        "issueCuts",
        json!({"wires": "2", "deduction": "computed", "confirmed": true}),
    );
    remake(&site, Some("cutWrong"));
    assert_eq!(site.ask("cutSheet")["taught"], Value::Null);
    let asked = "A6 piece 1, taken out, took up 114.2 mm, 99.7 mm expected (thread left A1 LH 7 mm, A6 RH 7.5 mm, \
                 read by ann), and teaches nothing";
    assert!(notes(&site).contains(asked), "{}", notes(&site));
    for wire in ["6", "1"] {
        let release = json!({"wires": wire, "beforeTrial": "one reel only"});
        let question = site.refused("issueCuts", release);
        assert_eq!(question.code, ErrorCode::Questioned);
        assert!(question.message.contains(asked), "{}", question.message);
        assert!(
            question
                .message
                .contains("If it was 7235 mm long, the computed cuts come out 14.5 mm too long"),
            "{}",
            question.message
        );
    }
    // What was released before is asked about as it is cut, what is released on that yes is not.
    let tick = |wire: &str| json!({"wires": wire, "act": "cut", "done": true});
    let early = site.refused("tickWires", tick("2"));
    assert!(
        early.message.contains("A6 piece 1, taken out"),
        "{}",
        early.message
    );
    site.call("issueCuts", json!({"wires": "6", "confirmed": true}));
    site.call("tickWires", tick("6"));
    // The new piece speaks for itself.
    site.read(6, 1500, "pass", Some(1));
    site.thread_left(6, "14.0", "14.5");
    assert_eq!(site.ask("cutSheet")["taught"]["from"], "A6");
    assert!(!notes(&site).contains("piece 1"), "{}", notes(&site));
}

#[test]
fn a_piece_taken_out_for_its_cut_that_came_out_as_computed_asks_nothing() {
    let site = trial_read("14.0", "14.5");
    remake(&site, Some("cutWrong"));
    site.call("issueCuts", json!({"wires": "6"}));
}

#[test]
fn ends_that_were_read_at_two_tensions_teach_nothing() {
    let site = Site::of_run(0);
    site.cut("6");
    site.read(6, 700, "pass", Some(1));
    site.thread_left(6, "18.0", "18.5");
    site.read(6, 1500, "pass", Some(1));
    let [first, last] = site.ends();
    let read = |post: &Value, left: &str| {
        let read =
            json!({"wires": "6", "post": post, "threadLeft": {"text": left}, "confirmed": true});
        site.call("readEnd", read);
    };
    read(&first, "14.0");
    let why =
        "Wire A6: post A1's end was read at 1500 N, post A6's at 700 N: read post A6's end again.";
    assert_eq!(site.ask("cutSheet")["taught"], Value::Null);
    assert!(notes(&site).contains(why), "{}", notes(&site));
    for more in [
        json!({"wires": "1"}),
        json!({"wires": "1", "deduction": "learned", "confirmed": true}),
    ] {
        let told = site.refused("issueCuts", more);
        assert!(told.message.contains(why), "{}", told.message);
        assert_eq!(
            told.message.matches("eaches nothing").count(),
            1,
            "{}",
            told.message
        );
    }
    read(&last, "14.5");
    near(
        &site.ask("learned")["readings"][0]["takesUpMm"],
        100.2,
        0.05,
    );
    // Turned between the two it is no one state either.
    let turn = json!({"wire": 6, "turns": {"turns": 1, "flats": 0}, "toMn": 1_500_000});
    site.call("turnWire", turn);
    read(&first, "13.0");
    let why = "Wire A6: it was turned after post A6's end was read and before post A1's: read post A6's end again.";
    assert!(notes(&site).contains(why), "{}", notes(&site));
    read(&last, "13.5");
    assert_ne!(site.ask("cutSheet")["taught"], Value::Null);
}

#[test]
fn thread_of_a_wire_that_is_not_cut_waits_for_a_yes_and_is_not_learned_from() {
    let site = Site::of_run(0);
    site.call("issueCuts", json!({"wires": "6"}));
    let [first, last] = site.ends();
    let read = |post: &Value, yes: bool| json!({"wires": "6", "post": post, "threadLeft": {"text": "6"}, "confirmed": yes});
    let out = json!({"wire": 6, "way": "tooShort", "by": {"text": "3"}});
    for (command, request) in [("readEnd", read(&first, false)), ("readOutBy", out.clone())] {
        let asked = site.refused(command, request);
        assert_eq!(asked.code, ErrorCode::Questioned);
        assert_eq!(asked.message, "Wire A6 is not ticked as cut.");
    }
    site.call("readEnd", read(&first, true));
    // Whoever said yes is not asked at the other end.
    site.call("readEnd", read(&last, false));
    site.call(
        "tickWires",
        json!({"wires": "6", "act": "cut", "done": true}),
    );
    let why = "Wire A6: its thread was read before it was ticked as cut: read it again.";
    assert_eq!(site.ask("learned")["taught"], Value::Null);
    assert!(notes(&site).contains(why), "{}", notes(&site));
    let learned = json!({"wires": "1", "deduction": "learned", "confirmed": true});
    assert!(site.refused("issueCuts", learned).message.contains(why));
    site.thread_left(6, "14.0", "14.5");
    assert_eq!(site.ask("learned")["taught"]["from"], "A6");

    let site = Site::of_run(0);
    site.cut("6");
    let asked = site.refused("readOutBy", out);
    assert!(
        asked.message.contains("not ticked as pressed at both ends"),
        "{}",
        asked.message
    );
}

#[test]
fn no_chance_of_a_learned_cut_is_told_where_nobody_knows_how_far_the_posts_move() {
    let site = Site::edited(0, |survey| {
        for post in survey["posts"].as_array_mut().unwrap() {
            if post["name"] == "A1" {
                let post = post.as_object_mut().unwrap();
                for told in ["section", "material", "base", "railJoint"] {
                    post.remove(told);
                }
            }
        }
    });
    let tensions = json!({"requiredMn": 1_330_000, "setMn": 1_500_000, "upperMn": 1_800_000,
        "requiredOrigin": "", "upperOrigin": "", "passesMn": []});
    site.call(
        "setTensions",
        json!({"tensions": tensions, "confirmed": true}),
    );
    site.cut("6");
    site.read(6, 1500, "pass", Some(1));
    site.thread_left(6, "14.0", "14.5");
    let told = site.ask("learned");
    let left = told["left"].as_array().unwrap();
    assert_eq!(left.len(), 11);
    for line in left {
        for which in ["computed", "learned"] {
            assert_eq!(line[which]["chance"], Value::Null, "{line}");
            assert_eq!(line[which]["chanceWords"], "none told", "{line}");
        }
    }
    assert_eq!(site.line(12)["learned"]["chanceWords"], "none told");
}

/// A second device on the same folder, which both have met.
fn with_ben(site: &Site, dir: &tempfile::TempDir) -> Device {
    let ben = Device::new(dir.path(), "ben", "installer");
    let folder = dir.path().join("shared");
    std::fs::create_dir(&folder).unwrap();
    site.ann.call("share", json!({"folder": folder}));
    meet(&site.ann, &ben, &folder, "installer");
    ben
}

#[test]
fn whoever_read_an_end_is_named_and_ends_read_apart_are_asked_for_again() {
    let site = trial_read("14.0", "14.5");
    let dir = tempfile::tempdir().unwrap();
    let ben = with_ben(&site, &dir);
    let exchange = || {
        for device in [&site.ann, &ben, &site.ann] {
            device.sync();
        }
    };
    let first = site.ends()[0].clone();
    let read = |by: &Device, left: &str| {
        let read = json!({"job": site.job, "run": site.run, "wires": "6", "post": first,
            "threadLeft": {"text": left}, "confirmed": true});
        by.call("readEnd", read);
    };
    exchange();
    read(&ben, "9");
    exchange();
    let said = site.ask("learned")["readings"][0]["readAs"].clone();
    assert_eq!(
        said,
        "thread left A1 LH 9 mm, read by ben, A6 RH 14.5 mm, read by ann"
    );
    // Neither knows of the other: no clock says which of them is right.
    read(&site.ann, "12");
    read(&ben, "10");
    exchange();
    let why = notes(&site);
    assert!(
        why.contains("Wire A6: post A1's end was read as")
            && why.contains("12 mm by ann")
            && why.contains("10 mm by ben"),
        "{why}"
    );
    assert_eq!(site.ask("learned")["taught"], Value::Null);
    read(&site.ann, "11");
    let said = site.ask("learned")["readings"][0]["readAs"].clone();
    assert_eq!(said, "thread left A1 LH 11 mm, A6 RH 14.5 mm, read by ann");
}

#[test]
fn the_plan_of_a_wire_that_was_read_starts_from_its_own_thread() {
    let left =
        |site: &Site, wire: usize| site.ask("tensioning")["wires"][wire - 1]["thread"].clone();
    let site = Site::of_run(0);
    site.cut("6");
    let (before, other) = (left(&site, 6), left(&site, 5));
    // At what tension it was read nobody told.
    site.thread_left(6, "9.0", "9.5");
    assert_ne!(site.ask("learned")["taught"], Value::Null);
    assert_eq!(left(&site, 6), before);
    site.read(6, 1500, "pass", Some(1));
    site.thread_left(6, "9.0", "9.5");
    // 3.7 mm more turn in until all are tight.
    near(&left(&site, 6)["leftMm"], 18.5 - 3.7, 0.05);
    assert_ne!(before, left(&site, 6));
    assert_eq!(other["needsMm"], left(&site, 5)["needsMm"]);
    site.thread_left(6, "14.0", "14.5");
    near(&left(&site, 6)["leftMm"], 28.5 - 3.7, 0.05);
    // One that can hardly be right waits to be read again.
    site.thread_left(6, "0", "1");
    assert_ne!(site.ask("learned")["taught"]["questions"], json!([]));
    assert_eq!(left(&site, 6), before);
}
