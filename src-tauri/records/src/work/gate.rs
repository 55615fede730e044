//! Gates: how the pull of the runs opens them, and the gaps that it leaves beside the leaf.
//!
//! Invariant: the widest gap is held against the sphere of the rules and the narrowest against what
//! the leaf needs to swing; of what is not told the careful side counts, or nothing is worked out and
//! the answer says what to tell. A computed gap proves nothing: it is measured with the wires at their
//! tension, and what was measured stands beside it.

mod answer;
mod moves;

use mechanics::Millimetres;
use mechanics::rules::source_note;
use mechanics::spacing::{GateAsk, gate_gaps};

use super::as_built::openings_of_post;
use super::convert::{nm, run_of};
use super::differing::{Wires, differing, note_differing};
use super::{WorkError, rules};
use crate::ids::ItemId;
use crate::job::{Job, PostInRun, Run};
use crate::model::values::{Moment, OpeningKind, Support, SupportKind};
use crate::subject::Subject;
pub use answer::{Gate, GatePostMoves, GateSphere, Gates, LeafGaps, LeafMeasured};

/// The gates whose posts a run's wires pull on, or that stand in it.
///
/// # Errors
/// When the run is unknown, the rule set can't be read, or a figure can't be.
pub fn gates(job: &Job<'_>, run: ItemId) -> Result<Gates, WorkError> {
    let run = run_of(job, run)?;
    let mut found = Gates {
        run: run.id,
        run_name: run.name.clone(),
        gates: Vec::new(),
        notes: Vec::new(),
    };
    for post in gate_posts(run) {
        let known = found.gates.iter().any(|g| g.across == Some(post.id));
        if !known {
            found.gates.push(gate(job, run, post)?);
        }
    }
    if !found.gates.is_empty() {
        let apart = differing(job, Some(run), Wires::LeftOut);
        note_differing(apart, [], &mut found.notes);
    }
    Ok(found)
}

/// The posts of a run that somebody told as a gate's.
pub(super) fn gate_posts(run: &Run) -> impl Iterator<Item = &PostInRun> {
    let is_gate = |post: &&PostInRun| {
        post.support
            .values()
            .any(|s| s.kind == SupportKind::GatePost)
    };
    run.posts.iter().filter(is_gate)
}

/// Whether the gaps beside the leaf were measured with the wires at their tension: at both its posts, or at one
/// where the other stands in no run or the gap at the hinges is told, which the pull leaves as it is.
pub(super) fn is_measured(job: &Job<'_>, gate: &Gate) -> bool {
    let after = |one: &&LeafMeasured| one.moment == Some(Moment::AfterTension);
    let taken = gate.measured.iter().filter(after);
    let mut posts: Vec<&str> = taken.map(|one| one.post.as_str()).collect();
    posts.dedup();
    posts.len() >= if asks_both(job, gate) { 2 } else { 1 }
}

/// Whether a gap has to be measured at each of the gate's posts: the other one is a post of a run, so that its
/// gap can be told there.
fn asks_both(job: &Job<'_>, gate: &Gate) -> bool {
    let hinges = gate.gaps.as_ref().and_then(|gaps| gaps.hinges_mm);
    let of_a_run = |id| {
        job.runs
            .iter()
            .flat_map(|run| &run.posts)
            .any(|p| p.id == id)
    };
    hinges.is_none() && gate.across.is_some_and(of_a_run)
}

/// What is told of a gate at either of its posts.
#[derive(Default)]
struct TwoPosts {
    clear: Option<Millimetres>,
    leaf: Option<Millimetres>,
    thick: Option<Millimetres>,
    hinges: Option<Millimetres>,
    /// What the posts tell differently.
    apart: Vec<&'static str>,
}

impl TwoPosts {
    fn of(told: &[&Support]) -> Self {
        let mut apart = Vec::new();
        let mut one = |what, of: fn(&Support) -> Option<i64>| {
            let mut all: Vec<i64> = told.iter().filter_map(|s| of(s)).collect();
            all.dedup();
            match all.as_slice() {
                [only] => Some(nm(*only)),
                [] => None,
                _ => {
                    apart.push(what);
                    None
                }
            }
        };
        Self {
            clear: one("the clear opening", |s| s.gate_clear_nm),
            leaf: one("the leaf's width", |s| s.gate_leaf_nm),
            thick: one("the leaf's thickness", |s| s.gate_leaf_thick_nm),
            hinges: one("the gap at the hinges", |s| s.gate_hinge_gap_nm),
            apart,
        }
    }
}

fn gate(job: &Job<'_>, run: &Run, post: &PostInRun) -> Result<Gate, WorkError> {
    let across = across(job, post);
    let name = match across {
        Some((_, other)) => format!("gate between {} and {other}", post.name),
        None => format!("gate at {}", post.name),
    };
    let mut found = Gate::of(post, across, name);
    let supports: Vec<&Support> = [Some(post.id), across.map(|(id, _)| id)]
        .into_iter()
        .flatten()
        .filter_map(|id| job.post(id)?.support.as_ref())
        .filter(|support| support.kind == SupportKind::GatePost)
        .collect();
    let told = TwoPosts::of(&supports);
    if post.support.blocks() {
        found.missing.push(format!(
            "People differ on what carries the wires at {}: settle that first.",
            post.name
        ));
    }
    if !told.apart.is_empty() {
        found.missing.push(format!(
            "The two posts of the {} tell {} differently: tell it once, or alike.",
            found.name,
            told.apart.join(" and ")
        ));
    }
    found.tell_missing(&told);
    for of in [Some((post.id, post.name.as_str())), across]
        .into_iter()
        .flatten()
    {
        let moved = moves::of_post(job, run, of, (&mut found.missing, &mut found.notes))?;
        found.posts.extend(moved);
        found.measured.extend(measured(job, of));
    }
    if across.is_none() {
        found.notes.push(format!(
            "No post is told across the gate: only {} is counted.",
            post.name
        ));
    }
    if let Some(set) = rules::rules(job)? {
        found.confirm.clone_from(&set.confirm);
        found.sphere = rules::sphere(&set, run).map(|rule| GateSphere {
            sphere_mm: rule.sphere_mm.value(),
            source: source_note(&set, &rule.cite).into(),
        });
    }
    found.clear_before_mm = told.clear.map(Millimetres::value);
    let opens = found.opens_by();
    found.clear_after_mm = told
        .clear
        .zip(opens)
        .map(|(clear, (least, most))| ((clear + least).value(), (clear + most).value()));
    if let (Some(clear), Some(leaf), Some(opens)) = (told.clear, told.leaf, opens) {
        let gaps = gate_gaps(&GateAsk {
            clear_before: clear,
            opens_by: opens,
            leaf_width: leaf,
            leaf_thickness: told.thick,
            hinge_gap: told.hinges,
            sphere: found.sphere.as_ref().map(|s| Millimetres(s.sphere_mm)),
        })?;
        found.gaps = Some(LeafGaps::of(&gaps, told.hinges));
    }
    found.sentence = found.told();
    Ok(found)
}

/// The post on the other side of the opening, with its name: as it is told at either of the two.
fn across<'j>(job: &'j Job<'_>, post: &PostInRun) -> Option<(ItemId, &'j str)> {
    let gate_at = |id: ItemId| {
        let support = job.post(id)?.support.as_ref()?;
        (support.kind == SupportKind::GatePost).then_some(support)
    };
    let told = gate_at(post.id).and_then(|s| s.gate_across);
    let named = |id: ItemId| job.post(id).filter(|p| p.id != post.id);
    let there = told.and_then(named);
    let back = || {
        let points = |id: ItemId| gate_at(id).is_some_and(|s| s.gate_across == Some(post.id));
        job.posts.iter().find(|p| p.id != post.id && points(p.id))
    };
    there.or_else(back).map(|p| (p.id, p.name.as_str()))
}

/// What was measured beside the leaf at a post.
fn measured(job: &Job<'_>, (id, name): (ItemId, &str)) -> Vec<LeafMeasured> {
    let mut posts = job.runs.iter().flat_map(|run| &run.posts);
    let Some(post) = posts.find(|post| post.id == id) else {
        return Vec::new();
    };
    let stand = openings_of_post(job, post).into_iter();
    stand
        .filter_map(|(_, fact)| {
            let with = fact.tips.iter().find_map(|t| t.with.as_ref())?;
            // Where people differ, the widest that somebody tells.
            let widest = fact.values().max_by_key(|o| o.nm)?;
            (with.kind == OpeningKind::GateLeaf).then(|| LeafMeasured {
                post: name.to_owned(),
                clear_mm: nm(widest.nm).value(),
                moment: with.moment,
                remark: with.remark.clone(),
                result: widest.result,
            })
        })
        .collect()
}

/// A gate of a run as the rules look at it while nobody measured it at its tension.
pub(super) struct Unmeasured {
    /// The run's post.
    pub(super) subject: Subject,
    /// Name of the gap.
    pub(super) label: String,
    /// The widest that it may come to, where that can be told.
    pub(super) widest: Option<Millimetres>,
    /// What it rests on, and what to do.
    pub(super) remark: String,
}

/// The gates of a run that nobody measured at their tension.
pub(super) fn unmeasured(job: &Job<'_>, run: &Run) -> Result<Vec<Unmeasured>, WorkError> {
    let all = gates(job, run.id)?.gates;
    let open = all.into_iter().filter(|gate| !is_measured(job, gate));
    Ok(open
        .map(|gate| {
            let widest = gate.gaps.as_ref().map(|gaps| Millimetres(gaps.widest_mm));
            let where_to = match asks_both(job, &gate) {
                true => "the gap at both posts",
                false => "it",
            };
            let what = match widest {
                Some(_) => "The widest that the posts' movement leaves, before or after tension.",
                None => "What it comes to is not worked out: see the gate's post.",
            };
            Unmeasured {
                subject: gate.subject,
                label: format!("beside the leaf, {}", gate.name),
                widest,
                remark: format!("{what} Measure {where_to} with the wires at their tension."),
            }
        })
        .collect())
}
