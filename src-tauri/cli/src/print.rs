//! Printing that a closed pipe does not turn into a crash.

use std::io::{self, Write};

use api::ApiError;
use serde_json::{Value, json};

/// Characters of one text that people are shown; scripts take --json and get all.
const LONGEST_TEXT: usize = 4000;

/// Lists whose parts bring their own sentence; scripts take --json and get the parts.
const TOLD_IN_SENTENCES: [&str; 2] = ["waiting", "notHere"];

/// Prints text on standard output, ending in a line break.
pub(crate) fn text(text: &str) {
    // A reader that went away (`tautbook state | head`) has what it wanted.
    let _ = writeln!(io::stdout().lock(), "{}", text.trim_end_matches('\n'));
}

/// Prints a JSON document on standard output.
pub(crate) fn json(value: &Value) {
    text(&format!("{value:#}"));
}

/// An answer as indented lines for people: names in words, nothing that is empty.
pub(crate) fn plain(answer: &Value) -> String {
    let mut lines = String::new();
    write_plain(&mut lines, answer, 0);
    if lines.is_empty() {
        lines.push_str("Done.");
    }
    lines
}

fn write_plain(lines: &mut String, value: &Value, depth: usize) {
    let indent = "  ".repeat(depth);
    match value {
        Value::Object(fields) => {
            for (name, value) in fields {
                let sentences;
                let value = if TOLD_IN_SENTENCES.contains(&name.as_str()) {
                    sentences = sentences_of(value);
                    &sentences
                } else {
                    value
                };
                let name = words(name);
                if let Some(short) = one_line(value) {
                    lines.push_str(&format!("{indent}{name}: {short}\n"));
                } else if !is_empty(value) {
                    lines.push_str(&format!("{indent}{name}:\n"));
                    write_plain(lines, value, depth + 1);
                }
            }
        }
        Value::Array(parts) => {
            for part in parts {
                if let Some(short) = one_line(part) {
                    lines.push_str(&format!("{indent}- {short}\n"));
                } else {
                    let mut below = String::new();
                    write_plain(&mut below, part, depth + 1);
                    let start = format!("{indent}- ");
                    lines.push_str(&below.replacen(&"  ".repeat(depth + 1), &start, 1));
                }
            }
        }
        other => lines.extend(one_line(other).map(|short| format!("{indent}{short}\n"))),
    }
}

fn sentences_of(list: &Value) -> Value {
    let sentence = |part: &Value| part.get("words").unwrap_or(part).clone();
    let parts = list.as_array().into_iter().flatten();
    Value::Array(parts.map(sentence).collect())
}

fn one_line(value: &Value) -> Option<String> {
    match value {
        // Text of others may not move the cursor or turn the reading direction.
        Value::String(text) => Some(records::photos::visible(text, LONGEST_TEXT)),
        Value::Bool(true) => Some("yes".to_owned()),
        Value::Bool(false) => Some("no".to_owned()),
        Value::Number(number) => Some(number.to_string()),
        Value::Null | Value::Array(_) | Value::Object(_) => None,
    }
}

fn is_empty(value: &Value) -> bool {
    match value {
        Value::Null => true,
        Value::Array(parts) => parts.is_empty(),
        Value::Object(fields) => fields.values().all(is_empty),
        _ => false,
    }
}

/// A name as it is written in JSON, in words: `unsharedPhotos` → `unshared photos`.
fn words(name: &str) -> String {
    let mut words = String::new();
    for letter in name.chars() {
        if letter.is_uppercase() {
            words.push(' ');
        }
        words.extend(letter.to_lowercase());
    }
    words
}

/// Prints what stands beside an error on standard error, where no file of an answer takes it in.
pub(crate) fn beside(text: &str) {
    let _ = writeln!(io::stderr().lock(), "{text}");
}

/// Prints an error on standard error, as JSON where a script asked for it.
pub(crate) fn error(error: &ApiError, as_json: bool) {
    let line = if as_json {
        format!("{:#}", json!({ "error": error }))
    } else {
        format!("tautbook: {}", error.message)
    };
    let _ = writeln!(io::stderr().lock(), "{line}");
}

#[cfg(test)]
mod tests {
    use super::plain;
    use serde_json::json;

    #[test]
    fn answers_read_as_indented_lines() {
        let answer = json!({
            "crewName": "Reef",
            "jobs": [{"title": "Deck", "isOpen": true, "note": null}, {"title": "Stair", "lines": 3}],
            "waiting": ["2 pictures of ben"],
            "notHere": [{"seen": 3, "words": "ben saw 3 entries of ann"}],
            "aside": [],
            "last": {"none": null},
        });
        assert_eq!(
            plain(&answer),
            "crew name: Reef\njobs:\n  - title: Deck\n    is open: yes\n  - title: Stair\n    lines: 3\nwaiting:\n  - 2 pictures of ben\nnot here:\n  - ben saw 3 entries of ann\n"
        );
        assert_eq!(plain(&json!({})), "Done.");
    }

    #[test]
    fn text_of_others_can_not_move_the_terminals_cursor() {
        let answer = json!({"name": "a\u{1b}[2J \"b's\" \u{202e}é"});
        assert_eq!(plain(&answer), "name: a<U+001B>[2J \"b's\" <U+202E>é\n");
    }
}
