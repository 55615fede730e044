//! Strand in stock: what every reel and offcut still has.
//!
//! Follows from deliveries with their metres and arrival, from the cuts that name what they came from,
//! and from what was thrown away. Invariant: a cut is counted whatever became of its wire; where people
//! disagree on where a piece came from, every reel that is named has given it. Nothing is stored.
//! One file past 400 lines, since what a reel and what is kept of a piece come to is counted alike.

mod arrived;
mod strands;
mod taken;
mod taking;
mod wrong;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::ItemId;
use crate::job::things::Batch;
use crate::job::{Job, Standing};
use crate::model::fields;
use crate::model::values::{BatchKind, CuttingRules, Length, TakenOutFor};
use crate::subject::{ItemKind, Subject};
pub(super) use arrived::not_come;
use arrived::{Arrived, arrived};
pub use strands::odd_source;
pub(super) use strands::strands_in_use;
use strands::{strand_of, strand_of_kept};
use taken::{Kept, Source, Taken, named_apart};
pub(super) use taken::{begun, piece_name, taken_out_for};
pub use taking::{Taking, TooShort};
pub use wrong::odd_delivery;
pub(super) use wrong::{WrongSource, wrong_sources};

/// What strand is cut from.
#[derive(
    Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS, JsonSchema,
)]
#[serde(rename_all = "camelCase")]
pub enum StockKind {
    /// A length left over, or kept of a piece that was taken out.
    Offcut,
    /// A reel, full or started.
    Reel,
}

/// What a reel or offcut is good for now.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum StockState {
    /// Nothing was cut from it.
    Whole,
    /// Cut from, and there is some left.
    Started,
    /// Nothing is left.
    UsedUp,
    /// What is left is shorter than the least usable length.
    Scrap,
    /// Promised, ordered or counted as none, so nothing is planned from it; `problem` says which.
    NotCome,
    /// Told as wrong on arrival, so nothing is planned from it.
    Wrong,
    /// It can't be planned from; `problem` says why.
    NotKnown,
}

/// A piece that was cut from a reel or offcut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StockCut {
    /// "A6", "A6 piece 2".
    pub name: String,
    /// Length as cut.
    pub cut_mm: f64,
    /// Whether that piece was taken out again.
    pub taken_out: bool,
}

/// A reel or offcut.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct StockItem {
    /// `batch:<id>`, or `wire:<run>:<number>/<piece>` for what is kept of a piece.
    pub id: String,
    /// Its name, unlike that of any other.
    pub name: String,
    /// The delivery that it is of, where known.
    pub batch: Option<ItemId>,
    /// Which strand it is; none where the job has none or it can't be told.
    pub strand: Option<ItemId>,
    /// Reel or offcut.
    pub kind: StockKind,
    /// Length as it came.
    pub length_mm: Option<f64>,
    /// Pieces cut from it.
    pub cuts: Vec<StockCut>,
    /// Their lengths together.
    pub cut_mm: f64,
    /// Lost to kerfs and trimming.
    pub lost_mm: f64,
    /// Thrown away uncut.
    pub scrapped_mm: f64,
    /// What is left.
    pub left_mm: f64,
    /// What it is good for now.
    pub state: StockState,
    /// Why it can't be planned from, or what about it can't be right.
    pub problem: Option<String>,
}

impl StockItem {
    /// Whether pieces can be planned from it.
    #[must_use]
    pub fn usable(&self) -> bool {
        matches!(self.state, StockState::Whole | StockState::Started)
    }

    /// Whether its end was not cut yet, so that it is trimmed first; what is kept of a piece was
    /// measured as it can be used.
    #[must_use]
    pub fn fresh(&self) -> bool {
        self.cuts.is_empty() && !self.id.starts_with("wire:")
    }
}

/// A piece that was cut and taken out again.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PieceOut {
    /// The wire's run.
    pub run: ItemId,
    /// Number of the wire.
    pub wire: u32,
    /// Number of the piece.
    pub piece: u32,
    /// "B3 piece 1".
    pub name: String,
    /// Length as it was cut.
    pub cut_mm: f64,
    /// Why it was taken out, where somebody said so.
    pub reason: Option<String>,
    /// The cause, from the trade's list.
    #[ts(optional)]
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cause: Option<TakenOutFor>,
    /// How many of its ends are ticked as pressed.
    pub pressed_ends: u32,
    /// What of it is kept as an offcut.
    pub kept_mm: Option<f64>,
}

/// All strand of a job.
#[derive(Clone, Debug, PartialEq)]
pub struct Stock {
    /// Reels and offcuts, reels in the order of their names, then what is kept of pieces.
    pub items: Vec<StockItem>,
    /// Pieces that were taken out again.
    pub taken_out: Vec<PieceOut>,
    /// Names of cuts that name no reel, with their length together in nanometres.
    pub unnamed: (Vec<String>, i64),
    /// How strand is cut; the program's own where nobody said.
    pub rules: CuttingRules,
    /// Whether people disagree on that.
    pub rules_disputed: bool,
    /// Whether anybody said.
    pub rules_told: bool,
}

/// Reads the strand of a job.
#[must_use]
pub fn stock(job: &Job<'_>) -> Stock {
    let said = job.reader.one(fields::JOB_CUTTING, &job.subject(), "");
    let rules = said.value().copied().unwrap_or_default();
    let taken = taken::taken(job);
    let mut kept = taken::kept(job);
    // Back in its place nothing of a piece lies about; what was cut from it all the same is told.
    let cut_from = |kept: &Kept| taken.iter().any(|t| t.from == Source::Piece(kept.of));
    kept.retain(|kept| !kept.back || cut_from(kept));
    let mut batches: Vec<&Batch> = job.batches.iter().filter(|b| is_strand(b)).collect();
    batches.sort_by(|a, b| natural(&a.name, &b.name).then(a.id.cmp(&b.id)));
    let mut items: Vec<StockItem> = batches
        .into_iter()
        .map(|batch| of_batch(job, batch, &taken, &rules))
        .collect();
    items.extend(kept.iter().map(|kept| of_kept(job, kept, &taken, &rules)));
    name_apart(&mut items);
    let unnamed: Vec<&Taken> = taken.iter().filter(|t| t.from == Source::Unnamed).collect();
    Stock {
        items,
        taken_out: taken::taken_out(job, &taken, &kept),
        unnamed: (
            unnamed.iter().map(|t| t.name(job)).collect(),
            unnamed.iter().map(|t| t.nm).sum(),
        ),
        rules,
        rules_disputed: said.blocks(),
        rules_told: said.standing == Standing::Agreed,
    }
}

fn is_strand(batch: &Batch) -> bool {
    batch.kind == Some(BatchKind::Strand) || (batch.kind.is_none() && batch.metres.is_some())
}

fn of_batch(job: &Job<'_>, batch: &Batch, taken: &[Taken], rules: &CuttingRules) -> StockItem {
    let subject = Subject::Item(ItemKind::Batch, batch.id);
    let from: Vec<&Taken> = taken
        .iter()
        .filter(|t| t.from == Source::Batch(batch.id))
        .collect();
    // Where people differ on what was thrown away, the larger figure counts.
    let scrapped: i64 = batch
        .scrapped
        .iter()
        .filter_map(|fact| fact.values().map(|length| length.nm).max())
        .sum();
    let (strand, which) = strand_of(job, batch);
    let name = named_apart(batch);
    let unknown = match batch.metres.map(|length| length.nm) {
        Some(nm) if nm > 0 => which,
        Some(_) => Some(format!("{name} is told with no length. Enter its metres.")),
        None if job.reader.blocks(fields::BATCH_METRES, &subject) => Some(format!(
            "People differ on the metres of {name}. Settle that first; nothing is planned from it."
        )),
        None => Some(format!(
            "The metres of {name} are not told. Enter them under Deliveries."
        )),
    };
    let arrived = arrived(job, batch, &name, !from.is_empty() || scrapped > 0);
    let counted = Counted {
        length: batch.metres.map(|length| length.nm).filter(|nm| *nm > 0),
        from: &from,
        scrapped,
        unknown,
        arrived,
    };
    let mut item = counted.item(
        job,
        rules,
        StockItem {
            id: subject.to_string(),
            name,
            batch: Some(batch.id),
            strand,
            kind: if batch.offcut {
                StockKind::Offcut
            } else {
                StockKind::Reel
            },
            ..StockItem::empty()
        },
    );
    let wires = wrong::wrong_source(job, batch);
    let told: Vec<String> = item.problem.take().into_iter().chain(wires).collect();
    item.problem = (!told.is_empty()).then(|| told.join(" "));
    item
}

fn of_kept(job: &Job<'_>, kept: &Kept, taken: &[Taken], rules: &CuttingRules) -> StockItem {
    let from: Vec<&Taken> = taken
        .iter()
        .filter(|t| t.from == Source::Piece(kept.of))
        .collect();
    // Cut from a wrong delivery, or from another strand, it is that whatever wire it was cut for.
    let batch = job
        .batches
        .iter()
        .find(|batch| Some(batch.id) == kept.batch);
    let (strand, which) = batch.map_or((kept.of_run, None), |batch| {
        strand_of_kept(job, batch, kept.of_run)
    });
    let name = &kept.name;
    let unknown = if kept.back {
        Some(format!(
            "{name} is in its place again by the record, and something was cut from what was kept of it. \
             Settle that first; nothing is planned from it."
        ))
    } else if kept.disputed {
        Some(format!(
            "People differ on what of {name} can be used. Settle that first."
        ))
    } else if kept.source_differs {
        Some(format!(
            "People differ on what {name} was cut from. Settle that first; nothing is planned from it."
        ))
    } else if batch.is_none() && kept.batch.is_some() {
        Some(format!(
            "{name} was cut from a delivery that is taken back. Say what it was cut from; nothing is planned from it."
        ))
    } else {
        which
    };
    let counted = Counted {
        length: Some(kept.nm),
        from: &from,
        scrapped: 0,
        unknown,
        arrived: batch.map_or(Arrived::Here, |batch| {
            arrived(job, batch, &named_apart(batch), true)
        }),
    };
    counted.item(
        job,
        rules,
        StockItem {
            id: kept.id(),
            name: format!("{}, taken out", kept.name),
            batch: kept.batch,
            strand,
            kind: StockKind::Offcut,
            ..StockItem::empty()
        },
    )
}

/// A stock's figures in nanometres.
struct Counted<'a> {
    length: Option<i64>,
    from: &'a [&'a Taken],
    scrapped: i64,
    unknown: Option<String>,
    arrived: Arrived,
}

impl Counted<'_> {
    fn item(self, job: &Job<'_>, rules: &CuttingRules, named: StockItem) -> StockItem {
        let cut: i64 = self.from.iter().map(|t| t.nm).sum();
        let lost: i64 = self.from.iter().map(|t| t.lost).sum();
        let gone = cut + lost + self.scrapped;
        let left = self.length.unwrap_or_default() - gone;
        let over = (self.length.is_some() && left < 0).then(|| {
            format!(
                "{} mm more was taken from {} than it had. Are its metres right, and was every \
                 piece cut from it?",
                mm(-left),
                named.name
            )
        });
        let left = left.max(0);
        // Below a millimetre there is nothing to cut.
        let used_up = self.length.is_some() && left < Length::mm(1).nm;
        let (held, why) = match self.arrived {
            Arrived::Here => (None, None),
            _ if used_up => (None, None),
            Arrived::NotCome(why) => (Some(StockState::NotCome), Some(why)),
            Arrived::Wrong(why) => (Some(StockState::Wrong), Some(why)),
            Arrived::Disputed(why) => (Some(StockState::NotKnown), Some(why)),
        };
        let state = match (held, &self.unknown, left) {
            (Some(held), ..) => held,
            (None, Some(_), _) => StockState::NotKnown,
            (None, None, left) if left < Length::mm(1).nm => StockState::UsedUp,
            (None, None, left) if left < rules.least_usable_nm => StockState::Scrap,
            (None, None, _) if gone > 0 => StockState::Started,
            (None, None, _) => StockState::Whole,
        };
        let problems: Vec<String> = why.into_iter().chain(self.unknown.or(over)).collect();
        StockItem {
            length_mm: self.length.map(mm),
            cuts: self.from.iter().map(|t| t.told(job)).collect(),
            cut_mm: mm(cut),
            lost_mm: mm(lost),
            scrapped_mm: mm(self.scrapped),
            left_mm: mm(left),
            state,
            problem: (!problems.is_empty()).then(|| problems.join(" ")),
            ..named
        }
    }
}

impl StockItem {
    fn empty() -> Self {
        StockItem {
            id: String::new(),
            name: String::new(),
            batch: None,
            strand: None,
            kind: StockKind::Reel,
            length_mm: None,
            cuts: Vec::new(),
            cut_mm: 0.0,
            lost_mm: 0.0,
            scrapped_mm: 0.0,
            left_mm: 0.0,
            state: StockState::NotKnown,
            problem: None,
        }
    }
}

/// Gives a name that stands twice a number.
fn name_apart(items: &mut [StockItem]) {
    let mut seen = std::collections::BTreeSet::new();
    for item in items {
        let bare = item.name.clone();
        let mut count = 1;
        while !seen.insert(item.name.clone()) {
            count += 1;
            item.name = format!("{bare} no {count}");
        }
    }
}

/// A2 before A10.
fn natural(a: &str, b: &str) -> std::cmp::Ordering {
    mechanics::cut_plan::by_name(a, b)
}

pub(super) fn mm(nm: i64) -> f64 {
    Length { nm }.as_mm()
}
