//! What the ends of wires show after fitting, and wires that are made anew.

use records::model::entered::{self, LengthUnit};
use records::model::values::{PartsUsed, TakenOutFor, Turns};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use crate::acts::checks::ends::{self, AsTyped, EndLengths};
use crate::handlers::measure::Typed;
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

impl ReadEnd {
    fn lengths(&self) -> Result<EndLengths, ApiError> {
        let typed = |typed: &Typed| Ok::<_, ApiError>((typed.left()?, typed.entered()));
        let moved = |text: &str| -> Result<AsTyped, ApiError> {
            let unit = LengthUnit::Millimetres;
            Ok((entered::length(text, unit)?, entered::said(text, unit)))
        };
        Ok(EndLengths {
            left: self.thread_left.as_ref().map(typed).transpose()?,
            moved: self.mark_moved.as_deref().map(moved).transpose()?,
            out: self.end_out.as_ref().map(typed).transpose()?,
        })
    }
}

/// Records thread left, turns, marks of wires at one end; more thread left than the stud has is
/// questioned.
pub fn read_end(app: &App, request: ReadEnd) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let lengths = request.lengths()?;
    let acted = ends::read(&mut app.record(), job, run, &request, &lengths)?;
    Ok(Recorded::of(&acted))
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
    let acted = ends::remake(&mut app.record(), job, run, request, reason)?;
    Ok(Recorded::of(&acted))
}
