//! Gap checks: a probe offered to the openings of a bay.
//!
//! One entry tells of the whole bay, further ones of the openings that were apart from the rest.

use records::model::context::GapRead;
use records::model::fields;
use records::model::values::{GapCheck, ProbeResult};
use records::subject::Subject;
use records::work;
use schemars::JsonSchema;
use serde::Deserialize;
use ts_rs::TS;

use super::positive_force;
use crate::claim::{Act, Earlier, tips};
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
}

/// Records a gap check: all openings of the bay stop the probe, but for the exceptions. A probe
/// larger than the rules' sphere is refused where it stops, for that answers nothing.
pub fn check_gaps(app: &App, request: CheckGaps) -> Result<Recorded, ApiError> {
    let (job, run) = (job_id(&request.job)?, item(&request.run)?);
    let bay: Subject = request.bay.parse()?;
    let probe_nm = request.probe.length()?.nm;
    let tool = request.tool.as_deref().map(item).transpose()?;
    let push_mn = request
        .push
        .as_deref()
        .map(str::trim)
        .filter(|p| !p.is_empty())
        .map(positive_force)
        .transpose()?
        .map(|f| f.mn);
    let fails = request
        .exceptions
        .iter()
        .any(|e| e.result == ProbeResult::Passes);
    let mut record = app.record();
    let before = {
        let job = record.job(job)?;
        let run = job
            .run(run)
            .filter(|r| r.bays.iter().any(|b| b.subject == bay))
            .ok_or_else(|| ApiError::invalid("The run has no such bay."))?;
        let wires = run.wires.len();
        let above = request.exceptions.iter().map(|e| e.above_wire);
        if let Some(above) = above.max().filter(|above| *above as usize > wires) {
            return Err(ApiError::invalid(format!(
                "Run {} has {wires} wires; no opening is above wire {above}. Nothing was saved.",
                run.name
            )));
        }
        let mut before = work::before_offer(&job, run, &bay, probe_nm)?;
        if let Some(why) = before.too_large.filter(|_| !fails) {
            return Err(ApiError::invalid(format!(
                "{why} Nothing was saved; offer one of that size."
            )));
        }
        let named = |wire: &u32| request.exceptions.iter().any(|e| e.above_wire == *wire);
        before.passing.retain(|wire| !named(wire));
        (before.passing, before.follows)
    };
    let (passed_before, follows) = before;
    let context = |remark: Option<String>| GapRead {
        probe_nm,
        tool,
        push_mn,
        reason: remark,
    };
    let all_named = request.exceptions.is_empty();
    let still_passes = !all_named && !passed_before.is_empty();
    let whole = GapCheck {
        result: if fails || still_passes {
            ProbeResult::Passes
        } else {
            ProbeResult::Stops
        },
    };
    let mut act = Act::default();
    let place = run.to_string();
    let mut known = tips(&mut record, job, &bay, fields::BAY_GAPS.name, &place)?;
    known.extend(follows);
    act.claim(
        fields::BAY_GAPS,
        bay,
        &place,
        Some(&whole),
        &context(None),
        Earlier::after(known),
    )?;
    // "All stop" without exceptions is said of those too that passed before, each by name: clocks
    // order no checks.
    let exceptions = request
        .exceptions
        .iter()
        .map(|e| (e.above_wire, e.result, e.remark.clone()));
    let cleared = passed_before
        .into_iter()
        .filter(|_| all_named)
        .map(|wire| (wire, ProbeResult::Stops, None));
    for (wire, result, remark) in exceptions.chain(cleared) {
        let place = format!("{run}/{wire}");
        let known = tips(&mut record, job, &bay, fields::BAY_GAPS.name, &place)?;
        act.claim(
            fields::BAY_GAPS,
            bay,
            &place,
            Some(&GapCheck { result }),
            &context(remark),
            Earlier::after(known),
        )?;
    }
    Ok(Recorded::of(&act.record(&mut record, job)?))
}
