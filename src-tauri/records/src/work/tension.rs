//! Required, set and upper tension of a run: where each is from and what room is left between.

mod decided;

use mechanics::Newtons;
use mechanics::tension::{
    Gauge, TensionIssue, UpperKind, issues, least_set, room, shown, shown_upper, upper_tension,
};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::basis::{Decision, Unsettled, unsettled};
use super::convert::{mn, run_of};
use super::figures::Origin;
use super::limits::{gauge_range, limits};
use super::ordering::{self, Asked, OpenBay, Required};
use super::recheck::later_loss;
use super::{WorkError, words};
use crate::ids::ItemId;
use crate::job::things::Tool;
use crate::job::{Job, Run};
use crate::model::values::ToolKind;
pub(super) use decided::required_of;
use decided::{lesser, stated_in};
pub use decided::{typed, typed_below, upper_of};

/// One limit on the tension.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct UpperPart {
    /// What it belongs to, in words.
    pub name: String,
    /// The limit.
    pub limit_n: f64,
    /// Where it is from.
    pub origin: Origin,
    /// How it comes about.
    pub source: String,
}

/// The gauge that readings are taken with.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct GaugeNote {
    /// The tool.
    pub tool: ItemId,
    /// Its name.
    pub name: String,
    /// Its error as a share, where known.
    pub error: Option<f64>,
    /// Compared and due, in words.
    pub dates: String,
}

/// What is left between required and upper tension, as the gauge may show it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TensionRoom {
    /// Least reading that is clear of the required tension.
    pub clear_from_n: f64,
    /// Largest reading that stays below the upper tension.
    pub clear_to_n: f64,
    /// Between the two; below zero where there is none.
    pub width_n: f64,
    /// Whether the gauge can tell the two apart.
    pub enough: bool,
}

/// The three tensions of a run with what they rest on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct TensionPlan {
    /// What the rule set asks: the highest of the bays that have a figure; a floor and no more
    /// while bays are open.
    pub required: Option<Required>,
    /// What every wire has to show at least: the greater of that and of what was decided.
    pub must_show_n: Option<f64>,
    /// Bays that the rule set's table has no figure for: no tension answers for them.
    pub open_bays: Vec<OpenBay>,
    /// Facts that the tensions rest on and that people disagree on, each in a sentence.
    pub unsettled: Vec<String>,
    /// Least of the limits below, rounded down to what the gauge can tell.
    pub upper_n: Option<f64>,
    /// The same without rounding.
    pub upper_exact_n: Option<f64>,
    /// Where the upper tension is from, in words.
    pub upper_origin: String,
    /// Whether that limit stands without efficiency or factor, with nothing in hand: a ceiling, and no
    /// figure to decide on.
    pub upper_bare: bool,
    /// All limits that are known, least first.
    pub parts: Vec<UpperPart>,
    /// Limits that nobody has stated.
    pub not_known: Vec<String>,
    /// The gauge; the least exact one where there are several.
    pub gauge: Option<GaugeNote>,
    /// Room between what a wire has to show and the lesser of the upper tension decided and the least
    /// known limit.
    pub room: Option<TensionRoom>,
    /// Most that the wire which loses most is expected to lose by the first recheck; none while the
    /// tensions are not decided or no wire can be cut, so that it can't be told.
    pub later_loss_n: Option<f64>,
    /// Most that it is expected to lose in all, after years, were it never turned again.
    pub later_loss_in_all_n: Option<f64>,
    /// Least set tension: (required + later loss) over what the gauge may err, the loss counted
    /// where it is known.
    pub least_set_n: Option<f64>,
    /// A set tension in the middle of the room, rounded to the gauge; none while the figures do not
    /// stand.
    pub suggested_n: Option<f64>,
    /// Why that one.
    pub suggestion: String,
    /// Required tension as decided for the run, where it is.
    pub decided_required_n: Option<f64>,
    /// What was stated as its origin, where it was typed.
    pub decided_required_from: Option<String>,
    /// Set tension as decided.
    pub decided_set_n: Option<f64>,
    /// Upper tension as decided.
    pub decided_upper_n: Option<f64>,
    /// Passes as decided.
    pub decided_passes_n: Vec<f64>,
    /// What does not fit, each in a plain sentence.
    pub issues: Vec<String>,
    /// Set tension above the upper one.
    pub set_above_upper: bool,
    /// The issue that says so.
    #[serde(skip)]
    #[ts(skip)]
    #[schemars(skip)]
    pub(super) above_upper: Option<String>,
}

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
    let above_known = decided.zip(exact).is_some_and(|(t, e)| mn(t.upper_mn) > e);
    let upper_bare = upper
        .as_ref()
        .is_some_and(|u| limits.bare.contains(&u.governed_by));
    let room = match (asked, limit) {
        (Some(asked), Some(limit)) => Some(room(asked, limit, error)?),
        _ => None,
    };
    let unsettled: Vec<String> = unsettled(job, Decision::Tensions(run))
        .iter()
        .map(Unsettled::sentence)
        .collect();
    let later = later_loss(job, run)?;
    let loss = later.map(|later| later.first);
    let least = asked
        .map(|asked| least_set(asked, loss.unwrap_or_default(), error))
        .transpose()?;
    // A bare figure is no limit to work below, unless somebody decided one under it.
    let bare = upper_bare && limit == exact;
    let none_while = if !open.is_empty() {
        Some("none while the table has no figure for a bay")
    } else if !unsettled.is_empty() {
        Some("none while people differ")
    } else if above_known {
        Some("none while the upper tension decided is above the least limit that is known")
    } else if bare {
        Some("none while the least limit that is known has no factor")
    } else {
        None
    };
    let suggested = match &room {
        Some(room) if room.enough && none_while.is_none() => {
            // What is lost later is made room for where there is room.
            let from = least
                .filter(|least| *least < room.clear_to)
                .map_or(room.clear_from, |least| least.max(room.clear_from));
            Some(shown((from + room.clear_to) / 2.0, error)?)
        }
        _ => None,
    };
    let mut sentences = super::cannot_be::of_run(job, run);
    sentences.extend(unsettled.iter().cloned());
    sentences.extend(limits.missing);
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
        if let Some(exact) = exact.filter(|_| above_known) {
            sentences.push(format!(
                "The run's upper tension {} is above {exact}, the least limit that is known.",
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
    if gauge.as_ref().is_none_or(|g| g.error.is_none()) {
        sentences.push(
            "No gauge with a stated error is on record: its error is not counted here.".to_owned(),
        );
    }
    Ok(TensionPlan {
        upper_n: exact
            .map(|u| shown_upper(u, error))
            .transpose()?
            .map(Newtons::value),
        upper_exact_n: exact.map(Newtons::value),
        upper_origin: upper.as_ref().map_or_else(
            || "no limit is known".to_owned(),
            |u| {
                let least = u.parts.first();
                let how = least.and_then(|p| p.limit.source.clone());
                format!("{}: {}", kind_words(u.governed_by), how.unwrap_or_default())
            },
        ),
        not_known: upper
            .as_ref()
            .map_or(&KINDS[..], |u| &u.not_known)
            .iter()
            // The strand's limit is taken with its terminals' efficiency.
            .filter(|k| **k != UpperKind::Terminal)
            .map(|k| kind_words(*k).into())
            .collect(),
        parts: upper
            .map(|u| u.parts)
            .unwrap_or_default()
            .into_iter()
            .map(|p| UpperPart {
                name: kind_words(p.kind).into(),
                limit_n: p.limit.value.value(),
                origin: p.limit.origin.into(),
                source: p.limit.source.unwrap_or_default(),
            })
            .collect(),
        later_loss_n: loss.map(Newtons::value),
        later_loss_in_all_n: later.map(|later| later.in_all.value()),
        least_set_n: least.map(Newtons::value),
        suggestion: match (suggested, later, least) {
            (Some(_), Some(later), Some(least)) => format!(
                "middle of the room between clear of the required tension and below the upper one; \
                 with up to {} lost by the first recheck, {least} would have to be set at least; over \
                 the years up to {} may be lost in all, which the yearly recheck has to find",
                Newtons(later.first.value().round()),
                Newtons(later.in_all.value().round())
            ),
            (Some(_), ..) => "middle of the room between clear of the required tension and below \
                              the upper one; later loss is not known before wires are measured and \
                              tensions decided"
                .to_owned(),
            _ => none_while.unwrap_or_default().to_owned(),
        },
        suggested_n: suggested.map(Newtons::value),
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
        decided_passes_n: decided.map_or_else(Vec::new, |t| {
            t.passes_mn.iter().map(|p| mn(*p).value()).collect()
        }),
        issues: sentences,
        set_above_upper: above_upper.is_some(),
        above_upper,
        required,
        open_bays: open,
        unsettled,
    })
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
