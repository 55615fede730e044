//! How many reels any plan needs.
//!
//! Formula: give every piece a worth; no stock gives more worth than its best pattern, so `k`
//! reels are too few where all offcuts and the `k` best reels together stay below the worth of
//! all pieces. Worth is the length itself (then it is `⌈Σ/C⌉`, with the best exact fill for `C`), or the
//! dual price of the pattern relaxation (Gilmore and Gomory 1961), cut to whole numbers.
//! Invariant: in whole numbers throughout, and every rounding goes to the side of fewer reels.

use std::collections::BTreeMap;

use super::Counted;
use super::check::Problem;
use super::fill::Item;
use super::fill::{closest, weight_of};
use super::knapsack::{Kind, best_pattern};
use super::patterns::groups;
use super::relax::{ONE, relax};

/// By length.
pub(super) fn material(problem: &Problem, what: Counted) -> u32 {
    let total = weight_of(&problem.items);
    let grid = problem.grid;
    let steps: Vec<u32> = problem.items.iter().map(|i| grid.up(i.weight)).collect();
    let most = |capacity: i64| {
        if capacity >= total || !grid.exact {
            return Some(whole(capacity.min(total)));
        }
        let chosen = closest(&steps, grid.down(capacity));
        let item = |at: usize| problem.items.get(at).copied();
        let items: Vec<Item> = chosen.into_iter().filter_map(item).collect();
        Some(whole(weight_of(&items)))
    };
    fewest(problem, what, whole(total), most).unwrap_or_default()
}

/// By prices; nothing where a best pattern could not be found in a fixed number of steps.
pub(super) fn patterns(problem: &Problem, what: Counted) -> Option<u32> {
    let longest = match what {
        Counted::ReelsUsed => problem.reels.iter().map(|bin| bin.capacity).max()?,
        Counted::ReelsToOrder => problem.new_reel?,
    };
    let grid = problem.grid;
    // Only pieces that a reel can hold have a price; the rest is worth nothing, which is careful.
    let kinds: Vec<Kind> = groups(&problem.items)
        .iter()
        .filter_map(|group| {
            let shortest = group.iter().map(|item| item.weight).min()?;
            Some(Kind {
                size: grid.down(shortest).max(1),
                count: u32::try_from(group.len()).ok()?,
            })
        })
        .filter(|kind| kind.size <= grid.down(longest))
        .collect();
    let room = grid.down(longest);
    // Beside the relaxation's prices, those of a piece alone: as many as a reel holds make one.
    let alone = kinds.iter().map(|kind| ONE / u64::from(room / kind.size));
    [relax(&kinds, room).prices, alone.collect()]
        .iter()
        .filter_map(|prices| by_prices(problem, what, &kinds, prices))
        .max()
}

fn by_prices(problem: &Problem, what: Counted, kinds: &[Kind], prices: &[u64]) -> Option<u32> {
    let worth = kinds
        .iter()
        .zip(prices)
        .map(|(kind, price)| u128::from(kind.count) * u128::from(*price))
        .sum();
    fewest(problem, what, worth, |capacity| {
        let (_, value) = best_pattern(kinds, prices, problem.grid.down(capacity))?;
        Some(u128::from(value))
    })
}

/// The least count of reels whose worth, with that of all offcuts, reaches what is asked.
fn fewest(
    problem: &Problem,
    what: Counted,
    worth: u128,
    most: impl Fn(i64) -> Option<u128>,
) -> Option<u32> {
    let mut known: BTreeMap<i64, u128> = BTreeMap::new();
    let mut most = |capacity: i64| match known.get(&capacity) {
        Some(value) => Some(*value),
        None => {
            let value = most(capacity)?;
            known.insert(capacity, value);
            Some(value)
        }
    };
    let mut open = worth;
    for bin in &problem.offcuts {
        open = open.saturating_sub(most(bin.capacity)?);
    }
    let mut reels = Vec::new();
    for bin in &problem.reels {
        reels.push(most(bin.capacity)?);
    }
    reels.sort_unstable_by(|a, b| b.cmp(a));
    let mut count = 0;
    match what {
        Counted::ReelsUsed => {
            for reel in reels {
                if open == 0 {
                    break;
                }
                open = open.saturating_sub(reel);
                count += 1;
            }
        }
        Counted::ReelsToOrder => {
            let open = reels.into_iter().fold(open, u128::saturating_sub);
            let each = most(problem.new_reel?)?;
            if open > 0 {
                count = u32::try_from(open.checked_div(each)?).ok()?;
                count += u32::from(open % each != 0);
            }
        }
    }
    Some(count)
}

fn whole(length: i64) -> u128 {
    u128::try_from(length).unwrap_or_default()
}
