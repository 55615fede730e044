//! The most that pulls ask of a post where it is not told which way some of them go.
//!
//! Every figure is the greatest over all directions, each by itself: two runs that pull the same way
//! make the greatest moment and movement, but at the corner of a rectangle both axes' stresses add,
//! |Mx|/Zx + |My|/Zy, and that, the fixings' force and whatever a rail turns with are greatest
//! elsewhere. Found by a scan, from each figure's best place of which a golden section goes on, one
//! untold direction after the other; right to a ten-thousandth of the figure, and never less than at
//! any whole degree where one direction is untold. Invariant: what is told is not turned.

use super::plan::{Hold, PlanDemand, PullInPlan, RailInPlan, demand_in_plan};
use super::{Post, Section, WirePull};
use crate::error::MechanicsError;
use crate::units::{Degrees, Millimetres};

/// Wires that leave a post on one side, and the rail that goes with them.
#[derive(Clone, Debug, PartialEq)]
pub struct LegInPlan {
    /// The wires.
    pub pulls: Vec<WirePull>,
    /// Height of the rail's line and how it holds; none where it does not count.
    pub rail: Option<(Millimetres, Hold)>,
    /// Direction seen from above, from the side of the section that is called "along"; none where
    /// it is not told.
    pub heading: Option<Degrees>,
}

/// What legs ask of a post: each figure the greatest over all directions that are not told, by
/// itself. The greatest is that by size; it keeps its sign.
///
/// Two rails that do not give and lie nearly in one line take a pull across them with forces that
/// grow beyond any bound: with three legs and more the forces of such rails have no greatest.
///
/// Of [`demand_in_plan`], whose source and limits hold; the search is its own, a scan and golden sections.
///
/// # Errors
/// When an input cannot be.
pub fn greatest_in_plan(post: &Post, legs: &[LegInPlan]) -> Result<PlanDemand, MechanicsError> {
    greatest(&Look {
        post,
        legs,
        square_to: None,
    })
}

/// The same where nobody told to which of its runs the post stands square: each figure the greatest
/// over all of them. A rectangle's stress and the fixings' force hang on it wherever runs meet at no
/// right angle.
///
/// # Errors
/// When an input cannot be.
pub fn greatest_square_to_any(
    post: &Post,
    legs: &[LegInPlan],
) -> Result<PlanDemand, MechanicsError> {
    let mut found = greatest_in_plan(post, legs)?;
    if matches!(
        post.section,
        Section::Round { .. } | Section::RoundTube { .. }
    ) {
        return Ok(found);
    }
    for (at, leg) in legs.iter().enumerate().skip(1) {
        if leg.heading.is_some_and(|h| h.value() % 90.0 == 0.0) {
            continue;
        }
        let turned = Look {
            post,
            legs,
            square_to: Some(at),
        };
        found = found.greater_of_each(&greatest(&turned)?);
    }
    Ok(found)
}

fn greatest(look: &Look<'_>) -> Result<PlanDemand, MechanicsError> {
    let untold = look.legs.iter().filter(|leg| leg.heading.is_none()).count();
    let first = look.at(&vec![0.0; untold])?;
    if untold == 0 {
        return Ok(first);
    }
    let mut best: Vec<Best> = first
        .figures()
        .into_iter()
        .map(|v| Best::at(v, untold))
        .collect();
    let step = step(untold);
    let mut headings = vec![0.0; untold];
    while turn_on(&mut headings, step) {
        let found = look.at(&headings)?.figures();
        for (best, figure) in best.iter_mut().zip(found) {
            best.take(figure, &headings);
        }
    }
    let (rounds, narrows) = if untold == 1 { (1, 16) } else { (8, 9) };
    for place in 0..best.len() {
        let mut width = step.min(60.0);
        for _ in 0..rounds {
            for leg in 0..untold {
                look.climb(&mut best, (place, leg), width, narrows)?;
            }
            width /= 1.6;
        }
    }
    let figures: Vec<f64> = best.iter().map(|best| best.figure).collect();
    Ok(first.with_figures(&figures))
}

/// How far apart directions are scanned, degrees: closely where one is untold, and so that a few
/// thousand places are looked at where several are.
const fn step(untold: usize) -> f64 {
    match untold {
        0 | 1 => 1.0,
        2 => 6.0,
        3 => 30.0,
        4 => 60.0,
        5 => 90.0,
        _ => 180.0,
    }
}

/// The next place of the scan over whole circles; false after the last.
fn turn_on(headings: &mut [f64], step: f64) -> bool {
    for heading in headings {
        *heading += step;
        if *heading < 359.999 {
            return true;
        }
        *heading = 0.0;
    }
    false
}

/// The greatest of a figure so far and where it was found.
struct Best {
    figure: f64,
    headings: Vec<f64>,
}

impl Best {
    fn at(figure: f64, untold: usize) -> Self {
        Self {
            figure,
            headings: vec![0.0; untold],
        }
    }

    fn take(&mut self, figure: f64, headings: &[f64]) {
        if figure.abs() > self.figure.abs() {
            self.figure = figure;
            self.headings = headings.to_vec();
        }
    }
}

struct Look<'a> {
    post: &'a Post,
    legs: &'a [LegInPlan],
    /// The leg to which the post stands square, where that is not the side called "along": all that
    /// is told turns with it.
    square_to: Option<usize>,
}

impl Look<'_> {
    /// Demand with the untold legs in these directions.
    fn at(&self, untold: &[f64]) -> Result<PlanDemand, MechanicsError> {
        let mut next = untold.iter().copied();
        let (mut pulls, mut rails) = (Vec::new(), Vec::new());
        let square_to = self.square_to.and_then(|at| self.legs.get(at));
        let turned = match square_to.map(|leg| leg.heading) {
            None => 0.0,
            Some(Some(told)) => -told.value(),
            // The angle between it and what is told is a direction that is not told.
            Some(None) => next.next().unwrap_or_default(),
        };
        for (at, leg) in self.legs.iter().enumerate() {
            let heading = match leg.heading {
                _ if self.square_to == Some(at) => Degrees(0.0),
                Some(told) => Degrees((told.value() + turned) % 360.0),
                None => Degrees(next.next().unwrap_or_default() % 360.0),
            };
            pulls.extend(leg.pulls.iter().map(|pull| PullInPlan {
                pull: *pull,
                heading,
            }));
            rails.extend(leg.rail.map(|(height, hold)| RailInPlan {
                height,
                hold,
                heading,
            }));
        }
        demand_in_plan(self.post, &rails, &pulls)
    }

    /// Golden section of one figure over one direction, about its best place so far.
    fn climb(
        &self,
        best: &mut [Best],
        (place, leg): (usize, usize),
        width: f64,
        narrows: usize,
    ) -> Result<(), MechanicsError> {
        const GOLDEN: f64 = 0.618_033_988_749_895;
        let Some(best) = best.get_mut(place) else {
            return Ok(());
        };
        let mut headings = best.headings.clone();
        let from = headings.get(leg).copied().unwrap_or_default();
        let mut figure_at = |degrees: f64| -> Result<f64, MechanicsError> {
            if let Some(heading) = headings.get_mut(leg) {
                *heading = degrees;
            }
            let found = self.at(&headings)?.figures();
            let figure = found.get(place).copied().unwrap_or_default();
            best.take(figure, &headings);
            Ok(figure.abs())
        };
        let (mut low, mut high) = (from - width, from + width);
        let mut left = high - GOLDEN * (high - low);
        let mut right = low + GOLDEN * (high - low);
        let (mut at_left, mut at_right) = (figure_at(left)?, figure_at(right)?);
        for _ in 0..narrows {
            if at_left > at_right {
                (high, right, at_right) = (right, left, at_left);
                left = high - GOLDEN * (high - low);
                at_left = figure_at(left)?;
            } else {
                (low, left, at_left) = (left, right, at_right);
                right = low + GOLDEN * (high - low);
                at_right = figure_at(right)?;
            }
        }
        Ok(())
    }
}
