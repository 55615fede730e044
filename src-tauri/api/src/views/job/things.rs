//! What is recorded beside the layout: pictures, documents, defects, tools, samples, sign-offs.
//!
//! Bytes of pictures travel by themselves; here stand only their hashes.

use records::book::Key;
use records::entry::FileRef;
use records::ids::ItemId;
use records::job::things::{Defect, Document, Photo, Tool};
use records::job::{Fact, Job};
use records::model::context::{CrimpRead, Told};
use records::model::fields::PHOTO_MARKS;
use records::model::values::{Evidence, SampleCrimp, SignOff, Taken, ToolKind};
use records::subject::{ItemKind, Subject};
use records::work::{Decision, Stands};
use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use crate::views::overview::name;

use crate::views::facts::{FactView, facts, facts_of};

/// A file that an entry vouches for.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct FileView {
    /// SHA-256 of the bytes.
    pub sha256: String,
    /// Length in bytes.
    pub bytes: u64,
    /// Role: `original`, `view`, `thumb` or `document`.
    pub role: String,
}

/// What a picture or document shows.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ShowsView {
    /// The subject.
    pub subject: String,
    /// Its name, as people say it.
    pub name: String,
    /// What it proves there.
    pub evidence: Evidence,
}

/// A picture or a document.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PictureView {
    /// Its subject.
    pub subject: String,
    /// Caption or name.
    pub caption: String,
    /// When it was taken, and who says so.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub taken: Option<Taken>,
    /// Latitude and longitude in degrees.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub position: Option<(f64, f64)>,
    /// What can't be right in the file's own data.
    pub doubts: Vec<String>,
    /// What it shows; empty: it lies in the tray.
    pub shows: Vec<ShowsView>,
    /// Its files.
    pub files: Vec<FileView>,
    /// Who added it.
    pub by: String,
    /// The entry that added it, to withdraw it.
    pub entry: String,
    /// What is or was marked on a copy of it; left out where nobody marked anything.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub marks: Option<FactView>,
}

/// A defect.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct DefectView {
    /// Its subject.
    pub subject: String,
    /// What is wrong.
    pub found: String,
    /// Who found it.
    pub who: String,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Minutes east of UTC on the clock that recorded it.
    pub offset_min: i32,
    /// What it is about.
    pub about: Option<String>,
    /// Its name.
    pub about_name: String,
    /// How it was put right; none while it is open.
    pub closed: Option<String>,
    /// The entry, to withdraw it.
    pub entry: String,
}

/// A tool, batch, visit, strand or fitting set, with its facts.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ThingView {
    /// Its subject.
    pub subject: String,
    /// Its id, as it stands in values.
    pub id: String,
    /// Its name.
    pub name: String,
    /// For a tool: its kind.
    pub tool: Option<ToolKind>,
    /// For a tool: error as a part in 10 000.
    pub error_per_10000: Option<i64>,
    /// All its facts.
    pub facts: Vec<FactView>,
}

/// A sample crimp.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SampleView {
    /// The entry, to which crimps refer.
    pub entry: String,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Minutes east of UTC on the clock that recorded it.
    pub offset_min: i32,
    /// Who.
    pub who: String,
    /// Its figures.
    pub sample: Option<SampleCrimp>,
}

/// A sign-off.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct SignOffView {
    /// The stage.
    pub stage: String,
    /// The statement.
    pub statement: String,
    /// Who.
    pub who: String,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Minutes east of UTC on the clock that recorded it.
    pub offset_min: i32,
    /// Entries recorded since that it does not cover.
    pub since: u64,
    /// What it was signed on was replaced or is disputed since.
    pub moved: bool,
    /// Set when the person's role did not ask for it.
    pub outside_role: Option<String>,
    /// The entry.
    pub entry: String,
}

#[allow(clippy::cast_precision_loss)] // 1e-7 degree fits a double exactly enough
pub(super) fn photo_view(job: &Job<'_>, photo: &Photo) -> PictureView {
    PictureView {
        subject: Subject::Item(ItemKind::Photo, photo.id).to_string(),
        caption: photo.caption.clone(),
        taken: photo.taken.clone(),
        position: photo
            .position
            .map(|p| (p.lat_e7 as f64 / 1e7, p.lon_e7 as f64 / 1e7)),
        doubts: photo
            .exif
            .as_ref()
            .map(|e| e.doubts.clone())
            .unwrap_or_default(),
        shows: shows(job, &photo.shows),
        files: files(&photo.files),
        by: photo.by.clone(),
        entry: photo.entry.to_string(),
        marks: marks(job, photo),
    }
}

/// What is said of a picture's marks.
fn marks(job: &Job<'_>, photo: &Photo) -> Option<FactView> {
    let key = Key {
        subject: Subject::Item(ItemKind::Photo, photo.id).to_string(),
        field: PHOTO_MARKS.name.to_owned(),
        place: String::new(),
    };
    let state = job.reader.view.key(&key)?;
    facts_of(job, &key, state, false).into_iter().next()
}

pub(super) fn document_view(job: &Job<'_>, document: &Document) -> PictureView {
    PictureView {
        subject: Subject::Item(ItemKind::Document, document.id).to_string(),
        caption: name(&document.name),
        taken: None,
        position: None,
        doubts: Vec::new(),
        shows: shows(job, &document.shows),
        files: files(&document.files),
        by: document.by.clone(),
        entry: document.entry.to_string(),
        marks: None,
    }
}

pub(super) fn defect_view(job: &Job<'_>, defect: &Defect) -> DefectView {
    DefectView {
        subject: Subject::Item(ItemKind::Defect, defect.id).to_string(),
        found: defect.found.value.clone().unwrap_or_default(),
        who: name(job.reader.person(&defect.found.person)),
        at_ms: defect.found.at.ms,
        offset_min: defect.found.at.offset_min,
        about: defect.about.map(|s| s.to_string()),
        about_name: defect
            .about
            .as_ref()
            .map(|s| name(job.name_of(s)))
            .unwrap_or_default(),
        closed: defect.closed.value().map(|c| c.how.clone()),
        entry: defect.found.id.to_string(),
    }
}

pub(super) fn tool_view(job: &Job<'_>, tool: &Tool) -> ThingView {
    let mut view = thing(job, ItemKind::Tool, tool.id, &tool.name);
    view.tool = tool.kind;
    view.error_per_10000 = tool.error_per_10000;
    view
}

pub(super) fn thing(job: &Job<'_>, kind: ItemKind, id: ItemId, called: &str) -> ThingView {
    let subject = Subject::Item(kind, id);
    ThingView {
        subject: subject.to_string(),
        id: id.to_string(),
        name: name(called),
        tool: None,
        error_per_10000: None,
        facts: facts(job, &subject, false),
    }
}

pub(super) fn sample_view(
    job: &Job<'_>,
    fact: &Fact<SampleCrimp, CrimpRead>,
) -> Option<SampleView> {
    let told = fact.tips.first()?;
    Some(SampleView {
        entry: told.id.to_string(),
        at_ms: told.at.ms,
        offset_min: told.at.offset_min,
        who: name(job.reader.person(&told.person)),
        sample: fact.value().cloned(),
    })
}

pub(super) fn sign_off(
    job: &Job<'_>,
    stage: &str,
    fact: &Fact<SignOff, Told>,
    stands: &Stands,
) -> Option<SignOffView> {
    let told = fact.tips.first()?;
    let with = told.with.clone().unwrap_or_default();
    // The sign-off itself is not news to the person who gave it.
    let since = job.entries_since(&with.heads).saturating_sub(1);
    Some(SignOffView {
        stage: stage.to_owned(),
        statement: told
            .value
            .as_ref()
            .map(|s| s.statement.clone())
            .unwrap_or_default(),
        who: name(job.reader.person(&told.person)),
        at_ms: told.at.ms,
        offset_min: told.at.offset_min,
        since,
        moved: stands.moved(job, Decision::SignOff, &told.basis) > 0,
        outside_role: with.outside_role,
        entry: told.id.to_string(),
    })
}

fn shows(job: &Job<'_>, shows: &[(Subject, Evidence)]) -> Vec<ShowsView> {
    shows
        .iter()
        .map(|(subject, evidence)| ShowsView {
            subject: subject.to_string(),
            name: name(job.name_of(subject)),
            evidence: *evidence,
        })
        .collect()
}

fn files(files: &[FileRef]) -> Vec<FileView> {
    files
        .iter()
        .map(|f| FileView {
            sha256: f.sha256.to_string(),
            bytes: f.bytes,
            role: f.kind.split('.').next().unwrap_or_default().to_owned(),
        })
        .collect()
}
