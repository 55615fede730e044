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

/// Names every choice among objects within a schema that is not told apart by `kind`.
fn untold(schema: &Value, at: &str, found: &mut Vec<String>) {
    let choices = ["oneOf", "anyOf"].map(|word| schema.get(word).and_then(Value::as_array));
    for choice in choices.into_iter().flatten() {
        // Words alone need no mark, and neither does one form that may be left out.
        let left_out = choice.iter().any(|one| one["type"] == "null");
        let is_form = |one: &&Value| one["type"] != "string" && one["type"] != "null";
        let forms: Vec<&Value> = choice.iter().filter(is_form).collect();
        let marked = |one: &&Value| one["properties"]["kind"]["const"].is_string();
        if !(forms.iter().all(marked) || forms.len() == 1 && left_out) {
            found.push(at.to_owned());
        }
    }
    let within: Vec<(String, &Value)> = match schema {
        Value::Object(fields) => fields.iter().map(|(n, one)| (n.clone(), one)).collect(),
        Value::Array(parts) => parts.iter().map(|one| (String::new(), one)).collect(),
        _ => Vec::new(),
    };
    for (name, one) in &within {
        untold(one, &format!("{at}/{name}"), found);
    }
}

#[test]
fn every_choice_among_objects_is_told_apart_by_its_kind() {
    let described = api::boundary::describe(commands());
    let mut found = Vec::new();
    for command in described["commands"].as_array().unwrap() {
        for part in ["request", "answer", "ends"] {
            let at = format!("{} {part}", command["name"]);
            untold(&command[part], &at, &mut found);
        }
    }
    assert_eq!(found, Vec::<String>::new());
    let form = |tag: &str| json!({"type": "object", "properties": {tag: {"const": "x"}}});
    for (other, count) in [("null", 0), ("string", 1)] {
        let mut found = Vec::new();
        untold(
            &json!({"anyOf": [form("what"), {"type": other}]}),
            "",
            &mut found,
        );
        assert_eq!(found.len(), count, "{other}");
    }
    for (tag, count) in [("kind", 0), ("what", 1)] {
        let mut found = Vec::new();
        untold(
            &json!({"$defs": {"A": {"oneOf": [form(tag), form(tag)]}}}),
            "",
            &mut found,
        );
        assert_eq!(found.len(), count, "{tag}");
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
