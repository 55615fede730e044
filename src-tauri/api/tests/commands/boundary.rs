//! The boundary as its callers meet it: names, refusals, types and long work.

use api::{App, ErrorCode, commands, dispatch};
use serde_json::{Value, json};

fn app() -> (tempfile::TempDir, App) {
    let dir = tempfile::tempdir().unwrap();
    let app = App::open(dir.path()).unwrap();
    (dir, app)
}

#[test]
fn an_unknown_command_is_named() {
    let (_dir, app) = app();
    let error = dispatch(&app, "no\u{202e}ne", json!({})).unwrap_err();
    assert_eq!(error.code, ErrorCode::UnknownCommand);
    assert!(error.message.contains("no\\u{202e}ne"), "{}", error.message);
}

#[test]
fn names_are_camel_case_and_each_stands_once() {
    let mut seen = std::collections::BTreeSet::new();
    for command in commands() {
        assert!(seen.insert(&command.name), "{} twice", command.name);
        assert!(
            command.name.chars().all(|c| c.is_ascii_alphanumeric()),
            "{}",
            command.name
        );
        assert!(
            command.name.starts_with(|c: char| c.is_ascii_lowercase()),
            "{}",
            command.name
        );
        assert!(
            command.doc.ends_with('.'),
            "{} has no sentence",
            command.name
        );
    }
}

#[test]
fn every_request_is_an_object_that_refuses_unknown_fields() {
    let described = api::boundary::describe(commands());
    let described = described["commands"].as_array().unwrap();
    assert_eq!(described.len(), commands().len());
    for command in described {
        let request = &command["request"];
        for form in forms(request) {
            assert_eq!(form["type"], "object", "{}: {form}", command["name"]);
            assert_eq!(
                form["additionalProperties"], false,
                "{}: {form}",
                command["name"]
            );
        }
        for form in forms(&command["answer"]) {
            assert_eq!(form["type"], "object", "{}: {form}", command["name"]);
        }
    }
}

/// A tagged enum is a request in several forms.
fn forms(schema: &Value) -> Vec<&Value> {
    match schema.get("oneOf") {
        Some(forms) => forms.as_array().unwrap().iter().collect(),
        None => vec![schema],
    }
}

#[test]
fn unknown_fields_and_wrong_types_are_refused() {
    let (_dir, app) = app();
    for request in [
        json!({"task": "task-1", "extra": 1}),
        json!({"task": 1}),
        json!([]),
        Value::Null,
    ] {
        let error = dispatch(&app, "task", request.clone()).unwrap_err();
        assert_eq!(error.code, ErrorCode::Invalid, "{request}");
    }
}

#[test]
fn an_integer_that_a_script_would_round_is_refused() {
    let (_dir, app) = app();
    let error = dispatch(&app, "task", json!({"task": "x", "seen": u64::MAX})).unwrap_err();
    assert_eq!(error.code, ErrorCode::Invalid);
    assert!(error.message.contains("at seen"), "{}", error.message);
}

#[test]
fn no_command_takes_its_fields_by_their_order() {
    let (_dir, app) = app();
    for command in commands() {
        for request in [
            json!([]),
            json!([{}]),
            json!(["aaaaaaaaaaaaaaaaaaaaaaaaaa", []]),
        ] {
            let error = dispatch(&app, &command.name, request.clone()).unwrap_err();
            assert_eq!(
                error.code,
                ErrorCode::Invalid,
                "{}: {request}",
                command.name
            );
            assert!(
                error
                    .message
                    .contains("a list stands where fields are named"),
                "{}: {error}",
                command.name
            );
        }
    }
    let within = json!({"job": "a".repeat(26), "claims": [["job:x", "access", "", "by order"]]});
    let error = dispatch(&app, "say", within).unwrap_err();
    assert!(error.message.ends_with("at claims.0."), "{error}");
    // A value of a field is asked for by its type, which only its own command knows.
    let by_order = |value: Value, with: Value| {
        let claim = json!({"subject": format!("job:{}", "a".repeat(26)), "field": "comingFloor",
            "value": value, "with": with});
        dispatch(
            &app,
            "say",
            json!({"job": "a".repeat(26), "claims": [claim]}),
        )
        .unwrap_err()
    };
    for (value, with) in [
        (json!([1_000_000]), json!({})),
        (json!({"nm": 1_000_000}), json!(["10", "told", null])),
    ] {
        let error = by_order(value, with);
        assert!(error.message.contains("a list stands"), "{error}");
    }
    let error = by_order(json!({"nm": 1_000_000}), json!({}));
    assert!(!error.message.contains("a list stands"), "{error}");
}
