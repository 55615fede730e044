//! Libraries that come with the program: rule sets, strands and fitting sets as data files.
//!
//! Beside them stand the crew's own ones, which its book holds and every job of it may use.
//! Invariant: a job never reads from here by itself; it copies what it uses into its own book,
//! with the origin of each figure, and reads that copy. No maker's product stands here: figures
//! are inputs with their origin, to be replaced by the sheet of what was bought.

mod choose;
mod own;
mod parts;
mod rule_files;
mod sheets;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::Hash;
use crate::model::values::RuleSetCopy;

pub use choose::{RuleChoice, RuleFit, RuleSetsFor, copy_of_own, rule_sets_for, rule_sets_on};
pub use mechanics::rules::Day;
pub use own::{Own, OwnFitting, OwnRuleSet, OwnStrand, own};
pub use parts::{FittingTemplate, StrandTemplate, fitting_sets, origins_apart, strands};
pub use rule_files::{
    Author, LARGEST_RULE_SET, RuleChange, RuleFigure, RuleFileError, changed, figures, kept,
};
pub(crate) use sheets::two_threads;
pub use sheets::{
    Filled, fill_fitting, fill_strand, fitting_faults, fitting_questions, strand_faults,
    strand_questions,
};

/// A rule set as the program brings it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleSetFile {
    /// Short name, the file's.
    pub name: String,
    /// Title.
    pub title: String,
    /// Document that the figures are from.
    pub document: String,
    /// Its edition.
    pub edition: String,
    /// Whose text it is, and its licence.
    pub attribution: String,
    /// The file's exact text.
    pub text: String,
    /// SHA-256 of the text.
    pub sha256: Hash,
}

const RULE_SETS: &[(&str, &str)] = &[
    ("au-2022", include_str!("../../data/rules/au-2022.json")),
    (
        "us-irc-2018",
        include_str!("../../data/rules/us-irc-2018.json"),
    ),
    ("us-ibc", include_str!("../../data/rules/us-ibc.json")),
    ("nz-f4", include_str!("../../data/rules/nz-f4.json")),
    (
        "uk-adk-2013",
        include_str!("../../data/rules/uk-adk-2013.json"),
    ),
    (
        "ca-nbc-9-8-8",
        include_str!("../../data/rules/ca-nbc-9-8-8.json"),
    ),
];

/// Every rule set that comes with the program, by name.
#[must_use]
pub fn rule_sets() -> Vec<RuleSetFile> {
    RULE_SETS
        .iter()
        .filter_map(|(name, text)| read(name, text))
        .collect()
}

/// The rule set of this name.
#[must_use]
pub fn rule_set(name: &str) -> Option<RuleSetFile> {
    RULE_SETS
        .iter()
        .find(|(known, _)| *known == name)
        .and_then(|(name, text)| read(name, text))
}

/// What a job copies into its own book.
#[must_use]
pub fn copy_of(file: &RuleSetFile) -> RuleSetCopy {
    RuleSetCopy {
        name: file.name.clone(),
        text: file.text.clone(),
        sha256: file.sha256,
        origin: format!("{OF_THE_PROGRAM}, version {}", env!("CARGO_PKG_VERSION")),
    }
}

/// How the origin of a copy from the program's own library begins.
pub(crate) const OF_THE_PROGRAM: &str = "library of the program";

/// A rule set's file by its text; none where the text is no rule set.
#[must_use]
pub fn read(name: &str, text: &str) -> Option<RuleSetFile> {
    let set: mechanics::rules::RuleSet = serde_json::from_str(text).ok()?;
    Some(RuleSetFile {
        name: name.to_owned(),
        title: set.title,
        document: set.document,
        edition: set.edition,
        attribution: set.attribution,
        text: text.to_owned(),
        sha256: Hash::of(text.as_bytes()),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_rule_set_file_reads_and_is_named_by_its_own_id() {
        assert_eq!(rule_sets().len(), RULE_SETS.len());
        for file in rule_sets() {
            let set: mechanics::rules::RuleSet = serde_json::from_str(&file.text).unwrap();
            assert_eq!(set.id, file.name);
            assert_eq!(Hash::of(file.text.as_bytes()), file.sha256);
        }
        assert!(rule_set("au-2022").is_some());
        assert!(rule_set("no-such-place").is_none());
    }

    #[test]
    fn a_copy_fits_into_an_entry() {
        // The form of an entry: a body is at most 64 KiB.
        for file in rule_sets() {
            let bytes = crate::canonical::encode(&copy_of(&file)).unwrap();
            assert!(bytes.len() < 60 * 1024, "{}: {}", file.name, bytes.len());
        }
    }
}
