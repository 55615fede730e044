//! Importing a survey file into a new job or one that is there.
//!
//! Invariant: the file is read and checked whole before anything is recorded; each thing is one
//! act, and what is not recorded is told with its path in the file.

use std::sync::Mutex;

use records::Record;
use records::ids::{BookId, ItemId};
use records::record::new_item;
use records::survey::{
    self, Counts, LARGEST_FILE, Outcome, Part, Plan, PlannedTensions, Survey, SurveyError,
    SurveyProblem,
};
use records::work::{self, ProblemCode};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::decide::{SetTensions, decide};
use super::{job_id, jobs};
use crate::app::held;
use crate::tasks::{Progress, TaskStarted};
use crate::uploads::FileSource;
use crate::{ApiError, App, ErrorCode};

/// Most problems that one answer lists; all are counted.
const LISTED: usize = 1000;

/// Imports a survey.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ImportSurvey {
    /// The survey in JSON, or a table of lengths.
    pub source: FileSource,
    /// The job that it goes into; without one a survey begins a new job.
    #[serde(default)]
    #[ts(optional)]
    pub job: Option<String>,
    /// Set when a person was asked about odd values and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// What an import recorded, and what it did not.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Imported {
    /// The job.
    pub job: String,
    /// Whether the import began it.
    pub began: bool,
    /// What was recorded, by part.
    pub recorded: Counts,
    /// Values and readings that the job already had.
    pub already: u32,
    /// Parts that were refused.
    pub refused: u32,
    /// Odd values that wait for a person's yes.
    pub questioned: u32,
    /// Fields and columns that are not known.
    pub ignored: u32,
    /// Doubts about what was recorded.
    pub noted: u32,
    /// Each of these, with its path in the file; the first thousand.
    pub problems: Vec<SurveyProblem>,
}

/// Starts importing a survey; what does not fit is told with its path, and the rest is recorded. It
/// ends with what was recorded. When it is cancelled, what was recorded stays, and importing the
/// same file again into the same job adds the rest.
pub fn start_import(app: &App, request: ImportSurvey) -> Result<TaskStarted, ApiError> {
    let record = app.shared_record();
    if let FileSource::Upload { bytes, .. } = &request.source
        && *bytes > LARGEST_FILE
    {
        request.source.clear(&app.uploads);
        return Err(refused(SurveyError::TooLarge));
    }
    let bytes = request.source.read(&app.uploads, LARGEST_FILE)?;
    request.source.clear(&app.uploads);
    app.tasks.start("import", move |progress| {
        progress.report(0, 0, "Reading the file");
        let survey = survey::read(&bytes).map_err(refused)?;
        progress.keep_going()?;
        let imported = import(&record, &survey, &request, progress)?;
        serde_json::to_value(&imported)
            .map_err(|e| ApiError::new(ErrorCode::Internal, e.to_string()))
    })
}

/// Records what fits, act by act; the record is free for others between two acts.
fn import(
    record: &Mutex<Record>,
    survey: &Survey,
    request: &ImportSurvey,
    progress: &Progress,
) -> Result<Imported, ApiError> {
    let (job, began) = match &request.job {
        Some(job) => (job_id(job)?, false),
        None => (begin(&mut held(record), survey)?, true),
    };
    let (plan, person) = {
        let mut record = held(record);
        let person = App::person(&record)?;
        crate::standing::not_counting(&record, job)?;
        let view = record.job(job)?;
        let plan = survey::plan(survey, &view, request.confirmed, &mut new_item)?;
        (plan, person)
    };
    let mut recorded = Counts::default();
    let of = (plan.acts.len() + plan.tensions.len()) as u64;
    let mut done = 0;
    for act in &plan.acts {
        progress.keep_going()?;
        progress.report(done, of, "Recording the survey");
        held(record).act(job, person, act.drafts.clone())?;
        recorded.add(act.part, act.count);
        done += 1;
    }
    let mut problems = plan.problems.clone();
    for decided in &plan.tensions {
        progress.keep_going()?;
        progress.report(done, of, "Deciding tensions");
        done += 1;
        let (outcome, message) = match decide_one(record, job, decided, request.confirmed) {
            Ok(()) => {
                recorded.add(Part::Tensions, 1);
                continue;
            }
            Err(error) if error.code == ErrorCode::Invalid => (Outcome::Refused, error.message),
            Err(error) if error.code == ErrorCode::Questioned => {
                (Outcome::Questioned, error.message)
            }
            Err(error) => return Err(error),
        };
        problems.push(SurveyProblem {
            path: decided.path.clone(),
            outcome,
            message,
        });
    }
    progress.report(of, of, "Looking for what does not fit together");
    problems.extend(doubts(&mut held(record), job, &plan)?);
    Ok(imported(job, began, recorded, plan.already, problems))
}

fn refused(error: SurveyError) -> ApiError {
    let code = match error {
        SurveyError::Newer(_) => ErrorCode::Newer,
        _ => ErrorCode::Invalid,
    };
    let text = error.to_string();
    let mut letters = text.chars();
    let first = letters.next().map(|c| c.to_uppercase().to_string());
    let sentence = first.unwrap_or_default() + letters.as_str();
    ApiError::new(code, format!("{sentence}."))
}

/// Begins the survey's job.
fn begin(record: &mut Record, survey: &Survey) -> Result<BookId, ApiError> {
    let (Some(title), Some(place)) = (survey.title.clone(), survey.place.clone()) else {
        let what = if survey.table {
            "A table of lengths goes into a job"
        } else {
            "A new job needs job.title and job.place in the file"
        };
        return Err(ApiError::invalid(format!(
            "{what}; nothing was imported. Name the job that the file belongs to."
        )));
    };
    let begun = jobs::begin(record, jobs::BeginJob { title, place })?;
    let created = begun.created.unwrap_or_default();
    job_id(created.strip_prefix("job:").unwrap_or(&created))
}

fn decide_one(
    record: &Mutex<Record>,
    job: BookId,
    decided: &PlannedTensions,
    confirmed: bool,
) -> Result<(), ApiError> {
    let request = SetTensions {
        job: job.to_string(),
        run: decided.run.to_string(),
        tensions: decided.tensions.clone(),
        confirmed,
    };
    decide(&mut held(record), request).map(drop)
}

/// What does not fit together in the runs that the file speaks of, now that it is recorded.
fn doubts(record: &mut Record, job: BookId, plan: &Plan) -> Result<Vec<SurveyProblem>, ApiError> {
    let job = record.job(job)?;
    let mut found = Vec::new();
    let doubts_of = |run: ItemId| match work::before_ordering(&job, run) {
        Ok(held) => held.problems,
        // Figures that the engineering refuses are told where they are used.
        Err(_) => Vec::new(),
    };
    for (path, run) in &plan.runs {
        let doubts = doubts_of(*run).into_iter().filter(|doubt| {
            matches!(
                doubt.code,
                ProblemCode::BaysDisagree | ProblemCode::SameHand | ProblemCode::PostOutside
            )
        });
        found.extend(doubts.map(|doubt| SurveyProblem {
            path: path.clone(),
            outcome: Outcome::Noted,
            message: doubt.sentence,
        }));
    }
    Ok(found)
}

fn imported(
    job: BookId,
    began: bool,
    recorded: Counts,
    already: u32,
    mut problems: Vec<SurveyProblem>,
) -> Imported {
    let count = |outcome| {
        let count = problems.iter().filter(|p| p.outcome == outcome).count();
        u32::try_from(count).unwrap_or(u32::MAX)
    };
    let [refused, questioned, ignored, noted] = [
        Outcome::Refused,
        Outcome::Questioned,
        Outcome::Ignored,
        Outcome::Noted,
    ]
    .map(count);
    problems.truncate(LISTED);
    Imported {
        job: job.to_string(),
        began,
        recorded,
        already,
        refused,
        questioned,
        ignored,
        noted,
        problems,
    }
}
