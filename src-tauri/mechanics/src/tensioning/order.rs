//! One pass over the wires: what the gauge must show on each so that all end at their tension.
//!
//! Target of the k-th wire = last entry of C_S⁻¹·t_S over the wires S tightened so far, t = C·T.
//! It depends on S and k alone, so the order with the least largest target is found exactly over
//! subsets. Invariant: an order is called least only when it was found so.

use serde::{Deserialize, Serialize};

use super::Frame;
use crate::error::MechanicsError;
use crate::spd;
use crate::units::Newtons;

/// Most wires for which the least order is found exactly: 2ⁿ subsets are looked at.
pub const MOST_FOR_LEAST_ORDER: usize = 16;

/// One pass over all wires.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct OnePass {
    /// Wires from 0 at the bottom, in the order in which they are tightened.
    pub order: Vec<usize>,
    /// What each shows when it has just been tightened, in the same order.
    pub targets: Vec<Newtons>,
    /// The largest of them.
    pub largest: Newtons,
    /// Whether no order has a smaller largest target.
    pub proven_least: bool,
}

/// Targets of one pass in a given order.
///
/// Linear elasticity of [`Frame`]; checked with beam finite elements (engineering basis).
///
/// # Errors
/// When the order does not name each wire once, or a tension cannot be.
pub fn one_pass(
    frame: &Frame,
    tensions: &[Newtons],
    order: &[usize],
) -> Result<OnePass, MechanicsError> {
    let turned = numbers(frame.turn_in(tensions)?);
    let mut sorted = order.to_vec();
    sorted.sort_unstable();
    if sorted != (0..frame.wires()).collect::<Vec<_>>() {
        return Err(MechanicsError::NotAnOrder {
            wires: frame.wires(),
        });
    }
    let mut targets = Vec::with_capacity(order.len());
    for last in 1..=order.len() {
        let done = order.get(..last).unwrap_or(order);
        let target = solved(&frame.flexibility, &turned, done).last().copied();
        targets.push(Newtons(target.unwrap_or(0.0)));
    }
    Ok(OnePass {
        order: order.to_vec(),
        largest: largest(&targets),
        targets,
        proven_least: false,
    })
}

/// The order whose largest target is least, exactly, for up to [`MOST_FOR_LEAST_ORDER`] wires;
/// the best of the usual orders beyond.
///
/// Dynamic programming over subsets (Held and Karp 1962), exact for the linear [`Frame`].
///
/// # Errors
/// When a tension cannot be.
pub fn least_order(frame: &Frame, tensions: &[Newtons]) -> Result<OnePass, MechanicsError> {
    let wires = frame.wires();
    if wires > MOST_FOR_LEAST_ORDER {
        return best_usual_order(frame, tensions);
    }
    let turned = numbers(frame.turn_in(tensions)?);
    let all = 1_usize << wires;
    // Largest target on the best way to each set, and the wire tightened last on that way.
    let mut best: Vec<(f64, usize)> = vec![(0.0, 0); all];
    for set in 1..all {
        let members: Vec<usize> = (0..wires).filter(|wire| set >> wire & 1 == 1).collect();
        let targets = solved(&frame.flexibility, &turned, &members);
        let mut least = (f64::INFINITY, 0);
        for (wire, target) in members.iter().zip(&targets) {
            let before = best.get(set & !(1 << wire)).map_or(0.0, |(most, _)| *most);
            let most = before.max(*target);
            if most < least.0 {
                least = (most, *wire);
            }
        }
        if let Some(place) = best.get_mut(set) {
            *place = least;
        }
    }
    let mut order = Vec::with_capacity(wires);
    let mut set = all - 1;
    while set != 0 {
        let wire = best.get(set).map_or(0, |(_, wire)| *wire);
        order.push(wire);
        set &= !(1 << wire);
    }
    order.reverse();
    Ok(OnePass {
        proven_least: true,
        ..one_pass(frame, tensions, &order)?
    })
}

/// The best of the usual orders: from the bottom, from the top, from the middle, from both edges.
///
/// The orders are common practice, without a source.
///
/// # Errors
/// When a tension cannot be.
pub fn best_usual_order(frame: &Frame, tensions: &[Newtons]) -> Result<OnePass, MechanicsError> {
    let wires = frame.wires();
    let up: Vec<usize> = (0..wires).collect();
    let down: Vec<usize> = up.iter().rev().copied().collect();
    let inward = super::passes::from_the_edges(wires);
    let outward: Vec<usize> = inward.iter().rev().copied().collect();
    let mut best = one_pass(frame, tensions, &up)?;
    for order in [down, inward, outward] {
        let other = one_pass(frame, tensions, &order)?;
        if other.largest < best.largest {
            best = other;
        }
    }
    Ok(best)
}

/// C_S⁻¹·t_S for the wires of a set, in the order given.
fn solved(takes: &spd::Matrix, turned: &[f64], wires: &[usize]) -> Vec<f64> {
    let right: Vec<f64> = wires
        .iter()
        .filter_map(|wire| turned.get(*wire).copied())
        .collect();
    // A part of a positive definite matrix is one itself.
    spd::factor(&part(takes, wires)).map_or_else(Vec::new, |lower| spd::solve(&lower, &right))
}

/// C_S: rows and columns of the wires of a set, in the order given.
pub(super) fn part(takes: &spd::Matrix, wires: &[usize]) -> spd::Matrix {
    let row = |i: &usize| {
        let row = takes.get(*i).map_or(&[][..], Vec::as_slice);
        let entry = |j: &usize| row.get(*j).copied().unwrap_or(0.0);
        wires.iter().map(entry).collect()
    };
    wires.iter().map(row).collect()
}

fn largest(targets: &[Newtons]) -> Newtons {
    targets.iter().copied().fold(Newtons(0.0), Newtons::max)
}

fn numbers(turned: Vec<crate::units::Millimetres>) -> Vec<f64> {
    turned
        .into_iter()
        .map(crate::units::Millimetres::value)
        .collect()
}
