//! The values that claims give, as they stand in entries: integers with their unit in the name.
//!
//! A value is what two people can disagree about; how it came about stands beside it in the
//! claim's context (`context.rs`). Optional fields may be added freely; a changed meaning is a new
//! kind.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::{Hash, ItemId, PersonId};

/// A length in nanometres.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub struct Length {
    /// Nanometres.
    pub nm: i64,
}

impl Length {
    /// Whole millimetres.
    #[must_use]
    pub const fn mm(mm: i64) -> Self {
        Length { nm: mm * 1_000_000 }
    }
    /// In millimetres, exact up to 9 000 km.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // lengths stay far below 2^53 nm
    pub fn as_mm(self) -> f64 {
        self.nm as f64 / 1e6
    }
    /// The nearest nanometre.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)] // saturating by definition of `as`
    pub fn from_mm(mm: f64) -> Self {
        Length {
            nm: (mm * 1e6).round() as i64,
        }
    }
}

/// A force in millinewtons.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub struct Force {
    /// Millinewtons.
    pub mn: i64,
}

impl Force {
    /// Whole newtons.
    #[must_use]
    pub const fn newtons(n: i64) -> Self {
        Force { mn: n * 1000 }
    }
    /// In newtons.
    #[must_use]
    #[allow(clippy::cast_precision_loss)] // forces stay far below 2^53 mN
    pub fn as_newtons(self) -> f64 {
        self.mn as f64 / 1000.0
    }
    /// The nearest millinewton.
    #[must_use]
    #[allow(clippy::cast_possible_truncation)] // saturating by definition of `as`
    pub fn from_newtons(n: f64) -> Self {
        Force {
            mn: (n * 1000.0).round() as i64,
        }
    }
}

macro_rules! words {
    ($($(#[$doc:meta])* $name:ident { $($(#[$vdoc:meta])* $variant:ident),* $(,)? })*) => {$(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema)]
        #[serde(rename_all = "camelCase")]
        #[allow(missing_docs)] // the variants are the trade's own words
        pub enum $name { $($(#[$vdoc])* $variant),* }
        impl $name {
            /// Every value, in the order of the list.
            pub const ALL: &[$name] = &[$($name::$variant),*];
        }
    )*};
}

words! {
    /// What a run stands on.
    Surface { Deck, Balcony, Landing, Stair, Ramp }
    /// Level or along a slope.
    Shape { Level, Raked }
    /// What a post does in a run.
    PostRole { Anchor, Intermediate, Corner }
    /// What carries the wire there.
    SupportKind { Post, Spreader, WallEnd, GlassEdge, GatePost }
    /// Kind of end.
    EndKind { Insert, Turnbuckle, FixedEnd, ThroughBolt, WallPlate, Eye }
    /// Hand of a thread.
    Hand {
        #[serde(rename = "LH")] Left,
        #[serde(rename = "RH")] Right,
    }
    /// What a length is for.
    Purpose { Quote, Cut }
    /// State of the posts when a length was read.
    PostState { Loose, Fixed, RailOn, InsertsIn }
    /// From which faces a length was read.
    Faces { PostFaces, InsertFaces }
    /// How a length was read.
    Instrument { Tape, Laser, Template, Drawing, Other }
    /// Whether a length runs level or along the slope.
    Along { Level, Slope }
    /// Pass or stage of a tension reading.
    Stage { Pass, Final, Recheck }
    /// How a tension was taken.
    Method { Gauge, HungMass, Sound, HungPhone }
    /// What a crimp check found.
    CrimpResult { Good, Reject }
    /// What a probe did.
    ProbeResult { Stops, Passes }
    /// Sun on the wire.
    Sun { Sun, Shade }
    /// An act that is ticked off.
    Act { Cut, LeftEndPressed, Threaded, RightEndPressed, Fitted, MarksMade }
    /// Kind of tool.
    ToolKind { TensionGauge, Press, Die, SwageGauge, Probe, Mass, Tape, Laser, Thermometer, Other }
    /// Kind of delivery.
    BatchKind { Strand, Terminal, Insert, LockNut, Seat, Grommet, Other }
    /// How a rail meets a post.
    RailJoint { OverThePost, Butted }
    /// What lines the hole through an intermediate post.
    Lining { Bare, GrommetHalves, Sleeve }
    /// A post's condition.
    Condition { Sound, Soft, Split }
    /// Stage that a person signs off.
    SignStage { Survey, BeforeOrdering, Cutting, Tension, Gaps, Recheck, Handover }
    /// Kind of opening that a sphere could pass.
    OpeningKind { FloorToBottomWire, TopWireToRail, EndPostToWall, PostToDeckEdge, StairTriangle, GateLeaf, Other }
    /// What a picture or document shows or proves, in the inspector's order.
    Evidence {
        PostFixing, RailJoint, EngineersLetter, PostAdded,
        Materials, Tools, SampleCrimp, Crimps, TemplateCheck, Engagement,
        GaugeOnWire, MassCheck, Opening, Height, Handrail, WideView, EndPost, Below,
        DefectBefore, DefectAfter, Recheck, LeftSafe, Permit, ClientChoice, Other
    }
}

/// Yes, no — asked and answered.
pub type Flag = bool;
/// Free text.
pub type Text = String;
/// A plain number.
pub type Whole = i64;

/// A day as `YYYY-MM-DD`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema)]
#[serde(try_from = "String", into = "String")]
#[ts(type = "string")]
#[schemars(with = "String")]
pub struct Day(chrono::NaiveDate);

impl Day {
    /// The calendar day.
    #[must_use]
    pub fn date(&self) -> chrono::NaiveDate {
        self.0
    }
}

impl TryFrom<String> for Day {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        chrono::NaiveDate::parse_from_str(&text, "%Y-%m-%d")
            .ok()
            .filter(|day| day.format("%Y-%m-%d").to_string() == text)
            .map(Day)
            .ok_or_else(|| format!("{text:?} is not a day like 2026-10-06"))
    }
}

impl From<Day> for String {
    fn from(day: Day) -> String {
        day.0.format("%Y-%m-%d").to_string()
    }
}

/// A copy of a rule set, exact text and hash, with where it came from.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct RuleSetCopy {
    /// Short name.
    pub name: String,
    /// The data file's text.
    pub text: String,
    /// SHA-256 of the text.
    pub sha256: Hash,
    /// Library, file or person it came from.
    pub origin: String,
}

/// A post's cross section, as it stands in the run.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Section {
    /// Width along the run.
    pub along_nm: i64,
    /// Depth across the run.
    pub across_nm: i64,
    /// Wall thickness of a hollow section; none when solid.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wall_nm: Option<i64>,
}

/// What a post is made of.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Material {
    /// Species or alloy, as said.
    pub name: String,
    /// Grade, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
    /// Treatment, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub treatment: Option<String>,
    /// Modulus of elasticity in MPa, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modulus_mpa: Option<i64>,
    /// Where the modulus is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub modulus_origin: Option<String>,
    /// Moisture in tenths of a percent, where read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub moisture_permille: Option<i64>,
}

/// How a post is fixed at its base.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BaseFixing {
    /// Kind, in words.
    pub kind: String,
    /// Number of bolts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bolts: Option<u32>,
    /// Distance between the bolts in the direction of the pull.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spacing_nm: Option<i64>,
    /// Whether someone saw it before it was covered.
    pub seen: bool,
}

/// A run's top rail.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Rail {
    /// Underside above the floor or the nosings, plumb.
    pub underside_nm: i64,
    /// Thickness square to the rail.
    pub thickness_nm: i64,
    /// Stiffness against a pull of the end post, in newtons per metre, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stiffness_n_per_m: Option<i64>,
    /// Height at which that stiffness acts.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub stiffness_height_nm: Option<i64>,
}

/// A slope by its rise and going.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Slope {
    /// Rise of one step.
    pub rise_nm: i64,
    /// Going of one step.
    pub going_nm: i64,
    /// Number of risers, where it is a stair.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub risers: Option<u32>,
}

/// Heights of a run's wires above the floor or the nosings, plumb, from the bottom.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct WireHeights {
    /// One height for each wire.
    pub nm: Vec<i64>,
}

/// What a support does.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Support {
    /// Kind.
    pub kind: SupportKind,
    /// For a spreader: does it count as a post for the table, and who says so.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub counts_as_post: Option<bool>,
    /// Who confirmed that.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub confirmed_by: Option<String>,
    /// For a wall end: substrate, embedment and edge distance, in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub substrate: Option<String>,
}

/// One end of a run at a post.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct End {
    /// Kind.
    pub kind: EndKind,
    /// Hand of the thread there.
    pub hand: Hand,
    /// Whether the wire is tensioned there.
    pub tensioner: bool,
    /// Whether an angled seat stands under the fitting, as on a rake.
    #[serde(default)]
    pub angled_seat: bool,
}

/// The three tensions of a run. The lowest part that makes the upper one is named.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Tensions {
    /// What the rule or designer asks, the highest of the run's bays.
    pub required_mn: i64,
    /// What to tension to.
    pub set_mn: i64,
    /// What nothing may exceed.
    pub upper_mn: i64,
    /// Where the required tension is from.
    pub required_origin: String,
    /// Where the upper tension is from.
    pub upper_origin: String,
    /// The passes on the way to the set tension, last one included.
    pub passes_mn: Vec<i64>,
}

/// What a person released for cutting.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutIssue {
    /// The length to cut.
    pub cut_nm: i64,
    /// The shortest that still works.
    pub shortest_nm: i64,
    /// The longest that still works.
    pub longest_nm: i64,
}

/// A wire as it was cut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutMade {
    /// Length as cut.
    pub nm: i64,
    /// Batch it was cut from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub batch: Option<ItemId>,
}

/// Which piece of strand is in the wire's place; 1 is the first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Piece {
    /// Number of the piece.
    pub number: u32,
    /// Why the one before was taken out.
    pub reason: String,
}

/// A crimp as checked.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Crimp {
    /// Good or reject.
    pub result: CrimpResult,
    /// Why it was rejected.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub reason: Option<String>,
}

/// Two sizes of a pressed shank, square to one another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PressedSize {
    /// One axis.
    pub first_nm: i64,
    /// The other.
    pub second_nm: i64,
}

/// A trial pressing, pulled.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SampleCrimp {
    /// Pull that was held.
    pub pull_mn: i64,
    /// For how long, in seconds.
    pub held_s: i64,
    /// How far the mark moved.
    pub mark_moved_nm: i64,
    /// Good or reject.
    pub result: CrimpResult,
    /// Size of the left-hand shank after pressing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub left: Option<PressedSize>,
    /// Size of the right-hand shank after pressing.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub right: Option<PressedSize>,
}

/// Thread left showing at an end after fitting, or turn-in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Turns {
    /// Whole turns.
    pub turns: i64,
    /// Sixths of a turn beyond.
    pub flats: i64,
}

/// A gap check of a bay or of one opening in it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct GapCheck {
    /// Did the probe pass anywhere?
    pub result: ProbeResult,
}

/// An opening as built.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Opening {
    /// Clear size.
    pub nm: i64,
    /// What the probe did there, if one was offered.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub result: Option<ProbeResult>,
}

/// Deflection under a hung mass.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Deflection {
    /// How far the wire went down at mid span.
    pub nm: i64,
    /// The mass as weighed, milligrams.
    pub mass_mg: i64,
}

/// A position on the earth.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Position {
    /// Latitude in 1e-7 degree, north positive.
    pub lat_e7: i64,
    /// Longitude in 1e-7 degree, east positive.
    pub lon_e7: i64,
    /// Radius of uncertainty, where told.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub accuracy_nm: Option<i64>,
}

/// When and where a picture was taken, as the app recorded it and as the file says.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Taken {
    /// Milliseconds since 1970 UTC, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ms: Option<i64>,
    /// Minutes east of UTC, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub offset_min: Option<i32>,
    /// The time is not certain, and why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub uncertain: Option<String>,
    /// Who says so: `app` or `file`.
    pub witness: String,
}

/// What a sign-off or evidence tick covers.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SignOff {
    /// The person's statement.
    pub statement: String,
    /// The person.
    pub person: PersonId,
}

/// How a defect was put right.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Closing {
    /// What was done.
    pub how: String,
}

/// How an edge was left at the end of a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LeftSafe {
    /// How it is guarded.
    pub how: String,
    /// Who was told.
    pub told: String,
}

/// Counts of a delivery on arrival.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Arrival {
    /// Left-hand pieces counted, or pieces where there is no hand.
    pub counted_left: i64,
    /// Right-hand pieces counted.
    pub counted_right: i64,
    /// One of each hand tried in an insert.
    pub tried: bool,
    /// What is short or wrong.
    pub remark: String,
}

/// What a picture's EXIF says, kept as a second witness.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PhotoExif {
    /// Time as the file has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub time: Option<String>,
    /// Position as the file has it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub position: Option<Position>,
    /// Orientation, 1 to 8.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub orientation: Option<u32>,
    /// What in it can't be right.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub doubts: Vec<String>,
}

/// A reference to any subject.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct AboutSubject {
    /// The subject.
    pub subject: crate::subject::Subject,
}

/// A strand's mechanical figures, each with its origin.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StrandFigures {
    /// Construction: `1x19`, `7x7`, `7x19`.
    pub construction: String,
    /// Nominal diameter.
    pub diameter_nm: i64,
    /// Axial stiffness EA.
    pub ea_mn: i64,
    /// Where EA is from.
    pub ea_origin: String,
    /// Breaking load, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breaking_mn: Option<i64>,
    /// Where the breaking load is from.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub breaking_origin: Option<String>,
    /// Permanent stretch in parts per million.
    pub stretch_ppm: i64,
    /// Where the stretch is from.
    pub stretch_origin: String,
    /// Steel grade.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub grade: Option<String>,
}

/// A fitting set's two terminals.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Terminals {
    /// The left-hand one.
    pub left: crate::model::context::Terminal,
    /// The right-hand one.
    pub right: crate::model::context::Terminal,
    /// Where the figures are from.
    pub origin: String,
}

/// How much of a strand's breaking load may be used.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Efficiency {
    /// Terminal efficiency in tenths of a percent.
    pub permille: i64,
    /// Safety factor in hundredths.
    pub factor_percent: i64,
}

/// Pieces beyond what the layout needs, each with its purpose.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Spare {
    /// For sample crimps, each hand.
    pub sample: u32,
    /// For rejects and remakes, each hand.
    pub scrap: u32,
    /// Over, each hand.
    pub over: u32,
}

/// What a take-off adds to the count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Allowances {
    /// Terminals, each hand.
    pub terminals: Spare,
    /// Inserts, each hand.
    pub inserts: Spare,
    /// Lock nuts, each hand.
    pub lock_nuts: Spare,
    /// Angled seats.
    pub angled_seats: Spare,
    /// Grommet halves or sleeves.
    pub linings: Spare,
    /// Strand for samples.
    pub sample_strand_nm: i64,
    /// Strand for remakes.
    pub scrap_strand_nm: i64,
}
