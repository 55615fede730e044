//! Libraries: what comes with the program, what the crew keeps, and copying either into a job.
//!
//! A job copies what it uses; what is changed in a library later moves no job.

use records::Record;
use records::ids::{BookId, ItemId};
use records::library::{self, Own, RuleSetFile, RuleSetsFor};
use records::model::context::Said;
use records::model::fields;
use records::record::new_item;
use records::subject::{ItemKind, Subject};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::jobs::OfJob;
use super::{Recorded, job_id};
use crate::boundary::Nothing;
use crate::claim::{Act, Earlier, Fields, tips};
use crate::{ApiError, App, ErrorCode};

/// What can be copied into a job.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Libraries {
    /// Rule sets that come with the program.
    pub rule_sets: Vec<RuleSetFile>,
    /// Strands that come with the program.
    pub strands: Vec<library::StrandTemplate>,
    /// Fitting sets that come with the program.
    pub fitting_sets: Vec<library::FittingTemplate>,
    /// What the crew keeps.
    pub own: Own,
}

/// Lists rule sets, strands and fitting sets of the program and of the crew.
pub fn libraries(app: &App, _: Nothing) -> Result<Libraries, ApiError> {
    let mut record = app.record();
    let own = match record.current_crew()? {
        Some(crew) if record.crew_books().contains(&crew) => own(&mut record, crew)?,
        _ => Own::default(),
    };
    Ok(Libraries {
        rule_sets: library::rule_sets(),
        strands: library::strands(),
        fitting_sets: library::fitting_sets(),
        own,
    })
}

/// What a crew keeps.
pub(super) fn own(record: &mut Record, crew_book: BookId) -> Result<Own, ApiError> {
    let crew = record.crew(crew_book).clone();
    Ok(library::own(record.view(crew_book)?, &crew))
}

/// Tells how every rule set stands to the job's permit.
pub fn rule_sets_for(app: &App, request: OfJob) -> Result<RuleSetsFor, ApiError> {
    let id = job_id(&request.job)?;
    let mut record = app.record();
    let crew = record.crew_of_job(id)?;
    let own = own(&mut record, crew)?;
    Ok(library::rule_sets_for(&record.job(id)?, &own)?)
}

/// A rule set of the program by name, or of the crew by id.
pub(super) fn file_of(
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

/// Copies something of the library into a job.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct UseFromLibrary {
    /// The job.
    pub job: String,
    /// Name in the program's library, or the id of the crew's own thing.
    pub name: String,
}

/// Copies a rule set whole into the job, with its hash and origin.
pub fn use_rule_set(app: &App, request: UseFromLibrary) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let mut record = app.record();
    let crew = record.crew_of_job(job)?;
    let copy = match library::rule_set(&request.name) {
        Some(file) => library::copy_of(&file),
        None => {
            let file = file_of(&mut record, Some(crew), &request.name)?;
            library::copy_of_own(&file)
                .map_err(|e| ApiError::invalid(format!("The rule set can't be read: {e}.")))?
        }
    };
    let subject = Subject::Job(job);
    let field = fields::JOB_RULE_SET;
    let over = tips(&mut record, job, &subject, field.name, "")?;
    let mut act = Act::default();
    act.claim(
        field,
        subject,
        "",
        Some(&copy),
        &Said::default(),
        Earlier::over(over),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}

pub(super) fn unknown(what: &str) -> ApiError {
    ApiError::new(
        ErrorCode::NotFound,
        format!(
            "The library has no such {}.",
            what.trim_start_matches("such ")
        ),
    )
}

fn still_asked(name: &str, asks: &[String]) -> ApiError {
    ApiError::invalid(format!(
        "{name} can't be used yet: {} Tell it in the library first. Nothing was saved.",
        asks.join(" ")
    ))
}

/// Copies a strand's figures into the job.
pub fn use_strand(app: &App, request: UseFromLibrary) -> Result<Recorded, ApiError> {
    let strands = library::strands();
    let strand = match strands.into_iter().find(|s| s.key == request.name) {
        Some(strand) => strand,
        None => {
            let found = own_for(app, &request)?.strands;
            let one = found.into_iter().find(|s| named(s.id, &request.name));
            let one = one.ok_or_else(|| unknown("strand"))?;
            one.template
                .ok_or_else(|| still_asked(&one.name, &one.asks))?
        }
    };
    let first = Fields::default()
        .with(fields::STRAND_NAME, "", Some(strand.name))?
        .with(fields::STRAND_FIGURES, "", Some(strand.figures))?;
    create(app, &request.job, ItemKind::Strand, first)
}

/// Copies a fitting set's figures into the job.
pub fn use_fitting_set(app: &App, request: UseFromLibrary) -> Result<Recorded, ApiError> {
    let sets = library::fitting_sets();
    let set = match sets.into_iter().find(|s| s.key == request.name) {
        Some(set) => set,
        None => {
            let found = own_for(app, &request)?.fitting_sets;
            let one = found.into_iter().find(|s| named(s.id, &request.name));
            let one = one.ok_or_else(|| unknown("fitting set"))?;
            one.template
                .ok_or_else(|| still_asked(&one.name, &one.asks))?
        }
    };
    let first = Fields::default()
        .with(fields::FITTING_NAME, "", Some(set.name))?
        .with(fields::FITTING_TERMINALS, "", Some(set.terminals))?
        .with(fields::FITTING_THROUGH_HOLE, "", Some(set.through_hole))?
        .with(fields::FITTING_EFFICIENCY, "", Some(set.efficiency))?
        .with(fields::FITTING_FIXED_DEDUCTION, "", set.fixed_deduction)?
        .with(fields::FITTING_INSERT_PULL, "", set.insert_pull)?
        .with(fields::FITTING_THREAD_LIMIT, "", set.thread_limit)?;
    create(app, &request.job, ItemKind::FittingSet, first)
}

fn named(id: ItemId, name: &str) -> bool {
    id.to_string() == name
}

/// What the crew of a job keeps.
fn own_for(app: &App, request: &UseFromLibrary) -> Result<Own, ApiError> {
    let mut record = app.record();
    let crew = record.crew_of_job(job_id(&request.job)?)?;
    own(&mut record, crew)
}

fn create(app: &App, job: &str, kind: ItemKind, first: Fields) -> Result<Recorded, ApiError> {
    let job = job_id(job)?;
    let subject = Subject::Item(kind, new_item()?);
    let mut act = Act::default();
    act.create(subject, first, Vec::new());
    let entries = act.record(&mut app.record(), job)?;
    Ok(Recorded::created(&entries, &subject))
}
