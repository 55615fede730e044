//! Jobs and the things in them: begun, added with their first fields, taken out again.

use records::Record;
use records::clock::today;
use records::ids::BookId;
use records::model::fields;
use records::subject::{Subject, SubjectKind};
use records::work::{self, SaidNow};
use serde_json::{Value, json};

use super::say;
use crate::claim::{Act, Acted, Earlier, Fields, tips};
use crate::handlers::jobs::{AddThing, BeginJob, FirstField};
use crate::handlers::some_text;
use crate::{ApiError, App, ErrorCode, standing};

/// Begins a job in the current crew.
pub(crate) fn begin(record: &mut Record, request: &BeginJob) -> Result<(Acted, BookId), ApiError> {
    let title = some_text("The job's title", &request.title)?;
    let place = some_text("The address", &request.place)?;
    let person = App::person(record)?;
    let crew = super::exchange::current(record)?;
    let not_counting = match record.crew_books().contains(&crew) {
        true => standing::not_counting(record, crew)?,
        false => None,
    };
    let job = record.begin_job(crew, person, &title, &place)?;
    let view = record.view(job)?;
    let mut entries: Vec<_> = view.ids().filter_map(|id| view.entry(id)).collect();
    entries.sort_by_key(|entry| entry.body.n);
    let acted = Acted {
        entries: entries.into_iter().map(|entry| entry.id).collect(),
        not_counting,
    };
    Ok((acted, job))
}

/// Adds a thing with its first fields: plain facts that can be, and odd ones once a person said yes.
pub(crate) fn add_thing(
    record: &mut Record,
    job: BookId,
    subject: Subject,
    request: &AddThing,
) -> Result<Acted, ApiError> {
    let mut first = Fields::default();
    let mut odd = Vec::new();
    named(&subject, &request.fields)?;
    each_once(&request.fields)?;
    for one in &request.fields {
        let spec = say::plain_spec(&subject, &one.field)?;
        say::check_value(spec, &one.value)?;
        say::check_context(spec, one.with.as_ref())?;
        first = first.raw(spec.name, &one.place, &one.value, one.with.as_ref());
        let question = work::odd_value(subject.kind(), spec.name, &one.value, &[]);
        odd.extend(question.map(|question| say::asked_of(spec, &question)));
        odd.extend(say::of_layout(record, job, &subject, spec, &one.value)?);
    }
    if subject.kind() == SubjectKind::Tool {
        let fields = request.fields.iter();
        let said: Vec<_> = fields.map(|f| (f.field.as_str(), &f.value)).collect();
        let of_tool = work::odd_tool(&said, None, Some(today(record.clock())));
        odd.extend(of_tool.into_iter().map(|(_, sentence)| sentence));
    }
    odd.extend(say::check_layout(record, job, &subject, &request.fields)?);
    odd.extend(together(record, job, subject, &request.fields)?);
    if !request.confirmed {
        super::ask(odd)?;
    }
    let mut act = Act::default();
    act.create(subject, first, Vec::new());
    act.record(record, job)
}

/// Refuses first fields that say one thing twice: a creation has one first value of each, and one with two
/// counts nowhere.
fn each_once(said: &[FirstField]) -> Result<(), ApiError> {
    for (at, one) in said.iter().enumerate() {
        let mut before = said.iter().take(at);
        if before.any(|other| other.field == one.field && other.place == one.place) {
            return Err(ApiError::invalid(format!(
                "The field {} is told twice. Tell it once. Nothing was saved.",
                one.field
            )));
        }
    }
    Ok(())
}

/// Refuses a run, post or defect that nobody could call by a name.
fn named(subject: &Subject, fields: &[FirstField]) -> Result<(), ApiError> {
    let (name, words) = match subject.kind() {
        SubjectKind::Run | SubjectKind::Post => (fields::RUN_NAME.name, "what it is called"),
        SubjectKind::Defect => (fields::DEFECT_FOUND.name, "what is wrong"),
        _ => return Ok(()),
    };
    let told = fields.iter().find(|one| one.field == name);
    if told.is_some_and(|one| one.value.is_string()) {
        return Ok(());
    }
    Err(ApiError::invalid(format!(
        "A {} needs a word to call it by: say {words}. Nothing was saved.",
        subject.kind().word()
    )))
}

/// What the first fields of a thing ask beside each other, once each has its place in the layout.
fn together(
    record: &mut Record,
    job: BookId,
    subject: Subject,
    fields: &[FirstField],
) -> Result<Vec<String>, ApiError> {
    let job = record.job(job)?;
    let gone = |one: &FirstField| work::place_not_there(&job, &subject, &one.field, &one.place);
    say::not_saved(fields.iter().find_map(gone))?;
    let said: Vec<SaidNow<'_>> = fields
        .iter()
        .map(|one| SaidNow {
            subject,
            field: &one.field,
            place: &one.place,
            value: &one.value,
        })
        .collect();
    say::beside_each_other(&job, &said)
}

/// Takes a thing out of the layout; all that was said of it is kept.
pub(crate) fn remove(
    record: &mut Record,
    job: BookId,
    subject: Subject,
    reason: &str,
) -> Result<Acted, ApiError> {
    uncreate(record, job, subject, reason)?
        .ok_or_else(|| ApiError::new(ErrorCode::NotFound, "There is no such thing here."))
}

/// Withdraws the creation of a thing of a book, with a reason; none where there is no such thing.
pub(crate) fn uncreate(
    record: &mut Record,
    book: BookId,
    subject: Subject,
    reason: &str,
) -> Result<Option<Acted>, ApiError> {
    let over = tips(record, book, &subject, "created", "")?;
    if over.is_empty() {
        return Ok(None);
    }
    let with = fields::find(subject.kind(), "created").map(|_| json!({ "reason": reason }));
    let mut act = Act::default();
    let earlier = Earlier::over(over);
    act.raw("created", subject, "", &Value::Null, with, earlier);
    act.record(record, book).map(Some)
}
