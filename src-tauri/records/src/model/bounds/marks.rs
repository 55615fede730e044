//! What marks on a picture can't be: beside it, without a size, without words, or too many to be seen.

use serde::Deserialize as _;
use serde_json::Value;

use crate::model::values::{MOST_MARK_LETTERS, MOST_MARKS, Mark, Marks, WHOLE_SIDE};

/// What in a picture's marks can't be, in words; none where all can.
pub(super) fn wrong(value: &Value) -> Option<String> {
    // What does not fit the type is told by the type.
    let Marks { marks } = Marks::deserialize(value).ok()?;
    if marks.is_empty() {
        return Some("there is none; take them back where a picture is to have none".to_owned());
    }
    if marks.len() > MOST_MARKS {
        return Some(format!(
            "these are {} and a picture takes {MOST_MARKS} at most; mark another copy of it, or say it in \
             the caption",
            marks.len()
        ));
    }
    (1..)
        .zip(&marks)
        .find_map(|(number, mark)| Some((number, of_one(mark)?)))
        .map(|(number, wrong): (u32, String)| format!("mark {number} {wrong}"))
}

fn of_one(mark: &Mark) -> Option<String> {
    match mark {
        Mark::Arrow { x, y, to_x, to_y } => beside(&[(*x, *y), (*to_x, *to_y)]).or_else(|| {
            let same = (x, y) == (to_x, to_y);
            same.then(|| "is an arrow without a length; draw it again".to_owned())
        }),
        Mark::Ring { x, y, to_x, to_y } => beside(&[(*x, *y), (*to_x, *to_y)]).or_else(|| {
            let flat = x == to_x || y == to_y;
            flat.then(|| "is a ring without a size; draw it again".to_owned())
        }),
        Mark::Text { x, y, text } => beside(&[(*x, *y)]).or_else(|| words(text)),
    }
}

fn beside(places: &[(i64, i64)]) -> Option<String> {
    let within = |n: i64| (0..=WHOLE_SIDE).contains(&n);
    let (x, y) = places.iter().find(|(x, y)| !within(*x) || !within(*y))?;
    Some(format!(
        "lies beside the picture: {x} across and {y} down, and both must lie within 0 to {WHOLE_SIDE}"
    ))
}

fn words(text: &str) -> Option<String> {
    if text.trim().is_empty() {
        return Some("has no words; type them first".to_owned());
    }
    let letters = text.chars().count();
    (letters > MOST_MARK_LETTERS).then(|| {
        format!(
            "has {letters} characters and {MOST_MARK_LETTERS} have room; say the rest in the caption"
        )
    })
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use crate::model::bounds::check;
    use crate::model::fields::find;
    use crate::subject::SubjectKind;

    fn told(marks: Value) -> Result<(), String> {
        let spec = find(SubjectKind::Photo, "marks").unwrap();
        check(spec, &json!({ "marks": marks }))
    }

    fn arrow(x: i64, to_x: i64) -> Value {
        json!({"kind": "arrow", "x": x, "y": 0, "toX": to_x, "toY": 0})
    }

    fn text(text: &str) -> Value {
        json!({"kind": "text", "x": 1000, "y": 1000, "text": text})
    }

    #[test]
    fn marks_lie_on_the_picture_and_can_be_seen() {
        let ring =
            |x: i64, to_y: i64| json!({"kind": "ring", "x": x, "y": 9, "toX": 0, "toY": to_y});
        for (marks, refused) in [
            (json!([]), "there is none"),
            (
                json!([arrow(0, 1001)]),
                "mark 1 lies beside the picture: 1001 across and 0 down",
            ),
            (json!([arrow(0, 1000), arrow(-1, 1)]), "mark 2 lies beside"),
            (json!([arrow(7, 7)]), "an arrow without a length"),
            (json!([ring(0, 10)]), "a ring without a size"),
            (json!([ring(10, 9)]), "a ring without a size"),
            (json!([text(" ")]), "mark 1 has no words"),
            (
                json!([text(&"é".repeat(61))]),
                "has 61 characters and 60 have room",
            ),
            (
                Value::Array(vec![arrow(0, 1); 31]),
                "these are 31 and a picture takes 30 at most",
            ),
        ] {
            let why = told(marks).unwrap_err();
            assert!(why.starts_with("Marks on a copy of it: "), "{why}");
            assert!(why.contains(refused), "{why}");
        }
        let most = Value::Array(vec![arrow(0, 1000); 30]);
        for marks in [most, json!([ring(1, 8), text(&"é".repeat(60)), text("🔩")])] {
            assert_eq!(told(marks), Ok(()));
        }
    }

    #[test]
    fn a_mark_that_is_none_is_refused_in_words() {
        let cross = json!([{"kind": "cross", "x": 1, "y": 1}]);
        assert!(told(cross).unwrap_err().contains("there is no `cross`"));
        let half = json!([{"kind": "arrow", "x": 1, "y": 1, "toX": 2}]);
        assert!(told(half).unwrap_err().contains("toY"));
        let typo = json!([{"kind": "text", "x": 1, "y": 1, "text": "rust", "colour": "red"}]);
        let why = told(typo).unwrap_err();
        assert!(why.contains("marks.0.colour is not known here"), "{why}");
    }
}
