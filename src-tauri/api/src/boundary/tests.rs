//! The macro, dispatch and TypeScript on a list of our own, so that they are checked apart from
//! what the product's commands happen to be.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::json;
use ts_rs::TS;

use super::{Nothing, commands, describe, typescript};
use crate::{ApiError, App, ErrorCode};

/// A length
/// in two lines.
#[derive(Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
struct Ask {
    length_nm: i64,
    factor: f64,
    #[ts(optional)]
    note: Option<String>,
}

#[derive(Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
struct Page<T> {
    rows: Vec<T>,
    next: Option<Box<Page<T>>>,
}

#[derive(Serialize, TS, JsonSchema)]
#[serde(
    tag = "kind",
    rename_all = "camelCase",
    rename_all_fields = "camelCase"
)]
enum Shape {
    Line { from_mm: f64 },
    Group { parts: Vec<Shape> },
}

#[derive(Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
struct Bay {
    limits: BTreeMap<String, u64>,
}

fn shapes(_: &App, ask: Ask) -> Result<Page<Shape>, ApiError> {
    if ask.note.as_deref() == Some("refuse") {
        return Err(ApiError::invalid("refused"));
    }
    let from_mm = ask.length_nm as f64 / 1e6 * ask.factor / ask.factor.abs();
    let line = Shape::Line { from_mm };
    Ok(Page {
        rows: vec![Shape::Group { parts: vec![line] }],
        next: None,
    })
}

fn bays(_: &App, _: Nothing) -> Result<Page<Bay>, ApiError> {
    Ok(Page {
        rows: vec![Bay {
            limits: BTreeMap::from([("A1–A2".to_owned(), 1330)]),
        }],
        next: None,
    })
}

commands! {
    /// Draws,
    /// in two lines.
    draw_shapes(Ask) -> Page<Shape> = shapes;
    /// Lists bays.
    bays(Nothing) -> Page<Bay> = bays;
}

fn call(name: &str, request: serde_json::Value) -> Result<serde_json::Value, ApiError> {
    let dir = tempfile::tempdir().unwrap();
    let app = App::open(dir.path()).unwrap();
    let command = list().iter().find(|command| command.name == name).unwrap();
    command.call(&app, request)
}

#[test]
fn a_request_reaches_its_handler_and_the_answer_comes_back() {
    let answer = call("drawShapes", json!({"lengthNm": 1_500_000, "factor": 2.0})).unwrap();
    let line = json!({"kind": "line", "fromMm": 1.5});
    assert_eq!(
        answer,
        json!({"rows": [{"kind": "group", "parts": [line]}], "next": null})
    );
    let error = call(
        "drawShapes",
        json!({"lengthNm": 1, "factor": 1, "note": "refuse"}),
    );
    assert_eq!(error, Err(ApiError::invalid("refused")));
}

#[test]
fn an_answer_with_a_number_that_is_not_finite_is_an_error_and_never_null() {
    // 0 ÷ 0 in the handler.
    let error = call("drawShapes", json!({"lengthNm": 0, "factor": 0.0})).unwrap_err();
    assert_eq!(error.code, ErrorCode::Internal);
    assert!(
        error
            .message
            .contains("a number is not finite at rows.0.parts.0.fromMm"),
        "{}",
        error.message
    );
}

#[test]
fn requests_refuse_what_they_do_not_know() {
    for request in [
        json!({"lengthNm": 1, "factor": 1, "lenght": 1}),
        json!({"lengthNm": 1.5, "factor": 1}),
        json!({"lengthNm": "1", "factor": 1}),
        json!({"length_nm": 1, "factor": 1}),
        json!({"factor": 1}),
    ] {
        let error = call("drawShapes", request.clone()).unwrap_err();
        assert_eq!(error.code, ErrorCode::Invalid, "{request}");
    }
    for request in [json!([]), json!([1, 2.0]), json!([1, 2.0, "refuse"])] {
        let error = call("drawShapes", request.clone()).unwrap_err();
        assert!(
            error
                .message
                .contains("a list stands where fields are named"),
            "{request}: {error}"
        );
    }
    assert!(call("bays", json!([])).is_err());
    assert!(call("bays", json!({})).is_ok());
    assert!(call("bays", json!({"x": 1})).is_err());
}

#[test]
fn typescript_holds_every_type_once_with_numbers_as_number() {
    let text = typescript(list()).unwrap();
    for part in [
        "export type Ask = { lengthNm: number, factor: number, note?: string, };",
        "export type Page<T> = { rows: Array<T>, next: Page<T> | null, };",
        r#"export type Shape = { "kind": "line", fromMm: number, } | { "kind": "group", parts: Array<Shape>, };"#,
        "export type Bay = { limits: { [key in string]: number }, };",
        "export type ApiError = ",
        "export type ErrorCode = ",
        "/** Draws, in two lines. */\n\tdrawShapes: { request: Ask; answer: Page<Shape> };",
        "bays: { request: Nothing; answer: Page<Bay> };",
    ] {
        assert_eq!(text.matches(part).count(), 1, "{part} in\n{text}");
    }
    assert!(!text.contains("bigint"), "{text}");
}

mod elsewhere {
    #[derive(serde::Serialize, ts_rs::TS, schemars::JsonSchema)]
    pub(super) struct Bay {
        pub(super) other: u8,
    }
}

fn other_bay(_: &App, _: Nothing) -> Result<elsewhere::Bay, ApiError> {
    Ok(elsewhere::Bay { other: 1 })
}

mod doubled {
    use super::{Bay, Nothing, Page, bays, commands, elsewhere, other_bay};

    commands! {
        /// One.
        one(Nothing) -> Page<Bay> = bays;
        /// Two.
        two(Nothing) -> elsewhere::Bay = other_bay;
    }
}

#[test]
fn two_types_of_one_name_are_refused() {
    let error = typescript(doubled::list()).unwrap_err();
    assert!(error.to_string().contains("(Bay)"), "{error}");
}

#[test]
fn schemas_tell_requests_and_answers_apart() {
    let described = describe(list());
    let draw = &described["commands"][0];
    assert_eq!(draw["name"], "drawShapes");
    assert_eq!(draw["doc"], "Draws, in two lines.");
    assert_eq!(draw["request"]["required"], json!(["lengthNm", "factor"]));
    assert_eq!(draw["request"]["additionalProperties"], false);
    assert_eq!(draw["answer"]["required"], json!(["rows", "next"]));
}
