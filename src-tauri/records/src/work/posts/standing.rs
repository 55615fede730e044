//! A post as the engineering takes it: section, modulus, base and rail, as assumed or as pulled.
//!
//! Invariant: what an agreed known pull shows takes the place of what was assumed, here and so
//! everywhere that a post's stiffness counts; the answer says which of the two it is. Movement goes
//! by the softest that is shown. A base that turns and a post that gives take moment off the base
//! wherever a rail holds, so moment, stress and fixings are told of the stiffest that can be beside it.
//! One file past 400 lines, since each kind of pull replaces another part of one post.

use mechanics::posts::{
    KnownPull, Post, PostAsPulled, Rail, RailAsPulled, STEEL, modulus_from_pulls, post_from_pulls,
    rail_from_pulls, stiffest_from_pulls, stiffest_known,
};
use mechanics::{Figure, Megapascals, Millimetres, NewtonsPerMillimetre, Origin};
use serde::de::DeserializeOwned;

use super::build::{Build, built, is_timber};
use super::wall;
use crate::ids::ItemId;
use crate::job::{Job, PostFacts, Run};
use crate::model::{Field, fields, values};
use crate::subject::Subject;
use crate::work::WorkError;
use crate::work::convert::{mm, mn, nm, slope_of};

/// Turning stiffness of a base that a pull showed not to turn: far above any that could be read, so
/// that nothing is added, and known, so that nothing is called understated.
pub(super) const DOES_NOT_TURN: f64 = 1.0e15;
/// Stiffness of a rail that a pull showed not to give, N/mm: far above any that could be read.
const DOES_NOT_GIVE: NewtonsPerMillimetre = NewtonsPerMillimetre(1.0e9);

/// A post as it stands in a run, and what known pulls said of it.
pub(in crate::work) struct Standing {
    pub(in crate::work) post: Post,
    /// How far its section is told.
    pub(super) build: Build,
    /// What `post` counts with, in words, where something stiffer can be.
    pub(in crate::work) softest: &'static str,
    /// The stiffest that the same post can be, and what that counts with; none where nothing is
    /// softer.
    pub(in crate::work) stiffest: Option<(Post, String)>,
    /// How the base turns as somebody states it, in a sentence; none where a pull shows it or nobody
    /// does.
    pub(in crate::work) stated: Option<String>,
    /// What known pulls showed and replaced, in sentences.
    pub(in crate::work) pulled: Vec<String>,
    /// Pulls that could not be used, in sentences.
    pub(in crate::work) doubts: Vec<String>,
}

impl Standing {
    /// What is missing where stiffness follows from pulls alone.
    fn not_told(&self) -> &'static str {
        match self.build {
            Build::OutsideOnly(_) => "wall",
            Build::Known | Build::TakenAsSolid => "modulus",
        }
    }
}

/// A post with its rail as the engineering takes it, or what is missing.
pub(in crate::work) fn standing(
    job: &Job<'_>,
    run: &Run,
    id: ItemId,
) -> Result<Result<Standing, String>, WorkError> {
    let Some(facts) = job.post(id) else {
        return Ok(Err("The post is not in the record.".to_owned()));
    };
    if wall::is_wall(facts) {
        return Ok(Ok(wall::standing(facts, run)?));
    }
    let Some((section, build)) = built(facts) else {
        return Ok(Err(without(
            job,
            facts,
            fields::POST_SECTION,
            ("cross section", "section"),
        )));
    };
    // Of an outside alone stiffness is known by a pull only, bending and base in one.
    let told = modulus(facts).filter(|_| !build.is_outside_only());
    let mut found = Standing {
        post: Post {
            section,
            modulus: told
                .clone()
                .unwrap_or_else(|| Figure::of(Megapascals(1.0), Origin::Assumed)),
            height: looked_at(run)?,
            rail: rail_of(run)?,
            base_turning: stated_turning(facts),
            bolt_distance: facts.base.as_ref().and_then(|b| b.spacing_nm).map(nm),
        },
        build,
        softest: "base turning as told",
        stiffest: None,
        stated: None,
        pulled: Vec::new(),
        doubts: Vec::new(),
    };
    if let Some(turning) = &found.post.base_turning {
        let from = turning.source.as_deref().filter(|from| !from.is_empty());
        found.stated = Some(format!(
            "The base of post {} turns, as told: {} kN·m per radian ({}).",
            facts.name,
            kilonewton_metres(turning.value),
            from.unwrap_or("origin not told")
        ));
    }
    let disputed = facts
        .pulls
        .iter()
        .any(|(of, fact)| *of == run.id && fact.blocks());
    if disputed {
        found.doubts.push(format!(
            "A known pull of post {} is disputed and not used.",
            facts.name
        ));
    }
    let known = as_pulled(job, run, facts, &mut found, told.is_some())?;
    Ok(match found.build {
        _ if known => Ok(found),
        Build::OutsideOnly(why) => Err(why),
        Build::Known | Build::TakenAsSolid => Err(without(
            job,
            facts,
            fields::POST_MATERIAL,
            ("modulus of elasticity", "material with the modulus E"),
        )),
    })
}

/// k_θ as an engineer, a maker or a test states it, newton millimetres per radian.
pub(super) fn stated_turning(post: &PostFacts) -> Option<Figure<f64>> {
    let base = post.base.as_ref()?;
    #[allow(clippy::cast_precision_loss)] // far below 2^53 N·m
    let turning = base.turning_nm_per_rad? as f64 * 1.0e3;
    let origin = base.turning_origin.clone().unwrap_or_default();
    Some(Figure::new(turning, Origin::Assumed, origin))
}

pub(super) fn modulus(post: &PostFacts) -> Option<Figure<Megapascals>> {
    let material = post.material.as_ref()?;
    #[allow(clippy::cast_precision_loss)] // a few thousand MPa
    let modulus = Megapascals(material.modulus_mpa? as f64);
    let origin = material.modulus_origin.clone().unwrap_or_default();
    Some(Figure::new(modulus, Origin::Assumed, origin))
}

/// Puts what the pulls show in the place of what was assumed; whether the post's stiffness is known.
fn as_pulled(
    job: &Job<'_>,
    run: &Run,
    facts: &PostFacts,
    found: &mut Standing,
    modulus_told: bool,
) -> Result<bool, WorkError> {
    // The base turns alike whichever run it was pulled along; a rail belongs to its own run.
    let off = pulls(facts, |of, rail_on| !rail_on && job.run(of).is_some());
    let on = pulls(facts, |of, rail_on| rail_on && of == run.id);
    let name = &facts.name;
    let timber = found.build == Build::Known && is_timber(facts);
    let mut known = modulus_told;
    found.stiffest = stiffest(found, &off, (modulus_told, timber))?;
    if modulus_told {
        base(found, name, &off)?;
    } else if let Some(shown) = modulus_from_pulls(&found.post, &off)? {
        let source = format!("a known pull on post {name}, its base counted in");
        found.post.modulus = Figure::new(shown, Origin::Measured, source);
        found.post.base_turning = Some(no_turning());
        found.stated = None;
        found.softest = "bending and base as pulled";
        found.pulled.push(format!(
            "Post {name} as pulled{}: no {} is told, and bending and base together move like \
             {}.",
            of_pulls(&off),
            found.not_told(),
            to_three(shown)
        ));
        known = true;
    }
    // Which run it was pulled along does not matter to the base.
    let any = pulls(facts, |of, rail_on| rail_on && job.run(of).is_some());
    if known && !(off.is_empty() && by_rail_on_alone(found, name, &any, &on)?) {
        rail(run, found, name, &on)?;
    }
    let same = |stiff: &Post| {
        let turns = |p: &Post| {
            p.base_turning
                .as_ref()
                .is_some_and(|k| k.value < DOES_NOT_TURN)
        };
        let as_stiff = stiff.modulus.value * (1.0 - 1.0e-9);
        !turns(&found.post) && found.post.modulus.value >= as_stiff
    };
    if found
        .stiffest
        .as_ref()
        .is_some_and(|(stiff, _)| same(stiff))
    {
        found.stiffest = None;
    }
    Ok(known)
}

/// The post on a base that does not turn, as stiff as any pull with the rail off shows it; where no
/// modulus counts, at least as steel, or as the stiffest timber that is known where it is timber.
fn stiffest(
    found: &Standing,
    off: &[KnownPull],
    (modulus_told, timber): (bool, bool),
) -> Result<Option<(Post, String)>, WorkError> {
    let shown = stiffest_from_pulls(&found.post, off)?;
    let mut post = Post {
        base_turning: None,
        ..found.post.clone()
    };
    let mut words = "base not turning".to_owned();
    if !modulus_told {
        let least = match timber {
            true => stiffest_known().map_or(STEEL, |grade| grade.modulus),
            false => STEEL,
        };
        post.modulus = Figure::of(least, Origin::Assumed);
    }
    if let Some(shown) = shown.filter(|shown| *shown > post.modulus.value) {
        post.modulus = Figure::of(shown, Origin::Measured);
        words = format!("{words}, {} as the stiffest pull shows", to_three(shown));
    } else if !modulus_told {
        words = format!(
            "{words}, {} since no {} is told",
            post.modulus.value,
            found.not_told()
        );
    }
    Ok(Some((post, words)))
}

/// A figure above nought to three digits: a ruler tells no more, and a small one is not told as nought.
fn three_digits(figure: f64) -> f64 {
    let step = 10.0_f64.powf(figure.max(1.0e-6).log10().floor() - 2.0);
    // By a whole number where there is one: 60, not 60.00000000000001.
    match step >= 1.0 {
        true => (figure / step).round() * step,
        false => (figure / step).round() / (1.0 / step).round(),
    }
}

/// A turning stiffness as it is told, in kN·m per radian.
pub(super) fn kilonewton_metres(newton_millimetres: f64) -> f64 {
    three_digits(newton_millimetres / 1.0e6)
}

/// A modulus as it is told.
fn to_three(shown: Megapascals) -> Megapascals {
    Megapascals(three_digits(shown.value()))
}

fn no_turning() -> Figure<f64> {
    Figure::of(DOES_NOT_TURN, Origin::Measured)
}

fn base(found: &mut Standing, name: &str, off: &[KnownPull]) -> Result<(), WorkError> {
    let stated = found.post.base_turning.as_ref().map(|k| k.value);
    let in_place = stated.map_or_else(String::new, |k| {
        format!(
            " The {} kN·m per radian that are stated of it are not counted.",
            kilonewton_metres(k)
        )
    });
    match post_from_pulls(&found.post, off)? {
        None => {}
        Some(PostAsPulled::Turns(stiffness)) => {
            found.stated = None;
            found.softest = "base turning as pulled";
            found.post.base_turning = Some(Figure::new(
                stiffness,
                Origin::Measured,
                format!("a known pull on post {name}"),
            ));
            found.pulled.push(format!(
                "The base of post {name} turns, as pulled{}: {:.0} kN·m per radian.{in_place}",
                of_pulls(off),
                stiffness / 1.0e6
            ));
        }
        Some(PostAsPulled::Stiffer(shown)) => {
            found.stated = None;
            found.softest = "as the softest pull shows";
            let before = found.post.modulus.value;
            found.post.modulus = Figure::new(
                shown,
                Origin::Measured,
                format!("a known pull on post {name}"),
            );
            found.post.base_turning = Some(no_turning());
            found.pulled.push(format!(
                "Post {name} is stiffer than {before} tells, as pulled{}: it moves like {} on \
                 a base that does not turn.{in_place}",
                of_pulls(off),
                to_three(shown)
            ));
        }
        Some(PostAsPulled::BeyondSteel(_)) => found.doubts.push(format!(
            "A known pull says that post {name} moved less than one of steel would: it is not \
             used. Pull again and read at the height of the pull."
        )),
    }
    Ok(())
}

/// What pulls with the rail on tell of the post where it was never pulled with the rail off: one figure for base
/// and rail together. Where the post moved more than it would by itself, its base turns by that at the least and
/// nothing is counted of a rail that it was pulled with (`on`): true. Else the rail is told from them as on the base
/// that is assumed, and a base that nobody states is asked for.
fn by_rail_on_alone(
    found: &mut Standing,
    name: &str,
    any: &[KnownPull],
    on: &[KnownPull],
) -> Result<bool, WorkError> {
    let shown = match post_from_pulls(&found.post, any)? {
        None => return Ok(false),
        Some(PostAsPulled::Turns(shown)) => shown,
        Some(PostAsPulled::Stiffer(_) | PostAsPulled::BeyondSteel(_)) => DOES_NOT_TURN,
    };
    let stated = found.post.base_turning.as_ref().map(|k| k.value);
    if shown >= stated.unwrap_or(DOES_NOT_TURN) {
        if stated.is_none() && !on.is_empty() {
            found.doubts.push(format!(
                "Post {name} was pulled with the rail on alone: what its rail holds is told as if its base did \
                 not turn, and it moves more than is told here if it does. Pull it with the rail off as well."
            ));
        }
        return Ok(false);
    }
    found.stated = None;
    found.softest = "base turning as pulled with the rail on";
    if !on.is_empty() {
        found.post.rail = None;
    }
    found.post.base_turning = Some(Figure::new(
        shown,
        Origin::Measured,
        format!("a known pull on post {name} with its rail on"),
    ));
    found.pulled.push(format!(
        "The base of post {name} turns, as pulled with the rail on{}: {:.0} kN·m per radian at the most, and \
         nothing is counted of that rail.",
        of_pulls(any),
        shown / 1.0e6
    ));
    found.doubts.push(format!(
        "Post {name} was pulled with the rail on alone: what of it was the rail and what the base is not known, \
         and it may move more than is told here. Pull it with the rail off as well."
    ));
    Ok(true)
}

fn rail(run: &Run, found: &mut Standing, name: &str, on: &[KnownPull]) -> Result<(), WorkError> {
    let Some(line) = rail_line(run)? else {
        if !on.is_empty() {
            found.doubts.push(format!(
                "Post {name} was pulled with the rail on, and run {} has no rail on record: tell \
                 its rail.",
                run.name
            ));
        }
        return Ok(());
    };
    let (rail, words) = match rail_from_pulls(&found.post, line, on)? {
        None => return Ok(()),
        Some(RailAsPulled::Holds(rail)) => {
            let words = format!("holds it by {:.0} N/mm at {line}", rail.stiffness.value());
            (Some(rail), words)
        }
        Some(RailAsPulled::Nothing) => (None, "does not hold it".to_owned()),
        Some(RailAsPulled::Rigid) => {
            let rail = Rail {
                height: line,
                stiffness: DOES_NOT_GIVE,
            };
            (Some(rail), "holds it without giving".to_owned())
        }
    };
    found.post.rail = rail;
    found.pulled.push(format!(
        "The rail of run {} at post {name}, as pulled{}, {words}.",
        run.name,
        of_pulls(on)
    ));
    Ok(())
}

/// Pulls that people agree on, by run and rail.
fn pulls(facts: &PostFacts, wanted: impl Fn(ItemId, bool) -> bool) -> Vec<KnownPull> {
    facts
        .pulls
        .iter()
        .filter_map(|(run, fact)| Some((*run, fact.value()?)))
        .filter(|(run, pull)| wanted(*run, pull.rail_on))
        .map(|(_, pull)| known(pull))
        .collect()
}

/// A pull of the record as the engineering takes it.
pub(super) fn known(pull: &values::KnownPull) -> KnownPull {
    KnownPull {
        height: nm(pull.at_nm),
        pull: mn(pull.mn),
        moved: nm(pull.moved_nm),
    }
}

fn of_pulls(pulls: &[KnownPull]) -> String {
    match pulls {
        [one] => format!(" ({} at {} moved it {})", one.pull, one.height, one.moved),
        several => format!(" ({} pulls, the softest counts)", several.len()),
    }
}

/// Says that a fact of a post is missing, or that people disagree on it.
fn without<T: DeserializeOwned, C: DeserializeOwned>(
    job: &Job<'_>,
    post: &PostFacts,
    field: Field<T, C>,
    (what, tell): (&str, &str),
) -> String {
    if job.reader.blocks(field, &Subject::post(post.id)) {
        format!("The {what} of post {} is disputed.", post.name)
    } else {
        format!("Post {} has no {what}: tell its {tell}.", post.name)
    }
}

/// Height at which a post's movement is looked at: the rail's line, else the run's top.
pub(in crate::work) fn looked_at(run: &Run) -> Result<Millimetres, WorkError> {
    if let Some(line) = rail_line(run)? {
        return Ok(line);
    }
    let top_wire = run.heights.last().copied().map(mm);
    Ok(run
        .height
        .map(mm)
        .or(top_wire)
        .unwrap_or(Millimetres(1000.0)))
}

/// Height of the rail's line above the base, where the run has a rail.
pub(in crate::work) fn rail_line(run: &Run) -> Result<Option<Millimetres>, WorkError> {
    let Some(rail) = run.rail else {
        return Ok(None);
    };
    if let Some(height) = rail.stiffness_height_nm {
        return Ok(Some(nm(height)));
    }
    let half = mechanics::slope::plumb(nm(rail.thickness_nm) / 2.0, slope_of(run)?)?;
    Ok(Some(nm(rail.underside_nm) + half))
}

pub(super) fn rail_of(run: &Run) -> Result<Option<Rail>, WorkError> {
    let stiffness = run.rail.and_then(|r| r.stiffness_n_per_m);
    let (Some(per_metre), Some(height)) = (stiffness, rail_line(run)?) else {
        return Ok(None);
    };
    Ok(Some(Rail {
        height,
        #[allow(clippy::cast_precision_loss)] // far below 2^53 N/m
        stiffness: NewtonsPerMillimetre(per_metre as f64 / 1000.0),
    }))
}

#[cfg(test)]
mod tests {
    use super::three_digits;

    #[test]
    fn figures_are_told_to_three_digits_and_small_ones_not_as_nought() {
        for (figure, told) in [
            (0.4, "0.4"),
            (60.000_000_000_01, "60"),
            (85.47, "85.5"),
            (45_740.3, "45700"),
            (0.001_234_5, "0.00123"),
        ] {
            assert_eq!(three_digits(figure).to_string(), told);
        }
    }
}
