//! Why a value does not fit its type, in words that people use.
//!
//! It takes what the reader of JSON says and puts its own words for kinds of values into plain ones. It
//! judges nothing.

/// What the reader of JSON says, and what people are told.
const WORDS: &[(&str, &str)] = &[
    ("invalid type: string", "found the text"),
    ("invalid type: integer", "found the whole number"),
    ("invalid type: floating point", "found the number"),
    ("invalid type: boolean", "found"),
    ("invalid type: null", "found nothing"),
    ("invalid type: sequence", "found a list"),
    ("invalid type: map", "found named fields"),
    ("invalid value: string", "found the text"),
    ("invalid value: integer", "found the whole number"),
    ("invalid value: floating point", "found the number"),
    ("unknown variant", "there is no"),
    ("expected internally tagged enum", "expected named fields"),
    ("expected a boolean", "expected yes or no (true, false)"),
    ("expected a sequence", "expected a list"),
    ("expected a map", "expected named fields"),
    ("expected a string", "expected a text"),
];
/// Whole numbers by the program's own names, and what of them fits where not all do.
const WHOLE: &[(&str, &str)] = &[
    ("i64", ""),
    ("u64", ", 0 or more"),
    ("i32", ""),
    ("u32", " from 0 to 4294967295"),
    ("i16", ""),
    ("u16", " from 0 to 65535"),
    ("i8", ""),
    ("u8", " from 0 to 255"),
    ("usize", ", 0 or more"),
];

/// The reason in plain words. Text between quotes is somebody's own and stays as it is.
#[must_use]
pub fn plainly(reason: &str) -> String {
    let parts = reason.split('"').enumerate();
    let told: Vec<String> = parts
        .map(|(n, part)| match n % 2 {
            0 => plain(part),
            _ => part.to_owned(),
        })
        .collect();
    told.join("\"")
}

fn plain(part: &str) -> String {
    let told = WORDS
        .iter()
        .fold(part.to_owned(), |text, (from, to)| text.replace(from, to));
    let told = WHOLE.iter().fold(told, |text, (kind, of)| {
        text.replace(
            &format!("expected {kind}"),
            &format!("expected a whole number{of}"),
        )
    });
    let told = told.replace("expected f64", "expected a number");
    // What a type is called inside the program says nothing to people.
    ["expected struct ", "expected enum "]
        .iter()
        .fold(told, |text, kind| match text.split_once(kind) {
            None => text,
            Some((before, after)) => {
                let name = after.find(|c: char| !c.is_alphanumeric());
                let rest = name.map_or("", |end| after.get(end..).unwrap_or_default());
                format!("{before}expected named fields{rest}")
            }
        })
}

#[cfg(test)]
mod tests {
    use serde::Deserialize;
    use serde_json::{Value, json};

    use super::plainly;
    use crate::model::values::{EndKind, Length, Taken};

    fn reason<T: for<'a> Deserialize<'a>>(value: Value) -> String {
        match serde_json::from_value::<T>(value) {
            Ok(_) => panic!("this fits"),
            Err(unfit) => plainly(&unfit.to_string()),
        }
    }

    #[test]
    fn what_does_not_fit_is_told_in_words_of_people() {
        for (told, says) in [
            (
                reason::<i64>(json!("NaN")),
                "found the text \"NaN\", expected a whole number",
            ),
            (
                reason::<u32>(json!(-1)),
                "found the whole number `-1`, expected a whole number from 0 to 4294967295",
            ),
            (
                reason::<u32>(json!(1.5)),
                "found the number `1.5`, expected a whole number from 0 to 4294967295",
            ),
            (
                reason::<f64>(json!(null)),
                "found nothing, expected a number",
            ),
            (
                reason::<bool>(json!(1)),
                "found the whole number `1`, expected yes or no (true, false)",
            ),
            (
                reason::<String>(json!([1])),
                "found a list, expected a text",
            ),
            (
                reason::<Vec<u32>>(json!({"a": 1})),
                "found named fields, expected a list",
            ),
            (
                reason::<Taken>(json!("now")),
                "found the text \"now\", expected named fields",
            ),
            (
                reason::<Length>(json!({"nm": "expected i64"})),
                "found the text \"expected i64\", expected a whole number",
            ),
        ] {
            assert_eq!(told, says);
        }
        let moon = reason::<EndKind>(json!("moon"));
        assert!(
            moon.starts_with("there is no `moon`, expected one of `insert`"),
            "{moon}"
        );
    }
}
