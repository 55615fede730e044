//! Laying out wires: proposals, taking one, and the drilling template.

use std::fs;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use handover::{PaperSize, TemplateAsk};
use records::model::context::Said;
use records::model::fields;
use records::model::values::WireHeights;
use records::work::{self, LayoutAsk, LayoutProposals};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::measure::{Typed, Unit};
use super::{Recorded, item, job_id, some_text};
use crate::claim::{Act, Earlier, tips};
use crate::{ApiError, App, ErrorCode};

/// What a layout is asked to keep; what is left out is taken from the record or as usual.
#[derive(Clone, Debug, Default, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct LayoutWishes {
    /// Underside of the rail, plumb, where it is not the recorded one.
    #[serde(default)]
    #[ts(optional)]
    pub rail: Option<Typed>,
    /// Height of the bottom wire's middle, plumb; as far as the wires from each other where none.
    #[serde(default)]
    #[ts(optional)]
    pub bottom: Option<Typed>,
    /// Least to keep before the next row of the table; 4 mm where none.
    #[serde(default)]
    #[ts(optional)]
    pub in_hand: Option<Typed>,
    /// Widest spacing wanted, square to the wires; needed where the rule set has no table.
    #[serde(default)]
    #[ts(optional)]
    pub widest: Option<Typed>,
    /// How far a tread stands out over the riser below it.
    #[serde(default)]
    #[ts(optional)]
    pub overhang: Option<Typed>,
    /// Unit in which heights are whole: millimetres, or sixteenths of an inch.
    #[serde(default)]
    #[ts(optional, as = "Option<Unit>")]
    pub unit: Unit,
}

impl LayoutWishes {
    fn ask(&self) -> Result<LayoutAsk, ApiError> {
        let length = |typed: &Option<Typed>| typed.as_ref().map(Typed::length).transpose();
        let left = |typed: &Option<Typed>| typed.as_ref().map(Typed::left).transpose();
        Ok(LayoutAsk {
            rail: length(&self.rail)?,
            bottom: length(&self.bottom)?,
            in_hand: left(&self.in_hand)?,
            widest: length(&self.widest)?,
            overhang: left(&self.overhang)?,
            inches: matches!(self.unit, Unit::In),
        })
    }
}

/// Asks for a layout of a run's wires.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct LayOut {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// What is to be kept.
    #[serde(default)]
    #[ts(optional, as = "Option<LayoutWishes>")]
    pub wishes: LayoutWishes,
}

/// Proposes wires for a run from its rail, floor and rule set.
pub fn lay_out(app: &App, request: LayOut) -> Result<LayoutProposals, ApiError> {
    let (run, ask) = (item(&request.run)?, request.wishes.ask()?);
    app.with_job(job_id(&request.job)?, |job| {
        Ok(work::propose(job, run, &ask)?)
    })
}

/// Takes a proposal.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct TakeLayout {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// What was asked for.
    #[serde(default)]
    #[ts(optional, as = "Option<LayoutWishes>")]
    pub wishes: LayoutWishes,
    /// The heights that the person saw, from the bottom, nanometres; where none of the proposals has
    /// them any more nothing is taken, and the answer is `changed`.
    pub heights_nm: Vec<i64>,
    /// The person was asked about wires that were measured or cut already, and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Takes a proposal into the record as it was shown, in one act.
pub fn take_layout(app: &App, request: TakeLayout) -> Result<Recorded, ApiError> {
    let (id, run, ask) = (
        job_id(&request.job)?,
        item(&request.run)?,
        request.wishes.ask()?,
    );
    let mut record = app.record();
    let (subject, origin, question) = {
        let job = record.job(id)?;
        let found = work::propose(&job, run, &ask)?;
        let Some(taken) = found
            .proposals
            .iter()
            .find(|p| p.heights_nm == request.heights_nm)
        else {
            return Err(ApiError::new(
                ErrorCode::Changed,
                "What the layout follows from changed meanwhile, and these heights are no longer \
                 proposed. Nothing was saved: look at the proposals again.",
            ));
        };
        let set = found
            .rule_set
            .as_ref()
            .map_or("no rule set", |set| set.title.as_str());
        let origin = format!("layout aid, {set}: {}", taken.sentence);
        let run = job.run(run).ok_or(work::WorkError::UnknownRun(run))?;
        (run.subject(), origin, begun(run, &request.heights_nm))
    };
    if let Some(question) = question.filter(|_| !request.confirmed) {
        return Err(ApiError::new(ErrorCode::Questioned, question));
    }
    let count = i64::try_from(request.heights_nm.len()).unwrap_or(i64::MAX);
    let heights = WireHeights {
        nm: request.heights_nm,
    };
    let said = Said {
        origin: Some(origin),
        ..Said::default()
    };
    let mut act = Act::default();
    let over = tips(&mut record, id, &subject, fields::RUN_WIRE_COUNT.name, "")?;
    act.claim(
        fields::RUN_WIRE_COUNT,
        subject,
        "",
        Some(&count),
        &said,
        Earlier::over(over),
    )?;
    let over = tips(&mut record, id, &subject, fields::RUN_WIRE_HEIGHTS.name, "")?;
    act.claim(
        fields::RUN_WIRE_HEIGHTS,
        subject,
        "",
        Some(&heights),
        &said,
        Earlier::over(over),
    )?;
    Ok(Recorded::of(&act.record(&mut record, id)?))
}

/// What would no longer be of this layout: wires that were measured, released or cut at other
/// heights, and spacings that were read as drilled.
fn begun(run: &records::job::Run, heights: &[i64]) -> Option<String> {
    let stands: Vec<i64> = run.heights.iter().map(|h| h.nm).collect();
    if stands.is_empty() || stands == heights {
        return None;
    }
    let worked = run
        .wires
        .iter()
        .filter(|w| !w.lengths.is_empty() || w.issued.shown().is_some() || w.cut.shown().is_some())
        .count();
    let drilled = run.posts.iter().filter(|p| !p.drilled.is_empty()).count();
    let mut what = Vec::new();
    if worked > 0 {
        what.push(match worked {
            1 => "1 wire was measured or cut".to_owned(),
            n => format!("{n} wires were measured or cut"),
        });
    }
    if drilled > 0 {
        what.push(match drilled {
            1 => "1 post was read as drilled".to_owned(),
            n => format!("{n} posts were read as drilled"),
        });
    }
    (!what.is_empty()).then(|| {
        format!(
            "{} at the heights that stand now. They keep their words and would belong to other \
             heights. Take the new layout?",
            what.join(" and ")
        )
    })
}

/// Asks for a drilling template.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct WriteTemplate {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// One post alone; all of the run where none.
    #[serde(default)]
    #[ts(optional)]
    pub post: Option<String>,
    /// The paper: A4 where nothing is said.
    #[serde(default)]
    #[ts(optional, as = "Option<PaperSize>")]
    pub paper: PaperSize,
    /// Unit in which heights are told; marks lie at their true places either way.
    #[serde(default)]
    #[ts(optional, as = "Option<Unit>")]
    pub unit: Unit,
    /// The file to write, which must not exist. Without one: `templates/` in the data folder.
    #[serde(default)]
    #[ts(optional)]
    pub file: Option<String>,
}

/// A template that was written.
#[derive(Clone, Debug, Serialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TemplateWritten {
    /// The file.
    pub file: String,
    /// Its pages.
    pub pages: usize,
    /// Post faces, those that are drilled alike together.
    pub faces: Vec<String>,
    /// Its size.
    pub bytes: usize,
}

/// Writes the full-size drilling template of a run's posts.
pub fn drilling_template(app: &App, request: WriteTemplate) -> Result<TemplateWritten, ApiError> {
    let (id, run) = (job_id(&request.job)?, item(&request.run)?);
    let ask = TemplateAsk {
        post: request.post.as_deref().map(item).transpose()?,
        paper: request.paper,
        inches: matches!(request.unit, Unit::In),
    };
    let (view, crew, at) = {
        let mut record = app.record();
        let at = records::clock::next_at(record.clock(), None);
        let crew = record.crew_of_job(id)?;
        let crew = record.crew(crew).clone();
        (record.view(id)?.clone(), crew, at)
    };
    // Setting pages takes its time and holds no lock.
    let job = records::job::Job::read(&view, &crew);
    let made = handover::drilling_template(&job, run, &ask, at)?;
    let file = match &request.file {
        Some(file) => PathBuf::from(some_text("The file", file)?),
        None => {
            let folder = app.data().join("templates");
            fs::create_dir_all(&folder).map_err(|e| unwritten(&folder, &e))?;
            folder.join(format!("{run}-{}.pdf", at.ms))
        }
    };
    write_new(&file, &made.pdf)?;
    Ok(TemplateWritten {
        file: file.display().to_string(),
        pages: made.pages,
        faces: made.faces,
        bytes: made.pdf.len(),
    })
}

/// Writes a file that must not be there yet; nothing half written is left.
fn write_new(path: &Path, bytes: &[u8]) -> Result<(), ApiError> {
    let mut file = fs::OpenOptions::new()
        .write(true)
        .create_new(true)
        .open(path)
        .map_err(|e| unwritten(path, &e))?;
    file.write_all(bytes)
        .and_then(|()| file.sync_all())
        .map_err(|e| {
            drop(fs::remove_file(path));
            unwritten(path, &e)
        })
}

fn unwritten(path: &Path, error: &std::io::Error) -> ApiError {
    ApiError::new(
        ErrorCode::Storage,
        format!(
            "{} could not be written: {error}. Nothing was overwritten; choose another file.",
            path.display()
        ),
    )
}
