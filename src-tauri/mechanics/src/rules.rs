//! A rule set as data: the document's figures, wire tables and how to look them up.
//!
//! Owns the types of the rule-set files and the lookup with its rounding.
//! Invariant: every figure carries its clause and how it came to us; a lookup rounds to the
//! demanding side only and never interpolates or derives one table from another.
//! Does not read files and does not decide whether a barrier may be built.

mod answers;
mod cells;
mod changed;
mod check;
mod falls;
mod figures;
mod grid;
mod lookup;
mod tables;
mod when;

use serde::{Deserialize, Serialize};

use crate::units::Millimetres;

pub use answers::{
    ContinuousVerticalRow, DeflectionRow, Neighbour, Outcome, Outside, ReadAs, TensionRow,
};
pub use cells::odd_cells;
pub use changed::{Changed, ChangedFigure};
pub use check::faults;
pub use falls::questions;
pub use figures::{FigureUnit, NamedFigure, named_figures, odd_figures};
pub use lookup::{look_up_continuous_vertical, look_up_deflection, look_up_tension};
pub use tables::{
    Cell, ContinuousVerticalLine, ContinuousVerticalTable, DeflectionLine, DeflectionTable,
    DoubtfulCell, ReadDiameterAs, TensionLine, TensionTable, WireTables,
};
pub use when::{Choice, Day, Fit, InForce, choices};

/// How a figure came to us.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Status {
    /// Read in the document's own text.
    Read,
    /// Read where another document quotes it.
    SecondHand,
    /// Recalled; never a check value.
    Memory,
    /// Common practice of the trade, without a document.
    CommonPractice,
    /// Changed or entered by the crew that uses the set; not the document's own figure.
    Own,
}

/// Where in the document a figure stands, and how it came to us.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Cite {
    /// Clause, table or diagram.
    pub clause: String,
    /// How the figure came to us.
    pub status: Status,
}

/// Document, edition, clause and status together, ready to be printed beside a figure.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct SourceNote {
    /// Name of the document.
    pub document: String,
    /// Edition of the document.
    pub edition: String,
    /// Clause, table or diagram.
    pub clause: String,
    /// How the figure came to us.
    pub status: Status,
}

/// Whether a limit bites at its figure or only beyond it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Threshold {
    /// At the figure or more (≥).
    AtLeast,
    /// Only beyond the figure (>).
    MoreThan,
}

/// The fall from which something is asked.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct FallRule {
    /// The fall.
    pub fall_mm: Millimetres,
    /// Whether the figure itself counts.
    pub threshold: Threshold,
    /// Distance from the edge within which the lower level is looked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub within_mm: Option<Millimetres>,
    /// Source.
    pub cite: Cite,
}

/// What people stand on beside the barrier.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Surface {
    /// Floor, deck, balcony, landing.
    Level,
    /// Stair, height above the nosings.
    Stair,
    /// Ramp.
    Ramp,
    /// Inside edge of a landing not longer than the rule's limit.
    ShortLanding,
}

/// Least barrier height above a kind of surface.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct HeightRule {
    /// The surface.
    pub surface: Surface,
    /// Least height above it.
    pub least_mm: Millimetres,
    /// What else the rule says of it, in our words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Source.
    pub cite: Cite,
}

/// Where an opening lies.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum OpeningPlace {
    /// Anywhere that no other place names.
    General,
    /// In the barrier of a stair.
    Stair,
    /// Triangle of tread, riser and bottom rail.
    StairTriangle,
}

/// The sphere that must not pass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OpeningRule {
    /// Where.
    pub place: OpeningPlace,
    /// Diameter of the sphere.
    pub sphere_mm: Millimetres,
    /// What else the rule says of it, in our words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub note: Option<String>,
    /// Source.
    pub cite: Cite,
}

/// The widest gap between a face-fixed barrier and the edge of the floor.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct FaceGapRule {
    /// Widest gap.
    pub most_mm: Millimetres,
    /// Source.
    pub cite: Cite,
}

/// The zone above the floor in which nothing may help climbing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ClimbingRule {
    /// Fall from which the rule bites.
    pub fall: FallRule,
    /// Lower end of the zone above the floor.
    pub from_mm: Millimetres,
    /// Upper end of the zone above the floor.
    pub to_mm: Millimetres,
    /// Source.
    pub cite: Cite,
}

/// A design load that the document states; the program prints it and computes nothing from it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct LoadRule {
    /// What it acts on.
    pub what: String,
    /// Force where the document gives one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub newtons: Option<f64>,
    /// Area it acts over, square metres.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub over_square_metres: Option<f64>,
    /// Source.
    pub cite: Cite,
}

/// What a warning is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum WarningAbout {
    /// Horizontal members that may be climbed.
    HorizontalMembers,
    /// The boundary of a pool.
    Pool,
}

/// What the document warns of without a figure: asked early, never held against a number.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct RuleWarning {
    /// What it is about.
    pub about: WarningAbout,
    /// One sentence, in our words.
    pub text: String,
    /// Source.
    pub cite: Cite,
}

/// What of a run a note asks for, where it is about one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum NoteAbout {
    /// The handrail of a stair.
    Handrail,
    /// Where a run that turns is tensioned, and where it is read.
    Corner,
    /// How far a wire's end may stand out of its swage: half the strand's diameter.
    WireEnd,
}

/// Something else the document or the trade says, in our own words.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct RuleNote {
    /// What of a run it asks for; none where it is to be known and asks nothing of one run.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub about: Option<NoteAbout>,
    /// One sentence.
    pub text: String,
    /// Source.
    pub cite: Cite,
}

/// One document's barrier rules, as data.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct RuleSet {
    /// Version of this file form.
    pub format: u32,
    /// Short name, lower case.
    pub id: String,
    /// Title for people.
    pub title: String,
    /// Where it is in force.
    pub jurisdiction: String,
    /// Country, two capital letters of ISO 3166-1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub country: Option<String>,
    /// From when this edition counts, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub in_force: Option<InForce>,
    /// The document.
    pub document: String,
    /// Its edition and print.
    pub edition: String,
    /// Attribution that the licence of the text asks for.
    pub attribution: String,
    /// Words to be shown wherever the set is used.
    pub caution: String,
    /// Who must confirm.
    pub confirm: String,
    /// From which fall a barrier is asked for.
    pub barrier_needed: FallRule,
    /// Least heights by surface.
    pub least_heights: Vec<HeightRule>,
    /// Openings by place.
    pub openings: Vec<OpeningRule>,
    /// Gap of a face-fixed barrier.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub face_gap: Option<FaceGapRule>,
    /// Climbing zone.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub climbing: Option<ClimbingRule>,
    /// Loads stated by the document.
    #[serde(default)]
    pub loads: Vec<LoadRule>,
    /// Wire tables, where the document has any.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wires: Option<WireTables>,
    /// What the document warns of without a figure.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub warnings: Vec<RuleWarning>,
    /// What else is to be known.
    #[serde(default)]
    pub notes: Vec<RuleNote>,
    /// Who changed the set or wrote it, and why; none in a set that comes with the program.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub changed: Option<Changed>,
}

/// Name of the document as it is printed beside a figure: a changed set is never told as its document.
#[must_use]
pub fn document_of(set: &RuleSet) -> String {
    match &set.changed {
        None => set.document.clone(),
        Some(_) => format!("{} (set changed by its users)", set.document),
    }
}

/// Document, edition, clause and status of one figure of a set.
///
/// A changed set says so beside every figure that rests on it.
#[must_use]
pub fn source_note(set: &RuleSet, cite: &Cite) -> SourceNote {
    SourceNote {
        document: document_of(set),
        edition: set.edition.clone(),
        clause: cite.clause.clone(),
        status: cite.status,
    }
}

/// Whether a fall reaches a rule's figure, counting the figure itself where the rule does.
#[must_use]
pub fn fall_reaches(rule: &FallRule, fall: Millimetres) -> bool {
    let (fall, limit) = (fall.whole_nanometres(), rule.fall_mm.whole_nanometres());
    match rule.threshold {
        Threshold::AtLeast => fall >= limit,
        Threshold::MoreThan => fall > limit,
    }
}

/// What the set says on this in words, where it does.
#[must_use]
pub fn note(set: &RuleSet, about: NoteAbout) -> Option<&RuleNote> {
    set.notes.iter().find(|note| note.about == Some(about))
}

/// The least height over a surface, where the set states one.
#[must_use]
pub fn least_height(set: &RuleSet, surface: Surface) -> Option<&HeightRule> {
    set.least_heights
        .iter()
        .find(|rule| rule.surface == surface)
}

/// The sphere for a place; a place without a rule of its own takes the general one.
#[must_use]
pub fn opening(set: &RuleSet, place: OpeningPlace) -> Option<&OpeningRule> {
    let of = |wanted| set.openings.iter().find(|rule| rule.place == wanted);
    of(place).or_else(|| of(OpeningPlace::General))
}

/// The sphere between the wires of a barrier, by what people stand on beside it; the smaller of all
/// that it may be where that is not told.
///
/// What is asked everywhere: the shape of a run chooses no sphere, since a ramp is raked too.
#[must_use]
pub fn sphere_beside(set: &RuleSet, surface: Option<Surface>) -> Option<&OpeningRule> {
    match surface {
        Some(Surface::Stair) => opening(set, OpeningPlace::Stair),
        Some(Surface::Level | Surface::Ramp | Surface::ShortLanding) => {
            opening(set, OpeningPlace::General)
        }
        None => [OpeningPlace::General, OpeningPlace::Stair]
            .into_iter()
            .filter_map(|place| opening(set, place))
            .min_by(|a, b| a.sphere_mm.value().total_cmp(&b.sphere_mm.value())),
    }
}
