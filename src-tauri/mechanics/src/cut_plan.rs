//! The cut plan: which piece from which reel or offcut, in what order, and what is left.
//!
//! Formula: one-dimensional cutting stock with kerf. A stock of usable length `C` gives pieces
//! `l` where `Σ(l + kerf) ≤ C + kerf`, since the last cut falls on the end where nothing is left.
//! Offcuts are filled first, the smallest first, each by exact subset sum. Reels take the better
//! of first-fit decreasing, an exact subset-sum fill that must hold the longest piece left
//! (Gupta and Ho, Production Planning & Control 10, 1999) and patterns of the linear relaxation
//! (Gilmore and Gomory, Operations Research 9, 1961). The slack is then gathered in one reel.
//! Validity: lengths up to 10 km; sums are whole nanometres, so that nothing is lost to rounding.
//! The choice of pieces is exact while the longest stock has at most half a million steps of the
//! pieces' common measure; beyond that pieces are rounded up for the choice only.
//!
//! Invariant: no stock gives more than it has, every piece is planned once or named as not
//! covered, pieces already cut stay as they are, and the plan does not hang on the order of the
//! input (save where pieces are asked for as listed). "Least possible" is said only where the
//! count equals a bound that holds for every plan.
//! Does not know strands, runs or the record: one call plans one strand.

mod bound;
mod check;
mod fill;
mod knapsack;
mod listed;
mod names;
pub use names::compare as by_name;
mod patterns;
mod place_all;
mod reels;
mod relax;
mod result;
mod search;

use serde::{Deserialize, Serialize};

use crate::error::MechanicsError;
use crate::units::Millimetres;

/// Most pieces that are planned at once.
pub const MOST_PIECES: usize = 2000;

/// A piece to cut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Piece {
    /// Its own name ("A6", and "A6 again" for a remade one).
    pub id: String,
    /// Length to cut.
    pub length: Millimetres,
    /// Whether it is a trial wire, which is cut before all others.
    #[serde(default)]
    pub trial: bool,
}

/// What a piece is cut from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum StockKind {
    /// Left over from an earlier cut; used before any reel.
    Offcut,
    /// A reel in stock, full or started.
    Reel,
    /// A reel that has still to be ordered.
    ToOrder,
}

/// A reel or offcut in stock.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Stock {
    /// Its own name.
    pub id: String,
    /// Batch that it belongs to, where known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub batch: Option<String>,
    /// Reel or offcut; `ToOrder` is refused here.
    pub kind: StockKind,
    /// Length before the cuts listed as done.
    pub length: Millimetres,
    /// Whether its end was cut clean, so that nothing is trimmed off.
    #[serde(default)]
    pub clean_end: bool,
    /// Whether it was cut from already, so that it is taken before a fresh one of its kind.
    #[serde(default)]
    pub started: bool,
}

/// A cut that was made already: it is fixed, whether the piece was good or not.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct DoneCut {
    /// The piece; a remade one has a name of its own.
    pub piece: String,
    /// What it was cut from.
    pub stock: String,
    /// Length as cut.
    pub length: Millimetres,
}

/// How pieces are given out to stock.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum CutOrder {
    /// As few reels as can be found, slack in one leftover.
    #[default]
    LeastStock,
    /// In the order of the list; a reel that was left is not taken up again.
    AsListed,
}

/// What is to be planned.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct CutPlanInput {
    /// Pieces wanted; those listed as done are not planned again.
    pub pieces: Vec<Piece>,
    /// Reels and offcuts of one strand.
    pub stock: Vec<Stock>,
    /// Cuts made already.
    #[serde(default)]
    pub done: Vec<DoneCut>,
    /// How pieces are given out.
    #[serde(default)]
    pub order: CutOrder,
    /// Width lost at each cut (none with shears).
    pub kerf: Millimetres,
    /// Taken off the end of each stock before its first cut, the cut's own kerf included.
    pub end_trim: Millimetres,
    /// A leftover shorter than this is scrap.
    pub least_usable: Millimetres,
    /// Length of a reel that could be ordered, where stock does not reach.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub new_reel: Option<Millimetres>,
}

/// One cut of the plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Cut {
    /// Its place in the order, from 1.
    pub number: u32,
    /// The piece.
    pub piece: String,
    /// Its length.
    pub length: Millimetres,
    /// Whether it is a trial wire.
    pub trial: bool,
    /// What it is cut from.
    pub stock: String,
    /// Batch of that stock.
    pub batch: Option<String>,
    /// What is left on that stock after this cut.
    pub left: Millimetres,
}

/// What becomes of a leftover.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Leftover {
    /// Nothing is left.
    Nothing,
    /// Long enough to be used again.
    Keep,
    /// Shorter than the least usable length.
    Scrap,
}

/// One stock that is cut from, by the plan or already.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct StockUse {
    /// Its name.
    pub stock: String,
    /// Its batch.
    pub batch: Option<String>,
    /// Offcut, reel, or reel to order.
    pub kind: StockKind,
    /// Its length before any cut.
    pub length: Millimetres,
    /// Pieces cut from it already, in the order given.
    pub done: Vec<String>,
    /// Pieces planned, in the order of cutting.
    pub pieces: Vec<String>,
    /// Sum of the pieces, done and planned.
    pub cut: Millimetres,
    /// Lost to kerfs and trimming.
    pub lost: Millimetres,
    /// What is left.
    pub left: Millimetres,
    /// What becomes of it.
    pub leftover: Leftover,
}

/// Which reels a count is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum Counted {
    /// Reels of the stock that the plan cuts from.
    ReelsUsed,
    /// Reels that have to be ordered.
    ReelsToOrder,
}

/// Why no plan can do with fewer reels than the bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum BoundBy {
    /// The pieces together against the most that each stock can give of them: `⌈Σ/C⌉`, where `C`
    /// is the best exact fill.
    Material,
    /// The dual of the pattern relaxation (Gilmore–Gomory), checked in whole numbers.
    Patterns,
}

/// The number of reels beside a bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ReelCount {
    /// Which reels are counted.
    pub what: Counted,
    /// How many the plan takes.
    pub planned: u32,
    /// No plan takes fewer than this.
    pub at_least: u32,
    /// Which bound says so.
    pub by: BoundBy,
    /// Whether the two are equal, and every piece is covered.
    pub least_possible: bool,
}

/// A cut plan.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct CutPlan {
    /// The cuts, in order: trial wires, then stock by stock.
    pub cuts: Vec<Cut>,
    /// The stock cut from, offcuts first, the longest leftover last.
    pub stock: Vec<StockUse>,
    /// Stock that is not touched.
    pub untouched: Vec<String>,
    /// Pieces for which no stock is left.
    pub uncovered: Vec<String>,
    /// Reels beside their bound.
    pub reels: ReelCount,
    /// Leftovers that are kept, together.
    pub kept: Millimetres,
    /// Leftovers that are scrap, together.
    pub scrap: Millimetres,
    /// One sentence.
    pub sentence: String,
}

/// Plans the cuts that are still to be made; call again after each change.
///
/// Cuts already made are fixed; a remade wire is a new piece with a name of its own.
///
/// # Errors
/// When there is nothing to cut, a name stands twice, a length cannot be, a piece is longer than
/// every stock, or a stock has given more than it had.
pub fn cut_plan(input: &CutPlanInput) -> Result<CutPlan, MechanicsError> {
    let problem = check::problem(input)?;
    let found = match input.order {
        CutOrder::LeastStock => search::least_stock(&problem),
        CutOrder::AsListed => listed::as_listed(&problem),
    };
    Ok(result::told(input, &problem, &found))
}
