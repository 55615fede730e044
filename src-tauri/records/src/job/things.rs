//! The things that are recorded beside the runs: posts by themselves, pictures, defects, tools …
//!
//! Each is read by itself; `whole` puts them together.

use crate::entry::FileRef;
use crate::ids::{Hash, ItemId};
use crate::job::in_run::{name, text};
use crate::job::reader::{Fact, Reader, Told};
use crate::model::context::{PullRead, Said, Shows};
use crate::model::fields;
use crate::model::values::{
    Angle, Arrival, BaseFixing, BatchKind, Closing, Condition, Day, Efficiency, Evidence, Force,
    KnownLength, KnownPull, LaserReference, LeftSafe, Length, Marks, Material, PhotoExif, Position,
    RailJoint, Section, StrandFigures, Support, Taken, Terminals, ToolKind,
};
use crate::subject::{ItemKind, Subject};

/// A post by itself; its place in runs stands in [`PostInRun`](super::PostInRun).
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // names of the fields, see `model::fields`
pub struct PostFacts {
    pub id: ItemId,
    pub name: String,
    pub support: Option<Support>,
    pub section: Option<Section>,
    pub material: Option<Material>,
    pub base: Option<BaseFixing>,
    pub rail_joint: Option<RailJoint>,
    pub condition: Option<Condition>,
    pub floor: Option<Length>,
    /// Angles between pulls seen from above, by place: a run's own legs, or two runs.
    pub angles: Vec<(String, Fact<Angle, Said>)>,
    /// Known pulls, by the run along which the post was pulled.
    pub pulls: Vec<(ItemId, Fact<KnownPull, PullRead>)>,
}

/// A picture.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // names of the fields, as above
pub struct Photo {
    pub id: ItemId,
    pub entry: Hash,
    pub files: Vec<FileRef>,
    pub caption: String,
    pub taken: Option<Taken>,
    pub position: Option<Position>,
    pub exif: Option<PhotoExif>,
    /// What is marked on a copy of it.
    pub marks: Fact<Marks, Said>,
    pub shows: Vec<(Subject, Evidence)>,
    pub by: String,
}

/// A document kept as a file.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // names of the fields, as above
pub struct Document {
    pub id: ItemId,
    pub entry: Hash,
    pub files: Vec<FileRef>,
    pub name: String,
    pub shows: Vec<(Subject, Evidence)>,
    pub by: String,
}

/// Something to put right.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // names of the fields, as above
pub struct Defect {
    pub id: ItemId,
    pub found: Told<String, Said>,
    pub about: Option<Subject>,
    pub closed: Fact<Closing, Said>,
}

/// A tool with its dates.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // names of the fields, as above
pub struct Tool {
    pub id: ItemId,
    pub name: String,
    pub kind: Option<ToolKind>,
    pub range: Option<String>,
    pub range_from: Option<Force>,
    pub range_to: Option<Force>,
    pub error_per_10000: Option<i64>,
    pub compared_with: Option<String>,
    pub compared_on: Option<Day>,
    pub due: Option<Day>,
    pub certificate: Option<String>,
    pub size: Option<Length>,
    pub mass_mg: Option<i64>,
    pub reference: Option<LaserReference>,
}

/// A delivery.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // names of the fields, as above
pub struct Batch {
    pub id: ItemId,
    pub name: String,
    pub kind: Option<BatchKind>,
    pub grade: Option<String>,
    pub heat: Option<String>,
    pub reel: Option<String>,
    pub lay: Option<String>,
    pub thread: Option<String>,
    pub promised: Option<Day>,
    pub metres: Option<Length>,
    pub strand: Option<ItemId>,
    pub offcut: bool,
    pub scrapped: Vec<Fact<Length, Said>>,
    pub left_mark: Option<String>,
    pub ordered: Option<i64>,
    pub arrival: Option<Arrival>,
}

/// A day on site.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // names of the fields, as above
pub struct Visit {
    pub id: ItemId,
    pub day: Option<Day>,
    pub why: String,
    pub who: String,
    pub weather: String,
    pub left_safe: Option<LeftSafe>,
    pub length_check: Option<KnownLength>,
}

/// A strand that the job uses.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // names of the fields, as above
pub struct JobStrand {
    pub id: ItemId,
    pub name: String,
    pub figures: Option<StrandFigures>,
}

/// A fitting set that the job uses.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)] // names of the fields, as above
pub struct JobFittingSet {
    pub id: ItemId,
    pub name: String,
    pub terminals: Option<Terminals>,
    pub through_hole: Option<Length>,
    pub efficiency: Option<Efficiency>,
    pub fixed_deduction: Option<Length>,
    pub driver: Option<String>,
    pub insert_pull: Option<Force>,
}

pub(super) fn post(reader: &Reader<'_>, id: ItemId) -> PostFacts {
    let s = Subject::post(id).to_string();
    PostFacts {
        id,
        name: name(reader.one(fields::POST_NAME, &s, "").shown()),
        support: reader.value(fields::POST_SUPPORT, &s),
        section: reader.value(fields::POST_SECTION, &s),
        material: reader.value(fields::POST_MATERIAL, &s),
        base: reader.value(fields::POST_BASE, &s),
        rail_joint: reader.value(fields::POST_RAIL_JOINT, &s),
        condition: reader.value(fields::POST_CONDITION, &s),
        floor: reader.value(fields::POST_FLOOR, &s),
        angles: reader
            .places(fields::POST_ANGLE, &s)
            .into_iter()
            .map(|place| {
                let fact = reader.one(fields::POST_ANGLE, &s, &place);
                (place, fact)
            })
            .collect(),
        pulls: reader
            .places(fields::POST_PULL, &s)
            .into_iter()
            .filter_map(|place| Some((place.parse::<ItemId>().ok()?, place)))
            .flat_map(|(run, place)| {
                let facts = reader.many(fields::POST_PULL, &s, &place);
                facts.into_iter().map(move |fact| (run, fact))
            })
            .collect(),
    }
}

/// Where the angle between the pulls of two runs on a post stands.
#[must_use]
pub fn angle_place(one: ItemId, other: ItemId) -> String {
    let (one, other) = (one.to_string(), other.to_string());
    let (first, second) = if one <= other {
        (one, other)
    } else {
        (other, one)
    };
    format!("{first}/{second}")
}

fn creation<'a>(
    reader: &Reader<'a>,
    kind: ItemKind,
    id: ItemId,
) -> Option<&'a crate::entry::Entry> {
    let key = crate::book::Key {
        subject: Subject::Item(kind, id).to_string(),
        field: "created".into(),
        place: String::new(),
    };
    let state = reader.view.key(&key)?;
    let first = state.lines.first()?.claims.iter();
    first
        .filter_map(|id| reader.view.entry(id))
        .find(|e| !e.body.files.is_empty() || e.body.data.contains_key("fields"))
}

fn shows(
    reader: &Reader<'_>,
    field: crate::model::Field<bool, Shows>,
    subject: &str,
) -> Vec<(Subject, Evidence)> {
    reader
        .places(field, subject)
        .into_iter()
        .filter_map(|place| {
            let fact = reader.one(field, subject, &place);
            let told = fact.told().filter(|t| t.value == Some(true))?;
            let evidence = told.with.as_ref().map_or(Evidence::Other, |w| w.evidence);
            Some((place.parse().ok()?, evidence))
        })
        .collect()
}

pub(super) fn photo(reader: &Reader<'_>, id: ItemId) -> Option<Photo> {
    let s = Subject::Item(ItemKind::Photo, id).to_string();
    let entry = creation(reader, ItemKind::Photo, id)?;
    Some(Photo {
        id,
        entry: entry.id,
        files: entry.body.files.clone(),
        caption: text(reader.one(fields::PHOTO_CAPTION, &s, "").shown()),
        taken: reader.value(fields::PHOTO_TAKEN, &s),
        position: reader.value(fields::PHOTO_POSITION, &s),
        exif: reader.value(fields::PHOTO_EXIF, &s),
        marks: reader.one(fields::PHOTO_MARKS, &s, ""),
        shows: shows(reader, fields::PHOTO_SHOWS, &s),
        by: reader.person(&entry.body.person),
    })
}

pub(super) fn document(reader: &Reader<'_>, id: ItemId) -> Option<Document> {
    let s = Subject::Item(ItemKind::Document, id).to_string();
    let entry = creation(reader, ItemKind::Document, id)?;
    Some(Document {
        id,
        entry: entry.id,
        files: entry.body.files.clone(),
        name: name(reader.one(fields::DOCUMENT_NAME, &s, "").shown()),
        shows: shows(reader, fields::DOCUMENT_SHOWS, &s),
        by: reader.person(&entry.body.person),
    })
}

pub(super) fn defect(reader: &Reader<'_>, id: ItemId) -> Option<Defect> {
    let s = Subject::Item(ItemKind::Defect, id).to_string();
    let found = reader
        .one(fields::DEFECT_FOUND, &s, "")
        .tips
        .into_iter()
        .next()?;
    Some(Defect {
        id,
        found,
        about: reader.value(fields::DEFECT_ABOUT, &s).map(|a| a.subject),
        closed: reader.one(fields::DEFECT_CLOSED, &s, ""),
    })
}

pub(super) fn tool(reader: &Reader<'_>, id: ItemId) -> Tool {
    let s = Subject::Item(ItemKind::Tool, id).to_string();
    Tool {
        id,
        name: name(reader.one(fields::TOOL_NAME, &s, "").shown()),
        kind: reader.value(fields::TOOL_KIND, &s),
        range: reader.value(fields::TOOL_RANGE, &s),
        range_from: reader.value(fields::TOOL_RANGE_FROM, &s),
        range_to: reader.value(fields::TOOL_RANGE_TO, &s),
        error_per_10000: reader.value(fields::TOOL_ERROR, &s),
        compared_with: reader.value(fields::TOOL_COMPARED_WITH, &s),
        compared_on: reader.value(fields::TOOL_COMPARED_ON, &s),
        due: reader.value(fields::TOOL_DUE, &s),
        certificate: reader.value(fields::TOOL_CERTIFICATE, &s),
        size: reader.value(fields::TOOL_SIZE, &s),
        mass_mg: reader.value(fields::TOOL_MASS, &s),
        reference: reader.value(fields::TOOL_REFERENCE, &s),
    }
}

pub(super) fn batch(reader: &Reader<'_>, id: ItemId) -> Batch {
    let s = Subject::Item(ItemKind::Batch, id).to_string();
    Batch {
        id,
        name: name(reader.one(fields::BATCH_NAME, &s, "").shown()),
        kind: reader.value(fields::BATCH_KIND, &s),
        grade: reader.value(fields::BATCH_GRADE, &s),
        heat: reader.value(fields::BATCH_HEAT, &s),
        reel: reader.value(fields::BATCH_REEL, &s),
        lay: reader.value(fields::BATCH_LAY, &s),
        thread: reader.value(fields::BATCH_THREAD, &s),
        promised: reader.value(fields::BATCH_PROMISED, &s),
        metres: reader.value(fields::BATCH_METRES, &s),
        strand: reader.value(fields::BATCH_STRAND, &s),
        offcut: reader.value(fields::BATCH_OFFCUT, &s) == Some(true),
        scrapped: reader.many(fields::BATCH_SCRAPPED, &s, ""),
        left_mark: reader.value(fields::BATCH_LEFT_MARK, &s),
        ordered: reader.value(fields::BATCH_ORDERED, &s),
        arrival: reader.value(fields::BATCH_ARRIVAL, &s),
    }
}

pub(super) fn visit(reader: &Reader<'_>, id: ItemId) -> Visit {
    let s = Subject::Item(ItemKind::Visit, id).to_string();
    Visit {
        id,
        day: reader.value(fields::VISIT_DAY, &s),
        why: text(reader.one(fields::VISIT_WHY, &s, "").shown()),
        who: text(reader.one(fields::VISIT_WHO, &s, "").shown()),
        weather: text(reader.one(fields::VISIT_WEATHER, &s, "").shown()),
        left_safe: reader.value(fields::VISIT_LEFT_SAFE, &s),
        length_check: reader.value(fields::VISIT_LENGTH_CHECK, &s),
    }
}

pub(super) fn strand(reader: &Reader<'_>, id: ItemId) -> JobStrand {
    let s = Subject::Item(ItemKind::Strand, id).to_string();
    JobStrand {
        id,
        name: name(reader.one(fields::STRAND_NAME, &s, "").shown()),
        figures: reader.value(fields::STRAND_FIGURES, &s),
    }
}

pub(super) fn fitting_set(reader: &Reader<'_>, id: ItemId) -> JobFittingSet {
    let s = Subject::Item(ItemKind::FittingSet, id).to_string();
    JobFittingSet {
        id,
        name: name(reader.one(fields::FITTING_NAME, &s, "").shown()),
        terminals: reader.value(fields::FITTING_TERMINALS, &s),
        through_hole: reader.value(fields::FITTING_THROUGH_HOLE, &s),
        efficiency: reader.value(fields::FITTING_EFFICIENCY, &s),
        fixed_deduction: reader.value(fields::FITTING_FIXED_DEDUCTION, &s),
        driver: reader.value(fields::FITTING_DRIVER, &s),
        insert_pull: reader.value(fields::FITTING_INSERT_PULL, &s),
    }
}
