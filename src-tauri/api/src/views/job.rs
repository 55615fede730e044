//! A job as a screen needs it: layout, things recorded beside it, and what is unsettled.

use records::ids::Hash;
use records::job::things::{Batch, Defect, Document, Photo, Tool, Visit};
use records::job::{Bay, Fact, Job, PostInRun, Run, Standing, Wire, WireLength};
use records::model::context::TensionRead;
use records::model::values::{
    Act, Along, CrimpResult, End, Evidence, Force, Length, Lining, Method, PostRole, PostState,
    Rail, SampleCrimp, Section, Shape, Slope, Stage, Surface, Taken, Tensions, ToolKind,
};
use records::subject::{ItemKind, Subject};
use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

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
}

/// A tension reading.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ReadingView {
    /// The entry, to correct or withdraw it.
    pub entry: String,
    /// Place: the bay as `<post>:<post>`.
    pub bay: String,
    /// Newtons, where people agree.
    pub newtons: Option<f64>,
    /// How far people agree.
    pub standing: String,
    /// Pass, final or recheck.
    pub stage: Stage,
    /// Number of the pass.
    pub pass: Option<u32>,
    /// How it was taken.
    pub method: Method,
    /// Who.
    pub who: String,
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Gauge, wire temperature and the rest, as recorded.
    pub with: Option<TensionRead>,
}

/// A crimp as checked.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CrimpView {
    /// The end's post.
    pub post: String,
    /// Good or reject.
    pub result: Option<CrimpResult>,
    /// Piece of strand.
    pub piece: u32,
    /// Why it was rejected.
    pub reason: Option<String>,
    /// The entry.
    pub entry: String,
}

/// Where a wire stands as a length to cut from.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum LengthView {
    /// Nobody measured it.
    NotMeasured,
    /// Fit to cut from.
    #[serde(rename_all = "camelCase")]
    Cuttable {
        /// Mean of the readings, mm.
        mm: f64,
        /// Half the range of repeats, mm.
        spread_mm: f64,
    },
    /// People disagree.
    Disputed,
    /// A newer version changed it.
    Newer,
    /// Read for a quote only, mm not to be cut from.
    QuoteOnly,
    /// Read before posts and rail were final.
    #[serde(rename_all = "camelCase")]
    TooEarly {
        /// State of the posts then.
        posts: PostState,
    },
}

/// A wire.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct WireView {
    /// The wire as a subject.
    pub subject: String,
    /// Number from the bottom.
    pub number: u32,
    /// Height above floor or nosings, mm.
    pub height_mm: Option<f64>,
    /// Its length for cutting.
    pub length: LengthView,
    /// Last length that anybody read, for any purpose, mm.
    pub last_read_mm: Option<f64>,
    /// Piece of strand in place, from 1.
    pub piece: u32,
    /// Length released for cutting, mm.
    pub issued_mm: Option<f64>,
    /// Length as cut, mm.
    pub cut_mm: Option<f64>,
    /// Acts ticked off on this piece.
    pub done: Vec<Act>,
    /// Crimps of all pieces.
    pub crimps: Vec<CrimpView>,
    /// Tensions of this piece, newest first.
    pub tensions: Vec<ReadingView>,
    /// Something about it is disputed or changed by a newer version.
    pub unsettled: bool,
}

/// A bay.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct BayView {
    /// The bay as a subject.
    pub subject: String,
    /// As a place of readings: its two posts' ids as in the subject, `<post>:<post>`.
    pub place: String,
    /// "A2–A3".
    pub name: String,
    /// Clear distance, mm.
    pub clear_mm: Option<f64>,
    /// Whether it was measured, or follows from positions.
    pub measured: bool,
    /// Level or along the slope.
    pub along: Along,
    /// Gap checks, the whole bay's first: lower wire, probe, result, entry.
    pub gaps: Vec<GapView>,
}

/// A gap check.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct GapView {
    /// Lower wire of the opening; none for the whole bay.
    pub above_wire: Option<u32>,
    /// Whether the probe stopped; none where people disagree.
    pub stops: Option<bool>,
    /// Probe in mm.
    pub probe_mm: f64,
    /// When.
    pub at_ms: i64,
    /// The entry.
    pub entry: String,
}

/// A post in a run.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PostView {
    /// The post as a subject.
    pub subject: String,
    /// Its id, as it stands in places.
    pub id: String,
    /// Its name.
    pub name: String,
    /// Middle of the post from the run's first, level, mm.
    pub position_mm: Option<f64>,
    /// What it does here.
    pub role: PostRole,
    /// The run's end here.
    pub end: Option<End>,
    /// Cross section.
    pub section: Option<Section>,
    /// Floor level, mm.
    pub floor_mm: Option<f64>,
}

/// A run.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)] // as in records::job::Run
pub struct RunView {
    pub subject: String,
    pub id: String,
    pub name: String,
    pub surface: Option<Surface>,
    pub shape: Shape,
    pub height_mm: Option<f64>,
    pub slope: Option<Slope>,
    pub rail: Option<Rail>,
    pub strand: Option<String>,
    pub fitting_set: Option<String>,
    pub lining: Lining,
    pub trial_wire: u32,
    pub tensions: Option<Tensions>,
    pub posts: Vec<PostView>,
    pub bays: Vec<BayView>,
    pub wires: Vec<WireView>,
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
    /// When.
    pub at_ms: i64,
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
    /// When.
    pub at_ms: i64,
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
    /// When.
    pub at_ms: i64,
    /// Entries recorded since that it does not cover.
    pub since: u64,
    /// Set when the person's role did not ask for it.
    pub outside_role: Option<String>,
    /// The entry.
    pub entry: String,
}

/// A value that people must settle.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct UnsettledView {
    /// The subject.
    pub subject: String,
    /// Its name.
    pub name: String,
    /// The facts, several words each.
    pub fact: FactView,
}

/// A job.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
#[allow(missing_docs)] // as in records::job::Job
pub struct JobView {
    pub job: String,
    pub subject: String,
    pub title: String,
    pub place: String,
    pub facts: Vec<FactView>,
    pub runs: Vec<RunView>,
    pub photos: Vec<PictureView>,
    pub documents: Vec<PictureView>,
    pub defects: Vec<DefectView>,
    pub tools: Vec<ThingView>,
    pub batches: Vec<ThingView>,
    pub visits: Vec<ThingView>,
    pub strands: Vec<ThingView>,
    pub fitting_sets: Vec<ThingView>,
    pub samples: Vec<SampleView>,
    pub sign_offs: Vec<SignOffView>,
    pub unsettled: Vec<UnsettledView>,
}

/// Makes the view of a job.
#[must_use]
pub fn job_view(job: &Job<'_>) -> JobView {
    let subject = Subject::Job(job.id);
    let text = |f| {
        job.reader
            .one(f, &job.subject(), "")
            .shown()
            .cloned()
            .unwrap_or_default()
    };
    JobView {
        job: job.id.to_string(),
        subject: subject.to_string(),
        title: text(records::model::fields::JOB_TITLE),
        place: text(records::model::fields::JOB_PLACE),
        facts: facts(job, &subject, false),
        runs: job.runs.iter().map(|run| run_view(job, run)).collect(),
        photos: job.photos.iter().map(|p| photo_view(job, p)).collect(),
        documents: job
            .documents
            .iter()
            .map(|d| document_view(job, d))
            .collect(),
        defects: job.defects.iter().map(|d| defect_view(job, d)).collect(),
        tools: job.tools.iter().map(|t| tool_view(job, t)).collect(),
        batches: job
            .batches
            .iter()
            .map(|b: &Batch| thing(job, ItemKind::Batch, b.id, &b.name))
            .collect(),
        visits: job
            .visits
            .iter()
            .map(|v: &Visit| {
                let name = v.day.clone().map(String::from).unwrap_or_default();
                thing(job, ItemKind::Visit, v.id, &name)
            })
            .collect(),
        strands: job
            .strands
            .iter()
            .map(|s| thing(job, ItemKind::Strand, s.id, &s.name))
            .collect(),
        fitting_sets: job
            .fitting_sets
            .iter()
            .map(|s| thing(job, ItemKind::FittingSet, s.id, &s.name))
            .collect(),
        samples: job
            .sample_crimps
            .iter()
            .filter_map(|fact| {
                let told = fact.tips.first()?;
                Some(SampleView {
                    entry: told.id.to_string(),
                    at_ms: told.at.ms,
                    who: job.reader.person(&told.person),
                    sample: fact.value().cloned(),
                })
            })
            .collect(),
        sign_offs: job
            .sign_offs
            .iter()
            .filter_map(|(stage, fact)| sign_off(job, stage, fact))
            .collect(),
        unsettled: unsettled(job),
    }
}

/// Makes the view of one run.
#[must_use]
pub fn run_view(job: &Job<'_>, run: &Run) -> RunView {
    RunView {
        subject: run.subject().to_string(),
        id: run.id.to_string(),
        name: run.name.clone(),
        surface: run.surface,
        shape: run.shape,
        height_mm: run.height.map(Length::as_mm),
        slope: run.slope,
        rail: run.rail,
        strand: run.strand.map(|s| s.to_string()),
        fitting_set: run.fitting_set.map(|s| s.to_string()),
        lining: run.lining,
        trial_wire: run.trial_wire,
        tensions: run.tensions.value().cloned(),
        posts: run.posts.iter().map(post_view).collect(),
        bays: run.bays.iter().map(|bay| bay_view(job, run, bay)).collect(),
        wires: run
            .wires
            .iter()
            .map(|wire| wire_view(job, run, wire))
            .collect(),
    }
}

fn post_view(post: &PostInRun) -> PostView {
    PostView {
        subject: Subject::post(post.id).to_string(),
        id: post.id.to_string(),
        name: post.name.clone(),
        position_mm: post.position.shown().map(|l| l.as_mm()),
        role: post.role,
        end: post.end.shown().copied(),
        section: post.section,
        floor_mm: post.floor.map(Length::as_mm),
    }
}

fn bay_view(job: &Job<'_>, run: &Run, bay: &Bay) -> BayView {
    let gaps = job
        .gaps(run.id, &bay.subject)
        .into_iter()
        .filter_map(|(above_wire, fact)| {
            let told = fact.tips.first()?;
            Some(GapView {
                above_wire,
                stops: fact
                    .value()
                    .map(|g| g.result == records::model::values::ProbeResult::Stops),
                probe_mm: told
                    .with
                    .as_ref()
                    .map_or(0.0, |w| Length { nm: w.probe_nm }.as_mm()),
                at_ms: told.at.ms,
                entry: told.id.to_string(),
            })
        })
        .collect();
    BayView {
        subject: bay.subject.to_string(),
        place: bay_place(bay),
        name: bay.name.clone(),
        clear_mm: bay.clear.map(Length::as_mm),
        measured: bay.measured,
        along: bay.along,
        gaps,
    }
}

/// A bay as a place of readings.
#[must_use]
pub fn bay_place(bay: &Bay) -> String {
    let subject = bay.subject.to_string();
    subject.strip_prefix("bay:").unwrap_or_default().to_owned()
}

fn wire_view(job: &Job<'_>, run: &Run, wire: &Wire) -> WireView {
    let subject = Subject::Wire(run.id, wire.number);
    let text = subject.to_string();
    let unsettled = job.reader.unsettled().any(|(key, _)| key.subject == text);
    let height = usize::try_from(wire.number)
        .ok()
        .and_then(|n| run.heights.get(n.wrapping_sub(1)));
    WireView {
        number: wire.number,
        height_mm: height.map(|l| l.as_mm()),
        length: length_view(&wire.length),
        last_read_mm: wire
            .lengths
            .last()
            .and_then(|f| f.tips.last())
            .and_then(|t| t.value)
            .map(Length::as_mm),
        piece: wire.piece_number,
        issued_mm: wire.issued.value().map(|c| Length { nm: c.cut_nm }.as_mm()),
        cut_mm: wire.cut.value().map(|c| Length { nm: c.nm }.as_mm()),
        done: wire
            .done
            .iter()
            .filter(|(_, fact)| fact.value() == Some(&true))
            .map(|(act, _)| *act)
            .collect(),
        crimps: wire
            .crimps
            .iter()
            .filter_map(|(post, fact)| {
                let told = fact.tips.first()?;
                Some(CrimpView {
                    post: post.to_string(),
                    result: fact.value().map(|c| c.result),
                    piece: told.with.as_ref().map_or(1, |w| w.piece),
                    reason: told.value.as_ref().and_then(|c| c.reason.clone()),
                    entry: told.id.to_string(),
                })
            })
            .collect(),
        tensions: wire
            .tensions_now()
            .filter_map(|(bay, fact)| reading(job, bay, fact))
            .collect(),
        unsettled,
        subject: text,
    }
}

fn reading(job: &Job<'_>, bay: &str, fact: &Fact<Force, TensionRead>) -> Option<ReadingView> {
    let told = fact.tips.first()?;
    let with = told.with.clone();
    Some(ReadingView {
        entry: told.id.to_string(),
        bay: bay.to_owned(),
        newtons: fact.value().map(|f| f.as_newtons()),
        standing: standing(fact.standing).to_owned(),
        stage: with.as_ref().map_or(Stage::Pass, |w| w.stage),
        pass: with.as_ref().and_then(|w| w.pass),
        method: with.as_ref().map_or(Method::Gauge, |w| w.method),
        who: job.reader.person(&told.person),
        at_ms: told.at.ms,
        with,
    })
}

/// Standing as a word.
#[must_use]
pub fn standing(standing: Standing) -> &'static str {
    match standing {
        Standing::Missing => "missing",
        Standing::Agreed => "agreed",
        Standing::Withdrawn => "withdrawn",
        Standing::Disputed => "disputed",
        Standing::Newer => "newer",
    }
}

fn length_view(length: &WireLength) -> LengthView {
    match length {
        WireLength::NotMeasured => LengthView::NotMeasured,
        WireLength::Cuttable { nm, spread_nm, .. } => LengthView::Cuttable {
            mm: Length { nm: *nm }.as_mm(),
            spread_mm: Length { nm: *spread_nm }.as_mm(),
        },
        WireLength::Disputed => LengthView::Disputed,
        WireLength::Newer => LengthView::Newer,
        WireLength::QuoteOnly => LengthView::QuoteOnly,
        WireLength::TooEarly(posts) => LengthView::TooEarly { posts: *posts },
    }
}

fn files(files: &[records::entry::FileRef]) -> Vec<FileView> {
    files
        .iter()
        .map(|f| FileView {
            sha256: f.sha256.to_string(),
            bytes: f.bytes,
            role: f.kind.split('.').next().unwrap_or_default().to_owned(),
        })
        .collect()
}

fn shows(job: &Job<'_>, shows: &[(Subject, Evidence)]) -> Vec<ShowsView> {
    shows
        .iter()
        .map(|(subject, evidence)| ShowsView {
            subject: subject.to_string(),
            name: job.name_of(subject),
            evidence: *evidence,
        })
        .collect()
}

#[allow(clippy::cast_precision_loss)] // 1e-7 degree fits a double exactly enough
fn photo_view(job: &Job<'_>, photo: &Photo) -> PictureView {
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
    }
}

fn document_view(job: &Job<'_>, document: &Document) -> PictureView {
    PictureView {
        subject: Subject::Item(ItemKind::Document, document.id).to_string(),
        caption: document.name.clone(),
        taken: None,
        position: None,
        doubts: Vec::new(),
        shows: shows(job, &document.shows),
        files: files(&document.files),
        by: document.by.clone(),
        entry: document.entry.to_string(),
    }
}

fn defect_view(job: &Job<'_>, defect: &Defect) -> DefectView {
    DefectView {
        subject: Subject::Item(ItemKind::Defect, defect.id).to_string(),
        found: defect.found.value.clone().unwrap_or_default(),
        who: job.reader.person(&defect.found.person),
        at_ms: defect.found.at.ms,
        about: defect.about.map(|s| s.to_string()),
        about_name: defect
            .about
            .as_ref()
            .map(|s| job.name_of(s))
            .unwrap_or_default(),
        closed: defect.closed.value().map(|c| c.how.clone()),
        entry: defect.found.id.to_string(),
    }
}

fn tool_view(job: &Job<'_>, tool: &Tool) -> ThingView {
    let mut view = thing(job, ItemKind::Tool, tool.id, &tool.name);
    view.tool = tool.kind;
    view.error_per_10000 = tool.error_per_10000;
    view
}

fn thing(job: &Job<'_>, kind: ItemKind, id: records::ids::ItemId, name: &str) -> ThingView {
    let subject = Subject::Item(kind, id);
    ThingView {
        subject: subject.to_string(),
        id: id.to_string(),
        name: name.to_owned(),
        tool: None,
        error_per_10000: None,
        facts: facts(job, &subject, false),
    }
}

fn sign_off(
    job: &Job<'_>,
    stage: &str,
    fact: &Fact<records::model::values::SignOff, records::model::context::Told>,
) -> Option<SignOffView> {
    let told = fact.tips.first()?;
    let with = told.with.clone().unwrap_or_default();
    let since = job
        .reader
        .view
        .heads()
        .iter()
        .map(|(device, (n, _))| {
            let covered = with
                .heads
                .iter()
                .find(|h| h.device == *device)
                .map_or(0, |h| h.n);
            // The sign-off itself is not news to the person who gave it.
            let own = u64::from(*device == told.device);
            n.saturating_sub(covered).saturating_sub(own)
        })
        .sum();
    Some(SignOffView {
        stage: stage.to_owned(),
        statement: told
            .value
            .as_ref()
            .map(|s| s.statement.clone())
            .unwrap_or_default(),
        who: job.reader.person(&told.person),
        at_ms: told.at.ms,
        since,
        outside_role: with.outside_role,
        entry: told.id.to_string(),
    })
}

fn unsettled(job: &Job<'_>) -> Vec<UnsettledView> {
    job.reader
        .unsettled()
        .flat_map(|(key, state)| {
            let name = key
                .subject
                .parse()
                .map_or_else(|_| String::new(), |s| job.name_of(&s));
            facts_of(job, key, state, false)
                .into_iter()
                .filter(|fact| fact.standing == "disputed" || fact.standing == "newer")
                .map(move |fact| UnsettledView {
                    subject: key.subject.clone(),
                    name: name.clone(),
                    fact,
                })
        })
        .collect()
}

/// Whether an entry is a decision whose basis no longer stands.
#[must_use]
pub fn basis_moved(job: &Job<'_>, basis: &[Hash]) -> bool {
    basis.iter().any(|id| !job.stands(id))
}
