//! Influence of one wire's pull on another wire's height, and the movement that follows.
//!
//! F_ij = a²(3b − a)/(6EI), a the lower and b the upper of two heights (cantilever); plus
//! z_i·z_j/k_θ where the base turns; a rail of stiffness k_r at H takes away
//! F_iH·F_Hj/(F_HH + 1/k_r). Invariant: movement is along the wire, and both end posts add.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::{Post, Section, WirePull};
use crate::error::{MechanicsError, not_negative, positive, within};
use crate::units::Millimetres;

/// The two posts that hold the ends of a run.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct EndPosts {
    /// Post at the start.
    pub start: Post,
    /// Pulls on it, from the bottom wire.
    pub start_pulls: Vec<WirePull>,
    /// Post at the end.
    pub end: Post,
    /// Pulls on it, from the bottom wire.
    pub end_pulls: Vec<WirePull>,
}

/// Inward movement of both ends of each wire.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct InwardMovement {
    /// Along each wire, both ends together, from the bottom wire.
    pub along_wire: Vec<Millimetres>,
    /// Posts whose base is taken as not turning, so that their movement is understated.
    pub understated: Vec<RunEnd>,
}

/// Which of the two posts at which a run's wires end.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub enum RunEnd {
    /// The post at the run's start.
    Start,
    /// The post at its end.
    End,
}

/// Inward movement of each wire at both ends, all wires at the tensions given.
///
/// Euler–Bernoulli beam (Roark's Formulas for Stress and Strain): linear, shear left out, movements small
/// beside the post. A base that turns adds z_i·z_j/k_θ.
///
/// # Errors
/// When the two posts hold a different number of wires, or an input cannot be.
pub fn inward_movement(ends: &EndPosts) -> Result<InwardMovement, MechanicsError> {
    let wires = ends.start_pulls.len();
    within(
        "the number of wires at the end post",
        count(ends.end_pulls.len()),
        count(wires),
        count(wires),
    )?;
    let start = along_wires(&ends.start, &ends.start_pulls)?;
    let end = along_wires(&ends.end, &ends.end_pulls)?;
    let understated = [(RunEnd::Start, &ends.start), (RunEnd::End, &ends.end)]
        .into_iter()
        .filter(|(_, post)| post.base_turning.is_none())
        .map(|(end, _)| end)
        .collect();
    Ok(InwardMovement {
        along_wire: start.into_iter().zip(end).map(|(a, b)| a + b).collect(),
        understated,
    })
}

/// Movement along each wire per newton in each wire, both end posts together: F in mm/N.
///
/// # Errors
/// When the two posts hold a different number of wires, or an input cannot be.
pub(crate) fn influence_matrix(ends: &EndPosts) -> Result<Vec<Vec<f64>>, MechanicsError> {
    let wires = ends.start_pulls.len();
    within(
        "the number of wires at the end post",
        count(ends.end_pulls.len()),
        count(wires),
        count(wires),
    )?;
    let mut matrix = vec![vec![0.0; wires]; wires];
    for (post, pulls) in [
        (&ends.start, &ends.start_pulls),
        (&ends.end, &ends.end_pulls),
    ] {
        let frame = Frame::of(post)?;
        for (row, of) in matrix.iter_mut().zip(pulls) {
            let (height, _) = level_part(of)?;
            for (entry, by) in row.iter_mut().zip(pulls) {
                let (other, _) = level_part(by)?;
                let level = of.slope.radians().cos() * by.slope.radians().cos();
                *entry += frame.influence(height, other) * level;
            }
        }
    }
    Ok(matrix)
}

/// Level movement of a post at a height under the wires' pulls.
///
/// Euler–Bernoulli beam (Roark's Formulas for Stress and Strain): linear, shear left out, movements small
/// beside the post.
///
/// # Errors
/// When an input cannot be.
pub fn post_movement(
    post: &Post,
    pulls: &[WirePull],
    at: Millimetres,
) -> Result<Millimetres, MechanicsError> {
    let frame = Frame::of(post)?;
    let at = not_negative("the height looked at", at)?;
    let mut moved = 0.0;
    for pull in pulls {
        let (height, level) = level_part(pull)?;
        moved += frame.influence(at, height) * level;
    }
    Ok(Millimetres(moved))
}

pub(super) struct Frame {
    /// EI in newton square millimetres.
    bending_stiffness: f64,
    /// 1/k_θ in radians per newton millimetre.
    turning: f64,
    rail: Option<(f64, f64)>,
}

impl Frame {
    pub(super) fn of(post: &Post) -> Result<Self, MechanicsError> {
        let (inertia, _) = inertia_and_modulus(post.section)?;
        let modulus = positive("the post's modulus of elasticity", post.modulus.value)?;
        let turning = match &post.base_turning {
            Some(figure) => {
                1.0 / positive("the base's turning stiffness", (figure.value, " N·mm/rad"))?
            }
            None => 0.0,
        };
        let rail = match post.rail {
            Some(rail) => Some((
                positive("the rail's height", rail.height)?,
                positive("the rail's stiffness", rail.stiffness)?,
            )),
            None => None,
        };
        Ok(Self {
            bending_stiffness: modulus * inertia,
            turning,
            rail,
        })
    }

    pub(super) fn free(&self, i: f64, j: f64) -> f64 {
        free_influence(self.bending_stiffness, self.turning, i, j)
    }

    pub(super) fn influence(&self, i: f64, j: f64) -> f64 {
        let free = self.free(i, j);
        match self.rail {
            Some((height, stiffness)) => {
                let held = self.free(height, height) + 1.0 / stiffness;
                free - self.free(i, height) * self.free(height, j) / held
            }
            None => free,
        }
    }
}

/// F_ij of a post held at its base: EI in newton square millimetres, 1/k_θ in radians per newton
/// millimetre, heights in millimetres; millimetres per newton.
pub(super) fn free_influence(bending_stiffness: f64, turning: f64, i: f64, j: f64) -> f64 {
    let (a, b) = if i < j { (i, j) } else { (j, i) };
    a * a * (3.0 * b - a) / (6.0 * bending_stiffness) + i * j * turning
}

/// Second moment of area (mm⁴) and section modulus (mm³) in the direction of the wires.
pub(super) fn inertia_and_modulus(section: Section) -> Result<(f64, f64), MechanicsError> {
    let rectangle = |along: f64, across: f64| across * along.powi(3) / 12.0;
    let round = |diameter: f64| PI * diameter.powi(4) / 64.0;
    match section {
        Section::Rectangle { along, across } => {
            let along = positive("the post's side along the wires", along)?;
            let across = positive("the post's side across the wires", across)?;
            let inertia = rectangle(along, across);
            Ok((inertia, inertia * 2.0 / along))
        }
        Section::RectangularTube {
            along,
            across,
            wall,
        } => {
            let along = positive("the post's side along the wires", along)?;
            let across = positive("the post's side across the wires", across)?;
            let wall = wall_of(wall, along.min(across))?;
            let hollow = rectangle(along - 2.0 * wall, across - 2.0 * wall);
            let inertia = rectangle(along, across) - hollow;
            Ok((inertia, inertia * 2.0 / along))
        }
        Section::Round { diameter } => {
            let diameter = positive("the post's diameter", diameter)?;
            let inertia = round(diameter);
            Ok((inertia, inertia * 2.0 / diameter))
        }
        Section::RoundTube { diameter, wall } => {
            let diameter = positive("the post's diameter", diameter)?;
            let wall = wall_of(wall, diameter)?;
            let inertia = round(diameter) - round(diameter - 2.0 * wall);
            Ok((inertia, inertia * 2.0 / diameter))
        }
    }
}

pub(super) fn level_part(pull: &WirePull) -> Result<(f64, f64), MechanicsError> {
    let height = not_negative("a wire's height on the post", pull.height)?;
    let tension = not_negative("a wire's tension", pull.tension)?;
    let slope = within("a wire's slope", pull.slope, -75.0, 75.0)?;
    Ok((height, tension * slope.to_radians().cos()))
}

fn along_wires(post: &Post, pulls: &[WirePull]) -> Result<Vec<Millimetres>, MechanicsError> {
    pulls
        .iter()
        .map(|pull| {
            let level = post_movement(post, pulls, pull.height)?;
            Ok(level * pull.slope.radians().cos())
        })
        .collect()
}

fn wall_of(wall: Millimetres, narrow: f64) -> Result<f64, MechanicsError> {
    positive("the post's wall", wall)?;
    within("the post's wall", wall, 0.0, narrow / 2.0)
}

#[expect(
    clippy::cast_precision_loss,
    reason = "wire counts are far below the integers that f64 holds exactly"
)]
const fn count(wires: usize) -> f64 {
    wires as f64
}
