//! Marks on a picture in words, so that they are told where nobody sees them.

use serde::Deserialize as _;
use serde_json::Value;

use crate::model::values::{Mark, Marks};

/// Marks in words: "2 arrows, a ring, “rust at the swage”".
#[must_use]
pub fn marked(marks: &Marks) -> String {
    let count = |of: fn(&Mark) -> bool| marks.marks.iter().filter(|mark| of(mark)).count();
    let arrows = several(
        count(|mark| matches!(mark, Mark::Arrow { .. })),
        "an arrow",
        "arrows",
    );
    let rings = several(
        count(|mark| matches!(mark, Mark::Ring { .. })),
        "a ring",
        "rings",
    );
    let words = marks.marks.iter().filter_map(|mark| match mark {
        Mark::Text { text, .. } => Some(format!("“{text}”")),
        Mark::Arrow { .. } | Mark::Ring { .. } => None,
    });
    let told: Vec<String> = arrows.into_iter().chain(rings).chain(words).collect();
    told.join(", ")
}

/// The same of a claim's value.
pub(super) fn told(value: &Value) -> String {
    match Marks::deserialize(value) {
        Ok(marks) => marked(&marks),
        Err(_) => "marks that can't be read here".to_owned(),
    }
}

fn several(count: usize, one: &str, many: &str) -> Option<String> {
    match count {
        0 => None,
        1 => Some(one.to_owned()),
        n => Some(format!("{n} {many}")),
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use crate::work::words::value;

    #[test]
    fn marks_are_told_by_what_they_are() {
        let arrow = json!({"kind": "arrow", "x": 1, "y": 2, "toX": 3, "toY": 4});
        let ring = json!({"kind": "ring", "x": 1, "y": 2, "toX": 3, "toY": 4});
        let text = json!({"kind": "text", "x": 1, "y": 2, "text": "rust"});
        for (marks, told) in [
            (json!([arrow]), "an arrow"),
            (
                json!([text, arrow, ring, arrow]),
                "2 arrows, a ring, “rust”",
            ),
            (json!([{"kind": "cross"}]), "marks that can't be read here"),
        ] {
            assert_eq!(value("marks", &json!({ "marks": marks })), told);
        }
        assert_eq!(value("marks", &json!(null)), "withdrawn");
    }
}
