//! Pictures and documents coming in.

use records::entry::FileRef;
use records::ids::Hash;
use records::model::context::Shows;
use records::model::fields;
use records::model::values::{Evidence, PhotoExif, Position, Taken};
use records::photos::{self, Object, Preview};
use records::record::new_item;
use records::subject::{ItemKind, Subject};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{Recorded, job_id};
use crate::claim::{Act, Earlier, Fields, tips};
use crate::uploads::FileSource;
use crate::{ApiError, App};

/// What a picture or document shows.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct ShowsWhat {
    /// The subject.
    pub subject: String,
    /// What it proves there.
    pub evidence: Evidence,
}

/// Takes a picture into the record.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct AddPhoto {
    /// The job.
    pub job: String,
    /// Where its bytes are.
    pub source: FileSource,
    /// Name of its file.
    pub name: String,
    /// Caption.
    #[serde(default)]
    #[ts(optional, as = "Option<String>")]
    pub caption: String,
    /// What it shows; empty: it goes to the tray.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<ShowsWhat>>")]
    pub shows: Vec<ShowsWhat>,
    /// Set when the picture was taken now, with the app's camera button.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub taken_now: bool,
    /// Position at the moment of capture, where the device gave one.
    #[serde(default)]
    #[ts(optional)]
    pub position: Option<Position>,
}

/// Takes a picture into the record: original, view and thumb, with time, place and what it shows.
pub fn add_photo(app: &App, request: AddPhoto) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let bytes = request.source.whole(&app.uploads)?;
    // Decoding and scaling take time and need no lock.
    let prepared = photos::prepare(&bytes, &request.name).map_err(|refused| {
        // The same bytes are refused again, so they make room for others.
        request.source.clear(&app.uploads);
        records::RecordError::from(refused)
    })?;
    let extension = prepared.inspected.kind.extension();
    let mut objects = vec![Object {
        bytes: &bytes,
        extension,
    }];
    let mut roles = vec![format!("original.{extension}")];
    if let Preview::Made(derived) = &prepared.preview {
        objects.push(Object {
            bytes: &derived.view.jpeg,
            extension: "jpg",
        });
        objects.push(Object {
            bytes: &derived.thumb.jpeg,
            extension: "jpg",
        });
        roles.extend(["view.jpg".to_owned(), "thumb.jpg".to_owned()]);
    }
    let folder = app.record().photos_dir();
    let stored = photos::store_batch(&folder, &objects).map_err(records::RecordError::from)?;
    let files = stored
        .iter()
        .zip(&objects)
        .zip(roles)
        .map(|((stored, object), kind)| {
            Ok(FileRef {
                sha256: stored.sha256.parse()?,
                bytes: object.bytes.len() as u64,
                kind,
            })
        })
        .collect::<Result<Vec<_>, ApiError>>()?;
    let mut record = app.record();
    let at = record.clock().now_ms();
    let offset = record.clock().offset_min();
    let (taken, exif, place) = witnesses(&prepared.inspected.exif, request.taken_now, at, offset);
    let first = Fields::default()
        .with(
            fields::PHOTO_CAPTION,
            "",
            Some(photos::visible(request.caption.trim(), 400)),
        )?
        .with(fields::PHOTO_TAKEN, "", Some(taken))?
        .with(fields::PHOTO_POSITION, "", request.position.or(place))?
        .with(fields::PHOTO_EXIF, "", Some(exif))?;
    let subject = Subject::Item(ItemKind::Photo, new_item()?);
    let mut act = Act::default();
    act.create(subject, first, files);
    tie(&mut act, subject, fields::PHOTO_SHOWS, &request.shows)?;
    let entries = act.record(&mut record, job)?;
    request.source.clear(&app.uploads);
    Ok(Recorded::created(&entries, &subject))
}

fn tie(
    act: &mut Act,
    subject: Subject,
    field: records::model::Field<bool, Shows>,
    shows: &[ShowsWhat],
) -> Result<(), ApiError> {
    for one in shows {
        let about: Subject = one.subject.parse()?;
        let with = Shows {
            evidence: one.evidence,
            reason: None,
        };
        act.claim(
            field,
            subject,
            &about.to_string(),
            Some(&true),
            &with,
            Earlier::none(),
        )?;
    }
    Ok(())
}

/// The app's own time first; the file's where the app was not there.
fn witnesses(
    exif: &photos::ExifFacts,
    taken_now: bool,
    now_ms: i64,
    offset_min: i32,
) -> (Taken, PhotoExif, Option<Position>) {
    let doubts: Vec<String> = exif
        .uncertain
        .iter()
        .map(|u| format!("{}: {}", u.raw, u.why))
        .collect();
    let position = exif.position.as_ref().map(|p| Position {
        lat_e7: p.lat_e7,
        lon_e7: p.lon_e7,
        accuracy_nm: None,
    });
    let as_read = PhotoExif {
        time: exif.taken.as_ref().map(|t| t.local.clone()),
        position,
        orientation: Some(u32::from(exif.orientation)),
        doubts: doubts.clone(),
    };
    let taken = if taken_now {
        Taken {
            ms: Some(now_ms),
            offset_min: Some(offset_min),
            uncertain: None,
            witness: "app".into(),
        }
    } else {
        let ms = exif.taken.as_ref().and_then(|t| t.at_ms);
        let offset = exif
            .taken
            .as_ref()
            .and_then(|t| t.offset_min)
            .map(i32::from);
        let uncertain = match (&exif.taken, ms) {
            (None, _) => Some("the file tells no time that can be right".into()),
            (Some(t), None) => Some(format!("the file says {} without a time zone", t.local)),
            (Some(_), Some(_)) => None,
        };
        Taken {
            ms,
            offset_min: offset,
            uncertain,
            witness: "file".into(),
        }
    };
    (taken, as_read, position)
}

/// Takes a document into the record.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct AddDocument {
    /// The job.
    pub job: String,
    /// Where its bytes are.
    pub source: FileSource,
    /// Its name.
    pub name: String,
    /// What it is about.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<ShowsWhat>>")]
    pub shows: Vec<ShowsWhat>,
}

/// Takes any file into the record as a document; its bytes are kept as they are.
pub fn add_document(app: &App, request: AddDocument) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let name = super::some_text("The document's name", &photos::visible(&request.name, 200))?;
    let bytes = request.source.whole(&app.uploads)?;
    if bytes.is_empty() {
        request.source.clear(&app.uploads);
        return Err(ApiError::invalid(
            "The document is empty (0 bytes). Choose the file again.",
        ));
    }
    let extension = extension_of(&request.name);
    let folder = app.record().photos_dir();
    let stored = photos::store(&folder, &bytes, &extension).map_err(records::RecordError::from)?;
    let sha256: Hash = stored.sha256.parse()?;
    let files = vec![FileRef {
        sha256,
        bytes: bytes.len() as u64,
        kind: format!("document.{extension}"),
    }];
    let subject = Subject::Item(ItemKind::Document, new_item()?);
    let mut act = Act::default();
    act.create(
        subject,
        Fields::default().with(fields::DOCUMENT_NAME, "", Some(name))?,
        files,
    );
    tie(&mut act, subject, fields::DOCUMENT_SHOWS, &request.shows)?;
    let mut record = app.record();
    let entries = act.record(&mut record, job)?;
    request.source.clear(&app.uploads);
    Ok(Recorded::created(&entries, &subject))
}

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

/// Ties a picture or document to what it shows, or unties it.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct TiePicture {
    /// The job.
    pub job: String,
    /// The picture's or document's subject.
    pub picture: String,
    /// What it shows.
    pub shows: ShowsWhat,
    /// False unties.
    pub tied: bool,
}

/// Ties a picture or document to what it shows, or unties it.
pub fn tie_picture(app: &App, request: TiePicture) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let picture: Subject = request.picture.parse()?;
    let field = match picture {
        Subject::Item(ItemKind::Photo, _) => fields::PHOTO_SHOWS,
        Subject::Item(ItemKind::Document, _) => fields::DOCUMENT_SHOWS,
        _ => return Err(ApiError::invalid("That is no picture or document.")),
    };
    let about: Subject = request.shows.subject.parse()?;
    let place = about.to_string();
    let mut record = app.record();
    let over = tips(&mut record, job, &picture, field.name, &place)?;
    let with = Shows {
        evidence: request.shows.evidence,
        reason: None,
    };
    let mut act = Act::default();
    act.claim(
        field,
        picture,
        &place,
        Some(&request.tied),
        &with,
        Earlier::over(over),
    )?;
    Ok(Recorded::of(&act.record(&mut record, job)?))
}
