//! A run drawn from the record, as a list of shapes.
//!
//! Owns what is drawn and where, in millimetres with y downwards, seen from the side that people stand on. Invariant:
//! the same run and states give the same shapes; state is told by letter as well as by role and
//! state word. It computes nothing of engineering and chooses no colours.

mod caption;
mod lines;
mod low;
mod measures;
mod notes;
mod section;
mod states;
mod svg;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use records::job::Run;

pub use caption::signs;
pub(crate) use measures::number;
pub use section::section;
pub use states::{State, States, WireState, states};
pub use svg::{Paper, svg};

/// A run drawn.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Drawing {
    /// Width of the drawing, millimetres of the run.
    pub width: f64,
    /// Height of the drawing, millimetres of the run.
    pub height: f64,
    /// Shapes, from back to front.
    pub shapes: Vec<Shape>,
}

/// One shape. Places are millimetres from the drawing's upper left corner.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[ts(rename = "DrawingShape")]
#[schemars(rename = "DrawingShape")]
#[serde(tag = "kind", rename_all = "camelCase")]
pub enum Shape {
    /// A straight line.
    Line {
        /// Where it starts.
        x1: f64,
        /// Where it starts, down.
        y1: f64,
        /// Where it ends.
        x2: f64,
        /// Where it ends, down.
        y2: f64,
        /// Thickness of the thing drawn, where it has one.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        width: Option<f64>,
        /// What it is.
        #[serde(flatten)]
        is: Is,
    },
    /// An upright rectangle.
    Box {
        /// Left edge.
        x: f64,
        /// Upper edge.
        y: f64,
        /// Width.
        w: f64,
        /// Height.
        h: f64,
        /// What it is.
        #[serde(flatten)]
        is: Is,
    },
    /// A text.
    Text {
        /// Where it is anchored.
        x: f64,
        /// Base line.
        y: f64,
        /// The text, as people wrote it: to be escaped by who writes it into markup.
        text: String,
        /// Which part of the text stands at `x`.
        anchor: Anchor,
        /// Size against the drawing's ordinary text.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        size: Option<f64>,
        /// What it is.
        #[serde(flatten)]
        is: Is,
    },
    /// A letter or sign, centred.
    Mark {
        /// Middle.
        x: f64,
        /// Middle, down.
        y: f64,
        /// The letter or sign.
        mark: String,
        /// What it is.
        #[serde(flatten)]
        is: Is,
    },
}

/// What a shape stands for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Is {
    /// What part of the drawing it is.
    pub role: Role,
    /// The thing in the record, as its subject's text; none for what can't be touched.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub subject: Option<String>,
    /// How far the thing has come.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub state: Option<State>,
}

/// What part of a drawing a shape is.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, TS, JsonSchema,
)]
#[ts(rename = "DrawingRole")]
#[schemars(rename = "DrawingRole")]
#[serde(rename_all = "camelCase")]
pub enum Role {
    /// The clear space of a bay.
    Bay,
    /// Floor from post to post.
    Floor,
    /// Steps of a stair.
    Stair,
    /// Line through the nosings.
    Nosing,
    /// Floor level as text.
    FloorLevel,
    /// Level of a low spot between two posts, as text.
    LowSpot,
    /// Top rail.
    Rail,
    /// A wall at the run's end.
    Wall,
    /// A wire.
    Wire,
    /// Number of a wire.
    WireNumber,
    /// A post.
    Post,
    /// Name of a post.
    PostName,
    /// Kind and hand of an end.
    End,
    /// Line along which a clear distance is told.
    Dimension,
    /// Clear distance of a bay.
    BayLength,
    /// An opening as built that is out of the ordinary.
    Opening,
    /// Height above the floor.
    Height,
    /// The sphere that is pushed at an opening.
    Sphere,
    /// That the rule set was changed by its users.
    RuleSet,
}

/// Which part of a text stands at its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum Anchor {
    /// Its start.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// Draws a run: floor, rail, wires with number and letter, posts with names, bays with lengths.
///
/// A raked run falls to the right unless the floor levels at its two ends say otherwise.
#[must_use]
pub fn drawing(run: &Run, states: &States) -> Drawing {
    lines::draw(run, states)
}
