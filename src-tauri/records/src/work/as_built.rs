//! Openings as they were built: which of several readings of one opening stand, and whether the
//! probe that stopped there answers.
//!
//! A later reading by the same device takes an earlier one's place where both name one opening: the
//! same kind at the same post, moment and remark. Of a run as a whole only a remark tells one from
//! another; without one all stand, and the wider counts.

use mechanics::Millimetres;
use mechanics::rules::{OpeningPlace, RuleSet, opening};

use super::repeats::standing;
use super::rules;
use crate::job::{Fact, Job, PostInRun, Run};
use crate::model::context::OpeningRead;
use crate::model::values::{Length, Opening, OpeningKind, ProbeResult};
use crate::work::convert::mm;

/// An opening as built with its place.
pub type OpeningTold = (String, Fact<Opening, OpeningRead>);

/// The openings of a post that no later reading took the place of.
#[must_use]
pub fn openings_of_post<'f>(job: &Job<'_>, post: &'f PostInRun) -> Vec<&'f OpeningTold> {
    standing_of(job, &post.openings, |_| true)
}

/// The openings of a run as a whole that no later reading took the place of.
#[must_use]
pub fn openings_of_run<'f>(job: &Job<'_>, run: &'f Run) -> Vec<&'f OpeningTold> {
    let named = |with: &OpeningRead| with.remark.as_deref().is_some_and(|r| !r.trim().is_empty());
    standing_of(job, &run.openings, named)
}

fn standing_of<'f>(
    job: &Job<'_>,
    openings: &'f [OpeningTold],
    can_follow: impl Fn(&OpeningRead) -> bool,
) -> Vec<&'f OpeningTold> {
    let with = |one: &'f OpeningTold| one.1.tips.iter().find_map(|told| told.with.as_ref());
    let same = |a: &'f OpeningTold, b: &'f OpeningTold| match (with(a), with(b)) {
        (Some(of_a), Some(of_b)) => {
            a.0 == b.0
                && (of_a.kind, of_a.moment, &of_a.remark) == (of_b.kind, of_b.moment, &of_b.remark)
                && can_follow(of_a)
        }
        _ => false,
    };
    let stands = |one: &&'f OpeningTold| {
        let alike = openings.iter().filter(|other| same(one, other));
        let alike: Vec<&Fact<Opening, OpeningRead>> = alike.map(|(_, fact)| fact).collect();
        let left = standing(job, &alike, |_| ());
        alike.is_empty() || left.iter().any(|fact| std::ptr::eq(*fact, &one.1))
    };
    openings.iter().filter(stands).collect()
}

/// The sphere of the rules that is larger than needed to answer: the probe of a reading that stopped
/// is larger than this. None where it answers, or where the rules ask for no sphere there.
pub(super) fn too_large(
    set: Option<&RuleSet>,
    run: &Run,
    fact: &Fact<Opening, OpeningRead>,
) -> Option<Millimetres> {
    let told = fact.told()?;
    let with = told.with.as_ref()?;
    told.value
        .as_ref()
        .filter(|opening| opening.result == Some(ProbeResult::Stops))?;
    let probe = mm(Length { nm: with.probe_nm? });
    let set = set?;
    let sphere = match with.kind {
        OpeningKind::StairTriangle => {
            opening(set, OpeningPlace::StairTriangle).map(|r| r.sphere_mm)
        }
        _ => rules::sphere(set, run).map(|rule| rule.sphere_mm),
    }?;
    (probe.whole_nanometres() > sphere.whole_nanometres()).then_some(sphere)
}
