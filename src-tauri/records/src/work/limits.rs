//! What limits the tension of a run from above: strand with terminals, insert, thread, posts, gauge.
//!
//! Invariant: a limit is there only where somebody stated its figure, and it says who; a limit that
//! nobody stated is not taken as none. Without the strength of the strand with its terminals the other
//! limits are ceilings, and none of them is the upper tension.

mod threads;

use mechanics::tension::{UpperKind, UpperPart, safe_load};
use mechanics::{Figure, Newtons, Origin};
use serde::de::DeserializeOwned;

use super::convert::{end_kinds, ends_of, fitting_of, mn, strand_of};
use super::cuts::ends_differ;
use super::posts::carriers;
use super::tension::gauge;
use super::{WorkError, words};
use crate::job::{Fact, Job, Run};
use crate::library::origins_apart;
use crate::model::context::Said;
use crate::model::values::{EndKind, Force};
use crate::model::{Field, fields};
use crate::subject::{ItemKind, Subject};
pub use threads::ThreadAsked;
pub(super) use threads::{Pulls, threads_asked};

/// What limits a run.
pub(super) struct Limits {
    /// The limits that are known, in no order.
    pub(super) parts: Vec<UpperPart>,
    /// What is told of the strength of the strand with its terminals.
    pub(super) strength: Strength,
    /// What is missing there and what to do, each in a sentence; empty where all is told.
    pub(super) missing: Vec<String>,
    /// Ends that hold the wire by something of which nobody stated what it holds, each in a sentence.
    pub(super) unstated: Vec<String>,
    /// What no end of the run has, so that nothing is missing of it.
    pub(super) without: Vec<UpperKind>,
}

/// What is told of the strength of a strand with its terminals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Strength {
    /// Breaking load, efficiency of the terminals and factor.
    Told,
    /// The breaking load alone: it stands bare, as a ceiling, with nothing in hand.
    Bare,
    /// Not even the breaking load.
    NotTold,
}

/// The limits that are known of a run.
pub(super) fn limits(job: &Job<'_>, run: &Run) -> Result<Limits, WorkError> {
    let mut parts = Vec::new();
    let mut missing = Vec::new();
    let breaking = strand(job, run)?;
    let told = breaking.is_some();
    if !told {
        missing.push(no_breaking_load(job, run));
    }
    parts.extend(breaking);
    // A limit of what stands at no end limits nothing; where people differ on an end, an insert may be there.
    let of_any = |yes: fn(EndKind) -> bool| {
        ends_differ(run) || end_kinds(job, run).is_none_or(|kinds| kinds.into_iter().any(yes))
    };
    let mut without = Vec::new();
    match of_any(|kind| kind == EndKind::Insert) {
        true => parts.extend(insert(job, run)),
        false => without.push(UpperKind::Insert),
    }
    let set = fitting_of(job, run);
    let factor = set.is_some_and(|f| f.efficiency.is_some());
    if !factor && !parts.is_empty() {
        missing.push(format!(
            "The efficiency of the terminals and the factor are not stated ({}): breaking load and \
             insert's pull count as they are, with nothing in hand. State both with the fitting set.",
            set.map_or("no fitting set is chosen", |f| f.name.as_str())
        ));
    }
    match of_any(EndKind::has_thread) {
        true => parts.extend(thread(job, run)),
        false => without.push(UpperKind::Thread),
    }
    parts.extend(post(job, run));
    parts.extend(gauge_end(job));
    Ok(Limits {
        parts,
        strength: match (told, factor) {
            (false, _) => Strength::NotTold,
            (true, false) => Strength::Bare,
            (true, true) => Strength::Told,
        },
        missing,
        unstated: unstated(job, run),
        without,
    })
}

/// Ends that hold by a fixing, pin or body that no other limit covers, and that nobody stated a limit of.
fn unstated(job: &Job<'_>, run: &Run) -> Vec<String> {
    let (Some((first, last)), Some(ends)) = (run.ends(), ends_of(job, run)) else {
        return Vec::new();
    };
    let at = [(first, ends.first.kind), (last, ends.last.kind)];
    let at = at.into_iter().filter_map(|(post, kind)| {
        // An insert has its pull, and a bolt pulls at the post itself.
        if matches!(kind, EndKind::Insert | EndKind::ThroughBolt) {
            return None;
        }
        let stated = stated(job, fields::POST_TENSION_LIMIT, &Subject::post(post.id));
        stated.is_none().then(|| {
            format!(
                "What the {} at {} and its fixing hold is not stated: it sets no upper tension until \
                 its maker's or a designer's figure stands as the limit of that post.",
                words::end_kind(kind),
                post.name
            )
        })
    });
    at.collect()
}

/// What to do where nobody told what breaks the strand.
fn no_breaking_load(job: &Job<'_>, run: &Run) -> String {
    match strand_of(job, run) {
        Some((strand, _)) => format!(
            "No breaking load is told of strand {}: enter the breaking load from the mill sheet, \
             with its figures under strand and fittings. Until then nobody knows how much the wires of \
             run {} may carry; a gauge's range is no strength.",
            strand.name, run.name
        ),
        None => format!(
            "Run {}: no strand is chosen, so no breaking load is told. Choose the strand and enter the \
             breaking load from the mill sheet.",
            run.name
        ),
    }
}

/// Breaking load of the strand with its terminals, over the factor; bare where that is not stated.
fn strand(job: &Job<'_>, run: &Run) -> Result<Option<UpperPart>, WorkError> {
    let efficiency = fitting_of(job, run).and_then(|f| f.efficiency);
    let breaking = strand_of(job, run).and_then(|(_, f)| {
        Some((
            f.breaking_mn?,
            match f.breaking_origin.as_deref().map(str::trim) {
                None | Some("") => NOT_TOLD.to_owned(),
                Some(origin) => origin.to_owned(),
            },
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
    // One efficiency is stated with the set, whatever its two terminals are.
    let differ = ends_of(job, run).is_some_and(|ends| ends.first.kind != ends.last.kind);
    let of_both = match differ {
        true => ", taken as that of the swages of both terminals",
        false => "",
    };
    let from = FactorFrom::of(job, run);
    limit.source = Some(format!(
        "breaking load {} ({origin}) × terminal efficiency {share}{of_both}{} ÷ factor {factor}{}",
        mn(breaking),
        from.efficiency(),
        from.factor_beside()
    ));
    Ok(Some(UpperPart {
        kind: UpperKind::Strand,
        limit,
    }))
}

/// Where terminal efficiency and factor are from, which one fact holds.
enum FactorFrom {
    /// Each its own.
    Apart(String, String),
    /// One origin of both.
    Both(String),
    NotTold,
}

impl FactorFrom {
    fn of(job: &Job<'_>, run: &Run) -> Self {
        let set = run
            .fitting_set
            .map(|id| Subject::Item(ItemKind::FittingSet, id));
        let told = set.and_then(|set| origin(job, fields::FITTING_EFFICIENCY, &set));
        let Some(told) = told else {
            return Self::NotTold;
        };
        match origins_apart(&told) {
            Some((efficiency, factor)) => Self::Apart(efficiency.to_owned(), factor.to_owned()),
            None => Self::Both(told),
        }
    }

    /// Behind the efficiency, which the factor follows.
    fn efficiency(&self) -> String {
        match self {
            Self::Apart(efficiency, _) => format!(" ({efficiency})"),
            Self::Both(_) | Self::NotTold => String::new(),
        }
    }

    /// Behind the factor where the efficiency stands before it.
    fn factor_beside(&self) -> String {
        match self {
            Self::Apart(_, factor) => format!(" ({factor})"),
            Self::Both(both) => format!(" (both figures: {both})"),
            Self::NotTold => " (origin of both figures not told)".to_owned(),
        }
    }

    /// Behind the factor where it stands by itself.
    fn factor_alone(&self) -> &str {
        match self {
            Self::Apart(_, told) | Self::Both(told) => told,
            Self::NotTold => NOT_TOLD,
        }
    }
}

const NOT_TOLD: &str = "origin not told";

/// Where a figure is from, as whoever said it last told it.
fn origin<T: DeserializeOwned>(
    job: &Job<'_>,
    field: Field<T, Said>,
    subject: &Subject,
) -> Option<String> {
    let fact: Fact<T, Said> = job.reader.one(field, &subject.to_string(), "");
    let told = fact.told()?.with.as_ref()?.origin.as_ref()?.trim();
    (!told.is_empty()).then(|| told.to_owned())
}

/// Least pull of the insert over the factor; bare where that is not stated.
fn insert(job: &Job<'_>, run: &Run) -> Option<UpperPart> {
    let fitting = fitting_of(job, run)?;
    let pull = fitting.insert_pull?.as_newtons();
    let set = Subject::Item(ItemKind::FittingSet, fitting.id);
    let from = origin(job, fields::FITTING_INSERT_PULL, &set);
    let from = from.as_deref().unwrap_or(NOT_TOLD);
    let limit = match fitting.efficiency {
        Some(e) => {
            #[allow(clippy::cast_precision_loss)] // a small whole number
            let factor = e.factor_percent as f64 / 100.0;
            Figure::new(
                Newtons(pull / factor),
                Origin::Computed,
                format!(
                    "least pull of the insert {pull} N ({from}) ÷ factor {factor} ({})",
                    FactorFrom::of(job, run).factor_alone()
                ),
            )
        }
        None => Figure::new(
            Newtons(pull),
            Origin::Maker,
            format!("least pull of the insert {pull} N ({from}), bare: its factor is not stated"),
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
