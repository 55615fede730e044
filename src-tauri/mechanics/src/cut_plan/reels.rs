//! Pieces given out to stock: first-fit decreasing, exact fills, and the slack gathered in one.
//!
//! Source of the exact fill that holds the longest piece left: Gupta and Ho, "A new heuristic
//! algorithm for the one-dimensional bin-packing problem", Production Planning & Control 10, 1999.
//! Invariant: no load passes its stock; every piece is in one load or among those left.

use super::StockKind;
use super::check::Bin;
use super::fill::Item;
use super::fill::{Grid, take_best, weight_of};

/// A stock and the pieces planned from it.
#[derive(Clone, Debug)]
pub(super) struct Load {
    pub(super) bin: Bin,
    pub(super) items: Vec<Item>,
}

impl Load {
    pub(super) fn room(&self) -> i64 {
        self.bin.capacity - weight_of(&self.items)
    }
}

/// Loads, and pieces for which no stock was left.
#[derive(Clone, Debug, Default)]
pub(super) struct Layout {
    pub(super) loads: Vec<Load>,
    pub(super) left: Vec<Item>,
}

impl Layout {
    pub(super) fn count(&self, kind: StockKind) -> usize {
        self.loads
            .iter()
            .filter(|load| load.bin.kind == kind)
            .count()
    }

    /// What makes one layout better than another; less is better.
    pub(super) fn score(&self) -> (i64, usize, usize, i64, i64) {
        let reels = || {
            self.loads
                .iter()
                .filter(|load| load.bin.kind != StockKind::Offcut)
        };
        (
            weight_of(&self.left),
            self.count(StockKind::ToOrder),
            reels().count(),
            reels().map(|load| load.bin.capacity).sum(),
            -reels().map(Load::room).max().unwrap_or_default(),
        )
    }
}

/// Each piece, the longest first, into the first stock in use that has room, else into the next.
pub(super) fn first_fit(items: &[Item], bins: &[Bin]) -> Layout {
    let mut open: Vec<(Load, i64)> = Vec::new();
    let mut unused: Vec<Bin> = bins.to_vec();
    let mut left = Vec::new();
    for item in items {
        let fits = |room: i64| room >= item.weight;
        if let Some((load, room)) = open.iter_mut().find(|(_, room)| fits(*room)) {
            load.items.push(*item);
            *room -= item.weight;
        } else if let Some(at) = unused.iter().position(|bin| fits(bin.capacity)) {
            let bin = unused.remove(at);
            let items = vec![*item];
            open.push((Load { bin, items }, bin.capacity - item.weight));
        } else {
            left.push(*item);
        }
    }
    Layout {
        loads: open.into_iter().map(|(load, _)| load).collect(),
        left,
    }
}

/// Stock by stock, each filled as far as any choice can that holds the longest piece left.
pub(super) fn exact_fills(items: &[Item], bins: &[Bin], grid: Grid) -> Layout {
    let mut left = items.to_vec();
    let mut loads = Vec::new();
    for bin in bins {
        let Some(at) = left.iter().position(|item| item.weight <= bin.capacity) else {
            continue;
        };
        let longest = left.remove(at);
        let mut items = vec![longest];
        items.extend(take_best(&mut left, bin.capacity - longest.weight, grid));
        loads.push(Load { bin: *bin, items });
    }
    Layout { loads, left }
}

/// Offcuts, the smallest first, each filled as far as any choice can; the rest stays in `items`.
pub(super) fn use_offcuts(items: &mut Vec<Item>, offcuts: &[Bin], grid: Grid) -> Vec<Load> {
    let mut loads = Vec::new();
    for bin in offcuts {
        let items = take_best(items, bin.capacity, grid);
        if !items.is_empty() {
            loads.push(Load { bin: *bin, items });
        }
    }
    loads
}

/// Fills every reel again with pieces of the one that has most room, until that one is empty or
/// no longer gives any away: the slack ends in one longest leftover.
pub(super) fn gather_slack(layout: &mut Layout, grid: Grid) {
    loop {
        let roomiest = layout
            .loads
            .iter()
            .enumerate()
            .rev()
            .max_by_key(|(_, load)| (load.bin.kind, load.room()))
            .map(|(at, _)| at);
        let Some(roomiest) = roomiest.filter(|_| layout.loads.len() > 1) else {
            return;
        };
        let mut giver = layout.loads.remove(roomiest);
        for load in &mut layout.loads {
            if load.room() < grid.step {
                continue;
            }
            let before = weight_of(&load.items);
            let mut pool: Vec<Item> = load.items.iter().chain(&giver.items).copied().collect();
            sort(&mut pool);
            let taken = take_best(&mut pool, load.bin.capacity, grid);
            if weight_of(&taken) > before {
                load.items = taken;
                giver.items = pool;
            }
        }
        if !giver.items.is_empty() {
            let at = roomiest.min(layout.loads.len());
            layout.loads.insert(at, giver);
            return;
        }
    }
}

/// Longest first; equal ones keep a fixed order.
pub(super) fn sort(items: &mut [Item]) {
    items.sort_by(|a, b| b.weight.cmp(&a.weight).then(a.rank.cmp(&b.rank)));
}

#[cfg(test)]
mod tests {
    use super::*;

    fn items(weights: &[i64]) -> Vec<Item> {
        let item = |(at, weight): (usize, &i64)| Item {
            at,
            weight: *weight,
            rank: at,
        };
        weights.iter().enumerate().map(item).collect()
    }

    fn bins(capacities: &[i64]) -> Vec<Bin> {
        let bin = |(at, capacity): (usize, &i64)| Bin {
            kind: StockKind::Reel,
            at,
            capacity: *capacity,
            started: false,
        };
        capacities.iter().enumerate().map(bin).collect()
    }

    fn rooms(layout: &Layout) -> Vec<i64> {
        let mut rooms: Vec<i64> = layout.loads.iter().map(Load::room).collect();
        rooms.sort_unstable();
        rooms
    }

    #[test]
    fn slack_is_gathered_in_one_reel_and_an_emptied_one_is_given_up() {
        let grid = Grid {
            step: 1,
            exact: true,
        };
        // 6 + 3 and 3 + 2 + 2 + 2 leave one each; 6 + 2 + 2 and 3 + 3 + 2 leave two in one.
        let mut layout = first_fit(&items(&[6, 3, 3, 2, 2, 2]), &bins(&[10, 10]));
        assert_eq!(rooms(&layout), [1, 1]);
        gather_slack(&mut layout, grid);
        assert_eq!(rooms(&layout), [0, 2]);
        let pieces: usize = layout.loads.iter().map(|load| load.items.len()).sum();
        assert_eq!(pieces, 6);
        // Three loads that fit into two.
        let loads = [(0, [6, 3]), (1, [4, 3]), (2, [1, 3])];
        let mut layout = Layout {
            loads: loads
                .iter()
                .map(|(at, weights)| Load {
                    bin: bins(&[10, 10, 10])[*at],
                    items: items(weights),
                })
                .collect(),
            left: Vec::new(),
        };
        gather_slack(&mut layout, grid);
        assert_eq!(rooms(&layout), [0, 0]);
    }

    #[test]
    fn the_exact_fill_holds_the_longest_piece_left() {
        let grid = Grid {
            step: 1,
            exact: true,
        };
        let layout = exact_fills(&items(&[7, 5, 5, 2]), &bins(&[10, 10]), grid);
        let told: Vec<Vec<i64>> = layout
            .loads
            .iter()
            .map(|load| load.items.iter().map(|item| item.weight).collect())
            .collect();
        // 5 + 5 would fill the first, but the longest has to go somewhere.
        assert_eq!(told, [vec![7, 2], vec![5, 5]]);
    }
}
