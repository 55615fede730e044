//! Jobs and the things in them: begun, added with their first fields, taken out again.

use records::Record;
use records::clock::today;
use records::ids::BookId;
use records::model::fields;
use records::subject::{Subject, SubjectKind};
use records::work;
use serde_json::{Value, json};

use super::say;
use crate::claim::{Act, Acted, Earlier, Fields, tips};
use crate::handlers::jobs::{AddThing, BeginJob};
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
    let acted = Acted {
        not_counting,
        ..Acted::default()
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
    for one in &request.fields {
        let spec = say::plain_spec(&subject, &one.field)?;
        say::check_value(spec, &one.value)?;
        first = first.raw(spec.name, &one.place, &one.value);
        let question = work::odd_value(subject.kind(), spec.name, &one.value, &[]);
        odd.extend(question.map(|question| say::asked_of(spec, &question)));
        odd.extend(say::of_layout(record, job, &subject, spec, &one.value)?);
    }
    if subject.kind() == SubjectKind::Tool {
        let fields = request.fields.iter();
        let said: Vec<_> = fields.map(|f| (f.field.as_str(), &f.value)).collect();
        odd.extend(work::odd_tool(&said, None, today(record.clock())));
    }
    odd.extend(say::check_layout(record, job, &subject, &request.fields)?);
    if !request.confirmed {
        super::ask(odd)?;
    }
    let mut act = Act::default();
    act.create(subject, first, Vec::new());
    act.record(record, job)
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
