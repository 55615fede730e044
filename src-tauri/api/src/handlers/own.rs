//! What the crew keeps of its own: rule sets, strands and fitting sets, in the crew's book.
//!
//! The entries reach every device with that book. Nothing here touches a job.

use records::library::{self, RuleChange, RuleFigure, RuleSetFile};
use records::model::fields;
use records::model::values::{FittingSheet, StrandSheet};
use records::subject::ItemKind;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::{Recorded, some_text};
use crate::acts::library::file_of;
use crate::acts::own as acts;
use crate::{ApiError, App};

/// What was recorded; a new thing of the crew with its name.
fn recorded((acted, created): acts::Kept) -> Recorded {
    match created {
        Some(subject) => Recorded::created(&acted, &subject),
        None => Recorded::of(&acted),
    }
}

/// Names a rule set.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfRuleSet {
    /// Name in the program's library, or the id of the crew's own set.
    pub name: String,
}

/// The figures of a rule set, and its file.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleFigures {
    /// The file.
    pub file: RuleSetFile,
    /// Figures that can be changed one by one; cells of tables are changed in the file.
    pub figures: Vec<RuleFigure>,
}

/// Lists the figures of a rule set that can be changed one by one.
pub fn rule_figures(app: &App, request: OfRuleSet) -> Result<RuleFigures, ApiError> {
    let mut record = app.record();
    let crew = record.current_crew()?;
    let file = file_of(&mut record, crew, &request.name)?;
    let figures = library::figures(&file).map_err(|e| acts::refused(&e))?;
    Ok(RuleFigures { file, figures })
}

/// Where an own rule set comes from.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(tag = "kind", rename_all = "camelCase", deny_unknown_fields)]
pub enum RuleSetFrom {
    /// A file's text.
    #[serde(rename_all = "camelCase")]
    File {
        /// The text.
        text: String,
    },
    /// Another set with figures changed.
    #[serde(rename_all = "camelCase")]
    Changes {
        /// Name in the program's library, or the id of the crew's own set.
        name: String,
        /// Its new title; that of the other one with "(changed)" where empty.
        #[serde(default)]
        #[ts(optional, as = "Option<String>")]
        title: String,
        /// The figures.
        changes: Vec<RuleChange>,
    },
}

/// Keeps a rule set of the crew's own.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct KeepRuleSet {
    /// What of.
    pub from: RuleSetFrom,
    /// Why: every document that rests on it prints it.
    pub why: String,
    /// The person was asked about figures far from what is usual, or places of a table that ask less
    /// for more, and said that the document prints them so.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
    /// The crew's own set that it takes the place of; a new one where none.
    #[serde(default)]
    #[ts(optional)]
    pub id: Option<String>,
}

/// Keeps a rule set of the crew's own: a file, or another one with figures changed.
pub fn keep_rule_set(app: &App, request: KeepRuleSet) -> Result<Recorded, ApiError> {
    acts::keep_rule_set(&mut app.record(), &request).map(recorded)
}

/// Keeps a strand of the crew's own.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct KeepStrand {
    /// The crew's own strand that is told anew; a new one where none.
    #[serde(default)]
    #[ts(optional)]
    pub id: Option<String>,
    /// Its name.
    pub name: String,
    /// What the sheet tells; a figure that it does not tell is left out.
    pub sheet: StrandSheet,
    /// The figures as they were typed, with their units.
    #[serde(default)]
    #[ts(optional)]
    pub entered: Option<String>,
    /// Set when the person was asked about an odd figure and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Keeps a strand of the crew's own from its maker's sheet; an odd figure is questioned once.
pub fn keep_strand(app: &App, request: KeepStrand) -> Result<Recorded, ApiError> {
    let faults = library::strand_faults(&request.sheet);
    let odd = library::strand_questions(&request.sheet);
    acts::usable(&faults, odd, request.confirmed)?;
    let name = some_text("The strand's name", &request.name)?;
    let of = (ItemKind::Strand, request.id.as_deref());
    let name = (fields::STRAND_NAME, name);
    let sheet = (fields::STRAND_SHEET, request.sheet, request.entered);
    acts::keep_from_sheet(&mut app.record(), of, name, sheet).map(recorded)
}

/// Keeps a fitting set of the crew's own.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct KeepFittingSet {
    /// The crew's own fitting set that is told anew; a new one where none.
    #[serde(default)]
    #[ts(optional)]
    pub id: Option<String>,
    /// Its name.
    pub name: String,
    /// What the sheet tells; a figure that it does not tell is left out and asked for.
    pub sheet: FittingSheet,
    /// The figures as they were typed, with their units.
    #[serde(default)]
    #[ts(optional)]
    pub entered: Option<String>,
    /// Set when the person was asked about an odd figure and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Keeps a fitting set of the crew's own from its maker's sheet; an odd figure is questioned once.
pub fn keep_fitting_set(app: &App, request: KeepFittingSet) -> Result<Recorded, ApiError> {
    let faults = library::fitting_faults(&request.sheet);
    let odd = library::fitting_questions(&request.sheet);
    acts::usable(&faults, odd, request.confirmed)?;
    let name = some_text("The fitting set's name", &request.name)?;
    let of = (ItemKind::FittingSet, request.id.as_deref());
    let name = (fields::FITTING_NAME, name);
    let sheet = (fields::FITTING_SHEET, request.sheet, request.entered);
    acts::keep_from_sheet(&mut app.record(), of, name, sheet).map(recorded)
}

/// Takes something of the crew's own out of the library.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct DropOwn {
    /// The subject: `ruleSet:<id>`, `strand:<id>` or `fittingSet:<id>`.
    pub subject: String,
    /// Why.
    pub reason: String,
}

/// Takes something of the crew's own out of the library; jobs keep their copies.
pub fn drop_own(app: &App, request: DropOwn) -> Result<Recorded, ApiError> {
    let subject = request.subject.parse()?;
    let reason = some_text("The reason", &request.reason)?;
    let acted = acts::drop_own(&mut app.record(), subject, &reason)?;
    Ok(Recorded::of(&acted))
}
