//! Laying out wires: proposals, taking one, and the drilling template.

use std::fs;
use std::path::{Path, PathBuf};

use handover::{DrillingTemplate, PaperSize, TemplateAsk};
use records::model::values::FaceSide;
use records::work::{self, LayoutAsk, LayoutProposals};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::measure::{Typed, Unit};
use super::{Recorded, file_named, item, job_id};
use crate::acts::laying::{self, JobAt};
use crate::written::{unwritten, write_new};
use crate::{ApiError, App};

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
    /// Least to keep before the next row of the table; 4 mm, or an eighth of an inch, where none.
    #[serde(default)]
    #[ts(optional)]
    pub in_hand: Option<Typed>,
    /// Widest spacing wanted, square to the wires, whatever row it reads; where the rule set has no table it
    /// stands in place of a row and is needed.
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
    /// The person was asked about wires that were measured or cut already, or a rail that is not the recorded
    /// one, and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Takes a proposal into the record as it was shown, in one act.
pub fn take_layout(app: &App, request: TakeLayout) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let ask = request.wishes.ask()?;
    let acted = laying::take(&mut app.record(), job, run, &ask, request)?;
    Ok(Recorded::of(&acted))
}

/// Puts the holes of a run's end off the middle of the face that they enter.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct PutAside {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// The post at which it ends.
    pub post: String,
    /// How far off the middle; 0 puts them back to it.
    pub off: Typed,
    /// The side on which the other run's holes enter the post, for someone who looks at this run's:
    /// theirs go to the other side.
    pub other_enters: FaceSide,
    /// The person was asked about holes that are drilled already, and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

/// Records where the holes of a run's end stand across their face, with the end itself.
pub fn put_aside(app: &App, request: PutAside) -> Result<Recorded, ApiError> {
    let job = job_id(&request.job)?;
    let at = (item(&request.run)?, item(&request.post)?);
    let acted = laying::put_aside(&mut app.record(), job, at, &request)?;
    Ok(Recorded::of(&acted))
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
    /// Posts that are on no sheet, since the paper does not hold their holes: why, and what to do.
    pub left_out: Vec<String>,
    /// Its size.
    pub bytes: usize,
}

impl WriteTemplate {
    fn ask(&self) -> Result<TemplateAsk, ApiError> {
        Ok(TemplateAsk {
            post: self.post.as_deref().map(item).transpose()?,
            paper: self.paper,
            inches: matches!(self.unit, Unit::In),
        })
    }
}

impl TemplateWritten {
    fn of(made: DrillingTemplate, file: &Path) -> Self {
        TemplateWritten {
            file: file.display().to_string(),
            pages: made.pages,
            bytes: made.pdf.len(),
            faces: made.faces,
            left_out: made.left_out,
        }
    }
}

/// Writes the full-size drilling template of a run's posts.
pub fn drilling_template(app: &App, request: WriteTemplate) -> Result<TemplateWritten, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let ask = request.ask()?;
    let now = JobAt::now(&mut app.record(), job)?;
    // Setting pages takes its time and holds no lock.
    let made = handover::drilling_template(&now.job(), run, &ask, now.at)?;
    let named = file_named(request.file.as_deref())?;
    let file = named.map_or_else(|| usual_file(app, &format!("{run}-{}", now.at.ms)), Ok)?;
    write_new(&file, &made.pdf).map_err(|e| unwritten(&file, &e))?;
    Ok(TemplateWritten::of(made, &file))
}

/// The file where nobody named one; its folder is made.
fn usual_file(app: &App, name: &str) -> Result<PathBuf, ApiError> {
    let folder = app.data().join("templates");
    fs::create_dir_all(&folder).map_err(|e| unwritten(&folder, &e))?;
    Ok(folder.join(format!("{name}.pdf")))
}
