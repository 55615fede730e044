//! The plan of one strand: the record's pieces and stock given to the engineering, and its answer.

use std::collections::BTreeMap;

use mechanics::cut_plan::{
    self as plan, Counted, Cut, CutOrder, CutPlanInput, DoneCut, MOST_PIECES, Piece,
};
use mechanics::{MechanicsError, Millimetres};

use super::pieces::{Found, Ready};
use super::{
    CutGroup, NoStock, PlannedCut, ReelsCounted, StockAfter, StockItem, StockKind, StrandPlan,
    is_scrap,
};
use crate::ids::ItemId;
use crate::job::Job;
use crate::work::convert::nm;
use crate::work::stock::{Stock, not_come};

pub(super) fn plan(
    job: &Job<'_>,
    strand: Option<ItemId>,
    stock: &Stock,
    found: &Found,
) -> StrandPlan {
    let name = job.strands.iter().find(|s| Some(s.id) == strand);
    let mut told = StrandPlan {
        strand,
        name: name.map_or_else(|| "strand not chosen".to_owned(), |s| s.name.clone()),
        groups: Vec::new(),
        no_stock: Vec::new(),
        after: Vec::new(),
        kept_mm: 0.0,
        scrap_mm: 0.0,
        reels: None,
        sentence: String::new(),
        problem: None,
        not_ready_mm: found.not_ready_mm.get(&strand).copied().unwrap_or(0.0),
    };
    let ready: Vec<&Ready> = found.ready.iter().filter(|r| r.strand == strand).collect();
    if ready.is_empty() {
        return told;
    }
    if stock.rules_disputed {
        told.problem = Some(
            "People differ on how strand is cut on this job: kerf, trimming or the least usable \
             leftover. Settle that first."
                .to_owned(),
        );
        return told;
    }
    if ready.len() > MOST_PIECES {
        told.problem = Some(format!(
            "{} wires are released and not cut; at most {MOST_PIECES} are planned at once. Cut those \
             of some runs first.",
            ready.len()
        ));
        return told;
    }
    let of_strand = |item: &&StockItem| item.strand == strand && item.usable();
    let items: Vec<&StockItem> = stock.items.iter().filter(of_strand).collect();
    let trim = nm(stock.rules.end_trim_nm).value();
    let gives = |item: &StockItem| item.left_mm - if item.fresh() { trim } else { 0.0 };
    let new_reel = stock.rules.new_reel_nm.map(|length| nm(length).value());
    let longest = items
        .iter()
        .map(|item| gives(item))
        .chain(new_reel.map(|length| length - trim))
        .fold(0.0, f64::max);
    let (fits, too_long): (Vec<&Ready>, Vec<&Ready>) =
        ready.into_iter().partition(|r| r.cut_mm <= longest);
    told.no_stock = too_long.iter().map(|r| too_long_for(r, longest)).collect();
    if !fits.is_empty() {
        match trials_covered(&input(stock, &items, &fits)) {
            Ok(made) => fill(&mut told, &made, &items, &fits),
            Err(error) => told.problem = Some(format!("{error}.")),
        }
    }
    let to_order = told.reels.as_ref().is_some_and(|reels| reels.to_order);
    if to_order || !told.no_stock.is_empty() {
        let of_strand = |item: &&StockItem| item.strand == strand;
        let awaited = not_come(job, stock.items.iter().filter(of_strand));
        let told_so_far = Some(told.sentence).filter(|sentence| !sentence.is_empty());
        let sentences: Vec<String> = told_so_far.into_iter().chain(awaited).collect();
        told.sentence = sentences.join(" ");
    }
    told
}

/// The plan; where strand is short, one that gives the trial wires theirs before any other, since
/// nothing else is cut before they are.
fn trials_covered(input: &CutPlanInput) -> Result<plan::CutPlan, MechanicsError> {
    let whole = plan::cut_plan(input)?;
    let is_trial = |id: &String| input.pieces.iter().any(|p| p.trial && p.id == *id);
    if !whole.uncovered.iter().any(is_trial) {
        return Ok(whole);
    }
    let (trials, others): (Vec<Piece>, Vec<Piece>) =
        input.pieces.iter().cloned().partition(|piece| piece.trial);
    let mut first = plan::cut_plan(&CutPlanInput {
        pieces: trials,
        ..input.clone()
    })?;
    // What the others can still be cut from.
    let left = |stock: &plan::Stock| {
        let used = first.stock.iter().find(|used| used.stock == stock.id);
        let trim = if stock.clean_end {
            0.0
        } else {
            input.end_trim.value()
        };
        used.map_or(stock.length.value() - trim, |used| used.left.value())
    };
    let longest = input.stock.iter().map(left).fold(0.0, f64::max);
    let (pieces, too_long): (Vec<Piece>, Vec<Piece>) = others
        .into_iter()
        .partition(|piece| piece.length.value() <= longest);
    first.uncovered.extend(too_long.into_iter().map(|p| p.id));
    if pieces.is_empty() {
        first.reels.least_possible = false;
        return Ok(first);
    }
    let done = |cut: &Cut| DoneCut {
        piece: cut.piece.clone(),
        stock: cut.stock.clone(),
        length: cut.length,
    };
    let mut rest = plan::cut_plan(&CutPlanInput {
        pieces,
        done: first.cuts.iter().map(done).collect(),
        ..input.clone()
    })?;
    let before = u32::try_from(first.cuts.len()).unwrap_or(u32::MAX);
    for cut in &mut rest.cuts {
        cut.number = cut.number.saturating_add(before);
    }
    rest.cuts.splice(0..0, first.cuts);
    rest.uncovered.splice(0..0, first.uncovered);
    // Two plans one after the other prove nothing of the whole.
    rest.reels.least_possible = false;
    Ok(rest)
}

fn input(stock: &Stock, items: &[&StockItem], fits: &[&Ready]) -> CutPlanInput {
    let rules = &stock.rules;
    let longest = fits.iter().map(|r| r.cut_mm).fold(0.0, f64::max);
    let stock = |item: &&StockItem| plan::Stock {
        id: item.name.clone(),
        batch: None,
        kind: match item.kind {
            StockKind::Offcut => plan::StockKind::Offcut,
            // What is left of a reel and can't give the longest wire is an offcut: used first.
            StockKind::Reel if !item.cuts.is_empty() && item.left_mm < longest => {
                plan::StockKind::Offcut
            }
            StockKind::Reel => plan::StockKind::Reel,
        },
        length: Millimetres(item.left_mm),
        clean_end: !item.fresh(),
        started: !item.cuts.is_empty(),
    };
    let piece = |r: &&Ready| Piece {
        id: r.name.clone(),
        length: Millimetres(r.cut_mm),
        trial: r.trial,
    };
    CutPlanInput {
        pieces: fits.iter().map(piece).collect(),
        stock: items.iter().map(stock).collect(),
        done: Vec::new(),
        order: match rules.as_listed {
            true => CutOrder::AsListed,
            false => CutOrder::LeastStock,
        },
        kerf: nm(rules.kerf_nm),
        end_trim: nm(rules.end_trim_nm),
        least_usable: nm(rules.least_usable_nm),
        new_reel: rules.new_reel_nm.map(nm),
    }
}

fn fill(told: &mut StrandPlan, made: &plan::CutPlan, items: &[&StockItem], fits: &[&Ready]) {
    let ready: BTreeMap<&str, &Ready> = fits.iter().map(|r| (r.name.as_str(), *r)).collect();
    let of: BTreeMap<&str, &StockItem> = items.iter().map(|i| (i.name.as_str(), *i)).collect();
    let id = |name: &str| of.get(name).map(|item| item.id.clone());
    let mut groups: Vec<CutGroup> = Vec::new();
    for cut in &made.cuts {
        let Some(planned) = ready.get(cut.piece.as_str()).map(|r| planned(cut, r)) else {
            continue;
        };
        let left_mm = planned.left_mm;
        match groups.last_mut() {
            Some(last) if last.name == cut.stock && last.trial == cut.trial => {
                last.cuts.push(planned);
                last.left_mm = left_mm;
            }
            _ => groups.push(CutGroup {
                stock: id(&cut.stock),
                name: cut.stock.clone(),
                kind: of
                    .get(cut.stock.as_str())
                    .map_or(StockKind::Reel, |item| item.kind),
                trial: cut.trial,
                cuts: vec![planned],
                left_mm,
            }),
        }
    }
    told.groups = groups;
    told.after = made
        .stock
        .iter()
        .filter(|used| !used.pieces.is_empty() || !used.done.is_empty())
        .map(|used| StockAfter {
            stock: id(&used.stock),
            name: used.stock.clone(),
            before_mm: used.length.value(),
            left_mm: used.left.value(),
            scrap: is_scrap(used.leftover),
        })
        .collect();
    let sum = |scrap: bool| -> f64 {
        let of = told.after.iter().filter(|one| one.scrap == scrap);
        of.map(|one| one.left_mm).sum()
    };
    // Nothing adds up to a nought with a sign.
    (told.kept_mm, told.scrap_mm) = (sum(false) + 0.0, sum(true) + 0.0);
    let uncovered = made
        .uncovered
        .iter()
        .filter_map(|name| ready.get(name.as_str()));
    told.no_stock.extend(uncovered.map(|r| {
        no_stock(
            r,
            "No way was found that leaves enough of a reel or offcut for it. Enter the strand that came \
         under Deliveries, or tell the length of a reel that could be ordered.",
        )
    }));
    told.reels = Some(ReelsCounted {
        to_order: made.reels.what == Counted::ReelsToOrder,
        planned: made.reels.planned,
        at_least: made.reels.at_least,
        // A wire that no reel can give is not covered, whatever the others take.
        least_possible: made.reels.least_possible && told.no_stock.is_empty(),
    });
    told.sentence = match told.no_stock.len() {
        0 => made.sentence.clone(),
        missing => format!(
            "{} of {} released wires are planned. For the others no way was found that leaves enough of a reel or offcut.",
            made.cuts.len(),
            made.cuts.len() + missing
        ),
    };
}

fn planned(cut: &Cut, ready: &Ready) -> PlannedCut {
    PlannedCut {
        number: cut.number,
        run: ready.run,
        wire: ready.wire,
        piece: ready.piece,
        name: ready.name.clone(),
        end: ready.end.clone(),
        cut_mm: ready.cut_mm,
        shortest_mm: ready.window_mm.0,
        longest_mm: ready.window_mm.1,
        trial: ready.trial,
        left_mm: cut.left.value(),
    }
}

fn too_long_for(ready: &Ready, longest: f64) -> NoStock {
    let longest = if longest > 0.0 {
        format!("The longest reel or offcut gives {}.", Millimetres(longest))
    } else {
        "There is no strand in stock.".to_owned()
    };
    no_stock(
        ready,
        &format!(
            "{longest} Enter the strand that came under Deliveries, with its metres, or tell the \
             length of a reel that could be ordered."
        ),
    )
}

fn no_stock(ready: &Ready, reason: &str) -> NoStock {
    NoStock {
        run: ready.run,
        wire: ready.wire,
        name: ready.name.clone(),
        cut_mm: ready.cut_mm,
        reason: reason.to_owned(),
    }
}
