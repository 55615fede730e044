//! Whether a request names its fields where its schema asks for named ones.
//!
//! A list would fill a struct's fields by their order; with a field put in between, the same list
//! would say something else. Invariant: what the schema leaves open is accepted; all else is left to
//! the reading of the request itself.

use records::model::members::may_be;
use serde_json::Value;

/// How far references to other schemas are followed: no request is nested as deep.
const DEEPEST: usize = 64;

/// Where in a request a list stands in the place of named fields, as `claims.0`; empty for the
/// request itself.
pub(super) fn list_for_fields(schema: &Value, request: &Value) -> Option<String> {
    let mut found = None;
    let fits = Asked { root: schema }.fits(schema, request, &mut Vec::new(), &mut found);
    found.filter(|_| !fits)
}

/// Whether a value holds a list anywhere.
pub(super) fn holds_a_list(value: &Value) -> bool {
    match value {
        Value::Array(_) => true,
        Value::Object(fields) => fields.values().any(holds_a_list),
        _ => false,
    }
}

struct Asked<'s> {
    root: &'s Value,
}

impl<'s> Asked<'s> {
    /// Whether every list in a value stands where the schema takes one; `found` keeps where the
    /// first stands that does not.
    fn fits(
        &self,
        schema: &'s Value,
        value: &Value,
        path: &mut Vec<String>,
        found: &mut Option<String>,
    ) -> bool {
        let Some(asked) = schema.as_object().filter(|_| path.len() < DEEPEST) else {
            return true;
        };
        if let Some(name) = asked.get("$ref").and_then(Value::as_str) {
            let place = name.trim_start_matches('#');
            let named = self.root.pointer(place);
            return named.is_none_or(|schema| self.fits(schema, value, path, found));
        }
        for choices in ["anyOf", "oneOf"] {
            let all = asked.get(choices).and_then(Value::as_array);
            let all = all.map(Vec::as_slice).unwrap_or_default();
            let mut left = all
                .iter()
                .filter(|one| may_be(self.root, one, value))
                .peekable();
            if left.peek().is_some() && !left.any(|one| self.fits(one, value, path, found)) {
                return false;
            }
        }
        let all = asked.get("allOf").and_then(Value::as_array);
        let mut all = all.into_iter().flatten();
        if !all.all(|one| self.fits(one, value, path, found)) {
            return false;
        }
        match value {
            Value::Array(items) => {
                if asked.get("type").is_some_and(|kind| !takes(kind, "array")) {
                    found.get_or_insert_with(|| path.join("."));
                    return false;
                }
                let first = asked.get("prefixItems").and_then(Value::as_array);
                let first = first.map(Vec::as_slice).unwrap_or_default();
                let rest = asked.get("items");
                items.iter().enumerate().all(|(at, item)| {
                    let of = first.get(at).or(rest);
                    of.is_none_or(|of| self.within(of, item, at.to_string(), path, found))
                })
            }
            Value::Object(fields) => fields.iter().all(|(name, field)| {
                let named = asked.get("properties").and_then(|all| all.get(name));
                let of = named.or_else(|| asked.get("additionalProperties"));
                of.is_none_or(|of| self.within(of, field, name.clone(), path, found))
            }),
            _ => true,
        }
    }

    fn within(
        &self,
        schema: &'s Value,
        value: &Value,
        at: String,
        path: &mut Vec<String>,
        found: &mut Option<String>,
    ) -> bool {
        path.push(at);
        let fits = self.fits(schema, value, path, found);
        path.pop();
        fits
    }
}

fn takes(kind: &Value, what: &str) -> bool {
    match kind {
        Value::Array(kinds) => kinds.iter().any(|kind| kind == what),
        kind => kind == what,
    }
}

#[cfg(test)]
mod tests {
    use serde_json::{Value, json};

    use super::list_for_fields;

    #[test]
    fn a_list_is_taken_only_where_the_schema_takes_one() {
        let schema = json!({
            "type": "object",
            "properties": {
                "job": {"type": "string"},
                "any": true,
                "maybe": {"anyOf": [{"$ref": "#/$defs/Point"}, {"type": "null"}]},
                "pair": {"type": "array", "prefixItems": [{"type": "string"}, {"$ref": "#/$defs/Point"}]},
                "points": {"type": "array", "items": {"$ref": "#/$defs/Point"}},
                "by": {"oneOf": [
                    {"type": "object", "properties": {"kind": {"const": "list"}, "of": {"type": "array"}}},
                    {"type": "object", "properties": {"kind": {"const": "one"}, "of": {"$ref": "#/$defs/Point"}}},
                ]},
                "named": {"type": "object", "additionalProperties": {"$ref": "#/$defs/Point"}},
            },
            "$defs": {"Point": {"type": "object", "properties": {"mm": {"type": "number"}}}},
        });
        let at = |request: Value| list_for_fields(&schema, &request);
        for fits in [
            json!({"job": "x", "any": [[1]], "maybe": null, "points": [{"mm": 1}, {"mm": 2}]}),
            json!({"by": {"kind": "list", "of": [1]}, "named": {"a": {"mm": 1}}}),
            json!({"pair": ["x", {"mm": 1}], "maybe": {"mm": 1}}),
            json!({"by": {"kind": "one", "of": {"mm": 1}}, "unknown": 1}),
        ] {
            assert_eq!(at(fits.clone()), None, "{fits}");
        }
        for (unfit, place) in [
            (json!([]), ""),
            (json!(["x"]), ""),
            (json!({"maybe": [1]}), "maybe"),
            (json!({"points": [{"mm": 1}, [2]]}), "points.1"),
            (json!({"pair": ["x", [2]]}), "pair.1"),
            (json!({"by": {"kind": "one", "of": [1]}}), "by.of"),
            (json!({"by": ["one", [1]]}), "by"),
            (json!({"named": {"a": [1]}}), "named.a"),
        ] {
            assert_eq!(at(unfit.clone()), Some(place.to_owned()), "{unfit}");
        }
    }
}
