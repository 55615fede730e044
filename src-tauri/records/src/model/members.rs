//! Whether what is said names only what its schema knows: a name that is spelt otherwise would be dropped, or
//! signed for ever, without a word.
//!
//! Invariant: what the schema leaves open is accepted, and what stands in a record already is never asked.

use serde_json::Value;

/// How far references to other schemas are followed: nothing that is said is nested as deep.
const DEEPEST: usize = 64;

/// Where in a value a member stands that its schema doesn't know, as `sample.bogus`; none where all are known.
#[must_use]
pub fn unknown(schema: &Value, value: &Value) -> Option<String> {
    let mut path = Vec::new();
    found(schema, &[schema], value, &mut path).then(|| path.join("."))
}

/// Whether a member is not known by any of the schemas that stand for a value; its place is then in the path.
fn found<'s>(
    root: &'s Value,
    schemas: &[&'s Value],
    value: &Value,
    path: &mut Vec<String>,
) -> bool {
    if path.len() > DEEPEST {
        return false;
    }
    let mut all = Vec::new();
    for schema in schemas {
        spread(root, schema, value, &mut all, 0);
    }
    match value {
        Value::Array(items) => items.iter().enumerate().any(|(at, item)| {
            let of = |schema: &&'s Value| -> Option<&'s Value> {
                let first = schema.get("prefixItems").and_then(|first| first.get(at));
                first.or_else(|| schema.get("items"))
            };
            let of: Vec<&Value> = all.iter().filter_map(of).collect();
            within(root, &of, item, &at.to_string(), path)
        }),
        Value::Object(members) => {
            let named = |schema: &&&'s Value| schema.get("properties").is_some();
            let open = |schema: &&'s Value| {
                schema
                    .get("additionalProperties")
                    .is_some_and(|more| more != &Value::Bool(false))
            };
            let closed = all.iter().any(|schema| named(&schema)) && !all.iter().any(open);
            members.iter().any(|(name, member)| {
                let of = |schema: &&'s Value| -> Option<&'s Value> {
                    let of = schema.get("properties").and_then(|all| all.get(name));
                    of.or_else(|| schema.get("additionalProperties"))
                        .filter(|of| of.is_object())
                };
                let known = all.iter().any(|schema| {
                    let of = schema.get("properties").and_then(|all| all.get(name));
                    of.is_some()
                });
                if closed && !known {
                    path.push(name.clone());
                    return true;
                }
                let of: Vec<&Value> = all.iter().filter_map(of).collect();
                within(root, &of, member, name, path)
            })
        }
        _ => false,
    }
}

fn within<'s>(
    root: &'s Value,
    schemas: &[&'s Value],
    value: &Value,
    at: &str,
    path: &mut Vec<String>,
) -> bool {
    path.push(at.to_owned());
    let is_found = !schemas.is_empty() && found(root, schemas, value, path);
    if !is_found {
        path.pop();
    }
    is_found
}

/// The plain schemas that a schema is made of, references followed; of several that a value may be those
/// whose tags it bears.
fn spread<'s>(
    root: &'s Value,
    schema: &'s Value,
    value: &Value,
    all: &mut Vec<&'s Value>,
    depth: usize,
) {
    if depth > DEEPEST {
        return;
    }
    if let Some(named) = schema.get("$ref").and_then(Value::as_str)
        && let Some(named) = root.pointer(named.trim_start_matches('#'))
    {
        spread(root, named, value, all, depth + 1);
    }
    for choices in ["anyOf", "oneOf", "allOf"] {
        let of = schema.get(choices).and_then(Value::as_array);
        for one in of.into_iter().flatten() {
            if may_be(root, one, value) {
                spread(root, one, value, all, depth + 1);
            }
        }
    }
    if schema.is_object() {
        all.push(schema);
    }
}

/// Whether a value may be this one of several schemas: a tag that differs tells that it is another. References
/// are found in `root`.
#[must_use]
pub fn may_be(root: &Value, schema: &Value, value: &Value) -> bool {
    let named = schema.get("$ref").and_then(Value::as_str);
    let schema = named
        .and_then(|name| root.pointer(name.trim_start_matches('#')))
        .unwrap_or(schema);
    let fields = schema.get("properties").and_then(Value::as_object);
    let mut tags = fields
        .into_iter()
        .flatten()
        .filter_map(|(name, of)| Some((name, of.get("const")?)));
    tags.all(|(name, tag)| value.get(name).is_none_or(|told| told == tag))
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::unknown;

    #[test]
    fn what_a_schema_does_not_know_is_found_wherever_it_stands() {
        let schema = json!({
            "type": "object",
            "properties": {
                "job": {"type": "string"},
                "any": true,
                "maybe": {"anyOf": [{"$ref": "#/$defs/Point"}, {"type": "null"}]},
                "points": {"type": "array", "items": {"$ref": "#/$defs/Point"}},
                "by": {"oneOf": [
                    {"type": "object", "properties": {"kind": {"const": "list"}, "of": {"type": "array"}}},
                    {"type": "object", "properties": {"kind": {"const": "one"}, "at": {"$ref": "#/$defs/Point"}}},
                ]},
                "named": {"type": "object", "additionalProperties": {"$ref": "#/$defs/Point"}},
                "with": {"allOf": [{"$ref": "#/$defs/Point"}], "description": "where"},
            },
            "$defs": {"Point": {"type": "object", "properties": {"mm": {"type": "number"}}}},
        });
        let at = |request: Value| unknown(&schema, &request);
        for known in [
            json!({"job": "x", "any": {"more": [{"deep": 1}]}, "maybe": null, "points": [{"mm": 1}]}),
            json!({"by": {"kind": "list", "of": [1, {"free": 1}]}, "named": {"a": {"mm": 1}, "b": {}}}),
            json!({"maybe": {"mm": 1}, "with": {"mm": 2}, "by": {"kind": "one", "at": {"mm": 1}}}),
        ] {
            assert_eq!(at(known.clone()), None, "{known}");
        }
        for (other, place) in [
            (json!({"jobb": "x"}), "jobb"),
            (json!({"maybe": {"nm": 1}}), "maybe.nm"),
            (
                json!({"points": [{"mm": 1}, {"mm": 1, "x": 2}]}),
                "points.1.x",
            ),
            (json!({"by": {"kind": "one", "of": [1]}}), "by.of"),
            (json!({"by": {"kind": "one", "at": {"m": 1}}}), "by.at.m"),
            (json!({"named": {"a": {"m": 1}}}), "named.a.m"),
            (json!({"with": {"m": 1}}), "with.m"),
        ] {
            assert_eq!(at(other.clone()).as_deref(), Some(place), "{other}");
        }
    }
}
