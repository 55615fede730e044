//! What limits the tension of a run from above: strand with terminals, insert, thread, posts, gauge.
//!
//! Invariant: a limit is there only where somebody stated its figure, and it says who; a limit that
//! nobody stated is not taken as none.

use mechanics::tension::{UpperKind, UpperPart, safe_load};
use mechanics::{Figure, Newtons, Origin};

use super::WorkError;
use super::convert::{fitting_of, mn, strand_of};
use super::posts::carriers;
use super::tension::gauge;
use crate::job::{Fact, Job, Run};
use crate::model::context::Said;
use crate::model::values::Force;
use crate::model::{Field, fields};
use crate::subject::{ItemKind, Subject};

/// What limits a run.
pub(super) struct Limits {
    /// The limits that are known, in no order.
    pub(super) parts: Vec<UpperPart>,
    /// Those of them whose efficiency and factor nobody stated: they stand bare, as ceilings.
    pub(super) bare: Vec<UpperKind>,
    /// What to say of these, in one sentence; none where there are none.
    pub(super) missing: Option<String>,
}

/// The limits that are known of a run.
pub(super) fn limits(job: &Job<'_>, run: &Run) -> Result<Limits, WorkError> {
    let mut parts = Vec::new();
    parts.extend(strand(job, run)?);
    parts.extend(insert(job, run));
    let set = fitting_of(job, run);
    let bare: Vec<UpperKind> = match set.and_then(|f| f.efficiency) {
        Some(_) => Vec::new(),
        None => parts.iter().map(|p: &UpperPart| p.kind).collect(),
    };
    let missing = (!bare.is_empty()).then(|| {
        format!(
            "The efficiency of the terminals and the factor are not stated ({}): breaking load and \
             insert's pull count as they are, with nothing in hand. State both with the fitting set.",
            set.map_or("no fitting set is chosen", |f| f.name.as_str())
        )
    });
    parts.extend(thread(job, run));
    parts.extend(post(job, run));
    parts.extend(gauge_end(job));
    Ok(Limits {
        parts,
        bare,
        missing,
    })
}

/// Breaking load of the strand with its terminals, over the factor; bare where that is not stated.
fn strand(job: &Job<'_>, run: &Run) -> Result<Option<UpperPart>, WorkError> {
    let efficiency = fitting_of(job, run).and_then(|f| f.efficiency);
    let breaking = strand_of(job, run).and_then(|(_, f)| {
        Some((
            f.breaking_mn?,
            f.breaking_origin.clone().unwrap_or_default(),
        ))
    });
    let Some((breaking, origin)) = breaking else {
        return Ok(None);
    };
    let Some(e) = efficiency else {
        let source = format!(
            "breaking load {} ({origin}), bare: efficiency of the terminals and factor are not stated",
            mn(breaking)
        );
        return Ok(Some(UpperPart {
            kind: UpperKind::Strand,
            limit: Figure::new(mn(breaking), Origin::Maker, source),
        }));
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

/// Least pull of the insert over the factor; bare where that is not stated.
fn insert(job: &Job<'_>, run: &Run) -> Option<UpperPart> {
    let fitting = fitting_of(job, run)?;
    let pull = fitting.insert_pull?.as_newtons();
    let limit = match fitting.efficiency {
        Some(e) => {
            #[allow(clippy::cast_precision_loss)] // a small whole number
            let factor = e.factor_percent as f64 / 100.0;
            Figure::new(
                Newtons(pull / factor),
                Origin::Computed,
                format!("least pull of the insert {pull} N ÷ factor {factor}"),
            )
        }
        None => Figure::new(
            Newtons(pull),
            Origin::Maker,
            format!("least pull of the insert {pull} N, bare: its factor is not stated"),
        ),
    };
    Some(UpperPart {
        kind: UpperKind::Insert,
        limit,
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

/// The post that is allowed least, of those that carry the wires' pull.
fn post(job: &Job<'_>, run: &Run) -> Option<UpperPart> {
    carriers(run)
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
