//! What a rule set asks of a layout, finding by finding.
//!
//! Owns plain inputs and findings; each finding states required, actual, margin, source and who
//! must confirm. Invariant: a finding never says that a barrier complies or is safe: it holds a
//! figure against a figure, and where the rule set is silent it says so.
//! Does not know the record, tensions read, or posts under load.

mod figures;
mod openings;
mod wires;

pub use openings::widest_between;

use serde::{Deserialize, Serialize};

use crate::error::{MechanicsError, not_negative, positive, within};
use crate::rules::{
    Cite, ContinuousVerticalRow, DeflectionRow, RuleSet, SourceNote, Status, Surface, TensionRow,
    source_note,
};
use crate::slope;
use crate::strand::Construction;
use crate::units::{Degrees, Millimetres, Newtons};

/// Which way a length or a spacing was taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Taken {
    /// Along the wire (lengths) or square to the wires (spacings): as the tables count.
    AsTheWire,
    /// Level (lengths) or plumb (spacings): turned by the slope before the table is read.
    LevelOrPlumb,
}

/// How the wires run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum WireDirection {
    /// Level or raked, from post to post.
    Horizontal,
    /// Upright on two supports, from rail to rail.
    VerticalOnTwoSupports,
    /// Upright and running on through several rails.
    ContinuousVertical,
}

/// Clear distance of two neighbouring supports.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Bay {
    /// Name ("A2–A3").
    pub label: String,
    /// Clear distance, face to face.
    pub clear: Millimetres,
    /// Which way it was taken.
    pub taken: Taken,
    /// Widest wire spacing in this bay, centre to centre, where it differs from the layout's.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub widest_spacing: Option<Millimetres>,
}

/// What bounds an opening.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum OpeningKind {
    /// Floor or nosing line to the bottom wire.
    FloorToWire,
    /// Between two wires.
    BetweenWires,
    /// Top wire to rail.
    WireToRail,
    /// End post to wall.
    PostToWall,
    /// Face-fixed post to the edge of the deck.
    FaceToEdge,
    /// Triangle of tread, riser and bottom rail or wire.
    StairTriangle,
    /// At a gate's leaf.
    Gate,
    /// Anything else.
    Other,
}

/// One opening, as built or as planned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Opening {
    /// Name ("floor at A3").
    pub label: String,
    /// What bounds it.
    pub kind: OpeningKind,
    /// Clear size.
    pub clear: Millimetres,
    /// Whether a probe that was offered there passed.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub probe_passed: bool,
}

/// An opening that there is or may be, and that nobody measured yet.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Unmeasured {
    /// Name ("end post to wall at A1").
    pub label: String,
    /// What bounds it.
    pub kind: OpeningKind,
    /// Its clear size by the geometry of the layout, where that tells it.
    pub by_geometry: Option<Millimetres>,
    /// What the geometry assumes, and what the opening hangs on, in a sentence; empty where nothing.
    pub remark: String,
}

/// A layout, as far as the rules look at it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Layout {
    /// Name of the run.
    pub label: String,
    /// What people stand on.
    pub surface: Surface,
    /// Whether somebody told that; where nobody did, the smaller sphere counts.
    #[serde(default)]
    pub surface_told: bool,
    /// Fall from that surface to what is below.
    pub fall: Millimetres,
    /// Height of the barrier's top above the surface or the nosings, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub barrier_height: Option<Millimetres>,
    /// How the wires run.
    pub direction: WireDirection,
    /// Slope of the wires.
    pub slope: Degrees,
    /// Diameter of the strand.
    pub diameter: Millimetres,
    /// Lay of the strand.
    pub construction: Construction,
    /// Widest wire spacing of the run, centre to centre.
    pub widest_spacing: Millimetres,
    /// Which way spacings were taken.
    pub spacing_taken: Taken,
    /// Bays between supports.
    pub bays: Vec<Bay>,
    /// Openings.
    pub openings: Vec<Opening>,
    /// Openings that the rules ask about and nobody measured yet.
    #[serde(default)]
    pub unmeasured: Vec<Unmeasured>,
    /// Heights of the horizontal wires above the surface.
    pub wire_heights: Vec<Millimetres>,
    /// Whether it stands at a pool's boundary; nothing where not asked yet.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub pool: Option<bool>,
}

/// What a finding is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Topic {
    /// Whether a barrier is asked for.
    BarrierNeeded,
    /// Height of the barrier.
    Height,
    /// An opening.
    Opening,
    /// Gap of a face-fixed barrier.
    FaceGap,
    /// Climbing zone.
    Climbing,
    /// Tension or deflection of the wires in a bay.
    WireTable,
    /// Pool boundary.
    Pool,
    /// Loads stated by the document.
    Loads,
}

/// How a figure stands against what is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Verdict {
    /// The clause asks for nothing here.
    NotAsked,
    /// The clause asks for something that is shown later, by reading or probe.
    Asked,
    /// The figure given meets the figure asked.
    MeetsFigure,
    /// The figure given falls short of the figure asked.
    Short,
    /// A person has to be asked before anything is ordered.
    AskFirst,
    /// The document marks it as not allowed.
    NotAllowed,
    /// The document's table does not reach it.
    OutsideTable,
}

/// A quantity in a finding.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "unit", content = "value")]
pub enum Quantity {
    /// Millimetres.
    Millimetres(Millimetres),
    /// Newtons.
    Newtons(Newtons),
}

/// One figure held against one rule.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Finding {
    /// What it is about.
    pub topic: Topic,
    /// Where ("A2–A3"), or the run.
    pub place: String,
    /// What the rule asks.
    pub required: Option<Quantity>,
    /// What was measured or planned.
    pub actual: Option<Quantity>,
    /// What is in hand; below zero where it is missing.
    pub margin: Option<Quantity>,
    /// How the two stand.
    pub verdict: Verdict,
    /// Document, edition, clause, status.
    pub source: SourceNote,
    /// Who must confirm.
    pub confirm: String,
    /// One sentence with the figures.
    pub sentence: String,
}

/// What the wire tables say of one bay.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct BayDemand {
    /// Name of the bay.
    pub label: String,
    /// Clear distance as the table counts it, along the wire.
    pub clear: Millimetres,
    /// Widest spacing as the table counts it, square to the wires.
    pub spacing: Millimetres,
    /// Least tension.
    pub tension: TensionRow,
    /// Largest deflection, the other way to show the same.
    pub deflection: DeflectionRow,
    /// Least tension of a continuous vertical wire, for those.
    pub continuous_vertical: Option<ContinuousVerticalRow>,
}

/// Everything a rule set asks of a layout.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Assessment {
    /// Findings in the order of the rule set.
    pub findings: Vec<Finding>,
    /// Wire tables, bay by bay.
    pub bays: Vec<BayDemand>,
    /// Largest least tension over the bays that have a figure: a floor, and no more than that where
    /// [`without_figure`](Self::without_figure) names bays.
    pub required_tension: Option<Newtons>,
    /// The bay that sets it.
    pub governing_bay: Option<String>,
    /// Bays for which the document has a table and the table no figure: not allowed, or outside it.
    /// No tension answers for them.
    pub without_figure: Vec<String>,
    /// The rule set's caution, to be shown with the findings.
    pub caution: String,
}

/// Holds a layout against a rule set.
///
/// # Errors
/// When a length is not above zero or a slope too steep.
pub fn assess(set: &RuleSet, layout: &Layout) -> Result<Assessment, MechanicsError> {
    check(layout)?;
    let mut findings = figures::findings(set, layout);
    findings.extend(openings::findings(set, layout)?);
    let bays = layout
        .bays
        .iter()
        .map(|bay| wires::bay_demand(set, layout, bay))
        .collect::<Result<Vec<_>, _>>()?;
    findings.extend(bays.iter().map(|bay| wires::finding(set, layout, bay)));
    findings.extend(figures::loads(set, layout));
    let tensions: Vec<Option<Newtons>> = bays.iter().map(wires::least_tension).collect();
    let required_tension = tensions.iter().copied().flatten().reduce(Newtons::max);
    let without_figure = bays
        .iter()
        .filter(|bay| wires::is_open(bay))
        .map(|bay| bay.label.clone())
        .collect();
    let governing_bay = required_tension.and_then(|required| {
        bays.iter()
            .zip(&tensions)
            .find(|(_, tension)| **tension == Some(required))
            .map(|(bay, _)| bay.label.clone())
    });
    Ok(Assessment {
        findings,
        bays,
        required_tension,
        governing_bay,
        without_figure,
        caution: set.caution.clone(),
    })
}

/// A bay's clear distance as the table counts it.
///
/// # Errors
/// When the slope is too steep.
pub fn clear_along(bay: &Bay, slope: Degrees) -> Result<Millimetres, MechanicsError> {
    match bay.taken {
        Taken::AsTheWire => Ok(bay.clear),
        Taken::LevelOrPlumb => slope::along(bay.clear, slope),
    }
}

/// A spacing as the table counts it.
///
/// # Errors
/// When the slope is too steep.
pub fn spacing_square(
    spacing: Millimetres,
    taken: Taken,
    slope: Degrees,
) -> Result<Millimetres, MechanicsError> {
    match taken {
        Taken::AsTheWire => Ok(spacing),
        Taken::LevelOrPlumb => slope::square(spacing, slope),
    }
}

fn check(layout: &Layout) -> Result<(), MechanicsError> {
    not_negative("the fall", layout.fall)?;
    positive("the strand's diameter", layout.diameter)?;
    positive("the wire spacing", layout.widest_spacing)?;
    within(
        "the slope",
        layout.slope,
        -slope::STEEPEST.value(),
        slope::STEEPEST.value(),
    )?;
    if let Some(height) = layout.barrier_height {
        positive("the barrier's height", height)?;
    }
    for bay in &layout.bays {
        positive("a bay", bay.clear)?;
        if let Some(spacing) = bay.widest_spacing {
            positive("the wire spacing", spacing)?;
        }
    }
    for opening in &layout.openings {
        not_negative("an opening", opening.clear)?;
    }
    for height in &layout.wire_heights {
        not_negative("a wire's height", *height)?;
    }
    Ok(())
}

fn common_practice(set: &RuleSet) -> SourceNote {
    source_note(
        set,
        &Cite {
            clause: "not in this document: common practice".to_owned(),
            status: Status::CommonPractice,
        },
    )
}

const fn mm(length: Millimetres) -> Option<Quantity> {
    Some(Quantity::Millimetres(length))
}
