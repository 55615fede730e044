//! What was taken from stock: every piece that was cut, and what is kept of those taken out.
//!
//! Read from the claims themselves, so that pieces of runs and wires that are no longer in the
//! layout are still gone from their reel.

use serde::Deserialize;

use super::{PieceOut, StockCut, mm};
use crate::book::Key;
use crate::entry::At;
use crate::ids::ItemId;
use crate::job::reader::said;
use crate::job::things::Batch;
use crate::job::wires::act_place;
use crate::job::{Fact, Job};
use crate::model::context::{OnPiece, TakenOut};
use crate::model::fields;
use crate::model::values::{Act, CutMade, OffcutOf, Piece};
use crate::subject::Subject;

/// What a piece was cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Source {
    /// A delivery.
    Batch(ItemId),
    /// What is kept of a piece.
    Piece(OffcutOf),
    /// Nobody said.
    Unnamed,
}

/// A piece cut from one source, in nanometres.
#[derive(Clone, Debug)]
pub(super) struct Taken {
    pub(super) run: ItemId,
    pub(super) wire: u32,
    pub(super) piece: u32,
    pub(super) from: Source,
    pub(super) nm: i64,
    pub(super) lost: i64,
}

impl Taken {
    pub(super) fn name(&self, job: &Job<'_>) -> String {
        piece_name(job, self.run, self.wire, self.piece)
    }

    pub(super) fn told(&self, job: &Job<'_>) -> StockCut {
        StockCut {
            name: self.name(job),
            cut_mm: mm(self.nm),
            taken_out: is_taken_out(job, self.run, self.wire, self.piece),
        }
    }
}

/// What is kept of a piece.
#[derive(Clone, Debug)]
pub(super) struct Kept {
    pub(super) of: OffcutOf,
    pub(super) name: String,
    pub(super) nm: i64,
    pub(super) disputed: bool,
    /// Whether it is in its place again: the remake for which it was taken out was taken back.
    pub(super) back: bool,
    /// The delivery that it came from; none where nobody said, or people differ.
    pub(super) batch: Option<ItemId>,
    /// Whether people differ on what it was cut from.
    pub(super) source_differs: bool,
    /// The strand of the run that it was cut for: its own where its delivery tells none.
    pub(super) of_run: Option<ItemId>,
}

impl Kept {
    pub(super) fn id(&self) -> String {
        piece_id(&self.of)
    }
}

/// A kept piece as the id of a stock.
pub(super) fn piece_id(of: &OffcutOf) -> String {
    format!("{}/{}", of.wire, of.piece)
}

/// "A6" for a wire's first piece, "A6 piece 2" for those after it.
pub(in crate::work) fn piece_name(job: &Job<'_>, run: ItemId, wire: u32, piece: u32) -> String {
    let run = job.run(run).map_or("?", |run| run.name.as_str());
    match piece {
        1 => format!("{run}{wire}"),
        piece => format!("{run}{wire} piece {piece}"),
    }
}

fn is_taken_out(job: &Job<'_>, run: ItemId, wire: u32, piece: u32) -> bool {
    let wire = job.run(run).and_then(|run| run.wire(wire));
    wire.is_none_or(|wire| wire.piece_number > piece)
}

/// Every piece that was cut, once for each source that somebody names for it.
pub(super) fn taken(job: &Job<'_>) -> Vec<Taken> {
    let mut found: Vec<Taken> = Vec::new();
    for (run, wire, piece, fact) in pieces(job, fields::WIRE_CUT) {
        let mut of_piece: Vec<Taken> = Vec::new();
        for told in &fact.tips {
            let Some(made) = &told.value else { continue };
            let lost = told.with.as_ref().and_then(|with| with.lost_nm);
            let lost = lost.unwrap_or_default().max(0);
            let from = source(made);
            match of_piece.iter_mut().find(|known| known.from == from) {
                Some(known) => {
                    known.nm = known.nm.max(made.nm);
                    known.lost = known.lost.max(lost);
                }
                None => of_piece.push(Taken {
                    run,
                    wire,
                    piece,
                    from,
                    nm: made.nm,
                    lost,
                }),
            }
        }
        found.extend(of_piece);
    }
    found.sort_by(|a, b| super::natural(&a.name(job), &b.name(job)).then(a.piece.cmp(&b.piece)));
    found
}

fn source(made: &CutMade) -> Source {
    match (made.offcut, made.batch) {
        (Some(offcut), _) => Source::Piece(offcut),
        (None, Some(batch)) => Source::Batch(batch),
        (None, None) => Source::Unnamed,
    }
}

/// What is kept of pieces that were taken out; the shorter where people differ.
pub(super) fn kept(job: &Job<'_>) -> Vec<Kept> {
    let mut found = Vec::new();
    for (run, wire, piece, fact) in pieces(job, fields::WIRE_KEPT) {
        let Some(nm) = fact.values().map(|length| length.nm).min() else {
            continue;
        };
        let subject = Subject::Wire(run, wire);
        let cut: Fact<CutMade, OnPiece> =
            job.reader
                .one(fields::WIRE_CUT, &subject.to_string(), &piece.to_string());
        let mut named: Vec<Option<ItemId>> = cut.values().map(|made| made.batch).collect();
        named.sort_unstable();
        named.dedup();
        found.push(Kept {
            of: OffcutOf {
                wire: subject,
                piece,
            },
            name: piece_name(job, run, wire, piece),
            nm,
            disputed: fact.blocks(),
            back: !is_taken_out(job, run, wire, piece),
            batch: match named.as_slice() {
                [one] => *one,
                _ => None,
            },
            source_differs: named.len() > 1,
            of_run: job.run(run).and_then(|run| run.strand),
        });
    }
    found.sort_by(|a, b| super::natural(&a.name, &b.name).then(a.of.piece.cmp(&b.of.piece)));
    found
}

/// Run and number of the wires in place that all say were cut from a delivery, or from what was kept of it.
pub(super) fn in_place(job: &Job<'_>, batch: ItemId) -> Vec<(ItemId, u32)> {
    let mut found = Vec::new();
    for (run, wire, piece, fact) in pieces(job, fields::WIRE_CUT) {
        let mut told = fact.values().peekable();
        let any = told.peek().is_some();
        let from_it = any && told.all(|made| made.batch == Some(batch));
        if from_it && !is_taken_out(job, run, wire, piece) {
            found.push((run, wire));
        }
    }
    found.sort_unstable();
    found.dedup();
    found
}

/// Deliveries that are taken back though wires in place say that they were cut from them, each once.
pub(super) fn no_longer_there(job: &Job<'_>) -> Vec<ItemId> {
    let mut gone = Vec::new();
    for (run, wire, piece, fact) in pieces(job, fields::WIRE_CUT) {
        if !is_taken_out(job, run, wire, piece) {
            let told = fact.values().filter_map(|made| made.batch);
            gone.extend(told.filter(|id| !job.batches.iter().any(|batch| batch.id == *id)));
        }
    }
    gone.sort_unstable();
    gone.dedup();
    gone
}

/// What a delivery is called where its name may be empty.
pub(super) fn named_apart(batch: &Batch) -> String {
    match batch.name.trim() {
        "" => "reel without a name".to_owned(),
        name => name.to_owned(),
    }
}

/// Pieces that were cut and are no longer in place.
pub(super) fn taken_out(job: &Job<'_>, taken: &[Taken], kept: &[Kept]) -> Vec<PieceOut> {
    let mut found: Vec<PieceOut> = Vec::new();
    for one in taken {
        let (run, number, piece) = (one.run, one.wire, one.piece);
        let known = |f: &PieceOut| (f.run, f.wire, f.piece) == (run, number, piece);
        if !is_taken_out(job, run, number, piece) || found.iter().any(known) {
            continue;
        }
        let why = taken_out_for(job, Subject::Wire(run, number), piece);
        let of = OffcutOf {
            wire: Subject::Wire(run, number),
            piece,
        };
        found.push(PieceOut {
            run,
            wire: number,
            piece,
            name: one.name(job),
            cut_mm: mm(one.nm),
            reason: why.as_ref().map(|(next, _)| next.reason.clone()),
            cause: why.and_then(|(_, with)| with?.cause),
            pressed_ends: pressed_ends(job, Subject::Wire(run, number), piece),
            kept_mm: kept.iter().find(|k| k.of == of).map(|k| mm(k.nm)),
        });
    }
    found
}

/// Why a piece was taken out: what was said last as the one after it was begun, replaced since or not.
pub(in crate::work) fn taken_out_for(
    job: &Job<'_>,
    wire: Subject,
    piece: u32,
) -> Option<(Piece, Option<TakenOut>)> {
    let last = begun(job, wire)
        .into_iter()
        .filter(|begun| begun.piece.number == piece + 1)
        .max_by_key(|begun| begun.at.ms)?;
    Some((last.piece, last.with))
}

/// A word that began a piece.
pub(in crate::work) struct Begun {
    pub(in crate::work) at: At,
    pub(in crate::work) piece: Piece,
    pub(in crate::work) with: Option<TakenOut>,
}

/// Every word that began a piece of a wire, replaced since or not.
pub(in crate::work) fn begun(job: &Job<'_>, wire: Subject) -> Vec<Begun> {
    let key = Key {
        subject: wire.to_string(),
        field: fields::WIRE_PIECE.name.to_owned(),
        place: String::new(),
    };
    let state = job.reader.view.key(&key);
    let claims = state.into_iter().flat_map(|state| &state.claims);
    let told = claims.filter_map(|claim| {
        let entry = job.reader.view.entry(&claim.id)?;
        let (value, with) = said(entry, &key);
        Some(Begun {
            at: entry.body.at,
            piece: Piece::deserialize(value?).ok()?,
            with: with.and_then(|with| TakenOut::deserialize(with).ok()),
        })
    });
    told.collect()
}

/// How many ends of a piece are ticked as pressed.
fn pressed_ends(job: &Job<'_>, wire: Subject, piece: u32) -> u32 {
    let pressed = |act: &Act| {
        let place = act_place(*act, piece);
        let done = job.reader.one(fields::WIRE_DONE, &wire.to_string(), &place);
        done.shown() == Some(&true)
    };
    let ends = [Act::LeftEndPressed, Act::RightEndPressed];
    ends.iter().map(|act| u32::from(pressed(act))).sum()
}

/// A field of wires whose place is the piece, for every wire that was ever told of.
fn pieces<T, C>(
    job: &Job<'_>,
    field: crate::model::Field<T, C>,
) -> Vec<(ItemId, u32, u32, Fact<T, C>)>
where
    T: serde::de::DeserializeOwned,
    C: serde::de::DeserializeOwned,
{
    let keys = job.reader.view.keys();
    keys.filter(|(key, _)| key.field == field.name)
        .filter_map(|(key, _)| {
            let Ok(Subject::Wire(run, wire)) = key.subject.parse() else {
                return None;
            };
            let piece = key.place.parse().ok()?;
            let fact = job.reader.one(field, &key.subject, &key.place);
            Some((run, wire, piece, fact))
        })
        .collect()
}
