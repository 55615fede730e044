//! What limits the tension of a run from above: strand with terminals, insert, thread, posts, gauge.
//!
//! Invariant: a limit is there only where somebody stated its figure, and it says who; a limit that
//! nobody stated is not taken as none.

use mechanics::tension::{UpperKind, UpperPart, safe_load};
use mechanics::{Figure, Newtons, Origin};

use super::WorkError;
use super::convert::{fitting_of, mn, strand_of};
use super::tension::gauge;
use crate::job::{Fact, Job, Run};
use crate::model::context::Said;
use crate::model::values::Force;
use crate::model::{Field, fields};
use crate::subject::{ItemKind, Subject};

/// The limits that are known, in no order.
pub(super) fn parts(job: &Job<'_>, run: &Run) -> Result<Vec<UpperPart>, WorkError> {
    let mut found = Vec::new();
    found.extend(strand(job, run)?);
    found.extend(insert(job, run));
    found.extend(thread(job, run));
    found.extend(post(job, run));
    found.extend(gauge_end(job));
    Ok(found)
}

/// Breaking load of the strand with its terminals, over the factor.
fn strand(job: &Job<'_>, run: &Run) -> Result<Option<UpperPart>, WorkError> {
    let efficiency = fitting_of(job, run).and_then(|f| f.efficiency);
    let breaking = strand_of(job, run).and_then(|(_, f)| {
        Some((
            f.breaking_mn?,
            f.breaking_origin.clone().unwrap_or_default(),
        ))
    });
    let (Some((breaking, origin)), Some(e)) = (breaking, efficiency) else {
        return Ok(None);
    };
    #[allow(clippy::cast_precision_loss)] // small whole numbers
    let (share, factor) = (e.permille as f64 / 1000.0, e.factor_percent as f64 / 100.0);
    let mut limit = safe_load(
        &Figure::new(mn(breaking), Origin::Maker, origin.clone()),
        &Figure::of(share, Origin::Assumed),
        &Figure::of(factor, Origin::Assumed),
    )?;
    limit.source = Some(format!(
        "breaking load {} ({origin}) × terminal efficiency {share} ÷ factor {factor}",
        mn(breaking)
    ));
    Ok(Some(UpperPart {
        kind: UpperKind::Strand,
        limit,
    }))
}

/// Least pull of the insert over the factor.
fn insert(job: &Job<'_>, run: &Run) -> Option<UpperPart> {
    let fitting = fitting_of(job, run)?;
    let (pull, e) = (fitting.insert_pull?, fitting.efficiency?);
    #[allow(clippy::cast_precision_loss)] // a small whole number
    let factor = e.factor_percent as f64 / 100.0;
    Some(UpperPart {
        kind: UpperKind::Insert,
        limit: Figure::new(
            Newtons(pull.as_newtons() / factor),
            Origin::Computed,
            format!(
                "least pull of the insert {} N ÷ factor {factor}",
                pull.as_newtons()
            ),
        ),
    })
}

/// What the thread may carry, as its maker states it.
fn thread(job: &Job<'_>, run: &Run) -> Option<UpperPart> {
    let subject = Subject::Item(ItemKind::FittingSet, run.fitting_set?);
    let (limit, origin) = stated(job, fields::FITTING_THREAD_LIMIT, &subject)?;
    let set = fitting_of(job, run).map_or("fitting set", |f| f.name.as_str());
    Some(UpperPart {
        kind: UpperKind::Thread,
        limit: Figure::new(limit, Origin::Maker, format!("thread of {set}, {origin}")),
    })
}

/// The end post that is allowed least.
fn post(job: &Job<'_>, run: &Run) -> Option<UpperPart> {
    let (first, last) = run.ends()?;
    [first, last]
        .into_iter()
        .filter_map(|post| {
            let subject = Subject::post(post.id);
            let (limit, origin) = stated(job, fields::POST_TENSION_LIMIT, &subject)?;
            Some((limit, format!("post {}, {origin}", post.name)))
        })
        .min_by(|(a, _), (b, _)| a.value().total_cmp(&b.value()))
        .map(|(limit, source)| UpperPart {
            kind: UpperKind::Post,
            limit: Figure::new(limit, Origin::Designer, source),
        })
}

/// The end of the gauge's range: what it can't show can't be held.
fn gauge_end(job: &Job<'_>) -> Option<UpperPart> {
    let name = gauge(job)?.name;
    let limit = gauge_range(job).1?;
    Some(UpperPart {
        kind: UpperKind::GaugeRange,
        limit: Figure::new(
            limit,
            Origin::Maker,
            format!("{name} reads no further, as recorded"),
        ),
    })
}

/// Range of the gauge that readings are taken with, where it is stated.
pub(super) fn gauge_range(job: &Job<'_>) -> (Option<Newtons>, Option<Newtons>) {
    let Some(gauge) = gauge(job) else {
        return (None, None);
    };
    let subject = Subject::Item(ItemKind::Tool, gauge.tool);
    let end = |field| stated(job, field, &subject).map(|(limit, _)| limit);
    (end(fields::TOOL_RANGE_FROM), end(fields::TOOL_RANGE_TO))
}

/// A force that people agree on, and who stated it.
fn stated(
    job: &Job<'_>,
    field: Field<Force, Said>,
    subject: &Subject,
) -> Option<(Newtons, String)> {
    let fact: Fact<Force, Said> = job.reader.one(field, &subject.to_string(), "");
    let told = fact.told()?;
    let limit = mn(told.value?.mn);
    if limit.value() <= 0.0 {
        return None;
    }
    let origin = told.with.as_ref().and_then(|with| with.origin.clone());
    let who = job.reader.person(&told.person);
    Some((
        limit,
        origin.unwrap_or_else(|| format!("as recorded by {who}")),
    ))
}
