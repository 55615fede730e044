//! Tensions by sound and by a hung phone: heard first, kept where a person says so.
//!
//! Invariant: what is kept carries its band, what it rests on and the hash of its raw recordings,
//! which are kept as a document in the same act; a refusal is kept nowhere.

use records::entry::FileRef;
use records::model::context::ReadingTold;
use records::model::entered;
use records::model::fields;
use records::model::values::{Evidence, Force, SpanHeld};
use records::photos::{self, Object};
use records::record::new_item;
use records::subject::{ItemKind, Subject};
use records::work::{self, EvenUp, Heard, Sound, SpanAsked};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::tensions::Round;
use super::{piece_of, run_of};
use crate::app::PROGRAM;
use crate::claim::{Act, Earlier, Fields, tips};
use crate::handlers::measure::Typed;
use crate::handlers::pictures::{ShowsWhat, tie};
use crate::handlers::work::{OfRun, of_run};
use crate::handlers::{item, job_id};
use crate::raw::{self, RawSource};
use crate::{ApiError, App};

/// Most recordings that are heard at once.
const RECORDINGS: usize = 9;

/// By what a tension is heard.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(
    tag = "kind",
    rename_all = "camelCase",
    rename_all_fields = "camelCase",
    deny_unknown_fields
)]
pub enum HeardBy {
    /// Plucks: three recordings or more of one each, or one recording of all.
    Plucks {
        /// WAV files.
        recordings: Vec<RawSource>,
    },
    /// A phone that swings at mid span.
    Swing {
        /// The motion: milliseconds and accelerations, one sample a line.
        motion: RawSource,
        /// Phone, clamp and what hangs with them, in grams as weighed.
        grams: String,
    },
}

/// Asks what a recording tells of a wire's tension.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct Hear {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// Number of the wire.
    pub wire: u32,
    /// Length of the span from pinch to pinch.
    pub length: Typed,
    /// How the wire is held at the ends of the span; without it nothing is told.
    #[serde(default)]
    #[ts(optional)]
    pub held: Option<SpanHeld>,
    /// Mass of one metre of the strand in grams, as weighed; without it it is computed.
    #[serde(default)]
    #[ts(optional)]
    pub grams_per_metre: Option<String>,
    /// The recordings.
    pub by: HeardBy,
}

/// Keeps what a recording tells, with the recording.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct KeepHeard {
    /// What was heard, and how.
    pub heard: Hear,
    /// Set once for a round; its gauge plays no part.
    pub round: Round,
    /// What was found or done about it.
    #[serde(default)]
    #[ts(optional)]
    pub remark: Option<String>,
}

/// What was kept of a reading by sound or hung phone.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct KeptHeard {
    /// Entries, in order.
    pub entries: Vec<String>,
    /// The document that holds the raw recordings.
    pub created: String,
    /// Why the others do not see it yet, in words; left out where it counts.
    #[ts(optional)]
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_counting: Option<String>,
    /// What was told.
    pub heard: Heard,
}

/// A recording's bytes with its ending.
type Raw = (Vec<u8>, &'static str);

/// Tells the tension that a recording speaks of, as a guide, or why it tells none.
pub fn hear(app: &App, request: Hear) -> Result<Heard, ApiError> {
    Ok(listened(app, &request)?.0)
}

/// Compares the wires of a run by what was heard of them.
pub fn even_up(app: &App, request: OfRun) -> Result<EvenUp, ApiError> {
    of_run(app, &request, work::even_up)
}

fn listened(app: &App, asked: &Hear) -> Result<(Heard, Vec<Raw>), ApiError> {
    let (job, run) = (job_id(&asked.job)?, item(&asked.run)?);
    let span = SpanAsked {
        length: asked.length.length()?,
        held: asked.held,
        mg_per_metre: asked
            .grams_per_metre
            .as_deref()
            .map(str::trim)
            .filter(|text| !text.is_empty())
            .map(|text| milligrams(text, "mass of a metre", "50.1"))
            .transpose()?,
    };
    let hearing = {
        let mut record = app.record();
        piece_of(&mut record, job, run, asked.wire, None)?;
        let job = record.job(job)?;
        work::hearing(&job, run, asked.wire, &span)?
    };
    // Reading and listening take time and need no lock.
    match &asked.by {
        HeardBy::Plucks { recordings } => {
            let (mut sounds, mut raws, mut notes): (Vec<Sound>, Vec<Raw>, Vec<String>) =
                Default::default();
            if recordings.is_empty() || recordings.len() > RECORDINGS {
                return Err(ApiError::invalid(format!(
                    "{} recordings were given. Give three plucks, each its own recording, or one \
                     recording of all three.",
                    recordings.len()
                )));
            }
            for (number, source) in (1..).zip(recordings) {
                let bytes = source.read(app)?;
                let (sound, noticed) = raw::wav(&bytes)?;
                sounds.push(sound);
                raws.push((bytes, "wav"));
                notes.extend(noticed.iter().map(|n| format!("Recording {number}: {n}")));
            }
            let mut heard = hearing.plucks(&sounds)?;
            heard.notes = notes;
            Ok((heard, raws))
        }
        HeardBy::Swing { motion, grams } => {
            let mass = milligrams(grams, "mass hung", "205")?;
            let bytes = motion.read(app)?;
            let heard = hearing.swing(mass, &raw::motion(&bytes)?)?;
            Ok((heard, vec![(bytes, "csv")]))
        }
    }
}

fn milligrams(text: &str, what: &str, like: &str) -> Result<i64, ApiError> {
    entered::decimal(text.trim(), 3)
        .filter(|mg| (1..=1_000_000_000).contains(mg))
        .ok_or_else(|| {
            ApiError::invalid(format!(
                "The {what} is missing. Type grams as weighed, like {like}."
            ))
        })
}

/// Records a tension by sound or hung phone with its raw recordings; it counts against no table.
pub fn keep_heard(app: &App, request: KeepHeard) -> Result<KeptHeard, ApiError> {
    let asked = &request.heard;
    let (job, run) = (job_id(&asked.job)?, item(&asked.run)?);
    let bay = request.round.bay.clone();
    let (piece, run_name, bay_name) = {
        let mut record = app.record();
        let piece = piece_of(&mut record, job, run, asked.wire, Some(&bay))?;
        let run = run_of(&mut record, job, run)?;
        let bay = run
            .bays
            .iter()
            .find(|b| crate::views::job::bay_place(b) == bay);
        let bay_name = bay.map_or_else(String::new, |b| b.name.clone());
        (piece, run.name, bay_name)
    };
    let (heard, raws) = listened(app, asked)?;
    let Some(guide) = heard.guide else {
        return Err(ApiError::invalid(format!(
            "{} Nothing was saved.",
            heard.sentence
        )));
    };
    let objects: Vec<Object<'_>> = raws
        .iter()
        .map(|(bytes, extension)| Object { bytes, extension })
        .collect();
    let folder = app.record().photos_dir();
    let stored = photos::store_batch(&folder, &objects).map_err(records::RecordError::from)?;
    let files = stored
        .iter()
        .zip(&objects)
        .map(|(stored, object)| {
            Ok(FileRef {
                sha256: stored.sha256.parse()?,
                bytes: object.bytes.len() as u64,
                kind: format!("document.{}", object.extension),
            })
        })
        .collect::<Result<Vec<_>, ApiError>>()?;
    let entered = format!("{}, span {}", heard.sentence, asked.length.entered());
    let mut with = request.round.context(heard.method, entered, piece)?;
    with.gauge = None;
    with.chart = None;
    with.reason = request.remark.clone();
    with.told = Some(ReadingTold {
        program: PROGRAM.to_owned(),
        least_mn: Some(whole_mn(guide.least_n)),
        most_mn: Some(whole_mn(guide.most_n)),
        numbers: heard.numbers.clone(),
        recordings: files.iter().map(|file| file.sha256).collect(),
    });
    let what = match asked.by {
        HeardBy::Plucks { .. } => "Sound",
        HeardBy::Swing { .. } => "Swing",
    };
    let wire = Subject::Wire(run, asked.wire);
    let document = Subject::Item(ItemKind::Document, new_item()?);
    let name = format!("{what}, {run_name}{}, {bay_name}", asked.wire);
    let mut act = Act::default();
    act.create(
        document,
        Fields::default().with(fields::DOCUMENT_NAME, "", Some(name))?,
        files,
    );
    let shows = ShowsWhat {
        subject: wire.to_string(),
        evidence: Evidence::Other,
    };
    tie(&mut act, document, fields::DOCUMENT_SHOWS, &[shows])?;
    let mut record = app.record();
    let known = tips(&mut record, job, &wire, fields::WIRE_TENSION.name, &bay)?;
    act.claim(
        fields::WIRE_TENSION,
        wire,
        &bay,
        Some(&Force {
            mn: whole_mn(guide.newtons),
        }),
        &with,
        Earlier::after(known),
    )?;
    let acted = act.record(&mut record, job)?;
    drop(record);
    match &asked.by {
        HeardBy::Plucks { recordings } => recordings.iter().for_each(|r| r.let_go(app)),
        HeardBy::Swing { motion, .. } => motion.let_go(app),
    }
    Ok(KeptHeard {
        entries: acted.entries.iter().map(ToString::to_string).collect(),
        created: document.to_string(),
        not_counting: acted.not_counting,
        heard,
    })
}

/// Newtons in whole ones as millinewtons.
#[allow(clippy::cast_possible_truncation)] // tensions of wires
fn whole_mn(newtons: f64) -> i64 {
    newtons.round() as i64 * 1000
}
