//! The record in the trade's words: fields, values with their units, places.
//!
//! Invariant: a value is shown with its unit and never rounded below what the record holds to a
//! hundredth of a millimetre. English only; screens translate by field and kind.

mod fields;
mod marks;
mod members;
mod units;

use mechanics::takeoff::EndKind as PartEnd;
use serde_json::{Map, Value};

use crate::job::Job;
use crate::model::bounds::spaced;
use crate::model::fields::PHOTO_MARKS;
use crate::model::values::{Day, EndKind, Hand, OpeningKind};
use crate::subject::Subject;

pub use fields::{field, field_at};
pub use marks::marked;
pub use units::{kilograms, mm, newtons, ranges, window, wires};

use units::decimal;

/// "1 wire", "12 wires".
#[must_use]
pub fn wires_counted(count: usize) -> String {
    match count {
        1 => "1 wire".to_owned(),
        many => format!("{many} wires"),
    }
}

/// A day as 2026-10-06.
#[must_use]
pub fn day(day: &Day) -> String {
    String::from(day.clone())
}

/// LH or RH.
#[must_use]
pub const fn hand(hand: Hand) -> &'static str {
    match hand {
        Hand::Left => "LH",
        Hand::Right => "RH",
    }
}

/// Kind of a run's end.
#[must_use]
pub const fn end_kind(kind: EndKind) -> &'static str {
    match kind {
        EndKind::Insert => "stud into an insert",
        EndKind::Turnbuckle => "turnbuckle",
        EndKind::FixedEnd => "fixed end",
        EndKind::ThroughBolt => "through-bolt",
        EndKind::WallPlate => "wall plate",
        EndKind::Eye => "eye",
    }
}

/// The same with its article: "a fixed end", "an eye".
#[must_use]
pub fn an_end(kind: EndKind) -> String {
    let article = if kind == EndKind::Eye { "an" } else { "a" };
    format!("{article} {}", end_kind(kind))
}

/// An opening's kind.
#[must_use]
pub const fn opening(kind: OpeningKind) -> &'static str {
    match kind {
        OpeningKind::FloorToBottomWire => "floor to bottom wire",
        OpeningKind::TopWireToRail => "top wire to rail",
        OpeningKind::EndPostToWall => "end post to wall",
        OpeningKind::PostToDeckEdge => "post to deck edge",
        OpeningKind::StairTriangle => "stair triangle",
        OpeningKind::GateLeaf => "gate leaf",
        OpeningKind::Other => "other opening",
    }
}

pub(super) const fn terminal(end: PartEnd) -> &'static str {
    match end {
        PartEnd::StudIntoInsert => "terminal, stud into insert",
        PartEnd::Turnbuckle => "terminal with turnbuckle",
        PartEnd::FixedEnd => "terminal, fixed end",
        PartEnd::ThroughBolt => "terminal, through-bolt",
        PartEnd::WallPlate => "terminal on wall plate",
        PartEnd::Eye => "terminal with eye",
    }
}

/// A claim's value in words, with units.
#[must_use]
pub fn value(field: &str, value: &Value) -> String {
    match value {
        Value::Null => "withdrawn".to_owned(),
        Value::Object(_) if field == PHOTO_MARKS.name => marks::told(value),
        Value::Object(map) => object(map),
        Value::Number(number) => number
            .as_i64()
            .and_then(|n| measured(field, n))
            .unwrap_or_else(|| number.to_string()),
        other => plain(other),
    }
}

/// Members of a context that are names for a machine, or what a decision was told, which has a place of its own.
const UNTOLD: &[&str] = &[
    "tool", "gauge", "press", "die", "batch", "sample", "told", "program", "ruleSet", "numbers",
    "heads",
];

/// A claim's context in words: how it was read, with what, why it was changed.
#[must_use]
pub fn how(with: &Value) -> String {
    match with {
        Value::Object(map) => {
            let mut shown = map.clone();
            for hidden in UNTOLD {
                shown.remove(*hidden);
            }
            object(&shown)
        }
        other => plain(other),
    }
}

/// A place within a field in words: a post, a bay, a wire, a piece.
#[must_use]
pub fn place(job: &Job<'_>, place: &str) -> String {
    if place.is_empty() {
        return String::new();
    }
    let parts: Vec<String> = place.split('/').map(|part| part_name(job, part)).collect();
    parts.join(", ")
}

/// The same for a place of a subject: a number is a piece of a wire, or the wire below an opening of a bay.
pub(super) fn place_of(job: &Job<'_>, subject: &str, place: &str) -> String {
    let part = |part: &str| {
        let is_number = !part.is_empty() && part.chars().all(|c| c.is_ascii_digit());
        match subject.split(':').next() {
            Some("wire") if is_number => format!("piece {part}"),
            Some("bay") if is_number => format!("above wire {part}"),
            _ if part.is_empty() => String::new(),
            _ => part_name(job, part),
        }
    };
    place.split('/').map(part).collect::<Vec<_>>().join(", ")
}

/// A claim's value with the names of the job's things in the place of their ids.
pub(super) fn named_in(job: &Job<'_>, said: &Value) -> Value {
    match said {
        Value::Object(map) => map
            .iter()
            .map(|(key, value)| (key.clone(), named_in(job, value)))
            .collect::<Map<_, _>>()
            .into(),
        Value::String(text) => {
            let id = text.parse::<crate::ids::ItemId>().ok();
            let batch = id.and_then(|id| job.batches.iter().find(|batch| batch.id == id));
            let post = || id.and_then(|id| job.post(id));
            let name = batch.map(|b| &b.name).or_else(|| post().map(|p| &p.name));
            name.map_or_else(|| said.clone(), |name| name.clone().into())
        }
        other => other.clone(),
    }
}

fn part_name(job: &Job<'_>, part: &str) -> String {
    if let Ok(id) = part.parse::<crate::ids::ItemId>() {
        if job.run(id).is_some() {
            return job.name_of(&Subject::run(id));
        }
        if job.post(id).is_some() {
            return job.name_of(&Subject::post(id));
        }
    }
    if let Ok(subject) = part.parse::<Subject>() {
        return job.name_of(&subject);
    }
    if let Ok(bay) = format!("bay:{part}").parse::<Subject>() {
        return job.name_of(&bay);
    }
    spaced(part)
}

/// A place's own word, spelled out where it is one of the record's: "lowSpot" as "low spot".
pub(super) fn spoken(word: &str) -> String {
    if is_word(word) {
        spaced(word)
    } else {
        word.to_owned()
    }
}

fn object(map: &Map<String, Value>) -> String {
    // A single quantity needs no name: {"nm": …} is the length itself.
    if map.len() == 1
        && let Some((key, Value::Number(number))) = map.iter().next()
        && let Some(text) = number.as_i64().and_then(|n| measured(key, n))
    {
        return text;
    }
    let parts: Vec<String> = members::in_order(map)
        .into_iter()
        .filter(|(key, v)| !v.is_null() && key.as_str() != "text")
        .map(|(key, v)| named(key, v))
        .filter(|text| !text.is_empty())
        .collect();
    parts.join(", ")
}

fn named(key: &str, value: &Value) -> String {
    if let Some(text) = value.as_i64().and_then(|n| measured(key, n)) {
        let name = spaced(stem(key));
        return if name.is_empty() {
            text
        } else {
            format!("{name} {text}")
        };
    }
    if key == "entered" {
        return format!("typed {}", plain(value));
    }
    match value {
        Value::Array(list) if !list.is_empty() && list.iter().all(Value::is_i64) => {
            let shown: Vec<String> = list
                .iter()
                .filter_map(Value::as_i64)
                .map(|n| measured(key, n).unwrap_or_else(|| n.to_string()))
                .collect();
            let name = spaced(stem(key));
            format!("{name} {}", shown.join(" ")).trim().to_owned()
        }
        Value::Object(map) => format!("{} ({})", spaced(key), object(map)),
        other => format!("{} {}", spaced(key), plain(other)),
    }
}

const UNITS: &[&str] = &[
    "PerMetre", "Percent", "Permille", "Mpa", "Cdeg", "Ppm", "Nm", "Mn", "Mg",
];

fn stem(key: &str) -> &str {
    if matches!(key, "nm" | "mn" | "mg" | "cdeg") {
        return "";
    }
    UNITS
        .iter()
        .find_map(|unit| key.strip_suffix(unit))
        .unwrap_or(key)
}

/// A number whose key or field names its unit.
fn measured(key: &str, number: i64) -> Option<String> {
    let ends = |unit: &str| key.ends_with(unit);
    if key == "nm" || ends("Nm") {
        Some(mm(number))
    } else if ends("NPerM") || key == "stiffnessNPerM" {
        Some(format!("{} N/mm", decimal(number, 1000, 1)))
    } else if key == "mn" || ends("Mn") {
        Some(newtons(number))
    } else if key == "mg" || ends("Mg") {
        Some(kilograms(number))
    } else if key == "cdeg" {
        Some(format!("{}°", decimal(number, 100, 2)))
    } else if ends("Cdeg") {
        Some(format!("{} °C", decimal(number, 100, 1)))
    } else if ends("Ppm") {
        Some(format!("{number} parts per million"))
    } else if ends("Mpa") {
        Some(format!("{number} MPa"))
    } else if ends("Permille") || key == "permille" {
        Some(format!("{} %", decimal(number, 10, 1)))
    } else if key == "errorPer10000" {
        Some(format!("± {} %", decimal(number, 100, 2)))
    } else if ends("Percent") {
        Some(decimal(number, 100, 2))
    } else if ends("E7") {
        Some(format!("{}°", decimal(number, 10_000_000, 7)))
    } else {
        None
    }
}

fn plain(value: &Value) -> String {
    match value {
        Value::Null => "nothing".to_owned(),
        Value::Bool(true) => "yes".to_owned(),
        Value::Bool(false) => "no".to_owned(),
        Value::String(text) if is_word(text) => spaced(text),
        Value::String(text) => text.clone(),
        Value::Number(number) => number.to_string(),
        Value::Array(list) => {
            let shown: Vec<String> = list.iter().map(plain).collect();
            shown.join(" ")
        }
        Value::Object(map) => object(map),
    }
}

/// A word of the record's own lists, like `railOn`: letters only, a capital inside.
fn is_word(text: &str) -> bool {
    let mut letters = text.chars();
    letters.next().is_some_and(|c| c.is_ascii_lowercase())
        && text.len() < 32
        && text.chars().all(|c| c.is_ascii_alphabetic())
        && text.chars().any(|c| c.is_ascii_uppercase())
}

#[cfg(test)]
mod tests {
    use super::*;
    use serde_json::json;

    #[test]
    fn values_carry_their_unit() {
        let table = [
            ("length", json!({"nm": 7_294_000_000_i64}), "7294 mm"),
            ("length", json!({"nm": 396_875}), "0.4 mm"),
            ("tension", json!({"mn": 1_240_000}), "1240 N"),
            ("pool", json!(false), "no"),
            ("massMg", json!(1_998_000), "1.998 kg"),
            ("errorPer10000", json!(400), "± 4 %"),
            ("wireCount", json!(12), "12"),
            ("shape", json!("raked"), "raked"),
            ("condition", json!("railOn"), "rail on"),
            ("owner", json!("R. Ambrose-Finch"), "R. Ambrose-Finch"),
            ("permitDate", json!("2026-09-02"), "2026-09-02"),
            ("length", json!(null), "withdrawn"),
            (
                "section",
                json!({"alongNm": 115_000_000, "acrossNm": 90_000_000}),
                "along 115 mm, across 90 mm",
            ),
            (
                "wireHeights",
                json!({"nm": [76_000_000, 152_000_000]}),
                "76 mm 152 mm",
            ),
            ("turns", json!({"turns": 4, "flats": 2}), "turns 4, flats 2"),
            ("angle", json!({"cdeg": 9000}), "90°"),
            (
                "pull",
                json!({"mn": 300_000, "atNm": 900_000_000, "movedNm": 12_500_000, "railOn": false}),
                "300 N, at 900 mm, moved 12.5 mm, rail on no",
            ),
        ];
        for (field, given, shown) in table {
            assert_eq!(value(field, &given), shown, "{field}");
        }
    }

    #[test]
    fn how_a_value_came_about_is_told_in_words() {
        let with = json!({
            "entered": "7309", "purpose": "cut", "posts": "fixed", "faces": "postFaces",
            "instrument": "tape", "tool": "abc"
        });
        assert_eq!(
            how(&with),
            "typed 7309, purpose cut, posts fixed, faces post faces, instrument tape"
        );
    }
}
