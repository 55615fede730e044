//! What the ends of wires show after fitting, and wires that are made anew.
//!
//! A new piece of strand begins cutting, crimps and readings again; the old piece keeps its own.

use records::Record;
use records::model::context::{OnPiece, TakenOut};
use records::model::entered;
use records::model::fields;
use records::model::values::{PartsUsed, Piece, TakenOutFor, Turns};
use records::subject::Subject;
use records::work;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{end_of, piece_of};
use crate::claim::{Act, Earlier, tips};
use crate::handlers::measure::{Typed, ask};
use crate::handlers::{Recorded, item, job_id, some_text};
use crate::{ApiError, App};

/// Records what an end of a wire shows.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ReadEnd {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Wires, like `1-12`.
    pub wires: String,
    /// The end's post.
    pub post: String,
    /// Thread left showing.
    #[serde(default)]
    #[ts(optional)]
    pub thread_left: Option<Typed>,
    /// Turn-in.
    #[serde(default)]
    #[ts(optional)]
    pub turns: Option<Turns>,
    /// How far the mark moved, in mm as typed; "0" is a reading.
    #[serde(default)]
    #[ts(optional)]
    pub mark_moved: Option<String>,
    /// Whether the engagement mark is hidden.
    #[serde(default)]
    #[ts(optional)]
    pub mark_hidden: Option<bool>,
    /// Whether the lock nut is tight.
    #[serde(default)]
    #[ts(optional)]
    pub nut_tight: Option<bool>,
    /// How far the wire's end stands out of the swage; "0" is a reading.
    #[serde(default)]
    #[ts(optional)]
    pub end_out: Option<Typed>,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Records thread left, turns, marks of wires at one end; more thread left than the stud has is
/// questioned.
pub fn read_end(app: &App, request: ReadEnd) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let left = request
        .thread_left
        .as_ref()
        .map(|t| t.left().map(|l| (l, t.entered())))
        .transpose()?;
    let moved = request
        .mark_moved
        .as_deref()
        .map(|text| entered::length(text, entered::LengthUnit::Millimetres))
        .transpose()?;
    let out = request
        .end_out
        .as_ref()
        .map(|t| t.left().map(|l| (l, t.entered())))
        .transpose()?;
    let flags = [
        (fields::WIRE_MARK_HIDDEN, request.mark_hidden),
        (fields::WIRE_NUT_TIGHT, request.nut_tight),
    ];
    let flagged = flags.iter().any(|(_, flag)| flag.is_some());
    if left.is_none() && moved.is_none() && request.turns.is_none() && out.is_none() && !flagged {
        return Err(ApiError::invalid(
            "Nothing was read: tell the thread left, the turns, how far the mark moved, whether it \
             is hidden, whether the nut is tight, or how far the wire's end stands out.",
        ));
    }
    let mut record = app.record();
    let place = end_of(&mut record, job, run, &request.post)?;
    if let (Some((length, _)), false) = (&left, request.confirmed) {
        let post = item(&request.post)?;
        ask(work::odd_thread_left(
            &record.job(job)?,
            run,
            post,
            *length,
        )?)?;
    }
    let mut act = Act::default();
    for wire in entered::wires(&request.wires)? {
        let piece = piece_of(&mut record, job, run, wire, None)?;
        let subject = Subject::Wire(run, wire);
        let with = |entered: Option<String>| OnPiece {
            piece,
            lost_nm: None,
            entered,
            reason: None,
        };
        let known = |record: &mut Record, field: &str| {
            tips(record, job, &subject, field, &place).map(Earlier::after)
        };
        if let Some((length, text)) = &left {
            let with = with(Some(text.clone()));
            act.claim(
                fields::WIRE_THREAD_LEFT,
                subject,
                &place,
                Some(length),
                &with,
                known(&mut record, fields::WIRE_THREAD_LEFT.name)?,
            )?;
        }
        if let Some(turns) = &request.turns {
            act.claim(
                fields::WIRE_TURNS,
                subject,
                &place,
                Some(turns),
                &with(None),
                known(&mut record, fields::WIRE_TURNS.name)?,
            )?;
        }
        if let Some(moved) = &moved {
            act.claim(
                fields::WIRE_MARK_MOVED,
                subject,
                &place,
                Some(moved),
                &with(None),
                known(&mut record, fields::WIRE_MARK_MOVED.name)?,
            )?;
        }
        if let Some((length, text)) = &out {
            act.claim(
                fields::WIRE_END_OUT,
                subject,
                &place,
                Some(length),
                &with(Some(text.clone())),
                known(&mut record, fields::WIRE_END_OUT.name)?,
            )?;
        }
        for (field, flag) in flags {
            let Some(flag) = flag else { continue };
            act.claim(
                field,
                subject,
                &place,
                Some(&flag),
                &with(None),
                known(&mut record, field.name)?,
            )?;
        }
    }
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// Takes a wire out and puts a new piece in its place.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct RemakeWire {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// Why.
    pub reason: String,
    /// The cause, from the trade's list.
    #[serde(default)]
    #[ts(optional)]
    pub cause: Option<TakenOutFor>,
    /// Parts that can't be used again.
    #[serde(default)]
    #[ts(optional)]
    pub used: Option<PartsUsed>,
}

/// Records that a wire is made anew; cutting, crimps and readings begin again with the new piece.
pub fn remake_wire(app: &App, request: RemakeWire) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let reason = some_text("The reason", &request.reason)?;
    let mut record = app.record();
    let number = piece_of(&mut record, job, run, request.wire, None)? + 1;
    let subject = Subject::Wire(run, request.wire);
    let over = tips(&mut record, job, &subject, fields::WIRE_PIECE.name, "")?;
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
    Ok(Recorded::of(&act.record(&mut record, job)?))
}
