//! The one byte form of a body: RFC 8785 JSON, integers only, bounded in size and depth.
//!
//! Invariant: bytes that this module accepts are equal to their own re-encoding, so a doubled
//! key or a rounded number can't pass.

use serde::Serialize;
use serde_json::Value;

use crate::error::RecordError;

/// Longest body in bytes.
pub const LONGEST_BODY: usize = 64 * 1024;
/// Deepest nesting of objects and arrays.
pub const DEEPEST: usize = 8;
/// Largest magnitude of an integer, 2^53 − 1.
pub const LARGEST_INTEGER: i64 = (1 << 53) - 1;

/// Writes a value as RFC 8785 JSON.
///
/// # Errors
/// When it holds a number that is not an integer within ±(2^53 − 1), is nested too deep or too long.
pub fn encode<T: Serialize>(value: &T) -> Result<Vec<u8>, RecordError> {
    let value = serde_json::to_value(value).map_err(|e| RecordError::Body(e.to_string()))?;
    check(&value, 1)?;
    let bytes =
        serde_json_canonicalizer::to_vec(&value).map_err(|e| RecordError::Body(e.to_string()))?;
    if bytes.len() > LONGEST_BODY {
        return Err(RecordError::Body(format!(
            "what was entered takes {} bytes, where at most {LONGEST_BODY} fit into one entry: shorten \
             it, or add it as a document",
            bytes.len()
        )));
    }
    Ok(bytes)
}

/// Reads a body and refuses bytes that differ from their own re-encoding.
///
/// # Errors
/// When the bytes are too long, not JSON, too deep, hold other numbers than integers, or are not canonical.
pub fn decode(bytes: &[u8]) -> Result<Value, RecordError> {
    if bytes.len() > LONGEST_BODY {
        return Err(RecordError::Body(format!(
            "{} bytes; at most {LONGEST_BODY} are allowed",
            bytes.len()
        )));
    }
    let value: Value =
        serde_json::from_slice(bytes).map_err(|e| RecordError::Body(e.to_string()))?;
    if encode(&value)? != bytes {
        return Err(RecordError::Body("not in canonical form (RFC 8785)".into()));
    }
    Ok(value)
}

fn check(value: &Value, depth: usize) -> Result<(), RecordError> {
    match value {
        Value::Number(number) => match number.as_i64() {
            Some(n) if (-LARGEST_INTEGER..=LARGEST_INTEGER).contains(&n) => Ok(()),
            _ => Err(RecordError::Body(format!(
                "{number} is not an integer within ±(2^53 − 1)"
            ))),
        },
        Value::Array(items) => {
            deeper(depth)?;
            items.iter().try_for_each(|item| check(item, depth + 1))
        }
        Value::Object(fields) => {
            deeper(depth)?;
            fields.values().try_for_each(|item| check(item, depth + 1))
        }
        _ => Ok(()),
    }
}

fn deeper(depth: usize) -> Result<(), RecordError> {
    if depth > DEEPEST {
        return Err(RecordError::Body(format!(
            "nested deeper than {DEEPEST} levels"
        )));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    // RFC 8785 section 3.2.3: keys sort by UTF-16 code units.
    #[test]
    fn keys_sort_by_utf16_units() {
        let value = json!({"\u{20ac}": 1, "\r": 2, "\u{fb33}": 3, "1": 4, "\u{1f600}": 5, "\u{80}": 6, "\u{f6}": 7});
        let text = String::from_utf8(encode(&value).unwrap()).unwrap();
        assert_eq!(
            text,
            "{\"\\r\":2,\"1\":4,\"\u{80}\":6,\"\u{f6}\":7,\"\u{20ac}\":1,\"\u{1f600}\":5,\"\u{fb33}\":3}"
        );
    }

    #[test]
    fn refuses_what_is_not_its_own_encoding() {
        for bad in [
            "{\"a\":1,\"a\":2}",
            "{\"b\":1,\"a\":2}",
            "{\"a\": 1}",
            "{\"a\":1.5}",
            "{\"a\":9007199254740992}",
            "{\"a\":-9007199254740992}",
            "{\"a\":-9223372036854775808}",
            "{\"a\":9223372036854775807}",
            "{\"a\":18446744073709551615}",
            "{\"a\":1e2}",
            "[[[[[[[[[1]]]]]]]]]",
            "{\"a\":",
            "",
        ] {
            assert!(decode(bad.as_bytes()).is_err(), "{bad}");
        }
        assert!(decode(b"{\"a\":9007199254740991}").is_ok());
        assert!(decode(b"{\"a\":-9007199254740991}").is_ok());
        assert!(decode(b"[[[[[[[[1]]]]]]]]").is_ok());
    }
}
