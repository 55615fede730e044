//! Importing a survey file into a new job or one that is there.
//!
//! Invariant: the file is read and checked whole before anything is recorded; each thing is one
//! act, and what is not recorded is told with its path in the file.

use std::sync::Mutex;

use records::Record;
use records::ids::{BookId, PersonId};
use records::survey::{
    self, Counts, LARGEST_FILE, Outcome, Part, Plan, PlannedTensions, Survey, SurveyError,
    SurveyProblem,
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::decide::{SetTensions, decide};
use super::{capital, job_id};
use crate::acts::import as acts;
use crate::app::held;
use crate::claim::plain;
use crate::tasks::{Progress, TaskStarted};
use crate::uploads::FileSource;
use crate::{ApiError, App, ErrorCode};

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
    let bytes = file(app, &request.source)?;
    app.tasks.start("import", move |progress| {
        progress.report(0, 0, "Reading the file");
        let survey = survey::read(&bytes).map_err(refused)?;
        progress.keep_going()?;
        plain(&import(&record, &survey, &request, progress)?)
    })
}

/// The file's bytes; an upload is let go, whole or too large.
fn file(app: &App, source: &FileSource) -> Result<Vec<u8>, ApiError> {
    if let FileSource::Upload { bytes, .. } = source
        && *bytes > LARGEST_FILE
    {
        source.clear(&app.uploads);
        return Err(refused(SurveyError::TooLarge));
    }
    let bytes = source.read(&app.uploads, LARGEST_FILE)?;
    source.clear(&app.uploads);
    Ok(bytes)
}

fn refused(error: SurveyError) -> ApiError {
    let code = match error {
        SurveyError::Newer(_) => ErrorCode::Newer,
        _ => ErrorCode::Invalid,
    };
    let said = capital(&error.to_string());
    let end = if said.ends_with(['.', '?']) { "" } else { "." };
    ApiError::new(code, format!("{said}{end}"))
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
        None => (acts::begin(&mut held(record), survey)?, true),
    };
    let half = |error| match began {
        true => acts::half_way(job, &Counts::default(), error),
        false => error,
    };
    let (plan, person) =
        acts::planned(&mut held(record), job, survey, request.confirmed).map_err(half)?;
    let import = Import {
        record,
        job,
        plan: &plan,
        confirmed: request.confirmed,
        progress,
    };
    let before = acts::doubts(&mut held(record), job, &plan).map_err(half)?;
    let mut recorded = Counts::default();
    let told = import.record_acts(person, &mut recorded);
    told.map_err(|error| acts::half_way(job, &recorded, error))?;
    let mut problems = plan.problems.clone();
    let told = import.decide_tensions(&mut recorded);
    problems.extend(told.map_err(|error| acts::half_way(job, &recorded, error))?);
    let of = import.of();
    progress.report(of, of, "Looking for what does not fit together");
    // What was doubtful before the file is told where it stands.
    let now = acts::doubts(&mut held(record), job, &plan)
        .map_err(|error| acts::half_way(job, &recorded, error))?;
    problems.extend(acts::new_doubts(&before, now));
    Ok(acts::imported(
        (job, began),
        recorded,
        plan.already,
        problems,
    ))
}

/// A planned import on its way into the record.
struct Import<'a> {
    record: &'a Mutex<Record>,
    job: BookId,
    plan: &'a Plan,
    confirmed: bool,
    progress: &'a Progress,
}

impl Import<'_> {
    /// Steps in all.
    fn of(&self) -> u64 {
        (self.plan.acts.len() + self.plan.tensions.len()) as u64
    }

    fn record_acts(&self, person: PersonId, recorded: &mut Counts) -> Result<(), ApiError> {
        for (done, act) in self.plan.acts.iter().enumerate() {
            self.progress.keep_going()?;
            let done = done as u64;
            self.progress
                .report(done, self.of(), "Recording the survey");
            held(self.record).act(self.job, person, act.drafts.clone())?;
            recorded.add(act.part, act.count);
        }
        Ok(())
    }

    /// Decides tensions on what is recorded by now; those that are not taken are told.
    fn decide_tensions(&self, recorded: &mut Counts) -> Result<Vec<SurveyProblem>, ApiError> {
        let mut problems = Vec::new();
        for (at, decided) in self.plan.tensions.iter().enumerate() {
            self.progress.keep_going()?;
            let done = (self.plan.acts.len() + at) as u64;
            self.progress.report(done, self.of(), "Deciding tensions");
            let (outcome, message) = match self.decide_one(decided) {
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
        Ok(problems)
    }

    fn decide_one(&self, decided: &PlannedTensions) -> Result<(), ApiError> {
        let request = SetTensions {
            job: self.job.to_string(),
            run: decided.run.to_string(),
            tensions: decided.tensions.clone(),
            entered: Some(decided.entered.clone()),
            confirmed: self.confirmed,
        };
        decide(&mut held(self.record), request).map(drop)
    }
}
