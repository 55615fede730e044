//! Pieces in the order of the list, for those who cut run by run.
//!
//! Invariant: a reel that was left is not taken up again; an offcut is taken where the next piece
//! fits, the smallest first.

use super::check::{Bin, Problem};
use super::reels::{Layout, Load};
use super::search::{Found, held_against_bounds};

pub(super) fn as_listed(problem: &Problem) -> Found {
    let mut offcuts: Vec<Load> = problem.offcuts.iter().map(|bin| empty(*bin)).collect();
    // A reel too short for the next piece waits for a later one.
    let mut waiting: Vec<Bin> = problem.reels.clone();
    waiting.extend(problem.to_order());
    let mut reels: Vec<Load> = Vec::new();
    let mut left = Vec::new();
    for item in &problem.listed {
        let fits = |load: &&mut Load| load.room() >= item.weight;
        let offcut = offcuts.iter_mut().find(fits);
        if let Some(load) = offcut.or_else(|| reels.last_mut().filter(fits)) {
            load.items.push(*item);
        } else if let Some(at) = waiting.iter().position(|bin| bin.capacity >= item.weight) {
            let mut load = empty(waiting.remove(at));
            load.items.push(*item);
            reels.push(load);
        } else {
            left.push(*item);
        }
    }
    offcuts.retain(|load| !load.items.is_empty());
    let loads = offcuts.into_iter().chain(reels).collect();
    held_against_bounds(problem, Layout { loads, left })
}

const fn empty(bin: Bin) -> Load {
    Load {
        bin,
        items: Vec::new(),
    }
}
