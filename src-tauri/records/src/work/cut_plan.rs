//! The cut plan of a job: which wire from which reel or offcut, in what order, and what is left.
//!
//! Worked out anew from the record each time, so it follows every cut, change and remake.
//! Invariant: only wires that are released and whose ground still stands are planned, at the length
//! that was released; every other wire that is not cut is named with the reason and what to do.

mod labels;
mod pieces;
mod strand;

use mechanics::cut_plan::Leftover;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::rules::changed_rules;
use super::stock::{PieceOut, Stock, StockItem, StockKind, mm, stock, strands_in_use};
use super::{WorkError, words};
use crate::ids::ItemId;
use crate::job::Job;
use crate::model::values::CuttingRules;

pub use labels::{CutLabel, Unlabelled, cut_labels, unlabelled};

/// One cut of the plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PlannedCut {
    /// Its place in the order, from 1.
    pub number: u32,
    /// The wire's run.
    pub run: ItemId,
    /// Number of the wire.
    pub wire: u32,
    /// Number of the piece.
    pub piece: u32,
    /// "A6", "B3 piece 2".
    pub name: String,
    /// The first end with its hand: "A1:LH".
    pub end: String,
    /// Length to cut, as released.
    pub cut_mm: f64,
    /// Shortest that works, as told with the release.
    pub shortest_mm: f64,
    /// Longest that works, as told with the release.
    pub longest_mm: f64,
    /// Whether it is the trial wire of its run.
    pub trial: bool,
    /// What is left after this cut.
    pub left_mm: f64,
}

/// Cuts in a row from one reel or offcut: what is ticked off together.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutGroup {
    /// The reel or offcut; none where it has still to be ordered.
    pub stock: Option<String>,
    /// Its name.
    pub name: String,
    /// Reel or offcut.
    pub kind: StockKind,
    /// Whether these are trial wires, cut before all others.
    pub trial: bool,
    /// The cuts in order.
    pub cuts: Vec<PlannedCut>,
    /// What is left after them.
    pub left_mm: f64,
}

/// What a reel or offcut has left after the plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StockAfter {
    /// The reel or offcut; none where it has still to be ordered.
    pub stock: Option<String>,
    /// Its name.
    pub name: String,
    /// What it has before the plan.
    pub before_mm: f64,
    /// What is left.
    pub left_mm: f64,
    /// Whether what is left is shorter than the least usable length.
    pub scrap: bool,
}

/// A wire that no reel or offcut can give.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct NoStock {
    /// The wire's run.
    pub run: ItemId,
    /// Number of the wire.
    pub wire: u32,
    /// "A6".
    pub name: String,
    /// Length to cut.
    pub cut_mm: f64,
    /// Why, and what to do.
    pub reason: String,
}

/// Reels beside their bound.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ReelsCounted {
    /// Whether reels to order are counted, else reels that are cut from.
    pub to_order: bool,
    /// How many the plan takes.
    pub planned: u32,
    /// No plan takes fewer.
    pub at_least: u32,
    /// Whether the two are equal and every wire is covered.
    pub least_possible: bool,
}

/// The plan of one strand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StrandPlan {
    /// The strand; none where no run has one yet.
    pub strand: Option<ItemId>,
    /// Its name.
    pub name: String,
    /// Trial wires first, then stock by stock.
    pub groups: Vec<CutGroup>,
    /// Wires for which no reel or offcut is left or long enough.
    pub no_stock: Vec<NoStock>,
    /// Reels and offcuts of the plan with what is left, the longest leftover last.
    pub after: Vec<StockAfter>,
    /// Leftovers that are kept, together.
    pub kept_mm: f64,
    /// Leftovers that are scrap, together.
    pub scrap_mm: f64,
    /// Reels beside their bound; none where nothing is planned.
    pub reels: Option<ReelsCounted>,
    /// The plan in one sentence, and what has not come where strand is short; empty where neither is.
    pub sentence: String,
    /// Why nothing can be planned, and what to do.
    pub problem: Option<String>,
    /// Length of the wires that are not ready yet, where the cut sheet has one.
    pub not_ready_mm: f64,
}

/// Wires that are not cut and not in the plan, for one reason.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct NotReady {
    /// Their run.
    pub run: ItemId,
    /// Their numbers; empty where the reason is the run's.
    pub wires: Vec<u32>,
    /// "A1–5, 7".
    pub names: String,
    /// Why, and what to do.
    pub reason: String,
}

/// The cut plan of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct CutPlan {
    /// How strand is cut.
    pub rules: CuttingRules,
    /// A plan for each strand.
    pub strands: Vec<StrandPlan>,
    /// Wires that are not planned, with the reason.
    pub not_ready: Vec<NotReady>,
    /// Reels and offcuts as they stand.
    pub stock: Vec<StockItem>,
    /// Pieces that were taken out again.
    pub taken_out: Vec<PieceOut>,
    /// What was assumed, and what can't be right.
    pub notes: Vec<String>,
}

/// Plans the cuts of a job that are still to be made.
///
/// # Errors
/// None of its own: what can't be planned stands in the plan with its reason.
pub fn cut_plan(job: &Job<'_>) -> Result<CutPlan, WorkError> {
    let stock = stock(job);
    let found = pieces::pieces(job);
    let mut strands: Vec<Option<ItemId>> = strands_in_use(job).into_iter().map(Some).collect();
    if strands.is_empty() && !stock.items.is_empty() {
        strands.push(None);
    }
    Ok(CutPlan {
        rules: stock.rules,
        strands: strands
            .into_iter()
            .map(|strand| strand::plan(job, strand, &stock, &found))
            .collect(),
        not_ready: found.not_ready,
        notes: changed_rules(job)
            .into_iter()
            .chain(notes(&stock))
            .collect(),
        stock: stock.items,
        taken_out: stock.taken_out,
    })
}

fn notes(stock: &Stock) -> Vec<String> {
    let mut notes = Vec::new();
    if !stock.rules_told && !stock.rules_disputed {
        notes.push(
            "How strand is cut is not told: no kerf (shears), no trimming, and every leftover \
             counts as usable."
                .to_owned(),
        );
    }
    let (names, nm) = &stock.unnamed;
    if !names.is_empty() {
        let few: Vec<&str> = names.iter().take(6).map(String::as_str).collect();
        let more = if names.len() > few.len() { " …" } else { "" };
        notes.push(format!(
            "{} cut from no reel that is named: {}{more}, {} mm together. What is left of the \
             reels reads too long by that. Tick them again with their reel.",
            match names.len() {
                1 => "1 wire was".to_owned(),
                n => format!("{n} wires were"),
            },
            few.join(", "),
            mm(*nm)
        ));
    }
    notes.extend(stock.items.iter().filter_map(|item| item.problem.clone()));
    notes
}

/// Numbers of one run's wires as people say them: "A1–5, 7".
fn names(run: &str, wires: &[u32]) -> String {
    let mut sorted = wires.to_vec();
    sorted.sort_unstable();
    format!("{run}{}", words::ranges(&sorted))
}

const fn is_scrap(leftover: Leftover) -> bool {
    matches!(leftover, Leftover::Scrap)
}
