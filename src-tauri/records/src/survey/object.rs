//! Reading the fields of one object: typed, with the path of everything that does not fit.
//!
//! Invariant: a field that is never asked for is reported when the object ends; a field that does
//! not fit is reported once and read as absent.

use std::borrow::Cow;
use std::cell::RefCell;
use std::collections::BTreeSet;

use serde::Serialize;

use super::problem::{Log, Outcome, shown};
use super::tree::Node;
use crate::model::entered::{self, LengthUnit};
use crate::model::values::{Day, Length};

/// Most characters of one text.
const LONGEST_TEXT: usize = 4000;

/// A length with what was typed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Typed {
    pub(crate) length: Length,
    pub(crate) entered: String,
}

/// What a length may be.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Bounds {
    /// More than nothing, at most a kilometre.
    Size,
    /// Nothing or more, at most a kilometre.
    Gap,
    /// Above or below what it is measured from, at most a kilometre either way.
    Level,
    /// A distance on the map, at most a thousand kilometres.
    Far,
}

/// An object of the file while it is read.
pub(crate) struct Object<'a> {
    pub(crate) path: String,
    pub(crate) log: &'a Log,
    fields: &'a [(String, Node)],
    asked: RefCell<BTreeSet<&'static str>>,
}

impl<'a> Object<'a> {
    /// Opens an object; anything else is refused.
    pub(crate) fn open(node: &'a Node, path: String, log: &'a Log) -> Option<Self> {
        let Node::Object(fields) = node else {
            let is = node.sort();
            log.refuse(&path, format!("here stands {is}; write an object {{…}}"));
            return None;
        };
        let mut names = BTreeSet::new();
        for (name, _) in fields {
            if !names.insert(name) {
                log.refuse(
                    &below(&path, &shown(name)),
                    "stands twice; keep the one that is right",
                );
            }
        }
        Some(Object {
            path,
            log,
            fields,
            asked: RefCell::default(),
        })
    }

    /// Reports every field that was not asked for.
    pub(crate) fn end(self) {
        let asked = self.asked.borrow();
        for (name, _) in self.fields {
            if !asked.contains(name.as_str()) {
                self.log.say(
                    &below(&self.path, &shown(name)),
                    Outcome::Ignored,
                    "is not known here and was left out; is the name spelt right?",
                );
            }
        }
    }

    /// The path of a field.
    pub(crate) fn at(&self, name: &str) -> String {
        below(&self.path, name)
    }

    /// Refuses this object for a reason of its own.
    pub(crate) fn refuse(&self, name: &str, message: impl Into<String>) {
        self.log.refuse(&self.at(name), message);
    }

    /// A field's value, where it is there and not null.
    pub(crate) fn node(&self, name: &'static str) -> Option<&'a Node> {
        self.asked.borrow_mut().insert(name);
        self.fields
            .iter()
            .find(|(known, _)| known == name)
            .map(|(_, node)| node)
            .filter(|node| **node != Node::Null)
    }

    /// A field that must be there.
    pub(crate) fn must<T>(&self, name: &'static str, read: Option<T>) -> Option<T> {
        if read.is_none() && self.node(name).is_none() {
            self.refuse(name, "is missing");
        }
        read
    }

    /// An object within this one.
    pub(crate) fn object(&self, name: &'static str) -> Option<Object<'a>> {
        Object::open(self.node(name)?, self.at(name), self.log)
    }

    /// A list within this one, each item with its path.
    pub(crate) fn list(&self, name: &'static str) -> Vec<(String, &'a Node)> {
        match self.node(name) {
            None => Vec::new(),
            Some(Node::List(items)) => items
                .iter()
                .enumerate()
                .map(|(at, item)| (format!("{}[{at}]", self.at(name)), item))
                .collect(),
            Some(other) => {
                self.unfit::<()>(name, other, "a list […]");
                Vec::new()
            }
        }
    }

    /// Text that is not empty.
    pub(crate) fn text(&self, name: &'static str) -> Option<String> {
        match self.node(name)? {
            Node::Text(text) => text_of(text, &self.at(name), self.log),
            other => self.unfit(name, other, "text in quotes"),
        }
    }

    /// Yes or no.
    pub(crate) fn flag(&self, name: &'static str) -> Option<bool> {
        match self.node(name)? {
            Node::Bool(flag) => Some(*flag),
            other => self.unfit(name, other, "true or false"),
        }
    }

    /// A whole number within limits.
    pub(crate) fn whole(&self, name: &'static str, from: i64, to: i64) -> Option<i64> {
        self.decimal(name, 0, from, to)
    }

    /// A decimal number as an integer with `places` places, within limits of that integer.
    pub(crate) fn decimal(
        &self,
        name: &'static str,
        places: usize,
        from: i64,
        to: i64,
    ) -> Option<i64> {
        let node = self.node(name)?;
        let (Node::Number(text) | Node::Text(text)) = node else {
            return self.unfit(name, node, "a number");
        };
        let value = entered::decimal(text.trim(), places);
        if let Some(value) = value.filter(|v| (from..=to).contains(v)) {
            return Some(value);
        }
        #[allow(clippy::cast_precision_loss)] // limits are small
        let limit = |n: i64| n as f64 / 10_f64.powi(i32::try_from(places).unwrap_or(0));
        let range = format!("{} to {}", limit(from), limit(to));
        let fault = match value {
            Some(_) => format!("lies outside {range}; leave it out where it is not known"),
            None => format!("is no number from {range}"),
        };
        self.refuse(name, format!("{:?} {fault}", shown(text)));
        None
    }

    /// A number as the file has it.
    pub(crate) fn written(&self, name: &'static str) -> Option<String> {
        match self.node(name)? {
            Node::Number(text) | Node::Text(text) => Some(shown(text.trim())),
            _ => None,
        }
    }

    /// A day.
    pub(crate) fn day(&self, name: &'static str) -> Option<Day> {
        match Day::try_from(self.text(name)?) {
            Ok(day) => Some(day),
            Err(message) => {
                self.refuse(name, message);
                None
            }
        }
    }

    /// One of the trade's words.
    pub(crate) fn word<T: Serialize + Copy>(&self, name: &'static str, all: &[T]) -> Option<T> {
        word_of(all, &self.text(name)?, &self.at(name), self.log)
    }

    /// A length: millimetres as a number, or text as typed.
    pub(crate) fn length(&self, name: &'static str, bounds: Bounds) -> Option<Typed> {
        let node = self.node(name)?;
        length_node(node, bounds, &self.at(name), self.log)
    }

    fn unfit<T>(&self, name: &str, node: &Node, want: &str) -> Option<T> {
        let is = node.sort();
        self.refuse(name, format!("here stands {is}; write {want}"));
        None
    }
}

/// Text of one field: trimmed, not empty, not overlong.
pub(crate) fn text_of(text: &str, path: &str, log: &Log) -> Option<String> {
    let text = text.trim();
    if text.is_empty() {
        log.refuse(path, "is empty; write something or leave it out");
        return None;
    }
    if text.chars().count() > LONGEST_TEXT {
        log.refuse(
            path,
            format!("is longer than {LONGEST_TEXT} characters; keep it short"),
        );
        return None;
    }
    Some(text.to_owned())
}

/// One of the trade's words; capitals and blanks play no part.
pub(crate) fn word_of<T: Serialize + Copy>(
    all: &[T],
    text: &str,
    path: &str,
    log: &Log,
) -> Option<T> {
    let plain = |t: &str| t.replace(' ', "").to_lowercase();
    let told = |value: &T| match serde_json::to_value(value) {
        Ok(serde_json::Value::String(word)) => word,
        _ => String::new(),
    };
    let found = all.iter().find(|v| plain(&told(v)) == plain(text));
    if found.is_none() {
        let known: Vec<String> = all.iter().map(told).collect();
        let known = known.join(", ");
        log.refuse(
            path,
            format!("{:?} is not known; write one of: {known}", shown(text)),
        );
    }
    found.copied()
}

/// A length of the file: millimetres as a number, or text as typed.
pub(crate) fn length_node(node: &Node, bounds: Bounds, path: &str, log: &Log) -> Option<Typed> {
    match node {
        Node::Number(text) => {
            let text = to_nanometres(text);
            length_of(&text, LengthUnit::Millimetres, bounds, path, log)
        }
        Node::Text(text) => {
            let inches =
                text.trim_end().ends_with("in") || text.contains(['"', '″', '\'', '′', '/']);
            let unit = if inches {
                LengthUnit::Inches
            } else {
                LengthUnit::Millimetres
            };
            length_of(text, unit, bounds, path, log)
        }
        other => {
            let is = other.sort();
            log.refuse(
                path,
                format!("here stands {is}; write millimetres, or inches as text"),
            );
            None
        }
    }
}

/// A computed number of millimetres to the nanometre: inches times 25.4 have many more decimals.
fn to_nanometres(text: &str) -> Cow<'_, str> {
    let finer =
        |(_, part): (&str, &str)| part.len() > 6 && part.bytes().all(|b| b.is_ascii_digit());
    match text.parse::<f64>() {
        Ok(mm) if text.split_once('.').is_some_and(finer) => Cow::Owned(format!("{mm:.6}")),
        _ => Cow::Borrowed(text),
    }
}

/// A length as typed, within its bounds.
pub(crate) fn length_of(
    text: &str,
    unit: LengthUnit,
    bounds: Bounds,
    path: &str,
    log: &Log,
) -> Option<Typed> {
    const KILOMETRE: Length = Length::mm(1_000_000);
    let length = match entered::length(text, unit) {
        Ok(length) => length,
        Err(error) => {
            log.refuse(path, error.to_string());
            return None;
        }
    };
    let entered = shown(&entered::said(text, unit));
    let (least, most) = match bounds {
        Bounds::Size => (1, KILOMETRE.nm),
        Bounds::Gap => (0, KILOMETRE.nm),
        Bounds::Level => (-KILOMETRE.nm, KILOMETRE.nm),
        Bounds::Far => (0, KILOMETRE.nm * 1000),
    };
    if length.nm < least {
        log.refuse(
            path,
            format!("{entered} is no length; it must be more than 0"),
        );
        return None;
    }
    if length.nm > most {
        log.refuse(path, format!("{entered} is over 1 km; is the unit right?"));
        return None;
    }
    Some(Typed { length, entered })
}

fn below(path: &str, name: &str) -> String {
    if path.is_empty() {
        name.to_owned()
    } else {
        format!("{path}.{name}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::values::PostState;
    use crate::survey::tree;

    #[test]
    fn fields_are_read_by_type_and_the_rest_is_reported() {
        let log = Log::default();
        let node = tree::parse(
            r#"{"a": 75.8, "b": "287 3/16 in", "c": "75,8 mm", "d": "x", "e": -1, "f": true,
                "g": "Inserts in", "h": null, "k": 1000000.5, "a ": 1, "f": false}"#,
        )
        .unwrap();
        let object = Object::open(&node, "runs[0]".into(), &log).unwrap();
        let nm = |name| object.length(name, Bounds::Size).map(|t| t.length.nm);
        assert_eq!(nm("a"), Some(75_800_000));
        assert_eq!(nm("b"), Some(7_294_562_500));
        assert_eq!(nm("c"), Some(75_800_000));
        assert_eq!(nm("d"), None);
        assert_eq!(nm("e"), None);
        assert_eq!(nm("h"), None);
        assert_eq!(nm("k"), None);
        assert_eq!(object.flag("f"), Some(true));
        assert_eq!(object.word("g", PostState::ALL), Some(PostState::InsertsIn));
        assert_eq!(object.must("h", nm("h")), None);
        object.end();
        let told: Vec<(String, Outcome)> = log
            .into_problems()
            .into_iter()
            .map(|p| (p.path, p.outcome))
            .collect();
        let (refused, ignored) = (Outcome::Refused, Outcome::Ignored);
        assert_eq!(
            told,
            [
                ("runs[0].f".to_owned(), refused),
                ("runs[0].d".to_owned(), refused),
                ("runs[0].e".to_owned(), refused),
                ("runs[0].k".to_owned(), refused),
                ("runs[0].h".to_owned(), refused),
                ("runs[0].a ".to_owned(), ignored),
            ]
        );
    }
}
