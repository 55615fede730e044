//! What the ends of wires show after fitting, and wires that are made anew.
//!
//! A new piece of strand begins cutting, crimps and readings again; the old piece keeps its own.

use records::Record;
use records::ids::{BookId, ItemId};
use records::model::context::{OnPiece, TakenOut};
use records::model::values::{Length, Piece};
use records::model::{Field, entered, fields};
use records::subject::Subject;
use records::work;
use serde::Serialize;

use crate::ApiError;
use crate::acts::ask;
use crate::acts::layout::{end_of, piece_of, run_in};
use crate::claim::{Act, Acted, Earlier, tips};
use crate::handlers::checks::{ReadEnd, RemakeWire};
use crate::handlers::item;

/// A length with the text that it was typed as.
pub(crate) type AsTyped = (Length, String);

/// The lengths that an end shows.
pub(crate) struct EndLengths {
    /// Thread left showing.
    pub(crate) left: Option<AsTyped>,
    /// How far the mark moved.
    pub(crate) moved: Option<AsTyped>,
    /// How far the wire's end stands out of the swage.
    pub(crate) out: Option<AsTyped>,
}

/// Records what one end of wires shows, each on the piece that is in place.
pub(crate) fn read(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &ReadEnd,
    lengths: &EndLengths,
) -> Result<Acted, ApiError> {
    something(request, lengths)?;
    let post = end_of(record, job, run, &request.post)?;
    has_a_thread(record, job, run, request, lengths)?;
    if !request.confirmed {
        ask(far_out(lengths))?;
    }
    if !request.confirmed && (lengths.left.is_some() || request.turns.is_some()) {
        let (at, job) = (item(&request.post)?, record.job(job)?);
        let wires = entered::wires(&request.wires)?;
        let left = lengths.left.as_ref();
        let early = left.and_then(|_| run_in(&job, run).ok());
        let early = early.and_then(|of_run| work::odd_to_read_ends(of_run, &wires));
        let left = left.map(|(left, _)| work::odd_thread_left(&job, run, at, *left));
        let turns = request
            .turns
            .map(|turns| work::odd_turns(&job, run, at, turns));
        let odd = [left.transpose()?.flatten(), turns.transpose()?.flatten()];
        ask(early.into_iter().chain(odd.into_iter().flatten()))?;
    }
    let mut act = Act::default();
    for wire in entered::wires(&request.wires)? {
        let piece = piece_of(record, job, run, wire, None)?;
        let mut end = End {
            act: &mut act,
            record,
            job,
            wire: Subject::Wire(run, wire),
            post: &post,
            piece,
        };
        end.length(fields::WIRE_THREAD_LEFT, lengths.left.as_ref())?;
        end.shows(fields::WIRE_TURNS, request.turns.as_ref(), None)?;
        end.length(fields::WIRE_MARK_MOVED, lengths.moved.as_ref())?;
        end.length(fields::WIRE_END_OUT, lengths.out.as_ref())?;
        end.shows(fields::WIRE_MARK_HIDDEN, request.mark_hidden.as_ref(), None)?;
        end.shows(fields::WIRE_NUT_TIGHT, request.nut_tight.as_ref(), None)?;
    }
    act.record(record, job)
}

/// Refuses what only a thread shows, at an end that is told as one without.
fn has_a_thread(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &ReadEnd,
    lengths: &EndLengths,
) -> Result<(), ApiError> {
    let of_thread = lengths.left.is_some()
        || request.turns.is_some()
        || request.mark_hidden.is_some()
        || request.nut_tight.is_some();
    if !of_thread {
        return Ok(());
    }
    let at = item(&request.post)?;
    let job = record.job(job)?;
    let run = run_in(&job, run)?;
    let Some((ends, kinds)) = run.ends().zip(work::end_kinds(&job, run)) else {
        return Ok(());
    };
    let without = [ends.0, ends.1].into_iter().zip(kinds);
    let mut without = without.filter(|(end, kind)| end.id == at && !kind.has_thread());
    let Some((end, kind)) = without.next() else {
        return Ok(());
    };
    Err(ApiError::invalid(format!(
        "The {} end of run {} is {}: it has no thread to be left, no mark to be hidden, no nut, and nothing \
         turns there. Nothing was saved.",
        end.name,
        run.name,
        work::words::an_end(kind)
    )))
}

/// Common practice: a wire's end stands out by half its diameter at most; the thickest wires are 6 mm.
fn far_out(lengths: &EndLengths) -> Option<String> {
    const MOST_MM: f64 = 6.0;
    let (out, _) = lengths.out.as_ref()?;
    (out.as_mm() > MOST_MM).then(|| {
        format!(
            "The wire's end stands out by {} mm? Common practice is half its diameter at most.",
            out.as_mm()
        )
    })
}

/// Refuses a reading that says nothing.
fn something(request: &ReadEnd, lengths: &EndLengths) -> Result<(), ApiError> {
    let any = lengths.left.is_some()
        || lengths.moved.is_some()
        || request.turns.is_some()
        || lengths.out.is_some()
        || request.mark_hidden.is_some()
        || request.nut_tight.is_some();
    if any {
        return Ok(());
    }
    Err(ApiError::invalid(
        "Nothing was read: tell the thread left, the turns, how far the mark moved, whether it \
         is hidden, whether the nut is tight, or how far the wire's end stands out.",
    ))
}

/// One end of one wire while an act speaks of it.
struct End<'a> {
    act: &'a mut Act,
    record: &'a mut Record,
    job: BookId,
    wire: Subject,
    post: &'a str,
    piece: u32,
}

impl End<'_> {
    /// Claims a length as it was typed, where it was read.
    fn length(
        &mut self,
        field: Field<Length, OnPiece>,
        read: Option<&AsTyped>,
    ) -> Result<(), ApiError> {
        let (value, typed) = read.map(|(length, typed)| (length, typed.clone())).unzip();
        self.shows(field, value, typed)
    }

    /// Claims what was read, where it was.
    fn shows<T: Serialize>(
        &mut self,
        field: Field<T, OnPiece>,
        value: Option<&T>,
        entered: Option<String>,
    ) -> Result<(), ApiError> {
        if value.is_none() {
            return Ok(());
        }
        let with = OnPiece {
            piece: self.piece,
            lost_nm: None,
            to_mn: None,
            entered,
            reason: None,
        };
        let known = tips(self.record, self.job, &self.wire, field.name, self.post)?;
        let known = Earlier::after(known);
        self.act
            .claim(field, self.wire, self.post, value, &with, known)
    }
}

/// Records that a wire is made anew: the next piece takes the place of the one that is in place.
pub(crate) fn remake(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: RemakeWire,
    reason: String,
) -> Result<Acted, ApiError> {
    let number = piece_of(record, job, run, request.wire, None)? + 1;
    let subject = Subject::Wire(run, request.wire);
    let over = tips(record, job, &subject, fields::WIRE_PIECE.name, "")?;
    let mut act = Act::default();
    let value = Piece { number, reason };
    let with = TakenOut {
        cause: request.cause,
        used: request.used.filter(|used| used.counts().next().is_some()),
        ..TakenOut::default()
    };
    act.claim(
        fields::WIRE_PIECE,
        subject,
        "",
        Some(&value),
        &with,
        Earlier::over(over),
    )?;
    act.record(record, job)
}
