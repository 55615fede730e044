//! Libraries: what comes with the program, what the crew keeps, and copying either into a job.
//!
//! A job copies what it uses; what is changed in a library later moves no job.

use records::library::{self, Own, RuleSetFile, RuleSetsFor};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::jobs::OfJob;
use super::{Recorded, job_id};
use crate::acts::library as acts;
use crate::boundary::Nothing;
use crate::{ApiError, App};

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
    let own = acts::own_of_current(&mut app.record())?;
    Ok(Libraries {
        rule_sets: library::rule_sets(),
        strands: library::strands(),
        fitting_sets: library::fitting_sets(),
        own,
    })
}

/// Tells how every rule set stands to the job's permit.
pub fn rule_sets_for(app: &App, request: OfJob) -> Result<RuleSetsFor, ApiError> {
    let job = job_id(&request.job)?;
    let mut record = app.record();
    let own = acts::own_for(&mut record, job)?;
    Ok(library::rule_sets_for(&record.job(job)?, &own)?)
}

/// Asks how rule sets stand to the permit of a job that is still to be begun.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct RuleSetsOn {
    /// Day of the permit, `2026-09-02`; left out where it is not known.
    #[serde(default)]
    #[ts(optional)]
    pub permit: Option<String>,
}

/// Tells how every rule set stands to that day.
pub fn rule_sets_on(app: &App, request: RuleSetsOn) -> Result<RuleSetsFor, ApiError> {
    let own = acts::own_of_current(&mut app.record())?;
    let found = library::rule_sets_on(request.permit.as_deref(), &own);
    found.ok_or_else(|| ApiError::invalid("A day is written 2026-09-02. Type it so."))
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

/// Copies a rule set into a job.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct UseRuleSet {
    /// The job.
    pub job: String,
    /// Name in the program's library, or the id of the crew's own set.
    pub name: String,
    /// Yes to the question what becomes of what was decided by the set that stands.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Copies a rule set whole into the job, with its hash and origin.
pub fn use_rule_set(app: &App, request: UseRuleSet) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let acted = acts::use_rule_set(&mut app.record(), job, &request.name, request.confirmed)?;
    Ok(Recorded::of(&acted))
}

/// Copies a strand's figures into the job.
pub fn use_strand(app: &App, request: UseFromLibrary) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let (acted, strand) = acts::use_strand(&mut app.record(), job, &request.name)?;
    Ok(Recorded::created(&acted, &strand))
}

/// Copies a fitting set's figures into the job.
pub fn use_fitting_set(app: &App, request: UseFromLibrary) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let (acted, set) = acts::use_fitting_set(&mut app.record(), job, &request.name)?;
    Ok(Recorded::created(&acted, &set))
}
