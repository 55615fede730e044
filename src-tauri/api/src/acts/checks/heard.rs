//! Tensions by sound and by a hung phone, kept where a person says so.
//!
//! Invariant: what is kept carries its band, what it rests on and the hash of its raw recordings,
//! which are kept as a document in the same act; a refusal is kept nowhere.

use records::Record;
use records::entry::FileRef;
use records::ids::{BookId, ItemId};
use records::model::context::{ReadingTold, Shows, TensionRead};
use records::model::fields;
use records::model::values::{Evidence, Force};
use records::record::new_item;
use records::subject::{ItemKind, Subject};
use records::work::{self, Guide, Heard, Hearing, SpanAsked};

use crate::ApiError;
use crate::acts::layout::{piece_in, piece_of, run_of, turnings_of};
use crate::app::PROGRAM;
use crate::claim::{Act, Acted, Earlier, Fields, tips};
use crate::handlers::checks::{HeardBy, KeepHeard};
use crate::views::job::bay_place;

/// A wire ready to be heard.
pub(crate) fn hearing(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    wire: u32,
    span: &SpanAsked,
) -> Result<Hearing, ApiError> {
    piece_of(record, job, run, wire, None)?;
    Ok(work::hearing(&record.job(job)?, run, wire, span)?)
}

/// Where a reading that is to be kept was taken, found before the recordings are listened to.
pub(crate) struct ReadAt {
    job: BookId,
    run: ItemId,
    piece: u32,
    /// "A6, A1–A2".
    name: String,
}

/// The piece in place and the names of wire and bay; refuses those that the layout does not have.
pub(crate) fn read_at(
    record: &mut Record,
    job: BookId,
    run: ItemId,
    request: &KeepHeard,
) -> Result<ReadAt, ApiError> {
    let (wire, place) = (request.heard.wire, &request.round.bay);
    let found = run_of(record, job, run)?;
    let piece = piece_in(&found, wire, Some(place))?;
    let bay = found.bays.iter().find(|bay| bay_place(bay) == *place);
    let bay = bay.map_or("", |bay| bay.name.as_str());
    Ok(ReadAt {
        job,
        run,
        piece,
        name: format!("{}{wire}, {bay}", found.name),
    })
}

/// The tension that was told; a refusal is not kept.
pub(crate) fn worth_keeping(heard: &Heard) -> Result<Guide, ApiError> {
    let refused = || ApiError::invalid(format!("{} Nothing was saved.", heard.sentence));
    heard.guide.ok_or_else(refused)
}

/// Refuses recordings that are kept as a reading already: one pluck tells of one wire, once.
fn not_kept_yet(record: &mut Record, job: BookId, files: &[FileRef]) -> Result<(), ApiError> {
    let job = record.job(job)?;
    let here = |with: &TensionRead| {
        let kept = with.told.iter().flat_map(|told| &told.recordings);
        kept.into_iter()
            .any(|kept| files.iter().any(|file| file.sha256 == *kept))
    };
    for run in &job.runs {
        for wire in &run.wires {
            let mut words = wire.tensions.iter().flat_map(|(_, fact)| &fact.tips);
            if words.any(|word| word.value.is_some() && word.with.as_ref().is_some_and(here)) {
                return Err(ApiError::invalid(format!(
                    "This recording is kept already, as a reading of wire {}{}. Pluck the wire anew. \
                     Nothing was saved.",
                    run.name, wire.number
                )));
            }
        }
    }
    Ok(())
}

/// Records the tension that was heard, and its raw recordings as a document tied to the wire.
pub(crate) fn keep(
    record: &mut Record,
    at: &ReadAt,
    request: &KeepHeard,
    heard: &Heard,
    files: Vec<FileRef>,
) -> Result<(Subject, Acted), ApiError> {
    not_kept_yet(record, at.job, &files)?;
    let guide = worth_keeping(heard)?;
    let with = context(at, request, heard, &guide, &files)?;
    let wire = Subject::Wire(at.run, request.heard.wire);
    let mut act = Act::default();
    let document = recordings(&mut act, at, request, wire, files)?;
    let (field, bay) = (fields::WIRE_TENSION, &request.round.bay);
    let mut known = tips(record, at.job, &wire, field.name, bay)?;
    let run = run_of(record, at.job, at.run)?;
    known.extend(turnings_of(&run, record.device()));
    let mn = whole_mn(guide.newtons);
    act.claim(
        field,
        wire,
        bay,
        Some(&Force { mn }),
        &with,
        Earlier::after(known),
    )?;
    Ok((document, act.record(record, at.job)?))
}

/// What stands beside the tension; a round's gauge and chart play no part.
fn context(
    at: &ReadAt,
    request: &KeepHeard,
    heard: &Heard,
    guide: &Guide,
    files: &[FileRef],
) -> Result<TensionRead, ApiError> {
    let typed = request.heard.entered();
    let entered = format!("{}, {typed}", heard.sentence);
    let mut with = request.round.context(heard.method, entered, at.piece)?;
    with.gauge = None;
    with.chart = None;
    with.reason.clone_from(&request.remark);
    with.told = Some(ReadingTold {
        program: PROGRAM.to_owned(),
        least_mn: Some(whole_mn(guide.least_n)),
        most_mn: Some(whole_mn(guide.most_n)),
        numbers: heard.numbers.clone(),
        recordings: files.iter().map(|file| file.sha256).collect(),
    });
    Ok(with)
}

/// The document that holds the raw recordings.
fn recordings(
    act: &mut Act,
    at: &ReadAt,
    request: &KeepHeard,
    wire: Subject,
    files: Vec<FileRef>,
) -> Result<Subject, ApiError> {
    let what = match request.heard.by {
        HeardBy::Plucks { .. } => "Sound",
        HeardBy::Swing { .. } => "Swing",
    };
    let name = format!("{what}, {}", at.name);
    let document = Subject::Item(ItemKind::Document, new_item()?);
    act.create(
        document,
        Fields::default().with(fields::DOCUMENT_NAME, "", Some(name))?,
        files,
    );
    let with = Shows {
        evidence: Evidence::Other,
        reason: None,
    };
    let (field, about) = (fields::DOCUMENT_SHOWS, wire.to_string());
    act.claim(field, document, &about, Some(&true), &with, Earlier::none())?;
    Ok(document)
}

/// Newtons in whole ones as millinewtons.
#[allow(clippy::cast_possible_truncation)] // tensions of wires
fn whole_mn(newtons: f64) -> i64 {
    newtons.round() as i64 * 1000
}
