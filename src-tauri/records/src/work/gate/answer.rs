//! Gates as they are shown and kept.

use mechanics::Millimetres;
use mechanics::spacing::GateGaps;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

use super::TwoPosts;
use crate::ids::ItemId;
use crate::job::PostInRun;
use crate::model::bounds::capital;
use crate::model::values::{Moment, ProbeResult};
use crate::subject::Subject;
use crate::work::figures::Source;

/// The gates at a run's posts.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Gates {
    /// The run.
    pub run: ItemId,
    /// Its name.
    pub run_name: String,
    /// Each gate once; empty where none of the posts is told as a gate's.
    pub gates: Vec<Gate>,
    /// What people differ on that these figures may rest on.
    pub notes: Vec<String>,
}

/// How far a post of a gate moves out of the opening.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct GatePostMoves {
    /// The post.
    pub post: ItemId,
    /// Its name.
    pub name: String,
    /// The runs that pull on it; empty where none does.
    pub runs: Vec<String>,
    /// Tension of the first of them, and where it is from.
    pub tension: String,
    /// Least; below zero where it may move into the opening.
    pub from_mm: f64,
    /// Most.
    pub to_mm: f64,
    /// One sentence.
    pub sentence: String,
}

/// The gaps beside a leaf; below zero the leaf is wider than what it hangs in.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LeafGaps {
    /// At the hinges, which the pull leaves as it is; none where it is not told.
    pub hinges_mm: Option<f64>,
    /// At the latch before tension, where that at the hinges is told.
    pub latch_before_mm: Option<f64>,
    /// The same after it, least and most.
    pub latch_after_mm: Option<(f64, f64)>,
    /// Both gaps together before tension.
    pub both_before_mm: f64,
    /// The same after it, least and most.
    pub both_after_mm: (f64, f64),
    /// What the leaf's far corner needs to swing by, where its thickness is told.
    pub swing_needs_mm: Option<f64>,
    /// What is left of the narrowest gap at the latch then.
    pub swing_in_hand_mm: Option<f64>,
    /// Widest gap, before or after tension.
    pub widest_mm: f64,
    /// By how much the rules' sphere is larger; below zero it passes.
    pub margin_mm: Option<f64>,
    /// Whether that sphere passes.
    pub passes: bool,
}

impl LeafGaps {
    pub(super) fn of(gaps: &GateGaps, hinges: Option<Millimetres>) -> Self {
        let pair = |(least, most): (Millimetres, Millimetres)| (least.value(), most.value());
        Self {
            hinges_mm: hinges.map(Millimetres::value),
            latch_before_mm: gaps.latch_before.map(Millimetres::value),
            latch_after_mm: gaps.latch_after.map(pair),
            both_before_mm: gaps.both_before.value(),
            both_after_mm: pair(gaps.both_after),
            swing_needs_mm: gaps.swing_needs.map(Millimetres::value),
            swing_in_hand_mm: gaps.swing_in_hand.map(Millimetres::value),
            widest_mm: gaps.widest.value(),
            margin_mm: gaps.margin.map(Millimetres::value),
            passes: gaps.passes,
        }
    }
}

/// The sphere that must not pass.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct GateSphere {
    /// Its diameter.
    pub sphere_mm: f64,
    /// Where the rule is from.
    pub source: Source,
}

/// A gap beside the leaf as it was measured.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct LeafMeasured {
    /// Name of the post at which it was recorded.
    pub post: String,
    /// Clear size; where people differ, the widest.
    pub clear_mm: f64,
    /// Before or after tension, where that was told.
    pub moment: Option<Moment>,
    /// Where, in words.
    pub remark: Option<String>,
    /// What the probe did.
    pub result: Option<ProbeResult>,
}

/// A gate between two posts of the record, or between one and something else.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS, JsonSchema)]
#[serde(rename_all = "camelCase")]
pub struct Gate {
    /// The run's post.
    pub post: ItemId,
    /// As a subject.
    pub subject: Subject,
    /// The post on the other side, where one is told.
    pub across: Option<ItemId>,
    /// Name: "gate between A6 and B1".
    pub name: String,
    /// Clear between the posts before tension, as told.
    pub clear_before_mm: Option<f64>,
    /// The same after it, least and most; none while something is missing.
    pub clear_after_mm: Option<(f64, f64)>,
    /// How far its posts move.
    pub posts: Vec<GatePostMoves>,
    /// Gaps beside the leaf; none while something is missing.
    pub gaps: Option<LeafGaps>,
    /// The sphere of the job's rule set.
    pub sphere: Option<GateSphere>,
    /// What was measured beside the leaf.
    pub measured: Vec<LeafMeasured>,
    /// What is missing, each in a sentence that says what to tell.
    pub missing: Vec<String>,
    /// What is assumed or left out.
    pub notes: Vec<String>,
    /// Who must confirm.
    pub confirm: String,
    /// The figures in a sentence or two; empty where none is known.
    pub sentence: String,
}

impl Gate {
    pub(super) fn of(post: &PostInRun, across: Option<(ItemId, &str)>, name: String) -> Self {
        Self {
            post: post.id,
            subject: Subject::post(post.id),
            across: across.map(|(id, _)| id),
            name,
            clear_before_mm: None,
            clear_after_mm: None,
            posts: Vec::new(),
            gaps: None,
            sphere: None,
            measured: Vec::new(),
            missing: Vec::new(),
            notes: vec![
                "The gate is taken as in line with its run, which opens it most, and the leaf as \
                 leaning with its hinge post; what it sags by, and a latch, are not counted."
                    .to_owned(),
            ],
            confirm: String::new(),
            sentence: String::new(),
        }
    }

    /// What is to be told at the post before gaps can be worked out.
    pub(super) fn tell_missing(&mut self, told: &TwoPosts) {
        let lacks = [
            (told.clear.is_none(), "the clear opening before tension"),
            (told.leaf.is_none(), "the leaf's width"),
        ];
        let all: Vec<&str> = lacks
            .iter()
            .filter_map(|(no, what)| no.then_some(*what))
            .collect();
        if !all.is_empty() {
            self.missing.push(format!(
                "{}: {} is not told. Tell it where it says what carries the wires.",
                capital(&self.name),
                all.join(" and ")
            ));
        }
        if told.hinges.is_none() {
            self.notes.push(
                "The gap at the hinges is not told: both gaps count together, as if they lay at \
                 one side, and whether the leaf swings is not worked out."
                    .to_owned(),
            );
        } else if told.thick.is_none() {
            self.notes.push(
                "The leaf's thickness is not told: whether it swings is not worked out.".to_owned(),
            );
        }
    }

    /// By how much both posts together open it; none where that of one is not known.
    pub(super) fn opens_by(&self) -> Option<(Millimetres, Millimetres)> {
        let all = 1 + usize::from(self.across.is_some());
        (self.posts.len() == all).then(|| {
            let from = self.posts.iter().map(|p| p.from_mm).sum();
            let to = self.posts.iter().map(|p| p.to_mm).sum();
            (Millimetres(from), Millimetres(to))
        })
    }

    /// The figures in words.
    pub(super) fn told(&self) -> String {
        let (Some(before), Some(after)) = (self.clear_before_mm, self.clear_after_mm) else {
            return String::new();
        };
        let mut said = vec![format!(
            "{}: clear {} before tension, {} after",
            capital(&self.name),
            Millimetres(before),
            span(before, after)
        )];
        if let Some(gaps) = &self.gaps {
            said.push(gaps.told(self.sphere.as_ref()));
        }
        let measured = match self
            .measured
            .iter()
            .any(|m| m.moment == Some(Moment::AfterTension))
        {
            true => "What was measured after tension stands beside it and goes before it.",
            false => "Measure it with the wires at their tension.",
        };
        format!("{}. {measured}", said.join(". "))
    }
}

impl LeafGaps {
    fn told(&self, sphere: Option<&GateSphere>) -> String {
        let (what, before, after) = match (self.latch_before_mm, self.latch_after_mm) {
            (Some(before), Some(after)) => ("Gap at the latch", before, after),
            _ => (
                "Both gaps beside the leaf together",
                self.both_before_mm,
                self.both_after_mm,
            ),
        };
        let mut said = format!(
            "{what} {} before, {} after",
            Millimetres(before),
            span(before, after)
        );
        let (least, margin) = (before.min(after.0), self.margin_mm.map(Millimetres));
        if least < 0.0 {
            said.push_str(&format!(
                "; the leaf is up to {} too wide",
                Millimetres(-least)
            ));
        }
        match (sphere, margin) {
            (Some(sphere), Some(margin)) if self.passes => said.push_str(&format!(
                "; the widest gap is {}: a sphere of {} passes, {} too wide",
                Millimetres(self.widest_mm),
                Millimetres(sphere.sphere_mm),
                margin.abs()
            )),
            (Some(sphere), Some(margin)) => said.push_str(&format!(
                "; the sphere of {} that must not pass is {margin} larger than the widest gap",
                Millimetres(sphere.sphere_mm)
            )),
            _ => {}
        }
        if let (Some(needs), Some(left)) = (self.swing_needs_mm, self.swing_in_hand_mm) {
            let (needs, left) = (Millimetres(needs), Millimetres(left));
            let words = match left.value() < 0.0 {
                true => format!("{} are missing", left.abs()),
                false => format!("{left} are left of the narrowest gap"),
            };
            said.push_str(&format!(
                ". To swing by, the leaf's far corner needs {needs}: {words}"
            ));
        }
        said
    }
}

/// "up to 925.8 mm"; both ends where the opening may close too.
fn span(before: f64, (least, most): (f64, f64)) -> String {
    match least < before {
        true => format!("{} to {}", Millimetres(least), Millimetres(most)),
        false => format!("up to {}", Millimetres(most)),
    }
}
