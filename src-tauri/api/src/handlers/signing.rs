//! Decisions that a person stands for: tensions of a run, sign-offs, evidence that stays away.

use records::job::Job;
use records::model::context::{Head, Number, Said, Told};
use records::model::fields;
use records::model::values::{SignOff, SignStage, Tensions};
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{Recorded, item, job_id, some_text};
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

/// Decides the tensions of a run.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SetTensions {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Required, set and upper tension, and the passes.
    pub tensions: Tensions,
}

/// Decides required, set and upper tension of a run; refuses a set tension above the upper one.
pub fn set_tensions(app: &App, request: SetTensions) -> Result<Recorded, ApiError> {
    let (job_id, run) = (job_id(&request.job)?, item(&request.run)?);
    let t = &request.tensions;
    let newtons = |mn: i64| format!("{} N", records::model::values::Force { mn }.as_newtons());
    if t.required_mn <= 0 || t.set_mn <= 0 || t.upper_mn <= 0 {
        return Err(ApiError::invalid(
            "Required, set and upper tension must be more than 0 N.",
        ));
    }
    if t.set_mn > t.upper_mn {
        return Err(ApiError::invalid(format!(
            "The set tension of {} is above the upper tension of {}. Lower it, or change posts, \
             fittings or bays so that the upper tension rises.",
            newtons(t.set_mn),
            newtons(t.upper_mn)
        )));
    }
    if t.set_mn < t.required_mn {
        return Err(ApiError::invalid(format!(
            "The set tension of {} is below the required {}.",
            newtons(t.set_mn),
            newtons(t.required_mn)
        )));
    }
    if t.passes_mn.last() != Some(&t.set_mn)
        || t.passes_mn.iter().any(|p| *p <= 0 || *p > t.upper_mn)
    {
        return Err(ApiError::invalid(
            "The last pass must end at the set tension, and none above the upper one.",
        ));
    }
    let subject = Subject::run(run);
    let mut record = app.record();
    let (with, basis) = {
        let job = record.job(job_id)?;
        let layout = job.run(run).ok_or_else(|| {
            ApiError::new(crate::ErrorCode::NotFound, "This run is not in the job.")
        })?;
        let basis = layout
            .bays
            .iter()
            .flat_map(|b| &b.readings)
            .filter_map(|f| f.told().map(|t| t.id))
            .collect();
        let numbers = vec![
            number("required", newtons(t.required_mn), &t.required_origin),
            number("set", newtons(t.set_mn), "decided by a person"),
            number("upper", newtons(t.upper_mn), &t.upper_origin),
        ];
        (told(&job, numbers), basis)
    };
    let over = tips(&mut record, job_id, &subject, fields::RUN_TENSIONS.name, "")?;
    let mut act = Act::default();
    act.claim(
        fields::RUN_TENSIONS,
        subject,
        "",
        Some(t),
        &with,
        Earlier { over, basis },
    )?;
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
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
    let with = {
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
        Told {
            heads,
            outside_role: outside(role, request.stage),
            ..told(&job, Vec::new())
        }
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
        Earlier::none(),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job_id)?))
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
