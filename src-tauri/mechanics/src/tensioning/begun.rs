//! The least order from where the wires stand, some of them turned already.
//!
//! What all show once a set S of the rest is turned depends on S alone, so the order whose largest
//! tension on the way is least is found exactly over subsets. Invariant: an order is called least
//! only when it was found so; what stands already and is not raised counts for no order. Does not
//! know who read what.

use super::Frame;
use super::passes::from_the_edges;
use super::standing::{Standing, shown_tight};
use crate::error::MechanicsError;
use crate::units::Newtons;

/// Most wires for which the least order is found exactly: 2ⁿ subsets are looked at.
const MOST_FOR_LEAST_ORDER: usize = 16;

/// By how much a wire that is not turned may rise by rounding, newtons.
const ROUNDING: f64 = 1.0e-6;

/// Wires as they stand, and what is still to be turned of them.
pub(super) struct Begun {
    /// What they show.
    pub(super) now: Vec<Newtons>,
    /// Turn-in of each.
    pub(super) have: Vec<f64>,
    /// Turn-in that is wanted of each of the rest.
    pub(super) need: Vec<f64>,
    /// The wires that are still to be turned, from the bottom.
    pub(super) rest: Vec<usize>,
}

/// An order of the rest.
pub(super) struct Way {
    pub(super) order: Vec<usize>,
    /// The most that any wire shows on the way; what stood before and was not raised is left out.
    pub(super) largest: f64,
    pub(super) proven_least: bool,
}

impl Begun {
    pub(super) fn turn(&self, wire: usize) -> f64 {
        let of = |list: &[f64]| list.get(wire).copied().unwrap_or(0.0);
        of(&self.need) - of(&self.have)
    }

    /// The wires once these of the rest are turned.
    pub(super) fn with<'a>(
        &self,
        frame: &'a Frame,
        members: &[usize],
    ) -> Result<Standing<'a>, MechanicsError> {
        let mut turned = self.have.clone();
        let mut tight = shown_tight(&self.now);
        for wire in members {
            if let (Some(own), Some(need)) = (turned.get_mut(*wire), self.need.get(*wire)) {
                *own = *need;
            }
            if !tight.contains(wire) {
                tight.push(*wire);
            }
        }
        tight.sort_unstable();
        Standing::of(&frame.flexibility, turned, tight)
    }

    /// The most that a wire shows that was turned, or that rose since.
    pub(super) fn most(&self, standing: &Standing<'_>, members: &[usize]) -> f64 {
        let shown = standing.tensions().iter().zip(&self.now).enumerate();
        shown
            .filter(|(wire, (tension, now))| {
                members.contains(wire) || **tension > now.value() + ROUNDING
            })
            .fold(0.0, |most, (_, (tension, _))| most.max(*tension))
    }

    /// The most on the way of one order.
    fn on_the_way(&self, frame: &Frame, order: &[usize]) -> Result<f64, MechanicsError> {
        let mut most: f64 = 0.0;
        for last in 1..=order.len() {
            let members = order.get(..last).unwrap_or(order);
            most = most.max(self.most(&self.with(frame, members)?, members));
        }
        Ok(most)
    }
}

/// The order of the rest whose largest tension on the way is least: exactly for up to
/// [`MOST_FOR_LEAST_ORDER`] of them, the best of the usual orders beyond. Where several ask for as
/// little, what hangs slack goes first, from the bottom up, then what needs the largest turn.
pub(super) fn least_way(frame: &Frame, begun: &Begun) -> Result<Way, MechanicsError> {
    let rest = &begun.rest;
    if rest.len() > MOST_FOR_LEAST_ORDER {
        return best_usual_way(frame, begun);
    }
    let all = 1_usize << rest.len();
    let of = |set: usize| -> Vec<(usize, usize)> {
        let wires = rest.iter().copied().enumerate();
        wires.filter(|(bit, _)| set >> bit & 1 == 1).collect()
    };
    // Largest tension on the best way to each set.
    let mut best: Vec<f64> = vec![0.0; all];
    for set in 1..all {
        let members = of(set);
        let wires: Vec<usize> = members.iter().map(|(_, wire)| *wire).collect();
        let before = members
            .iter()
            .filter_map(|(bit, _)| best.get(set & !(1 << bit)).copied())
            .fold(f64::INFINITY, f64::min);
        let most = before.max(begun.most(&begun.with(frame, &wires)?, &wires));
        if let Some(place) = best.get_mut(set) {
            *place = most;
        }
    }
    // The smallest turn waits longest among those that show something, before them what hangs slack.
    let waits = |wire: usize| match begun.now.get(wire).is_some_and(|now| now.value() > 0.0) {
        true => -begun.turn(wire).abs(),
        false => f64::NEG_INFINITY,
    };
    let mut order = Vec::with_capacity(rest.len());
    let mut set = all - 1;
    while set != 0 {
        let most = best.get(set).copied().unwrap_or(f64::INFINITY);
        let last = of(set)
            .into_iter()
            .filter(|(bit, _)| best.get(set & !(1 << bit)).is_some_and(|b| *b <= most))
            .max_by(|(_, a), (_, b)| waits(*a).total_cmp(&waits(*b)).then(a.cmp(b)));
        let Some((bit, wire)) = last else {
            break;
        };
        order.push(wire);
        set &= !(1 << bit);
    }
    order.reverse();
    Ok(Way {
        order,
        largest: best.last().copied().unwrap_or(0.0),
        proven_least: true,
    })
}

fn best_usual_way(frame: &Frame, begun: &Begun) -> Result<Way, MechanicsError> {
    let up = begun.rest.clone();
    let down: Vec<usize> = up.iter().rev().copied().collect();
    let inward: Vec<usize> = from_the_edges(up.len())
        .into_iter()
        .filter_map(|place| up.get(place).copied())
        .collect();
    let outward: Vec<usize> = inward.iter().rev().copied().collect();
    let mut best: Option<Way> = None;
    for order in [up, down, inward, outward] {
        let largest = begun.on_the_way(frame, &order)?;
        if best.as_ref().is_none_or(|best| largest < best.largest) {
            best = Some(Way {
                order,
                largest,
                proven_least: false,
            });
        }
    }
    Ok(best.unwrap_or(Way {
        order: Vec::new(),
        largest: 0.0,
        proven_least: false,
    }))
}
