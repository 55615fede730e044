//! Demand on posts as it is shown and kept.

use mechanics::Newtons;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use crate::ids::ItemId;
use crate::model::bounds;
use crate::model::context::Number;
use crate::model::values::{PostRole, RailJoint};
use crate::subject::Subject;
use crate::work::figures::Origin;
use crate::work::words;

/// How a post is taken to be held.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub enum Held {
    /// At the base only.
    Free,
    /// At the base and by the rail, as stiff as it is known to be.
    WithRail,
    /// At the base and by a rail that does not give: the most that any rail can do.
    Propped,
}

/// Demand on a post held in one way.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PostHeld {
    /// How it is held.
    pub held: Held,
    /// Resultant of the level parts of the pulls, newtons.
    pub level_pull_n: f64,
    /// Moment at the base, newton metres.
    pub base_moment_nm: f64,
    /// Largest bending stress at the base, megapascals; none where the post is of metal or hollow and
    /// has no wall on record.
    pub base_stress_mpa: Option<f64>,
    /// Whether the stress is that of a solid post since nobody told whether it is one.
    pub taken_as_solid: bool,
    /// Movement at the height looked at; none where the modulus is not known.
    pub tip_mm: Option<f64>,
    /// Movement along each wire from the bottom, the wires of all legs in order; below zero where
    /// another run pulls the post away. Empty where the modulus is not known.
    pub wires_mm: Vec<f64>,
    /// Force on the rail of this run and its joint: above zero it presses, below zero it pulls.
    pub rail_force_n: Option<f64>,
    /// Pull on the base fixings, where the bolts' distance is known.
    pub fixing_force_n: Option<f64>,
    /// The two readings of base and stiffness of which each figure above is the greater: as soft as
    /// it is told or pulled, by which it moves most, and as stiff as it can be, by which its base
    /// carries most. Empty where there is one.
    pub by_base: Vec<ByBase>,
    /// What the figures leave out.
    pub left_out: Vec<String>,
}

/// Demand on a post by one reading of its base and stiffness.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct ByBase {
    /// The reading, in words: "base not turning".
    pub name: String,
    /// Moment at the base, newton metres.
    pub base_moment_nm: f64,
    /// Largest bending stress at the base, megapascals; none as beside it.
    pub base_stress_mpa: Option<f64>,
    /// Movement at the height looked at.
    pub tip_mm: f64,
    /// Force on the rail of this run and its joint.
    pub rail_force_n: Option<f64>,
    /// Pull on the base fixings, where the bolts' distance is known.
    pub fixing_force_n: Option<f64>,
}

/// A run that pulls on the same post.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OtherRun {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub name: String,
    /// Its wires there.
    pub wires: u32,
    /// Tension of each.
    pub tension_n: f64,
    /// Where that tension is from, in words.
    pub tension_origin: String,
    /// Inside angle to the run that is looked at; none where it is not told or disputed.
    pub angle_deg: Option<f64>,
}

/// What all runs together ask of a post, their pulls added as vectors.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Together {
    /// The other runs.
    pub runs: Vec<OtherRun>,
    /// Demand, free first; where an angle is not told each figure is the greatest over all angles,
    /// by itself.
    pub held: Vec<PostHeld>,
    /// The same at a right angle, where an angle is not told; else empty.
    pub at_right_angle: Vec<PostHeld>,
    /// One sentence with the figures.
    pub sentence: String,
}

/// What the post itself is known to bear, beside which the demand is put.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct OwnFigure {
    /// Bending strength, megapascals.
    pub strength_mpa: f64,
    /// Where it is from.
    pub origin: String,
    /// What a design rule leaves of it under a pull that stays, megapascals.
    pub design_mpa: Option<f64>,
    /// The moment at the base that goes with that, newton metres; none where nobody knows whether the post
    /// is solid.
    pub design_moment_nm: Option<f64>,
    /// By which rule, and how far it is from memory.
    pub design_origin: Option<String>,
}

/// The straight pull on each insert.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct InsertPull {
    /// Pull on each.
    pub pull_n: f64,
    /// Least pull of the insert on record.
    pub figure_n: Option<f64>,
    /// Where that is from.
    pub figure_origin: Option<String>,
    /// One sentence.
    pub sentence: String,
}

/// What the wires of a run ask of one of its end or corner posts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PostAsked {
    /// The post.
    pub post: ItemId,
    /// The post as a subject.
    pub subject: Subject,
    /// Its name.
    pub name: String,
    /// End or corner.
    pub role: PostRole,
    /// Number of wires of this run there.
    pub wires: u32,
    /// Tension of each.
    pub tension_n: f64,
    /// Where that tension is from, in words.
    pub tension_origin: String,
    /// Heights of this run's wires there, from the bottom.
    pub wire_heights_mm: Vec<f64>,
    /// Height above the floor at which movement is looked at.
    pub looked_at_mm: f64,
    /// Demand of this run alone, free first; with the rail where its stiffness is known.
    pub held: Vec<PostHeld>,
    /// What all wires together pull off a wall that they end in, level; none of a post, whose demand stands beside.
    pub wall_pull_n: Option<f64>,
    /// The same at a right angle, at a corner whose angle is not told: there each figure is the
    /// greatest over all angles, by itself. Else empty.
    pub at_right_angle: Vec<PostHeld>,
    /// Demand of all runs on it at once, where it carries more than this one.
    pub together: Option<Together>,
    /// How the base turns as it is stated, and what known pulls showed in the place of what was
    /// assumed.
    pub pulled: Vec<String>,
    /// The post's own figure, where its strength or grade is known.
    pub own: Option<OwnFigure>,
    /// What to ask for where its grade is told and no bending strength is known for it; none where one is.
    pub own_missing: Option<String>,
    /// The pull on each insert.
    pub insert: Option<InsertPull>,
    /// How the rail meets it.
    pub rail_joint: Option<RailJoint>,
    /// Origin of the demand figures.
    pub origin: Origin,
    /// Who must look at it.
    pub confirm: String,
    /// The warning with its figures.
    pub sentence: String,
    /// The figures with units and origins, as a decision would keep them.
    pub numbers: Vec<Number>,
}

/// What the wires of a run ask of its posts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct PostsAsked {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// Its end and corner posts.
    pub posts: Vec<PostAsked>,
    /// What was assumed or is missing.
    pub notes: Vec<String>,
}

pub(super) const fn held_words(held: Held) -> &'static str {
    match held {
        Held::Free => "free",
        Held::WithRail => "with the rail",
        Held::Propped => "with a rail that does not give",
    }
}

fn each(held: &[PostHeld], at: f64) -> String {
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
                "{}: {:.0} N·m at the base, {}{tip}{fixing}{}",
                held_words(h.held),
                h.base_moment_nm,
                stress_words(h),
                beside(h)
            )
        })
        .collect();
    each.join("; ")
}

/// Stress at the base, and what it hangs on.
fn stress_words(held: &PostHeld) -> String {
    match held.base_stress_mpa {
        Some(stress) if held.taken_as_solid => format!("{stress:.1} MPa if solid"),
        Some(stress) => format!("{stress:.1} MPa"),
        None => "stress not known without its wall thickness".to_owned(),
    }
}

/// What each reading of base and stiffness says otherwise than the figures that lead.
fn beside(held: &PostHeld) -> String {
    let readings: Vec<String> = held
        .by_base
        .iter()
        .filter_map(|by| {
            let told: Vec<String> = by.otherwise(held).into_iter().map(|(_, v)| v).collect();
            (!told.is_empty()).then(|| format!("{}: {}", by.name, told.join(", ")))
        })
        .collect();
    if readings.is_empty() {
        return String::new();
    }
    format!(" (of each the greater; {})", readings.join("; "))
}

impl ByBase {
    /// The figures that read otherwise than those that lead, each with its name.
    fn otherwise(&self, held: &PostHeld) -> Vec<(&'static str, String)> {
        let moment = |v: f64| format!("{v:.0} N·m");
        let stress = |v: f64| format!("{v:.1} MPa");
        let moved = |v: f64| format!("{v:.1} mm");
        let fixing = |v: f64| format!("{:.0} kN on the base fixings", v / 1000.0);
        let rail = |v: f64| format!("{v:.0} N on the rail's joint");
        let pair = |own: Option<f64>, lead: Option<f64>, words: &dyn Fn(f64) -> String| {
            let (own, lead) = (words(own?), words(lead?));
            (own != lead).then_some(own)
        };
        [
            (
                MOMENT,
                pair(
                    Some(self.base_moment_nm),
                    Some(held.base_moment_nm),
                    &moment,
                ),
            ),
            (
                STRESS,
                pair(self.base_stress_mpa, held.base_stress_mpa, &stress),
            ),
            (TIP, pair(Some(self.tip_mm), held.tip_mm, &moved)),
            (
                FIXING,
                pair(self.fixing_force_n, held.fixing_force_n, &fixing),
            ),
            (RAIL, pair(self.rail_force_n, held.rail_force_n, &rail)),
        ]
        .into_iter()
        .filter_map(|(name, told)| Some((name, told?)))
        .collect()
    }
}

const MOMENT: &str = "moment at the base";
const STRESS: &str = "stress at the base";
const TIP: &str = "movement at the top";
const RAIL: &str = "force on the rail's joint";
const FIXING: &str = "pull on the base fixings";

pub(super) fn sentence(
    name: &str,
    wires: usize,
    tension: Newtons,
    held: &[PostHeld],
    at: f64,
) -> String {
    // A prop that is no more than a limit stands in the list; the warning tells what is planned.
    let told: Vec<PostHeld> = held
        .iter()
        .filter(|h| h.held != Held::Propped)
        .cloned()
        .collect();
    format!(
        "Post {name} {} at {tension}. {}. Posts like these bend under this pull: ask an engineer \
         before ordering.",
        words::wires_counted(wires),
        bounds::capital(&each(&told, at))
    )
}

pub(super) fn together_sentence(
    run: &str,
    post: &str,
    others: &[OtherRun],
    held: &[PostHeld],
    at_right_angle: &[PostHeld],
) -> String {
    let mut names = vec![run.to_owned()];
    for other in others {
        if !names.contains(&other.name) {
            names.push(other.name.clone());
        }
    }
    let free = |held: &[PostHeld]| {
        held.first().map_or_else(String::new, |h| {
            format!("{:.0} N·m, {}", h.base_moment_nm, stress_words(h))
        })
    };
    let angles: Vec<String> = others
        .iter()
        .filter_map(|o| o.angle_deg)
        .map(|a| format!("{a:.0}°"))
        .collect();
    let how = match (angles.as_slice(), at_right_angle) {
        (_, [_, ..]) => "where the angle is not told and each figure is the greatest over all \
             angles, by itself"
            .to_owned(),
        (angles, _) => format!("at {}", angles.join(", ")),
    };
    let beside = if at_right_angle.is_empty() {
        String::new()
    } else {
        format!(" At a right angle: {}.", free(at_right_angle))
    };
    format!(
        "Post {post} carries runs {} together, {how}: free {} at the base.{beside}",
        names.join(" and "),
        free(held)
    )
}

pub(super) fn numbers(held: &PostHeld) -> Vec<Number> {
    let number = |what: &str, value: String| Number {
        name: format!("{what}, {}", held_words(held.held)),
        value,
        origin: "computed".into(),
    };
    let mut found = vec![number(MOMENT, format!("{:.0} N·m", held.base_moment_nm))];
    let stress = held.base_stress_mpa.map(|_| stress_words(held));
    found.extend(stress.map(|told| number(STRESS, told)));
    found.extend(held.tip_mm.map(|t| number(TIP, format!("{t:.1} mm"))));
    found.extend(held.rail_force_n.map(|f| number(RAIL, format!("{f:.0} N"))));
    found.extend(
        held.fixing_force_n
            .map(|f| number(FIXING, format!("{f:.0} N"))),
    );
    for by in &held.by_base {
        let otherwise = by.otherwise(held).into_iter();
        found.extend(otherwise.map(|(what, value)| Number {
            name: format!("{what}, {}, {}", held_words(held.held), by.name),
            value,
            origin: "computed".into(),
        }));
    }
    found
}
