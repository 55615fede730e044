//! Tensions read on wires: with a gauge, or from the deflection under a hung mass.
//!
//! A gauge reading above the run's upper tension, or so near that the gauge's error may put it there,
//! or that the gauge can hardly have read, is questioned before it is recorded. What the readings say
//! about the barrier is worked out elsewhere.

use records::Record;
use records::ids::{BookId, ItemId};
use records::job::things::Tool;
use records::model::context::{ReadingTold, TensionRead};
use records::model::values::{Deflection, Force, Method, ToolKind};
use records::model::{entered, fields};
use records::subject::Subject;
use records::work;

use crate::ApiError;
use crate::acts::ask;
use crate::acts::layout::{known_to_reader, piece_of, run_in};
use crate::app::PROGRAM;
use crate::claim::{Act, Acted, Earlier, tips};
use crate::handlers::checks::{ReadDeflection, ReadTension};
use crate::handlers::{hashes, item};

/// Records a tension taken with a gauge. Without a gauge the reading stays open.
pub(crate) fn read_gauge(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &ReadTension,
    force: Force,
) -> Result<Acted, ApiError> {
    let bay = &request.round.bay;
    let piece = piece_of(record, job, run, request.wire, Some(bay))?;
    let gauge = tension_gauge(record, job, request.round.gauge.as_deref())?;
    let with = by_gauge(record, job, request, force, piece)?;
    if !request.confirmed {
        let mut odd = questions_of(record, job, run, request.wire, (force, gauge.as_ref()))?;
        odd.extend(questions_of_round(record, job, run, &with)?);
        let warm = work::odd_temperatures(with.air_cdeg, with.wire_cdeg);
        ask(odd.into_iter().chain(warm))?;
    }
    let mut act = Act::default();
    let (subject, over) = (Subject::Wire(run, request.wire), hashes(&request.over)?);
    let field = fields::WIRE_TENSION;
    let basis = tips(record, job, &subject, field.name, bay)?;
    let mut basis = known_to_reader(record, job, run, basis)?;
    basis.retain(|known| !over.contains(known));
    act.claim(
        field,
        subject,
        bay,
        Some(&force),
        &with,
        Earlier { over, basis },
    )?;
    act.record(record, job)
}

/// Asks about a tension above the run's upper one, one that the gauge can hardly have read, and a wire that
/// is not made by the record.
fn questions_of(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    wire: u32,
    (force, gauge): (Force, Option<&Tool>),
) -> Result<Vec<String>, ApiError> {
    let job = record.job(job)?;
    let of = run_in(&job, run)?;
    let set = of.tensions.value().map(|t| Force { mn: t.set_mn });
    let over = work::odd_tension(&job, run, gauge.map(|gauge| gauge.id), force)?;
    let odd = over.or_else(|| work::odd_reading(gauge, force, set));
    Ok(work::odd_to_read(of, wire).into_iter().chain(odd).collect())
}

/// Asks about a repeat that nobody reads and a pass beyond those that are planned.
fn questions_of_round(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    with: &TensionRead,
) -> Result<Vec<String>, ApiError> {
    let job = record.job(job)?;
    let pass = work::odd_pass(&job, run_in(&job, run)?, with.stage, with.pass)?;
    let repeat = with.repeat.and_then(work::odd_repeat);
    Ok(repeat.into_iter().chain(pass).collect())
}

/// The tool that was read; refuses one that reads no tension: only a tension gauge or the hung mass
/// counts.
fn tension_gauge(
    record: &mut Record,
    job: BookId,
    gauge: Option<&str>,
) -> Result<Option<Tool>, ApiError> {
    let Some(gauge) = gauge.map(item).transpose()? else {
        return Ok(None);
    };
    let job = record.job(job)?;
    let tool = job.tools.iter().find(|t| t.id == gauge);
    match tool {
        Some(tool) if tool.kind == Some(ToolKind::TensionGauge) => Ok(Some(tool.clone())),
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

/// What stands beside a gauge reading: the round, the scale, and what the gauge is told to be.
fn by_gauge(
    record: &mut Record,
    job: BookId,
    request: &ReadTension,
    force: Force,
    piece: u32,
) -> Result<TensionRead, ApiError> {
    let entered = entered::said_force(&request.newtons);
    let mut with = request.round.context(Method::Gauge, entered, piece)?;
    let raw = request.raw.as_deref().map(str::trim);
    with.raw = raw.filter(|raw| !raw.is_empty()).map(str::to_owned);
    if request.repeat == Some(0) {
        return Err(ApiError::invalid(
            "Repeats of a reading are counted from 1; leave the repeat out where the wire was read once. \
             Nothing was saved.",
        ));
    }
    with.repeat = request.repeat;
    with.reason.clone_from(&request.remark);
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
    with.told = Some(told)
        .filter(|told| !told.numbers.is_empty())
        .map(as_told);
    Ok(with)
}

/// Names the version that told it.
fn as_told(told: ReadingTold) -> ReadingTold {
    ReadingTold {
        program: PROGRAM.to_owned(),
        ..told
    }
}

/// Records the deflection of a wire under a hung mass at mid span, with the tension it speaks of.
pub(crate) fn read_deflection(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &ReadDeflection,
    read: Deflection,
) -> Result<Acted, ApiError> {
    let (wire, bay) = (request.wire, &request.round.bay);
    let piece = piece_of(record, job, run, wire, Some(bay))?;
    let (down, mass) = (
        request.deflection.entered(),
        entered::said_mass(&request.grams),
    );
    let entered = format!("{down} under {mass}");
    let mut with = request.round.context(Method::HungMass, entered, piece)?;
    let told = {
        let job = record.job(job)?;
        if !request.confirmed {
            let odd = work::odd_deflection(&job, run, wire, bay, read)?;
            let of = run_in(&job, run)?;
            ask(work::odd_to_read(of, wire)
                .into_iter()
                .chain(odd)
                .chain(work::odd_pass(&job, of, with.stage, with.pass)?))?;
        }
        work::tell_deflection(&job, run, wire, bay, read)?
    };
    with.told = Some(as_told(told));
    let mut act = Act::default();
    let subject = Subject::Wire(run, wire);
    let field = fields::WIRE_DEFLECTION;
    let known = tips(record, job, &subject, field.name, bay)?;
    let known = known_to_reader(record, job, run, known)?;
    act.claim(
        field,
        subject,
        bay,
        Some(&read),
        &with,
        Earlier::after(known),
    )?;
    act.record(record, job)
}
