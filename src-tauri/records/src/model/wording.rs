//! Wording within a value, by which two people do not disagree.
//!
//! Invariant: it goes by the member's name, so that a version which does not know a member finds the same
//! dispute, or none, as one which does. What an answer goes by is no wording: whether a figure is assumed,
//! and whether anybody confirmed it.

use serde_json::Value;

use super::fields::FieldSpec;
use crate::subject::SubjectKind;

/// Whether a member of a value is wording: why, where a figure is from, who confirmed it. Two people who
/// say that in other words do not disagree.
fn is_wording(member: &str) -> bool {
    const NAMES: [&str; 5] = ["reason", "remark", "origin", "origins", "confirmedBy"];
    NAMES.contains(&member) || member.ends_with("Origin")
}

/// What of a wording tells something apart, whatever its words are; none where nothing does. An origin
/// that is left empty says as much as none, but that of the stretch, which counts as assumed then.
fn kept(member: &str, said: &Value) -> Option<Value> {
    let text = said.as_str().map(str::trim)?;
    let told = match member {
        "confirmedBy" => (!text.is_empty()).then_some("told"),
        // `origins` only repeats, figure by figure, where they are from.
        member if member == "origin" || member.ends_with("Origin") => {
            let untold = text.is_empty() && member == "stretchOrigin";
            let guessed = untold || text.to_lowercase().starts_with("assumed");
            guessed.then_some("assumed")
        }
        _ => None,
    };
    told.map(Value::from)
}

/// Texts that say why and nothing else.
const ONLY_WHY: [(SubjectKind, &str); 1] = [(SubjectKind::Job, "evidenceWaived")];

fn has_wording(value: &Value) -> bool {
    match value {
        Value::Object(members) => members
            .iter()
            .any(|(name, inner)| is_wording(name) || has_wording(inner)),
        Value::Array(items) => items.iter().any(has_wording),
        _ => false,
    }
}

fn bare(value: &Value) -> Value {
    match value {
        Value::Object(members) => members
            .iter()
            .filter_map(|(name, inner)| {
                let inner = match is_wording(name) {
                    true => kept(name, inner)?,
                    false => bare(inner),
                };
                Some((name.clone(), inner))
            })
            .collect(),
        Value::Array(items) => items.iter().map(bare).collect(),
        other => other.clone(),
    }
}

impl FieldSpec {
    /// The value without wording that stands in it; none where it holds none.
    pub(crate) fn without_wording(&self, value: &Value) -> Option<Value> {
        if ONLY_WHY.contains(&(self.subject, self.name)) {
            return Some(Value::Bool(true));
        }
        has_wording(value).then(|| bare(value))
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use serde_json::Value;

    use super::is_wording;
    use crate::ids::Hash;
    use crate::model::fields::{ALL, find};
    use crate::subject::SubjectKind;

    /// Names of all members of a schema that hold free text.
    fn texts(schema: &Value, found: &mut BTreeSet<String>) {
        let is_text = |member: &Value| {
            let kinds = member["type"].as_array();
            let text =
                member["type"] == "string" || kinds.is_some_and(|k| k.contains(&"string".into()));
            text && member.get("enum").is_none() && member.get("const").is_none()
        };
        match schema {
            Value::Object(members) => {
                let properties = members.get("properties").and_then(Value::as_object);
                for (name, member) in properties.into_iter().flatten() {
                    let inner = [&member["items"], &member["additionalProperties"]];
                    if is_text(member) || inner.into_iter().any(is_text) {
                        found.insert(name.clone());
                    }
                }
                members.values().for_each(|inner| texts(inner, found));
            }
            Value::Array(items) => items.iter().for_each(|inner| texts(inner, found)),
            _ => {}
        }
    }

    /// Of every text that stands in a value somebody decided whether it is wording: one that is not tells
    /// something apart.
    #[test]
    fn every_text_within_a_value_is_wording_or_tells_something_apart() {
        let mut found = BTreeSet::new();
        for spec in ALL {
            texts(
                &serde_json::to_value((spec.value_schema)()).unwrap(),
                &mut found,
            );
        }
        let (wording, telling): (Vec<_>, Vec<_>) = found.iter().partition(|name| is_wording(name));
        let said = "bendingOrigin breakingOrigin confirmedBy diameterOrigin eaOrigin modulusOrigin origin origins reason \
            remark requiredOrigin stretchOrigin turningOrigin upperOrigin";
        assert_eq!(
            wording,
            said.split(' ')
                .filter(|n| !n.is_empty())
                .collect::<Vec<_>>()
        );
        let said = "complaint construction done doubts found grade how kind name statement substrate text time told \
            treatment uncertain witness";
        assert_eq!(
            telling,
            said.split(' ')
                .filter(|n| !n.is_empty())
                .collect::<Vec<_>>()
        );
    }

    #[test]
    fn two_people_who_word_it_otherwise_do_not_disagree() {
        let compared = |subject, field: &str, value: Value| {
            let spec = find(subject, field).unwrap();
            assert_eq!((spec.value_fits)(&value), Ok(()), "{field}");
            spec.without_wording(&value).unwrap_or(value)
        };
        for (subject, field, one, other, third) in alike() {
            let [one, other, third] = [one, other, third].map(|v| compared(subject, field, v));
            assert_eq!(one, other, "{field}");
            assert_ne!(one, third, "{field}");
        }
    }

    #[test]
    fn whether_it_is_assumed_or_confirmed_tells_something_apart() {
        use serde_json::json;
        let compared = |subject, field: &str, value: Value| {
            let spec = find(subject, field).unwrap();
            assert_eq!((spec.value_fits)(&value), Ok(()), "{field}");
            spec.without_wording(&value).unwrap_or(value)
        };
        let spreader = |by: Value| {
            let mut value = json!({"kind": "spreader", "countsAsPost": true});
            if !by.is_null() {
                value["confirmedBy"] = by;
            }
            compared(SubjectKind::Post, "support", value)
        };
        let confirmed = spreader(json!("the certifier, letter 4"));
        assert_eq!(confirmed, spreader(json!("D. Okellan")));
        for untold in [Value::Null, json!(" ")] {
            assert_ne!(confirmed, spreader(untold.clone()), "{untold}");
        }
        let friction = |from: &str| {
            let value = json!({"fromPermille": 100, "toPermille": 300, "origin": from});
            compared(SubjectKind::Post, "friction", value)
        };
        assert_eq!(friction("Assumed: usual"), friction("assumed"));
        assert_ne!(friction("assumed: usual"), friction("pulled with a scale"));
        for scale in ["a scale", "", " "] {
            assert_eq!(friction(scale), friction("pulled with a scale"), "{scale}");
        }
        let strand = |from: &str| {
            let figures = &crate::library::strands()[0].figures;
            let mut value = serde_json::to_value(figures).unwrap();
            value["stretchOrigin"] = json!(from);
            compared(SubjectKind::Strand, "figures", value)
        };
        assert_eq!(strand("assumed"), strand(" "));
        assert_ne!(strand("the maker's sheet"), strand(""));
        assert_eq!(strand("the maker's sheet"), strand("page 3"));
    }

    /// Values of a field: two that differ in wording alone, and one that tells something else.
    fn alike() -> Vec<(SubjectKind, &'static str, Value, Value, Value)> {
        use serde_json::json;
        let wood =
            |mpa: i64, from: &str| json!({"name": "F17", "modulusMpa": mpa, "modulusOrigin": from});
        let tensions = |set: i64, from: &str| json!({"requiredMn": 1, "setMn": set, "upperMn": 3, "requiredOrigin": from, "upperOrigin": from, "passesMn": []});
        let counted = |left: i64, remark: &str| json!({"countedLeft": left, "countedRight": 1, "tried": true, "remark": remark});
        let spreader = |post: bool, by: &str| json!({"kind": "spreader", "countsAsPost": post, "confirmedBy": by});
        let piece = |number: i64, why: &str| json!({"number": number, "reason": why});
        let sheet = |n: i64, origin: &str| json!({"construction": "1x19", "figures": {"eaMn": {"n": n, "origin": origin}}});
        let set = |text: &str, origin: &str| {
            let sha256 = Hash::of(text.as_bytes());
            json!({"name": "au-2022", "text": text, "sha256": sha256, "origin": origin})
        };
        let (a, b) = ("sheet", "the maker's sheet");
        use SubjectKind as S;
        vec![
            (
                S::Post,
                "material",
                wood(14_000, a),
                wood(14_000, b),
                wood(12_000, a),
            ),
            (
                S::Run,
                "tensions",
                tensions(2, a),
                tensions(2, b),
                tensions(1, a),
            ),
            (
                S::Batch,
                "arrival",
                counted(23, a),
                counted(23, b),
                counted(22, a),
            ),
            (
                S::Post,
                "support",
                spreader(true, a),
                spreader(true, b),
                spreader(false, a),
            ),
            (S::Wire, "piece", piece(2, a), piece(2, b), piece(3, a)),
            (S::Strand, "sheet", sheet(9, a), sheet(9, b), sheet(8, a)),
            (S::Job, "ruleSet", set("{}", a), set("{}", b), set("[]", a)),
        ]
    }

    #[test]
    fn why_it_goes_without_is_no_matter_of_dispute() {
        let spec = find(SubjectKind::Job, "evidenceWaived").unwrap();
        let bare = |why: &str| spec.without_wording(&serde_json::json!(why));
        assert_eq!(bare("covered"), bare("not reached"));
        let title = find(SubjectKind::Job, "title").unwrap();
        assert_eq!(title.without_wording(&serde_json::json!("Deck")), None);
    }
}
