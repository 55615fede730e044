//! What the crew keeps of its own: what a rule set or sheet must tell, and the words in its book.

use records::Record;
use records::ids::BookId;
use records::library::{self, Author};
use records::model::context::Said;
use records::model::values::RuleSetCopy;
use records::model::{Field, fields};
use records::record::new_item;
use records::subject::{ItemKind, Subject};
use serde::Serialize;

use super::jobs::uncreate;
use super::library::{file_of, unknown};
use crate::claim::{Act, Acted, Earlier, Fields, tips};
use crate::handlers::own::{KeepRuleSet, RuleSetFrom};
use crate::handlers::{capital, item};
use crate::{ApiError, App, ErrorCode};

/// The current crew, where its book is here.
fn crew_book(record: &Record) -> Result<BookId, ApiError> {
    record
        .current_crew()?
        .filter(|crew| record.crew_books().contains(crew))
        .ok_or_else(|| ApiError::invalid("There is no crew yet. Say first who you are."))
}

/// A plain sentence that says why a file was refused and that nothing was saved, or what is asked.
pub(crate) fn refused(error: &library::RuleFileError) -> ApiError {
    let text = capital(&error.to_string());
    if matches!(error, library::RuleFileError::Questions(_)) {
        // To be answered with the same request.
        return ApiError::new(ErrorCode::Questioned, text);
    }
    let text = text.trim_end_matches('.');
    ApiError::invalid(format!("{text}. Nothing was saved."))
}

/// A new thing of the crew, or a new word on one that is there, which has no name of its own then.
pub(crate) type Kept = (Acted, Option<Subject>);

/// Keeps a rule set of the crew's own: a file, or another one with figures changed.
pub(crate) fn keep_rule_set(record: &mut Record, request: &KeepRuleSet) -> Result<Kept, ApiError> {
    let book = crew_book(record)?;
    let copy = own_copy(record, book, request)?;
    let first = Fields::default().with(fields::RULE_SET_COPY, "", Some(copy.clone()))?;
    let of = (ItemKind::RuleSet, request.id.as_deref());
    keep(record, book, of, first, |act, subject, record| {
        let copied = (fields::RULE_SET_COPY, &copy, &Said::default());
        anew(record, book, act, subject, copied)
    })
}

/// The rule set as the crew's book keeps it, with who keeps it and why.
fn own_copy(
    record: &mut Record,
    book: BookId,
    request: &KeepRuleSet,
) -> Result<RuleSetCopy, ApiError> {
    let person = App::person(record)?;
    let by = record.crew(book).person_name(&person).unwrap_or_default();
    let by = by.to_owned();
    let at = records::clock::next_at(record.clock(), None);
    let on = records::clock::day(at)
        .and_then(|day| library::Day::read(&day))
        .ok_or_else(|| ApiError::invalid("The clock of this device is wrong. Set it first."))?;
    let author = Author {
        by: &by,
        on,
        why: &request.why,
        confirmed: request.confirmed,
    };
    let text = own_text(record, book, &request.from, &author)?;
    let file = library::read("", &text).ok_or_else(|| unknown("rule set"))?;
    Ok(RuleSetCopy {
        name: file.title,
        sha256: file.sha256,
        text,
        origin: format!("rule set of the crew, kept by {by} on {on}"),
    })
}

/// The text of an own rule set: the file as it is, or another one's with its changes told.
fn own_text(
    record: &mut Record,
    book: BookId,
    from: &RuleSetFrom,
    author: &Author<'_>,
) -> Result<String, ApiError> {
    match from {
        RuleSetFrom::File { text } => library::kept(text, author),
        RuleSetFrom::Changes {
            name,
            title,
            changes,
        } => {
            let base = file_of(record, Some(book), name)?;
            library::changed(&base, title, changes, author)
        }
    }
    .map_err(|e| refused(&e))
}

/// Makes a thing of the crew's own with name and sheet, or tells both of one that is there.
pub(crate) fn keep_from_sheet<S: Serialize + Clone>(
    record: &mut Record,
    of: (ItemKind, Option<&str>),
    (name_field, name): (Field<String>, String),
    (sheet_field, sheet, entered): (Field<S>, S, Option<String>),
) -> Result<Kept, ApiError> {
    let book = crew_book(record)?;
    let typed = Said {
        entered,
        ..Said::default()
    };
    let first = Fields::default()
        .with(name_field, "", Some(name.clone()))?
        .said(sheet_field, "", &sheet, &typed)?;
    keep(record, book, of, first, |act, subject, record| {
        let named = (name_field, &name, &Said::default());
        anew(record, book, act, subject, named)?;
        anew(record, book, act, subject, (sheet_field, &sheet, &typed))
    })
}

/// Records a new thing of the crew, or a new word on one that is there.
fn keep(
    record: &mut Record,
    book: BookId,
    (kind, id): (ItemKind, Option<&str>),
    first: Fields,
    again: impl FnOnce(&mut Act, Subject, &mut Record) -> Result<(), ApiError>,
) -> Result<Kept, ApiError> {
    let mut act = Act::default();
    let Some(id) = id else {
        let subject = Subject::Item(kind, new_item()?);
        act.create(subject, first, Vec::new());
        return Ok((act.record(record, book)?, Some(subject)));
    };
    let subject = Subject::Item(kind, item(id)?);
    if tips(record, book, &subject, "created", "")?.is_empty() {
        return Err(unknown("thing of the crew"));
    }
    again(&mut act, subject, record)?;
    Ok((act.record(record, book)?, None))
}

/// Says a single value over all that stands there.
fn anew<T: Serialize>(
    record: &mut Record,
    book: BookId,
    act: &mut Act,
    subject: Subject,
    (field, value, with): (Field<T>, &T, &Said),
) -> Result<(), ApiError> {
    let earlier = Earlier::over(tips(record, book, &subject, field.name, "")?);
    act.claim(field, subject, "", Some(value), with, earlier)
}

/// Refuses a sheet whose figures can't be, and asks about odd ones once.
pub(crate) fn usable(faults: &[String], odd: Vec<String>, confirmed: bool) -> Result<(), ApiError> {
    if !faults.is_empty() {
        return Err(ApiError::invalid(format!(
            "{} Nothing was saved.",
            faults.join(" ")
        )));
    }
    match confirmed {
        true => Ok(()),
        false => super::ask(odd),
    }
}

/// Takes something of the crew's own out of the library; jobs keep their copies.
pub(crate) fn drop_own(
    record: &mut Record,
    subject: Subject,
    reason: &str,
) -> Result<Acted, ApiError> {
    let book = crew_book(record)?;
    let ours = matches!(
        subject,
        Subject::Item(
            ItemKind::RuleSet | ItemKind::Strand | ItemKind::FittingSet,
            _
        )
    );
    let dropped = match ours {
        true => uncreate(record, book, subject, reason)?,
        false => None,
    };
    dropped.ok_or_else(|| unknown("thing of the crew"))
}
