//! The least stock that can be found, and the bound it is held against.

use super::check::{Bin, Problem};
use super::patterns::by_patterns;
use super::place_all::place_all;
use super::reels::{Layout, exact_fills, first_fit, gather_slack, use_offcuts};
use super::{BoundBy, Counted, StockKind, bound};

/// So many pieces are searched through where other ways leave some.
const MOST_SEARCHED: usize = 200;

/// Pieces placed and taken back in that search, at most.
const STEPS: u32 = 400_000;

/// A layout, what of it is counted, and the bound.
pub(super) struct Found {
    pub(super) layout: Layout,
    pub(super) what: Counted,
    pub(super) at_least: u32,
    pub(super) by: BoundBy,
}

impl Found {
    pub(super) fn planned(&self) -> u32 {
        planned(&self.layout, self.what)
    }
}

pub(super) fn least_stock(problem: &Problem) -> Found {
    let grid = problem.grid;
    let mut rest = problem.items.clone();
    let offcuts = use_offcuts(&mut rest, &problem.offcuts, grid);
    let mut best: Option<Layout> = None;
    let keep = |best: &mut Option<Layout>, mut layout: Layout| {
        gather_slack(&mut layout, grid);
        if best
            .as_ref()
            .is_none_or(|best| layout.score() < best.score())
        {
            *best = Some(layout);
        }
    };
    let orders = orders(problem);
    for bins in &orders {
        keep(&mut best, first_fit(&rest, bins));
        keep(&mut best, exact_fills(&rest, bins, grid));
    }
    let whole = |best: Option<Layout>| {
        let mut layout = best.unwrap_or_default();
        layout.loads.splice(0..0, offcuts.iter().cloned());
        layout
    };
    let found = held_against_bounds(problem, whole(best.clone()));
    if found.planned() <= found.at_least && found.layout.left.is_empty() {
        return found;
    }
    for bins in &orders {
        if let Some(layout) = patterns_on_tail(problem, &rest, bins) {
            keep(&mut best, layout);
        }
    }
    let mut layout = whole(best);
    // Where a reel may be ordered nothing is ever left: then one to order stands for what was left.
    if (!layout.left.is_empty() || layout.count(StockKind::ToOrder) > 0)
        && let Some(all) = all_from_stock(problem)
    {
        layout = all;
    }
    held_against_bounds(problem, layout)
}

/// All pieces from offcuts and reels together, of as few reels as that finds; none where pieces are left all the same,
/// or too many to be searched.
fn all_from_stock(problem: &Problem) -> Option<Layout> {
    if problem.items.len() > MOST_SEARCHED {
        return None;
    }
    let mut reels = problem.reels.clone();
    reels.sort_by_key(|bin| std::cmp::Reverse(bin.capacity));
    // One allowance for all that is tried, so that much stock takes no longer than little.
    let mut steps = STEPS;
    (0..=reels.len()).find_map(|taken| {
        let reels = reels.get(..taken)?;
        let bins: Vec<Bin> = problem.offcuts.iter().chain(reels).copied().collect();
        place_all(&problem.items, &bins, &mut steps)
    })
}

/// The count beside the better of the two bounds; the second is made only where the first is short.
pub(super) fn held_against_bounds(problem: &Problem, layout: Layout) -> Found {
    let what = if layout.count(StockKind::ToOrder) > 0 {
        Counted::ReelsToOrder
    } else {
        Counted::ReelsUsed
    };
    let by_length = bound::material(problem, what);
    let mut found = Found {
        layout,
        what,
        at_least: by_length,
        by: BoundBy::Material,
    };
    if found.planned() > by_length
        && let Some(by_patterns) = bound::patterns(problem, what)
        && by_patterns > by_length
    {
        found.at_least = by_patterns;
        found.by = BoundBy::Patterns;
    }
    found
}

fn planned(layout: &Layout, what: Counted) -> u32 {
    let count = match what {
        Counted::ReelsToOrder => layout.count(StockKind::ToOrder),
        Counted::ReelsUsed => layout.count(StockKind::Reel),
    };
    u32::try_from(count).unwrap_or(u32::MAX)
}

/// Reels in stock, the shorter or the longer first, then those to order.
fn orders(problem: &Problem) -> Vec<Vec<Bin>> {
    let mut shorter = problem.reels.clone();
    shorter.sort_by_key(|bin| bin.capacity);
    let mut longer = problem.reels.clone();
    longer.sort_by_key(|bin| std::cmp::Reverse(bin.capacity));
    let mut orders = vec![shorter];
    if orders.first() != Some(&longer) {
        orders.push(longer);
    }
    for order in &mut orders {
        order.extend(problem.to_order());
    }
    orders
}

/// Exact fills of the reels that differ, then patterns over those of one capacity at the end.
fn patterns_on_tail(problem: &Problem, rest: &[super::fill::Item], bins: &[Bin]) -> Option<Layout> {
    let last = bins.last()?.capacity;
    let alike = bins
        .iter()
        .rev()
        .take_while(|bin| bin.capacity == last)
        .count();
    let (head, tail) = bins.split_at_checked(bins.len() - alike)?;
    let head = exact_fills(rest, head, problem.grid);
    let mut layout = by_patterns(&head.left, tail, problem.grid)?;
    layout.loads.splice(0..0, head.loads);
    Some(layout)
}
