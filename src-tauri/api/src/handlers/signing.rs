//! Decisions that a person stands for: sign-offs, evidence that stays away.

use records::job::Job;
use records::model::context::{Head, Number, Said, Told};
use records::model::fields;
use records::model::values::{SignOff, SignStage};
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{Recorded, job_id, some_text};
use crate::app::PROGRAM;
use crate::claim::{Act, Earlier, tips};
use crate::{ApiError, App};

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

pub(crate) fn number(name: &str, value: String, origin: &str) -> Number {
    Number {
        name: name.to_owned(),
        value,
        origin: origin.to_owned(),
    }
}

/// Signs a stage off.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SignStageOff {
    /// The job.
    pub job: String,
    /// The stage.
    pub stage: SignStage,
    /// What the person states.
    pub statement: String,
}

/// Records a person's statement on a stage, with the heads that it covers.
pub fn sign_off(app: &App, request: SignStageOff) -> Result<Recorded, ApiError> {
    let job_id = job_id(&request.job)?;
    let statement = some_text("The statement", &request.statement)?;
    let mut record = app.record();
    let person = App::person(&record)?;
    let crew = record.crew_of_job(job_id)?;
    let role = record.own_member(crew).map(|m| m.role);
    let (with, basis) = {
        let job = record.job(job_id)?;
        let heads = job
            .reader
            .view
            .heads()
            .iter()
            .map(|(device, (n, hash))| Head {
                device: *device,
                n: *n,
                hash: *hash,
            })
            .collect();
        let with = Told {
            heads,
            outside_role: outside(role, request.stage),
            ..told(&job, figures(&job))
        };
        (with, records::work::sign_off_basis(&job))
    };
    let stage = crate::claim::plain(&request.stage)?;
    let place = stage.as_str().unwrap_or_default().to_owned();
    let value = SignOff { statement, person };
    let subject = Subject::Job(job_id);
    let mut act = Act::default();
    act.claim(
        fields::JOB_SIGN_OFF,
        subject,
        &place,
        Some(&value),
        &with,
        Earlier {
            over: Vec::new(),
            basis,
        },
    )?;
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
}

/// The figures that stand when a stage is signed: tensions of each run, what is unsettled and open.
fn figures(job: &Job<'_>) -> Vec<Number> {
    let mut told = Vec::new();
    for run in &job.runs {
        let Some(t) = run.tensions.value() else {
            continue;
        };
        let newtons = |mn| format!("{} N", records::model::values::Force { mn }.as_newtons());
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
fn outside(role: Option<records::crew::Role>, stage: SignStage) -> Option<String> {
    use records::crew::Role;
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

/// Says why a piece of evidence stays away.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct WaiveEvidence {
    /// The job.
    pub job: String,
    /// Key of the item, as the list of evidence gives it.
    pub key: String,
    /// Why; empty asks for it again.
    pub reason: String,
}

/// Says why a piece of evidence stays away; documents print the reason.
pub fn waive_evidence(app: &App, request: WaiveEvidence) -> Result<Recorded, ApiError> {
    let job_id = job_id(&request.job)?;
    let place = request.key.clone();
    let mut record = app.record();
    let known = records::work::lacks(&record.job(job_id)?)?;
    if !known.items.iter().any(|item| item.key == place) {
        return Err(ApiError::new(
            crate::ErrorCode::NotFound,
            "The list of evidence has no such item. Look again.",
        ));
    }
    let reason = request.reason.trim();
    let value = (!reason.is_empty()).then(|| reason.to_owned());
    let subject = Subject::Job(job_id);
    let field = fields::JOB_EVIDENCE_WAIVED;
    let over = tips(&mut record, job_id, &subject, field.name, &place)?;
    let mut act = Act::default();
    act.claim(
        field,
        subject,
        &place,
        value.as_ref(),
        &Said::default(),
        Earlier::over(over),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
}
