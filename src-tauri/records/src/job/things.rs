//! All of a job: its facts, runs, posts, and the things recorded beside them.

use std::collections::BTreeSet;

use crate::claims;
use crate::crew::Crew;
use crate::ids::{BookId, Hash, ItemId};
use crate::job::layout::{self, Run, text};
use crate::job::reader::{Fact, Reader, Told};
use crate::model::context::{BayRead, CrimpRead, GapRead, Said, Shows, Told as Decided};
use crate::model::fields;
use crate::model::values::{
    Arrival, BaseFixing, BatchKind, Closing, Condition, Day, Efficiency, Evidence, Force, GapCheck,
    LeftSafe, Length, Material, PhotoExif, Position, RailJoint, SampleCrimp, Section, SignOff,
    StrandFigures, Support, Taken, Terminals, ToolKind,
};
use crate::subject::{ItemKind, Subject};
use crate::{book::BookView, entry::FileRef};

/// A post by itself; its place in runs stands in [`layout::PostInRun`].
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
}

/// A picture.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Photo {
    pub id: ItemId,
    pub entry: Hash,
    pub files: Vec<FileRef>,
    pub caption: String,
    pub taken: Option<Taken>,
    pub position: Option<Position>,
    pub exif: Option<PhotoExif>,
    pub shows: Vec<(Subject, Evidence)>,
    pub by: String,
}

/// A document kept as a file.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
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
#[allow(missing_docs)]
pub struct Defect {
    pub id: ItemId,
    pub found: Told<String, Said>,
    pub about: Option<Subject>,
    pub closed: Fact<Closing, Said>,
}

/// A tool with its dates.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Tool {
    pub id: ItemId,
    pub name: String,
    pub kind: Option<ToolKind>,
    pub range: Option<String>,
    pub error_per_10000: Option<i64>,
    pub compared_with: Option<String>,
    pub compared_on: Option<Day>,
    pub due: Option<Day>,
    pub certificate: Option<String>,
    pub size: Option<Length>,
    pub mass_mg: Option<i64>,
}

/// A delivery.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Batch {
    pub id: ItemId,
    pub name: String,
    pub kind: Option<BatchKind>,
    pub grade: Option<String>,
    pub heat: Option<String>,
    pub reel: Option<String>,
    pub metres: Option<Length>,
    pub left_mark: Option<String>,
    pub ordered: Option<i64>,
    pub arrival: Option<Arrival>,
}

/// A day on site.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct Visit {
    pub id: ItemId,
    pub day: Option<Day>,
    pub why: String,
    pub who: String,
    pub weather: String,
    pub left_safe: Option<LeftSafe>,
}

/// A strand that the job uses.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct JobStrand {
    pub id: ItemId,
    pub name: String,
    pub figures: Option<StrandFigures>,
}

/// A fitting set that the job uses.
#[derive(Clone, Debug, PartialEq)]
#[allow(missing_docs)]
pub struct JobFittingSet {
    pub id: ItemId,
    pub name: String,
    pub terminals: Option<Terminals>,
    pub through_hole: Option<Length>,
    pub efficiency: Option<Efficiency>,
    pub fixed_deduction: Option<Length>,
    pub insert_pull: Option<Force>,
}

/// All of a job.
#[derive(Clone, Debug)]
#[allow(missing_docs)]
pub struct Job<'a> {
    pub id: BookId,
    pub reader: Reader<'a>,
    pub runs: Vec<Run>,
    pub posts: Vec<PostFacts>,
    pub photos: Vec<Photo>,
    pub documents: Vec<Document>,
    pub defects: Vec<Defect>,
    pub tools: Vec<Tool>,
    pub batches: Vec<Batch>,
    pub visits: Vec<Visit>,
    pub strands: Vec<JobStrand>,
    pub fitting_sets: Vec<JobFittingSet>,
    pub sample_crimps: Vec<Fact<SampleCrimp, CrimpRead>>,
    pub sign_offs: Vec<(String, Fact<SignOff, Decided>)>,
}

impl<'a> Job<'a> {
    /// Reads a job from its book.
    #[must_use]
    pub fn read(view: &'a BookView, crew: &'a Crew) -> Self {
        let reader = Reader { view, crew };
        let items = |kind| live(&reader, kind);
        let posts = items(ItemKind::Post);
        let mut runs: Vec<Run> = items(ItemKind::Run)
            .into_iter()
            .map(|id| layout::read_run(&reader, id, &posts))
            .collect();
        runs.sort_by(|a, b| a.name.cmp(&b.name).then(a.id.cmp(&b.id)));
        let job = Subject::Job(view.book).to_string();
        let mut posts: Vec<PostFacts> = posts.into_iter().map(|id| post(&reader, id)).collect();
        posts.sort_by(|a, b| a.name.cmp(&b.name).then(a.id.cmp(&b.id)));
        let mut photos: Vec<Photo> = items(ItemKind::Photo)
            .into_iter()
            .filter_map(|id| photo(&reader, id))
            .collect();
        photos.sort_by_key(|p| (p.taken.as_ref().and_then(|t| t.ms), p.id));
        let mut defects: Vec<Defect> = items(ItemKind::Defect)
            .into_iter()
            .filter_map(|id| defect(&reader, id))
            .collect();
        defects.sort_by_key(|d| (d.found.at, d.id));
        let mut visits: Vec<Visit> = items(ItemKind::Visit)
            .into_iter()
            .map(|id| visit(&reader, id))
            .collect();
        visits.sort_by(|a, b| a.day.cmp(&b.day).then(a.id.cmp(&b.id)));
        let sign_offs = reader
            .places(fields::JOB_SIGN_OFF, &job)
            .into_iter()
            .flat_map(|place| {
                reader
                    .many(fields::JOB_SIGN_OFF, &job, &place)
                    .into_iter()
                    .map(move |fact| (place.clone(), fact))
            })
            .collect();
        Job {
            id: view.book,
            runs,
            posts,
            photos,
            documents: items(ItemKind::Document)
                .into_iter()
                .filter_map(|id| document(&reader, id))
                .collect(),
            defects,
            tools: items(ItemKind::Tool)
                .into_iter()
                .map(|id| tool(&reader, id))
                .collect(),
            batches: items(ItemKind::Batch)
                .into_iter()
                .map(|id| batch(&reader, id))
                .collect(),
            visits,
            strands: items(ItemKind::Strand)
                .into_iter()
                .map(|id| strand(&reader, id))
                .collect(),
            fitting_sets: items(ItemKind::FittingSet)
                .into_iter()
                .map(|id| fitting_set(&reader, id))
                .collect(),
            sample_crimps: reader.many(fields::JOB_SAMPLE_CRIMP, &job, ""),
            sign_offs,
            reader,
        }
    }

    /// The job as a subject, in text form.
    #[must_use]
    pub fn subject(&self) -> String {
        Subject::Job(self.id).to_string()
    }

    /// The run with this id.
    #[must_use]
    pub fn run(&self, id: ItemId) -> Option<&Run> {
        self.runs.iter().find(|r| r.id == id)
    }

    /// The post with this id.
    #[must_use]
    pub fn post(&self, id: ItemId) -> Option<&PostFacts> {
        self.posts.iter().find(|p| p.id == id)
    }

    /// Name of a subject as people say it: "A6", "run A", "wire A6", "bay A2–A3".
    #[must_use]
    pub fn name_of(&self, subject: &Subject) -> String {
        let post = |id: &ItemId| {
            self.post(*id)
                .map_or_else(|| "?".into(), |p| p.name.clone())
        };
        match subject {
            Subject::Job(_) => "job".into(),
            Subject::Item(ItemKind::Run, id) => {
                format!("run {}", self.run(*id).map_or("?", |r| r.name.as_str()))
            }
            Subject::Item(ItemKind::Post, id) => format!("post {}", post(id)),
            Subject::Wire(run, number) => {
                format!(
                    "wire {}{number}",
                    self.run(*run).map_or("?", |r| r.name.as_str())
                )
            }
            Subject::Bay(a, b) => self
                .runs
                .iter()
                .flat_map(|r| &r.bays)
                .find(|bay| bay.subject == *subject)
                .map_or_else(
                    || format!("bay {}–{} (no longer in the layout)", post(a), post(b)),
                    |bay| format!("bay {}", bay.name),
                ),
            Subject::Item(ItemKind::Tool, id) => self
                .tools
                .iter()
                .find(|t| t.id == *id)
                .map_or_else(|| "tool".into(), |t| t.name.clone()),
            other => other.kind().word().into(),
        }
    }

    /// Whether the layout still has a wire or bay that claims speak of.
    #[must_use]
    pub fn in_layout(&self, subject: &Subject) -> bool {
        match subject {
            Subject::Wire(run, number) => self.run(*run).is_some_and(|r| r.wire(*number).is_some()),
            Subject::Bay(..) => self
                .runs
                .iter()
                .flat_map(|r| &r.bays)
                .any(|bay| bay.subject == *subject),
            _ => true,
        }
    }

    /// Gap checks of a bay for a run: the whole bay's first, then single openings by lower wire.
    #[must_use]
    pub fn gaps(&self, run: ItemId, bay: &Subject) -> Vec<(Option<u32>, Fact<GapCheck, GapRead>)> {
        let subject = bay.to_string();
        let whole = run.to_string();
        let mut found = Vec::new();
        for place in self.reader.places(fields::BAY_GAPS, &subject) {
            let wire = match place.split_once('/') {
                None if place == whole => None,
                Some((of, wire)) if of == whole => wire.parse().ok(),
                _ => continue,
            };
            for fact in self.reader.many(fields::BAY_GAPS, &subject, &place) {
                found.push((wire, fact));
            }
        }
        found.sort_by_key(|(wire, fact)| (*wire, fact.tips.first().map(|t| t.at)));
        found
    }

    /// Bay readings of a bay, for showing.
    #[must_use]
    pub fn bay_readings(&self, bay: &Subject) -> Vec<Fact<Length, BayRead>> {
        self.reader.many(fields::BAY_CLEAR, &bay.to_string(), "")
    }

    /// Whether an entry still stands undisputed on all keys that it claims.
    #[must_use]
    pub fn stands(&self, id: &Hash) -> bool {
        let mut seen = false;
        for (_, state) in self.reader.view.keys() {
            for line in state.lines.iter().filter(|l| l.claims.contains(id)) {
                seen = true;
                let tip = line.tips.contains(id);
                if !tip || line.standing != claims::Standing::Agreed || !state.newer.is_empty() {
                    return false;
                }
            }
        }
        seen
    }
}

fn live(reader: &Reader<'_>, kind: ItemKind) -> Vec<ItemId> {
    let mut found = BTreeSet::new();
    for (key, state) in reader.view.keys().filter(|(k, _)| k.field == "created") {
        if let Ok(Subject::Item(of, id)) = key.subject.parse() {
            let gone = state
                .lines
                .iter()
                .all(|l| l.standing == claims::Standing::Withdrawn);
            if of == kind && !gone {
                found.insert(id);
            }
        }
    }
    found.into_iter().collect()
}

fn post(reader: &Reader<'_>, id: ItemId) -> PostFacts {
    let s = Subject::post(id).to_string();
    PostFacts {
        id,
        name: text(reader.one(fields::POST_NAME, &s, "").shown()),
        support: reader.value(fields::POST_SUPPORT, &s),
        section: reader.value(fields::POST_SECTION, &s),
        material: reader.value(fields::POST_MATERIAL, &s),
        base: reader.value(fields::POST_BASE, &s),
        rail_joint: reader.value(fields::POST_RAIL_JOINT, &s),
        condition: reader.value(fields::POST_CONDITION, &s),
        floor: reader.value(fields::POST_FLOOR, &s),
    }
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

fn photo(reader: &Reader<'_>, id: ItemId) -> Option<Photo> {
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
        shows: shows(reader, fields::PHOTO_SHOWS, &s),
        by: reader.person(&entry.body.person),
    })
}

fn document(reader: &Reader<'_>, id: ItemId) -> Option<Document> {
    let s = Subject::Item(ItemKind::Document, id).to_string();
    let entry = creation(reader, ItemKind::Document, id)?;
    Some(Document {
        id,
        entry: entry.id,
        files: entry.body.files.clone(),
        name: text(reader.one(fields::DOCUMENT_NAME, &s, "").shown()),
        shows: shows(reader, fields::DOCUMENT_SHOWS, &s),
        by: reader.person(&entry.body.person),
    })
}

fn defect(reader: &Reader<'_>, id: ItemId) -> Option<Defect> {
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

fn tool(reader: &Reader<'_>, id: ItemId) -> Tool {
    let s = Subject::Item(ItemKind::Tool, id).to_string();
    Tool {
        id,
        name: text(reader.one(fields::TOOL_NAME, &s, "").shown()),
        kind: reader.value(fields::TOOL_KIND, &s),
        range: reader.value(fields::TOOL_RANGE, &s),
        error_per_10000: reader.value(fields::TOOL_ERROR, &s),
        compared_with: reader.value(fields::TOOL_COMPARED_WITH, &s),
        compared_on: reader.value(fields::TOOL_COMPARED_ON, &s),
        due: reader.value(fields::TOOL_DUE, &s),
        certificate: reader.value(fields::TOOL_CERTIFICATE, &s),
        size: reader.value(fields::TOOL_SIZE, &s),
        mass_mg: reader.value(fields::TOOL_MASS, &s),
    }
}

fn batch(reader: &Reader<'_>, id: ItemId) -> Batch {
    let s = Subject::Item(ItemKind::Batch, id).to_string();
    Batch {
        id,
        name: text(reader.one(fields::BATCH_NAME, &s, "").shown()),
        kind: reader.value(fields::BATCH_KIND, &s),
        grade: reader.value(fields::BATCH_GRADE, &s),
        heat: reader.value(fields::BATCH_HEAT, &s),
        reel: reader.value(fields::BATCH_REEL, &s),
        metres: reader.value(fields::BATCH_METRES, &s),
        left_mark: reader.value(fields::BATCH_LEFT_MARK, &s),
        ordered: reader.value(fields::BATCH_ORDERED, &s),
        arrival: reader.value(fields::BATCH_ARRIVAL, &s),
    }
}

fn visit(reader: &Reader<'_>, id: ItemId) -> Visit {
    let s = Subject::Item(ItemKind::Visit, id).to_string();
    Visit {
        id,
        day: reader.value(fields::VISIT_DAY, &s),
        why: text(reader.one(fields::VISIT_WHY, &s, "").shown()),
        who: text(reader.one(fields::VISIT_WHO, &s, "").shown()),
        weather: text(reader.one(fields::VISIT_WEATHER, &s, "").shown()),
        left_safe: reader.value(fields::VISIT_LEFT_SAFE, &s),
    }
}

fn strand(reader: &Reader<'_>, id: ItemId) -> JobStrand {
    let s = Subject::Item(ItemKind::Strand, id).to_string();
    JobStrand {
        id,
        name: text(reader.one(fields::STRAND_NAME, &s, "").shown()),
        figures: reader.value(fields::STRAND_FIGURES, &s),
    }
}

fn fitting_set(reader: &Reader<'_>, id: ItemId) -> JobFittingSet {
    let s = Subject::Item(ItemKind::FittingSet, id).to_string();
    JobFittingSet {
        id,
        name: text(reader.one(fields::FITTING_NAME, &s, "").shown()),
        terminals: reader.value(fields::FITTING_TERMINALS, &s),
        through_hole: reader.value(fields::FITTING_THROUGH_HOLE, &s),
        efficiency: reader.value(fields::FITTING_EFFICIENCY, &s),
        fixed_deduction: reader.value(fields::FITTING_FIXED_DEDUCTION, &s),
        insert_pull: reader.value(fields::FITTING_INSERT_PULL, &s),
    }
}
