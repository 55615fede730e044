//! Lengths as they are read on site: what inserts stand out, and what is refused.

use crate::common::Device;
use serde_json::{Value, json};

fn id(created: &Value) -> String {
    let text = created["created"].as_str().unwrap();
    text.split_once(':').unwrap().1.to_owned()
}

fn ask(job: &str, run: &str, faces: &str, proud: Value) -> Value {
    json!({"job": job, "run": run, "wire": 1, "length": {"text": "7300"}, "purpose": "cut",
        "posts": "insertsIn", "faces": faces, "proud": proud, "instrument": "tape"})
}

#[test]
fn inserts_that_stand_out_are_noted_with_a_reading_between_post_faces() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = id(&ann.call("beginJob", json!({"title": "Deck", "place": "an island"})));
    let fields = json!([{"field": "name", "value": "A"}, {"field": "wireCount", "value": 3}]);
    let run = id(&ann.call(
        "addThing",
        json!({"job": job, "thing": "run", "fields": fields}),
    ));
    for (text, nm) in [("3.5", 3_500_000), ("0", 0), ("-2", -2_000_000)] {
        ann.call(
            "measure",
            ask(&job, &run, "postFaces", json!({"text": text})),
        );
        let wire = format!("wire:{run}:1");
        let told = ann.call("readSubject", json!({"job": job, "subject": wire}));
        assert!(
            told.to_string().contains(&format!("\"proudNm\":{nm}")),
            "{told}"
        );
    }
    // Counted twice, it would spoil the cut.
    let twice = ann.refused(
        "measure",
        ask(&job, &run, "insertFaces", json!({"text": "3"})),
    );
    assert!(
        twice
            .message
            .contains("counts what the inserts stand out already")
    );
    let far = ann.refused(
        "measure",
        ask(&job, &run, "postFaces", json!({"text": "7300"})),
    );
    assert!(far.message.contains("Is the unit right?"));
    let letters = ann.refused(
        "measure",
        ask(&job, &run, "postFaces", json!({"text": "x"})),
    );
    assert!(!letters.message.is_empty());
}

#[test]
fn nothing_is_read_of_what_the_layout_does_not_have_even_when_a_person_says_yes() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = id(&ann.call("beginJob", json!({"title": "Deck", "place": "an island"})));
    let fields = json!([{"field": "name", "value": "A"}, {"field": "wireCount", "value": 3}]);
    let run = id(&ann.call(
        "addThing",
        json!({"job": job, "thing": "run", "fields": fields}),
    ));
    let post = |name: &str, mm: i64, role: &str| {
        let fields = json!([{"field": "name", "value": name},
            {"field": "position", "place": run, "value": {"nm": mm * 1_000_000}},
            {"field": "role", "place": run, "value": role}]);
        id(&ann.call(
            "addThing",
            json!({"job": job, "thing": "post", "fields": fields}),
        ))
    };
    let (a1, a3) = (post("A1", 0, "anchor"), post("A3", 3000, "anchor"));
    let a2 = post("A2", 1500, "intermediate");
    let mut wire = ask(&job, &run, "postFaces", Value::Null);
    wire["confirmed"] = json!(true);
    wire["wire"] = json!(4);
    let error = ann.refused("measure", wire.clone());
    assert!(
        error.message.contains("there is no wire 4"),
        "{}",
        error.message
    );
    wire["run"] = json!("a".repeat(26));
    assert_eq!(ann.refused("measure", wire).code, api::ErrorCode::NotFound);

    let bay = |one: &str, other: &str| format!("bay:{}:{}", one.min(other), one.max(other));
    let read = |bay: String, text: &str, confirmed: bool| {
        ann.try_call(
            "measureBay",
            json!({"job": job, "bay": bay, "length": {"text": text}, "along": "level",
                "instrument": "tape", "confirmed": confirmed}),
        )
    };
    let error = read(bay(&a1, &a3), "2900", true).unwrap_err();
    assert_eq!(error.code, api::ErrorCode::NotFound, "{}", error.message);
    assert!(error.message.contains("not in the layout"));
    read(bay(&a1, &a2), "1380", false).unwrap();
    // Which laser or tape read the bay stands with it.
    let fields = json!([{"field": "name", "value": "L-1"}, {"field": "kind", "value": "laser"}]);
    let laser = id(&ann.call(
        "addThing",
        json!({"job": job, "thing": "tool", "fields": fields}),
    ));
    let with_laser = json!({"job": job, "bay": bay(&a1, &a2), "length": {"text": "1381"},
        "along": "level", "instrument": "laser", "tool": laser});
    ann.call("measureBay", with_laser);
    let told = ann.call("readSubject", json!({"job": job, "subject": bay(&a1, &a2)}));
    assert!(
        told.to_string().contains(&format!("\"tool\":\"{laser}\"")),
        "{told}"
    );
    // 1410 mm are 55.5 in.
    let error = read(bay(&a2, &a3), "55.5", false).unwrap_err();
    assert_eq!(error.code, api::ErrorCode::Questioned);
    assert!(error.message.contains("Inches?"), "{}", error.message);
    let error = read(bay(&a2, &a3), "35000", false).unwrap_err();
    assert!(error.message.contains("Millimetres?"), "{}", error.message);
    read(bay(&a2, &a3), "55.5", true).unwrap();
}

#[test]
fn odd_lengths_of_wires_are_refused_or_asked_about_and_nothing_of_them_is_saved() {
    let dir = tempfile::tempdir().unwrap();
    let ann = Device::new(dir.path(), "ann", "surveyor");
    let job = id(&ann.call("beginJob", json!({"title": "Deck", "place": "an island"})));
    let fields = json!([{"field": "name", "value": "A"}, {"field": "wireCount", "value": 12}]);
    let run = id(&ann.call(
        "addThing",
        json!({"job": job, "thing": "run", "fields": fields}),
    ));
    let read = |wire: u32, text: &str, confirmed: bool| {
        let mut request = ask(&job, &run, "postFaces", Value::Null);
        request["wire"] = json!(wire);
        request["length"] = json!({"text": text});
        request["confirmed"] = json!(confirmed);
        ann.try_call("measure", request)
    };
    let kept = || {
        let view = ann.call("readJob", json!({"job": job}));
        let wires = view["runs"][0]["wires"].as_array().unwrap().clone();
        assert_eq!(wires.len(), 12);
        wires.iter().filter(|w| w["lastReadMm"].is_f64()).count()
    };
    // What can't be is refused even when a person says yes.
    for text in [
        "-7300", "0", "0.0", "NaN", "inf", "-inf", "1e3", "", "mm", "1000001",
    ] {
        for confirmed in [false, true] {
            let error = read(1, text, confirmed).unwrap_err();
            assert_eq!(error.code, api::ErrorCode::Invalid, "{text:?}");
            assert!(error.message.ends_with('.'), "{text:?}: {}", error.message);
        }
    }
    assert_eq!(kept(), 0);
    // Alone, only its size is odd.
    let error = read(1, "100001", false).unwrap_err();
    assert_eq!(error.code, api::ErrorCode::Questioned);
    assert!(error.message.contains("100 m"), "{}", error.message);
    read(1, "7294", false).unwrap();
    for (text, words) in [
        ("287.5", "Inches?"),
        ("185267", "Millimetres?"),
        ("7440.1", "146.1 mm away from wire 1"),
        ("7147", "147 mm away from wire 1"),
    ] {
        let error = read(2, text, false).unwrap_err();
        assert_eq!(error.code, api::ErrorCode::Questioned, "{text}");
        assert!(error.message.contains(words), "{text}: {}", error.message);
    }
    assert_eq!(kept(), 1);
    read(2, "7439.8", false).unwrap();
    read(3, "287.5", true).unwrap();
    assert_eq!(kept(), 3);
    // How far a reading may be off: a tape repeats within a few millimetres.
    let off = |spread: &str, confirmed: bool| {
        let mut request = ask(&job, &run, "postFaces", Value::Null);
        request["wire"] = json!(4);
        request["length"] = json!({"text": "290"});
        request["spread"] = json!({"text": spread});
        request["confirmed"] = json!(confirmed);
        ann.try_call("measure", request)
    };
    let error = off("500000", true).unwrap_err();
    assert_eq!(error.code, api::ErrorCode::Invalid, "{}", error.message);
    let error = off("25", false).unwrap_err();
    assert_eq!(error.code, api::ErrorCode::Questioned, "{}", error.message);
    assert!(
        error.message.contains("may be off by 25 mm"),
        "{}",
        error.message
    );
    assert_eq!(kept(), 3);
    off("25", true).unwrap();
    off("1.5", false).unwrap();
    assert_eq!(kept(), 4);
}
