//! What comes out of looking before ordering, as it is shown and kept.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::{Hash, ItemId};
use crate::subject::Subject;
use crate::work::figures::{Origin, Quantity, Source};
use crate::work::posts::PostAsked;
use crate::work::problems::Problem;
use crate::work::tension::TensionPlan;

/// What a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)] // the trade's own words
pub enum Topic {
    BarrierNeeded,
    Height,
    Opening,
    FaceGap,
    Climbing,
    WireTable,
    Pool,
    Loads,
    Handrail,
    Corner,
    WireEnd,
}

/// How a figure stands against what is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum Verdict {
    /// Nothing is asked here.
    NotAsked,
    /// Something is asked that is shown later.
    Asked,
    /// The figure meets the figure asked.
    MeetsFigure,
    /// The figure falls short of the figure asked.
    Short,
    /// A person has to be asked first.
    AskFirst,
    /// The document does not allow it.
    NotAllowed,
    /// The document's table does not reach it.
    OutsideTable,
}

/// One figure held against one rule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Finding {
    /// What it is about.
    pub topic: Topic,
    /// Where, in words.
    pub place: String,
    /// Where, as a subject.
    pub subject: Subject,
    /// What is asked.
    pub required: Option<Quantity>,
    /// What was measured or planned.
    pub actual: Option<Quantity>,
    /// Where that figure is from.
    pub actual_origin: Option<Origin>,
    /// What is in hand; below zero where it is missing.
    pub margin: Option<Quantity>,
    /// How the two stand.
    pub verdict: Verdict,
    /// Where the rule is from.
    pub source: Source,
    /// Who must confirm.
    pub confirm: String,
    /// One sentence with the figures.
    pub sentence: String,
}

/// What a table says of a bay.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum RowOutcome {
    /// A figure.
    Figure,
    /// Not allowed.
    NotAllowed,
    /// The table does not reach it.
    Outside,
}

/// The next row or column of a table.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct NextRow {
    /// Post distance or spacing of that row.
    pub at_mm: f64,
    /// In hand before it (or over it, for the row below).
    pub distance_mm: f64,
    /// What it says.
    pub outcome: RowOutcome,
    /// Its figure, newtons.
    pub newtons: Option<f64>,
    /// Its figure less this bay's, newtons.
    pub difference_n: Option<f64>,
}

/// The next row or column of a table of largest deflections.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct NextDeflection {
    /// Post distance or spacing of that row.
    pub at_mm: f64,
    /// In hand before it.
    pub distance_mm: f64,
    /// What it says.
    pub outcome: RowOutcome,
    /// Its largest deflection.
    pub most_mm: Option<f64>,
}

/// What the wire tables ask of one bay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BayRow {
    /// The bay; the first of them where the table counts several as one.
    pub subject: Subject,
    /// The bays as built that the table counts as this one: several where a spreader between them
    /// does not count as a post.
    pub bays: Vec<Subject>,
    /// Its name, by the posts that end it.
    pub name: String,
    /// Clear distance along the wire, as the table counts it.
    pub clear_mm: f64,
    /// Whether the clear distance was measured or follows from positions.
    pub clear_origin: Origin,
    /// Widest spacing square to the wires, as the table counts it.
    pub spacing_mm: f64,
    /// Whether that spacing was measured at a post or is planned.
    pub spacing_origin: Origin,
    /// What the tension table says.
    pub outcome: RowOutcome,
    /// Least tension.
    pub least_tension_n: Option<f64>,
    /// Post distance of the column that was read.
    pub row_clear_mm: Option<f64>,
    /// Spacing of the row that was read.
    pub row_spacing_mm: Option<f64>,
    /// Diameter of the row that was read.
    pub row_diameter_mm: Option<f64>,
    /// The next longer post distance and what is in hand before it.
    pub longer: Option<NextRow>,
    /// The next shorter post distance and what is over it.
    pub shorter: Option<NextRow>,
    /// The next wider spacing and what is in hand before it.
    pub wider: Option<NextRow>,
    /// Largest deflection under the document's mass: the other way to show the same.
    pub most_deflection_mm: Option<f64>,
    /// That mass.
    pub deflection_mass_kg: Option<f64>,
    /// Post distance of the column of the deflection table that was read: it has other columns.
    pub deflection_clear_mm: Option<f64>,
    /// Spacing of that row.
    pub deflection_spacing_mm: Option<f64>,
    /// The next longer post distance of the deflection table and what is in hand before it.
    pub deflection_longer: Option<NextDeflection>,
    /// The next wider spacing of the deflection table and what is in hand before it.
    pub deflection_wider: Option<NextDeflection>,
    /// What differs between copies of the document, where the cell is doubtful.
    pub doubt: Option<String>,
    /// Where the tension's figures are from; where there is none, the deflection's.
    pub source: Option<Source>,
    /// Where the deflection's figures are from.
    pub deflection_source: Option<Source>,
}

/// The highest least tension of the bays that have a figure.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Required {
    /// Newtons.
    pub newtons: f64,
    /// The bay that sets it.
    pub bay: String,
    /// Document, row and clause in words.
    pub origin: String,
}

/// A bay for which the table has no figure: no tension answers for it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OpenBay {
    /// Its name.
    pub name: String,
    /// Not allowed, or outside the table.
    pub outcome: RowOutcome,
    /// One sentence.
    pub sentence: String,
}

/// Which rule set was held against the run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleSetNote {
    /// Short name.
    pub name: String,
    /// Title.
    pub title: String,
    /// Document.
    pub document: String,
    /// Edition.
    pub edition: String,
    /// Whose text, and its licence.
    pub attribution: String,
    /// To be shown with the findings.
    pub caution: String,
    /// Who must confirm.
    pub confirm: String,
    /// Hash of the job's copy.
    pub sha256: Hash,
    /// That people changed or wrote the set, with who and why; none where it came with the program.
    pub changed: Option<String>,
    /// That the edition did not count on the permit's day; none where it did or nobody knows.
    pub out_of_date: Option<String>,
}

/// What the rule set says in words and asks of no figure of the run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleWords {
    /// One sentence.
    pub text: String,
    /// Where it is from.
    pub source: Source,
}

/// Everything to look at before ordering for a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BeforeOrdering {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// The rule set; none where none is chosen.
    pub rule_set: Option<RuleSetNote>,
    /// Findings in the order of the rule set.
    pub findings: Vec<Finding>,
    /// What the rule set says besides.
    pub rule_words: Vec<RuleWords>,
    /// What the wire tables ask, bay by bay.
    pub bays: Vec<BayRow>,
    /// Required, set and upper tension.
    pub tension: TensionPlan,
    /// What the wires ask of the end posts.
    pub posts: Vec<PostAsked>,
    /// What does not fit.
    pub problems: Vec<Problem>,
    /// What was assumed or left out, in sentences.
    pub notes: Vec<String>,
}
