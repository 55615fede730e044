//! Facts of a new thing that are odd beside each other: a gauge's range, a run's height and its rail.
//!
//! Invariant: the rule is that of an act that says them; what is asked about is left out until
//! somebody says yes, and the rest of the thing is recorded.

use serde_json::Value;

use super::super::facts::{Fact, Given};
use super::Planner;
use crate::model::fields;
use crate::subject::{ItemKind, Subject};
use crate::work::{SaidNow, odd_together, odd_tool};

impl Planner<'_, '_> {
    /// Leaves out of a new thing what its other facts make odd, until somebody says yes.
    pub(super) fn together(&self, subject: Subject, facts: &mut Vec<Fact>) {
        let values: Vec<(&'static str, Value)> = facts
            .iter()
            .filter_map(|fact| match &fact.value {
                Given::Value(value) => Some((fact.field, value.clone())),
                Given::Named(..) => None,
            })
            .collect();
        let odd: Vec<(&'static str, String)> = match subject {
            Subject::Item(ItemKind::Tool, _) => {
                let said: Vec<_> = values.iter().map(|(name, value)| (*name, value)).collect();
                odd_tool(&said, None, None)
            }
            Subject::Item(ItemKind::Run, _) => {
                let said = values.iter().map(|(field, value)| SaidNow {
                    subject,
                    field,
                    place: "",
                    value,
                });
                let said: Vec<SaidNow<'_>> = said.collect();
                let odd = odd_together(self.job, &said).unwrap_or_default();
                let height = fields::RUN_HEIGHT.name;
                odd.into_iter().map(|odd| (height, odd)).collect()
            }
            _ => return,
        };
        for (field, question) in odd {
            let Some(at) = facts.iter().position(|fact| fact.field == field) else {
                continue;
            };
            let path = facts.get(at).map(|fact| fact.path.clone());
            if !self.asked(&path.unwrap_or_default(), &question) {
                facts.remove(at);
            }
        }
    }
}
