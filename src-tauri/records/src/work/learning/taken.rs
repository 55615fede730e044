//! Pieces of a run's wires that were cut, read and taken out again: what each took up was of its own cut and its
//! own thread, so it goes on teaching, unless why it was taken out says that its length was not the one told.

use mechanics::Millimetres;
use mechanics::trial::FITTED_SPREAD;

use crate::entry::At;
use crate::ids::ItemId;
use crate::job::{Job, Run, Wire};
use crate::model::values::TakenOutFor;
use crate::subject::Subject;
use crate::work::stock::{begun, taken_out_for};

/// A piece of a wire, in place or taken out.
pub(super) struct OfWire {
    /// The wire as it stands for that piece.
    pub(super) wire: Wire,
    /// "A6", or "A6 piece 1" of one that was taken out.
    pub(super) name: String,
    pub(super) taken_out: bool,
    /// Why its length was perhaps not the one told, as the end of a clause.
    pub(super) not_to_trust: Option<&'static str>,
}

/// The pieces of a wire, from the first to the one in place.
pub(super) fn pieces(job: &Job<'_>, run: &Run, wire: &Wire) -> Vec<OfWire> {
    let name = format!("{}{}", run.name, wire.number);
    let earlier = (1..wire.piece_number).map(|piece| OfWire {
        wire: wire.with_piece(&job.reader, run.id, piece),
        name: format!("{name} piece {piece}"),
        taken_out: true,
        not_to_trust: not_to_trust(job, run.id, wire.number, piece),
    });
    let mut all: Vec<OfWire> = earlier.collect();
    all.push(OfWire {
        wire: wire.clone(),
        name,
        taken_out: false,
        not_to_trust: None,
    });
    all
}

fn not_to_trust(job: &Job<'_>, run: ItemId, wire: u32, piece: u32) -> Option<&'static str> {
    let (_, with) = taken_out_for(job, Subject::Wire(run, wire), piece)?;
    match with?.cause? {
        TakenOutFor::CutWrong => Some("for its cut"),
        TakenOutFor::Kinked => Some("as kinked"),
        TakenOutFor::Galled
        | TakenOutFor::WrongHand
        | TakenOutFor::TerminalRejected
        | TakenOutFor::Other => None,
    }
}

/// What a piece that was taken out and teaches nothing showed, beside what was expected.
pub(super) struct Showed {
    pub(super) takes_up: Millimetres,
    pub(super) expected: Millimetres,
    pub(super) cut: Millimetres,
    pub(super) read_as: String,
    /// Why it teaches nothing, as a clause.
    pub(super) why: String,
}

impl Showed {
    /// What to ask before a wire of its run is released; none where it came out as computed, within what one
    /// fitted wire scatters.
    pub(super) fn asked(&self, name: &str) -> Option<String> {
        let off = self.takes_up - self.expected;
        let way = if off.value() > 0.0 { "long" } else { "short" };
        (off.abs() > FITTED_SPREAD).then(|| {
            format!(
                "{name}, taken out, took up {}, {} expected ({}), and teaches nothing: {}. If it was {} long, the \
                 computed cuts come out {} too {way}: measure it before another is cut.",
                self.takes_up,
                self.expected,
                self.read_as,
                self.why,
                self.cut,
                off.abs()
            )
        })
    }
}

/// The piece of a wire that was in place at a moment.
pub(super) fn piece_then(job: &Job<'_>, run: ItemId, wire: &Wire, at: At) -> u32 {
    if wire.piece_number == 1 {
        return 1;
    }
    let begun = begun(job, Subject::Wire(run, wire.number)).into_iter();
    let before = begun.filter(|begun| begun.at < at);
    before.map(|begun| begun.piece.number).max().unwrap_or(1)
}
