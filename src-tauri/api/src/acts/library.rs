//! Libraries: finding what comes with the program or what the crew keeps, and copying it into a job.

use records::Record;
use records::ids::BookId;
use records::library::{self, FittingTemplate, Own, RuleSetFile, StrandTemplate};
use records::model::context::Said;
use records::model::values::RuleSetCopy;
use records::model::{Field, fields};
use records::record::new_item;
use records::subject::{ItemKind, Subject};
use records::work;
use serde::Serialize;

use crate::claim::{Act, Acted, Earlier, Fields, tips};
use crate::{ApiError, ErrorCode};

/// What a crew keeps.
pub(crate) fn own(record: &mut Record, crew_book: BookId) -> Result<Own, ApiError> {
    let crew = record.crew(crew_book).clone();
    Ok(library::own(record.view(crew_book)?, &crew))
}

/// What the current crew keeps; nothing where there is none, or where its book has not come yet.
pub(crate) fn own_of_current(record: &mut Record) -> Result<Own, ApiError> {
    match record.current_crew()? {
        Some(crew) if record.crew_books().contains(&crew) => own(record, crew),
        _ => Ok(Own::default()),
    }
}

/// A rule set of the program by name, or of the crew by id.
pub(crate) fn file_of(
    record: &mut Record,
    crew: Option<BookId>,
    name: &str,
) -> Result<RuleSetFile, ApiError> {
    if let Some(file) = library::rule_set(name) {
        return Ok(file);
    }
    let crew = crew.filter(|crew| record.crew_books().contains(crew));
    let own = match crew {
        Some(crew) => own(record, crew)?.rule_sets,
        None => Vec::new(),
    };
    own.into_iter()
        .map(|set| set.file)
        .find(|file| file.name == name)
        .ok_or_else(|| unknown("rule set"))
}

/// Nothing of that sort and name is kept.
pub(crate) fn unknown(what: &str) -> ApiError {
    ApiError::new(
        ErrorCode::NotFound,
        format!("The library has no such {what}."),
    )
}

fn still_asked(name: &str, asks: &[String]) -> ApiError {
    ApiError::invalid(format!(
        "{name} can't be used yet: {} Tell it in the library first. Nothing was saved.",
        asks.join(" ")
    ))
}

/// Copies a rule set whole into the job, over the one that stood; asks where something rests on that.
pub(crate) fn use_rule_set(
    record: &mut Record,
    job: BookId,
    name: &str,
    confirmed: bool,
) -> Result<Acted, ApiError> {
    let copy = rule_set_copy(record, job, name)?;
    let question = work::question_rules(&record.job(job)?, &copy);
    if let Some(question) = question.filter(|_| !confirmed) {
        let question = format!("{question} Use it all the same?");
        return Err(ApiError::new(ErrorCode::Questioned, question));
    }
    let (field, subject) = (fields::JOB_RULE_SET, Subject::Job(job));
    let earlier = Earlier::over(tips(record, job, &subject, field.name, "")?);
    let mut act = Act::default();
    act.claim(field, subject, "", Some(&copy), &Said::default(), earlier)?;
    act.record(record, job)
}

fn rule_set_copy(record: &mut Record, job: BookId, name: &str) -> Result<RuleSetCopy, ApiError> {
    let crew = record.crew_of_job(job)?;
    if let Some(file) = library::rule_set(name) {
        return Ok(library::copy_of(&file));
    }
    let file = file_of(record, Some(crew), name)?;
    library::copy_of_own(&file)
        .map_err(|e| ApiError::invalid(format!("The rule set can't be read: {e}.")))
}

/// Copies a strand's figures into the job.
pub(crate) fn use_strand(
    record: &mut Record,
    job: BookId,
    name: &str,
) -> Result<(Acted, Subject), ApiError> {
    let strand = strand(record, job, name)?;
    let first = Fields::default()
        .with(fields::STRAND_NAME, "", Some(strand.name))?
        .with(fields::STRAND_FIGURES, "", Some(strand.figures))?;
    create(record, job, ItemKind::Strand, first)
}

/// A strand of the program by name, or of the job's crew by id.
fn strand(record: &mut Record, job: BookId, name: &str) -> Result<StrandTemplate, ApiError> {
    let strands = library::strands();
    if let Some(strand) = strands.into_iter().find(|s| s.key == name) {
        return Ok(strand);
    }
    let found = own_for(record, job)?.strands;
    let one = found.into_iter().find(|s| s.id.to_string() == name);
    let one = one.ok_or_else(|| unknown("strand"))?;
    one.template
        .ok_or_else(|| still_asked(&one.name, &one.asks))
}

/// Copies a fitting set's figures into the job.
pub(crate) fn use_fitting_set(
    record: &mut Record,
    job: BookId,
    name: &str,
) -> Result<(Acted, Subject), ApiError> {
    let set = fitting_set(record, job, name)?;
    create(record, job, ItemKind::FittingSet, fields_of(set)?)
}

/// What a job holds of a fitting set, each figure with where it is from.
fn fields_of(set: FittingTemplate) -> Result<Fields, ApiError> {
    let of = |name: &str| set.origin_of(name);
    let (hole, pull, limit) = (of("throughHoleNm"), of("insertPullMn"), of("threadLimitMn"));
    let (efficiency, deduction) = (Some(set.efficiency_origin), set.fixed_deduction_origin);
    let first = Fields::default()
        .with(fields::FITTING_NAME, "", Some(set.name))?
        .with(fields::FITTING_TERMINALS, "", Some(set.terminals))?;
    let hole_of = (Some(set.through_hole), hole);
    let first = from(first, fields::FITTING_THROUGH_HOLE, hole_of)?;
    let both = (Some(set.efficiency), efficiency);
    let first = from(first, fields::FITTING_EFFICIENCY, both)?;
    let deducted = (set.fixed_deduction, deduction);
    let first = from(first, fields::FITTING_FIXED_DEDUCTION, deducted)?;
    let first = from(first, fields::FITTING_INSERT_PULL, (set.insert_pull, pull))?;
    from(
        first,
        fields::FITTING_THREAD_LIMIT,
        (set.thread_limit, limit),
    )
}

/// Adds a figure where it is known, with where it is from as far as that is told.
fn from<T: Serialize>(
    first: Fields,
    field: Field<T, Said>,
    (value, origin): (Option<T>, Option<String>),
) -> Result<Fields, ApiError> {
    let origin = origin.filter(|origin| !origin.is_empty());
    match (value, origin) {
        (Some(value), Some(origin)) => {
            let said = Said {
                origin: Some(origin),
                ..Said::default()
            };
            first.said(field, "", &value, &said)
        }
        (value, _) => first.with(field, "", value),
    }
}

/// A fitting set of the program by name, or of the job's crew by id.
fn fitting_set(record: &mut Record, job: BookId, name: &str) -> Result<FittingTemplate, ApiError> {
    let sets = library::fitting_sets();
    if let Some(set) = sets.into_iter().find(|s| s.key == name) {
        return Ok(set);
    }
    let found = own_for(record, job)?.fitting_sets;
    let one = found.into_iter().find(|s| s.id.to_string() == name);
    let one = one.ok_or_else(|| unknown("fitting set"))?;
    one.template
        .ok_or_else(|| still_asked(&one.name, &one.asks))
}

/// What the crew of a job keeps.
pub(crate) fn own_for(record: &mut Record, job: BookId) -> Result<Own, ApiError> {
    let crew = record.crew_of_job(job)?;
    own(record, crew)
}

fn create(
    record: &mut Record,
    job: BookId,
    kind: ItemKind,
    first: Fields,
) -> Result<(Acted, Subject), ApiError> {
    let subject = Subject::Item(kind, new_item()?);
    let mut act = Act::default();
    act.create(subject, first, Vec::new());
    Ok((act.record(record, job)?, subject))
}
