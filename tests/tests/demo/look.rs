//! Looking into answers: what is not there fails and names its path, so that no check passes on it.

use std::collections::BTreeMap;

use serde_json::Value;

/// What stands at a path of an answer.
pub(crate) fn at<'v>(value: &'v Value, path: &str) -> &'v Value {
    match value.pointer(path) {
        Some(found) if !found.is_null() => found,
        _ => panic!("nothing stands at {path} of {}", short(value)),
    }
}

fn short(value: &Value) -> String {
    value.to_string().chars().take(600).collect()
}

/// A number.
pub(crate) fn num(value: &Value, path: &str) -> f64 {
    let found = at(value, path);
    found
        .as_f64()
        .unwrap_or_else(|| panic!("{path} is no number: {found}"))
}

/// A text that is not empty.
pub(crate) fn text<'v>(value: &'v Value, path: &str) -> &'v str {
    let found = at(value, path);
    let text = found.as_str().filter(|text| !text.is_empty());
    text.unwrap_or_else(|| panic!("{path} is no text: {found}"))
}

/// A list that is not empty.
pub(crate) fn list<'v>(value: &'v Value, path: &str) -> &'v Vec<Value> {
    let found = at(value, path);
    let list = found.as_array().filter(|list| !list.is_empty());
    list.unwrap_or_else(|| panic!("{path} is no list: {found}"))
}

/// The one of a list whose member has this value.
pub(crate) fn one<'v>(value: &'v Value, path: &str, member: &str, is: &str) -> &'v Value {
    let mut found = list(value, path).iter().filter(|v| v[member] == is);
    let first = found.next();
    assert!(found.next().is_none(), "{path}: {member} {is} stands twice");
    first.unwrap_or_else(|| panic!("{path}: no {member} {is} in {}", short(value)))
}

/// A list of numbers by their members' path, in the order of the wires.
pub(crate) fn by_wire(value: &Value, path: &str) -> Vec<f64> {
    let mut lines: Vec<&Value> = list(value, "/lines").iter().collect();
    lines.sort_by_key(|line| at(line, "/wire").as_u64());
    lines.iter().map(|line| num(line, path)).collect()
}

pub(crate) fn near(found: f64, expected: f64, within: f64) {
    assert!(
        (found - expected).abs() <= within,
        "{found} is not {expected} ± {within}"
    );
}

/// What `tautbook state` prints, by names in place of ids.
pub(crate) struct State {
    claims: Vec<Value>,
    /// "post A1" to its id.
    ids: BTreeMap<String, String>,
}

impl State {
    pub(crate) fn of(answer: &Value) -> State {
        let claims = list(answer, "/state/claims").clone();
        let ids = claims
            .iter()
            .filter(|claim| claim["field"] == "name")
            .map(|claim| {
                let (kind, id) = text(claim, "/subject").split_once(':').unwrap();
                let name = text(claim, "/lines/0/tips/0/value");
                (format!("{kind} {name}"), id.to_owned())
            })
            .collect();
        State { claims, ids }
    }

    /// The id of a thing by its kind and name.
    pub(crate) fn id(&self, kind: &str, name: &str) -> &str {
        let key = format!("{kind} {name}");
        self.ids
            .get(&key)
            .unwrap_or_else(|| panic!("there is no {key}: {:?}", self.ids.keys()))
    }

    /// All words that stand on a field of a subject at a place, in the order they were said.
    pub(crate) fn words(&self, subject: &str, field: &str, place: &str) -> Vec<&Value> {
        let claim = self
            .claims
            .iter()
            .find(|c| c["subject"] == subject && c["field"] == field && c["place"] == place)
            .unwrap_or_else(|| panic!("nothing is said of {subject} {field} {place:?}"));
        let lines = list(claim, "/lines").iter();
        let mut words: Vec<&Value> = lines
            .filter(|line| line["standing"] == "agreed")
            .flat_map(|line| list(line, "/tips"))
            .collect();
        words.sort_by_key(|word| (at(word, "/at/ms").as_i64(), at(word, "/at/count").as_u64()));
        assert!(!words.is_empty(), "nothing stands on {subject} {field}");
        words
    }

    /// The only value that stands on a field of a subject.
    pub(crate) fn said(&self, subject: &str, field: &str, place: &str) -> &Value {
        match self.words(subject, field, place)[..] {
            [word] => at(word, "/value"),
            ref words => panic!("{subject} {field} {place:?} says {words:?}"),
        }
    }

    /// The value of a named thing.
    pub(crate) fn of_thing(&self, kind: &str, name: &str, field: &str, place: &str) -> &Value {
        self.said(&format!("{kind}:{}", self.id(kind, name)), field, place)
    }

    pub(crate) fn job(&self, field: &str) -> &Value {
        let subject = self
            .claims
            .iter()
            .filter_map(|c| c["subject"].as_str())
            .find(|s| s.starts_with("job:"))
            .unwrap();
        self.said(subject, field, "")
    }

    /// Everything that stands, with names in place of ids: subject, field, place, value.
    pub(crate) fn named(&self) -> Vec<(String, String, String, String)> {
        let named = |text: &str| {
            self.ids.iter().fold(text.to_owned(), |text, (name, id)| {
                text.replace(id.as_str(), name)
            })
        };
        let mut all = Vec::new();
        for claim in &self.claims {
            let subject = text(claim, "/subject");
            let kind = subject.split(':').next().unwrap();
            // A bay names the smaller id first, which is chance; a job's id has no name.
            let mut parts: Vec<String> = named(subject).split(':').map(str::to_owned).collect();
            parts.sort();
            let subject = if kind == "job" {
                "job".to_owned()
            } else {
                parts.join(":")
            };
            for line in list(claim, "/lines")
                .iter()
                .filter(|l| l["standing"] == "agreed")
            {
                for tip in list(line, "/tips") {
                    all.push((
                        subject.clone(),
                        text(claim, "/field").to_owned(),
                        named(claim["place"].as_str().unwrap()),
                        named(&tip["value"].to_string()),
                    ));
                }
            }
        }
        all
    }
}
