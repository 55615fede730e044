//! Who belongs to the crew: applicants, keepers, ends, and this device's own identity.

use records::Record;
use records::admission::same_digits;
use records::crew::{Crew, Member, Person, Role};
use records::ids::{BookId, DeviceId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::exchange::{Digits, LAST_MS, LAST_REPORT, current, folder_of, unshared};
use crate::app::held;
use crate::boundary::Nothing;
use crate::views::overview::{self, Overview};
use crate::{ApiError, App, ErrorCode};

/// Devices that ask to be admitted.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Applicants {
    /// One for each device, the first 32.
    pub devices: Vec<Digits>,
    /// How many more cards lie there; each can be admitted by its device's id.
    pub more: u64,
}

/// Lists devices in the shared folder that ask to be admitted, with the digits to compare.
pub fn applicants(app: &App, _: Nothing) -> Result<Applicants, ApiError> {
    let record = app.shared_record();
    let (crew, store) = folder_of(&record)?;
    let (found, more) = sync::applicants(&store, &record, crew)?;
    let record = held(&record);
    let crew = record.crew(crew);
    let founding = crew.founding.map(|f| f.to_string()).unwrap_or_default();
    let devices = found
        .into_iter()
        .map(|one| Digits {
            device: one.card.device.to_string(),
            name: overview::name(&one.card.name),
            digits: one.digits,
            whole: format!("{founding} {}", String::from(one.card.key)),
            says_it_is: one
                .card
                .person
                .and_then(|id| crew.person_name(&id).map(overview::name)),
        })
        .collect();
    Ok(Applicants { devices, more })
}

/// Admits a device to the crew.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Admit {
    /// The device.
    pub device: String,
    /// The digits that its screen shows.
    pub digits: String,
    /// What it is mostly used for.
    pub role: Role,
    /// Set when the device says by another name to be a person of the crew, and somebody who was
    /// asked says that it is: it is admitted under the name that the crew knows.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub as_known: bool,
}

/// Admits a device whose digits were compared; its entries count from the first on.
pub fn admit(app: &App, request: Admit) -> Result<Overview, ApiError> {
    let device: DeviceId = request.device.parse()?;
    let record = app.shared_record();
    let (crew, store) = folder_of(&record)?;
    let one = sync::applicant(&store, &record, crew, &device)?;
    if !same_digits(&one.digits, &request.digits) {
        return Err(ApiError::invalid(
            "The digits differ. Somebody else may stand between the two devices: compare again, \
             side by side. Nothing was changed.",
        ));
    }
    let mut record = held(&record);
    let me = App::person(&record)?;
    if !record.own_member(crew).is_some_and(|m| m.keeper) {
        return Err(ApiError::invalid(
            "Only the founder and keepers of the crew can admit a device. Ask one of them.",
        ));
    }
    let id = one
        .card
        .person
        .map_or_else(records::ids::PersonId::random, Ok)?;
    let known = record.crew(crew).person_name(&id).map(str::to_owned);
    if let Some(known) = known.as_ref().filter(|k| **k != one.card.name)
        && !request.as_known
    {
        return Err(ApiError::new(
            ErrorCode::Questioned,
            format!(
                "This device calls its person {} and says to be {}'s: what it records would stand \
                 under {1}. Is {1} at it? Nothing was changed.",
                overview::name(&one.card.name),
                overview::name(known)
            ),
        ));
    }
    let persons = vec![Person {
        id,
        name: known.unwrap_or(one.card.name),
    }];
    record.admit(crew, me, one.card.key, persons, request.role)?;
    overview::overview(&mut record)
}

/// Names a device of the crew.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfDevice {
    /// The device.
    pub device: String,
}

/// Takes a new identity.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct NewIdentity {
    /// Set when entries that were not exchanged may stay on this device alone: under the new
    /// identity they can't be sent any more.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub leave_unsent: bool,
}

/// Takes a new identity after this device's record went two ways, as after a backup was put back,
/// after its key was lost, or after it was ended.
pub fn new_identity(app: &App, request: NewIdentity) -> Result<Overview, ApiError> {
    let mut record = app.record();
    let crew = current(&record)?;
    let ended = record.own_member(crew).is_some_and(|m| m.ended.is_some());
    if record.key_lost().is_none() && !ended {
        forked_and_sent(&mut record, crew, &request)?;
    }
    record.take_new_identity()?;
    overview::overview(&mut record)
}

fn forked_and_sent(
    record: &mut Record,
    crew: BookId,
    request: &NewIdentity,
) -> Result<(), ApiError> {
    let me = record.device();
    if !record.view(crew)?.forked().contains(&me) && !overview::forked_in_jobs(record, crew)? {
        return Err(ApiError::invalid(
            "This device's record has one line only; it needs no new identity.",
        ));
    }
    let may_admit = |(device, member): (&DeviceId, &Member)| {
        *device != me && member.keeper && member.ended.is_none()
    };
    if !record.crew(crew).members.iter().any(may_admit) {
        return Err(ApiError::invalid(
            "This device alone may admit others, so nobody could admit it again. Name another \
             device of the crew a keeper first (admit one where there is none), exchange on both, \
             then take the new identity. Nothing was changed.",
        ));
    }
    let unsent = unshared(record, crew)?;
    if unsent > 0 && !request.leave_unsent {
        return Err(ApiError::new(
            ErrorCode::Questioned,
            format!(
                "{unsent} entries of this device are not in the shared folder yet, and only its \
                 present identity can send them. Exchange first, then take the new one. Nothing was \
                 changed. Only where the folder can't be reached any more: take it all the same, and \
                 nobody else ever sees them?"
            ),
        ));
    }
    Ok(())
}

/// Names a device of the crew a keeper, who may admit and end others; the founder alone can.
pub fn name_keeper(app: &App, request: OfDevice) -> Result<Overview, ApiError> {
    let device: DeviceId = request.device.parse()?;
    let mut record = app.record();
    let crew = current(&record)?;
    let me = App::person(&record)?;
    if record.crew(crew).founder != Some(record.device()) {
        return Err(ApiError::invalid(
            "Only the device that founded the crew can name a keeper. Ask there.",
        ));
    }
    match record.crew(crew).member(&device) {
        None => Err(not_in_crew()),
        Some(member) if member.ended.is_some() => Err(ApiError::invalid(
            "This device was ended; it can't be a keeper.",
        )),
        Some(member) if member.keeper => overview::overview(&mut record),
        Some(_) => {
            record.name_keeper(crew, me, device)?;
            overview::overview(&mut record)
        }
    }
}

fn not_in_crew() -> ApiError {
    ApiError::new(
        ErrorCode::NotFound,
        "This device is not in the crew. Admit it first.",
    )
}

/// Ends a device.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct EndDevice {
    /// The device.
    pub device: String,
    /// Set when the person was asked whether all of its entries came, and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Ends a device: what it recorded so far and is known here still counts, nothing after it.
pub fn end_device(app: &App, request: EndDevice) -> Result<Overview, ApiError> {
    let device: DeviceId = request.device.parse()?;
    let mut record = app.record();
    let crew = current(&record)?;
    let me = App::person(&record)?;
    may_end(&record, record.crew(crew), device)?;
    if !request.confirmed {
        let known = record.known_of(crew, device)?;
        let entries: u64 = known.iter().map(|last| last.n).sum();
        return Err(ApiError::new(
            ErrorCode::Questioned,
            format!(
                "{entries} entries of this device are here and keep counting. What it recorded and \
                 has not come here counts no more, for anybody: exchange on both first. End it now?"
            ),
        ));
    }
    record.end_device(crew, me, device)?;
    overview::overview(&mut record)
}

/// Refuses an end that would have no effect.
fn may_end(record: &Record, crew: &Crew, device: DeviceId) -> Result<(), ApiError> {
    let own = record.device();
    let refused = match crew.member(&device) {
        _ if !crew.member(&own).is_some_and(|m| m.keeper) => {
            "Only the founder and keepers of the crew can end a device."
        }
        None => return Err(not_in_crew()),
        Some(_) if crew.founder == Some(device) => {
            "This device founded the crew and can't be ended: everything rests on its word. \
             Nothing was changed."
        }
        Some(member) if member.keeper && crew.founder != Some(own) => {
            "This device is a keeper's; only the device that founded the crew can end it. Ask \
             there. Nothing was changed."
        }
        Some(_) => return Ok(()),
    };
    Err(ApiError::invalid(refused))
}

/// Names a crew by its book.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct OfCrew {
    /// The crew's book.
    pub crew: String,
}

/// Chooses the crew whose jobs are shown and into which new ones go; jobs never move between crews.
pub fn choose_crew(app: &App, request: OfCrew) -> Result<Overview, ApiError> {
    let crew: BookId = request.crew.parse()?;
    let mut record = app.record();
    if !record.crew_books().contains(&crew) {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            "This device knows no such crew. Join its shared folder first.",
        ));
    }
    record.set_setting("crew", &crew.to_string())?;
    // They told of the other crew's folder.
    record.clear_setting(LAST_REPORT)?;
    record.clear_setting(LAST_MS)?;
    overview::overview(&mut record)
}
