//! All pieces from what is there, where filling one stock after the other leaves some: a search with a bound on its
//! steps. Each piece, the longest first, goes into every stock that has room, the fullest first, until all have
//! theirs.
//!
//! Invariant: no load passes its stock. That none is found is no proof that there is none.

use super::check::Bin;
use super::fill::{Item, weight_of};
use super::reels::{Layout, Load};

/// A layout that leaves no piece; none where the stock holds too little, or none was found. `steps`: how many pieces may
/// still be placed and taken back; what was used is taken off it.
pub(super) fn place_all(items: &[Item], bins: &[Bin], steps: &mut u32) -> Option<Layout> {
    let mut search = Search {
        items,
        rooms: bins.iter().map(|bin| bin.capacity).collect(),
        chosen: Vec::with_capacity(items.len()),
        steps,
    };
    if weight_of(items) > search.rooms.iter().sum() || !search.goes_on() {
        return None;
    }
    let mut loads: Vec<Load> = bins
        .iter()
        .map(|bin| Load {
            bin: *bin,
            items: Vec::new(),
        })
        .collect();
    for (item, at) in items.iter().zip(&search.chosen) {
        loads.get_mut(*at)?.items.push(*item);
    }
    loads.retain(|load| !load.items.is_empty());
    Some(Layout {
        loads,
        left: Vec::new(),
    })
}

struct Search<'i> {
    items: &'i [Item],
    rooms: Vec<i64>,
    /// The stock of each piece so far.
    chosen: Vec<usize>,
    steps: &'i mut u32,
}

impl Search<'_> {
    /// Whether the pieces that have no stock yet can all be placed.
    fn goes_on(&mut self) -> bool {
        let Some(item) = self.items.get(self.chosen.len()).copied() else {
            return true;
        };
        let mut places: Vec<(i64, usize)> = self.rooms.iter().copied().zip(0..).collect();
        places.retain(|(room, _)| *room >= item.weight);
        places.sort_unstable();
        // Stocks with as much room are one to what comes.
        places.dedup_by_key(|(room, _)| *room);
        for (room, at) in places {
            if *self.steps == 0 {
                return false;
            }
            *self.steps -= 1;
            self.put(at, room - item.weight);
            self.chosen.push(at);
            if self.goes_on() {
                return true;
            }
            self.chosen.pop();
            self.put(at, room);
        }
        false
    }

    fn put(&mut self, at: usize, room: i64) {
        if let Some(has) = self.rooms.get_mut(at) {
            *has = room;
        }
    }
}
