//! Whether what this device records counts with the others.

use records::Record;
use records::ids::BookId;

use crate::{ApiError, App};

/// Why an act in a book, the crew's or a job's, does not count yet, in words; none where it counts.
///
/// # Errors
/// `invalid` where it never will: the device was ended, or its key is lost. Nothing is recorded then.
pub(crate) fn not_counting(record: &Record, book: BookId) -> Result<Option<String>, ApiError> {
    if let Some(lost) = record.key_lost() {
        return Err(ApiError::invalid(format!("{lost}.")));
    }
    let crew = if record.crew_books().contains(&book) {
        book
    } else {
        record.crew_of_job(book)?
    };
    let person = App::person(record)?;
    match record.own_member(crew) {
        Some(member) if member.ended.is_some() => Err(ApiError::invalid(
            "This device was ended by its crew: nothing that it records counts any more. Nothing \
             was saved. Take a new identity in the crew's screen and be admitted again, or write \
             on another device.",
        )),
        Some(member) if member.persons.iter().any(|p| p.id == person) => Ok(None),
        Some(_) => Ok(Some(
            "Saved here. The crew does not list this person on this device, so the others do not \
             see it: ask a keeper."
                .to_owned(),
        )),
        None => Ok(Some(
            "Saved here. This device is not admitted to the crew yet: the others see it once a \
             keeper has admitted the device."
                .to_owned(),
        )),
    }
}
