//! What the wires ask of the end posts, standing free and with the rail: demand, never a verdict.

use mechanics::posts::{Post, PostDemand, post_demand};
use mechanics::{Figure, Megapascals, Newtons, Origin as Mech};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::WorkError;
use super::figures::Origin;
use super::inward::{looked_at, pulls, section_of, standing};
use crate::ids::ItemId;
use crate::job::{Job, Run};
use crate::model::context::Number;
use crate::subject::Subject;

/// How a post is taken to be held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum Held {
    /// At the base only.
    Free,
    /// At the base and by the rail.
    WithRail,
}

/// Demand on a post held in one way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PostHeld {
    /// How it is held.
    pub held: Held,
    /// Sum of the level parts of the pulls, newtons.
    pub level_pull_n: f64,
    /// Moment at the base, newton metres.
    pub base_moment_nm: f64,
    /// Bending stress at the base, megapascals.
    pub base_stress_mpa: f64,
    /// Movement at the height looked at; none where the modulus is not known.
    pub tip_mm: Option<f64>,
    /// Force on the rail and its joint.
    pub rail_force_n: Option<f64>,
    /// Pull on the base fixings, where the bolts' distance is known.
    pub fixing_force_n: Option<f64>,
    /// What the figures leave out.
    pub left_out: Vec<String>,
}

/// What the wires of a run ask of one of its end posts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PostAsked {
    /// The post.
    pub post: ItemId,
    /// The post as a subject.
    pub subject: Subject,
    /// Its name.
    pub name: String,
    /// Number of wires that end there in this run.
    pub wires: u32,
    /// Tension of each.
    pub tension_n: f64,
    /// Where that tension is from, in words.
    pub tension_origin: String,
    /// Height above the floor at which movement is looked at.
    pub looked_at_mm: f64,
    /// Demand, free first; with the rail where its stiffness is known.
    pub held: Vec<PostHeld>,
    /// Origin of the demand figures.
    pub origin: Origin,
    /// Who must look at it.
    pub confirm: String,
    /// The warning with its figures.
    pub sentence: String,
    /// The figures with units and origins, as a decision would keep them.
    pub numbers: Vec<Number>,
}

/// Demand on both end posts of a run, with what is missing for it.
pub(super) fn posts_asked(
    job: &Job<'_>,
    run: &Run,
    tension: Newtons,
    tension_origin: &str,
) -> Result<(Vec<PostAsked>, Vec<String>), WorkError> {
    let (mut asked, mut missing) = (Vec::new(), Vec::new());
    let Some((first, last)) = run.ends() else {
        return Ok((asked, missing));
    };
    let pulls = pulls(run, tension)?;
    if pulls.is_empty() {
        return Ok((asked, missing));
    }
    for end in [first, last] {
        let (post, known) = match standing(job, run, end.id)? {
            Ok(post) => (post, true),
            Err(why) => match without_modulus(job, run, end.id)? {
                Some(post) => {
                    missing.push(format!("{why} Its movement is not computed."));
                    (post, false)
                }
                None => {
                    missing.push(format!("{why} What the wires ask of it is not computed."));
                    continue;
                }
            },
        };
        let free = Post {
            rail: None,
            ..post.clone()
        };
        let mut held = vec![of(Held::Free, &post_demand(&free, &pulls)?, known)];
        if post.rail.is_some() && known {
            held.push(of(Held::WithRail, &post_demand(&post, &pulls)?, known));
        }
        if shared(job, run, end.id) {
            missing.push(format!(
                "Post {} also carries another run: that pull is not in these figures.",
                end.name
            ));
        }
        let looked_at_mm = looked_at(run)?.value();
        asked.push(PostAsked {
            post: end.id,
            subject: Subject::post(end.id),
            name: end.name.clone(),
            wires: u32::try_from(pulls.len()).unwrap_or(u32::MAX),
            tension_n: tension.value(),
            tension_origin: tension_origin.to_owned(),
            looked_at_mm,
            origin: Origin::Computed,
            confirm: "licensed engineer".to_owned(),
            sentence: sentence(&end.name, pulls.len(), tension, &held, looked_at_mm),
            numbers: held.iter().flat_map(numbers).collect(),
            held,
        });
    }
    Ok((asked, missing))
}

/// Moment and stress at the base of a free post do not depend on the modulus, so any will do.
fn without_modulus(job: &Job<'_>, run: &Run, id: ItemId) -> Result<Option<Post>, WorkError> {
    let Some(section) = job.post(id).and_then(|p| p.section) else {
        return Ok(None);
    };
    let spacing = job
        .post(id)
        .and_then(|p| p.base.as_ref()?.spacing_nm)
        .map(super::convert::nm);
    Ok(Some(Post {
        section: section_of(section),
        modulus: Figure::of(Megapascals(1.0), Mech::Assumed),
        height: looked_at(run)?,
        rail: None,
        base_turning: None,
        bolt_distance: spacing,
    }))
}

fn shared(job: &Job<'_>, run: &Run, post: ItemId) -> bool {
    job.runs
        .iter()
        .any(|r| r.id != run.id && r.posts.iter().any(|p| p.id == post))
}

fn of(held: Held, demand: &PostDemand, modulus_known: bool) -> PostHeld {
    PostHeld {
        held,
        level_pull_n: demand.level_pull.value(),
        base_moment_nm: demand.base_moment.value(),
        base_stress_mpa: demand.base_stress.value(),
        tip_mm: modulus_known.then_some(demand.tip.value()),
        rail_force_n: demand.rail_force.map(|f| f.value()),
        fixing_force_n: demand.fixing_force.map(|f| f.value()),
        left_out: demand.left_out.clone(),
    }
}

fn held_words(held: Held) -> &'static str {
    match held {
        Held::Free => "free",
        Held::WithRail => "with the rail",
    }
}

fn sentence(name: &str, wires: usize, tension: Newtons, held: &[PostHeld], at: f64) -> String {
    let each: Vec<String> = held
        .iter()
        .map(|h| {
            let tip = h
                .tip_mm
                .map_or_else(String::new, |t| format!(", {t:.1} mm at {at:.0} mm height"));
            let fixing = h.fixing_force_n.map_or_else(String::new, |f| {
                format!(", {:.0} kN on the base fixings", f / 1000.0)
            });
            format!(
                "{}: {:.0} N·m at the base, {:.1} MPa{tip}{fixing}",
                held_words(h.held),
                h.base_moment_nm,
                h.base_stress_mpa
            )
        })
        .collect();
    format!(
        "Post {name}, {wires} wires at {tension}. {}. Posts like these bend under this pull: ask \
         an engineer before ordering.",
        capital(&each.join("; "))
    )
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

fn numbers(held: &PostHeld) -> Vec<Number> {
    let number = |what: &str, value: String| Number {
        name: format!("{what}, {}", held_words(held.held)),
        value,
        origin: "computed".into(),
    };
    let mut found = vec![
        number(
            "moment at the base",
            format!("{:.0} N·m", held.base_moment_nm),
        ),
        number(
            "stress at the base",
            format!("{:.1} MPa", held.base_stress_mpa),
        ),
    ];
    found.extend(
        held.tip_mm
            .map(|t| number("movement at the top", format!("{t:.1} mm"))),
    );
    found.extend(
        held.rail_force_n
            .map(|f| number("force on the rail's joint", format!("{f:.0} N"))),
    );
    found.extend(
        held.fixing_force_n
            .map(|f| number("pull on the base fixings", format!("{f:.0} N"))),
    );
    found
}
