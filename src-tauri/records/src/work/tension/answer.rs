//! The three tensions of a run as they are told, with what they rest on.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::ItemId;
use crate::work::figures::Origin;
use crate::work::limits::ThreadAsked;
use crate::work::ordering::{OpenBay, Required};
use crate::work::recheck::Losing;

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
    /// Least of the limits below, rounded down to what the gauge can tell; none while the strand's
    /// breaking load is not told.
    pub upper_n: Option<f64>,
    /// The same without rounding.
    pub upper_exact_n: Option<f64>,
    /// Where the upper tension is from, in words.
    pub upper_origin: String,
    /// Whether the strand's breaking load stands without efficiency or factor, with nothing in hand:
    /// a ceiling, and no figure to decide on.
    pub upper_bare: bool,
    /// What is missing before the upper tension is known, and what to do; none where nothing is.
    pub upper_missing: Option<String>,
    /// The least of the limits that are known, whatever is missing, in whole newtons: nothing may exceed
    /// it.
    pub ceiling_n: Option<f64>,
    /// All limits that are known, least first.
    pub parts: Vec<UpperPart>,
    /// Limits that nobody has stated.
    pub not_known: Vec<String>,
    /// What the planned tension asks of the threads at the ends, while nobody stated what they may carry;
    /// empty where somebody did, where nothing is planned, and where no fitting set tells its terminals.
    pub threads_asked: Vec<ThreadAsked>,
    /// The gauge; the least exact one where there are several.
    pub gauge: Option<GaugeNote>,
    /// Room between what a wire has to show and the lesser of the upper tension decided and the least
    /// known limit; none while there is neither a decision nor the strand's breaking load.
    pub room: Option<TensionRoom>,
    /// Most that the wire which loses most is expected to lose by the first recheck; none while the
    /// tensions are not decided or no wire can be cut, so that it can't be told.
    pub later_loss_n: Option<f64>,
    /// Most that it is expected to lose in all, after years, were it never turned again.
    pub later_loss_in_all_n: Option<f64>,
    /// Least set tension: (required + what is lost at that very tension by the first recheck) over
    /// what the gauge may err, rounded up; the loss counted where it can be told, and none where that
    /// is more than may be set.
    pub least_set_n: Option<f64>,
    /// That tension, where it lies in the room; none while the figures do not stand or leave none.
    pub suggested_n: Option<f64>,
    /// Why that one, or why none.
    pub suggestion: String,
    /// The usual passes to the tension suggested, else to the one decided.
    pub usual_passes_n: Vec<f64>,
    /// Required tension as decided for the run, where it is.
    pub decided_required_n: Option<f64>,
    /// What was stated as its origin, where it was typed.
    pub decided_required_from: Option<String>,
    /// Set tension as decided.
    pub decided_set_n: Option<f64>,
    /// Upper tension as decided.
    pub decided_upper_n: Option<f64>,
    /// What was stated as its origin, where it was typed.
    pub decided_upper_from: Option<String>,
    /// Passes as decided.
    pub decided_passes_n: Vec<f64>,
    /// What the temperature does, which no figure here counts, in one sentence; none without a strand.
    pub temperature: Option<String>,
    /// What does not fit, each in a plain sentence.
    pub issues: Vec<String>,
    /// Set tension above the upper one.
    pub set_above_upper: bool,
    /// The issue that says so.
    #[serde(skip)]
    #[ts(skip)]
    #[schemars(skip)]
    pub(in crate::work) above_upper: Option<String>,
    /// The issues that hold a figure of the rules against one of the parts; the others rest on the record alone.
    #[serde(skip)]
    #[ts(skip)]
    #[schemars(skip)]
    pub(in crate::work) by_figures: Vec<String>,
    /// What is lost later at any set tension, where that can be told.
    #[serde(skip)]
    #[ts(skip)]
    #[schemars(skip)]
    pub(in crate::work) losing: Option<Losing>,
}
