//! A post pulled in several directions at once, held at its base and by any number of rails.
//!
//! The post bends about both axes of its section by itself: F_ij of each axis as in `influence`.
//! Pulls add as vectors. A rail is a spring of stiffness k_r along its run: its force r follows from
//! (A + diag(1/k_r))·r = b, A_st the movement at rail s along it for one newton in rail t, b_s that
//! of the free post; with one direction this is F − F_iH·F_Hj/(F_HH + 1/k_r). The stress at a
//! rectangle's corner is the sum of both axes' M/W, that of a round one the resultant's.
//! Invariant: demand only; no figure here says what a post can carry.

use serde::{Deserialize, Serialize};

use super::influence::{free_influence, inertia_and_modulus, level_part};
use super::{Post, Section, WirePull};
use crate::error::{MechanicsError, positive, within};
use crate::spd;
use crate::units::{
    Degrees, Megapascals, Millimetres, NewtonMetres, Newtons, NewtonsPerMillimetre,
};

/// A wire's pull and the direction in which it leaves the post.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PullInPlan {
    /// Height, tension and slope.
    pub pull: WirePull,
    /// Direction seen from above, from the side of the section that is called "along".
    pub heading: Degrees,
}

/// How a rail holds a post along its run.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase", tag = "kind")]
pub enum Hold {
    /// It gives: k_r.
    #[serde(rename_all = "camelCase")]
    Spring {
        /// k_r: stiffness along the run.
        stiffness: NewtonsPerMillimetre,
    },
    /// It does not give at all: the limit of any rail, a prop.
    Rigid,
}

/// A rail that meets the post.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct RailInPlan {
    /// Height of its line above the base.
    pub height: Millimetres,
    /// How it holds.
    pub hold: Hold,
    /// Direction in which its run leaves the post, as that of the pulls.
    pub heading: Degrees,
}

/// What pulls in plan ask of a post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "camelCase")]
pub struct PlanDemand {
    /// Resultant of the level parts of the pulls.
    pub level_pull: Newtons,
    /// Resultant moment at the base.
    pub base_moment: NewtonMetres,
    /// Largest bending stress at the base.
    pub base_stress: Megapascals,
    /// Movement of the top, whichever way it goes.
    pub tip: Millimetres,
    /// Movement of the post along each wire, towards the wire's other end, in the order of the
    /// pulls; below zero where others pull it away.
    pub along_wires: Vec<Millimetres>,
    /// Force in each rail, in the order of the rails: above zero it presses the rail, below zero it
    /// pulls at the joint.
    pub rail_forces: Vec<Newtons>,
    /// Pull on the base fixings on the side that is pulled: the moments of both axes over the bolts'
    /// distance, added, since one corner bolt takes both, and half of what lifts the post, which both
    /// sides share: (|Mx| + |My|) / d + V / 2. Wires that press the post down take nothing off it.
    pub fixing_force: Option<Newtons>,
}

impl PlanDemand {
    /// Each figure by itself the greater of two, by size, with its sign.
    #[must_use]
    pub fn greater_of_each(&self, other: &Self) -> Self {
        let pick = |(a, b): (f64, f64)| if b.abs() > a.abs() { b } else { a };
        let both = self.figures().into_iter().zip(other.figures());
        self.with_figures(&both.map(pick).collect::<Vec<_>>())
    }

    /// The figures in one row, always in one order.
    pub(super) fn figures(&self) -> Vec<f64> {
        let alone = [
            self.level_pull.value(),
            self.base_moment.value(),
            self.base_stress.value(),
            self.tip.value(),
        ];
        alone
            .into_iter()
            .chain(self.along_wires.iter().map(|moved| moved.value()))
            .chain(self.rail_forces.iter().map(|force| force.value()))
            .chain(self.fixing_force.map(|force| force.value()))
            .collect()
    }

    /// The same with other figures, in the order of [`Self::figures`].
    pub(super) fn with_figures(&self, figures: &[f64]) -> Self {
        let mut next = figures.iter().copied();
        let mut take = || next.next().unwrap_or_default();
        Self {
            level_pull: Newtons(take()),
            base_moment: NewtonMetres(take()),
            base_stress: Megapascals(take()),
            tip: Millimetres(take()),
            along_wires: self
                .along_wires
                .iter()
                .map(|_| Millimetres(take()))
                .collect(),
            rail_forces: self.rail_forces.iter().map(|_| Newtons(take())).collect(),
            fixing_force: self.fixing_force.map(|_| Newtons(take())),
        }
    }
}

/// Demand on a post under pulls in plan; the post's own rail is left out, `rails` hold it.
///
/// Euler–Bernoulli beam (Roark's Formulas for Stress and Strain): linear, shear left out, movements small
/// beside the post. Stress is M/W; bolts take the moment over their distance, a model of the base and no
/// standard's.
///
/// # Errors
/// When an input cannot be.
pub fn demand_in_plan(
    post: &Post,
    rails: &[RailInPlan],
    pulls: &[PullInPlan],
) -> Result<PlanDemand, MechanicsError> {
    let frame = PlanFrame::of(post)?;
    let top = positive("the post's height", post.height)?;
    let loads = loads(pulls)?;
    let rails = springs(rails, &frame)?;
    let forces = rail_forces(&frame, &rails, &loads)?;
    let mut all = loads.clone();
    all.extend(rails.iter().zip(&forces).map(|(rail, force)| Load {
        height: rail.height,
        x: -force * rail.x,
        y: -force * rail.y,
    }));
    let sum = |of: fn(&Load) -> f64, over: &[Load]| over.iter().map(of).sum::<f64>();
    let moment = (sum(|l| l.x * l.height, &all), sum(|l| l.y * l.height, &all));
    let fixing_force = match post.bolt_distance {
        Some(distance) => {
            let distance = positive("the bolts' distance", distance)?;
            let by_moment = (moment.0.abs() + moment.1.abs()) / distance;
            Some(Newtons(by_moment) + lift(pulls).max(Newtons(0.0)) / 2.0)
        }
        None => None,
    };
    let along_wires = pulls
        .iter()
        .zip(&loads)
        .map(|(of, load)| {
            let moved = frame.moved(load.height, &all);
            let (cos, sin) = direction(of.heading)?;
            let level = moved.0 * cos + moved.1 * sin;
            Ok(Millimetres(level * of.pull.slope.radians().cos()))
        })
        .collect::<Result<_, MechanicsError>>()?;
    let tip = frame.moved(top, &all);
    Ok(PlanDemand {
        level_pull: Newtons(sum(|l| l.x, &loads).hypot(sum(|l| l.y, &loads))),
        base_moment: NewtonMetres(moment.0.hypot(moment.1) / 1.0e3),
        base_stress: frame.stress(moment),
        tip: Millimetres(tip.0.hypot(tip.1)),
        along_wires,
        rail_forces: forces.into_iter().map(Newtons).collect(),
        fixing_force,
    })
}

/// V: what the pulls lift the post by, Σ T·sin(slope); below zero: they press it down.
///
/// Statics of straight wires.
#[must_use]
pub fn lift(pulls: &[PullInPlan]) -> Newtons {
    let up = |of: &PullInPlan| of.pull.tension * of.pull.slope.radians().sin();
    pulls.iter().map(up).sum()
}

/// The section as it stands for a pull square to its "along" side.
pub(super) const fn turned(section: Section) -> Section {
    match section {
        Section::Rectangle { along, across } => Section::Rectangle {
            along: across,
            across: along,
        },
        Section::RectangularTube {
            along,
            across,
            wall,
        } => Section::RectangularTube {
            along: across,
            across: along,
            wall,
        },
        round => round,
    }
}

/// A level force at a height, by its parts along both axes.
#[derive(Clone, Copy)]
struct Load {
    height: f64,
    x: f64,
    y: f64,
}

/// A rail as a spring: direction and give, millimetres per newton.
struct Spring {
    height: f64,
    x: f64,
    y: f64,
    give: f64,
}

struct PlanFrame {
    /// EI about both axes, newton square millimetres.
    bending: (f64, f64),
    /// Section moduli, cubic millimetres.
    moduli: (f64, f64),
    /// 1/k_θ, the same both ways.
    turning: f64,
    round: bool,
}

impl PlanFrame {
    fn of(post: &Post) -> Result<Self, MechanicsError> {
        let modulus = positive("the post's modulus of elasticity", post.modulus.value)?;
        let (along, along_modulus) = inertia_and_modulus(post.section)?;
        let (across, across_modulus) = inertia_and_modulus(turned(post.section))?;
        let turning = match &post.base_turning {
            Some(figure) => {
                1.0 / positive("the base's turning stiffness", (figure.value, " N·mm/rad"))?
            }
            None => 0.0,
        };
        Ok(Self {
            bending: (modulus * along, modulus * across),
            moduli: (along_modulus, across_modulus),
            turning,
            round: matches!(
                post.section,
                Section::Round { .. } | Section::RoundTube { .. }
            ),
        })
    }

    /// Movement at one height for one newton at another, along each axis.
    fn influence(&self, i: f64, j: f64) -> (f64, f64) {
        (
            free_influence(self.bending.0, self.turning, i, j),
            free_influence(self.bending.1, self.turning, i, j),
        )
    }

    fn moved(&self, at: f64, loads: &[Load]) -> (f64, f64) {
        loads.iter().fold((0.0, 0.0), |moved, load| {
            let (x, y) = self.influence(at, load.height);
            (moved.0 + x * load.x, moved.1 + y * load.y)
        })
    }

    fn stress(&self, moment: (f64, f64)) -> Megapascals {
        Megapascals(if self.round {
            moment.0.hypot(moment.1) / self.moduli.0
        } else {
            moment.0.abs() / self.moduli.0 + moment.1.abs() / self.moduli.1
        })
    }
}

fn direction(heading: Degrees) -> Result<(f64, f64), MechanicsError> {
    let heading = within("a run's direction", heading, -360.0, 360.0)?;
    let (sin, cos) = heading.to_radians().sin_cos();
    Ok((cos, sin))
}

fn loads(pulls: &[PullInPlan]) -> Result<Vec<Load>, MechanicsError> {
    pulls
        .iter()
        .map(|of| {
            let (height, level) = level_part(&of.pull)?;
            let (cos, sin) = direction(of.heading)?;
            Ok(Load {
                height,
                x: level * cos,
                y: level * sin,
            })
        })
        .collect()
}

/// A rigid rail's give, as a part of the post's own: nothing that shows, and two rigid rails in one
/// line still share their force in one way.
const HARDLY: f64 = 1.0e-9;

fn springs(rails: &[RailInPlan], frame: &PlanFrame) -> Result<Vec<Spring>, MechanicsError> {
    rails
        .iter()
        .map(|rail| {
            let height = positive("the rail's height", rail.height)?;
            let (x, y) = direction(rail.heading)?;
            let give = match rail.hold {
                Hold::Spring { stiffness } => 1.0 / positive("the rail's stiffness", stiffness)?,
                Hold::Rigid => {
                    let own = frame.influence(height, height);
                    HARDLY * (own.0 + own.1)
                }
            };
            Ok(Spring { height, x, y, give })
        })
        .collect()
}

fn rail_forces(
    frame: &PlanFrame,
    rails: &[Spring],
    loads: &[Load],
) -> Result<Vec<f64>, MechanicsError> {
    let mut matrix = Vec::with_capacity(rails.len());
    let mut free = Vec::with_capacity(rails.len());
    for (s, rail) in rails.iter().enumerate() {
        let row = rails.iter().enumerate().map(|(t, other)| {
            let (x, y) = frame.influence(rail.height, other.height);
            let own = if s == t { rail.give } else { 0.0 };
            rail.x * x * other.x + rail.y * y * other.y + own
        });
        matrix.push(row.collect::<Vec<f64>>());
        let moved = frame.moved(rail.height, loads);
        free.push(moved.0 * rail.x + moved.1 * rail.y);
    }
    let factor = spd::factor(&matrix).ok_or(MechanicsError::NotFinite {
        what: "how the rails hold the post",
    })?;
    Ok(spd::solve(&factor, &free))
}
