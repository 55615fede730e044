//! What the wires ask of end and corner posts: free, with the rail, propped; all runs together.
//!
//! Invariant: demand only, beside a figure with its origin and who must look at it; never a
//! verdict. Of what is not known the careful side counts, figure by figure: where an angle is not
//! told each is the greatest over all angles, and where a base turns or a post gives, movement is
//! that of the softest reading, moment and what follows from it that of the stiffest.

mod answer;
mod build;
mod figure;
mod legs;
mod odd_pull;
mod others;
mod standing;
mod wall;
mod ways;

use mechanics::posts::Post;
use mechanics::{Degrees, Figure, Megapascals, Newtons, Origin as Mech};

use super::convert::{fitting_of, mn, nm, run_of};
use super::differing::{Wires, differing, note_differing};
use super::figures::Origin;
use super::ordering::asked;
use super::recheck::Losing;
use super::tension::{gauge, upper_of};
use super::{WorkError, words};
use crate::ids::ItemId;
use crate::job::{Job, PostInRun, Run};
use crate::model::fields;
use crate::model::values::PostRole;
use crate::subject::{ItemKind, Subject};
pub use answer::{
    ByBase, Held, InsertPull, OtherRun, OwnFigure, PostAsked, PostHeld, PostsAsked, Together,
};
use build::{Build, built};
pub(super) use build::{is_no_solid_timber, odd_modulus};
pub(super) use legs::pulls_at as carries_pull;
use legs::{Leg, legs};
pub use odd_pull::pull_doubt;
pub(super) use others::{
    OnPost, Pulled, beside, beside_notes, others_on, pulling_along, standing_at,
};
pub(super) use standing::standing;
use standing::{looked_at, rail_line};
pub(super) use wall::{is_wall, wall_notes, walls};
use ways::{Stood, squared, ways};

/// What the wires of a run ask of its end and corner posts, at its set tension, else at what is
/// required.
///
/// # Errors
/// When the run is unknown, the rule set can't be read, or a figure can't be.
pub fn posts_asked(job: &Job<'_>, run: ItemId) -> Result<PostsAsked, WorkError> {
    let run = run_of(job, run)?;
    let mut answer = PostsAsked {
        run: run.id,
        run_name: run.name.clone(),
        posts: Vec::new(),
        notes: Vec::new(),
    };
    match planned(job, run)? {
        Some((tension, origin)) => {
            (answer.posts, answer.notes) = asked_of_posts(job, run, tension, origin)?;
        }
        None => answer.notes.push(NO_TENSION.to_owned()),
    }
    let apart = differing(job, Some(run), Wires::LeftOut);
    note_differing(apart, [], &mut answer.notes);
    Ok(answer)
}

/// Said where nothing pulls yet.
pub(super) const NO_TENSION: &str =
    "No tension is decided or asked: what the wires ask of the posts is not computed.";

/// The tension that a run is planned to, and where it is from: before one is decided what would have to
/// be set, since a post has to hold that and not what is left of it later.
pub(super) fn planned(
    job: &Job<'_>,
    run: &Run,
) -> Result<Option<(Newtons, &'static str)>, WorkError> {
    if let Some(decided) = run.tensions.value() {
        return Ok(Some((mn(decided.set_mn), "set tension of the run")));
    }
    let Some(required) = asked(job, run)?.required else {
        let upper = upper_of(job, run)?;
        return Ok(upper.map(|upper| (upper, "upper tension, none asked and none decided")));
    };
    let required = Newtons(required.newtons);
    let error = gauge(job).and_then(|gauge| gauge.error).unwrap_or(0.0);
    let losing = match Losing::before(job, run) {
        Ok(Ok(losing)) => losing,
        Ok(Err(_)) | Err(WorkError::Mechanics(_)) => {
            return Ok(Some((required, "required tension, set not decided")));
        }
        Err(error) => return Err(error),
    };
    let least = losing.least_set(required, error)?.map(|least| least.set);
    let upper = upper_of(job, run)?.map(|upper| upper.max(required));
    Ok(Some(match (least, upper) {
        (Some(least), upper) if upper.is_none_or(|upper| least <= upper) => (
            least.max(required),
            "least set tension that keeps what is required, set not decided",
        ),
        // More than the upper tension is never set, also where no set tension would be enough.
        (_, Some(upper)) => (
            upper,
            "upper tension: what is required leaves no room below it, set not decided",
        ),
        (_, None) => (required, "required tension, set not decided"),
    }))
}

/// The least tension that the run's wires are to keep, and where it is from: what is required, else
/// what they are set to.
pub(super) fn promised(job: &Job<'_>, run: &Run) -> Result<Option<(Newtons, Origin)>, WorkError> {
    let decided = run.tensions.value();
    let set = decided.map(|decided| (mn(decided.set_mn), Origin::Recorded));
    let required = asked(job, run)?.required;
    let required = required.map(|r| (Newtons(r.newtons), Origin::Table));
    Ok(match (required, set) {
        (Some(required), Some(set)) if set.0 < required.0 => Some(set),
        (Some(required), _) => Some(required),
        (None, set) => set,
    })
}

/// The posts of a run that carry its wires' pull: both ends, and the corners between.
pub(super) fn carriers(run: &Run) -> Vec<&PostInRun> {
    let Some((first, last)) = run.ends() else {
        return Vec::new();
    };
    let carries = |post: &&PostInRun| {
        post.id == first.id || post.id == last.id || post.role == PostRole::Corner
    };
    run.posts.iter().filter(carries).collect()
}

/// Demand on the end and corner posts of a run, with what is missing for it.
pub(super) fn asked_of_posts(
    job: &Job<'_>,
    run: &Run,
    tension: Newtons,
    tension_origin: &str,
) -> Result<(Vec<PostAsked>, Vec<String>), WorkError> {
    let (mut found, mut missing) = (Vec::new(), Vec::new());
    if super::inward::pulls(run, tension)?.is_empty() {
        return Ok((found, missing));
    }
    for post in carriers(run) {
        let asked = asked_of_post(job, run, post, (tension, tension_origin), &mut missing)?;
        found.extend(asked);
    }
    Ok((found, missing))
}

/// The same on one of them; none where it can't be worked out, with why in `missing`.
pub(super) fn asked_of_post(
    job: &Job<'_>,
    run: &Run,
    at: &PostInRun,
    (tension, tension_origin): (Newtons, &str),
    missing: &mut Vec<String>,
) -> Result<Option<PostAsked>, WorkError> {
    let looked = Looked {
        job,
        run,
        at,
        tension,
        tension_origin,
    };
    looked.post(missing)
}

/// One post of a run with what it is looked at for.
struct Looked<'a> {
    job: &'a Job<'a>,
    run: &'a Run,
    at: &'a PostInRun,
    tension: Newtons,
    tension_origin: &'a str,
}

impl Looked<'_> {
    fn subject(&self) -> Subject {
        Subject::post(self.at.id)
    }

    fn post(&self, missing: &mut Vec<String>) -> Result<Option<PostAsked>, WorkError> {
        let (job, run, end) = (self.job, self.run, self.at);
        if let Some(wall) = self.wall(missing)? {
            return Ok(Some(wall));
        }
        missing.extend(self.wall_with_a_section());
        let (of, pulled) = match standing(job, run, end.id)? {
            Ok(found) => {
                missing.extend(found.doubts);
                let known = found.stated.into_iter().chain(found.pulled).collect();
                let of = Stood {
                    post: found.post,
                    build: found.build,
                    softest: found.softest,
                    stiffest: found.stiffest,
                    stiffness_known: true,
                };
                (of, known)
            }
            Err(why) => match self.without_modulus()? {
                Some((post, build)) => {
                    let what = match build.is_outside_only() {
                        true => "Its stress and movement are",
                        false => "Its movement is",
                    };
                    missing.push(format!("{why} {what} not computed."));
                    let of = Stood {
                        post,
                        build,
                        softest: "",
                        stiffest: None,
                        stiffness_known: false,
                    };
                    (of, Vec::new())
                }
                None => {
                    missing.push(format!("{why} What the wires ask of it is not computed."));
                    return Ok(None);
                }
            },
        };
        missing.extend(of.doubt(&end.name));
        let all = legs(job, run, end, self.tension, self.tension_origin, missing)?;
        let (own, others): (Vec<&Leg>, Vec<&Leg>) = all.iter().partition(|l| l.run == run.id);
        let held = ways(&of, &own)?;
        let at_right_angle = if own.iter().any(|l| l.heading.is_none()) {
            squared(&of, &own)?
        } else {
            Vec::new()
        };
        let together = if others.is_empty() {
            None
        } else {
            let both: Vec<&Leg> = all.iter().collect();
            Some(self.together(&of, &all, ways(&of, &both)?)?)
        };
        let looked_at_mm = looked_at(run)?.value();
        let wires = own.first().map_or(0, |l| l.pulls.len());
        let name = match end.role {
            PostRole::Corner => format!("{}, corner,", end.name),
            _ => format!("{},", end.name),
        };
        let mut sentence = answer::sentence(&name, wires, self.tension, &held, looked_at_mm);
        if let Some(together) = &together {
            sentence = format!("{} {sentence}", together.sentence);
        }
        Ok(Some(PostAsked {
            post: end.id,
            subject: self.subject(),
            name: end.name.clone(),
            role: end.role,
            wires: u32::try_from(wires).unwrap_or(u32::MAX),
            tension_n: self.tension.value(),
            tension_origin: self.tension_origin.to_owned(),
            wire_heights_mm: own.first().map_or_else(Vec::new, |l| {
                l.pulls.iter().map(|p| p.height.value()).collect()
            }),
            looked_at_mm,
            origin: Origin::Computed,
            confirm: "licensed engineer".to_owned(),
            numbers: held.iter().flat_map(answer::numbers).collect(),
            held,
            wall_pull_n: None,
            at_right_angle,
            together,
            pulled,
            own: figure::own(job.post(end.id), &of)?,
            own_missing: figure::missing(job.post(end.id)),
            insert: self.insert(),
            rail_joint: job.post(end.id).and_then(|p| p.rail_joint),
            sentence,
        }))
    }

    /// Moment and stress at the base of a post that is free or propped do not depend on the modulus,
    /// so any will do; nor does the moment depend on the section.
    fn without_modulus(&self) -> Result<Option<(Post, Build)>, WorkError> {
        let facts = self.job.post(self.at.id);
        let Some((section, build)) = facts.and_then(built) else {
            return Ok(None);
        };
        let post = Post {
            section,
            modulus: Figure::of(Megapascals(1.0), Mech::Assumed),
            height: looked_at(self.run)?,
            rail: None,
            base_turning: None,
            bolt_distance: facts.and_then(|p| p.base.as_ref()?.spacing_nm).map(nm),
        };
        Ok(Some((post, build)))
    }

    /// What all runs ask of the post at once; at a right angle beside it where none is told.
    fn together(
        &self,
        of: &Stood,
        all: &[Leg],
        held: Vec<PostHeld>,
    ) -> Result<Together, WorkError> {
        let others: Vec<&Leg> = all.iter().filter(|l| l.run != self.run.id).collect();
        let at_right_angle = if others.iter().any(|l| l.heading.is_none()) {
            squared(of, &all.iter().collect::<Vec<_>>())?
        } else {
            Vec::new()
        };
        let runs: Vec<OtherRun> = others
            .iter()
            .map(|leg| OtherRun {
                run: leg.run,
                name: leg.name.clone(),
                wires: u32::try_from(leg.pulls.len()).unwrap_or(u32::MAX),
                tension_n: leg.tension.value(),
                tension_origin: leg.origin.clone(),
                angle_deg: leg.heading.map(Degrees::value),
            })
            .collect();
        let sentence =
            answer::together_sentence(&self.run.name, &self.at.name, &runs, &held, &at_right_angle);
        Ok(Together {
            runs,
            held,
            at_right_angle,
            sentence,
        })
    }

    /// The straight pull on each insert beside the set's own figure.
    fn insert(&self) -> Option<InsertPull> {
        let of = self.job.reader;
        let set = fitting_of(self.job, self.run);
        let figure = set.and_then(|s| s.insert_pull);
        let origin = set.and_then(|s| {
            let subject = Subject::Item(ItemKind::FittingSet, s.id).to_string();
            let fact = of.one(fields::FITTING_INSERT_PULL, &subject, "");
            fact.told()?.with.as_ref()?.origin.clone()
        });
        let post = self.job.post(self.at.id);
        let try_it = match post.is_some_and(is_no_solid_timber) {
            true => "Ask for the maker's figure, for what this post is built of.",
            false => "Ask for the maker's figure, or pull one in an offcut.",
        };
        let (words, figure_n) = match figure {
            Some(force) => (
                format!(
                    "Each insert is pulled straight out with {}, all in one line up the post. \
                     Its least pull on record is {}.",
                    self.tension,
                    words::newtons(force.mn)
                ),
                Some(force.as_newtons()),
            ),
            None => (
                format!(
                    "Each insert is pulled straight out with {}, all in one line up the post. {try_it}",
                    self.tension
                ),
                None,
            ),
        };
        self.inserts_here().then(|| InsertPull {
            pull_n: self.tension.value(),
            figure_n,
            figure_origin: figure_n.map(|_| origin.unwrap_or_else(|| "as recorded".to_owned())),
            sentence: words,
        })
    }

    /// Whether wires end here in inserts, or nobody said in what.
    fn inserts_here(&self) -> bool {
        use crate::model::values::EndKind;
        self.at.role != PostRole::Corner
            && self
                .at
                .end
                .shown()
                .is_none_or(|end| end.kind == EndKind::Insert)
    }
}
