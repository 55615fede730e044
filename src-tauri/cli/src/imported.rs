//! An import's answer for people: what was recorded, and each problem in one line.

use api::ErrorCode;
use serde_json::Value;

/// Characters of one message that people are shown.
const LONGEST: usize = 1000;

/// The answer as lines.
pub(crate) fn text(answer: &Value) -> String {
    let of = |value: &Value, name: &str| value.get(name).and_then(Value::as_u64).unwrap_or(0);
    let word = |value: &Value, name: &str| {
        let text = value.get(name).and_then(Value::as_str).unwrap_or_default();
        records::photos::visible(text, LONGEST)
    };
    let mut lines = String::new();
    let recorded = answer.get("recorded").and_then(Value::as_object);
    let parts: Vec<String> = recorded
        .into_iter()
        .flatten()
        .filter_map(|(name, count)| Some((named(name), count.as_u64().filter(|n| *n > 0)?)))
        .map(|(name, count)| format!("{count} {name}"))
        .collect();
    let recorded = if parts.is_empty() {
        "nothing new".to_owned()
    } else {
        parts.join(", ")
    };
    lines.push_str(&format!(
        "job {}\nrecorded: {recorded}\n",
        word(answer, "job")
    ));
    for count in ["already", "refused", "questioned", "ignored", "noted"] {
        let number = of(answer, count);
        if number > 0 {
            let there = if count == "already" {
                "there already"
            } else {
                count
            };
            lines.push_str(&format!("{there}: {number}\n"));
        }
    }
    let problems = answer.get("problems").and_then(Value::as_array);
    for problem in problems.into_iter().flatten() {
        lines.push_str(&format!(
            "{}: {}: {}\n",
            word(problem, "path"),
            word(problem, "outcome"),
            word(problem, "message")
        ));
    }
    lines
}

/// What of the file was not taken as it stands, for the exit code.
pub(crate) fn fault(answer: &Value) -> Option<(ErrorCode, &'static str)> {
    let some = |name: &str| answer.get(name).and_then(Value::as_u64) != Some(0);
    if some("refused") || some("ignored") || some("noted") {
        return Some((
            ErrorCode::Fault,
            "Parts of the file do not fit; the rest was recorded. Correct those parts and import the file again into the same job: what is there already is not recorded twice.",
        ));
    }
    some("questioned").then_some((
        ErrorCode::Questioned,
        "Odd values wait for a yes; the rest was recorded. Check them, then import the file again into the same job with --yes.",
    ))
}

fn named(part: &str) -> &str {
    match part {
        "job" => "facts of the job",
        "fittingSets" => "fitting sets",
        "postsInRuns" => "places of posts in runs",
        "tensions" => "decided tensions",
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    fn answer(refused: u32, questioned: u32) -> Value {
        json!({
            "job": "j1", "began": true, "already": 2, "refused": refused, "ignored": 0,
            "questioned": questioned, "noted": 0, "recorded": {"job": 0, "postsInRuns": 3, "bays": 1},
            "problems": [{"path": "runs[0].x\u{1b}", "outcome": "refused", "message": "is wrong"}],
        })
    }

    #[test]
    fn counts_and_problems_stand_one_a_line() {
        assert_eq!(
            text(&answer(1, 0)),
            "job j1\nrecorded: 3 places of posts in runs, 1 bays\nthere already: 2\nrefused: 1\nruns[0].x<U+001B>: refused: is wrong\n"
        );
    }

    #[test]
    fn refusals_are_a_fault_and_questions_wait_for_a_person() {
        let code = |answer: &Value| fault(answer).map(|(code, _)| code);
        assert_eq!(code(&answer(0, 0)), None);
        assert_eq!(code(&answer(0, 1)), Some(ErrorCode::Questioned));
        assert_eq!(code(&answer(1, 1)), Some(ErrorCode::Fault));
        // What the program does not know of, or took with a remark, is no success either.
        for name in ["ignored", "noted"] {
            let mut one = answer(0, 0);
            one[name] = json!(1);
            assert_eq!(code(&one), Some(ErrorCode::Fault), "{name}");
        }
        assert_eq!(code(&json!({})), Some(ErrorCode::Fault));
    }
}
