//! The plan told: cuts in order, what each stock gives, what is left, and one sentence.

use super::check::{Bin, Problem, millimetres, nanometres};
use super::fill::Item;
use super::fill::weight_of;
use super::reels::Load;
use super::search::Found;
use super::{
    BoundBy, Counted, Cut, CutOrder, CutPlan, CutPlanInput, Leftover, Piece, ReelCount, Stock,
    StockKind, StockUse, names,
};
use crate::units::Millimetres;

pub(super) fn told(input: &CutPlanInput, problem: &Problem, found: &Found) -> CutPlan {
    let loads = ordered(input, problem, found);
    let named: Vec<Named<'_>> = named(input, &loads);
    let uses: Vec<StockUse> = named.iter().map(|one| use_of(input, one)).collect();
    let sum = |kind: Leftover| -> Millimetres {
        let left = uses.iter().filter(|one| one.leftover == kind);
        left.map(|one| one.left).sum()
    };
    let untouched = |bin: &&Bin| !loads.iter().any(|load| load.bin == **bin);
    let mut uncovered: Vec<&Piece> = pieces(input, &found.layout.left);
    if input.order == CutOrder::LeastStock {
        uncovered.sort_by(|a, b| names::compare(&a.id, &b.id));
    }
    let reels = ReelCount {
        what: found.what,
        planned: found.planned(),
        at_least: found.at_least,
        by: found.by,
        least_possible: uncovered.is_empty() && found.planned() == found.at_least,
    };
    CutPlan {
        cuts: cuts(input, &named),
        untouched: problem
            .offcuts
            .iter()
            .chain(&problem.reels)
            .filter(untouched)
            .filter_map(|bin| Some(input.stock.get(bin.at)?.id.clone()))
            .collect(),
        kept: sum(Leftover::Keep),
        scrap: sum(Leftover::Scrap),
        sentence: sentence(input, &uses, &uncovered, &reels, found),
        uncovered: uncovered
            .into_iter()
            .map(|piece| piece.id.clone())
            .collect(),
        stock: uses,
        reels,
    }
}

struct Named<'a> {
    load: &'a Load,
    stock: Option<&'a Stock>,
    id: String,
    pieces: Vec<&'a Piece>,
}

/// Loads and started stock, offcuts first, the longest leftover last.
fn ordered(input: &CutPlanInput, problem: &Problem, found: &Found) -> Vec<Load> {
    let all: Vec<&Bin> = problem.offcuts.iter().chain(&problem.reels).collect();
    let mut loads: Vec<Load> = all
        .iter()
        .filter(|bin| bin.started && !found.layout.loads.iter().any(|load| load.bin == ***bin))
        .map(|bin| Load {
            bin: **bin,
            items: Vec::new(),
        })
        .collect();
    loads.extend(found.layout.loads.iter().cloned());
    if input.order == CutOrder::LeastStock {
        let place = |load: &Load| all.iter().position(|bin| **bin == load.bin);
        loads.sort_by_key(|load| (load.bin.kind, place(load), load.bin.at));
        let last = loads
            .iter()
            .enumerate()
            .filter(|(_, load)| load.bin.kind != StockKind::Offcut && !load.items.is_empty())
            .max_by_key(|(_, load)| load.room())
            .map(|(at, _)| at);
        if let Some(at) = last {
            let longest = loads.remove(at);
            loads.push(longest);
        }
    }
    loads
}

fn named<'a>(input: &'a CutPlanInput, loads: &'a [Load]) -> Vec<Named<'a>> {
    let mut to_order = 0;
    loads
        .iter()
        .map(|load| {
            let stock = match load.bin.kind {
                StockKind::ToOrder => None,
                StockKind::Offcut | StockKind::Reel => input.stock.get(load.bin.at),
            };
            let id = match stock {
                Some(stock) => stock.id.clone(),
                None => {
                    to_order += 1;
                    format!("reel to order {to_order}")
                }
            };
            let mut pieces = pieces(input, &load.items);
            if input.order == CutOrder::LeastStock {
                // A long piece that is cut wrong may still become a shorter one.
                pieces.sort_by(|a, b| {
                    let longer = b.length.value().total_cmp(&a.length.value());
                    longer.then_with(|| names::compare(&a.id, &b.id))
                });
            }
            pieces.sort_by_key(|piece| !piece.trial);
            Named {
                load,
                stock,
                id,
                pieces,
            }
        })
        .collect()
}

fn pieces<'a>(input: &'a CutPlanInput, items: &[Item]) -> Vec<&'a Piece> {
    let of = |item: &Item| input.pieces.get(item.at);
    items.iter().filter_map(of).collect()
}

fn cuts(input: &CutPlanInput, named: &[Named<'_>]) -> Vec<Cut> {
    let kerf = nanometres(input.kerf);
    let mut cuts = Vec::new();
    for trial in [true, false] {
        for one in named {
            let mut room = one.load.bin.capacity;
            for piece in &one.pieces {
                room -= nanometres(piece.length) + kerf;
                if piece.trial == trial {
                    cuts.push(Cut {
                        number: u32::try_from(cuts.len() + 1).unwrap_or(u32::MAX),
                        piece: piece.id.clone(),
                        length: piece.length,
                        trial,
                        stock: one.id.clone(),
                        batch: one.stock.and_then(|stock| stock.batch.clone()),
                        left: millimetres((room - kerf).max(0)),
                    });
                }
            }
        }
    }
    cuts
}

fn use_of(input: &CutPlanInput, one: &Named<'_>) -> StockUse {
    let kerf = nanometres(input.kerf);
    let length = match one.stock {
        Some(stock) => nanometres(stock.length),
        None => nanometres(input.new_reel.unwrap_or_default()),
    };
    let done = || input.done.iter().filter(|cut| cut.stock == one.id);
    let done_length: i64 = match one.stock {
        Some(_) => done().map(|cut| nanometres(cut.length)).sum(),
        None => 0,
    };
    let count = i64::try_from(one.load.items.len()).unwrap_or_default();
    let cut = done_length + weight_of(&one.load.items) - kerf * count;
    let left = (one.load.room() - kerf).max(0);
    StockUse {
        stock: one.id.clone(),
        batch: one.stock.and_then(|stock| stock.batch.clone()),
        kind: one.load.bin.kind,
        length: millimetres(length),
        done: match one.stock {
            Some(_) => done().map(|cut| cut.piece.clone()).collect(),
            None => Vec::new(),
        },
        pieces: one.pieces.iter().map(|piece| piece.id.clone()).collect(),
        cut: millimetres(cut),
        lost: millimetres(length - cut - left),
        left: millimetres(left),
        leftover: if left == 0 {
            Leftover::Nothing
        } else if left < nanometres(input.least_usable) {
            Leftover::Scrap
        } else {
            Leftover::Keep
        },
    }
}

fn sentence(
    input: &CutPlanInput,
    uses: &[StockUse],
    uncovered: &[&Piece],
    reels: &ReelCount,
    found: &Found,
) -> String {
    let planned: usize = uses.iter().map(|one| one.pieces.len()).sum();
    let of = |kind| {
        let used = |one: &&StockUse| one.kind == kind && !one.pieces.is_empty();
        uses.iter().filter(used).count()
    };
    let parts: Vec<String> = [
        (of(StockKind::Offcut), "leftover", ""),
        (of(StockKind::Reel), "reel", ""),
        (of(StockKind::ToOrder), "reel", " to order"),
    ]
    .into_iter()
    .filter(|(count, ..)| *count > 0)
    .map(|(count, what, then)| format!("{}{then}", counted(count, what)))
    .collect();
    let listed = match input.order {
        CutOrder::AsListed => " in the order of the list",
        CutOrder::LeastStock => "",
    };
    let from = match parts.is_empty() {
        true => format!("{} planned", counted(planned, "piece")),
        false => format!(
            "{} from {}{listed}",
            counted(planned, "piece"),
            parts.join(" and ")
        ),
    };
    if !uncovered.is_empty() {
        let missing: Millimetres = uncovered.iter().map(|piece| piece.length).sum();
        let few: Vec<&str> = uncovered.iter().take(6).map(|p| p.id.as_str()).collect();
        let more = if uncovered.len() > few.len() {
            " …"
        } else {
            ""
        };
        return format!(
            "{from}. No stock is left for {}, {missing} together: {}{more}. Order strand, or \
             enter the length of a new reel.",
            counted(uncovered.len(), "piece"),
            few.join(", "),
        );
    }
    let what = match reels.what {
        Counted::ReelsUsed => "",
        Counted::ReelsToOrder => " to order",
    };
    let by = match found.by {
        BoundBy::Material => "by what a reel can give of these lengths",
        BoundBy::Patterns => "by every pattern that a reel can be cut to",
    };
    if reels.planned == 0 {
        format!("{from}: no reel is needed.")
    } else if reels.least_possible {
        format!("{from}, the least possible: no plan takes fewer reels{what}, {by}.")
    } else {
        format!(
            "{from}. At least {} {what} whatever the plan, {by}; none with fewer than {} was found.",
            match reels.at_least {
                1 => "1 reel is needed".to_owned(),
                n => format!("{n} reels are needed"),
            },
            reels.planned
        )
        .replace("  ", " ")
    }
}

fn counted(count: usize, what: &str) -> String {
    match count {
        1 => format!("1 {what}"),
        _ => format!("{count} {what}s"),
    }
}
