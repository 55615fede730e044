//! JSON as it stands in the file: numbers as written, fields in order, doubled fields kept.
//!
//! Invariant: nothing is dropped while reading, so that a field said twice can be reported. Knows
//! nothing of surveys.

use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};

use super::error::SurveyError;

/// Deepest nesting that is read; a survey needs seven.
const DEEPEST: usize = 32;

/// A value of the file.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Node {
    Null,
    Bool(bool),
    /// Shortest decimal text of the number.
    Number(String),
    Text(String),
    List(Vec<Node>),
    Object(Vec<(String, Node)>),
}

impl Node {
    /// What it is, in words.
    pub(crate) fn sort(&self) -> &'static str {
        match self {
            Node::Null => "nothing",
            Node::Bool(_) => "yes or no",
            Node::Number(_) => "a number",
            Node::Text(_) => "text",
            Node::List(_) => "a list",
            Node::Object(_) => "an object",
        }
    }
}

/// Reads JSON text.
pub(crate) fn parse(text: &str) -> Result<Node, SurveyError> {
    if depth(text) > DEEPEST {
        return Err(SurveyError::TooDeep);
    }
    serde_json::from_str(text).map_err(|error| {
        if error.is_eof() {
            return SurveyError::Cut { line: error.line() };
        }
        let told = error.to_string();
        let reason = told.split(" at line ").next().unwrap_or_default();
        SurveyError::NotJson {
            line: error.line(),
            column: error.column(),
            reason: reason.to_owned(),
        }
    })
}

/// Deepest nesting of brackets outside strings.
fn depth(text: &str) -> usize {
    let (mut depth, mut deepest) = (0_usize, 0);
    let (mut quoted, mut escaped) = (false, false);
    for byte in text.bytes() {
        match byte {
            _ if escaped => escaped = false,
            b'\\' if quoted => escaped = true,
            b'"' => quoted = !quoted,
            b'{' | b'[' if !quoted => {
                depth += 1;
                deepest = deepest.max(depth);
            }
            b'}' | b']' if !quoted => depth = depth.saturating_sub(1),
            _ => {}
        }
    }
    deepest
}

impl<'de> Deserialize<'de> for Node {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(Whole)
    }
}

struct Whole;

impl<'de> Visitor<'de> for Whole {
    type Value = Node;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("JSON")
    }
    fn visit_unit<E>(self) -> Result<Node, E> {
        Ok(Node::Null)
    }
    fn visit_bool<E>(self, value: bool) -> Result<Node, E> {
        Ok(Node::Bool(value))
    }
    fn visit_i64<E>(self, value: i64) -> Result<Node, E> {
        Ok(Node::Number(value.to_string()))
    }
    fn visit_u64<E>(self, value: u64) -> Result<Node, E> {
        Ok(Node::Number(value.to_string()))
    }
    fn visit_f64<E>(self, value: f64) -> Result<Node, E> {
        // `Display` never writes an exponent, and 7294.0 as 7294.
        Ok(Node::Number(value.to_string()))
    }
    fn visit_str<E>(self, value: &str) -> Result<Node, E> {
        Ok(Node::Text(value.to_owned()))
    }
    fn visit_seq<A: SeqAccess<'de>>(self, mut list: A) -> Result<Node, A::Error> {
        let mut items = Vec::new();
        while let Some(item) = list.next_element()? {
            items.push(item);
        }
        Ok(Node::List(items))
    }
    fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Node, A::Error> {
        let mut fields = Vec::new();
        while let Some(field) = map.next_entry()? {
            fields.push(field);
        }
        Ok(Node::Object(fields))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_their_decimals_and_doubled_fields_stay() {
        let node = parse(r#"{"a": 75.8, "a": 7294.0, "b": [null, true, "x"]}"#).unwrap();
        let number = |text: &str| Node::Number(text.into());
        assert_eq!(
            node,
            Node::Object(vec![
                ("a".into(), number("75.8")),
                ("a".into(), number("7294")),
                (
                    "b".into(),
                    Node::List(vec![Node::Null, Node::Bool(true), Node::Text("x".into())])
                ),
            ])
        );
    }

    #[test]
    fn text_that_can_not_be_read_is_refused_with_its_place() {
        assert_eq!(parse("{\n\"a\": [1,"), Err(SurveyError::Cut { line: 2 }));
        let wrong = parse("{\n  \"a\": NaN}").unwrap_err();
        assert!(
            matches!(wrong, SurveyError::NotJson { line: 2, .. }),
            "{wrong}"
        );
        assert!(matches!(parse("1e999"), Err(SurveyError::NotJson { .. })));
        let nested = "[".repeat(33);
        assert_eq!(parse(&nested), Err(SurveyError::TooDeep));
        let quoted = format!("\"{}\\\"[\"", "[".repeat(99));
        assert!(parse(&quoted).is_ok());
    }
}
