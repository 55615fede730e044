//! Saying values of plain fields: what a value must be, what stood when the person looked, and what
//! is asked about an odd figure before it is kept.

use std::collections::{BTreeMap, BTreeSet};

use records::Record;
use records::clock::today;
use records::ids::{BookId, Hash, ItemId};
use records::job::reader::values;
use records::job::{Job, Run};
use records::model::bounds;
use records::model::fields::{self, FieldSpec};
use records::model::values::{Length, PostRole};
use records::subject::{ItemKind, Subject, SubjectKind};
use records::work::{self, SaidNow};
use serde_json::Value;

use super::ask;
use crate::claim::{Act, Acted, Earlier, key_of, short_texts, tips};
use crate::handlers::hashes;
use crate::handlers::jobs::FirstField;
use crate::handlers::say::{OneClaim, Say};
use crate::{ApiError, ErrorCode};

/// Says values of plain fields, all of them or none, and tells what a run can't be cut for since.
pub(crate) fn say(
    record: &mut Record,
    job: BookId,
    request: &Say,
) -> Result<(Acted, Vec<String>), ApiError> {
    if request.claims.is_empty() {
        return Err(ApiError::invalid("Nothing was said."));
    }
    let mut act = Act::default();
    let mut odd = Vec::new();
    for one in &request.claims {
        let subject: Subject = one.subject.parse()?;
        let spec = fitting(one, &subject)?;
        is_there(record, job, &subject, one)?;
        let as_first = FirstField {
            field: one.field.clone(),
            place: one.place.clone(),
            value: one.value.clone(),
            with: None,
        };
        odd.extend(check_layout(
            record,
            job,
            &subject,
            std::slice::from_ref(&as_first),
        )?);
        let over = replaced(record, job, &subject, spec, one)?;
        odd.extend(odd_beside(record, job, &subject, spec, one)?);
        odd.extend(one.with.iter().flat_map(work::odd_offer));
        let of_job = record.job(job)?;
        odd.extend(work::odd_delivery(&of_job, &subject, spec.name, &one.value));
        let basis = read_before(record, job, &subject, spec, one)?;
        let (with, earlier) = (one.with.clone(), Earlier { over, basis });
        act.raw(spec.name, subject, &one.place, &one.value, with, earlier);
    }
    odd.extend(odd_tools(record, job, request)?);
    odd.extend(odd_together(record, job, request)?);
    if !request.confirmed {
        ask(odd)?;
    }
    let before = unfit(record, job, request)?;
    let acted = act.record(record, job)?;
    let mut since = unfit(record, job, request)?;
    since.retain(|sentence| !before.contains(sentence));
    Ok((acted, since))
}

/// Refuses a word on what the job does not have.
fn is_there(
    record: &mut Record,
    job: BookId,
    subject: &Subject,
    one: &OneClaim,
) -> Result<(), ApiError> {
    let job = record.job(job)?;
    let gone = work::subject_not_there(&job, subject)
        .or_else(|| work::place_not_there(&job, subject, &one.field, &one.place));
    not_saved(gone)
}

/// The refusal of a word that has no place.
pub(crate) fn not_saved(why: Option<String>) -> Result<(), ApiError> {
    match why {
        Some(why) => Err(ApiError::invalid(format!("{why} Nothing was saved."))),
        None => Ok(()),
    }
}

/// What to ask about the values of one act beside each other.
fn odd_together(record: &mut Record, job: BookId, request: &Say) -> Result<Vec<String>, ApiError> {
    let said = request.claims.iter().map(|one| {
        Ok(SaidNow {
            subject: one.subject.parse()?,
            field: &one.field,
            place: &one.place,
            value: &one.value,
        })
    });
    let said: Vec<SaidNow<'_>> = said.collect::<Result<_, ApiError>>()?;
    beside_each_other(&record.job(job)?, &said)
}

/// What to ask about the values of an act; refuses what can't be beside the rest.
pub(crate) fn beside_each_other(
    job: &Job<'_>,
    said: &[SaidNow<'_>],
) -> Result<Vec<String>, ApiError> {
    not_saved(work::off_the_face(job, said))?;
    Ok(work::odd_together(job, said)?)
}

/// What keeps the runs of an act from being cut, where it speaks of their anchors, wires or heights.
fn unfit(record: &mut Record, job: BookId, request: &Say) -> Result<Vec<String>, ApiError> {
    let layout = [
        fields::POST_ROLE.name,
        fields::RUN_WIRE_COUNT.name,
        fields::RUN_WIRE_HEIGHTS.name,
    ];
    let claims = request.claims.iter();
    let of: Vec<&OneClaim> = claims.filter(|c| layout.contains(&&*c.field)).collect();
    if of.is_empty() {
        return Ok(Vec::new());
    }
    let job = record.job(job)?;
    let spoken = |run: &&Run| {
        let (id, subject) = (run.id.to_string(), run.subject().to_string());
        of.iter().any(|c| c.place == id || c.subject == subject)
    };
    Ok(job
        .runs
        .iter()
        .filter(spoken)
        .flat_map(work::unfit)
        .collect())
}

/// What to ask about tools of which something is said, each beside all that stands of it.
fn odd_tools(record: &mut Record, job: BookId, request: &Say) -> Result<Vec<String>, ApiError> {
    let mut by_tool: BTreeMap<ItemId, Vec<(&str, &Value)>> = BTreeMap::new();
    for one in &request.claims {
        if let Subject::Item(ItemKind::Tool, tool) = one.subject.parse()? {
            let said = by_tool.entry(tool).or_default();
            said.push((one.field.as_str(), &one.value));
        }
    }
    let mut odd = Vec::new();
    for (tool, said) in by_tool {
        let stands = record.tool(job, tool)?;
        let of_tool = work::odd_tool(&said, stands.as_ref(), Some(today(record.clock())));
        odd.extend(of_tool.into_iter().map(|(_, sentence)| sentence));
    }
    Ok(odd)
}

/// The field of a claim, once value and context fit it.
fn fitting(one: &OneClaim, subject: &Subject) -> Result<&'static FieldSpec, ApiError> {
    let spec = plain_spec(subject, &one.field)?;
    check_value(spec, &one.value)?;
    check_context(spec, one.with.as_ref())?;
    Ok(spec)
}

/// What a claim replaces: all that stands under a single value, of repeats those that are named.
fn replaced(
    record: &mut Record,
    job: BookId,
    subject: &Subject,
    spec: &FieldSpec,
    one: &OneClaim,
) -> Result<Vec<Hash>, ApiError> {
    if spec.many {
        return hashes(&one.over);
    }
    let stand = tips(record, job, subject, spec.name, &one.place)?;
    unchanged(one.seen.as_deref(), &stand)?;
    Ok(stand)
}

/// What a reading follows: an opening that is read again takes the place of what stands of it here,
/// whoever read that.
fn read_before(
    record: &mut Record,
    job: BookId,
    subject: &Subject,
    spec: &FieldSpec,
    one: &OneClaim,
) -> Result<Vec<Hash>, ApiError> {
    if let (Subject::Item(ItemKind::Run, run), true) =
        (subject, spec.name == fields::RUN_BEFORE_SECOND_END.name)
    {
        return Ok(work::look_basis(&record.job(job)?, *run)?);
    }
    let opening = [fields::RUN_OPENING.name, fields::POST_OPENING.name].contains(&spec.name);
    let with = one.with.as_ref().filter(|_| opening && one.over.is_empty());
    // What was checked against the registry reads as what it is.
    let Some(Ok(with)) = with.map(|with| serde_json::from_value(with.clone())) else {
        return Ok(Vec::new());
    };
    let job = record.job(job)?;
    Ok(work::opening_before(&job, subject, &one.place, &with))
}

/// Refuses to replace words that came after the person looked.
pub(crate) fn unchanged(seen: Option<&[String]>, stand: &[Hash]) -> Result<(), ApiError> {
    let Some(seen) = seen else {
        return Ok(());
    };
    let seen: BTreeSet<Hash> = hashes(seen)?.into_iter().collect();
    if seen == stand.iter().copied().collect() {
        return Ok(());
    }
    Err(ApiError::new(
        ErrorCode::Changed,
        "Somebody said otherwise meanwhile, or a word came in that was not on the screen. Nothing \
         was saved: look at what stands now, and say it again if it is still right.",
    ))
}

/// What to ask about a claim's figures, by themselves and beside the single value that they replace.
fn odd_beside(
    record: &mut Record,
    job: BookId,
    subject: &Subject,
    spec: &FieldSpec,
    one: &OneClaim,
) -> Result<Option<String>, ApiError> {
    let key = key_of(subject, spec.name, &one.place);
    let stands = match spec.many {
        true => Vec::new(),
        false => values(record.view(job)?, &key),
    };
    let question = work::odd_value(subject.kind(), spec.name, &one.value, &stands);
    match question {
        Some(question) => Ok(Some(asked_of(spec, &question))),
        None => of_layout(record, job, subject, spec, &one.value),
    }
}

/// What to ask about the number of a run's wires, and about a name that stands already.
pub(crate) fn of_layout(
    record: &mut Record,
    job: BookId,
    subject: &Subject,
    spec: &FieldSpec,
    value: &Value,
) -> Result<Option<String>, ApiError> {
    let layout = matches!(subject.kind(), SubjectKind::Run | SubjectKind::Post);
    if !layout || ![fields::RUN_WIRE_COUNT.name, fields::RUN_NAME.name].contains(&spec.name) {
        return Ok(None);
    }
    Ok(work::odd_in_layout(
        &record.job(job)?,
        subject,
        spec.name,
        value,
    ))
}

/// A question with what it is about: an act says several fields.
pub(crate) fn asked_of(spec: &FieldSpec, question: &str) -> String {
    format!("{}: {question}", spec.called())
}

/// The field of a subject, where it is a plain fact: decisions and readings have rules, and a word
/// said past them would be as good as one that kept them.
pub(crate) fn plain_spec(subject: &Subject, field: &str) -> Result<&'static FieldSpec, ApiError> {
    let kind = subject.kind();
    let spec = fields::find(kind, field).ok_or_else(|| {
        ApiError::invalid(format!(
            "A {} has no field {:?}.",
            kind.word(),
            field.chars().take(40).collect::<String>()
        ))
    })?;
    match spec.command {
        None => Ok(spec),
        Some(command) => Err(ApiError::invalid(format!(
            "The field {} of a {} has rules of its own: use the command {command}. Nothing was \
             saved.",
            spec.name,
            kind.word()
        ))),
    }
}

/// Refuses a value that the field's type does not take, and figures that can't be.
pub(crate) fn check_value(spec: &FieldSpec, value: &Value) -> Result<(), ApiError> {
    let names = [
        fields::JOB_TITLE.name,
        fields::RUN_NAME.name,
        fields::DEFECT_FOUND.name,
    ];
    let empty = value.as_str().is_some_and(|text| text.trim().is_empty());
    if names.contains(&spec.name) && empty {
        return Err(ApiError::invalid(format!(
            "The {} is empty. Type it first. Nothing was saved.",
            spec.name
        )));
    }
    bounds::check(spec, value)
        .map_err(|reason| ApiError::invalid(format!("{reason}. Nothing was saved.")))?;
    short_texts(spec.called(), value)
}

/// Refuses a context that the field's type does not take.
pub(crate) fn check_context(spec: &FieldSpec, with: Option<&Value>) -> Result<(), ApiError> {
    let Some(with) = with else { return Ok(()) };
    (spec.context_named)(with).map_err(|e| ApiError::invalid(format!("{}: {e}", spec.name)))
}

/// Refuses a post outside its run; what is to be asked about a place too near to another post.
pub(crate) fn check_layout(
    record: &mut Record,
    job: BookId,
    subject: &Subject,
    said: &[FirstField],
) -> Result<Vec<String>, ApiError> {
    let mut odd = Vec::new();
    let Subject::Item(ItemKind::Post, post) = subject else {
        return Ok(odd);
    };
    for one in said.iter().filter(|f| f.field == "position") {
        let Some(nm) = one.value.get("nm").and_then(Value::as_i64) else {
            continue;
        };
        let job = record.job(job)?;
        let Some(run) = job.runs.iter().find(|r| r.id.to_string() == one.place) else {
            return Err(ApiError::invalid("The post's run is not in this job."));
        };
        inside(run, *post, nm, role_said(said, &one.place))?;
        odd.extend(work::odd_place_in(run, *post, Length { nm }));
    }
    Ok(odd)
}

/// The role in a run that is said in the same act.
fn role_said<'a>(said: &'a [FirstField], run: &str) -> Option<&'a str> {
    let of_run = |f: &&FirstField| f.field == "role" && f.place == run;
    said.iter().find(of_run).and_then(|f| f.value.as_str())
}

/// Refuses a place beyond the run's anchors, but for a post that is one.
fn inside(run: &Run, post: ItemId, nm: i64, role: Option<&str>) -> Result<(), ApiError> {
    let known = run.posts.iter().find(|p| p.id == post);
    let anchor = match role {
        Some(role) => role == "anchor",
        None => known.is_some_and(|p| p.role == PostRole::Anchor),
    };
    let others = run.posts.iter().filter(|p| p.id != post);
    let anchors: Vec<i64> = others
        .filter(|p| p.role == PostRole::Anchor)
        .filter_map(|p| p.position.shown().map(|l| l.nm))
        .collect();
    let (Some(from), Some(to)) = (anchors.iter().min(), anchors.iter().max()) else {
        return Ok(());
    };
    if anchor || anchors.len() < 2 || (*from..=*to).contains(&nm) {
        return Ok(());
    }
    let mm = |nm: i64| Length { nm }.as_mm();
    Err(ApiError::invalid(format!(
        "The post would stand at {} mm, outside its run of {} to {} mm. Correct the position, or \
         make it an anchor.",
        mm(nm),
        mm(*from),
        mm(*to)
    )))
}
