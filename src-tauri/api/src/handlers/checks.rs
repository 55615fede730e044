//! Readings and checks: crimps, tensions, gaps, thread left.

use records::Record;
use records::ids::{BookId, ItemId};
use records::model::context::{CrimpRead, GapRead, OnPiece, Said, TensionRead};
use records::model::entered;
use records::model::fields;
use records::model::values::{
    Crimp, CrimpResult, Deflection, Force, GapCheck, Method, Piece, ProbeResult, SampleCrimp,
    Stage, Sun, Turns,
};
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::measure::Typed;
use super::{Recorded, hashes, item, job_id, some_text};
use crate::claim::{Act, tips};
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
    fn context(
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

/// Records a tension taken with a gauge; one above the upper tension is questioned.
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
    let entered = format!("{} N", request.newtons.trim());
    let mut with = request.round.context(Method::Gauge, entered, piece)?;
    with.raw = request.raw;
    with.reason = request.remark;
    let mut act = Act::default();
    let (subject, over) = (Subject::Wire(run, request.wire), hashes(&request.over)?);
    act.claim(
        fields::WIRE_TENSION,
        subject,
        &request.round.bay,
        Some(&force),
        &with,
        over,
        Vec::new(),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

fn positive_force(text: &str) -> Result<Force, ApiError> {
    let force = entered::force(text)?;
    if force.mn <= 0 || force > Force::newtons(100_000) {
        return Err(ApiError::invalid(format!(
            "{} N can't be a wire's tension. Type newtons, like 1490.",
            text.trim().chars().take(20).collect::<String>()
        )));
    }
    Ok(force)
}

fn question_tension(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    force: Force,
) -> Result<(), ApiError> {
    let job = record.job(job)?;
    let upper = job
        .run(run)
        .and_then(|r| r.tensions.value())
        .map(|t| t.upper_mn);
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

/// The piece of strand in place; refuses a wire or bay that the layout does not have.
fn piece_of(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    wire: u32,
    bay: Option<&str>,
) -> Result<u32, ApiError> {
    let job = record.job(job)?;
    let run = job
        .run(run)
        .ok_or_else(|| ApiError::new(ErrorCode::NotFound, "This run is not in the job."))?;
    let found = run.wire(wire).ok_or_else(|| {
        ApiError::invalid(format!(
            "Run {} has {} wires; there is no wire {wire}.",
            run.name,
            run.wires.len()
        ))
    })?;
    if let Some(place) = bay {
        let known = run
            .bays
            .iter()
            .any(|b| crate::views::job::bay_place(b) == place);
        if !known {
            return Err(ApiError::invalid(format!(
                "Run {} has no such bay.",
                run.name
            )));
        }
    }
    Ok(found.piece_number)
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
}

/// Records the deflection of a wire under a hung mass at mid span.
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
    let with = request
        .round
        .context(Method::HungMass, request.deflection.entered(), piece)?;
    let value = Deflection {
        nm: length.nm,
        mass_mg,
    };
    let mut act = Act::default();
    let subject = Subject::Wire(run, request.wire);
    act.claim(
        fields::WIRE_DEFLECTION,
        subject,
        &request.round.bay,
        Some(&value),
        &with,
        Vec::new(),
        Vec::new(),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

/// One opening where the probe did not stop, or was looked at by itself.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct GapException {
    /// Lower wire of the opening; 0 is floor to wire 1.
    pub above_wire: u32,
    /// What the probe did.
    pub result: ProbeResult,
    /// Remark.
    #[serde(default)]
    #[ts(optional)]
    pub remark: Option<String>,
}

/// Checks the gaps of a bay.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct CheckGaps {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// The bay as a subject.
    pub bay: String,
    /// Diameter of the probe.
    pub probe: Typed,
    /// Push in newtons where it was measured; empty: by hand.
    #[serde(default)]
    #[ts(optional)]
    pub push: Option<String>,
    /// Openings apart from the rest; the rest stops the probe.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<GapException>>")]
    pub exceptions: Vec<GapException>,
}

/// Records a gap check: all openings of the bay stop the probe, but for the exceptions.
pub fn check_gaps(app: &App, request: CheckGaps) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let bay: Subject = request.bay.parse()?;
    let probe_nm = request.probe.length()?.nm;
    let push_mn = request
        .push
        .as_deref()
        .map(str::trim)
        .filter(|p| !p.is_empty())
        .map(positive_force)
        .transpose()?
        .map(|f| f.mn);
    let mut record = app.record();
    {
        let job = record.job(job)?;
        let known = job
            .run(run)
            .is_some_and(|r| r.bays.iter().any(|b| b.subject == bay));
        if !known {
            return Err(ApiError::invalid("The run has no such bay."));
        }
    }
    let context = |remark: Option<String>| GapRead {
        probe_nm,
        tool: None,
        push_mn,
        reason: remark,
    };
    let fails = request
        .exceptions
        .iter()
        .any(|e| e.result == ProbeResult::Passes);
    let whole = GapCheck {
        result: if fails {
            ProbeResult::Passes
        } else {
            ProbeResult::Stops
        },
    };
    let mut act = Act::default();
    let place = run.to_string();
    act.claim(
        fields::BAY_GAPS,
        bay,
        &place,
        Some(&whole),
        &context(None),
        Vec::new(),
        Vec::new(),
    )?;
    for one in &request.exceptions {
        let place = format!("{run}/{}", one.above_wire);
        let value = GapCheck { result: one.result };
        let with = context(one.remark.clone());
        act.claim(
            fields::BAY_GAPS,
            bay,
            &place,
            Some(&value),
            &with,
            Vec::new(),
            Vec::new(),
        )?;
    }
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

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
    let subject = Subject::Job(job);
    act.claim(
        fields::JOB_SAMPLE_CRIMP,
        subject,
        "",
        Some(sample),
        &request.with,
        Vec::new(),
        Vec::new(),
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
}

/// Records crimps as checked; a reject says why, and the wire waits for a remake.
pub fn check_crimps(app: &App, request: CheckCrimps) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let post = item(&request.post)?;
    let reason = match request.result {
        CrimpResult::Good => None,
        CrimpResult::Reject => Some(some_text(
            "Why it was rejected",
            request.reason.as_deref().unwrap_or(""),
        )?),
    };
    let sample = request.sample.as_deref().map(str::parse).transpose()?;
    let mut record = app.record();
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
            ..CrimpRead::default()
        };
        let subject = Subject::Wire(run, wire);
        act.claim(
            fields::WIRE_CRIMP,
            subject,
            &post.to_string(),
            Some(&value),
            &with,
            Vec::new(),
            Vec::new(),
        )?;
    }
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

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
}

/// Records thread left, turns, marks of wires at one end.
pub fn read_end(app: &App, request: ReadEnd) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let place = item(&request.post)?.to_string();
    let left = request
        .thread_left
        .as_ref()
        .map(|t| t.length().map(|l| (l, t.entered())))
        .transpose()?;
    let moved = request
        .mark_moved
        .as_deref()
        .map(|text| entered::length(text, entered::LengthUnit::Millimetres))
        .transpose()?;
    let mut record = app.record();
    let mut act = Act::default();
    for wire in entered::wires(&request.wires)? {
        let piece = piece_of(&mut record, job, run, wire, None)?;
        let subject = Subject::Wire(run, wire);
        let with = |entered: Option<String>| OnPiece {
            piece,
            entered,
            reason: None,
        };
        if let Some((length, text)) = &left {
            let with = with(Some(text.clone()));
            act.claim(
                fields::WIRE_THREAD_LEFT,
                subject,
                &place,
                Some(length),
                &with,
                Vec::new(),
                Vec::new(),
            )?;
        }
        if let Some(turns) = &request.turns {
            act.claim(
                fields::WIRE_TURNS,
                subject,
                &place,
                Some(turns),
                &with(None),
                Vec::new(),
                Vec::new(),
            )?;
        }
        if let Some(moved) = &moved {
            act.claim(
                fields::WIRE_MARK_MOVED,
                subject,
                &place,
                Some(moved),
                &with(None),
                Vec::new(),
                Vec::new(),
            )?;
        }
        if let Some(hidden) = &request.mark_hidden {
            act.claim(
                fields::WIRE_MARK_HIDDEN,
                subject,
                &place,
                Some(hidden),
                &with(None),
                Vec::new(),
                Vec::new(),
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
    act.claim(
        fields::WIRE_PIECE,
        subject,
        "",
        Some(&value),
        &Said::default(),
        over,
        Vec::new(),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}
