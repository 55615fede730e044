//! Whether the ends of a wire's present piece are made, as far as the record tells.

use crate::ids::ItemId;
use crate::job::{Fact, Run, Wire};
use crate::model::context::CrimpRead;
use crate::model::values::{Act, Crimp};

/// Whether both ends of the present piece are made, by ticks or by crimps that were looked at.
pub(super) fn ends_made(run: &Run, wire: &Wire) -> bool {
    wire.is_fitted() || pressed(run, wire)
}

/// Whether both ends of the present piece are ticked as pressed, or a crimp of it was looked at there.
pub(super) fn pressed(run: &Run, wire: &Wire) -> bool {
    let Some((first, last)) = run.ends() else {
        return false;
    };
    (wire.has(Act::LeftEndPressed) || crimped(wire, first.id))
        && (wire.has(Act::RightEndPressed) || crimped(wire, last.id))
}

/// Whether a crimp of the present piece was looked at at this post.
pub(super) fn crimped(wire: &Wire, end: ItemId) -> bool {
    let of_piece = |fact: &Fact<Crimp, CrimpRead>| {
        let told = fact.tips.iter();
        told.flat_map(|t| t.with.as_ref())
            .any(|w| w.piece == wire.piece_number)
    };
    let mut crimps = wire.crimps.iter();
    crimps.any(|(at, fact)| *at == end && of_piece(fact))
}
