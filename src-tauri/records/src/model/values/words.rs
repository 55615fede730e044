//! The trade's own words as closed lists: surfaces, ends, stages, kinds of tools, of evidence …
//!
//! Each is stored as a camelCase string; adding a word is free, changing one is not.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

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
    /// A side of a post's face, for someone who looks at the face.
    FaceSide { Left, Right }
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
    /// How a wire is held at the ends of the span that sounds or swings.
    SpanHeld { Pinched, Sleeved, Loose }
    /// What a crimp check found.
    CrimpResult { Good, Reject }
    /// What a probe did.
    ProbeResult { Stops, Passes }
    /// Sun on the wire.
    Sun { Sun, Shade }
    /// Before the wires were tensioned, or after.
    Moment { BeforeTension, AfterTension }
    /// Why a piece of strand was taken out.
    TakenOutFor { Galled, WrongHand, Kinked, TerminalRejected, CutWrong, Other }
    /// What a call-back came from.
    CallBackCause { Slip, Stretch, PostMoved, RailLoose, Rust, Knock, Other }
    /// From which end of a laser its distance counts.
    LaserReference { Front, Back }
    /// An act that is ticked off.
    Act {
        Cut,
        /// How far the strand goes in, marked on it before an end is pressed.
        InsertionMarked,
        LeftEndPressed, Threaded, RightEndPressed, Fitted,
        /// Marks at the swage mouths and on the studs, for who looks later.
        WitnessMarked,
        /// All marks in one word, as earlier versions told it.
        MarksMade,
    }
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

impl EndKind {
    /// Whether an end of the kind has a thread, and so a hand, a lock nut and something to turn.
    #[must_use]
    pub const fn has_thread(self) -> bool {
        matches!(
            self,
            EndKind::Insert | EndKind::Turnbuckle | EndKind::ThroughBolt
        )
    }
}

impl Hand {
    /// The other hand.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Hand::Left => Hand::Right,
            Hand::Right => Hand::Left,
        }
    }
}

impl FaceSide {
    /// The other side.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            FaceSide::Left => FaceSide::Right,
            FaceSide::Right => FaceSide::Left,
        }
    }
}

impl BatchKind {
    /// Whether its parts come left-handed and right-handed.
    #[must_use]
    pub fn has_hands(self) -> bool {
        matches!(
            self,
            BatchKind::Terminal | BatchKind::Insert | BatchKind::LockNut
        )
    }
}

impl Method {
    /// Whether a tension told so may count against a table; sound and hung phone are a guide.
    #[must_use]
    pub const fn counts(self) -> bool {
        matches!(self, Method::Gauge | Method::HungMass)
    }
}
