//! The job's state as JSON: every key, what stands on it, and who belongs.
//!
//! Invariant: a function of the entries of the two books alone, sorted, integers only; the same
//! books give the same bytes on every machine. What is held and waits for something changes nothing in it,
//! and no sentence that a later version may word otherwise stands in it.

use std::collections::BTreeMap;

use records::book::{BookView, Why};
use records::claims::Standing;
use records::crew::Crew;
use records::job::reader::said;
use serde_json::{Map, Value, json};

/// Name of this form.
pub const STATE_FORMAT: &str = "tautbook-state-2";

/// Forms that earlier versions wrote. The entries tell this form and none of these.
pub(crate) const EARLIER: [&str; 1] = ["tautbook-state-1"];

/// The state of a job as its book and its crew's admissions tell it.
#[must_use]
pub fn state(book: &BookView, crew: &Crew) -> Value {
    let claims: Vec<Value> = book
        .keys()
        .map(|(key, state)| {
            let lines: Vec<Value> = state
                .lines
                .iter()
                .map(|line| {
                    let mut ids = line.tips.clone();
                    ids.sort_unstable();
                    let tips: Vec<Value> = ids
                        .iter()
                        .filter_map(|id| book.entry(id))
                        .map(|entry| {
                            let (value, with) = said(entry, key);
                            let mut tip = Map::new();
                            tip.insert("entry".into(), json!(entry.id));
                            tip.insert("value".into(), value.cloned().unwrap_or(Value::Null));
                            if let Some(with) = with {
                                tip.insert("with".into(), with.clone());
                            }
                            tip.insert("person".into(), json!(entry.body.person));
                            tip.insert("device".into(), json!(entry.body.device));
                            tip.insert("at".into(), json!(entry.body.at));
                            Value::Object(tip)
                        })
                        .collect();
                    json!({"standing": standing(line.standing), "claims": line.claims.len(), "tips": tips})
                })
                .collect();
            let mut newer = state.newer.clone();
            newer.sort_unstable();
            json!({
                "subject": key.subject, "field": key.field, "place": key.place,
                "lines": lines, "newer": newer,
            })
        })
        .collect();
    let members: Vec<Value> = crew
        .members
        .iter()
        .map(|(device, member)| {
            json!({
                "device": device,
                "role": member.role,
                "keeper": member.keeper,
                "ended": member.ended.is_some(),
                "persons": member.persons,
            })
        })
        .collect();
    let mut left: Vec<(String, &'static str)> = book
        .not_counting(crew)
        .into_iter()
        .filter(|(_, why)| !why.pending())
        .map(|(id, why)| (id.to_string(), why.code()))
        .collect();
    left.sort_unstable();
    let counted = book.ids().filter(|id| book.counts(id));
    let mut newest = BTreeMap::new();
    for entry in counted.filter_map(|id| book.entry(id)) {
        let head = newest.entry(entry.body.device).or_insert((0, entry.id));
        *head = (*head).max((entry.body.n, entry.id));
    }
    let heads: Vec<Value> = newest
        .iter()
        .map(|(device, (n, hash))| json!({"device": device, "n": n, "hash": hash}))
        .collect();
    let mut state = json!({
        "format": STATE_FORMAT,
        "book": book.book,
        "founding": crew.founding,
        "members": members,
        "heads": heads,
        "claims": claims,
        "notCounting": left.into_iter().map(|(id, why)| json!({"entry": id, "why": why})).collect::<Vec<_>>(),
    });
    // An entry made here and one read from a file keep their members in different orders.
    state.sort_all_objects();
    state
}

/// The state as it is written: indented, one line's end at the end.
#[must_use]
pub fn state_text(book: &BookView, crew: &Crew) -> String {
    // A value made of strings, integers, lists and maps always has a text.
    let mut text = serde_json::to_string_pretty(&state(book, crew)).unwrap_or_default();
    text.push('\n');
    text
}

/// Whether an entry of a handed-over book can't be explained by anything but damage or forgery.
pub(crate) fn damaged(why: Why) -> bool {
    matches!(why, Why::EarlierMissing | Why::NotProven | Why::ActOpen)
}

fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Agreed => "agreed",
        Standing::Withdrawn => "withdrawn",
        Standing::Disputed => "disputed",
    }
}
