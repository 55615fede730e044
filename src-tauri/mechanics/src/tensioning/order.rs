//! One pass over slack wires in a given order: what the gauge must show on each so that all end at
//! their tension.
//!
//! Target of the k-th wire = last entry of C_S⁻¹·t_S over the wires S tightened so far, t = C·T.

use serde::{Deserialize, Serialize};

use super::Frame;
use crate::error::MechanicsError;
use crate::spd;
use crate::units::Newtons;

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
    })
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
