//! Deciding the tensions of a run.
//!
//! Invariant: where a figure is from is said here, by looking: the table's row is named only for the
//! table's own figure. What is typed instead is told as typed, with what was asked; a yes to a
//! question is kept with the decision, beside the question.

use records::Record;
use records::ids::{BookId, ItemId};
use records::job::Job;
use records::model::context::{Number, Told};
use records::model::fields;
use records::model::values::{Force, Tensions};
use records::subject::Subject;
use records::work::{self, TensionPlan};

use super::signing::{number, told};
use crate::claim::{Act, Acted, Earlier, tips};
use crate::handlers::decide::SetTensions;
use crate::{ApiError, ErrorCode};

/// Decides required, set and upper tension of a run.
pub(crate) fn tensions(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &SetTensions,
) -> Result<Acted, ApiError> {
    let subject = Subject::run(run);
    let (value, with, basis) = {
        let job = record.job(job)?;
        let decided = with_passes(&job, &request.tensions)?;
        possible(&decided)?;
        let (value, told) = settled(&job, run, &decided, request.confirmed)?;
        let with = Told {
            entered: request.entered.clone(),
            ..told
        };
        (value, with, work::tension_basis(&job, run)?)
    };
    let over = tips(record, job, &subject, fields::RUN_TENSIONS.name, "")?;
    let mut act = Act::default();
    act.claim(
        fields::RUN_TENSIONS,
        subject,
        "",
        Some(&value),
        &with,
        Earlier { over, basis },
    )?;
    act.record(record, job)
}

/// The tensions with the usual passes where none are told.
fn with_passes(job: &Job<'_>, of: &Tensions) -> Result<Tensions, ApiError> {
    let mut decided = of.clone();
    if decided.passes_mn.is_empty() && decided.set_mn > 0 {
        decided.passes_mn = work::usual_passes(job, decided.set_mn)?;
    }
    Ok(decided)
}

/// The tensions with where each is from; asks what a person has to be asked first.
fn settled(
    job: &Job<'_>,
    run: ItemId,
    of: &Tensions,
    confirmed: bool,
) -> Result<(Tensions, Told), ApiError> {
    let plan = work::tension_plan(job, run)?;
    let mut questions = plan.unsettled.clone();
    questions.extend(plan.upper_missing.clone());
    questions.extend(plan.open_bays.iter().map(|bay| bay.sentence.clone()));
    let value = Tensions {
        required_origin: required_origin(of, &plan, &mut questions),
        upper_origin: upper_origin(of, &plan, &mut questions),
        ..of.clone()
    };
    questions.extend(plan.question_required(of.required_mn));
    questions.extend(plan.question_set(of)?);
    if !confirmed && !questions.is_empty() {
        let asked = questions.join(" ");
        let question = format!("{asked} Keep it all the same?");
        return Err(ApiError::new(ErrorCode::Questioned, question));
    }
    let mut figures = numbers(&value);
    if !questions.is_empty() {
        let asked = questions.join(" ");
        figures.push(number(work::ASKED, asked, "by who decided"));
    }
    let with = told(job, figures);
    Ok((value, with))
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
    let falls = |pair: &[i64]| pair.first() > pair.last();
    if t.passes_mn.windows(2).any(falls) {
        return Err(ApiError::invalid(
            "Each pass goes at least as high as the one before it: tell the passes in rising order.",
        ));
    }
    Ok(())
}

/// Where the required tension is from, with the bays that the table has no figure for.
fn required_origin(t: &Tensions, plan: &TensionPlan, questions: &mut Vec<String>) -> String {
    let origin = required_by_table(t, plan, questions);
    if plan.open_bays.is_empty() {
        return origin;
    }
    let bays: Vec<&str> = plan.open_bays.iter().map(|b| b.name.as_str()).collect();
    let bays = bays.join(", ");
    format!("{origin}; the table has no figure for bay {bays}")
}

fn required_by_table(t: &Tensions, plan: &TensionPlan, questions: &mut Vec<String>) -> String {
    let Some(asked) = &plan.required else {
        return work::typed(&t.required_origin);
    };
    let asked_mn = Force::from_newtons(asked.newtons).mn;
    if t.required_mn == asked_mn {
        return asked.origin.clone();
    }
    let table = format!("{} ({})", newtons(asked_mn), asked.origin);
    if t.required_mn > asked_mn {
        let stated = work::typed(&t.required_origin);
        return format!("{stated}; the table asks {table}");
    }
    questions.push(format!(
        "The required tension of {} is below the {table} that the table asks.",
        newtons(t.required_mn)
    ));
    let stated = work::typed_below(&t.required_origin);
    format!("{stated}; the table asks {table}")
}

/// Where the upper tension is from.
fn upper_origin(t: &Tensions, plan: &TensionPlan, questions: &mut Vec<String>) -> String {
    let origin = upper_by_limits(t, plan, questions);
    // What nobody knew when it was decided stays with the decision.
    let unknown = match (plan.upper_exact_n, plan.upper_bare) {
        (None, _) => work::NO_BREAKING_LOAD,
        (Some(_), true) => work::NO_FACTOR,
        (Some(_), false) => "",
    };
    format!("{origin}{unknown}")
}

fn upper_by_limits(t: &Tensions, plan: &TensionPlan, questions: &mut Vec<String>) -> String {
    let Some(most) = plan.ceiling_n else {
        return work::typed(&t.upper_origin);
    };
    let upper = Force { mn: t.upper_mn }.as_newtons();
    let known = plan.upper_exact_n.map(|_| most);
    if [known, plan.upper_n].contains(&Some(upper)) {
        return plan.upper_origin.clone();
    }
    let least = plan.parts.first();
    let least = least.map_or_else(String::new, |p| format!("{}: {}", p.name, p.source));
    let limit = format!("{most} N ({least})");
    if work::is_above(t.upper_mn, most) {
        questions.push(format!(
            "The upper tension of {} is above {limit}, the least limit that is known.",
            newtons(t.upper_mn)
        ));
    }
    let stated = work::typed(&t.upper_origin);
    format!("{stated}; the least known limit is {limit}")
}

fn newtons(mn: i64) -> String {
    format!("{} N", Force { mn }.as_newtons())
}

fn numbers(t: &Tensions) -> Vec<Number> {
    vec![
        number("required", newtons(t.required_mn), &t.required_origin),
        number("set", newtons(t.set_mn), "decided by a person"),
        number("upper", newtons(t.upper_mn), &t.upper_origin),
    ]
}
