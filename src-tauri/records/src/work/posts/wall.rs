//! A run that ends in a wall: what its wires ask of the fixings there.
//!
//! Invariant: a wall is taken as not moving, which every answer that rests on it says; what its fixings bear
//! is nobody's figure here.

use mechanics::posts::{Post, STEEL, Section, WirePull};
use mechanics::{Figure, Megapascals, Millimetres, Newtons, Origin as Mech};

use super::build::Build;
use super::legs::of_other;
use super::others::beside;
use super::standing::{DOES_NOT_TURN, Standing, rail_of};
use super::{Looked, PostAsked, looked_at};
use crate::job::{Job, PostFacts, Run};
use crate::model::context::Number;
use crate::model::values::{PostRole, SupportKind};
use crate::work::figures::Origin;
use crate::work::inward::pulls;
use crate::work::{WorkError, words};

/// Stiffness of what does not move, as often as steel's: far above any that could be read.
const DOES_NOT_BEND: f64 = 1.0e6;

/// Whether wires end in a wall: a wall end of which nobody told a section, as of a post.
pub(in crate::work) fn is_wall(post: &PostFacts) -> bool {
    let wall = post
        .support
        .as_ref()
        .is_some_and(|s| s.kind == SupportKind::WallEnd);
    wall && post.section.is_none()
}

/// Said of a wall wherever a figure rests on it.
fn not_moving(post: &PostFacts) -> String {
    format!("{} is a wall end: it is taken as not moving.", post.name)
}

/// The walls in which a run's wires end.
pub(in crate::work) fn walls<'j>(
    job: &'j Job<'_>,
    run: &Run,
) -> impl Iterator<Item = &'j PostFacts> {
    let ends = run.ends().into_iter().flat_map(|(a, b)| [a.id, b.id]);
    ends.filter_map(|id| job.post(id))
        .filter(|post| is_wall(post))
}

/// What is said of the walls in which a run's wires end, a sentence each.
pub(in crate::work) fn wall_notes(job: &Job<'_>, run: &Run) -> Vec<String> {
    walls(job, run).map(not_moving).collect()
}

/// Said of a wall that was pulled: as a wall nothing of that is counted.
fn pulls_not_counted(post: &PostFacts) -> Option<String> {
    let mut tips = post.pulls.iter().flat_map(|(_, fact)| &fact.tips);
    tips.any(|told| told.value.is_some()).then(|| {
        format!(
            "{} was pulled: nothing of it is counted while it is told as a wall end without a section.",
            post.name
        )
    })
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
        stated: Some(not_moving(post)),
        pulled: Vec::new(),
        doubts: pulls_not_counted(post).into_iter().collect(),
    })
}

impl Looked<'_> {
    /// Said of a wall end whose section is told: it counts as the post that it is told as.
    pub(super) fn wall_with_a_section(&self) -> Option<String> {
        let facts = self.job.post(self.at.id)?;
        let wall = facts.support.as_ref()?.kind == SupportKind::WallEnd;
        (wall && facts.section.is_some()).then(|| {
            format!(
                "{} is told as a wall end and with a section: it counts as a post that bends. Where the wires end in \
                 the wall itself, take the section back.",
                facts.name
            )
        })
    }

    /// What the wires ask of a wall; none of a post.
    pub(super) fn wall(&self, missing: &mut Vec<String>) -> Result<Option<PostAsked>, WorkError> {
        let Some(facts) = self.job.post(self.at.id).filter(|post| is_wall(post)) else {
            return Ok(None);
        };
        missing.extend(pulls_not_counted(facts));
        let pulls = pulls(self.run, self.tension)?;
        let all = level(&pulls);
        let others = self.beside_in_wall();
        let by = match others.is_empty() {
            true => "in all".to_owned(),
            false => format!("by run {}", self.run.name),
        };
        let (name, tension) = (&facts.name, self.tension);
        let wires = words::wires_counted(pulls.len());
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
                "{name}, a wall end, {wires} at {tension}: {:.0} N off the wall {by}, {tension} on each fixing{}.{} \
                 What fixings and wall bear under a pull that stays is not told here, and the wall is taken as not \
                 moving: ask an engineer before ordering.",
                all.value(),
                set_in(facts),
                others.concat()
            ),
            numbers: vec![Number {
                name: "pull off the wall".to_owned(),
                value: format!("{:.0} N", all.value()),
                origin: "computed".into(),
            }],
        }))
    }

    /// The other runs that pull on the wall, a sentence each with a space before it: what they pull is not in the
    /// figures of this one. Of one that turns there the pull off the wall goes by its angle.
    fn beside_in_wall(&self) -> Vec<String> {
        let others = beside(self.job, self.run, self.at).into_iter();
        let told = others.map(|(other, there, _)| {
            let corner = there.role == PostRole::Corner;
            let legs = of_other(self.job, self.at, other, there, None).ok();
            let at = legs.filter(|_| !corner).and_then(|legs| {
                let all = legs.iter().map(|leg| level(&leg.pulls)).sum::<Newtons>();
                Some(format!(
                    ": {:.0} N at {}",
                    all.value(),
                    legs.first()?.tension
                ))
            });
            format!(
                " Run {} {} there too and pulls on top of that{}.",
                other.name,
                if corner { "turns" } else { "ends" },
                at.unwrap_or_default()
            )
        });
        told.collect()
    }
}

/// Pull of wires along the level.
fn level(pulls: &[WirePull]) -> Newtons {
    let of = |pull: &WirePull| pull.tension * pull.slope.radians().cos();
    pulls.iter().map(of).sum()
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
