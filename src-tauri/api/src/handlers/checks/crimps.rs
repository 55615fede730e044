//! Crimps: the day's samples that were pulled, and the terminals compared with them.
//!
//! A reject always says why.

use records::Record;
use records::ids::{BookId, Hash};
use records::model::context::CrimpRead;
use records::model::entered;
use records::model::fields;
use records::model::values::{Crimp, CrimpResult, SampleCrimp};
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{end_of, piece_of};
use crate::claim::{Act, Earlier, tips};
use crate::handlers::{Recorded, item, job_id, some_text};
use crate::{ApiError, App};

/// Records a sample crimp.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct AddSampleCrimp {
    /// The job.
    pub job: String,
    /// Its figures.
    pub sample: SampleCrimp,
    /// Press, die and batch.
    #[serde(default)]
    #[ts(optional, as = "Option<CrimpRead>")]
    pub with: CrimpRead,
}

/// Records a sample crimp that was pulled.
pub fn add_sample_crimp(app: &App, request: AddSampleCrimp) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let sample = &request.sample;
    if sample.pull_mn <= 0 || sample.held_s <= 0 || sample.mark_moved_nm < 0 {
        return Err(ApiError::invalid(
            "A sample crimp needs the pull that was held, for how long, and how far the mark moved.",
        ));
    }
    let mut record = app.record();
    let mut act = Act::default();
    let (subject, field) = (Subject::Job(job), fields::JOB_SAMPLE_CRIMP);
    // Pulled after these, whosever they are: the newest one governs, and no clock has to say which.
    let known = tips(&mut record, job, &subject, field.name, "")?;
    act.claim(
        field,
        subject,
        "",
        Some(sample),
        &request.with,
        Earlier::after(known),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// Checks crimps of wires at one end.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct CheckCrimps {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Wires, like `1-12`.
    pub wires: String,
    /// The end's post.
    pub post: String,
    /// Good or reject.
    pub result: CrimpResult,
    /// Why it was rejected.
    #[serde(default)]
    #[ts(optional)]
    pub reason: Option<String>,
    /// The day's sample that they refer to.
    #[serde(default)]
    #[ts(optional)]
    pub sample: Option<String>,
    /// The press; without it the sample's.
    #[serde(default)]
    #[ts(optional)]
    pub press: Option<String>,
    /// The die; without it the sample's.
    #[serde(default)]
    #[ts(optional)]
    pub die: Option<String>,
    /// Batch of the terminals.
    #[serde(default)]
    #[ts(optional)]
    pub batch: Option<String>,
}

/// Records crimps as checked; a reject says why, and the wire waits for a remake.
pub fn check_crimps(app: &App, request: CheckCrimps) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let reason = match request.result {
        CrimpResult::Good => None,
        CrimpResult::Reject => Some(some_text(
            "Why it was rejected",
            request.reason.as_deref().unwrap_or(""),
        )?),
    };
    let sample: Option<Hash> = request.sample.as_deref().map(str::parse).transpose()?;
    let told = |id: &Option<String>| id.as_deref().map(item).transpose();
    let (press, die, batch) = (
        told(&request.press)?,
        told(&request.die)?,
        told(&request.batch)?,
    );
    let mut record = app.record();
    // Crimps that refer to a sample were pressed as it was, where nobody says otherwise.
    let made = match sample {
        Some(sample) if press.is_none() || die.is_none() => made_as(&mut record, job, sample)?,
        _ => CrimpRead::default(),
    };
    let place = end_of(&mut record, job, run, &request.post)?;
    let mut act = Act::default();
    for wire in entered::wires(&request.wires)? {
        let piece = piece_of(&mut record, job, run, wire, None)?;
        let value = Crimp {
            result: request.result,
            reason: reason.clone(),
        };
        let with = CrimpRead {
            piece,
            sample,
            press: press.or(made.press),
            die: die.or(made.die),
            batch,
            reason: None,
        };
        let subject = Subject::Wire(run, wire);
        let field = fields::WIRE_CRIMP;
        let known = tips(&mut record, job, &subject, field.name, &place)?;
        act.claim(
            field,
            subject,
            &place,
            Some(&value),
            &with,
            Earlier::after(known),
        )?;
    }
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// Press and die of a sample.
fn made_as(record: &mut Record, job: BookId, sample: Hash) -> Result<CrimpRead, ApiError> {
    let job = record.job(job)?;
    let tips = job.sample_crimps.iter().flat_map(|fact| &fact.tips);
    let told = tips.into_iter().find(|told| told.id == sample);
    Ok(told.and_then(|told| told.with.clone()).unwrap_or_default())
}
