//! A run that ends in a wall: what its wires ask of the fixings there.
//!
//! Invariant: a wall is taken as not moving, which every answer that rests on it says; what its fixings bear
//! is nobody's figure here.

use mechanics::posts::{Post, STEEL, Section};
use mechanics::{Figure, Megapascals, Millimetres, Newtons, Origin as Mech};

use super::build::Build;
use super::standing::{DOES_NOT_TURN, Standing, rail_of};
use super::{Looked, PostAsked, looked_at};
use crate::job::{PostFacts, Run};
use crate::model::context::Number;
use crate::model::values::SupportKind;
use crate::work::figures::Origin;
use crate::work::inward::pulls;
use crate::work::{WorkError, words};

/// Stiffness of what does not move, as often as steel's: far above any that could be read.
const DOES_NOT_BEND: f64 = 1.0e6;

/// Whether wires end in a wall: a wall end of which nobody told a section, or a pull, as of a post.
pub(super) fn is_wall(post: &PostFacts) -> bool {
    let wall = post
        .support
        .as_ref()
        .is_some_and(|s| s.kind == SupportKind::WallEnd);
    wall && post.section.is_none() && post.pulls.is_empty()
}

/// A wall as the frame of a run takes it.
pub(super) fn standing(post: &PostFacts, run: &Run) -> Result<Standing, WorkError> {
    let side = Millimetres(1_000.0);
    let stiff = Megapascals(STEEL.value() * DOES_NOT_BEND);
    Ok(Standing {
        post: Post {
            section: Section::Rectangle {
                along: side,
                across: side,
            },
            modulus: Figure::of(stiff, Mech::Assumed),
            height: looked_at(run)?,
            rail: rail_of(run)?,
            base_turning: Some(Figure::of(DOES_NOT_TURN, Mech::Assumed)),
            bolt_distance: None,
        },
        build: Build::Known,
        softest: "",
        stiffest: None,
        stated: Some(format!(
            "{} is a wall end: it is taken as not moving.",
            post.name
        )),
        pulled: Vec::new(),
        doubts: Vec::new(),
    })
}

impl Looked<'_> {
    /// What the wires ask of a wall; none of a post.
    pub(super) fn wall(&self) -> Result<Option<PostAsked>, WorkError> {
        let Some(facts) = self.job.post(self.at.id).filter(|post| is_wall(post)) else {
            return Ok(None);
        };
        let pulls = pulls(self.run, self.tension)?;
        let level = |pull: &mechanics::posts::WirePull| pull.tension * pull.slope.radians().cos();
        let all: Newtons = pulls.iter().map(level).fold(Newtons(0.0), |a, b| a + b);
        let (name, tension) = (&facts.name, self.tension);
        let wires = match pulls.len() {
            1 => "1 wire".to_owned(),
            many => format!("{many} wires"),
        };
        Ok(Some(PostAsked {
            post: facts.id,
            subject: self.subject(),
            name: name.clone(),
            role: self.at.role,
            wires: u32::try_from(pulls.len()).unwrap_or(u32::MAX),
            tension_n: tension.value(),
            tension_origin: self.tension_origin.to_owned(),
            wire_heights_mm: pulls.iter().map(|pull| pull.height.value()).collect(),
            looked_at_mm: looked_at(self.run)?.value(),
            held: Vec::new(),
            wall_pull_n: Some(all.value()),
            at_right_angle: Vec::new(),
            together: None,
            pulled: Vec::new(),
            own: None,
            own_missing: None,
            insert: None,
            rail_joint: facts.rail_joint,
            origin: Origin::Computed,
            confirm: "licensed engineer".to_owned(),
            sentence: format!(
                "{name}, a wall end, {wires} at {tension}: {:.0} N off the wall in all, {tension} on each fixing{}. \
                 What fixings and wall bear under a pull that stays is not told here, and the wall is taken as not \
                 moving: ask an engineer before ordering.",
                all.value(),
                set_in(facts)
            ),
            numbers: vec![Number {
                name: "pull off the wall".to_owned(),
                value: format!("{:.0} N", all.value()),
                origin: "computed".into(),
            }],
        }))
    }
}

/// What the fixings are set in, as far as it is told.
fn set_in(post: &PostFacts) -> String {
    let Some(support) = &post.support else {
        return String::new();
    };
    let substrate = support
        .substrate
        .as_deref()
        .map(str::trim)
        .unwrap_or_default();
    let told = [
        (!substrate.is_empty())
            .then(|| format!("set in {}", crate::photos::visible(substrate, 60))),
        support
            .embedment_nm
            .map(|nm| format!("{} deep", words::mm(nm))),
        support
            .edge_nm
            .map(|nm| format!("{} from the wall's edge", words::mm(nm))),
    ];
    let told: Vec<String> = told.into_iter().flatten().collect();
    match told.is_empty() {
        true => String::new(),
        false => format!(", {}", told.join(", ")),
    }
}
