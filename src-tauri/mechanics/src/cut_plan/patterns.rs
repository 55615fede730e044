//! A layout made of the patterns that the linear relaxation uses, rounded down again and again.
//!
//! Pieces of like length are treated as one kind of the longest of them, so that the relaxation
//! stays small; for the bound they are treated as the shortest.
//! Invariant: a layout from here fits, since pieces are only ever taken for longer than they are.

use super::check::Bin;
use super::fill::Grid;
use super::fill::Item;
use super::knapsack::Kind;
use super::reels::{Layout, Load, exact_fills, first_fit, sort};
use super::relax::relax;

/// Kinds that the relaxation is given at most.
const MOST_KINDS: usize = 40;
/// Reels up to which patterns are rounded one by one.
const MOST_ROUNDS: usize = 60;

/// Pieces in groups of like length, the longest first: as few millimetres apart within a group as
/// the number of kinds allows.
pub(super) fn groups(items: &[Item]) -> Vec<Vec<Item>> {
    let (mut least, mut most) = match (items.last(), items.first()) {
        (Some(shortest), Some(longest)) => (0, longest.weight - shortest.weight),
        _ => return Vec::new(),
    };
    while least < most {
        let middle = least + (most - least) / 2;
        if within(items, middle).len() <= MOST_KINDS {
            most = middle;
        } else {
            least = middle + 1;
        }
    }
    within(items, most)
}

/// Groups in which no piece is shorter than the longest by more than `apart`.
fn within(items: &[Item], apart: i64) -> Vec<Vec<Item>> {
    let mut groups: Vec<Vec<Item>> = Vec::new();
    for item in items {
        let joins = |group: &&mut Vec<Item>| {
            let longest = group.first().map_or(0, |first| first.weight);
            longest - item.weight <= apart
        };
        match groups.last_mut().filter(joins) {
            Some(group) => group.push(*item),
            None => groups.push(vec![*item]),
        }
    }
    groups
}

/// The best of several roundings, over reels of one capacity.
pub(super) fn by_patterns(items: &[Item], bins: &[Bin], grid: Grid) -> Option<Layout> {
    let capacity = grid.down(bins.first()?.capacity);
    let mut groups = groups(items);
    let mut free = bins.iter().copied();
    let mut loads: Vec<Load> = Vec::new();
    let mut best: Option<Layout> = None;
    for _ in 0..MOST_ROUNDS {
        groups.retain(|group| !group.is_empty());
        if groups.is_empty() {
            break;
        }
        let kinds: Vec<Kind> = groups
            .iter()
            .map(|group| longest_kind(group, grid))
            .collect();
        if kinds.iter().any(|kind| kind.size > capacity) {
            return best;
        }
        for pattern in rounded_down(relax(&kinds, capacity).patterns) {
            let items: Vec<Item> = groups
                .iter_mut()
                .zip(&pattern)
                .flat_map(|(group, count)| group.drain(..(*count as usize).min(group.len())))
                .collect();
            if items.is_empty() {
                continue;
            }
            let bin = free.next()?;
            loads.push(Load { bin, items });
        }
        let mut rest: Vec<Item> = groups.iter().flatten().copied().collect();
        sort(&mut rest);
        let unused: Vec<Bin> = free.clone().collect();
        for tail in [first_fit(&rest, &unused), exact_fills(&rest, &unused, grid)] {
            let whole = Layout {
                loads: loads.iter().cloned().chain(tail.loads).collect(),
                left: tail.left,
            };
            if best
                .as_ref()
                .is_none_or(|best| whole.score() < best.score())
            {
                best = Some(whole);
            }
        }
    }
    best
}

/// Each pattern as often as its whole part says; the one used most, once, where all are below one.
fn rounded_down(patterns: Vec<(Vec<u32>, f64)>) -> Vec<Vec<u32>> {
    // A count that is whole but for rounding counts as whole.
    let whole = |times: f64| {
        let times = (times + 1e-7).floor();
        (0..10_000)
            .take_while(move |n| f64::from(*n) < times)
            .count()
    };
    let fixed: Vec<Vec<u32>> = patterns
        .iter()
        .flat_map(|(pattern, times)| std::iter::repeat_n(pattern.clone(), whole(*times)))
        .collect();
    if !fixed.is_empty() {
        return fixed;
    }
    patterns
        .into_iter()
        .rev()
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(pattern, _)| vec![pattern])
        .unwrap_or_default()
}

fn longest_kind(group: &[Item], grid: Grid) -> Kind {
    let longest = group.iter().map(|item| item.weight).max().unwrap_or(1);
    Kind {
        size: grid.up(longest),
        count: u32::try_from(group.len()).unwrap_or(u32::MAX),
    }
}
