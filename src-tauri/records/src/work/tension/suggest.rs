//! The set tension that is suggested: required, what is lost later and what the gauge may err, or why
//! none is; and the usual passes on the way to one.
//!
//! Invariant: what is suggested lies in its room, and is asked nothing about when it is decided.

use mechanics::tension::{Room, least_set, shown_most, suggested_set};
use mechanics::tensioning::default_steps;
use mechanics::{MechanicsError, Newtons};

use super::gauge;
use crate::job::Job;
use crate::model::values::Force;
use crate::work::WorkError;
use crate::work::convert::mn;
use crate::work::recheck::Losing;

/// What a set tension is suggested from.
pub(super) struct Grounds<'a> {
    /// What every wire has to show.
    pub(super) asked: Option<Newtons>,
    /// What nothing may exceed.
    pub(super) limit: Option<Newtons>,
    pub(super) room: Option<Room>,
    pub(super) error: f64,
    /// Where the gauge begins to read.
    pub(super) range_from: Option<Newtons>,
    pub(super) losing: &'a Result<Losing, String>,
    /// Why nothing may be suggested, whatever the figures are.
    pub(super) none_while: Option<String>,
}

/// What is suggested.
#[derive(Default)]
pub(super) struct Suggestion {
    /// Least set tension.
    pub(super) least: Option<Newtons>,
    /// The same where it may be suggested.
    pub(super) set: Option<Newtons>,
    pub(super) words: String,
}

pub(super) fn suggest(from: Grounds<'_>) -> Result<Suggestion, WorkError> {
    let Some(asked) = from.asked else {
        return Ok(Suggestion {
            words: from.none_while.unwrap_or_default(),
            ..Suggestion::default()
        });
    };
    let error = from.error;
    let with = match from.losing {
        Ok(losing) => losing.least_set(asked, error)?,
        Err(_) => None,
    };
    let least = match from.losing {
        Ok(_) => with.map(|with| with.set),
        Err(_) => Some(least_set(asked, Newtons(0.0), error)?),
    };
    let mut found = Suggestion {
        least,
        ..Suggestion::default()
    };
    if let Some(room) = from.room {
        // What is more than the gauge may show is no tension to set.
        found.least = least.filter(|least| room.enough && *least <= room.clear_to);
    }
    let (Some(limit), Some(room), None) = (from.limit, from.room, &from.none_while) else {
        found.words = from.none_while.unwrap_or_default();
        return Ok(found);
    };
    if !room.enough {
        found.words = format!(
            "none: clear of {asked} from {} and to show at most {} leave no room",
            room.clear_from, room.clear_to
        );
        return Ok(found);
    }
    let (losing, with) = match (from.losing, with) {
        (Err(missing), _) => {
            let missing = missing.trim_end_matches('.');
            found.words = format!("none while what is lost later can't be told: {missing}");
            return Ok(found);
        }
        (Ok(_), None) => {
            found.words = "none: more is lost later with every newton that is set".to_owned();
            return Ok(found);
        }
        (Ok(losing), Some(with)) => (losing, with),
    };
    let most = |loss| shown_most(loss, error);
    let Some(set) = suggested_set(asked, with.loss, limit, error)? else {
        found.words = format!(
            "none: no room. Set to the {} that the gauge may show at most, with up to {} lost by the \
             first recheck, it is not clear of {asked}. A closer support, or parts with a higher limit, \
             would make room; else set what the limit lets you and come back in time",
            room.clear_to,
            most(losing.at(room.clear_to)?.first)?
        );
        return Ok(found);
    };
    if let Some(begins) = from.range_from.filter(|begins| with.set < *begins) {
        found.words = format!(
            "none: {} would be enough, and the gauge reads from {begins} only",
            with.set
        );
        return Ok(found);
    }
    found.set = Some(set);
    let lost = losing.at(set)?;
    found.words = format!(
        "the least that leaves {asked} clear on this gauge after up to {} lost by the first recheck; \
         over the years up to {} may be lost in all, which the yearly recheck has to find",
        most(lost.first)?,
        most(lost.in_all)?
    );
    Ok(found)
}

/// The usual passes to a set tension, in newtons, on a gauge of this error.
pub(super) fn steps(set: Newtons, error: f64) -> Result<Vec<f64>, MechanicsError> {
    let steps = default_steps(set, error)?;
    Ok(steps.iter().map(|step| step.tension.value()).collect())
}

/// The usual passes to a set tension, millinewtons, as the job's gauge can show them; the last is the
/// set tension itself.
///
/// # Errors
/// When the set tension is not above zero.
pub fn usual_passes(job: &Job<'_>, set_mn: i64) -> Result<Vec<i64>, WorkError> {
    let error = gauge(job).and_then(|gauge| gauge.error).unwrap_or(0.0);
    let mut passes: Vec<i64> = steps(mn(set_mn), error)?
        .into_iter()
        .map(|newtons| Force::from_newtons(newtons).mn)
        .collect();
    passes.pop();
    passes.push(set_mn);
    Ok(passes)
}
