//! Pictures and documents coming in.

use records::RecordError;
use records::model::values::{Evidence, Position};
use records::photos::{self, Prepared};
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::{Recorded, job_id, some_text};
use crate::acts::pictures as acts;
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
    /// Set when the person was asked about a picture that can't be shown and is to be evidence, and
    /// said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Takes a picture into the record: original, view and thumb, with time, place and what it shows.
pub fn add_photo(app: &App, request: AddPhoto) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let bytes = request.source.whole(&app.uploads)?;
    let prepared = prepared(app, &request, &bytes)?;
    acts::ask_unseen(&prepared.inspected, &request)?;
    let folder = app.record().photos_dir();
    let files = acts::store_photo(&folder, &bytes, &prepared)?;
    let seen = &prepared.inspected;
    let (acted, photo) = acts::add_photo(&mut app.record(), job, files, seen, &request)?;
    request.source.clear(&app.uploads);
    Ok(Recorded::created(&acted, &photo).with(acts::told_of(seen, &request)))
}

/// The picture, decoded and made small; that takes time and needs no lock.
fn prepared(app: &App, request: &AddPhoto, bytes: &[u8]) -> Result<Prepared, ApiError> {
    let prepared = photos::prepare(bytes, &request.name).inspect_err(|_| {
        // The same bytes are refused again, so they make room for others.
        request.source.clear(&app.uploads);
    });
    Ok(prepared.map_err(RecordError::from)?)
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
    let name = some_text("The document's name", &request.name)?;
    let bytes = document(app, &request.source)?;
    let folder = app.record().photos_dir();
    let files = acts::store_document(&folder, &bytes, &request.name)?;
    let (acted, document) =
        acts::add_document(&mut app.record(), job, name, files, &request.shows)?;
    request.source.clear(&app.uploads);
    Ok(Recorded::created(&acted, &document))
}

/// The bytes of a document, which has some.
fn document(app: &App, source: &FileSource) -> Result<Vec<u8>, ApiError> {
    let bytes = source.whole(&app.uploads)?;
    if bytes.is_empty() {
        source.clear(&app.uploads);
        return Err(ApiError::invalid(
            "The document is empty (0 bytes). Choose the file again.",
        ));
    }
    Ok(bytes)
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
    /// Set when the person was asked about a picture that can't be shown, and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Ties a picture or document to what it shows, or unties it.
pub fn tie_picture(app: &App, request: TiePicture) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let picture = request.picture.parse()?;
    let acted = acts::tie_picture(&mut app.record(), job, picture, &request)?;
    Ok(Recorded::of(&acted))
}
