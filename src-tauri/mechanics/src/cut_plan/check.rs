//! Input turned into whole nanometres, and what is refused.
//!
//! Invariant: what passes has unique names, lengths above zero and a stock for every piece's
//! length. Sorted, so that the order of the input plays no part.

use std::collections::{BTreeMap, BTreeSet};

use super::fill::{Grid, Item};
use super::{CutPlanInput, MOST_PIECES, Piece, Stock, StockKind, names};
use crate::error::{MechanicsError, not_negative, within};
use crate::units::Millimetres;

const MOST_STOCK: usize = 1000;
const LONGEST: f64 = 1.0e7;

/// A stock to fill: its place in the input (or the number of the reel to order), and what it
/// still has, with one kerf for the end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Bin {
    pub(super) kind: StockKind,
    pub(super) at: usize,
    pub(super) capacity: i64,
    pub(super) started: bool,
}

/// The problem in whole nanometres.
pub(super) struct Problem {
    /// Pieces still to cut, the longest first.
    pub(super) items: Vec<Item>,
    /// The same in the order of the list.
    pub(super) listed: Vec<Item>,
    /// Offcuts, the smallest first.
    pub(super) offcuts: Vec<Bin>,
    /// Reels, started ones first, then by name.
    pub(super) reels: Vec<Bin>,
    /// What a reel to order holds, with one kerf.
    pub(super) new_reel: Option<i64>,
    /// Steps in which pieces are chosen.
    pub(super) grid: Grid,
}

impl Problem {
    /// Reels to order, as many as could be needed.
    pub(super) fn to_order(&self) -> Vec<Bin> {
        let bin = |at, capacity| Bin {
            kind: StockKind::ToOrder,
            at,
            capacity,
            started: false,
        };
        match self.new_reel {
            Some(capacity) => (0..self.items.len()).map(|at| bin(at, capacity)).collect(),
            None => Vec::new(),
        }
    }
}

pub(super) fn nanometres(length: Millimetres) -> i64 {
    // Checked to lie within ±1e7 mm, so it fits.
    #[allow(clippy::cast_possible_truncation)]
    let whole = length.whole_nanometres() as i64;
    whole
}

pub(super) fn millimetres(nanometres: i64) -> Millimetres {
    // At most 1e13 × 2000, which a double holds to far less than a nanometre of 53 bits.
    #[allow(clippy::cast_precision_loss)]
    let value = nanometres as f64;
    Millimetres(value / 1.0e6)
}

pub(super) fn problem(input: &CutPlanInput) -> Result<Problem, MechanicsError> {
    not_negative("the kerf", input.kerf)?;
    within("the kerf", input.kerf, 0.0, 100.0)?;
    not_negative("the end trim", input.end_trim)?;
    within("the end trim", input.end_trim, 0.0, LONGEST)?;
    not_negative("the least usable leftover", input.least_usable)?;
    if let Some(length) = input.new_reel {
        within("the length of a new reel", length, 1.0, LONGEST)?;
    }
    names_once(input)?;
    let (kerf, trim) = (nanometres(input.kerf), nanometres(input.end_trim));
    let (mut offcuts, mut reels) = bins(input, kerf, trim)?;
    sort_bins(&mut offcuts, &input.stock);
    offcuts.sort_by_key(|bin| bin.capacity);
    sort_bins(&mut reels, &input.stock);
    reels.sort_by_key(|bin| !bin.started);

    let done: BTreeSet<&str> = input.done.iter().map(|cut| cut.piece.as_str()).collect();
    let mut listed = Vec::new();
    for (at, piece) in input.pieces.iter().enumerate() {
        let weight = piece_length(piece)? + kerf;
        if !done.contains(piece.id.as_str()) {
            listed.push((
                piece,
                Item {
                    at,
                    weight,
                    rank: 0,
                },
            ));
        }
    }
    if listed.is_empty() {
        return Err(MechanicsError::NothingToCut);
    }
    let new_reel = input
        .new_reel
        .map(|length| nanometres(length) - trim + kerf);
    let longest = offcuts
        .iter()
        .chain(&reels)
        .map(|bin| bin.capacity)
        .chain(new_reel)
        .max()
        .unwrap_or(kerf);
    let mut items = listed.clone();
    items.sort_by(|(a, x), (b, y)| {
        y.weight
            .cmp(&x.weight)
            .then_with(|| names::compare(&a.id, &b.id))
    });
    for (rank, (_, item)) in items.iter_mut().enumerate() {
        item.rank = rank;
    }
    if let Some((piece, item)) = items.first()
        && item.weight > longest
    {
        return Err(MechanicsError::PieceTooLong {
            piece: piece.id.clone(),
            length: piece.length,
            longest: millimetres((longest - kerf).max(0)),
        });
    }
    let bare = |items: Vec<(&Piece, Item)>| items.into_iter().map(|(_, item)| item).collect();
    let items: Vec<Item> = bare(items);
    Ok(Problem {
        grid: Grid::of(items.iter().map(|item| item.weight), longest),
        items,
        listed: bare(listed),
        offcuts,
        reels,
        new_reel,
    })
}

fn names_once(input: &CutPlanInput) -> Result<(), MechanicsError> {
    let count = |what, count, most| {
        if count > most {
            Err(MechanicsError::TooMany { what, count, most })
        } else {
            Ok(())
        }
    };
    count("pieces", input.pieces.len(), MOST_PIECES)?;
    count("cuts made", input.done.len(), 10 * MOST_PIECES)?;
    count("reels and offcuts", input.stock.len(), MOST_STOCK)?;
    once("piece", input.pieces.iter().map(|piece| &piece.id))?;
    once("reel or offcut", input.stock.iter().map(|stock| &stock.id))?;
    once("cut made of piece", input.done.iter().map(|cut| &cut.piece))
}

fn once<'a>(
    what: &'static str,
    ids: impl Iterator<Item = &'a String>,
) -> Result<(), MechanicsError> {
    let mut seen = BTreeSet::new();
    for id in ids {
        if id.trim().is_empty() {
            return Err(MechanicsError::NoName { what });
        }
        if !seen.insert(id) {
            return Err(MechanicsError::NamedTwice {
                what,
                name: id.clone(),
            });
        }
    }
    Ok(())
}

fn piece_length(piece: &Piece) -> Result<i64, MechanicsError> {
    named_length("piece", &piece.id, piece.length)
}

fn named_length(
    what: &'static str,
    name: &str,
    length: Millimetres,
) -> Result<i64, MechanicsError> {
    // Shorter than a millimetre is a slip of the pen, longer than ten kilometres too.
    if (1.0..=LONGEST).contains(&length.value()) {
        Ok(nanometres(length))
    } else {
        Err(MechanicsError::LengthCannotBe {
            what,
            name: name.to_owned(),
            length,
        })
    }
}

/// Offcuts and reels with what the cuts made already have left of them.
fn bins(
    input: &CutPlanInput,
    kerf: i64,
    trim: i64,
) -> Result<(Vec<Bin>, Vec<Bin>), MechanicsError> {
    let mut taken: BTreeMap<&str, i64> = BTreeMap::new();
    for cut in &input.done {
        let length = named_length("cut made of piece", &cut.piece, cut.length)?;
        if !input.stock.iter().any(|stock| stock.id == cut.stock) {
            return Err(MechanicsError::UnknownStock {
                piece: cut.piece.clone(),
                stock: cut.stock.clone(),
            });
        }
        *taken.entry(cut.stock.as_str()).or_default() += length + kerf;
    }
    let (mut offcuts, mut reels) = (Vec::new(), Vec::new());
    for (at, stock) in input.stock.iter().enumerate() {
        let length = named_length("reel or offcut", &stock.id, stock.length)?;
        let trimmed = if stock.clean_end { 0 } else { trim };
        let used = taken.get(stock.id.as_str()).copied();
        let capacity = length - trimmed + kerf - used.unwrap_or_default();
        if used.is_some() && capacity < 0 {
            return Err(MechanicsError::CutBeyondStock {
                stock: stock.id.clone(),
                over: millimetres(-capacity),
            });
        }
        let bin = Bin {
            kind: stock.kind,
            at,
            capacity: capacity.max(0),
            started: stock.started || used.is_some(),
        };
        match stock.kind {
            StockKind::Offcut => offcuts.push(bin),
            StockKind::Reel => reels.push(bin),
            StockKind::ToOrder => {
                return Err(MechanicsError::NotInStock {
                    stock: stock.id.clone(),
                });
            }
        }
    }
    Ok((offcuts, reels))
}

fn sort_bins(bins: &mut [Bin], stock: &[Stock]) {
    let name = |bin: &Bin| stock.get(bin.at).map_or("", |stock| stock.id.as_str());
    bins.sort_by(|a, b| names::compare(name(a), name(b)));
}
