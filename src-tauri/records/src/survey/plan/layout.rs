//! Which post stands where in which run, once the file is taken: what bays and lengths refer to.
//!
//! Invariant: a post that would stand outside its run is not placed.

use std::collections::{BTreeMap, BTreeSet};

use super::super::facts::{Given, InRun, Survey};
use super::super::problem::Outcome;
use super::{Part, Planner};
use crate::ids::ItemId;
use crate::job::Job;
use crate::model::fields;
use crate::model::values::{Length, PostRole, Shape, Slope};
use crate::record::Draft;
use crate::subject::{ItemKind, Subject, SubjectKind};
use crate::work::{odd_place, odd_value};

/// A run's posts in order, and what its wires are held against.
#[derive(Clone, Debug, Default)]
pub(super) struct Layout {
    pub(super) wires: u32,
    pub(super) shape: Option<Shape>,
    pub(super) slope: Option<Slope>,
    pub(super) posts: Vec<Placed>,
}

/// A post in a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Placed {
    pub(super) post: ItemId,
    pub(super) position: Length,
    pub(super) role: PostRole,
}

impl Layout {
    /// The bays between neighbours.
    pub(super) fn bays(&self) -> impl Iterator<Item = Subject> + '_ {
        let next = self.posts.iter().skip(1);
        let pairs = self.posts.iter().zip(next);
        pairs.map(|(left, right)| Subject::bay(left.post, right.post))
    }

    /// From the first post's middle to the last one's, along the slope where there is one.
    pub(super) fn span_mm(&self) -> Option<f64> {
        let (first, last) = (self.posts.first()?, self.posts.last()?);
        let level = last.position.as_mm() - first.position.as_mm();
        Some(level * self.slope_factor()).filter(|mm| *mm > 0.0)
    }

    /// How far the middles of a bay's posts are apart, level and along the slope, in millimetres.
    pub(super) fn apart(&self, bay: &Subject) -> Option<(f64, f64)> {
        let next = self.posts.iter().skip(1);
        let mut pairs = self.posts.iter().zip(next);
        let (a, b) = pairs.find(|(a, b)| Subject::bay(a.post, b.post) == *bay)?;
        let level = b.position.as_mm() - a.position.as_mm();
        Some((level, level * self.slope_factor()))
    }

    /// How much longer the run is along its wires than level; none of a raked run without its slope.
    pub(super) fn stretch(&self) -> Option<f64> {
        let untold = self.shape == Some(Shape::Raked) && self.slope.is_none();
        (!untold).then(|| self.slope_factor())
    }

    #[allow(clippy::cast_precision_loss)] // rises and goings stay far below 2^53 nm
    fn slope_factor(&self) -> f64 {
        match (self.shape, self.slope) {
            (Some(Shape::Raked), Some(slope)) if slope.going_nm > 0 => {
                (slope.rise_nm as f64 / slope.going_nm as f64).hypot(1.0)
            }
            _ => 1.0,
        }
    }
}

/// Runs as the job has them.
pub(super) fn known(job: &Job<'_>) -> BTreeMap<ItemId, Layout> {
    let layouts = job.runs.iter().map(|run| {
        let posts = run.posts.iter().filter_map(|post| {
            Some(Placed {
                post: post.id,
                position: *post.position.shown()?,
                role: post.role,
            })
        });
        let layout = Layout {
            wires: u32::try_from(run.wires.len()).unwrap_or(0),
            shape: Some(run.shape),
            slope: run.slope,
            posts: posts.collect(),
        };
        (run.id, layout)
    });
    layouts.collect()
}

/// Adds what the file says of the runs themselves.
pub(super) fn shape(
    planner: &Planner<'_, '_>,
    survey: &Survey,
    layouts: &mut BTreeMap<ItemId, Layout>,
) {
    for thing in survey.things.iter().filter(|t| t.kind == ItemKind::Run) {
        let key = (thing.kind, thing.name.clone());
        if let Some([id]) = planner.ids.get(&key).map(Vec::as_slice)
            && thing.whole
        {
            let layout = layouts.entry(*id).or_default();
            layout.wires = thing.run.wires.unwrap_or(layout.wires);
            layout.shape = thing.run.shape.or(layout.shape);
            layout.slope = thing.run.slope.or(layout.slope);
        }
    }
}

impl Planner<'_, '_> {
    /// Places the posts of the file in their runs.
    pub(super) fn places(&mut self, survey: &Survey, layouts: &mut BTreeMap<ItemId, Layout>) {
        let mut by_run: BTreeMap<ItemId, Vec<(ItemId, &InRun)>> = BTreeMap::new();
        let mut seen = BTreeSet::new();
        for row in survey.in_runs.iter().filter(|row| row.whole) {
            let run = self.named(ItemKind::Run, &row.run, &row.path);
            let at_post = format!("{}.post", row.path);
            let post = run.and_then(|_| self.named(ItemKind::Post, &row.post, &at_post));
            let (Some(run), Some(post)) = (run, post) else {
                continue;
            };
            if !seen.insert((run, post)) {
                let message = "stands in this run already; keep the place that is right";
                self.log.refuse(&at_post, message);
                continue;
            }
            by_run.entry(run).or_default().push((post, row));
        }
        for (run, rows) in by_run {
            let layout = layouts.entry(run).or_default();
            self.place(run, &rows, layout);
        }
        for (path, run) in self.plan.runs.clone() {
            let anchors = layouts.get(&run).map_or(0, |l| anchors(&l.posts).len());
            if anchors > 2 {
                let message = format!(
                    "has {anchors} anchors; its wires end at the first and the last of them, and what \
                     stands between carries them through"
                );
                self.log.say(&path, Outcome::Noted, message);
            }
            if anchors < 2 {
                let message = format!(
                    "has {anchors} of the two anchors that a run needs; say which posts hold the ends"
                );
                self.log.say(&path, Outcome::Noted, message);
            }
        }
    }

    fn place(&mut self, run: ItemId, rows: &[(ItemId, &InRun)], layout: &mut Layout) {
        let said = |post: ItemId| rows.iter().find(|(p, _)| *p == post);
        let before = layout.posts.clone();
        layout.posts.retain(|known| said(known.post).is_none());
        let from_file = |(post, row): &(ItemId, &InRun)| {
            Some(Placed {
                post: *post,
                position: row.position?,
                role: row.role?,
            })
        };
        let all: Vec<Placed> = layout
            .posts
            .iter()
            .copied()
            .chain(rows.iter().filter_map(from_file))
            .collect();
        let ends = anchors(&all);
        let (first, last) = (ends.first().copied(), ends.last().copied());
        // What is refused for its place is nothing to hold another's against.
        let within = |p: &&Placed| {
            let both = first.zip(last).filter(|_| ends.len() >= 2);
            both.is_none_or(|(first, last)| (first..=last).contains(&p.position))
        };
        let standing: Vec<Placed> = all.iter().filter(within).copied().collect();
        for (post, row) in rows {
            let Some(placed) = from_file(&(*post, row)) else {
                continue;
            };
            if let (Some(first), Some(last)) = (first, last)
                && ends.len() >= 2
                && !(first..=last).contains(&placed.position)
            {
                let message = format!(
                    "{} mm is outside the run, whose anchors stand at {} and {} mm; correct the \
                     position, or make it an anchor",
                    placed.position.as_mm(),
                    first.as_mm(),
                    last.as_mm()
                );
                self.log.refuse(&format!("{}.position", row.path), message);
                continue;
            }
            let subject = Subject::post(*post);
            let place = run.to_string();
            // A position that waits for a yes places nothing yet.
            let stood = before.iter().find(|known| known.post == *post).copied();
            let waits = !self.confirmed
                && stood.map(|known| known.position) != Some(placed.position)
                && is_unusual(placed.position);
            if waits {
                layout.posts.extend(stood);
            }
            // Neither does one that stands too near to another post for a bay.
            let moves = stood.map(|known| known.position) != Some(placed.position);
            let near = self.too_near(&standing, *post, placed.position);
            if let Some(question) = near.filter(|_| moves && !waits)
                && !self.asked(&format!("{}.position", row.path), &question)
            {
                layout.posts.extend(stood);
                continue;
            }
            let drafts: Vec<Draft> = row
                .facts
                .iter()
                .filter(|fact| matches!(fact.value, Given::Value(_)))
                .filter_map(|fact| {
                    let doubt = self.holes(run, row, *post, fact)?;
                    let draft = self.against(&subject, fact, &place)?;
                    // Of what the job has already nothing is said again.
                    self.noted(&fact.path, doubt);
                    Some(draft)
                })
                .collect();
            let count = usize::from(!drafts.is_empty());
            self.act(Part::PostsInRuns, count, &row.path, drafts);
            if !waits {
                layout.posts.push(placed);
            }
        }
        layout.posts.sort_by_key(|p| (p.position, p.post));
    }
}

impl Planner<'_, '_> {
    /// What to ask about a post that stands too near to another of its run.
    fn too_near(&self, all: &[Placed], post: ItemId, at: Length) -> Option<String> {
        let name = |id: ItemId| {
            let named = self.ids.iter().find(|(_, ids)| ids.contains(&id));
            named.map_or("the next post", |((_, name), _)| name.as_str())
        };
        let others = all.iter().filter(|other| other.post != post);
        odd_place(at, others.map(|other| (name(other.post), other.position)))
    }
}

fn is_unusual(position: Length) -> bool {
    let value = serde_json::json!(position);
    odd_value(SubjectKind::Post, fields::POST_POSITION.name, &value, &[]).is_some()
}

/// Positions of the anchors, in order.
fn anchors(posts: &[Placed]) -> Vec<Length> {
    let mut found: Vec<Length> = posts
        .iter()
        .filter(|p| p.role == PostRole::Anchor)
        .map(|p| p.position)
        .collect();
    found.sort_unstable();
    found
}
