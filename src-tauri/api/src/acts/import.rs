//! Importing a survey: the job that it goes into, what it adds there, and what is told of it after.

use records::Record;
use records::ids::{BookId, ItemId, PersonId};
use records::record::{ListedJob, new_item};
use records::subject::Subject;
use records::survey::{self, Counts, Outcome, Plan, Survey, SurveyProblem};
use records::work::{self, ProblemCode};

use super::{exchange, jobs};
use crate::handlers::import::Imported;
use crate::handlers::jobs::BeginJob;
use crate::{ApiError, App, ErrorCode, standing};

/// What a job is begun with.
const TITLE_AND_PLACE: u32 = 2;
/// Most problems that one answer lists; all are counted.
const LISTED: usize = 1000;

/// Begins the survey's job; refused where one of its title and place is there.
pub(crate) fn begin(record: &mut Record, survey: &Survey) -> Result<BookId, ApiError> {
    let (Some(title), Some(place)) = (survey.title.clone(), survey.place.clone()) else {
        let what = if survey.table {
            "A table of lengths goes into a job"
        } else {
            "A new job needs job.title and job.place in the file"
        };
        return Err(ApiError::invalid(format!(
            "{what}; nothing was imported. Name the job that the file belongs to; on the screens bring it in \
             from that job."
        )));
    };
    let crew = exchange::current(record)?;
    let there = match record.crew_books().contains(&crew) {
        true => record.listed_jobs(crew)?,
        false => Vec::new(),
    };
    let alike = |one: &str, other: &str| one.trim().to_lowercase() == other.trim().to_lowercase();
    let same = |job: &&ListedJob| alike(&job.title, &title) && alike(&job.place, &place);
    if let Some(job) = there.iter().find(same) {
        return Err(ApiError::invalid(format!(
            "A job of this title and place is here already ({}); nothing was imported. Import the file \
             into that job: on the screens from that job, on the command line with --job. For another job give \
             job.title other words.",
            job.job
        )));
    }
    let (_, job) = jobs::begin(record, &BeginJob { title, place })?;
    Ok(job)
}

/// What a survey adds to a job, and who adds it; refused where this device can't record.
pub(crate) fn planned(
    record: &mut Record,
    job: BookId,
    survey: &Survey,
    confirmed: bool,
) -> Result<(Plan, PersonId), ApiError> {
    let person = App::person(record)?;
    standing::not_counting(record, job)?;
    let view = record.job(job)?;
    let plan = survey::plan(survey, &view, confirmed, &mut new_item)?;
    Ok((plan, person))
}

/// An import that was stopped between two acts: how much was recorded by then, that it stays, and where the
/// rest goes.
pub(crate) fn half_way(job: BookId, recorded: &Counts, error: ApiError) -> ApiError {
    let so_far = match recorded.all() {
        0 => "Nothing more of the file was recorded yet".to_owned(),
        1 => "1 thing of the file was recorded and stays".to_owned(),
        more => {
            format!("{more} things of the file were recorded and stay, each whole or not at all")
        }
    };
    match error.code {
        ErrorCode::Cancelled => error,
        _ => ApiError {
            message: format!(
                "{}. {so_far}. Import the file again into job {job} for the rest, on the command line with --job.",
                error.message.trim_end_matches('.')
            ),
            ..error
        },
    }
}

/// Something that does not fit together, and what it is about.
#[derive(Debug)]
pub(crate) struct Doubt {
    about: (ProblemCode, Subject),
    problem: SurveyProblem,
}

/// The doubts that were not there before the file came.
pub(crate) fn new_doubts(before: &[Doubt], now: Vec<Doubt>) -> impl Iterator<Item = SurveyProblem> {
    let known = |doubt: &Doubt| before.iter().any(|known| known.about == doubt.about);
    now.into_iter()
        .filter(move |doubt| !known(doubt))
        .map(|doubt| doubt.problem)
}

/// What does not fit together in the runs that the file speaks of, as they stand.
pub(crate) fn doubts(
    record: &mut Record,
    job: BookId,
    plan: &Plan,
) -> Result<Vec<Doubt>, ApiError> {
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
                ProblemCode::BaysDisagree
                    | ProblemCode::OffTheLine
                    | ProblemCode::NamesAlike
                    | ProblemCode::Flight
                    | ProblemCode::SameHand
                    | ProblemCode::PostOutside
            )
        });
        found.extend(doubts.map(|doubt| Doubt {
            about: (doubt.code, doubt.subject),
            problem: SurveyProblem {
                path: path.clone(),
                outcome: Outcome::Noted,
                message: doubt.sentence,
            },
        }));
    }
    Ok(found)
}

/// What an import tells at its end: all problems counted, the first of them listed.
pub(crate) fn imported(
    (job, began): (BookId, bool),
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
    // A job that was begun with the file has its title and place from it.
    let already = already.saturating_sub(if began { TITLE_AND_PLACE } else { 0 });
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

#[cfg(test)]
mod tests {
    use records::survey::{Counts, Part};

    use super::half_way;
    use crate::{ApiError, ErrorCode};

    #[test]
    fn a_stop_half_way_says_what_stays_and_where_the_rest_goes() -> Result<(), records::RecordError>
    {
        let job = "vrepda3p6gnlvgofdwkpcax2zi".parse()?;
        let full = |recorded: &Counts| {
            let error = ApiError::new(ErrorCode::Storage, "the disk is full.");
            half_way(job, recorded, error)
        };
        let mut recorded = Counts::default();
        let none = full(&recorded);
        assert_eq!(none.code, ErrorCode::Storage);
        let says = none.message;
        assert!(
            says.starts_with("the disk is full. Nothing more of the file was recorded yet.")
                && says.contains(&job.to_string()),
            "{says}"
        );
        recorded.add(Part::Lengths, 12);
        recorded.add(Part::Bays, 3);
        let says = full(&recorded).message;
        assert!(
            says.contains("15 things of the file were recorded and stay, each whole"),
            "{says}"
        );
        // Whoever stopped it knows what was meant.
        let stopped = ApiError::new(ErrorCode::Cancelled, "Stopped.");
        assert_eq!(half_way(job, &recorded, stopped).message, "Stopped.");
        Ok(())
    }
}
