//! What the supports of a run are for a code's table: where a bay begins and ends, what holds an end.
//!
//! Invariant: a spreader ends a bay of the table only where the record says that it counts as a
//! post and who confirmed it. Drawing, gap checks and readings keep the bays as they are built.

use mechanics::assessment::Taken;
use mechanics::{Degrees, Millimetres, slope};

use super::WorkError;
use super::convert::{mm, nm, slope_of};
use super::problems::ProblemCode;
use crate::job::{Bay, PostInRun, Run};
use crate::model::values::{Along, Support, SupportKind};
use crate::subject::Subject;

/// A bay as the table counts it: one bay as built, or several with spreaders between them.
pub(super) struct Span<'a> {
    /// Bays as built, from the first post.
    pub(super) bays: Vec<&'a Bay>,
    /// The posts at both ends of each bay, so one more than bays.
    pub(super) posts: Vec<&'a PostInRun>,
}

impl Span<'_> {
    /// "A4–A5", by the posts that end it.
    pub(super) fn name(&self) -> String {
        let name = |post: Option<&&PostInRun>| post.map_or_else(String::new, |p| p.name.clone());
        format!("{}–{}", name(self.posts.first()), name(self.posts.last()))
    }

    /// Supports within it that only space the wires.
    fn spreaders(&self) -> &[&PostInRun] {
        let last = self.posts.len().saturating_sub(1);
        self.posts.get(1..last).unwrap_or_default()
    }

    /// Clear distance from post to post, a spreader's own width counted in; none where a bay has
    /// none.
    pub(super) fn clear(&self, run: &Run) -> Result<Option<(Millimetres, Taken)>, WorkError> {
        if let [bay] = self.bays.as_slice() {
            return Ok(bay.longest.map(|(clear, along)| (mm(clear), taken(along))));
        }
        let level = self
            .bays
            .iter()
            .all(|b| b.longest.is_none_or(|(_, along)| along == Along::Level));
        let slope = if level { Degrees(0.0) } else { slope_of(run)? };
        let mut sum = Millimetres(0.0);
        for bay in &self.bays {
            let Some(clear) = clear_along(bay, slope)? else {
                return Ok(None);
            };
            sum += clear;
        }
        for spreader in self.spreaders() {
            let width = spreader.section.map_or(0, |s| s.along_nm);
            sum += slope::along(nm(width), slope)?;
        }
        let taken = if level {
            Taken::LevelOrPlumb
        } else {
            Taken::AsTheWire
        };
        Ok(Some((sum, taken)))
    }

    /// What is said of a span that passes over spreaders.
    pub(super) fn note(&self, clear: Millimetres) -> Option<String> {
        if self.bays.len() < 2 {
            return None;
        }
        let names = |posts: &[&PostInRun]| {
            let names: Vec<&str> = posts.iter().map(|p| p.name.as_str()).collect();
            names.join(", ")
        };
        let bays: Vec<&str> = self.bays.iter().map(|b| b.name.as_str()).collect();
        let unknown: Vec<&PostInRun> = self
            .spreaders()
            .iter()
            .filter(|p| p.section.is_none())
            .copied()
            .collect();
        let width = if unknown.is_empty() {
            String::new()
        } else {
            format!(
                " The width of {} is not known and not counted: measure it.",
                names(&unknown)
            )
        };
        Some(format!(
            "{} only spaces the wires and does not count as a post: for the table bays {} are one \
             bay {} of {clear}.{width}",
            names(self.spreaders()),
            bays.join(", "),
            self.name()
        ))
    }
}

/// The bays of a run as the table counts them, from the first post.
pub(super) fn spans(run: &Run) -> Vec<Span<'_>> {
    let mut found: Vec<Span<'_>> = Vec::new();
    let pairs = run.posts.iter().zip(run.posts.iter().skip(1));
    for (bay, (left, right)) in run.bays.iter().zip(pairs) {
        match found.last_mut() {
            Some(span) if !ends_a_bay(left) => {
                span.bays.push(bay);
                span.posts.push(right);
            }
            _ => found.push(Span {
                bays: vec![bay],
                posts: vec![left, right],
            }),
        }
    }
    found
}

/// Clear distance of a bay as built, along the wire: the longest that is told.
pub(super) fn clear_along(bay: &Bay, slope: Degrees) -> Result<Option<Millimetres>, WorkError> {
    Ok(match bay.longest {
        None => None,
        Some((clear, Along::Slope)) => Some(mm(clear)),
        Some((clear, Along::Level)) => Some(slope::along(mm(clear), slope)?),
    })
}

/// Length of the run along its wires: bays and the posts between, where every bay is known.
pub(super) fn whole_length(run: &Run) -> Result<Millimetres, WorkError> {
    let slope = slope_of(run)?;
    let mut sum = Millimetres(0.0);
    for bay in &run.bays {
        sum += clear_along(bay, slope)?.unwrap_or(Millimetres(0.0));
    }
    let last = run.posts.len().saturating_sub(1);
    for post in run.posts.get(1..last).unwrap_or_default() {
        let width = post.section.map_or(0, |s| s.along_nm);
        sum += mechanics::slope::along(nm(width), slope)?;
    }
    Ok(sum)
}

const fn taken(along: Along) -> Taken {
    match along {
        Along::Slope => Taken::AsTheWire,
        Along::Level => Taken::LevelOrPlumb,
    }
}

/// Whether a support ends a bay of the table. Where people differ, the word that makes the bay
/// longer is taken.
fn ends_a_bay(post: &PostInRun) -> bool {
    said(post).all(|s| s.kind != SupportKind::Spreader || confirmed(s).is_some())
}

fn said(post: &PostInRun) -> impl Iterator<Item = &Support> {
    post.support.tips.iter().filter_map(|t| t.value.as_ref())
}

/// Who confirmed that a spreader counts as a post, where both is said.
fn confirmed(support: &Support) -> Option<&str> {
    let by = support.confirmed_by.as_deref().map(str::trim)?;
    (support.counts_as_post == Some(true) && !by.is_empty()).then_some(by)
}

/// Posts at the ends of a run that must never hold one, with what they are.
pub(super) fn never_an_anchor(run: &Run) -> Vec<(&PostInRun, &'static str)> {
    let ends = run.ends().map(|(a, b)| [a, b]).into_iter().flatten();
    let kind = |post: &PostInRun, kind| said(post).any(|s| s.kind == kind);
    ends.filter_map(|post| {
        if kind(post, SupportKind::GlassEdge) {
            Some((post, "a glass edge"))
        } else if kind(post, SupportKind::Spreader) {
            Some((post, "a spreader"))
        } else {
            None
        }
    })
    .collect()
}

/// What has to be asked or put right about the supports of a run.
pub(super) fn problems(run: &Run, say: &mut impl FnMut(ProblemCode, Subject, String)) {
    for (post, what) in never_an_anchor(run) {
        say(
            ProblemCode::NeverAnAnchor,
            Subject::post(post.id),
            format!(
                "Post {} is {what} and ends run {}: it can never hold the wires' pull. End the run \
                 at a post that can, or correct what {} is.",
                post.name, run.name, post.name
            ),
        );
    }
    let last = run.posts.len().saturating_sub(1);
    for post in run.posts.get(1..last).unwrap_or_default() {
        if let Some(sentence) = spreader(post) {
            say(ProblemCode::Spreader, Subject::post(post.id), sentence);
        }
    }
}

fn spreader(post: &PostInRun) -> Option<String> {
    let name = &post.name;
    let said: Vec<&Support> = said(post)
        .filter(|s| s.kind == SupportKind::Spreader)
        .collect();
    let first = said.first()?;
    if post.support.blocks() {
        return Some(format!(
            "People disagree on what carries the wires at {name}: until it is settled it is taken \
             as a spreader that does not count as a post for the table."
        ));
    }
    Some(match (confirmed(first), first.counts_as_post) {
        (Some(by), _) => format!(
            "{name} is a spreader that counts as a post for the table, as {by} confirmed. Ask first \
             for that in writing: without it the bays beside it are one bay."
        ),
        (None, Some(true)) => format!(
            "{name} is a spreader said to count as a post for the table, and who confirmed it is \
             not told: it is taken as not counting. Ask first, and say who confirmed it."
        ),
        (None, _) => format!(
            "{name} is a spreader and does not count as a post for the table: the bays beside it \
             are read as one. Ask the certifier first if it should count."
        ),
    })
}
