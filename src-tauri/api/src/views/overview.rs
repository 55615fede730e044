//! The first screen: who this is, which crew, which jobs.

use std::collections::BTreeSet;

use records::crew::Role;
use records::ids::{BookId, DeviceId, PersonId};
use records::job::Job;
use records::model::fields;
use records::record::ListedJob;
use records::{Record, RecordError};
use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use crate::ApiError;

/// A device of a crew.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct MemberView {
    /// The device.
    pub device: String,
    /// Names of its persons.
    pub persons: Vec<String>,
    /// What it is mostly used for.
    pub role: Role,
    /// Whether this is the device at hand.
    pub this_device: bool,
    /// Whether it founded the crew.
    pub founder: bool,
    /// May admit and end others.
    pub keeper: bool,
    /// Whether it was ended.
    pub ended: bool,
    /// Two branches of it exist: it takes a new identity.
    pub forked: bool,
}

/// A crew.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CrewView {
    /// Its book.
    pub book: String,
    /// Its name.
    pub name: String,
    /// Whether new jobs go there.
    pub current: bool,
    /// Whether this device is admitted.
    pub admitted: bool,
    /// The shared folder that it uses, where one is set.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub folder: Option<String>,
    /// Its devices.
    pub members: Vec<MemberView>,
    /// Why its book can't be read here, in words; the other crews are not touched by it.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trouble: Option<String>,
}

/// A job in the list.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct JobCard {
    /// The job.
    pub job: String,
    /// Its title.
    pub title: String,
    /// Its address.
    pub place: String,
    /// Whether its book is kept here.
    pub kept: bool,
    /// Whose job it is, by name: who wrote in it, signed a stage of it, or is told as there on a visit.
    pub people: Vec<String>,
    /// Number of values that people dispute or a newer version changed.
    pub disputed: usize,
    /// Number of defects that are open.
    pub open_defects: usize,
    /// Why its book can't be read here, in words; the other jobs are not touched by it.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trouble: Option<String>,
}

/// The first screen.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Overview {
    /// This device.
    pub device: String,
    /// The person at it; none before the first start is done.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub person: Option<String>,
    /// Crews that this device knows; one that was begun and never used is left out.
    pub crews: Vec<CrewView>,
    /// Jobs of the current crew.
    pub jobs: Vec<JobCard>,
    /// Whether exchanges bring every job of the crew; else those that were chosen here.
    pub keeps_all: bool,
    /// Why this device can record nothing, in words; left out where it can.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub trouble: Option<String>,
    /// What was saved on this device and does not count any more, in words; left out where nothing.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub broken_off: Option<String>,
    /// What a newer version recorded and this one can't take in, in words; left out where nothing.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub newer: Option<String>,
    /// The program's version.
    pub program: String,
}

/// Reads the first screen.
///
/// # Errors
/// When the record can't be read.
pub fn overview(record: &mut Record) -> Result<Overview, ApiError> {
    let current = record.current_crew()?;
    let mut crews = Vec::new();
    for book in record.crew_books() {
        let crew = crew_view(record, book, current == Some(book))?;
        // Who joins has founded a crew at the first start: without jobs there is nothing to choose.
        if crew.current || crew.folder.is_some() || !record.listed_jobs(book)?.is_empty() {
            crews.push(crew);
        }
    }
    let mut jobs = Vec::new();
    let damaged = record.damaged_crews()?;
    for (book, error) in &damaged {
        let current = current == Some(*book);
        crews.push(CrewView {
            book: book.to_string(),
            name: UNREADABLE.to_owned(),
            current,
            admitted: false,
            folder: record.setting(&folder_setting(*book))?,
            members: Vec::new(),
            trouble: Some(error.to_string()),
        });
        for job in record.kept_jobs(*book)?.into_iter().filter(|_| current) {
            let listed = ListedJob {
                job,
                title: UNREADABLE.to_owned(),
                place: String::new(),
                kept: true,
            };
            jobs.push(job_card(record, listed));
        }
    }
    if let Some(crew) = current.filter(|c| record.crew_books().contains(c)) {
        for listed in record.listed_jobs(crew)? {
            jobs.push(job_card(record, listed));
        }
    }
    let me = record.person()?;
    let person = me.and_then(|id| {
        record
            .crew_books()
            .iter()
            .find_map(|book| record.crew(*book).person_name(&id).map(name))
            // Whoever it is, this is no first start.
            .or_else(|| (!damaged.is_empty()).then(|| UNREADABLE.to_owned()))
    });
    Ok(Overview {
        device: record.device().to_string(),
        person,
        crews,
        jobs,
        keeps_all: keeps_all(record)?,
        trouble: record.key_lost().map(|lost| format!("{lost}.")),
        broken_off: record.broken_off_told()?,
        newer: record.newer_told()?,
        program: crate::app::PROGRAM.to_owned(),
    })
}

/// Stands for a name that lies in a damaged crew book.
const UNREADABLE: &str = "can't be read";

fn job_card(record: &mut Record, listed: ListedJob) -> JobCard {
    let mut card = JobCard {
        job: listed.job.to_string(),
        title: name(&listed.title),
        place: name(&listed.place),
        kept: listed.kept,
        people: Vec::new(),
        disputed: 0,
        open_defects: 0,
        trouble: None,
    };
    if !listed.kept {
        return card;
    }
    match record.job(listed.job) {
        Ok(job) => {
            card.disputed = job.reader.unsettled().count();
            let open = job.defects.iter().filter(|d| d.closed.value().is_none());
            card.open_defects = open.count();
            card.people = people(&job);
            let text = |field| {
                let label = job.reader.one(field, &job.subject(), "").label();
                Some(label).filter(|label| !label.is_empty())
            };
            card.title = text(fields::JOB_TITLE).map_or(card.title, name);
            card.place = text(fields::JOB_PLACE).map_or(card.place, name);
        }
        Err(error) => card.trouble = Some(error.to_string()),
    }
    card
}

/// Names of a job's people, each once, in order.
fn people(job: &Job<'_>) -> Vec<String> {
    let view = job.reader.view;
    let mut ids: BTreeSet<PersonId> = view
        .ids()
        .filter_map(|id| view.entry(id))
        .map(|entry| entry.body.person)
        .collect();
    let signed = job.sign_offs.iter().flat_map(|(_, fact)| fact.values());
    ids.extend(signed.map(|sign_off| sign_off.person));
    let members = job.reader.crew.members.values();
    for person in members.flat_map(|member| &member.persons) {
        // A visit tells in words who was there.
        if job
            .visits
            .iter()
            .any(|visit| names(&visit.who, &person.name))
        {
            ids.insert(person.id);
        }
    }
    let known = |id: &PersonId| job.reader.crew.person_name(id).map(name);
    let found: BTreeSet<String> = ids.iter().filter_map(known).collect();
    found.into_iter().collect()
}

/// Whether a text holds all the words of a name one after the other.
fn names(text: &str, person: &str) -> bool {
    let words = |text: &str| -> Vec<String> {
        let parts = text.split(|letter: char| !letter.is_alphanumeric());
        let parts = parts.filter(|part| !part.is_empty());
        parts.map(str::to_lowercase).collect()
    };
    let (text, person) = (words(text), words(person));
    !person.is_empty() && text.windows(person.len()).any(|part| part == person)
}

fn crew_view(record: &mut Record, book: BookId, current: bool) -> Result<CrewView, ApiError> {
    let me = record.device();
    let folder = record.setting(&folder_setting(book))?;
    // The same branches may show in one job alone.
    let in_jobs = forked_in_jobs(record, book)?;
    let view = record.view(book)?;
    let key = records::book::Key {
        subject: format!("crew:{book}"),
        field: "name".into(),
        place: String::new(),
    };
    let crew_name = records::job::first_text(view, &key).unwrap_or_default();
    let forked = view.forked();
    let crew = record.crew(book);
    let members: Vec<MemberView> = crew
        .members
        .iter()
        .map(|(device, member)| MemberView {
            device: device.to_string(),
            persons: member.persons.iter().map(|p| name(&p.name)).collect(),
            role: member.role,
            this_device: *device == me,
            founder: crew.founder == Some(*device),
            keeper: member.keeper,
            ended: member.ended.is_some(),
            forked: forked.contains(device) || in_jobs.contains(device),
        })
        .collect();
    Ok(CrewView {
        book: book.to_string(),
        name: name(&crew_name),
        current,
        admitted: members.iter().any(|m| m.this_device && !m.ended),
        folder,
        members,
        trouble: None,
    })
}

/// Devices with two branches in a job that is kept here.
///
/// # Errors
/// When the record can't be read; a damaged job is passed over, the list of jobs tells of it.
pub fn forked_in_jobs(record: &mut Record, crew: BookId) -> Result<BTreeSet<DeviceId>, ApiError> {
    let mut forked = BTreeSet::new();
    for job in record.kept_jobs(crew)? {
        match record.view(job) {
            Ok(view) => forked.extend(view.forked()),
            Err(RecordError::Damaged(_)) => {}
            Err(error) => return Err(error.into()),
        }
    }
    Ok(forked)
}

/// Setting that says which jobs exchanges bring here.
pub(crate) const KEEP: &str = "keepJobs";

/// Whether exchanges bring every job of the crew: they do until somebody says otherwise.
pub(crate) fn keeps_all(record: &Record) -> Result<bool, ApiError> {
    Ok(record.setting(KEEP)?.as_deref() != Some("chosen"))
}

/// A name as it is shown: control and direction characters are made visible, and it stays short.
#[must_use]
pub fn name(text: impl AsRef<str>) -> String {
    records::photos::visible(text.as_ref(), 200)
}

/// Setting that names the shared folder of a crew.
#[must_use]
pub fn folder_setting(crew: BookId) -> String {
    format!("folder:{crew}")
}
