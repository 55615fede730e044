//! Planning again from where the wires stand, after what was read or skipped: what is left to turn
//! until all are at their tension, and what is left of one pass.
//!
//! In one pass a wire that is near its tension stands where it is: t_R = C_RF·T_F + C_RR·T_R with
//! T_F = C_FF⁻¹·(t_F − C_FR·T_R), F the wires that stand and R the rest. Invariant: the order is
//! that with the least on the way. A slack wire is taken as just not tight.

use serde::{Deserialize, Serialize};

use super::Frame;
use super::begun::{Begun, least_way};
use super::order::part;
use super::standing::{Standing, bare, shown_tight};
use crate::error::MechanicsError;
use crate::spd;
use crate::tension::gauge_step;
use crate::units::{Millimetres, Newtons};

/// What is left to do, from the tensions as they are.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct Replan {
    /// The wires that need turning, in the order in which they are turned.
    pub wires: Vec<ReplanWire>,
    /// The most that any wire shows on the way.
    pub largest: Newtons,
    /// Whether no order has a smaller one.
    pub proven_least: bool,
}

/// A wire that needs turning.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct ReplanWire {
    /// The wire, from 0 at the bottom.
    pub wire: usize,
    /// Turn-in of both ends together; below zero: let out.
    pub turn_in: Millimetres,
    /// What it shows when it has just been turned.
    pub shows: Newtons,
    /// What it would show were it turned before all others.
    pub shows_first: Newtons,
    /// The most that it or a wire that rises by it would show then: letting one out loads the others.
    pub most_first: Newtons,
}

/// What is left to turn, from the tensions as they are now to those wanted.
///
/// The turn-ins are exact whatever the order, since tensions follow from turn-ins alone; wires that
/// need less than half a flat (`smallest`) are left.
///
/// # Errors
/// When there is not one tension for each wire, or one is below zero.
pub fn replan(
    frame: &Frame,
    now: &[Newtons],
    wanted: &[Newtons],
    smallest: Millimetres,
) -> Result<Replan, MechanicsError> {
    let begun = Begun {
        have: bare(&frame.turn_in(now)?),
        need: bare(&frame.turn_in(wanted)?),
        now: now.to_vec(),
        rest: Vec::new(),
    };
    planned(frame, begun, smallest)
}

/// What is left of one pass, from the tensions as they are now to those wanted.
///
/// A wire that shows something and will end as near to its tension as the gauge can tell, or as
/// half a flat (`smallest`) brings it, stands where it is; the rest is turned to its tension beside it.
///
/// # Errors
/// When there is not one tension for each wire, one is below zero, or the error is out of range.
pub fn one_pass_on(
    frame: &Frame,
    now: &[Newtons],
    wanted: &[Newtons],
    gauge_error: f64,
    smallest: Millimetres,
) -> Result<Replan, MechanicsError> {
    let have = bare(&frame.turn_in(now)?);
    let wanted = frame.numbers(wanted)?;
    let mut stand = shown_tight(now);
    let need = loop {
        let tensions = beside(frame, &have, &wanted, &stand)?;
        let mut furthest: Option<(f64, usize)> = None;
        for wire in &stand {
            let to = wanted.get(*wire).copied().unwrap_or(0.0);
            let off = (tensions.get(*wire).copied().unwrap_or(to) - to).abs();
            let flat = frame.newtons_per_millimetre(*wire).unwrap_or_default() * smallest.value();
            let near = match to > 0.0 {
                true => gauge_step(Newtons(to), gauge_error)?.value(),
                false => 0.0,
            };
            if off > near && off >= flat && furthest.is_none_or(|(most, _)| off > most) {
                furthest = Some((off, *wire));
            }
        }
        match furthest {
            Some((_, wire)) => stand.retain(|other| *other != wire),
            None => {
                let mut need = spd::times(&frame.flexibility, &tensions);
                for wire in &stand {
                    if let (Some(need), Some(have)) = (need.get_mut(*wire), have.get(*wire)) {
                        *need = *have;
                    }
                }
                break need;
            }
        }
    };
    let begun = Begun {
        have,
        need,
        now: now.to_vec(),
        rest: Vec::new(),
    };
    planned(frame, begun, smallest)
}

/// Tensions once all but those that stand are at what is wanted of them.
fn beside(
    frame: &Frame,
    have: &[f64],
    wanted: &[f64],
    stand: &[usize],
) -> Result<Vec<f64>, MechanicsError> {
    let of_rest = |wire: usize| match stand.contains(&wire) {
        true => 0.0,
        false => wanted.get(wire).copied().unwrap_or(0.0),
    };
    let mut tensions: Vec<f64> = (0..wanted.len()).map(of_rest).collect();
    let moved = spd::times(&frame.flexibility, &tensions);
    let of = |list: &[f64], wire: usize| list.get(wire).copied().unwrap_or(0.0);
    let left: Vec<f64> = stand
        .iter()
        .map(|wire| of(have, *wire) - of(&moved, *wire))
        .collect();
    let lower = super::factored(&part(&frame.flexibility, stand))?;
    for (wire, tension) in stand.iter().zip(spd::solve(&lower, &left)) {
        if let Some(own) = tensions.get_mut(*wire) {
            *own = tension.max(0.0);
        }
    }
    Ok(tensions)
}

/// The wires that need turning, in the order that asks for least.
fn planned(
    frame: &Frame,
    mut begun: Begun,
    smallest: Millimetres,
) -> Result<Replan, MechanicsError> {
    begun.rest = (0..frame.wires())
        .filter(|wire| {
            let turn = begun.turn(*wire).abs();
            turn > 0.0 && turn >= smallest.value()
        })
        .collect();
    let way = least_way(frame, &begun)?;
    let mut standing = Standing::of(
        &frame.flexibility,
        begun.have.clone(),
        shown_tight(&begun.now),
    )?;
    let mut wires = Vec::with_capacity(way.order.len());
    for wire in way.order {
        standing.turn(wire, begun.turn(wire))?;
        let first = begun.with(frame, &[wire])?;
        wires.push(ReplanWire {
            wire,
            turn_in: Millimetres(begun.turn(wire)),
            shows: Newtons(standing.shows(wire)),
            shows_first: Newtons(first.shows(wire)),
            most_first: Newtons(begun.most(&first, &[wire])),
        });
    }
    Ok(Replan {
        wires,
        largest: Newtons(way.largest),
        proven_least: way.proven_least,
    })
}
