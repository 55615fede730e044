//! What to ask about the layout before it is kept: a number of wires that leaves words without a wire,
//! a second run or post of a name, and values that do not go with each other.
//!
//! Changes and refuses nothing: two posts of one name may be, and a wire may be given up.

use std::collections::BTreeSet;

use mechanics::Degrees;
use mechanics::slope::stair_slope;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::basis::{self, Decision};
use super::convert::nm;
use super::problems::wires_without_heights;
use super::slips::odd_tops;
use super::to_cut::few_anchors;
use super::{WorkError, words};
use crate::book::Key;
use crate::ids::ItemId;
use crate::job::{Job, Run};
use crate::model::fields;
use crate::model::values::{Length, PostRole, Shape, Slope};
use crate::subject::{ItemKind, Subject, SubjectKind};

/// What to ask about a value of a run or post that is said of `subject`; none where nothing is odd.
#[must_use]
pub fn odd_in_layout(
    job: &Job<'_>,
    subject: &Subject,
    field: &str,
    value: &Value,
) -> Option<String> {
    match (subject, field) {
        (Subject::Item(ItemKind::Run, run), name) if name == fields::RUN_WIRE_COUNT.name => {
            fewer_wires(job, *run, value.as_i64()?)
        }
        (Subject::Item(kind @ (ItemKind::Run | ItemKind::Post), id), "name") => {
            let name = value.as_str()?;
            same_name(job, *kind, *id, name)
                .or_else(|| odd_wire_names(job, *id, name).filter(|_| *kind == ItemKind::Run))
        }
        _ => None,
    }
}

/// Asks where a run would be left without wires, or where something is told of wires that it would
/// have no more.
fn fewer_wires(job: &Job<'_>, run: ItemId, count: i64) -> Option<String> {
    let name = job.run(run).map_or("", |run| run.name.as_str());
    let beyond: BTreeSet<u32> = job
        .reader
        .view
        .keys()
        .filter_map(|(key, _)| match key.subject.parse() {
            Ok(Subject::Wire(of, number)) if of == run => Some(number),
            _ => None,
        })
        .filter(|number| i64::from(*number) > count)
        .collect();
    let told: Vec<u32> = beyond.into_iter().collect();
    if !told.is_empty() {
        return Some(format!(
            "Something is told already of {} {} of run {name}: with {count} in all it would stand \
             nowhere. Is it right?",
            if told.len() == 1 { "wire" } else { "wires" },
            words::ranges(&told)
        ));
    }
    (count == 0).then(|| format!("Run {name} would have no wires at all. Is it right?"))
}

/// Asks where another run or post has the name.
fn same_name(job: &Job<'_>, kind: ItemKind, id: ItemId, name: &str) -> Option<String> {
    let same = |other: &str| other.trim().to_lowercase() == name.trim().to_lowercase();
    let names: Vec<(ItemId, &str)> = match kind {
        ItemKind::Run => job.runs.iter().map(|r| (r.id, r.name.as_str())).collect(),
        _ => job.posts.iter().map(|p| (p.id, p.name.as_str())).collect(),
    };
    let own = names.iter().any(|(of, known)| *of == id && same(known));
    let taken = !own && names.iter().any(|(of, known)| *of != id && same(known));
    let what = match kind {
        ItemKind::Run => SubjectKind::Run,
        _ => SubjectKind::Post,
    };
    taken.then(|| {
        format!(
            "A {} named {} stands in this job already. Is this another one?",
            what.word(),
            crate::photos::visible(name.trim(), 80)
        )
    })
}

/// Asks where a run's new name would give its wires the names of another's.
fn odd_wire_names(job: &Job<'_>, id: ItemId, name: &str) -> Option<String> {
    let own = job
        .run(id)
        .is_some_and(|run| run.name.trim() == name.trim());
    let NamesAlike {
        longer,
        shorter,
        figures,
    } = names_alike(job, id, name).filter(|_| !own)?;
    Some(format!(
        "Wire 1 of run {longer} would be {longer}1, as wire {figures}1 of run {shorter} is. A name that ends \
         in another letter keeps them apart. Keep it all the same?"
    ))
}

/// Said of a run whose wires have the names of another's that are there.
pub(super) fn wires_alike(job: &Job<'_>, run: &Run) -> Option<String> {
    let NamesAlike {
        longer,
        shorter,
        figures,
    } = names_alike(job, run.id, &run.name)?;
    let number = format!("{figures}1").parse::<u32>().ok()?;
    let named = |name: &str| job.runs.iter().find(|run| run.name.trim() == name);
    let both = named(longer)
        .filter(|run| !run.wires.is_empty())
        .zip(named(shorter));
    both.filter(|(_, of)| of.wires.iter().any(|wire| wire.number == number))?;
    Some(format!(
        "Wire 1 of run {longer} and wire {number} of run {shorter} are both named {longer}1, on labels too. \
         Give one of the runs a name that ends in another letter."
    ))
}

/// Two runs of which one's name is the other's with figures behind it: wire 1 of run D1 is D11, as wire 11
/// of run D is.
struct NamesAlike<'a> {
    longer: &'a str,
    shorter: &'a str,
    figures: &'a str,
}

fn names_alike<'a>(job: &'a Job<'_>, id: ItemId, name: &'a str) -> Option<NamesAlike<'a>> {
    let name = name.trim();
    let others = job.runs.iter().filter(|run| run.id != id);
    let pairs = others.flat_map(|run| [(name, run.name.trim()), (run.name.trim(), name)]);
    let alike = |(longer, shorter): (&'a str, &'a str)| {
        let figures = longer.strip_prefix(shorter)?;
        let all = !figures.is_empty() && figures.bytes().all(|b| b.is_ascii_digit());
        all.then_some(NamesAlike {
            longer,
            shorter,
            figures,
        })
    };
    pairs.into_iter().find_map(alike)
}

/// A value that somebody says now, of whatever.
#[derive(Clone, Copy, Debug)]
pub struct SaidNow<'a> {
    /// What it is said of.
    pub subject: Subject,
    /// The field.
    pub field: &'a str,
    /// Its place, empty where it has none.
    pub place: &'a str,
    /// The value.
    pub value: &'a Value,
}

impl SaidNow<'_> {
    fn read<T: DeserializeOwned>(&self) -> Option<T> {
        serde_json::from_value(self.value.clone()).ok()
    }
}

/// What to ask about values of one act beside each other and beside what stands: a height that is not
/// its rail's top, a third anchor within a run, a hole that moves towards a wire and not away from
/// another, a figure that released lengths were worked out with.
///
/// # Errors
/// When a figure of a run can't be.
pub fn odd_together(job: &Job<'_>, said: &[SaidNow<'_>]) -> Result<Vec<String>, WorkError> {
    let mut odd = Vec::new();
    let tops = [fields::RUN_HEIGHT.name, fields::RUN_RAIL.name];
    let mut seen = BTreeSet::new();
    for one in said {
        match (one.subject, one.field) {
            (Subject::Item(ItemKind::Run, run), field)
                if tops.contains(&field) && seen.insert(run) =>
            {
                odd.extend(odd_top(job.run(run), one.subject, said)?);
            }
            (Subject::Item(ItemKind::Post, post), field) if field == fields::POST_ROLE.name => {
                odd.extend(third_anchor(job, post, one));
            }
            (Subject::Item(ItemKind::Post, post), field) if field == fields::POST_DRILLED.name => {
                odd.extend(moved_alone(job, post, one, said));
            }
            (Subject::Item(ItemKind::FittingSet | ItemKind::Strand, _), _) => {
                odd.extend(released_with(job, one));
            }
            _ => {}
        }
    }
    Ok(odd)
}

/// Asks where lengths that are released and not cut yet were worked out with a figure of a strand or fitting
/// set: several runs may share it, and who corrects it for one has the others out of date.
fn released_with(job: &Job<'_>, one: &SaidNow<'_>) -> Option<String> {
    let key = Key {
        subject: one.subject.to_string(),
        field: one.field.to_owned(),
        place: one.place.to_owned(),
    };
    let waiting = |run: &Run| {
        let wires = run.wires.iter();
        wires
            .filter(|w| w.issued.value().is_some() && !w.is_cut())
            .count()
    };
    let runs = job.runs.iter().filter(|run| waiting(run) > 0);
    let runs: Vec<&Run> = runs
        .filter(|run| basis::keys(job, Decision::Cut(run)).contains(&key))
        .collect();
    let names: Vec<&str> = runs.iter().map(|run| run.name.as_str()).collect();
    let count: usize = runs.iter().map(|run| waiting(run)).sum();
    (count > 0).then(|| {
        format!(
            "{count} released {} of run {} {} worked out with what stands, and {} to be released anew. Keep \
             it all the same?",
            if count == 1 { "length" } else { "lengths" },
            names.join(" and "),
            if count == 1 { "was" } else { "were" },
            if count == 1 { "has" } else { "have" },
        )
    })
}

/// Asks where a run's height and its rail's top contradict each other; `run` is what stands of it.
fn odd_top(
    run: Option<&Run>,
    subject: Subject,
    said: &[SaidNow<'_>],
) -> Result<Option<String>, WorkError> {
    let now = |field: &str| {
        said.iter()
            .find(|s| s.subject == subject && s.field == field)
    };
    let height = match now(fields::RUN_HEIGHT.name) {
        Some(said) => said.read(),
        None => run.and_then(|r| r.height),
    };
    let rail = match now(fields::RUN_RAIL.name) {
        Some(said) => said.read(),
        None => run.and_then(|r| r.rail),
    };
    let shape = now(fields::RUN_SHAPE.name).and_then(SaidNow::read);
    let shape = shape.or_else(|| run.map(|r| r.shape));
    let told: Option<Slope> = now(fields::RUN_SLOPE.name).and_then(SaidNow::read);
    let slope = match told
        .or_else(|| run?.slope)
        .filter(|_| shape == Some(Shape::Raked))
    {
        Some(slope) => stair_slope(nm(slope.rise_nm), nm(slope.going_nm))?,
        None if shape == Some(Shape::Raked) => return Ok(None),
        None => Degrees(0.0),
    };
    let odd = odd_tops(height, rail, slope)?;
    Ok(odd.map(|odd| format!("{odd} Is it right?")))
}

/// Asks where a post within a run that has its two anchors would be another one.
fn third_anchor(job: &Job<'_>, post: ItemId, said: &SaidNow<'_>) -> Option<String> {
    let run = job.runs.iter().find(|r| r.id.to_string() == said.place)?;
    let (first, last) = run.ends()?;
    let at = run.posts.iter().position(|p| p.id == post)?;
    let inner = at > 0 && at + 1 < run.posts.len();
    let anchor = said.read() == Some(PostRole::Anchor);
    let was = run.posts.get(at)?.role == PostRole::Anchor;
    (inner && anchor && !was).then(|| {
        format!(
            "Post {} would be an anchor within run {}, whose wires end at {} and {}. Is it right?",
            run.posts.get(at).map_or("", |p| p.name.as_str()),
            run.name,
            first.name,
            last.name
        )
    })
}

/// How much less a distance may be read anew unasked, in nanometres: two readings of one gap.
const READ_AGAIN: i64 = 3_000_000;

/// Asks where a gap as drilled gets narrower than what stands and neither gap beside it gets wider: a
/// hole that moves changes both.
fn moved_alone(
    job: &Job<'_>,
    post: ItemId,
    said: &SaidNow<'_>,
    all: &[SaidNow<'_>],
) -> Option<String> {
    let (run, wire) = said.place.split_once('/')?;
    let wire: u32 = wire.parse().ok()?;
    let of = job.runs.iter().find(|r| r.id.to_string() == run)?;
    let drilled = &of.posts.iter().find(|p| p.id == post)?.drilled;
    let stood = |wire: u32| drilled.get(&wire)?.values().map(|l| l.nm).max();
    let (now, was): (Length, i64) = (said.read()?, stood(wire)?);
    if now.nm >= was - READ_AGAIN {
        return None;
    }
    let planned = |wire: u32| {
        let below = of
            .heights
            .get(usize::try_from(wire.checked_sub(1)?).ok()?)?;
        let above = of.heights.get(usize::try_from(wire).ok()?)?;
        Some(above.nm - below.nm)
    };
    let wider = |beside: u32| {
        let place = format!("{run}/{beside}");
        let told = |s: &&SaidNow<'_>| {
            s.subject == said.subject && s.field == said.field && s.place == place
        };
        let told = all.iter().find(told).and_then(SaidNow::read);
        match (told, stood(beside)) {
            (Some(Length { nm }), before) => Some(nm) > before.or_else(|| planned(beside)),
            (None, before) => before > planned(beside),
        }
    };
    let beside = [wire.checked_sub(1), wire.checked_add(1)];
    (!beside.into_iter().flatten().any(wider)).then(|| {
        format!(
            "Wire {wire} to wire {} is told as {} now and was {}: a hole that moves makes the gap beside \
             it wider, and none is told so. Was it read rightly?",
            wire + 1,
            super::words::mm(now.nm),
            super::words::mm(was)
        )
    })
}

/// What keeps a run from being cut that its layout tells: fewer than two anchors, wires without heights.
#[must_use]
pub fn unfit(run: &Run) -> Vec<String> {
    let all = [few_anchors(run), wires_without_heights(run)];
    all.into_iter().flatten().collect()
}
