//! Required, set and upper tension of a run: where each is from and what room is left between.
//!
//! Invariant: no upper tension is told without the strength of the strand with its terminals, and no
//! set tension is suggested beyond what is known, or outside the room that it has. One file past 400 lines,
//! since all three are told from one set of figures.

mod answer;
mod decided;
mod suggest;

use mechanics::Newtons;
use mechanics::strand::{EXPANSION_PER_KELVIN, tension_per_kelvin};
use mechanics::tension::{
    Gauge, TensionIssue, Upper, UpperKind, clear_to, held_upper, issues, room, shown_upper,
    upper_tension,
};

use super::basis::{Decision, Unsettled, unsettled};
use super::convert::{mn, run_of, strand_of};
pub use super::limits::ThreadAsked;
use super::limits::{Pulls, Strength, gauge_range, limits, threads_asked};
use super::ordering::{self, Asked};
use super::posts::wall_notes;
use super::readings::{TensionLine, tensions};
use super::recheck::{Losing, ONE_SUMMER, SetWith, corner_note};
use super::rules::decided_by_another;
use super::tensioning::{Laid, laid, passes_short};
use super::{WorkError, words};
use crate::ids::ItemId;
use crate::job::things::Tool;
use crate::job::{Job, Run};
use crate::model::values::ToolKind;
pub use answer::{GaugeNote, TensionPlan, TensionRoom, UpperPart};
pub use decided::{NO_BREAKING_LOAD, NO_FACTOR, is_above, typed, typed_below, upper_of};
use decided::{lesser, stated_in};
pub(super) use decided::{most_shown, required_of};
pub use suggest::usual_passes;
use suggest::{Suggestion, suggest};

/// Works out the three tensions of a run.
///
/// # Errors
/// When the run is unknown, the rule set can't be read, or a figure can't be.
pub fn tension_plan(job: &Job<'_>, run: ItemId) -> Result<TensionPlan, WorkError> {
    let run = run_of(job, run)?;
    plan(job, run, ordering::asked(job, run)?)
}

pub(super) fn plan(
    job: &Job<'_>,
    run: &Run,
    asked_of_bays: Asked,
) -> Result<TensionPlan, WorkError> {
    let Asked { required, open, .. } = asked_of_bays;
    let limits = limits(job, run)?;
    let (range_from, range_to) = gauge_range(job);
    let upper = upper_tension(&limits.parts)?;
    let gauge = gauge(job);
    let error = gauge.as_ref().and_then(|g| g.error).unwrap_or(0.0);
    let decided = run.tensions.value();
    let exact = upper.as_ref().map(|u| u.limit);
    let asked = required_of(run, required.as_ref());
    let limit = lesser(run, exact);
    let ceiling = exact.map(held_upper);
    let above_known = decided
        .zip(ceiling)
        .is_some_and(|(t, most)| held_upper(mn(t.upper_mn)) > most);
    let not_told = limits.strength == Strength::NotTold;
    let upper_bare = limits.strength == Strength::Bare;
    let room = match (asked, limit) {
        // A gauge's range is no strength: what is left below it is no room.
        _ if not_told && decided.is_none() => None,
        (Some(asked), Some(limit)) => Some(room(asked, limit, error)?),
        _ => None,
    };
    let unsettled: Vec<String> = unsettled(job, Decision::Tensions(run))
        .iter()
        .map(Unsettled::sentence)
        .collect();
    let laid = laid(job, run)?.ok();
    let losing = losing(job, run, laid.as_ref())?;
    let later = match (&laid, &losing) {
        (Some(laid), Ok(losing)) => Some(losing.at(laid.set)?),
        _ => None,
    };
    // A bare figure is no limit to work below, unless somebody decided one under it.
    let bare = upper_bare && limit == ceiling;
    let none_while = if !open.is_empty() {
        Some("none while the table has no figure for a bay")
    } else if !unsettled.is_empty() {
        Some("none while people differ")
    } else if not_told {
        Some("none while no breaking load of the strand is told")
    } else if above_known {
        Some("none while the upper tension decided is above the least limit that is known")
    } else if bare {
        Some("none while breaking load and terminals have no factor")
    } else if gauge.as_ref().is_none_or(|g| g.error.is_none()) {
        Some("none while no gauge with a stated error is on record")
    } else {
        None
    };
    let Suggestion {
        least,
        set: suggested,
        words: suggestion,
    } = suggest(suggest::Grounds {
        asked,
        limit,
        room,
        error,
        range_from,
        losing: &losing,
        none_while: none_while.map(str::to_owned),
    })?;
    let highest = limit.map(|limit| clear_to(limit, error)).transpose()?;
    let hot_day = match (asked, &losing) {
        (Some(asked), Ok(losing)) => losing.least_on_a_hot_day(asked, error)?,
        _ => None,
    };
    let usual = suggested.or(decided.map(|t| mn(t.set_mn)));
    let mut sentences = super::cannot_be::of_run(job, run);
    sentences.extend(unsettled.iter().cloned());
    sentences.extend(decided_by_another(job, run));
    sentences.extend(limits.missing.iter().chain(&limits.unstated).cloned());
    let before_figures = sentences.len();
    for bay in &open {
        // Two bays may have one name.
        if !sentences.contains(&bay.sentence) {
            sentences.push(bay.sentence.clone());
        }
    }
    let mut above_upper = None;
    if let (Some(t), Some(asked)) = (decided, asked) {
        let found = issues(
            asked,
            mn(t.set_mn),
            limit.unwrap_or_else(|| mn(t.upper_mn)),
            &Gauge {
                error,
                range_from,
                range_to,
            },
        )?;
        above_upper = found.iter().find_map(|i| match i {
            TensionIssue::SetAboveUpper { sentence, .. } => Some(sentence.clone()),
            _ => None,
        });
        sentences.extend(found.iter().map(issue_words));
        if mn(t.required_mn) < asked {
            sentences.push(format!(
                "The run's required tension {} is below the {asked} that the layout asks now: \
                 decide again.",
                mn(t.required_mn)
            ));
        }
        if let Some(most) = ceiling.filter(|_| above_known) {
            sentences.push(format!(
                "The run's upper tension {} is above {most}, the least limit that is known.",
                mn(t.upper_mn)
            ));
        }
    } else if let Some(room) = room.filter(|r| !r.enough) {
        sentences.push(format!(
            "{} is clear only from {} on this gauge and the upper limit lets it show at most {}: \
             no room. A closer support, or parts with a higher limit, would make room.",
            asked.unwrap_or_default(),
            room.clear_from,
            room.clear_to
        ));
    }
    let by_figures: Vec<String> = sentences.iter().skip(before_figures).cloned().collect();
    if let Some(laid) = &laid {
        sentences.extend(not_arriving(job, laid)?);
    }
    if losing.is_ok() {
        sentences.extend(wall_notes(job, run));
        sentences.extend(corner_note(job, run));
    }
    if gauge.as_ref().is_none_or(|g| g.error.is_none()) {
        sentences.push(
            "No gauge with a stated error is on record: its error is not counted here.".to_owned(),
        );
    }
    let told = exact.filter(|_| !not_told);
    let pulls = Pulls {
        set: decided.map(|t| mn(t.set_mn)),
        suggested,
        least,
        required: asked,
    };
    let threads_asked = threads_asked(job, run, &limits.parts, pulls)?;
    Ok(TensionPlan {
        threads_asked,
        upper_n: told
            .map(|u| shown_upper(u, error))
            .transpose()?
            .map(Newtons::value),
        upper_exact_n: told.map(Newtons::value),
        upper_origin: upper_origin(upper.as_ref(), limits.strength),
        upper_missing: (!limits.missing.is_empty()).then(|| limits.missing.join(" ")),
        ceiling_n: ceiling.map(Newtons::value),
        not_known: upper
            .as_ref()
            .map_or(&KINDS[..], |u| &u.not_known)
            .iter()
            // The strand's limit is taken with its terminals' efficiency.
            .filter(|k| **k != UpperKind::Terminal && !limits.without.contains(k))
            .map(|k| kind_words(*k).into())
            .collect(),
        parts: upper
            .map(|u| u.parts)
            .unwrap_or_default()
            .into_iter()
            .map(|p| UpperPart {
                name: kind_words(p.kind).into(),
                limit_n: p.limit.value.value(),
                // What a gauge reads up to is what somebody recorded of it.
                origin: match p.kind {
                    UpperKind::GaugeRange => super::figures::Origin::Recorded,
                    _ => p.limit.origin.into(),
                },
                source: p.limit.source.unwrap_or_default(),
            })
            .collect(),
        later_loss_n: later.map(|later| later.first.value()),
        later_loss_in_all_n: later.map(|later| later.in_all.value()),
        least_set_n: least.map(Newtons::value),
        suggestion,
        suggested_n: suggested.map(Newtons::value),
        usual_passes_n: match usual {
            Some(set) => suggest::steps(set, error)?,
            None => Vec::new(),
        },
        losing: losing.ok(),
        room: room.map(|r| TensionRoom {
            clear_from_n: r.clear_from.value(),
            clear_to_n: r.clear_to.value(),
            width_n: r.width.value(),
            enough: r.enough,
        }),
        gauge,
        upper_bare,
        must_show_n: asked.map(Newtons::value),
        decided_required_n: decided.map(|t| mn(t.required_mn).value()),
        decided_required_from: decided
            .and_then(|t| stated_in(&t.required_origin))
            .map(str::to_owned),
        decided_set_n: decided.map(|t| mn(t.set_mn).value()),
        decided_upper_n: decided.map(|t| mn(t.upper_mn).value()),
        decided_upper_from: decided
            .and_then(|t| stated_in(&t.upper_origin))
            .map(str::to_owned),
        decided_passes_n: decided.map_or_else(Vec::new, |t| {
            t.passes_mn.iter().map(|p| mn(*p).value()).collect()
        }),
        temperature: temperature(job, run, hot_day, highest)?,
        issues: sentences,
        set_above_upper: above_upper.is_some(),
        above_upper,
        by_figures,
        required,
        open_bays: open,
        unsettled,
    })
}

/// What warmth takes: not counted, since it comes back, and said, with the set tension that would be enough
/// on a hot day; never one above the most that may be shown (`highest`).
fn temperature(
    job: &Job<'_>,
    run: &Run,
    hot_day: Option<SetWith>,
    highest: Option<Newtons>,
) -> Result<Option<String>, WorkError> {
    let Some((_, figures)) = strand_of(job, run) else {
        return Ok(None);
    };
    let a_kelvin = tension_per_kelvin(mn(figures.ea_mn), EXPANSION_PER_KELVIN, 0.0)?;
    let summer = ONE_SUMMER.value();
    let counted = hot_day.map(|with| {
        let lost = format!(
            " Counted with it, by the first recheck up to {:.0}\u{a0}N are lost on a day {summer}\u{a0}K \
             warmer (assumed)",
            with.loss.value().ceil()
        );
        match highest {
            Some(highest) if with.set <= highest => format!(
                "{lost}, and {:.0}\u{a0}N would have to be set for that: where hot days come, set that, \
                 or read again on one.",
                with.set.value().ceil()
            ),
            Some(highest) => format!(
                "{lost}, and no set tension up to the {:.0}\u{a0}N that may be shown makes room for that: \
                 where hot days come, read again on one.",
                highest.value().floor()
            ),
            None => format!("{lost}: where hot days come, read again on one."),
        }
    });
    let counted = counted.unwrap_or_else(|| " Where hot days come, read again on one.".to_owned());
    Ok(Some(format!(
        "The temperature is not counted in these figures, since what it takes comes back. Between \
         posts that do not give, each kelvin warmer than at tensioning takes up to {:.1}\u{a0}N, \
         {summer}\u{a0}K take {:.0}\u{a0}N; colder adds as much.{counted}",
        a_kelvin.value(),
        (a_kelvin * summer).value()
    )))
}

/// How the run loses tension later, or what is missing before it can be told.
fn losing(
    job: &Job<'_>,
    run: &Run,
    laid: Option<&Laid<'_>>,
) -> Result<Result<Losing, String>, WorkError> {
    match laid {
        Some(laid) => Ok(Ok(Losing::of(job, laid))),
        None => match Losing::before(job, run) {
            Err(WorkError::Mechanics(why)) => Ok(Err(why.to_string())),
            told => told,
        },
    }
}

/// That the passes decided do not bring every wire to its tension; none once the readings did.
fn not_arriving(job: &Job<'_>, laid: &Laid<'_>) -> Result<Option<String>, WorkError> {
    let Some(sentence) = passes_short(laid)? else {
        return Ok(None);
    };
    let lines = tensions(job, laid.run.id)?.lines;
    let done = !lines.is_empty() && lines.iter().all(TensionLine::is_read);
    Ok(Some(sentence).filter(|_| !done))
}

fn upper_origin(upper: Option<&Upper>, strength: Strength) -> String {
    if strength == Strength::NotTold {
        return "not told: no breaking load of the strand is on record".to_owned();
    }
    let Some(upper) = upper else {
        return "no limit is known".to_owned();
    };
    let how = upper.parts.first().and_then(|p| p.limit.source.clone());
    let how = how.unwrap_or_default();
    let bare = strength == Strength::Bare
        && !matches!(upper.governed_by, UpperKind::Strand | UpperKind::Insert);
    let beside = if bare {
        "; what strand and terminals carry is not known"
    } else {
        ""
    };
    format!("{}: {how}{beside}", kind_words(upper.governed_by))
}

/// The job's tension gauge; the least exact where there are several, one of unknown error last.
pub(super) fn gauge(job: &Job<'_>) -> Option<GaugeNote> {
    job.tools
        .iter()
        .filter(|t| t.kind == Some(ToolKind::TensionGauge))
        .max_by_key(|t| t.error_per_10000)
        .map(gauge_note)
}

pub(super) fn gauge_note(tool: &Tool) -> GaugeNote {
    let day = |d: &crate::model::values::Day| words::day(d);
    let compared = tool.compared_on.as_ref().map(day);
    let due = tool.due.as_ref().map(day);
    GaugeNote {
        tool: tool.id,
        name: tool.name.clone(),
        error: tool.error_per_10000.map(share),
        dates: format!(
            "compared {}, due {}",
            compared.as_deref().unwrap_or("not told"),
            due.as_deref().unwrap_or("not told")
        ),
    }
}

#[allow(clippy::cast_precision_loss)] // parts in ten thousand
pub(super) fn share(per_10000: i64) -> f64 {
    per_10000 as f64 / 10_000.0
}

fn issue_words(issue: &TensionIssue) -> String {
    match issue {
        TensionIssue::SetAboveUpper { sentence, .. }
        | TensionIssue::GaugeMayExceedUpper { sentence, .. }
        | TensionIssue::SetNotClear { sentence, .. }
        | TensionIssue::NoRoom { sentence, .. }
        | TensionIssue::OutsideGauge { sentence } => sentence.clone(),
    }
}

/// Everything that limits a tension from above.
const KINDS: [UpperKind; 6] = [
    UpperKind::Strand,
    UpperKind::Terminal,
    UpperKind::Insert,
    UpperKind::Thread,
    UpperKind::Post,
    UpperKind::GaugeRange,
];

const fn kind_words(kind: UpperKind) -> &'static str {
    match kind {
        UpperKind::Strand => "strand with its terminals",
        UpperKind::Terminal => "terminal",
        UpperKind::Insert => "insert",
        UpperKind::Thread => "thread",
        UpperKind::Post => "post",
        UpperKind::GaugeRange => "gauge's range",
    }
}
