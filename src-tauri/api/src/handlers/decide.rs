//! Deciding the tensions of a run.
//!
//! Invariant: where a figure is from is said by the handler, which looks: the table's row is named
//! only for the table's own figure. What is typed instead is told as typed, with what was asked.

use records::Record;
use records::model::fields;
use records::model::values::{Force, Tensions};
use records::subject::Subject;
use records::work::{self, TensionPlan};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::signing::{number, told};
use super::{Recorded, item, job_id};
use crate::claim::{Act, Earlier, tips};
use crate::{ApiError, App, ErrorCode};

/// Decides the tensions of a run.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct SetTensions {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Required, set and upper tension, and the passes. An origin that is given stands beside what the
    /// job gives, and counts for nothing where the figure is the job's own.
    pub tensions: Tensions,
    /// Set when the person was asked about a figure below the table or above a limit and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Decides required, set and upper tension of a run; refuses a set tension above the upper one, and
/// questions a required tension below the table or below the one decided before, one beside a bay
/// that the table has no figure for or on facts that people differ on, a set tension without room for
/// the gauge's error or for what is lost later, and an upper tension above the least known limit.
pub fn set_tensions(app: &App, request: SetTensions) -> Result<Recorded, ApiError> {
    decide(&mut app.record(), request)
}

/// The same on a record that is held.
pub(super) fn decide(record: &mut Record, request: SetTensions) -> Result<Recorded, ApiError> {
    let (job_id, run) = (job_id(&request.job)?, item(&request.run)?);
    possible(&request.tensions)?;
    let subject = Subject::run(run);
    let (value, with, basis) = {
        let job = record.job(job_id)?;
        let plan = work::tension_plan(&job, run)?;
        let mut origins = Origins::of(&request.tensions, &plan);
        let of = &request.tensions;
        origins.ask(plan.question_required(of.required_mn));
        origins.ask(plan.question_set(of.required_mn, of.set_mn)?);
        if !request.confirmed && !origins.questions.is_empty() {
            let asked = origins.questions.join(" ");
            let question = format!("{asked} Keep it all the same?");
            return Err(ApiError::new(ErrorCode::Questioned, question));
        }
        let value = Tensions {
            required_origin: origins.required,
            upper_origin: origins.upper,
            ..request.tensions
        };
        let basis = work::tension_basis(&job, run)?;
        (value.clone(), told(&job, numbers(&value)), basis)
    };
    let over = tips(record, job_id, &subject, fields::RUN_TENSIONS.name, "")?;
    let mut act = Act::default();
    act.claim(
        fields::RUN_TENSIONS,
        subject,
        "",
        Some(&value),
        &with,
        Earlier { over, basis },
    )?;
    Ok(Recorded::of(&act.record(record, job_id)?))
}

fn newtons(mn: i64) -> String {
    format!("{} N", Force { mn }.as_newtons())
}

/// Refuses tensions that can't be.
fn possible(t: &Tensions) -> Result<(), ApiError> {
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
    Ok(())
}

/// Where the figures are from, and what a person is asked first.
struct Origins {
    required: String,
    upper: String,
    questions: Vec<String>,
}

impl Origins {
    fn of(t: &Tensions, plan: &TensionPlan) -> Self {
        let mn = |newtons: f64| Force::from_newtons(newtons).mn;
        let mut questions = plan.unsettled.clone();
        questions.extend(plan.open_bays.iter().map(|bay| bay.sentence.clone()));
        let required = match &plan.required {
            Some(asked) if t.required_mn == mn(asked.newtons) => asked.origin.clone(),
            Some(asked) => {
                let table = format!("{} ({})", newtons(mn(asked.newtons)), asked.origin);
                if t.required_mn < mn(asked.newtons) {
                    questions.push(format!(
                        "The required tension of {} is below the {table} that the table asks.",
                        newtons(t.required_mn)
                    ));
                    let stated = work::typed_below(&t.required_origin);
                    format!("{stated}; the table asks {table}")
                } else {
                    format!(
                        "{}; the table asks {table}",
                        work::typed(&t.required_origin)
                    )
                }
            }
            None => work::typed(&t.required_origin),
        };
        let upper = match plan.upper_exact_n {
            Some(exact) if [Some(exact), plan.upper_n].contains(&Some(of_mn(t.upper_mn))) => {
                plan.upper_origin.clone()
            }
            Some(exact) => {
                let limit = format!("{exact:.0} N ({})", plan.upper_origin);
                if of_mn(t.upper_mn) > exact {
                    questions.push(format!(
                        "The upper tension of {} is above {limit}, the least limit that is known.",
                        newtons(t.upper_mn)
                    ));
                }
                let stated = work::typed(&t.upper_origin);
                format!("{stated}; the least known limit is {limit}")
            }
            None => work::typed(&t.upper_origin),
        };
        let required = match plan.open_bays.as_slice() {
            [] => required,
            open => {
                let bays: Vec<&str> = open.iter().map(|b| b.name.as_str()).collect();
                format!(
                    "{required}; the table has no figure for bay {}",
                    bays.join(", ")
                )
            }
        };
        Origins {
            required,
            upper,
            questions,
        }
    }

    fn ask(&mut self, question: Option<String>) {
        self.questions.extend(question);
    }
}

fn of_mn(mn: i64) -> f64 {
    Force { mn }.as_newtons()
}

fn numbers(t: &Tensions) -> Vec<records::model::context::Number> {
    vec![
        number("required", newtons(t.required_mn), &t.required_origin),
        number("set", newtons(t.set_mn), "decided by a person"),
        number("upper", newtons(t.upper_mn), &t.upper_origin),
    ]
}
