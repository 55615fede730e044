//! Tensions by sound and by a hung phone: heard first, kept where a person says so.
//!
//! Invariant: recordings are read and listened to without the record's lock, for both take time.

use std::path::Path;

use records::entry::FileRef;
use records::model::entered;
use records::model::values::SpanHeld;
use records::photos::{self, Object};
use records::subject::Subject;
use records::work::{self, EvenUp, Heard, Hearing, SpanAsked};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::milligrams;
use super::tensions::Round;
use crate::acts::checks::heard as acts;
use crate::claim::Acted;
use crate::handlers::measure::Typed;
use crate::handlers::work::{OfRun, of_run};
use crate::handlers::{Recorded, item, job_id};
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
    /// The bay's place, `<post>:<post>`, where it is known; what is kept is of its round's bay.
    #[serde(default)]
    #[ts(optional)]
    pub bay: Option<String>,
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

impl Hear {
    /// Span and masses as they were typed.
    pub(crate) fn entered(&self) -> String {
        let mut typed = format!("span {}", self.length.entered());
        let metre = self.grams_per_metre.as_deref().map(str::trim);
        if let Some(grams) = metre.filter(|grams| !grams.is_empty()) {
            typed.push_str(&format!(", {} a metre", entered::said_mass(grams)));
        }
        if let HeardBy::Swing { grams, .. } = &self.by {
            typed.push_str(&format!(", {} hung", entered::said_mass(grams)));
        }
        typed
    }

    fn span(&self) -> Result<SpanAsked, ApiError> {
        let grams = self.grams_per_metre.as_deref().map(str::trim);
        let weighed = |text| milligrams(text, "mass of a metre", "50.1");
        Ok(SpanAsked {
            length: self.length.length()?,
            held: self.held,
            mg_per_metre: grams
                .filter(|text| !text.is_empty())
                .map(weighed)
                .transpose()?,
            bay: self.bay.clone(),
        })
    }
}

fn listened(app: &App, asked: &Hear) -> Result<(Heard, Vec<Raw>), ApiError> {
    let (job, run, span) = (job_id(&asked.job)?, item(&asked.run)?, asked.span()?);
    let hearing = acts::hearing(&mut app.record(), job, run, asked.wire, &span)?;
    match &asked.by {
        HeardBy::Plucks { recordings } => plucks(app, &hearing, recordings),
        HeardBy::Swing { motion, grams } => {
            let mass = milligrams(grams, "mass hung", "205")?;
            let bytes = motion.read(app)?;
            let heard = hearing.swing(mass, &raw::motion(&bytes)?)?;
            Ok((heard, vec![(bytes, "csv")]))
        }
    }
}

fn plucks(
    app: &App,
    hearing: &Hearing,
    recordings: &[RawSource],
) -> Result<(Heard, Vec<Raw>), ApiError> {
    if recordings.is_empty() || recordings.len() > RECORDINGS {
        return Err(ApiError::invalid(format!(
            "{} recordings were given. Give three plucks, each its own recording, or one \
             recording of all three.",
            recordings.len()
        )));
    }
    let (mut sounds, mut raws, mut notes) = (Vec::new(), Vec::new(), Vec::new());
    for (number, source) in (1..).zip(recordings) {
        let bytes = source.read(app)?;
        let (sound, noticed) = raw::wav(&bytes)?;
        sounds.push(sound);
        raws.push((bytes, "wav"));
        let noticed = noticed.iter();
        notes.extend(noticed.map(|note| format!("Recording {number}: {note}")));
    }
    let mut heard = hearing.plucks(&sounds)?;
    heard.notes.splice(0..0, notes);
    if heard.guide.is_some() {
        each_its_own(&raws)?;
    }
    Ok((heard, raws))
}

/// Refuses one recording given for several plucks: that they agree would show nothing.
fn each_its_own(raws: &[Raw]) -> Result<(), ApiError> {
    for (number, raw) in (1_usize..).zip(raws) {
        if let Some(before) = raws.iter().take(number - 1).position(|known| known == raw) {
            return Err(ApiError::invalid(format!(
                "Recordings {} and {number} are one and the same. Pluck the wire three times, and \
                 give each pluck its own recording.",
                before + 1
            )));
        }
    }
    Ok(())
}

/// Records a tension by sound or hung phone with its raw recordings; it counts against no table.
pub fn keep_heard(app: &App, request: KeepHeard) -> Result<KeptHeard, ApiError> {
    let asked = &request.in_its_bay();
    let (job, run) = (job_id(&asked.job)?, item(&asked.run)?);
    let at = acts::read_at(&mut app.record(), job, run, &request)?;
    let (heard, raws) = listened(app, asked)?;
    acts::worth_keeping(&heard)?;
    let folder = app.record().photos_dir();
    let files = stored(&folder, &raws)?;
    let (document, acted) = acts::keep(&mut app.record(), &at, &request, &heard, files)?;
    asked.by.let_go(app);
    Ok(KeptHeard::of(&acted, document, heard))
}

/// Stores recordings beside the pictures; nobody sees them before an entry names them.
fn stored(folder: &Path, raws: &[Raw]) -> Result<Vec<FileRef>, ApiError> {
    let objects: Vec<Object<'_>> = raws
        .iter()
        .map(|(bytes, extension)| Object { bytes, extension })
        .collect();
    let stored = photos::store_batch(folder, &objects).map_err(records::RecordError::from)?;
    let files = stored.iter().zip(&objects).map(|(stored, object)| {
        Ok(FileRef {
            sha256: stored.sha256.parse()?,
            bytes: object.bytes.len() as u64,
            kind: format!("document.{}", object.extension),
        })
    });
    files.collect()
}

impl KeepHeard {
    /// What was heard, as of its round's bay.
    fn in_its_bay(&self) -> Hear {
        Hear {
            bay: Some(self.round.bay.clone()),
            ..self.heard.clone()
        }
    }
}

impl HeardBy {
    /// Lets uploads go whose bytes are in the record now.
    fn let_go(&self, app: &App) {
        match self {
            HeardBy::Plucks { recordings } => recordings.iter().for_each(|r| r.let_go(app)),
            HeardBy::Swing { motion, .. } => motion.let_go(app),
        }
    }
}

impl KeptHeard {
    fn of(acted: &Acted, document: Subject, heard: Heard) -> Self {
        let Recorded {
            entries,
            not_counting,
            ..
        } = Recorded::of(acted);
        KeptHeard {
            entries,
            created: document.to_string(),
            not_counting,
            heard,
        }
    }
}
