//! A run with its posts and bays.
//!
//! Wires stand in `wire`.

use records::job::{Bay, Job, PostInRun, Run};
use records::model::values::{
    Along, End, EndKind, Length, Lining, PostRole, ProbeResult, Rail, Section, Shape, Slope,
    Surface, Tensions,
};
use records::subject::Subject;
use records::work::{self, Decision, Stands};
use schemars::JsonSchema;
use serde::Serialize;
use ts_rs::TS;

use crate::views::overview::name;

use super::wire::{WireView, wire_view};

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
    /// Kinds of its two ends as they are counted: told, else as the fitting set has them.
    pub end_kinds: Option<[EndKind; 2]>,
    pub tensions: Option<Tensions>,
    /// What the tensions were decided on was replaced or is disputed since.
    pub tensions_moved: bool,
    pub posts: Vec<PostView>,
    pub bays: Vec<BayView>,
    /// What bays and posts between the ends add up to along the wires, mm; none where one is not told.
    pub between_mm: Option<f64>,
    pub wires: Vec<WireView>,
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
    /// When, milliseconds since 1970 UTC.
    pub at_ms: i64,
    /// Minutes east of UTC on the clock that recorded it.
    pub offset_min: i32,
    /// The entry.
    pub entry: String,
}

/// Makes the view of one run.
#[must_use]
pub fn run_view(job: &Job<'_>, run: &Run, stands: &Stands) -> RunView {
    RunView {
        subject: run.subject().to_string(),
        id: run.id.to_string(),
        name: name(&run.name),
        surface: run.surface,
        shape: run.shape,
        height_mm: run.height.map(Length::as_mm),
        slope: run.slope,
        rail: run.rail,
        strand: run.strand.map(|s| s.to_string()),
        fitting_set: run.fitting_set.map(|s| s.to_string()),
        lining: run.lining,
        trial_wire: run.trial_wire,
        end_kinds: work::end_kinds(job, run),
        tensions: run.tensions.value().cloned(),
        tensions_moved: run
            .tensions
            .told()
            .is_some_and(|told| stands.moved(job, Decision::Tensions(run), &told.basis) > 0),
        posts: run.posts.iter().map(post_view).collect(),
        bays: run.bays.iter().map(|bay| bay_view(job, run, bay)).collect(),
        between_mm: work::bays_add_up(run).ok().flatten().map(|mm| mm.value()),
        wires: run
            .wires
            .iter()
            .map(|wire| wire_view(job, run, wire))
            .collect(),
    }
}

/// A bay as a place of readings.
#[must_use]
pub fn bay_place(bay: &Bay) -> String {
    let subject = bay.subject.to_string();
    subject.strip_prefix("bay:").unwrap_or_default().to_owned()
}

fn post_view(post: &PostInRun) -> PostView {
    PostView {
        subject: Subject::post(post.id).to_string(),
        id: post.id.to_string(),
        name: name(&post.name),
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
                stops: fact.value().map(|g| g.result == ProbeResult::Stops),
                probe_mm: told
                    .with
                    .as_ref()
                    .map_or(0.0, |w| Length { nm: w.probe_nm }.as_mm()),
                at_ms: told.at.ms,
                offset_min: told.at.offset_min,
                entry: told.id.to_string(),
            })
        })
        .collect();
    BayView {
        subject: bay.subject.to_string(),
        place: bay_place(bay),
        name: name(&bay.name),
        clear_mm: bay.clear.map(Length::as_mm),
        measured: bay.measured,
        along: bay.along,
        gaps,
    }
}
