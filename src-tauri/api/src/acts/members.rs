//! Who belongs to the crew: what is asked before a device is admitted, named or ended, or takes a
//! new identity.

use records::Record;
use records::admission::same_digits;
use records::crew::{Crew, Person};
use records::ids::{BookId, DeviceId, PersonId};

use super::exchange::{LAST_MS, LAST_REPORT, current, unshared};
use crate::handlers::members::Admit;
use crate::views::overview;
use crate::{ApiError, App, ErrorCode};

/// Admits a device whose digits were compared; its entries count from the first on.
pub(crate) fn admit(
    record: &mut Record,
    crew: BookId,
    one: &sync::Applicant,
    request: &Admit,
) -> Result<(), ApiError> {
    if !same_digits(&one.digits, &request.digits) {
        return Err(ApiError::invalid(
            "The digits differ. Somebody else may stand between the two devices: compare again, \
             side by side. Nothing was changed.",
        ));
    }
    let me = App::person(record)?;
    if !record.own_member(crew).is_some_and(|m| m.keeper) {
        return Err(ApiError::invalid(
            "Only the founder and keepers of the crew can admit a device. Ask one of them.",
        ));
    }
    let persons = vec![person_at(record.crew(crew), one, request.as_known)?];
    record.admit(crew, me, one.card.key, persons, request.role)?;
    Ok(())
}

/// A device that does not ask is named so: most likely its id was mistyped, or it has not joined.
pub(crate) fn no_applicant(error: sync::SyncError) -> ApiError {
    match error {
        sync::SyncError::NotFound { .. } => ApiError::new(
            ErrorCode::NotFound,
            "No device of this id asks to be admitted in the shared folder. Look at the list of those \
             that ask, and copy the id from there; a device asks once it has joined this folder. \
             Nothing was changed.",
        ),
        other => other.into(),
    }
}

/// The person at a device that asks: one whom the crew knows keeps the crew's name, and is asked
/// about where the device says another.
fn person_at(crew: &Crew, one: &sync::Applicant, as_known: bool) -> Result<Person, ApiError> {
    let id = one.card.person.map_or_else(PersonId::random, Ok)?;
    let known = crew.person_name(&id).map(str::to_owned);
    if let Some(known) = known.as_ref().filter(|k| **k != one.card.name)
        && !as_known
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
    Ok(Person {
        id,
        name: known.unwrap_or_else(|| one.card.name.clone()),
    })
}

/// Takes a new identity where the old one can't go on.
pub(crate) fn new_identity(record: &mut Record, leave_unsent: bool) -> Result<(), ApiError> {
    let crew = current(record)?;
    let ended = record.own_member(crew).is_some_and(|m| m.ended.is_some());
    if record.key_lost().is_none() && !ended {
        if alone_with_a_gap(record, crew)? {
            return go_on(record, crew, leave_unsent);
        }
        forked_and_sent(record, crew, leave_unsent)?;
    }
    record.take_new_identity()?;
    Ok(())
}

/// Whether nobody else could admit this device again, and it can't write as it is.
fn alone_with_a_gap(record: &mut Record, crew: BookId) -> Result<bool, ApiError> {
    Ok(!others_admit(record, crew) && record.misses_own(crew)?)
}

fn others_admit(record: &Record, crew: BookId) -> bool {
    let me = record.device();
    let mut members = record.crew(crew).members.iter();
    members.any(|(device, member)| *device != me && member.keeper && member.ended.is_none())
}

/// Goes on from the last whole entries, on a yes.
fn go_on(record: &mut Record, crew: BookId, yes: bool) -> Result<(), ApiError> {
    if !yes {
        return Err(ApiError::new(
            ErrorCode::Questioned,
            "Entries of this device are damaged or missing here, and what it recorded after them \
             counts only once they are back. As the only one who may admit, it keeps its identity \
             and can go on from its last whole entry. Look for an older copy of its data first. Go \
             on without them? Nothing was changed.",
        ));
    }
    Ok(record.go_on_before_gaps(crew)?)
}

/// Refuses a new identity to a record of one line, to the only one who may admit, and, until a
/// person said so, to one that has not sent all.
fn forked_and_sent(record: &mut Record, crew: BookId, leave_unsent: bool) -> Result<(), ApiError> {
    let me = record.device();
    let in_jobs = overview::forked_in_jobs(record, crew)?;
    let forked = record.view(crew)?.forked().contains(&me) || in_jobs.contains(&me);
    // On top of a gap in its own chain nothing that it records would count anywhere.
    if !forked && !record.misses_own(crew)? {
        return Err(ApiError::invalid(
            "This device's record has one line only; it needs no new identity.",
        ));
    }
    if !others_admit(record, crew) {
        return Err(ApiError::invalid(
            "This device alone may admit others, so nobody could admit it again. Name another \
             device of the crew a keeper first (admit one where there is none), exchange on both, \
             then take the new identity. Nothing was changed.",
        ));
    }
    let unsent = unshared(record, crew)?;
    if unsent > 0 && !leave_unsent {
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

/// Names a device of the crew a keeper; one that is a keeper stays one.
pub(crate) fn name_keeper(record: &mut Record, device: DeviceId) -> Result<(), ApiError> {
    let crew = current(record)?;
    let me = App::person(record)?;
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
        Some(member) if member.keeper => Ok(()),
        Some(_) => {
            record.name_keeper(crew, me, device)?;
            Ok(())
        }
    }
}

fn not_in_crew() -> ApiError {
    ApiError::new(
        ErrorCode::NotFound,
        "This device is not in the crew. Admit it first.",
    )
}

/// Ends a device, once a person was asked whether all of its entries came.
pub(crate) fn end_device(
    record: &mut Record,
    device: DeviceId,
    confirmed: bool,
) -> Result<(), ApiError> {
    let crew = current(record)?;
    let me = App::person(record)?;
    may_end(record, record.crew(crew), device)?;
    if !confirmed {
        let known = record.known_of(crew, device)?;
        let entries = record.entries_up_to(&known)?;
        return Err(ApiError::new(
            ErrorCode::Questioned,
            format!(
                "{entries} entries of this device are here and keep counting. What it recorded and \
                 has not come here counts no more, for anybody: exchange on both first. End it now?"
            ),
        ));
    }
    record.end_device(crew, me, device)?;
    Ok(())
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

/// Chooses the crew whose jobs are shown; jobs never move between crews.
pub(crate) fn choose_crew(record: &Record, crew: BookId) -> Result<(), ApiError> {
    if !record.crew_books().contains(&crew) {
        return Err(ApiError::new(
            ErrorCode::NotFound,
            "This device knows no such crew. Join its shared folder first.",
        ));
    }
    record.set_setting("crew", &crew.to_string())?;
    record.adopt_person(crew)?;
    // They told of the other crew's folder.
    record.clear_setting(LAST_REPORT)?;
    record.clear_setting(LAST_MS)?;
    Ok(())
}
