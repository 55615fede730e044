//! Layout aids: how many wires at which heights, floors that fall, shared posts, stairs, gates.
//!
//! Owns geometry in millimetres; callers show inches. Heights are plumb above the floor or the
//! nosings, table spacings are square to the wires, bays run along them.
//! Invariant: a layout keeps at least the millimetres asked for before the next row of the table,
//! and no figure here says that a barrier is safe or complies: the table is read, the sphere is
//! held against geometry at rest, and wires give way, so the probe decides.
//! Does not know tension read, posts under load or the record.

mod floor;
mod gate;
mod margins;
mod stagger;
mod stair;
mod wires;

pub use floor::{FloorAsk, FloorBase, FloorGap, FloorLine, FloorPoint, floor_gaps};
pub use gate::{GateAsk, GateGaps, gate_gaps};
pub use margins::{BayMargin, BayToRead, bay_margins};
pub use stagger::{
    AlsoCleared, AsideCase, ClosePair, RunAtPost, Stagger, StaggerAsk, stagger, stagger_among,
};
pub use stair::{StairAsk, StairTriangle, highest_line, stair_triangle};
pub use wires::{IN_HAND, IN_HAND_INCHES, SpacingAsk, WireLayout, lay_out};
