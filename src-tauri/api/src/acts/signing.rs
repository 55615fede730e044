//! Decisions that a person stands for: what they are told, sign-offs, evidence that stays away.

use std::collections::BTreeSet;

use records::Record;
use records::crew::Role;
use records::ids::{BookId, DeviceId};
use records::job::Job;
use records::model::context::{Head, Number, Said, Told};
use records::model::fields;
use records::model::values::{Force, SignOff, SignStage};
use records::subject::Subject;
use records::work::{self, Flag, Stage};

use crate::app::PROGRAM;
use crate::claim::{Act, Acted, Earlier, plain, tips};
use crate::{ApiError, App, ErrorCode};

/// What a decision is told: program, rule set, numbers.
pub(crate) fn told(job: &Job<'_>, numbers: Vec<Number>) -> Told {
    Told {
        program: PROGRAM.to_owned(),
        rule_set: job
            .reader
            .value(fields::JOB_RULE_SET, &job.subject())
            .map(|r| r.sha256),
        numbers,
        ..Told::default()
    }
}

/// A number that a decision is told, with its origin.
pub(crate) fn number(name: &str, value: String, origin: &str) -> Number {
    Number {
        name: name.to_owned(),
        value,
        origin: origin.to_owned(),
    }
}

/// Records a person's statement on a stage, with the heads that it covers; answers what by the record is not
/// that far, which blocks nothing and stands with the statement.
pub(crate) fn sign_off(
    record: &mut Record,
    job_id: BookId,
    stage: SignStage,
    statement: String,
) -> Result<(Acted, Vec<String>), ApiError> {
    let person = App::person(record)?;
    let crew = record.crew_of_job(job_id)?;
    let role = record.own_member(crew).map(|m| m.role);
    let job = record.job(job_id)?;
    let behind = behind(&job, stage)?;
    let mut figures = figures(&job);
    figures.extend(behind.iter().cloned());
    let with = Told {
        heads: heads(&job),
        outside_role: outside(role, stage),
        ..told(&job, figures)
    };
    let earlier = Earlier::after(work::sign_off_basis(&job));
    let stage = plain(&stage)?;
    let place = stage.as_str().unwrap_or_default();
    let value = SignOff { statement, person };
    let (field, subject) = (fields::JOB_SIGN_OFF, Subject::Job(job_id));
    let mut act = Act::default();
    act.claim(field, subject, place, Some(&value), &with, earlier)?;
    let said = |n: &Number| format!("Signed with {}: {}.", n.name, n.value);
    let remarks = behind.iter().map(said).collect();
    Ok((act.record(record, job_id)?, remarks))
}

/// Wires that by the record are not as far as the stage says.
fn behind(job: &Job<'_>, stage: SignStage) -> Result<Vec<Number>, ApiError> {
    let (far, words) = match stage {
        SignStage::Cutting => (Stage::Cut, "cut"),
        SignStage::Tension => (Stage::Tensioned, "tensioned"),
        SignStage::Gaps | SignStage::Handover => (Stage::Checked, "checked"),
        // At the recheck what stands out is told, and how far the wires had come before.
        SignStage::Recheck => (Stage::Tensioned, "tensioned"),
        SignStage::Survey | SignStage::BeforeOrdering => return Ok(Vec::new()),
    };
    let mut told = Vec::new();
    for run in &job.runs {
        let wires = work::progress(job, run.id)?.wires;
        let short = wires.iter().filter(|w| w.stage < far).map(|w| w.wire);
        let short: Vec<u32> = short.collect();
        let flagged = |flag: Flag| -> Vec<u32> {
            let with = wires.iter().filter(|w| w.flags.contains(&flag));
            with.map(|w| w.wire).collect()
        };
        let mut tell = |what: &str, of: &[u32]| {
            if !of.is_empty() {
                let name = format!("wires of run {} {what}", run.name);
                told.push(number(
                    &name,
                    work::words::ranges(of),
                    "counted in the record",
                ));
            }
        };
        tell(&format!("not {words} by the record"), &short);
        tell("over the upper tension", &flagged(Flag::Over));
        tell("below the required tension", &flagged(Flag::Below));
        let sags = "further down under the hung mass than the table lets them";
        tell(sags, &flagged(Flag::Sags));
    }
    Ok(told)
}

/// The last entry of each device that the job's book holds, and of each branch of a forked one.
fn heads(job: &Job<'_>) -> Vec<Head> {
    let view = job.reader.view;
    let branches = |device: &DeviceId| match job.forked.contains(device) {
        true => view.branches(device, None),
        false => view.heads().get(device).copied().into_iter().collect(),
    };
    let all = view.heads().keys();
    all.flat_map(|device| {
        let branches = branches(device).into_iter();
        branches.map(|(n, hash)| Head {
            device: *device,
            n,
            hash,
        })
    })
    .collect()
}

/// The figures that stand when a stage is signed: tensions of each run, what is unsettled and open.
fn figures(job: &Job<'_>) -> Vec<Number> {
    let mut told = Vec::new();
    for run in &job.runs {
        let Some(t) = run.tensions.value() else {
            continue;
        };
        let newtons = |mn| format!("{} N", Force { mn }.as_newtons());
        let mut tell = |name, mn, origin: &str| {
            told.push(number(
                &format!("{name} tension of run {}", run.name),
                newtons(mn),
                origin,
            ));
        };
        tell("required", t.required_mn, &t.required_origin);
        tell("set", t.set_mn, "decided by a person");
        tell("upper", t.upper_mn, &t.upper_origin);
    }
    let open = job.defects.iter().filter(|d| d.closed.value().is_none());
    let counted = "counted in the record";
    told.push(number(
        "values in dispute or changed by a newer version",
        job.reader.unsettled().count().to_string(),
        counted,
    ));
    told.push(number("open defects", open.count().to_string(), counted));
    told
}

/// Marks a sign-off that the person's role did not ask for; nothing is blocked for it.
fn outside(role: Option<Role>, stage: SignStage) -> Option<String> {
    let asked = match stage {
        SignStage::Survey | SignStage::BeforeOrdering => Role::Surveyor,
        SignStage::Cutting | SignStage::Tension | SignStage::Gaps | SignStage::Recheck => {
            Role::Installer
        }
        SignStage::Handover => Role::Office,
    };
    match role {
        Some(role) if role == asked => None,
        Some(role) => Some(format!(
            "signed from a device of role {role:?}, {asked:?} asked for"
        )),
        None => Some("signed from a device that the crew has not admitted".into()),
    }
}

/// Says why pieces of evidence stay away, all in one act; an empty reason asks for them again.
pub(crate) fn waive(
    record: &mut Record,
    job: BookId,
    keys: &[String],
    reason: &str,
) -> Result<Acted, ApiError> {
    let known = work::lacks(&record.job(job)?)?;
    let asked: BTreeSet<&str> = keys.iter().map(String::as_str).collect();
    let there = |key: &&str| known.items.iter().any(|item| item.key == **key);
    if asked.is_empty() || !asked.iter().all(there) {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            "The list of evidence has no such item. Look again. Nothing was saved.",
        ));
    }
    let reason = reason.trim();
    let value = (!reason.is_empty()).then(|| reason.to_owned());
    let (field, subject) = (fields::JOB_EVIDENCE_WAIVED, Subject::Job(job));
    let mut act = Act::default();
    for key in asked {
        let earlier = Earlier::over(tips(record, job, &subject, field.name, key)?);
        let said = Said::default();
        act.claim(field, subject, key, value.as_ref(), &said, earlier)?;
    }
    act.record(record, job)
}
