//! The crew's own rule sets, strands and fitting sets, as its book holds them.
//!
//! Invariant: what people disagree on is named and not offered; a job copies what it uses, so a
//! later change here moves no job. Pure reading.

use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use super::parts::{FittingTemplate, StrandTemplate};
use super::sheets::{fill_fitting, fill_strand};
use super::{RuleSetFile, read};
use crate::book::BookView;
use crate::crew::Crew;
use crate::ids::ItemId;
use crate::job::{Reader, live};
use crate::model::fields;
use crate::model::values::{FittingSheet, StrandSheet};
use crate::subject::{ItemKind, Subject};

/// A rule set of the crew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OwnRuleSet {
    /// Its id, by which a job uses it.
    pub id: ItemId,
    /// The file; its name is that id.
    pub file: RuleSetFile,
    /// Who made it of what, and why, in one sentence.
    pub changed: String,
}

/// A strand of the crew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OwnStrand {
    /// Its id, by which a job uses it.
    pub id: ItemId,
    /// Its name.
    pub name: String,
    /// What the sheet tells; none where people disagree on it.
    pub sheet: Option<StrandSheet>,
    /// The figures for a job; none while something is asked for.
    pub template: Option<StrandTemplate>,
    /// What is missing.
    pub asks: Vec<String>,
    /// What was assumed and the band that it leads to.
    pub bands: Vec<String>,
}

/// A fitting set of the crew.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OwnFitting {
    /// Its id, by which a job uses it.
    pub id: ItemId,
    /// Its name.
    pub name: String,
    /// What the sheet tells; none where people disagree on it.
    pub sheet: Option<FittingSheet>,
    /// The figures for a job; none while something is asked for.
    pub template: Option<FittingTemplate>,
    /// What is missing.
    pub asks: Vec<String>,
    /// What was assumed and the band that it leads to.
    pub bands: Vec<String>,
}

/// All that a crew keeps for its jobs.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Own {
    /// Rule sets, by title.
    pub rule_sets: Vec<OwnRuleSet>,
    /// Strands, by name.
    pub strands: Vec<OwnStrand>,
    /// Fitting sets, by name.
    pub fitting_sets: Vec<OwnFitting>,
}

const APART: &str = "People differ on its figures: keep it again with what the sheet says.";

/// Reads what a crew's book holds.
#[must_use]
pub fn own(view: &BookView, crew: &Crew) -> Own {
    let reader = Reader { view, crew };
    let mut own = Own {
        rule_sets: live(&reader, ItemKind::RuleSet)
            .into_iter()
            .filter_map(|id| rule_set(&reader, id))
            .collect(),
        strands: live(&reader, ItemKind::Strand)
            .into_iter()
            .map(|id| strand(&reader, id))
            .collect(),
        fitting_sets: live(&reader, ItemKind::FittingSet)
            .into_iter()
            .map(|id| fitting(&reader, id))
            .collect(),
    };
    own.rule_sets
        .sort_by(|a, b| (&a.file.title, a.id).cmp(&(&b.file.title, b.id)));
    own.strands
        .sort_by(|a, b| (&a.name, a.id).cmp(&(&b.name, b.id)));
    own.fitting_sets
        .sort_by(|a, b| (&a.name, a.id).cmp(&(&b.name, b.id)));
    own
}

fn rule_set(reader: &Reader<'_>, id: ItemId) -> Option<OwnRuleSet> {
    let subject = Subject::Item(ItemKind::RuleSet, id).to_string();
    let copy = reader.value(fields::RULE_SET_COPY, &subject)?;
    let set: mechanics::rules::RuleSet = serde_json::from_str(&copy.text).ok()?;
    Some(OwnRuleSet {
        id,
        changed: set.changed.as_ref()?.sentence(&set),
        file: read(&id.to_string(), &copy.text)?,
    })
}

fn strand(reader: &Reader<'_>, id: ItemId) -> OwnStrand {
    let subject = Subject::Item(ItemKind::Strand, id).to_string();
    let name = reader.one(fields::STRAND_NAME, &subject, "");
    let name = name.shown().cloned().unwrap_or_default();
    let Some(sheet) = reader.value(fields::STRAND_SHEET, &subject) else {
        return OwnStrand {
            id,
            name,
            sheet: None,
            template: None,
            asks: vec![APART.to_owned()],
            bands: Vec::new(),
        };
    };
    let filled = fill_strand(&id.to_string(), &name, &sheet);
    OwnStrand {
        id,
        name,
        sheet: Some(sheet),
        template: filled.template,
        asks: filled.asks,
        bands: filled.bands,
    }
}

fn fitting(reader: &Reader<'_>, id: ItemId) -> OwnFitting {
    let subject = Subject::Item(ItemKind::FittingSet, id).to_string();
    let name = reader.one(fields::FITTING_NAME, &subject, "");
    let name = name.shown().cloned().unwrap_or_default();
    let Some(sheet) = reader.value(fields::FITTING_SHEET, &subject) else {
        return OwnFitting {
            id,
            name,
            sheet: None,
            template: None,
            asks: vec![APART.to_owned()],
            bands: Vec::new(),
        };
    };
    let filled = fill_fitting(&id.to_string(), &name, &sheet);
    OwnFitting {
        id,
        name,
        sheet: Some(sheet),
        template: filled.template,
        asks: filled.asks,
        bands: filled.bands,
    }
}
