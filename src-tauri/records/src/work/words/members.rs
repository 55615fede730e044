//! In which order the members of a value are told.
//!
//! Invariant: how they stand in a map says nothing. The device that made an entry has them as its program
//! wrote them, one that read it from a file by their names; both tell the same.

use serde_json::{Map, Value};

/// Members that are told before others, in this order.
const TOLD_FIRST: &[&str] = &[
    "entered",
    "kind",
    "name",
    "requiredMn",
    "setMn",
    "upperMn",
    "pullMn",
    "heldS",
    "mn",
    "nm",
    "cutNm",
    "shortestNm",
    "longestNm",
    "turns",
    "alongNm",
    "riseNm",
    "undersideNm",
    "levelNm",
    "purpose",
    "posts",
    "faces",
    "method",
    "stage",
    "pass",
    "evidence",
    "fromPermille",
    "toPermille",
    "complaint",
    "cause",
    "found",
    "done",
    "countedLeft",
    "countedRight",
    "how",
];

/// All members as they are told: those that are named here first, then by name.
pub(super) fn in_order(map: &Map<String, Value>) -> Vec<(&String, &Value)> {
    let mut members: Vec<_> = map.iter().collect();
    members.sort_by_key(|(key, _)| {
        let first = TOLD_FIRST.iter().position(|first| first == key);
        (first.unwrap_or(TOLD_FIRST.len()), key.as_str())
    });
    members
}

#[cfg(test)]
mod tests {
    use crate::work::words::how;
    use serde_json::json;

    #[test]
    fn members_are_told_alike_however_they_stand() {
        for (made, told) in [
            (
                json!({"purpose": "cut", "posts": "railOn", "entered": "7294", "instrument": "tape"}),
                "typed 7294, purpose cut, posts rail on, instrument tape",
            ),
            (
                json!({"alongNm": 115_000_000, "acrossNm": 90_000_000, "solid": true}),
                "along 115 mm, across 90 mm, solid yes",
            ),
        ] {
            let mut read = made.clone();
            read.sort_all_objects();
            assert_ne!(
                made.as_object().unwrap().keys().next(),
                read.as_object().unwrap().keys().next()
            );
            assert_eq!(how(&made), told);
            assert_eq!(how(&read), told);
        }
    }
}
