//! One value of the file against what the job says on its key.
//!
//! Invariant: a claim on a single-valued key names all that stands there; a reading that the job
//! already has, replaced or not, is never recorded a second time.

use serde_json::{Map, Value, json};

use super::super::facts::{Fact, Given};
use super::Planner;
use crate::book::Key;
use crate::claims::{Line, Standing};
use crate::ids::Hash;
use crate::job::reader::{said, values};
use crate::record::{Draft, value_data};
use crate::subject::Subject;

impl Planner<'_, '_> {
    /// The entry that a fact becomes; none when it is there already, questioned or refused.
    pub(super) fn against(&mut self, subject: &Subject, fact: &Fact, place: &str) -> Option<Draft> {
        let value = self.value(fact)?;
        let key = Key {
            subject: subject.to_string(),
            field: fact.field.to_owned(),
            place: place.to_owned(),
        };
        let kind = subject.kind();
        let lines = match self.job.reader.view.key(&key) {
            Some(state) => state.lines.clone(),
            None => Vec::new(),
        };
        let over = if fact.many {
            let same = |line: &&Line| {
                !self.used.contains(&line.root)
                    && self.has(&key, &line.claims, &value, Some(fact.with.as_ref()))
            };
            if let Some(root) = lines.iter().find(same).map(|line| line.root) {
                self.used.insert(root);
                self.plan.already += 1;
                return None;
            }
            if !self.usual(kind, fact, &value, &[]) {
                return None;
            }
            Vec::new()
        } else {
            let claims: Vec<Hash> = lines.iter().flat_map(|l| l.claims.clone()).collect();
            if self.has(&key, &claims, &value, None) {
                self.plan.already += 1;
                return None;
            }
            if !self.usual(kind, fact, &value, &values(self.job.reader.view, &key)) {
                return None;
            }
            let stands = lines.iter().any(|l| l.standing != Standing::Withdrawn);
            let question = "The job already says something else here.";
            if stands && !self.asked(&fact.path, question) {
                return None;
            }
            lines.into_iter().flat_map(|l| l.tips).collect()
        };
        Some(draft(subject, fact, place, &value, over))
    }

    /// The value with names as ids.
    pub(super) fn value(&self, fact: &Fact) -> Option<Value> {
        match &fact.value {
            Given::Value(value) => Some(value.clone()),
            Given::Named(kind, name) => {
                let id = self.named(*kind, name, &fact.path)?;
                Some(Value::String(id.to_string()))
            }
        }
    }

    /// Whether one of these claims says this value, and was read this way where `with` is given.
    fn has(&self, key: &Key, claims: &[Hash], value: &Value, with: Option<Option<&Value>>) -> bool {
        let view = self.job.reader.view;
        let entries = claims.iter().filter_map(|id| view.entry(id));
        let mut told = entries.map(|entry| said(entry, key));
        told.any(|(v, w)| v == Some(value) && with.is_none_or(|with| with == w))
    }
}

/// The entries of a new thing: plain facts with its creation, typed ones and repeats beside it.
pub(super) fn creation(subject: Subject, facts: &[Fact]) -> Vec<Draft> {
    let plain = |fact: &&Fact| fact.with.is_none() && !fact.many;
    let mut first = Vec::new();
    let mut drafts = Vec::new();
    for fact in facts {
        let Given::Value(value) = &fact.value else {
            continue;
        };
        if plain(&fact) {
            first.push(json!({"field": fact.field, "place": fact.place, "value": value}));
        } else {
            drafts.push(draft(&subject, fact, &fact.place, value, Vec::new()));
        }
    }
    let mut data = Map::new();
    data.insert("value".into(), Value::Bool(true));
    data.insert("fields".into(), Value::Array(first));
    let created = Draft {
        kind: format!("{}.created", subject.kind().word()),
        subject: subject.to_string(),
        data,
        ..Draft::default()
    };
    drafts.insert(0, created);
    drafts
}

fn draft(subject: &Subject, fact: &Fact, place: &str, value: &Value, over: Vec<Hash>) -> Draft {
    let mut data = value_data(place, value);
    if let Some(with) = &fact.with {
        data.insert("with".into(), with.clone());
    }
    Draft {
        kind: format!("{}.{}", subject.kind().word(), fact.field),
        subject: subject.to_string(),
        over,
        data,
        ..Draft::default()
    }
}
