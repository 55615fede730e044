//! Openings as they were built: which of several readings of one opening stand, and whether the
//! probe that stopped there answers.
//!
//! A later reading takes an earlier one's place where both name one opening: the same kind at the
//! same post, moment and remark. Later is what its device said after it, or what another device said
//! that had it before it ([`opening_before`]). Of a run as a whole only a remark tells one from
//! another; without one all stand, and the wider counts.

use mechanics::Millimetres;
use mechanics::rules::{OpeningPlace, RuleSet, opening};

use super::repeats::standing;
use super::rules;
use crate::ids::Hash;
use crate::job::{Fact, Job, PostInRun, Run};
use crate::model::context::OpeningRead;
use crate::model::values::{Length, Opening, OpeningKind, ProbeResult};
use crate::subject::{ItemKind, Subject};
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
    standing_of(job, &run.openings, named)
}

/// The words that stand of an opening before it is read again: the later reading rests on them, and
/// so takes their place on every device. None of a run as a whole without a remark.
#[must_use]
pub fn opening_before(
    job: &Job<'_>,
    subject: &Subject,
    place: &str,
    with: &OpeningRead,
) -> Vec<Hash> {
    let same = |one: &&OpeningTold| {
        one.0 == place
            && one
                .1
                .tips
                .iter()
                .any(|t| t.with.as_ref().is_some_and(|w| alike(w, with)))
    };
    let of_run = matches!(subject, Subject::Item(ItemKind::Run, _));
    if of_run && !named(with) {
        return Vec::new();
    }
    let found = openings_of(job, subject).unwrap_or_default();
    found
        .iter()
        .filter(same)
        .flat_map(|(_, fact)| fact.tip_ids())
        .collect()
}

/// Entries of a post's or run's openings whose place a later reading took.
#[must_use]
pub fn openings_read_again(job: &Job<'_>, subject: &Subject) -> Vec<Hash> {
    let Some(all) = openings_of(job, subject) else {
        return Vec::new();
    };
    let stand = match subject {
        Subject::Item(ItemKind::Run, _) => standing_of(job, all, named),
        _ => standing_of(job, all, |_| true),
    };
    let gone = |one: &&OpeningTold| !stand.iter().any(|left| std::ptr::eq(*left, *one));
    all.iter()
        .filter(gone)
        .flat_map(|(_, fact)| fact.tip_ids())
        .collect()
}

/// All readings of openings at a post or of a run; none where neither is in the layout.
fn openings_of<'j>(job: &'j Job<'_>, subject: &Subject) -> Option<&'j [OpeningTold]> {
    match subject {
        Subject::Item(ItemKind::Run, id) => Some(&job.run(*id)?.openings),
        Subject::Item(ItemKind::Post, id) => {
            let mut posts = job.runs.iter().flat_map(|run| &run.posts);
            Some(&posts.find(|post| post.id == *id)?.openings)
        }
        _ => None,
    }
}

fn named(with: &OpeningRead) -> bool {
    with.remark.as_deref().is_some_and(|r| !r.trim().is_empty())
}

/// Whether two readings at one place are of one opening.
fn alike(a: &OpeningRead, b: &OpeningRead) -> bool {
    (a.kind, a.moment, &a.remark) == (b.kind, b.moment, &b.remark)
}

fn standing_of<'f>(
    job: &Job<'_>,
    openings: &'f [OpeningTold],
    can_follow: impl Fn(&OpeningRead) -> bool,
) -> Vec<&'f OpeningTold> {
    let with = |one: &'f OpeningTold| one.1.tips.iter().find_map(|told| told.with.as_ref());
    let same = |a: &'f OpeningTold, b: &'f OpeningTold| match (with(a), with(b)) {
        (Some(of_a), Some(of_b)) => a.0 == b.0 && alike(of_a, of_b) && can_follow(of_a),
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
