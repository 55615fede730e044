//! What is doubtful about a known pull before it is kept.
//!
//! Invariant: a question and never a refusal; whoever pulled says whether it stands. A pull that is
//! corrected is not held against the one that corrects it.

use mechanics::posts::{
    KnownPull, Post, PostAsPulled, Rail, RailAsPulled, STEEL, WirePull, modulus_from_pulls,
    post_from_pulls, post_movement, pulled_as, rail_from_pulls, stiffest_known,
};
use mechanics::{Degrees, Figure, Megapascals, Millimetres, NewtonsPerMillimetre, Origin};

use super::build::{Build, built, is_timber};
use super::rail_line;
use super::standing::{kilonewton_metres, known, modulus, standing, stated_turning};
use super::wall;
use crate::ids::{Hash, ItemId};
use crate::job::{Job, PostFacts, Run};
use crate::model::values;
use crate::work::WorkError;
use crate::work::convert::mm;
use crate::work::odd_figures::TIMBER_TO_GPA;

/// How many times its own bending a post may be read to move unasked: a base that turns makes two to
/// six of it at the height of a rail (an assumption of the project).
const MOST_TIMES: f64 = 10.0;
/// How many times the modulus that is told a post may be shown to have unasked: pieces of one grade differ (an
/// assumption of the project).
const TIMES_TOLD: f64 = 1.5;
/// Part of the height beyond which a post that moved leans too far for what is worked out from it.
const FAR: f64 = 0.1;
/// Modulus of the softest timber grade that is known (C16, EN 338, second hand), for a post of which
/// none is told.
const SOFT: Megapascals = Megapascals(8_000.0);
/// Two pulls that tell of each other by more than this many times are asked about.
const APART: f64 = 2.0;
/// A difference that a ruler and a pair of eyes make.
const BY_EYE: Millimetres = Millimetres(0.5);
/// Movement that nobody reads from a ruler or a dial.
const LEAST_READ: Millimetres = Millimetres(0.05);
/// How many times as stiff as its rail is stated to be a rail may be read unasked, and how stiff where
/// that is less or nothing is stated (an assumption of the project).
const TIMES_STATED: f64 = 30.0;
const STIFF: NewtonsPerMillimetre = NewtonsPerMillimetre(15_000.0);
/// How far a post may stand above its rail unasked.
const ABOVE: Millimetres = Millimetres(200.0);

/// What is doubtful about a pull before it is kept, in sentences: a height above the post, movement
/// that is too little or out of all proportion, another pull that says otherwise, more movement with
/// the rail on than off. `over`: entries that it corrects.
///
/// # Errors
/// When a figure can't be.
pub fn pull_doubt(
    job: &Job<'_>,
    run: ItemId,
    post: ItemId,
    pull: &values::KnownPull,
    over: &[Hash],
) -> Result<Option<String>, WorkError> {
    let (Some(facts), Some(run)) = (job.post(post), job.run(run)) else {
        return Ok(None);
    };
    if wall::is_wall(facts) {
        return Ok(Some(format!(
            "{} was pulled, and a wall is taken as not moving: nothing of it is counted while it is told as a wall \
             end without a section. If it is a post, tell its section first.",
            facts.name
        )));
    }
    let odd = Odd {
        job,
        run,
        facts,
        read: known(pull),
        rail_on: pull.rail_on,
        over,
    };
    let doubts: Vec<String> = [
        odd.above()?,
        odd.hardly()?,
        odd.alone()?
            .map_or_else(|| odd.beside_stated(), |said| Ok(Some(said)))?,
        odd.beside_another()?,
        odd.rail_moves_more(),
    ]
    .into_iter()
    .flatten()
    .collect();
    Ok((!doubts.is_empty()).then(|| doubts.join(" ")))
}

/// A pull that was read, and what it is held against.
struct Odd<'a> {
    job: &'a Job<'a>,
    run: &'a Run,
    facts: &'a PostFacts,
    read: KnownPull,
    rail_on: bool,
    over: &'a [Hash],
}

impl Odd<'_> {
    fn name(&self) -> &str {
        &self.facts.name
    }

    /// Higher than the post, as its runs' rails, heights and top wires tell.
    fn above(&self) -> Result<Option<String>, WorkError> {
        let mut tops = Vec::new();
        for run in &self.job.runs {
            if !run.posts.iter().any(|p| p.id == self.facts.id) {
                continue;
            }
            tops.extend(run.height.map(mm));
            tops.extend(run.heights.last().copied().map(mm));
            tops.extend(rail_line(run)?);
        }
        let top = tops.into_iter().fold(Millimetres(0.0), Millimetres::max);
        let above = top.value() > 0.0 && self.read.height > top + ABOVE;
        Ok(above.then(|| {
            format!(
                "A pull at {} lies above post {}, which is {top} high.",
                self.read.height,
                self.name()
            )
        }))
    }

    /// Less movement than anybody reads, or so little with the rail on that the rail would be far
    /// stiffer than rails are.
    fn hardly(&self) -> Result<Option<String>, WorkError> {
        let (name, read) = (self.name(), &self.read);
        if read.moved <= LEAST_READ {
            return Ok(Some(format!(
                "Post {name} moved {:.3}\u{a0}mm at {} under {}: less than anybody reads.",
                read.moved.value(),
                read.height,
                read.pull
            )));
        }
        let line = rail_line(self.run)?.filter(|_| self.rail_on);
        let (Ok(found), Some(line)) = (standing(self.job, self.run, self.facts.id)?, line) else {
            return Ok(None);
        };
        let free = Post {
            rail: None,
            ..found.post
        };
        let told = rail_from_pulls(&free, line, std::slice::from_ref(read))?;
        let stated = self.run.rail.and_then(|rail| rail.stiffness_n_per_m);
        #[allow(clippy::cast_precision_loss)] // newtons per metre within their bounds
        let most = stated.map_or(0.0, |per_m| per_m as f64 / 1e3 * TIMES_STATED);
        let stiff = match told {
            Some(RailAsPulled::Holds(rail)) => rail.stiffness.value() > most.max(STIFF.value()),
            Some(RailAsPulled::Rigid) => true,
            _ => false,
        };
        Ok(stiff.then(|| {
            format!(
                "Post {name} moved {} at {} under {} with the rail on: the rail would be stiffer than \
                 rails are. Was it pulled along the run, and read at the same height?",
                read.moved, read.height, read.pull
            )
        }))
    }

    /// Movement beside the post's own bending: less than steel's, or many times it.
    fn alone(&self) -> Result<Option<String>, WorkError> {
        let (name, read) = (self.name(), &self.read);
        let far = read.moved > read.height * FAR;
        let Some((post, build)) = self.bare() else {
            return Ok(far.then(|| {
                format!(
                    "Post {name} moved {} at {} under {}: more than a tenth of that height.",
                    read.moved, read.height, read.pull
                )
            }));
        };
        let steel = Post {
            modulus: Figure::of(STEEL, Origin::Assumed),
            ..post.clone()
        };
        let shown = post_from_pulls(&steel, &[self.read])?;
        if !self.rail_on && matches!(shown, Some(PostAsPulled::BeyondSteel(_))) {
            return Ok(Some(format!(
                "Post {name} moved {} at {} under {}: less than one of steel would.",
                read.moved, read.height, read.pull
            )));
        }
        let bends = bent(&post, read)?;
        if !self.rail_on && read.moved > LEAST_READ {
            let told = modulus(self.facts).map(|told| told.value * TIMES_TOLD);
            let timber = is_timber(self.facts).then_some(Megapascals(TIMBER_TO_GPA * 1.0e3));
            if let Some(most) = told.or(timber) {
                let modulus = Figure::of(most, Origin::Assumed);
                let least = bent(&Post { modulus, ..post }, read)?;
                if read.moved + BY_EYE / 5.0 < least {
                    return Ok(Some(format!(
                        "Post {name} moved {} at {} under {}: less than {least}, what such a post bends by \
                         itself if it is as stiff as {most}. Look at gauge and ruler, and read again: this pull \
                         makes the post's movement smaller.",
                        read.moved, read.height, read.pull
                    )));
                }
            }
        }
        let times = read.moved / bends;
        let lean = if far {
            ", and more than a tenth of that height"
        } else {
            ""
        };
        // A hollow post bends by itself more than its outside tells, and how much is not known.
        let often = times > MOST_TIMES && !build.is_outside_only();
        Ok((far || often).then(|| {
            format!(
                "Post {name} moved {} at {} under {}: {} what such a post bends by itself, \
                 {bends}{lean}. Look at base and gauge, and read again.",
                read.moved,
                read.height,
                read.pull,
                as_often(times)
            )
        }))
    }

    /// Far less movement than by the base as somebody states it, which the pull would take the place of.
    fn beside_stated(&self) -> Result<Option<String>, WorkError> {
        let (Some(turning), Some((post, _)), false) =
            (stated_turning(self.facts), self.bare(), self.rail_on)
        else {
            return Ok(None);
        };
        let (stated, moved) = (kilonewton_metres(turning.value), self.read.moved);
        // What the post's own bending may be at the least: the rest is the base's.
        let stiffest = match is_timber(self.facts) {
            true => stiffest_known().map_or(STEEL, |grade| grade.modulus),
            false => STEEL,
        };
        let modulus = modulus(self.facts).unwrap_or_else(|| Figure::of(stiffest, Origin::Assumed));
        let post = Post {
            modulus,
            base_turning: Some(turning),
            ..post
        };
        let told = bent(&post, &self.read)?;
        let odd = told / moved.max(BY_EYE / 5.0) > APART && told - moved > BY_EYE;
        Ok(odd.then(|| {
            format!(
                "Post {} moved {moved} at {} under {}: by the {stated} kN·m per radian that are stated of its \
                 base it would move {told}. This pull would count in their place, and the post's movement \
                 would be smaller.",
                self.name(),
                self.read.height,
                self.read.pull
            )
        }))
    }

    /// Another pull with the rail as it is now that tells of a movement far from this one.
    fn beside_another(&self) -> Result<Option<String>, WorkError> {
        for other in self.others(self.rail_on) {
            let told = if self.rail_on {
                self.by_rail(&other)?
            } else {
                match self.bare() {
                    // Of an outside alone bending and base are read in one.
                    Some((post, build)) if build.is_outside_only() => {
                        self.bent_alike(post, &other)?
                    }
                    Some((post, _)) => pulled_as(&post, &other, &self.read)?,
                    None => None,
                }
            };
            let Some(told) = told else {
                continue;
            };
            let moved = self.read.moved;
            let (more, less) = (moved.max(told), moved.min(told).max(BY_EYE / 5.0));
            if more / less > APART && more - less > BY_EYE {
                return Ok(Some(format!(
                    "A pull of {} at {} moved post {} {}: by that this one would move it {told}, \
                     not {moved}. One of the two was read wrongly, or the base has given since.",
                    other.pull,
                    other.height,
                    self.name(),
                    other.moved
                )));
            }
        }
        Ok(None)
    }

    /// How far this pull moves a post whose bending and base together move it as another pull shows.
    fn bent_alike(&self, post: Post, other: &KnownPull) -> Result<Option<Millimetres>, WorkError> {
        let Some(shown) = modulus_from_pulls(&post, std::slice::from_ref(other))? else {
            return Ok(None);
        };
        let modulus = Figure::of(shown, Origin::Measured);
        Ok(Some(bent(&Post { modulus, ..post }, &self.read)?))
    }

    /// How far this pull moves a post whose rail holds as another pull shows.
    fn by_rail(&self, other: &KnownPull) -> Result<Option<Millimetres>, WorkError> {
        let (Ok(found), Some(line)) = (
            standing(self.job, self.run, self.facts.id)?,
            rail_line(self.run)?,
        ) else {
            return Ok(None);
        };
        let free = Post {
            rail: None,
            ..found.post
        };
        let rail = match rail_from_pulls(&free, line, std::slice::from_ref(other))? {
            None => return Ok(None),
            Some(RailAsPulled::Nothing) => None,
            Some(RailAsPulled::Holds(rail)) => Some(rail),
            Some(RailAsPulled::Rigid) => Some(Rail {
                height: line,
                stiffness: NewtonsPerMillimetre(1.0e9),
            }),
        };
        Ok(Some(bent(&Post { rail, ..free }, &self.read)?))
    }

    /// More with the rail on than with it off, newton for newton at one height.
    fn rail_moves_more(&self) -> Option<String> {
        let per_newton = |p: &KnownPull| p.moved.value() / p.pull.value();
        let odd = self.others(!self.rail_on).into_iter().any(|other| {
            let same = (other.height - self.read.height).abs() <= Millimetres(20.0);
            let (on, off) = if self.rail_on {
                (&self.read, &other)
            } else {
                (&other, &self.read)
            };
            same && per_newton(on) > per_newton(off)
        });
        odd.then(|| {
            format!(
                "Post {} moves more with the rail on than with it off, newton for newton.",
                self.name()
            )
        })
    }

    /// Pulls along this run that people agree on and that this one does not correct.
    fn others(&self, rail_on: bool) -> Vec<KnownPull> {
        let pulls = self.facts.pulls.iter();
        pulls
            .filter(|(run, _)| *run == self.run.id)
            .filter(|(_, fact)| !fact.tips.iter().any(|tip| self.over.contains(&tip.id)))
            .filter_map(|(_, fact)| fact.value())
            .filter(|pull| pull.rail_on == rail_on)
            .map(known)
            .collect()
    }

    /// The post by itself on a base that does not turn, as if solid where no wall is told; none
    /// without its section.
    fn bare(&self) -> Option<(Post, Build)> {
        let (section, build) = built(self.facts)?;
        let post = Post {
            section,
            modulus: modulus(self.facts).unwrap_or_else(|| Figure::of(SOFT, Origin::Assumed)),
            height: self.read.height,
            rail: None,
            base_turning: None,
            bolt_distance: None,
        };
        Some((post, build))
    }
}

/// How far a pull moves a post as it stands, at its own height.
fn bent(post: &Post, read: &KnownPull) -> Result<Millimetres, WorkError> {
    let pull = WirePull {
        height: read.height,
        tension: read.pull,
        slope: Degrees(0.0),
    };
    Ok(post_movement(post, &[pull], read.height)?)
}

/// How many times as much, in words; past a thousand the figure tells nothing any more.
fn as_often(times: f64) -> String {
    if times > 1000.0 {
        "more than a thousand times".to_owned()
    } else {
        format!("{times:.0} times")
    }
}
