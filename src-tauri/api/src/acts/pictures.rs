//! Pictures and documents: their bytes as objects, what they witness, and what they show.

use std::path::Path;

use records::Record;
use records::RecordError;
use records::entry::FileRef;
use records::ids::BookId;
use records::job::{Job, things::Document};
use records::model::context::Shows;
use records::model::values::{Evidence, PhotoExif, Position, Taken};
use records::model::{Field, bounds, fields};
use records::photos::{
    self, ExifFacts, ExifField, Inspected, NoPreview, Object, Prepared, Preview,
};
use records::record::new_item;
use records::subject::{ItemKind, Subject};

use super::ask;
use crate::claim::{Act, Acted, Earlier, Fields, tips};
use crate::handlers::any_text;
use crate::handlers::pictures::{AddPhoto, ShowsWhat, TiePicture};
use crate::{ApiError, ErrorCode};

/// Keeps a picture's original, view and thumb, and tells them as an entry names them.
pub(crate) fn store_photo(
    folder: &Path,
    bytes: &[u8],
    prepared: &Prepared,
) -> Result<Vec<FileRef>, ApiError> {
    let extension = prepared.inspected.kind.extension();
    let mut objects = vec![(format!("original.{extension}"), bytes, extension)];
    if let Preview::Made(derived) = &prepared.preview {
        objects.push(("view.jpg".to_owned(), derived.view.jpeg.as_slice(), "jpg"));
        objects.push(("thumb.jpg".to_owned(), derived.thumb.jpeg.as_slice(), "jpg"));
    }
    store(folder, objects)
}

/// Keeps a document's bytes as they are, and tells them as an entry names them.
pub(crate) fn store_document(
    folder: &Path,
    bytes: &[u8],
    name: &str,
) -> Result<Vec<FileRef>, ApiError> {
    let extension = extension_of(name);
    store(
        folder,
        vec![(format!("document.{extension}"), bytes, &extension)],
    )
}

/// Keeps objects, each with what it is to the entry and its file's ending.
fn store(folder: &Path, objects: Vec<(String, &[u8], &str)>) -> Result<Vec<FileRef>, ApiError> {
    let whole: Vec<Object<'_>> = objects
        .iter()
        .map(|&(_, bytes, extension)| Object { bytes, extension })
        .collect();
    let stored = photos::store_batch(folder, &whole).map_err(RecordError::from)?;
    let named = stored.iter().zip(objects);
    named
        .map(|(stored, (kind, bytes, _))| {
            Ok(FileRef {
                sha256: stored.sha256.parse()?,
                bytes: bytes.len() as u64,
                kind,
            })
        })
        .collect()
}

/// Before anything is stored: refuses a caption that is too long, and asks about a picture that can't be
/// shown before it stands as evidence, since nobody can look at it.
pub(crate) fn ask_unseen(seen: &Inspected, request: &AddPhoto) -> Result<(), ApiError> {
    any_text("The caption", &request.caption)?;
    let evidence = request.shows.iter().any(|one| proves(one.evidence));
    match &seen.no_preview {
        Some(unseen) if evidence && !request.confirmed => {
            let doubt = unseen.doubt();
            ask([format!("{doubt} Is it to be evidence all the same?")])
        }
        _ => Ok(()),
    }
}

const fn proves(evidence: Evidence) -> bool {
    !matches!(evidence, Evidence::Other)
}

/// What the person who adds a picture is to know of it.
pub(crate) fn told_of(seen: &Inspected, request: &AddPhoto) -> Vec<String> {
    let remarks = seen.remarks.iter().cloned();
    let given = request.position.as_ref();
    let place = given.and_then(no_place).map(|why| {
        let instead = match exif_position(&seen.exif) {
            Some(_) => "with the place that its file tells",
            None => "without a place",
        };
        format!("The place that the device gave can't be: {why}. The picture is kept {instead}.")
    });
    remarks.chain(place).chain(doubts(seen)).collect()
}

/// Why a position is no place on earth; none where it is one.
fn no_place(position: &Position) -> Option<String> {
    let spec = fields::find(fields::PHOTO_POSITION.subject, fields::PHOTO_POSITION.name)?;
    let told = serde_json::to_value(position).ok()?;
    bounds::check(spec, &told).err()
}

/// What of a picture could not be believed or shown.
fn doubts(seen: &Inspected) -> impl Iterator<Item = String> {
    let uncertain = seen.exif.uncertain.iter();
    let uncertain = uncertain.map(|u| match u.field {
        ExifField::Block => format!(
            "What the file says of itself (EXIF) is damaged: {}. It is kept without that.",
            u.why
        ),
        _ => format!(
            "The file says {}: {}. It is kept without that.",
            u.raw, u.why
        ),
    });
    uncertain.chain(seen.no_preview.as_ref().map(NoPreview::doubt))
}

/// Takes a picture whose bytes are kept into the record, with what it witnesses and shows.
pub(crate) fn add_photo(
    record: &mut Record,
    job: BookId,
    files: Vec<FileRef>,
    seen: &Inspected,
    request: &AddPhoto,
) -> Result<(Acted, Subject), ApiError> {
    let exif = &seen.exif;
    let now = (record.clock().now_ms(), record.clock().offset_min());
    let caption = any_text("The caption", &request.caption)?;
    let given = request.position.filter(|place| no_place(place).is_none());
    let place = given.or_else(|| exif_position(exif));
    let first = Fields::default()
        .with(fields::PHOTO_CAPTION, "", Some(caption))?
        .with(
            fields::PHOTO_TAKEN,
            "",
            Some(taken(exif, request.taken_now, now)),
        )?
        .with(fields::PHOTO_POSITION, "", place)?
        .with(fields::PHOTO_EXIF, "", Some(as_read(seen)))?;
    let subject = Subject::Item(ItemKind::Photo, new_item()?);
    let mut act = Act::default();
    act.create(subject, first, files);
    tie(&mut act, subject, fields::PHOTO_SHOWS, &request.shows)?;
    Ok((act.record(record, job)?, subject))
}

/// Takes a document whose bytes are kept into the record, with what it is about.
pub(crate) fn add_document(
    record: &mut Record,
    job: BookId,
    name: String,
    files: Vec<FileRef>,
    shows: &[ShowsWhat],
) -> Result<(Acted, Subject), ApiError> {
    let subject = Subject::Item(ItemKind::Document, new_item()?);
    let first = Fields::default().with(fields::DOCUMENT_NAME, "", Some(name))?;
    let mut act = Act::default();
    act.create(subject, first, files);
    tie(&mut act, subject, fields::DOCUMENT_SHOWS, shows)?;
    Ok((act.record(record, job)?, subject))
}

/// A document of the job by its subject.
pub(crate) fn document_of(job: &Job<'_>, subject: &str) -> Result<Document, ApiError> {
    let found = match subject.parse()? {
        Subject::Item(ItemKind::Document, id) => job.documents.iter().find(|d| d.id == id),
        _ => return Err(ApiError::invalid("That is no document.")),
    };
    found.cloned().ok_or_else(|| {
        ApiError::new(
            ErrorCode::NotFound,
            "The job has no such document any more. Look at its documents again.",
        )
    })
}

/// Ties a new picture or document to all that it shows.
pub(crate) fn tie(
    act: &mut Act,
    subject: Subject,
    field: Field<bool, Shows>,
    shows: &[ShowsWhat],
) -> Result<(), ApiError> {
    for one in shows {
        let about: Subject = one.subject.parse()?;
        let (place, with) = (about.to_string(), showing(one));
        act.claim(field, subject, &place, Some(&true), &with, Earlier::none())?;
    }
    Ok(())
}

fn showing(one: &ShowsWhat) -> Shows {
    Shows {
        evidence: one.evidence,
        reason: None,
    }
}

/// Ties a picture or document to what it shows, or unties it, over what stood there.
pub(crate) fn tie_picture(
    record: &mut Record,
    job: BookId,
    picture: Subject,
    request: &TiePicture,
) -> Result<Acted, ApiError> {
    let field = match picture {
        Subject::Item(ItemKind::Photo, _) => fields::PHOTO_SHOWS,
        Subject::Item(ItemKind::Document, _) => fields::DOCUMENT_SHOWS,
        _ => return Err(ApiError::invalid("That is no picture or document.")),
    };
    let about: Subject = request.shows.subject.parse()?;
    if request.tied && proves(request.shows.evidence) && !request.confirmed {
        ask(unseen(&record.job(job)?, &picture))?;
    }
    let place = about.to_string();
    let earlier = Earlier::over(tips(record, job, &picture, field.name, &place)?);
    let (tied, with) = (Some(&request.tied), showing(&request.shows));
    let mut act = Act::default();
    act.claim(field, picture, &place, tied, &with, earlier)?;
    act.record(record, job)
}

/// What to ask of a picture that was kept without anything to show.
fn unseen(job: &Job<'_>, picture: &Subject) -> Option<String> {
    let Subject::Item(ItemKind::Photo, id) = picture else {
        return None;
    };
    let photo = job.photos.iter().find(|photo| photo.id == *id)?;
    let shown = photo.files.iter().any(|file| file.kind == "view.jpg");
    (!shown).then(|| {
        "This picture is kept as it is and can't be shown: nobody can see what it proves. Take it \
         again if it is to be evidence. Tie it all the same?"
            .to_owned()
    })
}

/// When a picture was taken: the app's own time first, the file's where the app was not there.
fn taken(exif: &ExifFacts, taken_now: bool, (now_ms, offset_min): (i64, i32)) -> Taken {
    if taken_now {
        return Taken {
            ms: Some(now_ms),
            offset_min: Some(offset_min),
            uncertain: None,
            witness: "app".into(),
        };
    }
    let taken = exif.taken.as_ref();
    let ms = taken.and_then(|t| t.at_ms);
    let uncertain = match (taken, ms) {
        (None, _) => Some("the file tells no time that can be right".into()),
        (Some(t), None) => Some(format!("the file says {} without a time zone", t.local)),
        (Some(_), Some(_)) => None,
    };
    Taken {
        ms,
        offset_min: taken.and_then(|t| t.offset_min).map(i32::from),
        uncertain,
        witness: "file".into(),
    }
}

/// What the file itself says, with what could not be believed.
fn as_read(seen: &Inspected) -> PhotoExif {
    let exif = &seen.exif;
    PhotoExif {
        time: exif.taken.as_ref().map(|t| t.local.clone()),
        position: exif_position(exif),
        orientation: Some(u32::from(exif.orientation)),
        doubts: doubts(seen).collect(),
    }
}

fn exif_position(exif: &ExifFacts) -> Option<Position> {
    exif.position.as_ref().map(|p| Position {
        lat_e7: p.lat_e7,
        lon_e7: p.lon_e7,
        accuracy_nm: None,
    })
}

/// The ending of a document's name where it is a plain one.
fn extension_of(name: &str) -> String {
    let ending = name.rsplit_once('.').map_or("", |(_, ending)| ending);
    let plain = !ending.is_empty()
        && ending.len() <= 8
        && ending.bytes().all(|b| b.is_ascii_alphanumeric());
    if plain {
        ending.to_ascii_lowercase()
    } else {
        "bin".into()
    }
}
