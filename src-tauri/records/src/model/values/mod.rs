//! The values that claims give, as they stand in entries: integers with their unit in the name.
//!
//! A value is what two people can disagree about; how it came about stands beside it in the
//! claim's context (`context.rs`). Optional fields may be added freely; a changed meaning is a new
//! kind.

mod evidence;
mod layout;
mod marks;
mod parts;
mod readings;
mod sheets;
mod site;
mod units;
mod words;

pub use evidence::{AboutSubject, Closing, LeftSafe, PhotoExif, Position, SignOff, Taken};
pub use layout::{
    Angle, BaseFixing, CutWarmth, End, Friction, KnownPull, LowSpot, Material, Rail, Section,
    Slope, Support, WireHeights,
};
pub use marks::{MOST_MARK_LETTERS, MOST_MARKS, Mark, Marks, WHOLE_SIDE};
pub use parts::{
    Allowances, Arrival, CuttingRules, Efficiency, RuleSetCopy, Spare, StrandFigures, Terminals,
};
pub use readings::{
    Crimp, CutIssue, CutMade, DeductionBy, Deflection, GapCheck, OffcutOf, Opening, Piece,
    PressedSize, SampleCrimp, Tensions, Turns,
};
pub use sheets::{FittingSheet, SheetFigure, SheetFigures, StrandSheet};
pub use site::{BeforeSecondEnd, CallBack, KnownLength, PartsUsed};
pub use units::{Day, Force, Length};
pub use words::{
    Act, Along, BatchKind, Condition, CrimpResult, EndKind, Evidence, FaceSide, Faces, Hand,
    Instrument, Lining, Method, OpeningKind, PostRole, PostState, ProbeResult, Purpose, RailJoint,
    Shape, SignStage, SpanHeld, Stage, Sun, SupportKind, Surface, ToolKind,
};
pub use words::{CallBackCause, LaserReference, Moment, TakenOutFor};

/// Yes, no — asked and answered.
pub type Flag = bool;
/// Free text.
pub type Text = String;
/// A plain number.
pub type Whole = i64;
