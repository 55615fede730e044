//! Openings under a push as they are shown.

use mechanics::Newtons;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::ItemId;
use crate::model::values::{OpeningKind, ProbeResult};
use crate::subject::Subject;
use crate::work::figures::Origin;

pub(super) const CAUTION: &str = "Computed without friction: a guide for spacing and span. A \
    rule's own test is read from its table, and what is built is proven with the probe.";

/// What an opening lies between.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum GapBetween {
    /// The floor, or the nosings, and the bottom wire.
    FloorAndWire,
    /// Two wires.
    Wires,
    /// The top wire and the rail.
    WireAndRail,
}

/// One opening of a bay under the push.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct UnderPush {
    /// Lower wire; 0 from the floor to wire 1.
    pub lower: u32,
    /// What it lies between.
    pub between: GapBetween,
    /// Clear before the push, square to the wires: the wider of the bay's two posts.
    pub at_rest_mm: f64,
    /// Measured as drilled or built, or as planned.
    pub origin: Origin,
    /// Tension that counts: of two wires the lower one.
    pub tension_n: Option<f64>,
    /// Read or planned.
    pub tension_origin: Option<Origin>,
    /// Whether the sphere goes through without touching.
    pub passes_freely: bool,
    /// Force at which the sphere passes, wires sliding through the posts: the careful figure.
    pub force_n: Option<f64>,
    /// The same with the wires gripped at the bay's posts.
    pub gripped_n: Option<f64>,
    /// The same with end posts that do not give, where nothing tells how they give; none elsewhere.
    pub rigid_n: Option<f64>,
    /// Clear under the push; the sphere's diameter where it passes.
    pub under_push_mm: Option<f64>,
    /// Where the push brings the sphere through: the least tension that would hold it, wires sliding;
    /// none where no tension does, as a note says.
    pub needs_n: Option<f64>,
    /// Whether that is over the upper tension.
    pub needs_too_much: bool,
    /// Whether the push brings the sphere through.
    pub passes: Option<bool>,
    /// How far the sphere's centre then stands before the plane of the wires.
    pub depth_mm: Option<f64>,
}

/// One bay under the push.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BayPushed {
    /// The bay.
    pub subject: Subject,
    /// Its name.
    pub name: String,
    /// Clear distance along the wire.
    pub clear_mm: Option<f64>,
    /// Whether that was measured or follows from positions.
    pub clear_origin: Origin,
    /// Its openings from the bottom.
    pub openings: Vec<UnderPush>,
    /// Lower wire of the opening that holds the sphere least.
    pub weakest: Option<u32>,
}

/// An opening as built, told by a person; most of them give nothing.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct FixedOpening {
    /// The post or run.
    pub subject: Subject,
    /// Kind of opening.
    pub kind: OpeningKind,
    /// Where, in words.
    pub at: String,
    /// Clear size; where people differ, the widest.
    pub clear_mm: f64,
    /// Whether a wire bounds it, so that it gives under a push and stands among the bays' openings
    /// too.
    pub beside_a_wire: bool,
    /// Clear size less the sphere; none where no sphere is told.
    pub over_sphere_mm: Option<f64>,
    /// Probe that was offered.
    pub probe_mm: Option<f64>,
    /// Push on it where it was measured; by hand where not.
    pub push_n: Option<f64>,
    /// What the probe did.
    pub result: Option<ProbeResult>,
    /// Whether people differ on it.
    pub disputed: bool,
    /// Who told it last.
    pub by: String,
}

/// Openings of a run under a push.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Pushed {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// Diameter of its wire.
    pub wire_mm: Option<f64>,
    /// Diameter of the sphere; none where nothing tells it.
    pub sphere_mm: Option<f64>,
    /// Where that is from.
    pub sphere_origin: String,
    /// The push.
    pub push_n: f64,
    /// Where that is from.
    pub push_origin: String,
    /// Bay by bay.
    pub bays: Vec<BayPushed>,
    /// Openings as built, each kind.
    pub fixed: Vec<FixedOpening>,
    /// The bay and opening of the run that hold the sphere least, in one sentence.
    pub least: Option<String>,
    /// What the figures are for and what decides.
    pub caution: String,
    /// What was assumed, left out or refused.
    pub notes: Vec<String>,
}

/// Opening, why nothing is told of it, and the bays in which.
type Open = (String, String, Vec<String>);

/// What is to be said beside the figures, each thing once for all bays and openings it holds of.
#[derive(Default)]
pub(super) struct Said {
    /// Names of bays whose clear distance is not known.
    pub(super) not_clear: Vec<String>,
    /// What is not computed.
    unanswered: Vec<Open>,
    /// The same of a tension that would hold the sphere.
    not_held: Vec<Open>,
    head_on: Vec<String>,
}

impl Said {
    pub(super) fn not_computed(&mut self, opening: String, bay: &str, why: String) {
        note(&mut self.unanswered, opening, bay, why);
    }

    pub(super) fn not_held(&mut self, opening: String, bay: &str, why: String) {
        note(&mut self.not_held, opening, bay, why);
    }

    pub(super) fn head_on(&mut self, opening: String) {
        if !self.head_on.contains(&opening) {
            self.head_on.push(opening);
        }
    }

    /// In sentences; `bays` of the run.
    pub(super) fn notes(self, bays: usize) -> Vec<String> {
        let mut notes = Vec::new();
        if !self.not_clear.is_empty() {
            notes.push(match self.not_clear.as_slice() {
                [one] => format!("Bay {one} has no clear distance yet."),
                several => format!("Bays {} have no clear distance yet.", several.join(", ")),
            });
        }
        notes.extend(together("Not computed", self.unanswered, bays));
        notes.extend(together("No tension is told", self.not_held, bays));
        if !self.head_on.is_empty() {
            notes.push(format!(
                "Met head on: {}. There the wire lies no further from floor or rail than half the \
                 sphere, so a push does not lay it aside, and the sphere slides over it into the next \
                 opening. The force told is the least at which it could come through here.",
                self.head_on.join("; ")
            ));
        }
        notes
    }
}

fn note(open: &mut Vec<Open>, opening: String, bay: &str, why: String) {
    let known = open
        .iter_mut()
        .find(|(of, reason, _)| *of == opening && *reason == why);
    match known {
        Some((_, _, bays)) => bays.push(bay.to_owned()),
        None => open.push((opening, why, vec![bay.to_owned()])),
    }
}

/// Openings that share bays and reason are told together; `bays` of the run.
fn together(what: &str, open: Vec<Open>, bays: usize) -> Vec<String> {
    let mut together: Vec<(Vec<String>, String, Vec<String>)> = Vec::new();
    for (opening, why, in_bays) in open {
        let alike = together
            .iter_mut()
            .find(|(_, reason, among)| *reason == why && *among == in_bays);
        match alike {
            Some((openings, _, _)) => openings.push(opening),
            None => together.push((vec![opening], why, in_bays)),
        }
    }
    let told = together.into_iter().map(|(openings, why, in_bays)| {
        let place = match in_bays.len() == bays {
            true => "in every bay".to_owned(),
            false => format!("in {}", in_bays.join(", ")),
        };
        format!("{what} {place}, {}: {why}.", openings.join("; "))
    });
    told.collect()
}

fn rank(opening: &UnderPush) -> Option<f64> {
    if opening.passes_freely {
        return Some(0.0);
    }
    opening.force_n
}

/// Lower wire of the opening that holds least.
pub(super) fn weakest(openings: &[UnderPush]) -> Option<u32> {
    openings
        .iter()
        .filter_map(|o| Some((o.lower, rank(o)?)))
        .min_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(lower, _)| lower)
}

pub(super) fn between(opening: &UnderPush) -> String {
    match opening.between {
        GapBetween::FloorAndWire => "floor to wire 1".to_owned(),
        GapBetween::Wires => format!("wires {} and {}", opening.lower, opening.lower + 1),
        GapBetween::WireAndRail => format!("wire {} to the rail", opening.lower),
    }
}

/// Marks the openings that only a tension over the upper one would hold.
pub(super) fn hold_against(bays: &mut [BayPushed], upper: Option<Newtons>) {
    for opening in bays.iter_mut().flat_map(|bay| &mut bay.openings) {
        let over = |(needs, upper): (f64, Newtons)| needs > upper.value();
        opening.needs_too_much = opening.needs_n.zip(upper).is_some_and(over);
    }
}

/// Where the run holds the sphere least.
pub(super) fn least(bays: &[BayPushed]) -> Option<String> {
    let (bay, opening, _) = bays
        .iter()
        .filter_map(|bay| {
            let opening = bay.openings.iter().find(|o| Some(o.lower) == bay.weakest)?;
            Some((bay, opening, rank(opening)?))
        })
        .min_by(|a, b| a.2.total_cmp(&b.2))?;
    let place = format!("{}, {}", bay.name, between(opening));
    Some(match opening.force_n {
        Some(force) if !opening.passes_freely => {
            format!("Held least at {place}: the sphere passes at {force:.0} N.")
        }
        _ => format!("At {place} the sphere passes without a push."),
    })
}
