//! Tensions read on wires: with a gauge, or from the deflection under a hung mass.
//!
//! A gauge reading above the run's upper tension is questioned before it is recorded. What the
//! readings say about the barrier is worked out elsewhere.

use records::Record;
use records::ids::{BookId, ItemId};
use records::model::context::{ReadingTold, TensionRead};
use records::model::entered;
use records::model::fields;
use records::model::values::{Deflection, Force, Method, Stage, Sun, ToolKind};
use records::subject::Subject;
use records::work;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{piece_of, positive_force, run_of};
use crate::app::PROGRAM;
use crate::claim::{Act, Earlier, tips};
use crate::handlers::measure::{Typed, ask};
use crate::handlers::{Recorded, hashes, item, job_id};
use crate::{ApiError, App, ErrorCode};

/// What a round sets once: gauge, bay, temperatures, pass.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Round {
    /// The bay as a place: `<post>:<post>`.
    pub bay: String,
    /// Pass, final or recheck.
    pub stage: Stage,
    /// Number of the pass.
    #[serde(default)]
    #[ts(optional)]
    pub pass: Option<u32>,
    /// The gauge's id.
    #[serde(default)]
    #[ts(optional)]
    pub gauge: Option<String>,
    /// Chart that turned the scale into newtons.
    #[serde(default)]
    #[ts(optional)]
    pub chart: Option<String>,
    /// Air temperature in degrees Celsius, as typed.
    #[serde(default)]
    #[ts(optional)]
    pub air: Option<String>,
    /// Wire temperature in degrees Celsius, as typed.
    #[serde(default)]
    #[ts(optional)]
    pub wire_temperature: Option<String>,
    /// Sun or shade on the wire.
    #[serde(default)]
    #[ts(optional)]
    pub sun: Option<Sun>,
}

impl Round {
    pub(super) fn context(
        &self,
        method: Method,
        entered: String,
        piece: u32,
    ) -> Result<TensionRead, ApiError> {
        let degrees = |text: &Option<String>| -> Result<Option<i64>, ApiError> {
            match text.as_deref().map(str::trim).filter(|t| !t.is_empty()) {
                None => Ok(None),
                Some(t) => match entered::decimal(t, 2) {
                    Some(c) if (-6000..=9000).contains(&c) => Ok(Some(c)),
                    _ => Err(ApiError::invalid(format!(
                        "{:?} is no temperature between −60 and 90 °C.",
                        t.chars().take(20).collect::<String>()
                    ))),
                },
            }
        };
        Ok(TensionRead {
            entered: Some(entered),
            method,
            stage: self.stage,
            pass: self.pass,
            piece,
            gauge: self.gauge.as_deref().map(item).transpose()?,
            raw: None,
            chart: self.chart.clone(),
            repeat: None,
            air_cdeg: degrees(&self.air)?,
            wire_cdeg: degrees(&self.wire_temperature)?,
            sun: self.sun,
            reason: None,
            told: None,
        })
    }
}

/// Reads a tension.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ReadTension {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// Newtons as typed.
    pub newtons: String,
    /// What the scale showed, where a chart was used.
    #[serde(default)]
    #[ts(optional)]
    pub raw: Option<String>,
    /// Set once for a round.
    pub round: Round,
    /// Which repeat of the reading, where a wire is read several times in one round.
    #[serde(default)]
    #[ts(optional)]
    pub repeat: Option<u32>,
    /// What was found or done about it.
    #[serde(default)]
    #[ts(optional)]
    pub remark: Option<String>,
    /// Entries that it corrects.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<String>>")]
    pub over: Vec<String>,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Records a tension taken with a gauge; one above the upper tension is questioned, and a tool that
/// is no tension gauge refused. Without a gauge the reading stays open.
pub fn read_tension(app: &App, request: ReadTension) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let force = positive_force(&request.newtons)?;
    let mut record = app.record();
    let piece = piece_of(
        &mut record,
        job,
        run,
        request.wire,
        Some(&request.round.bay),
    )?;
    if !request.confirmed {
        question_tension(&mut record, job, run, force)?;
    }
    tension_gauge(&mut record, job, request.round.gauge.as_deref())?;
    let entered = format!("{} N", request.newtons.trim());
    let mut with = request.round.context(Method::Gauge, entered, piece)?;
    with.raw = request
        .raw
        .map(|raw| raw.trim().to_owned())
        .filter(|raw| !raw.is_empty());
    with.repeat = request.repeat;
    with.reason = request.remark;
    let tool = match with.gauge {
        Some(gauge) => record.tool(job, gauge)?,
        None => None,
    };
    let told = work::tell_gauge(
        tool.as_ref(),
        force,
        with.raw.as_deref(),
        with.chart.as_deref(),
    );
    with.told = Some(told).filter(|told| !told.numbers.is_empty());
    if let Some(told) = &mut with.told {
        told.program = PROGRAM.to_owned();
    }
    let mut act = Act::default();
    let (subject, over) = (Subject::Wire(run, request.wire), hashes(&request.over)?);
    let (field, place) = (fields::WIRE_TENSION, &request.round.bay);
    // Read after these, whosever they are: no clock has to say so.
    let mut basis = tips(&mut record, job, &subject, field.name, place)?;
    basis.retain(|known| !over.contains(known));
    act.claim(
        field,
        subject,
        place,
        Some(&force),
        &with,
        Earlier { over, basis },
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// Reads a deflection under a hung mass.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ReadDeflection {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// How far the wire went down.
    pub deflection: Typed,
    /// The mass as weighed, in grams as typed.
    pub grams: String,
    /// Set once for a round.
    pub round: Round,
    /// Set when the person was asked about an odd value and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Records the deflection of a wire under a hung mass at mid span; one that tells more than a wire may
/// have, less than a ruler can, or a slack wire is questioned.
pub fn read_deflection(app: &App, request: ReadDeflection) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let length = request.deflection.length()?;
    let mass_mg = entered::decimal(request.grams.trim(), 3)
        .filter(|mg| *mg > 0)
        .ok_or_else(|| {
            ApiError::invalid("The mass is missing. Type grams as weighed, like 1998.")
        })?;
    let mut record = app.record();
    let piece = piece_of(
        &mut record,
        job,
        run,
        request.wire,
        Some(&request.round.bay),
    )?;
    let mut with = request
        .round
        .context(Method::HungMass, request.deflection.entered(), piece)?;
    let value = Deflection {
        nm: length.nm,
        mass_mg,
    };
    let told = {
        let job = record.job(job)?;
        if !request.confirmed {
            let (wire, bay) = (request.wire, &request.round.bay);
            ask(work::odd_deflection(&job, run, wire, bay, value)?)?;
        }
        work::tell_deflection(&job, run, request.wire, &request.round.bay, value)?
    };
    with.told = Some(ReadingTold {
        program: PROGRAM.to_owned(),
        ..told
    });
    let mut act = Act::default();
    let subject = Subject::Wire(run, request.wire);
    let (field, place) = (fields::WIRE_DEFLECTION, &request.round.bay);
    let known = tips(&mut record, job, &subject, field.name, place)?;
    act.claim(
        field,
        subject,
        place,
        Some(&value),
        &with,
        Earlier::after(known),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// Refuses a tool that reads no tension: only a tension gauge or the hung mass counts.
fn tension_gauge(record: &mut Record, job: BookId, gauge: Option<&str>) -> Result<(), ApiError> {
    let Some(gauge) = gauge.map(item).transpose()? else {
        return Ok(());
    };
    let job = record.job(job)?;
    let tool = job.tools.iter().find(|t| t.id == gauge);
    match tool {
        Some(tool) if tool.kind == Some(ToolKind::TensionGauge) => Ok(()),
        Some(tool) => Err(ApiError::invalid(format!(
            "{} is no tension gauge. Choose the gauge that was read, or hang the mass and tell the \
             deflection. Nothing was saved.",
            tool.name
        ))),
        None => Err(ApiError::invalid(
            "The job has no such tool. Enter the gauge first. Nothing was saved.",
        )),
    }
}

fn question_tension(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    force: Force,
) -> Result<(), ApiError> {
    let run = run_of(record, job, run)?;
    let upper = run.tensions.value().map(|t| t.upper_mn);
    match upper {
        Some(upper) if force.mn > upper => Err(ApiError::new(
            ErrorCode::Questioned,
            format!(
                "{} N is over the upper tension of {} N. Stop. Is the reading right?",
                force.as_newtons(),
                Force { mn: upper }.as_newtons()
            ),
        )),
        _ => Ok(()),
    }
}
