//! Gap checks: a probe offered to the openings of a bay.

use records::model::context::GapRead;
use records::model::entered;
use records::model::values::ProbeResult;
use records::subject::Subject;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::positive_force;
use crate::acts::checks::gaps;
use crate::handlers::measure::Typed;
use crate::handlers::{Recorded, item, job_id};
use crate::{ApiError, App};

/// One opening where the probe did not stop, or was looked at by itself.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct GapException {
    /// Lower wire of the opening; 0 is floor to wire 1.
    pub above_wire: u32,
    /// What the probe did.
    pub result: ProbeResult,
    /// Remark.
    #[serde(default)]
    #[ts(optional)]
    pub remark: Option<String>,
}

/// Checks the gaps of a bay.
#[derive(Clone, Debug, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub struct CheckGaps {
    /// The job.
    pub job: String,
    /// The run's id.
    pub run: String,
    /// The bay as a subject.
    pub bay: String,
    /// Diameter of the probe.
    pub probe: Typed,
    /// Which of the job's tools the probe is, where it is one.
    #[serde(default)]
    #[ts(optional)]
    pub tool: Option<String>,
    /// Push in newtons where it was measured; empty: by hand.
    #[serde(default)]
    #[ts(optional)]
    pub push: Option<String>,
    /// Openings apart from the rest; the rest stops the probe. Where some are named, an opening that
    /// passed before and is not among them stays as it was: nobody says that it was offered again.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<GapException>>")]
    pub exceptions: Vec<GapException>,
    /// Set when the person was asked about an odd probe and said yes.
    #[serde(default)]
    #[ts(optional, as = "Option<bool>")]
    pub confirmed: bool,
}

impl CheckGaps {
    /// The probe and how it was offered.
    fn offered(&self) -> Result<GapRead, ApiError> {
        let push = self.push.as_deref().map(str::trim);
        let push = push.filter(|push| !push.is_empty());
        let probe = self.probe.entered();
        Ok(GapRead {
            entered: Some(match push {
                Some(push) => format!("{probe}, pushed with {}", entered::said_force(push)),
                None => probe,
            }),
            probe_nm: self.probe.length()?.nm,
            tool: self.tool.as_deref().map(item).transpose()?,
            push_mn: push.map(positive_force).transpose()?.map(|force| force.mn),
            reason: None,
        })
    }
}

/// Records a gap check: all openings of the bay stop the probe, but for the exceptions. A probe
/// larger than the rules' sphere is refused where it stops, for that answers nothing.
pub fn check_gaps(app: &App, request: CheckGaps) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let bay: Subject = request.bay.parse()?;
    let with = request.offered()?;
    let acted = gaps::check(&mut app.record(), job, run, bay, with, &request)?;
    Ok(Recorded::of(&acted))
}
